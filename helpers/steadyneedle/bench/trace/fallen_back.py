"""A needle that climbs, falls back and climbs again within one hold: a purge nobody logged, or a slow tooth; s, bar."""

from __future__ import annotations

import numpy as np

FEWEST, SHORTEST = 4, 60.0
"""Readings, and s, on either side of a fall from which a climb is one (our choice)."""

SURELY = 2.5
"""Standard errors by which both climbs must exceed the limit (our choice)."""

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
    Two straight lines by least squares, at every place where they can part; thresholds are our choice.

    Examples
    --------
    >>> time = np.arange(0.0, 600.0, 15.0)
    >>> pressure = 9.8 + 0.05 / 60 * np.where(time < 300, time, time - 300)
    >>> fell_back(time, pressure, 0.05, 0.02), fell_back(time, np.full(40, 9.8), 0.05, 0.02)
    (285.0, None)
    """
    count = time.size
    if count < 2 * FEWEST:
        return None
    before = _lines(time, pressure)
    after = [one[::-1] for one in _lines(-time[::-1], pressure[::-1])]
    at = np.arange(FEWEST - 1, count - FEWEST)  # the last row before the fall
    at = at[(time[at] - time[0] >= SHORTEST) & (time[-1] - time[at + 1] >= SHORTEST)]
    if not at.size:
        return None
    slope = np.stack([before[0][at], -after[0][at + 1]])
    left = before[2][at] + after[2][at + 1]
    noise = np.sqrt(np.maximum(left / (count - 4), division**2 / 12))
    error = noise / np.sqrt(np.stack([before[3][at], after[3][at + 1]]))
    fall = before[1][at] - after[1][at + 1]
    climbs = (slope - limit / 60 > SURELY * error).all(axis=0) & (fall > max(LEAST, division))
    return float(time[at[climbs][np.argmin(left[climbs])]]) if climbs.any() else None


def _lines(time: np.ndarray, pressure: np.ndarray) -> list[np.ndarray]:
    """For each row the line through all rows to it: slope, value at the row, squares left, and those of the times."""
    many = np.arange(1.0, time.size + 1)
    t, p = time - time[0], pressure - pressure[0]
    means = [np.cumsum(one) / many for one in (t, p)]
    tt, tp, pp = (
        np.maximum(np.cumsum(one * two) - many * mean * other, 0.0 if one is two else -np.inf)
        for one, two, mean, other in (
            (t, t, means[0], means[0]), (t, p, means[0], means[1]), (p, p, means[1], means[1]),
        )
    )  # fmt: skip
    slope = tp / np.maximum(tt, 1e-12)
    value = pressure[0] + means[1] + slope * (t - means[0])
    return [slope, value, np.maximum(pp - slope * tp, 0.0), tt]
