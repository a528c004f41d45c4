"""Saw-teeth: slow one way, sharp back, again and again; told by their shape against noise. Seconds and bar."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.sharp import Move

FEWEST = 3
"""As many sharp moves of one direction make a saw-tooth."""

SMALLEST_NOISES = 4.0
"""Standard deviations of the readings' noise from which teeth are looked for; and never less than a division."""

MARGIN = 0.75
"""Of that height a tooth must at least seem to have: rounding and few readings a tooth make it seem lower."""

STAIRCASE = 0.35
"""A climb read in whole divisions is a staircase: teeth of one division, one for each that it climbs, give or take."""

CLIMB = 3.0
"""Times a tooth: a needle that goes further in the watch creeps or falls; its steps and its teeth are of the scale."""

BACK = (0.3, 2.5)
"""Between two teeth the needle goes back by so many times the tooth, from least to most."""

ALIKE = 0.4
"""Part of the larger of two neighbouring teeth that the smaller has at least; a step and a flicker are no teeth."""

BETTER = 16.0
"""Logarithm by which teeth of one period must explain readings better than a smooth swing of that period and than none:
a period and a beginning are chosen among hundreds."""

MOST, FEWEST_POINTS, FINER = 512, 12, 8
"""Means of readings among which small teeth are looked for, the fewest that tell, and how much finer than a whole
number of waves their period is searched."""

HARMONICS, PHASES = 6, 48
"""Of a saw that are looked at, and beginnings tried."""

FEWEST_WAVES, SHARE = 5, 0.35
"""Periods in a watch, and the part of what is no settle that a saw must explain: one creep and purge is none."""


@dataclass(frozen=True)
class Teeth:
    """A saw-tooth between two pressures [bar]; `period` [s] from tooth to tooth."""

    low: float
    high: float
    period: float


def sharp_teeth(time: np.ndarray, pressure: np.ndarray, moves: list[Move]) -> Teeth | None:
    """Teeth among sharp moves that no purge explains.

    Parameters
    ----------
    time : array, shape (n,)
        Times [s], in order.
    pressure : array, shape (n,)
        Readings [bar].
    moves : list of Move
        Sharp moves, purges and their recoveries left out.

    Returns
    -------
    Teeth or None
        None unless at least `FEWEST` moves of one direction follow one another and the needle goes back slowly between.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time = np.arange(0.0, 100.0)
    >>> teeth = sharp_teeth(time, 9.5 + 0.5 * ((time / 20) % 1), [Move(k - 1, k, -0.5) for k in (20, 40, 60, 80)])
    >>> teeth.period
    20.0
    """
    for up in (True, False):
        same = [move for move in moves if (move.by > 0) == up]
        ends = [(one, two) for one, two in itertools.pairwise(same) if _goes_back(pressure, one, two)]
        if len(ends) >= FEWEST - 1:
            inside = pressure[ends[0][0].first : ends[-1][1].last + 1]
            period = float(np.median([time[two.first] - time[one.first] for one, two in ends]))
            low, high = (float(np.quantile(inside, share)) for share in (0.02, 0.98))
            return Teeth(low, high, period)
    return None


def _goes_back(pressure: np.ndarray, one: Move, two: Move) -> bool:
    """Whether the needle comes back slowly from one sharp move before the next of the same direction."""
    small, large = sorted((abs(one.by), abs(two.by)))
    if two.first <= one.last or small < ALIKE * large:
        return False
    back = (float(pressure[one.last]) - float(pressure[two.first])) * np.sign(one.by)
    size = (abs(one.by) + abs(two.by)) / 2
    between = pressure[one.last : two.first + 1]
    return bool(BACK[0] * size <= back <= BACK[1] * size and np.ptp(between) < 3 * back)  # no purge between


