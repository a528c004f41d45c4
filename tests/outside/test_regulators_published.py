"""The rig and the two stages against published values, hand calculations, CoolProp and facts of the trade."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from real_air import real_choked_flow

from steadyneedle.foundation import datasets
from steadyneedle.physics import first_stage, leaks, rig, second_stage
from steadyneedle.physics.actions import Action
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.stages import BenchSetup, FirstStage, SecondStage

BAR, PSI = 1e5, 6894.757
INCH_OF_WATER = 249.0889
every_design = pytest.mark.parametrize("design", FirstStage.names())


def test_breathing_of_the_bench_is_that_of_the_standard() -> None:
    """62.5 L/min, sinusoidal, 25 breaths of 2.5 L a minute: EN 250:2014 6.7.1, grade A*. The air that the rig gives is the
    mean of the sinusoid's positive half: 62.5 L/min at ambient. Tolerance 1 % (a whole number of breaths, IP settles)."""
    begin, _ = rig.run(rig.start("Juniper"), [Action(0, "valve", 1)], 30)
    end, trace = rig.run(begin, [Action(30, "breathe", 48.0)], 78)
    out = end.state[7] - begin.state[7]
    assert out * 287.05 * 293.15 / SURFACE * 1e3 / 0.8 == pytest.approx(62.5, rel=0.01)
    assert len(trace.segments) == 40, "20 breaths of 2.4 s, in and out"


@every_design
def test_the_standards_two_supplies_are_held(design: str) -> None:
    """EN 250:2014 6.7.1, grade A*: the test breathes 62.5 L/min at rated pressure and again at 50 bar supply. Under it the
    rig's healthy designs droop by less than half of what their sheets allow at 400 L/min: the peak is 196 L/min, and the
    loss grows with the square of the flow (invented sheets; common practice, no source, for the tenths of a bar)."""
    allowed = datasets.table("sheets/example", ("droop_bar",))
    droop = allowed["droop_bar"][allowed["name"].index(design)]
    for supply in (200, 50):
        first = rig.start(design, supply=supply * BAR + SURFACE)
        begin, _ = rig.run(first, [Action(0, "valve", 1)], 30)
        _, trace = rig.run(begin, [Action(30, "breathe", 12)], 42)
        assert 0.1 * BAR < begin.ip_gauge - trace.ip_gauge.min() < 0.5 * droop * BAR


@every_design
def test_a_healthy_stage_returns_to_its_set_pressure(design: str) -> None:
    """Returns to the set pressure within 10 psi after flow: TM 5-4310-226-15 4.5.4, grade A*, for another regulator; the
    analogue of a lock-up test. Ours must come closer: 0.1 bar (common practice, no source), one set of heat values."""
    begin, _ = rig.run(rig.start(design), [Action(0, "valve", 1)], 60)
    _, trace = rig.run(begin, [Action(60, "purge", 1)], 181)
    assert abs(float(trace.at(121)) - begin.ip_gauge) < 10 * PSI
    assert abs(float(trace.at(121)) - begin.ip_gauge) < 0.1 * BAR
    assert abs(float(trace.at(66)) - begin.ip_gauge) < 0.1 * BAR
    assert abs(float(trace.at(181) - trace.at(121))) < 0.02 * BAR, "flat within a minute"


@pytest.mark.parametrize("name", ["Sedge", "Willow"])
def test_cracking_stays_within_the_inspection_limit(name: str) -> None:
    """Inhale -3 inches of water or better: California Code of Regulations, Title 8, s. 6057(b)(1), grade A. Our invented
    second stages crack within it at their first stages' IP, and not below zero."""
    second = SecondStage.named(name)
    for design in FirstStage.names():
        stage = FirstStage.named(design)
        if stage.second_stage == name:
            effort = float(second_stage.cracking_effort(second, first_stage.lock_up_gauge(stage, 200 * BAR + SURFACE)))
            assert 0 < effort < 3 * INCH_OF_WATER


def test_pressures_over_bottom() -> None:
    """First stage at least 135 psig over bottom, 150 psig on a long whip, relief valve 180 +- 5 psig over bottom:
    US Navy Diving Manual Vol. 2, 8-2.2.1, grade A* (9.31, 10.34, 12.41 bar, ours; half a unit). The workbook's designs,
    invented, lie around them; a Sedge gives way below that relief valve, which the bench's relief valve lies above."""
    assert [round(psi * PSI / BAR, 2) for psi in (135, 150, 180)] == [9.31, 10.34, 12.41]
    locks = [float(first_stage.lock_up_gauge(FirstStage.named(d), 200 * BAR + SURFACE)) for d in FirstStage.names()]
    assert min(locks) > 0.9 * 135 * PSI and max(locks) < 150 * PSI
    assert (
        float(second_stage.opening_gauge(SecondStage.named("Sedge"))) < 180 * PSI < BenchSetup.standard().relief_opens
    )


