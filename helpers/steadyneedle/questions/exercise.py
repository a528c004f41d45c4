"""The one mechanism of every exercise: draw, ask, solve, known mistakes, hints, tolerance, version.

Lessons practise an exercise, papers will assess it, marking will solve it: all through this module.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from steadyneedle.bench.units import Q, label, read_quantity
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.preferences import Preferences

Givens = dict[str, Any]
TRIES = 500


@dataclass(frozen=True)
class Mistake:
    """A known mistake: what the mistaken person computes, and what to say to them.

    `compute` returns what `solve` returns: a quantity, or one of the options.
    """

    name: str
    compute: Callable[[Givens], Any]
    say: str


@dataclass(frozen=True)
class Feedback:
    """What a check ends in. `outcome`: "right", "known mistake", "off" or "not read"."""

    outcome: str
    because: str
    lines: tuple[str, ...] = ()
    mistake: str = ""


@dataclass(frozen=True)
class Exercise:
    """What every question has, whatever is typed or chosen.

    Parameters
    ----------
    name, title : str
        In the file, and for people.
    version : int
        Raised when the numbers, the question or the right answer change.
    objectives : tuple of int
        Numbers of the lesson's objectives it assesses.
    draw : callable
        Draws -> givens: plain numbers and words.
    ask : callable
        givens, preferences -> lines of the question.
    solve : callable
        givens -> the right answer.
    mistakes : tuple of Mistake
        In the order in which they are looked for.
    hints : callable
        givens, preferences -> hints, gentle ones first.
    working : callable
        givens, preferences -> steps of the worked solution, units carried through.
    """

    name: str
    title: str
    version: int
    objectives: tuple[int, ...]
    draw: Callable[[Draws], Givens]
    ask: Callable[[Givens, Preferences], tuple[str, ...]]
    solve: Callable[[Givens], Any]
    mistakes: tuple[Mistake, ...]
    hints: Callable[[Givens, Preferences], tuple[str, ...]]
    working: Callable[[Givens, Preferences], tuple[str, ...]]

    def givens(self, *words: str | int, secret: bytes = b"") -> Givens:
        """Numbers for the words given: no known mistake leads to the right answer, no two to the same one."""
        for attempt in range(TRIES):
            givens = self.draw(Draws(self.name, self.version, *words, attempt, secret=secret))
            if self.fair(givens):
                return givens
        raise RuntimeError(f"Exercise {self.name}: no fair numbers in {TRIES} draws.")

    def question(self, givens: Givens, preferences: Preferences) -> list[str]:
        """Lines of the question in the learner's decimal mark."""
        return [preferences.localise(line) for line in self.ask(givens, preferences)]

    def help_lines(self, givens: Givens, preferences: Preferences) -> list[str]:
        """Hints in the learner's decimal mark, gentle ones first."""
        return [preferences.localise(line) for line in self.hints(givens, preferences)]

    def steps(self, givens: Givens, preferences: Preferences) -> list[str]:
        """Steps of the worked solution in the learner's decimal mark."""
        return [preferences.localise(line) for line in self.working(givens, preferences)]

    def fair(self, givens: Givens) -> bool:
        """Whether the answer and every known mistake can be told apart."""
        values = [self.solve(givens), *(mistake.compute(givens) for mistake in self.mistakes)]
        return not any(self.same(a, b, givens, 2.0) for i, a in enumerate(values) for b in values[:i])

    def same(self, one: Any, other: Any, givens: Givens, tolerances: float = 1.0) -> bool:
        """Whether two answers count as the same."""
        raise NotImplementedError

    def field(self, givens: Givens, typed: str) -> dict[str, Any]:
        """The field of the form."""
        raise NotImplementedError

    def check(self, givens: Givens, typed: str, preferences: Preferences) -> Feedback:
        """What to say to an answer as typed."""
        raise NotImplementedError


