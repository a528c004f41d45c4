"""The record of markings, for appeals: what was handed in, what it was worth, with which workbook, when.

`record.jsonl` alone holds times. It grows by one line when something changed since the line before: what came, what
went, and the hash of the mark sheet. Its lines are never written over; put together they give the state of any day.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping
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


def grown(
    before: bytes, entries: Iterable[RecordedRow], circumstances: Mapping[str, Any], now: datetime.datetime
) -> bytes:
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
    """
    state, last = _state(before)
    today = {one.as_line() for one in entries}
    came, went = sorted(today - state), sorted(state - today)
    if not came and not went and last == dict(circumstances):
        return before
    at = now.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    head = json.dumps({"at": at, **circumstances}, ensure_ascii=False).removesuffix("}")
    # the entries are JSON already: a large cohort's are not made anew
    line = f'{head}, "came": [{", ".join(came)}], "went": [{", ".join(went)}]}}\n'
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
        last = {name: value for name, value in line.items() if name not in ("at", "came", "went")}
    return state, last
