"""Lesson 04, exercises on measuring a rate and on how long to watch."""

from __future__ import annotations

from steadyneedle.bench.units import Q
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise


def _rate(g: Givens) -> float:
    return float((g["last"] - g["first"]) / (g["until"] - g["since"]))


CREEP_RATE = QuantityExercise(
    name="creep_rate",
    title="The rate of a creep",
    version=1,
    objectives=(2,),
    draw=lambda draws: {
        "first": draws.decimal("9.6", "10.0", "0.02"), "last": draws.decimal("10.2", "10.9", "0.02"), "since": draws.integer(1, 2), "until": draws.integer(6, 12),
        "lock": draws.decimal("9.2", "9.4", "0.02"),
    },
    ask=lambda g, t: (
        f"A needle locks up at {t.number(g['lock'], 2)} bar and settles in the first minute. After {g['since']} min it reads {t.number(g['first'], 2)} bar, after {g['until']} min {t.number(g['last'], 2)} bar.",
        "How fast does it creep, the settle left out?",
    ),
    solve=lambda g: Q(_rate(g), "bar/min"),
    mistakes=(
        Mistake(
            "settle counted as creep",
            lambda g: Q((g["last"] - g["lock"]) / g["until"], "bar/min"),
            "You began at lock-up, so the settle is in it. Begin where it has settled.",
        ),
        Mistake(
            "divided by the whole time",
            lambda g: Q((g["last"] - g["first"]) / g["until"], "bar/min"),
            "You divided by the time since lock-up. Take the time between the two readings.",
        ),
        Mistake(
            "upside down",
            lambda g: Q((g["until"] - g["since"]) / (g["last"] - g["first"]), "bar/min"),
            "You divided time by pressure. A rate is pressure divided by time.",
        ),
    ),
    hints=lambda g, t: ("Two readings after the settle, and the time between them.", f"({t.number(g['last'], 2)} − {t.number(g['first'], 2)}) ÷ ({g['until']} − {g['since']})."),
    working=lambda g, t: (
        f"Rise: {t.number(g['last'], 2)} − {t.number(g['first'], 2)} = {t.number(g['last'] - g['first'], 2)} bar in {g['until'] - g['since']} min.",
        f"Rate: {t.number(g['last'] - g['first'], 2)} bar ÷ {g['until'] - g['since']} min = {t.number(_rate(g), 3)} bar/min",
    ),
    kind="pressure rate",
    unit="bar/min",
    relative=0.02,
    why="the readings end at a fiftieth of a bar.",
)  # fmt: skip


def _worst(g: Givens) -> float:
    return float(g["division"] / g["minutes"])


RATE_ERROR = QuantityExercise(
    name="rate_error",
    title="What reading does to a rate",
    version=1,
    objectives=(2, 3),
    draw=lambda draws: {"division": draws.one_of((0.05, 0.1, 0.2)), "minutes": draws.integer(2, 9)},
    ask=lambda g, t: (
        f"You read a needle to the nearest {t.number(g['division'], 2)} bar, at the beginning and after {g['minutes']} min. Each reading may be off by half of that.",
        "By how much may the rate be off, at most?",
    ),
    solve=lambda g: Q(_worst(g), "bar/min"),
    mistakes=(
        Mistake(
            "one reading only",
            lambda g: Q(_worst(g) / 2, "bar/min"),
            "Both readings may be off, one up and one down: half a division twice is a whole one.",
        ),
        Mistake(
            "time forgotten",
            lambda g: Q(g["division"], "bar/min"),
            "That is the error of the rise. Divide it by the time.",
        ),
        Mistake(
            "multiplied",
            lambda g: Q(g["division"] * g["minutes"], "bar/min"),
            "You multiplied by the time. The longer you watch, the smaller the error: divide.",
        ),
    ),
    hints=lambda g, t: ("The first reading may be half a division low, the last half a division high.", f"{t.number(g['division'], 2)} bar ÷ {g['minutes']} min."),
    working=lambda g, t: (
        f"Error of the rise: {t.number(g['division'] / 2, 3)} + {t.number(g['division'] / 2, 3)} = {t.number(g['division'], 2)} bar.",
        f"Error of the rate: {t.number(g['division'], 2)} bar ÷ {g['minutes']} min = {t.number(_worst(g), 4)} bar/min",
    ),
    kind="pressure rate",
    unit="bar/min",
    relative=0.02,
    why="it is an upper bound; two figures are plenty.",
    figures=2,
)  # fmt: skip


