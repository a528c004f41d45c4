"""Lesson 04: creep and its cause."""

from __future__ import annotations

import math
from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.bank.climbing import AT_THE_STOP, BLANK_THE_PORTS, MOVES_FREELY, SUPPLY_FALLS, WHICH_STAGE
from steadyneedle.questions.bank.nine_kinds import SHOWN, WHICH_TRACE
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import TABLE, Asked, HiddenFault, Plan, Prediction, Series


def _creep_rate(w: Named) -> dict[str, Any]:
    time = w.until - w.since
    first = round(w.lock + w.settle + w.climb * w.since, 2)  # it creeps while it settles, too
    last = round(first + w.climb * time + w.stray, 2)
    return {"first": first, "last": last, "rise": last - first, "time": time, "answer": (last - first) / time}


CREEP_RATE = QuantityExercise(
    name="creep_rate", title="The rate of a creep", objectives=(2, 1), version=6,
    draw=lambda d: {
        "lock": d.decimal("9.50", "9.80", "0.02"), "settle": d.decimal("0.06", "0.14", "0.02"), "climb": d.decimal("0.03", "0.12", "0.01"),
        "since": d.integer(1, 2), "until": d.integer(6, 10), "stray": d.decimal("-0.02", "0.02", "0.01"),
    },
    work=_creep_rate,
    ask=(
        "A needle locks up at {lock:.2f} bar and settles in the first minute. After {since} min it reads {first:.2f} bar, after {until} min {last:.2f} bar.",
        "How fast does it creep once it has settled?",
    ),
    mistakes=(
        Mistake("settle counted as creep", lambda w: (w.last - w.lock) / w.until, "You began at lock-up, so the settle is in it. Begin where it has settled."),
        Mistake("divided by the whole time", lambda w: w.rise / w.until, "You divided by the time since lock-up. Take the time between the two readings."),
        Mistake("the whole rise", lambda w: w.rise, "That is the rise of the whole watch. A rate is the rise of one minute."),
        Mistake("a minute too many", lambda w: w.rise / (w.time + 1), "You counted one minute too many: from {since} min to {until} min it is {time} min."),
    ),
    hints=("Two readings after the settle, and the time between them.", "Between those two it rises {last:.2f} − {first:.2f} = {rise:.2f} bar."),
    working=("Rise: {last:.2f} − {first:.2f} = {rise:.2f} bar in {time} min.", "Rate: {rise:.2f} bar ÷ {time} min = {answer:.3f} bar/min"),
    kind="pressure rate", unit="bar/min", relative=0.02, why="the readings end at a hundredth of a bar.", figures=2, step=0.01,  # as a rate is written on a bench
)

RATE_ERROR = QuantityExercise(
    name="rate_error", title="What reading does to a rate", objectives=(2, 3), version=4,
    draw=lambda d: {"division": d.one_of((0.02, 0.05, 0.1, 0.2, 0.5)), "minutes": d.integer(2, 12)},
    work=lambda w: {"half": w.division / 2, "answer": w.division / w.minutes},
    ask=(
        "A gauge has a division of {division} bar. You read it to the nearest mark, at the beginning and after {minutes} min, so each reading may be off by half a division.",
        "By how much may the rate be off, at most?",
    ),
    mistakes=(
        Mistake("one reading only", lambda w: w.answer / 2, "Both readings may be off, one up and one down: half a division twice is a whole one."),
        Mistake("time forgotten", lambda w: w.division, "That is the error of the rise. Divide it by the time."),
        Mistake("a division each", lambda w: 2 * w.answer, "You took a whole division for each reading. To the nearest mark each is off by half a division at most."),
    ),
    hints=("The first reading may be half a division low, the last half a division high.", "So the rise may be off by half a division twice. And the rate is the rise of one minute."),
    working=(
        "Error of the rise: {half} + {half} = {division} bar.",
        "Error of the rate: {division} bar ÷ {minutes} min = {answer} bar/min",
    ),
    kind="pressure rate", unit="bar/min", relative=0.02, why="it is an upper bound, and two figures are plenty.", figures=2, half_width=True,
)

