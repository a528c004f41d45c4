"""The mark sheet: a row for each file handed in and for each candidate from whom nothing came.

What came in twice is kept twice. Where both files hold the same answers either gives the mark; where they differ both
wait, for which one counts is a rule of the course: the other is moved out of the folder, and the folder marked again.
"""

from __future__ import annotations

import csv
import io
import sys
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields

from steadyneedle.assessing.as_shown_safely import as_cell
from steadyneedle.assessing.hand_marks import Given, in_words
from steadyneedle.assessing.handed_in import NOT_READ
from steadyneedle.assessing.handed_in_form import RECEIPT_LETTERS
from steadyneedle.assessing.marking import COMPETENT, UNREAD, PaperMark
from steadyneedle.assessing.paper_plan import KEYED

MARKED, WAITING, UNREADABLE, MISSING = "marked", "waiting", "unreadable", "missing"
STATUSES = (MARKED, WAITING, UNREADABLE, MISSING)
SAME_TWICE = "Handed in twice with the same answers, in {}: either file gives this mark."
OTHER_TWICE = (
    "Handed in twice with different answers, in {}. "
    "Leave the file that counts in the folder, move the other out, mark again."
)
COPIES = "Copies of one file: {}."
IN_TRANSIT = "The file's line ends or first bytes were changed on its way, its answers were not: its receipt was {}."
NOTHING_CAME = "No file of this candidate lies in the folder."


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row of `marks.csv`; numbers stand as they are written, and are empty where there are none."""

    candidate: str
    paper: str
    attempt: str
    status: str
    mark: str
    out_of: str
    result: str
    critical_missed: str
    receipt: str
    reason: str

    def __post_init__(self) -> None:
        """What many rows say is kept once: a cohort is large."""
        for name in ("paper", "attempt", "mark", "out_of", "result", "critical_missed", "reason"):
            object.__setattr__(self, name, sys.intern(getattr(self, name)))


COLUMNS = tuple(one.name for one in fields(SheetRow))


@dataclass(frozen=True)
class Twice:
    """A paper that came in more than once: names of the files, and whether their answers differ."""

    files: tuple[str, ...] = ()
    differ: bool = False

    @property
    def words(self) -> str:
        """A sentence; empty where it came in once."""
        return (OTHER_TWICE if self.differ else SAME_TWICE).format(" and ".join(self.files)) if self.files else ""


ONCE = Twice()


def row_of(
    marked: PaperMark, receipt: str, twice: Twice = ONCE, beside: Sequence[str] = (), hands: str = "",
    kept: Mapping[int, str] | None = None,
) -> SheetRow:  # fmt: skip
    """The row of a paper that was read.

    `beside` are sentences about the file itself, `hands` what is said beside a result of what somebody watched, `kept`
    for each question that a notebook of an earlier marking shows as it was asked, where that lies.
    """
    paper = marked.paper
    waits = bool(marked.waiting) or twice.differ
    said = [*_reasons(marked), *_why_unread(marked), *_otherwise(marked), _another(marked, kept or {})]
    reasons = [twice.words, *beside, *said, "" if waits else hands]
    return SheetRow(
        paper.candidate, paper.paper, str(paper.attempt), WAITING if waits else MARKED, in_words(marked.mark),
        str(marked.out_of), "" if waits else marked.result, " ".join(map(str, marked.critical_missed)), receipt,
        " ".join(filter(None, reasons)),
    )  # fmt: skip


def _reasons(marked: PaperMark) -> list[str]:
    """Why something waits, or why the result is what it is."""
    if marked.waiting:
        listed = ", ".join(map(str, marked.waiting))
        said = f"Questions {listed} wait" if len(marked.waiting) > 1 else f"Question {listed} waits"
        unread = ", ".join(map(str, marked.unread))
        could_not = COULD_NOT.format("s" if len(marked.unread) > 1 else "", unread) if unread else ""
        held = [HELD.format(one.item.number, one.held) for one in marked.items if one.waiting and one.held]
        return [f"{said} for a person; the mark counts the others.", could_not, *held, *_since(marked)]
    if marked.result == COMPETENT:
        return _since(marked)
    missed = marked.critical_missed
    said = f"Critical question{'' if len(missed) == 1 else 's'} {', '.join(map(str, missed))} missed." if missed else ""
    short = 100 * marked.mark < marked.pass_percent * marked.out_of
    return [said, f"Below the pass mark of {marked.pass_percent} %." if short else "", *_since(marked)]


def _why_unread(marked: PaperMark) -> list[str]:
    """Which answers of keys are none that can be marked, and why: a form leaves none of them unsaid."""
    unread = [one for one in marked.items if one.item.kind in KEYED and one.worth.outcome == UNREAD]
    return [f"Question {one.item.number} cannot be read: {one.worth.lines[0]}" for one in unread if not one.given]


def _otherwise(marked: PaperMark) -> list[str]:
    """Which paths of jobs showed something else when they were played again, whoever has marked them since."""
    return [f"Question {one.item.number}: {' '.join(one.worth.lines)}" for one in marked.items if one.played_otherwise]


def _another(marked: PaperMark, kept: Mapping[int, str]) -> str:
    """Which questions are others today than they were asked, and where to read them; empty where none is."""
    by_place: dict[str, list[str]] = {}
    for number in marked.another:
        by_place.setdefault(as_asked_in(kept.get(number, "")), []).append(str(number))
    said = ((ANOTHER_MORE if len(numbers) > 1 else ANOTHER_ONE, place, numbers) for place, numbers in by_place.items())
    return " ".join(words.format(", ".join(numbers), place) for words, place, numbers in said)


def as_asked_in(kept: str) -> str:
    """Where a question that is another today is to be read."""
    return kept or "the candidate's paper as it was given out"


ANOTHER_ONE = "Question {} is another in today's workbook; as it was asked it stands in {}."
ANOTHER_MORE = "Questions {} are others in today's workbook; as they were asked they stand in {}."
HELD = "Question {}: {}."
COULD_NOT = "The answer{0} to question{0} {1} could not be read."
MOVED = "The pass mark was {} % when the paper was issued and is {} % now: record.jsonl says who changed it, and when."
AFTER_ALL = "The mark of question {} was changed by {} from {} to {}."
GIVEN_AFTER_ALL = "The mark of question {} is {}, given by {} in changed-marks.csv."
CONFIRMED = "The mark of question {} was confirmed by {}."
STANDS = "The mark of question {} was given before that question was mended, and stands."
STAND = "The marks of questions {} were given before those questions were mended, and stand."

STOOD_ONE = "The mark of question {} stands as it was given before; by today's rules it is another. {}"
STOOD_MORE = "The marks of questions {} stand as they were given before; by today's rules they are others. {}"
BY_TODAYS_RULES = "To mark all by today's rules, name a new folder for the results."


def _since(marked: PaperMark) -> list[str]:
    """What has changed since the paper was issued."""
    issued, said = marked.paper.pass_percent, []
    if marked.pass_percent != issued:
        said.append(MOVED.format(issued, marked.pass_percent))
    said += [_after_all(one.item.number, one.given) for one in marked.items if one.given]
    said += [HELD.format(one.item.number, one.held) for one in marked.items if one.given and one.held]
    if marked.kept:
        said.append((STAND if len(marked.kept) > 1 else STANDS).format(", ".join(map(str, marked.kept))))
    if marked.stood:
        stood = STOOD_MORE if len(marked.stood) > 1 else STOOD_ONE
        said.append(stood.format(", ".join(map(str, marked.stood)), BY_TODAYS_RULES))
    return said


def _after_all(number: int, now: Given) -> str:
    """What is said of a mark that changed-marks.csv gives, in place of the workbook's or a marker's, or where none was;
    empty of a marker's own."""
    if not now.after_all:
        return ""
    if now.instead is None:
        return GIVEN_AFTER_ALL.format(number, now.words, now.by)
    if now.instead == now.mark:
        return CONFIRMED.format(number, now.by)
    return AFTER_ALL.format(number, now.by, in_words(now.instead), in_words(now.mark))


