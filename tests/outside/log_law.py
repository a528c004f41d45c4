"""A narrow law by which test logs are drawn, and a bound on any estimate. Nothing here imports the estimator.

Sampling 0.07 to 10 Hz, time constant 2 to 60 s and length 1 to 15 min, log-uniform; division 0.02 to 0.2 bar, noise 0 to
0.05 bar, settle 0 to 0.3 bar and lock-up 8 to 11 bar, uniform; rate exactly 0 in a fifth of the logs, else log-uniform
from 0.005 to 10 bar/min, either sign; a log ends at its last sample between 0.5 and 20 bar and is drawn again if fewer
than 6 samples remain; in a quarter of the logs the noise is a first-order autoregression with a lag-one correlation
uniform from 0.4 to 0.8.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.signal import lfilter


@dataclass(frozen=True)
class Drawn:
    """A log and the truth behind it: seconds, bar, bar/min."""

    time: np.ndarray
    reading: np.ndarray
    division: float
    rate: float
    lock_up: float
    settle: float
    time_constant: float
    noise: float
    correlation: float


def log_uniform(draw: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(draw.uniform(np.log(low), np.log(high))))


def drawn(number: int, fine: bool = False) -> Drawn:
    """Log number so-and-so. `fine`: independent noise of 1 to 3 divisions, a watch of at least 3 time constants, a
    settle of at least 0.05 bar."""
    for attempt in range(1000):
        draw = np.random.default_rng([number, attempt, int(fine)])
        hertz, constant, length = log_uniform(draw, 0.07, 10), log_uniform(draw, 2, 60), log_uniform(draw, 60, 900)
        division, noise, settle = draw.uniform(0.02, 0.2), draw.uniform(0, 0.05), draw.uniform(0, 0.3)
        rate = 0.0 if draw.random() < 0.2 else log_uniform(draw, 0.005, 10) * draw.choice([-1, 1])
        lock_up, correlation = draw.uniform(8, 11), draw.uniform(0.4, 0.8) if draw.random() < 0.25 else 0.0
        if fine:
            division, correlation = noise / draw.uniform(1, 3), 0.0
            if division < 0.01 or settle < 0.05 or length < 3 * constant:
                continue
        time = np.arange(0, length, 1 / hertz)
        error = draw.standard_normal(time.size)
        if correlation:
            first = [correlation * draw.standard_normal()]
            error = lfilter([np.sqrt(1 - correlation**2)], [1, -correlation], error, zi=first)[0]
        pressure = lock_up - settle * np.expm1(-time / constant) + rate / 60 * time
        beyond = np.flatnonzero((pressure < 0.5) | (pressure > 20))
        end = int(beyond[0]) if beyond.size else time.size
        if end >= 6:
            reading = np.round((pressure + noise * error)[:end] / division) * division
            return Drawn(
                time[:end], reading, division, float(rate), lock_up, settle, constant, noise, float(correlation)
            )
    raise RuntimeError("no log")


def cramer_rao(log: Drawn) -> float:
    """The least standard error of the rate that any unbiased estimate can have, bar/min: Gaussian noise and rounding."""
    fallen = np.exp(-log.time / log.time_constant)
    slopes = np.stack([
        np.ones_like(log.time), 1 - fallen, -log.settle * log.time / log.time_constant**2 * fallen, log.time / 60,
    ])  # fmt: skip
    information = slopes @ slopes.T / (log.noise**2 + log.division**2 / 12)
    return float(np.sqrt(np.linalg.inv(information)[3, 3]))
