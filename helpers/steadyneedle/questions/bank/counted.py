"""Lesson 04b: sums over a hundred regulators. All shares and minutes in them are invented."""

from __future__ import annotations

from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise

COUNTED = "the shares are no better known than that."


def _outside_first(w: Named) -> dict[str, Any]:
    others = 100 - w.settles
    whole = 100 * w.test + others * w.opening
    return {"others": others, "tests": 100 * w.test, "openings": others * w.opening, "whole": whole, "answer": whole / 100}


OUTSIDE_FIRST = QuantityExercise(
    name="outside_first", title="A test before opening", objectives=(1,),
    draw=lambda d: {"test": d.integer(3, 9), "settles": d.one_of((20, 25, 30, 35, 40, 60, 65, 70)), "opening": d.integer(24, 40)},
    work=_outside_first,
    ask=(
        "A first stage climbs. Before you open it you may do a test from outside, which takes {test} min. In {settles} of 100 such regulators it shows the cause. In all others you must open the first stage as well, which takes another {opening} min.",
        "You always do the test first. How many minutes does a regulator take on average?",
    ),
    mistakes=(
        Mistake("opened all the same", lambda w: w.test + w.opening, "You opened every one of them. Where the test shows the cause you need not open."),
        Mistake("the test forgotten", lambda w: w.openings / 100, "You left out the test. All 100 regulators get it."),
        Mistake("the wrong ones opened", lambda w: w.test + w.settles * w.opening / 100, "You opened those where the test showed the cause. It is the others that you open."),
        Mistake("no test for the others", lambda w: (w.settles * w.test + w.openings) / 100, "You gave the test only to those where it shows the cause. Nobody knows that beforehand: all get it."),
        Mistake("halfway", lambda w: w.test + w.opening / 2, "You opened half of them. Count how many are opened."),
    ),
    hints=("Think of 100 regulators. How many get the test, and how many are opened?", "All 100 get the test; {others} of them are opened as well."),
    working=(
        "Tests: 100 × {test} min = {tests} min. Openings: {others} × {opening} min = {openings} min.",
        "Whoever opens at once needs {opening} min every time. With the test first: ({tests} min + {openings} min) ÷ 100 = {answer:.1f} min",
    ),
    kind="time", unit="min", relative=0.01, why="nobody times work to the second.", figures=2,
)

PLACES = {"seat": "the seat", "diaphragm": "the diaphragm", "spring": "the spring"}


def _draw_looks(d: Draws) -> Givens:
    return {one: d.integer(2, 6) * 5 for one in PLACES} | {f"{one}_min": d.integer(3, 15) for one in PLACES}


def _look_first(w: Named) -> dict[str, Any]:
    worth = {one: w[one] / w[f"{one}_min"] for one in PLACES}
    order = sorted(PLACES, key=lambda one: -worth[one])
    said = "; ".join(f"{PLACES[one]}: {w[one]} ÷ {w[f'{one}_min']} = {worth[one]:.1f}" for one in PLACES)
    return {"said": said, "best": worth[order[0]], "second": worth[order[1]], "answer": order[0]}


def _alone(w: Named, end: str, way: int) -> str | None:
    """The place whose number is the largest (1) or the smallest (-1); None where two share it."""
    numbers = {one: way * w[one + end] for one in PLACES}
    first = max(numbers, key=lambda one: numbers[one])
    return first if list(numbers.values()).count(numbers[first]) == 1 else None


