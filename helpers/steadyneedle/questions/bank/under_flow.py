"""Lesson 02, second half: air that flows, and air that leaks."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.regulators import climb_through_hole
from steadyneedle.bench.units import Q
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Mistake, Named, QuantityExercise
from steadyneedle.questions.pressures import ATM_IN_BAR


def _droop(w: Named) -> dict[str, Any]:
    part = w.flow / 400
    lower = round(w.droop * part**2, 2)  # as printed in the working
    return {"part": part, "lower": lower, "answer": round(w.lock - lower, 2)}


DROOP = QuantityExercise(
    name="droop", title="IP while air flows", objectives=(4,), version=4,
    draw=lambda d: {"lock": d.decimal("9.0", "10.2", "0.1"), "droop": d.decimal("1.0", "1.8", "0.1"), "flow": d.one_of((100, 150, 200, 250, 300))},
    work=_droop,
    ask=(
        "A first stage locks up at {lock:.1f} bar. At 400 L/min its gauge, on a low-pressure port, stands {droop:.1f} bar lower. Nearly all of that is lost in the passages, so it grows with the square of the flow.",
        "Where does the gauge stand at {flow} L/min?",
    ),
    mistakes=(
        Mistake("droop of 400", lambda w: w.lock - w.droop, "That is where the gauge stands at 400 L/min. Scale the droop to the flow that is asked."),
        Mistake("upward", lambda w: w.lock + w.lower, "IP falls while air flows: the valve must open, and the passages take their share."),
        Mistake("in proportion", lambda w: w.lock - w.droop * w.part, "You scaled in proportion to the flow. The loss in a passage grows with the square of it: half the flow, a quarter of the loss."),
    ),
    hints=("Half the flow, a quarter of the droop.", "Droop = {droop:.1f} bar × ({flow} ÷ 400)²."),
    working=("Droop: {droop:.1f} bar × ({flow} ÷ 400)² = {lower:.2f} bar.", "IP: {lock:.1f} bar − {lower:.2f} bar = {answer:.2f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="that is closer than anybody reads a needle.",
)


AT_REST = {
    "normal": "locks up at {lock} bar, in its band, and holds", "starved": "locks up at {lock} bar, in its band, and holds",
    "seat": "locks up at {lock} bar, in its band, and then climbs by {rate} bar a minute", "spring": "locks up at {low} bar, {below} bar below its band, and holds",
}

def _under_flow(w: Named) -> dict[str, Any]:
    rest = AT_REST[w.case].format(lock=f"{w.lock:.1f}", rate=f"{w.rate:.2f}", low=f"{w.lock - w.below - 0.4:.1f}", below=f"{w.below:.1f}")
    after = "it is back at once, and climbs on" if w.case == "seat" else "it is back at once, and stays"
    seen = {"normal": "in the band and steady", "starved": "in the band and steady", "seat": "it climbs", "spring": "steady, below the band"}[w.case]
    return {"rest": rest, "after": after, "seen": seen, "drop": w.much if w.case == "starved" else w.little, "answer": w.case}

UNDER_FLOW = ChoiceExercise(
    name="under_flow", title="A needle under flow", objectives=(4,), version=4,
    draw=lambda d: {
        "case": d.one_of(tuple(AT_REST)), "lock": d.decimal("9.4", "10.1", "0.1"), "little": d.decimal("0.8", "1.4", "0.2"), "much": d.decimal("4.0", "5.5", "0.5"),
        "supply": d.integer(15, 22) * 10, "rate": d.decimal("0.04", "0.20", "0.02"), "below": d.decimal("0.4", "0.9", "0.1"),
    },
    work=_under_flow,
    ask=("At {supply} bar, the supply that its sheet names, a first stage {rest}. You purge: the needle drops by {drop:.1f} bar. You stop: {after}.", "What do you conclude?"),
    choices={"normal": "nothing is wrong, it droops and comes back", "starved": "too little air reaches the seat", "seat": "the seat leaks", "spring": "the spring is set too low"},
    mistakes=(
        Mistake("every drop is a fault", lambda w: "starved", "About a bar is droop: the valve has to open, and the air loses pressure in the passages. Every first stage does that."),
        Mistake("a collapse is called droop", lambda w: "normal" if w.case == "starved" else None, "About a bar is droop. Several bar are not: something in front of the seat is too narrow, a clogged filter or a valve part open."),
        Mistake("the rest overlooked", lambda w: "normal", "Under flow it does what it should. Look at what the needle does at rest."),
        Mistake("flow for leak", lambda w: "seat", "A leaking seat shows at rest: the needle climbs. This one holds steady."),
        Mistake("setting", lambda w: "spring", "The setting shows at lock-up, and lock-up is in its band."),
    ),
    hints=("What does the needle do at rest? And what under flow?", "Droop on a purge is about a bar, not several. Seat and setting show at rest."),
    working=("At rest: {seen}. Under flow: {drop:.1f} bar lower.", "So: {right}."),
)


HISTORIES = {
    "settles": "A sound first stage hangs at {supply} bar of supply. You purge for {purge} s and let go.",
    "still": "A sound first stage hangs at {supply} bar of supply. Nobody has touched it for {minutes} minutes; body and gas are as warm as the room.",
    "climbs": "A first stage with a nicked seat hangs at {supply} bar of supply. Nobody has touched it for {minutes} minutes; body and gas are as warm as the room, and IP is still in its band.",
    "falls": "Alder is sound, but one of its hoses weeps. Its cylinder valve was shut and the supply side bled {minutes} minutes ago; body and gas are as warm as the room.",
}
"""Alder falls slowly. Bled, a diaphragm stage opens and its needle soon stands at 0; Rowan's drops by a step first."""

