"""Observed performance: what somebody watched a candidate do, for a paper shows knowledge and no hands.

`observed.csv` lies among the results and belongs to the assessor: it is read and never written over.
"""

from __future__ import annotations

import datetime
import re
import types
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from steadyneedle.assessing.hand_marks import HandMarkError, initials
from steadyneedle.assessing.hand_tables import HandRow, HandTableError, read_table, table_bytes
from steadyneedle.assessing.marking import COMPETENT, NOT_YET
from steadyneedle.assessing.marking_record import Entry, Typed, typed_anew
from steadyneedle.assessing.results_folder import ResultsError, ResultsFolder
from steadyneedle.foundation.text_files import printable

FILE, TABLE = "observed.csv", "observed"
COLUMNS = ("candidate", "task", "observer", "date", "evidence", "outcome")
LONGEST = {"task": 80, "evidence": 2000}
NOBODY = "Knowledge alone: nobody has noted that they watched this candidate at work."
WAS_MISSING = (
    "observed.csv was missing, and laid again as the record has it: rows {}. To withdraw what was noted, take its row "
    "out of the file."
)
OUTCOMES = {"competent": COMPETENT, "not yet competent": NOT_YET, "not yet": NOT_YET}
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_ISO, _DAY_FIRST = re.compile(r"(\d{4})[-/.](\d\d?)[-/.](\d\d?)"), re.compile(r"(\d\d?)([./-])(\d\d?)\2(\d{4})")
_IN_LETTERS = re.compile(r"(\d\d?)[ .-]+([A-Za-z]{3,9})[ .-]+(\d{4}|\d\d)")


@dataclass(frozen=True)
class Observation:
    """One task that somebody watched a candidate do."""

    candidate: str
    task: str
    observer: str
    date: datetime.date
    evidence: str
    outcome: str

    @property
    def row(self) -> str:
        """What tells it from others: who, what, when and by whom."""
        return f"{self.candidate} | {self.task} | {self.date.isoformat()} | {self.observer}"


def lay_checklist(out: ResultsFolder, candidates: Iterable[str]) -> None:
    """Lay an empty `observed.csv`, a row a candidate, where none lies."""
    if not out.typed(FILE):
        rows = [[one, *[""] * (len(COLUMNS) - 1)] for one in sorted(set(candidates), key=lambda one: (int(one), one))]
        out.lay(FILE, table_bytes(COLUMNS, rows, out.between), b"")


class Observed:
    """What `observed.csv` says, and what of it cannot be taken.

    Parameters
    ----------
    out : ResultsFolder
        Where it lies.
    candidates : iterable of str
        To whom papers were issued.
    today : date
        No later day can have been watched.
    before : mapping
        (table, row) to what had been typed by the last marking.

    Raises
    ------
    ResultsError
        The file cannot be read; the sentence says where it is wrong.
    """

    def __init__(
        self, out: ResultsFolder, candidates: Iterable[str], today: datetime.date,
        before: Mapping[tuple[str, str], Typed] = types.MappingProxyType({}),
    ) -> None:  # fmt: skip
        self.refused: list[str] = []
        self._of: dict[str, list[Observation]] = {}
        self._known, self._today = {int(one): one for one in candidates}, today
        self._out, self._lost = out, b""
        self._before = {row: cells for (table, row), cells in before.items() if table == TABLE}
        data = out.typed(FILE)
        if not data and self._before:
            data = self._lost = table_bytes(COLUMNS, sorted(map(_as_cells, self._before.items())), out.between)
        try:
            rows = read_table(data, FILE, COLUMNS).rows if data else []
        except HandTableError as error:
            raise ResultsError(str(error)) from None
        self._take(rows)

    def lay(self) -> list[str]:
        """Write the file anew from the record, where it is missing; what is to be said of it."""
        if not self._lost:
            return []
        left = self._out.lay(FILE, self._lost, b"")
        return [WAS_MISSING.format(len(self._before)), left] if left else [WAS_MISSING.format(len(self._before))]

    def of(self, candidate: str) -> list[Observation]:
        """What a candidate was watched doing, by day."""
        return self._of.get(candidate, [])

    def in_words(self, candidate: str) -> str:
        """What stands in the mark sheet beside a result: of each task the last day counts."""
        last = {one.task: one.outcome for one in self.of(candidate)}
        if not last:
            return NOBODY
        not_yet = [task for task, outcome in last.items() if outcome != COMPETENT]
        counted = "1 task" if len(last) == 1 else f"{len(last)} tasks"
        if not not_yet:
            return f"Watched at work: competent in {counted}."
        return f"Watched at work: {counted}, not yet competent in {', '.join(not_yet)}."

    def typed_anew(self) -> list[Entry]:
        """What was noted, and what is gone, since the last marking."""
        now = {
            one.row: {"outcome": one.outcome, "evidence": one.evidence}
            for listed in self._of.values()
            for one in listed
        }
        return typed_anew(TABLE, self._before, now, {})

    def _take(self, rows: list[HandRow]) -> None:
        taken: dict[str, tuple[HandRow, Observation]] = {}
        for row in rows:
            try:
                one = self._observation(row)
                if one is None:
                    continue
                there = taken.setdefault(one.row, (row, one))
                if there[1] != one:
                    raise HandMarkError(f"the same person saw the same task on the same day in row {there[0].number}.")
            except HandMarkError as error:
                of = printable(row.typed("candidate"), 20) or "none"
                self.refused.append(f"{FILE}, row {row.number}, candidate {of}: {error}")
        for _, one in sorted(taken.values(), key=lambda pair: (pair[1].date, pair[1].row)):
            self._of.setdefault(one.candidate, []).append(one)

    def _observation(self, row: HandRow) -> Observation | None:
        """What a row says; None where a candidate's number alone stands there.

        Raises
        ------
        HandMarkError
            Something is missing or wrong.
        """
        number, *rest = (row.typed(column) for column in COLUMNS)
        if not any(rest):
            return None
        task, observer, date, evidence, outcome = rest
        if not re.fullmatch("[0-9]{1,12}", number) or int(number) not in self._known:
            raise HandMarkError(
                f"no paper was issued to candidate '{printable(number, 20)}'. Type a number of the roster."
            )
        for name, text in (("task", task), ("evidence", evidence)):
            if not text:
                raise HandMarkError(f"{name} is empty. Say {'what was done' if name == 'task' else 'what you saw'}.")
            if len(text) > LONGEST[name]:
                raise HandMarkError(f"{name} has {len(text)} characters. Keep it to {LONGEST[name]}.")
        said = OUTCOMES.get(" ".join(outcome.lower().split()))
        if said is None:
            raise HandMarkError(f"'{printable(outcome, 30)}' is no outcome. Type competent, or not yet competent.")
        return Observation(
            self._known[int(number)], task, initials(observer, "observer"), day_of(date, self._today), evidence, said
        )


