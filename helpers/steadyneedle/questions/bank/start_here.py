"""Lesson 00: run a cell, move a control, type an answer with its unit, find help."""

from __future__ import annotations

from steadyneedle.bench.units import Q
from steadyneedle.questions.exercise import Mistake, Plan, Prediction, QuantityExercise

READ_A_PANEL = QuantityExercise(
    name="read_a_panel",
    title="Move, read, type",
    version=1,
    objectives=(1, 2, 3),
    draw=lambda draws: {"bar": draws.decimal("6.5", "13.5", "0.1")},
    ask=lambda g, t: (
        f"A needle stands at {t.number(g['bar'], 1)} bar. What is that in psi?",
        "Move the control of the gauge in lesson 00 until its needle stands there, and read. Type the number and its unit, for example 120 psi.",
    ),
    solve=lambda g: Q(g["bar"], "bar").to("psi"),
    mistakes=(
        Mistake(
            "one bar as 10 psi",
            lambda g: Q(g["bar"] * 10, "psi"),
            "One bar is not 10 psi: it is 14.5 psi. Read the number beside the dial.",
        ),
        Mistake(
            "divided",
            lambda g: Q(g["bar"] / 14.5038, "psi"),
            "You divided. Psi are small: there are more psi than bar, so multiply.",
        ),
        Mistake(
            "atmosphere for bar",
            lambda g: Q(g["bar"] * 14.696, "psi"),
            "You used 14.7. That is one atmosphere in psi; one bar is 14.5 psi.",
        ),
    ),
    hints=lambda g, t: (
        "Click the control once, then use the left and right arrow keys.",
        f"The dial shows both units. Beside it stands the same pressure in psi; {t.number(g['bar'], 1)} bar is more than {t.number(g['bar'] * 14, 0)} psi.",
    ),
    working=lambda g, t: (
        "1 bar = 14.5038 psi".replace(".", t.mark),
        f"{t.number(g['bar'], 1)} bar × 14.5038 psi/bar = {t.format(Q(g['bar'], 'bar').to('psi'), 1)}".replace(
            "14.5038", f"14{t.mark}5038"
        ),
    ),
    unit="psi",
    why="the dial is drawn to half a psi.",
)

A_STRANGE_UNIT = QuantityExercise(
    name="a_strange_unit",
    title="A unit you may not know",
    version=1,
    objectives=(1, 2, 3),
    draw=lambda draws: {"kgf": draws.decimal("7.0", "12.0", "0.1")},
    ask=lambda g, t: (
        f"An old gauge is marked in kgf/cm² and reads {t.number(g['kgf'], 1)} kgf/cm². What is that in kPa?",
        "If you do not know the factor, press Hint: asking costs nothing.",
    ),
    solve=lambda g: Q(g["kgf"], "kgf/cm2").to("kPa"),
    mistakes=(
        Mistake(
            "taken as bar",
            lambda g: Q(g["kgf"] * 100, "kPa"),
            "You took 1 kgf/cm² as 1 bar, 100 kPa. It is 98.07 kPa: two percent less.",
        ),
        Mistake(
            "number copied",
            lambda g: Q(g["kgf"], "kPa"),
            "That is the number on the gauge with another unit behind it. Multiply by 98.07.",
        ),
        Mistake(
            "divided",
            lambda g: Q(g["kgf"] / 98.0665, "kPa"),
            "You divided. A kilopascal is small: there are more of them, so multiply.",
        ),
        Mistake(
            "taken as atmosphere",
            lambda g: Q(g["kgf"] * 101.325, "kPa"),
            "You used 101.3 kPa. That is one standard atmosphere, not 1 kgf/cm².",
        ),
    ),
    hints=lambda g, t: (
        "1 kgf/cm² is the weight of one kilogram on one square centimetre.",
        f"1 kgf/cm² = 98{t.mark}0665 kPa.",
    ),
    working=lambda g, t: (
        f"1 kgf/cm² = 98{t.mark}0665 kPa",
        f"{t.number(g['kgf'], 1)} kgf/cm² × 98{t.mark}0665 kPa per kgf/cm² = {t.format(Q(g['kgf'], 'kgf/cm2').to('kPa'), 0)}",
    ),
    unit="kPa",
    why="half a percent is closer than the gauge itself.",
)


def plan() -> Plan:
    """Lesson 00."""
    return Plan(
        number="00",
        title="Start here",
        minutes="15 to 20",
        objectives=(
            "Run a cell, move a control and read what it says.",
            "Type an answer with its unit.",
            "Find help, and see which objectives you have met and what to practise next.",
        ),
        exercises=(READ_A_PANEL, A_STRANGE_UNIT),
        predictions=(
            Prediction(
                "gauge",
                "A needle stands at 10 bar. Is the number in psi larger or smaller?",
                ("larger", "smaller", "the same"),
                "Larger. A psi is a small unit: it takes 14.5 of them to make one bar. So 10 bar is 145 psi.",
            ),
        ),
    )
