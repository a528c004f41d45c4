"""Rooms from -10 to 40 C, a cylinder that empties, ice: optional, and without them everything is as before."""

from __future__ import annotations

import numpy as np
import pytest
from sound_stages import sheet
from test_heat import rise, worked_on
from test_rig import against_radau, inside

from steadyneedle.physics import equations as eq
from steadyneedle.physics import gas, rig
from steadyneedle.physics.actions import Action, act
from steadyneedle.physics.cylinder import pressure_curve
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.first_stage import SURFACE, lock_up_gauge
from steadyneedle.physics.leaks import SOAP_SHOWS
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

OPEN = Action(0, "valve", 1)
COLD, WARM = 263.15, 313.15
every_design = pytest.mark.parametrize("design", FirstStage.names())


@every_design
@pytest.mark.parametrize("room", [COLD, WARM])
def test_a_sound_stage_passes_its_sheet_in_any_room(design: str, room: float) -> None:
    """The sheet's five purges at its supply: half of the allowed rise at most; lock-up knows no temperature here, so that
    it stands where it stands in a room of 20 C, within 0.01 bar (real springs and rubber change a little)."""
    wants = sheet(design)
    bench, _ = rig.run(rig.start(design, supply=wants.supply + SURFACE, room=room), [OPEN], 60)
    usual, _ = rig.run(rig.start(design, supply=wants.supply + SURFACE), [OPEN], 60)
    assert bench.ip_gauge == pytest.approx(usual.ip_gauge, abs=0.01 * BAR)
    end, trace = worked_on(bench, wants.purges, 1.0, wants.seconds)
    assert rise(trace, end + 5) <= wants.rise / 2
    assert wants.low <= float(trace.at(end + 5)) and float(trace.ip_gauge[trace.time > end].max()) <= wants.high


def test_colder_air_settles_more() -> None:
    """Air of -10 C cools by more on throttling than air of 40 C: by enthalpy 42 K against 28 K from 200 bar."""
    settles = []
    for room, cooling in ((COLD, 42.4), (WARM, 28)):
        fall = room - float(gas.throttled_temperature(200 * BAR, 10 * BAR, room))
        assert fall == pytest.approx(cooling, abs=0.7)
        bench, _ = rig.run(rig.start("Juniper", room=room), [OPEN], 60)
        end, trace = worked_on(bench, 1, 1.0, 60)
        settles.append(rise(trace, end + 1))
    assert 1.4 < settles[0] / settles[1] < 3


def test_a_cylinder_empties_by_what_came_out_of_it() -> None:
    """1 L at 200 bar, more than two minutes of breathing: its content by the table of real air falls by what came in, within 0.1 %
    (the fit of pressure to density is within 0.03 %); Alder's IP follows the supply down its slope."""
    volume, start = 1e-3, 200 * BAR + SURFACE
    first = rig.start("Alder", supply=start, cylinder=volume)
    assert first.supply == pytest.approx(start, rel=1e-9)
    bench, _ = rig.run(first, [OPEN], 30)
    empty, _ = rig.run(bench, [Action(30, "breathe", 132)], 220)
    given = volume * float(gas.density(start) - gas.density(empty.supply))
    assert empty.state[eq.CAME_IN] == pytest.approx(given, rel=1e-3)
    assert empty.hp_gauge == pytest.approx(empty.supply - SURFACE, rel=1e-6) and empty.supply < 60 * BAR
    slope = lock_up_gauge(FirstStage.named("Alder"), start) - lock_up_gauge(FirstStage.named("Alder"), empty.supply)
    assert bench.ip_gauge - empty.ip_gauge == pytest.approx(float(slope), abs=0.05 * BAR)


def test_without_a_volume_the_supply_never_falls_and_another_cylinder_is_full() -> None:
    bench, _ = rig.run(rig.start("Juniper"), [OPEN, Action(10, "purge", 10)], 60)
    assert bench.supply == 200 * BAR + SURFACE
    drawn, _ = rig.run(rig.start("Juniper", cylinder=1e-3), [OPEN, Action(10, "purge", 10)], 60)
    assert drawn.supply < 140 * BAR
    fresh = act(drawn, Action(60, "supply", 180 * BAR + SURFACE))
    assert fresh.supply == pytest.approx(180 * BAR + SURFACE, rel=1e-9)
    after, _ = rig.advance(fresh, 100)
    assert 0.995 < after.supply / (180 * BAR + SURFACE) < 1, "it fills the regulator, no more"


