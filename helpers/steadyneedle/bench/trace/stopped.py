"""A needle that stopped, or came back to where it was: what no line from its first reading to its last shows."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.trace.sharp import usual_noise

FEWEST = 4
"""Readings at the end of a hold from which a needle that stands there tells against a rate (our choice)."""

LONG, FAR_LESS = 60.0, 0.35
"""s for which it must have stood, and the part of the way at that rate that it must fall short of (our choice)."""

MOVED = 8.0
"""Times what two readings may be off together that it must have gone before it stood: less is no move that stopped."""

NOISES = 4.0
"""Standard deviations of a reading that two of them may be off together (our choice)."""

WANDERED = (0.05, 0.95)
"""Parts of the readings between which a needle moved: a slip or two are no move."""


def stopped(time: np.ndarray, pressure: np.ndarray, division: float, rate: tuple[float, float]) -> float | None:
    """Since when a needle stands whose rate says that it moves.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds, in order, and bar.
    division : float
        Step between two readings [bar].
    rate : tuple of float
        The rate at the hold's end, at least and at most [bar/min].

    Returns
    -------
    float or None
        Time of the first of the last readings, four or more, between which a needle of no such rate can have gone [s];
        None where they agree with it.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time = np.arange(0.0, 480.0, 60.0)
    >>> stopped(time, np.array([9.2, 9.9, 10.6, 11.2, 11.4, 11.4, 11.4, 11.4]), 0.1, (0.15, 0.4))
    240.0
    """
    least = rate[0] if rate[0] > 0 else -rate[1]
    if time.size <= FEWEST or not least > 0:
        return None
    way = 1 if rate[0] > 0 else -1
    may = division + NOISES * max(0.0, usual_noise(time, pressure, division) - division / 12**0.5)
    gone, lasts = way * (pressure[-1] - pressure[: 1 - FEWEST]), time[-1] - time[: 1 - FEWEST]
    short = np.flatnonzero((lasts >= LONG) & (gone + may < FAR_LESS * least / 60 * lasts))
    before = way * (pressure[short] - pressure[0])
    flat = short[(np.abs(gone[short]) <= division) & (before > MOVED * may)]
    return float(time[flat[0]]) if flat.size else None


def wandered(time: np.ndarray, pressure: np.ndarray, division: float) -> bool:
    """Whether a needle that ends where it began went elsewhere between.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds, in order, and bar.
    division : float
        Step between two readings [bar].

    Returns
    -------
    bool
        Not for what one step or noise makes.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time = np.arange(0.0, 300.0, 30.0)
    >>> wandered(time, np.array([9.8, 9.9, 10.0, 10.1, 10.2, 10.2, 10.1, 10.0, 9.9, 9.8]), 0.1)
    True
    """
    low, high = (float(np.quantile(pressure, share)) for share in WANDERED)
    return high - low > max(1.5 * division, NOISES * usual_noise(time, pressure, division))
