"""The form in which a learner says comma or point, bar or psi."""

from __future__ import annotations

from collections.abc import Iterable

from steadyneedle.bench.units import Q
from steadyneedle.questions.preferences import DECIMALS, FIRST
from steadyneedle.teaching.frame.form import Button, ChoiceField, Form, Message
from steadyneedle.teaching.learner.kept import CHOICES
from steadyneedle.teaching.learner.progress import Progress


def _field(name: str, label: str, options: Iterable[str], value: str) -> ChoiceField:
    return ChoiceField(name, label, tuple((one, one) for one in options), value)


class PreferencesSession:
    """The form in which a learner says comma or point, bar or psi."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress

    def view(self) -> Form:
        """The form as it stands."""
        preferences = self._progress.preferences()
        decimal = next(words for words, value in DECIMALS.items() if value == preferences.decimal)
        kept = Message("Kept", (f"A pressure now reads {preferences.both(Q(9.8, 'bar'))}.",))
        return Form(
            title="How you write numbers",
            question=("Kept once, for all lessons. Change it whenever you like, then load the page again (F5).",),
            fields=(
                _field("decimal", "Decimal mark", DECIMALS, decimal),
                _field("first", "Unit that stands first", FIRST, preferences.first),
            ),
            buttons=(Button("keep", "Save"),),
            enter="keep",
            message=kept if self._progress.entry("choices", fields=CHOICES) else Message(),
            version=1,
        )

    def typed(self, answers: dict[str, str]) -> None:
        """Keep the choice at once."""
        with self._progress.change("choices", fields=CHOICES) as entry:
            entry["decimal"] = DECIMALS.get(answers.get("decimal", ""))
            entry["first"] = answers.get("first") if answers.get("first") in FIRST else "bar"

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Nothing more to do: the view shows what was kept."""
