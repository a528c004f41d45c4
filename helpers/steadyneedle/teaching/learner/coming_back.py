"""What comes back: on which numbers, whether it came back right, and what the form says of it.

An exercise *comes back* in a warm-up or a mixed review when it was right before, and in its own lesson when it was
right on another day; only the exercises by which its objective is met do. The first fresh numbers of the day decide, at
their first check. The second hint, the worked solution, or a check of other numbers before it: missed, until another
day.
"""

from __future__ import annotations

from typing import Any

from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.plans import home_of
from steadyneedle.teaching.learner.record import KEPT_DAYS, Record, coming_of, helped, outcomes_of, undecided

OWN_LESSON = "exercises"

MISSED = (
    "What comes back counts at the first check of its first numbers, before a second hint or the worked solution. "
    "Go on practising: it comes back on another day."
)
COMES = "This comes back: its first check counts, before a second hint or the worked solution."
HINTED = "This comes back: its first check counts. A second hint, and it comes back on another day."
OTHERS = "What comes back counts on the first numbers of the day. Earlier numbers brings them back."
FRESH = "On new numbers this comes back today: their first check counts, before a second hint or the worked solution."


def comes(exercise: Exercise, kept: Record, place: str) -> bool:
    """Whether an exercise that was not used yet today comes back where it is asked."""
    home, standing = home_of(exercise.name), kept.standing_of(exercise.name)
    if home is None or standing is None or standing.met:
        return False
    if exercise.name not in {one.name for one in home[0].coming_back(home[1])}:
        return False
    return kept.right_before(exercise.name) or (place != OWN_LESSON and kept.right(exercise.name))


def still_comes(state: dict[str, Any], exercise: Exercise, kept: Record, place: str) -> bool:
    """Whether an exercise comes back here today, and it is not decided yet."""
    coming = coming_of(state)
    if kept.missed(exercise.name):
        return False
    return undecided(state) if coming.get("on") == kept.day else comes(exercise, kept, place)


def enter_day(state: dict[str, Any], exercise: Exercise, before: Record, place: str) -> None:
    """Settle at the first press of a day whether the exercise comes back here, and then on which numbers.

    `before` is what was kept until this press, `place` where the exercise is asked. What is right here for the first
    time cannot come back here on the same day.
    """
    if coming_of(state).get("on") != before.day:
        first = before.day in state.get("right_on", [])  # by a version that settled nothing
        state["coming"] = {"on": before.day, "comes": not first and comes(exercise, before, place)}
    if state["coming"]["comes"] and _fresh(state):
        state["coming"].setdefault("attempt", int(state.get("attempt", 0)))


def _fresh(state: dict[str, Any]) -> bool:
    return not outcomes_of(state) and not helped(state)


def enter_coming_back(
    state: dict[str, Any], exercise: Exercise, before: Record, was_helped: bool, checked: bool
) -> None:
    """Enter a press as a come-back, right or missed, if it is one; `checked`: a check was entered among the tries."""
    if not undecided(state):
        return
    standing, outcomes = before.standing_of(exercise.name), outcomes_of(state)
    if standing is None or standing.met:
        return
    if helped(state):
        if not was_helped:
            _enter(state, "missed_on", before.day)
    elif checked and len(outcomes) == 1:
        decides = state["coming"].get("attempt") == int(state.get("attempt", 0))
        if not decides or outcomes[0] != "right":
            _enter(state, "missed_on", before.day)
        elif not before.missed(exercise.name):
            _enter(state, "again_on", before.day)


def _enter(state: dict[str, Any], field: str, day: str) -> None:
    state[field] = [*state.get(field, []), day][-KEPT_DAYS:]


def said(state: dict[str, Any], exercise: Exercise, kept: Record, place: str) -> str:
    """What a form says of a come-back: what counts, or that it comes back on another day; empty where there is none."""
    standing = kept.standing_of(exercise.name)
    if standing is None or standing.met:
        return ""
    if kept.missed(exercise.name):
        return MISSED if standing.done else ""
    if not still_comes(state, exercise, kept, place):
        return ""
    coming = coming_of(state)
    deciding = coming.get("attempt") if coming.get("on") == kept.day else None
    if deciding is None:
        return COMES if _fresh(state) else FRESH
    if deciding != int(state.get("attempt", 0)):
        return OTHERS
    return HINTED if state.get("hints") else COMES