@dataclass(frozen=True)
class QuantityExercise(Exercise):
    """A quantity to type with its unit.

    Parameters
    ----------
    kind : str
        Kind of quantity, as `read_quantity`.
    unit : str
        Unit the question asks in; any other of its kind is as good.
    relative : float
        Tolerance as a part of the right answer.
    absolute : float
        Tolerance in `unit`; the larger of the two counts.
    why : str
        Reason of the tolerance.
    figures : int
        Significant figures the answer deserves; 0 where it is a whole number by the question.
    """

    kind: str = "pressure"
    unit: str = "bar"
    relative: float = 0.005
    absolute: float = 0.0
    why: str = ""
    figures: int = 3

    def tolerance(self, givens: Givens) -> float:
        """Tolerance in the unit asked; an answer rounded to the figures it deserves always counts."""
        right = self._in_unit(self.solve(givens))
        rounded = 0.5 * 10.0 ** -decimals_for(right, self.figures, whole=True) if self.figures else 0.0
        return max(self.relative * abs(right), self.absolute, rounded)

    def _in_unit(self, quantity: Any) -> float:
        return float(quantity.to(Q(1, self.unit).units).magnitude)

    def same(self, one: Any, other: Any, givens: Givens, tolerances: float = 1.0) -> bool:
        """Whether two quantities lie within so many tolerances."""
        apart = abs(self._in_unit(one) - self._in_unit(other))
        return apart <= self.tolerance(givens) * tolerances * (1 + 1e-9)

    def field(self, givens: Givens, typed: str) -> dict[str, Any]:
        """A line to type in."""
        return {
            "kind": "text",
            "name": "answer",
            "label": f"Your answer, in {label(Q(1, self.unit).units) or 'numbers'}",
            "value": typed,
            "note": "",
        }

    def check(self, givens: Givens, typed: str, preferences: Preferences) -> Feedback:
        """Right, a known mistake, or off by how much."""
        try:
            answer = read_quantity(typed, self.kind, preferences.decimal)
        except ValueError as error:
            return Feedback("not read", "Not read yet.", (str(error),))
        right = self.solve(givens)
        if self.same(answer, right, givens):
            return Feedback("right", "Right.", self._deserved(right, typed, givens, preferences))
        for mistake in self.mistakes:
            if self.same(answer, mistake.compute(givens), givens):
                return Feedback("known mistake", "Not yet.", (preferences.localise(mistake.say),), mistake.name)
        slip = self._unit_slip(answer, right, givens)
        return slip or Feedback("off", "Not yet.", (self._off(answer, right, preferences),))

    def _deserved(self, right: Any, typed: str, givens: Givens, preferences: Preferences) -> tuple[str, ...]:
        value = self._in_unit(right)
        if not self.figures:
            return (f"{preferences.format(right)}: {self.why}",)
        best = preferences.format(Q(value, self.unit), decimals_for(value, self.figures))
        count = significant(typed)
        line = f"The answer deserves {self.figures} figures: {best}."
        if count > self.figures + 1:
            line += f" You typed {count}: the last ones claim more than the numbers given can tell."
        margin = preferences.format(Q(float(f"{self.tolerance(givens):.2g}"), self.unit))
        return (line, f"Answers within {margin} count: {self.why}")

    def _unit_slip(self, answer: Any, right: Any, givens: Givens) -> Feedback | None:
        wanted, tolerance = self._in_unit(right), self.tolerance(givens)
        if abs(float(answer.magnitude) - wanted) > tolerance or label(answer.units) == label(Q(1, self.unit).units):
            return None
        line = f"The number is right in {label(Q(1, self.unit).units)}, but you typed {label(answer.units)}."
        return Feedback("known mistake", "Not yet.", (line,), "another unit")

    def _off(self, answer: Any, right: Any, preferences: Preferences) -> str:
        apart = self._in_unit(answer) - self._in_unit(right)
        way = "too high" if apart > 0 else "too low"
        value = self._in_unit(right)
        times = self._in_unit(answer) / value if value else math.inf
        if times > 0 and not 0.2 < times < 5:
            return f"That is {preferences.number(max(times, 1 / times), 1)} times too {'large' if times > 1 else 'small'}. Check each factor and the direction of the conversion."
        return f"That is {preferences.format(Q(abs(apart), self.unit), decimals_for(apart, 2))} {way}. Check each step, or ask for a hint."


