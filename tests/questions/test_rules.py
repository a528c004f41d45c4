"""The rules of questions, over draws of every exercise: a sample in CI, whole 1,000 draws with `-m long`.

Each heading is a rule as it was set for this workbook. What may be said of a number comes from there too: 0.1 bar, 1 psi,
a whole minute and two figures of a rate are common practice, no source; all numbers of the questions are invented.
"""

from __future__ import annotations

import ast
import collections
import dataclasses
import functools
import itertools
import math
import re
from collections.abc import Iterator
from typing import Any

import pytest

from steadyneedle.assessing.difficulty import LEAST
from steadyneedle.bench.units import Q, format_number, label
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions import checking, confusions, enough, what_counts
from steadyneedle.questions.checking import as_shown, clear_of, significant
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise, QuantityExercise
from steadyneedle.questions.plans import MODULES, for_papers, plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.wording import written

EXERCISES = [one for number in MODULES for one in plan_of(number).exercises]
NUMERIC = [one for one in EXERCISES if isinstance(one, QuantityExercise)]
PRESSURES = [one for one in NUMERIC if "pressure" in one.kind]
CHOSEN = [one for one in EXERCISES if isinstance(one, ChoiceExercise)]
ASKED_NUMERIC = [*NUMERIC, *(one for one in for_papers() if isinstance(one, QuantityExercise))]
POINT = Preferences("point")
MOST = 0.6
SEEDS = 200

COUNTS = [pytest.param(25, id="sample"), pytest.param(1000, id="whole", marks=pytest.mark.long)]
SHARES = [pytest.param(250, id="sample"), pytest.param(1000, id="whole", marks=pytest.mark.long)]
each_count = pytest.mark.parametrize("count", COUNTS)
each_share = pytest.mark.parametrize("count", SHARES)


def over(exercises: list[Any]) -> Any:
    return pytest.mark.parametrize("exercise", exercises, ids=[one.name for one in exercises])


@functools.cache
def drawn(name: str, n: int) -> dict[str, Any]:
    """Numbers drawn once for all rules."""
    return next(one for one in [*EXERCISES, *ASKED_NUMERIC] if one.name == name).givens("rules", n)


def draws(exercise: Exercise, count: int) -> Iterator[dict[str, Any]]:
    return (drawn(exercise.name, n) for n in range(count))


def typed(value: float, unit: str) -> str:
    return f"{value:.9g} {unit}"


# a quantity typed back from the question is never right -----------------------------------------------------


@over(NUMERIC)
@each_count
def test_a_quantity_typed_back_is_never_right(exercise: QuantityExercise, count: int) -> None:
    """As it stands there, or with its last digits altered in the unit in which it was given."""
    for givens in draws(exercise, count):
        question = exercise.question(givens)
        for value, unit in confusions.quoted(exercise, question):
            size = Q(1, unit).to(exercise.unit_name).magnitude
            for times in (1.0, 1.0004, 0.9996):
                checked = exercise.check(givens, typed(value / size * times, unit), POINT)
                assert checked.outcome != "right", (question, value / size, unit)
            checked = exercise.check(givens, typed(value / size, unit), POINT)
            assert checked.outcome == "known mistake", (question, checked)
            if checking.says(exercise, value, exercise.names(givens).answer, exercise.unit_name):
                assert checked.mistake == "the reading again", (question, checked)


CONVERSIONS = [
    one for one in NUMERIC if one.name in ("read_a_panel", "a_strange_unit", "psi_to_bar", "mpa_to_psi", "kpa_and_kgf")
]
BY_TENS = ("bar", "mbar", "Pa", "hPa", "kPa", "MPa", "msw")
"""Units of pressure that differ by powers of ten: SI, and the metre of sea water by convention a tenth of a bar."""


@over(CONVERSIONS)
@each_count
def test_a_reading_with_its_mark_moved_is_never_right(exercise: QuantityExercise, count: int) -> None:
    """12.8 bar asked in psi: 1.28 MPa is no answer; nor is 10 at, which is 10 kgf/cm². Any other unit converts."""
    wanted = label(Q(1, exercise.unit).units)
    for givens in draws(exercise, count):
        right, named = (
            exercise.solve(givens),
            {label(Q(1, one).units) for _, one in confusions.quoted(exercise, exercise.question(givens))},
        )
        alike = [*(BY_TENS if named & set(BY_TENS) else ()), *(("at", "kgf/cm2") if "kgf/cm²" in named else ())]
        for unit in alike:
            if Q(1, unit).units != Q(1, exercise.unit).units:
                checked = exercise.check(givens, typed(right.to(Q(1, unit).units).magnitude, unit), POINT)
                assert checked.mistake == "the reading again" and wanted in checked.lines[0], (
                    exercise.question(givens),
                    unit,
                    checked,
                )
        free = {"bar", "kPa", "psi", "kgf/cm2", "atm"} - set(alike) - {one.replace("²", "2") for one in named}
        for unit in free:
            checked = exercise.check(givens, typed(right.to(Q(1, unit).units).magnitude, unit), POINT)
            assert checked.outcome == "right", (exercise.question(givens), unit, checked)


