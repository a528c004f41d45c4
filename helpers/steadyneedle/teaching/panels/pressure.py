"""Panels of lessons 00 and 01: the dial, the rulers, depth, cylinder content."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.bench.regulators import SEA_METRE
from steadyneedle.bench.units import Q, absolute_to_gauge, gauge_to_absolute
from steadyneedle.physics import gas
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.pressures import BAR_IN_PSI
from steadyneedle.teaching.figures import conversion as conversion_figure
from steadyneedle.teaching.figures import cylinder as cylinder_figure
from steadyneedle.teaching.figures import depth as depth_figure
from steadyneedle.teaching.figures import dial, rulers
from steadyneedle.teaching.figures.strokes import Row
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Panel, ScenePanel, Slider
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, SheetLoader, Table

RULERS = ("bar", "psi", "kPa", "MPa", "kgf/cm2", "atm", "msw", "fsw")
LABELS = {"kgf/cm2": "kgf/cm²"}
NUMBERED = {"bar": 2, "psi": 50, "kPa": 250, "MPa": 0.25, "kgf/cm2": 2, "atm": 2, "msw": 25, "fsw": 100}
RANGE_BAR = 20.0
WATERS = {"sea water": SEA_METRE / BAR, "fresh water": 1000 * 9.80665 / BAR}
"""bar per metre: sea water by convention; fresh water of 1000 kg/m3 at standard gravity."""


@dataclass(frozen=True)
class DialPicture:
    """A needle on a two-scale dial."""

    bar: float
    psi: float
    span: float


def _dial(span: float) -> Callable[..., DialPicture]:
    return lambda pressure: DialPicture(pressure, Q(pressure, "bar").to("psi").magnitude, span)


def dial_panel(
    preferences: Preferences, span: float = 16.0, start: float = 9.8, title: str = "One needle, two scales"
) -> Panel:
    """The two-scale dial; the learner's first unit is outside."""
    outer, inner = dial.face_of(span, preferences.first)

    def row(result: DialPicture) -> Row:
        bar, psi = f"{preferences.number(result.bar, 1)} bar", f"{preferences.number(result.psi, 0)} psi"
        one, two = (bar, psi) if preferences.first == "bar" else (psi, bar)
        factor = f"bar × {preferences.number(BAR_IN_PSI, 4)} = psi"
        return {"needle": dial.needle_degrees(result.bar, span), "outer": one, "inner": two, "factor": factor}

    def describe(result: DialPicture) -> str:
        reading, end = preferences.both(Q(result.bar, "bar")), preferences.number(span)
        return f"The needle stands at {reading} on a dial that ends at {end} bar."

    controls = (Slider("pressure", "Pressure", 0, span, 0.1, "bar", start),)
    return ScenePanel(
        title,
        controls,
        _dial(span),
        describe,
        scene=lambda _: dial.dial_scene(outer, inner).localised(preferences.localise),
        row=row,
    )


@dataclass(frozen=True)
class RulersPicture:
    """One pressure in every unit."""

    bar: float
    values: dict[str, float]


def rulers_panel(preferences: Preferences) -> Panel:
    """One pressure laid across the rulers of eight units."""
    faces = tuple(
        rulers.Ruler(LABELS.get(unit, unit), Q(RANGE_BAR, "bar").to(Q(1, unit).units).magnitude, NUMBERED[unit])
        for unit in RULERS
    )

    def compute(pressure: float) -> RulersPicture:
        here = Q(pressure, "bar")
        return RulersPicture(pressure, {unit: here.to(Q(1, unit).units).magnitude for unit in RULERS})

    def texts(result: RulersPicture) -> dict[str, str]:
        named = {LABELS.get(unit, unit): value for unit, value in result.values.items()}
        return {unit: f"{preferences.number(value)} {unit}" for unit, value in named.items()}

    def row(result: RulersPicture) -> Row:
        return {"line": rulers.line_shift(result.bar / RANGE_BAR), **texts(result)}

    def describe(result: RulersPicture) -> str:
        return " = ".join(texts(result).values()) + "."

    controls = (Slider("pressure", "Pressure", 0, RANGE_BAR, 0.1, "bar", 10.0),)
    return ScenePanel(
        "One pressure, eight units",
        controls,
        compute,
        describe,
        scene=lambda _: rulers.rulers_scene(faces).localised(preferences.localise),
        row=row,
    )


def depth_panel(preferences: Preferences) -> Panel:
    """Ambient pressure and absolute IP against depth."""
    depths = np.linspace(0, 60, 61)

    def compute(depth: float, ip: float, water: str, surface: float) -> depth_figure.DepthPicture:
        air = surface / 1000
        ambients = air + depths * WATERS[water]
        ambient = Q(air + depth * WATERS[water], "bar")
        absolute = gauge_to_absolute(Q(ip, "bar"), ambient)
        ip_gauge = absolute_to_gauge(absolute, ambient).magnitude
        return depth_figure.DepthPicture(
            depth, water, ip_gauge, air, ambient.magnitude, absolute.magnitude, depths, ambients
        )

    def describe(result: depth_figure.DepthPicture) -> str:
        ambient, absolute = (preferences.number(one, 2) for one in result.written)
        return (
            f"At {preferences.number(result.depth)} m in {result.water}, ambient is {ambient} bar absolute. "
            f"IP is {preferences.number(result.ip_gauge, 1)} bar over ambient, so {absolute} bar absolute."
        )

    controls = (
        Slider("depth", "Depth", 0, 60, 1, "m", 0),
        Slider("ip", "IP over ambient", 8, 12, 0.1, "bar", 9.8),
        Choice("water", "Water", tuple(WATERS), "sea water"),
        Slider("surface", "Air pressure at the surface", 700, 1050, 5, "mbar", 1015),
    )
    return DrawnPanel(
        "Depth, ambient and absolute",
        controls,
        compute,
        describe,
        draw=lambda result: depth_figure.depth_chart(result, preferences.localise),
    )


