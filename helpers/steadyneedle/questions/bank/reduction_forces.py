"""Lesson 02, exercises on forces, supply, depth and setting."""

from __future__ import annotations

from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import first_stage
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.pressures import bar

BAR = 1e5
KINDS = {
    "Alder": "an unbalanced piston", "Rowan": "a balanced piston", "Hazel": "an unbalanced diaphragm",
    "Juniper": "a balanced diaphragm", "Linden": "a balanced diaphragm with a sealed chamber",
}  # fmt: skip


def stage_of(g: Givens) -> FirstStage:
    """The first stage a question is about."""
    return FirstStage.named(g["design"])


def gauge(name: str, supply: float, depth: float = 0.0, change: float = 0.0) -> float:
    """Lock-up IP over ambient in bar; supply in bar, depth in metres of sea water, spring force added in newton."""
    ambient = SURFACE + depth * 0.1 * BAR
    stage = FirstStage.named(name)
    return float(first_stage.lock_up_gauge(stage, supply * BAR + ambient, ambient, change)) / BAR


def introduced(g: Givens) -> str:
    """The design of the question, in words."""
    return f"{g['design']} is {KINDS[g['design']]}."


# 1 which force -------------------------------------------------------------------------------------------

OPENS = {
    "main spring": "It opens the valve, in every design.",
    "IP on the piston head": "It shuts the valve, in every piston.",
    "IP on the diaphragm": "It shuts the valve, in every diaphragm.",
    "supply on the seat": "It opens the valve of an unbalanced piston.",
    "supply on the poppet": "It shuts the valve of an unbalanced diaphragm.",
}
WAYS = ("opens the valve", "shuts the valve", "pushes neither way")


def _way(g: Givens) -> str:
    stage, force = stage_of(g), g["force"]
    if force == "main spring":
        return WAYS[0]
    if force.startswith("IP"):
        return WAYS[1]
    if stage.balanced:
        return WAYS[2]
    return WAYS[0] if stage.kind == "piston" else WAYS[1]


def _named(g: Givens) -> str:
    stage = stage_of(g)
    if g["force"] == "IP":
        return "IP on the piston head" if stage.kind == "piston" else "IP on the diaphragm"
    return str(g["force"])


WHICH_WAY = ChoiceExercise(
    name="which_way",
    title="Which way a force pushes",
    version=1,
    objectives=(1,),
    draw=lambda draws: {
        "design": draws.one_of(("Alder", "Rowan", "Hazel", "Juniper")),
        "force": draws.one_of(("main spring", "IP", "supply", "supply")),
    },
    ask=lambda g, t: (
        introduced(g),
        f"Which way does its {g['force']} push the valve?" if g["force"] == "main spring"
        else f"Which way does {'IP' if g['force'] == 'IP' else 'the supply'} push the valve, all told?",
    ),
    solve=_way,
    mistakes=(
        Mistake(
            "the spring shuts it",
            lambda g: WAYS[1] if g["force"] == "main spring" else "",
            "The main spring opens the valve; IP shuts it. With no air on it, a first stage stands open.",
        ),
        Mistake(
            "IP opens it",
            lambda g: WAYS[0] if g["force"] == "IP" else "",
            "IP shuts the valve: as it rises, it pushes back the piston or the diaphragm. That is how the stage holds a pressure.",
        ),
        Mistake(
            "pistons and diaphragms mixed up",
            lambda g: {WAYS[0]: WAYS[1], WAYS[1]: WAYS[0]}.get(_way(g), "") if g["force"] == "supply" else "",
            "The other way round: supply pushes an unbalanced piston open, and an unbalanced diaphragm's poppet shut.",
        ),
        Mistake(
            "balance forgotten",
            lambda g: (WAYS[0] if stage_of(g).kind == "piston" else WAYS[1])
            if g["force"] == "supply" and stage_of(g).balanced else "",
            "It is balanced: the supply pushes on two nearly equal areas, one each way.",
        ),
    ),
    hints=lambda g, t: (
        "Without any air, what moves the valve, and which way?",
        "Balanced means: the supply acts on equal areas both ways.",
    ),
    working=lambda g, t: (
        "The main spring opens. IP shuts. Supply: see the design.",
        f"{g['design']}, {KINDS[g['design']]}: {g['force'] if g['force'] != 'supply' else 'the supply'} {_way(g)}.",
    ),
    options=lambda g, t: WAYS,
)  # fmt: skip


