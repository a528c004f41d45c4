"""Lesson 03: specification bands, the gauge's error, decision rules."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any

from steadyneedle.bench.bands import judge
from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
from steadyneedle.bench.bands.gauges import Gauge, choose_gauge
from steadyneedle.bench.bands.specification import Sheet
from steadyneedle.bench.units import Q, format_number, formatted, label
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.bank.dials import FIFTHS
from steadyneedle.questions.bank.looked_up import LOOK_IT_UP, WHICH_RULE
from steadyneedle.questions.bank.verdicts import ACCEPTANCE_LIMIT, GUARDED_VERDICT, PROBABILITY_VERDICT, SIMPLE_VERDICT
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import Plan, Prediction
from steadyneedle.questions.pressures import ATM_IN_PSI, BAR_IN_PSI, bar

ENTRIES = {"hundredth": "'{over} bar ± 0.01 bar'", "fifth": "'{shown} bar ± {off} bar'", "rounded": "'{limit} bar ± {off} bar'", "wordless": "'in the band'"}

def _last_digit(w: Named) -> dict[str, Any]:
    fifth, off = w.division / 5, w.division / 2
    needle = w.mark + w.fifths * fifth
    words = {"over": f"{needle + w.more:.2f}", "shown": f"{needle:.1f}", "limit": f"{needle - fifth:.1f}", "off": format_number(off)}
    return {"lower": float(w.mark), "upper": w.mark + w.division, "part": FIFTHS[w.fifths], "fifth": fifth, "off": off, "needle": needle, "limit": needle - fifth, "entry": ENTRIES[w.written].format(**words), "answer": w.written}

LAST_DIGIT = ChoiceExercise(
    name="last_digit", title="The last digit", objectives=(4,), version=5,
    draw=lambda d: {"division": d.one_of((0.5, 1.0)), "mark": d.integer(9, 10), "fifths": d.integer(1, 4), "more": d.decimal("0.01", "0.04", "0.01"), "written": d.one_of(tuple(ENTRIES))},
    work=_last_digit,
    ask=(
        "The division of a gauge is {division:.1f} bar. The needle stands {part} of the way from {lower:.1f} to {upper:.1f} bar; the sheet allows {limit:.1f} bar at most.",
        "A colleague writes down {entry}. What do you say?",
    ),
    choices={
        "hundredth": "more digits than an eye can read", "fifth": "well written: a fifth of a division, and half a division either way",
        "rounded": "rounded until it fits the sheet", "wordless": "a verdict without its reading",
    },
    mistakes=(
        Mistake("last digit as truth", lambda w: "fifth" if w.answer == "hundredth" else None, "The eye divides a division into five parts at best. More digits look like knowledge and are none."),
        Mistake("rounded to please", lambda w: "fifth" if w.answer == "rounded" else None, "The needle stands at {needle:.1f} bar. Rounding towards the band makes a bad regulator good on paper."),
        Mistake("no number", lambda w: "fifth", "A verdict without its reading cannot be checked, and nobody can compare it next year."),
        Mistake("no digits at all", lambda w: "hundredth" if w.answer == "wordless" else None, "It has no digits at all. What is missing?"),
        Mistake("nothing rounded", lambda w: "rounded" if w.answer == "wordless" else None, "No number was written down that could have been rounded."),
        Mistake("digits miscounted", lambda w: "hundredth", "Count the digits of the reading: it is given to a fifth of a division, {fifth:.1f} bar, and no finer."),
        Mistake("rounding suspected", lambda w: "rounded", "Nothing was moved to fit the sheet: the needle stands at {needle:.1f} bar. Look at the digits of the entry."),
        Mistake("number overlooked", lambda w: "wordless", "The entry gives its reading. Compare it with the needle, and its digits with the division."),
    ),
    hints=("Where does the needle stand, to a fifth of a division?", "A fifth of {division:.1f} bar is {fifth:.1f} bar. What does the entry make of it?"),
    working=("A fifth of {division:.1f} bar is {fifth:.1f} bar: the needle stands at {needle:.1f} bar. Half a division, {off} bar either way, covers its width, the angle of view and a sticky movement.", "{entry}: {right}."),
)


def _draw_supply_line(d: Draws) -> Givens:
    full, low_supply = d.one_of((180, 200, 220)), d.one_of((40, 50, 60))
    first, second = d.order((full, low_supply))
    between, unnamed = d.integer(8, 14) * 10, d.integer(1, 12) <= 5  # the second line holds in seven of twelve draws
    actual = between if unnamed else second  # never the first line: whoever stops reading there is wrong
    low, shift = d.decimal("8.2", "8.8", "0.1"), d.decimal("0.6", "0.9", "0.1")
    reading = low + d.one_of((0.0, 1.0)) + d.decimal("0.2", str(round(shift - 0.2, 1)), "0.1")  # in one of the bands alone
    return {"low": low, "shift": shift, "full": full, "first": first, "second": second, "actual": actual, "reading": round(reading, 1)}

def _stated_supply(w: Named) -> dict[str, Any]:
    lows = {one: round(w.low + (w.shift if one == w.full else 0.0), 1) for one in (w.first, w.second)}
    lines = {one: f"{low:.1f} to {low + 1:.1f} bar at {one} bar supply" for one, low in lows.items()}
    says = {one: "passes" if low <= w.reading <= round(low + 1, 1) else "fails" for one, low in lows.items()}
    named = w.actual == w.second
    compared = f"Your supply is the one of the line {lines[w.second]}. {w.reading:.1f} bar lies {'within' if says[w.second] == 'passes' else 'outside'} that band." if named else f"No line of the sheet names a supply of {w.actual} bar, so neither band holds."
    limits = {f"{name}_{one}": low + wide for one, low in (("first", lows[w.first]), ("second", lows[w.second])) for name, wide in (("low", 0.0), ("high", 1.0))}
    return {"line_1": lines[w.first], "line_2": lines[w.second], "by_first": says[w.first], "by_second": says[w.second], "named": named, "compared": compared, **limits, "answer": says[w.second] if named else "neither"}

STATED_SUPPLY = ChoiceExercise(
    name="stated_supply", title="A band at a stated supply", objectives=(1,), version=5,
    draw=_draw_supply_line,
    work=_stated_supply,
    ask=(
        "The sheet of an unbalanced piston stage says, under simple acceptance: IP {line_1}; {line_2}.",
        "The gauge of your bench cylinder shows {actual} bar. The IP gauge reads {reading:.1f} bar. What do you write down?",
    ),
    choices={
        "passes": "It passes: the needle is in the band.",
        "fails": "It fails: the needle is out of the band.",
        "neither": "Neither yet: set a supply that the sheet names and read again.",
    },
    mistakes=(
        Mistake("supply ignored", lambda w: w.by_first, "You judged by a line that does not hold: {line_1}. Your cylinder shows {actual} bar, and an unbalanced stage gives another IP at another supply."),
        Mistake("the nearest line", lambda w: None if w.named else w.by_second, "You judged by a line that does not hold: {line_2}. Your cylinder shows {actual} bar. Set the supply first: no band may be judged at another."),
        Mistake("supply not compared", lambda w: "neither", "Your supply is one that the sheet names. That line holds: judge the reading by it."),
    ),
    hints=("Read each line of the sheet to its end.", "Each band is stated at a supply of its own. Which is yours?"),
    working=("Each band holds at the supply that its line names; you have {actual} bar.", "{compared} {right}"),
    boundaries=lambda w: tuple((w.reading, w[one], 0.1) for one in ("low_first", "high_first", "low_second", "high_second")),
)


RISE_A_MINUTE = QuantityExercise(
    name="rise_a_minute", title="The allowed rise, a minute", objectives=(1,),
    draw=lambda d: {"rise": d.decimal("0.10", "0.40", "0.05"), "minutes": d.integer(3, 10), "purges": d.integer(3, 6)},
    work=lambda w: {"answer": w.rise / w.minutes},
    ask=("A sheet allows a rise of {rise:.2f} bar in {minutes} minutes after {purges} purges.", "Which creep rate is that? Type it in bar/min."),
    mistakes=(
        Mistake("time ignored", lambda w: w.rise, "That is the whole rise. A rate is the rise for one minute: divide by the minutes."),
        Mistake("in an hour", lambda w: 60 * w.answer, "That is what it climbs in an hour at that rate. The rate asked is for one minute."),
        Mistake("purges counted as minutes", lambda w: w.rise / w.purges, "You divided by the purges. They come before the watch; the rise counts over the minutes."),
    ),
    hints=("A rate says how far the needle climbs in one minute.", "The purges come before the watch. Which two of the three numbers make the rate?"),
    working="{rise:.2f} bar ÷ {minutes} min = {answer:.3f} bar/min",
    kind="pressure rate", unit="bar/min", relative=0.02, why="two figures are all the sheet gives.", figures=2,
)


def _draw_climb(d: Draws) -> Givens:
    """As often the band's end stops the needle as the allowed rise does, 0.1 bar or more before the other would."""
    middle, rise = d.decimal("9.20", "9.90", "0.05"), d.decimal("0.20", "0.40", "0.05")
    either = d.one_of((0.4, 0.5, 0.6)) + (0.0 if round(20 * middle) % 2 else 0.05)  # the band ends between two tenths
    clear = (0.10, 0.11, 0.12, 0.13, 0.19, 0.20, 0.21, 0.22, 0.23, 0.29, 0.30)  # so does the rise, 0.04 bar or more below one
    above = d.decimal("0.10", f"{rise - 0.1:.2f}", "0.01") if d.one_of(("band", "rise")) == "band" else rise + d.one_of(clear)
    return {"middle": middle, "either": either, "rise": rise, "start": round(middle + either - above, 2), "minutes": d.integer(2, 6), "purges": d.integer(3, 6)}

