"""Lesson 03, exercises on the sheet and on verdicts."""

from __future__ import annotations

from steadyneedle.bench.bands import format_chance, judge
from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.pressures import bar

INSIDE, OUTSIDE, CANNOT = "Inside: it passes.", "Outside: it fails.", "Cannot tell with this gauge."


WORDS = {"inside": INSIDE, "outside": OUTSIDE, "cannot tell": CANNOT}


SUPPLY_OPTIONS = (
    "It passes: the needle is in the band.",
    "It fails: the needle is out of the band.",
    "Neither yet: set the supply the sheet names and read again.",
    "It passes if the second stage does not leak.",
)


STATED_SUPPLY = ChoiceExercise(
    name="stated_supply",
    title="A band at a stated supply",
    version=1,
    objectives=(1, 5),
    draw=lambda draws: {
        "low": draws.decimal("8.6", "9.2", "0.1"), "supply": draws.one_of((180, 200, 220)), "actual": draws.integer(5, 9) * 10,
        "reading": draws.decimal("8.0", "10.4", "0.1"), "up": 1.0,
    },
    ask=lambda g, t: (
        f"The sheet of an unbalanced first stage says: IP {t.number(g['low'], 1)} to {t.number(g['low'] + g['up'], 1)} bar at {g['supply']} bar supply.",
        f"Your bench cylinder is down to {g['actual']} bar. The needle stands at {t.number(g['reading'], 1)} bar. What do you write down?",
    ),
    solve=lambda g: SUPPLY_OPTIONS[2],
    mistakes=(
        Mistake("supply ignored", lambda g: SUPPLY_OPTIONS[0] if g["low"] <= g["reading"] <= g["low"] + g["up"] else "", "The band holds at the supply the sheet names. An unbalanced stage gives another IP on a low cylinder."),
        Mistake("supply ignored, failed", lambda g: "" if g["low"] <= g["reading"] <= g["low"] + g["up"] else SUPPLY_OPTIONS[1], "The band holds at the supply the sheet names. On a full cylinder the same stage may stand in the band: do not condemn it yet."),
        Mistake("second stage brought in", lambda g: SUPPLY_OPTIONS[3], "The second stage has no part in it. What is missing is the supply pressure the band is stated at."),
    ),
    hints=lambda g, t: ("Read the whole line of the sheet, to its end.", f"The band is stated at {g['supply']} bar supply. What is yours?"),
    working=lambda g, t: (
        f"The sheet's band holds at {g['supply']} bar supply; the reading was taken at {g['actual']} bar.",
        "A reading at another supply cannot be held against the band. Set the supply, then read again.",
    ),
    options=lambda g, t: SUPPLY_OPTIONS,
)  # fmt: skip


RISE_A_MINUTE = QuantityExercise(
    name="rise_a_minute",
    title="The allowed rise, a minute",
    version=1,
    objectives=(1,),
    draw=lambda draws: {
        "rise": draws.decimal("0.10", "0.40", "0.05"),
        "minutes": draws.integer(3, 10),
        "purges": draws.integer(3, 6),
    },
    ask=lambda g, t: (
        f"A sheet allows a rise of {t.number(g['rise'], 2)} bar in {g['minutes']} minutes after {g['purges']} purges.",
        "Which creep rate is that? Type it in bar/min.",
    ),
    solve=lambda g: Q(g["rise"] / g["minutes"], "bar/min"),
    mistakes=(
        Mistake(
            "time ignored",
            lambda g: Q(g["rise"], "bar/min"),
            "That is the whole rise. A rate is the rise for one minute: divide by the minutes.",
        ),
        Mistake(
            "upside down",
            lambda g: Q(g["minutes"] / g["rise"], "bar/min"),
            "You divided minutes by bar. A rate in bar/min is bar divided by minutes.",
        ),
        Mistake(
            "purges counted as minutes",
            lambda g: Q(g["rise"] / g["purges"], "bar/min"),
            "You divided by the purges. They settle the seat before the watch; the rise is over the minutes.",
        ),
        Mistake(
            "multiplied",
            lambda g: Q(g["rise"] * g["minutes"], "bar/min"),
            "You multiplied. A rate is the rise divided by its time.",
        ),
    ),
    hints=lambda g, t: ("A rate says how far it climbs in one minute.", "Rate = rise ÷ minutes."),
    working=lambda g, t: (
        f"{t.number(g['rise'], 2)} bar ÷ {g['minutes']} min = {t.format(Q(g['rise'] / g['minutes'], 'bar/min'))}",
    ),
    kind="pressure rate",
    unit="bar/min",
    relative=0.02,
    why="two figures are all the sheet gives.",
    figures=2,
)


