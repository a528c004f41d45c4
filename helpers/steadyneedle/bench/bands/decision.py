"""Reading, gauge, band and rule -> verdict, with its probability and the uncertainty behind it."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.bench.bands.written_numbers import format_chance, format_uncertainty
from steadyneedle.bench.units import Q, Quantity, format_number, formatted, require

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
    """What a check ends in: a word, one sentence with numbers, and the probability behind it.

    `required` is the probability that was asked, None under a rule that asks none.
    """

    outcome: str
    because: str
    probability: float
    required: float | None = None

    @property
    def chance(self) -> str:
        """The probability as the sentence has it."""
        return format_chance(self.probability, self.required)

    @property
    def word(self) -> str:
        """The outcome as it stands first in a sentence."""
        return self.outcome.capitalize()


def judge(
    reading: Quantity,
    low: Quantity,
    high: Quantity,
    expanded_uncertainty: Quantity,
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

    References
    ----------
    JCGM 106:2012 sections 7.4 and 8; guarded acceptance as ILAC-G8:09/2019 section 4 (w = U).

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
        raise ValueError(f"low is {formatted(low)} and high is {formatted(high)}: low must be below high.")
    if expanded < 0:
        raise ValueError(f"expanded_uncertainty is {formatted(expanded_uncertainty)}; it must not be below 0.")
    if rule not in RULES:
        raise ValueError(f"Unknown rule '{rule}': it is one of {', '.join(RULES)}.")
    if not 0.5 <= required_probability <= 1:
        raise ValueError(f"required_probability is {required_probability}; it must lie between 0.5 and 1.")
    probability = probability_inside(value, bottom, top, expanded / COVERAGE)
    outcome = _outcome(value, bottom, top, expanded, probability, rule, required_probability)
    facts = _Facts(value, bottom, top, expanded, probability, rule, required_probability, unit)
    return Verdict(outcome, _because(outcome, facts), probability, facts.asked)


def _difference_unit(unit: str) -> str:
    # an uncertainty is a difference: 0.5 °C of it is 0.5 K, not 273.65 K
    return "delta_" + unit if unit in ("degree_Celsius", "degree_Fahrenheit") else unit


def probability_inside(value: float, low: float, high: float, standard: float) -> float:
    """Probability that a normal variable lies between two limits, both included.

    Parameters
    ----------
    value, low, high : float
        Mean and limits in one unit; a limit may be infinite.
    standard : float
        Standard deviation in that unit, not below 0; with 0 the result is 0 or 1.

    Returns
    -------
    float
        From 0 to 1, exact in far tails.

    Raises
    ------
    ValueError
        A standard deviation below 0 or NaN.

    References
    ----------
    JCGM 106:2012 section 7.

    Examples
    --------
    >>> round(probability_inside(0.0, -1.0, 1.0, 1.0), 4)
    0.6827
    """
    if not standard >= 0:
        raise ValueError(f"standard is {standard}; it must not be below 0.")
    if standard == 0:  # a reading without error: nothing to divide by
        return float(low <= value <= high)
    from scipy.special import ndtr  # imported late: it takes as long to import as all else here together

    below, above = (low - value) / standard, (high - value) / standard
    if below > 0:  # both in the upper tail: subtract small numbers, not numbers near one
        below, above = -above, -below
    return float(ndtr(above) - ndtr(below))


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


MOST_PLACES = 6
"""Digits after the mark beyond which a reading counts as on its limit in words."""

NONE_CAN_PASS = "so no reading with this gauge can pass"


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
    unit: str

    @property
    def asked(self) -> float | None:
        """The probability that is asked; None under a rule that asks none."""
        return self.required if self.rule == "probability" else None

    def words(self, value: float) -> str:
        """A number in `unit`, as a sentence has it."""
        return formatted(Q(value, self.unit))

    @property
    def reading(self) -> str:
        """The reading, with the digits that keep it off a limit on which it does not lie."""
        said = self.words(self.value)
        for limit in (self.low, self.high):
            if self.value == limit or said != self.words(limit):
                continue
            for places in range(1, MOST_PLACES + 1):
                longer = formatted(Q(self.value, self.unit), places)
                if longer != formatted(Q(limit, self.unit), places):
                    return longer
        return said

    @property
    def band(self) -> str:
        """The band, as a sentence has it."""
        return f"{format_number(self.low)} to {self.words(self.high)}"


def _because(outcome: str, facts: _Facts) -> str:
    reading, band = facts.reading, facts.band
    shown, wanted = format_chance(facts.probability, facts.asked), format_chance(facts.required)
    chance = f"probability {shown} that the true value lies in the band"
    if facts.rule == "simple":
        where = "lies in" if outcome == "inside" else "lies outside"
        return f"{reading} {where} the band {band} (simple acceptance, {chance})."
    if facts.rule == "guarded":
        return f"{reading} {_guarded_words(outcome, facts)} ({chance})."
    chance = f"the true value lies in the band {band} with a probability of {shown}"
    asked = f"the rule asks {wanted}"
    if outcome == "cannot tell":
        fails = format_chance(1 - facts.required)
        return f"at {reading} {chance}; {asked} to pass and at most {fails} to fail."
    passes = "enough to pass" if outcome == "inside" else "low enough to fail"
    return f"at {reading} {chance}, {passes}; {asked}."


def _guarded_words(outcome: str, facts: _Facts) -> str:
    spare, band = format_uncertainty(facts.expanded, facts.unit), facts.band
    if outcome == "inside":
        return f"clears both limits of {band} by U = {spare} or more"
    if outcome == "outside":
        return f"lies beyond {band} by more than U = {spare}"
    if facts.low + facts.expanded > facts.high - facts.expanded:
        return f"cannot be placed: the band {band} is narrower than twice U = {spare}, {NONE_CAN_PASS}"
    side = facts.high if abs(facts.value - facts.high) < abs(facts.value - facts.low) else facts.low
    return f"lies within U = {spare} of the limit {facts.words(side)}"