def _highest_reading(w: Named) -> dict[str, Any]:
    high, risen = round(w.middle + w.either, 2), round(w.start + w.rise, 2)
    return {"high": high, "risen": risen, "by_band": high < risen, "first": "end of the band" if high < risen else "allowed rise", "answer": min(high, risen)}


HIGHEST_READING = QuantityExercise(
    name="highest_reading", title="How far it may climb", objectives=(1,), version=2,
    draw=_draw_climb,
    work=_highest_reading,
    ask=(
        "The sheet: IP {middle:.2f} bar ± {either:.2f} bar; after {purges} purges a rise of at most {rise:.2f} bar in {minutes} minutes; simple acceptance.",
        "Five seconds after the last purge the needle stands at {start:.2f} bar. Up to which reading may it climb by the end of the {minutes} minutes?",
    ),
    mistakes=(
        Mistake("rounded past the limit", lambda w: math.ceil(w.answer * 10 - 1e-6) / 10 if abs(w.answer * 10 - round(w.answer * 10)) > 1e-6 else None, "Rounded up, it is more than the sheet allows. Round an upper limit down."),
        Mistake("the band forgotten", lambda w: w.risen if w.by_band else None, "The rise would allow that. But the band of the sheet ends before, and above it no reading passes."),
        Mistake("the rise forgotten", lambda w: None if w.by_band else w.high, "That is the upper limit of the band. The sheet limits the rise as well, and this needle has used up its rise before it gets there."),
        Mistake("the rise each minute", lambda w: w.start + w.rise * w.minutes, "The sheet allows that rise over the whole watch, not each minute."),
        Mistake("the rise on top of the band", lambda w: w.high + w.rise, "The rise is counted from where this needle stands, not from the upper limit."),
        Mistake("the rise from the middle", lambda w: w.middle + w.rise, "The rise is counted from where this needle stands, not from the middle of the band."),
        Mistake("the rise alone", lambda w: w.rise, "That is how far it may climb. Which reading has the needle then?"),
        Mistake("no rise at all", lambda w: w.start, "That is where it stands now. A rise is allowed: the sheet says how much."),
    ),
    hints=("The sheet sets two limits: the end of the band, and the rise over the watch. Which does the needle reach first?", "The band ends {either:.2f} bar above its middle. The rise is counted from {start:.2f} bar, once for all {minutes} minutes."),
    working=(
        "Band: {middle:.2f} bar + {either:.2f} bar = {high:.2f} bar. Rise: {start:.2f} bar + {rise:.2f} bar = {risen:.2f} bar.",
        "The {first} comes first: {answer:.2f} bar",
    ),
    boundaries=lambda w: ((w.risen, w.high, 0.09),),
    kind="gauge pressure", relative=0.0, absolute=0.01, why="the numbers given end at a hundredth of a bar.", limit="at most",
)


