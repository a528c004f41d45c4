"""Which regulator stands on the bench: choices are checked, surprises are drawn, two of them are two faults."""

from __future__ import annotations

import pytest

from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.jobs.under_test import SURPRISE, UnderTest
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.stages import FirstStage


@pytest.mark.parametrize("design", FirstStage.names())
def test_two_surprises_are_two_faults(design: str) -> None:
    for seed in range(200):
        drawn = UnderTest(design, SURPRISE, other=SURPRISE, seed=seed).faults()
        assert len(drawn) == 2 and set(drawn) <= set(Fault.keys(design)), seed


def test_a_surprise_is_never_the_fault_beside_it() -> None:
    beside = [UnderTest("Hazel", "seat_nicked", other=SURPRISE, seed=seed).faults() for seed in range(200)]
    assert all(len(faults) == 2 for faults in beside)
    assert len({frozenset(faults) for faults in beside}) > 10


def test_every_surprise_comes_up() -> None:
    drawn = {key for seed in range(400) for key in UnderTest("Juniper", SURPRISE, seed=seed).faults()}
    assert drawn == set(Fault.keys("Juniper"))


def test_another_surprise_is_another_fault() -> None:
    for seed in range(100):
        one = UnderTest("Linden", SURPRISE, seed=seed)
        assert one.another().faults() != one.faults()
    plain = UnderTest("Linden", "seat_nicked")
    assert plain.another().faults() == plain.faults() and plain.another().seed != plain.seed


def test_a_fault_more_or_less_in_the_table_moves_no_other_surprise(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without one row, only those regulators change that had that fault."""
    before = {seed: set(UnderTest("Rowan", SURPRISE, other=SURPRISE, seed=seed).faults()) for seed in range(200)}
    gone = Fault.keys("Rowan")[3]
    fewer = tuple(key for key in Fault.keys("Rowan") if key != gone)
    monkeypatch.setattr(Fault, "keys", staticmethod(lambda design="": fewer))
    for seed, faults in before.items():
        after = set(UnderTest("Rowan", SURPRISE, other=SURPRISE, seed=seed).faults())
        assert after == faults if gone not in faults else faults - after == {gone}
    assert any(gone in faults for faults in before.values())


def test_a_fault_goes_with_the_design_that_cannot_have_it() -> None:
    mixed = UnderTest(fault="seat_nicked", other="stem_seal", severity="slight")
    assert mixed.faults() == {"seat_nicked": 0.0, "stem_seal": 0.0}
    hazel = mixed.changed(design="Hazel")
    assert (hazel.fault, hazel.other) == ("seat_nicked", SOUND), "Hazel has no balance stem"
    assert UnderTest(fault="seat_nicked", other="seat_nicked").faults() == {"seat_nicked": 0.5}


def test_what_there_is_not_is_refused_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="There is no stage 'Oak'; there are Alder, "):
        UnderTest("Oak")
    with pytest.raises(ValueError, match="There is no severity 'huge'; there are slight, plain, gross"):
        UnderTest(severity="huge")
    with pytest.raises(ValueError, match="Hazel cannot have the fault 'stem_seal'; it can have "):
        UnderTest("Hazel", "stem_seal")