def _draw_judged(draws: Draws) -> Givens:
    low = draws.decimal("9.0", "9.8", "0.1")
    high = round(low + draws.one_of((0.8, 1.0, 1.2)), 1)
    uncertainty = draws.decimal("0.10", "0.20", "0.02")
    near = draws.one_of((low, high))
    reading = round(near + draws.decimal("-0.30", "0.30", "0.02"), 2)
    return {"low": low, "high": high, "U": uncertainty, "reading": reading}


def _verdict(g: Givens, rule: str, required: float = 0.95) -> str:
    return WORDS[judge(bar(g["reading"]), bar(g["low"]), bar(g["high"]), bar(g["U"]), rule, required).outcome]


def _asked(g: Givens, t: Preferences, rule: str) -> tuple[str, ...]:
    return (
        f"The sheet: {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar, {rule}.",
        f"The reading: {t.number(g['reading'], 2)} bar with an expanded uncertainty U = {t.number(g['U'], 2)} bar. What do you write down?",
    )


SIMPLE_VERDICT = ChoiceExercise(
    name="simple_verdict",
    title="Simple acceptance",
    version=1,
    objectives=(2, 5),
    draw=_draw_judged,
    ask=lambda g, t: _asked(g, t, "simple acceptance"),
    solve=lambda g: _verdict(g, "simple"),
    mistakes=(
        Mistake(
            "another rule",
            lambda g: CANNOT,
            "Under simple acceptance the reading alone decides; the answer is never 'cannot tell'. The risk near a limit is shared, and the sheet accepts it.",
        ),
        Mistake(
            "wrong side",
            lambda g: OUTSIDE if _verdict(g, "simple") == INSIDE else INSIDE,
            "Compare the reading itself with both limits. A reading on a limit belongs to the band.",
        ),
    ),
    hints=lambda g, t: (
        "Which numbers count under simple acceptance?",
        "Only the reading and the limits. U does not enter.",
    ),
    working=lambda g, t: (
        "Simple acceptance compares the reading with the limits and nothing else.",
        f"{t.number(g['reading'], 2)} bar lies {'in' if _verdict(g, 'simple') == INSIDE else 'outside'} {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar. {_verdict(g, 'simple')}",
    ),
    options=lambda g, t: (INSIDE, OUTSIDE, CANNOT),
)


GUARDED_VERDICT = ChoiceExercise(
    name="guarded_verdict",
    title="Guarded acceptance",
    version=1,
    objectives=(2, 5),
    draw=_draw_judged,
    ask=lambda g, t: _asked(g, t, "guarded acceptance with the expanded uncertainty"),
    solve=lambda g: _verdict(g, "guarded"),
    mistakes=(
        Mistake(
            "reading alone",
            lambda g: _verdict(g, "simple") if _verdict(g, "simple") != _verdict(g, "guarded") else "",
            "You compared the reading with the limits alone. Under guarded acceptance it must clear the limit by U.",
        ),
        Mistake(
            "uncertainty ignored on the far side",
            lambda g: (
                CANNOT
                if _verdict(g, "guarded") != CANNOT
                else (INSIDE if _verdict(g, "simple") == OUTSIDE else OUTSIDE)
            ),
            "Move each limit by U, inward to pass and outward to fail, and look again where the reading lies.",
        ),
    ),
    hints=lambda g, t: (
        "Move both limits inward by U: a reading there passes.",
        "Move both outward by U: a reading beyond fails. Between the two: cannot tell.",
    ),
    working=lambda g, t: (
        f"Passes from {t.number(g['low'] + g['U'], 2)} to {t.number(g['high'] - g['U'], 2)} bar; fails below {t.number(g['low'] - g['U'], 2)} or above {t.number(g['high'] + g['U'], 2)} bar.",
        f"{t.number(g['reading'], 2)} bar: {_verdict(g, 'guarded')}",
    ),
    options=lambda g, t: (INSIDE, OUTSIDE, CANNOT),
)