LARGEST_ERROR = QuantityExercise(
    name="largest_error", title="What a class allows", objectives=(3, 2), version=4,
    draw=lambda d: {"span": d.one_of((15, 16, 20, 25, 30, 40)), "class": d.one_of((1.0, 1.6, 2.5, 4.0)), "reading": d.decimal("8.5", "10.5", "0.1")},
    work=lambda w: {"answer": w.span * w["class"] / 100},
    ask=("A gauge 0 to {span} bar is of class {class:.1f}. It reads {reading:.1f} bar.", "By how much may it be wrong, at most, according to its class?"),
    mistakes=(
        Mistake("percent of the reading", lambda w: w.reading * w["class"] / 100, "You took a percentage of the reading. A class is a percentage of the span: the error is the same all along the scale."),
        Mistake("percent as bar", lambda w: w["class"], "You took the class for bar. It is a percentage of the span."),
        Mistake("percent of what is left", lambda w: (w.span - w.reading) * w["class"] / 100, "You took a percentage of the rest of the scale. A class is a percentage of the whole span."),
        Mistake("percent forgotten", lambda w: w.answer * 100, "You multiplied by the class without dividing by 100. A class is a percentage."),
    ),
    hints=("Percent of what? Not of the reading.", "A class is a percentage of the whole scale, here from 0 to {span} bar, and the same all along it."),
    working="{span} bar × {class:.1f} ÷ 100 = {answer} bar, at any reading",
    relative=0.01, why="the class has two figures.", figures=2, reading=False, half_width=True,
)


