"""What one learner has typed, met and chosen: one readable file beside the lessons."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from steadyneedle.bench.units import Q, say, say_number
from steadyneedle.foundation import places
from steadyneedle.foundation.store import Store, StoreError

FILE = "my-work.json"
VERSION = 1
DECIMALS = {"comma (9,8)": "comma", "point (9.8)": "point", "either": None}
FIRST = ("bar", "psi")


@dataclass(frozen=True)
class Taste:
    """How a learner reads and types numbers."""

    decimal: str | None = None
    first: str = "bar"

    @property
    def mark(self) -> str:
        """The decimal mark our sentences use."""
        return "," if self.decimal == "comma" else "."

    def localise(self, text: str) -> str:
        """A sentence with its decimal points turned into this learner's mark."""
        return re.sub(r"(?<=\d)\.(?=\d)", ",", text) if self.decimal == "comma" else text

    def say(self, quantity: Any, decimals: int | None = None) -> str:
        """A quantity in this learner's decimal mark."""
        return say(quantity, decimals, self.decimal or "point")

    def number(self, value: float, decimals: int | None = None) -> str:
        """A number in this learner's decimal mark."""
        return say_number(value, decimals, self.decimal or "point")

    def both(self, quantity: Any, decimals: tuple[int, int] = (1, 0)) -> str:
        """A pressure in bar and psi, the learner's first unit first; `decimals` for bar and psi."""
        bar, psi = self.say(quantity.to("bar"), decimals[0]), self.say(quantity.to("psi"), decimals[1])
        return f"{bar} ({psi})" if self.first == "bar" else f"{psi} ({bar})"


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

    def taste(self) -> Taste:
        """The choices kept once for all lessons."""
        choices = self.entry("choices")
        decimal, first = choices.get("decimal"), choices.get("first")
        return Taste(decimal if decimal in ("comma", "point") else None, first if first in FIRST else "bar")


def _under(content: dict[str, Any], keys: tuple[str, ...]) -> dict[str, Any]:
    place: Any = content
    for key in keys:
        place = place.get(key) if isinstance(place, dict) else None
    return dict(place) if isinstance(place, dict) else {}


def _choice(name: str, label: str, options: list[str], value: str) -> dict[str, Any]:
    return {"kind": "one", "name": name, "label": label, "options": options, "value": value, "fixed": False}


class ChoicesSitting:
    """The form in which a learner says comma or point, bar or psi."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress

    def view(self) -> dict[str, Any]:
        """The form as it stands."""
        taste = self._progress.taste()
        decimal = next(words for words, value in DECIMALS.items() if value == taste.decimal)
        sample = taste.both(Q(9.8, "bar"))
        return {
            "title": "How you write numbers",
            "question": ["Kept once, for all lessons. Change it whenever you like, then run the lesson again."],
            "fields": [
                _choice("decimal", "Decimal mark", list(DECIMALS), decimal),
                _choice("first", "Unit that stands first", list(FIRST), taste.first),
            ],
            "buttons": [{"name": "keep", "label": "Show me"}],
            "enter": "keep",
            "feedback": {"word": "", "lines": []} if not self._progress.entry("choices") else {
                "word": "Kept", "lines": [f"A pressure now reads {sample}."]},
            "hints": [], "solution": [], "version": 1,
        }  # fmt: skip

    def typed(self, answers: dict[str, str]) -> None:
        """Keep the choice at once."""
        with self._progress.change("choices") as entry:
            entry["decimal"] = DECIMALS.get(answers.get("decimal", ""))
            entry["first"] = answers.get("first") if answers.get("first") in FIRST else "bar"

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Nothing more to do: the view shows what was kept."""
