"""Who signed a mark: initials or names written out, of one person or of two, and who may decide between two markers."""

from __future__ import annotations

import re
import unicodedata
from itertools import permutations

from steadyneedle.assessing.hand_marks import same_person

_BETWEEN_PERSONS = re.compile(r"[,;+/&]|\band\b", re.IGNORECASE)


def may_decide(signed: str, first: str, second: str) -> bool:
    """Whether a mark outside those of two markers may stand: somebody else signed it, or both of them did.

    Whoever may be one of the two, by initials or by a name written out, is taken for nobody else.

    Parameters
    ----------
    signed : str
        Who signed, as typed.
    first, second : str
        The two markers, as typed.

    Examples
    --------
    >>> may_decide("AB", "AB", "CD"), may_decide("Anna Bell", "AB", "CD"), may_decide("EF", "AB", "CD")
    (False, False, True)
    >>> may_decide("AB, CD", "AB", "CD"), may_decide("C. Dunn and A. Bell", "AB", "CD"), may_decide("AB CD", "AB", "CD")
    (True, True, True)
    """
    if any(same_person(signed, two) for two in (first + second, second + first)):
        return True
    persons = [one for one in map(str.strip, _BETWEEN_PERSONS.split(signed)) if any(map(str.isalpha, one))]
    if any(not may_be_one(one, first) and not may_be_one(one, second) for one in persons):
        return True
    return any(may_be_one(one, first) and may_be_one(other, second) for one, other in permutations(persons, 2))


def may_be_one(one: str, other: str) -> bool:
    """Whether two names may be one person's, where either may be initials, or a part of the name.

    >>> may_be_one("AB", "Adelheid von Bartenstein"), may_be_one("A. Bell", "Adam Bell"), may_be_one("bell", "A. Bell")
    (True, True, True)
    >>> may_be_one("Adam Bell", "Anna Bell"), may_be_one("AB", "AC"), may_be_one("Bell", "Ball")
    (False, False, False)
    """
    if same_person(one, other):
        return True
    mine, yours = _words(one), _words(other)
    if len(mine) == len(yours) == 1:
        return False
    pairs = [(a, b) for a in _as_initials(mine) for b in _as_initials(yours)]
    return any(_goes_through(a, b) or _goes_through(b, a) for a, b in pairs)


def _words(name: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", unicodedata.normalize("NFKC", name).casefold().replace("'", ""))


def _as_initials(words: list[str]) -> list[list[str]]:
    """Words as they are, and one word letter by letter."""
    return [words, list(words[0])] if len(words) == 1 else [words]


def _goes_through(short: list[str], long: list[str]) -> bool:
    """Whether the words of one name stand in the other in this order; a letter stands for a word."""
    left = iter(long)
    return all(any(_stands_for(mine, one) for one in left) for mine in short)


def _stands_for(one: str, other: str) -> bool:
    return one == other or (min(len(one), len(other)) == 1 and one[0] == other[0])
