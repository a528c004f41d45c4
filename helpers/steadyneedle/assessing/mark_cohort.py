"""Marking a cohort: a folder of handed-in files and a key become a mark sheet, graded notebooks and a line of record.

Each file is one candidate's affair: whatever it holds, everyone else is marked. Outputs are written whole or not at
all, the mark sheet after the notebooks, the record last; the same folder gives the same bytes.
"""

from __future__ import annotations

import datetime
import hashlib
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import steadyneedle
from steadyneedle.assessing.as_shown_safely import plain_name
from steadyneedle.assessing.by_hand import ByHand
from steadyneedle.assessing.came_back import Came, Sat, look_at_all, refused, twice_in
from steadyneedle.assessing.changed_marks import ChangedMarks
from steadyneedle.assessing.earlier_book import EarlierBooks
from steadyneedle.assessing.earlier_results import keep_sheet, not_there, refuse_losses
from steadyneedle.assessing.edition import Edition
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.handed_in import HandedIn, HandedInError, read_handed_in
from steadyneedle.assessing.mark_sheet import (
    COPIES,
    IN_TRANSIT,
    ONCE,
    SheetRow,
    Twice,
    place_in_sheet,
    row_of,
    sheet_bytes,
    unreadable_row,
)
from steadyneedle.assessing.marking import KEPT, WAS_KEPT, AnswerMark, PaperMark, mark_paper
from steadyneedle.assessing.marking_record import Entry, RecordedRow, RecordState, grown, refuse_unfit, state_of
from steadyneedle.assessing.observed import Observed
from steadyneedle.assessing.paper_file import paper_stem
from steadyneedle.assessing.paper_plan import PaperPlan, PlanError
from steadyneedle.assessing.pass_marks import Attempt, NewPassMark, PassMark, changed_since, in_force, what_counts
from steadyneedle.assessing.plan_file import load_plan, plan_names
from steadyneedle.assessing.results_folder import GRADED, ResultsError, ResultsFolder
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import set_again
from steadyneedle.assessing.which_workbook import workbook_digest

CHANGED_MEANWHILE = "The file {} was changed while the folder was marked. Mark again."
STOOD_SAID = (
    "Today's workbook gives other marks in {} of the papers than it gave before. What was given stands; the mark sheet "
    "names the questions. To mark all by today's rules, name a new folder for the results, --out FOLDER, and copy "
    "by-hand, observed.csv and changed-marks.csv into it first."
)
ANOTHER_SAID = (
    "In {} of the papers a question is another today than the one that was asked. The mark sheet names it, and says "
    "where it stands as it was asked: keep those notebooks and papers. To mark as on that day, take the workbook of "
    "that day: record.jsonl and the notebooks say which it was, and steadyneedle --version says which this is."
)
AT_FAULT = (
    "The file {} made the workbook fail ({}). Keep the file, mark this paper by hand, and tell whoever looks after the "
    "workbook."
)


@dataclass
class CohortMarked:
    """What a marking came to: the rows in their order, and what to say beside them.

    `left_over` are graded notebooks that belong to no file any more, `planned_anew` sentences about plans that are not
    what they were when their papers were issued.
    `said` are sentences about what persons typed, `open` counts the answers of each question that wait for a person,
    `to_mend` counts the rows that persons typed and that could not be taken, `unknown` the candidates of earlier
    markings to whom this key issued nothing, `left_out` are names beside a handed-in file of another name.
    """

    rows: list[SheetRow]
    left_over: list[str] = field(default_factory=list)
    planned_anew: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    open: dict[str, int] = field(default_factory=dict)
    to_mend: int = 0
    unknown: int = 0
    left_out: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Desk:
    """What every file is marked by."""

    folder: Path
    key: CohortKey
    out: ResultsFolder
    editions: dict[Attempt, Edition]
    pass_marks: dict[Attempt, PassMark]
    so_far: RecordState
    by_hand: ByHand
    changed: ChangedMarks
    observed: Observed
    earlier: EarlierBooks
    another: list[Sat] = field(default_factory=list)
    """In whose papers today's workbook has other questions."""
    stood: list[Sat] = field(default_factory=list)
    """Whose marks stand, though today's workbook gives others."""
    unrecorded: bool = False
    """Whether results lie there and no record."""


