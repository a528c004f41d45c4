"""Sentences of lesson 02 whose numbers are computed: slopes, droop, cold, leaks, where to stop."""

from __future__ import annotations

import math
from functools import partial

from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
from steadyneedle.bench.bands.stopping import ABOVE_LIMIT, AT_THE_STOP, stop_of
from steadyneedle.bench.regulators import climb_through_hole
from steadyneedle.bench.trace.watch import AFTER_PURGE
from steadyneedle.bench.units import Q
from steadyneedle.physics import first_stage, gas, rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.offered import Makers, SheetLoader
from steadyneedle.teaching.panels.reduction import DESIGNS, absolute, litre_a_minute, lock_up

FULL, LOW = 200, 50
"""bar of supply, a full cylinder and a low one."""

FLOW, WARM, COOL, HOLE, VOLUME = 400, 20, 5, 1.6, 100
"""L/min; °C of a room and of a cold one; µm and mL of a leak."""


def slopes_note(preferences: Preferences) -> tuple[str, ...]:
    """How far the lock-up of each design moves between a full and a low cylinder."""
    parts = []
    for name in DESIGNS:
        moved = lock_up(name, LOW) - lock_up(name, FULL)
        way = "rises" if moved > 0 else "falls"
        parts.append(f"{name} {way} by {preferences.number(abs(moved), 2)} bar")
    return (f"From {FULL} to {LOW} bar of supply, lock-up moves like this: {', '.join(parts)}.",)


def droop_note(preferences: Preferences) -> tuple[str, ...]:
    """What the designs lose at 400 L/min, and how far a purge dips the needle."""
    flow = FLOW * litre_a_minute()
    parts, dips = [], []
    for name in DESIGNS:
        stage = FirstStage.named(name)
        lower = lock_up(name, FULL) - float(first_stage.flowing_gauge(stage, flow, absolute(FULL))) / BAR
        parts.append(f"{name} {preferences.number(lower, 1)} bar")
        standing, _ = rig.run(rig.start(name), [Action(0, "valve", 1)], 30)
        _, purged = rig.run(standing, [Action(30, "purge", 1)], 32)
        dips.append((standing.ip_gauge - float(purged.ip_gauge.min())) / BAR)
    least, most = preferences.number(min(dips), 1), preferences.number(max(dips), 1)
    return (
        f"At {FULL} bar of supply and {FLOW} L/min these designs droop by: {', '.join(parts)}.",
        f"A purge of one second makes the needle dip by {least} to {most} bar.",
    )


def _arrives(preferences: Preferences, warm: float) -> str:
    """Temperature of air behind the seat, °C, which began at `warm` in a full cylinder."""
    cold = float(gas.throttled_temperature(absolute(FULL), 10 * BAR + SURFACE, warm + 273.15)) - 273.15
    return f"{preferences.number(cold, 0)} °C"


def cold_room_note(preferences: Preferences) -> tuple[str, ...]:
    """What a cold workshop does to the air behind the seat."""
    return (
        f"From {FULL} bar, air of {WARM} °C arrives behind the seat at {_arrives(preferences, WARM)}. "
        f"In a workshop at {COOL} °C it arrives at {_arrives(preferences, COOL)}.",
    )


def choked_note(preferences: Preferences) -> tuple[str, ...]:
    """When a hole is choked, and what passes then."""
    k = gas.HEAT_CAPACITY_RATIO_AIR
    factor = math.sqrt(k / gas.GAS_CONSTANT_AIR) * (2 / (k + 1)) ** ((k + 1) / (2 * (k - 1)))
    part = preferences.number(100 * float(gas.critical_ratio()), 0)
    return (
        f"While IP is less than about {part} percent of the supply, both absolute, the flow is **choked**: "
        "it depends on the supply alone.",
        f"> mass flow = {preferences.number(factor, 4)} × area × supply ÷ √temperature, in SI units",
        "> climb = gas that enters ÷ the volume it fills",
    )


def small_hole_note(preferences: Preferences) -> tuple[str, ...]:
    """How small a hole makes a needle creep: no loupe shows it."""
    rate = float(climb_through_hole(Q(HOLE, "um"), Q(FULL, "bar"), Q(VOLUME, "mL")).magnitude)
    return (
        f"A hole of {preferences.number(HOLE)} µm at {FULL} bar makes the needle climb by {preferences.number(rate, 2)} "
        f"bar a minute in {VOLUME} mL. No loupe shows such a hole. So look at the seat and at the edge under magnification, "
        "but never call them good because you see nothing: the needle decides.",
    )


def settle_note(preferences: Preferences) -> tuple[str, ...]:
    """From when a sheet's rise counts."""
    return (
        "Most of a settle is over within seconds. That is why we count a sheet's rise from "
        f"{preferences.number(AFTER_PURGE, 0)} s after the last purge.",
    )


def stop_words(preferences: Preferences) -> str:
    """The rule of stopping, and what to do then."""
    above = preferences.format(ABOVE_LIMIT)
    return (
        "Stop at the lowest of three readings: where the second stage opens by itself, three quarters of the gauge's "
        f"scale, and {above} above the sheet's upper limit. Then: {AT_THE_STOP[0].lower()}{AT_THE_STOP[1:]}"
    )


def stop_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """The rule of stopping, and where to stop watching each regulator of the sheets in use."""
    above, span = preferences.format(ABOVE_LIMIT), preferences.format(COMMON_GAUGE.span)
    lines = []
    for sheet in sheets().values():
        stop = stop_of(sheet)
        lines.append(f"- {sheet.name} at {preferences.format(stop.reading, 1)}: {stop.because}.")
    return (
        "Stop at the lowest of three readings: where the second stage opens by itself, three quarters of the gauge's "
        f"scale, and {above} above the sheet's upper limit. Where the maker's manual names a lower one, stop there. "
        f"Where a sheet names no gauge, we take one of 0 to {span}.",
        *lines,
        f"**At the stop:** {AT_THE_STOP[0].lower()}{AT_THE_STOP[1:]}",
    )


def notes(preferences: Preferences, sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Sentences of lesson 02, by name."""
    made = {
        "slopes": slopes_note, "droop": droop_note, "cold_room": cold_room_note, "choked": choked_note,
        "small_hole": small_hole_note, "settle": settle_note,
    }  # fmt: skip
    return {
        **{name: partial(make, preferences) for name, make in made.items()},
        "stop": lambda: stop_note(preferences, sheets),
    }
