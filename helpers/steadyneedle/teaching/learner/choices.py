"""The form in which a learner says comma or point, bar or psi."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.units import Q
from steadyneedle.questions.preferences import DECIMALS, FIRST
from steadyneedle.teaching.learner.progress import Progress


def _choice(name: str, label: str, options: list[str], value: str) -> dict[str, Any]:
    return {
        "kind": "one",
        "name": name,
        "label": label,
        "options": [(one, one) for one in options],
        "value": value,
        "fixed": False,
    }


class PreferencesSession:
    """The form in which a learner says comma or point, bar or psi."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress

    def view(self) -> dict[str, Any]:
        """The form as it stands."""
        preferences = self._progress.preferences()
        decimal = next(words for words, value in DECIMALS.items() if value == preferences.decimal)
        sample = preferences.both(Q(9.8, "bar"))
        return {
            "title": "How you write numbers",
            "question": ["Kept once, for all lessons. Change it whenever you like, then run the lesson again."],
            "fields": [
                _choice("decimal", "Decimal mark", list(DECIMALS), decimal),
                _choice("first", "Unit that stands first", list(FIRST), preferences.first),
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
