"""What a paper asks is said in full, its right answers are spread, and no question answers another.

The bounds are this house's: no answer that most candidates may copy, none that can be had without the work.
"""

from __future__ import annotations

import collections
from collections.abc import Iterator

import pytest

from steadyneedle.assessing.drawn import Drawn, drawn
from steadyneedle.assessing.paper_plan import exercise_named
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import item_of, paper_for
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.enough import enough
from steadyneedle.questions.exercise import Named, QuantityExercise

SECRET = b"a cohort of this test"
PLANS = ("units and bands", "creep")
CHOSEN_EVENLY = ("at_the_stop", "sure_enough", "guarded_verdict", "stated_supply", "simple_verdict")
MOST = 0.45
CANDIDATES = 400


def names(exercise: str, count: int) -> Iterator[Named]:
    asked = exercise_named(exercise)
    return (asked.names(drawn(asked, SECRET, "a-paper", 1, str(each), 1).givens) for each in range(count))


@pytest.mark.parametrize("exercise", CHOSEN_EVENLY)
def test_no_option_is_right_for_nearly_half_of_the_candidates(exercise: str) -> None:
    asked = exercise_named(exercise)
    assert isinstance(asked, ChoiceExercise)
    rights = collections.Counter(one.answer for one in names(exercise, CANDIDATES))
    assert set(rights) == set(asked.choices) and max(rights.values()) <= MOST * CANDIDATES, rights


def test_no_place_is_right_for_more_than_a_quarter_of_the_candidates() -> None:
    """Typed to a twentieth of a minute, with one dot either way."""
    exercise = exercise_named("where_it_creeps")
    assert isinstance(exercise, QuantityExercise)
    answers = [one.answer for one in names("where_it_creeps", 1000)]
    share = max(sum(abs(one - at / 20) <= exercise.absolute + 1e-9 for one in answers) for at in range(200))
    assert share <= 0.25 * len(answers)


def test_whoever_does_not_look_at_the_supply_is_wrong_in_every_draw() -> None:
    """The first line of the sheet never holds, and the two lines never say the same."""
    for one in names("stated_supply", CANDIDATES):
        assert one.by_first not in (one.answer, one.by_second)
        assert one.named == (one.actual == one.second) and one.actual != one.first
        for limit in (one.low_first, one.high_first, one.low_second, one.high_second):
            assert abs(one.reading - limit) > 0.15


def test_the_rule_of_the_stop_is_stated_and_no_needle_is_near_it() -> None:
    asked = exercise_named("at_the_stop")
    for one in names("at_the_stop", CANDIDATES):
        rule = asked.question({key: one[key] for key in ("opens", "span", "high", "away", "rate", "known")})[1]
        for words in ("where the second stage opens by itself", "three quarters of the gauge's scale", "2 bar above"):
            assert words in rule, rule
        if one.answer == "decide":
            continue
        above = abs(one.now - one.stop)
        assert above > 0.29 and (one.now > one.stop or above / one.rate > 2), one
        assert one.now <= one.opens


@pytest.mark.parametrize("name", PLANS)
def test_a_paper_says_how_close_each_quantity_has_to_be(name: str) -> None:
    plan = load_plan(name)
    said = 0
    for planned, item in zip(plan.questions, paper_for(plan, CohortKey(bytes(32)), "101").items, strict=True):
        exercise = exercise_named(item.exercise) if item.kind not in ("text", "job") else None
        if not isinstance(exercise, QuantityExercise):
            continue
        again = item_of(planned, exercise, Drawn(dict(item.givens), item.place)).asked
        assert again == item.asked and (exercise.says_enough or item.asked[-1] == enough(exercise)), item.asked
        said += not exercise.says_enough
    assert said >= 5


def test_no_question_answers_another() -> None:
    """How U is reckoned, what an adjuster does, which way gas moves IP: asked in one, printed in none beside it."""
    for name, exercise, words in (
        ("units and bands", "reading_uncertainty", "√("),
        ("creep", "adjuster", "adjuster"),
        ("creep", "bookkeeping", "cannot make ip"),
    ):
        for item in paper_for(load_plan(name), CohortKey(bytes(32)), "101").items:
            shown = " ".join((item.title, *item.asked, *(words for _, words in item.options))).lower()
            assert item.exercise == exercise or words not in shown, shown


def test_the_text_question_asks_for_what_its_rubric_wants() -> None:
    asked = load_plan("units and bands").questions[-1]
    assert "simple acceptance" in " ".join(asked.rubric) and "simple" in asked.ask and "guarded" in asked.ask