def test_a_reading_with_its_mark_moved_is_answered_with_the_unit_asked() -> None:
    checked = plan_of("00").exercise("read_a_panel").check({"bar": 12.8}, "1,28 MPa", POINT)
    assert checked.lines[-1] == "That is the reading again with its decimal mark moved. The question asks for psi."
    assert plan_of("00").exercise("read_a_panel").check({"bar": 12.8}, "13.05 kgf/cm2", POINT).outcome == "right"


@over(NUMERIC)
@each_count
def test_what_stands_in_the_question_is_found_there(exercise: QuantityExercise, count: int) -> None:
    """The reader of questions sees each number that the unit asked, or a unit given, stands behind."""
    for givens in draws(exercise, min(count, 100)):
        text = " ".join(exercise.question(givens))
        found = confusions.quoted(exercise, [text])
        units = ["bar", "psi", "MPa", "kgf/cm²"] if exercise.kind.endswith("pressure") else []
        plain = sum(len(re.findall(rf"\d {re.escape(unit)}(?![\w/]| a minute)", text)) for unit in units)
        assert len(found) >= plain, (text, found)


# psi against bar, gauge against absolute are looked for in every pressure question ---------------------------


@over(PRESSURES)
@each_count
def test_psi_for_bar_is_named_in_every_pressure_question(exercise: QuantityExercise, count: int) -> None:
    """The right number of one unit behind the other, in full and as a workshop reads it."""
    end = "/min" if exercise.rate else ""
    for givens in draws(exercise, count):
        right = exercise.solve(givens)
        for one, other in (("psi", "bar"), ("bar", "psi")):
            number = right.to(Q(1, one + end).units).magnitude
            step = 0.0 if end or not exercise.reading else {"psi": 1.0, "bar": 0.1}[one]
            for said in {number, round(number / step) * step} if step else {number}:
                checked = exercise.check(givens, typed(said, other + end), POINT)
                assert checked.outcome == "known mistake", (exercise.question(givens), said, other, checked)


