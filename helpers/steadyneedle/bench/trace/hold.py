"""How fast a needle creeps, with honest uncertainty: the door to the two estimators.

A reading is an interval, not a number: the pressure lay within half a division of it, but for noise. What is known of
lock-up, settle, time constant, noise and rate after a log is therefore a distribution. `particles` finds it by
sequential Monte Carlo; `long_log` by formula, where there are many readings and their noise hides the rounding. Both
use the model, the prior and the first fit of `settling_model`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.long_log import long_enough, sample_by_formula
from steadyneedle.bench.trace.measured import Measured
from steadyneedle.bench.trace.particles import sample_by_particles
from steadyneedle.bench.trace.settling_model import (
    LEVEL,
    LOG_TIME_CONSTANT,
    NOISE,
    RATE,
    SETTLE,
    first_fit,
    pressures,
    settled,
)


@dataclass(frozen=True)
class Hold:
    """What one hold of the needle tells: bar, seconds, bar/min.

    `particles` are the posterior, equally weighted, shape (m, 5), columns as in `settling_model`; `mean_time` [s] is
    the time at which their levels stand.
    """

    lock_up: Measured[float]
    final: Measured[float]
    settle: Measured[float]
    time_constant: Measured[float]
    rate: Measured[float]
    noise: float
    particles: np.ndarray
    mean_time: float

    def curve(self, time: ArrayLike) -> np.ndarray:
        """The middle of what is possible at times [s] after the beginning, bar."""
        times = np.asarray(time, float)
        part_settled = settled(self.particles[:, LOG_TIME_CONSTANT], times)
        return np.asarray(np.median(pressures(self.particles, part_settled, times - self.mean_time), axis=0))


def hold_of(time_s: ArrayLike, reading_bar: ArrayLike, division_bar: float) -> Hold:
    """Lock-up, settle, time constant and creep rate of a needle that nobody touches.

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
    Hold
        Each with its 95 % interval: median, 2.5 % and 97.5 % of what is possible.

    Raises
    ------
    ValueError
        Fewer than three readings, or a division not above 0.

    References
    ----------
    Bayes' theorem with a flat prior on the rate, by the estimators of `particles` and `long_log`; coverage and width in
    tests/outside.

    Examples
    --------
    >>> hold = hold_of(np.arange(0, 301, 15.0), 9.8 + 0.1 * np.floor(np.arange(0, 301, 15.0) / 60), 0.1)
    >>> print(f"{hold.rate.value:.2f} bar/min")
    0.10 bar/min
    """
    times, readings = np.asarray(time_s, float), np.asarray(reading_bar, float)
    if times.size < 3 or not division_bar > 0:
        raise ValueError("hold_of needs at least three readings and a division above 0.")
    times = times - times[0]
    first = first_fit(times, readings, division_bar)
    if long_enough(times.size, division_bar, first.scatter):
        particles = sample_by_formula(times, readings, first)
    else:
        particles = sample_by_particles(times, readings, division_bar, first)
    mean_time, settle = float(times.mean()), particles[:, SETTLE]
    lock_up = particles[:, LEVEL] - particles[:, RATE] * mean_time
    return Hold(
        lock_up=Measured.of(lock_up),
        final=Measured.of(lock_up + settle),
        settle=Measured.of(settle),
        time_constant=Measured.of(np.exp(particles[:, LOG_TIME_CONSTANT])),
        rate=Measured.of(60 * particles[:, RATE]),
        noise=float(np.median(particles[:, NOISE])),
        particles=particles,
        mean_time=mean_time,
    )
