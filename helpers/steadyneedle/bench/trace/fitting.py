"""Least squares for lines and settling curves, and what autocorrelated readings are worth. Plain numbers in and out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class Fit:
    """Coefficients with their standard errors, residuals, residual sum of squares and standard deviation."""

    coefficients: np.ndarray
    errors: np.ndarray
    residuals: np.ndarray
    squares: float
    deviation: float
    rate: float = 0.0
    rate_error: float = 0.0


def least_squares(columns: Sequence[ArrayLike], values: ArrayLike, parameters: int | None = None) -> Fit:
    """Linear least squares through an orthogonal decomposition of scaled columns.

    Parameters
    ----------
    columns : sequence of array, each of shape (n,)
        What the values are made of.
    values : array, shape (n,)
        Observations, in one unit.
    parameters : int or None
        Parameters fitted in all, where some were fitted before; None for the number of columns.

    Returns
    -------
    Fit
        In the units of values and columns.

    Raises
    ------
    ValueError
        Fewer values than columns, or values that are not finite.

    References
    ----------
    Textbook; tested with NIST StRD Norris, see tests/outside.

    Examples
    --------
    >>> least_squares([[1, 1, 1], [0, 1, 2]], [1.0, 3.0, 5.0]).coefficients.round(6).tolist()
    [1.0, 2.0]
    """
    matrix, y = np.stack([np.asarray(column, float) for column in columns], axis=1), np.asarray(values, float)
    count, width = matrix.shape
    if count < width or not np.all(np.isfinite(y)):
        raise ValueError("least_squares needs finite values, at least as many as columns.")
    sizes = np.sqrt((matrix**2).sum(axis=0))
    sizes[sizes == 0] = 1.0
    orthogonal, upper = np.linalg.qr(matrix / sizes)
    inverse = np.linalg.pinv(upper)
    scaled = inverse @ (orthogonal.T @ y)
    scaled = scaled + inverse @ (orthogonal.T @ (y - (matrix / sizes) @ scaled))  # once more on what is left
    residuals = y - (matrix / sizes) @ scaled
    squares = float(residuals @ residuals)
    spare = count - (width if parameters is None else parameters)
    deviation = float(np.sqrt(squares / spare)) if spare > 0 else float("nan")
    errors = deviation * np.sqrt((inverse**2).sum(axis=1)) / sizes
    return Fit(scaled / sizes, errors, residuals, squares, deviation)


def settling_curve(
    time: ArrayLike, values: ArrayLike, others: Sequence[ArrayLike] = (), rates: tuple[float, float] = (1 / 60, 1 / 2)
) -> Fit:
    """Least squares of b (1 - exp(-k t)) and further columns; the rate k is found, all else follows from it.

    Parameters
    ----------
    time : array, shape (n,)
        Times.
    values : array, shape (n,)
        Observations.
    others : sequence of array, each of shape (n,)
        Further columns, for example ones and the time.
    rates : tuple of float
        Smallest and largest k, one over a time.

    Returns
    -------
    Fit
        First coefficient b, then one for each further column; `rate` is k, all with standard errors.

    Raises
    ------
    ValueError
        As `least_squares`, or rates that are not in order.

    References
    ----------
    Variable projection (Golub and Pereyra 1973); tested with NIST StRD Misra1a, see tests/outside.

    Examples
    --------
    >>> times = np.arange(0.0, 30.0)
    >>> fit = settling_curve(times, 2.0 * (1 - np.exp(-times / 5)), rates=(0.01, 1.0))
    >>> print(round(float(fit.coefficients[0]), 6), round(fit.rate, 6))
    2.0 0.2
    """
    from scipy.optimize import minimize_scalar

    t, low, high = np.asarray(time, float), *rates
    if not 0 < low < high:
        raise ValueError("rates must be two rates above 0, the smaller first.")

    def made(log_rate: float, parameters: int | None = None) -> Fit:
        return least_squares([-np.expm1(-np.exp(log_rate) * t), *others], values, parameters)

    grid = np.linspace(np.log(low), np.log(high), 9)
    best = int(np.argmin([made(one).squares for one in grid]))
    bracket = (grid[max(best - 1, 0)], grid[min(best + 1, grid.size - 1)])
    found = minimize_scalar(lambda one: made(one).squares, bounds=bracket, method="bounded", options={"xatol": 1e-12})
    rate = _polished(float(np.exp(found.x)), t, values, others)
    fit = made(float(np.log(rate)), 2 + len(others))
    slope = fit.coefficients[0] * t * np.exp(-rate * t)
    whole = least_squares([-np.expm1(-rate * t), *others, slope], values)
    errors = whole.errors * (fit.deviation / whole.deviation if whole.deviation > 0 else 1.0)
    return Fit(fit.coefficients, errors[:-1], fit.residuals, fit.squares, fit.deviation, rate, float(errors[-1]))


def _polished(rate: float, t: np.ndarray, values: ArrayLike, others: Sequence[ArrayLike]) -> float:
    """A few Gauss-Newton steps: a search on the sum of squares knows a rate to half the digits only."""
    for _ in range(6):
        fit = least_squares([-np.expm1(-rate * t), *others], values)
        slope = fit.coefficients[0] * t * np.exp(-rate * t)
        step = float(least_squares([-np.expm1(-rate * t), *others, slope], values).coefficients[-1])
        if not np.isfinite(step) or abs(step) > 0.5 * rate:
            return rate
        rate += step
    return rate


def lag_one(residuals: ArrayLike) -> float:
    """Autocorrelation of a series with itself one sample later.

    Parameters
    ----------
    residuals : array, shape (n,)
        The series; its mean is taken off.

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
    >>> round(lag_one([1.0, 2.0, 3.0, 4.0, 5.0]), 3)
    0.4
    """
    series = np.asarray(residuals, float)
    if series.size < 3:
        raise ValueError("lag_one needs at least three values.")
    centred = series - series.mean()
    squares = float(centred @ centred)
    return float(centred[1:] @ centred[:-1]) / squares if squares > 0 else 0.0


def effective_count(count: int, correlation: float) -> float:
    """How many independent readings a series with this lag-one correlation is worth, n (1 - r)/(1 + r).

    Parameters
    ----------
    count : int
        Readings.
    correlation : float
        Lag-one correlation, between -1 and 1.

    Returns
    -------
    float
        Effective number of readings.

    Raises
    ------
    ValueError
        A correlation not between -1 and 1.

    References
    ----------
    Effective sample size of a first-order autoregression, see tests/outside.

    Examples
    --------
    >>> effective_count(100, 0.5)
    33.333333333333336
    """
    if not -1 < correlation < 1:
        raise ValueError("correlation must lie between -1 and 1.")
    return count * (1 - correlation) / (1 + correlation)


@dataclass(frozen=True)
class Drift:
    """A straight line through readings: slope, its ordinary and its honest standard error, and why they differ."""

    slope: float
    ordinary_error: float
    honest_error: float
    correlation: float
    effective: float
    deviation: float


def drift_line(time: ArrayLike, values: ArrayLike) -> Drift:
    """The slope of readings, with an error that allows for autocorrelated residuals.

    Parameters
    ----------
    time : array, shape (n,)
        Times.
    values : array, shape (n,)
        Readings.

    Returns
    -------
    Drift
        The honest error is the ordinary one times sqrt((1 + r)/(1 - r)), r the residuals' lag-one correlation where
        it is above 0.

    Raises
    ------
    ValueError
        As `least_squares` and `lag_one`.

    References
    ----------
    As `effective_count`; tested with NIST StRD Mavro, see tests/outside.

    Examples
    --------
    >>> print(round(drift_line([0, 1, 2, 3], [0.0, 1.0, 2.0, 3.1]).slope, 2))
    1.03
    """
    times = np.asarray(time, float)
    fit = least_squares([np.ones_like(times), times], values)
    correlation = min(max(lag_one(fit.residuals), 0.0), 0.999)
    effective = effective_count(times.size, correlation)
    error = float(fit.errors[1])
    return Drift(
        float(fit.coefficients[1]),
        error,
        error * (times.size / effective) ** 0.5,
        correlation,
        effective,
        fit.deviation,
    )
