"""The exercise, declared: what is drawn, what is worked out from it, what people get wrong, what is said.

A question is data: names for the numbers drawn (the givens), names for what follows from them (the work, the answer
among them), and sentences over those names. The mechanism draws, asks, solves, checks and localises; lessons
practise an exercise, papers assess it, marking solves it, all through here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, TypeVar

from steadyneedle.bench.units import Q, Quantity, read_quantity
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions import checking, confusions, enough, what_counts
from steadyneedle.questions.checking import Checked, clear_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.shown import Shown
from steadyneedle.questions.wording import Text, written

Givens = dict[str, Any]
TRIES = 500
_COUNTED = re.compile(r"(?:how many |type (?:it in )?|in (?=percent))([a-z/]+)", re.I)
KEPT = 32
DEFAULT = Preferences()
Made = TypeVar("Made")


class Named(dict[str, Any]):
    """Givens and work of one question, by name.

    >>> Named({"psi": 145}).psi
    145
    """

    def __getattr__(self, name: str) -> Any:
        try:
            return self[name]
        except KeyError:
            raise AttributeError(name) from None


@dataclass(frozen=True)
class Mistake:
    """A known mistake: what the mistaken person answers, and what to say to them.

    `answer` takes the names of the question and gives what `work` calls `answer`: a number in the exercise's unit or
    the key of an option. It needs no guard for numbers where it happens to be right; it returns None where nobody could
    make it, or where its sentence would be untrue. Of two mistakes with one answer the first is named.
    """

    name: str
    answer: Callable[[Named], Any]
    sentence: str


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """What every question declares, whatever is typed or chosen.

    Parameters
    ----------
    name, title : str
        In the file, and for people.
    objectives : tuple of int
        Numbers of the lesson's objectives it assesses, its own first: the one that it asks for its own sake. All of
        them wait for it to be done; only its own is met by it.
    draw : callable
        Draws -> givens: plain numbers and words.
    work : callable
        Givens -> every other quantity of the question by name, `answer` among them: a number in the exercise's unit,
        or the key of the right option.
    ask, hints, working : str or tuple of str
        Format strings over givens and work. Gentle hints first; units carried through the working.
    mistakes : tuple of Mistake
        In the order in which they are looked for.
    boundaries : callable
        Names -> (value, boundary, shown digit) of each comparison that the answer hangs on, boundary itself left out
        where it is what is asked. Numbers are drawn again that lie within one shown digit of a boundary.
    optional : bool
        Worth a look, but no objective waits for it.
    shows : callable or None
        Names -> what is shown beside the words.
    version : int
        Raised when numbers, question or right answer change; answers kept under another version are put aside.
    """

    name: str
    title: str
    objectives: tuple[int, ...]
    draw: Callable[[Draws], Givens]
    work: Callable[[Named], Mapping[str, Any]]
    ask: Text
    mistakes: tuple[Mistake, ...]
    hints: Text
    working: Text
    boundaries: Callable[[Named], tuple[tuple[float, float, float], ...]] = lambda w: ()
    optional: bool = False
    version: int = 1
    shows: Callable[[Named], Shown] | None = None

    def givens(self, *words: str | int, secret: bytes = b"") -> Givens:
        """Numbers for the words given, drawn again until they are fair."""
        return self.numbers(self.first_fair(*words, secret=secret), *words, secret=secret)

    def first_fair(self, *words: str | int, secret: bytes = b"") -> int:
        """Which draw for the words given is the first with fair numbers, from 0.

        Raises
        ------
        RuntimeError
            None is: the exercise is at fault.
        """
        for at in range(TRIES):
            if self.fair(self._drawn(at, *words, secret=secret)):
                return at
        raise RuntimeError(f"Exercise {self.name}: no fair numbers in {TRIES} draws.")

    def numbers(self, at: int, *words: str | int, secret: bytes = b"") -> Givens:
        """The numbers of one draw, whether they are fair or not."""
        return self._drawn(at, *words, secret=secret)

    def _drawn(self, at: int, *words: str | int, secret: bytes) -> Givens:
        return self.draw(Draws(self.name, self.version, *words, at, secret=secret))

    @cached_property
    def _worked(self) -> dict[tuple[tuple[str, Any], ...], Named]:
        """Names of the givens asked for last: one check of an answer asks for them several times."""
        return {}

    @cached_property
    def _asked(self) -> dict[tuple[tuple[str, Any], ...], list[str]]:
        """Lines of the questions asked for last, as they are written before anybody's decimal mark."""
        return {}

    def names(self, givens: Givens) -> Named:
        """Givens and work together."""

        def worked() -> Named:
            named = Named(givens)
            named.update(self.work(named))
            return named

        named: Named = _kept(self._worked, givens, worked)
        return Named(named)

    def question(self, givens: Givens, preferences: Preferences = DEFAULT) -> list[str]:
        """Lines of the question."""
        lines = _kept(self._asked, givens, lambda: written(self.ask, self.names(givens), DEFAULT))
        return [preferences.localise(line) for line in lines]

    def shown(self, givens: Givens) -> Shown | None:
        """What stands beside the words; None where there is nothing."""
        return self.shows(self.names(givens)) if self.shows else None

    def help_lines(self, givens: Givens, preferences: Preferences = DEFAULT) -> list[str]:
        """Hints, gentle ones first."""
        return written(self.hints, self.names(givens), preferences)

    def steps(self, givens: Givens, preferences: Preferences = DEFAULT) -> list[str]:
        """Steps of the worked solution."""
        return written(self.working, self.names(givens), preferences)

    def fair(self, givens: Givens) -> bool:
        """Whether these numbers may be asked: none lies within one shown digit of a boundary."""
        return all(clear_of(*one) for one in self.boundaries(self.names(givens)))

    def solve(self, givens: Givens) -> Any:
        """The right answer: a quantity, or the key of an option."""
        raise NotImplementedError

    def check(self, givens: Givens, typed: str, preferences: Preferences = DEFAULT) -> Checked:
        """What an answer as typed, or the key of an option, is worth, and what to say to it."""
        raise NotImplementedError


