"""Lesson 03: specification bands, the gauge's error, decision rules."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from steadyneedle.bench.bands import Verdict, format_chance, judge
from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
from steadyneedle.bench.bands.gauges import Gauge, choose_gauge
from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import Plan, Prediction
from steadyneedle.questions.pressures import ATM_IN_PSI, BAR_IN_PSI, bar

LAST_DIGIT = ChoiceExercise(
    name="last_digit", title="The last digit", objectives=(4,), version=2,
    draw=lambda d: {"division": d.one_of((0.2, 0.5)), "near": d.decimal("9.1", "10.3", "0.1")},
    work=lambda w: {"fifth": w.division / 5, "off": w.division / 2, "answer": "fifth"},
    ask="The division of a gauge is {division:.1f} bar. The needle stands between two marks near {near:.1f} bar. How do you write the reading down?",
    choices={
        "hundredth": "with all the digits the eye can guess, to a hundredth of a bar",
        "fifth": "to a fifth of a division, with ± half a division",
        "rounded": "rounded towards the middle of the band",
        "wordless": "as inside the band, without a number",
    },
    mistakes=(
        Mistake("last digit as truth", lambda w: "hundredth", "The eye divides a division into five parts at best. More digits look like knowledge and are none."),
        Mistake("rounded to please", lambda w: "rounded", "Rounding towards the band makes a bad regulator good on paper."),
        Mistake("no number", lambda w: "wordless", "A verdict without its reading cannot be checked, and nobody can compare it next year."),
    ),
    hints=("How finely can an eye divide the space between two marks?", "About into fifths. And say how far off the reading may be."),
    working=("A fifth of {division:.1f} bar is {fifth:.2f} bar.", "Write the nearest fifth, and half a division either way for the needle's width, the angle of view and a sticky movement: ±{off:.2f} bar."),
)


STATED_SUPPLY = ChoiceExercise(
    name="stated_supply", title="A band at a stated supply", objectives=(1, 5),
    draw=lambda d: {
        "low": d.decimal("8.6", "9.2", "0.1"), "supply": d.one_of((180, 200, 220)), "actual": d.integer(5, 9) * 10,
        "reading": d.decimal("8.0", "10.4", "0.1"), "up": 1.0,
    },
    work=lambda w: {"high": w.low + w.up, "inside": w.low <= w.reading <= w.low + w.up, "answer": "neither"},
    ask=(
        "The sheet of an unbalanced first stage says: IP {low:.1f} to {high:.1f} bar at {supply} bar supply.",
        "Your bench cylinder is down to {actual} bar. The needle stands at {reading:.1f} bar. What do you write down?",
    ),
    choices={
        "passes": "It passes: the needle is in the band.",
        "fails": "It fails: the needle is out of the band.",
        "neither": "Neither yet: set the supply the sheet names and read again.",
        "second": "It passes if the second stage does not leak.",
    },
    mistakes=(
        Mistake("supply ignored", lambda w: "passes" if w.inside else None, "The band holds at the supply the sheet names. An unbalanced stage gives another IP on a low cylinder."),
        Mistake("supply ignored, failed", lambda w: None if w.inside else "fails", "The band holds at the supply the sheet names. On a full cylinder the same stage may stand in the band: do not condemn it yet."),
        Mistake("second stage brought in", lambda w: "second", "The second stage has no part in it. What is missing is the supply pressure the band is stated at."),
    ),
    hints=("Read the whole line of the sheet, to its end.", "The band is stated at {supply} bar supply. What is yours?"),
    working=(
        "The sheet's band holds at {supply} bar supply; the reading was taken at {actual} bar.",
        "A reading at another supply cannot be held against the band. Set the supply, then read again.",
    ),
)


RISE_A_MINUTE = QuantityExercise(
    name="rise_a_minute", title="The allowed rise, a minute", objectives=(1,),
    draw=lambda d: {"rise": d.decimal("0.10", "0.40", "0.05"), "minutes": d.integer(3, 10), "purges": d.integer(3, 6)},
    work=lambda w: {"answer": w.rise / w.minutes},
    ask=("A sheet allows a rise of {rise:.2f} bar in {minutes} minutes after {purges} purges.", "Which creep rate is that? Type it in bar/min."),
    mistakes=(
        Mistake("time ignored", lambda w: w.rise, "That is the whole rise. A rate is the rise for one minute: divide by the minutes."),
        Mistake("upside down", lambda w: w.minutes / w.rise, "You divided minutes by bar. A rate in bar/min is bar divided by minutes."),
        Mistake("purges counted as minutes", lambda w: w.rise / w.purges, "You divided by the purges. They settle the seat before the watch; the rise is over the minutes."),
        Mistake("multiplied", lambda w: w.rise * w.minutes, "You multiplied. A rate is the rise divided by its time."),
    ),
    hints=("A rate says how far it climbs in one minute.", "Rate = rise ÷ minutes."),
    working="{rise:.2f} bar ÷ {minutes} min = {answer} bar/min",
    kind="pressure rate", unit="bar/min", relative=0.02, why="two figures are all the sheet gives.", figures=2,
)


LARGEST_ERROR = QuantityExercise(
    name="largest_error", title="What a class allows", objectives=(2, 3),
    draw=lambda d: {"span": d.one_of((16, 20, 25, 40)), "class": d.one_of((1.0, 1.6, 2.5, 4.0)), "reading": d.decimal("8.5", "10.5", "0.1")},
    work=lambda w: {"answer": w.span * w["class"] / 100},
    ask=("A gauge 0 to {span} bar is of class {class:.1f}. It reads {reading:.1f} bar.", "By how much may it be wrong, at most, according to its class?"),
    mistakes=(
        Mistake("percent of the reading", lambda w: w.reading * w["class"] / 100, "You took the percent of the reading. A class is in percent of the span: the error is the same all along the scale."),
        Mistake("percent as bar", lambda w: w["class"], "You took the class for bar. It is percent of the span."),
        Mistake("percent of what is left", lambda w: (w.span - w.reading) * w["class"] / 100, "You took the percent of the rest of the scale. A class is in percent of the whole span."),
        Mistake("percent forgotten", lambda w: w.answer * 100, "You multiplied by the class without dividing by 100. It is percent."),
    ),
    hints=("Percent of what? Not of the reading.", "Largest error = span × class ÷ 100 = {span} bar × {class:.1f} ÷ 100."),
    working="{span} bar × {class:.1f} ÷ 100 = {answer:.2f} bar, at any reading",
    relative=0.01, why="the class has two figures.", figures=2,
)


def _reading_uncertainty(w: Named) -> dict[str, Any]:
    gauge = Gauge(bar(w.span), w["class"], bar(w.division))
    by_class, by_marks = gauge.budget()
    widths = {"a1": by_class.half_width.magnitude, "a2": by_marks.half_width.magnitude}
    standard = {"u1": by_class.standard_uncertainty.magnitude, "u2": by_marks.standard_uncertainty.magnitude}
    expanded = gauge.expanded_uncertainty().magnitude
    return {**widths, **standard, "u": expanded / 2, "answer": expanded}


READING_UNCERTAINTY = QuantityExercise(
    name="reading_uncertainty", title="Uncertainty of one reading", objectives=(2, 3),
    draw=lambda d: {"span": d.one_of((16, 25)), "class": d.one_of((0.6, 1.0, 1.6)), "division": d.one_of((0.2, 0.4, 0.5))},
    work=_reading_uncertainty,
    ask=(
        "A gauge 0 to {span} bar, class {class:.1f}, has a division of {division:.1f} bar. You read it to the nearest mark.",
        "What is the expanded uncertainty U (k = 2) of one reading? Both errors are rectangular: divide each largest error by √3.",
    ),
    mistakes=(
        Mistake("no factor 2", lambda w: w.u, "That is the standard uncertainty u. The expanded one is U = 2 u."),
        Mistake("plain sum", lambda w: 2 * (w.u1 + w.u2), "You added the two. Independent errors add as squares: the root of the sum of squares."),
        Mistake("no root of three", lambda w: 2 * math.hypot(w.a1, w.a2), "You left the largest errors undivided. A rectangular error has the standard uncertainty a/√3."),
        Mistake("class alone", lambda w: 2 * w.u1, "You left out reading between the marks: half a division either way."),
        Mistake("marks alone", lambda w: 2 * w.u2, "You left out the gauge's class."),
        Mistake("whole division", lambda w: 2 * math.hypot(w.u1, 2 * w.u2), "You took a whole division. The nearest mark is at most half a division away."),
    ),
    hints=("Largest errors: span × class ÷ 100, and half a division.", "u = √(a₁² + a₂²) ÷ √3, then U = 2 u."),
    working=(
        "Class: {span} bar × {class:.1f} ÷ 100 = {a1:.3f} bar, ÷ √3 = {u1:.4f} bar",
        "Marks: {division:.1f} bar ÷ 2 = {a2:.2f} bar, ÷ √3 = {u2:.4f} bar",
        "u = √({u1:.4f}² + {u2:.4f}²) bar = {u:.4f} bar",
        "U = 2 × {u:.4f} bar = {answer:.2f} bar",
    ),
    relative=0.02, why="an uncertainty deserves two figures.", figures=2,
)


VERDICTS = {"inside": "Inside: it passes.", "outside": "Outside: it fails.", "cannot tell": "Cannot tell with this gauge."}
"""The outcomes of `judge`, as a card words them."""

OTHER = {"inside": "outside", "outside": "inside"}
READ = "The reading: {reading:.2f} bar with an expanded uncertainty U = {U:.2f} bar. What do you write down?"


def _draw_judged(d: Draws) -> Givens:
    low = d.decimal("9.0", "9.8", "0.1")
    high = round(low + d.one_of((0.8, 1.0, 1.2)), 1)
    uncertainty = d.decimal("0.10", "0.20", "0.02")
    near = d.one_of((low, high))
    return {"low": low, "high": high, "U": uncertainty, "reading": round(near + d.decimal("-0.30", "0.30", "0.02"), 2)}


def judged(w: Named, rule: str, required: float = 0.95) -> Verdict:
    """The verdict on a reading under a rule; `low`, `high`, `U` and `reading` in bar."""
    return judge(bar(w.reading), bar(w.low), bar(w.high), bar(w.U), rule, required)


def _simple_verdict(w: Named) -> dict[str, Any]:
    outcome = judged(w, "simple").outcome
    return {"where": "in" if outcome == "inside" else "outside", "answer": outcome}


SIMPLE_VERDICT = ChoiceExercise(
    name="simple_verdict", title="Simple acceptance", objectives=(2, 5),
    draw=_draw_judged,
    work=_simple_verdict,
    ask=("The sheet: {low:.1f} to {high:.1f} bar, simple acceptance.", READ),
    choices=VERDICTS,
    mistakes=(
        Mistake("another rule", lambda w: "cannot tell", "Under simple acceptance the reading alone decides; the answer is never 'cannot tell'. The risk near a limit is shared, and the sheet accepts it."),
        Mistake("wrong side", lambda w: OTHER[w.answer], "Compare the reading itself with both limits. A reading on a limit belongs to the band."),
    ),
    hints=("Which numbers count under simple acceptance?", "Only the reading and the limits. U does not enter."),
    working=("Simple acceptance compares the reading with the limits and nothing else.", "{reading:.2f} bar lies {where} {low:.1f} to {high:.1f} bar. {right}"),
)


def _guarded_verdict(w: Named) -> dict[str, Any]:
    passing = {"lowest": w.low + w.U, "highest": w.high - w.U}
    failing = {"below": w.low - w.U, "above": w.high + w.U}
    return {**passing, **failing, "simple": judged(w, "simple").outcome, "answer": judged(w, "guarded").outcome}


GUARDED_VERDICT = ChoiceExercise(
    name="guarded_verdict", title="Guarded acceptance", objectives=(2, 5),
    draw=_draw_judged,
    work=_guarded_verdict,
    ask=("The sheet: {low:.1f} to {high:.1f} bar, guarded acceptance with the expanded uncertainty.", READ),
    choices=VERDICTS,
    mistakes=(
        Mistake("reading alone", lambda w: w.simple, "You compared the reading with the limits alone. Under guarded acceptance it must clear the limit by U."),
        Mistake("uncertainty ignored on the far side", lambda w: OTHER[w.simple] if w.answer == "cannot tell" else "cannot tell", "Move each limit by U, inward to pass and outward to fail, and look again where the reading lies."),
    ),
    hints=("Move both limits inward by U: a reading there passes.", "Move both outward by U: a reading beyond fails. Between the two: cannot tell."),
    working=(
        "Passes from {lowest:.2f} to {highest:.2f} bar; fails below {below:.2f} or above {above:.2f} bar.",
        "{reading:.2f} bar: {right}",
    ),
)


def _probability_verdict(w: Named) -> dict[str, Any]:
    verdict = judged(w, "probability", w.required)
    likely = "inside" if verdict.probability > 0.5 else "outside"
    asked = {"to_pass": format_chance(w.required), "to_fail": format_chance(1 - w.required)}
    return {**asked, "chance": format_chance(verdict.probability), "likely": likely, "answer": verdict.outcome}


PROBABILITY_VERDICT = ChoiceExercise(
    name="probability_verdict", title="A stated probability", objectives=(2, 5),
    draw=lambda d: _draw_judged(d) | {"required": d.one_of((0.9, 0.95))},
    work=_probability_verdict,
    ask=(
        "The sheet: {low:.1f} to {high:.1f} bar, the true value must lie in the band with a probability of {to_pass}.",
        READ,
        "For this reading the probability is {chance}.",
    ),
    choices=VERDICTS,
    mistakes=(
        Mistake("more likely than not", lambda w: w.likely, "More likely than not is not enough: the sheet asks for its probability, for passing and for failing."),
        Mistake("failing needs no proof", lambda w: OTHER[w.likely] if w.answer == "cannot tell" else "cannot tell", "Compare the probability with what the sheet asks to pass, and with the rest of 100 % to fail."),
    ),
    hints=("To pass: at least {to_pass}.", "To fail: at most {to_fail}. Between the two: cannot tell."),
    working=("Asked: {to_pass} to pass, at most {to_fail} to fail.", "Probability {chance}: {right}"),
)


ACCEPTANCE_LIMIT = QuantityExercise(
    name="acceptance_limit", title="Where acceptance ends", objectives=(5,),
    draw=lambda d: {"low": d.decimal("9.0", "9.8", "0.1"), "width": d.decimal("0.8", "1.2", "0.1"), "U": d.decimal("0.10", "0.24", "0.02")},
    work=lambda w: {"high": w.low + w.width, "answer": w.low + w.width - w.U},
    ask=(
        "A sheet asks for {low:.1f} to {high:.1f} bar under guarded acceptance. Your gauge gives U = {U:.2f} bar.",
        "What is the highest reading that passes?",
    ),
    mistakes=(
        Mistake("guard band outward", lambda w: w.high + w.U, "You added U. That is where failing begins. To pass, the reading must clear the limit from inside: subtract."),
        Mistake("no guard band", lambda w: w.high, "That is the limit itself, as under simple acceptance. Guarded acceptance stays U away from it."),
        Mistake("half of it", lambda w: w.high - w.U / 2, "You subtracted the standard uncertainty. The guard band is the expanded one, U."),
        Mistake("lower end", lambda w: w.low + w.U, "That is the lowest reading that passes. The highest is asked."),
    ),
    hints=("The guard band lies inside the limit.", "Highest reading that passes = upper limit − U."),
    working="{high:.1f} bar − {U:.2f} bar = {answer:.2f} bar",
    kind="gauge pressure", relative=0.0, absolute=0.011, why="the numbers given end at a hundredth of a bar.",
)


OFFERED = (0.25, 0.6, 1.0, 1.6, 2.5)
CLASSES = {f"{percent:g}": f"class {percent:g}" for percent in OFFERED} | {"none": "none: the division is too coarse"}


@cache
def _coarsest(low: float, high: float, span: float, division: float, wider: float = 1.0) -> str:
    """The coarsest class that can pass the band, made `wider` times as wide, under guarded acceptance."""
    middle, half = (low + high) / 2, (high - low) / 2 * wider
    able = choose_gauge(Gauge(bar(span), 4.0, bar(division)), bar(middle - half), bar(middle + half)).class_that_can
    return "none" if able is None else f"{able:g}"


def _draw_class(d: Draws) -> Givens:
    low = d.decimal("9.0", "9.8", "0.1")
    high = round(low + d.one_of((0.2, 0.3, 0.4, 0.6, 0.8)), 1)
    return {"low": low, "high": high, "span": d.one_of((16, 25)), "division": d.one_of((0.1, 0.2, 0.5))}


def _choose_a_class(w: Named) -> dict[str, Any]:
    half, asked = (w.high - w.low) / 2, (w.low, w.high, w.span, w.division)
    by_class = [percent for percent in OFFERED if w.span * percent / 100 <= half]
    mistaken = {"by_class": f"{max(by_class):g}" if by_class else "none", "whole_band": _coarsest(*asked, wider=2.0)}
    gauges = (Gauge(bar(w.span), percent, bar(w.division)) for percent in OFFERED)
    expanded = {f"U{n}": gauge.expanded_uncertainty().magnitude for n, gauge in enumerate(gauges)}
    return {"half": half, **mistaken, **expanded, "answer": _coarsest(*asked)}


CHOOSE_A_CLASS = ChoiceExercise(
    name="choose_a_class", title="A gauge good enough", objectives=(3,),
    draw=_draw_class,
    work=_choose_a_class,
    ask=(
        "A sheet asks for {low:.1f} to {high:.1f} bar under guarded acceptance. Gauges 0 to {span} bar with a division of {division:.1f} bar come in several classes.",
        "Which is the coarsest class with which a needle in the middle of the band can pass?",
    ),
    choices=CLASSES,
    mistakes=(
        Mistake("division ignored", lambda w: w.by_class, "You looked at the class's largest error alone. The guard band is U: class and marks together, each divided by √3, times 2."),
        Mistake("whole band", lambda w: w.whole_band if w.whole_band in CLASSES else None, "You fitted U into the whole band. It must fit on both sides: into half of it."),
    ),
    hints=("U must fit into half the band: {half:.2f} bar.", "U = 2 × √(a₁² + a₂²) ÷ √3 with a₁ = span × class ÷ 100 and a₂ = half a division."),
    working=(
        "Half the band: {half:.2f} bar",
        *(f"Class {percent:g}: U = {{U{n}:.3f}} bar" for n, percent in enumerate(OFFERED)),
        "The coarsest that fits: {right}.",
    ),
)


def _round_inward(w: Named) -> dict[str, Any]:
    card = convert_band(bar(w.low), bar(w.low + w.width), "psi", 1)
    return {"exact": w.low * BAR_IN_PSI, "down": card.outward_low.magnitude, "answer": card.low.magnitude}


ROUND_INWARD = QuantityExercise(
    name="round_inward", title="Round without cheating", objectives=(4,),
    draw=lambda d: {"low": d.decimal("8.6", "10.0", "0.1"), "width": d.decimal("0.5", "0.9", "0.1")},
    work=_round_inward,
    ask=(
        "A sheet asks for at least {low:.1f} bar. You write the card for a psi gauge, in whole psi, so that nothing passes that the sheet refuses.",
        "Which lower limit do you write?",
    ),
    mistakes=(
        Mistake("rounded down", lambda w: w.down, "You rounded down. Then a needle just below the true limit would pass. A lower limit is rounded up."),
        Mistake("not rounded", lambda w: w.exact, "That is the exact conversion. The card wants whole psi, rounded to the safe side."),
        Mistake("atmospheres", lambda w: math.ceil(w.low * ATM_IN_PSI), "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504."),
    ),
    hints=("Which way is inward for a lower limit?", "{low:.1f} bar × 14.504 psi/bar, then up to the next whole psi."),
    working=("{low:.1f} bar × 14.504 psi/bar = {exact:.2f} psi", "Inward is up: {answer:.0f} psi"),
    kind="gauge pressure", unit="psi", relative=0.0, absolute=0.05, why="a card in whole psi has no fractions.", figures=0,
)


def _predictions() -> tuple[Prediction, ...]:
    def verdict() -> str:
        uncertainty = COMMON_GAUGE.expanded_uncertainty().magnitude
        choice = choose_gauge(COMMON_GAUGE, bar(9.8), bar(10.2))
        return (
            "It depends. Under simple acceptance it passes. "
            f"Under guarded acceptance with a class 1.6 gauge, U = {uncertainty:.2f} bar: {choice.because}"
        )

    return (
        Prediction(
            "marks", "A division is 0.5 bar. How well can you read the needle at best?",
            {"hundredth": "to 0.01 bar", "fifth": "to about 0.1 bar, a fifth of a division", "division": "to 0.5 bar only"},
            "To about a fifth of a division, here 0.1 bar. Say so when you write it down.",
        ),
        Prediction(
            "verdict", "The needle stands at 10.1 bar, the band is 9.8 to 10.2 bar. Does it pass?",
            {"yes": "yes, it is in the band", "no": "no", "depends": "it depends on the gauge and on the rule"},
            verdict,
        ),
        Prediction(
            "risk", "You add a guard band, so that fewer bad regulators pass. What happens to the good ones?",
            {"nothing": "nothing", "more": "more of them fail", "fewer": "fewer of them fail"},
            "More of them fail. A guard band trades one risk for the other; only a better gauge lowers both.",
        ),
        Prediction(
            "readings", "Fifteen people read the same needle, one after the other. What do you get?",
            {"equal": "fifteen equal readings", "part": "readings that scatter by a part of a division", "several": "readings that scatter by several divisions"},
            "They scatter by a part of a division. The mean is better than one reading, but it cannot mend a gauge that reads high.",
        ),
    )


def plan() -> Plan:
    """Lesson 03."""
    return Plan(
        number="03", title="Specification bands", minutes="60 to 90",
        objectives=(
            "Read a specification sheet: a band at a stated supply, an allowed rise over a time.",
            "Say inside, outside or cannot tell with this gauge.",
            "Choose a gauge good enough for a band.",
            "Round a limit and a reading without cheating.",
            "State the decision rule you used.",
        ),
        exercises=(
            LAST_DIGIT, STATED_SUPPLY, RISE_A_MINUTE, LARGEST_ERROR, READING_UNCERTAINTY, SIMPLE_VERDICT, GUARDED_VERDICT,
            PROBABILITY_VERDICT, ACCEPTANCE_LIMIT, CHOOSE_A_CLASS, ROUND_INWARD,
        ),
        predictions=_predictions(),
        warm_up=(("01", "psi_to_bar"), ("02", "supply_way"), ("02", "ip_at_low_supply")),
    )
