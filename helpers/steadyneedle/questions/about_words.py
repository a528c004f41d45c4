"""Words beside a number that change nothing of it: about 9.8 bar says 9.8 bar."""

from __future__ import annotations

import re

LONGEST = 80
"""Characters; a longer answer is refused unread."""
ABOUT = r"approx(?:imately|\.)?|about|around|roughly|circa|ca\.?|c\.|[~≈]"
AT_MOST = r"max(?:imum|\.)?|at most|up to|≤|<="
AT_LEAST = r"min(?:imum|\.)?|at least|≥|>="


def without_about(typed: str, *, at_most: bool = False, at_least: bool = False) -> tuple[str, str]:
    """An answer without such a word before its number, and that word.

    Parameters
    ----------
    typed : str
        What was typed.
    at_most, at_least : bool
        Whether the answer is the most, or the least, that something may be: then `max` or `min` says nothing more.
        Anywhere else it might say something else, and stays.

    Examples
    --------
    >>> without_about("ca. 9.8 bar"), without_about("max 9.8 bar"), without_about("max 9.8 bar", at_most=True)
    (('9.8 bar', 'ca.'), ('max 9.8 bar', ''), ('9.8 bar', 'max'))
    """
    words = "|".join([ABOUT, *([AT_MOST] if at_most else []), *([AT_LEAST] if at_least else [])])
    before = re.match(rf"\s*({words})\s*(?=[-+.,±]?\s*[0-9])", typed, re.I) if len(typed) <= LONGEST else None
    return (typed[before.end() :], before[1]) if before else (typed, "")
