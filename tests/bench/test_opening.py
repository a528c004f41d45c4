"""Which stage a fault makes one open, and what tells two faults apart. Common practice, no source."""

from __future__ import annotations

import pytest

from steadyneedle.bench.diagnosis.opening import FIRST, NEITHER, SECOND, stage_to_open, told_apart
from steadyneedle.physics.actions import PARTS
from steadyneedle.physics.faults import Fault

IN_THE_FIRST = (
    "seat", "seat carrier", "stem seal", "shaft seal", "head seal", "diaphragm", "body", "main spring", "filter",
)  # fmt: skip
"""Parts of a first stage (common practice, no source)."""


@pytest.mark.parametrize("fault", Fault.keys())
def test_a_part_is_where_it_is(fault: str) -> None:
    quantities = {name for name, _, _ in Fault.named(fault).ranges}
    first = {name for part in IN_THE_FIRST for name in PARTS[part]}
    if fault == "seat_setting":
        assert stage_to_open(fault) == NEITHER, "a new seat wants time"
    elif quantities & first:
        assert stage_to_open(fault) == FIRST
    elif quantities & set(PARTS["second-stage seat"]):
        assert stage_to_open(fault) == SECOND
    elif quantities <= {"valve_area", *PARTS["gauge"], *PARTS["gauge hose"], *PARTS["hose"]}:
        assert stage_to_open(fault) == NEITHER
    else:  # the ambient chamber, adjuster and shims are the first stage's
        assert quantities <= {"blocked", "ice", "setting"} and stage_to_open(fault) == FIRST


def test_what_tells_two_apart_is_told_from_both_sides() -> None:
    one, other = told_apart("Juniper", "seat_nicked", "stem_seal"), told_apart("Juniper", "stem_seal", "seat_nicked")
    assert one and other and one.examination == other.examination
    assert (one.one, one.other) == (other.other, other.one) and one.one != one.other
    assert told_apart("Juniper", "seat_nicked", "head_seal") is None, "Juniper has no piston head: no such pair"
    assert told_apart("Juniper", "sound", "seat_nicked")


def test_an_unknown_fault_is_refused() -> None:
    with pytest.raises(ValueError, match="There is no fault 'oak'"):
        stage_to_open("oak")
