"""Panels and tables of lesson 02: forces, supply, droop, cold, leaks."""

from __future__ import annotations

import math
from functools import cache, partial

import numpy as np

from steadyneedle.bench import regulators
from steadyneedle.bench.regulators import SEA_METRE, climb_through_hole
from steadyneedle.bench.units import Q
from steadyneedle.physics import first_stage, gas, leaks, second_stage
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage, SecondStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import cold as cold_figure
from steadyneedle.teaching.figures import droop as droop_figure
from steadyneedle.teaching.figures import forces
from steadyneedle.teaching.figures import leak as leak_figure
from steadyneedle.teaching.figures import supply as supply_figure
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Panel, Slider
from steadyneedle.teaching.panels.bench import bench_panel
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, SheetLoader, Table

DESIGNS = FirstStage.names()


def _kind(name: str) -> str:
    """The design in words; what keeps water out matters where depth does."""
    stage = FirstStage.named(name)
    chamber = (
        f", {'sealed' if stage.sealed else 'open'} chamber" if stage.balanced and stage.kind == "diaphragm" else ""
    )
    return regulators.in_words(name) + chamber


@cache
def litre_a_minute() -> float:
    """kg/s of one litre of free air a minute, at 1 atm and 20 °C."""
    return float(gas.density(SURFACE)) * 1e-3 / 60


def absolute(supply: float, ambient: float = SURFACE) -> float:
    """Supply in bar over ambient as an absolute pressure in pascal."""
    return supply * BAR + ambient


def lock_up(name: str, supply: float, depth: float = 0.0, change: float = 0.0) -> float:
    """IP over ambient in bar: supply in bar, depth in metres of sea water, spring force added in newton."""
    return float(regulators.lock_up(name, Q(supply, "bar"), Q(depth, "m"), Q(change, "N")).magnitude)


def forces_panel(preferences: Preferences) -> Panel:
    """The force ledger."""

    def compute(supply: float, design: str, above: float, depth: float, turns: float) -> forces.ForcesPicture:
        stage, ambient = FirstStage.named(design), SURFACE + depth * SEA_METRE
        turned = turns if stage.adjuster else 0.0
        change = first_stage.adjusted(stage, turned) if turned else 0.0
        at_rest = lock_up(design, supply, depth, change)
        gauge = at_rest + above
        book = first_stage.ledger(stage, absolute(supply, ambient), gauge * BAR + ambient, ambient, change)
        return forces.ForcesPicture(
            design, supply, depth, above, turned, at_rest, gauge, tuple(force.name for force in book.forces),
            tuple(force.newton for force in book.forces), book.contact, book.lift * 1e3, book.total(),
        )  # fmt: skip

    def describe(result: forces.ForcesPicture) -> str:
        ip = preferences.number(result.intermediate, 2)
        if result.lift > 0:
            valve = f"The valve is open by {preferences.number(result.lift, 3)} mm."
        else:
            valve = f"The valve is shut; {preferences.number(result.contact, 0)} N press it on its seat."
        note = " Alder has no adjuster: it is set with shims." if result.design == "Alder" else ""
        locks = f"{result.design}, {_kind(result.design)}: it locks up at {preferences.number(result.lock_up, 2)} bar"
        together = preferences.number(abs(result.total), 0)
        return f"{locks}. IP stands at {ip} bar. {valve} All forces together: {together} N.{note}"

    controls = (
        Slider("supply", "Supply", 30, 300, 5, "bar", 200),
        Choice("design", "Design", DESIGNS, "Alder"),
        Slider("above", "IP above lock-up", -0.5, 2.0, 0.05, "bar", 0.2),
        Slider("depth", "Depth", 0, 60, 5, "m", 0),
        Slider("turns", "Adjuster, turns in", -1, 1, 0.25, "", 0),
    )
    return DrawnPanel(
        "The forces on the valve", controls, compute, describe,
        draw=lambda result: forces.forces_chart(result, preferences.localise),
    )  # fmt: skip


