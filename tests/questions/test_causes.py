"""The questions of lesson 04b against what the bench knows: the test that they call right tells most."""

from __future__ import annotations

import re

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.knowledge import Knowledge, knowledge
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.bank.causes import GAS_IN, GAS_OUT, LAND, SAID, SUSPECTS
from steadyneedle.questions.plans import plan_of

KEYS = {
    "a nick in the seat": "seat_nicked", "a chip in the orifice edge": "edge_or_static_seal", "a leaking balance-stem seal": "stem_seal",
    "a ring pressed into the seat": "seat_dished", "an adjuster set too high": "set_high", "grit on the seat": "grit", "a valve that sticks": "sticky",
    "a main spring that is too stiff": "spring_wrong", LAND: "land_scratched", "a worn second stage": "second_stage_leaks",
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


def test_what_gas_out_does_with_the_valve_shut_is_what_the_rig_shows() -> None:
    """`false_cause`: IP holds and the supply needle falls where gas goes out of a Juniper, and hardly ever where it comes in."""
    known = knowledge("Juniper")
    at = known.outcomes["shut"].index("supply falls, needle stays")

    def shown(cause: str) -> float:
        of = known.cause_of == known.causes.index(cause)
        return float((known.within[of] @ known.likelihood["shut"][of])[at])

    assert min(shown(one) for one in ("land_scratched", "gauge_hose", "second_stage_leaks")) > 0.5
    assert max(shown(one) for one in ("seat_nicked", "grit", "stem_seal")) < 0.1
    falls = [outcome for outcome in known.outcomes["shut"] if outcome.endswith("needle falls")]
    for cause in ("land_scratched", "gauge_hose", "second_stage_leaks"):
        of = known.cause_of == known.causes.index(cause)
        sinks = sum(
            (known.within[of] @ known.likelihood["shut"][of])[known.outcomes["shut"].index(one)] for one in falls
        )
        assert sinks < 0.05, (cause, sinks)


def test_a_false_cause_and_the_bookkeeping_of_gas_say_the_same_of_a_leak() -> None:
    exercise = plan_of("04b").exercise("false_cause")
    for n in range(200):
        givens = exercise.givens("leak", n)
        asked, right = " ".join(exercise.question(givens)), exercise.solve(givens)
        assert "sinks" not in asked and "balanced diaphragm" in asked
        if "valve shut" in asked:
            assert "IP holds, and the supply needle falls" in asked and right == (
                "may be" if any(one in asked for one in GAS_OUT) else "in"
            )
            assert (right == "in") == any(one in asked for one in GAS_IN)


def test_a_second_gauge_that_speaks_against_the_first_is_said_to_move_freely() -> None:
    """One that sticks holds steady too, and hides a creep."""
    for number, name in (("04", "bookkeeping"), ("04", "which_stage"), ("04b", "for_or_against")):
        exercise = plan_of(number).exercise(name)
        told = [" ".join(exercise.question(exercise.givens("gauges", n))) for n in range(200)]
        against = [one for one in told if re.search("second (?:gauge|one).*holds steady", one, re.I)]
        assert against and all("checked and moving freely" in one for one in against), against
