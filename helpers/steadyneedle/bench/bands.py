"""Reading, gauge, band and rule -> verdict, with its probability and the uncertainty behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from steadyneedle.bench.units import Q, require, say, say_number
from steadyneedle.foundation import datasets

RULES = ("simple", "guarded", "probability")
RULE_WORDS = {
    "simple": "simple acceptance: the reading alone decides",
    "guarded": "guarded acceptance: the reading must clear the limit by the expanded uncertainty",
    "probability": "stated probability: the true value must lie in the band with the probability the sheet asks",
}
COVERAGE = 2.0
"""Coverage factor k of every expanded uncertainty here."""


@dataclass(frozen=True)
class Verdict:
    """What a check ends in: a word, one sentence with numbers, and the probability behind it."""

    outcome: str
    because: str
    probability: float


@dataclass(frozen=True)
class Contribution:
    """One row of an uncertainty budget: half-width of a rectangular distribution, standard uncertainty."""

    name: str
    half_width: Any
    standard_uncertainty: Any


@dataclass(frozen=True)
class Gauge:
    """A dial gauge.

    Parameters
    ----------
    span : pint.Quantity
        End of the scale less its start, pressure, above 0.
    class_percent : float
        Accuracy class: the largest permitted error in percent of the span, above 0, at most 100.
    division : pint.Quantity
        Pressure from one mark to the next, above 0, at most the span.

    Raises
    ------
    ValueError
        A bare number, another dimension, a value out of range.

    Source: classes of EN 837-1:1996 Table 11; half a division as the reading's half-width is common practice.

    Examples
    --------
    >>> gauge = Gauge(Q(16, "bar"), 1.6, Q(0.5, "bar"))
    >>> print(say(gauge.expanded_uncertainty(), 3))
    0.413 bar
    """

    span: Any
    class_percent: float
    division: Any

    def __post_init__(self) -> None:
        span, division = require("span", self.span, "bar"), require("division", self.division, "bar")
        if span <= 0:
            raise ValueError(f"The gauge's span is {say(self.span)}; it must be above 0.")
        if not 0 < self.class_percent <= 100:
            raise ValueError(f"The gauge's class is {self.class_percent} %; it must be above 0 and at most 100.")
        if not 0 < division <= span:
            raise ValueError(f"The gauge's division is {say(self.division)}; it must lie between 0 and the span.")

    def budget(self) -> list[Contribution]:
        """Rows of the uncertainty budget: the class, and reading between the marks."""
        rows = (("accuracy class", self.span * (self.class_percent / 100)), ("reading between marks", self.division / 2))
        return [Contribution(name, width, width / math.sqrt(3)) for name, width in rows]

    def expanded_uncertainty(self) -> Any:
        """Expanded uncertainty U (k = 2) of one reading, in the unit of the span."""
        unit = str(self.span.units)
        parts = [require(row.name, row.standard_uncertainty, unit) for row in self.budget()]
        return Q(COVERAGE * math.hypot(*parts), unit)


def judge(
    reading: Any,
    low: Any,
    high: Any,
    expanded_uncertainty: Any,
    rule: str = "simple",
    required_probability: float = 0.95,
) -> Verdict:
    """Whether a reading conforms to a band under a decision rule.

    The true value is taken as normal about the reading with u = U/2; limits belong to the band.

    Parameters
    ----------
    reading, low, high : pint.Quantity
        Scalars of one dimension, low < high. A limit may be infinite.
    expanded_uncertainty : pint.Quantity
        U with coverage factor k = 2, not below 0, of the same dimension.
    rule : str
        "simple", "guarded" or "probability".
    required_probability : float
        For the rule "probability": from 0.5 to 1.

    Returns
    -------
    Verdict
        `.outcome` is "inside", "outside" or "cannot tell"; `.probability` that the true value lies in
        the band; `.because` a sentence.

    Raises
    ------
    ValueError
        A bare number, another dimension, NaN, low not below high, U below 0, an unknown rule, a
        required probability out of range.

    Source: JCGM 106:2012 sections 7.4 and 8; guarded acceptance as ILAC-G8:09/2019 section 4 (w = U).

    Examples
    --------
    >>> bar = lambda value: Q(value, "bar")
    >>> judge(bar(10.1), bar(9.8), bar(10.2), bar(0.2), rule="guarded").outcome
    'cannot tell'
    """
    unit = str(getattr(reading, "units", "bar"))
    value = require("reading", reading, unit)
    bottom, top = require("low", low, unit, finite=False), require("high", high, unit, finite=False)
    expanded = require("expanded_uncertainty", expanded_uncertainty, _difference_unit(unit))
    if not bottom < top:
        raise ValueError(f"low is {say(low)} and high is {say(high)}: low must be below high.")
    if expanded < 0:
        raise ValueError(f"expanded_uncertainty is {say(expanded_uncertainty)}; it must not be below 0.")
    if rule not in RULES:
        raise ValueError(f"Unknown rule '{rule}': it is one of {', '.join(RULES)}.")
    if not 0.5 <= required_probability <= 1:
        raise ValueError(f"required_probability is {required_probability}; it must lie between 0.5 and 1.")
    probability = _probability_inside(value, bottom, top, expanded / COVERAGE)
    outcome = _outcome(value, bottom, top, expanded, probability, rule, required_probability)
    facts = _Facts(value, bottom, top, expanded, probability, rule, required_probability, reading.units)
    return Verdict(outcome, _because(outcome, facts), probability)


def _difference_unit(unit: str) -> str:
    return "delta_" + unit if unit in ("degree_Celsius", "degree_Fahrenheit") else unit


def _normal_upto(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def _probability_inside(value: float, low: float, high: float, standard: float) -> float:
    if standard == 0:
        return float(low <= value <= high)
    from_low, from_high = (low - value) / standard, (high - value) / standard
    if from_low > 0:  # both in the upper tail: subtract small numbers, not numbers near one
        return _normal_upto(-from_low) - _normal_upto(-from_high)
    return _normal_upto(from_high) - _normal_upto(from_low)


def _outcome(
    value: float, low: float, high: float, expanded: float, probability: float, rule: str, required: float
) -> str:
    if rule == "simple":
        return "inside" if low <= value <= high else "outside"
    if rule == "guarded":
        if low + expanded <= value <= high - expanded:
            return "inside"
        return "outside" if value < low - expanded or value > high + expanded else "cannot tell"
    if probability >= required:
        return "inside"
    return "outside" if probability <= 1 - required else "cannot tell"


@dataclass(frozen=True)
class _Facts:
    """The numbers a verdict's sentence is written from, all in `unit`."""

    value: float
    low: float
    high: float
    expanded: float
    probability: float
    rule: str
    required: float
    unit: Any