AFTER_A_PURGE = ChoiceExercise(
    name="after_a_purge", title="After a purge", objectives=(4,), version=2,
    draw=lambda d: {"case": d.one_of(tuple(HISTORIES)), "purge": d.integer(2, 6), "supply": d.integer(15, 30) * 10, "minutes": d.integer(5, 15)},
    work=lambda w: {"history": HISTORIES[w.case].format(supply=w.supply, purge=w.purge, minutes=w.minutes), "answer": w.case},
    ask=("{history}", "What does its needle do in the next minute?"),
    choices={"settles": "it rises a little, ever more slowly, and then holds steady", "climbs": "it climbs on and on", "falls": "it falls slowly", "still": "it holds steady from the first moment"},
    mistakes=(
        Mistake("a settle is called a creep", lambda w: "climbs" if w.case == "settles" else None, "Only a leak past the seat goes on and on. Cold gas warms and then it is warm: the rise dies away."),
        Mistake("cold gas shrinks", lambda w: "falls" if w.case == "settles" else None, "Gas that is already cold warms up; warming raises its pressure."),
        Mistake("no cold", lambda w: "still" if w.case == "settles" else None, "Air cools as its pressure drops. Shut in cold, it warms, and the needle rises a little."),
        Mistake("cold without flow", lambda w: "settles", "Only flowing air gets cold. Here all is as warm as the room: nothing settles."),
        Mistake("a leak that is not there", lambda w: "climbs", "For a climb that goes on, gas must come in. Nothing says that it does."),
        Mistake("a weep that is not there", lambda w: "falls", "For a fall, gas must go out. Nothing says that it does."),
        Mistake("the leak overlooked", lambda w: "still", "Gas passes at the place that is named, minute after minute: the needle moves."),
    ),
    hints=("Was there any flow? And does gas go in or out anywhere?", "Shut-in gas that warms rises in pressure, until it is warm. A leak goes on."),
    working=("Air cools as its pressure drops, and warms again shut in. Gas that comes in raises the needle, gas that goes out lowers it.", "The answer: {right}."),
)


def climb(hole: float, supply: float, volume: float) -> float:
    """bar a minute through a hole [µm wide] from a supply [bar] into a volume [mL], to three decimals as printed."""
    return round(float(climb_through_hole(Q(hole, "um"), Q(supply, "bar"), Q(volume, "mL")).magnitude), 3)


SIZE_A_LEAK = QuantityExercise(
    name="size_a_leak", title="How wide is the hole?", objectives=(5,),
    draw=lambda d: {"hole": d.decimal("1.2", "5.0", "0.1"), "supply": d.one_of((100, 120, 150, 250, 300)), "volume": d.one_of((40, 50, 60, 140, 150))},
    work=lambda w: {"rate": climb(w.hole, w.supply, w.volume), "answer": w.hole},
    ask=(
        "A needle climbs by {rate:.3f} bar a minute. The supply is {supply} bar, and the low-pressure side holds {volume} mL.",
        "How wide is the hole? Find it with the controls of the figure in section 6 of lesson 02. Type micrometres, for example 7.5 µm.",
    ),
    mistakes=(
        Mistake("volume left as it was", lambda w: w.hole * (100 / w.volume) ** 0.5, "You left the low-pressure side at 100 mL. Set it to {volume} mL, then look for the hole again."),
        Mistake("supply left as it was", lambda w: w.hole * (w.supply / 200) ** 0.5, "You left the supply at 200 bar. Set it to {supply} bar, then look for the hole again."),
        Mistake("both left as they were", lambda w: w.hole * (w.supply / 200 * 100 / w.volume) ** 0.5, "You left supply and volume as they were. Set both, then look for the hole again."),
        Mistake("scaled in proportion", lambda w: 1.6 * w.rate / climb(1.6, w.supply, w.volume), "You scaled the width in proportion to the climb. The gas passes through the area: twice as wide a hole passes four times as much."),
    ),
    hints=("Set the supply and the low-pressure side of the figure first.", "Then move the hole until the sentence of the figure names the climb: {rate:.3f} bar/min."),
    working=("Set {supply} bar and {volume} mL, then move the hole until the sentence says {rate:.3f} bar/min.", "Width of the hole = {answer:.1f} µm"),
    kind="length", unit="um", relative=0.035, why="the figure moves in steps of a tenth of a micrometre.", figures=2, reading=False,
)


