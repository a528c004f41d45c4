"""Lesson 03, exercises on gauges, reading and rounding."""

from __future__ import annotations

import math
from functools import cache

from steadyneedle.bench.bands.gauges import Gauge, choose_gauge
from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.bench.units import Q
from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.exercise import ChoiceExercise, Givens, Mistake, QuantityExercise
from steadyneedle.questions.pressures import bar


def _gauge(g: Givens) -> Gauge:
    return Gauge(bar(g["span"]), g["class"], bar(g["division"]))


def _u(g: Givens) -> float:
    return float(_gauge(g).expanded_uncertainty().magnitude)


def _class_error(g: Givens) -> float:
    return float(g["span"] * g["class"] / 100)


LARGEST_ERROR = QuantityExercise(
    name="largest_error",
    title="What a class allows",
    version=1,
    objectives=(2, 3),
    draw=lambda draws: {
        "span": draws.one_of((16, 20, 25, 40)),
        "class": draws.one_of((1.0, 1.6, 2.5, 4.0)),
        "reading": draws.decimal("8.5", "10.5", "0.1"),
    },
    ask=lambda g, t: (
        f"A gauge 0 to {g['span']} bar is of class {t.number(g['class'], 1)}. It reads {t.number(g['reading'], 1)} bar.",
        "By how much may it be wrong, at most, according to its class?",
    ),
    solve=lambda g: bar(_class_error(g)),
    mistakes=(
        Mistake(
            "percent of the reading",
            lambda g: bar(g["reading"] * g["class"] / 100),
            "You took the percent of the reading. A class is in percent of the span: the error is the same all along the scale.",
        ),
        Mistake(
            "percent as bar",
            lambda g: bar(g["class"]),
            "You took the class for bar. It is percent of the span.",
        ),
        Mistake(
            "percent of what is left",
            lambda g: bar((g["span"] - g["reading"]) * g["class"] / 100),
            "You took the percent of the rest of the scale. A class is in percent of the whole span.",
        ),
        Mistake(
            "percent forgotten",
            lambda g: bar(_class_error(g) * 100),
            "You multiplied by the class without dividing by 100. It is percent.",
        ),
    ),
    hints=lambda g, t: (
        "Percent of what? Not of the reading.",
        f"Largest error = span × class ÷ 100 = {g['span']} bar × {t.number(g['class'], 1)} ÷ 100.",
    ),
    working=lambda g, t: (
        f"{g['span']} bar × {t.number(g['class'], 1)} ÷ 100 = {t.format(bar(_class_error(g)), 2)}, at any reading",
    ),
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
    draw=lambda draws: {
        "span": draws.one_of((16, 25)),
        "class": draws.one_of((0.6, 1.0, 1.6)),
        "division": draws.one_of((0.2, 0.4, 0.5)),
    },
    ask=lambda g, t: (
        f"A gauge 0 to {g['span']} bar, class {t.number(g['class'], 1)}, has a division of {t.number(g['division'], 1)} bar. You read it to the nearest mark.",
        "What is the expanded uncertainty U (k = 2) of one reading? Both errors are rectangular: divide each largest error by √3.",
    ),
    solve=lambda g: bar(_u(g)),
    mistakes=(
        Mistake(
            "no factor 2",
            lambda g: bar(_u(g) / 2),
            "That is the standard uncertainty u. The expanded one is U = 2 u.",
        ),
        Mistake(
            "plain sum",
            lambda g: bar(2 * sum(_parts(g)) / math.sqrt(3)),
            "You added the two. Independent errors add as squares: the root of the sum of squares.",
        ),
        Mistake(
            "no root of three",
            lambda g: bar(2 * math.hypot(*_parts(g))),
            "You left the largest errors undivided. A rectangular error has the standard uncertainty a/√3.",
        ),
        Mistake(
            "class alone",
            lambda g: bar(2 * _parts(g)[0] / math.sqrt(3)),
            "You left out reading between the marks: half a division either way.",
        ),
        Mistake("marks alone", lambda g: bar(2 * _parts(g)[1] / math.sqrt(3)), "You left out the gauge's class."),
        Mistake(
            "whole division",
            lambda g: bar(2 * math.hypot(_parts(g)[0], g["division"]) / math.sqrt(3)),
            "You took a whole division. The nearest mark is at most half a division away.",
        ),
    ),
    hints=lambda g, t: (
        "Largest errors: span × class ÷ 100, and half a division.",
        "u = √(a₁² + a₂²) ÷ √3, then U = 2 u.",
    ),
    working=lambda g, t: (
        f"Class: {g['span']} bar × {t.number(g['class'], 1)} ÷ 100 = {t.format(bar(_parts(g)[0]), 3)}, ÷ √3 = {t.format(bar(_parts(g)[0] / math.sqrt(3)), 4)}",
        f"Marks: {t.number(g['division'], 1)} bar ÷ 2 = {t.format(bar(_parts(g)[1]), 2)}, ÷ √3 = {t.format(bar(_parts(g)[1] / math.sqrt(3)), 4)}",
        f"u = √({t.number(_parts(g)[0] / math.sqrt(3), 4)}² + {t.number(_parts(g)[1] / math.sqrt(3), 4)}²) bar = {t.format(bar(_u(g) / 2), 4)}",
        f"U = 2 × {t.format(bar(_u(g) / 2), 4)} = {t.format(bar(_u(g)), 2)}",
    ),
    unit="bar",
    relative=0.02,
    why="an uncertainty deserves two figures.",
    figures=2,
)


