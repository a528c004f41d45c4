"""Simulated students: who must not meet an objective does not, and who knows the trade does.

Students go through all exercises on three days: five draws of an exercise in all, one of them at least on each day, and
twelve checks of a draw at most. A choice alone meets nothing before the third: it is asked until it was right twice.
They press the buttons of `PracticeSession` itself; only the learner's file is in memory. The bounds are those set for
this workbook; the students are invented. `python tests/teaching/test_students.py 200` prints the table of DEVELOPERS.
"""

from __future__ import annotations

import contextlib
import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from statistics import fmean
from typing import Any

import pytest

from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions import checking
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise, QuantityExercise
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.teaching.learner import record
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.progress import Progress, _under
from steadyneedle.teaching.learner.record import Record

DAYS = ("2026-03-02", "2026-03-03", "2026-03-04")
DRAWS, CHECKS = 5, 12
EXERCISES = [(number, one) for number in MODULES for one in plan_of(number).exercises]
OBJECTIVES = sum(bool(each.own(n + 1)) for each in map(plan_of, MODULES) for n in range(len(each.objectives)))
"""Those that are asked; what is met by doing no student can guess."""

STARTS = 40
"""Passes begin at one of so many first draws: their numbers are drawn once and kept."""


class InMemory(Progress):
    """The learner's file without a disk."""

    def __init__(self) -> None:
        self._content: dict[str, Any] = {}

    def content(self) -> dict[str, Any]:
        return self._content

    def entry(self, *keys: str, fields: Any = None) -> dict[str, Any]:
        return _under(self._content, keys)

    @contextlib.contextmanager
    def change(self, *keys: str, fields: Any = None) -> Iterator[dict[str, Any]]:
        place = self._content
        for key in keys:
            place = place.setdefault(key, {})
        yield place


class Sitting(PracticeSession):
    """A session whose numbers are drawn once for all students."""

    def givens(self, state: dict[str, Any]) -> dict[str, Any]:
        return _givens(self._exercise.name, self._keys, int(state.get("attempt", 0)))


@cache
def _givens(name: str, keys: tuple[str, ...], attempt: int) -> dict[str, Any]:
    return next(one for _, one in EXERCISES if one.name == name).givens(*keys, attempt)


@dataclass
class Seen:
    """What a student sees at one check: the exercise, its numbers, how often checked, what was said last."""

    exercise: Exercise
    givens: dict[str, Any]
    check: int
    said: str
    dice: Draws
    memory: dict[str, float] = field(default_factory=dict)


Student = Callable[[Seen], str | None]
"""What is typed or chosen; None: take new numbers."""


def guesser(seen: Seen) -> str | None:
    """Any option; any number of two figures from 0.01 to 300. Two checks a draw: no third counts."""
    if isinstance(seen.exercise, ChoiceExercise):
        return seen.dice.one_of(tuple(seen.exercise.choices)) if not seen.check else None
    assert isinstance(seen.exercise, QuantityExercise)
    number = 0.01 * 30_000 ** seen.dice.fraction()
    return f"{float(f'{number:.1e}'):g} {seen.exercise.unit}" if seen.check < 2 else None


def informed_guesser(seen: Seen) -> str | None:
    """Any option; any number that a technician would not be surprised to read, on the grid of a workshop gauge."""
    if isinstance(seen.exercise, ChoiceExercise):
        return seen.dice.one_of(tuple(seen.exercise.choices)) if not seen.check else None
    assert isinstance(seen.exercise, QuantityExercise)
    low, high, step = {
        "bar": ("0.1", "15", "0.1"), "psi": ("1", "220", "1"), "kPa": ("500", "1500", "10"), "m": ("1", "60", "1"),
        "L": ("500", "5000", "10"), "min": ("1", "30", "1"), "bar/min": ("0.01", "1", "0.01"), "um": ("0.5", "6", "0.1"),
        "%": ("1", "99", "1"), "mL": ("5", "500", "5"),
    }[seen.exercise.unit]  # fmt: skip
    return f"{seen.dice.decimal(low, high, step)} {seen.exercise.unit}" if seen.check < 2 else None


