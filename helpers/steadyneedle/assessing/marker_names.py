"""Who signed a mark: initials or names written out, of one person or of two, and who may decide between two markers."""

from __future__ import annotations

import re
import unicodedata
from itertools import permutations

from steadyneedle.assessing.hand_marks import same_person

MOST_INITIALS = 3
TITLES = ("mr", "mrs", "ms", "miss", "dr", "prof")
_BETWEEN_PERSONS = re.compile(r"[,;+/&]|\band\b", re.IGNORECASE)
_SURNAME_FIRST = re.compile(r"\s*([^\W\d_])[^\W\d_]+\s*,\s*([^\W\d_])[^\W\d_]*\.?\s*")
_TITLE = re.compile(rf"\s*(?:{'|'.join(TITLES)})\b\.?\s*(?=[^\W\d_])", re.IGNORECASE)


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
    >>> may_decide("AB CD EF", "Anna Bell", "CD"), may_decide("Mrs Bell", "Anna Bell", "CD")
    (True, False)
    """
    if any(same_person(signed, two) for two in (first + second, second + first)):
        return True
    persons = _persons(signed, (first, second))
    if any(not may_be_one(one, first) and not may_be_one(one, second) for one in persons):
        return True
    return any(may_be_one(one, first) and may_be_one(other, second) for one, other in permutations(persons, 2))


def may_be_one(signed: str, marker: str) -> bool:
    """Whether who signed may be a marker, where either may be initials, or a part of the name.

    A name may be signed with the surname first; initials stand in the order of the name.

    >>> may_be_one("AB", "Adelheid von Bartenstein"), may_be_one("A. Bell", "Adam Bell"), may_be_one("bell", "A. Bell")
    (True, True, True)
    >>> may_be_one("Adam Bell", "Anna Bell"), may_be_one("AB", "AC"), may_be_one("Bell", "Ball")
    (False, False, False)
    >>> may_be_one("Bell A.", "Anna Bell"), may_be_one("Albert", "Anna Bell"), may_be_one("BA", "Anna Bell")
    (True, False, False)
    """
    if same_person(signed, marker):
        return True
    mine, yours = _words(signed), _words(marker)
    if len(mine) == len(yours) == 1:
        return mine == yours
    pairs = [(a, b) for a in (*_as_initials(mine), [*mine[1:], *mine[:1]]) for b in _as_initials(yours)]
    return any(_goes_through(a, b) or _goes_through(b, a) for a, b in pairs)


def _persons(signed: str, markers: tuple[str, str]) -> list[str]:
    """The persons who signed, as typed: initials in capitals that stand side by side are a person each."""
    surname_first = _SURNAME_FIRST.fullmatch(signed)
    if surname_first and any(same_person(surname_first[2] + surname_first[1], one) for one in markers):
        return [signed]
    found: list[str] = []
    for one in (_without_titles(part).strip() for part in _BETWEEN_PERSONS.split(signed)):
        words = one.split()
        side_by_side = all(word.isupper() and 1 < len(word) <= MOST_INITIALS and word.isalpha() for word in words)
        a_name = any(same_person("".join(word[0] for word in words), one) for one in markers)  # ANN LEE may be AL
        found += words if side_by_side and not a_name else [one]
    return [one for one in found if any(map(str.isalpha, one))]


def _without_titles(name: str) -> str:
    while title := _TITLE.match(name):
        name = name[title.end() :]
    return name


def _words(name: str) -> list[str]:
    """The words of a name in small letters, its titles left out."""
    plain = unicodedata.normalize("NFKC", name).casefold().replace("'", "")
    return re.findall(r"[^\W\d_]+", _without_titles(plain))


def _as_initials(words: list[str]) -> list[list[str]]:
    """Words as they are, and one short word letter by letter."""
    return [words, list(words[0])] if len(words) == 1 and len(words[0]) <= MOST_INITIALS else [words]


def _goes_through(short: list[str], long: list[str]) -> bool:
    """Whether the words of one name stand in the other in this order; a letter stands for a word."""
    left = iter(long)
    return bool(short) and all(any(_stands_for(mine, one) for one in left) for mine in short)


def _stands_for(one: str, other: str) -> bool:
    return one == other or (min(len(one), len(other)) == 1 and one[0] == other[0])
