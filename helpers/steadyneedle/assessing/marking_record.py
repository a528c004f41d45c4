"""The record of markings, for appeals: what was handed in, what it was worth, with which workbook, when.

`record.jsonl` alone holds times. It grows by one line when something changed since the line before: what came, what
went, and the hash of the mark sheet. Its lines are never written over; put together they give the state of any day.
Each is sealed, for what the record says decides: a pass mark that was changed, marks that stand.
"""

from __future__ import annotations

import datetime
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from steadyneedle.assessing.canonical import canonical
from steadyneedle.assessing.handed_in_form import RECEIPT_LETTERS
from steadyneedle.assessing.mark_sheet import SheetRow
from steadyneedle.assessing.marking import MISSED
from steadyneedle.assessing.results_folder import ResultsError
from steadyneedle.assessing.seals import cohort_said, first_unfit, seal_line
from steadyneedle.assessing.secret import CohortKey


@dataclass(frozen=True, slots=True)
class RecordedRow:
    """A row of the mark sheet with what stands behind it: a file's name as a sentence shows it, its SHA-256 or that it
    was not read, and when it was handed in as the candidate's computer said; empty where there is none. `marks` are the
    marks that the workbook gave, question by question, - where it gave none and ! behind a critical one missed.
    `as_sent` is the SHA-256 before line ends were changed in transit; empty where they were not."""

    row: SheetRow
    file: str = ""
    sha256: str = ""
    handed_in_at: str = ""
    marks: str = ""
    as_sent: str = ""

    def as_line(self) -> str:
        """As one text, so that two can be compared."""
        beside = {"file": self.file, "sha256": self.sha256, "handed_in_at": self.handed_in_at, "marks": self.marks}
        if self.as_sent:
            beside["as_sent"] = self.as_sent
        return canonical({**beside, **asdict(self.row)}).decode("utf-8")


Typed = dict[str, str]
"""A row that a person filled in: column -> cell."""
Entry = dict[str, Any]
"""What a person typed into a row of a table, and what stood there before."""
BESIDE = ("at", "came", "went", "typed", "cohort", "seal")
OF_ANOTHER_KEY = (
    "The record.jsonl in the folder of results was written with another key. Name the key that made these papers: "
    "--key FILE; or another folder for the results: --out FOLDER."
)
UNFIT = (
    "record.jsonl, line {}: the workbook did not write it so. There, or before it, something was changed, cut or taken "
    "out. Put your copy of record.jsonl back, then mark again. Where you have none, move record.jsonl elsewhere: a new "
    "record begins then, and changed pass marks and marks that were kept are gone."
)


def refuse_unfit(record: bytes, key: CohortKey) -> None:
    """Refuse a record that is not as the workbook wrote it with this key.

    Raises
    ------
    ResultsError
        The first line that does not fit, and what to do.
    """
    number = first_unfit(record, key.secret)
    if number and cohort_said(record) not in ("", key.cohort):
        raise ResultsError(OF_ANOTHER_KEY)
    if number:
        raise ResultsError(UNFIT.format(number))


def grown(
    before: bytes, entries: Iterable[RecordedRow], circumstances: Mapping[str, Any], now: datetime.datetime,
    key: CohortKey, typed: Sequence[Entry] = (),
) -> bytes:  # fmt: skip
    """The record with a line for what changed; as it was, byte by byte, where nothing did.

    Parameters
    ----------
    before : bytes
        The record so far.
    entries : iterable of RecordedRow
        Every file and every candidate of this marking.
    circumstances : mapping
        What every mark hangs on: version of the workbook, hashes of plans and mark sheet.
    now : datetime
        With its time zone.
    key : CohortKey
        Whose secret seals the line.
    typed : sequence of Entry
        What persons typed, or took back, since the line before; from `typed_anew`.
    """
    so_far = state_of(before)
    state, last = so_far.lines, so_far.circumstances
    still, came = set(), []
    for one in entries:  # an entry's text is made twice rather than kept: a large cohort's texts are long
        text = one.as_line()
        if text in state:
            still.add(text)
        else:
            came.append(one)
    went = sorted(state - still)
    if not came and not went and not typed and last == dict(circumstances):
        return before
    at = now.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    head = json.dumps({"at": at, "cohort": key.cohort, **circumstances}, ensure_ascii=False).removesuffix("}")
    # the entries are JSON already: a large cohort's are not made anew
    by_hand = f', "typed": {json.dumps(list(typed), ensure_ascii=False)}' if typed else ""
    grown_by = io.BytesIO()  # which gives its bytes away without a copy: a large cohort's line is long
    grown_by.write(before)
    grown_by.write(f'{head}, "came": '.encode())
    _write_list((one.as_line() for one in came), grown_by)
    grown_by.write(b', "went": ')
    _write_list(went, grown_by)
    grown_by.write(by_hand.encode())
    seal_line(grown_by, key.secret)
    return grown_by.getvalue()


