"""Which lesson teaches and asks what."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

from steadyneedle.bench.bands.specification import Sheet
from steadyneedle.questions.choice import kept_key
from steadyneedle.questions.exercise import Exercise, QuantityExercise

Thing = TypeVar("Thing")

MODULES = {
    "00": "start_here",
    "01": "pressure",
    "02": "reduction",
    "03": "bands",
    "04": "creep",
    "04b": "causes",
    "05": "cleaning",
}
"""Lesson number -> the module of its questions, and of its panels."""


SURE = {"guess": "a guess", "fairly": "fairly sure", "sure": "sure"}
"""How sure one is of a prediction: key to words."""

MOVE, TABLE = "Now look: move the controls below.", "Now look at the table below."
GRID, READ_ON = "Now look at the grid below.", "Now read on below."


@dataclass(frozen=True)
class Prediction:
    """A question asked before what answers it is uncovered, and the explanation afterwards.

    `options` are key to text; a kept prediction holds the key. `explain` is a function where its numbers are computed:
    whoever only asks need not wait for them. `look` says what to do with what is uncovered. Where `how_sure`, it also
    asks how sure one is, and `reply` may answer the two keys. `by_sheet` makes the same question of the sheet in use.
    """

    name: str
    question: str
    options: dict[str, str]
    explain: str | Callable[[], str]
    look: str = MOVE
    how_sure: bool = False
    reply: Callable[[str, str], str] | None = None
    by_sheet: Callable[[Sheet], Prediction] | None = None

    @property
    def explanation(self) -> str:
        """What is said once one has looked."""
        return self.explain if isinstance(self.explain, str) else self.explain()

    def key_of(self, kept: str) -> str:
        """The key of a kept prediction; version 0.1.0 kept an option's words."""
        return kept_key(self.options, kept)


@dataclass(frozen=True)
class Series:
    """One question asked of several things in turn, each with how sure one is; the reply comes after each answer.

    `panel` names the panel whose main control goes through them, from 1 to `count`; set as `covered` says it keeps its
    answer to itself. `right` gives the key of the right option, `because` the sentence why.
    """

    name: str
    question: str
    options: dict[str, str]
    count: int
    panel: str
    covered: dict[str, str]
    right: Callable[[int], str]
    because: Callable[[int], str]

    def one_of(self, number: int) -> str:
        """Name of one of them."""
        return f"{self.name} {number}"


@dataclass(frozen=True)
class HiddenFault:
    """What is wrong with the regulator on a bench, how sure, which stage to open: asked of each surprise.

    `panel` names the bench.
    """

    name: str
    panel: str


Asked = Prediction | Series | HiddenFault
"""What stands before a cover."""


@dataclass(frozen=True)
class Act:
    """Something to do that no question asks for: the page reports it, and once is enough.

    It is kept under `name`; `words` say what to do, `beside` names the exercise where one can.
    """

    name: str
    objective: int
    words: str
    beside: str


@dataclass(frozen=True)
class Plan:
    """What a lesson teaches and asks."""

    number: str
    title: str
    minutes: str
    objectives: tuple[str, ...]
    exercises: tuple[Exercise, ...]
    predictions: tuple[Asked, ...] = ()
    warm_up: tuple[tuple[str, str], ...] = ()
    acts: tuple[Act, ...] = ()

    def exercise(self, name: str) -> Exercise:
        """An exercise by name; ValueError names those there are."""
        return self._one("exercise", name, {one.name: one for one in self.exercises})

    def prediction(self, name: str) -> Asked:
        """What is asked under a name before something is uncovered; ValueError names those there are."""
        return self._one("prediction", name, {one.name: one for one in self.predictions})

    def _one(self, what: str, name: str, there: dict[str, Thing]) -> Thing:
        if name not in there:
            raise ValueError(f"Lesson {self.number} has no {what} '{name}'; it has {', '.join(there)}.")
        return there[name]

    def assessing(self, objective: int) -> Iterator[Exercise]:
        """The exercises that assess an objective, numbered from 1."""
        return (one for one in self.exercises if objective in one.objectives)

    def own(self, objective: int) -> tuple[Exercise, ...]:
        """The exercises that ask an objective for its own sake; empty where it is met by doing."""
        return tuple(one for one in self.exercises if one.objectives[0] == objective)

    def coming_back(self, objective: int) -> tuple[Exercise, ...]:
        """Those of its own exercises by which an objective is met: its quantities, or choices where it has none."""
        own = tuple(one for one in self.own(objective) if not one.optional)
        return tuple(one for one in own if isinstance(one, QuantityExercise)) or own


def plan_of(number: str) -> Plan:
    """What lesson `number` teaches and asks.

    >>> plan_of("01").title
    'Pressure and its units'
    """
    if number not in MODULES:
        raise ValueError(f"There is no lesson {number}; there are {', '.join(MODULES)}.")
    plan: Plan = importlib.import_module(f"steadyneedle.questions.bank.{MODULES[number]}").plan()
    return plan


FOR_PAPERS = "steadyneedle.questions.bank.for_papers"
"""The module of what papers alone ask."""


def for_papers() -> tuple[Exercise, ...]:
    """The exercises that no lesson asks.

    >>> [one.name for one in for_papers()]
    ['what_lets_in', 'before_opening', 'judge_a_watch', 'where_it_creeps']
    """
    asked: tuple[Exercise, ...] = importlib.import_module(FOR_PAPERS).exercises()
    return asked


@cache
def siblings(name: str) -> frozenset[str]:
    """Names of the exercises whose own objective is that of the exercise named, itself among them.

    >>> sorted(siblings("how_long"))
    ['how_long', 'sure_enough']
    """
    home = home_of(name)
    return frozenset(each.name for each in home[0].own(home[1])) if home else frozenset((name,))


@cache
def home_of(name: str) -> tuple[Plan, int] | None:
    """The plan that has an exercise, and the number of the exercise's own objective; None where no plan has it.

    >>> plan, objective = home_of("how_long")
    >>> plan.number, objective
    ('04', 3)
    """
    for plan in map(plan_of, MODULES):
        for one in plan.exercises:
            if one.name == name:
                return plan, one.objectives[0]
    return None
