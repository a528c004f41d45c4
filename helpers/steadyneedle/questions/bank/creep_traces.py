"""Lesson 04, exercises on recognising traces and on second stages."""

from __future__ import annotations

import math

from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.preferences import Preferences

SHOWS = ("it locks", "it settles", "it creeps", "it falls", "it saw-tooths")


def _row(g: Givens) -> list[float]:
    """Readings every 30 s for 5 min, to a hundredth of a bar."""
    base, size, kind = g["base"], g["size"], g["kind"]
    minutes = [n / 2 for n in range(11)]
    shapes = {
        SHOWS[0]: lambda t: 0.0, SHOWS[1]: lambda t: 0.8 * size * (1 - math.exp(-t / 0.4)), SHOWS[2]: lambda t: size * t,
        SHOWS[3]: lambda t: -size * t, SHOWS[4]: lambda t: 1.5 * size - size * ((2 * t + g["phase"]) % 4),
    }  # fmt: skip
    return [round(base + shapes[kind](t), 2) for t in minutes]


def _draw_row(draws: Draws) -> Givens:
    return {
        "base": draws.decimal("9.4", "10.0", "0.02"), "size": draws.decimal("0.10", "0.24", "0.02"),
        "kind": draws.one_of(SHOWS), "phase": draws.integer(0, 3),
    }  # fmt: skip


def _asked_row(g: Givens, t: Preferences) -> tuple[str, ...]:
    row = ", ".join(t.number(value, 2) for value in _row(g))
    return (f"A needle, read every 30 s, in bar: {row}.", "Nobody touched anything. What does it do?")


WHICH_TRACE = ChoiceExercise(
    name="which_trace",
    title="What a row of readings shows",
    version=1,
    objectives=(1,),
    draw=_draw_row,
    ask=_asked_row,
    solve=lambda g: g["kind"],
    mistakes=(
        Mistake(
            "a settle is called a creep",
            lambda g: SHOWS[2] if g["kind"] == SHOWS[1] else "",
            "It rises, but less and less, and then stands. Creep goes on by as much each minute.",
        ),
        Mistake(
            "a creep is called a settle",
            lambda g: SHOWS[1] if g["kind"] == SHOWS[2] else "",
            "Look at the last minutes: it still rises by as much as in the first. A settle dies away.",
        ),
        Mistake(
            "any movement is a creep",
            lambda g: SHOWS[2] if g["kind"] in (SHOWS[3], SHOWS[4]) else "",
            "Creep is a steady rise. Look which way it goes, and whether it jumps back.",
        ),
        Mistake(
            "teeth overlooked",
            lambda g: SHOWS[3] if g["kind"] == SHOWS[4] else "",
            "It falls slowly, but then it is up again at once: a saw-tooth.",
        ),
    ),
    hints=lambda g, t: ("Take the differences from one reading to the next.", "Steady differences creep or fall. Shrinking ones settle. A jump back makes a saw-tooth."),
    working=lambda g, t: (
        f"First minute: {t.number(_row(g)[2] - _row(g)[0], 2)} bar. Last minute: {t.number(_row(g)[10] - _row(g)[8], 2)} bar.",
        f"The answer: {g['kind']}.",
    ),
    options=lambda g, t: SHOWS,
)  # fmt: skip

BOOKS = (
    "the weep makes IP climb", "something else makes it climb: gas comes in, warms, or the set point moves",
    "the gauge must be wrong", "the second stage leaks",
)  # fmt: skip
BOOKS_DOWN = "the weep explains it: gas goes out"


def _books(g: Givens) -> str:
    return BOOKS[1] if g["way"] == "climbs" else BOOKS_DOWN


BOOKKEEPING = ChoiceExercise(
    name="bookkeeping",
    title="Gas in, gas out",
    version=1,
    objectives=(1,),
    draw=lambda draws: {
        "way": draws.one_of(("climbs", "climbs", "falls")), "place": draws.one_of(("the rim of the diaphragm", "a hose fitting")),
        "rate": draws.decimal("0.05", "0.30", "0.05"), "design": draws.one_of(("Hazel", "Juniper")),
    },
    ask=lambda g, t: (
        f"{g['design']}: soapy water shows a weep at {g['place']}. With the cylinder valve {'open' if g['way'] == 'climbs' else 'shut'} the needle {g['way']} by {t.number(g['rate'], 2)} bar a minute.",
        "What follows?",
    ),
    solve=_books,
    mistakes=(
        Mistake(
            "the habit",
            lambda g: BOOKS[0] if g["way"] == "climbs" else "",
            "A weep to the outside takes gas away. It can only lower IP, or make the valve trickle. Mend it, and look on for what lets gas in.",
        ),
        Mistake(
            "down as up",
            lambda g: BOOKS[1] if g["way"] == "falls" else "",
            "It falls: gas goes out. The weep you found does just that.",
        ),
        Mistake(
            "the gauge first",
            lambda g: BOOKS[2],
            "Nothing here speaks against the gauge. A second gauge would tell.",
        ),
        Mistake(
            "the neighbour",
            lambda g: BOOKS[3],
            "A leaking second stage hisses at the mouthpiece and takes gas away. It makes nothing climb.",
        ),
    ),
    hints=lambda g, t: ("IP rises only if gas enters, gas warms, or the set point rises.", "Which way does gas go through a weep to the outside?"),
    working=lambda g, t: (
        "A leak to ambient takes gas out of the low-pressure side.",
        f"The needle {g['way']}. So: {_books(g)}.",
    ),
    options=lambda g, t: (*BOOKS, BOOKS_DOWN),
)  # fmt: skip


