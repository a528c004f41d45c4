"""Readings of one hold gathered into time bins, denser at the beginning, and counted by what was read; s and bar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

MOST = 48
"""Bins at most."""

QUICK = 2.0
"""s over which bins begin to widen: the quickest settle of the law."""


@dataclass(frozen=True)
class Bins:
    """Readings in b bins, and g groups of equal readings within them.

    `first`, `last`, `middle` [s], `count` and `mean` [bar] have shape (b,): when a bin's readings begin and end, their
    mean time, how many there are and their mean. `begin`, shape (b,), is the row of the first. `group_bin`, shape (g,),
    is the bin of a group, `group_time` [s] the mean time of its readings, `group_reading` [bar] what was read and
    `group_count` how often; groups stand in the order of their bins.
    """

    first: np.ndarray
    last: np.ndarray
    middle: np.ndarray
    count: np.ndarray
    mean: np.ndarray
    begin: np.ndarray
    group_bin: np.ndarray
    group_time: np.ndarray
    group_span: np.ndarray
    group_reading: np.ndarray
    group_count: np.ndarray


def binned(time: np.ndarray, reading: np.ndarray, division: float) -> Bins:
    """Gather readings into bins.

    Parameters
    ----------
    time : array, shape (n,)
        Times from 0 [s], in order.
    reading : array, shape (n,)
        Readings [bar].
    division : float
        Step between two readings [bar], above 0.

    Returns
    -------
    Bins
        At most `MOST`, none of them empty.

    References
    ----------
    Our own choice: half of the bins by the logarithm of time, half by time.

    Examples
    --------
    >>> binned(np.array([0.0, 1.0, 300.0]), np.array([9.8, 9.9, 9.9]), 0.1).count.tolist()
    [1, 1, 1]
    """
    length = float(time[-1])
    place = np.log1p(time / QUICK) / np.log1p(length / QUICK) + time / length
    number = np.minimum((place * (MOST / 2)).astype(np.int64), MOST - 1)
    begin = np.flatnonzero(np.diff(number, prepend=-1))
    count = np.diff(np.append(begin, time.size))
    which = np.repeat(np.arange(count.size), count)
    end = begin + count - 1
    code = np.round((reading - reading.min()) / division).astype(np.int64)
    key = which * (int(code.max()) + 1) + code
    kind, amount = _kinds(key)
    total = amount.size
    group_time = np.bincount(kind, time, total) / amount
    square = np.bincount(kind, (time - group_time[kind]) ** 2, total) / amount
    group_bin, group_reading = np.empty(total, np.int64), np.empty(total)
    group_bin[kind], group_reading[kind] = which, reading
    return Bins(
        time[begin], time[end], np.add.reduceat(time, begin) / count, count, np.add.reduceat(reading, begin) / count,
        begin, group_bin, group_time, np.sqrt(square), group_reading, amount.astype(float),
    )  # fmt: skip


def _kinds(key: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Which kind each key is, numbered upward from 0, and how many there are of each: counted where keys are dense."""
    if key.max() > 50 * key.size + 1000:
        _, kind, count = np.unique(key, return_inverse=True, return_counts=True)
        return kind, count
    counted = np.bincount(key)
    there = counted > 0
    return (np.cumsum(there) - 1)[key], counted[there]