def _because(outcome: str, facts: _Facts) -> str:
    unit = str(facts.unit)
    reading = say(Q(facts.value, unit))
    band = f"{say_number(facts.low)} to {say(Q(facts.high, unit))}"
    chance = f"probability {say_chance(facts.probability)} that the true value lies in the band"
    if facts.rule == "simple":
        where = "lies in" if outcome == "inside" else "lies outside"
        return f"{reading} {where} the band {band} (simple acceptance, {chance})."
    if facts.rule == "guarded":
        return f"{reading} {_guarded_words(outcome, facts)} ({chance})."
    asked = f"the rule asks {say_chance(facts.required)}"
    if outcome == "cannot tell":
        return f"{reading} in the band {band}: {chance}; {asked} to pass and at most {say_chance(1 - facts.required)} to fail."
    passes = "enough to pass" if outcome == "inside" else "low enough to fail"
    return f"{reading} in the band {band}: {chance}, {passes}; {asked}."


def _guarded_words(outcome: str, facts: _Facts) -> str:
    unit = str(facts.unit)
    spare = say(Q(facts.expanded, unit))
    inner = (facts.low + facts.expanded, facts.high - facts.expanded)
    if outcome == "inside":
        return f"clears both limits of {say_number(facts.low)} to {say(Q(facts.high, unit))} by U = {spare} or more"
    if outcome == "outside":
        return f"lies beyond {say_number(facts.low)} to {say(Q(facts.high, unit))} by more than U = {spare}"
    if inner[0] > inner[1]:
        return (
            f"cannot be placed: the band {say_number(facts.low)} to {say(Q(facts.high, unit))} is narrower than "
            f"twice U = {spare}, so no reading with this gauge can pass"
        )
    side = facts.high if abs(facts.value - facts.high) < abs(facts.value - facts.low) else facts.low
    return f"lies within U = {spare} of the limit {say(Q(side, unit))}"


def say_chance(probability: float) -> str:
    """A probability in percent, never rounded up to certainty.

    Parameters
    ----------
    probability : float
        From 0 to 1.

    Returns
    -------
    str
        Whole percent from 1 to 99, else with the digits that keep it off 0 and 100.

    Raises
    ------
    ValueError
        Outside 0 to 1.

    Source: none needed; it only writes.

    Examples
    --------
    >>> say_chance(0.6626), say_chance(0.9996), say_chance(1.0)
    ('66 %', 'over 99.9 %', '100 %')
    """
    if not 0 <= probability <= 1:
        raise ValueError(f"A probability lies between 0 and 1, not {probability}.")
    if 0 < probability < 0.001:
        return "under 0.1 %"
    if 0.999 < probability < 1:
        return "over 99.9 %"
    decimals = 1 if (0 < probability < 0.01 or 0.99 < probability < 1) else 0
    return f"{probability * 100:.{decimals}f} %"


