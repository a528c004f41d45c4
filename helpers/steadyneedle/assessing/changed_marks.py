"""Marks that a person changes after all: what an appeal or a meeting decided, by whom and why.

`changed-marks.csv` lies among the results and belongs to the assessor: what stands there is never written over, and a
row that got lost is put back as the record has it. A row names a candidate and the receipt of the file, so that a
change never slips to another file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from steadyneedle.assessing.hand_marks import HandMarkError, MarkSteps, given, in_words
from steadyneedle.assessing.hand_tables import (
    COMMA,
    HandRow,
    HandTable,
    HandTableError,
    read_table,
    table_bytes,
    with_its_sign,
)
from steadyneedle.assessing.handed_in import HandedIn
from steadyneedle.assessing.marking import ItemMark, PaperMark
from steadyneedle.assessing.marking_record import Entry, RecordState, Typed, typed_anew
from steadyneedle.assessing.moved_marks import MarkMoved, changed_now
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
BY_WORKBOOK = "the workbook"
NO_WHY = "why is empty. A mark that is changed needs its reason."
ANOTHER_FILE = (
    "it was written for another file with this receipt, and two files do not have one receipt by chance. Ask where the "
    "file that lies there now comes from, and put the other back; record.jsonl names it by its SHA-256."
)
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
    so_far : RecordState
        What the record says.

    Raises
    ------
    ResultsError
        The file cannot be read; the sentence says where it is wrong.
    """

    def __init__(self, out: ResultsFolder, so_far: RecordState) -> None:
        self._refused: dict[int, str] = {}
        self._rows: dict[tuple[str, str], dict[str, HandRow]] = {}
        self._used: set[tuple[str, str]] = set()
        self._now: dict[str, Typed] = {}
        self._meant: dict[str, Entry] = {}
        self._without: dict[str, tuple[str, Typed]] = {}
        self._so_far = so_far
        self._before = {row: cells for (table, row), cells in so_far.typed.items() if table == TABLE}
        self._out, self._read = out, out.typed(FILE)
        self._table = HandTable(list(COLUMNS), between=out.between)
        try:
            if self._read:
                self._table = read_table(self._read, FILE, COLUMNS)
        except HandTableError as error:
            raise ResultsError(str(error)) from None
        self._lost = self._put_back(self._before)
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
            cells["mark"] = with_its_sign(cells["mark"], self._table.between)
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

    def marked(self, paper: PaperMark, file: HandedIn, questions: Sequence[Planned]) -> PaperMark:
        """A paper with the marks that were changed.

        Parameters
        ----------
        paper : PaperMark
            As workbook and markers mark it.
        file : HandedIn
            What it was marked from; a row may name it by a receipt that it had before or after it was sent.
        questions : sequence of Planned
            As they were issued.
        """
        rows = self._rows_of(paper.paper.candidate, self._so_far.receipts_of(file.sha256, file.as_sent))
        if not rows:
            return paper
        steps = {str(one.number): MarkSteps(one.weight, 0.5 if one.in_halves else 1, one.critical) for one in questions}
        items = {str(one.item.number): one for one in paper.items}
        for question, row in rows.items():
            if row.number in self._refused:
                continue
            name = _name(paper.paper.candidate, row.typed("receipt").lower(), question)
            if question in items:
                self._without[name] = (f"{paper.paper.candidate} {paper.paper.paper}", _without_change(items[question]))
            try:
                if question not in items:
                    raise HandMarkError(NO_QUESTION.format(printable(question, 20) or "without a number"))
                self._refuse_another_file(name, row, file.as_sent)
                items[question] = self._changed(items[question], row, steps[question])
            except HandMarkError as error:
                self._refused[row.number] = str(error)
                continue
            self._now[name] = self._as_before(name, {column: row.typed(column) for column in COLUMNS[3:]})
            self._meant[name] = {"sha256": file.as_sent}
        return replace(paper, items=tuple(items.values()))

    def _as_before(self, name: str, cells: Typed) -> Typed:
        """What was typed; as the record has it where another decimal sign is all that differs."""
        was = self._before.get(name, cells)
        as_one = [{**one, "mark": with_its_sign(one["mark"], COMMA)} for one in (was, cells)]
        return was if as_one[0] == as_one[1] else cells

    def _rows_of(self, candidate: str, receipts: Sequence[str]) -> dict[str, HandRow]:
        """The rows of a file by question; where two of its receipts stand there, its own goes first."""
        found: dict[str, HandRow] = {}
        for one in receipts:
            if (candidate, one) in self._rows:
                self._used.add((candidate, one))
                found = {**self._rows[candidate, one], **found}
        return found

    def _refuse_another_file(self, name: str, row: HandRow, as_sent: str) -> None:
        """Refuse a row that was written for another file, and leave it in the record as it is.

        Raises
        ------
        HandMarkError
            Another file had this receipt when the row was first read.
        """
        meant = self._so_far.meant.get((TABLE, name))
        another = (
            self._so_far.knows_another(row.typed("receipt").lower(), as_sent) if meant is None else meant != as_sent
        )
        if another and row.typed("mark"):
            if name in self._before:
                self._now[name] = self._before[name]
            raise HandMarkError(ANOTHER_FILE)

    def refused(self) -> list[str]:
        """A sentence for each row that cannot be taken; to be asked once all files are marked."""
        lost = {
            row.number: NO_FILE for file, rows in self._rows.items() if file not in self._used for row in rows.values()
        }
        why = {**lost, **self._refused}
        rows = [row for row in self._table.rows if row.number in why]
        return [f"{FILE}, row {row.number}, {_beside(row)}: {why[row.number]}" for row in rows]

    def changed(self) -> list[str]:
        """What is said of marks that are changed now and were not by the last marking, or otherwise."""
        moves = []
        for name, (sat, otherwise) in sorted(self._without.items()):
            was, now = (one.get(name, otherwise)["mark"] for one in (self._before, self._now))
            if was != now:
                moves.append(MarkMoved(f"{sat} question {name.rpartition(' ')[2]}", was, now))
        return changed_now(moves)

    def typed_anew(self) -> list[Entry]:
        """What was changed, from what, and what was taken back, since the last marking."""
        changed = typed_anew(TABLE, self._before, self._now, self._meant)
        return [{**one, "was": one["was"] or self._given_before(one["row"])} for one in changed]

    def _given_before(self, name: str) -> Typed | None:
        """The mark that a row changes first of all, and who gave it; None where there was none."""
        _, before = self._without[name]
        return before if before["mark"] else None

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
        was = None if one.waiting else one.mark
        return replace(one, given=replace(mark, instead=was, earlier=one.given, after_all=True), held="")


def _beside(row: HandRow) -> str:
    """What a row is found by where rows were sorted since."""
    candidate, question = (printable(row.typed(column), 20) or "none" for column in ("candidate", "question"))
    return f"candidate {candidate}, question {question}"


def _without_change(one: ItemMark) -> Typed:
    """The mark that a question has without a change, and who gave it; the mark is empty where it waits."""
    if one.given is not None:
        return {"mark": one.given.words, "marked_by": one.given.by, "why": one.given.why}
    mark = "" if one.waiting else in_words(one.mark)
    return {"mark": mark, "marked_by": BY_WORKBOOK, "why": " ".join(one.worth.lines)}


def _name(candidate: str, receipt: str, question: str) -> str:
    """What the record calls a row."""
    return f"{candidate} | {receipt} | {question}"
