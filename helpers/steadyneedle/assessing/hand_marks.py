"""A mark that a person gives: for which answer, how it is typed, and what two markers come to.

An answer goes to its markers under a code made from the cohort's key: it tells the workbook whose answer it is and
which one, and a marker nothing.
"""

from __future__ import annotations

import hashlib
import hmac
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from steadyneedle.foundation.text_files import printable

Sat = tuple[str, str, int]
"""Candidate, paper and attempt."""
FIRST, SECOND, AGREED = "first", "second", "agreed"
MARKERS = (FIRST, SECOND, AGREED)
LETTERS = "BCDFGHJKLMNPQRSTVWXZ"
"""Of codes: no vowel, so that no code is a word, no digit, so that no spreadsheet takes it for a number or a date."""
LONGEST_WHY, LONGEST_BY = 2000, 40
DIFFER = "the two markers differ by more than {step}: they agree on one in {file}"
DIFFER_ON_IT = (
    "one marker gives the {needed} that this critical question needs, the other does not: they agree on one in {file}"
)
DIFFER_IF_CRITICAL = "one marker calls it a critical failure, the other does not: they agree on one in {file}"
CHANGED_SINCE = "the answer changed after it was marked"
REFUSED = "its mark in by-hand/{file} was refused: {why}"
CRITICALLY = "critical"
"""Behind a nought: the marker calls it a critical failure."""
_GROUP = 4
"""Letters between two hyphens of a code; two such groups say whose the answer is, and one which."""
_MARK = re.compile(r"(\d{0,4})(?:[.,](\d{1,6}))?")
_DATE = re.compile(r"\d{1,4}[./-]\s?(\d{1,4}|[A-Za-z]{3,9})([./-]\d{0,4})?|\d{1,2}:\d\d.*|[A-Za-z]{3,9}[ -]\d{1,4}")


