"""Three laws of logs chosen after the estimator was finished, and before it was tried on them: see `wide_laws.LAWS`.

A law is a function of random numbers and times [s] that gives what the needle does beside level and straight climb [bar].
Invented sizes; nothing here imports the estimator.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np


def log_of_time(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """Rubber that yields as the logarithm of time, and never ends: up to 0.05 bar for each tenfold of time, either sign."""
    first = np.exp(draw.uniform(np.log(1.0), np.log(10.0)))
    return np.asarray(draw.uniform(-0.05, 0.05) * np.log10(1 + time / first))


def heavy_tails(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """A usual settle; readings err as Student's t with three degrees of freedom, scale to 0.02 bar: now and then far off."""
    settle = -draw.uniform(0, 0.3) * np.expm1(-time / np.exp(draw.uniform(np.log(2), np.log(60))))
    return np.asarray(settle + draw.uniform(0, 0.02) * draw.standard_t(3, time.size))


def small_steps(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """A usual settle, and a gauge that sticks and slips: steps of 0.004 bar, once in two minutes at random, up or down."""
    settle = -draw.uniform(0, 0.3) * np.expm1(-time / np.exp(draw.uniform(np.log(2), np.log(60))))
    when = draw.uniform(0, time[-1], draw.poisson(time[-1] / 120))
    size = 0.004 * draw.standard_normal(when.size)
    return np.asarray(settle + (size * (time[:, np.newaxis] >= when)).sum(axis=1))


FURTHER_LAWS: dict[str, Callable[[np.random.Generator, np.ndarray], np.ndarray]] = {
    "log of time": log_of_time, "heavy tails": heavy_tails, "small steps": small_steps,
}  # fmt: skip
