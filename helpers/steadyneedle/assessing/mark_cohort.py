"""Marking a cohort: a folder of handed-in files and a key become a mark sheet, graded notebooks and a line of record.

Each file is one candidate's affair: whatever it holds, everyone else is marked. Outputs are written whole or not at
all, the mark sheet after the notebooks, the record last; the same folder gives the same bytes.
"""

from __future__ import annotations

import contextlib
import datetime
import hashlib
import sys
from collections import defaultdict, deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import steadyneedle
from steadyneedle.assessing.as_shown_safely import plain_name
from steadyneedle.assessing.by_hand import ByHand
from steadyneedle.assessing.canonical import digest_of
from steadyneedle.assessing.changed_marks import ChangedMarks
from steadyneedle.assessing.edition import Edition
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.handed_in import HandedIn, HandedInError, named_in, read_handed_in
from steadyneedle.assessing.mark_sheet import (
    COPIES,
    IN_TRANSIT,
    ONCE,
    SheetRow,
    Twice,
    missing_row,
    place_in_sheet,
    row_of,
    sheet_bytes,
    unreadable_row,
)
from steadyneedle.assessing.marking import KEPT, WAS_KEPT, AnswerMark, PaperMark, mark_paper
from steadyneedle.assessing.marking_record import Entry, RecordedRow, RecordState, grown, refuse_unfit, state_of
from steadyneedle.assessing.observed import Observed
from steadyneedle.assessing.paper_file import paper_stem
from steadyneedle.assessing.paper_plan import PaperPlan, PlanError, load_plan
from steadyneedle.assessing.pass_marks import Attempt, NewPassMark, PassMark, changed_since, in_force, what_counts
from steadyneedle.assessing.results_folder import ResultsError, ResultsFolder
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import set_again

Sat = tuple[str, str, int]
"""Candidate, paper and attempt."""
CHANGED_MEANWHILE = "The file {} was changed while the folder was marked. Mark again."
FEWER_PAPERS = (
    "The results hold {}, and no file of that lies in this folder: the mark sheet would lose it. Put all files into "
    "one folder and mark them together; or name another folder for these results: --out FOLDER."
)
NO_RECORD = (
    "marks.csv lay there and no record.jsonl: whether a pass mark was changed, and which marks stood, is not known. "
    "Where you have a copy of record.jsonl, put it in the place of this new one, and mark again. Where the first "
    "marking was stopped before its end, there is nothing to mend."
)
STRANGE_SHEET = (
    "marks.csv was not the one that record.jsonl knows: somebody changed it, or one of the two was replaced by another "
    "copy. Where record.jsonl is an older copy, put the newest in its place, and mark again: it knows which pass marks "
    "were changed and which marks stand."
)
KEPT_ASIDE = (
    "marks.csv as it was is kept as {}; nothing typed there counts. Marks that a person gives go into the files of "
    "by-hand."
)
AT_FAULT = (
    "The file {} made the workbook fail ({}). Keep the file, mark this paper by hand, and tell whoever looks after the "
    "workbook."
)


class _AnotherCohortError(HandedInError):
    """A file of another cohort, in which somebody else may have the same number: it is nobody's of this one."""


@dataclass(frozen=True, slots=True)
class _Came:
    """A file that can be marked: whose it is, its hash, a digest of its answers; `also` are files of the same bytes."""

    name: str
    sat: Sat
    sha256: str
    answers: str
    also: tuple[str, ...] = ()


@dataclass
class CohortMarked:
    """What a marking came to: the rows in their order, and what to say beside them.

    `left_over` are graded notebooks that belong to no file any more, `planned_anew` papers whose plan is another today.
    `said` are sentences about what persons typed, `open` counts the answers of each question that wait for a person,
    `to_mend` says that something typed could not be taken.
    """

    rows: list[SheetRow]
    left_over: list[str] = field(default_factory=list)
    planned_anew: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    open: dict[str, int] = field(default_factory=dict)
    to_mend: bool = False


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
    entries: list[RecordedRow] = []
    came: list[_Came] = []
    seen: set[Sat] = set()
    for name in names:
        try:
            came.append(_looked_at(folder / name, key))
        except HandedInError as error:
            entries.append(_refused(name, key, error))
            if not isinstance(error, _AnotherCohortError):
                seen.add(_whose(entries[-1].row))
            step()
    came = _without_copies(came, step)
    seen |= {one.sat for one in came}
    editions = {one: key.issued[one[0]][one[1]] for one in sorted({each.sat[1:] for each in came})}
    so_far = state_of(before)
    _refuse_fewer_papers(so_far, {one[1:] for one in seen})
    desk = _Desk(
        folder, key, out, editions, in_force(editions, so_far.papers, change, now), so_far,
        ByHand(out, key, so_far.typed), ChangedMarks(out, so_far.typed), Observed(out, key.everybody(), now.date()),
    )  # fmt: skip
    entries += [RecordedRow(missing_row(*sat)) for sat in _not_seen(key, {paper for paper, _ in editions}, seen)]
    seen.clear()
    twice, to_mark = _twice(came), deque(came)
    came.clear()
    while to_mark:  # what was known of a file goes as its row comes: a cohort is large
        one = to_mark.popleft()
        entries.append(_marked(one, desk, twice.get(one.sat, ONCE)))
        step()
    return _written(entries, desk, before, now)


