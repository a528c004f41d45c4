"""How a needle that nobody touches moves, what is believed of it beforehand, and a first fit by least squares.

The pressure t seconds after the valve shut is p(t) = L + S (1 - exp(-t/tau)) + c (t - tbar): a level L, a settle S with
its time constant tau, a creep c. tbar is the mean time of the readings; about it level and rate hardly depend on one
another. An array of parameters has one row a case and the columns below. Units: seconds and bar.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.autocorrelation import effective_sample_fraction
from steadyneedle.bench.trace.fitting import Fit, least_squares

LEVEL, SETTLE, LOG_TIME_CONSTANT, RATE, NOISE = range(5)
"""Columns: L [bar], S [bar], ln(tau / s), c [bar/s], standard deviation of the noise [bar]."""

TIME_CONSTANTS = (2.0, 60.0)
"""s, of a settle (common practice, no source)."""

LARGEST_SETTLE = 0.3
"""bar (common practice, no source)."""

USUAL_NOISE = 0.05
"""bar, of a needle or a cheap transducer; more where the readings show more (common practice, no source)."""

LEAST_NOISE = 1e-4
"""bar; less is no noise, and a likelihood that knows none has edges on which a search sticks."""

FIRST_TIME_CONSTANTS = 8
"""As many are tried in a first fit: between neighbours the residuals hardly differ."""

FIRST_READINGS = 5000
"""About so many readings tell which settle fits best."""


@dataclass(frozen=True)
class FirstFit:
    """What least squares say of a hold before anything better does.

    `rate` [bar/s]; `scatter` [bar], the residuals' standard deviation that rounding does not explain; `variance`
    [bar2], mean square of the residuals; `effective_fraction`, what one reading is worth beside an independent one.
    """

    rate: float
    scatter: float
    variance: float
    effective_fraction: float

    @property
    def largest_noise(self) -> float:
        """Upper end of the prior of the noise [bar]."""
        return max(USUAL_NOISE, 3 * self.scatter)


def settled(log_time_constant: np.ndarray, time: ArrayLike) -> np.ndarray:
    """How much of its settle each case has done at each time: 1 - exp(-t/tau).

    Parameters
    ----------
    log_time_constant : array, shape (m,)
        ln(tau / s).
    time : array, shape (n,)
        Seconds after the valve shut, not below 0.

    Returns
    -------
    array, shape (m, n)
        From 0 to 1.

    References
    ----------
    First-order settling: common practice, no source; the rig's needles are its test.

    Examples
    --------
    >>> settled(np.log([5.0]), [0.0, 5.0, 10.0]).round(3).tolist()
    [[0.0, 0.632, 0.865]]
    """
    return np.asarray(-np.expm1(-np.exp(-log_time_constant)[:, np.newaxis] * np.asarray(time, float)))


def pressures(parameters: np.ndarray, part_settled: np.ndarray, from_mean: np.ndarray) -> np.ndarray:
    """Pressure of each case at each time.

    Parameters
    ----------
    parameters : array, shape (m, 5)
        One row a case, columns as above.
    part_settled : array, shape (m, n)
        As `settled` gives it: the costly part, worth computing once.
    from_mean : array, shape (n,)
        Times less tbar [s].

    Returns
    -------
    array, shape (m, n)
        Pressures [bar].

    References
    ----------
    A settle and a straight creep: common practice, no source; the rig's needles are its test.

    Examples
    --------
    >>> case, time = np.array([[9.8, 0.1, np.log(5.0), 0.01, 0.01]]), np.array([0.0, 5.0, 10.0])
    >>> pressures(case, settled(case[:, LOG_TIME_CONSTANT], time), time - 5.0).round(3).tolist()
    [[9.75, 9.863, 9.936]]
    """
    level, settle, rate = (parameters[:, column, np.newaxis] for column in (LEVEL, SETTLE, RATE))
    return np.asarray(level + settle * part_settled + rate * from_mean)


def log_prior(parameters: np.ndarray, largest_noise: float) -> np.ndarray:
    """Logarithm of the prior, but for a constant: flat within the ranges above, level and rate anywhere.

    Parameters
    ----------
    parameters : array, shape (m, 5)
        One row a case, columns as above.
    largest_noise : float
        Upper end of the noise's range [bar].

    Returns
    -------
    array, shape (m,)
        0 within the ranges, else -inf.

    References
    ----------
    Ranges: common practice, no source.

    Examples
    --------
    >>> cases = np.array([[9.8, 0.1, np.log(5.0), 0.01, 0.01], [9.8, 0.4, np.log(5.0), 0.01, 0.01]])
    >>> log_prior(cases, 0.05).tolist()
    [0.0, -inf]
    """
    shortest, longest = np.log(TIME_CONSTANTS)
    settle, noise = parameters[:, SETTLE], parameters[:, NOISE]
    log_constant = parameters[:, LOG_TIME_CONSTANT]
    inside = (settle >= 0) & (settle <= LARGEST_SETTLE) & (log_constant >= shortest) & (log_constant <= longest)
    return np.where(inside & (noise > LEAST_NOISE) & (noise < largest_noise), 0.0, -np.inf)


def first_fit(time: np.ndarray, reading: np.ndarray, division: float) -> FirstFit:
    """Least squares over a few time constants, the settle kept within its range.

    Parameters
    ----------
    time, reading : array, shape (n,)
        Seconds from 0 and bar, at least three.
    division : float
        Step between two possible readings [bar], above 0.

    Returns
    -------
    FirstFit
        Of the time constant and settle that leave least.

    References
    ----------
    Variable projection: the model is linear but for tau (Golub and Pereyra 1973, SIAM J. Numer. Anal. 10, 413-432).

    Examples
    --------
    >>> time = np.arange(0.0, 300.0)
    >>> print(f"{60 * first_fit(time, np.round(9.8 + time / 600, 2), 0.01).rate:.3f} bar/min")
    0.100 bar/min
    """
    thin, tried = slice(None, None, max(1, time.size // FIRST_READINGS)), []
    few, seen = time[thin], reading[thin]
    for constant in np.geomspace(*TIME_CONSTANTS, FIRST_TIME_CONSTANTS).tolist():
        fit = least_squares([-np.expm1(-few / constant), np.ones_like(few), few], seen)
        settle = min(max(float(fit.coefficients[0]), 0.0), LARGEST_SETTLE)
        tried.append((_line_under(few, seen, constant, settle).residual_sum_of_squares, constant, settle))
    fit = _line_under(time, reading, *min(tried)[1:])
    spare = max(time.size - 3, 1)
    scatter = max(fit.residual_sum_of_squares / spare - division**2 / 12, 0.0) ** 0.5
    fraction = effective_sample_fraction(fit.residuals, division)
    return FirstFit(float(fit.coefficients[1]), scatter, fit.residual_sum_of_squares / time.size, fraction)


def _line_under(time: np.ndarray, reading: np.ndarray, time_constant: float, settle: float) -> Fit:
    """The straight line that is left once a settle is taken off."""
    return least_squares([np.ones_like(time), time], reading + settle * np.expm1(-time / time_constant))
