"""Quantiles of a weighted sum of normals."""

from __future__ import annotations

import numpy as np

SHARES = np.array([0.005, 0.025, 0.5, 0.975, 0.995])
"""Ends of the 99 % and the 95 % interval, and the middle."""

STEP = 0.2
"""Standard deviations within which normals count as one; mean and variance are kept, so quantiles hardly move."""

NODES = np.array([-2.8570, -1.3556, 0.0, 1.3556, 2.8570])
NODE_SHARES = np.array([0.0112574, 0.2220759, 0.5333333, 0.2220759, 0.0112574])
"""A normal as five points (Gauss and Hermite): where the search begins."""

ROUNDS, NEWTON = 60, 10


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
    >>> quantiles(np.ones(2), np.ones(2), np.ones(2)).round(2).tolist()
    [-1.58, -0.96, 1.0, 2.96, 3.58]
    """
    from scipy.special import ndtr

    weight, mean, deviation = _gathered(weight, mean, variance)
    points = (mean + deviation * NODES[:, np.newaxis]).ravel()
    order = np.argsort(points)
    chance = np.cumsum((weight * NODE_SHARES[:, np.newaxis]).ravel()[order])
    place = points[order][np.minimum(np.searchsorted(chance, SHARES), points.size - 1)]
    low = np.full(SHARES.size, (mean - 8 * deviation).min())
    high = np.full(SHARES.size, (mean + 8 * deviation).max())
    for round_ in range(ROUNDS):  # Newton, kept between what is known to lie below and above; halving where it stalls
        off = (place[:, np.newaxis] - mean) / deviation
        missing = ndtr(off) @ weight - SHARES
        if np.all(np.abs(missing) < 1e-5):
            break
        low, high = np.where(missing < 0, place, low), np.where(missing < 0, high, place)
        density = np.exp(-0.5 * off**2) @ (weight / deviation) / (2 * np.pi) ** 0.5
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            place = place - missing / density
        halve = ~((place > low) & (place < high)) | (round_ > NEWTON)
        place = np.where(halve, (low + high) / 2, place)
    return np.asarray(place)


def _gathered(weight: np.ndarray, mean: np.ndarray, variance: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
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
