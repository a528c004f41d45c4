"""Which readings of a log stand apart: times out of order, as few as can be, and lone pressures; s and bar."""

from __future__ import annotations

import bisect

import numpy as np

from steadyneedle.bench.trace.late_readings import looks_again, slip_of_ten

ENOUGH = 7
"""Readings from which on one can be told to stand apart."""

SPIKE = 0.3
"""bar; a lone reading further off than this, and than eight times the usual scatter, is a spike (our choice)."""

AGREE = 0.2
"""Share of how far it is off, by which the readings beside a spike may differ: a needle settles meanwhile."""

ONE_STEP = 1.5
"""Steps of the gauge; a reading that is one off is nothing strange, however coarse the gauge."""

OFTEN, COARSEST = 5, 1.0
"""Moves of one size that show a gauge's step, more than two slips make; and bar, the coarsest step."""

SHORTEST_PURGE = 0.7
"""s from the reading before a dip to the one after it: a shorter dip is a spike, no purge (our choice)."""


NEARBY = 4
"""Readings on either side among which a needle that comes back has stood where it stands again (our choice)."""


def longest_in_order(time: np.ndarray) -> np.ndarray:
    """Which times form the longest series that only rises; of two series as long, the more even one nearby.

    Parameters
    ----------
    time : array, shape (n,)
        Times in the order of their rows [s], at least one, finite.

    Returns
    -------
    array of bool, shape (n,)
        True where a row stays.

    References
    ----------
    Longest increasing subsequence by patience sorting (common practice, no source); the choice of the more even
    series is ours.

    Examples
    --------
    >>> longest_in_order(np.array([0, 15, 600, 45, 60.0])).tolist()
    [True, True, False, True, True]
    """
    ends: list[float] = []
    last: list[int] = []
    before = np.full(time.size, -1)
    for at, one in enumerate(time.tolist()):
        place = bisect.bisect_left(ends, one)
        before[at] = last[place - 1] if place else -1
        if place == len(ends):
            ends.append(one)
            last.append(at)
        else:
            ends[place], last[place] = one, at
    chain, at = [], last[-1]
    while at >= 0:
        chain.append(int(at))
        at = before[at]
    return _more_even(time, chain[::-1])


def _more_even(time: np.ndarray, chain: list[int]) -> np.ndarray:
    """The chain with a row that was left out in place of one beside it, where that makes the steps more even."""
    keep = np.zeros(time.size, bool)
    keep[chain] = True
    out = np.flatnonzero(~keep)
    for at in out[:200].tolist():
        after = bisect.bisect(chain, at)
        for place in (after - 1, after):
            if not 0 <= place < len(chain):
                continue
            low = float(time[chain[place - 1]]) if place > 0 else -np.inf
            high = float(time[chain[place + 1]]) if place + 1 < len(chain) else np.inf
            new, old = float(time[at]), float(time[chain[place]])
            off = [abs((one - low) - (high - one)) for one in (new, old)]
            if low < new < high and off[0] < off[1]:
                keep[chain[place]], keep[at], chain[place] = False, True, at
                chain.sort()
                break
    return keep


