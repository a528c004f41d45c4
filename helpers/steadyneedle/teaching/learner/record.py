"""What a learner has done and met, worked out from the learner's file.

An exercise is *right* on a draw when a choice was right at the first check, or a quantity within two, before the second
hint and before the worked solution. An objective is *done* when each of its exercises that is not optional was right
once, and each of its acts done. It is *met* when it then *came back* right (`coming_back.py`): a quantity among its own
exercises once or, where it has only choices, choices twice with no miss between. A come-back that was missed counts
for all of the objective's own exercises: none of them meets it before another day. An objective without an exercise of
its own is met by doing. Rights kept by version 0.1.0, which knew no days, count as done.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.keyed import KeyedExercise
from steadyneedle.questions.plans import MODULES, Act, Plan, home_of, plan_of, siblings
from steadyneedle.teaching.learner.kept import DRAW, HIDDEN_FAULT, PRACTICE, is_coming, is_count, is_days
from steadyneedle.teaching.learner.progress import Progress

WITHIN = {"choice": 1, "quantity": 2}
"""Checks of one draw within which an answer counts."""

KEPT_DAYS = 20
BEFORE_DAYS = ""
"""The day of a right that version 0.1.0 kept."""

KEPT_TRIES = 50
CHOICES_IN_A_ROW = 2
"""Come-backs right in a row by which an objective with choices only is met: one may be a guess."""


def today() -> str:
    """This day, as it is kept."""
    return datetime.date.today().isoformat()


def enter_check(state: dict[str, Any], exercise: Exercise, day: str) -> None:
    """Enter the check that stands last in `tries`: count it as a right if it is one on this draw for the first time."""
    outcomes = outcomes_of(state)
    within = WITHIN["choice" if isinstance(exercise, ChoiceExercise | KeyedExercise) else "quantity"]
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


def outcomes_of(state: dict[str, Any]) -> list[Any]:
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
    """Fresh numbers; what was right stays right. A draw on which something was done or hangs is put aside."""
    aside, before = _take(state), state.get("before", {})
    if aside and not (before and before["attempt"] == _deciding(state)):
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


def renew(state: dict[str, Any]) -> None:
    """Fresh numbers and none put aside; where something comes back today, it is on these."""
    deciding = _deciding(state)
    new_draw(state)
    state.pop("before", None)
    if deciding is not None:
        state["coming"]["attempt"] = state["attempt"]


def coming_of(state: dict[str, Any]) -> dict[str, Any]:
    """What was settled of a come-back at the first press of the last day; empty where nothing was."""
    coming: dict[str, Any] = state.get("coming", {})
    return coming if is_coming(coming) else {}


def undecided(state: dict[str, Any]) -> bool:
    """Whether the exercise comes back on the day on which it was used last, and neither came right nor was missed."""
    coming = coming_of(state)
    return bool(coming.get("comes")) and coming["on"] not in (*_days(state, "again_on"), *_days(state, "missed_on"))


def _deciding(state: dict[str, Any]) -> int | None:
    """The draw on which a come-back hangs; None where none does."""
    return state["coming"].get("attempt") if undecided(state) else None


def _take(state: dict[str, Any]) -> dict[str, Any]:
    """Take a draw out of the state; empty where nothing was done on it and nothing hangs on it."""
    taken = {name: state.pop(name) for name in DRAW if name in state and name != "attempt"}
    attempt = int(state.get("attempt", 0))
    return {**taken, "attempt": attempt} if any(taken.values()) or attempt == _deciding(state) else {}


def begin(state: dict[str, Any], exercise: Exercise) -> None:
    """Where an exercise was mended since its last draw, begin with fresh numbers; what was right stays right."""
    if state.setdefault("version", exercise.version) != exercise.version:
        renew(state)
        state["version"] = exercise.version


def start_over(progress: Progress, number: str) -> None:
    """Fresh numbers everywhere in a lesson and its predictions covered again; the record stays."""
    for place in ("exercises", "warm-up", "review"):
        for key in progress.entry("lessons", number, place):
            with progress.change("lessons", number, place, key, fields=PRACTICE) as state:
                renew(state)
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
        self._states: dict[tuple[str, str, str], dict[str, Any]] = {}
        for number, lesson in _dicts(content.get("lessons")).items():
            self._own.update(_dicts(lesson.get("exercises")))
            self._acts.update((number, name) for name in _dicts(lesson.get("acts")))
            self._served.update({(number, place): one for place, one in _dicts(lesson.get("served")).items()})
            for place in ("warm-up", "review"):
                for key, state in _dicts(lesson.get(place)).items():
                    self._elsewhere.setdefault(key.partition(" ")[2], []).append(state)
                    self._states[number, place, key] = state

    @property
    def opened(self) -> list[str]:
        """Lessons whose warm-up or review was ever asked."""
        return sorted({number for number, _ in self._served if number in MODULES})

    def asked(self, number: str, place: str) -> list[Any]:
        """What a warm-up or a review asks today: pairs of lesson and name; empty where it was not opened today."""
        served = self._served.get((number, place), {})
        asked = served.get("asked") if served.get("on") == self.day else None
        return asked if isinstance(asked, list) else []

    def state(self, number: str, place: str, key: str) -> dict[str, Any]:
        """What is kept of a question of a warm-up or a review; empty where nothing is."""
        return self._states.get((number, place, key), {})

    def days(self, name: str) -> list[str]:
        """Days on which an exercise was right in its lesson, the first first; empty text before days were kept."""
        state = self._own.get(name, {})
        days, right = _days(state), state.get("right", 0)
        return [BEFORE_DAYS, *days] if is_count(right) and right and not days else days

    def right(self, name: str) -> bool:
        """Whether an exercise was right at least once, wherever it was asked."""
        return bool(self._every_day(name))

    def right_before(self, name: str) -> bool:
        """Whether an exercise was right on another day than this, wherever it was asked."""
        return any(day != self.day for day in self._every_day(name))

    def _every_day(self, name: str) -> list[str]:
        return [*self.days(name), *(day for state in self._elsewhere.get(name, []) for day in _days(state))]

    def asked_again(self, name: str) -> int:
        """How often it came back, right or not."""
        return len(self._entered(name, "again_on")) + len(self._entered(name, "missed_on"))

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
            met = not left and not undone and self._came_back(plan.coming_back(number))
            last = max((min(self._every_day(one.name), default=BEFORE_DAYS) for one in needed), default=BEFORE_DAYS)
            count = len(needed) + len(acts)
            yield Standing(plan.number, number, objective, left, undone, count, met, last == self.day)

    def standing_of(self, name: str) -> Standing | None:
        """The standing of the objective that an exercise asks for its own sake; None where no lesson has it."""
        home = home_of(name)
        return next((one for one in self.standings(home[0]) if one.number == home[1]), None) if home else None

    def _came_back(self, asked: tuple[Exercise, ...]) -> bool:
        """Whether one quantity came back right, or choices so often in a row that nobody guesses; of none, yes."""
        again = [day for one in asked for day in self._entered(one.name, "again_on")]
        missed = {day for one in asked for name in siblings(one.name) for day in self._entered(name, "missed_on")}
        if not asked or not isinstance(asked[0], ChoiceExercise | KeyedExercise):
            return bool(again) or not asked
        row = 0
        for day in sorted({*again, *missed}):
            row = 0 if day in missed else row + again.count(day)
            if row >= CHOICES_IN_A_ROW:
                return True
        return False

    def due(self, through: str) -> list[tuple[str, Exercise]]:
        """Lesson and exercise for each objective up to lesson `through` that is done, not met and not missed today.

        Of the exercises by which it is met the one that came back least often is asked, of equals the first; choices
        are asked twice, two of them where there are two.
        """
        due: list[tuple[str, Exercise]] = []
        for plan in (plan_of(number) for number in MODULES if number <= through):
            for one in self.standings(plan):
                asked = sorted(plan.coming_back(one.number), key=lambda each: self.asked_again(each.name))
                if not one.done or one.met or self.missed(asked[0].name):
                    continue
                times = CHOICES_IN_A_ROW if isinstance(asked[0], ChoiceExercise | KeyedExercise) else 1
                due.extend((plan.number, asked[n % len(asked)]) for n in range(times))
        return due


def _days(state: dict[str, Any], field: str = "right_on") -> list[str]:
    """The days on which an exercise was right, or came back."""
    days = state.get(field, [])
    return list(days) if is_days(days) else []


def _dicts(value: Any) -> dict[str, dict[str, Any]]:
    """The entries of a part of the file that are what they should be; a file edited by hand may hold anything."""
    return {key: one for key, one in value.items() if isinstance(one, dict)} if isinstance(value, dict) else {}
