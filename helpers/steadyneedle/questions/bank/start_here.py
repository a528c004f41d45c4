"""Lesson 00: open a lesson, move a control, type an answer with its unit, find help."""

from __future__ import annotations

from steadyneedle.questions.exercise import Mistake, QuantityExercise
from steadyneedle.questions.plans import Act, Plan, Prediction
from steadyneedle.questions.pressures import ATM_IN_BAR, ATM_IN_PSI, BAR_IN_PSI, KGF_IN_BAR

READ_A_PANEL = QuantityExercise(
    name="read_a_panel", title="Move, read, type", objectives=(2, 1),
    draw=lambda d: {"bar": d.decimal("6.5", "13.5", "0.1")},
    work=lambda w: {"less": w.bar * 14, "answer": w.bar * BAR_IN_PSI},
    ask=(
        "A needle stands at {bar:.1f} bar. What is that in psi?",
        "Move the control of the gauge in lesson 00 until its needle stands there, and read. Type the number and its unit, for example 120 psi.",
    ),
    mistakes=(
        Mistake("one bar as 10 psi", lambda w: w.bar * 10, "One bar is not 10 psi: it is 14.5 psi. Read the number beside the dial."),
        Mistake("fourteen to one", lambda w: w.bar * 14, "You took 14 psi for a bar. It is 14.5: half a psi more for every bar."),
        Mistake("atmosphere for bar", lambda w: w.bar * ATM_IN_PSI, "You used 14.7. That is one atmosphere in psi; one bar is 14.5 psi."),
    ),
    hints=(
        "Put the needle on {bar:.1f} bar with the left and right arrow keys, then read the number in psi beside the dial.",
        "One bar is a little more than 14 psi, so {bar:.1f} bar is a little more than {less:.0f} psi.",
    ),
    working=("1 bar = 14.5038 psi", "{bar:.1f} bar × 14.5038 psi/bar = {answer:.1f} psi"),
    kind="gauge pressure", unit="psi", why="half a percent is closer than anybody reads a needle.",
)


A_STRANGE_UNIT = QuantityExercise(
    name="a_strange_unit", title="A unit you may not know", objectives=(2,), version=2,
    draw=lambda d: {"kgf": d.decimal("7.0", "12.0", "0.1")},
    work=lambda w: {"answer": w.kgf * 100 * KGF_IN_BAR},
    ask=(
        "An old gauge is marked in kgf/cm² and reads {kgf:.1f} kgf/cm². What is that in kPa?",
        "If you do not know the factor, press Hint: the first hint costs nothing.",
    ),
    mistakes=(
        Mistake("taken as bar", lambda w: w.kgf * 100, "You took 1 kgf/cm² as 1 bar, 100 kPa. It is 98.07 kPa: two percent less."),
        Mistake("number copied", lambda w: w.kgf, "That is the number on the gauge with another unit behind it. Multiply by 98.07."),
        Mistake("taken as atmosphere", lambda w: w.kgf * ATM_IN_BAR * 100, "You used 101.3 kPa. That is one standard atmosphere, not 1 kgf/cm²."),
    ),
    hints=("1 kgf/cm² is the weight of one kilogram on one square centimetre: 98.07 kPa.", "A kPa is the much smaller unit, so the number in kPa is much larger: multiply."),
    working=("1 kgf/cm² = 98.0665 kPa", "{kgf:.1f} kgf/cm² × 98.0665 kPa per kgf/cm² = {answer:.0f} kPa"),
    kind="gauge pressure", unit="kPa", why="half a percent is closer than the gauge itself.",
)


def plan() -> Plan:
    """Lesson 00."""
    return Plan(
        number="00", title="Start here", minutes="15 to 20",
        objectives=(
            "open a lesson, move a control and read what it says",
            "type an answer with its unit",
            "find help, and see which objectives you have met and what to practise next",
        ),
        exercises=(READ_A_PANEL, A_STRANGE_UNIT),
        acts=(
            Act("moved", 1, "Move the control of a gauge or a chart", "read_a_panel"),
            Act("hint", 3, "Press Hint under an exercise", "a_strange_unit"),
            Act("progress", 3, "Look at this table", "a_strange_unit"),
        ),
        predictions=(
            Prediction(
                "gauge", "A needle stands at 10 bar. Is the number in psi larger or smaller?",
                {"larger": "larger", "smaller": "smaller", "same": "the same"},
                f"Larger. A psi is a small unit: it takes {BAR_IN_PSI:.1f} of them to make one bar. So 10 bar is {10 * BAR_IN_PSI:.0f} psi.",
            ),
        ),
    )
