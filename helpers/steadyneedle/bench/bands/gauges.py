"""Dial gauges: the uncertainty of one reading, and whether a gauge can ever pass a band."""

from __future__ import annotations

import math
from dataclasses import dataclass

from steadyneedle.bench.bands.decision import COVERAGE, NONE_CAN_PASS, Verdict, judge
from steadyneedle.bench.bands.written_numbers import format_uncertainty
from steadyneedle.bench.units import Q, Quantity, format_number, formatted, require
from steadyneedle.foundation import datasets


@dataclass(frozen=True)
class Contribution:
    """One row of an uncertainty budget: half-width of a rectangular distribution, standard uncertainty."""

    name: str
    half_width: Quantity
    standard_uncertainty: Quantity


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

    References
    ----------
    Classes of EN 837-1:1996 Table 11; half a division as the reading's half-width is common practice.

    Examples
    --------
    >>> gauge = Gauge(Q(16, "bar"), 1.6, Q(0.5, "bar"))
    >>> print(formatted(gauge.expanded_uncertainty(), 3))
    0.413 bar
    """

    span: Quantity
    class_percent: float
    division: Quantity

    def __post_init__(self) -> None:
        span, division = require("span", self.span, "bar"), require("division", self.division, "bar")
        if span <= 0:
            raise ValueError(f"The gauge's span is {formatted(self.span)}; it must be above 0.")
        if not 0 < self.class_percent <= 100:
            raise ValueError(f"The gauge's class is {self.class_percent} %; it must be above 0 and at most 100.")
        if not 0 < division <= span:
            raise ValueError(f"The gauge's division is {formatted(self.division)}; it must lie between 0 and the span.")

    def budget(self) -> list[Contribution]:
        """Rows of the uncertainty budget: the class, and reading between the marks."""
        rows = (
            ("accuracy class", self.span * (self.class_percent / 100)),
            ("reading between marks", self.division / 2),
        )
        # nothing is known but the largest error: rectangular, standard deviation half-width/sqrt(3)
        return [Contribution(name, width, width / math.sqrt(3)) for name, width in rows]

    def expanded_uncertainty(self) -> Quantity:
        """Expanded uncertainty U (k = 2) of one reading, in the unit of the span."""
        unit = str(self.span.units)
        parts = [require(row.name, row.standard_uncertainty, unit) for row in self.budget()]
        return Q(COVERAGE * math.hypot(*parts), unit)


@dataclass(frozen=True)
class GaugeChoice:
    """Whether a gauge can ever pass a band under a rule, and the coarsest class that can; `remedy`: what to take."""

    can_pass: bool
    best_probability: float
    class_that_can: float | None
    because: str
    remedy: str = ""

    def after(self, verdict: str) -> str:
        """What is left to say of the gauge after a verdict's sentence."""
        if self.can_pass or NONE_CAN_PASS in verdict:
            return self.remedy
        return f"This gauge can never pass here, not even in the middle of the band. {self.remedy}"


def choose_gauge(
    gauge: Gauge, low: Quantity, high: Quantity, rule: str = "guarded", required_probability: float = 0.95
) -> GaugeChoice:
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

    References
    ----------
    Classes of EN 837-1:1996 Table 11 (datasets/gauge_classes.csv).

    Examples
    --------
    >>> gauge = Gauge(Q(16, "bar"), 1.6, Q(0.1, "bar"))
    >>> print(choose_gauge(gauge, Q(9.8, "bar"), Q(10.2, "bar")).class_that_can)
    1.0
    """
    middle = (low + high) / 2  # furthest from both limits: no other reading is likelier to conform

    def best(candidate: Gauge) -> Verdict:
        return judge(middle, low, high, candidate.expanded_uncertainty(), rule, required_probability)

    verdict = best(gauge)
    band = f"{format_number(low.magnitude)} to {formatted(high)}"
    spare = format_uncertainty(gauge.expanded_uncertainty().to(low.units).magnitude, str(low.units))
    if verdict.outcome == "inside":
        because = f"This gauge can pass the band {band}: U = {spare}, and a needle in the middle passes."
        return GaugeChoice(True, verdict.probability, gauge.class_percent, because)
    classes = datasets.table("gauge_classes", ("class_percent",))["class_percent"]
    able = [c for c in classes if best(Gauge(gauge.span, c, gauge.division)).outcome == "inside"]
    because = f"This gauge can never pass the band {band}: U = {spare}, and even a needle in the middle does not pass. "
    remedy = "No class helps on this scale: take one with a shorter span and finer divisions."
    if able:
        remedy = f"A gauge of class {max(able):g} with the same scale can."
    return GaugeChoice(False, verdict.probability, max(able, default=None), because + remedy, remedy)