def _kept(store: dict[tuple[tuple[str, Any], ...], Made], givens: Givens, make: Callable[[], Made]) -> Made:
    """What was made of these givens before, or is made of them now; the last few are kept."""
    key = tuple(sorted(givens.items()))
    if key not in store:
        made = make()
        if len(store) >= KEPT:
            store.clear()
        store[key] = made
    return store[key]


@dataclass(frozen=True, kw_only=True)
class QuantityExercise(Exercise):
    """A quantity to type with its unit.

    Parameters
    ----------
    kind : str
        Kind of quantity, as `read_quantity`.
    unit : str
        Unit the question asks in; any other of its kind is as good, but for the one in which it is asked.
    relative : float
        Tolerance as a part of the right answer.
    absolute : float
        Tolerance in `unit`; the larger of the two counts.
    why : str
        Reason of the tolerance.
    figures : int
        Significant figures the answer deserves; 0 where the question makes it exact, as a count or a mark is. Rounded
        to them it is right whatever the tolerance.
    reading : bool
        Whether it is something that a needle or a clock shows: then 0.1 bar, 1 psi or a whole minute will do.
    half_width : bool
        Whether it is how far something may be off either way: then ± may stand before it, and rounded up it counts.
    step : float
        Step in `unit` to which it may be rounded, whatever the tolerance, where the bench writes it no closer; 0 for
        none.
    says_enough : bool
        Whether the question's own words say how close the answer has to be; of others a paper says it.
    limit : str
        "at most" or "at least" where the answer is itself a limit: a number beyond it is never right, and rounding
        goes inward.
    """

    kind: str = "pressure"
    unit: str = "bar"
    relative: float = 0.005
    absolute: float = 0.0
    why: str = ""
    figures: int = 3
    reading: bool = True
    half_width: bool = False
    step: float = 0.0
    says_enough: bool = False
    limit: str = ""

    @cached_property
    def unit_name(self) -> str:
        """The unit asked, as the registry calls it."""
        return str(Q(1, self.unit).units)

    @cached_property
    def names_its_unit(self) -> bool:
        """Whether the question's own words say what the number counts: "in percent", "how many minutes", "type metres".

        "What is that in bar?" is no such question: there the unit is what is asked.
        """
        words = self.ask if isinstance(self.ask, str) else " ".join(self.ask)
        return any(self._is_its_unit(word) for word in _COUNTED.findall(words))

    def _is_its_unit(self, word: str) -> bool:
        try:
            return str(read_quantity(f"1 {word}", self.kind).units) == self.unit_name
        except ValueError:
            return False

    @property
    def rate(self) -> bool:
        """Whether it is a pressure rate, of which two figures are enough."""
        return self.kind == "pressure rate"

    def solve(self, givens: Givens) -> Quantity:
        """The right answer, in the unit asked."""
        return Q(self.names(givens).answer, self.unit)

    def fair(self, givens: Givens) -> bool:
        """No known mistake leads to the right answer, however it is rounded; nor does a number of the question."""
        names = self.names(givens)
        made = [mistake.answer(names) for mistake in self.mistakes]
        wrong = [form for one in made if one is not None for form in checking.forms(self, one)]
        if any(checking.says_right(self, one, names.answer, self.unit_name) for one in wrong):
            return False
        quoted = confusions.quoted(self, self.question(givens))
        same_unit = [value for value, unit in quoted if unit == self.unit_name]
        return super().fair(givens) and not any(
            checking.says_right(self, one, names.answer, self.unit_name) for one in same_unit
        )

    def check(self, givens: Givens, typed: str, preferences: Preferences = DEFAULT) -> Checked:
        """Right, a known mistake, or too high or too low."""
        names = self.names(givens)
        try:
            answer, read = checking.read(self, typed, names.answer, preferences)
        except ValueError as error:
            return Checked("not read", (preferences.localise(str(error)),))
        checked = self._judged(givens, names, answer, typed, preferences)
        return replace(checked, lines=(read, *checked.lines)) if read else checked

    def _judged(self, givens: Givens, names: Named, answer: Quantity, typed: str, preferences: Preferences) -> Checked:
        """A quantity that was read, beside the right answer and the known mistakes."""
        value, right, unit = float(answer.to(self.unit_name).magnitude), names.answer, str(answer.units)
        asked = self.question(givens)
        is_right = checking.says_right(self, value, right, unit)
        again = confusions.typed_back(self, answer, right, asked)
        past = confusions.rounded_past(self, answer, right)
        first = again or (past if unit != self.unit_name else None)
        if first:  # before mistakes that happen to be the same quantity, or that psi or seconds cannot tell from it
            return first
        if is_right:
            return Checked("right", what_counts.deserved(self, right, typed, preferences))
        mistake = self._mistaken(value, unit, names)
        said = tuple(written(mistake.sentence, names, preferences)) if mistake else ()
        coarse = enough.rounded_too_far(self, answer, right, typed, said)
        if mistake and not coarse:  # what is both may be either
            coarse = Checked("known mistake", said, mistake.name)
        if coarse:
            return coarse
        confused = past or confusions.confusion(self, answer, names, asked)
        if confused:
            return replace(confused, lines=tuple(preferences.localise(line) for line in confused.lines))
        way = "high" if value > right else "low"
        hint = self.help_lines(givens, preferences)[0]
        return Checked("off", (f"That is too {way}. {hint}",))

    def _mistaken(self, value: float, unit: str, names: Named) -> Mistake | None:
        """The first known mistake that a number in the unit asked says; `unit` is the one typed."""
        made = ((mistake, mistake.answer(names)) for mistake in self.mistakes)
        return next((one for one, way in made if way is not None and checking.says(self, value, way, unit)), None)
