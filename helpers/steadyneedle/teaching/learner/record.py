"""What a learner has done and met, worked out from the learner's file.

An exercise is *right* on a draw when a choice was right at the first check, or a quantity within two, before the second
hint and before the worked solution. An objective is *done* when each of its exercises that is not optional was right
once; it is *met* when one of its exercises was then right on fresh numbers on another day, or in a warm-up or a mixed
review. Rights kept by version 0.1.0, which knew no days, count as done.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from steadyneedle.questions.exercise import ChoiceExercise, Exercise
from steadyneedle.questions.plans import MODULES, Plan, plan_of
from steadyneedle.teaching.learner.kept import DRAW, HIDDEN_FAULT, PRACTICE, is_count, is_days
from steadyneedle.teaching.learner.progress import Progress

WITHIN = {"choice": 1, "quantity": 2}
"""Checks of one draw within which an answer counts."""

KEPT_DAYS = 20
BEFORE_DAYS = ""
"""The day of a right that version 0.1.0 kept."""

KEPT_TRIES = 50


def today() -> str:
    """This day, as it is kept."""
    return datetime.date.today().isoformat()


def enter_check(state: dict[str, Any], exercise: Exercise, day: str) -> None:
    """Enter the check that stands last in `tries`: count it as a right if it is one on this draw for the first time."""
    attempt = int(state.get("attempt", 0))
    tries = [one for one in state.get("tries", []) if isinstance(one, dict) and one.get("attempt") == attempt]
    outcomes = [one.get("outcome") for one in tries if one.get("outcome") != "not read"]
    within = WITHIN["choice" if isinstance(exercise, ChoiceExercise) else "quantity"]
    if (
        helped(state)
        or not outcomes
        or outcomes[-1] != "right"
        or outcomes.index("right") >= within
        or outcomes.count("right") > 1
    ):
        return
    days = state.setdefault("right_on", [BEFORE_DAYS] if state.get("right") else [])
    state["right"] = int(state.get("right", 0)) + 1
    days.append(day)
    del days[1:-KEPT_DAYS]  # the first day stays: another day is another than that


def enter_try(state: dict[str, Any], one: dict[str, Any]) -> bool:
    """Enter a check among the tries, unless it only repeats the last; whether it was entered.

    Two clicks on one button are one check.
    """
    tries = state.setdefault("tries", [])
    same = ("attempt", "typed", "outcome")
    if tries and isinstance(tries[-1], dict) and all(tries[-1].get(name) == one[name] for name in same):
        return False
    tries.append(one)
    # the first checks of this draw, and of the one put aside, decide whether it counts, however many were made since
    draws = {one["attempt"], state.get("before", {}).get("attempt")}
    old = [each for each in tries[:-KEPT_TRIES] if isinstance(each, dict) and each.get("attempt") in draws]
    tries[:-KEPT_TRIES] = old[: 2 * max(WITHIN.values())]
    return True


def helped(state: dict[str, Any]) -> bool:
    """Whether so much help was taken on this draw that it no longer counts."""
    return bool(state.get("solution")) or int(state.get("hints", 0)) > 1


def new_draw(state: dict[str, Any]) -> None:
    """Fresh numbers; what was right stays right, and a draw on which something was done is put aside."""
    if aside := _take(state):
        state["before"] = aside
    state["newest"] = max(int(state.get("newest", 0)), int(state.get("attempt", 0))) + 1
    state["attempt"] = state["newest"]


def back(state: dict[str, Any]) -> None:
    """The draw that was put aside, with what was done on it; this one is put aside if something was done on it."""
    before = state.pop("before", None)
    if before is None:
        return
    state["newest"] = max(int(state.get("newest", 0)), int(state.get("attempt", 0)))
    if aside := _take(state):
        state["before"] = aside
    state.update(before)


def _take(state: dict[str, Any]) -> dict[str, Any]:
    """Take a draw out of the state; empty where nothing was done on it."""
    taken = {name: state.pop(name) for name in DRAW if name in state and name != "attempt"}
    return {**taken, "attempt": int(state.get("attempt", 0))} if any(taken.values()) else {}


def begin(state: dict[str, Any], exercise: Exercise) -> None:
    """Where an exercise was mended since its last draw, begin with fresh numbers; what was right stays right."""
    if state.setdefault("version", exercise.version) != exercise.version:
        new_draw(state)
        state.pop("before", None)
        state["version"] = exercise.version


def start_over(progress: Progress, number: str) -> None:
    """Fresh numbers everywhere in a lesson and its predictions covered again; the record stays."""
    for place in ("exercises", "warm-up", "review"):
        for key in progress.entry("lessons", number, place):
            with progress.change("lessons", number, place, key, fields=PRACTICE) as state:
                new_draw(state)
                state.pop("before", None)
    for key in progress.entry("lessons", number, "predictions"):
        with progress.change("lessons", number, "predictions", key, fields=HIDDEN_FAULT) as state:
            said = state.get("recorded") or state.get("answers")
            earlier = [*state.get("earlier", []), *([said] if said else [])]
            state.clear()
            if earlier:
                state["earlier"] = earlier


@dataclass(frozen=True)
class Standing:
    """How far a learner has come with one objective.

    `left` are the exercises not yet right, `today` whether it was done today.
    """

    lesson: str
    number: int
    objective: str
    left: tuple[Exercise, ...]
    asked: int
    met: bool
    today: bool

    @property
    def done(self) -> bool:
        """Whether each exercise that is not optional was right once."""
        return not self.left

    @property
    def words(self) -> str:
        """The standing in words, and where a done objective comes back."""
        if self.met:
            return "met"
        if not self.done:
            return f"{self.asked - len(self.left)} of {self.asked}"
        later = [one for one in MODULES if one > self.lesson]
        place = f"lesson {later[0]}'s warm-up" if later else f"the mixed review of lesson {self.lesson}, or another day"
        return f"done{' today' if self.today else ''}; comes back in {place}"


class Record:
    """The rights of one learner, read from the file once.

    Parameters
    ----------
    content : dict
        What `Progress.content` gives.
    day : str
        This day, as `2026-11-26`.
    """

    def __init__(self, content: dict[str, Any], day: str) -> None:
        self.day = day
        self._own: dict[str, dict[str, Any]] = {}
        self._again: dict[str, list[str]] = {}
        for lesson in _dicts(content.get("lessons")).values():
            self._own.update(_dicts(lesson.get("exercises")))
            for place in ("warm-up", "review"):
                for key, state in _dicts(lesson.get(place)).items():
                    self._again.setdefault(key.partition(" ")[2], []).extend(_days(state))

    def days(self, name: str) -> list[str]:
        """Days on which an exercise was right in its lesson, the first first; empty text before days were kept."""
        state = self._own.get(name, {})
        days, right = _days(state), state.get("right", 0)
        return [BEFORE_DAYS, *days] if is_count(right) and right and not days else days

    def right(self, name: str) -> bool:
        """Whether an exercise was right at least once, wherever it was asked."""
        return bool(self.days(name) or self._again.get(name))

    def came_back(self, name: str) -> bool:
        """Whether it was right once more on another day, or in a warm-up or a mixed review."""
        days, again = self.days(name), self._again.get(name, [])
        return any(day != days[0] for day in days[1:]) or bool(again and len(days) + len(again) > 1)

    def standings(self, plan: Plan) -> Iterator[Standing]:
        """The standing of each objective of a lesson."""
        for number, objective in enumerate(plan.objectives, 1):
            every = list(plan.assessing(number))
            needed = [one for one in every if not one.optional]
            left = tuple(one for one in needed if not self.right(one.name))
            met = not left and any(self.came_back(one.name) for one in every)
            last = max((day for one in needed for day in self.days(one.name)[:1]), default=BEFORE_DAYS)
            yield Standing(plan.number, number, objective, left, len(needed), met, last == self.day)

    def due(self, through: str) -> list[tuple[str, Exercise]]:
        """Exercises of lessons up to and with `through` that meet what is done but not met, the fewest first needed.

        Each meets as many objectives as it can; of two that meet as many the earlier lesson's comes first.
        """
        wanting = [
            one
            for number in MODULES
            if number <= through
            for one in self.standings(plan_of(number))
            if one.done and not one.met
        ]
        chosen: list[tuple[str, Exercise]] = []
        while wanting:
            candidates = [
                (one.lesson, exercise) for one in wanting for exercise in plan_of(one.lesson).assessing(one.number)
                if not exercise.optional
            ]  # fmt: skip

            def meets(candidate: tuple[str, Exercise], rest: list[Standing] = wanting) -> int:
                lesson, exercise = candidate
                return sum(one.lesson == lesson and one.number in exercise.objectives for one in rest)

            lesson, exercise = max(candidates, key=meets)  # of equals the first
            chosen.append((lesson, exercise))
            wanting = [one for one in wanting if one.lesson != lesson or one.number not in exercise.objectives]
        return chosen


def _days(state: dict[str, Any]) -> list[str]:
    """The days on which an exercise was right."""
    days = state.get("right_on", [])
    return list(days) if is_days(days) else []


def _dicts(value: Any) -> dict[str, dict[str, Any]]:
    """The entries of a part of the file that are what they should be; a file edited by hand may hold anything."""
    return {key: one for key, one in value.items() if isinstance(one, dict)} if isinstance(value, dict) else {}