def _reading_uncertainty(w: Named) -> dict[str, Any]:
    gauge = Gauge(bar(w.span), w["class"], bar(w.division))
    by_class, by_marks = gauge.budget()
    widths = {"a1": by_class.half_width.magnitude, "a2": by_marks.half_width.magnitude}
    standard = {"u1": by_class.standard_uncertainty.magnitude, "u2": by_marks.standard_uncertainty.magnitude}
    expanded = gauge.expanded_uncertainty().magnitude
    return {**widths, **standard, "u": expanded / 2, "answer": expanded}


READING_UNCERTAINTY = QuantityExercise(
    name="reading_uncertainty", title="Uncertainty of one reading", objectives=(3, 2), version=4,
    draw=lambda d: {"span": d.one_of((10, 16, 20, 25, 40)), "class": d.one_of((0.6, 1.0, 1.6, 2.5)), "division": d.one_of((0.1, 0.2, 0.25, 0.4, 0.5, 1.0))},
    work=_reading_uncertainty,
    ask=(
        "A gauge 0 to {span} bar, class {class:.1f}, has a division of {division:.2f} bar. Count half a division either way as the error of reading.",
        "What is the expanded uncertainty U (k = 2) of one reading? Both errors are rectangular: divide each largest error by √3.",
    ),
    mistakes=(
        Mistake("class alone", lambda w: 2 * w.u1, "You left out the reading: half a division either way."),
        Mistake("marks alone", lambda w: 2 * w.u2, "You left out the gauge's class."),
        Mistake("whole division", lambda w: 2 * math.hypot(w.u1, 2 * w.u2), "You took a whole division either way. Half a division is what we count."),
        Mistake("no factor 2", lambda w: w.u, "That is the standard uncertainty u. The expanded one is U = 2 u."),
        Mistake("plain sum", lambda w: 2 * (w.u1 + w.u2), "You added the two. Independent errors add as squares: the root of the sum of squares."),
        Mistake("no root of three", lambda w: 2 * math.hypot(w.a1, w.a2), "You left the largest errors undivided. A rectangular error has the standard uncertainty a/√3."),
    ),
    hints=("Largest errors: span × class ÷ 100, and half a division.", "Standard uncertainties: {u1:.4f} bar from the class, {u2:.4f} bar from the reading. They add as squares."),
    working=(
        "Class: {span} bar × {class:.1f} ÷ 100 = {a1:.3f} bar, ÷ √3 = {u1:.4f} bar",
        "Reading: {division:.2f} bar ÷ 2 = {a2:.3f} bar, ÷ √3 = {u2:.4f} bar",
        "u = √({u1:.4f}² + {u2:.4f}²) bar = {u:.4f} bar",
        "U = 2 × {u:.4f} bar = {answer:.3f} bar",
    ),
    relative=0.02, why="an uncertainty deserves two figures.", figures=2, reading=False, half_width=True,
)


