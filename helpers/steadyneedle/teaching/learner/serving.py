"""Which exercises a warm-up and a mixed review ask: what is done but not met, then what the lesson plans."""

from __future__ import annotations

from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.plans import plan_of
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.learner.record import Record, today

WARM_UP, REVIEW = 3, 6
"""Exercises asked in one."""

Served = list[tuple[str, Exercise]]
"""Lesson and exercise of each question."""


def serve(progress: Progress, number: str, place: str, day: str = "") -> Served:
    """What the warm-up ("warm-up") or the mixed review ("review") of a lesson asks today.

    Chosen once a day, so that questions do not change under one's hands; another day, or where there was nothing to
    ask, they are chosen afresh.
    """
    day = day or today()
    kept = progress.entry("lessons", number, "served", place)
    if kept.get("on") == day and (known := _known(kept.get("asked"))):
        return known
    chosen = _choose(progress, number, place, day)
    with progress.change("lessons", number, "served", place) as state:
        state["on"], state["asked"] = day, [[lesson, exercise.name] for lesson, exercise in chosen]
    return chosen


def _choose(progress: Progress, number: str, place: str, day: str) -> Served:
    warm = place == "warm-up"
    most = WARM_UP if warm else REVIEW
    plan = plan_of(number)
    due = [one for one in Record(progress.content(), day).due(number) if not warm or one[0] < number]
    planned = [(lesson, plan_of(lesson).exercise(name)) for lesson, name in plan.warm_up] if warm else []
    chosen: Served = []
    for lesson, exercise in (*due, *planned):
        if len(chosen) < most and exercise.name not in {one.name for _, one in chosen}:
            chosen.append((lesson, exercise))
    return chosen


def _known(asked: object) -> Served:
    """Kept questions that this version still has."""
    found: Served = []
    for one in asked if isinstance(asked, list) else ():
        try:
            lesson, name = one
            found.append((lesson, plan_of(lesson).exercise(name)))
        except (TypeError, ValueError):
            continue
    return found
