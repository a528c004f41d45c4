"""The questions of lesson 04b against what the bench knows: the test that they call right tells most."""

from __future__ import annotations

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.knowledge import Knowledge, knowledge
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.bank.causes import SAID, SUSPECTS
from steadyneedle.questions.plans import plan_of

KEYS = {
    "a nick in the seat": "seat_nicked", "a chip in the orifice edge": "edge_or_static_seal", "a leaking balance-stem seal": "stem_seal",
    "a ring pressed into the seat": "seat_dished", "an adjuster set too high": "set_high", "grit on the seat": "grit", "a valve that sticks": "sticky",
    "a main spring that is too stiff": "spring_wrong", "a scratch across the sealing land": "land_scratched", "a worn second stage": "second_stage_leaks",
    "a hose fitting that weeps": "gauge_hose", "a gauge that reads high": "gauge_high",
}  # fmt: skip
TESTS = {
    "new seat": ("new_seat",), "purge": ("purge_watch",), "gauge": ("second_gauge",),
    "soap": ("listen", "soap_rim", "soap_hose", "soap_mouth", "soap_chamber"),
}  # fmt: skip
"""Each test of the question, and the examinations of the bench that it is."""


def apart(known: Knowledge, test: str, one: str, other: str) -> float:
    """How far a test tells two causes apart: half the difference of what they show, 0 to 1."""
    shown = [
        known.within[at] @ known.likelihood[test][at]
        for at in (known.cause_of == known.causes.index(key) for key in (one, other))
    ]
    return float(np.abs(shown[0] - shown[1]).sum() / 2)


@pytest.mark.parametrize("case", list(SUSPECTS))
def test_the_right_test_tells_two_suspects_apart_best(case: str) -> None:
    known = knowledge("Juniper")
    _, one, other, right = SUSPECTS[case]
    tells = {name: max(apart(known, test, KEYS[one], KEYS[other]) for test in tests) for name, tests in TESTS.items()}
    assert max(tells, key=lambda name: tells[name]) == right, tells
    assert tells[right] > 0.3 and sorted(tells.values())[-2] < 0.75 * tells[right], tells


def test_every_row_of_signs_is_drawn_and_each_answer_is_right_in_a_third() -> None:
    exercise = plan_of("04b").exercise("for_or_against")
    assert {exercise.draw(Draws("signs", n))["case"] for n in range(400)} == set(SAID)
    answers = [row[2] for row in SAID.values()]
    assert {one: answers.count(one) for one in set(answers)} == {"for": 6, "against": 6, "nothing": 6}


def test_two_tests_are_never_multiplied_as_if_they_knew_nothing_of_one_another() -> None:
    """What the question teaches: more is missed than the product of the shares says (computed by us)."""
    exercise = plan_of("04b").exercise("two_looks")
    for n in range(50):
        names = exercise.names(exercise.givens("product", n))
        assert names.answer > names.once**2 / 100 + 1


def test_gas_that_leaves_the_supply_side_is_gas_that_came_in_and_gas_that_went_out() -> None:
    exercise = plan_of("04b").exercise("gas_lost")
    for n in range(50):
        names = exercise.names(exercise.givens("balance", n))
        assert names.answer > 0 and names.front * names.fall == pytest.approx(names.behind * names.rise + names.answer)
