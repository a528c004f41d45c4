"""What the readings of one hold say: level, settle and climb of a needle that nobody touches, with their intervals.

The law is that of `settle_law`; readings are gathered by `bins`, made into normals by `sites`, averaged over every
choice of the law by `evidence`. Nothing in it is random. Units: seconds and bar, rates in bar/min.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.drifts import drifts_at, drifts_between
from steadyneedle.bench.trace.evidence import Asked, Conditioned
from steadyneedle.bench.trace.gathered import Gathered, gathered
from steadyneedle.bench.trace.mixture import SHARES, quantiles
from steadyneedle.bench.trace.sites import FINE, Rounded, fine_sites, rounded_sites

HOPELESS = 7.0
"""Logarithms of evidence below the best from which a noise is dropped."""

MOST_NOISES = 4
"""Noises kept at most; the law's weights fall quickly beside the best."""

DRIFT_SHARE = 1e-3
"""Part of the likeliest drift's weight below which a drift is left out."""

COUNTED = 0.9999
"""Part of all possibilities that intervals are made from, the likeliest."""

LAST_SWEEPS = 2
"""Times all sites are taken anew with all drifts."""


@dataclass(frozen=True)
class Range:
    """A value with its 95 % interval, `low` to `high`, and its 99 % interval, `lowest` to `highest`."""

    value: float
    low: float
    high: float
    lowest: float
    highest: float


class Estimate:
    """All that is possible after the readings of a hold, weighted: each noise, each drift, each choice of settles."""

    def __init__(self, held: Gathered, noises: list[float], conditioned: list[Conditioned], which: np.ndarray) -> None:
        self.held, self.which, self.noises, self.conditioned = held, which, noises, conditioned
        self.bins, self.law, self.middle, self.reference = held.bins, held.law, held.middle, held.reference
        evidence = np.stack([one.choices.log_evidence for one in conditioned])
        weight = np.exp(evidence - evidence.max())
        self.weight = weight / weight.sum()
        order = np.argsort(-self.weight.ravel())
        counted = int(np.searchsorted(np.cumsum(self.weight.ravel()[order]), COUNTED)) + 1
        self.kept = order[:counted]

    def _range(self, asked: Asked, offset: float = 0.0) -> Range:
        found = [one.values(asked) for one in self.conditioned]
        mean, variance = (np.stack([one[k][0] for one in found]) for k in (0, 1))
        parts = (one.ravel()[self.kept] for one in (self.weight, mean, variance))
        lowest, low, value, high, highest = quantiles(*parts) + offset
        return Range(*(float(one) for one in (value, low, high, lowest, highest)))

    def rate(self) -> Range:
        """The straight climb [bar/min]."""
        return self._range(self._alone(np.array([0.0, 1.0]), np.zeros(self.law.constants.size)))

    def settled(self) -> Range:
        """What settles have moved the needle by, from the first reading to the last [bar]."""
        length = self.bins.last[-1]
        return self._range(self._alone(np.zeros(2), -np.expm1(-length / self.law.constants)))

    def level(self, time: float) -> Range:
        """Pressure at a time after the first reading [s], later than the last one too [bar]."""
        return self._range(self._difference(time, None), self.reference)

    def rise(self, begin: float, end: float) -> Range:
        """Pressure at one time less that at another [bar]."""
        return self._range(self._difference(end, begin))

    def time_constant(self) -> Range:
        """Time constant of the larger settle [s]; where there is none, anything the law has."""
        settles = self.conditioned[0].prior.settles
        first, second = (np.stack([one.choices.size[k] for one in self.conditioned]) for k in (0, 1))
        larger = np.where(np.abs(first) >= np.abs(second), settles.first, settles.second)
        share = np.bincount(larger.ravel(), self.weight.ravel(), self.law.constants.size)
        none = self.weight[:, :, settles.first_size + settles.second_size == 0].sum()
        share = share + (none / share.size if none else 0.0)
        part = np.cumsum(share) / share.sum()
        places = np.minimum(np.searchsorted(part, SHARES), share.size - 1)
        lowest, low, value, high, highest = (float(one) for one in self.law.constants[places])
        return Range(value, low, high, lowest, highest)

    def curve(self, time: ArrayLike) -> np.ndarray:
        """The middle of what is possible at times after the first reading [s], bar."""
        share = self.weight.sum(axis=(1, 2))
        means = np.stack([one.in_bins()[0] for one in self.conditioned])
        return np.asarray(np.interp(np.asarray(time, float), self.bins.middle, share @ means) + self.reference)

    @property
    def noise(self) -> float:
        """White noise of a reading [bar], the likeliest."""
        return float(self.weight.sum(axis=(1, 2)) @ np.array(self.noises))

    def _alone(self, line: np.ndarray, settles: np.ndarray) -> Asked:
        drifts, bins = self.which.size, self.bins.count.size
        return Asked(line[np.newaxis], settles[np.newaxis], np.zeros((drifts, bins, 1)), np.zeros((drifts, 1)))

    def _difference(self, end: float, begin: float | None) -> Asked:
        times = np.array([end] if begin is None else [end, begin])
        sign = np.array([1.0, -1.0])[: times.size]
        line = np.stack([np.ones(times.size), (times - self.middle) / 60], axis=1)
        settles = -np.expm1(-times[:, np.newaxis] / self.law.constants)
        shared = drifts_at(times, self.bins, self.law, self.which) @ sign[:, np.newaxis]
        own = sign @ drifts_between(times, self.law, self.which) @ sign
        return Asked((sign @ line)[np.newaxis], (sign @ settles)[np.newaxis], shared, own[:, np.newaxis])


