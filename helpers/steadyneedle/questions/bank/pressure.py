"""Lesson 01: pressure and its units."""

from __future__ import annotations

from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.questions.bank.pressure_costs import COST_OF_ROUNDING, CYLINDER_CONTENT, TWO_LINES, USABLE_AIR, litres
from steadyneedle.questions.bank.pressure_units import (
    ABSOLUTE_AT_DEPTH,
    DEPTH_FROM_PRESSURE,
    GAUGE_TO_ABSOLUTE,
    MPA_TO_PSI,
    PSI_TO_BAR,
    READ_THE_DIVISIONS,
    THE_OTHER_SCALE,
)
from steadyneedle.questions.exercise import Plan, Prediction
from steadyneedle.questions.pressures import BAR_IN_PSI, bar


def _predictions() -> tuple[Prediction, ...]:
    ratio = litres(12, 300) / litres(12, 200)
    psi = convert_band(bar(9.8), bar(10.2), "psi", 1)
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
            "two_lines", "A sheet says 9.8 to 10.2 bar, and beside it 145 to 150 psi. Are they the same band?",
            ("yes, one is only converted", "no, the psi band is higher", "no, the psi band is lower"),
            f"No. 9.8 to 10.2 bar is {9.8 * BAR_IN_PSI:.1f} to {10.2 * BAR_IN_PSI:.1f} psi; rounded inward {psi.low.magnitude:.0f} to {psi.high.magnitude:.0f} psi. A needle at 9.9 bar passes on the bar line and fails on the psi line.",
        ),
        Prediction(
            "content", "A cylinder filled to 300 bar instead of 200 bar holds how many times the air?",
            ("less than 1.5 times", "exactly 1.5 times", "more than 1.5 times"),
            f"Less: {ratio:.2f} times. Above 200 bar air is harder to squeeze than an ideal gas.",
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