LOOK_FIRST = ChoiceExercise(
    name="look_first", title="Where to look first", objectives=(1,),
    draw=_draw_looks,
    work=_look_first,
    ask=(
        "A first stage lies open. Of 100 regulators with this complaint the fault sits at the seat in {seat}, at the diaphragm in {diaphragm}, at the spring in {spring}. To look and be sure takes {seat_min} min at the seat, {diaphragm_min} min at the diaphragm, {spring_min} min at the spring.",
        "You stop as soon as you have found it. Where do you look first, to be done soonest on average?",
    ),
    choices=PLACES,
    mistakes=(
        Mistake("the commonest first", lambda w: _alone(w, "", 1), "There the fault sits most often. But each minute finds less there than at another place, because the look takes long."),
        Mistake("the quickest first", lambda w: _alone(w, "_min", -1), "That is the quickest look. But it finds the fault too seldom for its minutes."),
        Mistake("the diaphragm by habit", lambda w: "diaphragm", "It usually is the diaphragm, people say. Here the numbers say something else: count what a minute finds."),
        Mistake("the spring by habit", lambda w: "spring", "Many benches begin with the spring. Count what a minute of looking finds there."),
        Mistake("the seat by habit", lambda w: "seat", "Many benches begin with the seat. Count what a minute of looking finds there."),
    ),
    hints=("It is neither the commonest fault nor the shortest look alone.", "How many of the 100 does one minute of looking find, at each place?"),
    working=("Regulators found in a minute: {said}.", "Look where a minute finds most: {right}."),
    boundaries=lambda w: ((w.best, w.second, 0.15),),
)


def _after_a_finding(w: Named) -> dict[str, Any]:
    good = 100 - w.nicked
    true, false = round(w.nicked * w.finds / 100, 1), round(good * w.errs / 100, 1)  # as printed in the working
    return {"good": good, "true": true, "false": false, "marked": true + false, "answer": 100 * true / (true + false)}


AFTER_A_FINDING = QuantityExercise(
    name="after_a_finding", title="A mark under the loupe", objectives=(2,),
    draw=lambda d: {"nicked": d.integer(4, 14) * 5, "finds": d.one_of((60, 70, 75, 80, 85, 90)), "errs": d.one_of((4, 5, 8, 10, 12, 15, 20))},
    work=_after_a_finding,
    ask=(
        "Of 100 first stages that climb straight, {nicked} have a nicked seat; the seat of the other {good} is good. Under a loupe you see a mark on {finds} of 100 nicked seats. On {errs} of 100 good seats you believe that you see one too.",
        "You look, and you see a mark. How likely is it, in percent, that the seat is nicked?",
    ),
    mistakes=(
        Mistake("how often the loupe finds a nick", lambda w: float(w.finds), "That is how many nicks the loupe finds. The question is how many of the seats that look marked are nicked."),
        Mistake("nothing learnt", lambda w: float(w.nicked), "That is what you believed before you looked. The mark tells something: count on."),
        Mistake("the good seats forgotten", lambda w: 100.0, "You forgot the good seats on which you believe to see a mark."),
        Mistake("of all 100", lambda w: w.true, "So many of all 100 are nicked and look marked. You know more: yours looks marked."),
        Mistake("the good seats taken off", lambda w: float(w.finds - w.errs), "Shares of different regulators cannot be taken from one another. Count regulators first."),
    ),
    hints=("Count regulators: how many of the 100 look marked, nicked or not?", "Two groups look marked: nicks that the loupe finds, and good seats on which you err. Which part of both together is nicked?"),
    working=(
        "Nicked and looking marked: {nicked} × {finds} ÷ 100 = {true:.1f}. Good and looking marked: {good} × {errs} ÷ 100 = {false:.1f}.",
        "{true:.1f} of {marked:.1f} that look marked are nicked: {answer:.0f} %",
    ),
    kind="percent", unit="%", relative=0.0, absolute=1.0, why=COUNTED, figures=2, reading=False,
)


def _nothing_found(w: Named) -> dict[str, Any]:
    misses, tight = 100 - w.finds, 100 - w.weeps
    missed = round(w.weeps * misses / 100, 1)
    return {"misses": misses, "tight": tight, "missed": missed, "dry": missed + tight, "answer": 100 * missed / (missed + tight)}