def copier(seen: Seen) -> str | None:
    """Each quantity of the question and of the first hint, as it stands there; the first option."""
    if isinstance(seen.exercise, ChoiceExercise):
        return next(iter(seen.exercise.options(seen.givens))) if not seen.check else None
    lines = [*seen.exercise.question(seen.givens), seen.exercise.help_lines(seen.givens)[0]]
    found = re.findall(
        r"-?\d+(?:\.\d+)? (?:bar/min|bar|psi|MPa|kgf/cm²|mL|L|min|m)\b²?|-?\d+(?:\.\d+)? %", " ".join(lines)
    )
    return found[seen.check] if seen.check < len(found) else None


def bisector(seen: Seen) -> str | None:
    """1 unit, then twice or half as much, then the middle, as the replies say; options in turn."""
    if isinstance(seen.exercise, ChoiceExercise):
        keys = list(seen.exercise.options(seen.givens))
        return keys[seen.check] if seen.check < len(keys) else None
    assert isinstance(seen.exercise, QuantityExercise)
    memory = seen.memory
    at = memory.get("at", 1.0)
    if seen.check:
        if "too low" in seen.said:
            memory["low"] = at
        elif "too high" in seen.said:
            memory["high"] = at
        else:  # no direction: a step aside
            memory["high" if memory.get("down") else "low"] = at * (0.97 if memory.get("down") else 1.03)
        memory["down"] = float("too high" in seen.said)
        low, high = memory.get("low"), memory.get("high")
        at = (low + high) / 2 if low is not None and high is not None else 2 * low if low is not None else high / 2  # type: ignore[operator]
    memory["at"] = at
    return f"{at:.6g} {seen.exercise.unit}"


def confuser(seen: Seen) -> str | None:
    """Takes psi for bar: the right number of the one behind the other, this way and that way; else knows the trade."""
    exercise = seen.exercise
    if not isinstance(exercise, QuantityExercise) or "pressure" not in exercise.kind:
        return competent(seen)
    end = "/min" if exercise.rate else ""
    meant, typed = (("psi", "bar"), ("bar", "psi"))[seen.dice.integer(0, 1)]
    number = exercise.solve(seen.givens).to(Q(1, meant + end).units).magnitude
    return f"{number:.4g} {typed}{end}" if not seen.check else None


def competent(seen: Seen) -> str | None:
    """Right, as a workshop reads: 0.1 bar, 1 psi, whole minutes, two figures of a rate; else as many as deserved."""
    exercise = seen.exercise
    if seen.check:
        return None
    if isinstance(exercise, ChoiceExercise):
        return exercise.solve(seen.givens)
    assert isinstance(exercise, QuantityExercise)
    right = exercise.names(seen.givens).answer
    step = checking.WORKSHOP_STEPS.get(exercise.unit_name, 0.0) if exercise.reading else 0.0
    if not step:
        step = 10.0 ** -checking.decimals_for(right, 2 if exercise.rate else exercise.figures or 6, whole=True)
    return f"{checking.inward(exercise, right, step):.9g} {exercise.unit}"


STUDENTS: dict[str, Student] = {
    one.__name__: one for one in (guesser, informed_guesser, copier, bisector, confuser, competent)
}


@dataclass
class Passed:
    """What one pass came to: shares of objectives, of questions."""

    done: float
    met: float
    first: float
    named: float


def one_pass(student: str, number: int, days: list[str]) -> Passed:
    """All exercises on each day; the second and third go on with fresh numbers."""
    progress = InMemory()
    for day in DAYS:
        days.append(day)
        for lesson, exercise in EXERCISES:
            keys = ("lessons", lesson, "exercises", exercise.name)
            if day == DAYS[0]:
                with progress.change(*keys) as state:
                    state.update(attempt=number % STARTS * 2 * DRAWS, version=exercise.version)
            sit(progress, keys, exercise, STUDENTS[student], number, day)
    kept = Record(progress.content(), DAYS[-1])
    standings = [one for each in MODULES for one in kept.standings(plan_of(each)) if plan_of(each).own(one.number)]
    tries = [
        (one, progress.entry("lessons", lesson, "exercises", one.name).get("tries", NOTHING)[0]) for lesson, one in EXERCISES
    ]  # fmt: skip
    pressures = [first for one, first in tries if isinstance(one, QuantityExercise) and "pressure" in one.kind]
    return Passed(
        fmean(one.done for one in standings), fmean(one.met for one in standings),
        fmean(first["outcome"] == "right" for _, first in tries), fmean(first["mistake"] == "psi for bar" or first["mistake"] in NAMES_IT for first in pressures),
    )  # fmt: skip


