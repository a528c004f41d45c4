"""Exercises: every known mistake is computed and named, none is right by accident, the solution is right."""

from __future__ import annotations

import re
from typing import Any

import pytest

from steadyneedle.bench.units import Q, format_number, label
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.checking import significant
from steadyneedle.questions.exercise import ChoiceExercise, Exercise, QuantityExercise
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.learner.practice import field_of

PLANS = [plan_of(number) for number in MODULES]
EXERCISES = [(plan, one) for plan in PLANS for one in plan.exercises]
NUMERIC = [one for _, one in EXERCISES if isinstance(one, QuantityExercise)]
CHOSEN = [one for _, one in EXERCISES if isinstance(one, ChoiceExercise)]
READERS = (Preferences(), Preferences("comma", "psi"), Preferences("point", "bar"))


def typed(exercise: QuantityExercise, answer: float, preferences: Preferences) -> str:
    """What a person types who got this answer, in the unit asked."""
    return f"{format_number(answer, 6, preferences.decimal or 'point')} {exercise.unit}"


def ids(exercise: Exercise) -> str:
    return exercise.name


@pytest.mark.parametrize("exercise", NUMERIC, ids=ids)
def test_numeric_exercises_know_at_least_three_mistakes(exercise: QuantityExercise) -> None:
    assert len(exercise.mistakes) >= 3
    assert len({mistake.name for mistake in exercise.mistakes}) == len(exercise.mistakes)


@pytest.mark.parametrize("exercise", CHOSEN, ids=ids)
def test_choices_name_their_mistakes(exercise: ChoiceExercise) -> None:
    """Over 400 draws: the right option checks as right; a mistake that applies is another option and is named."""
    applied, rights = set(), set()
    for n in range(400):
        givens = exercise.givens("test", n)
        right, options, names = exercise.solve(givens), exercise.options(givens), exercise.names(givens)
        rights.add(right)
        assert len(set(options.values())) == len(options) and right in options
        assert exercise.check(givens, right, Preferences()).outcome == "right"
        for mistake in exercise.mistakes:
            option = mistake.answer(names)
            assert option is None or option in options, (mistake.name, givens)
            if option in (None, right):
                continue
            feedback = exercise.check(givens, option, Preferences())
            applied.add(feedback.mistake)
            assert feedback.outcome == "known mistake" and feedback.mistake in {one.name for one in exercise.mistakes}
        for option in set(options) - {right}:
            assert exercise.check(givens, option, Preferences()).outcome in ("known mistake", "off")
    assert applied == {mistake.name for mistake in exercise.mistakes}, "a mistake never applies"
    assert rights == set(exercise.choices)


@pytest.mark.parametrize("exercise", [one for _, one in EXERCISES], ids=ids)
def test_words_are_there_in_every_preferences(exercise: Exercise) -> None:
    for n in range(25):
        givens = exercise.givens("words", n)
        for preferences in READERS:
            lines = [
                *exercise.question(givens, preferences),
                *exercise.help_lines(givens, preferences),
                *exercise.steps(givens, preferences),
            ]
            assert len(exercise.help_lines(givens, preferences)) >= 2 and exercise.steps(givens, preferences)
            for line in lines:
                assert line and "nan" not in line and "None" not in line, line
                if preferences.decimal == "comma":
                    assert not re.search(r"\d\.\d", line), line


@pytest.mark.parametrize("exercise", NUMERIC, ids=ids)
def test_any_unit_of_the_kind_is_right(exercise: QuantityExercise) -> None:
    others = {
        "pressure": "kPa",
        "gauge pressure": "kPa",
        "absolute pressure": "kPa",
        "length": "ft",
        "volume": "m3",
        "pressure rate": "psi/min",
        "time": "s",
        "percent": "percent",
    }
    other = others[exercise.kind]
    givens = exercise.givens("units", 1)
    if exercise.name in ("read_a_panel", "mpa_to_psi"):  # kPa would be the reading again, its mark moved
        other = "kgf/cm2"
    value = exercise.solve(givens).to(Q(1, other).units).magnitude
    assert exercise.check(givens, f"{value:.9g} {other}", Preferences("point")).outcome == "right"