def small_teeth(time: np.ndarray, pressure: np.ndarray, division: float, noise: float) -> Teeth | None:
    """Teeth of about one period that are too small to stand out one by one.

    Parameters
    ----------
    time : array, shape (n,)
        Times of a hold [s], in order.
    pressure : array, shape (n,)
        Readings [bar].
    division : float
        Step between two readings [bar].
    noise : float
        Standard deviation of a reading [bar].

    Returns
    -------
    Teeth or None
        None unless a saw of one period explains the readings far better than a smooth swing and is at least as high as
        `SMALLEST_NOISES` times the noise and one division, but for a quarter.

    References
    ----------
    Least squares on the first harmonics of a saw, whose sizes fall as one over their number; thresholds are our choice.

    Examples
    --------
    >>> time = np.arange(0.0, 300.0)
    >>> teeth = small_teeth(time, np.round((9.5 + 0.15 * ((time / 20) % 1)) / 0.05) * 0.05, 0.05, 0.015)
    >>> print(f"{teeth.period:.0f} s, {teeth.high - teeth.low:.1f} bar")
    20 s, 0.2 bar
    """
    points = min(MOST, time.size)
    if points < FEWEST_POINTS:
        return None
    values, length = _evenly(time, pressure, points), float(time[-1] - time[0]) * points / (points - 1)
    squares = float(values @ values)
    if squares <= 0:
        return None
    spectrum = np.fft.rfft(values, FINER * points)
    waves = np.arange(FEWEST_WAVES * FINER, spectrum.size // 2)  # so many hundredths of a period in the watch
    saw, swing, size = _saws(spectrum, waves, points)
    left = np.maximum(squares - np.stack([saw, swing]), 1e-6 * squares)
    gain = 0.5 * points * (np.log(left[1]) - np.log(left[0]))
    gain[saw < SHARE * squares] = 0.0
    at = int(gain.argmax()) if gain.size else 0
    if not gain.size or gain[at] < BETTER or size[at] < MARGIN * max(SMALLEST_NOISES * noise, division):
        return None
    middle = float(np.median(pressure))
    half, period = float(size[at]) / 2, length * FINER / float(waves[at])
    centred = time - time.mean()
    steps = abs(float(centred @ pressure) / float(centred @ centred)) * period / division  # by the straight line
    if abs(steps - 1) < STAIRCASE and 2 * half < (1 + STAIRCASE) * division:
        return None
    if steps * division * float(time[-1] - time[0]) > CLIMB * 2 * half * period:
        return None
    return Teeth(middle - half, middle + half, period)


def _evenly(time: np.ndarray, pressure: np.ndarray, points: int) -> np.ndarray:
    """Readings at equal times, each the mean of those around it, less a cubic and four settles."""
    edges = np.linspace(time[0], time[-1], points + 1)
    which = np.minimum(np.searchsorted(edges, time, side="right") - 1, points - 1)
    count = np.bincount(which, minlength=points)
    there = np.flatnonzero(count)
    means = np.bincount(which, pressure, points)[there] / count[there]
    values = np.interp(np.arange(points), there, means)
    place = np.linspace(0, 1, points)
    columns = [place**power for power in range(4)] + [np.exp(-place * quick) for quick in (4, 15, 60, 150)]
    smooth = np.linalg.qr(np.stack(columns, axis=1))[0]
    return np.asarray(values - smooth @ (smooth.T @ values))


def _saws(spectrum: np.ndarray, waves: np.ndarray, points: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each number of waves: the sum of squares that the best saw and a sine explain, and the saw's height [bar]."""
    harmonic = np.arange(1, HARMONICS + 1)
    place = waves[:, np.newaxis] * harmonic
    seen = np.where(place < spectrum.size, spectrum[np.minimum(place, spectrum.size - 1)], 0.0)
    there = (place < spectrum.size * 0.95) / harmonic
    phases = np.exp(-1j * np.arange(0, 2 * np.pi, 2 * np.pi / PHASES)[:, np.newaxis] * harmonic)
    along = np.abs(((seen * there) @ phases.T).imag).max(axis=1)  # a saw is the sum of sin(k x)/k
    explained = along**2 / (0.5 * points * (there**2).sum(axis=1))
    swing = np.abs(seen[:, 0]) ** 2 / (0.5 * points)
    return explained, swing, np.pi * along / (0.5 * points * (there**2).sum(axis=1))
