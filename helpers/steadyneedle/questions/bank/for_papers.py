"""Asked in papers alone: creep, by kinds of question that no lesson asks. All numbers are invented."""

from __future__ import annotations

import math
from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.exercise import Exercise, Givens, Mistake, Named
from steadyneedle.questions.keyed import OrderExercise, SeveralExercise, VerdictExercise
from steadyneedle.questions.placed import PlaceExercise
from steadyneedle.questions.shown import NeedleTrace

LETS_IN = {
    "nick": "a nick across the sealing edge of the orifice", "worn": "a seat with a deep ring worn into it",
    "crumb": "a crumb of rubber between seat and orifice", "stem": "a leaking balance-stem seal, supply on one side and IP on the other",
}
LETS_NO_IN = {
    "rim": "a weep at the rim of the diaphragm", "hose": "a weep at a hose fitting", "mouth": "a second stage that leaks at the mouthpiece",
    "filter": "an inlet filter that is half clogged", "yoke": "a leaking O-ring between cylinder valve and first stage", "soft": "a second stage set too soft",
}


def _draw_lets_in(d: Draws) -> Givens:
    right = d.integer(2, 3)
    return {"listed": " ".join([*d.order(sorted(LETS_IN))[:right], *d.order(sorted(LETS_NO_IN))[: 6 - right]])}


def _lets_in(w: Named) -> dict[str, Any]:
    offered = tuple(w.listed.split())
    return {"offered": offered, "answer": tuple(key for key in offered if key in LETS_IN)}


WHAT_LETS_IN = SeveralExercise(
    name="what_lets_in", title="What lets gas in", objectives=(4,),
    draw=_draw_lets_in, work=_lets_in,
    ask="A balanced diaphragm stage creeps, with the cylinder valve open and nobody breathing. Which of these let gas in from the supply, so that the needle climbs on and on?",
    choices=LETS_IN | LETS_NO_IN,
    mistakes=(
        Mistake("a weep taken for a leak inward", lambda w: "rim", "A weep at the rim takes gas away to the outside. It lets none in."),
        Mistake("a hose blamed", lambda w: "hose", "A weep at a hose fitting takes gas away to the outside."),
        Mistake("the second stage blamed", lambda w: "mouth", "A second stage that leaks takes gas away. The first stage then opens and makes it good."),
        Mistake("the filter blamed", lambda w: "filter", "A clogged filter keeps gas back. It lets none past the seat."),
        Mistake("the yoke blamed", lambda w: "yoke", "At the cylinder valve supply leaks to the outside, not into IP."),
        Mistake("an adjuster blamed", lambda w: "soft", "A second stage set too soft opens early. It lets gas out, not in."),
        Mistake("the edge overlooked", lambda w: "nick", "A nick in the sealing edge leaves a way past the seat."),
        Mistake("the seat overlooked", lambda w: "worn", "A seat that is worn deep may not close all the way round."),
        Mistake("dirt overlooked", lambda w: "crumb", "A crumb holds the seat off its edge, and gas goes past."),
        Mistake("the stem overlooked", lambda w: "stem", "Past the stem's seal gas goes from supply to IP, however good the seat is."),
    ),
    hints=("Ask of each: does it open a way from supply to IP?", "What leaks to the outside takes gas away."),
    working=("What lets gas in opens a way from supply to IP. What leaks to the outside only takes gas away, and a filter keeps it back.", "Right: {right}."),
)

STEPS = {
    "word": "write down what the customer complains of", "gauge": "fit an IP gauge, its face turned away from you", "open": "open the cylinder valve slowly",
    "lock": "purge, and note where the needle locks up", "watch": "watch the needle for several minutes", "shut": "shut the cylinder valve",
    "vent": "purge until every needle stands at nought", "tool": "put a spanner to the first stage",
}
"""The steps of a bench job before a stage is opened, in their order: common practice, no source."""
ASKED_STEPS = 5


def _draw_steps(d: Draws) -> Givens:
    listed = d.order([key for key in STEPS if key not in ("vent", "tool")])[: ASKED_STEPS - 2]
    return {"listed": " ".join([*listed, "vent", "tool"])}


def _steps(w: Named) -> dict[str, Any]:
    listed = tuple(key for key in STEPS if key in w.listed.split())
    return {"offered": listed, "answer": listed}