class HandMarkError(ValueError):
    """A mark cannot be taken as it was typed; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Given:
    """A mark that a person gave: half marks or whole ones, the marker's initials, the reason as typed.

    `instead` is the mark that it replaces, where there was one, `earlier` who gave that, where it was no workbook.
    `failed` says that the marker calls it a critical failure, whatever the workbook made of it, `after_all` that it is
    no marker's but was changed after all.
    """

    mark: float
    by: str
    why: str = ""
    instead: float | None = None
    failed: bool = False
    earlier: Given | None = field(default=None, repr=False)
    after_all: bool = field(default=False, repr=False)

    @property
    def words(self) -> str:
        """The mark as it is typed.

        >>> Given(0, "AB", "saw it", failed=True).words, Given(2.5, "AB").words
        ('0 critical', '2.5')
        """
        return f"{in_words(self.mark)} {CRITICALLY}" if self.failed else in_words(self.mark)


@dataclass(frozen=True)
class MarkSteps:
    """What a question is worth, in which steps a person marks it, 1 or 0.5, and whether it can be failed critically."""

    weight: int
    step: float = 1
    critical: bool = False


def in_words(mark: float) -> str:
    """A mark as it is written.

    >>> in_words(3.0), in_words(17.5)
    ('3', '17.5')
    """
    return f"{mark:.1f}".removesuffix(".0")


def code_of(secret: bytes, sat: Sat, question: int, answer: str) -> str:
    """The code of an answer: whose it is, and which.

    >>> code_of(bytes(32), ("101", "creep", 1), 20, "It creeps.")
    'WMXW-DRGN-LKDZ'
    >>> code_of(bytes(32), ("101", "creep", 1), 20, "It settles.")[:9]
    'WMXW-DRGN'
    """
    whose = whose_of(secret, sat, question)
    return f"{whose}-{_letters(secret, _GROUP, whose, *map(str, sat), str(question), answer)}"


def whose_of(secret: bytes, sat: Sat, question: int) -> str:
    """The first part of a code: the same whatever is answered, another in each question.

    Of 4,000 candidates two have the same in one of 3,000 cohorts.
    """
    return _grouped(_letters(secret, 2 * _GROUP, *map(str, sat), str(question)))


def whose_is(code: str) -> str:
    """The first part of a code.

    >>> whose_is("KLMN-PQRS-BCDF")
    'KLMN-PQRS'
    """
    return code[: 2 * _GROUP + 1]


def is_code(text: str) -> bool:
    """Whether a text has the form of a code.

    >>> is_code("KLMN-PQRS-BCDF"), is_code("KLMN-PQRS")
    (True, False)
    """
    return len(text) == 3 * _GROUP + 2


def _grouped(letters: str) -> str:
    """Letters in groups, to read aloud."""
    return "-".join(letters[at : at + _GROUP] for at in range(0, len(letters), _GROUP))


def _letters(secret: bytes, count: int, *words: str) -> str:
    said = "\0".join(("marked by hand", *words)).encode("utf-8", "surrogatepass")
    number = int.from_bytes(hmac.new(secret, said, hashlib.sha256).digest(), "big")
    letters = ""
    for _ in range(count):
        number, at = divmod(number, len(LETTERS))
        letters += LETTERS[at]
    return letters


def plain_code(cell: str) -> str:
    """A code as it was laid, however it was typed.

    >>> plain_code(" klmn pqrsbcdf")
    'KLMN-PQRS-BCDF'
    """
    return _grouped(re.sub(r"[^A-Z]", "", cell.upper()))


def given(mark: str, by: str, why: str, scale: MarkSteps) -> Given | None:
    """What a marker typed; None where no mark was.

    Raises
    ------
    HandMarkError
        No number, not from nothing to the weight, no step of the scale, no initials, a reason without end, a critical
        failure without one or with marks.

    Examples
    --------
    >>> given("3,5", "AB", "no rule named", MarkSteps(4, 0.5))
    Given(mark=3.5, by='AB', why='no rule named', instead=None, failed=False)
    >>> given("0 critical", "AB", "watched on past the stop", MarkSteps(10, critical=True)).failed
    True
    >>> given("5", "AB", "", MarkSteps(4))
    Traceback (most recent call last):
    steadyneedle.assessing.hand_marks.HandMarkError: 5 is above 4, which is all that this question gives.
    """
    if not mark:
        return None
    figure = mark.casefold().replace(CRITICALLY, "", 1).strip()
    failed = figure != mark.casefold().strip()
    worth = _number(figure if failed else mark, scale)
    if failed and not scale.critical:
        raise HandMarkError(f"this question is not critical, so nobody fails it so. Type 0 without {CRITICALLY}.")
    if failed and (worth or not why):
        raise HandMarkError(f"a critical failure is typed as 0 {CRITICALLY}, with its reason under why.")
    if len(why) > LONGEST_WHY:
        raise HandMarkError(f"the reason has {len(why)} characters. Keep it to {LONGEST_WHY}.")
    return Given(worth, initials(by, "marked_by"), why, failed=failed)


def initials(typed: str, column: str) -> str:
    """Who marked or watched, in letters.

    >>> initials("O'N.-B", "marked_by"), initials("AB & CD", "marked_by")
    ("O'N.-B", 'AB and CD')

    Raises
    ------
    HandMarkError
        Nothing was typed, or no letters.
    """
    if not typed:
        raise HandMarkError(f"the initials are missing. Type them under {column}.")
    letters = any(map(str.isalpha, typed)) and all(sign.isalpha() or sign in " .'-,+/&" for sign in typed)
    if len(typed) > LONGEST_BY or not letters:
        shown = printable(typed, 20)
        two = "of two people, AB and CD"
        raise HandMarkError(f"'{shown}' are no initials. Type letters under {column}, at most {LONGEST_BY}; {two}.")
    return re.sub(r"\s*&\s*", " and ", typed).strip()  # an & begins a sign by its name in a page


def same_person(one: str, other: str) -> bool:
    """Whether two markers are one, however the initials are typed.

    >>> same_person("A.B.", "a.b"), same_person("AB", "AC")
    (True, False)
    """
    first, second = ("".join(filter(str.isalpha, by)).casefold() for by in (one, other))
    return first == second


def _number(typed: str, scale: MarkSteps) -> float:
    shown = printable(typed, 20)
    text = typed.replace("\N{VULGAR FRACTION ONE HALF}", ".5").replace(" ", "").removeprefix("+")
    if re.fullmatch(r"[-\N{MINUS SIGN}]\d+([.,]\d+)?", text):
        raise HandMarkError(f"{shown} is below 0. A mark goes from 0 to {scale.weight}.")
    found = _MARK.fullmatch(text)
    if not text or found is None:
        if _DATE.fullmatch(typed.strip()):
            raise HandMarkError(
                f"'{shown}' is a date: a spreadsheet made it of a mark. Set the column to text and type the mark again."
            )
        raise HandMarkError(f"'{shown}' is no mark. Type a number from 0 to {scale.weight}.")
    worth = float(f"{found[1] or 0}.{found[2] or 0}")
    if worth > scale.weight:
        raise HandMarkError(f"{shown} is above {scale.weight}, which is all that this question gives.")
    if worth % scale.step:
        steps = "whole marks" if scale.step == 1 else "half marks"
        raise HandMarkError(f"{shown} lies between two marks. This question is marked in {steps}.")
    return worth


@dataclass(frozen=True, slots=True)
class Judged:
    """What the markers of one answer come to: a mark, or why there is none yet; neither where nobody marked it."""

    given: Given | None = None
    held: str = ""


def why_apart(first: Given, second: Given, scale: MarkSteps, needed: float = 0) -> str:
    """Why two marks wait for one that is agreed on; empty where the higher counts.

    >>> low, high = Given(3.5, "AB"), Given(4, "CD")
    >>> why_apart(low, high, MarkSteps(4, 0.5)), why_apart(low, high, MarkSteps(4, 0.5), needed=4).partition(",")[0]
    ('', 'one marker gives the 4 that this critical question needs')
    """
    if first.failed != second.failed and not needed:  # where 0 holds the result back, both do
        return DIFFER_IF_CRITICAL
    if abs(first.mark - second.mark) > scale.step:
        return DIFFER.format(step="a mark" if scale.step == 1 else "half a mark", file="{file}")
    if (first.mark < needed) != (second.mark < needed):
        return DIFFER_ON_IT.format(needed=in_words(needed), file="{file}")
    return ""


def judged(marks: Mapping[str, Given | None], scale: MarkSteps, file: str, needed: float = 0) -> Judged:
    """What first marker, second marker and the mark they agreed on come to.

    A mark agreed on counts. Of two marks no more than a step apart the higher counts. Two that lie further apart wait,
    and so do two of which one alone reaches what a critical question needs.

    Parameters
    ----------
    marks : mapping
        Each of `MARKERS` to its mark; None where there is none.
    scale : MarkSteps
        Of the question.
    file : str
        Where the markers write what they agree on.
    needed : float
        Marks below which the result is held back; 0 where none does.

    Examples
    --------
    >>> first, second = Given(2, "AB", "no rule"), Given(3, "CD", "")
    >>> judged({"first": first, "second": second}, MarkSteps(4), "agreed.csv").given
    Given(mark=3, by='AB and CD', why='AB 2: no rule; CD 3', instead=None, failed=False)
    >>> judged({"first": first, "second": second}, MarkSteps(4, 0.5), "agreed.csv").held
    'the two markers differ by more than half a mark: they agree on one in agreed.csv'
    """
    first, second, agreed = (marks.get(one) for one in MARKERS)
    if agreed is not None:
        return Judged(agreed)
    if first is None or second is None:
        return Judged(first or second)
    if why := why_apart(first, second, scale, needed):
        return Judged(None, why.format(file=file))
    told = "; ".join(f"{one.by} {one.words}" + (f": {one.why}" if one.why else "") for one in (first, second))
    both = f"{first.by} and {second.by}"
    return Judged(Given(max(first.mark, second.mark), both, told, failed=first.failed or second.failed))