def _opens_in(g: Givens) -> float:
    return float((g["opens"] - g["now"]) / g["rate"])


OPENS_IN = QuantityExercise(
    name="opens_in",
    title="When the second stage gives way",
    version=1,
    objectives=(4, 2),
    draw=lambda draws: {
        "opens": draws.decimal("11.2", "12.0", "0.1"), "now": draws.decimal("9.6", "10.4", "0.1"), "rate": draws.decimal("0.05", "0.25", "0.01"),
    },
    ask=lambda g, t: (
        f"The needle stands at {t.number(g['now'], 1)} bar and climbs by {t.number(g['rate'], 2)} bar a minute. The second stage opens by itself at {t.number(g['opens'], 1)} bar.",
        "In how many minutes does it begin to flow?",
    ),
    solve=lambda g: Q(_opens_in(g), "min"),
    mistakes=(
        Mistake(
            "whole pressure",
            lambda g: Q(g["opens"] / g["rate"], "min"),
            "You took the whole opening pressure. Only the way from now to there counts.",
        ),
        Mistake(
            "multiplied",
            lambda g: Q((g["opens"] - g["now"]) * g["rate"], "min"),
            "You multiplied. Time is the way divided by the rate.",
        ),
        Mistake(
            "upside down",
            lambda g: Q(g["rate"] / (g["opens"] - g["now"]), "min"),
            "You divided the rate by the way. Turn it round.",
        ),
    ),
    hints=lambda g, t: ("How far is it from now to the opening?", f"({t.number(g['opens'], 1)} − {t.number(g['now'], 1)}) ÷ {t.number(g['rate'], 2)}."),
    working=lambda g, t: (
        f"Way: {t.number(g['opens'], 1)} − {t.number(g['now'], 1)} = {t.number(g['opens'] - g['now'], 1)} bar.",
        f"Time: {t.number(g['opens'] - g['now'], 1)} bar ÷ {t.number(g['rate'], 2)} bar/min = {t.number(_opens_in(g), 1)} min",
    ),
    kind="time",
    unit="min",
    relative=0.02,
    why="the pressures are given to a tenth of a bar.",
)  # fmt: skip

CURES = (
    "it stops the creep", "the second stage opens later; the needle climbs as before", "the second stage opens sooner; the needle climbs as before",
    "it lowers IP",
)  # fmt: skip


def _cure(g: Givens) -> str:
    return CURES[1] if g["way"] == "stiffer" else CURES[2]


ADJUSTER = ChoiceExercise(
    name="adjuster",
    title="The second stage's adjuster",
    version=1,
    objectives=(4,),
    draw=lambda draws: {"way": draws.one_of(("stiffer", "softer")), "now": draws.decimal("10.2", "11.2", "0.1"), "name": draws.one_of(("Sedge", "Reed"))},
    ask=lambda g, t: (
        f"IP creeps and stands at {t.number(g['now'], 1)} bar. Somebody turns the adjuster of the second stage, {g['name']}, {g['way']}.",
        "What does that do?",
    ),
    solve=_cure,
    mistakes=(
        Mistake(
            "the creep is cured",
            lambda g: CURES[0],
            "The creep sits in the first stage. Gas still comes in past its seat, whatever the second stage does.",
        ),
        Mistake(
            "the wrong way",
            lambda g: CURES[2] if g["way"] == "stiffer" else CURES[1],
            "More spring holds more IP: stiffer opens later, softer sooner.",
        ),
        Mistake(
            "the wrong stage",
            lambda g: CURES[3],
            "The second stage does not set IP. It only opens, or holds.",
        ),
    ),
    hints=lambda g, t: ("Which stage lets the gas in?", "More spring at the second stage holds more IP before it opens."),
    working=lambda g, t: (
        "The first stage lets gas in: the needle climbs as before.",
        f"Turned {g['way']}: {_cure(g)}. Find the cause in the first stage.",
    ),
    options=lambda g, t: CURES,
)  # fmt: skip
