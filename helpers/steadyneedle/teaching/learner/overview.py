"""How far a learner has come, as rows of a table with links: this lesson first, then the others."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from steadyneedle.foundation import notebooks, places
from steadyneedle.questions.plans import MODULES, Plan, plan_of
from steadyneedle.teaching.learner import record
from steadyneedle.teaching.learner.practice import anchor
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.learner.record import Record, Standing
from steadyneedle.teaching.learner.serving import comes_back

HEAD = ("lesson", "objective", "so far", "practise next")


def overview(progress: Progress, lesson: str) -> list[dict[str, str]]:
    """Rows of lesson, objective, standing and what to practise next, `link` leading to that exercise.

    >>> import tempfile
    >>> from pathlib import Path
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     rows = overview(Progress(Path(folder)), "03")
    >>> rows[0]["lesson"], rows[0]["next"], rows[0]["link"]
    ('03', '2: Bar columns and psi columns', '#sn-03-exercises-look_it_up')
    >>> next(row["link"] for row in rows if row["lesson"] == "04")
    '04-creep-and-its-cause.ipynb#sn-04-exercises-which_trace'
    """
    kept = Record(progress.content(), record.today())
    order = sorted(MODULES, key=lambda one: (one != lesson, one))
    return [row for one in order for row in _rows(kept, _plan(one), lesson)]


def _rows(kept: Record, plan: Plan, here: str) -> Iterator[dict[str, str]]:
    for one in kept.standings(plan):
        name, link = _next(one, plan)
        words = one.words
        if one.done and not one.met:
            words += f"; comes back {comes_back(kept, one)}"
        away = "" if plan.number == here or not link else files().get(plan.number, "")
        yield {
            "lesson": plan.number, "objective": f"{one.number}. {one.objective}", "words": words, "next": name,
            "link": f"{away}{link}" if link and (away or plan.number == here) else "",
        }  # fmt: skip


def _next(one: Standing, plan: Plan) -> tuple[str, str]:
    """What to practise or to do next, and the anchor of that exercise, or of one where it can be done."""
    if one.done:
        return "nothing: move on" if one.met else "nothing today: move on", ""
    exercise = one.left[0] if one.left else plan.exercise(one.undone[0].beside)
    link = "#" + anchor(("lessons", plan.number, "exercises", exercise.name))
    return f"{1 + plan.exercises.index(exercise)}: {exercise.title}" if one.left else one.undone[0].words, link


@cache
def _plan(number: str) -> Plan:
    return plan_of(number)


@cache
def files() -> dict[str, str]:
    """Lesson number to the name of its file; a working copy has the same names."""
    return {notebooks.number_of(path.name): path.name for path in places.lessons().glob("[0-9]*.ipynb")}
