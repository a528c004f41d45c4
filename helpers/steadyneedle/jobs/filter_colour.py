"""Which colour a coloured filter has: green from water, red from the cylinder, which is then reported."""

from __future__ import annotations

from steadyneedle.foundation.draws import Draws

COLOURS = (
    "It is green: verdigris, so water has come in.",
    "It is red: rust, and that comes from a cylinder. Tell its owner, and report the cylinder.",
)
"""Common practice, no source."""


def filter_colour(number: int, outcome: str) -> str:
    """What is said of the filter's colour in a job.

    Parameters
    ----------
    number : int
        The job's.
    outcome : str
        What looking at the filter showed.

    Returns
    -------
    str
        A sentence or two, the same on every machine; empty where the filter is clean.

    Examples
    --------
    >>> filter_colour(3, "clean"), filter_colour(3, "coloured") in COLOURS
    ('', True)
    """
    return Draws("mystery job", number, "colour of the filter").one_of(COLOURS) if outcome == "coloured" else ""
