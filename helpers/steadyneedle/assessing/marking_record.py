"""The record of markings, for appeals: what was handed in, what it was worth, with which workbook, when.

`record.jsonl` alone holds times. It grows by one line when something changed since the line before: what came, what
went, and the hash of the mark sheet. Its lines are never written over; put together they give the state of any day.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from steadyneedle.assessing.canonical import canonical
from steadyneedle.assessing.mark_sheet import SheetRow


@dataclass(frozen=True)
class RecordedRow:
    """A row of the mark sheet with what stands behind it: a file's name as a sentence shows it, its SHA-256 or that it
    was not read, and when it was handed in as the candidate's computer said; empty where there is none."""

    row: SheetRow
    file: str = ""
    sha256: str = ""
    handed_in_at: str = ""

    def as_line(self) -> str:
        """As one text, so that two can be compared."""
        beside = {"file": self.file, "sha256": self.sha256, "handed_in_at": self.handed_in_at}
        return canonical({**beside, **asdict(self.row)}).decode("utf-8")


Entry = dict[str, Any]
"""What was typed in one row of a person's table: an entry of the record, and what it was before."""


def grown(
    before: bytes, entries: Iterable[RecordedRow], circumstances: Mapping[str, Any], now: datetime.datetime,
    typed: Sequence[Entry] = (),
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
    typed : sequence of Entry
        What persons typed anew, or took back.
    """
    state, last = _state(before)
    today = {one.as_line() for one in entries}
    came, went = sorted(today - state), sorted(state - today)
    if not came and not went and not typed and last == dict(circumstances):
        return before
    at = now.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    head = json.dumps({"at": at, **circumstances}, ensure_ascii=False).removesuffix("}")
    # the entries are JSON already: a large cohort's are not made anew
    by_hand = f', "typed": {json.dumps(list(typed), ensure_ascii=False)}' if typed else ""
    line = f'{head}, "came": [{", ".join(came)}], "went": [{", ".join(went)}]{by_hand}}}\n'
    start = before if not before or before.endswith(b"\n") else before + b"\n"
    return start + line.encode("utf-8")


def _state(before: bytes) -> tuple[set[str], dict[str, Any]]:
    """What the lines so far add up to, and the circumstances of the last; a line that is none of ours stays, unread."""
    state: set[str] = set()
    last: dict[str, Any] = {}
    for text in before.splitlines():
        try:
            line = json.loads(text)
            came, went = ({canonical(one).decode("utf-8") for one in line[part]} for part in ("came", "went"))
        except (ValueError, TypeError, KeyError, RecursionError):
            continue
        state = (state - went) | came
        last = {name: value for name, value in line.items() if name not in ("at", "came", "went", "typed")}
    return state, last


Typed = dict[str, str]
"""Column -> cell."""


def typed_before(before: bytes) -> dict[tuple[str, str], Typed]:
    """What persons had typed by the last marking: (table, row) to its cells.

    >>> typed_before(b'{"typed": [{"table": "observed", "row": "1", "was": null, "is": {"observer": "AB"}}]}')
    {('observed', '1'): {'observer': 'AB'}}
    """
    found: dict[tuple[str, str], Typed] = {}
    for one in _typed_in(before):
        table, row, cells = one.get("table"), one.get("row"), one.get("is")
        if isinstance(table, str) and isinstance(row, str):
            if isinstance(cells, dict) and all(isinstance(cell, str) for cell in cells.values()):
                found[table, row] = cells
            else:
                found.pop((table, row), None)
    return found


def _typed_in(before: bytes) -> Iterator[Entry]:
    for text in before.splitlines():
        if b'"typed"' not in text:
            continue
        try:
            listed = json.loads(text).get("typed", [])
        except (ValueError, AttributeError, RecursionError):
            continue
        yield from (one for one in listed if isinstance(listed, list) and isinstance(one, dict))


def sheets_before(before: bytes) -> set[str]:
    """Digests of all the mark sheets that were written.

    >>> sheets_before(b'{"marks_csv": "ab"}\\n')
    {'ab'}
    """
    return {one.decode("ascii") for one in re.findall(rb'"marks_csv": ?"([0-9a-f]+)"', before)}


def changes(table: str, was: Mapping[str, Typed], now: Mapping[str, Typed], about: Mapping[str, Entry]) -> list[Entry]:
    """What was typed in a table since the last marking, row by row.

    >>> changes("observed", {}, {"1": {"observer": "AB"}}, {})
    [{'table': 'observed', 'row': '1', 'was': None, 'is': {'observer': 'AB'}}]
    """
    return [
        {"table": table, "row": row, **about.get(row, {}), "was": was.get(row), "is": now.get(row)}
        for row in sorted({*was, *now})
        if was.get(row) != now.get(row)
    ]