def test_a_right_number_in_the_wrong_unit_is_named() -> None:
    exercise = plan_of("01").exercise("psi_to_bar")
    assert isinstance(exercise, QuantityExercise)
    givens = exercise.givens("slip", 1)
    value = exercise.solve(givens).to("bar").magnitude
    feedback = exercise.check(givens, f"{value:.3f} psi", Preferences())
    assert feedback.mistake == "psi for bar" and feedback.lines == ("The number is right in bar, but you typed psi.",)


def test_an_unknown_error_says_which_way_and_what_to_check_first() -> None:
    exercise = plan_of("01").exercise("psi_to_bar")
    givens = {"psi": 145}
    near = exercise.check(givens, "9.5 bar", Preferences())
    assert near.outcome == "off"
    assert near.lines == ("That is too low. How many psi make one bar? Divide by that number.",)
    assert exercise.check(givens, "100 bar", Preferences()).lines[0].startswith("That is too high. ")
    none = exercise.check(givens, "9,5", Preferences())
    assert none.outcome == "not read"
    assert none.lines == ("A number needs its unit. Type the unit behind it, for example bar.",)


@pytest.mark.parametrize("exercise", NUMERIC, ids=ids)
def test_an_answer_with_the_figures_it_deserves_is_right(exercise: QuantityExercise) -> None:
    for n in range(0 if exercise.limit else 100):  # a limit is rounded inward: tests/questions/test_rules.py
        givens = exercise.givens("rounded", n)
        value = exercise.solve(givens).to(Q(1, exercise.unit).units).magnitude
        rounded = float(f"{value:.{exercise.figures - 1}e}") if exercise.figures else value  # exact by the question
        text = f"{rounded:.10g} {exercise.unit}"
        assert exercise.check(givens, text, Preferences("point")).outcome == "right", (text, value)


def test_figures_never_cost_a_mark() -> None:
    exercise = plan_of("01").exercise("psi_to_bar")
    many = exercise.check({"psi": 145}, "9.997398 bar", Preferences())
    assert (
        many.outcome == "right" and "You typed 7" in many.lines[0] and "deserves 3 figures: 10.0 bar" in many.lines[0]
    )
    few = exercise.check({"psi": 145}, "10 bar", Preferences())
    assert few.outcome == "right" and "You typed" not in few.lines[0]
    assert significant("0.00980 MPa") == 3


def test_unfair_numbers_are_drawn_again() -> None:
    """A mistake that would be right for some numbers is never drawn with them."""
    exercise = plan_of("01").exercise("cost_of_rounding")
    seen = [exercise.givens("fair", n) for n in range(200)]
    assert all(exercise.fair(givens) for givens in seen)
    unfair = 0
    for n in range(200):
        unfair += not exercise.fair(exercise.draw(Draws("raw", n)))
    assert unfair > 0, "the check would never refuse anything"


def test_draws_repeat_and_differ() -> None:
    for _, exercise in EXERCISES:
        assert exercise.givens("a", 1) == exercise.givens("a", 1)
        assert len({str(exercise.givens("a", n)) for n in range(12)}) > 2


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.number)
def test_coverage_of_objectives(plan: Any) -> None:
    """Every objective is assessed at least twice, by exercises or by something to do."""
    for n in range(1, len(plan.objectives) + 1):
        acts = [one for one in plan.acts if one.objective == n]
        assert len([*plan.assessing(n), *acts]) >= 2, plan.objectives[n - 1]
    assert all(0 < n <= len(plan.objectives) for one in plan.exercises for n in one.objectives)


def test_labels_name_units_people_know() -> None:
    for exercise in NUMERIC:
        assert f"in {label(Q(1, exercise.unit).units)}" in field_of(exercise, {}, "", Preferences()).label
