"""The forces of the five first stages and the two second stages: limits, directions, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadyneedle.physics import first_stage, gas, second_stage
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.stages import FirstStage, SecondStage

BAR = 1e5
names = st.sampled_from(FirstStage.names())
supplies = st.floats(20e5, 340e5)
each = pytest.mark.parametrize("name", FirstStage.names())


@given(names, supplies, st.floats(1e5, 30e5), st.floats(1e5, 6e5), st.floats(-60, 60))
def test_the_ledger_adds_to_zero(name: str, supply: float, ip: float, ambient: float, change: float) -> None:
    book = first_stage.ledger(FirstStage.named(name), supply, ip, ambient, change)
    assert abs(book.total()) < 1e-9 * max(abs(force.newton) for force in book.forces) + 1e-9
    assert book.contact >= 0 and 0 <= book.lift <= FirstStage.named(name).lift
    assert (book.contact > 0) <= (book.lift == 0)


@given(names, supplies, st.floats(1e5, 6e5), st.floats(-60, 60))
def test_at_lock_up_nothing_is_left(name: str, supply: float, ambient: float, change: float) -> None:
    stage = FirstStage.named(name)
    gauge = float(first_stage.lock_up_gauge(stage, supply, ambient, change))
    book = first_stage.ledger(stage, supply, gauge + ambient, ambient, change)
    assert book.contact < 1e-6 and book.lift < 1e-9


@given(supplies, supplies)
def test_more_supply_never_lowers_alder_nor_raises_hazel(one: float, other: float) -> None:
    low, high = sorted((one, other))
    for name, way in (("Alder", 1), ("Hazel", -1)):
        stage = FirstStage.named(name)
        change = first_stage.lock_up_gauge(stage, high) - first_stage.lock_up_gauge(stage, low)
        assert way * float(change) >= 0


@each
def test_how_far_ip_moves_as_the_cylinder_empties(name: str) -> None:
    """From 200 to 50 bar: an unbalanced stage by about a bar, a balanced one by less than a tenth; the slope says so."""
    stage = FirstStage.named(name)
    full, low = (float(first_stage.lock_up_gauge(stage, bar * BAR + SURFACE)) for bar in (200, 50))
    assert full - low == pytest.approx(150 * BAR * first_stage.supply_slope(stage))
    assert abs(full - low) < 0.1 * BAR if stage.balanced else 0.8 * BAR < abs(full - low) < 1.5 * BAR


@each
def test_depth(name: str) -> None:
    """IP over ambient stays, but grows slightly where a plunger drives a sealed chamber."""
    stage = FirstStage.named(name)
    gauge = [float(first_stage.lock_up_gauge(stage, 200 * BAR + p, p)) for p in (SURFACE, SURFACE + 4 * BAR)]
    if stage.sealed:
        assert 0.05 * BAR < gauge[1] - gauge[0] < 0.3 * BAR
    else:
        assert gauge[1] == pytest.approx(gauge[0])


@each
def test_adjuster_and_shims(name: str) -> None:
    stage = FirstStage.named(name)
    if name == "Alder":
        with pytest.raises(ValueError, match="Alder has no adjuster: it is set with shims"):
            first_stage.adjusted(stage, 1)
    else:
        before = first_stage.lock_up_gauge(stage, 200 * BAR)
        after = first_stage.lock_up_gauge(stage, 200 * BAR, spring_change=first_stage.adjusted(stage, 1))
        assert 0.3 * BAR < float(after - before) < 1.5 * BAR


@given(names, st.floats(60e5, 300e5), st.floats(0, 0.02), st.floats(0, 0.02))
def test_more_flow_never_raises_ip(name: str, supply: float, one: float, other: float) -> None:
    stage = FirstStage.named(name)
    gauge = first_stage.flowing_gauge(stage, np.sort([one, other]), supply)
    assert not gauge[1] > gauge[0]


def test_droop_against_the_ledger() -> None:
    """At the IP that the droop gives, the ledger's lift passes the flow."""
    for name in FirstStage.names():
        stage = FirstStage.named(name)
        gauge = float(first_stage.flowing_gauge(stage, 0.006, 150 * BAR))
        lift = first_stage.ledger(stage, 150 * BAR, gauge + SURFACE).lift
        flow = gas.mass_flow(math.pi * stage.seat_diameter * lift, 150 * BAR, gauge, 293.15, stage.discharge)
        assert float(flow) == pytest.approx(0.006, rel=1e-9)
    assert math.isnan(first_stage.flowing_gauge(FirstStage.named("Hazel"), 0.1, 20 * BAR))


def test_first_stages_refuse() -> None:
    with pytest.raises(ValueError, match="There is no stage 'Oak'; there are Alder, Rowan"):
        FirstStage.named("Oak")
    with pytest.raises(ValueError, match="supply must be"):
        first_stage.lock_up_gauge(FirstStage.named("Alder"), -1.0)
    with pytest.raises(ValueError, match="mass_flow must be"):
        first_stage.flowing_gauge(FirstStage.named("Alder"), -1.0, 2e7)


@given(st.sampled_from(["Sedge", "Reed"]), st.floats(0, 20e5), st.floats(0, 20e5))
def test_more_ip_never_makes_it_harder_to_crack(name: str, one: float, other: float) -> None:
    second = SecondStage.named(name)
    effort = second_stage.cracking_effort(second, np.sort([one, other]))
    assert effort[0] >= effort[1]


@pytest.mark.parametrize("name", ["Sedge", "Reed"])
def test_it_opens_where_nothing_is_left_to_crack(name: str) -> None:
    second = SecondStage.named(name)
    opens = second_stage.opening_gauge(second)
    assert float(second_stage.cracking_effort(second, opens)) == pytest.approx(0, abs=1e-9)
    assert float(second_stage.opening_gauge(second, second.stiffest)) > float(opens)
    with pytest.raises(ValueError, match="spring must be above 0"):
        second_stage.opening_gauge(second, 0.0)
    with pytest.raises(ValueError, match="intermediate_gauge"):
        second_stage.cracking_effort(second, -1.0)