def supply_panel(preferences: Preferences) -> Panel:
    """IP against supply, every design at once."""
    supplies = np.arange(30.0, 301.0, 10.0)
    drawn = {name: np.array([lock_up(name, bar) for bar in supplies]) for name in DESIGNS}

    def compute(supply: float) -> supply_figure.SupplyPicture:
        return supply_figure.SupplyPicture(supply, {name: lock_up(name, supply) for name in DESIGNS}, supplies, drawn)

    def describe(result: supply_figure.SupplyPicture) -> str:
        parts = ", ".join(f"{name} {preferences.number(value, 2)}" for name, value in result.values.items())
        return f"Locked up at {preferences.number(result.supply, 0)} bar of supply: {parts} bar over ambient."

    controls = (Slider("supply", "Supply", 30, 300, 5, "bar", 200),)
    return DrawnPanel(
        "IP as the cylinder empties", controls, compute, describe,
        draw=lambda result: supply_figure.supply_chart(result, preferences.localise),
    )  # fmt: skip


STEPS = np.arange(0.0, 2001.0, 10.0)
"""L/min, at which the most that a stage passes is looked for."""


def droop_panel(preferences: Preferences) -> Panel:
    """IP against flow."""
    flows = np.arange(0.0, 1201.0, 20.0)

    def curve(name: str, supply: float) -> np.ndarray:
        stage = FirstStage.named(name)
        return first_stage.flowing_gauge(stage, flows * litre_a_minute(), absolute(supply)) / BAR

    def compute(flow: float, supply: float, design: str) -> droop_figure.DroopPicture:
        stage = FirstStage.named(design)
        value = float(first_stage.flowing_gauge(stage, flow * litre_a_minute(), absolute(supply))) / BAR
        every = first_stage.flowing_gauge(stage, STEPS * litre_a_minute(), absolute(supply))
        most = float(STEPS[np.isfinite(every)].max())
        others = {name: curve(name, supply) for name in DESIGNS if name != design}
        return droop_figure.DroopPicture(
            design,
            supply,
            flow,
            lock_up(design, supply),
            value,
            most,
            flows,
            curve(design, supply),
            others,
        )

    def describe(result: droop_figure.DroopPicture) -> str:
        supply, flow = preferences.number(result.supply, 0), preferences.number(result.flow, 0)
        begin = f"{result.design} at {supply} bar of supply, {flow} L/min"
        if not math.isfinite(result.value):
            most = preferences.number(result.most, 0)
            return f"{begin}: more than it passes. It gives about {most} L/min at the most; then IP collapses."
        numbers = (result.value, result.lock_up - result.value, result.lock_up)
        value, drop, rest = (preferences.number(one, 2) for one in numbers)
        return f"{begin}: IP {value} bar, {drop} bar below its lock-up of {rest} bar."

    controls = (
        Slider("flow", "Flow", 0, 1200, 20, "L/min", 400),
        Slider("supply", "Supply", 20, 300, 5, "bar", 50),
        Choice("design", "Design", DESIGNS, "Alder"),
    )
    return DrawnPanel(
        "IP while air flows", controls, compute, describe,
        draw=lambda result: droop_figure.droop_chart(result, preferences.localise),
    )  # fmt: skip


def cold_panel(preferences: Preferences) -> Panel:
    """How cold air is behind the seat."""
    supplies, ip = np.arange(10.0, 346.0, 5.0), 10.0

    def compute(supply: float, warm: float) -> cold_figure.ColdPicture:
        kelvin = warm + 273.15

        def after(bar: float | np.ndarray) -> np.ndarray:
            return gas.throttled_temperature(np.asarray(bar) * BAR + SURFACE, ip * BAR + SURFACE, kelvin) - 273.15

        return cold_figure.ColdPicture(supply, ip, warm, float(after(supply)), supplies, after(supplies))

    def describe(result: cold_figure.ColdPicture) -> str:
        warm, cold, fall = (preferences.number(one, 0) for one in (result.warm, result.cold, result.warm - result.cold))
        high, low = preferences.number(result.supply, 0), preferences.number(result.intermediate, 0)
        return f"Air of {warm} °C whose pressure drops from {high} to {low} bar arrives at {cold} °C: {fall} °C colder."

    controls = (
        Slider("supply", "Supply", 20, 340, 5, "bar", 200),
        Slider("warm", "Cylinder", 0, 40, 1, "°C", 20),
    )
    return DrawnPanel(
        "Cold behind the seat", controls, compute, describe,
        draw=lambda result: cold_figure.cold_chart(result, preferences.localise),
    )  # fmt: skip