@over([one for one in PRESSURES if not one.rate])
@each_count
def test_gauge_for_absolute_is_named_in_every_pressure_question(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        names = exercise.names(givens)
        air = Q(names.get("air", 1.01325), "bar").to(exercise.unit_name).magnitude
        for value in (names.answer + air, names.answer - air):
            checked = exercise.check(givens, typed(value, exercise.unit), POINT)
            if checked.outcome != "not read":  # below a vacuum: refused with a sentence of its own
                assert checked.outcome == "known mistake", (exercise.question(givens), value, checked)


# no draw within one shown digit of a boundary, except where the boundary is the question ---------------------


@over(EXERCISES)
@each_count
def test_no_number_within_one_shown_digit_of_a_boundary(exercise: Exercise, count: int) -> None:
    for givens in draws(exercise, count):
        for value, boundary, digit in exercise.boundaries(exercise.names(givens)):
            assert clear_of(value, boundary, digit), (exercise.question(givens), value, boundary)


COMPARES = {
    "two_lines", "cost_of_rounding", "round_inward", "stated_supply", "simple_verdict", "guarded_verdict",
    "probability_verdict", "choose_a_class", "sure_enough", "look_it_up", "which_rule", "at_the_stop",
}  # fmt: skip


def test_every_exercise_that_compares_numbers_says_with_what() -> None:
    compared = {one.name for one in EXERCISES for n in range(9) if one.boundaries(one.names(one.givens("which", n)))}
    assert compared >= COMPARES


MEASURED = {
    "two_lines": ("bar", 0.01), "stated_supply": ("reading", 0.1), "simple_verdict": ("reading", 0.01),
    "guarded_verdict": ("reading", 0.01), "sure_enough": ("rate", 0.01),
}  # fmt: skip
"""Choices that hang on a number somebody read: its name, and its last shown digit. The limits are exact."""


@over([one for one in CHOSEN if one.name in MEASURED])
@each_count
def test_a_reading_moved_by_one_shown_digit_has_the_same_answer(exercise: ChoiceExercise, count: int) -> None:
    """Whatever an exercise declares as its boundaries."""
    name, digit = MEASURED[exercise.name]
    for givens in draws(exercise, count):
        names = exercise.names(givens)
        for way in (-digit, digit):
            moved = exercise.names({**givens, name: givens[name] + way})
            assert moved.answer == names.answer, (exercise.question(givens), way)


@each_count
def test_no_reading_under_a_named_rule_lies_within_a_tenth_of_a_bar_of_what_decides(count: int) -> None:
    """A tenth is the division of a good gauge; decimals as shown decide, so that nobody has to see a reading on a limit."""
    exercise = plan_of("03").exercise("simple_verdict")
    for givens in draws(exercise, max(count, 100)):
        names = exercise.names(givens)
        ends = (names.lowest, names.highest, names.below, names.above, names.low, names.high)
        assert min(abs(as_shown(names.reading, 2) - as_shown(one, 2)) for one in ends) >= as_shown(0.1, 2)


# mistake = right never; mistake = mistake allowed; enough different questions --------------------------------


@over(EXERCISES)
@each_count
def test_a_known_mistake_is_never_right(exercise: Exercise, count: int) -> None:
    """In full, in the figures the answer deserves, as a workshop reads it; of two with one answer the first is named."""
    for givens in draws(exercise, count):
        names = exercise.names(givens)
        if isinstance(exercise, ChoiceExercise):
            assert names.answer not in exercise.named_mistakes(names)
            continue
        assert isinstance(exercise, QuantityExercise)
        named: dict[str, float] = {}
        for mistake in exercise.mistakes:
            value = mistake.answer(names)
            if value is None:
                continue
            for form in checking.forms(exercise, value):
                checked = exercise.check(givens, typed(form, exercise.unit), POINT)
                assert checked.outcome in ("known mistake", "not read"), (mistake.name, form, exercise.question(givens))
            checked = exercise.check(givens, typed(value, exercise.unit), POINT)
            if checked.mistake == enough.NAME:  # the right one rounded is the same number: both are said
                own = [each for each in exercise.mistakes if each.answer(names) is not None]
                said = [written(each.sentence, names, POINT)[0] for each in own]
                assert any(f"If you did not round: {one}" == checked.lines[-1] for one in said), (mistake.name, checked)
            elif checked.mistake != mistake.name and checked.outcome != "not read":
                assert checked.mistake in named, (mistake.name, checked)
            named[mistake.name] = value


@over(EXERCISES)
def test_thirty_different_questions_from_200_draws(exercise: Exercise) -> None:
    every = [exercise.givens("variety", n) for n in range(SEEDS)]
    questions = {f"{exercise.question(givens)} {exercise.shown(givens)}" for givens in every}
    numbers_drawn = any(isinstance(value, int | float) for value in exercise.givens("variety", 0).values())
    assert len(questions) >= (30 if numbers_drawn else 9), len(questions)


@over(EXERCISES)
@each_count
def test_the_useful_numbers_are_not_thrown_away(exercise: Exercise, count: int) -> None:
    """At least a third of what is drawn is asked, and a quantity has many answers."""
    fair = sum(exercise.fair(exercise.draw(Draws("raw", exercise.name, n))) for n in range(count))
    assert fair >= count / 3 - (0 if count >= 1000 else 2 * math.sqrt(count) / 2), fair / count
    if isinstance(exercise, QuantityExercise):
        answers = {f"{exercise.names(givens).answer:.4g}" for givens in draws(exercise, count)}
        assert len(answers) >= (12 if count >= 1000 else 8), answers


# each option right in half of 1/n to 60 % of draws, order shuffled -------------------------------------------


@over(CHOSEN)
@each_share
def test_each_option_is_right_often_enough_and_none_too_often(exercise: ChoiceExercise, count: int) -> None:
    """Half of 1/n to 60 %, give or take what so many draws cannot tell (three standard deviations in the sample)."""
    rights = collections.Counter(exercise.solve(givens) for givens in draws(exercise, count))
    least = 0.5 / len(exercise.choices)
    spare = 3 * math.sqrt(0.25 / count) / 2 if count < 1000 else 0.0
    for key in exercise.choices:
        assert least - spare <= rights[key] / count <= MOST + spare, (key, rights)


@over(CHOSEN)
@each_share
def test_the_order_of_options_is_shuffled(exercise: ChoiceExercise, count: int) -> None:
    """Each place is the right one about equally often, and the same numbers keep their order."""
    places = collections.Counter()
    for givens in draws(exercise, count):
        keys = list(exercise.options(givens))
        assert keys == list(exercise.options(dict(reversed(givens.items())))) and set(keys) == set(exercise.choices)
        places[keys.index(exercise.solve(givens))] += 1
    fair = 1 / len(exercise.choices)
    spare = 4.5 * math.sqrt(fair * (1 - fair) / count) + 0.5 * fair * (len(EXERCISES) > 0 and count < 1000)
    assert all(abs(places[n] / count - fair) <= max(spare, 0.09) for n in range(len(exercise.choices))), places


# no needle does what no needle can ---------------------------------------------------------------------------


@each_count
def test_a_creep_goes_on_while_the_needle_settles(count: int) -> None:
    """What it has climbed at the first reading is settle and creep, within what a last digit may hide (invented)."""
    exercise = plan_of("04").exercise("creep_rate")
    for givens in draws(exercise, count):
        names = exercise.names(givens)
        assert names.first - names.lock - names.since * names.answer > 0.03, exercise.question(givens)


@each_count
def test_no_needle_stands_above_where_its_second_stage_opens(count: int) -> None:
    exercise = plan_of("04").exercise("at_the_stop")
    for givens in draws(exercise, count):
        names = exercise.names(givens)
        assert names.known == "no" or names.now <= names.opens, exercise.question(givens)


# replies ----------------------------------------------------------------------------------------------------


@over(CHOSEN)
@each_count
def test_each_wrong_option_has_its_own_reply(exercise: ChoiceExercise, count: int) -> None:
    for givens in draws(exercise, count):
        wrong = set(exercise.choices) - {exercise.solve(givens)}
        checked = [exercise.check(givens, key) for key in wrong]
        assert all(one.outcome == "known mistake" for one in checked), (exercise.question(givens), wrong, checked)
        assert len({one.lines for one in checked}) == len(wrong), (exercise.question(givens), checked)


# a workshop reading is right unless it crosses a limit ------------------------------------------------------


@over(NUMERIC)
@each_count
def test_a_workshop_reading_is_right_unless_it_crosses_a_limit(exercise: QuantityExercise, count: int) -> None:
    """0.1 bar, 1 psi, a whole minute, two figures for a rate; a limit is rounded inward, and never outward."""
    step = checking.WORKSHOP_STEPS.get(exercise.unit_name, 0.0) if exercise.reading else 0.0
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        one = 10.0 ** -checking.decimals_for(right, 2, whole=True) if exercise.rate else step
        if not one:
            continue
        value = checking.inward(exercise, right, one)
        assert exercise.check(givens, typed(value, exercise.unit), POINT).outcome == "right", (right, value)


@over([one for one in PRESSURES if one.reading and not one.rate and not one.limit])
@each_count
def test_a_workshop_reading_in_psi_is_right_too(exercise: QuantityExercise, count: int) -> None:
    """But for the very number that stands in the question."""
    for givens in draws(exercise, count):
        psi = round(exercise.solve(givens).to("psi").magnitude)
        checked = exercise.check(givens, f"{psi} psi", POINT)
        assert checked.outcome == "right" or checked.mistake == "the reading again", (exercise.question(givens), psi)


@over([one for one in PRESSURES if one.rate])
@each_count
def test_two_figures_of_a_rate_are_right_in_bar_and_in_psi(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        for unit in ("bar/min", "psi/min"):
            text = f"{exercise.solve(givens).to(Q(1, unit).units).magnitude:.1e} {unit}"
            checked = exercise.check(givens, text, POINT)
            assert checked.outcome == "right" or checked.mistake == "the reading again", (text, checked)


def test_seven_hundredths_are_right_where_one_psi_is() -> None:
    exercise = plan_of("04").exercise("creep_rate")
    givens = {"lock": 9.8, "settle": 0.14, "climb": 0.07, "since": 2, "until": 7, "stray": 0.01}
    assert abs(exercise.names(givens).answer - 0.072) < 1e-9
    for text in ("0,07 bar/min", "1 psi/min", "0.072 bar/min", "0.069 bar/min", "0.0695 bar/min"):
        assert exercise.check(givens, text, POINT).outcome == "right", text
    for text in ("0.06 bar/min", "0.08 bar/min", "0.075 bar/min", "0.0685 bar/min"):
        assert exercise.check(givens, text, POINT).outcome != "right", text
    assert {str(one.unit) for one in NUMERIC if one.rate} == {"bar/min"}, "psi a minute are reckoned from bar a minute"


def test_a_watch_and_a_half_width_are_read_as_people_write_them() -> None:
    """`10:50`, `10 min 50 s` and ± before how far something may be off; nowhere else."""
    opens = plan_of("04").exercise("opens_in")
    givens = next(one for one in draws(opens, 200) if opens.names(one).answer % 1 > 0.2)
    minutes, part = divmod(opens.names(givens).answer, 1)
    for text in (
        f"{minutes:.0f}:{part * 60:02.0f}",
        f"{minutes:.0f} min {part * 60:.0f} s",
        f"{minutes:.0f}m{part * 60:.0f}s",
    ):
        assert opens.check(givens, text, POINT).outcome == "right", text
    assert opens.check(givens, "2:07", POINT).lines[0] == "2:07 was read as 2 min 7 s."
    assert "59" in opens.check(givens, "2:75", POINT).lines[0]
    error = plan_of("03").exercise("largest_error")
    givens = next(one for one in draws(error, 200) if one["span"] == 20 and one["class"] == 4.0)
    assert all(
        error.check(givens, text, POINT).outcome == "right"
        for text in ("±0,8 bar", "± 0.8 bar", "+/-0.8 bar", "+- 0.8 bar")
    )
    assert error.check(givens, "4 %", POINT).lines == (
        "% is for percentages. A pressure is wanted, for example 1 bar.",
    )
    assert plan_of("01").exercise("psi_to_bar").check({"psi": 145}, "±10 bar", POINT).outcome == "not read"
    assert {one.name for one in NUMERIC if one.half_width} == {"largest_error", "reading_uncertainty", "rate_error"}


CLIMB = {"middle": 9.6, "either": 0.45, "start": 9.2, "minutes": 3, "purges": 4}
"""A needle that its allowed rise stops before the band ends at 10.05 bar, by `highest_reading`."""


def test_replies_fit_what_was_typed() -> None:
    """A limit typed back is no conversion; a rise is no reading."""
    round_ = plan_of("03").exercise("round_inward")
    checked = round_.check({"side": "at most", "limit": 10.5}, "10.5 bar", POINT)
    assert checked.lines == ("That is the reading again. Say it in psi.",)
    highest = plan_of("03").exercise("highest_reading")
    checked = highest.check({**CLIMB, "rise": 0.2}, "0.2 bar", POINT)
    assert checked.mistake == "the rise alone"


@over([one for one in NUMERIC if one.name in ("read_a_panel", "the_other_scale", "psi_to_bar", "mpa_to_psi")])
@each_count
def test_the_factor_that_the_lessons_print_is_right(exercise: QuantityExercise, count: int) -> None:
    """14.5 psi a bar, and 14.504."""
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        for factor in (14.5, 14.504):
            part = 14.5037738 / factor if exercise.unit == "bar" else factor / 14.5037738
            assert exercise.check(givens, typed(right * part, exercise.unit), POINT).outcome == "right"


@over([one for one in NUMERIC if one.limit])
@each_count
def test_an_answer_on_the_wrong_side_of_a_limit_is_never_right(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        way = 1 if exercise.limit == "at most" else -1
        for away in (0.011, 0.02, 0.05, 0.1, 0.5):
            text = typed(right + way * away * (1 if exercise.kind != "time" else 3), exercise.unit)
            assert exercise.check(givens, text, POINT).outcome != "right", (right, text)


@over([one for one in NUMERIC if one.limit])
@each_count
def test_a_limit_rounded_in_any_digit_or_unit_is_judged_by_its_side(exercise: QuantityExercise, count: int) -> None:
    """Rounded to the nearest and so past the limit: never right. On the right side, however many digits: right.

    A limit turned into another unit than is asked may lie beyond it by less than 1 part in 10,000.
    """
    others = {"pressure": ["bar", "psi", "kPa"], "time": ["min"]}[exercise.kind.split()[-1]]
    for givens in draws(exercise, count):
        four_figures = 0.5 * 10.0 ** -checking.decimals_for(exercise.names(givens).answer, 4)  # as a sentence prints it
        for unit in others:
            right = exercise.solve(givens).to(Q(1, unit).units).magnitude
            for digits in range(10):
                value = round(right, digits)
                past = (value - right) * (1 if exercise.limit == "at most" else -1)
                checked = exercise.check(givens, f"{value:.{digits}f} {unit}", POINT)
                converted = Q(1, unit).units != Q(1, exercise.unit).units
                if converted and 0 < past < 0.99e-4 * right:
                    assert checked.outcome == "right", (right, value, unit, checked)
                elif past * Q(1, unit).to(exercise.unit_name).magnitude > four_figures:
                    assert checked.outcome != "right", (right, value, unit)
                    if unit == "psi" and digits < 2:
                        assert checked.mistake in ("rounded past the limit", "the reading again"), (right, checked)
                elif past <= 0 and digits > 1:
                    assert checked.outcome == "right", (right, value, unit, checked)


def test_the_limits_are_those_where_rounding_lets_a_bad_part_pass() -> None:
    assert {one.name: one.limit for one in NUMERIC if one.limit} == {
        "acceptance_limit": "at most",
        "highest_reading": "at most",
        "how_long": "at least",
        "half_gone": "at least",
        "warm_bath": "at most",
    }


@over(ASKED_NUMERIC)
@each_count
def test_the_answers_said_to_count_are_those_that_count(exercise: QuantityExercise, count: int) -> None:
    """Both ends as printed are right, and one step further is not."""
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        said = " ".join(exercise.check(givens, typed(right, exercise.unit), POINT).lines)
        printed = re.search(r"Answers from (-?[\d.]+) to (-?[\d.]+) \S+ count", said)
        if printed is None:
            assert exercise.limit or not exercise.figures or not checking.close_by(exercise, right), said
            continue
        low, high, decimals = what_counts.ends(exercise, right)
        assert (float(printed[1]), float(printed[2])) == (pytest.approx(low), pytest.approx(high)), said
        for end, way in ((printed[1], -1), (printed[2], 1)):
            assert exercise.check(givens, f"{end} {exercise.unit}", POINT).outcome == "right", (said, end)
            beyond = float(end) + way * 10.0**-decimals
            assert exercise.check(givens, typed(beyond, exercise.unit), POINT).outcome != "right", (said, beyond)


ADMITTED = [one for one in ASKED_NUMERIC if one.name in LEAST]


@over(ADMITTED)
@each_count
def test_the_right_answer_rounded_as_the_paper_says_is_right(exercise: QuantityExercise, count: int) -> None:
    """To the step or to the figures that the sentence names, a limit to the safe side."""
    told = enough.enough(exercise)
    step = enough.step_enough(exercise)
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        for line in exercise.question(givens):
            assert told == "" or told not in line
        if told.startswith("It comes out exactly"):
            assert math.isclose(right * 100, round(right * 100), abs_tol=1e-6), right
            continue
        one = step or 10.0 ** -checking.decimals_for(right, exercise.figures or 3, whole=True)
        rounded = checking.inward(exercise, right, one)
        assert exercise.check(givens, typed(rounded, exercise.unit), POINT).outcome == "right", (told, right, rounded)


def test_a_paper_says_once_how_close_an_answer_has_to_be() -> None:
    own = {one.name: " ".join(one.ask) for one in ADMITTED if one.says_enough}
    assert set(own) == {"rule_of_thumb", "other_supply", "round_inward", "opens_in"}
    assert all(
        re.search(r"two decimals|Two figures will do|in whole psi|Round to the nearest minute", asked)
        for asked in own.values()
    )
    words = {enough.enough(one) for one in ADMITTED if not one.says_enough}
    assert "Give it to a hundredth of a psi, or closer." in words and all(one.endswith(".") for one in words)


@over([one for one in NUMERIC if not one.limit])
@each_count
def test_a_right_answer_rounded_too_far_is_named_so(exercise: QuantityExercise, count: int) -> None:
    """One figure less than counts, and so on to one figure: right still, or said to be rounded, never a mistake alone."""
    for givens in draws(exercise, min(count, 200)):
        right = exercise.names(givens).answer
        for figures in (3, 2, 1):
            decimals = checking.decimals_for(right, figures, whole=True)
            value = float(as_shown(right, decimals))
            checked = exercise.check(givens, f"{value:.{max(decimals, 0)}f} {exercise.unit}", POINT)
            grown = decimals < 0 and math.floor(math.log10(value)) > math.floor(math.log10(right))
            fine = checked.outcome == "right" or checked.mistake in (enough.NAME, "the reading again")
            assert fine or grown, (exercise.question(givens), right, value, checked)


def test_a_creep_rounded_too_far_is_told_so() -> None:
    """0.117 bar a minute typed as 0.1: nobody says that the time was counted wrongly, and nothing else."""
    exercise = plan_of("04").exercise("creep_rate")
    givens = {"lock": 9.6, "settle": 0.1, "climb": 0.12, "since": 1, "until": 7, "stray": -0.02}
    assert abs(exercise.names(givens).answer - 0.7 / 6) < 1e-9
    assert exercise.check(givens, "0.12 bar/min", POINT).outcome == "right"
    checked = exercise.check(givens, "0.1 bar/min", POINT)
    assert checked.mistake == "rounded too far" and checked.lines == (
        "Rounded as far as that, nobody can tell whether it is right. Give it to a hundredth of a bar a minute, or closer.",
        "If you did not round: You divided by the time since lock-up. Take the time between the two readings.",
    )
    assert exercise.check(givens, "0.10 bar/min", POINT).mistake == "divided by the whole time", (
        "two figures claim more"
    )


def test_a_limit_in_another_unit_may_lose_a_ten_thousandth() -> None:
    """9.5 bar are 137.786 psi; 137.79 psi are 0.0003 bar more, and the gauge shows neither."""
    exercise = plan_of("03").exercise("highest_reading")
    givens = {**CLIMB, "rise": 0.3}
    assert exercise.names(givens).answer == 9.5
    for text in ("137.78 psi", "137.786 psi", "137.79 psi", "950.05 kPa", "9.5 bar"):
        assert exercise.check(givens, text, POINT).outcome == "right", text
    for text in ("137.81 psi", "138 psi", "950.2 kPa", "9.501 bar", "9.51 bar"):
        assert exercise.check(givens, text, POINT).outcome != "right", text


@over(NUMERIC)
@each_count
def test_a_reply_gives_a_direction_and_no_distance(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        for times in (0.31, 0.83, 1.19, 2.7):
            checked = exercise.check(givens, typed(right * times, exercise.unit), POINT)
            if checked.outcome != "off":
                continue
            way, first = ("high", "low")[times < 1], exercise.help_lines(givens, POINT)[0]
            assert checked.lines == (f"That is too {way}. {first}",)


@over(NUMERIC)
@each_count
def test_an_example_has_the_unit_of_the_question(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, min(count, 50)):
        bare = () if exercise.names_its_unit else ("7",)
        for text in (*bare, "7 quux", "7 kg", "abc", "", "7 bear"):
            checked = exercise.check(givens, text, POINT)
            assert checked.outcome == "not read"
            example = re.search(r"for example (?:[\d.]+ )?(\S+?)\.?$", checked.lines[0])
            if example:
                unit = example[1].replace("²", "2")
                assert Q(1, unit).units == Q(1, exercise.unit).units, checked.lines


@over(NUMERIC)
@each_count
def test_both_decimal_marks_are_always_read(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        decimals = checking.decimals_for(right, 4)
        for mark in ("point", "comma"):
            text = f"{format_number(right, decimals, mark)} {exercise.unit}"
            for preference in (None, "point", "comma"):
                checked = exercise.check(givens, text, Preferences(preference))
                ours = exercise.check(givens, f"{format_number(right, decimals)} {exercise.unit}", POINT)
                assert checked.outcome == ours.outcome, (text, preference, checked)
                if preference == "comma":
                    assert not re.search(r"\d\.\d", " ".join(checked.lines[-1:])), checked


@over(NUMERIC)
@each_count
def test_the_figures_shown_are_the_figures_said(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        line = " ".join(exercise.check(givens, typed(right, exercise.unit), POINT).lines)
        said = re.search(r"deserves (\d) figures?: (-?[\d.]+) ", line)
        if said:
            digits = said[2].lstrip("-0.").replace(".", "")
            spare = len(digits) - int(said[1])
            assert spare >= 0 and digits[int(said[1]) :] == "0" * spare, line


def test_figures_are_counted_rightly() -> None:
    """Counts by hand; that zeros at the end of a whole number claim nothing is common practice."""
    for text, count in {
        "3698 psi": 4, "3700 psi": 2, "0,0980 MPa": 3, "-0.30 bar": 2, "1 005 kPa": 4, "9.997398 bar": 7, "10 bar": 1,
        "1.5e2 psi": 2, ".5 bar": 1, "100.0 bar": 4, "2.647,5 L": 5,
    }.items():  # fmt: skip
        assert significant(text) == count, text


# the second hint is a step, not the sum ---------------------------------------------------------------------

SUM = re.compile(r"[-+*/().\d\s]+")


def sums_in(line: str) -> Iterator[float]:
    """What the sums with numbers in a line come to, units and words left out."""
    plain = re.sub(
        r"(?<=\d)\s*(?:bar/min|psi/bar|bar/MPa|m/bar|bar/m|kPa|psi|bar|MPa|mL|mm²|min|L/min|L|N|m)(?![\w²])", "", line
    )
    plain = plain.translate(str.maketrans({"×": "*", "÷": "/", "−": "-", "²": "", "–": "-"}))
    for part in SUM.findall(plain):
        try:
            yield _worth(ast.parse(part.strip(" .") or "x", mode="eval").body)
        except (SyntaxError, ValueError, ZeroDivisionError):
            continue


def _worth(node: ast.AST) -> float:
    if isinstance(node, ast.Constant):
        return float(node.value)
    if isinstance(node, ast.UnaryOp):
        return -_worth(node.operand)
    if isinstance(node, ast.BinOp):
        left, right = _worth(node.left), _worth(node.right)
        return (
            {ast.Add: left + right, ast.Sub: left - right, ast.Mult: left * right}.get(type(node.op))
            if not isinstance(node.op, ast.Div)
            else left / right
        )  # type: ignore[return-value]
    raise ValueError(node)


def test_sums_are_found_in_a_line() -> None:
    assert list(sums_in("(10.20 − 9.80) ÷ (6 − 2).")) == [pytest.approx(0.1)]
    assert 10.0 in list(sums_in("{0.10} bar ÷ 0.01 bar/min.".replace("{", "").replace("}", "")))


@over(NUMERIC)
@each_count
def test_a_hint_is_a_step_and_never_the_sum(exercise: QuantityExercise, count: int) -> None:
    for givens in draws(exercise, count):
        right, hints = exercise.names(givens).answer, exercise.help_lines(givens, POINT)
        assert len(hints) >= 2
        for line in hints:
            for value in sums_in(line):
                assert not checking.says(exercise, value, right, exercise.unit_name), (line, value, right)


# text, hints and verdict never disagree ---------------------------------------------------------------------


@over(CHOSEN)
@each_count
def test_text_hints_and_verdict_agree_on_choices(exercise: ChoiceExercise, count: int) -> None:
    """The working ends in the words of the right option, and no hint gives them."""
    for givens in draws(exercise, count):
        words = exercise.choices[exercise.solve(givens)].rstrip(".")
        steps = " ".join(exercise.steps(givens)).lower()
        assert words.lower() in steps, (words, steps)
        assert words.lower() not in " ".join(exercise.help_lines(givens)).lower()


@over(NUMERIC)
@each_count
def test_working_and_reply_round_one_number_one_way(exercise: QuantityExercise, count: int) -> None:
    """0.0375 is 0.038 in both, or in neither: a half is rounded up."""
    for givens in draws(exercise, count):
        right = exercise.names(givens).answer
        said = re.search(
            r"deserves \d figures?: (\S+) ", " ".join(exercise.check(givens, typed(right, exercise.unit), POINT).lines)
        )
        shown = re.findall(r"-?\d+(?:\.\d+)?(?= )", exercise.steps(givens, POINT)[-1] + " ")
        if said and shown and len(shown[-1].partition(".")[2]) == len(said[1].partition(".")[2]):
            assert shown[-1] == said[1] or len(said[1].strip("0.-")) < len(shown[-1].strip("0.-")), (shown, said[1])


@over(NUMERIC)
@each_count
def test_text_and_verdict_agree_on_quantities(exercise: QuantityExercise, count: int) -> None:
    """The number in which the working ends is right when it is typed."""
    for givens in draws(exercise, count):
        last = exercise.steps(givens)[-1].split("=")[-1].split(": ")[-1]
        number = re.search(r"-?\d+(?:\.\d+)?(?= )", last)
        assert number, last
        assert exercise.check(givens, f"{number[0]} {exercise.unit}", POINT).outcome == "right", exercise.steps(givens)


UNITS = re.compile(
    r"(?<=\d) (?:kPa per kgf/cm²|bar per kgf/cm²|bar per atm|kPa per bar|kgf/cm²|bar/min|psi/bar|bar/MPa|N/bar|m/bar|bar/m|"
    r"L/min|kPa|psi|bar|MPa|mbar|mL|min|atm|L|N|m)(?![\w²/])"
)
FACTOR_AS_PRINTED = 2e-5
"""14.504 psi a bar differs by so much from the factor itself."""


def shown_sums(line: str) -> Iterator[tuple[float, str]]:
    """What each sum of numbers in a line comes to, and the number shown behind its sign of equality."""
    plain = re.sub(r"(\([^()]*\))²", r"\1 × \1", UNITS.sub("", line)).translate(str.maketrans("×÷−", "*/-"))
    sides = plain.split(" = ")
    for left, right in itertools.pairwise(sides):
        number, sum_ = re.match(r"-?\d+(?:\.\d+)?", right), left.rpartition(": ")[2]
        sum_ = re.sub(r"^[A-Za-z ]+(?=\d)", "", sum_).strip()
        if number and re.fullmatch(r"[-+*/().\d\s]+", sum_) and re.search(r"[-+*/]", sum_):
            yield _worth(ast.parse(sum_, mode="eval").body), number[0]


def test_shown_sums_are_found() -> None:
    found = list(shown_sums("Droop: 1.2 bar × (300 ÷ 400)² = 0.68 bar. Then 2 L ÷ 4 L = 0.5"))
    assert found == [(pytest.approx(0.675), "0.68")]
    assert list(shown_sums("IP has to hold 530 N + 40 N = 570 N.")) == [(570.0, "570")]


@over(NUMERIC)
@each_count
def test_the_sums_of_a_working_come_out_as_shown(exercise: QuantityExercise, count: int) -> None:
    """Whoever works with the numbers shown arrives at the number shown."""
    for givens in draws(exercise, count):
        for line in exercise.steps(givens):
            for value, shown in shown_sums(line):
                half = 0.5 * 10.0 ** -len(shown.partition(".")[2])
                assert abs(value - float(shown)) <= half + FACTOR_AS_PRINTED * abs(value), (line, value)


# the checker is a paper's as well: it speaks no word of practising ------------------------------------------


@over(EXERCISES)
@each_count
def test_the_checker_asks_nobody_to_press_anything(exercise: Exercise, count: int) -> None:
    for givens in draws(exercise, min(count, 200)):
        answers = [*exercise.choices, "", "quux"] if isinstance(exercise, ChoiceExercise) else []
        if isinstance(exercise, QuantityExercise):
            right = exercise.names(givens).answer
            answers = [typed(right * times, exercise.unit) for times in (0.8, 1.0, 1.3)] + ["", "7"]
        said = " ".join(line for one in answers for line in exercise.check(givens, one, POINT).lines).lower()
        assert not re.search(r"\b(hint|button|press|click)\b", said), said


def test_a_name_of_the_mechanism_is_refused() -> None:
    exercise = dataclasses.replace(CHOSEN[0], work=lambda w: {**CHOSEN[0].work(w), "right": 3})
    with pytest.raises(ValueError, match="'right' is the right answer's words"):
        exercise.question(CHOSEN[0].givens("a", 1))