BEFORE_OPENING = OrderExercise(
    name="before_opening", title="Before a stage is opened", objectives=(2, 3), version=2,
    draw=_draw_steps, work=_steps,
    ask="A first stage is said to creep, and you mean to open it. Put these steps of the job into the order in which you do them; other steps are left out.",
    choices=STEPS,
    mistakes=(
        Mistake("a spanner before it is vented", lambda w: ("tool", "vent"), "No spanner touches what still holds pressure. Vent it first."),
        Mistake("vented with the valve open", lambda w: ("vent", "shut"), "With the cylinder valve open it fills again as it empties. Shut the valve, then vent."),
        Mistake("pressure before the gauge", lambda w: ("open", "gauge"), "Fit the gauge while there is no pressure."),
        Mistake("watched before it locked up", lambda w: ("watch", "lock"), "The watch begins at lock-up. Purge and note it first."),
        Mistake("read before there is pressure", lambda w: ("lock", "open"), "Nothing locks up before the valve is open."),
        Mistake("watched before there is pressure", lambda w: ("watch", "open"), "There is nothing to watch before the valve is open."),
        Mistake("shut before the watch", lambda w: ("shut", "watch"), "With the valve shut a creep soon has no supply. Watch with the valve open."),
        Mistake("vented before the watch", lambda w: ("vent", "watch"), "Once it is vented there is nothing left to watch."),
        Mistake("nothing written down", lambda w: ("tool", "word"), "Write the complaint down before anything is changed."),
    ),
    hints=("Nothing is opened under pressure, and nothing is measured without.", "What comes last, and what must be true just before it?"),
    working=("Write down, connect, pressurise, measure, vent, and only then open. This is common practice; the maker's manual goes first.", "The order: {right}."),
)

KINDS = ("locks", "settles", "creeps", "short", "high")
SAYS = {"locks": ("holds", "flat"), "settles": ("holds", "dies"), "creeps": ("creeps", "steady"), "short": ("open", "brief"), "high": ("high", "above")}


def _watch(w: Named) -> dict[str, Any]:
    every, count, middle = (5, 5, w.low + 0.2) if w.case == "short" else (30, 17, w.low + 0.1)
    minutes = [n * every / 60 for n in range(count)]
    rises = {
        "locks": lambda t: 0.0, "short": lambda t: 0.0, "high": lambda t: 0.5 + w.size,
        "settles": lambda t: w.size * (1 - math.exp(-t / 0.6)), "creeps": lambda t: w.climb * t,
    }
    row = tuple(round(middle + rises[w.case](t), 2) for t in minutes)
    verdict = SAYS[w.case]
    return {"row": row, "every": every, "high": w.low + 0.4, "watched": "20 s" if w.case == "short" else "8 min", "first": row[0], "last": row[-1], "answer": verdict}


def _watched(w: Named) -> NeedleTrace:
    read = "; ".join(f"{one:.2f}" for one in w.row)
    text = f"A needle, read every {w.every} s, in bar: {read}. Its band is {w.low:.1f} to {w.high:.1f} bar."
    return NeedleTrace(tuple(n * w.every for n in range(len(w.row))), w.row, w.low, w.high, text)


