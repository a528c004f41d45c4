"""A band in another unit, rounded so that nothing passes that the band refuses."""

from __future__ import annotations

import math
from dataclasses import dataclass

from steadyneedle.bench.units import Q, Quantity, formatted, require


@dataclass(frozen=True)
class ConvertedBand:
    """A band in another unit, rounded inward; the outward-rounded one stands beside it with its cost."""

    low: Quantity
    high: Quantity
    outward_low: Quantity
    outward_high: Quantity
    cost: str


def convert_band(low: Quantity, high: Quantity, unit: str, step: float) -> ConvertedBand:
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

    References
    ----------
    NIST SP 811 Appendix B.7.2, rounding of limits (from memory).

    Examples
    --------
    >>> band = convert_band(Q(9.8, "bar"), Q(10.2, "bar"), "psi", 1)
    >>> print(band.low.magnitude, band.high.magnitude, band.outward_low.magnitude, band.outward_high.magnitude)
    143.0 147.0 142.0 148.0
    """
    bottom, top = require("low", low, unit), require("high", high, unit)
    if not bottom < top:
        raise ValueError(f"low is {formatted(low)} and high is {formatted(high)}: low must be below high.")
    if not step > 0:
        raise ValueError(f"step is {step}; it must be above 0.")
    slack = 1e-9  # a limit that is a whole number of steps but for the last bits stays where it is
    digits = max(0, math.ceil(-math.log10(step)) + 2)  # the step's own and two more: last bits come off

    def at(steps: float) -> Quantity:
        return Q(float(round(steps * step, digits)), unit)

    inward = (at(math.ceil(bottom / step - slack)), at(math.floor(top / step + slack)))
    outward = (at(math.floor(bottom / step + slack)), at(math.ceil(top / step - slack)))
    if not inward[0] < inward[1]:
        raise ValueError(
            f"A step of {formatted(Q(step, unit))} is too coarse: no band is left inside. Take a finer step."
        )
    below = bottom - require("low", outward[0], unit)
    above = require("high", outward[1], unit) - top
    cost = (
        f"Rounded outward it accepts {formatted(Q(below, unit), 2)} below the true limit and "
        f"{formatted(Q(above, unit), 2)} above it."
    )
    return ConvertedBand(*inward, *outward, cost)