def _chance(g: Givens) -> float:
    return judge(bar(g["reading"]), bar(g["low"]), bar(g["high"]), bar(g["U"])).probability


PROBABILITY_VERDICT = ChoiceExercise(
    name="probability_verdict",
    title="A stated probability",
    version=1,
    objectives=(2, 5),
    draw=lambda draws: _draw_judged(draws) | {"required": draws.one_of((0.9, 0.95))},
    ask=lambda g, t: (
        *_asked(g, t, f"the true value must lie in the band with a probability of {format_chance(g['required'])}"),
        f"For this reading the probability is {format_chance(_chance(g))}.",
    ),
    solve=lambda g: _verdict(g, "probability", g["required"]),
    mistakes=(
        Mistake(
            "more likely than not",
            lambda g: (
                (INSIDE if _chance(g) > 0.5 else OUTSIDE) if _verdict(g, "probability", g["required"]) == CANNOT else ""
            ),
            "More likely than not is not enough: the sheet asks for its probability, for passing and for failing.",
        ),
        Mistake(
            "failing needs no proof",
            lambda g: (
                CANNOT
                if _verdict(g, "probability", g["required"]) != CANNOT
                else (OUTSIDE if _chance(g) > 0.5 else INSIDE)
            ),
            "Compare the probability with what the sheet asks to pass, and with the rest of 100 % to fail.",
        ),
    ),
    hints=lambda g, t: (
        f"To pass: at least {format_chance(g['required'])}.",
        f"To fail: at most {format_chance(1 - g['required'])}. Between the two: cannot tell.",
    ),
    working=lambda g, t: (
        f"Asked: {format_chance(g['required'])} to pass, at most {format_chance(1 - g['required'])} to fail.",
        f"Probability {format_chance(_chance(g))}: {_verdict(g, 'probability', g['required'])}",
    ),
    options=lambda g, t: (INSIDE, OUTSIDE, CANNOT),
)


ACCEPTANCE_LIMIT = QuantityExercise(
    name="acceptance_limit",
    title="Where acceptance ends",
    version=1,
    objectives=(5,),
    draw=lambda draws: {
        "low": draws.decimal("9.0", "9.8", "0.1"),
        "width": draws.decimal("0.8", "1.2", "0.1"),
        "U": draws.decimal("0.10", "0.24", "0.02"),
    },
    ask=lambda g, t: (
        f"A sheet asks for {t.number(g['low'], 1)} to {t.number(g['low'] + g['width'], 1)} bar under guarded acceptance. Your gauge gives U = {t.number(g['U'], 2)} bar.",
        "What is the highest reading that passes?",
    ),
    solve=lambda g: bar(g["low"] + g["width"] - g["U"]),
    mistakes=(
        Mistake(
            "guard band outward",
            lambda g: bar(g["low"] + g["width"] + g["U"]),
            "You added U. That is where failing begins. To pass, the reading must clear the limit from inside: subtract.",
        ),
        Mistake(
            "no guard band",
            lambda g: bar(g["low"] + g["width"]),
            "That is the limit itself, as under simple acceptance. Guarded acceptance stays U away from it.",
        ),
        Mistake(
            "half of it",
            lambda g: bar(g["low"] + g["width"] - g["U"] / 2),
            "You subtracted the standard uncertainty. The guard band is the expanded one, U.",
        ),
        Mistake(
            "lower end",
            lambda g: bar(g["low"] + g["U"]),
            "That is the lowest reading that passes. The highest is asked.",
        ),
    ),
    hints=lambda g, t: (
        "The guard band lies inside the limit.",
        "Highest reading that passes = upper limit − U.",
    ),
    working=lambda g, t: (
        f"{t.number(g['low'] + g['width'], 1)} bar − {t.number(g['U'], 2)} bar = {t.format(bar(g['low'] + g['width'] - g['U']), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.011,
    why="the numbers given end at a hundredth of a bar.",
)
