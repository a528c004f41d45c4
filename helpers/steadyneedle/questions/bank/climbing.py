"""Lesson 04, second half: what to do about a needle that climbs."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.bands.stopping import ABOVE_LIMIT, PART_OF_SPAN
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named

PLUGGED = {
    "vented": "Yesterday a first stage crept by {rate:.2f} bar a minute. Now it lies on the shelf, vented, with no cylinder connected. Somebody screws plugs into all of its {ports} low-pressure ports.",
    "spare": "A first stage creeps by {rate:.2f} bar a minute at a supply of {supply} bar. Somebody plugs {spare} of its {ports} low-pressure ports; a second stage and the gauge stay connected.",
    "none": "A first stage creeps by {rate:.2f} bar a minute at a supply of {supply} bar. To watch it without a leak, somebody wants a plug in every one of its {ports} low-pressure ports but that of the gauge. There is no relief valve.",
}

BLANK_THE_PORTS = ChoiceExercise(
    name="blank_the_ports", title="May the ports be blanked?", objectives=(4,), version=2,
    draw=lambda d: {"case": d.one_of(tuple(PLUGGED)), "ports": d.integer(3, 6), "rate": d.decimal("0.04", "0.30", "0.02"), "supply": d.integer(15, 30) * 10},
    work=lambda w: {"spare": w.ports - 2, "story": PLUGGED[w.case].format(**{**w, "spare": w.ports - 2}), "answer": {"vented": "no pressure", "spare": "can open", "none": "never"}[w.case]},
    ask=("{story}", "Is that allowed?"),
    choices={"no pressure": "Yes: there is no pressure that could climb.", "can open": "Yes: something is left that can open.", "never": "No: nothing is left that can open."},
    mistakes=(
        Mistake("pressure overlooked", lambda w: "no pressure", "A cylinder is connected, and the needle climbs: there is pressure, and more is coming."),
        Mistake("everything blanked", lambda w: "can open" if w.case == "none" else None, "A gauge cannot open. Nothing else is left, so IP climbs towards the cylinder pressure until something bursts."),
        Mistake("a second stage that is not there", lambda w: "can open", "Nothing that could open is connected. But is there any pressure that could climb?"),
        Mistake("afraid of every plug", lambda w: "never" if w.case == "spare" else None, "A second stage is still connected. If IP climbs too far, it opens by itself and lets the gas out."),
        Mistake("afraid of plugs on the shelf", lambda w: "never", "No cylinder is connected and the stage is vented: nothing can climb. The plugs keep dirt out."),
    ),
    hints=("Is there any pressure that could climb?", "If there is: what would open when IP has climbed far enough? A gauge cannot."),
    working=("A creeping stage needs something that opens: a second stage or a relief valve. Without supply nothing creeps.", "{right}"),
)


STOP_RULE = (
    f"The rule of your shop: the stop is the lowest of three readings, where the second stage opens by itself, {PART_OF_SPAN:.0%} of the "
    f"gauge's scale, and {ABOVE_LIMIT.magnitude:g} bar above the sheet's upper limit. Below the stop one may watch on."
).replace("75%", "three quarters")


def _draw_stop(d: Draws) -> Givens:
    says = d.one_of(("watch", "watch", "watch", "stop", "stop", "decide", "decide"))
    away = d.decimal("0.3", "0.6", "0.1") if says == "stop" else -d.decimal("0.3", "1.2", "0.1")
    later = 1.8 if says == "stop" else d.one_of((0.0, 1.8))  # no needle climbs past where its second stage opens
    return {
        "opens": round(d.decimal("11.0", "12.6", "0.1") + later, 1), "span": d.one_of((14, 16, 20)), "high": d.decimal("9.4", "10.2", "0.1"), "away": away,
        "rate": d.decimal("0.04", "0.20", "0.02"), "known": "no" if says == "decide" else "yes",
    }


def _at_the_stop(w: Named) -> dict[str, Any]:
    scale, above = PART_OF_SPAN * w.span, w.high + float(ABOVE_LIMIT.magnitude)
    stop = min(w.opens, scale, above)
    if w.known == "no":
        facts = f"Its gauge ends at {max(w.span, 16)} bar. Nobody has looked up its sheet, or where its second stage opens by itself."
        reason = "Two of the three readings are not known, so nobody can say which is the lowest."
        return {"scale": scale, "stop": stop, "now": round(w.high + abs(w.away), 1), "facts": facts, "reason": reason, "answer": "decide"}
    now = round(stop + w.away, 1)
    facts = f"Its second stage opens by itself at {w.opens:.1f} bar, its gauge ends at {w.span} bar, the sheet's upper limit is {w.high:.1f} bar."
    reason = (
        f"The second stage opens at {w.opens:.1f} bar; three quarters of the gauge's {w.span} bar are {scale:.1f} bar; 2 bar above the sheet's limit is {above:.1f} bar. "
        f"The stop is the lowest, {stop:.1f} bar, and the needle reads {now:.1f} bar."
    )
    return {"scale": scale, "stop": stop, "now": now, "facts": facts, "reason": reason, "answer": "stop" if now >= stop else "watch"}


AT_THE_STOP = ChoiceExercise(
    name="at_the_stop", title="At the stop", objectives=(4, 3), version=3,
    draw=_draw_stop,
    work=_at_the_stop,
    ask=("The needle of a creeping first stage reads {now:.1f} bar and climbs by {rate:.2f} bar a minute. {facts}", STOP_RULE, "What do you do now by that rule?"),
    choices={"watch": "Watch on, and write the readings down.", "stop": "Shut the cylinder valve, purge down, tag the regulator.", "decide": "Shut the valve for now, and find out where to stop before watching on."},
    mistakes=(
        Mistake("past the stop", lambda w: "watch" if w.answer == "stop" else None, "The needle has passed the stop. Work out the three readings of the rule, and compare it with the lowest."),
        Mistake("no stop decided", lambda w: "watch", "Two of the three readings are not known, so nobody knows where to stop. A watch without a stop ends where something bursts."),
        Mistake("stopped too early", lambda w: "stop" if w.answer == "watch" else None, "Shutting the valve harms nobody. But by the rule the needle has not reached the stop: it reads {now:.1f} bar, and the stop is {stop:.1f} bar. You may watch on, and learn more about the rate."),
        Mistake("tagged without a stop", lambda w: "stop", "Do not condemn it yet. Nobody knows how far it may climb: find that out first."),
        Mistake("stop asked for again", lambda w: "decide", "All that the stop depends on is stated. Work it out, and compare the needle with it."),
    ),
    hints=("The stop is the lowest of three readings. Are all three known?", "Where they are, work out each of them, and compare the needle with the lowest."),
    working=("{reason}", "{right}"),
    boundaries=lambda w: ((w.now, w.stop, max(0.29, 2 * w.rate)),) if w.known == "yes" else (),  # nor two minutes from it
)


MOVES_FREELY = "checked and moving freely"
"""What a second gauge must be before its word counts against the first: one that sticks holds steady, too."""

SUPPLY_FALLS = 10.0
"""Times as fast as IP would fall, a leak lowers the supply needle once the cylinder valve is shut: so little gas stands in
front of the seat (the rig's diaphragm designs: 8 to 12)."""

FOUND = {
    "first": "IP climbs by {rate:.2f} bar a minute. Once it has reached {high:.1f} bar the mouthpiece hisses, and IP holds there.",
    "second": "At a supply of {supply} bar IP holds steady at {now:.1f} bar. The mouthpiece hisses from the first moment; with another second stage on the same hose nothing hisses.",
    "hose": "With the cylinder valve shut IP holds, and the supply needle falls by {fall:.1f} bar a minute. Soapy water shows bubbles at a hose fitting and nowhere else; nothing hisses.",
    "gauge": f"The needle climbs by {{rate:.2f}} bar a minute. A second gauge on the next port, {MOVES_FREELY}, holds steady at {{now:.1f}} bar, and nothing hisses.",
}

WHICH_STAGE = ChoiceExercise(
    name="which_stage", title="Which stage do you open?", objectives=(4, 1), version=4,
    draw=lambda d: {"case": d.one_of(("first", "first", "second", "second", "hose", "gauge")), "rate": d.decimal("0.04", "0.30", "0.02"), "now": d.decimal("9.5", "10.1", "0.1"), "high": d.decimal("11.2", "12.0", "0.1"), "supply": d.integer(15, 30) * 10},
    work=lambda w: {"story": FOUND[w.case].format(fall=SUPPLY_FALLS * w.rate, **w), "answer": w.case if w.case in ("first", "second") else "neither"},
    ask=("{story}", "Which stage do you open?"),
    choices={"first": "the first stage", "second": "the second stage", "neither": "neither of the two"},
    mistakes=(
        Mistake("the stage that hisses", lambda w: "second" if w.answer == "first" else None, "The second stage hisses because IP has climbed to where it opens. It does what it should. What lets the gas in?"),
        Mistake("a steady IP overlooked", lambda w: "first" if w.answer == "second" else None, "IP holds steady: the first stage keeps the gas out. And with another second stage the hiss is gone."),
        Mistake("a hose taken for a stage", lambda w: "first" if w.case == "hose" else None, "Gas goes out at a hose fitting. Tighten or change the hose and test again before you open anything."),
        Mistake("a gauge taken for a creep", lambda w: "first" if w.case == "gauge" else None, "Two gauges on the same gas disagree. A climb that only one of them shows is in that gauge."),
        Mistake("a leak taken for the second stage", lambda w: "second", "Nothing hisses at the mouthpiece. The second stage has nothing to do with it."),
        Mistake("nothing to open", lambda w: "neither", "One stage does not hold what it should hold. Where does the gas come in, or go out?"),
    ),
    hints=("Where does gas come in, and where does it go out?", "Where IP climbs at rest, gas comes in past a seat that should be shut. Where a mouthpiece hisses at a steady IP, the valve behind it does not hold."),
    working=("Gas that comes in passes the first stage. Gas that goes out at the mouthpiece, at a steady IP, passes the second. A hose or a gauge belongs to neither.", "The answer: {right}."),
)
