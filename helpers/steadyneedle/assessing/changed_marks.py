"""Marks that a person changes after all: what an appeal or a meeting decided, by whom and why.

`changed-marks.csv` lies among the results and belongs to the assessor: what stands there is never written over, and a
row that got lost is put back as the record has it. A row names a candidate and the receipt of the file, so that a
change never slips to another file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from steadyneedle.assessing.hand_marks import HandMarkError, MarkSteps, given
from steadyneedle.assessing.hand_tables import HandRow, HandTable, HandTableError, read_table, table_bytes
from steadyneedle.assessing.marking import ItemMark, PaperMark
from steadyneedle.assessing.marking_record import Entry, Typed, typed_anew
from steadyneedle.assessing.paper_plan import Planned
from steadyneedle.assessing.results_folder import ResultsError, ResultsFolder
from steadyneedle.foundation.text_files import printable

FILE, TABLE = "changed-marks.csv", "changed marks"
COLUMNS = ("candidate", "receipt", "question", "mark", "marked_by", "why")
NO_FILE = (
    "no file in the folder has this candidate and this receipt. Copy both from marks.csv, into columns set to text."
)
NO_QUESTION = "the paper has no question {}."
PUT_BACK = (
    "changed-marks.csv: {} missing, and put back as the record has it. To take a change back, empty its mark and mark "
    "again; then take the row out."
)
NO_WHY = "why is empty. A mark that is changed needs its reason."
TWICE = "the same question of the same file stands in row {} already. Leave one of them."


def lay_changes(out: ResultsFolder) -> None:
    """Lay an empty `changed-marks.csv` where none lies."""
    if not out.typed(FILE):
        out.lay(FILE, table_bytes(COLUMNS, [], out.between), b"")


class ChangedMarks:
    """What `changed-marks.csv` says, and what of it cannot be taken.

    Parameters
    ----------
    out : ResultsFolder
        Where it lies.
    before : mapping
        (table, row) to what had been typed by the last marking.

    Raises
    ------
    ResultsError
        The file cannot be read; the sentence says where it is wrong.
    """

    def __init__(self, out: ResultsFolder, before: Mapping[tuple[str, str], Typed]) -> None:
        self._refused: dict[int, str] = {}
        self._rows: dict[tuple[str, str], dict[str, HandRow]] = {}
        self._used: set[tuple[str, str]] = set()
        self._now: dict[str, Typed] = {}
        self._out, self._read = out, out.typed(FILE)
        self._table = HandTable(list(COLUMNS), between=out.between)
        try:
            if self._read:
                self._table = read_table(self._read, FILE, COLUMNS)
        except HandTableError as error:
            raise ResultsError(str(error)) from None
        self._lost = self._put_back({row: cells for (table, row), cells in before.items() if table == TABLE})
        for row in self._table.rows:
            file, question = (row.typed("candidate"), row.typed("receipt").lower()), row.typed("question")
            there = self._rows.setdefault(file, {}).setdefault(question, row)
            if there is not row and there.cells != row.cells:
                for one, other in ((there, row), (row, there)):
                    self._refused.setdefault(one.number, TWICE.format(other.number))

    def _put_back(self, before: Mapping[str, Typed]) -> int:
        """Rows that the record knows and the file has no more; how many."""
        there = {
            _name(row.typed("candidate"), row.typed("receipt").lower(), row.typed("question"))
            for row in self._table.rows
        }
        last = max((row.number for row in self._table.rows), default=1)
        lost = [name for name in sorted(before) if name not in there and name.count(" | ") == 2]
        for at, name in enumerate(lost, 1):
            cells = {**dict(zip(COLUMNS, name.split(" | "), strict=False)), **before[name]}
            self._table.rows.append(HandRow(last + at, cells))
        return len(lost)

    def lay(self) -> list[str]:
        """Write the file with the rows that were put back, where there are any; what is to be said of it."""
        if not self._lost:
            return []
        columns = self._table.columns
        rows = [[row.cells.get(column, "") for column in columns] for row in self._table.rows]
        left = self._out.lay(FILE, table_bytes(columns, rows, self._table.between), self._read)
        said = PUT_BACK.format("a row was" if self._lost == 1 else f"{self._lost} rows were")
        return [said, left] if left else [said]

    def marked(self, paper: PaperMark, receipt: str, questions: Sequence[Planned]) -> PaperMark:
        """A paper with the marks that were changed.

        Parameters
        ----------
        paper : PaperMark
            As workbook and markers mark it.
        receipt : str
            Of the file.
        questions : sequence of Planned
            As they were issued.
        """
        file = (paper.paper.candidate, receipt)
        if file not in self._rows:
            return paper
        self._used.add(file)
        steps = {str(one.number): MarkSteps(one.weight, 0.5 if one.in_halves else 1) for one in questions}
        items = {str(one.item.number): one for one in paper.items}
        for question, row in self._rows[file].items():
            if row.number in self._refused:
                continue
            try:
                if question not in items:
                    raise HandMarkError(NO_QUESTION.format(printable(question, 20) or "without a number"))
                items[question] = self._changed(items[question], row, steps[question])
            except HandMarkError as error:
                self._refused[row.number] = str(error)
                continue
            self._now[_name(file[0], receipt, question)] = {name: row.typed(name) for name in COLUMNS[3:]}
        return replace(paper, items=tuple(items.values()))

    def refused(self) -> list[str]:
        """A sentence for each row that cannot be taken; to be asked once all files are marked."""
        lost = {
            row.number: NO_FILE for file, rows in self._rows.items() if file not in self._used for row in rows.values()
        }
        return [f"{FILE}, row {number}: {why}" for number, why in sorted({**lost, **self._refused}.items())]

    def typed_anew(self, before: Mapping[tuple[str, str], Typed]) -> list[Entry]:
        """What was changed, and what was taken back, since the last marking."""
        was = {row: cells for (table, row), cells in before.items() if table == TABLE}
        return typed_anew(TABLE, was, self._now, {})

    def _changed(self, one: ItemMark, row: HandRow, steps: MarkSteps) -> ItemMark:
        """A question with its new mark.

        Raises
        ------
        HandMarkError
            No mark, or no reason.
        """
        mark = given(row.typed("mark"), row.typed("marked_by"), row.typed("why"), steps)
        if mark is None:
            raise HandMarkError("nothing stands under mark. Type the mark, or take the row out now.")
        if not mark.why:
            raise HandMarkError(NO_WHY)
        return replace(one, given=replace(mark, instead=None if one.waiting else one.mark), held="")


def _name(candidate: str, receipt: str, question: str) -> str:
    """What the record calls a row."""
    return f"{candidate} | {receipt} | {question}"