OFFERED = (0.25, 0.6, 1.0, 1.6, 2.5)
CLASSES = {f"{percent:g}": f"class {percent:g}" for percent in OFFERED} | {"none": "none, the division is too coarse"}


@cache
def _coarsest(low: float, high: float, span: float, division: float, wider: float = 1.0) -> str:
    """The coarsest class that can pass the band, made `wider` times as wide, under guarded acceptance."""
    middle, half = (low + high) / 2, (high - low) / 2 * wider
    able = choose_gauge(Gauge(bar(span), 4.0, bar(division)), bar(middle - half), bar(middle + half)).class_that_can
    return "none" if able is None else f"{able:g}"


@cache
def _expanded(span: float, percent: float, division: float) -> float:
    """Expanded uncertainty of a gauge, in bar."""
    return float(Gauge(bar(span), percent, bar(division)).expanded_uncertainty().magnitude)


def _draw_class(d: Draws) -> Givens:
    low = d.decimal("9.0", "9.8", "0.1")
    high = round(low + d.one_of((0.2, 0.4, 0.5, 0.6, 0.8, 1.0, 1.2)), 1)
    return {"low": low, "high": high, "span": d.one_of((16, 25)), "division": d.one_of((0.1, 0.2, 0.5))}


def _choose_a_class(w: Named) -> dict[str, Any]:
    half, asked = (w.high - w.low) / 2, (w.low, w.high, w.span, w.division)
    by_class = [percent for percent in OFFERED if w.span * percent / 100 <= half]
    mistaken = {"by_class": f"{max(by_class):g}" if by_class else "none", "whole_band": _coarsest(*asked, wider=2.0)}
    expanded = {f"U{n}": _expanded(w.span, percent, w.division) for n, percent in enumerate(OFFERED)}
    errors = {f"a{n}": w.span * percent / 100 for n, percent in enumerate(OFFERED)}
    return {"half": half, "marks": w.division / 2, **mistaken, **errors, **expanded, "answer": _coarsest(*asked)}


def _class_that(percent: float, number: int, fits: bool) -> Callable[[Named], str | None]:
    """The mistake of choosing a class whose U fits into half the band, or does not."""
    return lambda w: f"{percent:g}" if (w[f"U{number}"] <= w.half) == fits else None


