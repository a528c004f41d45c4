"""What an earlier marking left among the results: what of it would get lost is refused, carried on or said.

Nobody leaves the mark sheet in silence: the record knows who stood in it.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from steadyneedle.assessing.came_back import Sat, not_seen
from steadyneedle.assessing.mark_sheet import MARKED, MISSING, NOTHING_CAME, UNREADABLE, SheetRow, missing_row
from steadyneedle.assessing.marking_record import RecordedRow, RecordState
from steadyneedle.assessing.moved_marks import in_a_line
from steadyneedle.assessing.pass_marks import Attempt
from steadyneedle.assessing.results_folder import GRADED, ResultsError, ResultsFolder
from steadyneedle.assessing.secret import CohortKey

SHEET = "marks.csv"
FEWER_PAPERS = (
    "The results hold {}, and no file of that lies in this folder: the mark sheet would lose it. Put all files into "
    "one folder and mark them together; or name another folder for these results: --out FOLDER."
)
NO_SHEET = (
    "marks.csv is not there, and notebooks of an earlier marking lie in {}. Without it nobody can see whether this "
    "record.jsonl is the newest: an older one knows nothing of a pass mark or a mark that was changed later. Put "
    "marks.csv back, and mark again. Where it is lost, read in one of the notebooks which pass mark counted, look "
    "whether record.jsonl says the same, and put your newest copy of it there; then move the notebooks elsewhere, and "
    "mark again."
)
NO_RECORD = (
    "Results of an earlier marking lay there and no record.jsonl: whether a pass mark was changed, and which marks "
    "stood, is not known. "
    "Where you have a copy of record.jsonl, put it in the place of this new one, and mark again. Where the first "
    "marking was stopped before its end, there is nothing to mend."
)
STRANGE_SHEET = (
    "marks.csv was not the one that record.jsonl knows: somebody changed it, one of the two was replaced by another "
    "copy, or a marking was stopped before its end. Where record.jsonl is an older copy, put the newest in its place, "
    "and mark again: it knows which pass marks were changed and which marks stand. Where a marking that was to change "
    "the pass mark was stopped, type that line again."
)
KEPT_ASIDE = (
    "marks.csv as it was is kept as {}; nothing typed there counts. Marks that a person gives go into the files of "
    "by-hand."
)
KEPT_STILL = (
    "Kept from an earlier marking: {}, which record.jsonl does not know. Where that mark sheet is newer than the "
    "record, put the newest record.jsonl there, and mark again. Once you have looked, move it elsewhere."
)
ONCE_THERE = "One did at an earlier marking: {}. Put it back and mark again, unless it was taken out on purpose."
NOT_ISSUED = (
    "This key knows of no such paper, and an earlier marking did: it is an older copy of the key. Take the newest, and "
    "mark again."
)
GONE_SAID = (
    "Marked before, and no longer in the folder: {}. Put back what is missing, and mark again, unless it was taken out "
    "on purpose."
)
OLDER_KEY = (
    "An earlier marking knew of papers that this key did not issue, to {}. So this is an older copy of the key: take "
    "the newest, and mark again. Where there is none, make those papers once more with this key, for a roster with "
    "these candidates: with the same workbook the same numbers come."
)


def refuse_losses(out: ResultsFolder, so_far: RecordState, there: set[Attempt]) -> None:
    """Refuse a marking that would lose papers of the last one, or what alone tells whether the record is the newest.

    Raises
    ------
    ResultsError
        A paper and attempt of the last marking has no file in the folder, or its mark sheet is gone; nothing was
        written.
    """
    held = {
        (paper, int(attempt))
        for paper, attempts in so_far.circumstances.get("papers", {}).items()
        for attempt in attempts
    }
    gone = sorted(held - there)
    if gone:
        raise ResultsError(FEWER_PAPERS.format(" and ".join(f"{paper}, attempt {attempt}" for paper, attempt in gone)))
    if so_far.circumstances and not out.holds(SHEET) and out.names(GRADED):
        raise ResultsError(NO_SHEET.format(GRADED))


def keep_sheet(out: ResultsFolder, so_far: RecordState, sheet: bytes, *, unrecorded: bool) -> list[str]:
    """Keep a mark sheet that the record does not know, before it is written over.

    Parameters
    ----------
    out : ResultsFolder
        Where it lies.
    so_far : RecordState
        What the record says.
    sheet : bytes
        What it will hold.
    unrecorded : bool
        Whether results lie there and no record.

    Returns
    -------
    list of str
        What is to be said of it, of those that were kept before, and of a record that is not there.
    """
    if not out.is_strange(SHEET, so_far.sheets):
        kept = out.kept_aside(SHEET, so_far.sheets)
        return [NO_RECORD] if unrecorded else [KEPT_STILL.format(" and ".join(kept))] if kept else []
    aside = out.keep_aside(SHEET, sheet)
    return [STRANGE_SHEET if so_far.circumstances else NO_RECORD, *([KEPT_ASIDE.format(aside)] if aside else [])]


@dataclass
class NotThere:
    """Rows of candidates of whom nothing lies in the folder, what is to be said, and how many wait for another key."""

    entries: list[RecordedRow] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    unknown: int = 0


def not_there(so_far: RecordState, key: CohortKey, papers: set[str], seen: set[Sat]) -> NotThere:
    """Who is missing, with what an earlier marking knew of them; those too whom an older copy of the key knows not.

    Parameters
    ----------
    so_far : RecordState
        What the record says.
    key : CohortKey
        To whom papers were issued.
    papers : set of str
        Those of which any file came that can be marked.
    seen : set of tuple
        Of whom a file lies there.
    """
    missing = {*not_seen(key, papers, seen)}
    before = _rows_in_force(so_far.lines, key, missing)
    not_issued = {sat for sat in before if sat not in missing}
    found = NotThere(unknown=len(not_issued))
    gone = []
    for sat in sorted(missing | (not_issued - seen)):
        row, earlier = missing_row(*sat), _what_was_there(before.get(sat, []))
        said = " ".join(filter(None, [row.reason, earlier, NOT_ISSUED if sat in not_issued else ""]))
        found.entries.append(RecordedRow(replace(row, reason=said)))
        gone += [sat] if earlier else []
    found.said += [OLDER_KEY.format(_listed(not_issued))] if not_issued else []
    found.said += [GONE_SAID.format(_listed(gone))] if gone else []
    return found


def _rows_in_force(lines: Iterable[str], key: CohortKey, missing: set[Sat]) -> dict[Sat, list[SheetRow]]:
    """The rows that the record has of who is missing, and of who got a paper that this key does not know."""
    found: dict[Sat, list[SheetRow]] = defaultdict(list)
    for line in sorted(lines):
        entry = json.loads(line)
        row = SheetRow(**{name: entry[name] for name in SheetRow.__slots__})
        sat = (row.candidate, row.paper, int(row.attempt or 0))
        edition = key.edition(*sat[1:])
        unknown = row.status != UNREADABLE and (edition is None or row.candidate not in edition.papers)
        if sat in missing or unknown:
            found[sat].append(row)
    return dict(found)


def _what_was_there(rows: list[SheetRow]) -> str:
    """What an earlier marking knew of somebody who is missing; empty where nothing came then either."""
    for row in rows:
        if row.status == MISSING:
            return row.reason.removeprefix(NOTHING_CAME).removesuffix(NOT_ISSUED).strip()
    return ONCE_THERE.format(" and ".join(map(_as_it_was, rows))) if rows else ""


def _as_it_was(row: SheetRow) -> str:
    if row.status == UNREADABLE:
        return f"it could not be read, receipt {row.receipt}"
    worth = row.result if row.status == MARKED else "without what waited for a person"
    return f"{row.mark} of {row.out_of}, {worth}, receipt {row.receipt}"


def _listed(sats: Iterable[Sat]) -> str:
    """Candidates with their papers: the first few, and how many more."""
    ordered = sorted(sats, key=lambda sat: (sat[1:], len(sat[0]), sat[0]))
    return in_a_line([f"{one} ({paper}{f', attempt {at}' if at > 1 else ''})" for one, paper, at in ordered], ", ")