def _other_volume(w: Named) -> dict[str, Any]:
    rate = climb(w.hole, w.supply, w.known)
    return {"rate": rate, "answer": rate * w.known / w.volume}


OTHER_VOLUME = QuantityExercise(
    name="other_volume", title="The same leak, another hose", objectives=(5,), version=2,
    draw=lambda d: {"hole": d.decimal("1.5", "3.5", "0.1"), "supply": 200, "known": d.one_of((90, 100, 120)), "volume": d.one_of((30, 40, 60))},
    work=_other_volume,
    ask=("With {known} mL on its low-pressure side a first stage creeps by {rate:.3f} bar/min. You take hoses off until {volume} mL are left.", "How fast does the needle climb now?"),
    mistakes=(
        Mistake("unchanged", lambda w: w.rate, "The leak is the same, the room it fills is not: a smaller volume fills faster."),
        Mistake("slower", lambda w: w.rate * w.volume / w.known, "You scaled it the wrong way. Less volume, faster climb."),
        Mistake("difference of the volumes", lambda w: w.rate * w.known / (w.known - w.volume), "You divided by the volume taken off. What counts is the volume left."),
    ),
    hints=("The same gas enters each minute.", "The same gas now fills {volume} mL instead of {known} mL: by which factor must the climb grow?"),
    working="{rate:.3f} bar/min × {known} mL ÷ {volume} mL = {answer:.3f} bar/min",
    kind="pressure rate", unit="bar/min", relative=0.02, why="a rate is known no better.", figures=2,
)


def _other_supply(w: Named) -> dict[str, Any]:
    rate = round(climb(w.hole, w.supply, w.volume), 2)  # as printed in the question
    part = round((w.low + ATM_IN_BAR) / (w.supply + ATM_IN_BAR), 3)  # as printed in the working
    return {"rate": rate, "part": part, "answer": rate * part}


OTHER_SUPPLY = QuantityExercise(
    name="other_supply", title="The same leak at low supply", objectives=(5, 2), version=4, optional=True,
    draw=lambda d: {"hole": d.decimal("2.5", "6.0", "0.1"), "supply": d.integer(18, 24) * 10, "volume": d.one_of((50, 60, 80)), "low": d.integer(11, 20) * 2},
    work=_other_supply,
    ask=(
        "A nicked seat lets IP climb by {rate:.2f} bar/min at {supply} bar of supply. Flow through the nick is choked.",
        "Somebody watches the same first stage on a low cylinder, at {low} bar. How fast does IP climb there? Two figures will do.",
    ),
    mistakes=(
        Mistake("unchanged", lambda w: w.rate, "A tenth of the supply pushes a tenth of the gas through. The rate falls with the supply: a low cylinder hides a creep."),
        Mistake("faster", lambda w: w.rate / w.part, "The wrong way: less supply, less gas through the nick."),
        Mistake("difference to IP", lambda w: w.rate * (w.low - 10) / (w.supply - 10), "You took the difference between supply and IP. A choked hole does not feel the pressure behind it: only the supply counts."),
    ),
    hints=("Choked: the flow is in proportion to the pressure in front of the hole.", "How many times lower is the supply? The flow is lower by as many times."),
    working=("Supply: {low} bar ÷ {supply} bar; counted in absolute pressure it is {part:.3f} of what it was.", "{rate:.2f} bar/min × {part:.3f} = {answer:.3f} bar/min. A low cylinder hides a creep."),
    kind="pressure rate", unit="bar/min", relative=0.06, why="whether one counts gauge or absolute pressure makes no more difference than that.", figures=2, says_enough=True,
)