def _as_cells(noted: tuple[str, Typed]) -> list[str]:
    """The cells of a row as the record has it; a task may hold what stands between."""
    candidate, _, rest = noted[0].partition(" | ")
    task, date, observer = rest.rsplit(" | ", 2)
    return [candidate, task, observer, date, noted[1]["evidence"], noted[1]["outcome"]]


def day_of(typed: str, today: datetime.date) -> datetime.date:
    """A day as people and spreadsheets write it.

    Raises
    ------
    HandMarkError
        No day, one that can be read in two ways, or one that is still to come.

    Examples
    --------
    >>> today = datetime.date(2026, 12, 1)
    >>> [day_of(one, today).isoformat() for one in ("2026-11-05", "5.11.2026", "20/11/2026", "5 Nov 2026", "05-Nov-26")]
    ['2026-11-05', '2026-11-05', '2026-11-20', '2026-11-05', '2026-11-05']
    >>> day_of("5/11/2026", today)
    Traceback (most recent call last):
    steadyneedle.assessing.hand_marks.HandMarkError: 5/11/2026 can be read in two ways. Type 2026-11-05 or 5 Nov 2026.
    """
    shown = printable(typed, 20)
    if found := _ISO.fullmatch(typed):
        year, month, day = map(int, found.groups())
    elif found := _DAY_FIRST.fullmatch(typed):
        day, month, year = int(found[1]), int(found[3]), int(found[4])
        if found[2] != "." and day != month and max(day, month) <= 12:
            letters = f"{day} {_MONTHS[month - 1].title()} {year}"
            raise HandMarkError(f"{shown} can be read in two ways. Type {year:04}-{month:02}-{day:02} or {letters}.")
        if month > 12 and found[2] != ".":
            day, month = month, day
    elif (found := _IN_LETTERS.fullmatch(typed)) and found[2][:3].lower() in _MONTHS:
        day, month, year = int(found[1]), _MONTHS.index(found[2][:3].lower()) + 1, int(found[3])
        year += 2000 if year < 100 else 0
    else:
        raise HandMarkError(f"'{shown}' is no day. Type it like {today.isoformat()}.")
    try:
        date = datetime.date(year, month, day)
    except ValueError:
        raise HandMarkError(f"there is no day {shown}. Type it like {today.isoformat()}.") from None
    if date > today + datetime.timedelta(days=1):  # it is tomorrow already further east
        raise HandMarkError(f"{shown} is still to come. Note what was watched, on the day it was.")
    return date