def _write_list(entries: Iterable[str], out: io.BytesIO) -> None:
    out.write(b"[")
    for at, one in enumerate(entries):
        out.write(f"{', ' if at else ''}{one}".encode())
    out.write(b"]")


@dataclass
class RecordState:
    """What the lines of a record add up to.

    `lines` are the entries in force, `circumstances` those of the last line; `papers` is what was last said of each
    paper and attempt, `marked` SHA-256 of a file as it was sent -> question number -> the mark that the workbook last
    gave and whether that question was passed, whether or not they came back since; `in_transit` has the other SHA-256
    with which it came. `typed` is what persons had typed, (table, row) to its cells, `meant` for which file as it was
    sent, `sheets` the SHA-256 of every mark sheet that was written.
    """

    lines: set[str] = field(default_factory=set)
    circumstances: dict[str, Any] = field(default_factory=dict)
    papers: dict[str, dict[str, Any]] = field(default_factory=dict)
    marked: dict[str, dict[int, tuple[float, bool]]] = field(default_factory=dict)
    typed: dict[tuple[str, str], Typed] = field(default_factory=dict)
    sheets: set[str] = field(default_factory=set)
    in_transit: dict[str, set[str]] = field(default_factory=dict)
    meant: dict[tuple[str, str], str] = field(default_factory=dict)

    def note(self, entry: Any) -> None:
        """Take up the marks of an entry."""
        if not isinstance(entry, dict):
            return
        sha256, marks = entry.get("as_sent", entry.get("sha256")), entry.get("marks")
        if not isinstance(sha256, str) or not isinstance(marks, str) or not marks:
            return
        if sha256 != entry["sha256"]:
            self.in_transit.setdefault(sha256, set()).add(entry["sha256"])
        given = self.marked.setdefault(sha256, {})
        for number, mark in enumerate(marks.split(" "), 1):
            if mark != "-":
                given[number] = float(mark.removesuffix(MISSED)), not mark.endswith(MISSED)

    def receipts_of(self, sha256: str, as_sent: str) -> list[str]:
        """All receipts with which a file came, its own first."""
        known = [sha256, as_sent, *sorted(self.in_transit.get(as_sent, ()))]
        return list(dict.fromkeys(one[:RECEIPT_LETTERS] for one in known))

    def knows_another(self, receipt: str, as_sent: str) -> bool:
        """Whether a different file with this receipt was marked before."""
        others = (one for one in self.marked if one != as_sent)
        return any(
            one.startswith(receipt) or any(sha256.startswith(receipt) for sha256 in self.in_transit.get(one, ()))
            for one in others
        )

    def note_typed(self, entry: Any) -> None:
        """Take up what a person typed, or took back."""
        if not isinstance(entry, dict):
            return
        table, row, cells = (entry.get(name) for name in ("table", "row", "is"))
        if not isinstance(table, str) or not isinstance(row, str):
            return
        if isinstance(cells, dict) and all(isinstance(cell, str) for cell in cells.values()):
            self.typed[table, row] = cells
            if isinstance(entry.get("sha256"), str):
                self.meant[table, row] = entry["sha256"]
        else:
            self.typed.pop((table, row), None)


def state_of(before: bytes) -> RecordState:
    """What the lines so far add up to; `refuse_unfit` saw that they are ours."""
    found = RecordState()
    for text in before.splitlines():
        try:
            line = json.loads(text)
            came, went = ({canonical(one).decode("utf-8") for one in line[part]} for part in ("came", "went"))
        except (ValueError, TypeError, KeyError, RecursionError):
            continue
        found.lines = (found.lines - went) | came
        for entry in line["came"]:
            found.note(entry)
        found.circumstances = {name: value for name, value in line.items() if name not in BESIDE}
        found.sheets.add(str(line.get("marks_csv")))
        typed = line.get("typed")
        for entry in typed if isinstance(typed, list) else ():
            found.note_typed(entry)
        papers = line.get("papers")
        for paper, attempts in papers.items() if isinstance(papers, dict) else ():
            if isinstance(attempts, dict):
                found.papers.setdefault(paper, {}).update(attempts)
    return found


def typed_anew(
    table: str, was: Mapping[str, Typed], now: Mapping[str, Typed], about: Mapping[str, Entry]
) -> list[Entry]:
    """What was typed in a table since the last marking, row by row; `about` says more of a row.

    >>> typed_anew("observed", {}, {"1": {"observer": "AB"}}, {})
    [{'table': 'observed', 'row': '1', 'was': None, 'is': {'observer': 'AB'}}]
    """
    return [
        {"table": table, "row": row, **about.get(row, {}), "was": was.get(row), "is": now.get(row)}
        for row in sorted({*was, *now})
        if was.get(row) != now.get(row)
    ]
