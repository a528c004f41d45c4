"""Lesson 02: how the first stage reduces."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.regulators import SEA_METRE, in_words, lock_up
from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import first_stage, gas
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.bank.under_flow import (
    AFTER_A_PURGE,
    DROOP,
    OTHER_SUPPLY,
    OTHER_VOLUME,
    SIZE_A_LEAK,
    UNDER_FLOW,
    climb,
)
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import TABLE, Plan, Prediction


def kind_of(design: str) -> str:
    """The design of the question, in words, with its article."""
    words = in_words(design)
    sealed = " with a sealed chamber" if FirstStage.named(design).sealed else ""
    return f"{'an' if words.startswith('un') else 'a'} {words}{sealed}"



def gauge(name: str, supply: float, depth: float = 0.0) -> float:
    """Lock-up IP over ambient in bar; supply in bar, depth in metres of sea water."""
    return float(lock_up(name, Q(supply, "bar"), Q(depth, "m")).magnitude)


def pushes(design: str, force: str) -> str:
    """Which way a force pushes the valve of a design: the key of `WAYS`."""
    stage = FirstStage.named(design)
    if force in ("main spring", "IP"):
        return "opens" if force == "main spring" else "shuts"
    if stage.balanced:
        return "neither"
    return "opens" if stage.kind == "piston" else "shuts"


WAYS = {"opens": "opens the valve", "shuts": "shuts the valve", "neither": "pushes neither way"}
OPPOSITE = {"opens": "shuts", "shuts": "opens"}


def _which_way(w: Named) -> dict[str, Any]:
    force = w.force if w.force != "supply" else "the supply"
    ask = f"Which way does its {force} push the valve?" if force == "main spring" else f"Which way does {force} push the valve on the whole?"
    unbalanced = "opens" if FirstStage.named(w.design).kind == "piston" else "shuts"
    other = "a piston" if unbalanced == "opens" else "a diaphragm"
    return {"kind": kind_of(w.design), "ask": ask, "pushing": "the main spring" if force == "main spring" else force, "other": other, "unbalanced": unbalanced, "answer": pushes(w.design, w.force)}


WHICH_WAY = ChoiceExercise(
    name="which_way", title="Which way a force pushes", objectives=(1,), version=2,
    draw=lambda d: {"design": d.one_of(("Alder", "Rowan", "Hazel", "Juniper")), "force": d.one_of(("main spring", "IP", "supply", "supply"))},
    work=_which_way,
    ask=("{design} is {kind}.", "{ask}"),
    choices=WAYS,
    mistakes=(
        Mistake("the spring shuts it", lambda w: "shuts" if w.force == "main spring" else None, "The main spring opens the valve; IP shuts it. With no air on it, a first stage stands open."),
        Mistake("IP opens it", lambda w: "opens" if w.force == "IP" else None, "IP shuts the valve: as it rises, it pushes back the piston or the diaphragm. That is how the stage holds a pressure."),
        Mistake("spring or IP balanced", lambda w: "neither" if w.force in ("main spring", "IP") else None, "Balance is a matter of the supply. The main spring and IP each push one way in every design."),
        Mistake("pistons and diaphragms mixed up", lambda w: OPPOSITE.get(w.answer) if w.force == "supply" else None, "The other way round: supply pushes an unbalanced piston open, and an unbalanced diaphragm's poppet shut."),
        Mistake("taken for balanced", lambda w: "neither", "This design is not balanced: the supply acts on its seat one way only."),
        Mistake("balance forgotten", lambda w: w.unbalanced if w.force == "supply" else None, "It is balanced: the supply pushes on two nearly equal areas, one each way."),
        Mistake("balance forgotten, and the wrong way", lambda w: OPPOSITE[w.unbalanced] if w.force == "supply" else None, "It is balanced: what the supply does on one area it undoes on the other. And in {other} without balance it would push the other way."),
    ),
    hints=("Without any air, what moves the valve, and which way?", "Balanced means: the supply acts on equal areas both ways."),
    working=("The main spring opens the valve, IP shuts it. The supply opens an unbalanced piston, shuts an unbalanced diaphragm, and acts on equal areas both ways in a balanced stage.", "{design}, {kind}: {pushing} {right}."),
)


KINDS = {
    "opens": ("An unbalanced piston", "the supply helps the spring to open the valve"), "shuts": ("An unbalanced diaphragm", "the supply helps IP to shut the valve"),
    "neither": ("A balanced piston", "the supply pushes on equal areas both ways and cancels out"),
}

SIGNS = {"opens": 1, "shuts": -1, "neither": 0}
"""Whether the supply adds to the spring or takes from it."""


def _draw_lock_up(d: Draws) -> Givens:
    way, supply = d.one_of(tuple(KINDS)), d.integer(4, 10) * 10
    total = d.integer(50, 60) * 10  # what IP has to hold: each kind then locks up where its sheet would have it
    return {"way": way, "spring": total - SIGNS[way] * supply, "supply": supply, "head": d.integer(55, 60)}


def _lock_up(w: Named) -> dict[str, Any]:
    sign = SIGNS[w.way]
    kind, why = KINDS[w.way]
    total = w.spring + sign * w.supply
    sums = {"plain": w.spring / w.head, "other": (w.spring - sign * w.supply) / w.head, "both": (w.spring + w.supply) / w.head}
    shown = ("{0} N", "{0} N + {1} N = {2} N", "{0} N − {1} N = {2} N")[sign].format(w.spring, w.supply, total)
    return {"kind": kind, "because": why, "sum": shown, "total": total, **sums, "answer": total / w.head}


LOCK_UP = QuantityExercise(
    name="lock_up", title="Where it locks up", objectives=(1,), version=3,
    draw=_draw_lock_up,
    work=_lock_up,
    ask=(
        "{kind}. Its spring pushes with {spring} N. The supply presses on its seat with {supply} N. Each bar of IP pushes with {head} N.",
        "At what IP does the valve just shut?",
    ),
    mistakes=(
        Mistake("supply forgotten", lambda w: w.plain if w.way != "neither" else None, "You left out the supply. This design is not balanced: {because}."),
        Mistake("supply the wrong way", lambda w: w.other if w.way != "neither" else None, "You let the supply push the other way. In this design {because}."),
        Mistake("balance forgotten", lambda w: w.both if w.way == "neither" else None, "You counted the supply. In a balanced design {because}."),
        Mistake("balance forgotten, and the wrong way", lambda w: 2 * w.plain - w.both if w.way == "neither" else None, "You took the supply off. In a balanced design {because}."),
        Mistake("newtons as bar", lambda w: float(w.total), "That is the force that IP has to hold, in N. How many bar of IP do it?"),
    ),
    hints=("What opens this valve, and what shuts it? Which way does the supply push in this design?", "The spring opens the valve with {spring} N. In this design {because}. Each bar of IP shuts it with {head} N."),
    working=("The spring opens the valve, IP shuts it; {because}.", "IP has to hold {sum}.", "IP: {total} N ÷ {head} N/bar = {answer:.2f} bar"),
    kind="gauge pressure", why="the forces are given to the newton.",
)


TURNS = {"rises": "IP rises", "falls": "IP falls", "stays": "IP stays nearly the same"}


def _supply_way(w: Named) -> dict[str, Any]:
    way, less = pushes(w.design, "supply"), w["to"] < w["from"]
    answer = "stays" if way == "neither" else "falls" if less == (way == "opens") else "rises"
    numbers = {"before": gauge(w.design, w["from"]), "after": gauge(w.design, w["to"])}
    return {"kind": kind_of(w.design), "way": WAYS[way], "follows": "falls" if less else "rises", "answer": answer, **numbers}


def _draw_supply(d: Draws) -> Givens:
    full, low = d.integer(16, 23) * 10, d.integer(4, 8) * 10
    begin, end = (full, low) if d.integer(1, 4) > 1 else (low, full)
    return {"design": d.one_of(("Alder", "Alder", "Hazel", "Hazel", "Rowan", "Juniper", "Linden")), "from": begin, "to": end}


SUPPLY_WAY = ChoiceExercise(
    name="supply_way", title="As the supply changes", objectives=(2,), version=2,
    draw=_draw_supply,
    work=_supply_way,
    ask=("{design} is {kind}.", "The supply goes from {from} to {to} bar. What does the lock-up IP do?"),
    choices=TURNS,
    mistakes=(
        Mistake("low on air means low IP", lambda w: w.follows if "piston" not in w.kind or w.answer == "stays" else None, "IP does not follow the supply in every design. In an unbalanced diaphragm less supply means less force that shuts: IP rises. A balanced one hardly changes."),
        Mistake("against the supply", lambda w: {"rises": "falls", "falls": "rises"}[w.follows] if w.answer == "stays" else None, "Only an unbalanced diaphragm goes against the supply. This design is balanced."),
        Mistake("the other way round", lambda w: {"rises": "falls", "falls": "rises"}.get(w.answer) if "piston" in w.kind else None, "The other way round: the supply opens an unbalanced piston, so less supply means lower IP."),
        Mistake("all are balanced", lambda w: "stays", "That is a balanced design. This one is not: the supply acts on its seat one way only."),
    ),
    hints=("First: does the supply open this valve, shut it, or neither?", "If it opens, less supply means lower IP; if it shuts, less supply means higher IP."),
    working=("{design} is {kind}: the supply {way}.", "{right}: from {before:.2f} bar to {after:.2f} bar."),
)


def _at_low(w: Named) -> dict[str, Any]:
    slope = round(100 * first_stage.supply_slope(FirstStage.named(w.design)), 2)  # as printed in the question
    step = round(slope * (w["to"] - w["from"]) / 100, 2)  # as printed in the working
    signs = {"way": "down", "sign": "−"} if w.design == "Alder" else {"way": "up", "sign": "+"}
    return {"kind": kind_of(w.design), "slope": slope, "worth": abs(slope), "change": w["from"] - w["to"], "step": abs(step), "answer": round(w.reading + step, 2), **signs}


IP_AT_LOW_SUPPLY = QuantityExercise(
    name="ip_at_low_supply", title="IP at another supply", objectives=(2,), version=2,
    draw=lambda d: {"design": d.one_of(("Alder", "Hazel")), "reading": d.decimal("8.8", "9.8", "0.1"), "from": d.integer(18, 22) * 10, "to": d.integer(4, 8) * 10},
    work=_at_low,
    ask=("{design} is {kind}. Each 100 bar of supply moves its lock-up by {worth:.2f} bar.", "At {from} bar it locks up at {reading:.1f} bar. Where does it lock up at {to} bar?"),
    mistakes=(
        Mistake("wrong way", lambda w: 2 * w.reading - w.answer, "The right step, the wrong way. Does the supply open this valve or shut it?"),
        Mistake("no change", lambda w: w.reading, "That is the old lock-up. This design is not balanced: it moves with the supply."),
        Mistake("whole supply for the change", lambda w: w.reading + w.slope * w["to"] / 100, "You took the new supply itself. What counts is by how much the supply changed."),
    ),
    hints=("By how much does the supply change? Which way does that move IP in this design?", "The supply changes by {change} bar. An unbalanced piston follows the supply; an unbalanced diaphragm goes against it."),
    working=("Step: {worth:.2f} bar × {change} bar ÷ 100 bar = {step:.2f} bar, {way}.", "{reading:.1f} bar {sign} {step:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="that is closer than anybody reads a needle.",
)


OTHER_END = {"up": "down", "down": "up"}

def _depth_changes(w: Named) -> dict[str, Any]:
    goes, gauge_answer = ("up" if w.way == "down" else "down"), "tenth" if w.design == "Linden" else "same"
    absolute = f"What does the absolute IP do{', to the nearest bar' if w.design == 'Linden' else ''}?"
    trip = "go down to {} m of sea water" if w.way == "down" else "come up from {} m of sea water to the surface"
    return {
        "kind": kind_of(w.design) + ("" if FirstStage.named(w.design).sealed else " with an open chamber"), "surface": gauge(w.design, 200), "below": gauge(w.design, 200, w.depth), "ambient": w.depth / 10,
        "what": "What does the reading of its IP gauge do?" if w.asked == "gauge" else absolute, "trip": trip.format(w.depth),
        "goes": goes, "back": OTHER_END[goes], "change": "more" if w.way == "down" else "less", "answer": goes if w.asked == "absolute" else gauge_answer,
    }


DEPTH_CHANGES = ChoiceExercise(
    name="depth_changes", title="What depth changes", objectives=(3,), version=3,
    draw=lambda d: {"design": d.one_of(("Alder", "Juniper", "Linden", "Linden")), "depth": d.integer(25, 45), "asked": d.one_of(("gauge", "absolute")), "way": d.one_of(("down", "up"))},
    work=_depth_changes,
    ask=("{design} is {kind}. In a pressure pot, regulator and gauge {trip}. The supply over ambient stays the same.", "{what}"),
    choices={"same": "it stays the same", "up": "it rises by as much as ambient", "down": "it falls by as much as ambient", "tenth": "it changes by about a tenth of a bar"},
    mistakes=(
        Mistake("absolute for gauge", lambda w: w.goes if w.asked == "gauge" else None, "That is the absolute IP. The gauge stands in the same ambient pressure: it reads the difference."),
        Mistake("ambient works against it", lambda w: w.back if w.asked == "gauge" else None, "Ambient pushes on the spring side, as the spring does, and on the gauge as well. Nothing goes against it."),
        Mistake("plunger forgotten", lambda w: "same" if w.asked == "gauge" else None, "Nearly. The plunger of the sealed chamber is a little larger outside than inside, so IP over ambient changes a little with depth."),
        Mistake("plunger where there is none", lambda w: "tenth" if w.asked == "gauge" else None, "That is what a sealed chamber does. Here the water reaches the spring side itself: IP over ambient stays."),
        Mistake("gauge for absolute", lambda w: "same", "That is the reading over ambient. Absolute IP counts ambient too, and ambient has changed."),
        Mistake("the wrong way", lambda w: w.back, "The wrong way: absolute IP is IP over ambient and ambient together, so it goes where ambient goes."),
        Mistake("a tenth for a bar", lambda w: "tenth", "A tenth is what a sealed chamber may change over ambient. Absolute IP goes with the whole of ambient."),
    ),
    hints=("Ambient presses on the spring side, and it surrounds the gauge.", "A sealed chamber passes ambient pressure on through a plunger, which makes it a little larger."),
    working=("Over ambient: {surface:.2f} bar at the surface, {below:.2f} bar at {depth} m.", "Ambient pressure: {ambient:.1f} bar {change}. The answer: {right}."),
)


SETTING = {
    "in": "turn the adjuster in", "out": "turn the adjuster out", "more shims": "add a shim behind the spring", "fewer shims": "take a shim out from behind the spring",
}
OTHER_WAY = {"in": "out", "out": "in", "more shims": "fewer shims", "fewer shims": "more shims"}


def _set_it(w: Named) -> dict[str, Any]:
    low, shims = w.off < 0, w.design == "Alder"
    adjuster, shim = ("in", "more shims") if low else ("out", "fewer shims")
    return {
        "kind": kind_of(w.design), "by": abs(w.off), "way": "low" if low else "high", "spring": "low: the spring has to push harder" if low else "high: the spring has to push less",
        "means": "is set with shims, vented and taken apart" if shims else "has an adjuster, turned in small steps with a purge after each", "adjuster": adjuster, "shim": shim, "answer": shim if shims else adjuster,
    }


SET_IT = ChoiceExercise(
    name="set_it", title="Setting the pressure", objectives=(3,), version=3,
    draw=lambda d: {"design": d.one_of(("Alder", "Alder", "Rowan", "Hazel", "Juniper")), "off": d.one_of((-1, 1)) * d.decimal("0.3", "0.9", "0.1")},
    work=_set_it,
    ask=("{design} is {kind}. It is clean, sound and steady, but it locks up {by:.1f} bar too {way}.", "What does the maker's manual have you do?"),
    choices=SETTING,
    mistakes=(
        Mistake("an adjuster it has not", lambda w: w.adjuster if w.design == "Alder" else None, "Alder has no adjuster. Its spring is set with shims."),
        Mistake("shims where there is an adjuster", lambda w: w.shim, "This design has an adjuster. Alder is the one that is set with shims."),
        Mistake("the wrong way", lambda w: OTHER_WAY[w.answer], "The wrong way: a spring that pushes harder means more IP, one that pushes less means less."),
        Mistake("wrong means and wrong way", lambda w: OTHER_WAY[w.adjuster if w.design == "Alder" else w.shim], "Neither fits: {design} {means}. And it locks up too {spring}."),
    ),
    hints=("More force on the main spring raises IP.", "Which design has no adjuster?"),
    working=("Too {spring}.", "{design} {means}: {right}. Then read again."),
)


def _after_turning(w: Named) -> dict[str, Any]:
    stage = FirstStage.named(w.design)
    turn = round(stage.adjuster / stage.effective_area / BAR, 2)  # as printed in the question
    part = {0.25: "a quarter turn", 0.5: "half a turn", 0.75: "three quarters of a turn"}[abs(w.turns)]
    way, sign, one = ("in", "+", 1) if w.turns > 0 else ("out", "−", -1)
    size = abs(w.turns)
    step = round(size * turn, 2)  # as printed in the working
    return {"turn": turn, "part": part, "way": way, "sign": sign, "whole": one * turn, "size": size, "step": step, "answer": round(w.reading + one * step, 2)}


AFTER_TURNING = QuantityExercise(
    name="after_turning", title="After turning the adjuster", objectives=(3,), version=3,
    draw=lambda d: {"design": d.one_of(("Rowan", "Hazel", "Juniper")), "reading": d.decimal("9.0", "10.4", "0.1"), "turns": d.one_of((-0.75, -0.5, -0.25, 0.25, 0.5, 0.75))},
    work=_after_turning,
    ask=("{design} locks up at {reading:.1f} bar. One whole turn of its adjuster is worth {turn:.2f} bar.", "You turn it {part} {way}. Where does it lock up?"),
    mistakes=(
        Mistake("the wrong way", lambda w: w.reading - w.turns * w.turn, "Turning in presses the spring and raises IP; turning out lowers it."),
        Mistake("a whole turn", lambda w: w.reading + w.whole, "That is a whole turn. Take the part of a turn."),
        Mistake("the part as bar", lambda w: w.reading + w.turns, "You took the part of a turn for bar. Multiply it by what a turn is worth."),
    ),
    hints=("In raises IP, out lowers it. How much of a whole turn is it?", "You turned {size:.2f} of a turn, and a whole turn is worth {turn:.2f} bar. Multiply, then go up for in and down for out."),
    working=("Step: {size:.2f} × {turn:.2f} bar = {step:.2f} bar.", "{reading:.1f} bar {sign} {step:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="that is closer than anybody reads a needle.",
)


def _predictions() -> tuple[Prediction, ...]:
    def cold() -> str:
        fall = 293.15 - float(gas.throttled_temperature(201e5, 11e5, 293.15))
        return f"About {fall:.0f} °C colder. That is why water can freeze in a first stage."

    def leak() -> str:
        hole = next(one / 10 for one in range(5, 60) if climb(one / 10, 200, 100) >= 0.0475)
        return f"About {hole:.1f} thousandths of a millimetre at 200 bar, where the gas fills 100 mL. You cannot see it. A hair is many times as thick."

    return (
        Prediction(
            "forces", "IP rises by 0.2 bar above lock-up. What happens on the seat?",
            {"nothing": "nothing", "opens": "the valve opens a little", "presses": "the surplus presses the valve on its seat"},
            "The surplus presses the valve on its seat. Below lock-up the valve opens instead; at lock-up it just touches.",
        ),
        Prediction(
            "supply", "Hazel is an unbalanced diaphragm. The cylinder empties from 200 to 50 bar. What does its IP do?",
            {"falls": "it falls", "stays": "it stays", "rises": "it rises"},
            f"It rises, from {gauge('Hazel', 200):.1f} to {gauge('Hazel', 50):.1f} bar. The supply helps to shut Hazel's valve, and now most of that help is gone. A low cylinder does not mean a low IP in every design.",
        ),
        Prediction(
            "depth", "A regulator with an open chamber is taken to 40 m. What does its IP gauge, beside it, read?",
            {"more": "about 4 bar more", "same": "the same", "less": "about 4 bar less"},
            f"The same. Ambient pressure presses on the spring side as much as on the gauge. Absolute IP is {40 * SEA_METRE / BAR:.0f} bar higher. With Linden's plunger, IP over ambient rises a little as well: by {gauge('Linden', 200, 40) - gauge('Linden', 200):.2f} bar.",
            look=TABLE,
        ),
        Prediction(
            "droop", "You draw air. What must happen to IP before the valve can open?",
            {"fall": "it must fall below lock-up", "rise": "it must rise above lock-up", "nothing": "nothing: the valve opens by itself"},
            "It must fall: only then is the spring the stronger and opens the valve. The fall of IP under flow is called droop.",
        ),
        Prediction(
            "cold", "Air of 20 °C goes from 200 to 10 bar in the first stage. How much colder does it arrive?",
            {"3": "about 3 °C", "33": "about 33 °C", "warmer": "it arrives warmer"},
            cold,
        ),
        Prediction(
            "leak", "How wide is the hole that makes a needle creep by 0.05 bar a minute?",
            {"millimetre": "about a millimetre", "tenth": "about a tenth of a millimetre", "thousandths": "about two thousandths of a millimetre"},
            leak,
        ),
        Prediction(
            "bench", "A sound Juniper, purged for a few seconds. What does the needle do in the half minute after?",
            {"still": "it holds steady", "settles": "it rises a little and then holds steady", "climbs": "it climbs on"},
            "It rises a little and then holds steady: cold gas warms.",
            look="Now do it on the bench below: open the valve, purge, and watch.",
        ),
    )


def plan() -> Plan:
    """Lesson 02."""
    return Plan(
        number="02", title="How the first stage reduces", minutes="two halves of 40 to 45",
        objectives=(
            "name the forces in a first stage and find the IP where they balance",
            "predict what IP does as the cylinder empties, in each design",
            "predict what depth and the setting do to IP, and set the pressure the way the design allows",
            "tell droop, a collapse under flow and the settling of cold gas from one another",
            "size a leak from the climb of the needle",
        ),
        exercises=(
            WHICH_WAY, LOCK_UP, SUPPLY_WAY, IP_AT_LOW_SUPPLY, DEPTH_CHANGES, SET_IT, AFTER_TURNING, DROOP, UNDER_FLOW,
            SIZE_A_LEAK, OTHER_VOLUME, OTHER_SUPPLY, AFTER_A_PURGE,
        ),
        predictions=_predictions(),
        warm_up=(("01", "gauge_to_absolute"), ("01", "psi_to_bar"), ("01", "absolute_at_depth")),
    )