NOTHING_FOUND = QuantityExercise(
    name="nothing_found", title="No bubble", objectives=(2,),
    draw=lambda d: {"weeps": d.integer(6, 16) * 5, "finds": d.one_of((40, 50, 60, 65, 70, 75, 80))},
    work=_nothing_found,
    ask=(
        "Of 100 regulators with this complaint {weeps} weep to the outside. The weeps are small: soapy water shows {finds} of 100 such weeps. Where nothing weeps it never shows a bubble.",
        "You wet one and see no bubble. How likely is it, in percent, that it weeps all the same?",
    ),
    mistakes=(
        Mistake("no bubble, no weep", lambda w: 0.0, "No bubble does not prove that it is tight: soapy water misses some weeps."),
        Mistake("nothing learnt", lambda w: float(w.weeps), "That is what you believed before you wet it. No bubble makes a weep less likely."),
        Mistake("what soap misses", lambda w: float(w.misses), "That is how many weeps soapy water misses. The question is how many of those without a bubble weep."),
        Mistake("of all 100", lambda w: w.missed, "So many of all 100 weep without a bubble. Yours is one of those without a bubble: compare with those alone."),
    ),
    hints=("Count regulators: how many of the 100 show no bubble, tight or not?", "Two groups show no bubble: all that are tight, and those weeps that soapy water misses. Which part of both together weeps?"),
    working=(
        "Weeping without a bubble: {weeps} × {misses} ÷ 100 = {missed:.1f}. Tight: {tight}.",
        "Less likely than before, but not nothing. Of those without a bubble weep {missed:.1f} ÷ {dry:.1f} = {answer:.0f} %",
    ),
    kind="percent", unit="%", relative=0.0, absolute=1.0, why=COUNTED, figures=2, reading=False,
)


def _two_looks(w: Named) -> dict[str, Any]:
    gross = 100 - w.slight
    once = (round(w.slight * (100 - w.seldom) / 100, 1), round(gross * (100 - w.often) / 100, 1))
    twice = (round(once[0] * (100 - w.seldom) / 100, 1), round(once[1] * (100 - w.often) / 100, 1))
    missed = sum(once)
    return {
        "gross": gross, "slight_once": once[0], "gross_once": once[1], "slight_twice": twice[0], "gross_twice": twice[1],
        "once": missed, "answer": sum(twice),
    }


TWO_LOOKS = QuantityExercise(
    name="two_looks", title="Two tests that say nothing", objectives=(4, 2),
    draw=lambda d: {"slight": d.integer(7, 15) * 5, "seldom": d.one_of((10, 15, 20, 25, 30, 35)), "often": d.one_of((80, 85, 90, 95))},
    work=_two_looks,
    ask=(
        "100 regulators have the same fault, {slight} of them slightly, {gross} badly. Two tests look for it. Each of them finds a slight fault in {seldom} of 100 and a bad one in {often} of 100.",
        "In what share of the 100, in percent, do both tests find nothing?",
    ),
    mistakes=(
        Mistake("two tests as if they knew nothing of one another", lambda w: w.once**2 / 100, "You multiplied the shares of the two tests. But a fault that the first test missed is mostly a slight one, and the second misses most of these too. Count slight and bad faults apart."),
        Mistake("one test", lambda w: w.once, "That is what one test misses. The second finds some of those."),
        Mistake("halved", lambda w: w.once / 2, "A second test does not halve what the first one missed. Count slight and bad faults apart."),
        Mistake("sure after two", lambda w: 0.0, "Two tests that find nothing are no proof. Count those that both of them miss."),
    ),
    hints=("Which ones does the first test miss: slight or bad ones?", "Count how many slight and how many bad ones the first test leaves. What does the second test miss of each?"),
    working=(
        "Missed once: {slight} × (100 − {seldom}) ÷ 100 = {slight_once:.1f} slight, {gross} × (100 − {often}) ÷ 100 = {gross_once:.1f} bad.",
        "Missed twice: {slight_twice:.1f} slight, {gross_twice:.1f} bad.",
        "Together {answer:.1f} of 100: {answer:.0f} %",
    ),
    kind="percent", unit="%", relative=0.0, absolute=1.0, why=COUNTED, figures=2, reading=False,
)


