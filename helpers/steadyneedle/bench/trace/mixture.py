"""Quantiles of a weighted sum of normals."""

from __future__ import annotations

import numpy as np

SHARES = np.array([0.005, 0.025, 0.5, 0.975, 0.995])
"""Ends of the 99 % and the 95 % interval, and the middle."""

STEP = 0.12
"""Standard deviations within which normals count as one; the quantiles then move by less than a hundredth of one."""


def quantiles(weight: np.ndarray, mean: np.ndarray, variance: np.ndarray) -> np.ndarray:
    """Quantiles `SHARES` of a mixture of normals.

    Parameters
    ----------
    weight : array, shape (n,)
        How likely each normal is; any scale.
    mean, variance : array, shape (n,)
        In one unit and its square.

    Returns
    -------
    array, shape (5,)
        In the unit of the mean.

    References
    ----------
    Definition; like normals are gathered, keeping mean and variance.

    Examples
    --------
    >>> quantiles(np.ones(2), np.zeros(2), np.ones(2)).round(2).tolist()
    [-2.58, -1.96, 0.0, 1.96, 2.58]
    """
    from scipy.special import ndtr

    weight, mean, deviation = _gathered(weight, mean, variance)
    low, high = (mean - 6 * deviation).min() + np.zeros(SHARES.size), (mean + 6 * deviation).max()
    high = np.full(SHARES.size, high)
    for _ in range(6):  # each round looks at 15 places between
        places = low[:, np.newaxis] + (high - low)[:, np.newaxis] * np.linspace(0, 1, 17)
        chance = ndtr((places[:, :, np.newaxis] - mean) / deviation) @ weight
        at = np.clip((chance < SHARES[:, np.newaxis]).sum(axis=1), 1, 16)
        rows = np.arange(SHARES.size)
        low, high = places[rows, at - 1], places[rows, at]
    return np.asarray((low + high) / 2)


def _gathered(
    weight: np.ndarray, mean: np.ndarray, variance: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Normals with about the same mean and deviation as one."""
    kept = weight > 1e-7 * weight.sum()
    weight, mean, variance = weight[kept] / weight[kept].sum(), mean[kept], variance[kept]
    fine = STEP * np.sqrt(variance)
    typical = float(np.exp(weight @ np.log(fine)))
    wide = np.round(np.log(fine / typical) / STEP).astype(np.int64)
    place = np.round((mean - weight @ mean) / (typical * np.exp(STEP * wide))).astype(np.int64)
    place = np.clip(place, -(10**6), 10**6)
    _, kind = np.unique(place * 4001 + np.clip(wide, -2000, 2000), return_inverse=True)
    whole = np.bincount(kind, weight)
    middle = np.bincount(kind, weight * mean) / whole
    spread = np.bincount(kind, weight * (variance + mean**2)) / whole - middle**2
    return whole, middle, np.sqrt(np.maximum(spread, 1e-18))
