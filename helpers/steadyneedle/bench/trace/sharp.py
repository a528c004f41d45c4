"""Sharp moves of a needle: drops and rises within a second that noise, rounding and its usual climb do not explain."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

QUICK = 1.0
"""s in which something sharp happens, or one sampling step where that is longer."""

LEAST = 0.04
"""bar; a smaller move is nothing to speak of (our choice)."""


BY_HAND = 200
"""Readings; so many at most are taken to be read by people."""

DIVISIONS, FAR = 2.9, 3.2
"""Divisions, and times what 85 % of the moves stay below, that a sharp move in such a log must exceed (our choice)."""


@dataclass(frozen=True)
class Move:
    """A sharp move: from row to row, and by how much [bar]."""

    first: int
    last: int
    by: float


def usual_noise(time: np.ndarray, pressure: np.ndarray, division: float) -> float:
    """Standard deviation of a reading [bar], rounding included, from neighbours that hardly differ.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds, in order, and bar.
    division : float
        Step between two readings [bar].

    Returns
    -------
    float
        At least that of rounding.

    References
    ----------
    Mean of the inner 85 % of second differences, which steps of a division leave smooth.

    Examples
    --------
    >>> print(f"{usual_noise(np.arange(9.0), np.full(9, 9.8), 0.1):.3f}")
    0.029
    """
    bent = np.sort(np.abs(pressure[2:] - 2 * pressure[1:-1] + pressure[:-2]))[: int(0.85 * (pressure.size - 2))]
    scatter = float(bent.mean()) / 0.6056 if bent.size else 0.0  # as of a normal, whose inner 85 % have this mean
    return max(scatter / 6**0.5, division / 12**0.5)


def _scatter(values: np.ndarray) -> float:
    """Standard deviation by the median absolute deviation, as of a normal."""
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))


def sharp_moves(time: np.ndarray, pressure: np.ndarray, division: float) -> list[Move]:
    """Every sharp move of a needle.

    Parameters
    ----------
    time : array, shape (n,)
        Times [s], in order.
    pressure : array, shape (n,)
        Readings [bar].
    division : float
        Step between two readings [bar].

    Returns
    -------
    list of Move
        In order; each stands out from what lies before it or after it.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time = np.arange(0.0, 60.0)
    >>> [(move.first, move.last) for move in sharp_moves(time, 9.8 - 1.0 * ((time > 20) & (time < 23)), 0.1)]
    [(20, 21), (22, 23)]
    """
    step = float(np.median(np.diff(time))) if time.size > 1 else 0.0
    ahead = max(1, round(QUICK / step)) if step > 0 else 1
    if time.size <= ahead + 1:
        return []
    change = pressure[ahead:] - pressure[:-ahead]
    usual = float(np.median(change))
    noise = max(_scatter(change), division / 4)
    limit = max(LEAST, 1.2 * division + 4.5 * noise)
    size, edge = np.abs(change - usual), np.full(ahead, np.inf)
    if time.size <= BY_HAND:  # read to whole divisions, neighbours seem to scatter more than they do
        limit = min(limit, max(LEAST, DIVISIONS * division, FAR * float(np.quantile(size, 0.85))))
    beside = np.minimum(np.append(edge, size)[: size.size], np.append(size, edge)[ahead:])
    moves: list[Move] = []
    for first in np.flatnonzero((size > limit) & (beside < 0.5 * size)).tolist():
        by = float(change[first] - usual)
        if moves and first <= moves[-1].last and by * moves[-1].by > 0:
            moves[-1] = Move(moves[-1].first, first + ahead, max(moves[-1].by, by, key=abs))
        else:
            moves.append(Move(first, first + ahead, by))
    return [_trimmed(pressure, move, division + 3 * noise) for move in moves]


def _trimmed(pressure: np.ndarray, move: Move, still: float) -> Move:
    """The move without the rows at its ends that stand still."""
    first, last = move.first, move.last
    while first < last - 1 and abs(pressure[first + 1] - pressure[first]) <= still / 2:
        first += 1
    while last > first + 1 and abs(pressure[last - 1] - pressure[last]) <= still / 2:
        last -= 1
    return Move(first, last, move.by)
