"""Done and met, worked out from the learner's file; what warm-ups and mixed reviews serve."""

from __future__ import annotations

import collections
import itertools
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.foundation import notebooks, places
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.plans import MODULES, plan_of, siblings
from steadyneedle.teaching.learner import coming_back, record
from steadyneedle.teaching.learner.acts import REPORTED, Acts
from steadyneedle.teaching.learner.overview import overview
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.learner.record import Record, Standing, start_over
from steadyneedle.teaching.learner.serving import PLANNED, REVIEWS, SITTING, WARM_UP, comes_back, serve
from steadyneedle.teaching.lesson import Lesson

MONDAY, TUESDAY, WEDNESDAY = "2026-03-02", "2026-03-03", "2026-03-04"


@pytest.fixture
def day(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Today, to be changed."""
    days = [MONDAY]
    monkeypatch.setattr(record, "today", lambda: days[-1])
    return days


def typed_right(exercise: Exercise, givens: dict[str, Any]) -> str:
    right = exercise.solve(givens)
    return right if isinstance(right, str) else f"{right.magnitude:.12g} {exercise.unit}"  # type: ignore[attr-defined]


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
    assert one.done and not one.met and one.words == "done today"
    assert standing(work, "02", 3, TUESDAY).words == "done"
    day.append(TUESDAY)
    for one in plan_of("02").own(3):
        if isinstance(one, ChoiceExercise):
            answer(practise(work, "02", one.name), "new", "right")
    assert not standing(work, "02", 3, TUESDAY).met, "a choice may be a guess, and there is a quantity to ask"
    (asked,) = plan_of("02").coming_back(3)
    answer(practise(work, "02", asked.name), "new", "right")
    assert standing(work, "02", 3, TUESDAY).met and standing(work, "02", 3, TUESDAY).words == "met"


def test_a_wrong_come_back_leaves_the_objective_due_until_another_day(work: Path, day: list[str]) -> None:
    """Whoever guesses on until one is right has not met it: neither with new numbers, nor by a sister exercise."""
    names = [one.name for one in plan_of("01").own(1)]
    for one in plan_of("01").exercises:
        answer(practise(work, "01", one.name), "right")
    day.append(TUESDAY)
    session = practise(work, "01", names[0])
    answer(session, "new", "wrong", "right", "new", "right", "new", "right")
    answer(practise(work, "01", names[1]), "new", "right")
    answer(practise(work, "03", names[2], "warm-up", f"1 {names[2]}"), "right")
    assert not standing(work, "01", 1, TUESDAY).met and not [one for one in due(work, TUESDAY) if one in names]
    assert session.view().note == practise(work, "01", names[1]).view().note == coming_back.MISSED
    assert [one for one in due(work, WEDNESDAY) if one in names] == [names[1]], "the one that came back least often"
    day.append(WEDNESDAY)
    answer(practise(work, "01", names[1]), "new", "right")
    assert standing(work, "01", 1, WEDNESDAY).met
    answer(practise(work, "01", names[2]), "new", "wrong", "solution")
    assert standing(work, "01", 1, WEDNESDAY).met, "what is met stays met"
    assert practise(work, "01", names[2]).view().note.startswith("Help was taken")


def due(work: Path, on: str, through: str = "04") -> list[str]:
    return [one.name for _, one in Record(Progress(work).content(), on).due(through)]


def test_a_quantity_comes_back_right_at_its_first_check_only(work: Path, day: list[str]) -> None:
    """It counts as right within two; what comes back counts at the first."""
    answer(practise(work, "01", "cylinder_content"), "right")
    day.append(TUESDAY)
    answer(practise(work, "01", "cylinder_content"), "new", "wrong", "right")
    assert rights(work, practise(work, "01", "cylinder_content")) == 2 and not standing(work, "01", 5, TUESDAY).met


PLACE = {"exercises": ("01", "exercises", ""), "warm-up": ("02", "warm-up", "1 cylinder_content")}


@pytest.mark.parametrize("place", PLACE)
@pytest.mark.parametrize(
    ("ways", "met"),
    [
        ("unread right", True),
        ("hint right", True),
        ("solution new right", False),
        ("hint hint new right", False),
        ("solution wrong also_wrong new right", False),
        ("wrong right", False),
        ("new right", False),
        ("new back right", True),
        ("new new new back right", True),
        ("new hint new back right", True),
        ("new solution back right", False),
        ("new wrong back right", False),
        ("hint new right new back back right", False),
    ],
)
def test_the_first_fresh_numbers_of_a_day_decide(work: Path, day: list[str], place: str, ways: str, met: bool) -> None:
    """Help taken or other numbers checked before them: missed today, and said so; pressed by mistake, they come again."""
    answer(practise(work, "01", "cylinder_content"), "right")
    day.append(TUESDAY)
    number, where, key = PLACE[place]
    session = practise(work, number, "cylinder_content", where, key)
    if place == "exercises":
        assert session.view().note == coming_back.FRESH
        answer(session, "right", "new")  # yesterday's numbers first: they decide nothing
    assert session.view().note == coming_back.COMES
    answer(session, *(one.replace("_", " ") for one in ways.split()))
    entry = Progress(work).entry(*session._keys)
    assert standing(work, "01", 5, TUESDAY).met == met
    assert (entry.get("again_on", []), entry.get("missed_on", [])) == (([TUESDAY], []) if met else ([], [TUESDAY]))
    assert session.view().note == ("" if met else coming_back.MISSED)
    day.append(WEDNESDAY)
    answer(session, "new", "right")
    assert standing(work, "01", 5, WEDNESDAY).met


def test_what_a_come_back_hangs_on_is_said_and_never_lost(work: Path, day: list[str]) -> None:
    answer(practise(work, "01", "cylinder_content"), "right")
    session = practise(work, "02", "cylinder_content", "warm-up", "1 cylinder_content")
    first = session.view()
    assert first.note == coming_back.COMES
    answer(session, "hint")
    assert session.view().note == coming_back.HINTED
    answer(session, "new", "hint", "new")
    session.typed({"answer": "9 L"})
    assert session.view().note == coming_back.OTHERS and session.view().question != first.question
    answer(session, "back")
    assert session.view().question == first.question and session.view().note == coming_back.HINTED
    start_over(Progress(work), "02")
    assert session.view().note == coming_back.COMES and session.view().question != first.question
    answer(session, "right")
    assert standing(work, "01", 5, MONDAY).met


def test_a_look_at_the_solution_of_yesterday_comes_first_and_it_is_missed(work: Path, day: list[str]) -> None:
    session = practise(work, "01", "cylinder_content")
    answer(session, "right")
    day.append(TUESDAY)
    answer(session, "solution", "new", "right")
    assert not standing(work, "01", 5, TUESDAY).met and session.view().note == coming_back.MISSED


def test_first_right_in_a_warm_up_it_comes_back_elsewhere(work: Path, day: list[str]) -> None:
    """Lesson 00 was skipped: its questions were right for the first time in a warm-up, and seconds later again."""
    sessions = [
        practise(work, "01", one.name, "warm-up", f"{n} {one.name}")
        for n, (_, one) in enumerate(serve(Progress(work), "01", "warm-up", MONDAY), 1)
    ]
    for session in sessions:
        answer(session, "right", "new", "right")
    one = standing(work, "00", 2, MONDAY)
    assert one.done and not one.met
    assert comes_back(Record(Progress(work).content(), MONDAY), one) == "in lesson 02's mixed review at the latest"
    name = serve(Progress(work), "02", "warm-up", MONDAY)[0][1].name
    answer(practise(work, "02", name, "warm-up", f"1 {name}"), "right")
    assert standing(work, "00", 2, MONDAY).met


@pytest.mark.parametrize(
    ("ways", "met"), [("right right", True), ("right wrong", False), ("wrong right", False), ("right solution", False)]
)
def test_choices_alone_come_back_twice(work: Path, day: list[str], ways: str, met: bool) -> None:
    """One choice of four may be a guess; two of one warm-up, or of two days, are asked."""
    for one in plan_of("03").exercises:
        answer(practise(work, "03", one.name), "right")
    day.append(TUESDAY)
    keys = [
        (f"{n} {one.name}", one)
        for n, (_, one) in enumerate(serve(Progress(work), "04", "warm-up", TUESDAY), 1)
        if one.name in siblings("which_rule")
    ]
    first, second = (practise(work, "04", one.name, "warm-up", key) for key, one in keys)
    assert first.view().question != second.view().question
    for session, way in zip((first, second), ways.split(), strict=True):
        answer(session, way)
    assert standing(work, "03", 5, TUESDAY).met == met
    day.append(WEDNESDAY)
    answer(practise(work, "03", "which_rule"), "new", "right")
    assert standing(work, "03", 5, WEDNESDAY).met == met, "a miss between: counted afresh"
    day.append("2026-03-05")
    answer(practise(work, "03", "which_rule"), "new", "right")
    assert standing(work, "03", 5, "2026-03-05").met


def test_what_comes_back_is_a_quantity_where_there_is_one(work: Path, day: list[str]) -> None:
    choices = {
        (plan.number, n)
        for plan in map(plan_of, MODULES)
        for n in range(1, len(plan.objectives) + 1)
        if any(isinstance(one, ChoiceExercise) for one in plan.coming_back(n))
    }
    assert choices == {("03", 5), ("04", 1)}
    for number in MODULES:
        for one in plan_of(number).exercises:
            answer(practise(work, number, one.name), "right")
    asked = [(number, one) for number, one in Record(Progress(work).content(), TUESDAY).due("05")]
    assert {(number, one.objectives[0]) for number, one in asked if isinstance(one, ChoiceExercise)} == choices


def test_a_shared_exercise_meets_only_its_own_objective(work: Path, day: list[str]) -> None:
    """Span times class is no decision rule: only `which_rule` asks to state one."""
    for one in plan_of("03").exercises:
        answer(practise(work, "03", one.name), "right")
    day.append(TUESDAY)
    own = {one.name for one in plan_of("03").own(5)}
    assert own == {"which_rule"}
    for one in plan_of("03").exercises:
        if one.name not in own:
            answer(practise(work, "03", one.name), "new", "right")
    met = [one.met for one in Record(Progress(work).content(), TUESDAY).standings(plan_of("03"))]
    assert met == [True, True, True, True, False]


def test_each_objective_has_an_exercise_of_its_own_or_something_to_do() -> None:
    """Moving a control and finding help are done, not answered: each act says what, and stands by an exercise."""
    for plan in map(plan_of, MODULES):
        acted = {one.objective for one in plan.acts}
        for n, objective in enumerate(plan.objectives, 1):
            asked = [one for one in plan.own(n) if not one.optional]
            assert bool(asked) != (n in acted), objective
        assert all(plan.exercise(one.beside) and one.words for one in plan.acts)
    assert {one.name for number in MODULES for one in plan_of(number).acts} == set(REPORTED.values())
    assert siblings("look_it_up") == {one.name for one in plan_of("03").own(1)}


def test_lesson_00_is_met_by_doing_what_it_says(work: Path, day: list[str]) -> None:
    """Right answers alone move no control and find no help."""
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), "right")
    assert [standing(work, "00", n, MONDAY).words for n in (1, 2, 3)] == ["1 of 2", "done today", "0 of 2"]
    follows: list[int] = []
    acts = Acts(Progress(work), lambda: follows.append(1))
    for message in ({"what": "moved"}, {"what": "moved"}, {"what": "act", "button": "check"}, {"what": ["seen"]}, {}):
        acts.hear(None, message, [])
    assert [standing(work, "00", n, MONDAY).words for n in (1, 2, 3)] == [
        "met",
        "done today",
        "0 of 2",
    ] and follows == [1]
    acts.hear(None, {"what": "act", "button": "hint"}, [])
    assert standing(work, "00", 3, MONDAY).words == "1 of 2"
    Acts(Progress(work), lambda: None).hear(None, {"what": "seen"}, [])
    assert standing(work, "00", 3, MONDAY).met
    start_over(Progress(work), "00")
    assert standing(work, "00", 1, MONDAY).met and standing(work, "00", 3, MONDAY).met


def test_met_in_a_warm_up_on_the_same_day(work: Path, day: list[str]) -> None:
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), "right")
    assert standing(work, "00", 2, MONDAY).done and not standing(work, "00", 2, MONDAY).met
    answer(practise(work, "01", "a_strange_unit", "warm-up", "1 a_strange_unit"), "right")
    assert standing(work, "00", 2, MONDAY).met


def test_rights_kept_by_0_1_0_count_as_done_and_no_more(work: Path) -> None:
    for name in ("read_a_panel", "a_strange_unit"):
        with Progress(work).change("lessons", "00", "exercises", name) as state:
            state.update(version=1, right=5, tries=[])
        with Progress(work).change("lessons", "01", "warm-up", f"1 {name}") as state:
            state.update(version=1, right=5, tries=[])
    assert all(standing(work, "00", n, MONDAY).done for n in (1, 2, 3))
    assert not standing(work, "00", 2, MONDAY).met


def test_a_right_of_0_1_0_and_one_of_today_are_two_days(work: Path, day: list[str]) -> None:
    for name in ("read_a_panel", "a_strange_unit"):
        with Progress(work).change("lessons", "00", "exercises", name) as state:
            state.update(version=1, right=5, tries=[])
    answer(practise(work, "00", "read_a_panel"), "right")
    assert standing(work, "00", 2, MONDAY).met


def test_many_rights_on_one_day_are_one_day(work: Path, day: list[str]) -> None:
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), *("right", "new") * 25)
    assert standing(work, "00", 2, MONDAY).done and not standing(work, "00", 2, MONDAY).met


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


def follow(work: Path, day: list[str], wrong: tuple[str, ...] = ()) -> list[tuple[str, str]]:
    """One lesson a day, its page opened once: warm-up, each exercise once, the review as it stood when it was opened.

    On the last day lesson 04 is opened once more. Come-backs of the names in `wrong` are answered wrong when they come
    for the first time. Gives the objectives that are not met then.
    """
    progress, slips = Progress(work), list(wrong)
    acts = Acts(progress, lambda: None)
    for message in ({"what": "moved"}, {"what": "act", "button": "hint"}, {"what": "seen"}):
        acts.hear(None, message, [])
    for n, number in enumerate([*MODULES, max(MODULES)]):
        day.append(f"2026-03-{n + 10}")
        keep_promises(progress, number, day[-1])
        served = {place: serve(progress, number, place, day[-1]) for place in PLACES[number]}
        names = [one.name for questions in served.values() for _, one in questions]
        twice = {name for name in names if names.count(name) > 1}
        assert twice <= {"which_rule", "which_trace"}, "nothing but choices is asked twice on one page"
        warm = {name for _, one in served.get("warm-up", []) for name in siblings(one.name)}
        assert not warm.intersection(one.name for _, one in served.get("review", []))
        for place, questions in served.items():
            for m, (_, one) in enumerate(questions, 1):
                slip = one.name in slips
                if slip:
                    slips.remove(one.name)
                answer(practise(work, number, one.name, place, f"{m} {one.name}"), "wrong" if slip else "right")
        for one in plan_of(number).exercises if n < len(MODULES) else ():
            if not one.optional:
                answer(practise(work, number, one.name), "right")
    kept = Record(progress.content(), day[-1])
    return [(one.lesson, one.objective) for each in MODULES for one in kept.standings(plan_of(each)) if not one.met]


PLACES = {
    "00": (),
    "01": ("warm-up",),
    "02": ("warm-up", "review"),
    "03": ("warm-up",),
    "04": ("warm-up", "review"),
    "04b": ("warm-up", "review"),
    "05": ("warm-up", "review"),
}


def keep_promises(progress: Progress, number: str, on: str) -> None:
    """What My progress promises for a lesson's warm-up or review is asked there, and nothing is promised for earlier ones."""
    kept = Record(progress.content(), on)
    promised = {
        each.own(one.number)[0].name: comes_back(kept, one)
        for each in map(plan_of, MODULES) for one in kept.standings(each) if one.done and not one.met
    }  # fmt: skip
    served = {place: serve(progress, number, place, on) for place in PLACES[number]}
    for name, words in promised.items():
        lesson = words.partition("lesson ")[2].partition("'")[0]
        assert lesson >= number, (name, words)
        if lesson == number:
            where = served["warm-up"] if "warm-up" in words else [one for all_ in served.values() for one in all_]
            assert any(one.name in siblings(name) for _, one in where), (name, words)


def test_whoever_follows_the_course_meets_everything_without_extra_work(work: Path, day: list[str]) -> None:
    """All but the last lesson's own by its end; those by opening it once more on another day."""
    assert not follow(work, day)


def test_whoever_slips_in_each_warm_up_meets_everything_too(work: Path, day: list[str]) -> None:
    """What was missed once comes back at the latest in the last lesson's review."""
    slips = ("read_a_panel", "psi_to_bar", "read_the_divisions", "which_way", "droop", "last_digit", "which_rule")
    assert not follow(work, day, slips)


def test_a_warm_up_takes_no_more_than_its_lesson_before_leaves(work: Path, day: list[str]) -> None:
    assert max(len(plan_of(number).objectives) for number in MODULES) <= WARM_UP
    for number in MODULES:
        for one in plan_of(number).exercises:
            answer(practise(work, number, one.name), "right")
    for before, number in itertools.pairwise(MODULES):
        questions = serve(Progress(work), number, "warm-up", TUESDAY)
        asked = [lesson for lesson, _ in dict.fromkeys((lesson, siblings(one.name)) for lesson, one in questions)]
        due = sum(
            not one.met and one.done for one in Record(Progress(work).content(), TUESDAY).standings(plan_of(before))
        )
        assert len(asked) <= WARM_UP and asked[:due] == [before] * due and len(questions) <= WARM_UP + 1
    assert len(serve(Progress(work), "04", "review", TUESDAY)) > WARM_UP, "a review asks all the rest"


def test_a_warm_up_with_little_due_asks_what_its_lesson_plans(work: Path) -> None:
    for number in list(MODULES)[1:]:
        asked = [(lesson, one.name) for lesson, one in serve(Progress(work), number, "warm-up", MONDAY)]
        assert asked == list(plan_of(number).warm_up)[:PLANNED]


def test_on_another_day_a_warm_up_asks_with_fresh_numbers(work: Path, day: list[str]) -> None:
    """The form of the day before would show its old numbers, on which nothing counts any more."""
    for one in plan_of("00").exercises:
        answer(practise(work, "00", one.name), "right")
    serve(Progress(work), "01", "warm-up", MONDAY)
    session = practise(work, "01", "read_a_panel", "warm-up", "1 read_a_panel")
    answer(session, "wrong")
    shown = session.view().question
    day.append(TUESDAY)
    asked = [f"{n} {one.name}" for n, (_, one) in enumerate(serve(Progress(work), "01", "warm-up", TUESDAY), 1)]
    for key in asked:
        again = practise(work, "01", key.partition(" ")[2], "warm-up", key)
        assert again.view().question != shown and not again.view().message.word
        answer(again, "right")
    assert standing(work, "00", 2, TUESDAY).met


def test_a_review_opened_again_asks_what_was_done_since(work: Path, day: list[str]) -> None:
    for one in plan_of("02").own(5):
        answer(practise(work, "02", one.name), "right")
    first = serve(Progress(work), "02", "review", MONDAY)
    assert [one.name for _, one in first] == ["size_a_leak"]
    for one in plan_of("02").own(1):
        answer(practise(work, "02", one.name), "right")
    again = serve(Progress(work), "02", "review", MONDAY)
    assert again[:1] == first and [one.name for _, one in again[1:]] == ["lock_up"]


def test_my_progress_says_where_it_comes_back(work: Path, day: list[str]) -> None:
    """Before and after the warm-up, after a miss there, and in the last lesson."""

    def said(number: str, n: int) -> str:
        return next(
            row["words"]
            for row in overview(Progress(work), number)
            if row["lesson"] == number and row["objective"].startswith(str(n))
        )

    answer(practise(work, "01", "cylinder_content"), "right")
    assert said("01", 5) == "done today; comes back in lesson 02's warm-up"
    day.append(TUESDAY)
    serve(Progress(work), "02", "warm-up", TUESDAY)
    assert said("01", 5) == "done; comes back in lesson 02's warm-up"
    answer(practise(work, "02", "cylinder_content", "warm-up", "1 cylinder_content"), "wrong")
    assert said("01", 5) == "done; comes back on another day, in lesson 04's mixed review at the latest"
    last = max(MODULES)
    for one in plan_of(last).assessing(1):
        answer(practise(work, last, one.name), "right")
    serve(Progress(work), last, "warm-up", TUESDAY)
    assert said(last, 1) == f"done today; comes back in lesson {last}'s mixed review, when you open it again"
    day.append(WEDNESDAY)
    answer(practise(work, last, plan_of(last).coming_back(1)[0].name), "new", "wrong")
    assert said(last, 1) == f"done; comes back on another day, in lesson {last}'s mixed review"


def test_reviews_stand_where_they_are_promised() -> None:
    """A mixed review is promised only where the lesson has its cell."""
    found = [
        notebooks.number_of(path.name)
        for path in sorted(places.lessons().glob("[0-9]*.ipynb"))
        if "mixed_review()" in path.read_text(encoding="utf-8")
    ]
    assert tuple(found) == REVIEWS == tuple(number for number, kinds in PLACES.items() if "review" in kinds)


def test_names_of_exercises_are_given_once() -> None:
    """A warm-up's key holds only the name."""
    names = collections.Counter(one.name for number in MODULES for one in plan_of(number).exercises)
    assert max(names.values()) == 1


def test_a_long_review_says_that_it_need_not_be_done_at_once(
    work: Path, day: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """And what is left does come back on another day, the answered ones no more."""
    for number in MODULES:
        for one in plan_of(number).exercises:
            answer(practise(work, number, one.name), "right")
    day.append(TUESDAY)
    lesson = Lesson("04")
    lesson.mixed_review()
    lesson.close()
    asked = serve(Progress(work), "04", "review", TUESDAY)
    assert len(asked) > SITTING
    assert f"{len(asked)} questions: as many as you like today." in capsys.readouterr().out
    for n, (_, one) in enumerate(asked[:SITTING], 1):
        answer(practise(work, "04", one.name, "review", f"{n} {one.name}"), "right")
    left = {siblings(one.name) for _, one in asked[SITTING:]}
    assert {siblings(one.name) for _, one in Record(Progress(work).content(), WEDNESDAY).due("04")} == left


@pytest.mark.parametrize(
    "odd", [3, {}, {"on": MONDAY}, {"on": MONDAY, "comes": 1}, {"on": 3, "comes": True, "attempt": 0}]
)
def test_a_come_back_edited_by_hand_breaks_nothing(work: Path, day: list[str], odd: object) -> None:
    answer(practise(work, "01", "cylinder_content"), "right")
    key = ("lessons", "02", "warm-up", "1 cylinder_content")
    serve(Progress(work), "02", "warm-up", MONDAY)
    with Progress(work).change(*key) as state:
        state["coming"] = odd
    assert "lesson 02's warm-up" in " ".join(row["words"] for row in overview(Progress(work), "01"))
    start_over(Progress(work), "02")
    answer(practise(work, "02", "cylinder_content", "warm-up", key[-1]), "right")
    assert standing(work, "01", 5, MONDAY).met
