"""The two risks of a decision: passing what is bad, failing what is good."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.bands.decision import probability_inside

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)
_FAR = 9.0
"""Standard deviations; of a normal distribution 1e-19 lies beyond, less than a float near one can show."""


@dataclass(frozen=True)
class Risks:
    """Probabilities over all items made: conforming, passed though bad, failed though good."""

    conforming: float
    false_accept: float
    false_reject: float


def decision_risks(
    mean: float,
    spread: float,
    tolerance: tuple[float, float],
    acceptance: tuple[float, float],
    standard_uncertainty: float,
) -> Risks:
    """Risks of accepting by a reading items whose true values scatter.

    True values are normal about `mean`, readings normal about the true value.

    Parameters
    ----------
    mean : float
        Mean of the true values; any unit, the same for all arguments.
    spread : float
        Standard deviation of the true values, above 0.
    tolerance : tuple of float
        Low and high limit of what conforms.
    acceptance : tuple of float
        Low and high limit of the readings accepted.
    standard_uncertainty : float
        u of one reading, above 0.

    Returns
    -------
    Risks
        Three probabilities from 0 to 1.

    Raises
    ------
    ValueError
        A spread or uncertainty not above 0, a low limit not below its high limit.

    References
    ----------
    JCGM 106:2012 section 9.5; numbers of its resistor example in tests/outside.

    Examples
    --------
    >>> risks = decision_risks(1500.0, 0.12, (1499.8, 1500.2), (1499.82, 1500.18), 0.04)
    >>> print(f"{risks.conforming:.4f} {risks.false_accept:.5f} {risks.false_reject:.4f}")
    0.9044 0.00988 0.0690
    """
    if not (spread > 0 and standard_uncertainty > 0):
        raise ValueError("spread and standard_uncertainty must be above 0.")
    if not (tolerance[0] < tolerance[1] and acceptance[0] < acceptance[1]):
        raise ValueError("Each low limit must be below its high limit.")
    population = _Population(mean, spread, acceptance, standard_uncertainty)
    low, high = ((limit - mean) / spread for limit in tolerance)
    conforming = probability_inside(mean, *tolerance, spread)
    false_accept = population.accepted(-_FAR, low) + population.accepted(high, _FAR)
    # a difference of two nearly equal numbers: rounding can leave it just below 0
    return Risks(conforming, false_accept, max(0.0, conforming - population.accepted(low, high)))


@dataclass(frozen=True)
class _Population:
    """Items whose true values scatter, and a reading that accepts some of them."""

    mean: float
    spread: float
    acceptance: tuple[float, float]
    standard_uncertainty: float

    def accepted(self, start: float, end: float) -> float:
        """Probability that z = (true - mean)/spread lies between and the reading is accepted.

        Gauss-Legendre in steps no wider than the reading's uncertainty.
        """
        from scipy.special import ndtr

        start, end = max(start, -_FAR), min(end, _FAR)
        if start >= end:
            return 0.0
        # within one uncertainty the chance of acceptance goes from 0 to 1: one rule over all would step over it
        pieces = math.ceil((end - start) * self.spread / self.standard_uncertainty)
        cuts = np.linspace(start, end, max(2, pieces + 1))
        half = np.diff(cuts)[:, None] / 2
        z = cuts[:-1, None] + half + half * _NODES
        value = self.mean + self.spread * z
        low, high = ((limit - value) / self.standard_uncertainty for limit in self.acceptance)
        density = np.exp(-z * z / 2) / math.sqrt(2 * math.pi)
        return float(np.sum(half * _WEIGHTS * density * (ndtr(high) - ndtr(low))))
