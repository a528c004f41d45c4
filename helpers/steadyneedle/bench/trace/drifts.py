"""How drifts go together from one time to another: covariances of bins' means. Seconds and bar2."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.trace.bins import Bins
from steadyneedle.bench.trace.settle_law import SettleLaw

SLOW = 20.0
"""s; a drift that lasts longer is pressure that the needle shows, a quicker one is wobble."""


def drifts_in_bins(bins: Bins, law: SettleLaw, which: np.ndarray) -> np.ndarray:
    """Covariance of bins' means under some drifts, the smooth one included.

    Parameters
    ----------
    bins : Bins
        Of b bins.
    law : SettleLaw
        The law.
    which : array of int, shape (d,)
        Rows of the law's drifts.

    Returns
    -------
    array, shape (d, b, b)
        Covariances [bar2].

    References
    ----------
    Exponential and squared-exponential correlation; a bin's mean of the former is a geometric sum.

    Examples
    --------
    >>> from steadyneedle.bench.trace.bins import binned
    >>> from steadyneedle.bench.trace.settle_law import SettleLaw
    >>> bins = binned(np.arange(0.0, 60.0, 15.0), np.zeros(4), 0.1)
    >>> drifts_in_bins(bins, SettleLaw.shipped(), np.array([0]))[0, 0, 0] == 0.005**2
    np.True_
    """
    made = np.repeat(_smooth(bins.middle, bins.middle, law)[np.newaxis], which.size, axis=0)
    for place, one in enumerate(which.tolist()):
        size, length = law.drift_sizes[one], law.drift_lengths[one]
        if size > 0:
            made[place] += size**2 * _exponential(bins, length)
    return made


def drifts_at(times: np.ndarray, bins: Bins, law: SettleLaw, which: np.ndarray) -> np.ndarray:
    """Covariance of bins' means with the pressure at some times.

    Parameters
    ----------
    times : array, shape (t,)
        Times [s].
    bins : Bins
        Of b bins.
    law : SettleLaw
        The law.
    which : array of int, shape (d,)
        Rows of the law's drifts.

    Returns
    -------
    array, shape (d, b, t)
        Covariances [bar2]; a drift quicker than `SLOW` is no pressure.

    References
    ----------
    As `drifts_in_bins`.

    Examples
    --------
    >>> from steadyneedle.bench.trace.bins import binned
    >>> from steadyneedle.bench.trace.settle_law import SettleLaw
    >>> bins = binned(np.arange(0.0, 60.0, 15.0), np.zeros(4), 0.1)
    >>> drifts_at(np.array([0.0]), bins, SettleLaw.shipped(), np.array([0, 1])).shape
    (2, 4, 1)
    """
    smooth = _smooth(bins.middle, times, law)
    made = np.repeat(smooth[np.newaxis], which.size, axis=0)
    for place, one in enumerate(which.tolist()):
        size, length = law.drift_sizes[one], law.drift_lengths[one]
        if size > 0 and length >= SLOW:
            made[place] += size**2 * np.exp(-np.abs(bins.middle[:, np.newaxis] - times) / length)
    return made


def drifts_between(times: np.ndarray, law: SettleLaw, which: np.ndarray) -> np.ndarray:
    """Covariance of the pressure at some times.

    Parameters
    ----------
    times : array, shape (t,)
        Times [s].
    law : SettleLaw
        The law.
    which : array of int, shape (d,)
        Rows of the law's drifts.

    Returns
    -------
    array, shape (d, t, t)
        Covariances [bar2]; a drift quicker than `SLOW` is no pressure.

    References
    ----------
    As `drifts_in_bins`.

    Examples
    --------
    >>> from steadyneedle.bench.trace.settle_law import SettleLaw
    >>> drifts_between(np.array([0.0]), SettleLaw.shipped(), np.array([0]))[0, 0, 0] == 0.005**2
    np.True_
    """
    apart = np.abs(times[:, np.newaxis] - times)
    slow = np.where(law.drift_lengths >= SLOW, law.drift_sizes**2, 0.0)[which]
    length = np.maximum(law.drift_lengths[which], 1e-9)
    exponential = slow[:, np.newaxis, np.newaxis] * np.exp(-apart / length[:, np.newaxis, np.newaxis])
    return np.asarray(_smooth(times, times, law) + exponential)


def _smooth(one: np.ndarray, other: np.ndarray, law: SettleLaw) -> np.ndarray:
    apart = (one[:, np.newaxis] - other) / law.floor_length
    return np.asarray(law.floor_size**2 * np.exp(-0.5 * apart**2))


def _exponential(bins: Bins, length: float) -> np.ndarray:
    """Correlation of bins' means when that of two readings is exp(-time apart/length); readings equally apart."""
    count = bins.count.astype(float)
    step = (bins.last - bins.first) / np.maximum(count - 1, 1)
    follow = np.exp(-np.maximum(step, 1e-6 * length) / length)
    rest = -np.expm1(-np.maximum(step, 1e-6 * length) / length)
    part = -np.expm1(-count * np.maximum(step, 1e-6 * length) / length)  # 1 - follow**count
    toward = np.where(count > 1, part / (rest * count), 1.0)
    own = np.where(count > 1, (count * (1 + follow) / rest - 2 * follow * part / rest**2) / count**2, 1.0)
    apart = np.maximum(bins.first[:, np.newaxis] - bins.last, bins.first - bins.last[:, np.newaxis])
    made = toward[:, np.newaxis] * toward * np.exp(-np.maximum(apart, 0.0) / length)
    made[np.arange(count.size), np.arange(count.size)] = own
    return np.asarray(made)
