"""What one marker typed into a file of `by-hand`: its rows, the marks that can be taken, and why others cannot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from steadyneedle.assessing.hand_marks import (
    Given,
    HandMarkError,
    MarkSteps,
    given,
    is_code,
    plain_code,
    same_person,
    whose_is,
)
from steadyneedle.assessing.hand_tables import HandRow, HandTable, HandTableError, read_table, with_its_sign
from steadyneedle.assessing.marker_names import may_decide
from steadyneedle.assessing.marking_record import Typed
from steadyneedle.assessing.results_folder import ResultsError
from steadyneedle.foundation.text_files import printable

TYPED = ("mark", "marked_by", "why")
UNKNOWN = "no answer to this question has this code. Type the mark into the row that was laid for it."
TWICE = "this code stands in another row too, and the two differ. Leave one of them."
SAME_PERSON = (
    "the first marker has the same initials, so this mark is not taken. Another person marks here; where you are two "
    "persons, write your names out in both files."
)
OUTSIDE = (
    "{mark} lies outside the two marks, {low} and {high}, and one of their markers alone signed it. Somebody else "
    "decides such a mark and signs it, or both markers sign: {both}. Whoever has a marker's initials writes the name "
    "out, and so does the marker."
)
STRAYED = (
    "something stands in a column without a name, and nothing under mark. Type the mark under mark. Where all columns "
    "open as one, move this file elsewhere and mark with --semicolons."
)
ANOTHERS = (
    "the answer in this row is not the one that has this code: the rows were sorted without it, or letters were lost. "
    "Read on the page what has this code, type the mark of that, and empty the cell under answer. Save as CSV UTF-8."
)
PUT_BACK = "and put back as the record has it. To take a mark back, empty its cell."


@dataclass
class Marker:
    """One marker's file as it was, with what became of its rows.

    `marks` go by code, `refused` and `anothers` by the row's number: `anothers` are rows in which the answer of
    another code stands.
    """

    name: str
    read: bytes
    table: HandTable
    rows: dict[str, HandRow] = field(default_factory=dict)
    marks: dict[str, Given] = field(default_factory=dict)
    refused: dict[int, str] = field(default_factory=dict)
    said: list[str] = field(default_factory=list)
    anothers: set[int] = field(default_factory=set)

    @classmethod
    def of_file(cls, name: str, data: bytes, otherwise: HandTable) -> Marker:
        """The file of a marker, none of its rows taken yet; `otherwise` where nothing lies there.

        Raises
        ------
        ResultsError
            It cannot be read; the sentence says where it is wrong.
        """
        try:
            return cls(name, data, read_table(data, name, ("code", *TYPED)) if data else otherwise)
        except HandTableError as error:
            raise ResultsError(str(error)) from None

    def take_all(self, before: Mapping[str, Typed], is_ours: Callable[[str], bool], scale: MarkSteps) -> None:
        """Every row, with those that the record has and the file has no more.

        Parameters
        ----------
        before : mapping
            Code to what had been typed by the last marking.
        is_ours : callable
            Whether a code belongs to somebody who got this question.
        scale : MarkSteps
            What it is worth.
        """
        self._put_back(before, is_ours)
        for row in self.table.rows:
            self._take(row, before, is_ours, scale)

    def refuse(self, row: HandRow, why: str) -> None:
        """Take no mark from a row, and say why."""
        self.refused[row.number] = why
        code = printable(row.cells["code"], 20) or "without a code"
        self.said.append(f"{self.name}, row {row.number}, {code}: {why}")

    def refuse_mark(self, code: str, why: str) -> None:
        """Take back a mark that was taken."""
        self.refuse(self.rows[code], why)
        del self.marks[code]

    def refuse_those_of(self, first: Marker) -> None:
        """Refuse what the same person marked in both files."""
        for code in sorted({*first.marks} & {*self.marks}):
            if same_person(first.marks[code].by, self.marks[code].by):
                self.refuse_mark(code, SAME_PERSON)

    def refuse_outside(self, first: Marker, second: Marker) -> None:
        """Refuse a mark agreed on that lies outside those of two markers where one of the two alone signed it.

        A critical failure lies outside too where neither marker called it one, and a mark without where both did.
        """
        for code in sorted({*first.marks} & {*second.marks} & {*self.marks}):
            one, other, agreed = (marker.marks[code] for marker in (first, second, self))
            low, high = sorted((one, other), key=lambda given: given.mark)
            inside = low.mark <= agreed.mark <= high.mark and agreed.failed in (one.failed, other.failed)
            if inside or may_decide(agreed.by, one.by, other.by):
                continue
            both = f"{one.by} and {other.by}"
            self.refuse_mark(code, OUTSIDE.format(mark=agreed.words, low=low.words, high=high.words, both=both))

    def why_refused(self, code: str) -> str:
        """Why the row of a code was refused; empty where it was not."""
        return self.refused.get(self.rows[code].number, "") if code in self.rows else ""

    def earlier(self, code: str) -> str:
        """The code of another answer of the same candidate that was marked; empty where there is none."""
        return next((one for one in self.marks if whose_is(one) == whose_is(code) and one != code), "")

    def _put_back(self, before: Mapping[str, Typed], is_ours: Callable[[str], bool]) -> None:
        there = {plain_code(row.cells["code"]) for row in self.table.rows}
        last = max((row.number for row in self.table.rows), default=1)
        lost = sorted(code for code in before if code not in there and is_ours(code))
        for at, code in enumerate(lost, 1):
            mark = with_its_sign(before[code].get("mark", ""), self.table.between)
            self.table.rows.append(HandRow(last + at, {"code": code, **before[code], "mark": mark}))
        if lost:
            rows = "a marked row was" if len(lost) == 1 else f"{len(lost)} marked rows were"
            self.said.append(f"{self.name}: {rows} missing, {PUT_BACK}")

    def _take(
        self, row: HandRow, before: Mapping[str, Typed], is_ours: Callable[[str], bool], scale: MarkSteps
    ) -> None:
        """One row: its mark, or why it is refused; one that the record has stays, though an older key knows it not."""
        code, typed = plain_code(row.cells["code"]), [row.typed(column) for column in TYPED]
        there = self.rows.get(code)
        was = [there.typed(column) for column in TYPED] if there else []
        if there and any(was):
            if any(typed) and was != typed:
                self.marks.pop(code, None)
                if there.number not in self.refused:
                    self.refuse(there, TWICE)
                self.refuse(row, TWICE)
            return
        if not is_code(code) or not (is_ours(code) or code in before):
            if any(typed):
                self.refuse(row, UNKNOWN)
            return
        self.rows[code] = row
        strayed = [one for column, one in row.cells.items() if column.startswith("column_") and one]
        if strayed and not typed[0]:
            self.refuse(row, STRAYED)
        try:
            mark = given(typed[0], typed[1], typed[2], scale)
        except HandMarkError as error:
            self.refuse(row, str(error))
            return
        if mark is not None:
            self.marks[code] = mark