def _looked_at(path: Path, key: CohortKey) -> _Came:
    """A first look at a file: whether it can be marked.

    Raises
    ------
    HandedInError
        It cannot; the sentence says why.
    """
    read = read_handed_in(path)
    sat, name = (read.candidate, read.paper, read.attempt), f"The file {plain_name(path.name)}"
    edition = key.edition(read.paper, read.attempt)
    issued = edition.digest(read.candidate) if edition else ""
    if read.cohort != key.cohort:
        raise _AnotherCohortError(
            f"{name} belongs to another cohort. Mark it with the key that made its paper.", read.sha256, sat
        )
    if not issued:
        said = f"cannot be marked: no paper of this kind was issued to candidate {read.candidate}. Ask who sent it."
    elif read.paper_digest != issued:
        said = f"is not of the paper that candidate {read.candidate} got. Ask for the file that belongs to it."
    elif (called := named_in(path.name)) is not None and called != sat:
        raise HandedInError(f"{name} {_called_otherwise(called, sat)}", read.sha256, called)
    else:
        return _Came(path.name, (sat[0], sys.intern(sat[1]), sat[2]), read.sha256, digest_of(read.answers))
    raise HandedInError(f"{name} {said}", read.sha256, sat)


def _refuse_fewer_papers(so_far: RecordState, there: set[Attempt]) -> None:
    """Refuse to mark a part of the papers into results that hold more: the sheet would lose whole papers.

    Raises
    ------
    ResultsError
        A paper and attempt of the last marking has no file in the folder.
    """
    held = {
        (paper, int(attempt))
        for paper, attempts in so_far.circumstances.get("papers", {}).items()
        for attempt in attempts
    }
    gone = sorted(held - there)
    if gone:
        raise ResultsError(FEWER_PAPERS.format(" and ".join(f"{paper}, attempt {attempt}" for paper, attempt in gone)))


def _refused(name: str, key: CohortKey, error: HandedInError) -> RecordedRow:
    """A file that cannot be marked: whose it is stands in it, else in its name where such a paper was issued."""
    claimed = error.sat or named_in(name)
    if claimed is not None and error.sat is None:
        edition = key.edition(claimed[1], claimed[2])
        claimed = claimed if edition and claimed[0] in edition.papers else None
    return RecordedRow(unreadable_row(claimed, error.sha256, str(error)), plain_name(name), error.sha256)


def _whose(row: SheetRow) -> Sat:
    return row.candidate, row.paper, int(row.attempt or 0)


def _not_seen(key: CohortKey, papers: set[str], seen: set[Sat]) -> Iterator[Sat]:
    """Candidates of whom no file lies there: of each paper and attempt that came back at all, else of all."""
    for paper, attempts in key.issued.items():
        for attempt, edition in attempts.items():
            came_back = not papers or any(sat[1:] == (paper, attempt) for sat in seen)
            if came_back:
                yield from ((one, paper, attempt) for one in edition.papers if (one, paper, attempt) not in seen)


def _called_otherwise(called: Sat, holds: Sat) -> str:
    """What is said of a file whose name says one thing and whose content another."""
    says, is_of = (f"candidate {called[0]}", f"candidate {holds[0]}")
    if called[0] == holds[0]:
        says, is_of = (f"{paper}, attempt {attempt}" for _, paper, attempt in (called, holds))
    return (
        f"has the name of {says} and holds the answers of {is_of}. Find out whose it is, and name it so or ask for the "
        "right file; then mark again."
    )


def _without_copies(came: list[_Came], step: Callable[[], None]) -> list[_Came]:
    """Files of the same bytes as one, which knows the names of the others."""
    found: dict[str, _Came] = {}
    for one in came:
        first = found.get(one.sha256)
        found[one.sha256] = one if first is None else replace(first, also=(*first.also, one.name))
        if first is not None:
            step()
    return list(found.values())


