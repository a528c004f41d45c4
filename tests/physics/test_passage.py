"""The passage between sensed chamber and ports: droop against the sheets, against hand calculations and two volumes."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from sound_stages import sheet, standing
from two_volumes import needle_in_a_purge

from steadyneedle.physics import equations as eq
from steadyneedle.physics import first_stage, passage, rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

every_design = pytest.mark.parametrize("design", FirstStage.names())


@given(st.floats(0, 1.85))
def test_outlets_and_passage_pass_the_same(widths: float) -> None:
    """What goes through the passage by its ellipse goes out by the choked outlets: part = widths x ratio."""
    ratio = passage.loaded_ratio(widths)
    assert float(passage.port_ratio(widths * ratio)) == pytest.approx(ratio, abs=1e-9)


@given(st.floats(0, 5), st.floats(0, 5))
def test_wider_outlets_never_raise_the_ports(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert passage.loaded_ratio(low) >= passage.loaded_ratio(high) > 0


def test_wide_outlets_choke_the_passage() -> None:
    assert passage.loaded_ratio(4.0) == 0.25, "all that the passage passes leaves by outlets four times as wide"
    assert float(passage.port_ratio(1.0)) == pytest.approx(0.5283, abs=5e-5)
    assert float(passage.port_ratio(7.0)) == float(passage.port_ratio(1.0))
    with pytest.raises(ValueError, match="part must be a number not below 0"):
        passage.port_ratio(-0.1)


def flowing(bench: Moment, flow: float) -> Moment:
    """The bench after two seconds of a steady outflow [kg/s] through the second stage."""

    def after(area: float) -> Moment:
        drawn = bench.with_settings(purge_area=area, purge_ends=bench.time + 2.5)
        return rig.advance(drawn, bench.time + 2)[0]

    def missing(area: float) -> float:
        return after(area).leaks()["mouthpiece"] - flow

    return after(brentq(missing, 1e-6, 6e-6, rtol=1e-6))


@every_design
def test_droop_is_that_of_its_sheet(design: str) -> None:
    """At the sheet's flow and supply the needle droops by what the sheet says, within 20 %: the design's requirement. And
    by what `flowing_gauge` says for air of the room's temperature, within 3 %: the rig's is a little colder."""
    wants, bench = sheet(design), standing(design, sheet(design).supply / BAR)
    drawn = flowing(bench, wants.flow)
    assert bench.ip_gauge - drawn.ip_gauge == pytest.approx(wants.droop, rel=0.2)
    stage, supply = bench.plant.stage, wants.supply + SURFACE
    formula = first_stage.lock_up_gauge(stage, supply) - first_stage.flowing_gauge(stage, wants.flow, supply)
    still = first_stage.lock_up_gauge(stage, supply) - drawn.ip_gauge
    assert float(still) == pytest.approx(float(formula), rel=0.03)


def test_droop_by_hand() -> None:
    """Juniper, 200 bar, 400 L/min = 8.03 g/s. Valve: 0.0404 x 0.7 x 201.01e5/17.12 = 33.2 g/s through each mm2, so
    0.242 mm2, lift 0.242/(pi x 4) = 0.0192 mm, 130 N/mm x that = 2.50 N, over 619.8 mm2 0.040 bar. Passage: choked
    0.0404 x 5.4e-6 x 10.98e5/17.12 = 14.0 g/s, part 0.574, ratio 0.528 + 0.472 x sqrt(1 - 0.574^2) = 0.914: 0.94 bar.
    Together 0.98; tolerance 0.01, for three digits."""
    stage, supply = FirstStage.named("Juniper"), 200 * BAR + SURFACE
    droop = first_stage.lock_up_gauge(stage, supply) - first_stage.flowing_gauge(stage, 8.03e-3, supply)
    assert float(droop) / BAR == pytest.approx(0.98, abs=0.01)


@every_design
@pytest.mark.parametrize("supply", [50, 100, 200, 300])
def test_a_purge_of_a_second_dips_as_a_technician_sees_it(design: str, supply: int) -> None:
    """0.7 to 1.6 bar (0.7 to 2 is common practice, no source), and the chamber by far less: the loss lies between."""
    bench = standing(design, supply)
    _, trace = rig.run(bench, [Action(bench.time, "purge", 1.0)], bench.time + 1)
    assert 0.7 * BAR < bench.ip_gauge - float(trace.at(bench.time + 0.5)) < 1.6 * BAR
    middle = trace.segments[-1]
    assert np.ptp(middle.chamber) < 0.7 * BAR and np.all(middle.port < middle.chamber)


@every_design
@pytest.mark.parametrize("supply", [50, 200, 300])
def test_two_volumes_agree(design: str, supply: int) -> None:
    """A model with a chamber of 5 cm3 of its own: in a purge within 0.01 bar of the rig from 0.1 s on: the requirement.
    After it, 0.1 s from its end, within 0.005 bar; later the rig settles upward by its 0.02 to 0.05 bar, the two volumes
    do not, because filling the hoses again warms their air: left out of the rig, and so named in `passage`.
    With a temperature of its own for each volume the chamber's air is colder and loses up to 0.07 bar less."""
    bench = standing(design, supply)
    _, trace = rig.run(bench, [Action(bench.time, "purge", 1.0)], bench.time + 1.2)
    during = np.linspace(0.1, 0.999, 91)
    times, needle = needle_in_a_purge(bench, 1.0, 1.2)
    assert np.abs(np.interp(during, times, needle) - trace.at(bench.time + during)).max() < 0.01 * BAR
    assert float(np.interp(1.1, times, needle)) == pytest.approx(float(trace.at(bench.time + 1.1)), abs=0.005 * BAR)
    times, needle = needle_in_a_purge(bench, 1.0, 1.2, apart=True)
    less = np.interp(during, times, needle) - trace.at(bench.time + during)
    assert np.all(less > 0) and less.max() < 0.07 * BAR


@every_design
def test_a_breath_dips_as_its_peak_flow_says(design: str) -> None:
    """25 breaths a minute of 2.5 L: the peak is pi x 62.5 = 196 L/min. The needle's lowest stand over a minute is that of
    `flowing_gauge` at this flow, within 0.05 bar (colder air, and what the needle stands above the formula at rest)."""
    stage = FirstStage.named(design)
    peak = math.pi * 25 / 60 * 2.5e-3 * SURFACE / (eq.R * eq.ROOM)
    for supply in (50, 200):
        bench = standing(design, supply)
        _, trace = rig.run(bench, [Action(bench.time, "breathe", 30.0)], bench.time + 30, every=0.05)
        by_formula = float(first_stage.flowing_gauge(stage, peak, supply * BAR + SURFACE))
        assert trace.ip_gauge.min() == pytest.approx(by_formula, abs=0.05 * BAR)


def test_forces_feel_the_chamber_gauges_the_ports() -> None:
    """A leak of the chamber itself (rim, spring chamber) makes no loss in the passage; the same hole at a port does."""
    bench = standing("Juniper", 200)
    for place, loses in (("land_hole", False), ("fitting_hole", True)):
        worn = dataclasses.replace(bench.plant.condition, **{place: 2e-6})
        leaking = dataclasses.replace(bench, plant=dataclasses.replace(bench.plant, condition=worn))
        after, _ = rig.advance(leaking, bench.time + 1)
        assert (after.chamber - after.port > 0.2 * BAR) is loses
        assert after.ip_gauge == after.port - SURFACE
        assert after.contact_force == max(-after.net_force, 0.0)