@dataclass(frozen=True)
class GaugeChoice:
    """Whether a gauge can ever pass a band under a rule, and the coarsest class that can."""

    can_pass: bool
    best_probability: float
    class_that_can: float | None
    because: str


def choose_gauge(gauge: Gauge, low: Any, high: Any, rule: str = "guarded", required_probability: float = 0.95) -> GaugeChoice:
    """Whether any reading of a gauge can pass a band; if none can, which class could.

    Parameters
    ----------
    gauge : Gauge
        The gauge at hand.
    low, high : pint.Quantity
        The band, low < high, pressures.
    rule : str
        "simple", "guarded" or "probability".
    required_probability : float
        For the rule "probability": from 0.5 to 1.

    Returns
    -------
    GaugeChoice
        The best possible reading stands in the middle of the band: if that does not pass, none does.
        `class_that_can` is the coarsest class of EN 837-1 that passes there with the same span and
        division, or None where the division alone is too coarse.

    Raises
    ------
    ValueError
        As `judge` and `Gauge`.

    Source: classes of EN 837-1:1996 Table 11 (datasets/gauge_classes.csv).

    Examples
    --------
    >>> gauge = Gauge(Q(16, "bar"), 1.6, Q(0.1, "bar"))
    >>> print(choose_gauge(gauge, Q(9.8, "bar"), Q(10.2, "bar")).class_that_can)
    1.0
    """
    middle = (low + high) / 2

    def best(candidate: Gauge) -> Verdict:
        return judge(middle, low, high, candidate.expanded_uncertainty(), rule, required_probability)

    verdict = best(gauge)
    band = f"{say_number(low.magnitude)} to {say(high)}"
    spare = say(gauge.expanded_uncertainty().to(low.units))
    if verdict.outcome == "inside":
        because = f"This gauge can pass the band {band}: U = {spare}, and a needle in the middle passes."
        return GaugeChoice(True, verdict.probability, gauge.class_percent, because)
    classes = datasets.table("gauge_classes", ("class_percent",))["class_percent"]
    able = [c for c in classes if best(Gauge(gauge.span, c, gauge.division)).outcome == "inside"]
    because = f"This gauge can never pass the band {band}: U = {spare}, and even a needle in the middle does not pass. "
    if able:
        because += f"A gauge of class {max(able):g} with the same scale can."
        return GaugeChoice(False, verdict.probability, max(able), because)
    because += "No class helps on this scale: take one with a shorter span and finer divisions."
    return GaugeChoice(False, verdict.probability, None, because)


@dataclass(frozen=True)
class ConvertedBand:
    """A band in another unit, rounded inward; the outward-rounded one stands beside it with its cost."""

    low: Any
    high: Any
    outward_low: Any
    outward_high: Any
    cost: str


def convert_band(low: Any, high: Any, unit: str, step: float) -> ConvertedBand:
    """A band in another unit, its limits rounded inward to a step.

    Parameters
    ----------
    low, high : pint.Quantity
        Scalars, low < high.
    unit : str
        Unit to convert to, of the same dimension.
    step : float
        Step to round to in that unit, above 0, for example 1 for whole psi.

    Returns
    -------
    ConvertedBand
        Inward limits never accept what the band refuses; outward limits do, by what `cost` says.

    Raises
    ------
    ValueError
        A bare number, another dimension, low not below high, a step not above 0, or so coarse that no
        inward band is left.

    Source: NIST SP 811 Appendix B.7.2, rounding of limits (from memory).

    Examples
    --------
    >>> band = convert_band(Q(9.8, "bar"), Q(10.2, "bar"), "psi", 1)
    >>> print(band.low.magnitude, band.high.magnitude, band.outward_low.magnitude, band.outward_high.magnitude)
    143.0 147.0 142.0 148.0
    """
    bottom, top = require("low", low, unit), require("high", high, unit)
    if not bottom < top:
        raise ValueError(f"low is {say(low)} and high is {say(high)}: low must be below high.")
    if not step > 0:
        raise ValueError(f"step is {step}; it must be above 0.")
    slack = 1e-9  # a limit that is a whole number of steps but for the last bits stays where it is
    digits = max(0, math.ceil(-math.log10(step)) + 2)

    def at(steps: float) -> Any:
        return Q(float(round(steps * step, digits)), unit)

    inward = (at(math.ceil(bottom / step - slack)), at(math.floor(top / step + slack)))
    outward = (at(math.floor(bottom / step + slack)), at(math.ceil(top / step - slack)))
    if not inward[0] < inward[1]:
        raise ValueError(f"A step of {say(Q(step, unit))} is too coarse: no band is left inside. Take a finer step.")
    below = bottom - require("low", outward[0], unit)
    above = require("high", outward[1], unit) - top
    cost = (
        f"Rounded outward it accepts {say(Q(below, unit), 2)} below the true limit and "
        f"{say(Q(above, unit), 2)} above it."
    )
    return ConvertedBand(*inward, *outward, cost)
