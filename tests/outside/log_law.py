"""The law by which test logs are drawn, and what is asked of an estimate beside it. Nothing here imports the estimator.

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
from scipy.special import ndtr


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


def plain_least_squares(log: Drawn) -> tuple[float, float]:
    """The 95 % interval that a straight line through the readings claims, bar/min."""
    slope, covariance = np.polyfit(log.time, log.reading, 1, cov="unscaled")
    left = log.reading - np.polyval(slope, log.time)
    error = np.sqrt(covariance[0, 0] * (left @ left) / max(log.time.size - 2, 1))
    return 60 * (slope[0] - 1.96 * error), 60 * (slope[0] + 1.96 * error)


def cramer_rao(log: Drawn) -> float:
    """The least standard error of the rate that any unbiased estimate can have, bar/min: Gaussian noise and rounding."""
    fallen = np.exp(-log.time / log.time_constant)
    slopes = np.stack([
        np.ones_like(log.time), 1 - fallen, -log.settle * log.time / log.time_constant**2 * fallen, log.time / 60,
    ])  # fmt: skip
    information = slopes @ slopes.T / (log.noise**2 + log.division**2 / 12)
    return float(np.sqrt(np.linalg.inv(information)[3, 3]))


def exact_interval(log: Drawn, begin: np.ndarray, sweeps: int = 900) -> tuple[float, float]:
    """The equal-tailed 95 % credible interval of the rate [bar/min]: flat prior on it, the law's priors on all else.

    By brute force: the affine-invariant ensemble of Goodman and Weare (2010) on every single reading, no grouping, no
    approximation of the rounding. Autocorrelated noise counts each reading as (1 - r)/(1 + r) of one, r the true one.
    Columns of `begin`: lock-up, settle, log time constant, rate [bar/s], noise.
    """
    draw, walkers = np.random.default_rng(7), begin.copy()
    worth = (1 - log.correlation) / (1 + log.correlation)
    half, count = log.division / 2, walkers.shape[0] // 2

    def density(state: np.ndarray) -> np.ndarray:
        level, settle, log_constant, rate, noise = (column[:, np.newaxis] for column in state.T)
        inside = (state[:, 1] >= 0) & (state[:, 1] <= 0.3) & (state[:, 2] >= np.log(2)) & (state[:, 2] <= np.log(60))
        inside &= (state[:, 4] > 1e-4) & (state[:, 4] < 0.05)
        with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
            off = np.abs(log.reading - level + settle * np.expm1(-np.exp(-log_constant) * log.time) - rate * log.time)
            fits = worth * np.log(ndtr((half - off) / noise) - ndtr((-half - off) / noise) + 1e-12).sum(axis=1)
        return np.where(inside, fits, -np.inf)

    now, kept = density(walkers), []
    for sweep in range(sweeps):
        for mine in (slice(0, count), slice(count, None)):
            others = walkers[count:] if mine.start == 0 else walkers[:count]
            partner = others[draw.integers(0, others.shape[0], count)]
            segment = ((np.sqrt(2) - 1 / np.sqrt(2)) * draw.random(count) + 1 / np.sqrt(2)) ** 2
            tried = partner + segment[:, np.newaxis] * (walkers[mine] - partner)
            there = density(tried)
            taken = np.log(draw.random(count)) < 4 * np.log(segment) + there - now[mine]
            walkers[mine][taken], now[mine][taken] = tried[taken], there[taken]
        if sweep >= sweeps // 3:
            kept.append(walkers[:, 3].copy())
    low, high = np.quantile(60 * np.concatenate(kept), [0.025, 0.975])
    return float(low), float(high)
