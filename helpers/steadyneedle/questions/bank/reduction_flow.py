"""Lesson 02, exercises on flow, cold and leaks."""

from __future__ import annotations

from steadyneedle.bench.units import Q
from steadyneedle.physics import gas, leaks
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.pressures import bar

BAR = 1e5
ABSOLUTE = 1.013
"""bar, what a gauge pressure lacks at the surface, as the questions print it."""

# droop ---------------------------------------------------------------------------------------------------


def _drooped(g: Givens) -> float:
    return float(g["lock"] - g["droop"] * g["flow"] / 400)


DROOP = QuantityExercise(
    name="droop",
    title="IP while air flows",
    version=1,
    objectives=(4,),
    draw=lambda draws: {
        "lock": draws.decimal("9.0", "10.2", "0.1"), "droop": draws.decimal("0.3", "0.9", "0.1"), "flow": draws.one_of((100, 200, 600, 800)),
    },
    ask=lambda g, t: (
        f"A first stage locks up at {t.number(g['lock'], 1)} bar. At 400 L/min its IP stands {t.number(g['droop'], 1)} bar lower. Droop grows with flow, in proportion.",
        f"Where does IP stand at {g['flow']} L/min?",
    ),
    solve=lambda g: bar(_drooped(g)),
    mistakes=(
        Mistake(
            "droop of 400",
            lambda g: bar(g["lock"] - g["droop"]),
            "That is the droop at 400 L/min. Scale it to the flow that is asked.",
        ),
        Mistake(
            "upward",
            lambda g: bar(2 * g["lock"] - _drooped(g)),
            "IP falls while air flows: the valve must open, so the spring gives way.",
        ),
        Mistake(
            "scaled upside down",
            lambda g: bar(g["lock"] - g["droop"] * 400 / g["flow"]),
            "You divided by the flow. More flow, more droop: multiply.",
        ),
    ),
    hints=lambda g, t: ("Twice the flow, twice the droop.", f"Droop = {t.number(g['droop'], 1)} bar × {g['flow']} ÷ 400."),
    working=lambda g, t: (
        f"Droop: {t.number(g['droop'], 1)} bar × {g['flow']} ÷ 400 = {t.number(g['droop'] * g['flow'] / 400, 2)} bar.",
        f"IP: {t.number(g['lock'], 1)} bar − {t.number(g['droop'] * g['flow'] / 400, 2)} bar = {t.format(bar(_drooped(g)), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.02,
    why="the numbers given end at a tenth of a bar.",
)  # fmt: skip


# what a needle under flow says ---------------------------------------------------------------------------

FLOW_SAYS = (
    "normal: it droops and comes back", "too little air reaches the seat", "the seat leaks", "the spring is set too low",
)  # fmt: skip


def _flow_says(g: Givens) -> str:
    return FLOW_SAYS[1] if g["drop"] > 2 else FLOW_SAYS[0]


UNDER_FLOW = ChoiceExercise(
    name="under_flow",
    title="A needle under flow",
    version=1,
    objectives=(4,),
    draw=lambda draws: {
        "lock": draws.decimal("9.4", "10.1", "0.1"), "drop": draws.one_of((0.2, 0.3, 0.4, 3.5, 4.5, 5.5)), "supply": draws.integer(12, 20) * 10,
    },
    ask=lambda g, t: (
        f"At {g['supply']} bar of supply a first stage locks up at {t.number(g['lock'], 1)} bar, in its band, and holds. You purge: the needle drops by {t.number(g['drop'], 1)} bar. You stop: it is back at once, and stays.",
        "What do you conclude?",
    ),
    solve=_flow_says,
    mistakes=(
        Mistake(
            "every drop is a fault",
            lambda g: FLOW_SAYS[1] if g["drop"] < 2 else "",
            "A few tenths are droop: the valve has to open. Every first stage does that.",
        ),
        Mistake(
            "a collapse is called droop",
            lambda g: FLOW_SAYS[0] if g["drop"] > 2 else "",
            "A few tenths are droop. Several bar are not: something in front of the seat is too narrow, a clogged filter or a valve part open.",
        ),
        Mistake(
            "flow for leak",
            lambda g: FLOW_SAYS[2],
            "A leaking seat shows at rest: the needle climbs. This one stays.",
        ),
        Mistake(
            "setting",
            lambda g: FLOW_SAYS[3],
            "The setting shows at lock-up, and lock-up is in its band.",
        ),
    ),
    hints=lambda g, t: ("What does the needle do at rest? And what under flow?", "Droop is tenths of a bar, not bars."),
    working=lambda g, t: (
        "At rest: in the band and steady. Seat and setting are not the matter.",
        f"Under flow: {t.number(g['drop'], 1)} bar lower. The answer: {_flow_says(g)}.",
    ),
    options=lambda g, t: FLOW_SAYS,
)  # fmt: skip


# cold ----------------------------------------------------------------------------------------------------

SETTLES = (
    "it rises a little, ever more slowly, and stands", "it climbs on and on", "it falls slowly", "it stands still from the first moment",
)  # fmt: skip


def _settles(g: Givens) -> str:
    return SETTLES[0] if g["purge"] else SETTLES[3]


AFTER_A_PURGE = ChoiceExercise(
    name="after_a_purge",
    title="After a purge",
    version=1,
    objectives=(4,),
    draw=lambda draws: {"purge": draws.one_of((0, 2, 3, 4, 5)), "supply": draws.integer(15, 30) * 10, "minutes": draws.integer(5, 15)},
    ask=lambda g, t: (
        f"A sound first stage hangs at {g['supply']} bar of supply. "
        + (f"You purge for {g['purge']} s and let go." if g["purge"] else f"Nobody has touched it for {g['minutes']} minutes; body and gas are as warm as the room."),
        "What does its needle do in the next minute?",
    ),
    solve=_settles,
    mistakes=(
        Mistake(
            "a settle is called a creep",
            lambda g: SETTLES[1],
            "Only a leak past the seat goes on and on. Cold gas warms and then it is warm: the rise dies away.",
        ),
        Mistake(
            "cold gas shrinks",
            lambda g: SETTLES[2],
            "Gas that is already cold warms up; warming raises its pressure.",
        ),
        Mistake(
            "no cold",
            lambda g: SETTLES[3] if g["purge"] else "",
            "Air let down from the supply arrives some thirty degrees colder. Shut in cold, it warms and the needle rises a little.",
        ),
        Mistake(
            "cold without flow",
            lambda g: SETTLES[0] if not g["purge"] else "",
            "Only flowing air gets cold. Here all is as warm as the room: nothing settles.",
        ),
    ),
    hints=lambda g, t: ("Was there any flow?", "Shut-in gas that warms rises in pressure, until it is warm."),
    working=lambda g, t: (
        "Air let down gets cold. Shut in, it takes heat from the body, and the body from the room.",
        f"The answer: {_settles(g)}.",
    ),
    options=lambda g, t: SETTLES,
)  # fmt: skip


# leaks ---------------------------------------------------------------------------------------------------


def _rate(g: Givens, volume: float | None = None, supply: float | None = None) -> float:
    """bar a minute through the hole of the question."""
    hole = leaks.hole_area(g["hole"] * 1e-6)
    upstream = ((g["supply"] if supply is None else supply) + ABSOLUTE) * BAR
    flow = gas.mass_flow(hole, upstream, 11 * BAR, gas.REFERENCE_TEMPERATURE)
    return float(leaks.pressure_rise(flow, (volume or g["volume"]) * 1e-6)) * 60 / BAR


def _known(g: Givens) -> float:
    """Rate as printed for the known volume."""
    return round(_rate(g, g["known"]), 3)


OTHER_VOLUME = QuantityExercise(
    name="other_volume",
    title="The same leak, another hose",
    version=1,
    objectives=(5,),
    draw=lambda draws: {
        "hole": draws.decimal("1.5", "3.5", "0.1"), "supply": 200, "known": draws.one_of((90, 100, 120)), "volume": draws.one_of((30, 40, 60)),
    },
    ask=lambda g, t: (
        f"With {g['known']} mL on its low-pressure side a first stage creeps by {t.number(_known(g), 3)} bar/min. You take hoses off until {g['volume']} mL are left.",
        "How fast does the needle climb now?",
    ),
    solve=lambda g: Q(_known(g) * g["known"] / g["volume"], "bar/min"),
    mistakes=(
        Mistake(
            "unchanged",
            lambda g: Q(_known(g), "bar/min"),
            "The leak is the same, the room it fills is not: a smaller volume fills faster.",
        ),
        Mistake(
            "slower",
            lambda g: Q(_known(g) * g["volume"] / g["known"], "bar/min"),
            "You scaled it the wrong way. Less volume, faster climb.",
        ),
        Mistake(
            "difference of the volumes",
            lambda g: Q(_known(g) * g["known"] / (g["known"] - g["volume"]), "bar/min"),
            "You divided by the volume taken off. What counts is the volume left.",
        ),
    ),
    hints=lambda g, t: ("The same gas enters each minute.", f"Rate = {t.number(_known(g), 3)} × {g['known']} ÷ {g['volume']}."),
    working=lambda g, t: (
        f"{t.number(_known(g), 3)} bar/min × {g['known']} mL ÷ {g['volume']} mL = {t.number(_known(g) * g['known'] / g['volume'], 3)} bar/min",
    ),
    kind="pressure rate",
    unit="bar/min",
    relative=0.01,
    why="the rate is given to three figures or so.",
)  # fmt: skip


def _given_rate(g: Givens) -> float:
    return round(_rate(g), 3)


OTHER_SUPPLY = QuantityExercise(
    name="other_supply",
    title="The same leak at low supply",
    version=1,
    objectives=(5, 2),
    draw=lambda draws: {
        "hole": draws.decimal("1.8", "3.5", "0.1"), "supply": draws.integer(18, 24) * 10, "volume": draws.one_of((50, 60, 80)), "low": draws.integer(4, 9) * 10,
    },
    ask=lambda g, t: (
        f"A nicked seat lets IP climb by {t.number(_given_rate(g), 3)} bar/min at {g['supply']} bar of supply. Flow through the nick is choked: it is in proportion to the absolute supply pressure (ambient {t.number(ABSOLUTE, 3)} bar).",
        f"How fast does it climb at {g['low']} bar?",
    ),
    solve=lambda g: Q(_given_rate(g) * (g["low"] + ABSOLUTE) / (g["supply"] + ABSOLUTE), "bar/min"),
    mistakes=(
        Mistake(
            "unchanged",
            lambda g: Q(_given_rate(g), "bar/min"),
            "Half the supply pushes half the gas through. The rate falls with the supply.",
        ),
        Mistake(
            "faster",
            lambda g: Q(_given_rate(g) * (g["supply"] + ABSOLUTE) / (g["low"] + ABSOLUTE), "bar/min"),
            "The wrong way: less supply, less gas through the nick.",
        ),
        Mistake(
            "difference to IP",
            lambda g: Q(_given_rate(g) * (g["low"] - 10) / (g["supply"] - 10), "bar/min"),
            "You took the difference between supply and IP. A choked hole does not feel the pressure behind it: only the supply counts.",
        ),
    ),
    hints=lambda g, t: ("Choked: flow follows the absolute pressure in front of the hole.", f"Rate × ({g['low']} + 1.013) ÷ ({g['supply']} + 1.013)."),
    working=lambda g, t: (
        f"Absolute: {g['supply']} + {t.number(ABSOLUTE, 3)} bar, and {g['low']} + {t.number(ABSOLUTE, 3)} bar.",
        f"{t.number(_given_rate(g), 3)} bar/min × {t.number(g['low'] + ABSOLUTE, 1)} ÷ {t.number(g['supply'] + ABSOLUTE, 1)} = {t.number(_given_rate(g) * (g['low'] + ABSOLUTE) / (g['supply'] + ABSOLUTE), 4)} bar/min",
    ),
    kind="pressure rate",
    unit="bar/min",
    relative=0.01,
    why="the rate is given to two or three figures.",
)  # fmt: skip
