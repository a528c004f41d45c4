"""Lesson 01: pressure and its units."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.bands import convert_band
from steadyneedle.bench.units import Q, absolute_to_gauge, gauge_to_absolute
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import gas
from steadyneedle.teaching.exercises.mechanism import (
    ChoiceExercise, Givens, Mistake, Plan, Prediction, QuantityExercise,
)  # fmt: skip

PSI_IN_BAR = Q(1, "psi").to("bar").magnitude
BAR_IN_PSI = Q(1, "bar").to("psi").magnitude
ATM_IN_BAR = Q(1, "atm").to("bar").magnitude


def _bar(value: float) -> Any:
    return Q(value, "bar")


PSI_TO_BAR = QuantityExercise(
    name="psi_to_bar",
    title="A reading in psi",
    version=1,
    objectives=(1,),
    draw=lambda draws: {"psi": draws.integer(120, 165)},
    ask=lambda g, t: (f"A colleague calls out an IP of {g['psi']} psi. What is that in bar?",),
    solve=lambda g: Q(g["psi"], "psi").to("bar"),
    mistakes=(
        Mistake("psi read as bar", lambda g: _bar(g["psi"]), "That is the psi number with bar behind it. 1 psi is only 0.0689 bar."),
        Mistake("multiplied", lambda g: _bar(g["psi"] * BAR_IN_PSI), "You multiplied by 14.5. A bar is the larger unit, so there are fewer: divide."),
        Mistake("ten to one", lambda g: _bar(g["psi"] / 10), "You took 10 psi for a bar. It takes 14.5 psi to make one."),
        Mistake("atmospheres", lambda g: _bar(g["psi"] / 14.696), "You divided by 14.7: that gives atmospheres. For bar divide by 14.504."),
    ),
    hints=lambda g, t: ("A bar is larger than a psi, so the number gets smaller.", f"1 bar = 14{t.mark}504 psi."),
    working=lambda g, t: (
        f"1 bar = 14{t.mark}504 psi",
        f"{g['psi']} psi ÷ 14{t.mark}504 psi/bar = {t.say(Q(g['psi'], 'psi').to('bar'), 2)}",
    ),
    unit="bar",
    why="half a percent is closer than a workshop gauge.",
)

MPA_TO_PSI = QuantityExercise(
    name="mpa_to_psi",
    title="A cylinder gauge in MPa",
    version=1,
    objectives=(1,),
    draw=lambda draws: {"mpa": draws.decimal("15.0", "30.0", "0.5")},
    ask=lambda g, t: (f"A cylinder gauge reads {t.number(g['mpa'], 1)} MPa. The fill station asks for psi. What do you say?",),
    solve=lambda g: Q(g["mpa"], "MPa").to("psi"),
    mistakes=(
        Mistake("MPa as bar", lambda g: Q(g["mpa"] * BAR_IN_PSI, "psi"), "You treated MPa as bar. 1 MPa is 10 bar."),
        Mistake("MPa as 100 bar", lambda g: Q(g["mpa"] * 100 * BAR_IN_PSI, "psi"), "You took 1 MPa for 100 bar. It is 10 bar."),
        Mistake("atmospheres", lambda g: Q(g["mpa"] * 10 * 14.696, "psi"), "You used 14.7 psi for a bar. That is an atmosphere; a bar is 14.504 psi."),
        Mistake("answer in bar", lambda g: Q(g["mpa"] * 10, "psi"), "That is the number in bar. It still wants turning into psi: times 14.504."),
    ),
    hints=lambda g, t: ("Go by way of bar: 1 MPa = 10 bar.", f"Then 1 bar = 14{t.mark}504 psi."),
    working=lambda g, t: (
        f"{t.number(g['mpa'], 1)} MPa × 10 bar/MPa = {t.number(g['mpa'] * 10, 0)} bar",
        f"{t.number(g['mpa'] * 10, 0)} bar × 14{t.mark}504 psi/bar = {t.say(Q(g['mpa'], 'MPa').to('psi'), 0)}",
    ),
    unit="psi",
    why="half a percent is closer than a cylinder gauge.",
)

GAUGE_TO_ABSOLUTE = QuantityExercise(
    name="gauge_to_absolute",
    title="From gauge to absolute",
    version=1,
    objectives=(2,),
    draw=lambda draws: {"gauge": draws.decimal("8.5", "10.5", "0.1"), "ambient": draws.integer(76, 92) * 10},
    ask=lambda g, t: (
        f"A workshop in the mountains. The barometer says {g['ambient']} mbar. An IP gauge reads {t.number(g['gauge'], 1)} bar.",
        "What is the intermediate pressure in bar absolute?",
    ),
    solve=lambda g: gauge_to_absolute(_bar(g["gauge"]), Q(g["ambient"], "mbar")),
    mistakes=(
        Mistake("nothing added", lambda g: _bar(g["gauge"]), "You added nothing for the air above: that is the gauge reading. Absolute is gauge plus ambient."),
        Mistake("sea-level air", lambda g: _bar(g["gauge"] + ATM_IN_BAR), "You added the air of sea level. Up here the barometer says less: add what it says."),
        Mistake("subtracted", lambda g: _bar(g["gauge"] - g["ambient"] / 1000), "You took the ambient pressure away. That leads from absolute to gauge; here you add it."),
        Mistake("mbar as bar", lambda g: _bar(g["gauge"] + g["ambient"]), "You added mbar as if they were bar. 1000 mbar make 1 bar."),
    ),
    hints=lambda g, t: ("A gauge reads 0 in open air. Absolute pressure counts that air too.", "Absolute = gauge + ambient, both in bar. 1000 mbar = 1 bar."),
    working=lambda g, t: (
        f"Ambient: {g['ambient']} mbar = {t.say(Q(g['ambient'], 'mbar').to('bar'), 2)}",
        f"Absolute: {t.number(g['gauge'], 1)} bar + {t.say(Q(g['ambient'], 'mbar').to('bar'), 2)} = {t.say(gauge_to_absolute(_bar(g['gauge']), Q(g['ambient'], 'mbar')), 2)}",
    ),
    kind="absolute pressure",
    unit="bar",
    relative=0.0,
    absolute=0.03,
    why="the gauge is read to a tenth of a bar.",
    figures=3,
)

ABSOLUTE_AT_DEPTH = QuantityExercise(
    name="absolute_at_depth",
    title="Absolute IP at depth",
    version=1,
    objectives=(1, 2),
    draw=lambda draws: {"ip": draws.decimal("8.5", "10.5", "0.1"), "depth": draws.integer(6, 50)},
    ask=lambda g, t: (
        f"A first stage holds {t.number(g['ip'], 1)} bar over ambient. It hangs at {g['depth']} m in sea water; the air above the sea is at {t.number(ATM_IN_BAR, 2)} bar.",
        "What is the intermediate pressure there in bar absolute? Count a metre of sea water as a tenth of a bar.",
    ),
    solve=lambda g: gauge_to_absolute(_bar(g["ip"]), _bar(ATM_IN_BAR + g["depth"] / 10)),
    mistakes=(
        Mistake("water only", lambda g: _bar(g["ip"] + g["depth"] / 10), "You counted the water, not the air on top of it. Add the air's pressure too."),
        Mistake("air only", lambda g: _bar(g["ip"] + ATM_IN_BAR), "You added the air, not the water. Every 10 m of sea water is one bar more."),
        Mistake("nothing added", lambda g: _bar(g["ip"]), "That is IP over ambient: what a gauge down there would read. Absolute adds water and air."),
        Mistake("a bar a metre", lambda g: _bar(g["ip"] + ATM_IN_BAR + g["depth"]), "You counted a whole bar for each metre. It is a tenth of a bar."),
    ),
    hints=lambda g, t: ("Ambient at depth is air plus water.", "Absolute IP = IP over ambient + air + depth in m ÷ 10, in bar."),
    working=lambda g, t: (
        f"Water: {g['depth']} m × 0{t.mark}1 bar/m = {t.say(_bar(g['depth'] / 10), 1)}",
        f"Ambient: {t.number(ATM_IN_BAR, 2)} bar + {t.say(_bar(g['depth'] / 10), 1)} = {t.say(_bar(ATM_IN_BAR + g['depth'] / 10), 2)}",
        f"Absolute IP: {t.number(g['ip'], 1)} bar + {t.say(_bar(ATM_IN_BAR + g['depth'] / 10), 2)} = {t.say(_bar(g['ip'] + ATM_IN_BAR + g['depth'] / 10), 1)}",
    ),
    kind="absolute pressure",
    unit="bar",
    relative=0.0,
    absolute=0.06,
    why="IP is read to a tenth of a bar.",
)

DEPTH_FROM_PRESSURE = QuantityExercise(
    name="depth_from_pressure",
    title="How deep is the pot?",
    version=1,
    objectives=(1, 2),
    draw=lambda draws: {"absolute": draws.decimal("2.2", "6.8", "0.1")},
    ask=lambda g, t: (
        f"A pressure pot stands at {t.number(g['absolute'], 1)} bar absolute; the air outside is at {t.number(ATM_IN_BAR, 2)} bar. To which depth of sea water does that correspond?",
        "Type metres. Count a metre of sea water as a tenth of a bar.",
    ),
    solve=lambda g: Q(absolute_to_gauge(_bar(g["absolute"]), _bar(ATM_IN_BAR)).magnitude * 10, "m"),
    mistakes=(
        Mistake("air counted as water", lambda g: Q(g["absolute"] * 10, "m"), "You counted the air as water. At the surface the pot already stands at one atmosphere: take that away first."),
        Mistake("forgot the ten", lambda g: Q(g["absolute"] - ATM_IN_BAR, "m"), "That is the pressure of the water in bar. Each bar is 10 m."),
        Mistake("air added", lambda g: Q((g["absolute"] + ATM_IN_BAR) * 10, "m"), "You added the air. The pot's pressure includes it already: take it away."),
    ),
    hints=lambda g, t: ("How much of that pressure is water?", "Depth = (absolute − air) × 10 m per bar."),
    working=lambda g, t: (
        f"Water: {t.number(g['absolute'], 1)} bar − {t.number(ATM_IN_BAR, 2)} bar = {t.say(_bar(g['absolute'] - ATM_IN_BAR), 2)}",
        f"Depth: {t.say(_bar(g['absolute'] - ATM_IN_BAR), 2)} × 10 m/bar = {t.say(Q((g['absolute'] - ATM_IN_BAR) * 10, 'm'), 0)}",
    ),
    kind="length",
    unit="m",
    relative=0.0,
    absolute=0.6,
    why="the pot's gauge is read to a twentieth of a bar.",
    figures=2,
)

READ_THE_DIVISIONS = QuantityExercise(
    name="read_the_divisions",
    title="Counting marks",
    version=1,
    objectives=(3,),
    draw=lambda draws: {"number": draws.integer(3, 6) * 2, "marks": draws.integer(1, 4), "parts": draws.one_of((5, 8))},
    ask=lambda g, t: (
        f"The bar scale of a dial is numbered 0, 2, 4, 6 and so on. From one number to the next there are {g['parts']} equal steps.",
        f"The needle stands on mark number {g['marks']} after the {g['number']}. What is the reading in bar?",
    ),
    solve=lambda g: _bar(g["number"] + g["marks"] * 2 / g["parts"]),
    mistakes=(
        Mistake("a tenth a mark", lambda g: _bar(g["number"] + g["marks"] * 0.1), "You took each mark for 0.1 bar. Divide the 2 bar between the numbers by the steps there are."),
        Mistake("steps of one bar", lambda g: _bar(g["number"] + g["marks"] / g["parts"]), "You divided 1 bar by the steps. The numbers stand 2 bar apart."),
        Mistake("a bar a mark", lambda g: _bar(g["number"] + g["marks"]), "You took each mark for a whole bar. Divide the 2 bar between the numbers by the steps there are."),
        Mistake("counted backwards", lambda g: _bar(g["number"] + 2 - g["marks"] * 2 / g["parts"]), "You counted back from the next number. The marks were counted from the lower one."),
    ),
    hints=lambda g, t: ("First find what one step is worth.", f"One step = 2 bar ÷ {g['parts']} = {t.say(_bar(2 / g['parts']), 2)}."),
    working=lambda g, t: (
        f"One step: 2 bar ÷ {g['parts']} = {t.say(_bar(2 / g['parts']), 2)}",
        f"{g['number']} bar + {g['marks']} × {t.say(_bar(2 / g['parts']), 2)} = {t.say(_bar(g['number'] + g['marks'] * 2 / g['parts']), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.02,
    why="a needle on a mark is read as that mark.",
)

THE_OTHER_SCALE = QuantityExercise(
    name="the_other_scale",
    title="The other scale",
    version=1,
    objectives=(3, 1),
    draw=lambda draws: {"hundreds": draws.integer(1, 2) * 50 + 50, "marks": draws.integer(1, 8)},
    ask=lambda g, t: (
        "A dial has psi outside, numbered every 50 psi with ten steps between the numbers, and bar inside.",
        f"The needle stands {g['marks']} steps past {g['hundreds']} psi. The bar scale is worn away there. What would it say, in bar?",
    ),
    solve=lambda g: Q(g["hundreds"] + g["marks"] * 5, "psi").to("bar"),
    mistakes=(
        Mistake("a psi a step", lambda g: Q(g["hundreds"] + g["marks"], "psi").to("bar"), "You took each step for 1 psi. 50 psi in ten steps is 5 psi a step."),
        Mistake("ten psi a step", lambda g: Q(g["hundreds"] + g["marks"] * 10, "psi").to("bar"), "You took each step for 10 psi. 50 psi in ten steps is 5 psi a step."),
        Mistake("psi read as bar", lambda g: _bar(g["hundreds"] + g["marks"] * 5), "That is the psi reading with bar behind it. Divide by 14.504."),
        Mistake("ten to one", lambda g: _bar((g["hundreds"] + g["marks"] * 5) / 10), "You took 10 psi for a bar. It takes 14.504 psi to make one."),
    ),
    hints=lambda g, t: ("First read the psi scale: what is one step worth?", f"Then divide by 14{t.mark}504 psi/bar."),
    working=lambda g, t: (
        f"Psi scale: {g['hundreds']} psi + {g['marks']} × 5 psi = {g['hundreds'] + g['marks'] * 5} psi",
        f"{g['hundreds'] + g['marks'] * 5} psi ÷ 14{t.mark}504 psi/bar = {t.say(Q(g['hundreds'] + g['marks'] * 5, 'psi').to('bar'), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    why="half a percent is closer than the dial.",
)


def _band(g: Givens) -> tuple[Any, Any]:
    return _bar(g["low"]), _bar(g["high"])


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
        Mistake("atmospheres", lambda g: Q(convert_band(*_band(g), "psi", 1).outward_high.magnitude - g["high"] * 14.696, "psi"), "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504."),
        Mistake("rounded inward", lambda g: Q(g["high"] * BAR_IN_PSI - convert_band(*_band(g), "psi", 1).high.magnitude, "psi"), "That is what inward rounding takes away. Rounding up goes to the next psi above."),
        Mistake("the limit itself", lambda g: convert_band(*_band(g), "psi", 1).outward_high, "That is the rounded limit. How far above the true limit does it lie?"),
        Mistake("lower limit", lambda g: Q(g["low"] * BAR_IN_PSI - convert_band(*_band(g), "psi", 1).outward_low.magnitude, "psi"), "That is what the lower limit lets through. The question is about the upper one."),
    ),
    hints=lambda g, t: (f"Convert the upper limit without rounding: {t.number(g['high'], 1)} bar × 14{t.mark}5038.", "Then round it up to the next whole psi and take the difference."),
    working=lambda g, t: (
        f"{t.number(g['high'], 1)} bar × 14{t.mark}5038 psi/bar = {t.say(_bar(g['high']).to('psi'), 2)}",
        f"Rounded up: {t.say(convert_band(*_band(g), 'psi', 1).outward_high, 0)}",
        f"Difference: {t.say(Q(convert_band(*_band(g), 'psi', 1).outward_high.magnitude - g['high'] * BAR_IN_PSI, 'psi'), 2)}",
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
        Mistake("one line for both", lambda g: PASSES[(_two_lines(g)[0],) * 2] if len(set(_two_lines(g))) == 2 else "", "You judged by the bar line and took the psi line to say the same. Compare the psi number with the psi limits."),
        Mistake("the other line for both", lambda g: PASSES[(_two_lines(g)[1],) * 2] if len(set(_two_lines(g))) == 2 else "", "You judged by the psi line and took the bar line to say the same. Compare the bar number with the bar limits."),
        Mistake("columns mixed", lambda g: PASSES[_two_lines(g)[::-1]] if len(set(_two_lines(g))) == 2 else "", "You swapped the lines. Compare bar with bar and psi with psi."),
    ),
    hints=lambda g, t: ("Compare bar with the bar limits and psi with the psi limits, one after the other.", f"The psi line in bar is {t.number(g['psi_low'] * PSI_IN_BAR, 2)} to {t.number(g['psi_high'] * PSI_IN_BAR, 2)} bar."),
    working=lambda g, t: (
        f"Bar line: {t.number(g['low'], 1)} ≤ {t.number(g['bar'], 2)} ≤ {t.number(g['high'], 1)} is {'true' if _two_lines(g)[0] else 'false'}.",
        f"Psi line: {g['psi_low']} ≤ {t.number(g['bar'] * BAR_IN_PSI, 1)} ≤ {g['psi_high']} is {'true' if _two_lines(g)[1] else 'false'}.",
        f"{PASSES[_two_lines(g)]} Ask the maker which line holds, and write down which one you used.",
    ),
    options=lambda g, t: tuple(PASSES.values()),
)


def _litres(volume: float, gauge: float) -> float:
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
    solve=lambda g: Q(_litres(*_of(g)), "L"),
    mistakes=(
        Mistake("ideal gas", lambda g: Q(_ideal(*_of(g)), "L"), "That is the ideal gas. Real air resists the squeeze: divide by the real-gas factor."),
        Mistake("multiplied by the factor", lambda g: Q(_ideal(*_of(g)) * _factor(g["pressure"]), "L"), "You multiplied by the factor. A factor above 1 means less air fits in: divide."),
        Mistake("scaled up from 200 bar", lambda g: Q(_litres(g["volume"], 200) * g["pressure"] / 200, "L"), "You scaled up from 200 bar. The real-gas factor grows with pressure, so the higher fill holds less than that."),
        Mistake("pressure forgotten", lambda g: Q(g["volume"], "L"), "That is the water volume. Air is squeezed into it many times over."),
    ),
    hints=lambda g, t: ("Use absolute pressure: gauge plus one atmosphere.", "Free air = water volume × absolute pressure ÷ (1 atm × real-gas factor)."),
    working=lambda g, t: (
        f"Absolute: {g['pressure']} bar + {t.number(ATM_IN_BAR, 1)} bar = {t.say(_bar(g['pressure'] + ATM_IN_BAR), 1)}",
        f"Ideal gas: {g['volume']} L × {t.number(g['pressure'] + ATM_IN_BAR, 1)} bar ÷ {t.number(ATM_IN_BAR, 3)} bar = {t.say(Q(_ideal(*_of(g)), 'L'), 0)}",
        f"Real air: {t.say(Q(_ideal(*_of(g)), 'L'), 0)} ÷ {t.number(_factor(g['pressure']), 3)} = {t.say(Q(_litres(*_of(g)), 'L'), 0)}",
    ),
    kind="volume",
    unit="L",
    relative=0.01,
    why="filling pressure and temperature are known to about one percent.",
)


def _used(g: Givens) -> float:
    return _litres(g["volume"], g["start"]) - _litres(g["volume"], g["end"])


USABLE_AIR = QuantityExercise(
    name="usable_air",
    title="Air used from a full cylinder",
    version=1,
    objectives=(5,),
    draw=lambda draws: {"volume": draws.integer(7, 15), "start": draws.integer(27, 30) * 10, "end": draws.integer(4, 7) * 10},
    ask=lambda g, t: (
        f"A bench cylinder of {g['volume']} L goes from {g['start']} bar to {g['end']} bar gauge during a day's tests, at 20 °C both times.",
        f"Real-gas factor of air: {t.number(_factor(g['start']), 3)} at {g['start']} bar, {t.number(_factor(g['end']), 3)} at {g['end']} bar. How many litres of free air (1 atm, 20 °C) were used?",
    ),
    solve=lambda g: Q(_used(g), "L"),
    mistakes=(
        Mistake("ideal gas", lambda g: Q(_ideal(g["volume"], g["start"]) - _ideal(g["volume"], g["end"]), "L"), "That is the ideal gas. Divide each content by its own real-gas factor."),
        Mistake("reserve forgotten", lambda g: Q(_litres(g["volume"], g["start"]), "L"), "That is all the full cylinder held. Take away what is still in it."),
        Mistake("one factor for both", lambda g: Q((_ideal(g["volume"], g["start"]) - _ideal(g["volume"], g["end"])) / _factor(g["start"]), "L"), "You used the factor of the full cylinder for both. Each pressure has its own."),
    ),
    hints=lambda g, t: ("Work out the content twice, full and at the end, and subtract.", "Content = water volume × absolute pressure ÷ (1 atm × factor at that pressure)."),
    working=lambda g, t: (
        f"Full: {g['volume']} L × {t.number(g['start'] + ATM_IN_BAR, 1)} bar ÷ ({t.number(ATM_IN_BAR, 3)} bar × {t.number(_factor(g['start']), 3)}) = {t.say(Q(_litres(g['volume'], g['start']), 'L'), 0)}",
        f"At the end: {g['volume']} L × {t.number(g['end'] + ATM_IN_BAR, 1)} bar ÷ ({t.number(ATM_IN_BAR, 3)} bar × {t.number(_factor(g['end']), 3)}) = {t.say(Q(_litres(g['volume'], g['end']), 'L'), 0)}",
        f"Used: {t.say(Q(_used(g), 'L'), 0)}",
    ),
    kind="volume",
    unit="L",
    relative=0.006,
    why="the given factors have three decimals.",
)


def _predictions() -> tuple[Prediction, ...]:
    ratio = _litres(12, 300) / _litres(12, 200)
    psi = convert_band(_bar(9.8), _bar(10.2), "psi", 1)
    return (
        Prediction(
            "dial", "The needle stands at 9.8 bar. About how many psi is that?", ("98 psi", "112 psi", "142 psi", "150 psi"),
            "142 psi. Multiply by 14.5. The 150 psi that people like to quote is 10.3 bar: half a bar too high.",
        ),
        Prediction(
            "rulers", "Which three units lie so close together that people mix them up?",
            ("bar, kgf/cm² and atm", "bar, psi and kPa", "MPa, msw and fsw"),
            "bar, kgf/cm² and atm. They differ by up to 3 percent: more than a specification band is wide.",
        ),
        Prediction(
            "depth", "You take the regulator to 30 m. Its IP over ambient stays the same. What does the absolute IP do?",
            ("it stays the same", "it rises by 3 bar", "it falls by 3 bar"),
            "It rises by 3 bar, with ambient. The gauge, which lives in the same ambient pressure, still reads the same. A sealed chamber can add a little: lesson 02.",
        ),
        Prediction(
            "content", "A cylinder filled to 300 bar instead of 200 bar holds how many times the air?",
            ("less than 1.5 times", "exactly 1.5 times", "more than 1.5 times"),
            f"Less: {ratio:.2f} times. Above 200 bar air is harder to squeeze than an ideal gas.",
        ),
        Prediction(
            "two_lines", "A sheet says 9.8 to 10.2 bar, and beside it 145 to 150 psi. Are they the same band?",
            ("yes, one is only converted", "no, the psi band is higher", "no, the psi band is lower"),
            f"No. 9.8 to 10.2 bar is {9.8 * BAR_IN_PSI:.1f} to {10.2 * BAR_IN_PSI:.1f} psi; rounded inward {psi.low.magnitude:.0f} to {psi.high.magnitude:.0f} psi. A needle at 9.9 bar passes on the bar line and fails on the psi line.",
        ),
    )  # fmt: skip


def plan() -> Plan:
    """Lesson 01."""
    return Plan(
        number="01",
        title="Pressure and its units",
        minutes="60 to 75",
        objectives=(
            "Convert pressure between bar, psi, kPa, MPa, kgf/cm², atm and depth of sea water.",
            "Tell gauge pressure from absolute pressure, and turn one into the other.",
            "Read a dial with two scales.",
            "Say what a rounded conversion costs.",
            "Say what a cylinder really holds.",
        ),
        exercises=(
            READ_THE_DIVISIONS, THE_OTHER_SCALE, PSI_TO_BAR, MPA_TO_PSI, GAUGE_TO_ABSOLUTE, ABSOLUTE_AT_DEPTH,
            DEPTH_FROM_PRESSURE, COST_OF_ROUNDING, TWO_LINES, CYLINDER_CONTENT, USABLE_AIR,
        ),
        predictions=_predictions(),
        warm_up=(("00", "read_a_panel"), ("00", "a_strange_unit"), ("00", "read_a_panel")),
    )  # fmt: skip