def leak_panel(preferences: Preferences) -> Panel:
    """Creep from a hole that no force closes."""
    minutes = np.linspace(0, 10, 51)
    opens = float(second_stage.opening_gauge(SecondStage.named("Sedge"))) / BAR
    begin = lock_up("Juniper", 200)

    def compute(diameter: float, supply: float, volume: float) -> leak_figure.LeakPicture:
        flow = float(
            gas.mass_flow(
                leaks.hole_area(diameter * 1e-6), absolute(supply), 10 * BAR + SURFACE, gas.REFERENCE_TEMPERATURE
            )
        )
        hole, inlet = Q(diameter, "um"), Q(supply, "bar")
        rates = [float(climb_through_hole(hole, inlet, Q(one, "mL")).magnitude) for one in (volume, 30.0, 150.0)]
        lines = [begin + rate * minutes for rate in rates]
        standard, throughput = float(leaks.standard_flow(flow)) * 6e7, float(leaks.throughput(flow)) * 10
        return leak_figure.LeakPicture(
            diameter, supply, volume, rates[0], standard, throughput, begin, opens, minutes, *lines,
        )  # fmt: skip

    def describe(result: leak_figure.LeakPicture) -> str:
        hole = f"{preferences.number(result.diameter, 1)} µm at {preferences.number(result.supply, 0)} bar"
        standard, throughput = preferences.number(result.standard, 2), preferences.number(result.throughput, 3)
        worth = f"{standard} standard cm³/min, {throughput} mbar L/s"
        climb = f"{preferences.number(result.rate, 3)} bar/min in {preferences.number(result.volume, 0)} mL"
        return f"A hole of {hole} lets in {worth}. The needle climbs by {climb}."

    controls = (
        Slider("diameter", "Hole", 0.5, 6.0, 0.1, "µm", 1.6),
        Slider("supply", "Supply", 30, 300, 5, "bar", 200),
        Slider("volume", "Low-pressure side", 30, 150, 5, "mL", 100),
    )
    return DrawnPanel(
        "A hole that no force closes", controls, compute, describe,
        draw=lambda result: leak_figure.leak_chart(result, preferences.localise),
    )  # fmt: skip


def depth_rows(preferences: Preferences) -> Table:
    """IP over ambient and absolute at three depths, each design."""
    head = ("regulator", "design", "over ambient, 0 m", "10 m", "40 m", "absolute, 0 m", "40 m")
    rows: Rows = []
    for name in DESIGNS:
        gauges = [lock_up(name, 200, depth) for depth in (0, 10, 40)]
        totals = [gauges[0] + SURFACE / BAR, gauges[2] + (SURFACE + 40 * SEA_METRE) / BAR]
        rows.append((name, _kind(name), *(preferences.format(Q(value, "bar"), 2) for value in (*gauges, *totals))))
    return head, rows


def balance_rows(preferences: Preferences) -> Table:
    """The balance of each design, its numbers, and what supply does to it."""
    head = ("regulator", "lock-up IP, over ambient", "supply's area", "IP's area", "200 bar", "50 bar")
    texts = {
        "Alder": "(spring + supply × its area) ÷ IP's area", "Rowan": "(spring + supply × its area) ÷ IP's area",
        "Hazel": "(spring − closing spring − supply × its area) ÷ IP's area",
        "Juniper": "(spring − closing spring − supply × its area) ÷ IP's area",
        "Linden": "(spring + plunger − closing spring − supply × its area) ÷ IP's area",
    }  # fmt: skip
    rows: Rows = []
    for name in DESIGNS:
        stage = FirstStage.named(name)
        numbers = [
            f"{preferences.number(area * 1e6, places)} mm²"
            for area, places in ((stage.mismatch, 1), (stage.effective_area, 0))
        ]
        rows.append(
            (name, texts[name], *numbers, *(preferences.format(Q(lock_up(name, bar), "bar"), 2) for bar in (200, 50)))
        )
    return head, rows


def panels(preferences: Preferences, sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 02, by name."""
    made = {
        "forces": forces_panel, "supply": supply_panel, "droop": droop_panel, "cold": cold_panel, "leak": leak_panel,
    }  # fmt: skip
    return {
        **{name: partial(make, preferences) for name, make in made.items()},
        "bench": lambda: bench_panel(preferences, sheets),
    }


def tables(preferences: Preferences, _sheets: SheetLoader) -> Makers[Table]:
    """The tables of lesson 02, by name."""
    return {"depth": partial(depth_rows, preferences), "balance": partial(balance_rows, preferences)}