HOW_LONG = QuantityExercise(
    name="how_long", title="How long to watch", objectives=(3,), version=3,
    draw=lambda d: {"division": d.one_of((0.05, 0.1, 0.2, 0.25, 0.5)), "limit": d.decimal("0.02", "0.10", "0.01")},
    work=lambda w: {"answer": w.division / w.limit, "whole": math.ceil(w.division / w.limit - 1e-9)},
    ask=(
        "The limit of creep is {limit:.2f} bar a minute. You read to {division:.2f} bar.",
        "How long must you watch, at least, until a creep at the limit has moved the needle by one step you can read?",
    ),
    mistakes=(
        Mistake("rounded down", lambda w: float(w.whole - 1) if w.whole - w.answer > 1e-9 else None, "Rounded down it is too short: a creep at the limit has not moved the needle by a step. Round a time to watch up."),
        Mistake("half a step", lambda w: w.answer / 2, "Half a step may hide in the rounding. Wait for a whole one."),
        Mistake("ten seconds", lambda w: 10 / 60, "Ten seconds show nothing. Work out what a creep at the limit does in that time."),
    ),
    hints=("How long does the needle need for one step?", "In one minute a creep at the limit moves it by {limit:.2f} bar. You need {division:.2f} bar."),
    working=("{division:.2f} bar ÷ {limit:.2f} bar/min = {answer:.2f} min", "On a clock round up, never down: {whole} min"),
    kind="time", unit="min", relative=0.05, why="nobody watches to the second.", figures=2, limit="at least",
)


def _sure_enough(w: Named) -> dict[str, Any]:
    low, high = w.rate - w.error, w.rate + w.error
    answer = "creeps" if low > w.limit else "stands" if high < w.limit else "watch on"
    return {"low": low, "high": high, "middle": "creeps" if w.rate > w.limit else "stands", "answer": answer}


def _draw_sure(d: Draws) -> Givens:
    limit, error, sign = d.one_of((0.04, 0.05, 0.06, 0.08)), d.decimal("0.01", "0.05", "0.01"), d.one_of((-1, 1))
    clear = d.decimal("0.02", "0.05", "0.01")
    says = d.one_of(("creeps", "stands", "watch on"))
    if says == "watch on":
        error = max(error, 0.03)
        rate = limit + sign * d.decimal("0.01", f"{error - 0.02:.2f}", "0.01")
    elif says == "stands":
        error = min(error, round(limit - 0.02, 2))
        rate = max(limit - error - clear, 0.0)
    else:
        rate = limit + error + clear
    return {"rate": round(rate, 2), "error": error, "limit": limit}


SURE_ENOUGH = ChoiceExercise(
    name="sure_enough", title="Sure enough", objectives=(3, 1), version=3,
    draw=_draw_sure,
    work=_sure_enough,
    ask=("After your watch the rate is {rate:.2f} bar/min, give or take {error:.2f} bar/min. The sheet allows {limit:.2f} bar/min.", "What do you say?"),
    choices={"creeps": "it creeps, beyond the limit", "stands": "it keeps within the limit", "watch on": "cannot tell yet: watch on"},
    mistakes=(
        Mistake("the middle decides", lambda w: w.middle, "You looked at the middle only. The limit lies within what the rate may be."),
        Mistake("against the middle", lambda w: {"creeps": "stands", "stands": "creeps"}[w.middle] if w.answer == "watch on" else None, "Even the middle lies on the other side of the limit. And the limit lies within what the rate may be."),
        Mistake("never sure", lambda w: "watch on", "The whole interval lies on one side of the limit: you can tell."),
        Mistake("the wrong side", lambda w: {"creeps": "stands", "stands": "creeps"}.get(w.answer), "Compare again: is the interval above the limit or below it?"),
    ),
    hints=("The rate lies between {low:.2f} and {high:.2f} bar/min.", "Is the limit inside that interval?"),
    working=("Interval: {low:.2f} to {high:.2f} bar/min; limit {limit:.2f} bar/min.", "The answer: {right}."),
    boundaries=lambda w: ((w.low, w.limit, 0.01), (w.high, w.limit, 0.01), (w.rate, w.limit, 0.0)),
)

