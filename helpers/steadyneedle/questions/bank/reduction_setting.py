"""Lesson 02, exercises on depth and setting."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.units import Q
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.bank.reduction_forces import BAR, gauge, introduced
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.pressures import bar

# 5 depth -------------------------------------------------------------------------------------------------

DEPTH_SAYS = (
    "it stays the same", "it rises by as much as ambient", "it falls by as much as ambient", "it rises by about a tenth of a bar",
)  # fmt: skip


def _depth_answer(g: Givens) -> str:
    if g["asked"] == "absolute":
        return DEPTH_SAYS[1]
    return DEPTH_SAYS[3] if g["design"] == "Linden" else DEPTH_SAYS[0]


DEPTH_CHANGES = ChoiceExercise(
    name="depth_changes",
    title="What depth changes",
    version=1,
    objectives=(3,),
    draw=lambda draws: {
        "design": draws.one_of(("Alder", "Rowan", "Juniper", "Linden", "Linden")), "depth": draws.integer(3, 4) * 10,
        "asked": draws.one_of(("gauge", "gauge", "absolute")),
    },
    ask=lambda g, t: (
        f"{introduced(g)} It goes down to {g['depth']} m of sea water in a pressure pot, the gauge beside it. The supply over ambient stays.",
        "What does the reading of its IP gauge do?" if g["asked"] == "gauge" else f"What does the absolute IP do{'' if g['design'] != 'Linden' else ', to the nearest bar'}?",
    ),
    solve=_depth_answer,
    mistakes=(
        Mistake(
            "absolute for gauge",
            lambda g: DEPTH_SAYS[1] if g["asked"] == "gauge" else "",
            "That is the absolute IP. The gauge stands in the same ambient pressure: it reads the difference.",
        ),
        Mistake(
            "gauge for absolute",
            lambda g: DEPTH_SAYS[0] if g["asked"] == "absolute" else "",
            "That is the reading over ambient. Absolute IP is ambient more.",
        ),
        Mistake(
            "plunger forgotten",
            lambda g: DEPTH_SAYS[0] if g["asked"] == "gauge" and g["design"] == "Linden" else "",
            "Nearly. The plunger of the sealed chamber is a little larger outside than inside, so IP over ambient grows a little with depth.",
        ),
        Mistake(
            "plunger where there is none",
            lambda g: DEPTH_SAYS[3] if g["asked"] == "gauge" and g["design"] != "Linden" else "",
            "That is what a sealed chamber does. Here the water reaches the spring side itself: IP over ambient stays.",
        ),
        Mistake(
            "ambient works against it",
            lambda g: DEPTH_SAYS[2],
            "Ambient pushes on the spring side and helps the spring: nothing falls.",
        ),
    ),
    hints=lambda g, t: (
        "Ambient presses on the spring side, and it surrounds the gauge.",
        "A sealed chamber passes ambient on through a plunger, a little enlarged.",
    ),
    working=lambda g, t: (
        f"Over ambient: {t.format(bar(gauge(g['design'], 200)), 2)} at the surface, {t.format(bar(gauge(g['design'], 200, g['depth'])), 2)} at {g['depth']} m.",
        f"Absolute: {g['depth'] / 10:.0f} bar of ambient more. The answer: {_depth_answer(g)}.",
    ),
    options=lambda g, t: DEPTH_SAYS,
)  # fmt: skip


# 6 setting -----------------------------------------------------------------------------------------------

SETTING = (
    "turn the adjuster in", "turn the adjuster out", "add a shim behind the spring", "take a shim out from behind the spring",
)  # fmt: skip


def _setting(g: Givens) -> str:
    low = g["off"] < 0
    if g["design"] == "Alder":
        return SETTING[2] if low else SETTING[3]
    return SETTING[0] if low else SETTING[1]


SET_IT = ChoiceExercise(
    name="set_it",
    title="Setting the pressure",
    version=1,
    objectives=(3,),
    draw=lambda draws: {
        "design": draws.one_of(("Alder", "Alder", "Rowan", "Hazel", "Juniper")), "off": draws.one_of((-0.6, -0.5, -0.4, 0.4, 0.5, 0.6)),
    },
    ask=lambda g, t: (
        f"{introduced(g)} It is clean, sound and steady, but it locks up {t.number(abs(g['off']), 1)} bar too {'low' if g['off'] < 0 else 'high'}.",
        "What do you do, with the pressure off and after the maker's manual?",
    ),
    solve=_setting,
    mistakes=(
        Mistake(
            "an adjuster it has not",
            lambda g: (SETTING[0] if g["off"] < 0 else SETTING[1]) if g["design"] == "Alder" else "",
            "Alder has no adjuster. Its spring is set with shims.",
        ),
        Mistake(
            "shims where there is an adjuster",
            lambda g: (SETTING[2] if g["off"] < 0 else SETTING[3]) if g["design"] != "Alder" else "",
            "This design has an adjuster; shims set Alder.",
        ),
        Mistake(
            "the wrong way",
            lambda g: {SETTING[0]: SETTING[1], SETTING[1]: SETTING[0], SETTING[2]: SETTING[3], SETTING[3]: SETTING[2]}[_setting(g)],
            "The wrong way: more spring means more IP, less spring means less.",
        ),
    ),
    hints=lambda g, t: (
        "More force on the main spring raises IP.",
        "Which design has no adjuster?",
    ),
    working=lambda g, t: (
        f"Too {'low: more spring' if g['off'] < 0 else 'high: less spring'}.",
        f"{g['design']} {'is set with shims' if g['design'] == 'Alder' else 'has an adjuster'}: {_setting(g)}. Then purge, and read again.",
    ),
    options=lambda g, t: SETTING,
)  # fmt: skip


def _per_turn(name: str) -> float:
    """bar of IP for each turn of the adjuster, as printed."""
    stage = FirstStage.named(name)
    return round(stage.adjuster / stage.effective_area / BAR, 2)


def _new_ip(g: Givens) -> Any:
    return Q(g["reading"] + g["turns"] * _per_turn(g["design"]), "bar")


AFTER_TURNING = QuantityExercise(
    name="after_turning",
    title="After turning the adjuster",
    version=1,
    objectives=(3,),
    draw=lambda draws: {
        "design": draws.one_of(("Rowan", "Hazel", "Juniper")), "reading": draws.decimal("9.0", "10.4", "0.1"),
        "turns": draws.one_of((-0.75, -0.5, -0.25, 0.25, 0.5, 0.75)),
    },
    ask=lambda g, t: (
        f"{g['design']} locks up at {t.number(g['reading'], 1)} bar. One whole turn of its adjuster is worth {t.number(_per_turn(g['design']), 2)} bar.",
        f"You turn it {_parts(g, t)} {'in' if g['turns'] > 0 else 'out'}. Where does it lock up?",
    ),
    solve=_new_ip,
    mistakes=(
        Mistake(
            "the wrong way",
            lambda g: Q(g["reading"] - g["turns"] * _per_turn(g["design"]), "bar"),
            "Turning in presses the spring and raises IP; turning out lowers it.",
        ),
        Mistake(
            "a whole turn",
            lambda g: Q(g["reading"] + (1 if g["turns"] > 0 else -1) * _per_turn(g["design"]), "bar"),
            "That is a whole turn. Take the part of a turn.",
        ),
        Mistake(
            "the part as bar",
            lambda g: Q(g["reading"] + g["turns"], "bar"),
            "You took the part of a turn for bar. Multiply it by what a turn is worth.",
        ),
    ),
    hints=lambda g, t: ("In raises IP, out lowers it.", f"Step = {t.number(abs(g['turns']), 2)} × {t.number(_per_turn(g['design']), 2)} bar."),
    working=lambda g, t: (
        f"Step: {t.number(abs(g['turns']), 2)} × {t.number(_per_turn(g['design']), 2)} bar = {t.number(abs(g['turns']) * _per_turn(g['design']), 2)} bar.",
        f"{t.number(g['reading'], 1)} bar {'+' if g['turns'] > 0 else '−'} {t.number(abs(g['turns']) * _per_turn(g['design']), 2)} bar = {t.format(_new_ip(g), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.02,
    why="the numbers given end at a hundredth of a bar.",
)  # fmt: skip


def _parts(g: Givens, preferences: Preferences) -> str:
    return {0.25: "a quarter turn", 0.5: "half a turn", 0.75: "three quarters of a turn"}[abs(g["turns"])]
