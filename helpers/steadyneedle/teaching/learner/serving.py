"""Which exercises a warm-up and a mixed review ask: what is done but not met, then what the lesson plans.

A warm-up asks what the lesson before it has left first, then older things; no lesson has more objectives than a warm-up
asks, so what is done in one lesson comes back in the warm-up of the next. A mixed review asks all the rest.
"""

from __future__ import annotations

from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.plans import MODULES, plan_of, siblings
from steadyneedle.teaching.learner import coming_back, record
from steadyneedle.teaching.learner.kept import PRACTICE
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.learner.record import Record, Standing, renew

WARM_UP = 5
"""Objectives asked in a warm-up at most, one of choices by two questions: three to five minutes."""

PLANNED = 3
"""Up to so many, a warm-up asks what its lesson plans where less has to come back."""

SITTING = 8
"""Of more questions a page says that they need not be answered at once: nothing is lost by leaving some."""

REVIEWS = ("02", "04", "04b", "05")
"""Lessons that end with a mixed review."""

Served = list[tuple[str, Exercise]]
"""Lesson and exercise of each question."""


def serve(progress: Progress, number: str, place: str, day: str = "") -> Served:
    """What the warm-up ("warm-up") or the mixed review ("review") of a lesson asks today.

    Chosen once a day, so that questions do not change under one's hands; a review that is opened again asks behind
    them what has been done since. On another day questions are chosen afresh, with fresh numbers.
    """
    day = day or record.today()
    kept = Record(progress.content(), day)
    known = _asked(kept, number, place)
    if known and place == "warm-up":
        return known
    chosen = known + _choose(kept, number, place)
    for n, (_, exercise) in enumerate(chosen, 1):
        key = f"{n} {exercise.name}"
        if n > len(known) and progress.entry("lessons", number, place, key):
            with progress.change("lessons", number, place, key, fields=PRACTICE) as state:
                renew(state)
    with progress.change("lessons", number, "served", place) as state:
        state["on"], state["asked"] = day, [[lesson, exercise.name] for lesson, exercise in chosen]
    return chosen


def _choose(kept: Record, number: str, place: str) -> Served:
    due = kept.due(number)
    if place == "review":  # what stands on the same page already is not asked twice
        there = [one for each in ("warm-up", "review") for _, one in _asked(kept, number, each)]
        return [one for one in due if not any(_same(one[1], each) for each in there)]
    plan = plan_of(number)
    earlier = [one for one in due if one[0] < number]
    newest_first = [one for each in reversed(MODULES) for one in earlier if one[0] == each]
    chosen: Served = []
    for due_one in newest_first:
        if len({siblings(one.name) for _, one in (*chosen, due_one)}) <= WARM_UP:
            chosen.append(due_one)
    for lesson, name in plan.warm_up:
        exercise = plan_of(lesson).exercise(name)
        if len(chosen) < PLANNED and exercise.name not in {one.name for _, one in chosen}:
            chosen.append((lesson, exercise))
    return chosen


def comes_back(kept: Record, one: Standing) -> str:
    """Where a done objective comes back for whoever follows the course, as words: "in lesson 03's warm-up"."""
    own = plan_of(one.lesson).own(one.number)[0]
    here, last = max((*kept.opened, one.lesson)), max(MODULES)
    later_today = not kept.missed(own.name)
    for number in kept.opened:
        for place, words in (("warm-up", "warm-up"), ("review", "mixed review")):
            asked = [(n, each) for n, (_, each) in enumerate(_asked(kept, number, place), 1) if _same(own, each)]
            states = [(kept.state(number, place, f"{n} {each.name}"), each) for n, each in asked]
            if any(coming_back.still_comes(state, each, kept, place) for state, each in states):
                return f"in lesson {number}'s {words}"
            later_today = later_today and not (asked and number == last)
    later = [number for number in MODULES if number > here]
    day = "in" if later_today else "on another day, in"
    if not later:
        return f"{day} lesson {here}'s mixed review{'' if not later_today else ', when you open it again'}"
    if here == one.lesson:
        return f"{day} lesson {later[0]}'s warm-up"
    return f"{day} lesson {next(number for number in REVIEWS if number > here)}'s mixed review at the latest"


def _same(one: Exercise, other: Exercise) -> bool:
    """Whether two exercises ask the same objective for its own sake."""
    return other.name in siblings(one.name)


def _asked(kept: Record, number: str, place: str) -> Served:
    """What a place asks today, as far as this version still has it."""
    found: Served = []
    for one in kept.asked(number, place):
        try:
            lesson, name = one
            found.append((lesson, plan_of(lesson).exercise(name)))
        except (TypeError, ValueError):
            continue
    return found