def _draw_gas(d: Draws) -> Givens:
    front, fall, behind = d.integer(4, 9), d.integer(6, 15), d.one_of((30, 40, 50, 60, 80))
    came = d.decimal("0.3", "0.7", "0.05") * front * fall  # of what left, so much came in behind the seat
    return {"front": front, "behind": behind, "first": d.integer(12, 16) * 5, "fall": fall, "rise": round(came / behind, 2), "minutes": d.integer(3, 8)}


def _gas_lost(w: Named) -> dict[str, Any]:
    left, came = w.front * w.fall, round(w.behind * w.rise, 1)
    return {"last": w.first - w.fall, "left": left, "came": came, "answer": left - came}


GAS_LOST = QuantityExercise(
    name="gas_lost", title="Where did the gas go?", objectives=(3,),
    draw=_draw_gas,
    work=_gas_lost,
    ask=(
        "The cylinder valve is shut. In front of the seat lie {front} mL, behind it, with hose and gauge, {behind} mL. In {minutes} min the supply needle falls from {first} bar to {last} bar, and IP climbs by {rise:.2f} bar. One bar more or less in one mL is one mL of air as it is in the room.",
        "How much air, as it is in the room, went out of the regulator?",
    ),
    mistakes=(
        Mistake("all of it went out", lambda w: float(w.left), "So much left the supply side. Part of it did not go out: it came in behind the seat."),
        Mistake("what came in", lambda w: w.came, "So much came in behind the seat. More than that left the supply side: where is the rest?"),
        Mistake("added", lambda w: w.left + w.came, "You added them. What came in behind the seat is still there: it did not go out."),
        Mistake("pressures compared", lambda w: w.front * (w.fall - w.rise), "You compared pressures. The same pressure is more gas in a larger room: multiply each by its own volume."),
    ),
    hints=("How much gas left the supply side, and how much came in behind the seat?", "Each side: its volume times what its needle moved by."),
    working=(
        "Left the supply side: {front} mL × {fall} = {left} mL. Came in behind the seat: {behind} mL × {rise:.2f} = {came:.1f} mL.",
        "Gas came in and gas went out, so there are two leaks. Went out: {left} mL − {came:.1f} mL = {answer:.1f} mL",
    ),
    kind="volume", unit="mL", relative=0.03, why="real air at such a supply differs from this sum by about as much.", figures=2, reading=False,
)


OFF_ZERO = QuantityExercise(
    name="off_zero", title="A gauge that stands off zero", objectives=(5, 2),
    draw=lambda d: {"zero": d.decimal("0.2", "0.7", "0.1"), "ip": d.decimal("9.2", "10.6", "0.1")},
    work=lambda w: {"reading": round(w.ip + w.zero, 1), "answer": w.ip},
    ask=(
        "With the cylinder valve shut and the hose vented the needle of your gauge stands at {zero:.1f} bar. On the regulator it reads {reading:.1f} bar. It is off by as much everywhere on its scale.",
        "Where does IP stand?",
    ),
    mistakes=(
        Mistake("the gauge's word", lambda w: w.reading, "That is what the gauge says. It says too much already when there is no pressure at all."),
        Mistake("the wrong way", lambda w: w.reading + w.zero, "You added what it is off. It shows too much: take that away."),
        Mistake("what it is off", lambda w: w.zero, "That is how far it is off. Where does IP stand?"),
        Mistake("half of it", lambda w: w.reading - w.zero / 2, "It is off by the whole of it, not by half."),
    ),
    hints=("What should the needle show when the hose is vented?", "It shows as much too much, vented and under pressure."),
    working=("It shows {zero:.1f} bar too much. Better than any sum: take a gauge that stands at zero, and watch again.", "{reading:.1f} bar − {zero:.1f} bar = {answer:.1f} bar"),
    kind="gauge pressure", relative=0.0, absolute=0.02, why="that is closer than anybody reads a needle.",
)
