"""My progress: this lesson first, with links, following each answer; starting over keeps the record."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.frame.standing import StandingWidget
from steadyneedle.teaching.frame.widgets import PanelWidget
from steadyneedle.teaching.learner import record
from steadyneedle.teaching.learner.overview import files, overview
from steadyneedle.teaching.learner.practice import anchor
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.lesson import Lesson

NUMBER = "00"


@pytest.fixture
def lesson(work: Path) -> Iterator[Lesson]:
    """A lesson in front of a learner, as its cells show it."""
    one = Lesson(NUMBER)
    one.predict("gauge")
    for exercise in one.plan.exercises:
        one.exercise(exercise.name)
    one.where_am_i()
    yield one
    one.close()


def standing(lesson: Lesson) -> StandingWidget:
    return next(one for one in lesson._shown if isinstance(one, StandingWidget))


def forms(lesson: Lesson) -> list[FormWidget]:
    return [one for one in lesson._shown if isinstance(one, FormWidget)]


def press(form: FormWidget, button: str, **answers: str) -> None:
    form._heard(form, {"what": "act", "button": button, "answers": answers, "number": 1}, [])


def right(form: FormWidget) -> str:
    session: Any = form._session
    return f"{session._exercise.solve(session.givens(session._state())).magnitude:.6g} {session._exercise.unit}"


def test_this_lesson_stands_first_and_each_link_leads_to_an_exercise(work: Path) -> None:
    anchors = {
        number: {"#" + anchor(("lessons", number, "exercises", one.name)) for one in plan_of(number).exercises}
        for number in MODULES
    }
    for here in MODULES:
        rows = overview(Progress(work), here)
        mine = len(plan_of(here).objectives)
        assert all(row["lesson"] == here for row in rows[:mine]) and {row["lesson"] for row in rows} == set(MODULES)
        for row in rows:
            file, hash_, name = row["link"].partition("#")
            assert hash_ + name in anchors[row["lesson"]]
            assert file == ("" if row["lesson"] == here else files()[row["lesson"]])


def test_it_follows_each_answer_at_once(lesson: Lesson) -> None:
    shown = standing(lesson)
    assert {row["words"] for row in shown.rows if row["lesson"] == NUMBER} == {"0 of 2"}
    first, second = forms(lesson)[1:]
    press(first, "check", answer=right(first))
    mine = [row for row in shown.rows if row["lesson"] == NUMBER]
    assert [row["words"] for row in mine] == ["1 of 2", "1 of 2", "0 of 2"] and "a_strange_unit" in mine[1]["link"]
    assert mine[0]["next"] == "Move the control of a gauge or a chart" and "read_a_panel" in mine[0]["link"]
    press(second, "check", answer=right(second))
    mine = [row for row in shown.rows if row["lesson"] == NUMBER]
    assert mine[1]["words"] == "done today; comes back in lesson 01's warm-up"
    assert (mine[1]["next"], mine[1]["link"]) == ("nothing today: move on", "")


def test_what_is_done_and_not_answered_is_reported_by_the_page(lesson: Lesson) -> None:
    """A control moved, a hint asked for, the table seen: the widgets' own messages, the table follows at once."""
    shown = standing(lesson)
    lesson.panel("gauge")
    panel = next(one for one in lesson._shown if isinstance(one, PanelWidget))
    press(forms(lesson)[1], "check", answer=right(forms(lesson)[1]))

    def say(widget: Any, **message: str) -> list[str]:
        widget._handle_custom_msg({"answers": {}, "number": 1, **message}, [])
        return [row["words"] for row in shown.rows if row["lesson"] == NUMBER]

    assert say(panel, what="moved") == ["met", "1 of 2", "0 of 2"]
    assert say(forms(lesson)[1], what="act", button="hint") == ["met", "1 of 2", "1 of 2"]
    assert say(shown, what="seen") == ["met", "1 of 2", "met"]


def test_starting_over_shows_at_once_and_keeps_the_record(lesson: Lesson, work: Path) -> None:
    predicted, first, second = forms(lesson)
    press(predicted, "record", prediction="larger")
    press(first, "check", answer=right(first))
    press(second, "check", answer="1 kPa")
    asked = [tuple(one.view["question"]) for one in (first, second)]
    shown = standing(lesson)
    rows = list(shown.rows)
    shown._heard(shown, {"what": "start over"}, [])
    assert shown.said["words"].startswith("Started over.") and shown.rows == rows
    assert [tuple(one.view["question"]) for one in (first, second)] != asked
    assert (
        not first.view["message"]["word"]
        and not first.view["fields"][0]["value"]
        and not predicted.view["cover"]["open"]
    )
    assert all(next(b for b in one.view["buttons"] if b["name"] == "back")["off"] for one in (first, second))
    assert record.Record(Progress(work).content(), record.today()).right("read_a_panel")
