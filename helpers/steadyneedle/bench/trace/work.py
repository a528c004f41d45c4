"""Purges or breaths that a log shows as a needle thrown to and fro: read too slowly to be told apart."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.trace.sharp import Move, usual_noise

SHARP = 0.08
"""bar between two readings; less is no sharp step."""

TOGETHER = 35.0
"""s; sharp steps no further apart belong together."""

FEWEST_STEPS = 3
"""Sharp steps, up and down, that make work; fewer are a jump or a purge of their own."""

LONGEST = 180.0
"""s; ten purges or a minute of breathing take less (our choice)."""

CALM = 60.0
"""s without a sharp step after which the work is over; what goes on to the end is no work but a saw-tooth."""

FEW = 2
"""Sharp moves that no purge explains, up to which each may be a dip; more are teeth, or steps."""

BESIDE = 60.0
"""s after a dip, and at most before it, over which the needle's height is compared."""

DEEP, DEEP_DIVISIONS = 0.14, 2.4
"""bar, and divisions, that a dip must exceed; a small tooth of a saw is no purge."""


def spans_of_work(
    time: np.ndarray, pressure: np.ndarray, division: float, explained: list[tuple[float, float]]
) -> list[tuple[int, int]]:
    """Rows from and to between which somebody purged or breathed.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds, in order, and bar: one stretch under pressure.
    division : float
        Step between two readings [bar].
    explained : list of pairs
        From and to [s]: purges that were found one by one.

    Returns
    -------
    list of pairs
        Only where sharp steps are left that no purge explains, some up and some down, below where the needle then
        stands, and calm follows.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time = np.arange(0.0, 300.0, 5.0)
    >>> breaths = np.where(time < 60, np.where(time % 10 < 5, 9.7, 8.7), 9.7)
    >>> spans_of_work(time, breaths, 0.1, [])
    [(0, 12)]
    """
    if time.size < 2 * FEWEST_STEPS:
        return []
    steps = np.diff(pressure)
    late = slice(time.size // 2, None)
    limit = max(SHARP, 1.2 * division, 8 * usual_noise(time[late], pressure[late], division) - division)
    sharp = np.flatnonzero(np.abs(steps) > limit)
    if sharp.size < FEWEST_STEPS:
        return []
    groups = np.split(sharp, np.flatnonzero(np.diff(time[sharp]) > TOGETHER) + 1)
    found: list[tuple[int, int]] = []
    for group, after in zip(groups, [*groups[1:], None], strict=True):
        end = int(group[-1]) + 1
        until = time[-1] if after is None else time[after[0]]
        left = [at for at in group.tolist() if not any(low <= time[at] <= high for low, high in explained)]
        signs = np.sign(steps[left]) if left else np.zeros(0)
        if len(left) < FEWEST_STEPS or not signs.min() < 0 < signs.max() or until - time[end] < CALM:
            continue
        stands = float(np.median(pressure[(time >= time[end]) & (time <= time[end] + CALM)]))
        among = pressure[int(group[0]) : end + 1]
        pulled_down = among.min() < stands - SHARP and among.max() < stands + SHARP
        if time[end] - time[group[0]] <= LONGEST and pulled_down:
            found.append((int(group[0]), end))
    return found


def dips(time: np.ndarray, pressure: np.ndarray, division: float, lone: list[Move]) -> list[tuple[int, int]]:
    """Rows from and to between which the needle was pulled down once and came back to where it had stood.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds, in order, and bar.
    division : float
        Step between two readings [bar].
    lone : list of Move
        Sharp moves that no purge explains.

    Returns
    -------
    list of pairs
        None where more than two moves are left: a saw-tooth comes back too.

    References
    ----------
    Our choice of thresholds: a purge that is read slowly shows one side sharp and the other not.

    Examples
    --------
    >>> time = np.arange(0.0, 300.0, 15.0)
    >>> needle = np.full(20, 9.9)
    >>> needle[8:10] = 9.7, 9.6
    >>> dips(time, needle, 0.1, [Move(9, 10, 0.3)])
    [(7, 10)]
    """
    found = [_dip(time, pressure, division, move) for move in lone] if len(lone) <= FEW else []
    return sorted({span for span in found if span is not None})


def _dip(time: np.ndarray, pressure: np.ndarray, division: float, move: Move) -> tuple[int, int] | None:
    """From the last reading at the old height to the first back at it; None where the needle stays elsewhere."""
    upward = move.by > 0
    side = slice(move.last, None) if upward else slice(None, move.first + 1)
    near = np.abs(time[side] - time[move.last if upward else move.first]) <= BESIDE
    height = float(np.median(pressure[side][near]))
    back = np.abs(pressure - height) <= 1.1 * division
    first = move.first
    last = move.last
    if upward:
        while first > 0 and not back[first]:
            first -= 1
    else:
        while last < time.size - 1 and not back[last]:
            last += 1
    low = pressure[first + 1 : last]
    whole = back[first] and back[last] and time[last] - time[first] <= TOGETHER + float(np.median(np.diff(time)))
    deep = (
        low.size > 0 and float(low.max()) < height and height - float(low.min()) > max(DEEP, DEEP_DIVISIONS * division)
    )
    return (first, last) if whole and deep else None