OPENS_IN = QuantityExercise(
    name="opens_in", title="When the second stage free-flows", objectives=(4, 2), version=4,
    draw=lambda d: {"opens": d.decimal("11.2", "12.0", "0.1"), "now": d.decimal("9.6", "10.4", "0.1"), "rate": d.decimal("0.03", "0.12", "0.01")},
    work=lambda w: {"way": w.opens - w.now, "answer": (w.opens - w.now) / w.rate},
    ask=(
        "The needle stands at {now:.1f} bar and climbs by {rate:.2f} bar a minute. The second stage opens by itself at {opens:.1f} bar.",
        "In how many minutes does it begin to free-flow? Round to the nearest minute, or give it closer.",
    ),
    mistakes=(
        Mistake("whole pressure", lambda w: w.opens / w.rate, "You took the whole opening pressure. Only what the needle still has to climb counts."),
        Mistake("from the other end", lambda w: w.now / w.rate, "That is how long the needle would have taken from 0. Only what it still has to climb counts."),
        Mistake("the way as time", lambda w: w.way, "That is how far it has to climb, in bar. Divide it by what it climbs in a minute."),
    ),
    hints=("How far does the needle still have to climb?", "It has {way:.1f} bar to go, and climbs {rate:.2f} bar each minute."),
    working=("Still to climb: {opens:.1f} − {now:.1f} = {way:.1f} bar.", "Time: {way:.1f} bar ÷ {rate:.2f} bar/min = {answer:.1f} min"),
    kind="time", unit="min", relative=0.02, why="the pressures are given to a tenth of a bar.", figures=2, says_enough=True,
)

TURNED = {
    "stiffer": "turns the adjuster of the second stage stiffer", "softer": "turns the adjuster of the second stage softer",
    "first": "turns the adjuster of the first stage out by half a turn", "seat": "fits a new seat and a sound edge to the first stage",
}

ADJUSTER = ChoiceExercise(
    name="adjuster", title="What stops a creep", objectives=(4,), version=2,
    draw=lambda d: {"way": d.one_of(tuple(TURNED)), "now": d.decimal("10.2", "11.2", "0.1"), "rate": d.decimal("0.04", "0.20", "0.02")},
    work=lambda w: {"done": TURNED[w.way], "answer": {"stiffer": "later", "softer": "sooner", "first": "lowers", "seat": "stops"}[w.way]},
    ask=("IP creeps by {rate:.2f} bar a minute and has reached {now:.1f} bar. Somebody {done}.", "What does that do?"),
    choices={
        "stops": "it stops the creep", "later": "the second stage opens later; the needle climbs as before",
        "sooner": "the second stage opens sooner; the needle climbs as before", "lowers": "lock-up is lower; the needle climbs from there as before",
    },
    mistakes=(
        Mistake("the creep is cured", lambda w: "stops", "The creep sits at the first stage's seat. Gas still comes in past it, whatever one turns."),
        Mistake("the wrong way", lambda w: {"later": "sooner", "sooner": "later"}.get(w.answer), "More spring holds more IP: stiffer opens later, softer sooner."),
        Mistake("opens later", lambda w: "later", "Nobody has touched the second stage: it opens where it opened before."),
        Mistake("opens sooner", lambda w: "sooner", "The second stage is as it was: it opens at the same IP as before."),
        Mistake("the wrong stage", lambda w: "lowers" if w.way in ("stiffer", "softer") else None, "The second stage does not set IP. It only opens, or holds."),
        Mistake("setting for mending", lambda w: "lowers", "A new seat may move lock-up a little, and it is then set again. But what does it do to the place where gas came in?"),
    ),
    hints=("Which stage lets the gas in?", "More spring at the second stage holds more IP before it opens. More or less spring at the first sets where it locks up. No spring mends a seat."),
    working=("Only a sound seat keeps gas out; springs set where a valve opens.", "Somebody {done}: {right}."),
)


def _draw_hidden(d: Draws) -> Givens:
    now, opens, rate = d.decimal("9.8", "10.6", "0.1"), d.decimal("11.0", "11.6", "0.1"), d.one_of((0.08, 0.10, 0.12, 0.15, 0.20, 0.25))
    beyond = d.decimal("0.3", "0.8", "0.1")
    return {"now": now, "opens": opens, "rate": rate, "minutes": math.ceil((opens - now + beyond) / rate), "more": d.decimal("1.3", "1.8", "0.1")}


