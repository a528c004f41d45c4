"""What rounded readings say of the pressure in each bin, as normals: expectation propagation (Minka 2001).

A reading is an interval: the pressure with its white noise lay within half a division of it. The chance of a bin's
readings is a product over what was read in it; its first moments, seen together with what all other bins say, are kept.
"""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.trace.bins import Bins
from steadyneedle.bench.trace.evidence import Conditioned, Sites

FINE = 0.7
"""Divisions of noise from which rounding is as good as a little more noise."""

NODES = 33
"""Points of the quadrature, taken twice: over where the pressure may be, then over where it is likely."""

DEEP = 14.0
"""Logarithms below the best from which a pressure does not count."""


def fine_sites(bins: Bins, squares: np.ndarray, noise: float, division: float) -> Sites:
    """Where noise hides the rounding: each bin's mean and its variance.

    Parameters
    ----------
    bins : Bins
        Readings in b bins.
    squares : array, shape (b,)
        Squares of a bin's readings about its mean, summed [bar2], its own climb taken off.
    noise : float
        White noise of a reading [bar].
    division : float
        Step between two readings [bar].

    Returns
    -------
    Sites
        With the logarithm of how likely the readings are.

    References
    ----------
    Sheppard's correction: rounding adds a twelfth of the square of a division.

    Examples
    --------
    >>> from steadyneedle.bench.trace.bins import binned
    >>> sites = fine_sites(binned(np.arange(3.0), np.array([0.0, 0.1, 0.0]), 0.1), np.zeros(3), 0.1, 0.1)
    >>> bool(np.isclose(sites.precision[0], 1 / (0.1**2 + 0.1**2 / 12)))
    True
    """
    variance, count = noise**2 + division**2 / 12, bins.count
    within = -0.5 * (count - 1) * np.log(2 * np.pi * variance) - 0.5 * squares / variance - 0.5 * np.log(count)
    scale = within + count * np.log(division) - 0.5 * np.log(2 * np.pi * variance / count)
    precision = count / variance
    return Sites(precision, precision * bins.mean, float(scale.sum()))


class Rounded:
    """Readings within half a division: moments under what the rest of the log says.

    `slopes`, shape (b,), is the climb within each bin [bar/s] of a first look.
    """

    def __init__(self, bins: Bins, slopes: np.ndarray, noise: float, division: float) -> None:
        self.bins, self.half = bins, division / 2
        moved = slopes[bins.group_bin] * (bins.group_time - bins.middle[bins.group_bin])
        self.value = bins.group_reading - moved
        self.noise = np.hypot(noise, slopes[bins.group_bin] * bins.group_span)
        self.starts = np.flatnonzero(np.diff(bins.group_bin, prepend=-1))
        self.most = np.add.reduceat(
            bins.group_count / self.noise**2, self.starts
        )  # no reading tells more than unrounded
        width = self.half + 5 * self.noise
        self.low = np.minimum.reduceat(self.value - width, self.starts)
        self.high = np.maximum.reduceat(self.value + width, self.starts)

    def log_chance(self, pressure: np.ndarray) -> np.ndarray:
        """Logarithm of the chance of each bin's readings at pressures (b, k)."""
        from scipy.special import log_ndtr

        off = np.abs(pressure[self.bins.group_bin] - self.value[:, np.newaxis])
        inner, outer = ((side * self.half - off) / self.noise[:, np.newaxis] for side in (1, -1))
        upper = log_ndtr(inner)
        chance = upper + np.log1p(-np.exp(np.minimum(log_ndtr(outer) - upper, -1e-12)))
        return np.asarray(np.add.reduceat(chance * self.bins.group_count[:, np.newaxis], self.starts, axis=0))

    def moments(self, mean: np.ndarray, variance: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Logarithm of the chance, mean and variance of each bin's pressure, believed normal before its readings."""
        deviation = np.sqrt(variance)
        low, high = np.maximum(mean - 7 * deviation, self.low), np.minimum(mean + 7 * deviation, self.high)
        apart = low >= high  # the rest of the log puts the pressure where the readings do not
        low = np.where(apart, np.minimum(mean, self.low), low)
        high = np.where(apart, np.maximum(mean, self.high), high)
        steps = np.linspace(0.0, 1.0, NODES)
        for _ in range(2):
            pressure = low[:, np.newaxis] + (high - low)[:, np.newaxis] * steps
            log_density = self.log_chance(pressure)
            log_density -= 0.5 * (pressure - mean[:, np.newaxis]) ** 2 / variance[:, np.newaxis]
            top = log_density.max(axis=1)
            good = log_density > (top - DEEP)[:, np.newaxis]
            first, final = good.argmax(axis=1), NODES - 1 - good[:, ::-1].argmax(axis=1)
            step = (high - low) / (NODES - 1)
            low, high = low + step * np.maximum(first - 1, 0), low + step * np.minimum(final + 1, NODES - 1)
        density = np.exp(log_density - top[:, np.newaxis])
        density[:, [0, -1]] *= 0.5
        whole = density.sum(axis=1)
        found = (density * pressure).sum(axis=1) / whole
        spread = (density * (pressure - found[:, np.newaxis]) ** 2).sum(axis=1) / whole
        log_whole = np.log(whole * step) + top - 0.5 * np.log(2 * np.pi * variance)
        return log_whole, found, np.maximum(spread, 1e-14)


def rounded_sites(readings: Rounded, begin: Conditioned, sweeps: int) -> Conditioned:
    """The law after sites that give each bin the moments it has within half a division.

    Parameters
    ----------
    readings : Rounded
        Readings in b bins.
    begin : Conditioned
        The law after sites to begin with.
    sweeps : int
        How often all sites are taken anew.

    Returns
    -------
    Conditioned
        The law after the sites, which it holds.

    References
    ----------
    Expectation propagation (Minka 2001), all sites at once, four fifths of the way.

    Examples
    --------
    >>> from steadyneedle.bench.trace.gathered import gathered
    >>> held = gathered(np.arange(0.0, 301.0, 15.0), np.full(21, 9.8), 0.1)
    >>> begin = fine_sites(held.bins, held.squares, 0.07, 0.1)
    >>> after = rounded_sites(Rounded(held.bins, held.slopes, 0.01, 0.1), held.few.condition(begin), 4)
    >>> bool(np.all(after.sites.precision > 0))
    True
    """
    conditioned = begin
    for sweep in range(sweeps):
        sites = conditioned.sites
        mean, variance = conditioned.in_bins()
        precision = np.maximum(1 / variance - sites.precision, 1e-3 / variance)
        weighted = mean / variance - sites.weighted
        middle, spread = weighted / precision, 1 / precision
        log_whole, found, width = readings.moments(middle, spread)
        told = np.clip(1 / width - precision, 1e-5 * precision, readings.most)
        toward = found * (told + precision) - weighted
        part = 1.0 if sweep == 0 else 0.8
        told = part * told + (1 - part) * sites.precision
        toward = part * toward + (1 - part) * sites.weighted
        off = (told * middle - toward) ** 2 / told / (1 + told * spread)
        scale = float((log_whole + 0.5 * np.log1p(told * spread) + 0.5 * off).sum())
        conditioned = begin.prior.condition(Sites(told, toward, scale))
    return conditioned
