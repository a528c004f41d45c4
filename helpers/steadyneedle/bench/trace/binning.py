"""Readings that say the same, counted instead of repeated: the cost of a likelihood goes with their kinds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.settling_model import LARGEST_SETTLE

SEGMENTS = 40.0
"""A hold is cut into so many segments of time, and further wherever the pressure moves."""

FEWEST_SEGMENTS = 8
"""With fewer, a reading's time in its segment would matter."""

QUICK_SETTLE = 6.0
"""s; time constant of the settle that the bins allow for, half of `LARGEST_SETTLE` high."""

CLOSE = 0.35
"""Of the scatter, or of a tenth of a division: by less than that the pressure may move within a bin."""


@dataclass(frozen=True)
class Bins:
    """Readings in kinds, shape (k,): mean time [s], reading [bar], and how many readings each stands for."""

    time: np.ndarray
    reading: np.ndarray
    count: np.ndarray


def binned(time: np.ndarray, reading: np.ndarray, division: float, rate: float, scatter: float, most: int) -> Bins:
    """Equal readings close in time as one: close where the pressure hardly moves between them.

    Parameters
    ----------
    time, reading : array, shape (n,)
        Seconds from 0, in order, and bar.
    division : float
        Step between two possible readings [bar], above 0.
    rate : float
        Rate to be expected [bar/s].
    scatter : float
        Standard deviation of the noise to be expected [bar].
    most : int
        Most bins wanted.

    Returns
    -------
    Bins
        At most `most`; where grouping does not help, of every so many-th reading.

    References
    ----------
    Our choice; tested against an estimate from every single reading, see tests/outside.

    Examples
    --------
    >>> time = np.arange(600.0)
    >>> bins = binned(time, np.where(time < 300, 9.8, 9.9), 0.1, rate=0.0, scatter=0.01, most=300)
    >>> bins.time.size, int(bins.count.sum())
    (59, 600)
    """
    close = CLOSE * max(scatter, division / 10)
    mark = np.round((reading - reading.min()) / division).astype(np.int64)
    segments = SEGMENTS
    while True:
        moved = abs(rate) * time + LARGEST_SETTLE / 2 * -np.expm1(-time / QUICK_SETTLE)
        segment = np.floor(moved / close + time / time[-1] * segments).astype(np.int64)
        inverse, count = _kinds(segment * (int(mark.max()) + 1) + mark)
        if count.size <= most:
            return Bins(np.bincount(inverse, time) / count, np.bincount(inverse, reading) / count, count.astype(float))
        if count.size >= 0.7 * time.size or segments < FEWEST_SEGMENTS:
            keep = slice(None, None, -(-count.size // most))
            time, reading, mark = time[keep], reading[keep], mark[keep]
        else:
            wider = max(1.3, 0.7 * count.size / most)
            close, segments = close * wider, segments / wider**0.5


def _kinds(key: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Which kind each key is, numbered from 0 upward, and how many there are of each: by counting, without sorting."""
    if key.max() > 50 * key.size + 1000:  # too far apart for counting
        _, inverse, count = np.unique(key, return_inverse=True, return_counts=True)
        return inverse, count
    counted = np.bincount(key)
    there = counted > 0
    return (np.cumsum(there) - 1)[key], counted[there]
