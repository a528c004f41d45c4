"""What a test is called where it stands alone: in a list of its own order, or after other tests than in the dataset."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.examination_list import examination

WHOLE = {"breathe_low": "hold the purge button for three seconds at 50 bar and watch both needles"}
"""Tests whose name in the dataset leans on the one that stands before it there."""


def whole_name(test: str) -> str:
    """The name of a test, whole.

    Parameters
    ----------
    test : str
        Key of a test.

    Returns
    -------
    str
        As a form, a table or a sentence names it.

    Raises
    ------
    ValueError
        There is no such test.

    Examples
    --------
    >>> whole_name("tap"), whole_name("breathe_low").startswith("the same")
    ('tap the gauge', False)
    """
    return WHOLE.get(test) or examination(test).name