JUDGE_A_WATCH = VerdictExercise(
    name="judge_a_watch", title="A watch, a verdict and its reason", objectives=(1, 3),
    draw=lambda d: {"case": d.one_of(KINDS), "low": d.decimal("9.2", "9.8", "0.1"), "size": d.decimal("0.10", "0.20", "0.02"), "climb": d.decimal("0.03", "0.05", "0.01")},
    work=_watch, shows=_watched,
    ask=(
        "A needle was read every {every} s for {watched}; the picture shows each reading as a dot. Nobody touched anything. Each reading may be out by 0.01 bar.",
        "The sheet asks for {low:.1f} to {high:.1f} bar, and allows no creep once the needle has settled. What is your verdict, and why?",
    ),
    choices={"holds": "it holds within the band", "creeps": "it creeps", "high": "it holds, but outside the band", "open": "nobody can tell yet"},
    reasons={
        "flat": "no reading differs from the first by more than an error of reading, over minutes", "dies": "the rise dies away, and the last minutes show none",
        "steady": "it rises by as much in the last minutes as in the first", "brief": "a slow creep would not show in so short a time",
        "above": "it stands still above the band",
    },
    mistakes=(
        Mistake("a settle is called a creep", lambda w: ("creeps", None) if w.case == "settles" else None, "It rises, but less and less, and then holds. A creep goes on by as much each minute."),
        Mistake("a creep overlooked", lambda w: ("holds", None) if w.case == "creeps" else None, "Compare the first minutes with the last: it still rises by as much."),
        Mistake("a short look decides", lambda w: ("holds", None) if w.case == "short" else None, "In so short a time a slow creep moves the needle by no more than an error of reading."),
        Mistake("the band overlooked", lambda w: ("holds", None) if w.case == "high" else None, "It holds. But where? Compare it with the band."),
        Mistake("too careful", lambda w: ("open", None) if w.case != "short" else None, "The watch is long enough, and shows more than an error of reading would hide. You can tell."),
        Mistake("a creep without a climb", lambda w: ("creeps", None), "A creep goes up by as much each minute, and on. This needle does not."),
        Mistake("outside without a look at the band", lambda w: ("high", None) if w.case in ("locks", "settles", "short") else None, "Compare it with the band: every reading lies within."),
        Mistake("no place to hold", lambda w: ("high", None) if w.case == "creeps" else None, "It does not hold: it rises in every minute of the watch."),
    ),
    hints=("Compare the first minutes with the last, the needle with its band, and think how long it was watched.", "How far would a slow creep have moved the needle in that time?"),
    working=("From {first:.2f} to {last:.2f} bar in {watched}; band {low:.1f} to {high:.1f} bar.", "The answer: {right}."),
)

EVERY, LAST = 15, 40
"""Seconds from dot to dot, and the number of the last dot."""
SHRINKING = (0.06,) * 6 + (0.05,) * 6 + (0.04,) * 6 + (0.03,) * 6
"""bar by which each step of the settle is larger than one of the creep, to its end; the last is plain in the picture."""


def _settle_then_creep(w: Named) -> dict[str, Any]:
    steps = [w.climb + (SHRINKING[n - w.dots] if n < w.dots else 0.0) for n in range(LAST)]
    row = [round(w.low + 0.02, 2)]
    for step in steps:
        row.append(round(row[-1] + step, 2))
    high = round(w.low + w.width, 1)
    leaves = next((n for n, bar in enumerate(row) if bar > high), LAST)
    return {"row": tuple(row), "every": EVERY, "high": high, "leaves": leaves * EVERY / 60, "watched": LAST * EVERY // 60, "answer": w.dots * EVERY / 60}


WHERE_IT_CREEPS = PlaceExercise(
    name="where_it_creeps", title="Where the settle ends", objectives=(1, 2),
    draw=lambda d: {"low": d.decimal("9.0", "9.6", "0.1"), "dots": d.integer(8, len(SHRINKING)), "climb": d.decimal("0.01", "0.02", "0.01"), "width": d.decimal("1.4", "1.6", "0.1")},
    work=_settle_then_creep, shows=_watched,
    ask=(
        "A needle was read every {every} s for {watched} minutes after a purge; the picture shows each reading as a dot. It settles at first; after that it only creeps, by the same step from dot to dot.",
        "After how many minutes is the settle over, so that a rate of creep may be measured from there on?",
    ),
    mistakes=(
        Mistake("the end of the watch", lambda w: float(w.watched), "That is where the watch ends. The settle ends where the dots begin to lie on one straight line."),
        Mistake("where it leaves the band", lambda w: w.leaves if w.leaves < w.watched else None, "That is where it leaves the band. Where do the steps from dot to dot stop shrinking?"),
        Mistake("from the first dot", lambda w: 0.0, "From there on it settles and creeps at once. The settle is over where the steps no longer shrink."),
    ),
    hints=("Lay a ruler along the last dots. Where does the row leave it?", "Look at the steps from dot to dot. From where on are they all the same?"),
    working=("Up to {answer} min the steps from dot to dot are larger; after it each is {climb:.2f} bar.", "The settle is over after {answer} min; one dot earlier or later will do."),
    absolute=0.25, why="that is one dot either way, and the picture shows no more.", figures=2, version=4,
)


def exercises() -> tuple[Exercise, ...]:
    """All of them."""
    return (WHAT_LETS_IN, BEFORE_OPENING, JUDGE_A_WATCH, WHERE_IT_CREEPS)
