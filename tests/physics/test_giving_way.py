"""The second stage past its opening pressure: it weeps at what comes in, flows freely, or, stuck, breaks loose and shuts.

Requirements of the design; second stages and their sizes are invented, what a bench shows is common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from test_rig import against_radau, inside

from steadyneedle.physics import equations as eq
from steadyneedle.physics import first_stage, passage, rig
from steadyneedle.physics import ports as ports_of
from steadyneedle.physics.actions import Action, act
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment
from steadyneedle.physics.plant import Modes
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage, SecondStage

OPEN = Action(0, "valve", 1)


def comes_in(moment: Moment) -> float:
    """By hand: choked flow of room-warm air through every hole past the seat, 0.0404 A p/sqrt(T) [kg/s]."""
    area = moment.plant.condition.into_ip(moment.settings.grit)
    return 0.0404149 * area * moment.state[eq.CAVITY] / math.sqrt(293.15)


@pytest.mark.parametrize("design", ["Rowan", "Juniper"])
def test_it_weeps_at_what_comes_in(design: str) -> None:
    """IP stands at the opening pressure, within 0.02 bar, for ten minutes; the mouthpiece passes what the hole lets in,
    within 1 %, and that is what one hears: a weep, not a roar (25 L/min are 5e-4 kg/s)."""
    bench, trace = rig.run(rig.start(design, {"seat_nicked": 1.0}), [OPEN], 1500)
    opens = float(first_stage_opens(design))
    late = trace.ip_gauge[trace.time > 900]
    assert np.ptp(late) < 0.005 * BAR and opens < late.min() < opens + 0.02 * BAR
    assert bench.leaks()["mouthpiece"] == pytest.approx(comes_in(bench), rel=0.01)
    assert 1e-7 < bench.leaks()["mouthpiece"] < 5e-6 and bench.opened > 0 and bench.modes.weeping
    assert [words for _, words in trace.happened] == ["The second stage opens by itself and weeps."]


def first_stage_opens(design: str) -> float:
    from steadyneedle.physics.second_stage import opening_gauge

    return float(opening_gauge(SecondStage.named(FirstStage.named(design).second_stage)))


def test_it_shuts_when_the_needle_falls_and_opens_again() -> None:
    """A purge brings the needle down, the creep brings it back; a bleed shuts it for good, and one hears that."""
    actions = [OPEN, Action(400, "purge", 1.0)]
    bench, trace = rig.run(rig.start("Rowan", {"seat_nicked": 1.0}), actions, 900)
    assert [what for _, what in trace.happened] == ["The second stage opens by itself and weeps."] * 2
    assert bench.modes.weeping
    bled, trace = rig.run(bench, [Action(900, "valve", 0), Action(901, "bleed", 1)], 1000)
    assert trace.happened[0][1] == "The second stage shuts again." and not bled.modes.weeping
    stiff = act(bench, Action(900, "second adjuster", 1))
    assert not stiff.modes.weeping and stiff.opened == 0.0 and "mouthpiece" not in stiff.leaks()
    blanked = act(bench, Action(900, "blank", 1))
    assert blanked.opened == 0.0 and "mouthpiece" not in blanked.leaks()


@pytest.mark.parametrize(
    ("design", "fault", "severity", "supply"), [("Hazel", "set_high", 1.0, 50), ("Hazel", "set_high", 0.8, 60)]
)
def test_free_flow_on_an_open_cylinder_holds_most_of_the_ip(
    design: str, fault: str, severity: float, supply: float
) -> None:
    """Locked up beyond what the second stage holds: it roars by tens to hundreds of litres a minute, and the needle stands
    within a tenth of lock-up, above the opening pressure. Zero on a log means that somebody bled it."""
    first = rig.start(design, {fault: severity}, supply * BAR + SURFACE)
    bench, trace = rig.run(first, [OPEN], 60)
    stage, spring = bench.plant.stage, bench.plant.condition.setting
    locks = float(first_stage.lock_up_gauge(stage, supply * BAR + SURFACE, spring_change=spring))
    assert locks > first_stage_opens(design)
    assert 0.9 * locks < bench.ip_gauge < locks and bench.ip_gauge > first_stage_opens(design)
    litres = bench.leaks()["mouthpiece"] / 1.204 * 60e3
    assert 30 < litres < 500
    assert trace.ip_gauge[trace.time > 5].min() > 0.9 * locks


@pytest.mark.parametrize("design", ["Rowan", "Linden"])
def test_only_a_stuck_seat_cycles(design: str) -> None:
    """It holds beyond its opening pressure by what it sticks, drops sharply, shuts 1.3 (Willow 1.5) bar below, and again."""
    first = rig.start(design, {"creep_and_burp": 0.5})
    bench, trace = rig.run(first, [OPEN], 300)
    opened = [time for time, words in trace.happened if words == "The second stage opens by itself, all at once."]
    shut = [time for time, words in trace.happened if words == "The second stage shuts again."]
    assert len(opened) >= 3 and all(0 < b - a < 1.0 for a, b in zip(opened, shut, strict=False))
    stuck, opens = first.plant.condition.mouth_stick, first_stage_opens(design)
    assert stuck == pytest.approx(0.2 * BAR)
    for time, back in zip(opened[1:], shut[1:], strict=False):
        assert float(trace.at(time - 1e-6)) == pytest.approx(opens + stuck, rel=1e-3)
        assert float(trace.at(back - 1e-9)) == pytest.approx(opens - first.plant.second.reseats_below_opening, rel=1e-3)
    vented = [Action(bench.time, "valve", 0), Action(bench.time, "bleed", 1), Action(bench.time, "purge", 5)]
    empty, _ = rig.run(bench, vented, bench.time + 20)
    fresh = act(empty, Action(empty.time, "swap", "second-stage seat"))
    again = [Action(empty.time, "bleed", 0), Action(empty.time, "valve", 1)]
    _, trace = rig.run(fresh, again, empty.time + 300)
    assert [words for _, words in trace.happened] == ["The second stage opens by itself and weeps."], "with a new seat"


def test_how_far_it_opens_by_itself() -> None:
    """Newton's answer against scipy's root of the same balance, written out: area = what its slope gives at the ports."""
    for second, widths in (("Sedge", 0.0), ("Willow", 0.4e-6)):
        plant = rig.start("Rowan").plant
        ports = ports_of.Ports(plant, rig.start("Rowan").settings, Modes(weeping=True))
        ports.area, ports.slope = widths, SecondStage.named(second).opens
        for over in (0.001, 0.01, 0.04, 0.06, 0.3, 1.0, 2.5):
            ip = ports.opens + over * BAR

            def missing(area: float, ip: float = ip, ports: ports_of.Ports = ports) -> float:
                beyond = ip * passage.loaded_ratio((ports.area + area) / ports.through) - ports.opens
                soft = (
                    max(beyond, 0.0) ** 2 / (2 * ports_of.SOFT)
                    if beyond < ports_of.SOFT
                    else beyond - ports_of.SOFT / 2
                )
                return min(ports.slope * soft, ports.fully) - area

            exact = brentq(missing, 0.0, 4e-6, xtol=1e-16) if missing(0.0) > 0 else 0.0
            assert ports.opened(ip) == pytest.approx(exact, abs=1e-12)


@pytest.mark.parametrize(
    ("design", "faults", "supply"),
    [("Rowan", {"seat_nicked": 1.0}, 200), ("Hazel", {"set_high": 1.0}, 50), ("Linden", {"seat_nicked": 1.0, "second_stage_leaks": 0.5}, 300)],
)  # fmt: skip
def test_giving_way_against_a_tighter_integrator(design: str, faults: dict[str, float], supply: float) -> None:
    """Within 0.002 bar of Radau at rtol 1e-9, and no mass lost: the requirements."""
    first = rig.start(design, faults, supply * BAR + SURFACE)
    last, trace = rig.run(first, [OPEN, Action(350, "purge", 1.0), Action(360, "breathe", 6.0)], 400)
    assert against_radau(first, trace) < 0.002 * BAR
    passed = last.state[eq.CAME_IN]
    assert abs(passed - last.state[eq.GONE_OUT] - inside(last) + inside(first)) < 1e-6 * passed
