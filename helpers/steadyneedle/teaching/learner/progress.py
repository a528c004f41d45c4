"""What one learner has typed, met and chosen: one readable file beside the lessons."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from steadyneedle.foundation import places
from steadyneedle.foundation.store import Store, StoreError
from steadyneedle.questions.preferences import FIRST, Preferences

FILE = "my-work.json"
VERSION = 1


class Progress:
    """The learner's file.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     work = Progress(Path(folder))
    ...     with work.change("01", "exercises", "bar_to_psi") as entry:
    ...         entry["typed"] = "142 psi"
    ...     work.entry("01", "exercises", "bar_to_psi")
    {'typed': '142 psi'}
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._store = Store((folder or places.work()) / FILE, VERSION)
        self._aside = ""

    def content(self) -> dict[str, Any]:
        """Everything kept so far; empty where the file cannot be read (saving then says why)."""
        with contextlib.suppress(StoreError):
            return self._read()
        return {}

    def _read(self) -> dict[str, Any]:
        content = self._store.read()
        self._aside = str(content.pop("set_aside", "")) or self._aside
        return content

    def trouble(self) -> str:
        """Why nothing can be saved; empty where all is well."""
        try:
            self._read()
        except StoreError as error:
            return str(error)
        return f"Your earlier work could not be read. It is kept as {self._aside}." if self._aside else ""

    def entry(self, *keys: str) -> dict[str, Any]:
        """What is kept under the keys; empty where there is nothing."""
        return _under(self.content(), keys)

    @contextlib.contextmanager
    def change(self, *keys: str) -> Iterator[dict[str, Any]]:
        """What is kept under the keys, to change; saved when the block ends."""
        with self._store.change() as content:
            place = content
            for key in keys:
                if not isinstance(place.get(key), dict):
                    place[key] = {}
                place = place[key]
            yield place

    def preferences(self) -> Preferences:
        """The choices kept once for all lessons."""
        choices = self.entry("choices")
        decimal, first = choices.get("decimal"), choices.get("first")
        return Preferences(decimal if decimal in ("comma", "point") else None, first if first in FIRST else "bar")


def _under(content: dict[str, Any], keys: tuple[str, ...]) -> dict[str, Any]:
    place: Any = content
    for key in keys:
        place = place.get(key) if isinstance(place, dict) else None
    return dict(place) if isinstance(place, dict) else {}
