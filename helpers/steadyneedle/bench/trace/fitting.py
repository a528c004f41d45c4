"""Linear least squares with its standard errors. Plain numbers in and out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class Fit:
    """A least-squares fit of k columns to n values, in their units.

    `coefficients` and `standard_errors` have shape (k,), `residuals` (n,). `residual_deviation` is the standard
    deviation of the residuals with n - k degrees of freedom; it and the errors are nan where n = k.
    """

    coefficients: np.ndarray
    standard_errors: np.ndarray
    residuals: np.ndarray
    residual_sum_of_squares: float
    residual_deviation: float


def least_squares(columns: Sequence[ArrayLike], values: ArrayLike) -> Fit:
    """Linear least squares through an orthogonal decomposition of scaled columns.

    Parameters
    ----------
    columns : sequence of array, each of shape (n,)
        What the values are made of.
    values : array, shape (n,)
        Observations, in one unit.

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
    Golub and Van Loan, Matrix Computations, section 5.3 (from memory); tested with NIST StRD, see tests/outside.

    Examples
    --------
    >>> least_squares([[1, 1, 1], [0, 1, 2]], [1.0, 3.0, 5.0]).coefficients.round(6).tolist()
    [1.0, 2.0]
    """
    matrix, y = np.stack([np.asarray(column, float) for column in columns], axis=1), np.asarray(values, float)
    count, width = matrix.shape
    if count < width or not np.all(np.isfinite(y)):
        raise ValueError("least_squares needs finite values, at least as many as columns.")
    # columns of one length: a column of ones beside one of seconds in an hour would cost digits
    sizes = np.sqrt((matrix**2).sum(axis=0))
    sizes[sizes == 0] = 1.0
    orthogonal, upper = np.linalg.qr(matrix / sizes)
    inverse = np.linalg.pinv(upper)  # pinv: two columns may be the same, as a settle and a line are over a short log
    scaled = inverse @ (orthogonal.T @ y)
    scaled = scaled + inverse @ (orthogonal.T @ (y - (matrix / sizes) @ scaled))  # once more on what is left
    residuals = y - (matrix / sizes) @ scaled
    squares = float(residuals @ residuals)
    deviation = float(np.sqrt(squares / (count - width))) if count > width else float("nan")
    errors = deviation * np.sqrt((inverse**2).sum(axis=1)) / sizes
    return Fit(scaled / sizes, errors, residuals, squares, deviation)
