"""What each examination of a design may show, in words."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.examination_list import examination, tests
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_OUTCOMES
from steadyneedle.bench.diagnosis.teaching_values import OLD_SEAT, sense_outcomes


def outcomes(design: str, test: str) -> tuple[str, ...]:
    """What a test of a design may show.

    Parameters
    ----------
    design, test : str
        Names; the test as in `tests`.

    Returns
    -------
    tuple of str
        Outcomes in words, without "not done".

    Raises
    ------
    ValueError
        An unknown design, or a test that it does not allow; the sentence names those there are.

    References
    ----------
    `datasets/diagnosis/`.

    Examples
    --------
    >>> outcomes("Juniper", "tap")
    ('stays', 'jumps')
    """
    if test not in tests(design):
        examination(test)
        raise ValueError(f"{design} has nothing to do '{test}' on. There are {', '.join(tests(design))}.")
    if test not in NEEDLE_OUTCOMES:
        return sense_outcomes(test)
    if test != "new_seat":
        return NEEDLE_OUTCOMES[test]
    return tuple(f"{needle}, {seat}" for needle in NEEDLE_OUTCOMES[test] for seat in OLD_SEAT)