NOTHING = [{"outcome": "not read", "mistake": ""}]
"""Of somebody who found nothing to type."""

NAMES_IT = {"psi read as bar", "answer in bar"}
"""Known mistakes of single exercises that say psi was taken for bar."""


def sit(progress: Progress, keys: tuple[str, ...], exercise: Exercise, student: Student, number: int, day: str) -> None:
    """One exercise on one day, until it was right once or five draws are used."""
    session = Sitting(exercise, progress, keys, "")
    before = int(progress.entry(*keys).get("right", 0))
    used = int(progress.entry(*keys)["attempt"]) - number % STARTS * 2 * DRAWS + (day != DAYS[0])
    for draw in range(DRAWS - used - len(DAYS[DAYS.index(day) + 1 :])):
        if draw or day != DAYS[0]:
            session.act("new", {})
        memory: dict[str, float] = {}
        dice = Draws("student", student.__name__, number, day, exercise.name, draw)
        givens, said = session.givens(progress.entry(*keys)), ""
        for check in range(CHECKS):
            typed = student(Seen(exercise, givens, check, said, dice, memory))
            if typed is None:
                break
            session.act("check", {"answer": typed})
            if progress.entry(*keys)["tries"][-1]["outcome"] == "right":
                break
            said = " ".join(session.view().message.lines) if student is bisector else ""
        if int(progress.entry(*keys).get("right", 0)) > before:
            return


@pytest.fixture
def days(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Today, as an argument."""
    gone: list[str] = [DAYS[0]]
    monkeypatch.setattr(record, "today", lambda: gone[-1])
    return gone


SAMPLES = {"informed_guesser": 60}
"""Passes in CI, where 4 are too few: four meet 80 objectives or not, and two of them are more than 2 %."""

PASSES = [pytest.param(0, id="sample"), pytest.param(200, id="whole", marks=pytest.mark.long)]
BOUNDS: dict[str, Callable[[list[Passed]], bool]] = {
    "guesser": lambda all_: fmean(one.met for one in all_) <= 0.02 and max(one.met for one in all_) <= 0.05,
    "informed_guesser": lambda all_: fmean(one.met for one in all_) <= 0.02,
    "copier": lambda all_: not any(one.met for one in all_),
    "bisector": lambda all_: not any(one.met for one in all_),
    "confuser": lambda all_: fmean(one.named for one in all_) >= 0.8,
    "competent": lambda all_: fmean(one.first for one in all_) >= 0.97 and min(one.met for one in all_) == 1,
}


@pytest.mark.parametrize("student", STUDENTS)
@pytest.mark.parametrize("passes", PASSES)
def test_students_meet_what_they_should(student: str, passes: int, days: list[str]) -> None:
    passed = [one_pass(student, n, days) for n in range(passes or SAMPLES.get(student, 4))]
    print(row(student, passed))
    assert BOUNDS[student](passed), row(student, passed)


def row(student: str, passed: list[Passed]) -> str:
    """A line of the table."""
    met = [one.met for one in passed]
    shares = (fmean(one.done for one in passed), fmean(met), max(met), fmean(one.first for one in passed))
    cells = [f"{100 * share:.1f} %" for share in (*shares, fmean(one.named for one in passed))]
    return f"| {student} | {len(passed)} | " + " | ".join(cells) + " |"


if __name__ == "__main__":
    gone = [DAYS[0]]
    record.today = lambda: gone[-1]
    print(
        f"{OBJECTIVES} objectives\n| student | passes | done, mean | met, mean | met, most | right at first try | psi for bar named |"
    )
    for who in sys.argv[2:] or STUDENTS:
        print(row(who, [one_pass(who, n, gone) for n in range(int(sys.argv[1]))]), flush=True)
