"""Done and met, worked out from the learner's file; what warm-ups and mixed reviews serve."""

from __future__ import annotations

import collections
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.questions.exercise import ChoiceExercise, Exercise
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.teaching.learner import record
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.learner.record import Record, Standing, start_over
from steadyneedle.teaching.learner.serving import REVIEW, WARM_UP, serve

MONDAY, TUESDAY = "2026-03-02", "2026-03-03"


@pytest.fixture
def day(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Today, to be changed."""
    days = [MONDAY]
    monkeypatch.setattr(record, "today", lambda: days[-1])
    return days


def typed_right(exercise: Exercise, givens: dict[str, Any]) -> str:
    right = exercise.solve(givens)
    return right if isinstance(right, str) else f"{right.magnitude:.9g} {exercise.unit}"  # type: ignore[attr-defined]


def typed_wrong(exercise: Exercise, givens: dict[str, Any], times: float = 3.7) -> str:
    right = exercise.solve(givens)
    if isinstance(exercise, ChoiceExercise):
        return next(key for key in exercise.options(givens) if key != right)
    return f"{times * right.magnitude:.9g} {exercise.unit}"  # type: ignore[attr-defined]


def practise(work: Path, number: str, name: str, place: str = "exercises", key: str = "") -> PracticeSession:
    exercise = next(one for each in MODULES for one in plan_of(each).exercises if one.name == name)
    return PracticeSession(exercise, Progress(work), ("lessons", number, place, key or name), "Exercise")


def answer(session: PracticeSession, *ways: str) -> None:
    """Check so often: "right", "wrong", "also wrong", "unread", or press "hint", "solution", "new", "back"."""
    for way in ways:
        exercise, givens = session._exercise, session.givens(session._state())
        if way in ("right", "wrong"):
            session.act("check", {"answer": (typed_right if way == "right" else typed_wrong)(exercise, givens)})
        elif way == "also wrong":
            session.act("check", {"answer": typed_wrong(exercise, givens, 4.3)})
        elif way == "unread":
            session.act("check", {"answer": ""})
        else:
            session.act(way, {})


def rights(work: Path, session: PracticeSession) -> int:
    return int(Progress(work).entry(*session._keys).get("right", 0))


@pytest.mark.parametrize(
    ("number", "name", "ways", "counts"),
    [
        ("02", "supply_way", ("right",), 1),
        ("02", "supply_way", ("wrong", "right"), 0),
        ("02", "supply_way", ("unread", "right"), 1),
        ("02", "supply_way", ("wrong", "right", "new", "right"), 1),
        ("02", "supply_way", ("right", "right", "right"), 1),
        ("01", "psi_to_bar", ("wrong", "right"), 1),
        ("01", "psi_to_bar", ("wrong", "also wrong", "right"), 0),
        ("01", "psi_to_bar", ("wrong", "wrong", "wrong", "right"), 1),
        ("01", "psi_to_bar", ("wrong", "new", "back", "right"), 1),
        ("01", "psi_to_bar", ("wrong", "also wrong", "new", "back", "right"), 0),
        ("01", "psi_to_bar", ("solution", "new", "new", "back", "right"), 0),
        ("01", "psi_to_bar", ("wrong", "new", "wrong", "also wrong", "back", "right", "back", "right"), 1),
        ("01", "psi_to_bar", ("right", "new", "back", "right", "new", "right"), 2),
        ("01", "psi_to_bar", ("hint", "right"), 1),
        ("01", "psi_to_bar", ("hint", "hint", "right"), 0),
        ("01", "psi_to_bar", ("solution", "right"), 0),
        ("01", "psi_to_bar", ("right", "right", "new", "right"), 2),
    ],
)
def test_what_counts_as_right(
    work: Path, day: list[str], number: str, name: str, ways: tuple[str, ...], counts: int
) -> None:
    """A choice at the first check, a quantity within two, before the second hint or the solution, once a draw."""
    session = practise(work, number, name)
    answer(session, *ways)
    assert rights(work, session) == counts


def standing(work: Path, number: str, objective: int, on: str) -> Standing:
    return list(Record(Progress(work).content(), on).standings(plan_of(number)))[objective - 1]


def test_done_then_met_on_another_day(work: Path, day: list[str]) -> None:
    """Objective 3 of lesson 02: three exercises, none of them optional."""
    needed = [one.name for one in plan_of("02").assessing(3)]
    assert len(needed) >= 3
    for name in needed[:-1]:
        answer(practise(work, "02", name), "right")
    one = standing(work, "02", 3, MONDAY)
    assert not one.done and one.words == f"{len(needed) - 1} of {len(needed)}" and one.left[0].name == needed[-1]
    answer(practise(work, "02", needed[-1]), "right", "new", "right")
    one = standing(work, "02", 3, MONDAY)
    assert one.done and not one.met and one.words == "done today; comes back in lesson 03's warm-up"
    assert standing(work, "02", 3, TUESDAY).words == "done; comes back in lesson 03's warm-up"
    day.append(TUESDAY)
    answer(practise(work, "02", needed[0]), "new", "wrong")
    assert not standing(work, "02", 3, TUESDAY).met
    answer(practise(work, "02", needed[0]), "new", "right")
    assert standing(work, "02", 3, TUESDAY).met and standing(work, "02", 3, TUESDAY).words == "met"


def test_met_in_a_warm_up_on_the_same_day(work: Path, day: list[str]) -> None:
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), "right")
    assert standing(work, "00", 1, MONDAY).done and not standing(work, "00", 1, MONDAY).met
    answer(practise(work, "01", "a_strange_unit", "warm-up", "1 a_strange_unit"), "right")
    assert all(standing(work, "00", n, MONDAY).met for n in (1, 2, 3))


def test_rights_kept_by_0_1_0_count_as_done_and_no_more(work: Path) -> None:
    for name in ("read_a_panel", "a_strange_unit"):
        with Progress(work).change("lessons", "00", "exercises", name) as state:
            state.update(version=1, right=5, tries=[])
        with Progress(work).change("lessons", "01", "warm-up", f"1 {name}") as state:
            state.update(version=1, right=5, tries=[])
    one = standing(work, "00", 1, MONDAY)
    assert one.done and not one.met


def test_a_right_of_0_1_0_and_one_of_today_are_two_days(work: Path, day: list[str]) -> None:
    for name in ("read_a_panel", "a_strange_unit"):
        with Progress(work).change("lessons", "00", "exercises", name) as state:
            state.update(version=1, right=5, tries=[])
    answer(practise(work, "00", "read_a_panel"), "right")
    assert standing(work, "00", 1, MONDAY).met


def test_many_rights_on_one_day_are_one_day(work: Path, day: list[str]) -> None:
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), *("right", "new") * 25)
    assert standing(work, "00", 1, MONDAY).done and not standing(work, "00", 1, MONDAY).met


def test_three_clicks_on_new_numbers_lose_nothing(work: Path, day: list[str]) -> None:
    """Whoever pressed it by mistake goes back to the last numbers on which something was typed."""
    session = practise(work, "01", "psi_to_bar")
    session.typed({"answer": "9,8 bar"})
    session.act("hint", {"answer": "9,8 bar"})
    shown = session.view()
    answer(session, "new", "new", "new")
    assert session.view().question != shown.question and not session.view().fields[0].value
    answer(session, "back")
    again = practise(work, "01", "psi_to_bar").view()
    assert (again.question, again.fields, again.hints) == (shown.question, shown.fields, shown.hints)
    assert {one.name: one.off for one in again.buttons}["back"], "there is nothing else to go back to"
    attempts = [0]
    for _ in range(4):
        before = session.view().question
        answer(session, "new")
        assert session.view().question != before, "new numbers are new"
        attempts.append(Progress(work).entry(*session._keys)["attempt"])
    assert attempts == sorted(set(attempts)), "nobody meets a draw again by pressing"


def test_numbers_put_aside_keep_their_checks(work: Path, day: list[str]) -> None:
    """However much was typed since: a draw is no fresh one because one came back to it."""
    session = practise(work, "01", "psi_to_bar")
    answer(session, "wrong", "also wrong", "new")
    for n in range(60):
        session.act("check", {"answer": f"{n + 1000} bar"})
    answer(session, "back", "right")
    assert not rights(work, session)
    assert len(Progress(work).entry(*session._keys)["tries"]) <= record.KEPT_TRIES + 4


def test_optional_exercises_hold_nothing_back(work: Path, day: list[str]) -> None:
    optional = {one.name for number in MODULES for one in plan_of(number).exercises if one.optional}
    assert optional == {"usable_air", "probability_verdict", "other_supply"}
    answer(practise(work, "01", "cylinder_content"), "right")
    assert standing(work, "01", 5, MONDAY).done


def test_start_over_keeps_the_record(work: Path, day: list[str]) -> None:
    session = practise(work, "01", "psi_to_bar")
    answer(session, "right", "hint")
    with Progress(work).change("lessons", "01", "predictions", "dial") as state:
        state.update(recorded="98", explained=True)
    before, question = Progress(work).entry(*session._keys), session.view().question
    start_over(Progress(work), "01")
    after, view = Progress(work).entry(*session._keys), practise(work, "01", "psi_to_bar").view()
    assert view.question != question and not view.hints and not view.fields[0].value
    assert {k: before[k] for k in ("right", "right_on", "tries")} == {
        k: after[k] for k in ("right", "right_on", "tries")
    }
    assert Progress(work).entry("lessons", "01", "predictions", "dial") == {"earlier": ["98"]}


def test_starting_over_an_odd_file_breaks_nothing(work: Path) -> None:
    with Progress(work).change("lessons", "01") as lesson:
        lesson["exercises"] = {"psi_to_bar": {"attempt": "x", "right": 2, "before": 3}, "mpa_to_psi": 7}
        lesson["predictions"] = {"dial": {"recorded": "98", "earlier": 5}, "depth": []}
    start_over(Progress(work), "01")
    after = Progress(work).entry("lessons", "01", "exercises", "psi_to_bar")
    assert after["right"] == 2 and after["attempt"] == 1 and "before" not in after
    assert Progress(work).entry("lessons", "01", "predictions", "dial") == {"earlier": ["98"]}


def test_a_mended_exercise_begins_with_fresh_numbers_and_they_stay(work: Path, day: list[str]) -> None:
    session = practise(work, "01", "psi_to_bar")
    answer(session, "right", "new", "right")
    with Progress(work).change(*session._keys) as state:
        state["version"] = 0
    shown = session.view().question
    session.typed({"answer": "9"})
    assert session.view().question == shown and rights(work, session) == 2


def test_a_warm_up_keeps_its_questions_for_the_day(work: Path, day: list[str]) -> None:
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), "right")
    asked = serve(Progress(work), "01", "warm-up", MONDAY)
    assert [one.name for _, one in asked] == ["read_a_panel", "a_strange_unit"], "one question, once"
    answer(practise(work, "01", "read_a_panel", "warm-up", "1 read_a_panel"), "right")
    assert serve(Progress(work), "01", "warm-up", MONDAY) == asked


def test_a_review_edited_by_hand_breaks_nothing(work: Path) -> None:
    with Progress(work).change("lessons", "02", "served", "review") as state:
        state.update(on=MONDAY, asked=[["01", "gone"], 3, ["01", "psi_to_bar"], None])
    assert [one.name for _, one in serve(Progress(work), "02", "review", MONDAY)] == ["psi_to_bar"]


def test_whoever_follows_the_course_meets_everything_without_extra_work(work: Path, day: list[str]) -> None:
    """One lesson a day, each exercise once, its warm-up before it, a mixed review after 02 and 04."""
    for n, number in enumerate(MODULES):
        day.append(f"2026-03-0{n + 2}")
        progress = Progress(work)

        def ask(place: str, number: str = number, progress: Progress = progress, on: str = day[-1]) -> int:
            served = serve(progress, number, place, on)
            for m, (_, one) in enumerate(served, 1):
                answer(practise(work, number, one.name, place, f"{m} {one.name}"), "right")
            return len(served)

        if n:
            assert ask("warm-up") <= WARM_UP
        for one in plan_of(number).exercises:
            if not one.optional:
                answer(practise(work, number, one.name), "right")
        if number in ("02", "04"):
            assert ask("review") <= REVIEW
    kept = Record(Progress(work).content(), day[-1])
    missing = [
        (one.lesson, one.objective) for number in MODULES for one in kept.standings(plan_of(number)) if not one.met
    ]
    assert not missing


def test_names_of_exercises_are_given_once() -> None:
    """A warm-up's key holds only the name."""
    names = collections.Counter(one.name for number in MODULES for one in plan_of(number).exercises)
    assert max(names.values()) == 1
