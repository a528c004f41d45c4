"""Lesson 01, exercises on rounded limits and on what a cylinder holds."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import gas
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.pressures import ATM_IN_BAR, BAR_IN_PSI, PSI_IN_BAR, bar


def _band(g: Givens) -> tuple[Any, Any]:
    return bar(g["low"]), bar(g["high"])


def _draw_band(draws: Draws) -> Givens:
    low = draws.decimal("8.8", "9.9", "0.1")
    return {"low": low, "high": round(low + draws.decimal("0.3", "0.6", "0.1"), 1)}


COST_OF_ROUNDING = QuantityExercise(
    name="cost_of_rounding",
    title="What outward rounding lets through",
    version=1,
    objectives=(4,),
    draw=_draw_band,
    ask=lambda g, t: (
        f"A sheet asks for {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar. Somebody writes it in whole psi and rounds the upper limit up.",
        "By how many psi does the written upper limit lie above the true one?",
    ),
    solve=lambda g: Q(convert_band(*_band(g), "psi", 1).outward_high.magnitude - g["high"] * BAR_IN_PSI, "psi"),
    mistakes=(
        Mistake(
            "atmospheres",
            lambda g: Q(convert_band(*_band(g), "psi", 1).outward_high.magnitude - g["high"] * 14.696, "psi"),
            "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504.",
        ),
        Mistake(
            "rounded inward",
            lambda g: Q(g["high"] * BAR_IN_PSI - convert_band(*_band(g), "psi", 1).high.magnitude, "psi"),
            "That is what inward rounding takes away. Rounding up goes to the next psi above.",
        ),
        Mistake(
            "the limit itself",
            lambda g: convert_band(*_band(g), "psi", 1).outward_high,
            "That is the rounded limit. How far above the true limit does it lie?",
        ),
        Mistake(
            "lower limit",
            lambda g: Q(g["low"] * BAR_IN_PSI - convert_band(*_band(g), "psi", 1).outward_low.magnitude, "psi"),
            "That is what the lower limit lets through. The question is about the upper one.",
        ),
    ),
    hints=lambda g, t: (
        f"Convert the upper limit without rounding: {t.number(g['high'], 1)} bar × 14{t.mark}5038.",
        "Then round it up to the next whole psi and take the difference.",
    ),
    working=lambda g, t: (
        f"{t.number(g['high'], 1)} bar × 14{t.mark}5038 psi/bar = {t.format(bar(g['high']).to('psi'), 2)}",
        f"Rounded up: {t.format(convert_band(*_band(g), 'psi', 1).outward_high, 0)}",
        f"Difference: {t.format(Q(convert_band(*_band(g), 'psi', 1).outward_high.magnitude - g['high'] * BAR_IN_PSI, 'psi'), 2)}",
    ),
    unit="psi",
    relative=0.0,
    absolute=0.04,
    why="the factor carries enough figures for a few hundredths of a psi.",
    figures=2,
)


PASSES = {
    (True, True): "It passes on both lines.",
    (True, False): "It passes on the bar line and fails on the psi line.",
    (False, True): "It fails on the bar line and passes on the psi line.",
    (False, False): "It fails on both lines.",
}


def _two_lines(g: Givens) -> tuple[bool, bool]:
    psi = g["bar"] * BAR_IN_PSI
    return g["low"] <= g["bar"] <= g["high"], g["psi_low"] <= psi <= g["psi_high"]


def _draw_two_lines(draws: Draws) -> Givens:
    low = draws.decimal("9.2", "9.9", "0.1")
    high = round(low + 0.4, 1)
    psi_low = round(low * 14.79 / 5) * 5
    bar = draws.decimal(str(round(low - 0.3, 1)), str(round(high + 0.4, 1)), "0.05")
    return {"low": low, "high": high, "psi_low": psi_low, "psi_high": psi_low + 5, "bar": bar}


TWO_LINES = ChoiceExercise(
    name="two_lines",
    title="Two lines of one sheet",
    version=1,
    objectives=(4, 3),
    draw=_draw_two_lines,
    ask=lambda g, t: (
        f"A sheet prints one specification twice: {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar, and {g['psi_low']} to {g['psi_high']} psi.",
        f"The needle stands at {t.number(g['bar'], 2)} bar, {t.number(g['bar'] * BAR_IN_PSI, 1)} psi. What does each line say?",
    ),
    solve=lambda g: PASSES[_two_lines(g)],
    mistakes=(
        Mistake(
            "one line for both",
            lambda g: PASSES[(_two_lines(g)[0],) * 2] if len(set(_two_lines(g))) == 2 else "",
            "You judged by the bar line and took the psi line to say the same. Compare the psi number with the psi limits.",
        ),
        Mistake(
            "the other line for both",
            lambda g: PASSES[(_two_lines(g)[1],) * 2] if len(set(_two_lines(g))) == 2 else "",
            "You judged by the psi line and took the bar line to say the same. Compare the bar number with the bar limits.",
        ),
        Mistake(
            "columns mixed",
            lambda g: PASSES[_two_lines(g)[::-1]] if len(set(_two_lines(g))) == 2 else "",
            "You swapped the lines. Compare bar with bar and psi with psi.",
        ),
    ),
    hints=lambda g, t: (
        "Compare bar with the bar limits and psi with the psi limits, one after the other.",
        f"The psi line in bar is {t.number(g['psi_low'] * PSI_IN_BAR, 2)} to {t.number(g['psi_high'] * PSI_IN_BAR, 2)} bar.",
    ),
    working=lambda g, t: (
        f"Bar line: {t.number(g['low'], 1)} ≤ {t.number(g['bar'], 2)} ≤ {t.number(g['high'], 1)} is {'true' if _two_lines(g)[0] else 'false'}.",
        f"Psi line: {g['psi_low']} ≤ {t.number(g['bar'] * BAR_IN_PSI, 1)} ≤ {g['psi_high']} is {'true' if _two_lines(g)[1] else 'false'}.",
        f"{PASSES[_two_lines(g)]} Ask the maker which line holds, and write down which one you used.",
    ),
    options=lambda g, t: tuple(PASSES.values()),
)


def litres(volume: float, gauge: float) -> float:
    """Free air in a cylinder, litres, from its water volume in litres and its gauge pressure in bar, at 20 °C."""
    return float(gas.cylinder_content(volume / 1000, gauge * 1e5 + gas.REFERENCE_PRESSURE)) * 1000


def _factor(gauge: float) -> float:
    return float(gas.real_gas_factor(gauge * 1e5 + gas.REFERENCE_PRESSURE))


def _ideal(volume: float, gauge: float) -> float:
    return float(gas.ideal_content(volume / 1000, gauge * 1e5 + gas.REFERENCE_PRESSURE)) * 1000


def _of(g: Givens) -> tuple[float, float]:
    return g["volume"], g["pressure"]


CYLINDER_CONTENT = QuantityExercise(
    name="cylinder_content",
    title="What 300 bar really holds",
    version=1,
    objectives=(5,),
    draw=lambda draws: {"volume": draws.integer(6, 15), "pressure": draws.integer(26, 32) * 10},
    ask=lambda g, t: (
        f"A {g['volume']} L cylinder is filled to {g['pressure']} bar gauge at 20 °C, where the real-gas factor of air is {t.number(_factor(g['pressure']), 3)}.",
        f"How many litres of free air, at 1 atm ({t.number(ATM_IN_BAR, 3)} bar) and 20 °C, does it hold?",
    ),
    solve=lambda g: Q(litres(*_of(g)), "L"),
    mistakes=(
        Mistake(
            "ideal gas",
            lambda g: Q(_ideal(*_of(g)), "L"),
            "That is the ideal gas. Real air resists the squeeze: divide by the real-gas factor.",
        ),
        Mistake(
            "multiplied by the factor",
            lambda g: Q(_ideal(*_of(g)) * _factor(g["pressure"]), "L"),
            "You multiplied by the factor. A factor above 1 means less air fits in: divide.",
        ),
        Mistake(
            "scaled up from 200 bar",
            lambda g: Q(litres(g["volume"], 200) * g["pressure"] / 200, "L"),
            "You scaled up from 200 bar. The real-gas factor grows with pressure, so the higher fill holds less than that.",
        ),
        Mistake(
            "pressure forgotten",
            lambda g: Q(g["volume"], "L"),
            "That is the water volume. Air is squeezed into it many times over.",
        ),
    ),
    hints=lambda g, t: (
        "Use absolute pressure: gauge plus one atmosphere.",
        "Free air = water volume × absolute pressure ÷ (1 atm × real-gas factor).",
    ),
    working=lambda g, t: (
        f"Absolute: {g['pressure']} bar + {t.number(ATM_IN_BAR, 1)} bar = {t.format(bar(g['pressure'] + ATM_IN_BAR), 1)}",
        f"Ideal gas: {g['volume']} L × {t.number(g['pressure'] + ATM_IN_BAR, 1)} bar ÷ {t.number(ATM_IN_BAR, 3)} bar = {t.format(Q(_ideal(*_of(g)), 'L'), 0)}",
        f"Real air: {t.format(Q(_ideal(*_of(g)), 'L'), 0)} ÷ {t.number(_factor(g['pressure']), 3)} = {t.format(Q(litres(*_of(g)), 'L'), 0)}",
    ),
    kind="volume",
    unit="L",
    relative=0.01,
    why="filling pressure and temperature are known to about one percent.",
)


def _used(g: Givens) -> float:
    return litres(g["volume"], g["start"]) - litres(g["volume"], g["end"])


USABLE_AIR = QuantityExercise(
    name="usable_air",
    title="Air used from a full cylinder",
    version=1,
    objectives=(5,),
    draw=lambda draws: {
        "volume": draws.integer(7, 15),
        "start": draws.integer(27, 30) * 10,
        "end": draws.integer(4, 7) * 10,
    },
    ask=lambda g, t: (
        f"A bench cylinder of {g['volume']} L goes from {g['start']} bar to {g['end']} bar gauge during a day's tests, at 20 °C both times.",
        f"Real-gas factor of air: {t.number(_factor(g['start']), 3)} at {g['start']} bar, {t.number(_factor(g['end']), 3)} at {g['end']} bar. How many litres of free air (1 atm, 20 °C) were used?",
    ),
    solve=lambda g: Q(_used(g), "L"),
    mistakes=(
        Mistake(
            "ideal gas",
            lambda g: Q(_ideal(g["volume"], g["start"]) - _ideal(g["volume"], g["end"]), "L"),
            "That is the ideal gas. Divide each content by its own real-gas factor.",
        ),
        Mistake(
            "reserve forgotten",
            lambda g: Q(litres(g["volume"], g["start"]), "L"),
            "That is all the full cylinder held. Take away what is still in it.",
        ),
        Mistake(
            "one factor for both",
            lambda g: Q((_ideal(g["volume"], g["start"]) - _ideal(g["volume"], g["end"])) / _factor(g["start"]), "L"),
            "You used the factor of the full cylinder for both. Each pressure has its own.",
        ),
    ),
    hints=lambda g, t: (
        "Work out the content twice, full and at the end, and subtract.",
        "Content = water volume × absolute pressure ÷ (1 atm × factor at that pressure).",
    ),
    working=lambda g, t: (
        f"Full: {g['volume']} L × {t.number(g['start'] + ATM_IN_BAR, 1)} bar ÷ ({t.number(ATM_IN_BAR, 3)} bar × {t.number(_factor(g['start']), 3)}) = {t.format(Q(litres(g['volume'], g['start']), 'L'), 0)}",
        f"At the end: {g['volume']} L × {t.number(g['end'] + ATM_IN_BAR, 1)} bar ÷ ({t.number(ATM_IN_BAR, 3)} bar × {t.number(_factor(g['end']), 3)}) = {t.format(Q(litres(g['volume'], g['end']), 'L'), 0)}",
        f"Used: {t.format(Q(_used(g), 'L'), 0)}",
    ),
    kind="volume",
    unit="L",
    relative=0.006,
    why="the given factors have three decimals.",
)
