"""Exercises: every known mistake is computed and named, none is right by accident, the solution is right."""

from __future__ import annotations

import re
from typing import Any

import pytest

from steadyneedle.bench.units import Q, format_number
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.checking import significant
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise, QuantityExercise
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.questions.preferences import Preferences, unit_label
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


@pytest.mark.parametrize(
    ("lesson", "name", "unit"),
    [("04b", "after_a_finding", "%"), ("04b", "two_looks", "%"), ("04b", "outside_first", "min"), ("04", "opens_in", "min"), ("01", "depth_from_pressure", "m"), ("01", "cylinder_content", "L")],
)  # fmt: skip
@pytest.mark.parametrize("preferences", READERS, ids=str)
def test_a_bare_number_has_the_unit_that_the_question_names(
    lesson: str, name: str, unit: str, preferences: Preferences
) -> None:
    """ "in percent", "how many minutes", "type metres": the question has said it, so nobody need say it again."""
    exercise = plan_of(lesson).exercise(name)
    assert isinstance(exercise, QuantityExercise) and exercise.names_its_unit
    givens = exercise.givens("bare", 1)
    bare = format_number(exercise.solve(givens).magnitude, None, preferences.decimal or "point")
    checked = exercise.check(givens, bare, preferences)
    assert checked.outcome == "right" and checked.lines[0].casefold().startswith("read as ")
    assert checked.lines[0].endswith(f" {unit}."), checked.lines
    assert exercise.check(givens, f"{bare} {unit}", preferences).lines == checked.lines[1:]


def test_a_bare_number_read_in_another_way_says_both() -> None:
    exercise = plan_of("04b").exercise("after_a_finding")
    givens = exercise.givens("bare", 1)
    assert exercise.check(givens, "12,5", Preferences("point")).lines[0] == "12,5 was read as 12.5 %."
    assert exercise.check(givens, "ninety", Preferences()).outcome == "not read"
    assert exercise.check(givens, "9.5 bar", Preferences()).outcome == "not read"


def test_a_conversion_names_its_unit_and_wants_it_typed() -> None:
    """There the unit is what is asked: 9.8 may be bar, or psi, or MPa."""
    for lesson, name in (("01", "psi_to_bar"), ("01", "mpa_to_psi"), ("00", "a_strange_unit"), ("04b", "gas_lost")):
        exercise = plan_of(lesson).exercise(name)
        assert isinstance(exercise, QuantityExercise) and not exercise.names_its_unit
        assert exercise.check(exercise.givens("bare", 1), "9.8", Preferences()).outcome == "not read"


def test_millilitres_are_written_as_the_question_writes_them() -> None:
    exercise = plan_of("04b").exercise("gas_lost")
    givens = exercise.givens("small l", 1)
    right = exercise.solve(givens).magnitude
    assert "mL" in " ".join(exercise.question(givens)) and field_of(exercise, givens, "", Preferences()).label.endswith(
        "mL"
    )
    slip = exercise.check(givens, f"{right:.1f} l", Preferences())
    assert slip.lines == ("The number is right in mL, but you typed L.",)
    for said in (f"{right:.1f} mL", "9", f"{right:.1f}"):
        assert not re.search(r"\bml\b", " ".join(exercise.check(givens, said, Preferences()).lines))


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
        assert f"in {unit_label(Q(1, exercise.unit).units)}" in field_of(exercise, {}, "", Preferences()).label
