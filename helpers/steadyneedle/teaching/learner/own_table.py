"""The log that a learner types: table, columns, decimal mark and sheet, kept so that a page loaded again shows them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from steadyneedle.teaching.learner.kept import LOG, LONGEST_TABLE
from steadyneedle.teaching.learner.progress import Progress

TOO_LONG = (
    f"A table of more than {LONGEST_TABLE:,} characters is judged but not kept. Save it as a file, and choose that."
)


class OwnTable:
    """What is kept of a typed log.

    >>> import tempfile
    >>> from pathlib import Path
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     own = OwnTable(Progress(Path(folder)), ("lessons", "04", "own log"))
    ...     words = own.keep({"from": "table", "table": "time_s,pressure_bar", "sheet": "Juniper", "colour": "red"})
    ...     words, own.kept()
    ('Saved', {'from': 'table', 'table': 'time_s,pressure_bar', 'sheet': 'Juniper'})
    """

    def __init__(self, progress: Progress, keys: tuple[str, ...]) -> None:
        self._progress = progress
        self._keys = keys

    def kept(self) -> dict[str, Any]:
        """What the page shows when it is loaded."""
        entry = self._progress.entry(*self._keys, fields=LOG)
        return {name: entry[name] for name in LOG if name in entry}

    def keep(self, what: Mapping[str, str]) -> str:
        """Keep what stands in the page, and say whether it was; a table too long is left as it was kept last.

        Raises
        ------
        StoreError
            Nothing was saved.
        """
        fits = {name: what[name] for name in LOG if name in what and LOG[name](what[name])}
        with self._progress.change(*self._keys, fields=LOG) as entry:
            entry.update(fits)
        return TOO_LONG if "table" in what and "table" not in fits else "Saved"
