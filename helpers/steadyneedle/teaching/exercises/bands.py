"""Lesson 03: specification bands, the gauge's error, decision rules."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from steadyneedle.bench.bands import Gauge, choose_gauge, convert_band, judge, say_chance
from steadyneedle.bench.units import Q
from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.teaching.exercises.mechanism import (
    ChoiceExercise, Givens, Mistake, Plan, Prediction, QuantityExercise,
)  # fmt: skip
from steadyneedle.teaching.progress import Taste

BAR_IN_PSI = Q(1, "bar").to("psi").magnitude
INSIDE, OUTSIDE, CANNOT = "Inside: it passes.", "Outside: it fails.", "Cannot tell with this gauge."
WORDS = {"inside": INSIDE, "outside": OUTSIDE, "cannot tell": CANNOT}


def _bar(value: float) -> Any:
    return Q(value, "bar")


SUPPLY_OPTIONS = (
    "It passes: the needle is in the band.",
    "It fails: the needle is out of the band.",
    "Neither yet: set the supply the sheet names and read again.",
    "It passes if the second stage does not leak.",
)


STATED_SUPPLY = ChoiceExercise(
    name="stated_supply",
    title="A band at a stated supply",
    version=1,
    objectives=(1, 5),
    draw=lambda draws: {
        "low": draws.decimal("8.6", "9.2", "0.1"), "supply": draws.one_of((180, 200, 220)), "actual": draws.integer(5, 9) * 10,
        "reading": draws.decimal("8.0", "10.4", "0.1"), "up": 1.0,
    },
    ask=lambda g, t: (
        f"The sheet of an unbalanced first stage says: IP {t.number(g['low'], 1)} to {t.number(g['low'] + g['up'], 1)} bar at {g['supply']} bar supply.",
        f"Your bench cylinder is down to {g['actual']} bar. The needle stands at {t.number(g['reading'], 1)} bar. What do you write down?",
    ),
    solve=lambda g: SUPPLY_OPTIONS[2],
    mistakes=(
        Mistake("supply ignored", lambda g: SUPPLY_OPTIONS[0] if g["low"] <= g["reading"] <= g["low"] + g["up"] else "", "The band holds at the supply the sheet names. An unbalanced stage gives another IP on a low cylinder."),
        Mistake("supply ignored, failed", lambda g: "" if g["low"] <= g["reading"] <= g["low"] + g["up"] else SUPPLY_OPTIONS[1], "The band holds at the supply the sheet names. On a full cylinder the same stage may stand in the band: do not condemn it yet."),
        Mistake("second stage brought in", lambda g: SUPPLY_OPTIONS[3], "The second stage has no part in it. What is missing is the supply pressure the band is stated at."),
    ),
    hints=lambda g, t: ("Read the whole line of the sheet, to its end.", f"The band is stated at {g['supply']} bar supply. What is yours?"),
    working=lambda g, t: (
        f"The sheet's band holds at {g['supply']} bar supply; the reading was taken at {g['actual']} bar.",
        "A reading at another supply cannot be held against the band. Set the supply, then read again.",
    ),
    options=lambda g, t: SUPPLY_OPTIONS,
)  # fmt: skip


RISE_A_MINUTE = QuantityExercise(
    name="rise_a_minute",
    title="The allowed rise, a minute",
    version=1,
    objectives=(1,),
    draw=lambda draws: {"rise": draws.decimal("0.10", "0.40", "0.05"), "minutes": draws.integer(3, 10), "purges": draws.integer(3, 6)},
    ask=lambda g, t: (
        f"A sheet allows a rise of {t.number(g['rise'], 2)} bar in {g['minutes']} minutes after {g['purges']} purges.",
        "Which creep rate is that? Type it in bar/min.",
    ),
    solve=lambda g: Q(g["rise"] / g["minutes"], "bar/min"),
    mistakes=(
        Mistake("time ignored", lambda g: Q(g["rise"], "bar/min"), "That is the whole rise. A rate is the rise for one minute: divide by the minutes."),
        Mistake("upside down", lambda g: Q(g["minutes"] / g["rise"], "bar/min"), "You divided minutes by bar. A rate in bar/min is bar divided by minutes."),
        Mistake("purges counted as minutes", lambda g: Q(g["rise"] / g["purges"], "bar/min"), "You divided by the purges. They settle the seat before the watch; the rise is over the minutes."),
        Mistake("multiplied", lambda g: Q(g["rise"] * g["minutes"], "bar/min"), "You multiplied. A rate is the rise divided by its time."),
    ),
    hints=lambda g, t: ("A rate says how far it climbs in one minute.", "Rate = rise ÷ minutes."),
    working=lambda g, t: (f"{t.number(g['rise'], 2)} bar ÷ {g['minutes']} min = {t.say(Q(g['rise'] / g['minutes'], 'bar/min'))}",),
    kind="pressure rate",
    unit="bar/min",
    relative=0.02,
    why="two figures are all the sheet gives.",
    figures=2,
)


def _gauge(g: Givens) -> Gauge:
    return Gauge(_bar(g["span"]), g["class"], _bar(g["division"]))


def _u(g: Givens) -> float:
    return float(_gauge(g).expanded_uncertainty().magnitude)


def _class_error(g: Givens) -> float:
    return float(g["span"] * g["class"] / 100)


LARGEST_ERROR = QuantityExercise(
    name="largest_error",
    title="What a class allows",
    version=1,
    objectives=(2, 3),
    draw=lambda draws: {"span": draws.one_of((16, 20, 25, 40)), "class": draws.one_of((1.0, 1.6, 2.5, 4.0)), "reading": draws.decimal("8.5", "10.5", "0.1")},
    ask=lambda g, t: (
        f"A gauge 0 to {g['span']} bar is of class {t.number(g['class'], 1)}. It reads {t.number(g['reading'], 1)} bar.",
        "By how much may it be wrong, at most, according to its class?",
    ),
    solve=lambda g: _bar(_class_error(g)),
    mistakes=(
        Mistake("percent of the reading", lambda g: _bar(g["reading"] * g["class"] / 100), "You took the percent of the reading. A class is in percent of the span: the error is the same all along the scale."),
        Mistake("percent as bar", lambda g: _bar(g["class"]), "You took the class for bar. It is percent of the span."),
        Mistake("percent of what is left", lambda g: _bar((g["span"] - g["reading"]) * g["class"] / 100), "You took the percent of the rest of the scale. A class is in percent of the whole span."),
        Mistake("percent forgotten", lambda g: _bar(_class_error(g) * 100), "You multiplied by the class without dividing by 100. It is percent."),
    ),
    hints=lambda g, t: ("Percent of what? Not of the reading.", f"Largest error = span × class ÷ 100 = {g['span']} bar × {t.number(g['class'], 1)} ÷ 100."),
    working=lambda g, t: (f"{g['span']} bar × {t.number(g['class'], 1)} ÷ 100 = {t.say(_bar(_class_error(g)), 2)}, at any reading",),
    unit="bar",
    relative=0.01,
    why="the class has two figures.",
    figures=2,
)


def _parts(g: Givens) -> tuple[float, float]:
    return _class_error(g), g["division"] / 2


READING_UNCERTAINTY = QuantityExercise(
    name="reading_uncertainty",
    title="Uncertainty of one reading",
    version=1,
    objectives=(2, 3),
    draw=lambda draws: {"span": draws.one_of((16, 25)), "class": draws.one_of((0.6, 1.0, 1.6)), "division": draws.one_of((0.2, 0.4, 0.5))},
    ask=lambda g, t: (
        f"A gauge 0 to {g['span']} bar, class {t.number(g['class'], 1)}, has a division of {t.number(g['division'], 1)} bar. You read it to the nearest mark.",
        "What is the expanded uncertainty U (k = 2) of one reading? Both errors are rectangular: divide each largest error by √3.",
    ),
    solve=lambda g: _bar(_u(g)),
    mistakes=(
        Mistake("no factor 2", lambda g: _bar(_u(g) / 2), "That is the standard uncertainty u. The expanded one is U = 2 u."),
        Mistake("plain sum", lambda g: _bar(2 * sum(_parts(g)) / math.sqrt(3)), "You added the two. Independent errors add as squares: the root of the sum of squares."),
        Mistake("no root of three", lambda g: _bar(2 * math.hypot(*_parts(g))), "You left the largest errors undivided. A rectangular error has the standard uncertainty a/√3."),
        Mistake("class alone", lambda g: _bar(2 * _parts(g)[0] / math.sqrt(3)), "You left out reading between the marks: half a division either way."),
        Mistake("marks alone", lambda g: _bar(2 * _parts(g)[1] / math.sqrt(3)), "You left out the gauge's class."),
        Mistake("whole division", lambda g: _bar(2 * math.hypot(_parts(g)[0], g["division"]) / math.sqrt(3)), "You took a whole division. The nearest mark is at most half a division away."),
    ),
    hints=lambda g, t: ("Largest errors: span × class ÷ 100, and half a division.", "u = √(a₁² + a₂²) ÷ √3, then U = 2 u."),
    working=lambda g, t: (
        f"Class: {g['span']} bar × {t.number(g['class'], 1)} ÷ 100 = {t.say(_bar(_parts(g)[0]), 3)}, ÷ √3 = {t.say(_bar(_parts(g)[0] / math.sqrt(3)), 4)}",
        f"Marks: {t.number(g['division'], 1)} bar ÷ 2 = {t.say(_bar(_parts(g)[1]), 2)}, ÷ √3 = {t.say(_bar(_parts(g)[1] / math.sqrt(3)), 4)}",
        f"u = √({t.number(_parts(g)[0] / math.sqrt(3), 4)}² + {t.number(_parts(g)[1] / math.sqrt(3), 4)}²) bar = {t.say(_bar(_u(g) / 2), 4)}",
        f"U = 2 × {t.say(_bar(_u(g) / 2), 4)} = {t.say(_bar(_u(g)), 2)}",
    ),
    unit="bar",
    relative=0.02,
    why="an uncertainty deserves two figures.",
    figures=2,
)


def _draw_judged(draws: Draws) -> Givens:
    low = draws.decimal("9.0", "9.8", "0.1")
    high = round(low + draws.one_of((0.8, 1.0, 1.2)), 1)
    uncertainty = draws.decimal("0.10", "0.20", "0.02")
    near = draws.one_of((low, high))
    reading = round(near + draws.decimal("-0.30", "0.30", "0.02"), 2)
    return {"low": low, "high": high, "U": uncertainty, "reading": reading}


def _verdict(g: Givens, rule: str, required: float = 0.95) -> str:
    return WORDS[judge(_bar(g["reading"]), _bar(g["low"]), _bar(g["high"]), _bar(g["U"]), rule, required).outcome]


def _asked(g: Givens, t: Taste, rule: str) -> tuple[str, ...]:
    return (
        f"The sheet: {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar, {rule}.",
        f"The reading: {t.number(g['reading'], 2)} bar with an expanded uncertainty U = {t.number(g['U'], 2)} bar. What do you write down?",
    )


SIMPLE_VERDICT = ChoiceExercise(
    name="simple_verdict",
    title="Simple acceptance",
    version=1,
    objectives=(2, 5),
    draw=_draw_judged,
    ask=lambda g, t: _asked(g, t, "simple acceptance"),
    solve=lambda g: _verdict(g, "simple"),
    mistakes=(
        Mistake("another rule", lambda g: CANNOT, "Under simple acceptance the reading alone decides; the answer is never 'cannot tell'. The risk near a limit is shared, and the sheet accepts it."),
        Mistake("wrong side", lambda g: OUTSIDE if _verdict(g, "simple") == INSIDE else INSIDE, "Compare the reading itself with both limits. A reading on a limit belongs to the band."),
    ),
    hints=lambda g, t: ("Which numbers count under simple acceptance?", "Only the reading and the limits. U does not enter."),
    working=lambda g, t: (
        "Simple acceptance compares the reading with the limits and nothing else.",
        f"{t.number(g['reading'], 2)} bar lies {'in' if _verdict(g, 'simple') == INSIDE else 'outside'} {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar. {_verdict(g, 'simple')}",
    ),
    options=lambda g, t: (INSIDE, OUTSIDE, CANNOT),
)

GUARDED_VERDICT = ChoiceExercise(
    name="guarded_verdict",
    title="Guarded acceptance",
    version=1,
    objectives=(2, 5),
    draw=_draw_judged,
    ask=lambda g, t: _asked(g, t, "guarded acceptance with the expanded uncertainty"),
    solve=lambda g: _verdict(g, "guarded"),
    mistakes=(
        Mistake("reading alone", lambda g: _verdict(g, "simple") if _verdict(g, "simple") != _verdict(g, "guarded") else "", "You compared the reading with the limits alone. Under guarded acceptance it must clear the limit by U."),
        Mistake("uncertainty ignored on the far side", lambda g: CANNOT if _verdict(g, "guarded") != CANNOT else (INSIDE if _verdict(g, "simple") == OUTSIDE else OUTSIDE), "Move each limit by U, inward to pass and outward to fail, and look again where the reading lies."),
    ),
    hints=lambda g, t: ("Move both limits inward by U: a reading there passes.", "Move both outward by U: a reading beyond fails. Between the two: cannot tell."),
    working=lambda g, t: (
        f"Passes from {t.number(g['low'] + g['U'], 2)} to {t.number(g['high'] - g['U'], 2)} bar; fails below {t.number(g['low'] - g['U'], 2)} or above {t.number(g['high'] + g['U'], 2)} bar.",
        f"{t.number(g['reading'], 2)} bar: {_verdict(g, 'guarded')}",
    ),
    options=lambda g, t: (INSIDE, OUTSIDE, CANNOT),
)


def _chance(g: Givens) -> float:
    return judge(_bar(g["reading"]), _bar(g["low"]), _bar(g["high"]), _bar(g["U"])).probability


PROBABILITY_VERDICT = ChoiceExercise(
    name="probability_verdict",
    title="A stated probability",
    version=1,
    objectives=(2, 5),
    draw=lambda draws: _draw_judged(draws) | {"required": draws.one_of((0.9, 0.95))},
    ask=lambda g, t: (
        *_asked(g, t, f"the true value must lie in the band with a probability of {say_chance(g['required'])}"),
        f"For this reading the probability is {say_chance(_chance(g))}.",
    ),
    solve=lambda g: _verdict(g, "probability", g["required"]),
    mistakes=(
        Mistake("more likely than not", lambda g: (INSIDE if _chance(g) > 0.5 else OUTSIDE) if _verdict(g, "probability", g["required"]) == CANNOT else "", "More likely than not is not enough: the sheet asks for its probability, for passing and for failing."),
        Mistake("failing needs no proof", lambda g: CANNOT if _verdict(g, "probability", g["required"]) != CANNOT else (OUTSIDE if _chance(g) > 0.5 else INSIDE), "Compare the probability with what the sheet asks to pass, and with the rest of 100 % to fail."),
    ),
    hints=lambda g, t: (f"To pass: at least {say_chance(g['required'])}.", f"To fail: at most {say_chance(1 - g['required'])}. Between the two: cannot tell."),
    working=lambda g, t: (
        f"Asked: {say_chance(g['required'])} to pass, at most {say_chance(1 - g['required'])} to fail.",
        f"Probability {say_chance(_chance(g))}: {_verdict(g, 'probability', g['required'])}",
    ),
    options=lambda g, t: (INSIDE, OUTSIDE, CANNOT),
)

ACCEPTANCE_LIMIT = QuantityExercise(
    name="acceptance_limit",
    title="Where acceptance ends",
    version=1,
    objectives=(5,),
    draw=lambda draws: {"low": draws.decimal("9.0", "9.8", "0.1"), "width": draws.decimal("0.8", "1.2", "0.1"), "U": draws.decimal("0.10", "0.24", "0.02")},
    ask=lambda g, t: (
        f"A sheet asks for {t.number(g['low'], 1)} to {t.number(g['low'] + g['width'], 1)} bar under guarded acceptance. Your gauge gives U = {t.number(g['U'], 2)} bar.",
        "What is the highest reading that passes?",
    ),
    solve=lambda g: _bar(g["low"] + g["width"] - g["U"]),
    mistakes=(
        Mistake("guard band outward", lambda g: _bar(g["low"] + g["width"] + g["U"]), "You added U. That is where failing begins. To pass, the reading must clear the limit from inside: subtract."),
        Mistake("no guard band", lambda g: _bar(g["low"] + g["width"]), "That is the limit itself, as under simple acceptance. Guarded acceptance stays U away from it."),
        Mistake("half of it", lambda g: _bar(g["low"] + g["width"] - g["U"] / 2), "You subtracted the standard uncertainty. The guard band is the expanded one, U."),
        Mistake("lower end", lambda g: _bar(g["low"] + g["U"]), "That is the lowest reading that passes. The highest is asked."),
    ),
    hints=lambda g, t: ("The guard band lies inside the limit.", "Highest reading that passes = upper limit − U."),
    working=lambda g, t: (f"{t.number(g['low'] + g['width'], 1)} bar − {t.number(g['U'], 2)} bar = {t.say(_bar(g['low'] + g['width'] - g['U']), 2)}",),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.011,
    why="the numbers given end at a hundredth of a bar.",
)

CLASS_OPTIONS = ("class 0.25", "class 0.6", "class 1", "class 1.6", "class 2.5", "none: the division is too coarse")


def _class_words(number: float | None) -> str:
    return CLASS_OPTIONS[-1] if number is None else f"class {number:g}"


def _able(g: Givens, scale: float = 1.0) -> float | None:
    return _coarsest(g["low"], g["high"], g["span"], g["division"], scale)


@cache
def _coarsest(low: float, high: float, span: float, division: float, scale: float) -> float | None:
    """The coarsest class that can pass the band, made wider by `scale`, under guarded acceptance."""
    gauge = Gauge(_bar(span), 4.0, _bar(division))
    middle, half = (low + high) / 2, (high - low) / 2 * scale
    return choose_gauge(gauge, _bar(middle - half), _bar(middle + half), "guarded").class_that_can


def _draw_class(draws: Draws) -> Givens:
    low = draws.decimal("9.0", "9.8", "0.1")
    return {"low": low, "high": round(low + draws.one_of((0.2, 0.3, 0.4, 0.6, 0.8)), 1), "span": draws.one_of((16, 25)), "division": draws.one_of((0.1, 0.2, 0.5))}


def _worst_only(g: Givens) -> float | None:
    """The coarsest class whose largest error alone fits into half the band."""
    able = [c for c in datasets.table("gauge_classes", ("class_percent",))["class_percent"] if g["span"] * c / 100 <= (g["high"] - g["low"]) / 2]
    return max(able) if able else None


def _if_other(value: float | None, right: float | None, taken: tuple[float | None, ...] = ()) -> str:
    words = _class_words(value)
    if value == right or value in taken or words not in CLASS_OPTIONS:
        return ""
    return words


CHOOSE_A_CLASS = ChoiceExercise(
    name="choose_a_class",
    title="A gauge good enough",
    version=1,
    objectives=(3,),
    draw=_draw_class,
    ask=lambda g, t: (
        f"A sheet asks for {t.number(g['low'], 1)} to {t.number(g['high'], 1)} bar under guarded acceptance. Gauges 0 to {g['span']} bar with a division of {t.number(g['division'], 1)} bar come in several classes.",
        "Which is the coarsest class with which a needle in the middle of the band can pass?",
    ),
    solve=lambda g: _class_words(_able(g)),
    mistakes=(
        Mistake("division ignored", lambda g: _if_other(_worst_only(g), _able(g)), "You looked at the class's largest error alone. The guard band is U: class and marks together, each divided by √3, times 2."),
        Mistake("whole band", lambda g: _if_other(_able(g, scale=2.0), _able(g), (_worst_only(g),)), "You fitted U into the whole band. It must fit on both sides: into half of it."),
    ),
    hints=lambda g, t: (f"U must fit into half the band: {t.say(_bar((g['high'] - g['low']) / 2), 2)}.", "U = 2 × √(a₁² + a₂²) ÷ √3 with a₁ = span × class ÷ 100 and a₂ = half a division."),
    working=lambda g, t: (
        f"Half the band: {t.say(_bar((g['high'] - g['low']) / 2), 2)}",
        *(
            f"Class {t.number(c)}: U = {t.say(Gauge(_bar(g['span']), c, _bar(g['division'])).expanded_uncertainty(), 3)}"
            for c in (0.25, 0.6, 1.0, 1.6, 2.5)
        ),
        f"The coarsest that fits: {_class_words(_able(g))}.",
    ),
    options=lambda g, t: CLASS_OPTIONS,
)

ROUND_INWARD = QuantityExercise(
    name="round_inward",
    title="Round without cheating",
    version=1,
    objectives=(4,),
    draw=lambda draws: {"low": draws.decimal("8.6", "10.0", "0.1"), "width": draws.decimal("0.5", "0.9", "0.1")},
    ask=lambda g, t: (
        f"A sheet asks for at least {t.number(g['low'], 1)} bar. You write the card for a psi gauge, in whole psi, so that nothing passes that the sheet refuses.",
        "Which lower limit do you write?",
    ),
    solve=lambda g: convert_band(_bar(g["low"]), _bar(g["low"] + g["width"]), "psi", 1).low,
    mistakes=(
        Mistake("rounded down", lambda g: convert_band(_bar(g["low"]), _bar(g["low"] + g["width"]), "psi", 1).outward_low, "You rounded down. Then a needle just below the true limit would pass. A lower limit is rounded up."),
        Mistake("not rounded", lambda g: _bar(g["low"]).to("psi"), "That is the exact conversion. The card wants whole psi, rounded to the safe side."),
        Mistake("atmospheres", lambda g: Q(math.ceil(g["low"] * 14.696), "psi"), "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504."),
    ),
    hints=lambda g, t: ("Which way is inward for a lower limit?", f"{t.number(g['low'], 1)} bar × 14{t.mark}504 psi/bar, then up to the next whole psi."),
    working=lambda g, t: (
        f"{t.number(g['low'], 1)} bar × 14{t.mark}504 psi/bar = {t.say(_bar(g['low']).to('psi'), 2)}",
        f"Inward is up: {t.say(convert_band(_bar(g['low']), _bar(g['low'] + g['width']), 'psi', 1).low, 0)}",
    ),
    kind="gauge pressure",
    unit="psi",
    relative=0.0,
    absolute=0.05,
    why="a card in whole psi has no fractions.",
    figures=0,
)

LAST_DIGIT_OPTIONS = (
    "with all the digits the eye can guess, to a hundredth of a bar",
    "to a fifth of a division, with ± a tenth of a division",
    "rounded towards the middle of the band",
    "as inside the band, without a number",
)

LAST_DIGIT = ChoiceExercise(
    name="last_digit",
    title="The last digit",
    version=1,
    objectives=(4,),
    draw=lambda draws: {"division": draws.one_of((0.2, 0.5)), "near": draws.decimal("9.1", "10.3", "0.1")},
    ask=lambda g, t: (
        f"The division of a gauge is {t.number(g['division'], 1)} bar. The needle stands between two marks near {t.number(g['near'], 1)} bar. How do you write the reading down?",
    ),
    solve=lambda g: LAST_DIGIT_OPTIONS[1],
    mistakes=(
        Mistake("last digit as truth", lambda g: LAST_DIGIT_OPTIONS[0], "The eye divides a division into five parts at best. More digits look like knowledge and are none."),
        Mistake("rounded to please", lambda g: LAST_DIGIT_OPTIONS[2], "Rounding towards the band makes a bad regulator good on paper."),
        Mistake("no number", lambda g: LAST_DIGIT_OPTIONS[3], "A verdict without its reading cannot be checked, and nobody can compare it next year."),
    ),
    hints=lambda g, t: ("How finely can an eye divide the space between two marks?", "About into fifths. Say that with the number."),
    working=lambda g, t: (
        f"A fifth of {t.number(g['division'], 1)} bar is {t.number(g['division'] / 5, 2)} bar.",
        f"Write the nearest fifth and how far off it may be: ±{t.number(g['division'] / 10, 2)} bar.",
    ),
    options=lambda g, t: LAST_DIGIT_OPTIONS,
)


def _predictions() -> tuple[Prediction, ...]:
    coarse = Gauge(_bar(16), 1.6, _bar(0.2))
    choice = choose_gauge(coarse, _bar(9.8), _bar(10.2))
    return (
        Prediction(
            "verdict", "The needle stands at 10.1 bar, the band is 9.8 to 10.2 bar. Does it pass?",
            ("yes, it is in the band", "no", "it depends on the gauge and on the rule"),
            f"It depends. Under simple acceptance it passes. Under guarded acceptance with a class 1.6 gauge, U = {coarse.expanded_uncertainty().magnitude:.2f} bar: {choice.because}",
        ),
        Prediction(
            "risk", "You add a guard band, so that fewer bad regulators pass. What happens to the good ones?",
            ("nothing", "more of them fail", "fewer of them fail"),
            "More of them fail. A guard band trades one risk for the other; only a better gauge lowers both.",
        ),
        Prediction(
            "marks", "A division is 0.5 bar. How well can you read the needle at best?",
            ("to 0.01 bar", "to about 0.1 bar, a fifth of a division", "to 0.5 bar only"),
            "To about a fifth of a division, here 0.1 bar. Say so when you write it down.",
        ),
        Prediction(
            "readings", "Fifteen people read the same needle, one after the other. What do you get?",
            ("fifteen equal readings", "readings that scatter by a part of a division", "readings that scatter by several divisions"),
            "They scatter by a part of a division. The mean is better than one reading, but it cannot mend a gauge that reads high.",
        ),
    )  # fmt: skip


def plan() -> Plan:
    """Lesson 03."""
    return Plan(
        number="03",
        title="Specification bands",
        minutes="60 to 90",
        objectives=(
            "Read a specification sheet: a band at a stated supply, an allowed rise over a time.",
            "Say inside, outside or cannot tell with this gauge.",
            "Choose a gauge good enough for a band.",
            "Round a limit and a reading without cheating.",
            "State the decision rule you used.",
        ),
        exercises=(
            STATED_SUPPLY, RISE_A_MINUTE, LARGEST_ERROR, READING_UNCERTAINTY, SIMPLE_VERDICT, GUARDED_VERDICT,
            PROBABILITY_VERDICT, ACCEPTANCE_LIMIT, CHOOSE_A_CLASS, LAST_DIGIT, ROUND_INWARD,
        ),
        predictions=_predictions(),
        warm_up=(("01", "psi_to_bar"), ("01", "gauge_to_absolute"), ("01", "cylinder_content")),
    )  # fmt: skip