HIDDEN_CREEP = QuantityExercise(
    name="hidden_creep", title="A hiss that is gone", objectives=(4,), version=2,
    draw=_draw_hidden,
    work=lambda w: {"holds": w.opens + w.more, "climb": w.rate * w.minutes, "answer": w.now + w.rate * w.minutes},
    ask=(
        "IP creeps by {rate:.2f} bar a minute and stands at {now:.1f} bar. The second stage on its hose opens by itself at {opens:.1f} bar. Somebody fits another in its place, which holds up to {holds:.1f} bar.",
        "Where does IP stand {minutes} minutes later?",
    ),
    mistakes=(
        Mistake("the creep is cured", lambda w: w.now, "Another second stage stops no creep. Gas still comes in past the first stage's seat."),
        Mistake("held at the old opening", lambda w: w.opens, "There the old second stage opened and let the gas out. The other one holds, so IP climbs on."),
        Mistake("at the new opening", lambda w: w.holds, "It may climb as far as that, in time. How far does it get in {minutes} minutes?"),
        Mistake("the climb alone", lambda w: w.climb, "That is the climb alone. It begins at where IP stands now."),
        Mistake("one minute", lambda w: w.now + w.rate, "That is where it stands after one minute. It climbs by as much each minute."),
    ),
    hints=("Did anybody touch the place where the gas comes in?", "It climbs on as before, {rate:.2f} bar each minute. How far is that in {minutes} minutes?"),
    working=("Nobody touched the first stage's seat: IP climbs on. Only the hiss is gone, up to {holds:.1f} bar: a second stage that holds more hides the creep, and so does a stiffer adjuster.", "Climb: {rate:.2f} bar/min × {minutes} min = {climb:.2f} bar.", "{now:.1f} bar + {climb:.2f} bar = {answer:.2f} bar"),
    boundaries=lambda w: ((w.answer, w.opens, 0.1), (w.answer, w.holds, 0.1), (w.answer, w.minutes, 0.2)),  # the minutes are no answer
    kind="gauge pressure", relative=0.0, absolute=0.02, why="that is closer than anybody reads a needle.",
)

FOUND = {
    "comes in": "Soapy water shows a weep at {place}. Cylinder valve open, the needle climbs by {rate:.2f} bar a minute.",
    "weep": "Soapy water shows a weep at {place}. With the cylinder valve shut IP holds, and the supply needle falls by {fall:.1f} bar a minute.",
    "gauge": f"Soapy water shows nothing. The needle climbs by {{rate:.2f}} bar a minute; a second gauge on the next port, {MOVES_FREELY}, holds steady.",
    "second stage": "Soapy water shows nothing at the first stage and its hoses. With the cylinder valve shut IP holds, the supply needle falls by {fall:.1f} bar a minute, and the mouthpiece hisses.",
}

BOOKKEEPING = ChoiceExercise(
    name="bookkeeping", title="Gas in, gas out", objectives=(4,), version=5,
    draw=lambda d: {
        "found": d.one_of(("comes in", "comes in", "weep", "gauge", "second stage")), "place": d.one_of(("the rim of the diaphragm", "a hose fitting")),
        "rate": d.decimal("0.05", "0.30", "0.05"), "design": d.one_of(("Juniper", "Linden")),
    },
    work=lambda w: {"finding": FOUND[w.found].format(place=w.place, rate=w.rate, fall=SUPPLY_FALLS * w.rate), "answer": w.found},
    ask=("{design}, a balanced diaphragm: {finding}", "What follows?"),
    choices={
        "weep": "the weep explains what the needles do", "comes in": "gas comes in, warms, or the set point moves: look further",
        "gauge": "the gauge is at fault", "second stage": "the second stage leaks",
    },
    mistakes=(
        Mistake("the common belief", lambda w: "weep" if w.found == "comes in" else None, "A weep to the outside takes gas away. It can only lower IP, or make the valve open a little. Mend it, and go on looking for what lets gas in."),
        Mistake("a weep nobody found", lambda w: "weep", "Soapy water found no weep. What else was seen or heard?"),
        Mistake("down as up", lambda w: "comes in" if w.found != "gauge" else None, "The supply needle falls with the valve shut: gas goes out. Where was it seen or heard to go?"),
        Mistake("a needle for a pressure", lambda w: "comes in", "The second gauge feels the same gas, moves freely and holds steady. If gas came in, both would climb."),
        Mistake("the gauge first", lambda w: "gauge", "Nothing here speaks against the gauge. A second gauge would tell."),
        Mistake("the neighbour", lambda w: "second stage", "A leaking second stage hisses at the mouthpiece and takes gas away. Nobody heard that here."),
    ),
    hints=("IP rises only if gas enters, gas warms, or the set point rises.", "What goes out is made good from the supply as long as there is any. What only one of two gauges shows may be its own doing."),
    working=("Gas that comes in or warms makes IP rise. Gas that goes out comes from the supply, so with the valve shut the supply needle falls. What one of two gauges shows alone is its own doing, where the other moves freely.", "So: {right}."),
)