def _watch(g: Givens) -> float:
    return float(g["division"] / g["limit"])


HOW_LONG = QuantityExercise(
    name="how_long",
    title="How long to watch",
    version=1,
    objectives=(3,),
    draw=lambda draws: {"division": draws.one_of((0.05, 0.1, 0.2)), "limit": draws.decimal("0.02", "0.06", "0.01")},
    ask=lambda g, t: (
        f"The limit of creep is {t.number(g['limit'], 2)} bar a minute. You read to {t.number(g['division'], 2)} bar.",
        "How long must you watch until a creep at the limit has moved the needle by one step you can read?",
    ),
    solve=lambda g: Q(_watch(g), "min"),
    mistakes=(
        Mistake(
            "half a step",
            lambda g: Q(_watch(g) / 2, "min"),
            "Half a step may hide in the rounding. Wait for a whole one.",
        ),
        Mistake(
            "upside down",
            lambda g: Q(g["limit"] / g["division"], "min"),
            "You divided the limit by the step. Time is the step divided by the rate.",
        ),
        Mistake(
            "ten seconds",
            lambda g: Q(10 / 60, "min"),
            "Ten seconds show nothing. Work out what a creep at the limit does in that time.",
        ),
    ),
    hints=lambda g, t: ("How long does the needle need for one step?", f"{t.number(g['division'], 2)} bar ÷ {t.number(g['limit'], 2)} bar/min."),
    working=lambda g, t: (f"{t.number(g['division'], 2)} bar ÷ {t.number(g['limit'], 2)} bar/min = {t.number(_watch(g), 1)} min",),
    kind="time",
    unit="min",
    relative=0.05,
    why="nobody watches to the second.",
    figures=2,
)  # fmt: skip

CALLS = ("it creeps", "it stands", "cannot tell yet: watch on")


def _call(g: Givens) -> str:
    if g["rate"] - g["error"] > g["limit"]:
        return CALLS[0]
    return CALLS[1] if g["rate"] + g["error"] < g["limit"] else CALLS[2]


SURE_ENOUGH = ChoiceExercise(
    name="sure_enough",
    title="Sure enough",
    version=1,
    objectives=(3, 1),
    draw=lambda draws: {
        "rate": draws.decimal("0.01", "0.12", "0.01"), "error": draws.decimal("0.01", "0.05", "0.01"), "limit": draws.one_of((0.02, 0.04)),
    },
    ask=lambda g, t: (
        f"After your watch the rate is {t.number(g['rate'], 2)} bar/min, give or take {t.number(g['error'], 2)} bar/min. The sheet allows {t.number(g['limit'], 2)} bar/min.",
        "What do you say?",
    ),
    solve=_call,
    mistakes=(
        Mistake(
            "the middle decides",
            lambda g: (CALLS[0] if g["rate"] > g["limit"] else CALLS[1]) if _call(g) == CALLS[2] else "",
            "You looked at the middle only. The limit lies within what the rate may be.",
        ),
        Mistake(
            "never sure",
            lambda g: CALLS[2] if _call(g) != CALLS[2] else "",
            "The whole interval lies on one side of the limit: you can tell.",
        ),
        Mistake(
            "the wrong side",
            lambda g: {CALLS[0]: CALLS[1], CALLS[1]: CALLS[0]}.get(_call(g), ""),
            "Compare again: is the interval above the limit or below it?",
        ),
    ),
    hints=lambda g, t: (f"The rate lies between {t.number(g['rate'] - g['error'], 2)} and {t.number(g['rate'] + g['error'], 2)} bar/min.", "Is the limit inside that interval?"),
    working=lambda g, t: (
        f"Interval: {t.number(g['rate'] - g['error'], 2)} to {t.number(g['rate'] + g['error'], 2)} bar/min; limit {t.number(g['limit'], 2)} bar/min.",
        f"The answer: {_call(g)}.",
    ),
    options=lambda g, t: CALLS,
)  # fmt: skip