@pytest.mark.parametrize("room", [COLD, 293.15, WARM])
def test_the_pressure_curve_follows_the_table(room: float) -> None:
    b, c, e, f = pressure_curve(room)
    pressures = np.linspace(2, 400, 200) * BAR
    d = gas.density(pressures, room)
    assert np.allclose(eq.R * room * d * (1 + d * (b + d * (c + d * (e + d * f)))), pressures, rtol=3e-4)


ICED = Fault.named("chamber_iced")


BREATHED, PURGED = Action(30, "breathe", 120.0), Action(30, "purge", 30.0)


@pytest.mark.parametrize(
    ("design", "work"), [("Rowan", BREATHED), ("Juniper", BREATHED), *((design, PURGED) for design in ICED.designs)]
)
def test_ice_holds_the_valve_open(design: str, work: Action) -> None:
    """A wet chamber, a room at 2 C, two minutes of heavy breathing or half a minute's purge: the body falls below freezing,
    IP rises until the second stage gives way and it flows by itself. At 20 C, or with a dry chamber, nothing of the kind.
    Common practice, no source."""
    cold, trace = rig.run(rig.start(design, {"chamber_iced": 0.5}, room=275.15), [OPEN, work], 160)
    assert trace.state(eq.BODY).min() < eq.FREEZES
    assert any("opens by itself" in words for _, words in trace.happened) or cold.ended
    assert float(trace.at(29)) + 1.5 * BAR < cold.ip_gauge
    for faults, room in (({"chamber_iced": 1.0}, 293.15), ({}, 275.15)):
        bench, trace = rig.run(rig.start(design, faults, room=room), [OPEN, PURGED], 160)
        assert not trace.happened and abs(bench.ip_gauge - float(trace.at(29))) < 0.12 * BAR


def test_ice_is_gone_when_warm() -> None:
    """Slight ice, no more breathing: the body warms, the valve closes, a purge brings the needle back to lock-up."""
    first = rig.start("Juniper", {"chamber_iced": 0.0}, room=275.15)
    bench, trace = rig.run(first, [OPEN, Action(30, "breathe", 120.0), Action(400, "purge", 1.0)], 460)
    assert float(trace.at(160)) > float(trace.at(29)) + 2 * BAR
    assert bench.state[eq.BODY] > eq.FREEZES and bench.ip_gauge == pytest.approx(float(trace.at(29)), abs=0.12 * BAR)


def test_gross_ice_keeps_itself_cold() -> None:
    """The flow that ice lets through cools the body further: a free flow that ends only with the cylinder valve."""
    first = rig.start("Hazel", {"chamber_iced": 1.0}, room=275.15)
    bench, _ = rig.run(first, [OPEN, Action(30, "breathe", 120.0)], 400)
    assert bench.leaks()["mouthpiece"] > 5e-4, "25 L/min and more"
    shut, _ = rig.run(bench, [Action(400, "valve", 0)], 900)
    assert shut.leaks().get("mouthpiece", 0.0) < SOAP_SHOWS and shut.state[eq.BODY] > eq.FREEZES


@pytest.mark.parametrize(
    ("design", "faults", "settings"),
    [
        ("Juniper", {}, {"room": COLD, "cylinder": 1e-3}), ("Linden", {"seat_nicked": 0.5}, {"room": WARM, "cylinder": 5e-3}),
        ("Hazel", {"chamber_iced": 0.5}, {"room": 275.15}),
    ],
)  # fmt: skip
def test_rooms_and_cylinders_against_a_tighter_integrator(
    design: str, faults: dict[str, float], settings: dict[str, float]
) -> None:
    """Within 0.002 bar of Radau at rtol 1e-9, and no mass lost: the requirements."""
    first = rig.start(design, faults, **settings)
    actions = [OPEN, Action(20, "purge", 2.0), Action(40, "breathe", 12.0), Action(60, "purge", 15.0)]
    last, trace = rig.run(first, actions, 110)
    assert against_radau(first, trace) < 0.002 * BAR
    room = first.plant.room
    passed, cold = last.state[eq.CAME_IN], inside(last, room) - inside(first, room)
    assert abs(passed - last.state[eq.GONE_OUT] - cold) < 1e-6 * passed


@pytest.mark.parametrize(
    ("settings", "words"),
    [({"room": 250.0}, "room must lie between 263.15 and 313.15 K"), ({"room": float("nan")}, "room must lie"), ({"cylinder": 1.0}, "cylinder must lie between 0.0005")],
)  # fmt: skip
def test_other_rooms_and_cylinders_are_refused(settings: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        rig.start("Alder", **settings)