def mark_cohort(
    folder: Path, key: CohortKey, out: ResultsFolder, names: list[str], now: datetime.datetime,
    step: Callable[[], None] = lambda: None, change: NewPassMark | None = None,
) -> CohortMarked:  # fmt: skip
    """Mark every file and write everything.

    Parameters
    ----------
    folder : Path
        Where the files lie.
    key : CohortKey
        The key that made their papers.
    out : ResultsFolder
        Where the outputs go.
    names : list of str
        The files, from `looked_through`.
    now : datetime
        For the record.
    step : callable
        Called after each file.
    change : NewPassMark or None
        A pass mark that somebody sets now.

    Raises
    ------
    PassMarkError
        The pass mark cannot be changed so; nothing was written.
    ResultsError
        What a person filled in, or the record, cannot be read, or papers of the last marking are not in the folder; the
        mark sheet is as it was.
    OSError
        An output cannot be written.
    """
    before = out.record()
    refuse_unfit(before, key)
    back = look_at_all(folder, names, key, step)
    came, entries = back.to_mark, back.entries
    editions = {one: key.issued[one[0]][one[1]] for one in sorted({each.sat[1:] for each in came})}
    so_far = state_of(before)
    refuse_losses(out, so_far, {one[1:] for one in back.seen})
    desk = _Desk(
        folder, key, out, editions, in_force(editions, so_far.papers, change, now), so_far,
        ByHand(out, key, so_far.typed), ChangedMarks(out, so_far),
        Observed(out, key.everybody(), now.date(), so_far.typed), EarlierBooks(out, key.secret),
        unrecorded=not before and bool(out.names(GRADED)),
    )  # fmt: skip
    missing = not_there(so_far, key, {paper for paper, _ in editions}, back.seen)
    entries += missing.entries
    back.seen.clear()
    twice, to_mark = twice_in(came), deque(came)
    came.clear()
    while to_mark:  # what was known of a file goes as its row comes: a cohort is large
        one = to_mark.popleft()
        entries.append(_marked(one, desk, twice.get(one.sat, ONCE)))
        step()
    done = _written(entries, desk, before, now)
    return replace(done, said=[*missing.said, *done.said], unknown=missing.unknown, left_out=back.left_out)


def _marked(one: Came, desk: _Desk, twice: Twice) -> RecordedRow:
    """Mark one file and write its graded notebook."""
    shown = plain_name(one.name)
    try:
        read = read_handed_in(desk.folder / one.name)
    except HandedInError as error:
        return refused(one.name, desk.key, error)
    if read.sha256 != one.sha256:
        return RecordedRow(unreadable_row(one.sat, read.sha256, CHANGED_MEANWHILE.format(shown)), shown, read.sha256)
    try:
        marked, plan = _worth(read, desk)
        name = paper_stem(*one.sat) + (f"-{read.receipt}" if twice.files else "") + ".ipynb"
        lies, hands = desk.earlier.keep(name, marked), desk.observed.in_words(read.candidate)
        asked = desk.earlier.as_asked(lies, marked.another)
        kept = {number: lies for number, lines in asked.items() if lines}
        desk.by_hand.settle(marked, asked)
        row = row_of(marked, read.receipt, twice, _beside(one, read), hands, kept)
        watched = desk.observed.of(read.candidate)
        book = graded_bytes(marked, read, plan.questions, watched, desk.key.secret, kept)
    except ResultsError:  # what a person filled in concerns everybody
        raise
    except Exception as error:  # one file is one candidate's affair, whatever it meets in the workbook
        said = AT_FAULT.format(shown, type(error).__name__)
        return RecordedRow(unreadable_row(one.sat, read.sha256, said), shown, read.sha256, read.handed_in_at)
    desk.out.write_graded(name, book)
    if marked.stood:
        desk.stood.append(one.sat)
    if marked.another:
        desk.another.append(one.sat)
    return RecordedRow(row, shown, one.sha256, read.handed_in_at, marked.by_question, read.sha256_before)


