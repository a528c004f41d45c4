"""Laws by which test logs are drawn that are wider than the estimator's, or others. Nothing here imports the estimator.

A law is a function of random numbers and times [s] that gives what the needle does beside its level and its straight climb
[bar]: `LAWS` holds them by name; `further_laws` adds more. Around each stand the same things: sampling 0.07 to 10 Hz
and length 2 to 15 min, log-uniform; division 0.02, 0.05, 0.1 or 0.2 bar; white noise 0 to 0.05 bar, uniform; level 8 to 11
bar; rate exactly 0 in a fifth of the logs, else log-uniform from 0.005 to 10 bar/min, either sign. A log ends before it
leaves 0.5 to 20 bar and is drawn again if fewer than 6 readings remain. All of it invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from further_laws import FURTHER_LAWS
from scipy.signal import lfilter

Law = Callable[[np.random.Generator, np.ndarray], np.ndarray]

DIVISIONS = (0.02, 0.05, 0.1, 0.2)


@dataclass(frozen=True)
class Drawn:
    """A log and the truth behind it: seconds, bar, bar/min; `pressure` is what the needle did, without white noise."""

    time: np.ndarray
    reading: np.ndarray
    division: float
    rate: float
    pressure: np.ndarray
    noise: float


def log_uniform(draw: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(draw.uniform(np.log(low), np.log(high))))


def either(draw: np.random.Generator) -> float:
    return float(draw.choice([-1.0, 1.0]))


def settle(time: np.ndarray, size: float, constant: float, stretch: float = 1.0) -> np.ndarray:
    return np.asarray(-size * np.expm1(-((time / constant) ** stretch)))


def correlated(draw: np.random.Generator, time: np.ndarray, length: float) -> np.ndarray:
    """Noise of standard deviation 1 whose correlation falls as exp(-time apart/length)."""
    follow = np.exp(-(time[1] - time[0]) / length)
    first = [follow * draw.standard_normal()]
    return np.asarray(lfilter([np.sqrt(1 - follow**2)], [1, -follow], draw.standard_normal(time.size), zi=first)[0])


def usual_settle(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    return settle(time, draw.uniform(0, 0.3), log_uniform(draw, 2, 60))


def two_exponentials(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    quick = settle(time, either(draw) * draw.uniform(0, 0.3), log_uniform(draw, 2, 40))
    return quick + settle(time, either(draw) * draw.uniform(0, 0.2), log_uniform(draw, 40, 300))


def stretched(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    return settle(time, either(draw) * draw.uniform(0, 0.3), log_uniform(draw, 2, 100), draw.uniform(0.5, 0.9))


def falling(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    return settle(time, -draw.uniform(0, 0.3), log_uniform(draw, 2, 200))


def big(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    return settle(time, draw.uniform(0.3, 1.0), log_uniform(draw, 2, 120))


def red_noise(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    return usual_settle(draw, time) + draw.uniform(0, 0.03) * correlated(draw, time, log_uniform(draw, 3, 100))


def random_walk(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """0.003 bar in a minute, and as the square root of time."""
    steps = draw.standard_normal(time.size - 1) * 0.003 * np.sqrt(np.diff(time) / 60)
    return usual_settle(draw, time) + np.append(0.0, np.cumsum(steps))


def swing(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """0.02 bar from crest to trough, once in 10 minutes."""
    return usual_settle(draw, time) + 0.01 * np.sin(2 * np.pi * (time / 600 + draw.random()))


LAWS: dict[str, Law] = {
    "two exponentials": two_exponentials, "stretched": stretched, "falling": falling, "big": big,
    "red noise": red_noise, "random walk": random_walk, "swing": swing, **FURTHER_LAWS,
}  # fmt: skip


def drawn(name: str, number: int, rate: float | None = None, laws: dict[str, Law] | None = None) -> Drawn:
    """Log number so-and-so of a law; its rate [bar/min] drawn too, or given."""
    for attempt in range(1000):
        draw = np.random.default_rng([number, attempt, *name.encode()])
        made = one_log((laws or LAWS)[name], draw, rate)
        if made is not None:
            return made
    raise RuntimeError("no log")


def one_log(law: Law, draw: np.random.Generator, rate: float | None = None) -> Drawn | None:
    hertz, length = log_uniform(draw, 0.07, 10), log_uniform(draw, 120, 900)
    division, noise = float(draw.choice(DIVISIONS)), draw.uniform(0, 0.05)
    climb = 0.0 if draw.random() < 0.2 else log_uniform(draw, 0.005, 10) * either(draw)
    climb = climb if rate is None else rate
    time = np.arange(0, length, 1 / hertz)
    if time.size < 6:
        return None
    pressure = draw.uniform(8, 11) + climb / 60 * time + law(draw, time)
    beyond = np.flatnonzero((pressure < 0.5) | (pressure > 20))
    end = int(beyond[0]) if beyond.size else time.size
    if end < 6:
        return None
    reading = np.round((pressure + noise * draw.standard_normal(time.size)) / division) * division
    return Drawn(time[:end], reading[:end], division, float(climb), pressure[:end], noise)
