"""Lesson 04b: finding the cause. Pressures, shares and minutes of the questions are invented."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.regulators import lock_up
from steadyneedle.bench.units import Q
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.bank.climbing import MOVES_FREELY, SUPPLY_FALLS
from steadyneedle.questions.bank.counted import (
    AFTER_A_FINDING,
    GAS_LOST,
    LOOK_FIRST,
    NOTHING_FOUND,
    OFF_ZERO,
    OUTSIDE_FIRST,
    TWO_LOOKS,
)
from steadyneedle.questions.bank.stories import CREEPS, DESIGN, STORIES
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named
from steadyneedle.questions.plans import TABLE, Asked, Plan, Prediction

LAND = "a scratch across the land that the diaphragm's rim is pressed on"
SUSPECTS = {
    "nick or edge": ("It climbs straight, by {rate:.2f} bar a minute.", "a nick in the seat", "a chip in the orifice edge", "new seat"),
    "nick or stem": ("It climbs straight, by {rate:.2f} bar a minute.", "a nick in the seat", "a leaking balance-stem seal", "new seat"),
    "ring or edge": ("It climbs, by {rate:.2f} bar in the first minute.", "a ring pressed into the seat", "a chip in the orifice edge", "new seat"),
    "grit or nick": ("It climbs straight, by {rate:.2f} bar a minute.", "grit on the seat", "a nick in the seat", "purge"),
    "sticky or set": ("It holds steady, {off:.1f} bar above its band.", "a valve that sticks", "an adjuster set too high", "purge"),
    "sticky or spring": ("It holds steady, {off:.1f} bar above its band.", "a valve that sticks", "a main spring that is too stiff", "purge"),
    "land or second": ("IP holds. With the cylinder valve shut the supply needle falls, by {fall} bar a minute.", LAND, "a worn second stage", "soap"),
    "fitting or second": ("IP holds. With the cylinder valve shut the supply needle falls, by {fall} bar a minute.", "a hose fitting that weeps", "a worn second stage", "soap"),
    "land or fitting": ("IP holds. With the cylinder valve shut the supply needle falls, by {fall} bar a minute.", LAND, "a hose fitting that weeps", "soap"),
    "gauge or set": ("It holds steady, {off:.1f} bar above its band.", "a gauge that reads high", "an adjuster set too high", "gauge"),
    "gauge or spring": ("It holds steady, {off:.1f} bar above its band.", "a gauge that reads high", "a main spring that is too stiff", "gauge"),
}
"""Two suspects: what the needle does, the one, the other, and the only one of the four tests that tells them apart.
As the rig shows them (`bench/diagnosis/examinations.py`); signatures: common practice, no source."""


def _which_test(w: Named) -> dict[str, Any]:
    needle, one, other, answer = SUSPECTS[w.case]
    return {"needle": needle.format(**w), "one": one, "other": other, "answer": answer}


WHICH_TEST = ChoiceExercise(
    name="which_test", title="Which test tells them apart?", objectives=(1, 2), version=2,
    draw=lambda d: {
        "case": d.one_of(tuple(SUSPECTS)), "rate": d.decimal("0.04", "0.30", "0.02"), "off": d.decimal("0.4", "0.9", "0.1"), "fall": d.integer(3, 15),
    },
    work=_which_test,
    ask=("A Juniper regulator, its first stage a balanced diaphragm, hangs on the bench. {needle} Two suspects are left: {one}, or {other}.", "Which test tells them apart?"),
    choices={
        "new seat": "fit a new seat and watch again", "purge": "purge five times and look at each lock-up",
        "soap": "listen, and wet it with soapy water all round", "gauge": "fit a second gauge",
    },
    mistakes=(
        Mistake("a new seat for both", lambda w: "new seat" if w.case == "grit or nick" else None, "A new seat mends both of them. Afterwards the needle holds, and you do not know which it was, nor whether more grit will come."),
        Mistake("a new seat for neither", lambda w: "new seat", "Neither of the two sits in the seat. With a new one the needle does the same as before."),
        Mistake("purged without effect", lambda w: "purge", "Purging moves neither of the two. After each purge the needle does the same again."),
        Mistake("wet without effect", lambda w: "soap", "Neither of the two lets gas out to where you could see a bubble."),
        Mistake("a second gauge without need", lambda w: "gauge", "On the same gas two gauges show the same, whichever of the two it is."),
    ),
    hints=("What would each of the two show in each test?", "Take the test in which they differ. One in which both show the same tells nothing, however short it is."),
    working=("Where {one} and {other} would show the same, a test tells nothing.", "The test in which they differ: {right}."),
)


SAID = {
    "seat against": ("A new seat is in, and the needle climbs as before.", "The old seat was nicked.", "against", "With the old seat its nick is gone. The gas comes in past something else."),
    "stem for": ("A new seat is in, and the needle climbs as before.", "The balance-stem seal leaks.", "for", "A new seat leaves that seal as it was, and gas past it climbs on."),
    "gauge against": ("A second gauge beside the first climbs by as much.", "The gauge is at fault.", "against", "Two gauges on the same gas do not go wrong by the same amount."),
    "gauge for": (f"The gauge climbs. A second one beside it, {MOVES_FREELY}, holds steady.", "The first gauge is at fault.", "for", "What only one of two gauges shows is its own doing, where the other moves freely."),
    "grit for": ("After five purges the needle that climbed holds steady.", "Grit lay on the seat.", "for", "A purge can blow grit away. A nick stays where it is."),
    "tilt against": ("After each of five purges it locks up at the same reading.", "The diaphragm lies tilted.", "against", "A tilted diaphragm closes in another way each time: the lock-up would move."),
    "tilt for": ("After each of five purges it locks up at another reading.", "The diaphragm lies tilted.", "for", "What closes in another way each time locks up at another reading."),
    "hose against": ("With the cylinder valve shut both needles hold for ten minutes.", "A hose fitting weeps.", "against", "Gas that goes out comes from the supply side: its needle would fall."),
    "land for": ("A new diaphragm is in, and soapy water shows bubbles at its rim as before.", "The land under its rim is scratched.", "for", "A new diaphragm lies on the same land. The scratch stays."),
    "rim against": ("A new diaphragm is in, and soapy water shows bubbles at its rim as before.", "The old diaphragm was worn at the rim.", "against", "With the old diaphragm its rim is gone."),
    "filter against": ("While you purge, the supply needle dips by half.", "The filter is clogged.", "against", "The supply gauge of the bench stands before the filter: with a clogged filter it holds. It dips where the cylinder valve is part open."),
    "filter for": ("While you purge, IP collapses; the supply needle of the bench holds.", "The filter is clogged.", "for", "There is gas enough before the filter and too little behind it."),
    "soap nothing": ("Soapy water shows no bubble at the first stage.", "The seat is nicked.", "nothing", "Gas past the seat goes into the low-pressure side, where no soapy water reaches."),
    "tap nothing": ("You tap the gauge; the needle does not jump.", "The seat is nicked.", "nothing", "With a nicked seat the needle does not jump, and without one it does not either."),
    "filter nothing": ("The inlet filter looks clean.", "A hose fitting weeps.", "nothing", "A fitting weeps as much with a clean filter as with a dirty one."),
    "spring nothing": ("The main spring has the length of its drawing.", "A hose fitting weeps.", "nothing", "No spring makes a fitting tight or lets it weep."),
    "cracking nothing": ("The second stage's exhaust valve is clean.", "The first stage's balance-stem seal leaks.", "nothing", "That valve lets out what is breathed out. It has nothing to do with the first stage."),
    "handwheel nothing": ("The cylinder valve is fully open.", "The land under the rim of the diaphragm is scratched.", "nothing", "A scratched land weeps with any valve that is open."),
}
"""A finding, a suspect, what the one says about the other, and why. Signatures: common practice, no source."""

FOR_OR_AGAINST = ChoiceExercise(
    name="for_or_against", title="For it, against it, or nothing", objectives=(2, 3), version=2,
    draw=lambda d: {"case": d.one_of(tuple(SAID))},
    work=lambda w: dict(zip(("finding", "suspect", "answer", "because"), SAID[w.case], strict=True)),
    ask=("{finding} Somebody suspects: {suspect}", "What does the finding say about that?"),
    choices={"for": "it speaks for it", "against": "it speaks against it", "nothing": "it says nothing about it"},
    mistakes=(
        Mistake("taken for a sign", lambda w: "for", "You took it as speaking for it. {because}"),
        Mistake("taken for a proof of the contrary", lambda w: "against", "You took it as speaking against it. {because}"),
        Mistake("taken for nothing", lambda w: "nothing", "It does tell. {because}"),
    ),
    hints=("Suppose that the suspicion is right. What would you find?", "Suppose that it is wrong. Would you find the same? Then the finding says nothing."),
    working=("{because}", "So: {right}."),
)


GAS_OUT = ("the diaphragm's rim weeps", "a hose fitting weeps", "the second stage leaks at the mouthpiece")
GAS_IN = ("the seat is nicked", "grit lies on the seat", "the balance-stem seal leaks")
CLIMBS = "Cylinder valve open, nobody touches anything: IP climbs by {rate:.2f} bar a minute."
HOLDS = "Cylinder valve shut, nobody touches anything: IP holds, and the supply needle falls by {fall:.1f} bar a minute."
BOTH = "The needle climbs by {rate:.2f} bar a minute. So does a second gauge on the next port."
CLAIMED = {
    "out climbs": (GAS_OUT, CLIMBS, "out"), "in holds": (GAS_IN, HOLDS, "in"), "two gauges": (("the gauge is at fault, nothing else",), BOTH, "gauges"),
    "in climbs": (GAS_IN, CLIMBS, "may be"), "out holds": (GAS_OUT, HOLDS, "may be"),
}
"""What somebody claims, what the needles do, and the argument. The design is Juniper: its set point does not move, and
with the valve shut the gas in front of the seat goes on feeding a leak (computed: `knowledge("Juniper")`, test `shut`)."""


def _false_cause(w: Named) -> dict[str, Any]:
    claims, finding, answer = CLAIMED[w.case]
    return {"claim": claims[w.which % len(claims)], "finding": finding.format(rate=w.rate, fall=SUPPLY_FALLS * w.rate), "answer": answer}


FALSE_CAUSE = ChoiceExercise(
    name="false_cause", title="Can that be the cause?", objectives=(3,), version=2,
    draw=lambda d: {"case": d.one_of((*CLAIMED, "out climbs", "in holds", "two gauges")), "which": d.integer(0, 2), "rate": d.decimal("0.04", "0.30", "0.02")},
    work=_false_cause,
    ask=("Juniper, a balanced diaphragm. {finding} Somebody says: {claim}, and that explains it.", "What do you say?"),
    choices={
        "out": "No: it would let gas out, and here the needle climbs.", "in": "No: it would let gas in, and here IP does not climb.",
        "gauges": "No: a second gauge shows the same climb.", "may be": "It may be: it would show just this.",
    },
    mistakes=(
        Mistake("a common belief", lambda w: "may be" if w.answer == "out" else None, "It is often said. But {claim}: does that bring gas in, or take gas out? And what does IP do?"),
        Mistake("the gas the wrong way", lambda w: "may be" if w.answer == "in" else None, "If {claim}, gas comes in past it. Does IP then hold?"),
        Mistake("the second gauge overlooked", lambda w: "may be", "The second gauge feels the same gas, and it climbs as well."),
        Mistake("gas out where none is claimed", lambda w: "out", "That does not meet this case. Look again at what is claimed, and at what IP does."),
        Mistake("gas in where none is claimed", lambda w: "in", "That does not meet this case. Does the claim bring gas in, and does IP hold?"),
        Mistake("a gauge where none is claimed", lambda w: "gauges", "Nobody compared two gauges here. What does the claim do to the gas?"),
    ),
    hints=("Would gas come in or go out, if the claim were true?", "Gas that comes in makes IP climb. Gas that goes out never does, and with the valve shut it makes the supply needle fall. Do the needles agree?"),
    working=("{finding} The claim: {claim}.", "{right}"),
)


def _slope(design: str, first: float, last: float) -> float:
    """bar by which lock-up changes as the supply falls from first to last [bar], to two decimals as printed."""
    begin, end = (float(lock_up(design, Q(one, "bar")).magnitude) for one in (first, last))
    return round(end - begin, 2)


def _draw_shut(d: Draws) -> Givens:
    case = d.one_of(("in", "out", "nowhere"))
    return {
        "case": case, "design": d.one_of(("Alder", "Hazel", "Hazel", "Juniper")), "first": d.integer(15, 22) * 10,
        "fall": {"in": d.integer(3, 9), "out": d.integer(4, 9) * 10, "nowhere": 0}[case], "climb": d.decimal("0.20", "0.60", "0.02"), "minutes": d.integer(2, 5),
    }


def _valve_shut(w: Named) -> dict[str, Any]:
    last = w.first - w.fall
    own = _slope(w.design, w.first, 50)
    way = "rises" if own > 0 else "falls"
    slope = "hardly changes" if abs(own) < 0.2 else f"{way} by {abs(own):.2f} bar"
    moved = {"in": w.climb, "out": _slope(w.design, w.first, last), "nowhere": 0.0}[w.case]
    ip = f"IP {'climbs' if moved > 0 else 'sinks'} by {abs(moved):.2f} bar" if abs(moved) >= 0.05 else "IP holds"
    supply = f"the supply needle falls from {w.first} bar to {last} bar" if w.fall else f"the supply needle holds at {w.first} bar"
    why = {
        "in": "IP climbs by far more than so small a fall of the supply moves the set point: gas comes in past the seat.",
        "out": "IP does no more than its own set point does while the supply falls. So much gas did not come in: it went out.",
        "nowhere": "Gas that comes in or goes out would make the supply needle fall.",
    }[w.case]
    return {"slope": slope, "ip": ip, "supply": supply, "why": why, "climbs": moved > 0.05, "answer": w.case}


VALVE_SHUT = ChoiceExercise(
    name="valve_shut", title="The valve is shut", objectives=(3, 2),
    draw=_draw_shut,
    work=_valve_shut,
    ask=(
        "{design}. As the supply falls from {first} bar to 50 bar, its lock-up {slope}. You shut the cylinder valve and watch both needles for {minutes} min: {supply}; {ip}.",
        "Where does the gas go?",
    ),
    choices={"out": "out into the room", "in": "past the seat into the low-pressure side", "nowhere": "nowhere: it is tight"},
    mistakes=(
        Mistake("a set point taken for a leak", lambda w: "in" if w.answer == "out" and w.climbs else None, "IP climbs, but by no more than the design's own set point does as the supply falls. And where did so much of the supply go?"),
        Mistake("a fast fall overlooked", lambda w: "in" if w.answer == "out" else None, "Gas that comes in raises IP. This IP does not climb, and yet the supply needle falls fast."),
        Mistake("a climb overlooked", lambda w: "out" if w.answer == "in" else None, "Gas that goes out cannot make IP climb. And so small a fall of the supply hardly moves the set point."),
        Mistake("a leak in a tight stage", lambda w: "out", "So little gas stands in front of the seat that any leak makes the supply needle fall. It holds."),
        Mistake("gas in without a fall", lambda w: "in", "Gas that comes in leaves the supply side. Its needle would fall, if only slowly."),
        Mistake("the supply needle overlooked", lambda w: "nowhere", "Look at the supply needle: it falls although the valve is shut. That gas went somewhere."),
    ),
    hints=("Does the supply needle fall, and how fast?", "If it falls: does IP climb by more than the design's own set point explains?"),
    working=("{why}", "So it goes {right}."),
)


LEFT = {"yes": "A test from outside would tell these two apart; it takes {minutes} min.", "no": "No test on this bench tells these two apart."}


def _draw_stop(d: Draws) -> Givens:
    case = d.one_of(("stop", "test", "say both"))
    leader = d.integer(97, 99) if case == "stop" else d.integer(52, 92)
    left = {"stop": d.one_of(("yes", "no")), "test": "yes", "say both": "no"}[case]
    return {"leader": leader, "second": min(d.integer(6, 40), 100 - leader), "left": left, "minutes": d.integer(2, 9), "tests": d.integer(2, 6)}


STOP_OR_GO = ChoiceExercise(
    name="stop_or_go", title="Sure enough to stop?", objectives=(4, 1),
    draw=_draw_stop,
    work=lambda w: {
        "rest": 100 - w.leader, "story": LEFT[w.left].format(minutes=w.minutes), "answer": "stop" if w.leader >= 95 else {"yes": "test", "no": "say both"}[w.left],
    },
    ask=(
        "Before you began you said: at 95 % I stop. After {tests} tests you believe in one cause with {leader} %, in a second one with {second} %. {story}",
        "What do you do?",
    ),
    choices={"stop": "stop testing: put right the first cause", "test": "do that test", "say both": "stop testing: say that it is one of the two, and what each takes"},
    mistakes=(
        Mistake("sure too soon", lambda w: "stop" if w.answer == "test" else None, "At {leader} % it is something else in {rest} of 100 such regulators, and a short test is left."),
        Mistake("a guess sold as a finding", lambda w: "stop", "At {leader} % it is something else in {rest} of 100 such regulators. Nothing on this bench makes you surer: then say so."),
        Mistake("never sure", lambda w: "test" if w.answer == "stop" else None, "You had said when you would stop, and you are there. Another test costs minutes and changes nothing that you do."),
        Mistake("a test that is not there", lambda w: "test", "No test on this bench tells them apart. Minutes spent on others make you no surer."),
        Mistake("given up too soon", lambda w: "say both" if w.answer == "test" else None, "A test is left that tells the two apart, and it is short."),
        Mistake("not sure of being sure", lambda w: "say both", "You had said when you would stop, and you are there. Name the cause, and how sure you are."),
    ),
    hints=("What had you said when you would stop?", "If you are not there: is a test left that would make you surer?"),
    working=("You wanted 95 % and have {leader} %. {story}", "So: {right}."),
    boundaries=lambda w: ((w.leader, 95, 1),),
)


FOUND = {
    "seat": ("IP crept by {rate:.2f} bar a minute. Under the loupe the seat shows a cut; the orifice edge is sharp and whole.",),
    "static": (
        "IP crept by {rate:.2f} bar a minute. A new seat is in, and it creeps as before. Under the loupe the ring below the seat carrier shows a cut.",
        "IP crept by {rate:.2f} bar a minute. A new seat is in, and it creeps as before. Soapy water shows nothing. Under the loupe the seal of the orifice shows a cut.",
    ),
    "rim": (
        "Lock-up moved by {moved:.1f} bar from purge to purge. The diaphragm is hard, and black crumbs lie under its rim.",
        "Lock-up moved by {moved:.1f} bar from purge to purge. The stage lies open: the diaphragm has lain tilted, its rubber is cracked.",
    ),
    "set": (
        "Lock-up stands {moved:.1f} bar above its band, after each purge and on the next day. Nothing is worn; the spring has the length of its drawing; a second gauge agrees.",
        "Lock-up stands {moved:.1f} bar below its band, after each purge and on the next day. Nothing is worn; the spring has the length of its drawing; a second gauge agrees.",
    ),
    "second": ("IP holds steady in its band. The mouthpiece hisses; with another second stage on the hose nothing hisses.",),
}


PUT_RIGHT = ChoiceExercise(
    name="put_right", title="What does it take?", objectives=(5, 2),
    draw=lambda d: {"case": d.one_of(tuple(FOUND)), "which": d.integer(0, 1), "rate": d.decimal("0.04", "0.30", "0.02"), "moved": d.decimal("0.4", "0.8", "0.1")},
    work=lambda w: {"found": FOUND[w.case][w.which % len(FOUND[w.case])].format(rate=w.rate, moved=w.moved), "answer": w.case},
    ask=("A diaphragm first stage. {found}", "What puts it right?"),
    choices={
        "seat": "a new seat", "static": "a new static seal behind the seat", "rim": "a new diaphragm, and every crumb off the land",
        "set": "setting the first stage, no new part", "second": "a service of the second stage",
    },
    mistakes=(
        Mistake("a new seat for a static seal", lambda w: "seat" if w.case == "static" else None, "A new seat is in already, and it creeps as before."),
        Mistake("a seat because it creeps", lambda w: "seat", "Nobody found a mark on the seat, and nothing speaks of gas that comes in past it."),
        Mistake("the seal behind a nicked seat", lambda w: "static" if w.case == "seat" else None, "It may be cut as well, but what was found is the seat. Mend that, and watch again."),
        Mistake("a seal that nothing speaks for", lambda w: "static", "Past that seal gas comes in, and IP climbs on and on. That is not what the needle did."),
        Mistake("the diaphragm by habit", lambda w: "rim", "It usually is the diaphragm, people say. Nothing that was found here speaks of it."),
        Mistake("setting for mending", lambda w: "set", "Setting moves where it locks up. It mends no part that is worn, cut or dirty."),
        Mistake("the second stage adjusted to hide the first", lambda w: "second", "The second stage does what it should. Work on it can hide what the first stage does, and puts nothing right there."),
    ),
    hints=("Which part did somebody see damaged, or prove by a test?", "If none is damaged: does the needle hold, only at the wrong reading?"),
    working=("{found}", "That takes {right}. Then watch again: only the needle says that it is put right."),
)


ENDED = {
    "found": (
        "The loupe showed a cut in the seat. A new one is in. In {minutes} minutes of watching at {supply} bar the needle holds at {ip:.1f} bar, in its band.",
        "The fitting of a hose wept. It was made tight. In {minutes} minutes of watching at {supply} bar the needle holds at {ip:.1f} bar, in its band, and no bubble comes.",
    ),
    "nothing": (
        "The customer says that it free-flows. You watched it for {minutes} minutes at {supply} bar and again at 50 bar, held the purge button down, purged five times, wet it, tapped the gauge and fitted a second one. It holds at {ip:.1f} bar, in its band.",
        "It came in for a check. You watched it for {minutes} minutes at {supply} bar and again at 50 bar, purged, and wet it all round. It holds at {ip:.1f} bar, in its band.",
    ),
    "open": (
        "You found a weep at a hose and made it tight. The needle still climbs: in {minutes} minutes at {supply} bar it goes to {ip:.1f} bar, out of its band.",
        "The loupe showed a cut in the seat. A new one is in. The cylinder is at {low} bar, the sheet asks for a watch at {supply} bar, and nobody has done it yet.",
    ),
}

WHAT_YOU_SAY = ChoiceExercise(
    name="what_you_say", title="What you write and say", objectives=(5, 4),
    draw=lambda d: {
        "case": d.one_of(tuple(ENDED)), "which": d.integer(0, 1), "minutes": d.integer(8, 12), "supply": d.integer(18, 22) * 10, "low": d.integer(5, 9) * 10,
        "ip": d.decimal("9.5", "9.9", "0.1"),
    },
    work=lambda w: {
        "ended": ENDED[w.case][w.which].format(minutes=w.minutes, supply=w.supply, low=w.low, ip=w.ip + (1.2 if w.case == "open" else 0.0)), "answer": w.case,
    },
    ask=("{ended}", "What do you write down and tell the customer?"),
    choices={
        "found": "what was found, what it took, and what the needle did afterwards",
        "nothing": "that nothing was found, which tests were done and what they showed: no promise",
        "open": "what was found, and that the work is not finished",
    },
    mistakes=(
        Mistake("put right without a watch", lambda w: "found" if w.answer == "open" else None, "A part that is put in proves nothing. Has the needle held, at the supply that the sheet asks for?"),
        Mistake("a fault made up", lambda w: "found", "Nothing was found, so do not name a cause. Say what you tested."),
        Mistake("a finding left out", lambda w: "nothing" if w.answer == "found" else None, "Something was found, and it was put right. The next technician must know."),
        Mistake("a fault passed over", lambda w: "nothing", "Something was found, and something is still open. It must not go out like this."),
        Mistake("no end", lambda w: "open" if w.answer == "found" else None, "It was found, put right and watched as the sheet asks. This work is finished: say what it took."),
        Mistake("a complaint without a finding", lambda w: "open", "No test is left undone that the bench has. Say what they showed, ask how the complaint came about, and promise nothing."),
    ),
    hints=("Was something found? And what did the needle do afterwards?", "Only a watch after the repair finishes the work. And no test proves that nothing is wrong."),
    working=("{ended}", "Write and say {right}."),
)


AT = {
    "seat": ("seat_dished", "seat_nicked", "grit", "edge_or_static_seal"), "diaphragm": ("diaphragm_holed", "diaphragm_stiff", "land_scratched"),
    "spring": ("spring_weak", "spring_wrong"),
}
"""Where causes sit, for the first prediction."""


def _where_it_creeps() -> str:
    from steadyneedle.bench.diagnosis.beliefs import belief
    from steadyneedle.bench.diagnosis.knowledge import knowledge  # only whoever explains waits for it

    now = belief(knowledge(DESIGN), STORIES[CREEPS][:1]).by_cause
    seat, diaphragm, spring = (round(100 * sum(now[one] for one in causes)) for causes in AT.values())
    return (
        f"At the seat or its edge in about {seat} of 100 such regulators, at the diaphragm or its land in {diaphragm}, at the spring in {spring}. "
        "A needle climbs because gas comes in, and it comes in past the seat or its seals. How often each is met is a teaching value of ours."
    )


def _same_end() -> str:
    from steadyneedle.bench.diagnosis.beliefs import belief
    from steadyneedle.bench.diagnosis.knowledge import knowledge

    def agree(many: int) -> int:
        leaders = [[belief(knowledge(DESIGN, weights=one), story[:many]).leader for one in ("ours", "trade")] for story in STORIES.values()]
        return sum(ours == trade for ours, trade in leaders)

    most = max(map(len, STORIES.values()))
    return (
        f"Of the {len(STORIES)} regulators below they name the same cause of {agree(1)} after one test, and of {agree(most)} after {most}. "
        "A belief decides what one tests first. Findings outweigh it, where a test tells the causes apart; where none does, the belief stays."
    )


def _habit_is_late() -> str:
    from steadyneedle.bench.diagnosis.knowledge import knowledge
    from steadyneedle.bench.diagnosis.orders import two_orders

    habit, advised = (100 * one.after(30) for one in two_orders(knowledge(DESIGN), STORIES[CREEPS][:1]))
    return (
        f"Later. After half an hour of bench work {advised:.0f} of 100 regulators are named right as advised, and {habit:.0f} in the trade's order. "
        "That order opens the stage first, and looks at parts past which no gas comes in."
    )


def _predictions() -> tuple[Asked, ...]:
    return (
        Prediction(
            "first_guess", "A Juniper creeps slowly at full supply. Nothing else is known. Where does the fault sit?",
            {"seat": "at the seat or its edge", "diaphragm": "at the diaphragm or its land", "spring": "at the spring"},
            _where_it_creeps, how_sure=True,
        ),
        Prediction(
            "land", "A Juniper creeps. Somebody says: the land under the rim of the diaphragm is scratched. Which way would a scratch there let gas go?",
            {"in": "in, from the supply", "out": "out, into the room", "neither": "neither"},
            "Out, into the room. So it may be scratched, but that is not why the needle climbs.",
            look=TABLE,
        ),
        Prediction(
            "mind", "You believe in one cause. Which test do you look for next?",
            {"right": "one that can only prove you right", "wrong": "one that could change your mind", "any": "whichever is quickest"},
            "One that could change your mind. A test whose every outcome leaves you with the same cause has told nothing that you can use.",
        ),
        Prediction(
            "two_beliefs", "Two technicians test the same regulator. One thinks of the seat first, the other of spring, diaphragm and land. Do they end at the same cause?",
            {"same": "yes, once they have tested enough", "never": "no, each finds what they thought of", "chance": "that is chance"},
            _same_end,
        ),
        Prediction(
            "orders", "A slow creep. One technician opens the stage and looks at spring, diaphragm and land. Another begins outside, with what tells most for its minutes. Who names the right cause sooner?",
            {"inside": "whoever opens at once", "outside": "whoever begins outside", "same": "both at about the same time"},
            _habit_is_late,
        ),
    )


def plan() -> Plan:
    """Lesson 04b."""
    return Plan(
        number="04b", title="Finding the cause", minutes="60 to 75",
        objectives=(
            "choose the next test by what it tells for its minutes",
            "read what a test tells and what it does not",
            "argue with gas in and gas out against a false cause",
            "stop when you are sure enough, and not before",
            "say what was found and what it takes to put it right",
        ),
        exercises=(
            AFTER_A_FINDING, NOTHING_FOUND, OFF_ZERO, FOR_OR_AGAINST, FALSE_CAUSE, VALVE_SHUT, GAS_LOST, WHICH_TEST, OUTSIDE_FIRST, LOOK_FIRST,
            TWO_LOOKS, STOP_OR_GO, PUT_RIGHT, WHAT_YOU_SAY,
        ),
        predictions=_predictions(),
        warm_up=(("04", "creep_rate"), ("04", "how_long"), ("04", "opens_in")),
    )