def _beside(one: Came, read: HandedIn) -> list[str]:
    """What is said of the file itself."""
    said = []
    if one.also:
        said.append(COPIES.format(", ".join(map(plain_name, (one.name, *one.also)))))
    if read.receipt_before:
        said.append(IN_TRANSIT.format(read.receipt_before))
    return said


def _worth(read: HandedIn, desk: _Desk) -> tuple[PaperMark, PaperPlan]:
    """A file that was read, marked by what was issued, with the marks that persons gave."""
    edition = desk.editions[read.paper, read.attempt]
    paper = set_again(edition.plan, desk.key, read.candidate, read.attempt, edition.places(read.candidate))
    before = {
        number: AnswerMark(KEPT, (WAS_KEPT,), given=mark, safe=safe)
        for number, (mark, safe) in desk.so_far.marked.get(read.as_sent, {}).items()
    }
    pass_mark = desk.pass_marks[read.paper, read.attempt].now
    marked = mark_paper(paper, edition.fingerprints(read.candidate), read.answers, pass_mark, before)
    questions = edition.plan.questions
    marked = desk.changed.marked(desk.by_hand.marked(marked, questions), read, questions)
    return marked, edition.plan


def _written(entries: list[RecordedRow], desk: _Desk, before: bytes, now: datetime.datetime) -> CohortMarked:
    """Write what persons fill in, the mark sheet, then the record."""
    many = desk.by_hand.lay()  # a sentence a row: said last, for a terminal is told the first few
    said = [*desk.by_hand.moved(), *desk.changed.changed(), *desk.changed.lay(), *desk.observed.lay()]
    if desk.stood:
        said.append(STOOD_SAID.format(len({*desk.stood})))
    if desk.another:
        said.append(ANOTHER_SAID.format(len({*desk.another})))
    said += desk.earlier.said()
    refused_rows = [*desk.changed.refused(), *desk.observed.refused]
    entries.sort(key=lambda one: place_in_sheet(one.row))
    rows = [one.row for one in entries]
    sheet = sheet_bytes(rows)
    said = [*keep_sheet(desk.out, desk.so_far, sheet, unrecorded=desk.unrecorded), *said]
    desk.out.write("marks.csv", sheet)
    circumstances = {
        "workbook": steadyneedle.__version__,
        "workbook_digest": workbook_digest(),
        "papers": what_counts(desk.editions, desk.pass_marks),
        "marks_csv": hashlib.sha256(sheet).hexdigest(),
    }
    desk.out.write("record.jsonl", grown(before, entries, circumstances, now, desk.key, _typed_anew(desk)))
    anew = changed_since(desk.editions.values(), _plans_today({paper for paper, _ in desk.editions}))
    to_mend = len(refused_rows) + desk.by_hand.refused()
    return CohortMarked(rows, desk.out.left_over(), anew, [*said, *refused_rows, *many], desk.by_hand.open(), to_mend)


def _typed_anew(desk: _Desk) -> list[Entry]:
    """What persons typed since the last marking."""
    return [*desk.by_hand.changes(), *desk.changed.typed_anew(), *desk.observed.typed_anew()]


def _plans_today(papers: set[str]) -> dict[str, PaperPlan | str]:
    """The plans as they stand now; of one that is wrong, why; one that is gone is left out. Nothing is marked by it."""
    found: dict[str, PaperPlan | str] = {}
    for paper in papers & {*plan_names()}:
        try:
            found[paper] = load_plan(paper)
        except PlanError as error:
            found[paper] = str(error).partition("\n")[0].removesuffix(" Papers may ask:")
    return found
