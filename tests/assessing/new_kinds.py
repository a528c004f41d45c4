"""A paper of the kinds of question whose answer is more than one key, or a place on a trace: a plan as a team writes it."""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import PaperPlan, exercise_named
from steadyneedle.assessing.plan_file import read_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for
from steadyneedle.questions.keyed import KeyedExercise

TOML = """
title = "Other kinds"
minutes = 30
pass_percent = 60

[[questions]]
exercise = "what_lets_in"
count = 2
weight = 3

[[questions]]
exercise = "before_opening"
weight = 2

[[questions]]
exercise = "judge_a_watch"
weight = 2
critical = true

[[questions]]
exercise = "where_it_creeps"

[[questions]]
exercise = "before_opening"
"""
SECRET = bytes(range(32))


@cache
def plan() -> PaperPlan:
    """The plan, read from a file."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "other-kinds.toml"
        path.write_text(TOML, encoding="utf-8")
        return read_plan(path)


@cache
def paper_of(candidate: str) -> Paper:
    """The paper of an invented candidate."""
    return paper_for(plan(), CohortKey(SECRET), candidate)


def keyed(item: Item) -> KeyedExercise:
    """The exercise behind an item."""
    exercise = exercise_named(item.exercise)
    assert isinstance(exercise, KeyedExercise)
    return exercise


def right_of(item: Item) -> str:
    """The right answer as text."""
    right = exercise_named(item.exercise).solve(dict(item.givens))
    return right if isinstance(right, str) else f"{right.magnitude:.4g} {item.unit}"