def content_panel(preferences: Preferences) -> Panel:
    """What a cylinder holds, real air beside the ideal gas."""
    gauges = np.linspace(0, 350, 71)

    def litres(water: float, gauge: float | np.ndarray, kelvin: float) -> tuple[np.ndarray, np.ndarray]:
        absolute = np.asarray(gauge) * BAR + SURFACE
        contents = (content(water / 1000, absolute, kelvin) for content in (gas.cylinder_content, gas.ideal_content))
        real, ideal = (cubic_metres * 1000 for cubic_metres in contents)
        return real, ideal

    def compute(pressure: float, volume: float, temperature: float) -> cylinder_figure.ContentPicture:
        kelvin = Q(temperature, "degC").to("K").magnitude
        reals, ideals = litres(volume, gauges, kelvin)
        real, ideal = litres(volume, pressure, kelvin)
        return cylinder_figure.ContentPicture(
            volume, pressure, temperature, float(real), float(ideal), gauges, reals, ideals
        )

    def describe(result: cylinder_figure.ContentPicture) -> str:
        short = (result.ideal / result.real - 1) * 100 if result.real else 0.0
        state = f"{preferences.number(result.pressure)} bar and {preferences.number(result.temperature)} °C"
        real, ideal = preferences.number(result.real, 0), preferences.number(result.ideal, 0)
        return (
            f"A {preferences.number(result.water_volume)} L cylinder at {state} holds {real} L of "
            f"free air. An ideal gas would be {ideal} L: "
            f"{preferences.number(abs(short), 1)} % {'more' if short >= 0 else 'less'}."
        )

    controls = (
        Slider("pressure", "Cylinder pressure, gauge", 0, 350, 10, "bar", 200),
        Slider("volume", "Water volume", 3, 18, 1, "L", 12),
        Slider("temperature", "Temperature", -10, 50, 5, "°C", 20),
    )
    return DrawnPanel(
        "What a cylinder holds",
        controls,
        compute,
        describe,
        draw=lambda result: cylinder_figure.content_chart(result, preferences.localise),
    )


def line_panel(preferences: Preferences) -> Panel:
    """The miniature chart of lesson 00."""

    def compute(pressure: float) -> conversion_figure.ConversionPicture:
        return conversion_figure.ConversionPicture(pressure, pressure * BAR_IN_PSI, BAR_IN_PSI)

    def describe(result: conversion_figure.ConversionPicture) -> str:
        return f"{preferences.number(result.bar, 1)} bar is {preferences.number(result.psi, 0)} psi."

    controls = (Slider("pressure", "Pressure", 0, 20, 0.5, "bar", 10.0),)
    return DrawnPanel(
        "The same as a chart",
        controls,
        compute,
        describe,
        draw=lambda result: conversion_figure.conversion_chart(result, preferences.localise),
    )


def conversion_rows(preferences: Preferences) -> Table:
    """The conversion table of lesson 01: one of each unit in bar, psi and kPa."""
    head = ("1 of", "bar", "psi", "kPa", "how it is fixed")
    notes = {
        "bar": "100 000 Pa", "psi": "1 lbf on 1 in²", "kPa": "1 000 Pa", "MPa": "1 000 000 Pa",
        "kgf/cm2": "9.806 65 N on 1 cm²", "at": "another name of kgf/cm²", "atm": "101 325 Pa",
        "mmHg": "conventional mercury",
        "inHg": "conventional mercury", "cmH2O": "conventional water", "inH2O": "conventional water",
        "msw": "a tenth of a bar", "fsw": "sea water of 64 lb/ft³", "fsw33": "33 feet to one atm",
    }  # fmt: skip
    rows: Rows = []
    for unit, note in notes.items():
        one = Q(1, unit)
        values = [float(f"{one.to(other).magnitude:.5g}") for other in ("bar", "psi", "kPa")]
        cells = [preferences.number(value, None if value >= 0.001 else 7) for value in values]
        rows.append((LABELS.get(unit, unit), *cells, note.replace(".", preferences.mark)))
    return head, rows


def rounding_rows(preferences: Preferences, low: Any, high: Any) -> Table:
    """What rounding a band into whole psi costs: exact, inward, outward."""
    band = convert_band(low, high, "psi", 1)
    head = ("how it is rounded", "low, psi", "high, psi", "low, bar", "high, bar", "what it does")
    exact = (low.to("psi"), high.to("psi"))
    rows: Rows = []
    for name, pair, digits, note in (
        ("not at all", exact, 2, "the band as it is"),
        ("inward", (band.low, band.high), 0, "refuses a little that is good, passes nothing bad"),
        (
            "outward",
            (band.outward_low, band.outward_high),
            0,
            band.cost.replace("Rounded outward it accepts", "passes").rstrip("."),
        ),
    ):
        psi = [preferences.number(one.magnitude, digits) for one in pair]
        bar = [preferences.number(one.to("bar").magnitude, 3) for one in pair]
        rows.append((name, *psi, *bar, preferences.localise(note)))
    return head, rows


def panels(preferences: Preferences, _sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 01, by name."""
    made = {"dial": dial_panel, "rulers": rulers_panel, "depth": depth_panel, "content": content_panel}
    return {name: partial(make, preferences) for name, make in made.items()}


def tables(preferences: Preferences, _sheets: SheetLoader) -> Makers[Table]:
    """The tables of lesson 01, by name."""
    return {
        "conversions": lambda: conversion_rows(preferences),
        "rounding": lambda: rounding_rows(preferences, Q(9.8, "bar"), Q(10.2, "bar")),
    }
