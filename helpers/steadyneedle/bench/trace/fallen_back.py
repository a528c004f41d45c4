"""A needle that climbs, falls back and climbs again within one hold: a purge nobody logged, or a slow tooth; s, bar."""

from __future__ import annotations

import numpy as np

FEWEST, SHORTEST = 4, 60.0
"""Readings, and s, on either side of a fall from which a climb is one (our choice)."""

SURELY = 1.2
"""Standard errors by which both climbs must exceed the limit (our choice): of 160 needles that did so 4 still conform,
and of 2,041 logs that conform 8 no longer do."""

SHARES = (1.0, 0.5, 0.33, 0.25)
"""Parts of the hold over which the climbs beside a fall are looked at: all of it on either side, then less."""

LEAST = 0.04
"""bar; a smaller fall is nothing to speak of, nor one of less than a division (our choice)."""


def fell_back(time: np.ndarray, pressure: np.ndarray, division: float, limit: float) -> float | None:
    """When a needle fell back between two climbs that are both faster than is allowed.

    A purge that lies wholly between two readings leaves nothing but such a fall; one law over the whole hold would take
    the two climbs for one that stands.

    Parameters
    ----------
    time : array, shape (n,)
        Times of a hold [s], in order.
    pressure : array, shape (n,)
        Readings [bar].
    division : float
        Step between two readings [bar].
    limit : float
        Allowed climb [bar/min].

    Returns
    -------
    float or None
        Time of the last reading before the fall [s]; None where there is none.

    References
    ----------
    Two straight lines by least squares beside every place where they can part; thresholds are our choice.

    Examples
    --------
    >>> time = np.arange(0.0, 600.0, 15.0)
    >>> pressure = 9.8 + 0.05 / 60 * np.where(time < 300, time, time - 300)
    >>> fell_back(time, pressure, 0.05, 0.02), fell_back(time, np.full(40, 9.8), 0.05, 0.02)
    (285.0, None)
    """
    if time.size < 2 * FEWEST:
        return None
    sums = _sums(time - time[0], pressure - pressure[0])
    at = np.arange(FEWEST - 1, time.size - FEWEST)  # the last row before the fall
    for share in SHARES:  # where it fell back more than once, only the climbs beside a fall are straight
        length = max(share * float(time[-1] - time[0]), SHORTEST)
        first = np.searchsorted(time, time[at] - length)
        last = np.searchsorted(time, time[at + 1] + length, side="right")
        enough = (time[at] - time[first] >= SHORTEST) & (time[last - 1] - time[at + 1] >= SHORTEST)
        enough &= (at + 1 - first >= FEWEST) & (last - at - 1 >= FEWEST)
        rows = at[enough]
        if not rows.size:
            continue
        before, after = _line(sums, first[enough], rows + 1, rows), _line(sums, rows + 1, last[enough], rows + 1)
        left = before[2] + after[2]
        noise = np.sqrt(np.maximum(left / (last - first)[enough], division**2 / 12))
        slope, spread = (np.stack([before[k], after[k]]) for k in (0, 3))
        climbs = (slope - limit / 60 > SURELY * noise / np.sqrt(spread)).all(axis=0)
        climbs &= before[1] - after[1] > max(LEAST, division)
        if climbs.any():
            fall = np.where(climbs, before[1] - after[1], 0.0)
            return float(time[rows[int(fall.argmax())]])
    return None


def _sums(time: np.ndarray, pressure: np.ndarray) -> np.ndarray:
    """Sums of times, pressures, their squares and products up to each row, and the times themselves."""
    products = (np.ones(time.size), time, pressure, time * time, time * pressure, pressure * pressure)
    return np.stack([np.append(0.0, np.cumsum(one)) for one in products] + [np.append(time, 0.0)])


def _line(sums: np.ndarray, first: np.ndarray, end: np.ndarray, at: np.ndarray) -> tuple[np.ndarray, ...]:
    """Straight lines through rows `first` to `end`: slope, value at a row, squares left, and those of the times."""
    many, t, p, tt, tp, pp = (one[end] - one[first] for one in sums[:6])
    spread = np.maximum(tt - t * t / many, 1e-9)
    slope = (tp - t * p / many) / spread
    value = p / many + slope * (sums[6][at] - t / many)
    left = np.maximum(pp - p * p / many - slope**2 * spread, 0.0)
    return slope, value, left, spread