def _twice(came: list[_Came]) -> dict[Sat, Twice]:
    """What is said of a paper that came in more than once: different bytes, the same answers or others."""
    found: dict[Sat, list[_Came]] = defaultdict(list)
    for one in came:
        found[one.sat].append(one)
    return {
        sat: Twice(tuple(plain_name(one.name) for one in files), len({one.answers for one in files}) > 1)
        for sat, files in found.items()
        if len(files) > 1
    }


def _marked(one: _Came, desk: _Desk, twice: Twice) -> RecordedRow:
    """Mark one file and write its graded notebook."""
    name = plain_name(one.name)
    try:
        read = read_handed_in(desk.folder / one.name)
    except HandedInError as error:
        return _refused(one.name, desk.key, error)
    if read.sha256 != one.sha256:
        return RecordedRow(unreadable_row(one.sat, read.sha256, CHANGED_MEANWHILE.format(name)), name, read.sha256)
    try:
        marked, plan = _worth(read, desk)
        hands = desk.observed.in_words(read.candidate, marked.result)
        row = row_of(marked, read.receipt, twice, _beside(one, read), hands)
        book = graded_bytes(marked, read, plan.questions, desk.observed.of(read.candidate))
    except ResultsError:  # what a person filled in concerns everybody
        raise
    except Exception as error:  # one file is one candidate's affair, whatever it meets in the workbook
        said = AT_FAULT.format(name, type(error).__name__)
        return RecordedRow(unreadable_row(one.sat, read.sha256, said), name, read.sha256, read.handed_in_at)
    stem = paper_stem(*one.sat) + (f"-{read.receipt}" if twice.files else "")
    desk.out.write_graded(f"{stem}.ipynb", book, keep_before=bool(marked.kept))
    return RecordedRow(row, name, one.sha256, read.handed_in_at, marked.by_question)


def _beside(one: _Came, read: HandedIn) -> list[str]:
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
        for number, (mark, safe) in desk.so_far.marked.get(read.sha256, {}).items()
    }
    pass_mark = desk.pass_marks[read.paper, read.attempt].now
    marked = mark_paper(paper, edition.fingerprints(read.candidate), read.answers, pass_mark, before)
    questions = edition.plan.questions
    marked = desk.changed.marked(desk.by_hand.marked(marked, questions), read.receipt, questions)
    return marked, edition.plan


def _written(entries: list[RecordedRow], desk: _Desk, before: bytes, now: datetime.datetime) -> CohortMarked:
    """Write what persons fill in, the mark sheet, then the record."""
    said = [*desk.by_hand.lay(), *desk.changed.lay()]
    refused = [*desk.changed.refused(), *desk.observed.refused]
    entries.sort(key=lambda one: place_in_sheet(one.row))
    rows = [one.row for one in entries]
    sheet = sheet_bytes(rows)
    said += _sheet_kept(desk, sheet, before)
    desk.out.write("marks.csv", sheet)
    circumstances = {
        "workbook": steadyneedle.__version__,
        "papers": what_counts(desk.editions, desk.pass_marks),
        "marks_csv": hashlib.sha256(sheet).hexdigest(),
    }
    desk.out.write("record.jsonl", grown(before, entries, circumstances, now, desk.key, _typed_anew(desk)))
    anew = changed_since(desk.editions.values(), _plans_today({paper for paper, _ in desk.editions}))
    to_mend = bool(refused) or desk.by_hand.refused()
    return CohortMarked(rows, desk.out.left_over(), anew, [*said, *refused], desk.by_hand.open(), to_mend)


def _sheet_kept(desk: _Desk, sheet: bytes, before: bytes) -> list[str]:
    """Keep a mark sheet that the record does not know; what is to be said of it, and of a record that is not there."""
    no_record = not before and desk.out.holds("marks.csv")
    aside = desk.out.keep_aside("marks.csv", sheet, desk.so_far.sheets)
    kept = [KEPT_ASIDE.format(aside)] if aside else []
    return [NO_RECORD, *kept] if no_record else [STRANGE_SHEET, *kept] if aside else []


def _typed_anew(desk: _Desk) -> list[Entry]:
    """What persons typed since the last marking."""
    before = desk.so_far.typed
    return [*desk.by_hand.changes(), *desk.changed.typed_anew(before), *desk.observed.typed_anew(before)]


def _plans_today(papers: set[str]) -> dict[str, PaperPlan]:
    """The plans as they stand now; one that is gone or wrong is left out, for nothing is marked by it."""
    found = {}
    for paper in papers:
        with contextlib.suppress(PlanError):
            found[paper] = load_plan(paper)
    return found
