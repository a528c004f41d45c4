"""What a long log with noise enough to hide the rounding leaves possible: normal distributions, by formula.

Model and prior as in `particles`, but for three things that many readings allow. The noise, rounding among it, is
normal with a known variance: the mean square that a first fit leaves, over the effective sample fraction. For a given
tau the model is then linear, and its posterior normal: level and rate about the straight line through the readings,
settle from what bends the readings off it, cut to its prior's range. tau takes 25 values, evenly spread in ln(tau),
each with its marginal likelihood as weight. From that mixture 2,800 cases are drawn, each independent of the others.

References
----------
Normal linear model with a flat prior: Gelman et al., Bayesian Data Analysis, chapter 14 (from memory). Coverage and
width: tests/outside/test_log_law.py.
"""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.trace.settling_model import LARGEST_SETTLE, TIME_CONSTANTS, FirstFit
from steadyneedle.foundation.draws import Draws

CASES = 2800
GRID = 25
"""Values of tau: 15 % from one to the next, less than a log can tell."""

LEAST_READINGS = 500
LEAST_SCATTER = 0.4
"""Of a division. With as much noise and as many readings rounding acts like noise of division / sqrt(12)."""


def long_enough(count: int, division: float, scatter: float) -> bool:
    """Whether the formula may stand for the readings.

    Parameters
    ----------
    count : int
        Readings.
    division : float
        Step between two possible readings [bar], above 0.
    scatter : float
        Standard deviation of the noise [bar].

    Returns
    -------
    bool
        With 500 readings or more and noise of at least 0.4 divisions.

    References
    ----------
    Noise of half a division makes rounding errors independent and uniform: Widrow and Kollar, Quantization Noise,
    chapter 19 (from memory); 0.4 is our choice, tested in tests/outside.

    Examples
    --------
    >>> long_enough(36_000, 0.02, 0.01), long_enough(36_000, 0.1, 0.005)
    (True, False)
    """
    return count >= LEAST_READINGS and scatter >= LEAST_SCATTER * division


def sample_by_formula(time: np.ndarray, reading: np.ndarray, first: FirstFit) -> np.ndarray:
    """Cases drawn from the posterior of a long hold: the module's docstring says how.

    Parameters
    ----------
    time, reading : array, shape (n,)
        Seconds from 0, in order, and bar.
    first : FirstFit
        The first fit of these readings.

    Returns
    -------
    array, shape (2800, 5)
        Equally weighted cases, columns as in `settling_model`; the noise is the same in all.

    References
    ----------
    Gelman et al., Bayesian Data Analysis, chapter 14 (from memory).

    Examples
    --------
    >>> from steadyneedle.bench.trace.settling_model import RATE, first_fit
    >>> time = np.arange(0.0, 600.0)
    >>> reading = np.round(9.8 + 0.001 * time + 0.01 * np.sin(time**2), 2)
    >>> cases = sample_by_formula(time, reading, first_fit(time, reading, 0.01))
    >>> print(cases.shape, f"{60 * np.median(cases[:, RATE]):.3f} bar/min")
    (2800, 5) 0.060 bar/min
    """
    from scipy.special import ndtr, ndtri

    draws = Draws("long log")
    variance, line = first.variance / first.effective_fraction, _Line(time, reading)
    constants = np.geomspace(*TIME_CONSTANTS, GRID)
    bends = [line.bend(constant) for constant in constants.tolist()]
    means, slopes, settles, squares = np.array(bends).T
    widths = np.sqrt(variance / squares)
    low, high = ndtr(-settles / widths), ndtr((LARGEST_SETTLE - settles) / widths)
    log_weight = settles**2 / widths**2 / 2 + np.log(widths * np.maximum(high - low, 1e-300))
    weight = np.exp(log_weight - log_weight.max())
    which = draws.places(weight, CASES)
    share = low[which] + (high[which] - low[which]) * draws.fractions(CASES)
    settle = np.clip(settles[which] + widths[which] * ndtri(share), 0.0, LARGEST_SETTLE)
    rate = line.slope - settle * slopes[which] + (variance / line.spread) ** 0.5 * draws.normals(CASES)
    level = line.mean - settle * means[which] + (variance / time.size) ** 0.5 * draws.normals(CASES)
    return np.stack([level, settle, np.log(constants[which]), rate, np.full(CASES, first.scatter)], axis=1)


class _Line:
    """The straight line through values over time, and what it leaves of them."""

    def __init__(self, time: np.ndarray, values: np.ndarray) -> None:
        self.time, self.centred = time, time - time.mean()
        self.spread = float(self.centred @ self.centred)
        self.mean = float(values.mean())
        self.slope = float(self.centred @ values) / self.spread
        self.left = values - self.mean - self.slope * self.centred

    def bend(self, time_constant: float) -> tuple[float, float, float, float]:
        """Mean and slope of a settle of 1 bar, how much of it bends the values, and its sum of squares off its line."""
        bent = _Line(self.time, -np.expm1(-self.time / time_constant))
        squares = max(float(bent.left @ bent.left), 1e-12)
        return bent.mean, bent.slope, float(bent.left @ self.left) / squares, squares
