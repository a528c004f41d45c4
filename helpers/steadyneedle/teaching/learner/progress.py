"""What one learner has typed, met and chosen: one readable file beside the lessons."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from types import MappingProxyType
from typing import Any

from steadyneedle.foundation import places
from steadyneedle.foundation.store import Store, StoreError
from steadyneedle.questions.preferences import FIRST, Preferences
from steadyneedle.teaching.learner.kept import CHOICES, HIDDEN_FAULT, JOB, JOBS, PAGE, PRACTICE, Fields, odd_in

FILE = "my-work.json"
ROOMS = (("exercises", PRACTICE), ("warm-up", PRACTICE), ("review", PRACTICE), ("predictions", HIDDEN_FAULT))
JOB_ROOM = "mystery jobs"
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

    def __init__(self, folder: Path | None = None, only_look: bool = False) -> None:
        self._store = Store((folder or places.work()) / FILE, VERSION)
        self._only_look = only_look

    def content(self) -> dict[str, Any]:
        """Everything kept so far; empty where the file cannot be read (saving then says why)."""
        if self._only_look:  # a damaged file stays where it is, for the lesson to find and to say so
            return self._store.look()[0]
        with contextlib.suppress(StoreError):
            return self._store.read()
        return {}

    def trouble(self) -> str:
        """Why nothing can be saved, or what could not be read; empty where all is well."""
        try:
            self._store.read()
        except StoreError as error:
            return str(error)
        if self._store.held:
            return self._store.held_by_another()
        if not self._store.set_aside:
            return ""
        what = "Your earlier work" if self._store.whole else "Some of your earlier work"
        return f"{what} could not be read. It is kept as {self._store.set_aside}."

    def look(self) -> str:
        """What of the file cannot be read, in a sentence; empty where all can. Nothing is set aside."""
        content, wrong = self._store.look()
        if wrong:
            return wrong
        odd = [f"choices, {name}" for name in odd_in(_under(content, ("choices",)), CHOICES)]
        odd += [f"page, {name}" for name in odd_in(_under(content, ("page",)), PAGE)]
        for number, name, fields in _entries(content):
            kept = _under(content, ("lessons", number, *name))
            odd += [", ".join((f"lesson {number}", *name, field)) for field in odd_in(kept, fields)]
        for job in _under(content, (JOB_ROOM,)):
            kept = _under(content, (JOB_ROOM, job))
            odd += [f"{JOB_ROOM}, {job}, {field}" for field in odd_in(kept, JOBS if job == "form" else JOB)]
        return f"{FILE} cannot all be read: {'; '.join(odd[:3])}" if odd else ""

    def entry(self, *keys: str, fields: Fields = MappingProxyType({})) -> dict[str, Any]:
        """What is kept under the keys; empty where there is nothing. A field that does not fit is left out."""
        kept = _under(self.content(), keys)
        odd = odd_in(kept, fields)
        return {name: value for name, value in kept.items() if name not in odd}

    @contextlib.contextmanager
    def change(self, *keys: str, fields: Fields = MappingProxyType({})) -> Iterator[dict[str, Any]]:
        """What is kept under the keys, to change; saved when the block ends.

        A field that does not fit is left out, after the whole file has been kept under another name.

        Raises
        ------
        StoreError
            Nothing was saved.
        """
        with self._store.change() as content:
            place = content
            for key in keys:
                if not isinstance(place.get(key), dict):
                    if key in place:
                        self._store.keep_copy()
                    place[key] = {}
                place = place[key]
            for name in odd_in(place, fields):
                self._store.keep_copy()
                del place[name]
            yield place

    def preferences(self) -> Preferences:
        """The choices kept once for all lessons."""
        choices = self.entry("choices", fields=CHOICES)
        decimal, first = choices.get("decimal"), choices.get("first")
        return Preferences(decimal if decimal in ("comma", "point") else None, first if first in FIRST else "bar")


def _under(content: dict[str, Any], keys: tuple[str, ...]) -> dict[str, Any]:
    place: Any = content
    for key in keys:
        place = place.get(key) if isinstance(place, dict) else None
    return dict(place) if isinstance(place, dict) else {}


def _entries(content: dict[str, Any]) -> Iterator[tuple[str, tuple[str, str], Fields]]:
    """Where a lesson's forms keep something, and what they may keep there."""
    for number in _under(content, ("lessons",)):
        for room, fields in ROOMS:
            for name in _under(content, ("lessons", number, room)):
                yield number, (room, name), fields
