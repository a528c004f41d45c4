"""Exercises whose answer is more than one key: several of several, an order, a verdict with its reason.

All of them work as a choice does: declared givens, options in an order of their own, known mistakes by name. What is
partly right is worth a part, by a rule that whoever answers can read beforehand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar

from steadyneedle.questions import keys_in_text
from steadyneedle.questions.checking import Checked
from steadyneedle.questions.choice import OptionsExercise
from steadyneedle.questions.exercise import DEFAULT, Exercise, Givens, Mistake, Named
from steadyneedle.questions.keys_in_text import KeysError
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.wording import written

HALF = Fraction(1, 2)
NO_PART = "This answer does not fit what is given."


@dataclass(frozen=True, kw_only=True)
class KeyedExercise(OptionsExercise):
    """What the kinds below share.

    `work` gives the right keys as `answer`, and may give `offered`, the keys of the options of this draw.

    Parameters
    ----------
    choices : dict of str to str
        Key to text. A key is one word of small letters and digits.
    """

    most: ClassVar[int] = 10
    told: ClassVar[str] = ""
    """What one must know before answering."""
    rule: ClassVar[str] = ""
    """How part of the marks is given, in a sentence for whoever answers."""

    def __post_init__(self) -> None:
        odd = next((key for key in self.choices if not keys_in_text.KEY.fullmatch(key)), None)
        if odd is not None:
            raise ValueError(f"Exercise {self.name}: the key '{odd}' is no word of small letters and digits.")

    def names(self, givens: Givens) -> Named:
        """Givens and work, the right answer in words as `right`, and the keys `offered`.

        Raises
        ------
        ValueError
            The exercise calls something of its own `right`, or offers too few or too many options.
        """
        named = super().names(givens)
        named.setdefault("offered", tuple(self.choices))
        if not 2 <= len(named.offered) <= self.most:
            raise ValueError(f"Exercise {self.name}: it offers {len(named.offered)} options; 2 to {self.most} will do.")
        return named

    def options(self, givens: Givens) -> dict[str, str]:
        """Key to text, in the order shown."""
        return self.shuffled("options", givens, self._sorted(self.choices, self.names(givens).offered))

    def _sorted(self, texts: dict[str, str], keys: Iterable[str]) -> dict[str, str]:
        return {key: texts[key] for key in sorted(keys)}

    def fair(self, givens: Givens) -> bool:
        """Any numbers off the boundaries whose right keys are on offer."""
        names = self.names(givens)
        return set(names.answer) <= set(names.offered) and super().fair(givens)

    def check(self, givens: Givens, typed: str, preferences: Preferences = DEFAULT) -> Checked:
        """Right, or what part of it and which known mistakes it holds."""
        names = self.names(givens)
        try:
            said = self.read(givens, typed)
        except KeysError as error:
            return Checked("not read", (str(error),))
        if typed_as_right(self, givens, typed):
            return Checked("right", tuple(written(self.working, names, preferences)[-1:]))
        part = self.part(names, said)
        made = [mistake for mistake in self.mistakes if self.made(mistake, names, said)]
        lines = [line for mistake in made for line in written(mistake.sentence, names, preferences)]
        lines = list(dict.fromkeys(lines)) or self.help_lines(givens, preferences)[:1]
        lines.insert(0, self.why_part(names, said) if part else NO_PART)
        return Checked("known mistake" if made else "off", tuple(lines), made[0].name if made else "", part)

    def read(self, givens: Givens, typed: str) -> Any:
        """The keys of a text; KeysError where it is no answer."""
        raise NotImplementedError

    def part(self, names: Named, said: Any) -> Fraction:
        """What part of the marks an answer is worth that is not all right."""
        raise NotImplementedError

    def why_part(self, names: Named, said: Any) -> str:
        """Why it is worth that part."""
        raise NotImplementedError

    def made(self, mistake: Mistake, names: Named, said: Any) -> bool:
        """Whether an answer holds a known mistake."""
        raise NotImplementedError


def typed_as_right(exercise: KeyedExercise, givens: Givens, typed: str) -> bool:
    """Whether a text holds exactly the right keys."""
    return bool(exercise.read(givens, typed) == exercise.read(givens, exercise.solve(givens)))


@dataclass(frozen=True, kw_only=True)
class SeveralExercise(KeyedExercise):
    """Several of several options to tick; at least one is right, and never all.

    `answer` are the right keys. A mistake's answer is a key: it is made where that is ticked wrongly, or left out
    wrongly.
    """

    told = "At least one is right, and not all are."
    rule = "Each right one that you tick counts for you, each wrong one against you, never below nought."

    def solve(self, givens: Givens) -> str:
        """The right keys as one text."""
        return keys_in_text.as_several(self.names(givens).answer)

    def fair(self, givens: Givens) -> bool:
        """At least one is right, and not all are."""
        names = self.names(givens)
        return 0 < len(names.answer) < len(names.offered) and super().fair(givens)

    def read(self, givens: Givens, typed: str) -> frozenset[str]:
        """The keys ticked; KeysError where it is no answer."""
        return keys_in_text.read_several(typed, self.names(givens).offered)

    def in_words(self, answer: Iterable[str]) -> str:
        """The words of the keys, side by side."""
        return "; ".join(self.choices[key] for key in sorted(answer))

    def part(self, names: Named, said: frozenset[str]) -> Fraction:
        """Right ones less wrong ones, of all right ones."""
        right = set(names.answer)
        return max(Fraction(len(said & right) - len(said - right), len(right)), Fraction(0))

    def why_part(self, names: Named, said: frozenset[str]) -> str:
        """How many are right and wrong."""
        right = set(names.answer)
        return f"Right: {len(said & right)} of {len(right)}. Wrong: {len(said - right)}."

    def made(self, mistake: Mistake, names: Named, said: frozenset[str]) -> bool:
        """Whether its key is on the wrong side."""
        key = mistake.answer(names)
        return key in names.offered and (key in said) != (key in names.answer)


@dataclass(frozen=True, kw_only=True)
class OrderExercise(KeyedExercise):
    """Steps to put into their one order.

    `answer` are all keys on offer, in the right order. A mistake's answer is a pair of keys: it is made where the
    first stands before the second.
    """

    rule = "The whole order right earns all marks. Two neighbouring steps exchanged, and all else right, earns half."

    def solve(self, givens: Givens) -> str:
        """The right order as one text."""
        return keys_in_text.as_order(self.names(givens).answer)

    def fair(self, givens: Givens) -> bool:
        """Each step on offer has its one place."""
        names = self.names(givens)
        return sorted(names.answer) == sorted(names.offered) and super().fair(givens)

    def read(self, givens: Givens, typed: str) -> tuple[str, ...]:
        """The keys in their order; KeysError where it is no answer."""
        return keys_in_text.read_order(typed, self.names(givens).offered)

    def in_words(self, answer: Iterable[str]) -> str:
        """The steps, numbered."""
        return "; ".join(f"{n}. {self.choices[key]}" for n, key in enumerate(answer, 1))

    def part(self, names: Named, said: tuple[str, ...]) -> Fraction:
        """Half where one exchange of neighbours mends it."""
        off = [n for n, key in enumerate(names.answer) if said[n] != key]
        return HALF if len(off) == 2 and off[1] - off[0] == 1 else Fraction(0)

    def why_part(self, names: Named, said: tuple[str, ...]) -> str:
        """That two neighbours are exchanged."""
        return "Two neighbouring steps are exchanged, all else is right."

    def made(self, mistake: Mistake, names: Named, said: tuple[str, ...]) -> bool:
        """Whether the first of its pair stands before the second, and should not."""
        pair = mistake.answer(names)
        if pair is None or not set(pair) <= set(said):
            return False
        first, second = pair
        return said.index(first) < said.index(second) and names.answer.index(first) > names.answer.index(second)


@dataclass(frozen=True, kw_only=True)
class VerdictExercise(KeyedExercise):
    """A verdict and the reason for it, chosen one beside the other; they must agree.

    `answer` is a pair: the key of the verdict, of the reason. A mistake's answer is such a pair, with None where
    anything may stand.

    Parameters
    ----------
    reasons : dict of str to str
        Key to text of the reasons; `choices` are the verdicts.
    """

    reasons: dict[str, str]
    rule = (
        "A right verdict with its right reason earns all marks, a right verdict with another reason half, a wrong "
        "verdict nothing."
    )

    def __post_init__(self) -> None:
        super().__post_init__()
        if not all(map(keys_in_text.KEY.fullmatch, self.reasons)):
            raise ValueError(f"Exercise {self.name}: a key of a reason is one word of small letters and digits.")

    def reasons_shown(self, givens: Givens) -> dict[str, str]:
        """Key to text of the reasons, in the order shown."""
        return self.shuffled("reasons", givens, self._sorted(self.reasons, self.reasons))

    def solve(self, givens: Givens) -> str:
        """Verdict and reason as one text."""
        return keys_in_text.as_because(*self.names(givens).answer)

    def fair(self, givens: Givens) -> bool:
        """Verdict and reason are on offer."""
        verdict, reason = self.names(givens).answer
        return verdict in self.choices and reason in self.reasons and Exercise.fair(self, givens)

    def read(self, givens: Givens, typed: str) -> tuple[str, str]:
        """Verdict and reason; KeysError where it is no answer."""
        return keys_in_text.read_because(typed, self.choices, self.reasons)

    def in_words(self, answer: tuple[str, str]) -> str:
        """The verdict, and why."""
        return f"{self.choices[answer[0]]}, because {self.reasons[answer[1]]}"

    def part(self, names: Named, said: tuple[str, str]) -> Fraction:
        """Half for the right verdict."""
        return HALF if said[0] == names.answer[0] else Fraction(0)

    def why_part(self, names: Named, said: tuple[str, str]) -> str:
        """That the verdict alone is right."""
        return "The verdict is right, but not for this reason."

    def made(self, mistake: Mistake, names: Named, said: tuple[str, str]) -> bool:
        """Whether an answer is the mistaken person's; a mistake of the verdict alone is none where that is right."""
        pair = mistake.answer(names)
        if pair is None or pair == (names.answer[0], None):
            return False
        return all(one in (None, other) for one, other in zip(pair, said, strict=True))
