"""Where a learner is in each lesson, how large the text is, which ground: kept in the learner's file."""

from __future__ import annotations

import math
from typing import Any

from steadyneedle.teaching.learner.kept import PAGE
from steadyneedle.teaching.learner.progress import Progress

KEY = "page"
TEXT_SIZES = (1, 2, 3)
GROUNDS = ("light", "dark")
MOST_CHARACTERS = 64


class Bookmark:
    """The bookmark of one lesson.

    >>> import tempfile
    >>> from pathlib import Path
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     progress = Progress(Path(folder))
    ...     Bookmark(progress, "03").keep({"cell": "e57625f0", "offset": 40.0, "text": 2, "ground": "blue"})
    ...     progress.entry("page")
    {'lesson': '03', 'places': {'03': {'cell': 'e57625f0', 'offset': 40.0}}, 'text': 2}
    """

    def __init__(self, progress: Progress, lesson: str) -> None:
        self._progress = progress
        self._lesson = lesson

    def keep(self, what: dict[str, Any]) -> None:
        """Keep what the page sent, as far as it makes sense.

        Raises
        ------
        StoreError
            Nothing was saved.
        """
        cell, offset = what.get("cell"), what.get("offset")
        with self._progress.change(KEY, fields=PAGE) as entry:
            entry["lesson"] = self._lesson
            if isinstance(cell, str) and len(cell) <= MOST_CHARACTERS and _is_number(offset):
                entry.setdefault("places", {})[self._lesson] = {"cell": cell, "offset": offset}
            if what.get("text") in TEXT_SIZES:
                entry["text"] = what["text"]
            if what.get("ground") in GROUNDS:
                entry["ground"] = what["ground"]


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def last_lesson(progress: Progress) -> str:
    """Number of the lesson used last; empty before the first."""
    return str(progress.entry(KEY, fields=PAGE).get("lesson", ""))


def ground_of(progress: Progress) -> str:
    """The ground chosen last."""
    ground = progress.entry(KEY, fields=PAGE).get("ground")
    return ground if ground in GROUNDS else GROUNDS[0]