@dataclass(frozen=True)
class ChoiceExercise(Exercise):
    """One of several answers to choose. A known mistake that does not apply to the numbers returns ""."""

    options: Callable[[Givens, Preferences], tuple[str, ...]] = field(default=lambda givens, preferences: ())

    def same(self, one: Any, other: Any, givens: Givens, tolerances: float = 1.0) -> bool:
        """Whether it is the same option."""
        return bool(one) and one == other

    def fair(self, givens: Givens) -> bool:
        """No mistake leads to the right option, no two to the same, and the options differ."""
        options = self.options(givens, Preferences())
        return super().fair(givens) and len(set(options)) == len(options) and self.solve(givens) in options

    def field(self, givens: Givens, typed: str) -> dict[str, Any]:
        """The options."""
        return {
            "kind": "one",
            "name": "answer",
            "label": "Choose one",
            "options": list(self.options(givens, Preferences())),
            "value": typed,
            "fixed": False,
        }

    def check(self, givens: Givens, typed: str, preferences: Preferences) -> Feedback:
        """Right, the known mistake behind the option, or what does not fit."""
        if not typed:
            return Feedback("not read", "Nothing chosen yet.", ("Choose one of the answers, then check.",))
        if typed == self.solve(givens):
            return Feedback("right", "Right.", tuple(self.steps(givens, preferences)[-1:]))
        for mistake in self.mistakes:
            if typed == mistake.compute(givens):
                return Feedback("known mistake", "Not yet.", (preferences.localise(mistake.say),), mistake.name)
        return Feedback("off", "Not yet.", ("This answer does not fit the numbers given. Ask for a hint.",))


def decimals_for(value: float, figures: int, whole: bool = False) -> int:
    """Digits after the mark that show `figures` significant figures; `whole` lets them be negative.

    >>> decimals_for(9.997, 3), decimals_for(0.0312, 2), decimals_for(2647.0, 3, whole=True)
    (1, 3, -1)
    """
    size = int(f"{value:.{figures - 1}e}".partition("e")[2])
    return figures - 1 - size if whole else max(figures - 1 - size, 0)


def significant(typed: str) -> int:
    """Significant figures of a number as typed.

    >>> significant("0,0980 MPa"), significant("142 psi"), significant("1.5e2 psi")
    (3, 3, 2)
    """
    match = re.match(r"[^0-9]*([0-9][0-9 .,]*)", typed)
    digits = re.sub(r"[ .,]", "", match.group(1)) if match else ""
    return len(digits.lstrip("0"))


@dataclass(frozen=True)
class Prediction:
    """A question asked before a panel is uncovered, and the explanation afterwards."""

    name: str
    question: str
    options: tuple[str, ...]
    explain: str


@dataclass(frozen=True)
class Plan:
    """What a lesson teaches and asks."""

    number: str
    title: str
    minutes: str
    objectives: tuple[str, ...]
    exercises: tuple[Exercise, ...]
    predictions: tuple[Prediction, ...] = ()
    warm_up: tuple[tuple[str, str], ...] = ()

    def exercise(self, name: str) -> Exercise:
        """An exercise by name."""
        return next(one for one in self.exercises if one.name == name)

    def prediction(self, name: str) -> Prediction:
        """A prediction by name."""
        return next(one for one in self.predictions if one.name == name)

    def assessing(self, objective: int) -> Iterator[Exercise]:
        """The exercises that assess an objective, numbered from 1."""
        return (one for one in self.exercises if objective in one.objectives)