def spikes(time: np.ndarray, bars: np.ndarray) -> np.ndarray:
    """Lone readings, one or two, far from neighbours that agree, or at an end; a dip as long as a purge is none.

    Parameters
    ----------
    time : array, shape (n,)
        Times in order [s].
    bars : array, shape (n,)
        Readings [bar].

    Returns
    -------
    array of bool, shape (n,)
        True where a reading stands apart; nowhere where more than a twentieth between the ends would.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> spikes(np.arange(8.0), np.array([9.8, 9.8, 98, 9.8, 9.8, 9.9, 9.9, 9.9])).nonzero()[0].tolist()
    [2]
    """
    found = np.zeros(bars.size, bool)
    if bars.size < ENOUGH:
        return found
    moves = np.abs(np.diff(bars))
    far = max(SPIKE, 8 * 1.5 * float(np.median(moves)), ONE_STEP * _usual_step(moves))
    if moves.max() <= far:
        return found  # a lone reading is far from one beside it at least
    for width in (1, 2):
        before, after = bars[: -width - 1], bars[width + 1 :]
        for k in range(width):
            middle = bars[1 + k : bars.size - width + k]
            off = np.minimum(np.abs(middle - before), np.abs(middle - after))
            lone = (off > far) & (np.abs(before - after) < np.maximum(far / 2, AGREE * off))
            lasts = time[width + 1 :] - time[: -width - 1]
            lone &= (middle > before) | (middle < before / 2) | (lasts < SHORTEST_PURGE)
            found[1 + k : bars.size - width + k] |= lone
    found &= ~_in_turn(found)
    for at in np.flatnonzero(found).tolist():
        found[at] = not _comes_back(bars, at, far)
    if found.sum() > max(1, bars.size // 20):
        return np.zeros(bars.size, bool)
    ends = np.zeros(bars.size, bool)
    for end, beside, next_one in ((0, 1, 2), (-1, -2, -3)):
        off_end = abs(bars[end] - bars[beside])
        lone_end = off_end > far and abs(bars[beside] - bars[next_one]) < max(far / 2, AGREE * off_end)
        # a first reading below the rest is the needle on its way up, or the rise that is asked about
        ends[end] = bool(lone_end and not (end == 0 and bars[0] < bars[1]))
    # one that was read late may have climbed there
    ends[-1] &= not (bars[-1] > bars[-2] and looks_again(time) and not slip_of_ten(float(bars[-1]), float(bars[-2])))
    return found | ends


def _usual_step(moves: np.ndarray) -> float:
    """The smallest move from one reading to the next, where it comes often; else 0 [bar]."""
    moved = moves[moves > 1e-9]
    step = float(moved.min()) if moved.size else 0.0
    often = np.count_nonzero(np.abs(moved - step) < 1e-6) >= OFTEN
    return step if often and step <= COARSEST else 0.0


def _comes_back(bars: np.ndarray, at: int, far: float) -> bool:
    """Whether the needle stands at such a reading shortly before and shortly after it, and most of the time: then it
    came back between two purges, and those beside it are the low ones."""
    usual = float(np.median(bars))
    if abs(bars[at] - usual) >= abs(bars[at - 1] - usual):
        return False
    there = np.abs(bars - bars[at]) < far / 2
    return bool(there[max(at - NEARBY, 0) : max(at - 1, 0)].any() and there[at + 2 : at + 1 + NEARBY].any())


def _in_turn(found: np.ndarray) -> np.ndarray:
    """Those that come every second reading: purges read as they come, not slips."""
    beside = np.zeros(found.size, bool)
    beside[2:] |= found[:-2] & ~found[1:-1]
    beside[:-2] |= found[2:] & ~found[1:-1]
    return found & beside


def far_above(bars: np.ndarray) -> np.ndarray:
    """Readings of three times the usual and more beside lower ones: more of them than slips, a lost mark or signal.

    Parameters
    ----------
    bars : array, shape (n,)
        Readings [bar].

    Returns
    -------
    array of bool, shape (n,)
        True where a reading stands far above one beside it.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> far_above(np.array([92, 9.2, 9.3, 9.3, 93, 9.3, 9.4])).nonzero()[0].tolist()
    [0, 4]
    """
    if bars.size < ENOUGH:
        return np.zeros(bars.size, bool)
    lower = np.minimum(np.append(bars[1:], np.inf), np.append(np.inf, bars[:-1]))
    return (bars > 3 * max(float(np.median(bars)), SPIKE)) & (lower < bars / 2)


def slips_above(bars: np.ndarray) -> np.ndarray:
    """Readings of three times the usual and more from which the next comes back at once: slips, not the needle.

    Parameters
    ----------
    bars : array, shape (n,)
        Readings [bar].

    Returns
    -------
    array of bool, shape (n,)
        True where a reading stands far above both beside it, or the one beside it at an end.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> slips_above(np.array([92, 9.2, 9.3, 93, 9.3, 9.3, 40, 40])).nonzero()[0].tolist()
    [0, 3]
    """
    higher = np.maximum(np.append(bars[1:], 0.0), np.append(0.0, bars[:-1]))
    return np.asarray(far_above(bars) & (higher < bars / 2))


def lost(bars: np.ndarray) -> np.ndarray:
    """Readings of exactly nothing, each between two that stand: a purge, or what a logger writes for none.

    Parameters
    ----------
    bars : array, shape (n,)
        Readings [bar].

    Returns
    -------
    array of bool, shape (n,)
        True where one is 0.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> lost(np.array([9.8, 0, 9.8, 9.8, 0, 0, 9.8])).nonzero()[0].tolist()
    [1]
    """
    found = np.zeros(bars.size, bool)
    found[1:-1] = (bars[1:-1] == 0) & (np.minimum(bars[:-2], bars[2:]) > SPIKE)
    return found