@every_design
def test_ip_follows_ambient(design: str) -> None:
    """The first stage reduces to a preset level over ambient: US Navy Diving Manual Vol. 2, 7-2.2.1.1, grade A*. In the
    rig, in a pressure pot at 4 bar over the room's: IP over ambient as before within 0.05 bar, absolute IP 4 bar higher;
    Linden's sealed chamber adds 3 % of 4 bar. A blocked chamber does not follow: the needle falls by 4 bar."""
    deep = [Action(60, "ambient", 4 * BAR + SURFACE), Action(65, "purge", 0.5)]
    opened = [Action(0, "valve", 1), Action(10, "purge", 0.5)]
    begin, _ = rig.run(rig.start(design), opened, 60)
    end, _ = rig.run(begin, deep, 120)
    more = 0.12 if design == "Linden" else 0.0
    # the cylinder's pressure is absolute, so an unbalanced seat feels 4 bar less of it: 0.03 bar of IP
    assert (end.ip_gauge - begin.ip_gauge) / BAR == pytest.approx(more, abs=0.05)
    if design != "Linden":
        begin, _ = rig.run(rig.start(design, {"chamber_blocked": 1.0}), opened, 60)
        end, _ = rig.run(begin, deep, 120)
        assert (end.ip_gauge - begin.ip_gauge) / BAR == pytest.approx(-4, abs=0.1)


def creep_rate(diameter: float, volume: float = 100e-6) -> tuple[float, float]:
    """Rise of IP in Pa/s in the rig with one hole past the seat, over two minutes, and the volume."""
    first = rig.start("Juniper", {"edge_or_static_seal": 1.0}, ip_volume=volume)
    worn = dataclasses.replace(first.plant.condition, bypass_hole=float(leaks.hole_area(diameter)))
    first = dataclasses.replace(first, plant=dataclasses.replace(first.plant, condition=worn))
    _, trace = rig.run(first, [Action(0, "valve", 1)], 420)
    return float(trace.at(420) - trace.at(300)) / 120, volume


@pytest.mark.parametrize("micrometres", [1.6, 3.0])
def test_creep_agrees_with_a_hand_calculation(micrometres: float) -> None:
    """m = 0.0404 A p/sqrt(T); rise = m R T/V. By hand, 1.6 um, 200 bar gauge, 100 cm3: A 2.011e-12 m2, m 9.54e-8 kg/s,
    rise 80.3 Pa/s = 0.048 bar/min. Tolerance 2 %."""
    area = np.pi / 4 * (micrometres * 1e-6) ** 2
    flow = 0.0404149 * area * (200 * BAR + SURFACE) / np.sqrt(293.15)
    by_hand = flow * 287.05 * 293.15 / 100e-6
    if micrometres == 1.6:
        assert by_hand == pytest.approx(80.3, abs=0.1)
    rate, _ = creep_rate(micrometres * 1e-6)
    assert rate == pytest.approx(by_hand, rel=0.02)


def test_creep_in_real_air_is_as_much_faster_as_stated() -> None:
    """Reference library: CoolProp, choked flow of real air at 200 bar: some 7 % more than the rig's ideal gas (5 to 9 %)."""
    rate, volume = creep_rate(3e-6)
    real = real_choked_flow(200 * BAR + SURFACE, 293.15) * np.pi / 4 * 9e-12 * 287.05 * 293.15 / volume
    assert 1.05 < real / rate < 1.09


def test_same_hole_in_a_smaller_volume_climbs_faster() -> None:
    """Common practice, no source, and the ideal-gas law: 30 cm3 instead of 100 cm3, more than three times the rate. In the
    rig; tolerance 2 %, as for the hand calculation."""
    small, large = (creep_rate(1.6e-6, volume)[0] for volume in (30e-6, 100e-6))
    assert small / large == pytest.approx(100 / 30, rel=0.02)


def test_a_creeping_needle_as_the_trade_tells_it() -> None:
    """Common practice, no source: the needle passes 10, 10.5 and 10.6 bar while one watches, drops below 10 on a purge
    and climbs through 10.2 again."""
    first = rig.start("Rowan", {"seat_nicked": 1.0})
    bench, trace = rig.run(first, [Action(0, "valve", 1), Action(150, "purge", 1)], 260)
    watched = trace.ip_gauge[trace.time < 150] / BAR
    for passed in (10.0, 10.5, 10.6):
        assert watched.min() < passed < watched.max()
    assert float(trace.at(151.5)) / BAR < 10.0
    after = trace.ip_gauge[trace.time > 152] / BAR
    assert after.min() < 10.2 < after.max()
    assert not bench.ended


def test_something_gives_at_11_to_12_bar_and_the_unbalanced_one_first() -> None:
    """Common practice, no source: 11 to 12 bar before something gives; an unbalanced second stage before the first."""
    bench, trace = rig.run(rig.start("Rowan", {"seat_nicked": 1.0}), [Action(0, "valve", 1)], 900)
    opened = [time for time, words in trace.happened if "opens by itself" in words]
    assert opened and 11 * BAR < float(trace.at(opened[0] - 1e-6)) < 12 * BAR
    assert not bench.ended, "the relief valve, which protects hose and gauge, had no need to lift"
    unbalanced, balanced = (float(second_stage.opening_gauge(SecondStage.named(n))) for n in ("Sedge", "Willow"))
    assert unbalanced < 12 * BAR < 15 * BAR < balanced
    stiffest = float(second_stage.opening_gauge(SecondStage.named("Sedge"), SecondStage.named("Sedge").stiffest))
    assert stiffest < 12.5 * BAR, "no adjustment stops an IP beyond that"