AFTER_TEN_SECONDS = {
    ("healthy", "guess"): "You guessed. Ten seconds allow no more than that.",
    ("healthy", "fairly"): "For ten seconds a healthy needle looks just like this one.",
    ("healthy", "sure"): "You were sure. Ten seconds can make nobody sure.",
    ("not", "guess"): "You are right, and you say yourself that you guessed: ten seconds did not show it.",
    ("not", "fairly"): "You are right, but ten seconds did not show it.",
    ("not", "sure"): "You are right, but nobody can see it in ten seconds: what made you sure?",
}


def _ten_seconds() -> str:
    from steadyneedle.bench.diagnosis.ten_seconds import slow_creep  # only whoever explains waits for it

    seen = slow_creep()
    return (
        f"It creeps. In ten seconds the needle moved by {seen.in_ten_seconds / 1e5:.2f} bar, which no eye sees. "
        f"After {seen.lasts / 60:.0f} minutes it stood at {seen.at_last / 1e5:.1f} bar. Ten seconds call every slow creep healthy."
    )


def _verdict(number: int) -> Any:
    from steadyneedle.bench.trace import nine  # judging takes a moment: only whoever has answered waits for it

    return nine.verdict_on(nine.ASKED[number - 1])


def _predictions() -> tuple[Asked, ...]:
    return (
        Prediction(
            "ten_seconds", "The valve was opened a minute ago. You have watched the needle for ten seconds. Is this first stage healthy?",
            {"healthy": "yes, it is healthy", "not": "no, it is not"},
            _ten_seconds,
            look="Now let time run, below.", how_sure=True, reply=lambda said, sure: AFTER_TEN_SECONDS.get((said, sure), ""),
        ),
        Prediction(
            "traces", "A needle rises after a purge. What tells a settle from a creep?",
            {"how far": "how far it rises", "dies away": "whether the rise dies away", "how fast": "how fast it begins"},
            "Whether the rise dies away. A settle may be larger than a slow creep, and begin faster.",
            look="Now say it of nine needles, below.",
        ),
        Series(
            "nine_traces", "What does this trace show?", SHOWN, 9, "traces", {"verdict": "hidden"},
            right=lambda number: str(_verdict(number).outcome), because=lambda number: str(_verdict(number).because),
        ),
        HiddenFault("hidden_fault", "bench"),
        Prediction(
            "apart", "After ten seconds the needle has risen by 0.08 bar. Is that creep?",
            {"yes": "yes", "no": "no", "nobody": "nobody can tell yet"},
            "Nobody can tell yet. In ten seconds settle and creep look alike. Watch until the settle is over.",
        ),
        Prediction(
            "watch", "You read to 0.1 bar. How long until you can tell a creep of 0.05 bar a minute from none?",
            {"seconds": "ten seconds", "minute": "one minute", "minutes": "several minutes"},
            "Several minutes. In one minute the needle moves by half a step, and half a step hides in the reading.",
        ),
        Prediction(
            "opening", "IP creeps. Which second stage opens by itself first?",
            {"unbalanced": "the unbalanced one", "balanced": "the balanced one", "both": "both at one pressure"},
            "The unbalanced one: IP pushes on its whole orifice. A balanced one holds longer, so it hides the creep and opens late.",
        ),
        Prediction(
            "bookkeeping", "A weep at the rim of the diaphragm and a needle that climbs. Does the weep make it climb?",
            {"yes": "yes", "no": "no"},
            "No. A weep to the outside takes gas away. The rim is often blamed because of faults that occur with it: a tilted diaphragm, crumbs on the seat.",
            look=TABLE,
        ),
    )


def plan() -> Plan:
    """Lesson 04."""
    return Plan(
        number="04", title="Creep and its cause", minutes="70 to 90",
        objectives=(
            "tell from a trace whether a needle locks up and holds, settles, creeps, falls or makes a saw-tooth",
            "measure a rate of creep and say how sure it is",
            "say how long to watch with the gauge you have",
            "say what a second stage does as IP climbs, why no adjuster cures a creep, and what to do about it",
        ),
        exercises=(
            WHICH_TRACE, CREEP_RATE, RATE_ERROR, HOW_LONG, SURE_ENOUGH, OPENS_IN, ADJUSTER, HIDDEN_CREEP,
            BLANK_THE_PORTS, AT_THE_STOP, BOOKKEEPING, WHICH_STAGE,
        ),
        predictions=_predictions(),
        warm_up=(("02", "after_a_purge"), ("03", "rise_a_minute"), ("02", "other_volume")),
    )
