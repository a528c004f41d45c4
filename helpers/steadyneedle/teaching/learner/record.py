"""What a learner has done and met, worked out from the learner's file.

An exercise is *right* on a draw when a choice was right at the first check, or a quantity within two, before the second
hint and before the worked solution. An objective is *done* when each of its exercises that is not optional was right
once, and each of its acts done. It is *met* when one of its own exercises then *came back* right: on another day, or in
a warm-up or a mixed review, at the first check of the first fresh numbers of that day. A come-back that was wrong
counts for all of the objective's own exercises: none of them meets it before another day. An objective without an
exercise of its own is met by doing. Rights kept by version 0.1.0, which knew no days, count as done.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from steadyneedle.questions.exercise import ChoiceExercise, Exercise
from steadyneedle.questions.plans import MODULES, Act, Plan, plan_of, siblings
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
    outcomes = _outcomes(state)
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


def enter_coming_back(state: dict[str, Any], exercise: Exercise, before: Record, place: str) -> None:
    """Enter the check that stands last in `tries` as a come-back, right or missed, if it is one.

    `before` is what was kept until this check, `place` where the exercise is asked: in its own lesson ("exercises")
    nothing comes back on the day on which it was right first.
    """
    day, outcomes, first = before.day, _outcomes(state), before.days(exercise.name)[:1]
    earlier = first != [day] and bool(first) if place == "exercises" else before.right(exercise.name)
    again, missed = state.get("again_on", []), state.get("missed_on", [])
    if not earlier or helped(state) or len(outcomes) != 1 or day in (*again, *missed):
        return
    if outcomes[0] != "right":
        state["missed_on"] = [*missed, day][-KEPT_DAYS:]
    elif not before.missed(exercise.name):
        state["again_on"] = [*again, day][-KEPT_DAYS:]


def _outcomes(state: dict[str, Any]) -> list[Any]:
    """What the checks of this draw came to, but for those that were not read."""
    attempt = int(state.get("attempt", 0))
    tries = [one for one in state.get("tries", []) if isinstance(one, dict) and one.get("attempt") == attempt]
    return [one.get("outcome") for one in tries if one.get("outcome") != "not read"]


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

    `left` are the exercises not yet right, `undone` the acts not yet done, `today` whether it was done today.
    """

    lesson: str
    number: int
    objective: str
    left: tuple[Exercise, ...]
    undone: tuple[Act, ...]
    asked: int
    met: bool
    today: bool

    @property
    def done(self) -> bool:
        """Whether each exercise that is not optional was right once, and each act done."""
        return not self.left and not self.undone

    @property
    def words(self) -> str:
        """The standing in words; `serving.comes_back` says where a done objective comes back."""
        if self.met:
            return "met"
        if not self.done:
            return f"{self.asked - len(self.left) - len(self.undone)} of {self.asked}"
        return f"done{' today' if self.today else ''}"


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
        self._elsewhere: dict[str, list[dict[str, Any]]] = {}
        self._acts: set[tuple[str, str]] = set()
        self._served: dict[tuple[str, str], dict[str, Any]] = {}
        for number, lesson in _dicts(content.get("lessons")).items():
            self._own.update(_dicts(lesson.get("exercises")))
            self._acts.update((number, name) for name in _dicts(lesson.get("acts")))
            self._served.update({(number, place): one for place, one in _dicts(lesson.get("served")).items()})
            for place in ("warm-up", "review"):
                for key, state in _dicts(lesson.get(place)).items():
                    self._elsewhere.setdefault(key.partition(" ")[2], []).append(state)

    @property
    def opened(self) -> list[str]:
        """Lessons whose warm-up or review was ever asked."""
        return sorted({number for number, _ in self._served if number in MODULES})

    def asked(self, number: str, place: str) -> list[Any]:
        """What a warm-up or a review asks today: pairs of lesson and name; empty where it was not opened today."""
        served = self._served.get((number, place), {})
        asked = served.get("asked") if served.get("on") == self.day else None
        return asked if isinstance(asked, list) else []

    def days(self, name: str) -> list[str]:
        """Days on which an exercise was right in its lesson, the first first; empty text before days were kept."""
        state = self._own.get(name, {})
        days, right = _days(state), state.get("right", 0)
        return [BEFORE_DAYS, *days] if is_count(right) and right and not days else days

    def right(self, name: str) -> bool:
        """Whether an exercise was right at least once, wherever it was asked."""
        return bool(self.days(name) or any(_days(state) for state in self._elsewhere.get(name, [])))

    def came_back(self, name: str) -> int:
        """How often it came back right."""
        return len(self._entered(name, "again_on"))

    def asked_again(self, name: str) -> int:
        """How often it came back, right or not."""
        return self.came_back(name) + len(self._entered(name, "missed_on"))

    def missed(self, name: str) -> bool:
        """Whether an exercise of the same own objective came back today and was missed."""
        return any(self.day in self._entered(one, "missed_on") for one in siblings(name))

    def _entered(self, name: str, field: str) -> list[str]:
        states = [self._own.get(name, {}), *self._elsewhere.get(name, [])]
        return [day for state in states for day in _days(state, field)]

    def acted(self, plan: Plan, act: Act) -> bool:
        """Whether an act was done; version 0.1.0 kept none, and counted them with the exercises."""
        before_acts = all(BEFORE_DAYS in self.days(one.name) for one in plan.exercises)
        return before_acts or (plan.number, act.name) in self._acts

    def standings(self, plan: Plan) -> Iterator[Standing]:
        """The standing of each objective of a lesson."""
        for number, objective in enumerate(plan.objectives, 1):
            needed = [one for one in plan.assessing(number) if not one.optional]
            acts = [one for one in plan.acts if one.objective == number]
            left = tuple(one for one in needed if not self.right(one.name))
            undone = tuple(one for one in acts if not self.acted(plan, one))
            own = plan.own(number)
            met = not left and not undone and (not own or any(self.came_back(one.name) for one in own))
            last = max((day for one in needed for day in self.days(one.name)[:1]), default=BEFORE_DAYS)
            count = len(needed) + len(acts)
            yield Standing(plan.number, number, objective, left, undone, count, met, last == self.day)

    def due(self, through: str) -> list[tuple[str, Exercise]]:
        """Lesson and an exercise for each objective up to lesson `through` that is done, not met and not missed today.

        Of an objective's own exercises the one that came back least often is asked, of equals the first.
        """
        due: list[tuple[str, Exercise]] = []
        for plan in (plan_of(number) for number in MODULES if number <= through):
            for one in self.standings(plan):
                own = [each for each in plan.own(one.number) if not each.optional]
                if one.done and not one.met and not self.missed(own[0].name):
                    due.append((plan.number, min(own, key=lambda each: self.asked_again(each.name))))
        return due


def _days(state: dict[str, Any], field: str = "right_on") -> list[str]:
    """The days on which an exercise was right, or came back."""
    days = state.get(field, [])
    return list(days) if is_days(days) else []


def _dicts(value: Any) -> dict[str, dict[str, Any]]:
    """The entries of a part of the file that are what they should be; a file edited by hand may hold anything."""
    return {key: one for key, one in value.items() if isinstance(one, dict)} if isinstance(value, dict) else {}
