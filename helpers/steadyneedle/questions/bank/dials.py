"""Lesson 01, more of it: a dial in a picture, and units that few gauges show."""

from __future__ import annotations

from typing import Any

from steadyneedle.questions.exercise import Mistake, Named, QuantityExercise
from steadyneedle.questions.pressures import ATM_IN_BAR, KGF_IN_BAR
from steadyneedle.questions.shown import DialFace

FIFTHS = {1: "a fifth", 2: "two fifths", 3: "three fifths", 4: "four fifths"}


def _dial(w: Named) -> dict[str, Any]:
    parts, steps = round(2 / w.division), w.marks + w.fifths / 5
    return {"parts": parts, "steps": steps, "within": f"{FIFTHS[w.fifths]} of a step past" if w.fifths else "on", "answer": w.number + steps * w.division}


READ_THE_DIAL = QuantityExercise(
    name="read_the_dial", title="A dial in a picture", objectives=(3,), version=2,
    draw=lambda d: {"span": d.one_of((16, 20)), "division": d.one_of((0.2, 0.4, 0.5)), "number": d.integer(3, 6) * 2, "marks": d.integer(1, 3), "fifths": d.integer(0, 4)},
    work=_dial,
    ask="What does this needle show on the bar scale? Estimate to a fifth of a step.",
    shows=lambda w: DialFace(
        w.span, 2, w.division, w.answer,
        f"A dial from 0 to {w.span} bar with psi inside. The bar scale is numbered every 2 bar, with {w.parts} steps from number to number. The needle stands {w.within} mark number {w.marks} after the {w.number}.",
    ),
    mistakes=(
        Mistake("one mark short", lambda w: w.answer - w.division, "You are one mark short. The number itself is no mark: the first mark after it is one step up."),
        Mistake("one mark too far", lambda w: w.answer + w.division, "You are one mark too far. The first mark after the number is one step up."),
        Mistake("a tenth a mark", lambda w: w.number + w.steps * 0.1, "You took each step for 0.1 bar. Count the steps between two numbers, and divide 2 bar by them."),
        Mistake("numbers one bar apart", lambda w: w.number + w.steps * w.division / 2, "You took the numbers to be 1 bar apart. They are 2 bar apart."),
        Mistake("from the number above", lambda w: w.number + 2 - w.steps * w.division, "You counted from the higher number towards the lower one. Begin at the lower number."),
    ),
    hints=("How many steps are there from one number to the next?", "There are {parts}, so one step is worth {division:.1f} bar."),
    working=("One step: 2 bar ÷ {parts} = {division:.1f} bar.", "{number} bar + {steps:.1f} × {division:.1f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.1, why="an eye may be a fifth of a step out, and on the finest dial half of one.",
)


UNITS = {"kPa": 0.01, "kgf/cm²": KGF_IN_BAR, "atm": ATM_IN_BAR}
OTHER = {"kgf/cm²": ATM_IN_BAR, "atm": KGF_IN_BAR}


def _foreign(w: Named) -> dict[str, Any]:
    value = round(w.tenths * 100) if w.unit == "kPa" else w.tenths
    factor = UNITS[w.unit]
    return {"value": value, "shown": f"{value:.0f}" if w.unit == "kPa" else f"{value:.1f}", "way": "100 kPa make one bar." if w.unit == "kPa" else f"One {w.unit} is {factor:.3f} bar.", "by": "÷ 100 kPa per bar" if w.unit == "kPa" else f"× {factor:.6g} bar per {w.unit}", "answer": value * factor}


KPA_AND_KGF = QuantityExercise(
    name="kpa_and_kgf", title="Gauges in other units", objectives=(1,),
    draw=lambda d: {"unit": d.one_of(tuple(UNITS)), "tenths": d.decimal("8.1", "10.9", "0.1")},
    work=_foreign,
    ask="A customer's gauge is marked in {unit} and reads {shown} {unit}. What is that in bar?",
    mistakes=(
        Mistake("taken as bar", lambda w: w.value, "You took {unit} for bar. They are different units: find out how much one {unit} is in bar."),
        Mistake("ten kPa a bar", lambda w: w.value / 10 if w.unit == "kPa" else None, "You took 10 kPa for a bar. It takes 100."),
        Mistake("a thousand kPa a bar", lambda w: w.value / 1000 if w.unit == "kPa" else None, "You took 1000 kPa for a bar. It takes 100; 1000 kPa are 1 MPa."),
        Mistake("atm and kgf/cm² mixed up", lambda w: w.value * OTHER[w.unit] if w.unit in OTHER else None, "You mixed up atm and kgf/cm². An atm is a little more than a bar, a kgf/cm² a little less."),
        Mistake("the wrong way", lambda w: w.value / w.answer * w.value if w.unit in OTHER else None, "You went the wrong way, from bar to {unit}."),
    ),
    hints=("Is one {unit} more or less than a bar?", "{way}"),
    working=("{way}", "{shown} {unit} {by} = {answer:.2f} bar"),
    kind="gauge pressure", why="half a percent is closer than a workshop gauge.",
)