def estimate_hold(time_s: ArrayLike, reading_bar: ArrayLike, division_bar: float) -> Estimate:
    """Level, settle and climb of a needle that nobody touches.

    Parameters
    ----------
    time_s : array, shape (n,)
        Times [s], in order, at least three.
    reading_bar : array, shape (n,)
        Readings [bar].
    division_bar : float
        Step between two possible readings [bar], above 0.

    Returns
    -------
    Estimate
        Asked for a rate, a level or a rise it gives the middle of what is possible with 95 % and 99 % intervals.

    Raises
    ------
    ValueError
        Fewer than three readings, or a division not above 0.

    References
    ----------
    Bayes' theorem with a flat prior on level and rate, the law of `datasets/settle_law.csv` on all else; rounding by
    expectation propagation (Minka 2001). Coverage and width in tests/outside.

    Examples
    --------
    >>> times = np.arange(0, 301, 15.0)
    >>> print(f"{estimate_hold(times, 9.8 + 0.1 * np.floor(times / 60), 0.1).rate().value:.2f} bar/min")
    0.10 bar/min
    """
    times, readings = np.asarray(time_s, float), np.asarray(reading_bar, float)
    if times.size < 3 or not division_bar > 0:
        raise ValueError("estimate_hold needs at least three readings and a division above 0.")
    held = gathered(times - times[0], readings, float(division_bar))
    found = _search(held)
    every = np.arange(held.law.drift_sizes.size)
    first = held.evidence(every).condition(found[0].after.sites).choices.weights().sum(axis=1)
    which = every[first > DRIFT_SHARE * first.max()]
    whole = held.evidence(which)
    conditioned = []
    for one in found:
        after = whole.condition(one.after.sites)
        if one.rounded is not None:
            after = rounded_sites(one.rounded, after, LAST_SWEEPS)
        conditioned.append(after.believe(held.law.noise_belief(one.noise)))
    return Estimate(held, [one.noise for one in found], conditioned, which)


@dataclass(frozen=True)
class _Found:
    """A noise that the readings leave possible, with the law after them and the logarithm of its evidence."""

    noise: float
    rounded: Rounded | None
    after: Conditioned
    score: float


def _search(held: Gathered) -> list[_Found]:
    """Noises that the readings leave possible, the likeliest first."""
    found: list[_Found] = []
    best, before = -np.inf, -np.inf
    for noise in _noises(held):
        begin = found[-1].after if found else None
        one = _tried(held, noise, begin)
        if not np.isfinite(one.score) or (one.score < best - 2 * HOPELESS and one.score < before):
            break  # smaller still is worse still
        found.append(one)
        best, before = max(best, one.score), one.score
    looked: set[float] = set()
    while True:  # a second look at all that may count: the first was one sweep only
        best = max(one.score for one in found)
        again = [k for k, one in enumerate(found) if one.score > best - HOPELESS and one.noise not in looked]
        if not again:
            break
        k = max(again, key=lambda k: found[k].score)
        looked.add(found[k].noise)
        if found[k].rounded is not None:
            found[k] = _tried(held, found[k].noise, found[k].after)
    found.sort(key=lambda one: -one.score)
    return [one for one in found if one.score > best - HOPELESS][:MOST_NOISES]


def _tried(held: Gathered, noise: float, begin: Conditioned | None) -> _Found:
    """What the readings say under a noise: at once where it hides the rounding, else one sweep further."""
    if noise >= FINE * held.division:
        rounded, after = None, held.few.condition(fine_sites(held.bins, held.squares, noise, held.division))
    else:
        rounded = Rounded(held.bins, held.slopes, noise, held.division)
        begin = begin or held.few.condition(fine_sites(held.bins, held.squares, FINE * held.division, held.division))
        after = rounded_sites(rounded, begin, 1)
    return _Found(noise, rounded, after, after.log_evidence() + held.law.noise_belief(noise))


def _noises(held: Gathered) -> list[float]:
    """White noises [bar] from large to small; where it hides the rounding, only those that the bins' scatter allows."""
    division, law, count = held.division, held.law, held.bins.count - 1
    fine = [FINE * division]
    scatter = (held.squares.sum() / max(count.sum(), 1)) ** 0.5
    while fine[-1] < max(4 * law.noises[-1], 2 * scatter):
        fine.append(1.5 * fine[-1])
    variance = np.array(fine) ** 2 + division**2 / 12
    within = -0.5 * (count.sum() * np.log(variance) + held.squares.sum() / variance)
    fine = [noise for noise, score in zip(fine, within, strict=True) if score > within.max() - 4 * HOPELESS]
    coarse = [0.5 * division]
    while coarse[-1] > 1.4 * float(law.noises[0]):
        coarse.append(coarse[-1] / 2)
    return fine[::-1] + coarse