CHOOSE_A_CLASS = ChoiceExercise(
    name="choose_a_class", title="A gauge good enough", objectives=(3,), version=4,
    draw=_draw_class,
    work=_choose_a_class,
    ask=(
        "A sheet asks for {low:.1f} to {high:.1f} bar under guarded acceptance. Gauges 0 to {span} bar with a division of {division:.1f} bar come in several classes.",
        "The guard band is the expanded uncertainty U (k = 2) of one reading. Count the largest error that the class allows and half a division, both rectangular.",
        "Which is the coarsest class with which a needle in the middle of the band can pass?",
    ),
    choices=CLASSES,
    mistakes=(
        Mistake("division ignored", lambda w: w.by_class, "You looked at the class's largest error alone. The guard band is U: it counts the marks too, and adds both as squares."),
        Mistake("whole band", lambda w: w.whole_band if w.whole_band in CLASSES else None, "You fitted U into the whole band. It must fit on both sides: into half of it."),
        *(
            Mistake(f"class {percent:g} too coarse", _class_that(percent, n, fits=False), f"Class {percent:g} gives U = {{U{n}:.3f}} bar, more than half the band.")
            for n, percent in enumerate(OFFERED)
        ),
        *(
            Mistake(f"class {percent:g} finer than needed", _class_that(percent, n, fits=True), f"With class {percent:g} it can pass: U is {{U{n}:.3f}} bar. But so it can with a coarser class.")
            for n, percent in enumerate(OFFERED[:-1])
        ),
        Mistake("a class there is", lambda w: "none", "The finest class gives U = {U0:.3f} bar, and that fits into half the band."),
    ),
    hints=("U must fit into half the band: {half:.2f} bar. U = 2 × √(a₁² + a₂²) ÷ √3: a₁ = span × class ÷ 100 is the largest error of the class, and a₂ = {marks} bar half a division.", "From the finest class to the coarsest, U is {U0:.3f} bar; {U1:.3f} bar; {U2:.3f} bar; {U3:.3f} bar; {U4:.3f} bar."),
    working=(
        "Half the band: ({high:.1f} − {low:.1f}) bar ÷ 2 = {half:.2f} bar",
        "a₂ = {division:.1f} bar ÷ 2 = {marks} bar, and a₁ = {span} bar × class ÷ 100.",
        *(f"Class {percent:g}: a₁ = {{a{n}}} bar, U = 2 × √({{a{n}}}² + {{marks}}²) bar ÷ √3 = {{U{n}:.3f}} bar" for n, percent in enumerate(OFFERED)),
        "The coarsest that fits: {right}.",
    ),
    boundaries=lambda w: tuple((w[f"U{n}"], w.half, 0.003) for n in range(len(OFFERED))),
)


def _draw_round(d: Draws) -> Givens:
    side = d.one_of(("at least", "at most"))
    return {"side": side, "limit": d.decimal("7.6", "10.0", "0.1") if side == "at least" else d.decimal("8.8", "11.2", "0.1")}

def _round_inward(w: Named) -> dict[str, Any]:
    exact = w.limit * BAR_IN_PSI
    low = w.side == "at least"
    words = {"which": "lower", "inward": "up", "outward": "down", "beyond": "below"} if low else {"which": "upper", "inward": "down", "outward": "up", "beyond": "above"}
    inward = math.ceil if low else math.floor
    return {"exact": exact, "by_atm": float(inward(w.limit * ATM_IN_PSI)), "rest": exact % 1 if low else 1 - exact % 1, "answer": float(inward(exact)), **words}


ROUND_INWARD = QuantityExercise(
    name="round_inward", title="Round without cheating", objectives=(4,), version=4,
    draw=_draw_round,
    work=_round_inward,
    ask=(
        "A sheet asks for {side} {limit:.1f} bar. You write the card for a psi gauge, in whole psi, so that nothing passes that the sheet refuses.",
        "Which {which} limit do you write?",
    ),
    mistakes=(
        Mistake("rounded to the nearest", lambda w: float(round(w.exact)) if round(w.exact) != w.answer else None, "You rounded {outward}, to the nearest. Then a needle just {beyond} the true limit would pass. Round this limit {inward}."),
        Mistake("outward", lambda w: w.answer + (1 if w.side == "at most" else -1), "You rounded {outward}: a needle just {beyond} the true limit would pass. Round this limit {inward}."),
        Mistake("not rounded", lambda w: w.exact, "That is the exact conversion. The card wants whole psi, rounded to the safe side."),
        Mistake("atmospheres", lambda w: w.by_atm, "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504."),
    ),
    hints=("Which way is inward for this limit?", "Exactly it is {exact:.2f} psi. Which whole number beside it lets nothing pass that the sheet refuses?"),
    working=("{limit:.1f} bar × 14.504 psi/bar = {exact:.2f} psi", "Inward is {inward}: {answer:.0f} psi"),
    boundaries=lambda w: ((w.rest, 0.0, 0.05), (w.rest, 0.5, 0.01), (w.rest, 1.0, 0.12)),
    kind="gauge pressure", unit="psi", relative=0.0, absolute=0.05, why="a card in whole psi has no fractions.", figures=0, reading=False, says_enough=True,
)


