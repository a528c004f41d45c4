"""What readings whose noise follows the noise before are worth beside independent ones."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

CORRELATIONS = np.array([0.0, 0.4, 0.5, 0.6, 0.7, 0.8])
PRIOR = np.array([0.75, 0.05, 0.05, 0.05, 0.05, 0.05])
"""Lag-one correlation of noise, and how often it is met: none in three logs of four (our choice)."""


def lag_one_correlation(series: ArrayLike) -> float:
    """Autocorrelation of a series with itself one sample later.

    Parameters
    ----------
    series : array, shape (n,)
        At least three numbers; their mean is taken off.

    Returns
    -------
    float
        From -1 to 1; 0 for a constant series.

    Raises
    ------
    ValueError
        Fewer than three values.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.12.

    Examples
    --------
    >>> round(lag_one_correlation([1.0, 2.0, 3.0, 4.0, 5.0]), 3)
    0.4
    """
    numbers = np.asarray(series, float)
    if numbers.size < 3:
        raise ValueError("lag_one_correlation needs at least three values.")
    centred = numbers - numbers.mean()
    squares = float(centred @ centred)
    return float(centred[1:] @ centred[:-1]) / squares if squares > 0 else 0.0


def variance_inflation(correlation: ArrayLike) -> np.ndarray:
    """How much wider the variance of a mean or slope is than for independent noise: (1 + r) / (1 - r).

    Parameters
    ----------
    correlation : float or array, any shape
        Lag-one correlation r of a first-order autoregression, above -1 and below 1.

    Returns
    -------
    array
        Of the shape of `correlation`, above 0: so many readings are worth one independent one.

    Raises
    ------
    ValueError
        A correlation not between -1 and 1.

    References
    ----------
    Limit for many readings of a first-order autoregression: Zwiers and von Storch 1995, J. Climate 8, 336-351 (from
    memory).

    Examples
    --------
    >>> float(variance_inflation(0.5))
    3.0
    """
    r = np.asarray(correlation, float)
    if not np.all(np.abs(r) < 1):
        raise ValueError("correlation must lie between -1 and 1.")
    return np.asarray((1 + r) / (1 - r))


def effective_sample_fraction(residuals: ArrayLike, division: float) -> float:
    """What one reading is worth beside an independent one: 1 over the variance inflation expected after the residuals.

    Parameters
    ----------
    residuals : array, shape (n,)
        What a fit leaves of the readings, in any one unit; at least three.
    division : float
        Step between two possible readings in that unit, above 0.

    Returns
    -------
    float
        Above 0, at most 1.

    Raises
    ------
    ValueError
        Fewer than three residuals.

    References
    ----------
    Bayes' theorem over `CORRELATIONS` with `PRIOR`; likelihood of a stationary first-order autoregression, the variance
    of its innovations at its most likely (Box and Jenkins, Time Series Analysis, chapter 7, from memory).

    Examples
    --------
    >>> independent = np.sin(np.arange(200.0) ** 2)  # as good as random
    >>> print(f"{effective_sample_fraction(independent, 0.01):.2f}")
    1.00
    >>> print(f"{effective_sample_fraction(np.repeat(independent, 2), 0.01):.2f}")
    0.34
    """
    left = np.asarray(residuals, float)
    inflations = variance_inflation(CORRELATIONS)
    variance = float(left @ left) / left.size
    if variance <= 0:  # nothing left to learn from: as believed beforehand
        return float(1 / (PRIOR @ inflations))
    found = min(max(lag_one_correlation(left), -0.95), 0.95)
    # rounding adds independent noise, a variance of division^2 / 12, and so hides a part of the correlation
    shown = CORRELATIONS * max(1 - division**2 / 12 / variance, 0.0)
    log_likelihood = -left.size / 2 * np.log(np.maximum(1 - 2 * shown * found + shown**2, 1e-6)) + 0.5 * np.log1p(
        -(shown**2)
    )
    posterior = PRIOR * np.exp(log_likelihood - log_likelihood.max())
    return float(posterior.sum() / (posterior @ inflations))