def unreadable_row(claimed: tuple[str, str, int] | None, sha256: str, reason: str) -> SheetRow:
    """The row of a file that cannot be marked; `claimed` are candidate, paper and attempt where they are known."""
    candidate, paper, attempt = claimed or ("", "", "")
    receipt = sha256 if sha256 == NOT_READ else sha256[:RECEIPT_LETTERS]
    return SheetRow(candidate, paper, str(attempt), UNREADABLE, "", "", "", "", receipt, reason)


def missing_row(candidate: str, paper: str, attempt: int) -> SheetRow:
    """The row of a candidate from whom nothing came."""
    return SheetRow(candidate, paper, str(attempt), MISSING, "", "", "", "", "", NOTHING_CAME)


def place_in_sheet(row: SheetRow) -> tuple[bool, str, int, int, str, str, str]:
    """What rows are sorted by: paper, attempt and candidate; files of nobody known at the end."""
    return (
        not row.candidate, row.paper, int(row.attempt or 0), int(row.candidate or 0), row.candidate, row.receipt,
        row.reason,
    )  # fmt: skip


def sheet_bytes(rows: Sequence[SheetRow]) -> bytes:
    """`marks.csv`: UTF-8, a header, the rows in their order; no cell begins a formula.

    >>> sheet_bytes([missing_row("101", "creep", 1)]).decode().splitlines()[1]
    '101,creep,1,missing,,,,,,No file of this candidate lies in the folder.'
    """
    out = io.BytesIO()
    with io.TextIOWrapper(out, "utf-8", newline="") as text:
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows([as_cell(getattr(row, name)) for name in COLUMNS] for row in rows)
        text.flush()
        return out.getvalue()


def counts(rows: Iterable[SheetRow]) -> dict[str, int]:
    """How many papers have each status; one that came in twice counts once, each file that cannot be read counts.

    >>> counts([missing_row("101", "creep", 1)])
    {'marked': 0, 'waiting': 0, 'unreadable': 0, 'missing': 1}
    """
    seen = {
        (row.status, row.candidate, row.paper, row.attempt, at if row.status == UNREADABLE else 0)
        for at, row in enumerate(rows)
    }
    found = Counter(status for status, *_ in seen)
    return {status: found[status] for status in STATUSES}
