"""Every candidate's paper is as hard: 500 candidates a quantity question, in CI a seeded sample of them."""

from __future__ import annotations

import re
from typing import Any

import pytest

from steadyneedle.assessing import difficulty
from steadyneedle.assessing.difficulty import FEWEST, LEAST, PRACTICE_ONLY
from steadyneedle.assessing.drawn import drawn
from steadyneedle.assessing.paper_plan import MEASURED, exercise_named
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.questions import checking
from steadyneedle.questions.exercise import Givens, QuantityExercise
from steadyneedle.questions.plans import MODULES, for_papers, plan_of
from steadyneedle.questions.shown import NeedleTrace

ASKED = [*(one for number in MODULES for one in plan_of(number).exercises), *for_papers()]
QUANTITIES = {one.name for one in ASKED if isinstance(one, QuantityExercise)}
SECRET = b"a cohort of this test"


def quantity(name: str) -> QuantityExercise:
    exercise = exercise_named(name)
    assert isinstance(exercise, QuantityExercise)
    return exercise


def papers(name: str, count: int) -> list[Givens]:
    return [drawn(quantity(name), SECRET, "a-paper", 1, str(candidate), 1).givens for candidate in range(count)]


def check_as_hard(name: str, count: int) -> list[Givens]:
    """The three bounds of equal difficulty; percentiles are the values that lie 5 % from either end."""
    exercise, drawn_for = quantity(name), papers(name, count)
    away = sorted(difficulty.nearest_mistake(exercise, givens) for givens in drawn_for)
    assert away[0] >= 3.0, "the nearest known mistake lies at least 3 tolerances away"
    assert away[-1 - count // 20] / away[count // 20] <= 3.0, "and for the 95th percentile not over 3 times the 5th"
    written = [difficulty.digits(exercise, givens) for givens in drawn_for]
    assert len({len(one) for one in written}) == 1, "as many numbers in each question"
    assert all(max(place) - min(place) <= 1 for place in zip(*written, strict=True)), "digits equal within 1"
    return drawn_for


def test_every_quantity_question_is_admitted_or_listed_with_its_reason() -> None:
    assert set(LEAST) | set(PRACTICE_ONLY) == QUANTITIES and not set(LEAST) & set(PRACTICE_ONLY)
    for name in QUANTITIES:
        assert difficulty.why_not(exercise_named(name)) == PRACTICE_ONLY.get(name, "")


@pytest.mark.parametrize("name", LEAST)
def test_a_sample_of_candidates_gets_numbers_as_hard(name: str) -> None:
    check_as_hard(name, 40)


@pytest.mark.long
@pytest.mark.parametrize("name", LEAST)
def test_five_hundred_candidates_get_numbers_as_hard_and_of_their_own(name: str) -> None:
    drawn_for = check_as_hard(name, 500)
    different = {tuple(sorted(givens.items())) for givens in drawn_for}
    print(f"{name}: {len(different)} sets of numbers for 500 candidates")
    assert len(different) >= FEWEST


def test_what_is_for_practice_only_cannot_hold_the_bounds() -> None:
    """Each reason in the list, measured; those of words are below."""
    practised = {
        name: [quantity(name).givens("practice", n) for n in range(200)]
        for name in ("read_a_panel", "psi_to_bar", "kpa_and_kgf", "how_long", "cylinder_content", "half_gone")
    }
    for name in ("read_a_panel", "psi_to_bar"):
        assert max(difficulty.nearest_mistake(quantity(name), givens) for givens in practised[name]) < 3.0
    for name, at in (("kpa_and_kgf", 0), ("half_gone", 1)):
        places = [difficulty.digits(quantity(name), givens)[at] for givens in practised[name]]
        assert max(places) - min(places) > 1, name
    for name in ("how_long", "cylinder_content"):
        nearest = [
            (difficulty.nearest_mistake(quantity(name), givens), tuple(givens.items())) for givens in practised[name]
        ]
        assert len({givens for away, givens in nearest if 3.0 <= away <= 9.0}) < FEWEST, name
    assert any("Hint" in line for line in quantity("a_strange_unit").question(quantity("a_strange_unit").givens(1)))


def test_what_a_paper_may_ask_is_answered_from_the_paper_alone() -> None:
    """A paper prints words, options and rows of readings: no dial, no figure of a lesson, no hint, no table of designs."""
    for name in ("read_the_dial", "size_a_leak"):
        assert difficulty.why_not(quantity(name)) == PRACTICE_ONLY[name]
    for exercise in (one for one in ASKED if not difficulty.why_not(one)):
        for n in range(40):
            givens = exercise.givens("alone", n)
            shown, asked = exercise.shown(givens), " ".join(exercise.question(givens))
            assert shown is None or isinstance(shown, NeedleTrace), exercise.name
            assert not re.search(r"\b(figures? of|figures? in|section|lesson|hint|control|slider)\b", asked, re.I), (
                asked
            )
            if exercise.name in DESIGN_COUNTS and re.search("Alder|Hazel|Juniper|Linden|Rowan", asked):
                assert "balanced" in asked, asked


DESIGN_COUNTS = ("which_way", "supply_way", "depth_changes", "set_it", "bookkeeping", "false_cause", "which_test")
"""Exercises whose answer hangs on what the design named does."""

NEIGHBOUR = 0.20
"""Most draws of another in which the answer of one candidate counts in a quantity or a place, in the papers shipped; the
assessor's guide says so."""


@pytest.mark.parametrize("plan", ["units and bands", "creep"])
def test_a_neighbours_number_counts_in_a_fifth_of_the_draws_at_most(plan: str) -> None:
    for planned in load_plan(plan).questions:
        if planned.kind not in MEASURED:
            continue
        exercise = quantity(planned.exercise)
        rights = [exercise.names(givens).answer for givens in papers(planned.exercise, 150)]
        pairs = [(one, rights[(at + on) % 150]) for at, one in enumerate(rights) for on in range(1, 16)]
        same = sum(checking.says_right(exercise, other, one, exercise.unit_name) for one, other in pairs)
        assert same <= NEIGHBOUR * len(pairs), (planned.exercise, same / len(pairs))


def test_a_choice_is_as_hard_for_everyone_and_an_unknown_quantity_is_refused() -> None:
    import dataclasses

    choice = exercise_named("stated_supply")
    assert difficulty.as_hard_as_others(choice, choice.givens(1)) and difficulty.why_not(choice) == ""
    new = dataclasses.replace(quantity("lock_up"), name="a_new_one")
    assert "nobody has checked yet" in difficulty.why_not(new)


def test_draws_hang_on_every_word_and_on_nothing_else() -> None:
    """Secret, paper, attempt, candidate and question: another of any gives other numbers, the same gives the same."""

    def numbers(secret: bytes, *words: Any) -> Givens:
        return drawn(quantity("other_supply"), secret, *words).givens

    first = numbers(SECRET, "a-paper", 1, "101", 1)
    assert numbers(SECRET, "a-paper", 1, "101", 1) == first
    for other in (
        numbers(b"another", "a-paper", 1, "101", 1), numbers(SECRET, "b-paper", 1, "101", 1),
        numbers(SECRET, "a-paper", 2, "101", 1), numbers(SECRET, "a-paper", 1, "102", 1),
        numbers(SECRET, "a-paper", 1, "101", 2), numbers(SECRET, "a-paper", 1, "101", 1, [first]),
    ):  # fmt: skip
        assert other != first