def prediction_by_sheet(sheet: Sheet) -> Prediction:
    """Whether a reading inside the sheet's band, but near its upper limit, passes."""
    band = sheet.band
    if band is None:
        raise ValueError(f"The sheet of {sheet.name} gives no band.")
    low, high, gauge = band.low, band.high.to(band.low.units), sheet.gauge() or COMMON_GAUGE
    uncertainty = gauge.expanded_uncertainty().to(low.units)
    digits = {"bar": 1, "psi": 0, "MPa": 3, "kPa": 0}.get(label(low.units), 2)
    reading = Q(round((high - min((high - low) / 4, uncertainty / 2)).magnitude, digits), str(low.units))

    def explain() -> str:
        verdict = judge(reading, low, high, uncertainty, "guarded")
        return (
            "It depends. Under simple acceptance it passes. Under guarded acceptance with a gauge from 0 to "
            f"{formatted(gauge.span)}, class {gauge.class_percent:g}: {verdict.because}"
        )

    question = f"The needle stands at {formatted(reading)}, the band is {format_number(low.magnitude)} to {formatted(high)}. Does it pass?"
    options = {"yes": "yes, it is in the band", "no": "no", "depends": "it depends on the gauge and on the rule"}
    return Prediction("verdict", question, options, explain, by_sheet=prediction_by_sheet)


def _predictions() -> tuple[Prediction, ...]:
    return (
        Prediction(
            "marks", "A division is 0.5 bar. How well can you read the needle at best?",
            {"hundredth": "to 0.01 bar", "fifth": "to about 0.1 bar, a fifth of a division", "division": "to 0.5 bar only"},
            f"To about a fifth of a division, here {0.5 / 5:.1f} bar. Say so when you write it down.",
        ),
        prediction_by_sheet(Sheet("the example", bar(9.8), bar(10.2))),
        Prediction(
            "risk", "You add a guard band, so that fewer bad regulators pass. What happens to the good ones?",
            {"nothing": "nothing", "more": "more of them fail", "fewer": "fewer of them fail"},
            "More of them fail. A guard band lowers one risk and raises the other. Only a better gauge lowers both.",
        ),
        Prediction(
            "readings", "Fifteen people read the same needle, one after the other. What do you get?",
            {"equal": "fifteen equal readings", "part": "readings that scatter by a part of a division", "several": "readings that scatter by several divisions"},
            "They scatter by a part of a division. The mean is better than one reading. But no mean can mend a gauge that reads high.",
        ),
    )


def plan() -> Plan:
    """Lesson 03."""
    return Plan(
        number="03", title="Specification bands", minutes="65 to 90",
        objectives=(
            "read a specification sheet: a band at a stated supply, an allowed rise over a time",
            "say inside, outside or cannot tell with this gauge",
            "choose a gauge good enough for a band",
            "round a limit and a reading without cheating",
            "state the decision rule you used",
        ),
        exercises=(
            LAST_DIGIT, LOOK_IT_UP, STATED_SUPPLY, RISE_A_MINUTE, HIGHEST_READING, LARGEST_ERROR, READING_UNCERTAINTY, SIMPLE_VERDICT,
            GUARDED_VERDICT, WHICH_RULE, PROBABILITY_VERDICT, ACCEPTANCE_LIMIT, CHOOSE_A_CLASS, ROUND_INWARD,
        ),
        predictions=_predictions(),
        warm_up=(("01", "psi_to_bar"), ("02", "supply_way"), ("02", "ip_at_low_supply")),
    )