# 2 lock-up from the ledger -------------------------------------------------------------------------------


def _alder(g: Givens) -> float:
    return float((g["spring"] + g["supply"] * 0.1 * g["seat"]) / (0.1 * g["head"]))


LOCK_UP = QuantityExercise(
    name="lock_up",
    title="Where it locks up",
    version=1,
    objectives=(1,),
    draw=lambda draws: {
        "spring": draws.integer(42, 50) * 10, "seat": draws.decimal("4.5", "6.0", "0.5"),
        "head": draws.integer(58, 66) * 10, "supply": draws.integer(10, 22) * 10,
    },
    ask=lambda g, t: (
        f"An unbalanced piston: its spring pushes with {g['spring']} N, the supply of {g['supply']} bar with 0.1 N for each bar on each mm² of its seat, {t.number(g['seat'], 1)} mm².",
        f"IP shuts it with 0.1 N for each bar on each mm² of its head, {g['head']} mm².",
        "At what IP do the forces balance?",
    ),
    solve=lambda g: bar(_alder(g)),
    mistakes=(
        Mistake(
            "supply forgotten",
            lambda g: bar(g["spring"] / (0.1 * g["head"])),
            "You left out the supply. It pushes on the seat and opens with the spring.",
        ),
        Mistake(
            "supply subtracted",
            lambda g: bar((g["spring"] - g["supply"] * 0.1 * g["seat"]) / (0.1 * g["head"])),
            "You subtracted the supply's force. In an unbalanced piston it opens the valve, as the spring does: add it.",
        ),
        Mistake(
            "factor forgotten",
            lambda g: bar(_alder(g) / 10),
            "You are ten times too low: a bar on a square millimetre is 0.1 N.",
        ),
    ),
    hints=lambda g, t: (
        "What opens it: the spring and the supply. What shuts it: IP.",
        "(spring + 0.1 × supply × seat) ÷ (0.1 × head).",
    ),
    working=lambda g, t: (
        f"Supply on the seat: {g['supply']} bar × {t.number(g['seat'], 1)} mm² × 0.1 = {t.number(g['supply'] * 0.1 * g['seat'], 0)} N.",
        f"Opening: {g['spring']} N + {t.number(g['supply'] * 0.1 * g['seat'], 0)} N = {t.number(g['spring'] + g['supply'] * 0.1 * g['seat'], 0)} N.",
        f"IP: {t.number(g['spring'] + g['supply'] * 0.1 * g['seat'], 0)} N ÷ ({g['head']} mm² × 0.1) = {t.format(bar(_alder(g)), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.005,
    why="the forces are given to the newton.",
)  # fmt: skip


# 3 and 4 supply ------------------------------------------------------------------------------------------

TURNS = ("IP rises", "IP falls", "IP stays nearly the same")


def _turn(g: Givens) -> str:
    stage = stage_of(g)
    if stage.balanced:
        return TURNS[2]
    falls = stage.kind == "piston"
    return TURNS[1] if falls == (g["to"] < g["from"]) else TURNS[0]


def _draw_supply(draws: Draws) -> Givens:
    begin, end = draws.one_of(((220, 50), (200, 40), (180, 60), (60, 200)))
    return {"design": draws.one_of(FirstStage.names()), "from": begin, "to": end}


SUPPLY_WAY = ChoiceExercise(
    name="supply_way",
    title="As the supply changes",
    version=1,
    objectives=(2,),
    draw=_draw_supply,
    ask=lambda g, t: (
        introduced(g),
        f"The supply goes from {g['from']} to {g['to']} bar. What does its lock-up IP do?",
    ),
    solve=_turn,
    mistakes=(
        Mistake(
            "low on air means low IP",
            lambda g: (
                (TURNS[1] if g["to"] < g["from"] else TURNS[0])
                if _turn(g) != (TURNS[1] if g["to"] < g["from"] else TURNS[0])
                else ""
            ),
            "IP does not follow the supply in every design. In an unbalanced diaphragm less supply means less force that shuts: IP rises. A balanced one hardly cares.",
        ),
        Mistake(
            "the other way round",
            lambda g: (
                {TURNS[0]: TURNS[1], TURNS[1]: TURNS[0]}.get(_turn(g), "") if stage_of(g).kind == "piston" else ""
            ),
            "The other way round: the supply opens an unbalanced piston, so less supply means less IP.",
        ),
        Mistake(
            "all are balanced",
            lambda g: TURNS[2] if not stage_of(g).balanced else "",
            "That is a balanced design. This one is not: the supply acts on its seat one way only.",
        ),
    ),
    hints=lambda g, t: (
        "First: does the supply open this valve, shut it, or neither?",
        "If it opens, less supply means lower IP; if it shuts, less supply means higher IP.",
    ),
    working=lambda g, t: (
        f"{g['design']} is {KINDS[g['design']]}: the supply {_way({**g, 'force': 'supply'})}.",
        f"{_turn(g)}: from {t.format(bar(gauge(g['design'], g['from'])), 2)} to {t.format(bar(gauge(g['design'], g['to'])), 2)}.",
    ),
    options=lambda g, t: TURNS,
)


def _slope(g: Givens) -> float:
    """bar of IP for each 100 bar of supply, as printed in the question."""
    return round(100 * first_stage.supply_slope(stage_of(g)), 2)


def _at_low(g: Givens) -> float:
    return float(g["reading"] + _slope(g) * (g["to"] - g["from"]) / 100)


IP_AT_LOW_SUPPLY = QuantityExercise(
    name="ip_at_low_supply",
    title="IP at another supply",
    version=1,
    objectives=(2,),
    draw=lambda draws: {
        "design": draws.one_of(("Alder", "Hazel")), "reading": draws.decimal("8.8", "9.8", "0.1"),
        "from": draws.integer(18, 22) * 10, "to": draws.integer(4, 8) * 10,
    },
    ask=lambda g, t: (
        f"{introduced(g)} For each 100 bar of supply its seat is worth {t.number(abs(_slope(g)), 2)} bar of IP.",
        f"At {g['from']} bar it locks up at {t.number(g['reading'], 1)} bar. Where does it lock up at {g['to']} bar?",
    ),
    solve=lambda g: bar(_at_low(g)),
    mistakes=(
        Mistake(
            "wrong way",
            lambda g: bar(2 * g["reading"] - _at_low(g)),
            "The right step, the wrong way. Does the supply open this valve or shut it?",
        ),
        Mistake(
            "no change",
            lambda g: bar(g["reading"]),
            "That is the old lock-up. This design is not balanced: it moves with the supply.",
        ),
        Mistake(
            "whole supply for the change",
            lambda g: bar(g["reading"] + _slope(g) * g["to"] / 100),
            "You took the new supply itself. What counts is by how much the supply changed.",
        ),
    ),
    hints=lambda g, t: (
        f"The supply changes by {g['from'] - g['to']} bar.",
        "An unbalanced piston follows the supply; an unbalanced diaphragm goes against it.",
    ),
    working=lambda g, t: (
        f"Step: {t.number(abs(_slope(g)), 2)} bar × {g['from'] - g['to']} bar ÷ 100 bar = {t.number(abs(_at_low(g) - g['reading']), 2)} bar, {'down' if g['design'] == 'Alder' else 'up'}.",
        f"{t.number(g['reading'], 1)} bar {'−' if g['design'] == 'Alder' else '+'} {t.number(abs(_at_low(g) - g['reading']), 2)} bar = {t.format(bar(_at_low(g)), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.02,
    why="the numbers given end at a hundredth of a bar.",
)  # fmt: skip
