"""Gas in and gas out as an argument: what speaks against a cause must be seldom shown by it on the rig, too."""

from __future__ import annotations

import pytest

from steadyneedle.bench.diagnosis.cause_list import causes
from steadyneedle.bench.diagnosis.gas import against, claims, sign_of
from steadyneedle.bench.diagnosis.knowledge import knowledge
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.stages import FirstStage


def test_every_claim_is_of_a_fault() -> None:
    assert set(claims()) <= set(Fault.keys())
    assert {claim for claim, _, _ in claims().values()} == {
        "gas comes in", "gas goes out", "the set point is wrong", "the gauge is wrong", "too little gas comes",
    }  # fmt: skip
    assert all(bool(place) == (claim == "gas goes out") for claim, place, _ in claims().values())


@pytest.mark.parametrize(
    "design", ["Hazel", *(pytest.param(one, marks=pytest.mark.long) for one in ("Alder", "Rowan", "Juniper", "Linden"))]
)
def test_what_speaks_against_a_cause_is_seldom_shown_by_it(design: str) -> None:
    """Every cause, test and outcome of a design: an argument holds on at least four drawn regulators of five."""
    known = knowledge(design)
    argued, wrong = 0, []
    for number, cause in enumerate(known.causes):
        weights = (known.cause_of == number) * known.within
        for test in known.tests:
            for outcome, chance in zip(known.outcomes[test], (weights @ known.likelihood[test]).tolist(), strict=True):
                if against(design, cause, [(test, outcome)]):
                    argued += 1
                    if chance > 0.2:
                        wrong.append((cause, test, outcome, round(chance, 2)))
    assert argued > 100
    assert not wrong, wrong


def test_a_climb_speaks_against_every_leak_to_the_outside() -> None:
    """physics: a leak to the outside can only lower the needle."""
    for cause, (claim, _, _) in claims().items():
        found = against("Juniper", cause, [("watch_full", "creeps fast")])
        steady = cause != "leak_on_sticky"
        assert bool(found) == (steady and claim in ("gas goes out", "the set point is wrong")), cause
        if found and claim == "gas goes out":
            assert found[0].because.startswith(
                "The needle climbs: a leak to the outside can only lower it. That speaks "
            )


def test_a_set_point_that_moves_with_the_supply_proves_nothing() -> None:
    """Hazel climbs and Alder sinks while the supply falls with the valve shut; Juniper does neither."""
    assert sign_of("Hazel", "shut", "supply falls, needle climbs") is None
    assert sign_of("Alder", "shut", "supply falls, needle falls") is None
    assert sign_of("Alder", "shut", "supply falls, needle climbs") == "climbs"
    assert sign_of("Juniper", "shut", "supply falls, needle climbs") == "climbs"
    assert sign_of("Hazel", "shut", "supply holds, needle climbs") == "climbs"


def test_of_a_pair_both_must_be_spoken_against() -> None:
    climbs = [("watch_full", "creeps fast")]
    assert not against("Juniper", "seat_nicked+gauge_hose", climbs), "the seat lets gas in"
    assert not against("Juniper", "another_pair", climbs) and not against("Juniper", "sound", climbs)


def test_causes_without_a_claim_are_those_whose_lock_up_wanders_or_follows_something_else() -> None:
    silent = {cause for design in FirstStage.names() for cause in causes(design) if "+" not in cause} - set(claims())
    assert silent == {
        "sound", "another_pair", "diaphragm_holed_sealed", "diaphragm_stiff", "sticky", "chamber_blocked", "chamber_iced",
    }  # fmt: skip
