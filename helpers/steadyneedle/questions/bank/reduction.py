"""Lesson 02: how the first stage reduces."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.regulators import climb_through_hole, in_words, lock_up
from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import first_stage, gas
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import TABLE, Plan, Prediction

ABSOLUTE = 1.013
"""bar, what a gauge pressure lacks at the surface, as the questions print it."""


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
    ask = f"Which way does its {force} push the valve?" if force == "main spring" else f"Which way does {force} push the valve, all told?"
    unbalanced = "opens" if FirstStage.named(w.design).kind == "piston" else "shuts"
    return {"kind": kind_of(w.design), "ask": ask, "pushing": force, "unbalanced": unbalanced, "answer": pushes(w.design, w.force)}


WHICH_WAY = ChoiceExercise(
    name="which_way", title="Which way a force pushes", objectives=(1,),
    draw=lambda d: {"design": d.one_of(("Alder", "Rowan", "Hazel", "Juniper")), "force": d.one_of(("main spring", "IP", "supply", "supply"))},
    work=_which_way,
    ask=("{design} is {kind}.", "{ask}"),
    choices=WAYS,
    mistakes=(
        Mistake("the spring shuts it", lambda w: "shuts" if w.force == "main spring" else None, "The main spring opens the valve; IP shuts it. With no air on it, a first stage stands open."),
        Mistake("IP opens it", lambda w: "opens" if w.force == "IP" else None, "IP shuts the valve: as it rises, it pushes back the piston or the diaphragm. That is how the stage holds a pressure."),
        Mistake("pistons and diaphragms mixed up", lambda w: OPPOSITE.get(w.answer) if w.force == "supply" else None, "The other way round: supply pushes an unbalanced piston open, and an unbalanced diaphragm's poppet shut."),
        Mistake("balance forgotten", lambda w: w.unbalanced if w.force == "supply" else None, "It is balanced: the supply pushes on two nearly equal areas, one each way."),
    ),
    hints=("Without any air, what moves the valve, and which way?", "Balanced means: the supply acts on equal areas both ways."),
    working=("The main spring opens. IP shuts. Supply: see the design.", "{design}, {kind}: {pushing} {right}."),
)


def _lock_up(w: Named) -> dict[str, Any]:
    supply = w.supply * 0.1 * w.seat
    return {"force": supply, "opening": w.spring + supply, "answer": (w.spring + supply) / (0.1 * w.head)}


LOCK_UP = QuantityExercise(
    name="lock_up", title="Where it locks up", objectives=(1,),
    draw=lambda d: {"spring": d.integer(42, 50) * 10, "seat": d.decimal("4.5", "6.0", "0.5"), "head": d.integer(58, 66) * 10, "supply": d.integer(10, 22) * 10},
    work=_lock_up,
    ask=(
        "An unbalanced piston: its spring pushes with {spring} N, the supply of {supply} bar with 0.1 N for each bar on each mm² of its seat, {seat:.1f} mm².",
        "IP shuts it with 0.1 N for each bar on each mm² of its head, {head} mm².",
        "At what IP do the forces balance?",
    ),
    mistakes=(
        Mistake("supply forgotten", lambda w: w.spring / (0.1 * w.head), "You left out the supply. It pushes on the seat and opens with the spring."),
        Mistake("supply subtracted", lambda w: (w.spring - w.force) / (0.1 * w.head), "You subtracted the supply's force. In an unbalanced piston it opens the valve, as the spring does: add it."),
        Mistake("factor forgotten", lambda w: w.answer / 10, "You are ten times too low: a bar on a square millimetre is 0.1 N."),
    ),
    hints=("What opens it: the spring and the supply. What shuts it: IP.", "(spring + 0.1 × supply × seat) ÷ (0.1 × head)."),
    working=(
        "Supply on the seat: {supply} bar × {seat:.1f} mm² × 0.1 = {force:.0f} N.",
        "Opening: {spring} N + {force:.0f} N = {opening:.0f} N.",
        "IP: {opening:.0f} N ÷ ({head} mm² × 0.1) = {answer:.2f} bar",
    ),
    kind="gauge pressure", why="the forces are given to the newton.",
)


TURNS = {"rises": "IP rises", "falls": "IP falls", "stays": "IP stays nearly the same"}


def _supply_way(w: Named) -> dict[str, Any]:
    way, less = pushes(w.design, "supply"), w["to"] < w["from"]
    answer = "stays" if way == "neither" else "falls" if less == (way == "opens") else "rises"
    numbers = {"before": gauge(w.design, w["from"]), "after": gauge(w.design, w["to"])}
    return {"kind": kind_of(w.design), "way": WAYS[way], "follows": "falls" if less else "rises", "answer": answer, **numbers}


def _draw_supply(d: Draws) -> Givens:
    begin, end = d.one_of(((220, 50), (200, 40), (180, 60), (60, 200)))
    return {"design": d.one_of(FirstStage.names()), "from": begin, "to": end}


SUPPLY_WAY = ChoiceExercise(
    name="supply_way", title="As the supply changes", objectives=(2,),
    draw=_draw_supply,
    work=_supply_way,
    ask=("{design} is {kind}.", "The supply goes from {from} to {to} bar. What does its lock-up IP do?"),
    choices=TURNS,
    mistakes=(
        Mistake("low on air means low IP", lambda w: w.follows, "IP does not follow the supply in every design. In an unbalanced diaphragm less supply means less force that shuts: IP rises. A balanced one hardly cares."),
        Mistake("the other way round", lambda w: {"rises": "falls", "falls": "rises"}.get(w.answer) if "piston" in w.kind else None, "The other way round: the supply opens an unbalanced piston, so less supply means less IP."),
        Mistake("all are balanced", lambda w: "stays", "That is a balanced design. This one is not: the supply acts on its seat one way only."),
    ),
    hints=("First: does the supply open this valve, shut it, or neither?", "If it opens, less supply means lower IP; if it shuts, less supply means higher IP."),
    working=("{design} is {kind}: the supply {way}.", "{right}: from {before:.2f} bar to {after:.2f} bar."),
)


def _at_low(w: Named) -> dict[str, Any]:
    slope = round(100 * first_stage.supply_slope(FirstStage.named(w.design)), 2)  # as printed in the question
    step = slope * (w["to"] - w["from"]) / 100
    signs = {"way": "down", "sign": "−"} if w.design == "Alder" else {"way": "up", "sign": "+"}
    return {"kind": kind_of(w.design), "slope": slope, "worth": abs(slope), "change": w["from"] - w["to"], "step": abs(step), "answer": w.reading + step, **signs}


IP_AT_LOW_SUPPLY = QuantityExercise(
    name="ip_at_low_supply", title="IP at another supply", objectives=(2,),
    draw=lambda d: {"design": d.one_of(("Alder", "Hazel")), "reading": d.decimal("8.8", "9.8", "0.1"), "from": d.integer(18, 22) * 10, "to": d.integer(4, 8) * 10},
    work=_at_low,
    ask=("{design} is {kind}. For each 100 bar of supply its seat is worth {worth:.2f} bar of IP.", "At {from} bar it locks up at {reading:.1f} bar. Where does it lock up at {to} bar?"),
    mistakes=(
        Mistake("wrong way", lambda w: 2 * w.reading - w.answer, "The right step, the wrong way. Does the supply open this valve or shut it?"),
        Mistake("no change", lambda w: w.reading, "That is the old lock-up. This design is not balanced: it moves with the supply."),
        Mistake("whole supply for the change", lambda w: w.reading + w.slope * w["to"] / 100, "You took the new supply itself. What counts is by how much the supply changed."),
    ),
    hints=("The supply changes by {change} bar.", "An unbalanced piston follows the supply; an unbalanced diaphragm goes against it."),
    working=("Step: {worth:.2f} bar × {change} bar ÷ 100 bar = {step:.2f} bar, {way}.", "{reading:.1f} bar {sign} {step:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="the numbers given end at a hundredth of a bar.",
)


def _depth_changes(w: Named) -> dict[str, Any]:
    gauge_answer = "tenth" if w.design == "Linden" else "same"
    absolute = f"What does the absolute IP do{', to the nearest bar' if w.design == 'Linden' else ''}?"
    return {
        "kind": kind_of(w.design), "surface": gauge(w.design, 200), "below": gauge(w.design, 200, w.depth), "ambient": w.depth / 10,
        "what": "What does the reading of its IP gauge do?" if w.asked == "gauge" else absolute,
        "answer": "up" if w.asked == "absolute" else gauge_answer,
    }


DEPTH_CHANGES = ChoiceExercise(
    name="depth_changes", title="What depth changes", objectives=(3,),
    draw=lambda d: {"design": d.one_of(("Alder", "Rowan", "Juniper", "Linden", "Linden")), "depth": d.integer(3, 4) * 10, "asked": d.one_of(("gauge", "gauge", "absolute"))},
    work=_depth_changes,
    ask=("{design} is {kind}. It goes down to {depth} m of sea water in a pressure pot, the gauge beside it. The supply over ambient stays.", "{what}"),
    choices={"same": "it stays the same", "up": "it rises by as much as ambient", "down": "it falls by as much as ambient", "tenth": "it rises by about a tenth of a bar"},
    mistakes=(
        Mistake("absolute for gauge", lambda w: "up", "That is the absolute IP. The gauge stands in the same ambient pressure: it reads the difference."),
        Mistake("gauge for absolute", lambda w: "same" if w.asked == "absolute" else None, "That is the reading over ambient. Absolute IP is ambient more."),
        Mistake("plunger forgotten", lambda w: "same", "Nearly. The plunger of the sealed chamber is a little larger outside than inside, so IP over ambient grows a little with depth."),
        Mistake("plunger where there is none", lambda w: "tenth" if w.asked == "gauge" else None, "That is what a sealed chamber does. Here the water reaches the spring side itself: IP over ambient stays."),
        Mistake("ambient works against it", lambda w: "down", "Ambient pushes on the spring side and helps the spring: nothing falls."),
    ),
    hints=("Ambient presses on the spring side, and it surrounds the gauge.", "A sealed chamber passes ambient on through a plunger, a little enlarged."),
    working=("Over ambient: {surface:.2f} bar at the surface, {below:.2f} bar at {depth} m.", "Absolute: {ambient:.0f} bar of ambient more. The answer: {right}."),
)


SETTING = {
    "in": "turn the adjuster in", "out": "turn the adjuster out", "more shims": "add a shim behind the spring", "fewer shims": "take a shim out from behind the spring",
}
OTHER_WAY = {"in": "out", "out": "in", "more shims": "fewer shims", "fewer shims": "more shims"}


def _set_it(w: Named) -> dict[str, Any]:
    low, shims = w.off < 0, w.design == "Alder"
    adjuster, shim = ("in", "more shims") if low else ("out", "fewer shims")
    return {
        "kind": kind_of(w.design), "by": abs(w.off), "way": "low" if low else "high", "spring": "low: more spring" if low else "high: less spring",
        "means": "is set with shims, vented and taken apart" if shims else "has an adjuster, turned in small steps with a purge after each", "adjuster": adjuster, "shim": shim, "answer": shim if shims else adjuster,
    }


SET_IT = ChoiceExercise(
    name="set_it", title="Setting the pressure", objectives=(3,), version=2,
    draw=lambda d: {"design": d.one_of(("Alder", "Alder", "Rowan", "Hazel", "Juniper")), "off": d.one_of((-0.6, -0.5, -0.4, 0.4, 0.5, 0.6))},
    work=_set_it,
    ask=("{design} is {kind}. It is clean, sound and steady, but it locks up {by:.1f} bar too {way}.", "What does the maker's manual have you do?"),
    choices=SETTING,
    mistakes=(
        Mistake("an adjuster it has not", lambda w: w.adjuster if w.design == "Alder" else None, "Alder has no adjuster. Its spring is set with shims."),
        Mistake("shims where there is an adjuster", lambda w: w.shim, "This design has an adjuster; shims set Alder."),
        Mistake("the wrong way", lambda w: OTHER_WAY[w.answer], "The wrong way: more spring means more IP, less spring means less."),
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
    return {"turn": turn, "part": part, "way": way, "sign": sign, "whole": one * turn, "size": size, "step": size * turn, "answer": w.reading + w.turns * turn}


AFTER_TURNING = QuantityExercise(
    name="after_turning", title="After turning the adjuster", objectives=(3,),
    draw=lambda d: {"design": d.one_of(("Rowan", "Hazel", "Juniper")), "reading": d.decimal("9.0", "10.4", "0.1"), "turns": d.one_of((-0.75, -0.5, -0.25, 0.25, 0.5, 0.75))},
    work=_after_turning,
    ask=("{design} locks up at {reading:.1f} bar. One whole turn of its adjuster is worth {turn:.2f} bar.", "You turn it {part} {way}. Where does it lock up?"),
    mistakes=(
        Mistake("the wrong way", lambda w: w.reading - w.turns * w.turn, "Turning in presses the spring and raises IP; turning out lowers it."),
        Mistake("a whole turn", lambda w: w.reading + w.whole, "That is a whole turn. Take the part of a turn."),
        Mistake("the part as bar", lambda w: w.reading + w.turns, "You took the part of a turn for bar. Multiply it by what a turn is worth."),
    ),
    hints=("In raises IP, out lowers it.", "Step = {size:.2f} × {turn:.2f} bar."),
    working=("Step: {size:.2f} × {turn:.2f} bar = {step:.2f} bar.", "{reading:.1f} bar {sign} {step:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="the numbers given end at a hundredth of a bar.",
)


def _droop(w: Named) -> dict[str, Any]:
    part = w.flow / 400
    return {"part": part, "lower": w.droop * part**2, "answer": w.lock - w.droop * part**2}


DROOP = QuantityExercise(
    name="droop", title="IP while air flows", objectives=(4,), version=2,
    draw=lambda d: {"lock": d.decimal("9.0", "10.2", "0.1"), "droop": d.decimal("1.0", "1.8", "0.1"), "flow": d.one_of((100, 200, 300))},
    work=_droop,
    ask=(
        "A first stage locks up at {lock:.1f} bar. At 400 L/min its gauge, on a low-pressure port, stands {droop:.1f} bar lower. Most of that is lost in the passages; it grows with the square of the flow.",
        "Where does the gauge stand at {flow} L/min?",
    ),
    mistakes=(
        Mistake("droop of 400", lambda w: w.lock - w.droop, "That is the droop at 400 L/min. Scale it to the flow that is asked."),
        Mistake("upward", lambda w: w.lock + w.lower, "IP falls while air flows: the valve must open, and the passages take their share."),
        Mistake("in proportion", lambda w: w.lock - w.droop * w.part, "You scaled in proportion to the flow. The loss in a passage grows with the square of it: half the flow, a quarter of the loss."),
    ),
    hints=("Half the flow, a quarter of the droop.", "Droop = {droop:.1f} bar × ({flow} ÷ 400)²."),
    working=("Droop: {droop:.1f} bar × ({flow} ÷ 400)² = {lower:.2f} bar.", "IP: {lock:.1f} bar − {lower:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="the numbers given end at a tenth of a bar.",
)


UNDER_FLOW = ChoiceExercise(
    name="under_flow", title="A needle under flow", objectives=(4,), version=2,
    draw=lambda d: {"lock": d.decimal("9.4", "10.1", "0.1"), "drop": d.one_of((0.8, 1.0, 1.2, 1.4, 4.0, 4.5, 5.0, 5.5)), "supply": d.integer(12, 20) * 10},
    work=lambda w: {"answer": "starved" if w.drop > 2 else "normal"},
    ask=(
        "At {supply} bar of supply a first stage locks up at {lock:.1f} bar, in its band, and holds. You purge: the needle drops by {drop:.1f} bar. You stop: it is back at once, and stays.",
        "What do you conclude?",
    ),
    choices={"normal": "normal: it droops and comes back", "starved": "too little air reaches the seat", "seat": "the seat leaks", "spring": "the spring is set too low"},
    mistakes=(
        Mistake("every drop is a fault", lambda w: "starved", "About a bar is droop: the valve has to open, and the air loses pressure in the passages. Every first stage does that."),
        Mistake("a collapse is called droop", lambda w: "normal", "About a bar is droop. Several bar are not: something in front of the seat is too narrow, a clogged filter or a valve part open."),
        Mistake("flow for leak", lambda w: "seat", "A leaking seat shows at rest: the needle climbs. This one stays."),
        Mistake("setting", lambda w: "spring", "The setting shows at lock-up, and lock-up is in its band."),
    ),
    hints=("What does the needle do at rest? And what under flow?", "Droop on a purge is about a bar, not several."),
    working=("At rest: in the band and steady. Seat and setting are not the matter.", "Under flow: {drop:.1f} bar lower. The answer: {right}."),
)


def _after_a_purge(w: Named) -> dict[str, Any]:
    untouched = f"Nobody has touched it for {w.minutes} minutes; body and gas are as warm as the room."
    return {"history": f"You purge for {w.purge} s and let go." if w.purge else untouched, "answer": "settles" if w.purge else "still"}


AFTER_A_PURGE = ChoiceExercise(
    name="after_a_purge", title="After a purge", objectives=(4,),
    draw=lambda d: {"purge": d.one_of((0, 2, 3, 4, 5)), "supply": d.integer(15, 30) * 10, "minutes": d.integer(5, 15)},
    work=_after_a_purge,
    ask=("A sound first stage hangs at {supply} bar of supply. {history}", "What does its needle do in the next minute?"),
    choices={"settles": "it rises a little, ever more slowly, and stands", "climbs": "it climbs on and on", "falls": "it falls slowly", "still": "it stands still from the first moment"},
    mistakes=(
        Mistake("a settle is called a creep", lambda w: "climbs", "Only a leak past the seat goes on and on. Cold gas warms and then it is warm: the rise dies away."),
        Mistake("cold gas shrinks", lambda w: "falls", "Gas that is already cold warms up; warming raises its pressure."),
        Mistake("no cold", lambda w: "still", "Air cools as its pressure drops. Shut in cold, it warms, and the needle rises a little."),
        Mistake("cold without flow", lambda w: "settles", "Only flowing air gets cold. Here all is as warm as the room: nothing settles."),
    ),
    hints=("Was there any flow?", "Shut-in gas that warms rises in pressure, until it is warm."),
    working=("Air cools as its pressure drops. Shut in, it takes heat from the walls of hose and gauge.", "The answer: {right}."),
)


def climb(hole: float, supply: float, volume: float) -> float:
    """bar a minute through a hole [µm wide] from a supply [bar] into a volume [mL], to three decimals as printed."""
    return round(float(climb_through_hole(Q(hole, "um"), Q(supply, "bar"), Q(volume, "mL")).magnitude), 3)


def _other_volume(w: Named) -> dict[str, Any]:
    rate = climb(w.hole, w.supply, w.known)
    return {"rate": rate, "answer": rate * w.known / w.volume}


OTHER_VOLUME = QuantityExercise(
    name="other_volume", title="The same leak, another hose", objectives=(5,),
    draw=lambda d: {"hole": d.decimal("1.5", "3.5", "0.1"), "supply": 200, "known": d.one_of((90, 100, 120)), "volume": d.one_of((30, 40, 60))},
    work=_other_volume,
    ask=("With {known} mL on its low-pressure side a first stage creeps by {rate:.3f} bar/min. You take hoses off until {volume} mL are left.", "How fast does the needle climb now?"),
    mistakes=(
        Mistake("unchanged", lambda w: w.rate, "The leak is the same, the room it fills is not: a smaller volume fills faster."),
        Mistake("slower", lambda w: w.rate * w.volume / w.known, "You scaled it the wrong way. Less volume, faster climb."),
        Mistake("difference of the volumes", lambda w: w.rate * w.known / (w.known - w.volume), "You divided by the volume taken off. What counts is the volume left."),
    ),
    hints=("The same gas enters each minute.", "Rate = {rate:.3f} × {known} ÷ {volume}."),
    working="{rate:.3f} bar/min × {known} mL ÷ {volume} mL = {answer:.3f} bar/min",
    kind="pressure rate", unit="bar/min", relative=0.01, why="the rate is given to three figures or so.",
)


def _other_supply(w: Named) -> dict[str, Any]:
    rate, high, low = climb(w.hole, w.supply, w.volume), w.supply + ABSOLUTE, w.low + ABSOLUTE
    return {"rate": rate, "ambient": ABSOLUTE, "high_absolute": high, "low_absolute": low, "answer": rate * low / high}


OTHER_SUPPLY = QuantityExercise(
    name="other_supply", title="The same leak at low supply", objectives=(5, 2),
    draw=lambda d: {"hole": d.decimal("1.8", "3.5", "0.1"), "supply": d.integer(18, 24) * 10, "volume": d.one_of((50, 60, 80)), "low": d.integer(4, 9) * 10},
    work=_other_supply,
    ask=(
        "A nicked seat lets IP climb by {rate:.3f} bar/min at {supply} bar of supply. Flow through the nick is choked: it is in proportion to the absolute supply pressure (ambient {ambient:.3f} bar).",
        "How fast does it climb at {low} bar?",
    ),
    mistakes=(
        Mistake("unchanged", lambda w: w.rate, "Half the supply pushes half the gas through. The rate falls with the supply."),
        Mistake("faster", lambda w: w.rate * w.high_absolute / w.low_absolute, "The wrong way: less supply, less gas through the nick."),
        Mistake("difference to IP", lambda w: w.rate * (w.low - 10) / (w.supply - 10), "You took the difference between supply and IP. A choked hole does not feel the pressure behind it: only the supply counts."),
    ),
    hints=("Choked: flow follows the absolute pressure in front of the hole.", "Rate × ({low} + {ambient:.3f}) ÷ ({supply} + {ambient:.3f})."),
    working=("Absolute: {supply} + {ambient:.3f} bar, and {low} + {ambient:.3f} bar.", "{rate:.3f} bar/min × {low_absolute:.1f} ÷ {high_absolute:.1f} = {answer:.4f} bar/min"),
    kind="pressure rate", unit="bar/min", relative=0.01, why="the rate is given to two or three figures.",
)


def _predictions() -> tuple[Prediction, ...]:
    def cold() -> str:
        fall = 293.15 - float(gas.throttled_temperature(201e5, 11e5, 293.15))
        return f"About {fall:.0f} °C colder. That is why water freezes in a first stage."

    return (
        Prediction(
            "forces", "IP rises by 0.2 bar above lock-up. What happens on the seat?",
            {"nothing": "nothing", "opens": "the valve opens a little", "presses": "the surplus presses the valve on its seat"},
            "The surplus presses the valve on its seat. Below lock-up the valve opens instead; at lock-up it just touches.",
        ),
        Prediction(
            "supply", "Hazel is an unbalanced diaphragm. The cylinder empties from 200 to 50 bar. What does its IP do?",
            {"falls": "it falls", "stays": "it stays", "rises": "it rises"},
            f"It rises, from {gauge('Hazel', 200):.1f} to {gauge('Hazel', 50):.1f} bar: supply helps to shut Hazel's valve, and that help is gone. Low on air does not mean low IP in every design.",
        ),
        Prediction(
            "depth", "A regulator with an open chamber is taken to 40 m. What does its IP gauge, beside it, read?",
            {"more": "about 4 bar more", "same": "the same", "less": "about 4 bar less"},
            "The same. Ambient presses on the spring side as much as on the gauge. Absolute IP is 4 bar higher. Linden's plunger adds a little over ambient too.",
            look=TABLE,
        ),
        Prediction(
            "droop", "You draw air. What must happen to IP before the valve can open?",
            {"fall": "it must fall below lock-up", "rise": "it must rise above lock-up", "nothing": "nothing: the valve opens by itself"},
            "It must fall: only then does the spring win and lift the valve. That fall is called droop.",
        ),
        Prediction(
            "cold", "Air of 20 °C goes from 200 to 10 bar in the first stage. How much colder does it arrive?",
            {"3": "about 3 °C", "33": "about 33 °C", "warmer": "it arrives warmer"},
            cold,
        ),
        Prediction(
            "leak", "How wide is the hole that makes a needle creep by 0.05 bar a minute?",
            {"millimetre": "about a millimetre", "tenth": "about a tenth of a millimetre", "thousandths": "about two thousandths of a millimetre"},
            "About 1.6 thousandths of a millimetre. You cannot see it. A hair is forty times as thick.",
        ),
        Prediction(
            "bench", "A sound Juniper, purged for a few seconds. What does the needle do in the half minute after?",
            {"still": "it stands still", "settles": "it rises a little and stands", "climbs": "it climbs on"},
            "It rises a little and stands: cold gas warms.",
            look="Now do it on the bench below: open the valve, purge, and watch.",
        ),
    )


def plan() -> Plan:
    """Lesson 02."""
    return Plan(
        number="02", title="How the first stage reduces", minutes="75 to 90",
        objectives=(
            "name the forces in a first stage and find the IP where they balance",
            "predict what IP does as the cylinder empties, in each design",
            "predict what depth and the setting do to IP, and set the pressure the way the design allows",
            "tell droop, a collapse under flow and the settling of cold gas from one another",
            "size a leak from the climb of the needle",
        ),
        exercises=(
            WHICH_WAY, LOCK_UP, SUPPLY_WAY, IP_AT_LOW_SUPPLY, DEPTH_CHANGES, SET_IT, AFTER_TURNING, DROOP, UNDER_FLOW,
            OTHER_VOLUME, OTHER_SUPPLY, AFTER_A_PURGE,
        ),
        predictions=_predictions(),
        warm_up=(("01", "gauge_to_absolute"), ("01", "psi_to_bar"), ("01", "absolute_at_depth")),
    )
