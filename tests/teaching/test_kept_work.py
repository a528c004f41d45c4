"""A learner's file of version 0.1.0 opens as it was: nothing in it is lost, nothing right becomes wrong.

`data/my-work-0.1.0.json` was written by version 0.1.0 itself: every exercise, warm-up and prediction answered in turn
right, by a known mistake, after a hint, on new numbers, or left; `data/shown-by-0.1.0.json` is what its forms then
showed.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.questions.choice import SINCE_0_1_0, ChoiceExercise
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.predictions import PredictionSession
from steadyneedle.teaching.learner.progress import FILE, Progress

DATA = Path(__file__).parent / "data"
SHOWN = json.loads((DATA / "shown-by-0.1.0.json").read_text(encoding="utf-8"))


def words_of(value: Any) -> set[str]:
    """Every text anywhere in a kept file."""
    if isinstance(value, dict):
        return set().union(*(words_of(one) for one in value.values()), value.keys())
    if isinstance(value, list):
        return set().union(*map(words_of, value)) if value else set()
    return {str(value)}


def exercise_of(keys: list[str]) -> Any:
    _, number, where, name = keys
    if where == "warm-up":
        name = name.partition(" ")[2]
        return next(one for each in MODULES for one in plan_of(each).exercises if one.name == name)
    return plan_of(number).exercise(name)


@pytest.fixture
def kept(work: Path) -> Path:
    (work / FILE).write_bytes((DATA / "my-work-0.1.0.json").read_bytes())
    return work


@pytest.mark.parametrize("shown", SHOWN, ids=lambda shown: " ".join(shown["keys"][1:]))
def test_what_0_1_0_kept_is_shown_again(kept: Path, shown: dict[str, Any]) -> None:
    progress, keys = Progress(kept), tuple(shown["keys"])
    if shown["keys"][2] == "predictions":
        prediction = plan_of(keys[1]).prediction(keys[3])
        session = PredictionSession(prediction, progress, keys)
        right, value = (SINCE_0_1_0.get(shown[name], shown[name]) for name in ("right", "value"))
        assert prediction.options.get(session.recorded, "") == right
        if value:
            assert prediction.options[session.view().fields[0].value] == value
        return
    exercise = exercise_of(shown["keys"])
    session = PracticeSession(exercise, progress, keys, "Exercise")
    assert progress.entry(*keys).get("right", 0) == shown["right"]
    view = session.view()
    if progress.entry(*keys)["version"] != exercise.version:
        return  # mended since: its typed answers are put aside, what was right stays right
    assert list(view.question) == shown["question"] and view.message.word == shown["word"]
    value = view.fields[0].value
    assert (dict(view.fields[0].options)[value] if isinstance(exercise, ChoiceExercise) else value) == shown["value"]


def test_going_on_with_it_loses_nothing(kept: Path) -> None:
    """After one more check of everything each text that was kept is still there, but for what a form replaces."""
    before = json.loads((kept / FILE).read_text(encoding="utf-8"))
    for shown in SHOWN:
        keys = tuple(shown["keys"])
        if keys[2] == "predictions":
            continue
        exercise = exercise_of(shown["keys"])
        session = PracticeSession(exercise, Progress(kept), keys, "Exercise")
        value = session.view().fields[0].value
        session.act("check", {"answer": value})
        assert session.view().message.word == shown["word"] or not value, keys
    after = json.loads((kept / FILE).read_text(encoding="utf-8"))
    assert words_of(before) <= words_of(after)
    for shown in SHOWN:
        if isinstance(shown["right"], int):
            assert Progress(kept).entry(*shown["keys"]).get("right", 0) >= shown["right"]