CLASS_OPTIONS = (
    "class 0.25",
    "class 0.6",
    "class 1",
    "class 1.6",
    "class 2.5",
    "none: the division is too coarse",
)


def _class_words(number: float | None) -> str:
    return CLASS_OPTIONS[-1] if number is None else f"class {number:g}"


def _able(g: Givens, scale: float = 1.0) -> float | None:
    return _coarsest(g["low"], g["high"], g["span"], g["division"], scale)


@cache
def _coarsest(low: float, high: float, span: float, division: float, scale: float) -> float | None:
    """The coarsest class that can pass the band, made wider by `scale`, under guarded acceptance."""
    gauge = Gauge(bar(span), 4.0, bar(division))
    middle, half = (low + high) / 2, (high - low) / 2 * scale
    return choose_gauge(gauge, bar(middle - half), bar(middle + half), "guarded").class_that_can


def _draw_class(draws: Draws) -> Givens:
    low = draws.decimal("9.0", "9.8", "0.1")
    return {
        "low": low,
        "high": round(low + draws.one_of((0.2, 0.3, 0.4, 0.6, 0.8)), 1),
        "span": draws.one_of((16, 25)),
        "division": draws.one_of((0.1, 0.2, 0.5)),
    }


def _worst_only(g: Givens) -> float | None:
    """The coarsest class whose largest error alone fits into half the band."""
    able = [
        c
        for c in datasets.table("gauge_classes", ("class_percent",))["class_percent"]
        if g["span"] * c / 100 <= (g["high"] - g["low"]) / 2
    ]
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
        Mistake(
            "division ignored",
            lambda g: _if_other(_worst_only(g), _able(g)),
            "You looked at the class's largest error alone. The guard band is U: class and marks together, each divided by √3, times 2.",
        ),
        Mistake(
            "whole band",
            lambda g: _if_other(_able(g, scale=2.0), _able(g), (_worst_only(g),)),
            "You fitted U into the whole band. It must fit on both sides: into half of it.",
        ),
    ),
    hints=lambda g, t: (
        f"U must fit into half the band: {t.format(bar((g['high'] - g['low']) / 2), 2)}.",
        "U = 2 × √(a₁² + a₂²) ÷ √3 with a₁ = span × class ÷ 100 and a₂ = half a division.",
    ),
    working=lambda g, t: (
        f"Half the band: {t.format(bar((g['high'] - g['low']) / 2), 2)}",
        *(
            f"Class {t.number(c)}: U = {t.format(Gauge(bar(g['span']), c, bar(g['division'])).expanded_uncertainty(), 3)}"
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
    draw=lambda draws: {
        "low": draws.decimal("8.6", "10.0", "0.1"),
        "width": draws.decimal("0.5", "0.9", "0.1"),
    },
    ask=lambda g, t: (
        f"A sheet asks for at least {t.number(g['low'], 1)} bar. You write the card for a psi gauge, in whole psi, so that nothing passes that the sheet refuses.",
        "Which lower limit do you write?",
    ),
    solve=lambda g: convert_band(bar(g["low"]), bar(g["low"] + g["width"]), "psi", 1).low,
    mistakes=(
        Mistake(
            "rounded down",
            lambda g: convert_band(bar(g["low"]), bar(g["low"] + g["width"]), "psi", 1).outward_low,
            "You rounded down. Then a needle just below the true limit would pass. A lower limit is rounded up.",
        ),
        Mistake(
            "not rounded",
            lambda g: bar(g["low"]).to("psi"),
            "That is the exact conversion. The card wants whole psi, rounded to the safe side.",
        ),
        Mistake(
            "atmospheres",
            lambda g: Q(math.ceil(g["low"] * 14.696), "psi"),
            "You converted with 14.7 psi a bar. That is an atmosphere; use 14.504.",
        ),
    ),
    hints=lambda g, t: (
        "Which way is inward for a lower limit?",
        f"{t.number(g['low'], 1)} bar × 14{t.mark}504 psi/bar, then up to the next whole psi.",
    ),
    working=lambda g, t: (
        f"{t.number(g['low'], 1)} bar × 14{t.mark}504 psi/bar = {t.format(bar(g['low']).to('psi'), 2)}",
        f"Inward is up: {t.format(convert_band(bar(g['low']), bar(g['low'] + g['width']), 'psi', 1).low, 0)}",
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
        Mistake(
            "last digit as truth",
            lambda g: LAST_DIGIT_OPTIONS[0],
            "The eye divides a division into five parts at best. More digits look like knowledge and are none.",
        ),
        Mistake(
            "rounded to please",
            lambda g: LAST_DIGIT_OPTIONS[2],
            "Rounding towards the band makes a bad regulator good on paper.",
        ),
        Mistake(
            "no number",
            lambda g: LAST_DIGIT_OPTIONS[3],
            "A verdict without its reading cannot be checked, and nobody can compare it next year.",
        ),
    ),
    hints=lambda g, t: (
        "How finely can an eye divide the space between two marks?",
        "About into fifths. Say that with the number.",
    ),
    working=lambda g, t: (
        f"A fifth of {t.number(g['division'], 1)} bar is {t.number(g['division'] / 5, 2)} bar.",
        f"Write the nearest fifth and how far off it may be: ±{t.number(g['division'] / 10, 2)} bar.",
    ),
    options=lambda g, t: LAST_DIGIT_OPTIONS,
)
