"""Which lesson teaches and asks what."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from steadyneedle.questions.exercise import Exercise

Thing = TypeVar("Thing")

MODULES = {"00": "start_here", "01": "pressure", "02": "reduction", "03": "bands", "04": "creep"}
"""Lesson number -> the module of its questions, and of its panels."""


@dataclass(frozen=True)
class Prediction:
    """A question asked before a panel is uncovered, and the explanation afterwards.

    `options` are key to text; a kept prediction holds the key. `explain` is a function where its numbers are computed:
    whoever only asks need not wait for them.
    """

    name: str
    question: str
    options: dict[str, str]
    explain: str | Callable[[], str]

    @property
    def explanation(self) -> str:
        """What is said once the panel is uncovered."""
        return self.explain if isinstance(self.explain, str) else self.explain()

    def key_of(self, kept: str) -> str:
        """The key of a kept prediction; version 0.1.0 kept an option's words."""
        return kept if kept in self.options else next((k for k, words in self.options.items() if words == kept), "")


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
        """An exercise by name; ValueError names those there are."""
        return self._one("exercise", name, {one.name: one for one in self.exercises})

    def prediction(self, name: str) -> Prediction:
        """A prediction by name; ValueError names those there are."""
        return self._one("prediction", name, {one.name: one for one in self.predictions})

    def _one(self, what: str, name: str, there: dict[str, Thing]) -> Thing:
        if name not in there:
            raise ValueError(f"Lesson {self.number} has no {what} '{name}'; it has {', '.join(there)}.")
        return there[name]

    def assessing(self, objective: int) -> Iterator[Exercise]:
        """The exercises that assess an objective, numbered from 1."""
        return (one for one in self.exercises if objective in one.objectives)


def plan_of(number: str) -> Plan:
    """What lesson `number` teaches and asks.

    >>> plan_of("01").title
    'Pressure and its units'
    """
    if number not in MODULES:
        raise ValueError(f"There is no lesson {number}; there are {', '.join(MODULES)}.")
    plan: Plan = importlib.import_module(f"steadyneedle.questions.bank.{MODULES[number]}").plan()
    return plan
