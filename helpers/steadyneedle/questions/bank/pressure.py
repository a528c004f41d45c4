"""Lesson 01: pressure and its units."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.bench.regulators import SEA_METRE
from steadyneedle.bench.units import Q, absolute_to_gauge, gauge_to_absolute
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import gas
from steadyneedle.physics.si import BAR
from steadyneedle.questions.bank.dials import KPA_AND_KGF, READ_THE_DIAL
from steadyneedle.questions.checking import as_shown
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import TABLE, Plan, Prediction
from steadyneedle.questions.pressures import ATM_IN_BAR, ATM_IN_PSI, BAR_IN_PSI, KGF_IN_BAR, PSI_IN_BAR, bar

READ_THE_DIVISIONS = QuantityExercise(
    name="read_the_divisions", title="Counting marks", objectives=(3,), version=2,
    draw=lambda d: {"number": d.integer(2, 7) * 2, "parts": d.one_of((4, 5, 8, 10)), "marks": d.integer(1, 9)},
    work=lambda w: {"marks": (w.marks - 1) % (w.parts - 1) + 1, "step": 2 / w.parts, "answer": w.number + ((w.marks - 1) % (w.parts - 1) + 1) * 2 / w.parts},
    ask=(
        "The bar scale of a dial is numbered 0, 2, 4, 6 and so on. From one number to the next there are {parts} equal steps.",
        "The needle stands on mark number {marks} after the {number}. What is the reading in bar?",
    ),
    mistakes=(
        Mistake("one mark short", lambda w: w.answer - w.step, "You stopped one mark short. The number itself is no mark: the first mark after it is one step up."),
        Mistake("one mark too far", lambda w: w.answer + w.step, "You went one mark too far. The first mark after the number is one step up."),
        Mistake("a tenth a mark", lambda w: w.number + w.marks * 0.1, "You took each mark for 0.1 bar. Divide the 2 bar between the numbers by the steps there are."),
        Mistake("steps of one bar", lambda w: w.number + w.marks / w.parts, "You divided 1 bar by the steps. The numbers stand 2 bar apart."),
        Mistake("a bar a mark", lambda w: w.number + w.marks, "You took each mark for a whole bar. Divide the 2 bar between the numbers by the steps there are."),
        Mistake("counted backwards", lambda w: w.number + 2 - w.marks * w.step, "You counted back from the next number. The marks were counted from the lower one."),
    ),
    hints=("First find what one step is worth.", "One step = 2 bar ÷ {parts} = {step:.2f} bar."),
    working=("One step: 2 bar ÷ {parts} = {step:.2f} bar", "{number} bar + {marks} × {step:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="a needle on a mark is read as that mark.", figures=0,
)

THE_OTHER_SCALE = QuantityExercise(
    name="the_other_scale", title="The other scale", objectives=(3, 1), version=3,
    draw=lambda d: {"hundreds": d.integer(1, 5) * 50, "marks": d.integer(1, 9)},
    work=lambda w: {"psi": w.hundreds + w.marks * 5, "steps": "step" if w.marks == 1 else "steps", "answer": (w.hundreds + w.marks * 5) * PSI_IN_BAR},
    ask=(
        "A dial has psi outside, numbered every 50 psi with ten steps between the numbers, and bar inside.",
        "The needle stands {marks} {steps} past {hundreds} psi. The bar scale is worn away there. What would it say, in bar?",
    ),
    mistakes=(
        Mistake("psi read as bar", lambda w: w.psi, "That is the psi reading with bar behind it. Divide by 14.504."),
        Mistake("one mark short", lambda w: (w.psi - 5) * PSI_IN_BAR, "You stopped one mark short on the psi scale. The first step past the number is 5 psi up."),
        Mistake("a psi a step", lambda w: (w.hundreds + w.marks) * PSI_IN_BAR, "You took each step for 1 psi. 50 psi in ten steps is 5 psi a step."),
        Mistake("ten psi a step", lambda w: (w.hundreds + w.marks * 10) * PSI_IN_BAR, "You took each step for 10 psi. 50 psi in ten steps is 5 psi a step."),
        Mistake("ten to one", lambda w: w.psi / 10, "You took 10 psi for a bar. It takes 14.504 psi to make one."),
    ),
    hints=("First read the psi scale: what is one step worth?", "Then divide by 14.504 psi/bar."),
    # the factor itself is no answer; by 14.504 and by the exact factor it is the same tenth of a bar
    boundaries=lambda w: ((w.answer, BAR_IN_PSI, 0.1), (w.answer * 10 % 1, 0.5, 0.01)),
    working=("Psi scale: {hundreds} psi + {marks} × 5 psi = {psi} psi", "{psi} psi ÷ 14.504 psi/bar = {answer:.2f} bar"),
    kind="gauge pressure", why="half a percent is closer than the dial.",
)

PSI_TO_BAR = QuantityExercise(
    name="psi_to_bar", title="A reading in psi", objectives=(1,),
    draw=lambda d: {"psi": d.integer(120, 165)},
    work=lambda w: {"answer": w.psi * PSI_IN_BAR},
    ask="A colleague calls out an IP of {psi} psi. What is that in bar?",
    mistakes=(
        Mistake("psi read as bar", lambda w: w.psi, "That is the psi number with bar behind it. 1 psi is only 0.0689 bar."),
        Mistake("ten to one", lambda w: w.psi / 10, "You took 10 psi for a bar. It takes 14.5 psi to make one."),
        Mistake("atmospheres", lambda w: w.psi / ATM_IN_PSI, "You divided by 14.7: that gives atmospheres. For bar divide by 14.504."),
    ),
    hints=("How many psi make one bar? Divide by that number.", "1 bar = 14.504 psi."),
    working=("1 bar = 14.504 psi", "{psi} psi ÷ 14.504 psi/bar = {answer:.2f} bar"),
    kind="gauge pressure", why="half a percent is closer than a workshop gauge.",
)

MPA_TO_PSI = QuantityExercise(
    name="mpa_to_psi", title="A cylinder gauge in MPa", objectives=(1,), version=2,
    draw=lambda d: {"mpa": d.decimal("15.0", "30.0", "0.2")},
    work=lambda w: {"bar": w.mpa * 10, "answer": w.mpa * 10 * BAR_IN_PSI},
    ask="A cylinder gauge reads {mpa:.1f} MPa. The fill station asks for psi. What do you say?",
    mistakes=(
        Mistake("answer in bar", lambda w: w.bar, "That is the number in bar. Turn it into psi: multiply by 14.504."),
        Mistake("MPa as bar", lambda w: w.mpa * BAR_IN_PSI, "You treated MPa as bar. 1 MPa is 10 bar."),
        Mistake("MPa as 100 bar", lambda w: w.mpa * 100 * BAR_IN_PSI, "You took 1 MPa for 100 bar. It is 10 bar."),
        Mistake("atmospheres", lambda w: w.bar * ATM_IN_PSI, "You used 14.7 psi for a bar. That is an atmosphere; a bar is 14.504 psi."),
    ),
    hints=("Go by way of bar: 1 MPa = 10 bar.", "Then 1 bar = 14.504 psi."),
    working=("{mpa:.1f} MPa × 10 bar/MPa = {bar:.0f} bar", "{bar:.0f} bar × 14.504 psi/bar = {answer:.0f} psi"),
    kind="gauge pressure", unit="psi", relative=0.0015, why="14.5 psi a bar comes closer than that.",
)

GAUGE_TO_ABSOLUTE = QuantityExercise(
    name="gauge_to_absolute", title="From gauge to absolute", objectives=(2,), version=2,
    draw=lambda d: {"gauge": d.decimal("8.5", "10.5", "0.1"), "ambient": d.integer(76, 92) * 10},
    work=lambda w: {"air": w.ambient / 1000, "answer": gauge_to_absolute(bar(w.gauge), Q(w.ambient, "mbar")).magnitude},
    ask=(
        "A workshop in the mountains. The barometer says {ambient} mbar. An IP gauge reads {gauge:.1f} bar.",
        "What is the intermediate pressure in bar absolute?",
    ),
    mistakes=(
        Mistake("nothing added", lambda w: w.gauge, "You added nothing for the air above: that is the gauge reading. Absolute is gauge plus ambient."),
        Mistake("sea-level air", lambda w: w.gauge + ATM_IN_BAR, "You added the air of sea level. Up here the barometer says less: add what it says."),
        Mistake("subtracted", lambda w: w.gauge - w.air, "You took the ambient pressure away. That leads from absolute to gauge; here you add it."),
        Mistake("mbar as bar", lambda w: w.gauge + w.ambient, "You added mbar as if they were bar. 1000 mbar make 1 bar."),
    ),
    hints=("A gauge reads 0 in open air. Absolute pressure counts that air too.", "Absolute = gauge + ambient, both in bar. 1000 mbar = 1 bar."),
    working=("Ambient: {ambient} mbar = {air:.2f} bar", "Absolute: {gauge:.1f} bar + {air:.2f} bar = {answer:.2f} bar"),
    kind="absolute pressure", relative=0.0, absolute=0.03, why="that is closer than the gauge is read.",
)


def _at_depth(w: Named) -> dict[str, Any]:
    water = w.depth / 10
    ambient = ATM_IN_BAR + water
    return {"air": ATM_IN_BAR, "water": water, "ambient": ambient, "answer": gauge_to_absolute(bar(w.ip), bar(ambient)).magnitude}


ABSOLUTE_AT_DEPTH = QuantityExercise(
    name="absolute_at_depth", title="Absolute IP at depth", objectives=(1, 2), version=2,
    draw=lambda d: {"ip": d.decimal("8.5", "10.5", "0.1"), "depth": d.integer(6, 50)},
    work=_at_depth,
    ask=(
        "A first stage holds {ip:.1f} bar over ambient. It hangs at {depth} m in sea water; the air above the sea is at {air:.2f} bar.",
        "What is the intermediate pressure there in bar absolute? Count a metre of sea water as a tenth of a bar.",
    ),
    mistakes=(
        Mistake("water only", lambda w: w.ip + w.water, "You counted the water, not the air on top of it. Add the air's pressure too."),
        Mistake("air only", lambda w: w.ip + w.air, "You added the air, not the water. Every 10 m of sea water is one bar more."),
        Mistake("nothing added", lambda w: w.ip, "That is IP over ambient: what a gauge down there would read. Absolute adds water and air."),
        Mistake("a bar a metre", lambda w: w.ip + w.air + w.depth, "You counted a whole bar for each metre. It is a tenth of a bar."),
    ),
    hints=("Ambient at depth is air plus water.", "Absolute IP = IP over ambient + air + depth in m ÷ 10, in bar."),
    working=(
        "Water: {depth} m × 0.1 bar/m = {water:.1f} bar",
        "Ambient: {air:.2f} bar + {water:.1f} bar = {ambient:.2f} bar",
        "Absolute IP: {ip:.1f} bar + {ambient:.2f} bar = {answer:.2f} bar",
    ),
    kind="absolute pressure", relative=0.0, absolute=0.05, why="IP is read to a tenth of a bar, and half a tenth either way is the same reading.",
)


def _depth(w: Named) -> dict[str, Any]:
    water = absolute_to_gauge(bar(w.absolute), bar(ATM_IN_BAR)).magnitude
    return {"air": ATM_IN_BAR, "water": water, "answer": water * 10}


DEPTH_FROM_PRESSURE = QuantityExercise(
    name="depth_from_pressure", title="How deep is the pot?", objectives=(1, 2),
    draw=lambda d: {"absolute": d.decimal("2.2", "6.8", "0.1")},
    work=_depth,
    ask=(
        "A pressure pot stands at {absolute:.1f} bar absolute; the air outside is at {air:.2f} bar. To which depth of sea water does that correspond?",
        "Type metres. Count a metre of sea water as a tenth of a bar.",
    ),
    mistakes=(
        Mistake("air counted as water", lambda w: w.absolute * 10, "You counted the air as water. An open pot already stands at one atmosphere: take that away first."),
        Mistake("forgot the ten", lambda w: w.water, "That is the pressure of the water in bar. Each bar is 10 m."),
        Mistake("air added", lambda w: (w.absolute + w.air) * 10, "You added the air. The pot's pressure includes it already: take it away."),
    ),
    hints=("How much of that pressure is water?", "Depth = (absolute − air) × 10 m per bar."),
    working=("Water: {absolute:.1f} bar − {air:.2f} bar = {water:.2f} bar", "Depth: {water:.2f} bar × 10 m/bar = {answer:.1f} m"),
    kind="length", unit="m", relative=0.0, absolute=0.5, why="half a metre is a twentieth of a bar, closer than the pot's gauge is read.", figures=2,
)


def _draw_band(d: Draws) -> Givens:
    low = d.decimal("8.0", "10.4", "0.05")
    return {"low": low, "high": round(low + d.decimal("0.3", "0.7", "0.05"), 2)}


def _outward(w: Named) -> dict[str, Any]:
    band, low, high = convert_band(bar(w.low), bar(w.high), "psi", 1), w.low * BAR_IN_PSI, w.high * BAR_IN_PSI
    up = band.outward_high.magnitude
    by_atm, by_short = (math.ceil(one) - one for one in (round(w.high * 14.7, 2), round(w.high * 14.5, 2)))
    return {"true": high, "up": up, "by_atm": by_atm, "by_short": by_short, "inward": high - band.high.magnitude, "below": low - band.outward_low.magnitude, "answer": up - high}


COST_OF_ROUNDING = QuantityExercise(
    name="cost_of_rounding", title="What outward rounding lets through", objectives=(4,), version=5,
    draw=_draw_band,
    work=_outward,
    ask=(
        "A sheet asks for {low:.2f} to {high:.2f} bar. Somebody writes it in whole psi and rounds the upper limit up.",
        "By how many psi does the written upper limit lie above the true one? 1 bar is 14.504 psi.",
    ),
    mistakes=(
        Mistake("atmospheres", lambda w: w.by_atm, "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504."),
        Mistake("the factor cut short", lambda w: w.by_short, "You used 14.5 psi a bar. At this pressure that is some hundredths of a psi too few, and the difference asked is less than a psi: use 14.504."),
        Mistake("rounded inward", lambda w: w.inward, "That is what inward rounding takes away. Rounding up goes to the next psi above."),
        Mistake("the limit itself", lambda w: w.up, "That is the rounded limit. How far above the true limit does it lie?"),
        Mistake("lower limit", lambda w: w.below, "That is what the lower limit lets through. The question is about the upper one."),
    ),
    hints=("Convert the upper limit without rounding it: two decimals of a psi.", "Then round that up to the next whole psi, and see how far you went."),
    working=("{high:.2f} bar × 14.5038 psi/bar = {true:.2f} psi", "Rounded up: {up:.0f} psi", "Difference: {answer:.2f} psi"),
    boundaries=lambda w: ((w.answer, 0.0, 0.15), (w.answer, 1.0, 0.15), (w.answer, 0.5, 0.06)),  # no guess of half a psi is right
    unit="psi", relative=0.0, absolute=0.012, why="14.504 psi a bar comes closer than that.", figures=2, reading=False,
)


def _thumb(w: Named) -> dict[str, Any]:
    psi = float(math.floor(w.bar * w.factor + 0.5))
    stands = psi * PSI_IN_BAR
    sign = 1 if stands > w.bar else -1
    by_atm, one = sign * (psi / ATM_IN_PSI - w.bar), abs(w.factor - BAR_IN_PSI) * PSI_IN_BAR
    return {"psi": psi, "stands": stands, "larger": max(stands, w.bar), "smaller": min(stands, w.bar), "way": "high" if sign > 0 else "low", "by_atm": by_atm, "one": one, "answer": sign * (stands - w.bar)}


RULE_OF_THUMB = QuantityExercise(
    name="rule_of_thumb", title="What a rule of thumb costs", objectives=(4,), version=3,
    draw=lambda d: {"bar": d.decimal("8.4", "10.6", "0.1"), "factor": d.one_of((14, 14.2, 14.7, 15))},
    work=_thumb,
    ask=(
        "The sheet says: set IP to {bar:.1f} bar. Somebody who has a psi gauge takes {factor} psi for a bar, and sets the needle to {psi:.0f} psi.",
        "By how many bar is IP too {way}? Give two decimals of a bar.",
    ),
    mistakes=(
        Mistake("where it stands", lambda w: w.stands, "That is where the needle really stands, in bar. How far is that from what the sheet says?"),
        Mistake("one bar only", lambda w: w.one, "That is what the rule loses on one bar. Here it loses it on each of {bar:.1f} bar."),
        Mistake("atmospheres", lambda w: w.by_atm if w.by_atm > 0.02 else None, "You divided by 14.7 psi: that gives atmospheres. For bar divide by 14.504."),
        Mistake("nothing lost", lambda w: 0.0, "The two are not the same: turn {psi:.0f} psi into bar with 14.504, and compare."),
    ),
    hints=("Turn the psi reading back into bar with the right factor, 14.504.", "{psi:.0f} psi is really {stands:.2f} bar. The sheet says {bar:.1f} bar."),
    working=("{psi:.0f} psi ÷ 14.504 psi/bar = {stands:.2f} bar", "Too {way}: {larger:.2f} bar − {smaller:.2f} bar = {answer:.2f} bar"),
    boundaries=lambda w: ((w.answer, 0.0, 0.1),),  # its two figures are the two decimals asked for
    relative=0.0, absolute=0.012, why="14.504 psi a bar comes closer than that.", figures=2, reading=False, says_enough=True,
)

PASSES = {
    "both": "It passes on both lines.", "bar": "It passes on the bar line and fails on the psi line.",
    "psi": "It fails on the bar line and passes on the psi line.", "neither": "It fails on both lines.",
}


IN_OR_OUT = {True: "in", False: "outside"}


def _draw_two_lines(d: Draws) -> Givens:
    low = d.decimal("9.2", "9.9", "0.1")
    high = round(low + 0.4, 1)
    psi_low = round(low * 14.79 / 5) * 5  # as in the lesson, 145 psi beside 9.8 bar: a little too high
    needle = d.decimal(str(round(low - 0.1, 1)), str(round(high + 0.2, 1)), "0.02")
    return {"low": low, "high": high, "psi_low": psi_low, "psi_high": psi_low + 5, "bar": needle}


def _two_lines(w: Named) -> dict[str, Any]:
    psi = w.bar * BAR_IN_PSI
    on_bar, on_psi = w.low <= w.bar <= w.high, w.psi_low <= as_shown(psi, 1) <= w.psi_high
    answer = {(True, True): "both", (True, False): "bar", (False, True): "psi"}.get((on_bar, on_psi), "neither")
    limits = {"low_in_bar": w.psi_low * PSI_IN_BAR, "high_in_bar": w.psi_high * PSI_IN_BAR}
    then = "Here the lines agree. Write down which one you used." if on_bar == on_psi else "Ask the maker which line holds, and write down which one you used."
    return {"psi": psi, "then": then, "on_bar": IN_OR_OUT[on_bar], "on_psi": IN_OR_OUT[on_psi], "answer": answer, **limits}


TWO_LINES = ChoiceExercise(
    name="two_lines", title="Two lines of one sheet", objectives=(4, 3), version=2,
    draw=_draw_two_lines,
    work=_two_lines,
    ask=(
        "A sheet prints one specification twice: {low:.1f} to {high:.1f} bar, and {psi_low} to {psi_high} psi.",
        "The needle stands at {bar:.2f} bar, {psi:.1f} psi. What does each line say?",
    ),
    choices=PASSES,
    mistakes=(
        Mistake("one line for both", lambda w: {"bar": "both", "psi": "neither"}.get(w.answer), "You judged by the bar line and took the psi line to say the same. Compare the psi number with the psi limits."),
        Mistake("the other line for both", lambda w: {"bar": "neither", "psi": "both"}.get(w.answer), "You judged by the psi line and took the bar line to say the same. Compare the bar number with the bar limits."),
        Mistake("columns mixed", lambda w: {"bar": "psi", "psi": "bar"}.get(w.answer), "You swapped the lines. Compare bar with bar and psi with psi."),
        Mistake("psi line misjudged", lambda w: {"both": "bar", "neither": "psi"}.get(w.answer), "The bar line is right. Look at the psi line once more: where does {psi:.1f} psi lie?"),
        Mistake("bar line misjudged", lambda w: {"both": "psi", "neither": "bar"}.get(w.answer), "The psi line is right. Look at the bar line once more: where does {bar:.2f} bar lie?"),
        Mistake("both lines misjudged", lambda w: {"both": "neither", "neither": "both"}.get(w.answer), "Neither line says that. Put each number between its own two limits."),
    ),
    hints=("Compare bar with the bar limits and psi with the psi limits, one after the other.", "The psi line in bar is {low_in_bar:.2f} to {high_in_bar:.2f} bar."),
    working=(
        "Bar line: {bar:.2f} bar lies {on_bar} {low:.1f} to {high:.1f} bar.",
        "Psi line: {psi:.1f} psi lies {on_psi} {psi_low} to {psi_high} psi.",
        "{right} {then}",
    ),
    boundaries=lambda w: ((w.bar, w.low, 0.01), (w.bar, w.high, 0.01), (w.psi, w.psi_low, 0.2), (w.psi, w.psi_high, 0.2)),  # 0.01 bar is 0.145 psi, and psi are shown to a tenth
)


ATM = round(ATM_IN_BAR, 3)
"""One atmosphere in bar, as the questions print it: a working adds up with the numbers given."""


def _pascal(*gauges: float) -> np.ndarray:
    """Absolute pressures in Pa at the surface, of gauge pressures in bar."""
    return np.array(gauges) * BAR + gas.REFERENCE_PRESSURE


def _content(w: Named) -> dict[str, Any]:
    pascal, volume = _pascal(w.pressure, 200), w.volume / 1000
    factor, real_at_200 = round(float(gas.real_gas_factor(pascal)[0]), 3), float(gas.cylinder_content(volume, pascal)[1]) * 1000
    absolute = round(w.pressure + ATM, 2)
    ideal = float(round(w.volume * absolute / ATM))
    mistaken = {"scaled_up": real_at_200 * w.pressure / 200, "by_gauge": ideal / factor * w.pressure / absolute, "plain": w.volume * w.pressure}
    return {"atm": ATM, "absolute": absolute, "factor": factor, "ideal": ideal, **mistaken, "answer": ideal / factor}


CYLINDER_CONTENT = QuantityExercise(
    name="cylinder_content", title="What 300 bar really holds", objectives=(5,), version=3,
    draw=lambda d: {"volume": d.integer(6, 15), "pressure": d.integer(26, 32) * 10},
    work=_content,
    ask=(
        "A cylinder of {volume} L is filled to {pressure} bar gauge at 20 °C, where the real-gas factor of air is {factor:.3f}.",
        "How many litres of free air, at 1 atm ({atm:.3f} bar) and 20 °C, does it hold?",
    ),
    mistakes=(
        Mistake("litres times bar", lambda w: w.plain, "You multiplied litres by bar. At low pressures that is near enough. At {pressure} bar air resists the squeeze: divide by the real-gas factor."),
        Mistake("ideal gas", lambda w: w.ideal, "That is the ideal gas. Real air resists the squeeze: divide by the real-gas factor."),
        Mistake("litres times bar, by the factor", lambda w: w.plain / w.factor, "The factor is in it, but a bar is no atmosphere, and the gauge does not count the air outside: take absolute pressure, and divide it by 1 atm."),
        Mistake("gauge for absolute", lambda w: w.by_gauge, "You took the gauge pressure. The empty cylinder holds air as well: use absolute pressure."),
        Mistake("multiplied by the factor", lambda w: w.ideal * w.factor, "You multiplied by the factor. A factor above 1 means less air fits in: divide."),
        Mistake("scaled up from 200 bar", lambda w: w.scaled_up, "You scaled up from 200 bar. The real-gas factor grows with pressure, so the higher fill holds less than that."),
    ),
    hints=("Use absolute pressure: gauge plus one atmosphere.", "For an ideal gas it would be water volume × absolute pressure ÷ 1 atm. For real air it is less."),
    working=(
        "Absolute: {pressure} bar + {atm:.3f} bar = {absolute:.2f} bar",
        "Ideal gas: {volume} L × {absolute:.2f} bar ÷ {atm:.3f} bar = {ideal:.0f} L",
        "Real air: {ideal:.0f} L ÷ {factor:.3f} = {answer:.0f} L",
    ),
    kind="volume", unit="L", relative=0.0012, why="the factor given has three decimals.",
)


def _used(w: Named) -> dict[str, Any]:
    pascal = _pascal(w.start, w.end)
    first, last = (round(one, 3) for one in gas.real_gas_factor(pascal).tolist())
    high, low = round(w.start + ATM, 1), round(w.end + ATM, 1)
    full, left = (float(round(w.volume * absolute / (ATM * factor))) for absolute, factor in ((high, first), (low, last)))
    ideal = w.volume * (w.start - w.end) / ATM
    return {"full": full, "left": left, "first": first, "last": last, "ideal": ideal, "answer": full - left, "atm": ATM, "high": high, "low": low}


USABLE_AIR = QuantityExercise(
    name="usable_air", title="Air used from a full cylinder", objectives=(5,), version=3, optional=True,
    draw=lambda d: {"volume": d.integer(7, 15), "start": d.integer(27, 30) * 10, "end": d.integer(4, 7) * 10},
    work=_used,
    ask=(
        "A bench cylinder of {volume} L goes from {start} bar to {end} bar gauge during a day's tests, at 20 °C both times.",
        "Real-gas factor of air: {first:.3f} at {start} bar, {last:.3f} at {end} bar. How many litres of free air (1 atm, 20 °C) were used?",
    ),
    mistakes=(
        Mistake("litres times bar", lambda w: w.volume * (w.start - w.end), "You multiplied litres by the drop in bar. At {start} bar air resists the squeeze: work out each content with its own factor."),
        Mistake("ideal gas", lambda w: w.ideal, "That is the ideal gas. Divide each content by its own real-gas factor."),
        Mistake("bar for atmospheres", lambda w: w.answer * ATM, "You took a bar for an atmosphere. Free air is counted at 1 atm, {atm:.3f} bar."),
        Mistake("reserve forgotten", lambda w: w.full, "That is all the full cylinder held. Take away what is still in it."),
        Mistake("one factor for both", lambda w: w.ideal / w.first, "You used the factor of the full cylinder for both. Each pressure has its own."),
    ),
    hints=("Work out the content twice, full and at the end, and subtract.", "Full: {volume} L × {high:.1f} bar ÷ ({atm:.3f} bar × {first:.3f}) = {full:.0f} L."),
    working=(
        "Full: {volume} L × {high:.1f} bar ÷ ({atm:.3f} bar × {first:.3f}) = {full:.0f} L",
        "At the end: {volume} L × {low:.1f} bar ÷ ({atm:.3f} bar × {last:.3f}) = {left:.0f} L",
        "Used: {full:.0f} L − {left:.0f} L = {answer:.0f} L",
    ),
    kind="volume", unit="L", relative=0.004, why="the given factors have three decimals.",
)


def _predictions() -> tuple[Prediction, ...]:
    def content() -> str:
        at_300, at_200 = gas.cylinder_content(0.012, _pascal(300, 200))
        return f"Less: {at_300 / at_200:.2f} times. At such pressures air is harder to squeeze than an ideal gas."

    psi = convert_band(bar(9.8), bar(10.2), "psi", 1)
    return (
        Prediction(
            "dial", "The needle stands at 9.8 bar. About how many psi is that?",
            {"98": "98 psi", "112": "112 psi", "142": "142 psi", "150": "150 psi"},
            f"{9.8 * BAR_IN_PSI:.0f} psi. Multiply by {BAR_IN_PSI:.1f}. 150 psi, which people like to quote, is {150 * PSI_IN_BAR:.1f} bar: {150 * PSI_IN_BAR - 9.8:.1f} bar too high.",
        ),
        Prediction(
            "rulers", "Which three units lie so close together that people mix them up?",
            {"bar kgf/cm² atm": "bar, kgf/cm² and atm", "bar psi kPa": "bar, psi and kPa", "MPa msw fsw": "MPa, msw and fsw"},
            lambda: f"bar, kgf/cm² and atm. They differ by up to {100 * (ATM_IN_BAR / KGF_IN_BAR - 1):.1f} percent, and that is enough to carry a needle out of its band.",
        ),
        Prediction(
            "depth", "You take the regulator to 30 m. Its IP over ambient stays the same. What does the absolute IP do?",
            {"stays": "it stays the same", "rises": "it rises by 3 bar", "falls": "it falls by 3 bar"},
            f"It rises by {30 * SEA_METRE / BAR:.0f} bar, with ambient. The gauge is surrounded by the same ambient pressure, so it still reads the same. A sealed spring chamber can add a little: see lesson 02.",
        ),
        Prediction(
            "two_lines", "A sheet says 9.8 to 10.2 bar, and beside it 145 to 150 psi. Are they the same band?",
            {"same": "yes, one is only converted", "higher": "no, the psi band is higher", "lower": "no, the psi band is lower"},
            f"No, the psi band is higher. 9.8 to 10.2 bar is {9.8 * BAR_IN_PSI:.1f} to {10.2 * BAR_IN_PSI:.1f} psi; rounded inward {psi.low.magnitude:.0f} to {psi.high.magnitude:.0f} psi. A needle at {(9.8 + 145 * PSI_IN_BAR) / 2:.1f} bar passes on the bar line and fails on the psi line.",
            look=TABLE,
        ),
        Prediction(
            "content", "A cylinder filled to 300 bar instead of 200 bar holds how many times the air?",
            {"less": "less than 1.5 times", "exactly": "exactly 1.5 times", "more": "more than 1.5 times"},
            content,
        ),
    )


def plan() -> Plan:
    """Lesson 01."""
    return Plan(
        number="01", title="Pressure and its units", minutes="65 to 80",
        objectives=(
            "convert pressure between bar, psi, kPa, MPa, kgf/cm², atm and depth of sea water",
            "tell gauge pressure from absolute pressure, and turn one into the other",
            "read a dial with two scales",
            "say what a rounded conversion costs",
            "say what a cylinder really holds",
        ),
        exercises=(
            READ_THE_DIVISIONS, READ_THE_DIAL, THE_OTHER_SCALE, PSI_TO_BAR, MPA_TO_PSI, KPA_AND_KGF, GAUGE_TO_ABSOLUTE, ABSOLUTE_AT_DEPTH,
            DEPTH_FROM_PRESSURE, COST_OF_ROUNDING, TWO_LINES, RULE_OF_THUMB, CYLINDER_CONTENT, USABLE_AIR,
        ),
        predictions=_predictions(),
        warm_up=(("00", "read_a_panel"), ("00", "a_strange_unit")),
    )
