"""One of several answers to choose, and what all exercises with options share: texts under keys, in a drawn order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.checking import Checked
from steadyneedle.questions.exercise import DEFAULT, Exercise, Givens, Mistake, Named
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.wording import written

SINCE_0_1_0 = {"it stands still": "it holds steady"}
"""Words of options that version 0.1.0 kept, and how they read now; versions of an exercise say the rest."""


def kept_key(options: Mapping[str, str], kept: str) -> str:
    """The key of an option that was kept; version 0.1.0 kept an option's words, and some words have changed since.

    >>> kept_key({"bar": "in bar", "psi": "in psi"}, "in psi"), kept_key({"bar": "in bar"}, "neither")
    ('psi', '')
    """
    said = SINCE_0_1_0.get(kept, kept)
    return kept if kept in options else next((key for key, words in options.items() if words in (kept, said)), "")


@dataclass(frozen=True, kw_only=True)
class OptionsExercise(Exercise):
    """What exercises with options share. Kept and handed-in answers hold keys, so that words may change.

    `right` is the right answer in words; no exercise may call something of its own so.

    Parameters
    ----------
    choices : dict of str to str
        Key to text.
    """

    choices: dict[str, str]

    def numbers(self, at: int, *words: str | int, secret: bytes = b"") -> Givens:
        """The numbers of one draw, and `order`: the same numbers come back with another order of options."""
        order = Draws("order", self.name, self.version, *words, secret=secret).integer(0, 9999)
        return {**super().numbers(at, *words, secret=secret), "order": f"{order:04d}"}

    def names(self, givens: Givens) -> Named:
        """Givens and work, and the right answer in words as `right`.

        Raises
        ------
        ValueError
            The exercise calls something of its own `right`.
        """
        named = super().names(givens)
        if "right" in named:
            raise ValueError(f"Exercise {self.name}: 'right' is the right answer's words. Give your own name to yours.")
        named["right"] = self.in_words(named.answer)
        return named

    def in_words(self, answer: Any) -> str:
        """An answer's key, or keys, in words."""
        return self.choices.get(answer, "")

    def shuffled(self, what: str, givens: Givens, texts: Mapping[str, str]) -> dict[str, str]:
        """Key to text in the order shown: another order for other givens."""
        words = (f"{name}={givens[name]}" for name in sorted(givens))
        return {key: texts[key] for key in Draws(f"order of {what}", self.name, *words).order([*texts])}


@dataclass(frozen=True, kw_only=True)
class ChoiceExercise(OptionsExercise):
    """One of several answers to choose."""

    def options(self, givens: Givens) -> dict[str, str]:
        """Key to text, in the order shown."""
        return self.shuffled("options", givens, self.choices)

    def solve(self, givens: Givens) -> str:
        """The key of the right option."""
        return str(self.names(givens).answer)

    def fair(self, givens: Givens) -> bool:
        """Any numbers off the boundaries will do: a mistake that is right for some is skipped with them."""
        return self.solve(givens) in self.choices and super().fair(givens)

    def named_mistakes(self, names: Named) -> dict[str, Mistake]:
        """Key of a wrong option to the known mistake behind it; of two behind one option the first."""
        found: dict[str, Mistake] = {}
        for mistake in self.mistakes:
            key = mistake.answer(names)
            if key is not None and key != names.answer:
                found.setdefault(key, mistake)
        return found

    def key_of(self, givens: Givens, kept: str) -> str:
        """The key of a kept answer; version 0.1.0 kept an option's words."""
        return kept_key(self.options(givens), kept)

    def check(self, givens: Givens, typed: str, preferences: Preferences = DEFAULT) -> Checked:
        """Right, the known mistake behind the option, or what does not fit."""
        if typed not in list(self.options(givens)):
            return Checked("not read", ("Choose one of the answers, then check.",))
        names = self.names(givens)
        if typed == names.answer:
            return Checked("right", tuple(written(self.working, names, preferences)[-1:]))
        mistake = self.named_mistakes(names).get(typed)
        if mistake:
            return Checked("known mistake", tuple(written(mistake.sentence, names, preferences)), mistake.name)
        return Checked("off", ("This answer does not fit what is given.",))
