"""What a needle that nobody touches may do, before any reading is seen: the law that logs are judged by.

Level and straight climb are free. On top of them come none, one or two settles of either sign, a drift whose values
are correlated over a time, and white noise; a small smooth drift is always allowed. How likely each is stands in
`datasets/settle_law.csv`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from steadyneedle.foundation import datasets

NO_SETTLE = 0.0
"""bar; the size of a settle that does not take place."""


@dataclass(frozen=True)
class Settles:
    """Every choice of settles: which time constants, which standard deviations, and how likely.

    `first` and `second`, shape (m,), are places in `SettleLaw.constants`; `first_size` and `second_size` [bar], shape
    (m,), are 0 where there is no such settle; `log_weight`, shape (m,), is the logarithm of the prior probability.
    """

    first: np.ndarray
    second: np.ndarray
    first_size: np.ndarray
    second_size: np.ndarray
    log_weight: np.ndarray


@dataclass(frozen=True)
class SettleLaw:
    """The law: seconds and bar.

    `constants`, shape (c,), time constants of settles; `drift_lengths` and `drift_sizes`, shape (d,), with the
    logarithm of how likely each is; length and standard deviation of the smooth drift that is always there; `noises`,
    shape (w,), white noise with the logarithm of how likely each is.
    """

    constants: np.ndarray
    settles: Settles
    drift_lengths: np.ndarray
    drift_sizes: np.ndarray
    drift_log_weights: np.ndarray
    floor_length: float
    floor_size: float
    noises: np.ndarray
    noise_log_weights: np.ndarray

    @staticmethod
    @cache
    def shipped() -> SettleLaw:
        """The law as `datasets/settle_law.csv` has it (invented; small settles are likely).

        >>> SettleLaw.shipped().floor_size
        0.005
        """
        return _read()

    def noise_belief(self, noise: float) -> float:
        """Logarithm of how likely a white noise is [bar]; beyond the table it falls as its third power."""
        beyond = max(noise / float(self.noises[-1]), 1.0)
        return float(np.interp(np.log(noise), np.log(self.noises), self.noise_log_weights)) - 3 * float(np.log(beyond))

    @property
    def largest_drift(self) -> float:
        """Standard deviation of the largest drift in the law [bar]."""
        return float(self.drift_sizes.max())


def _read() -> SettleLaw:
    """The committed table."""
    columns = datasets.table("settle_law", ("time_s", "pressure_bar", "weight"))
    part = np.array(columns["part"])

    def rows(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        chosen = part == name
        time, pressure, weight = (np.array(columns[one])[chosen] for one in ("time_s", "pressure_bar", "weight"))
        return time, pressure, weight / weight.sum()

    counts = rows("settles")[2]
    constants, _, constant_weights = rows("constant")
    _, sizes, size_weights = rows("size")
    lengths, drifts, drift_weights = rows("drift")
    floor_length, floor_size, _ = rows("floor")
    _, noises, noise_weights = rows("noise")
    return SettleLaw(
        constants, _choices(counts, constant_weights, sizes, size_weights), lengths, drifts, np.log(drift_weights),
        float(floor_length[0]), float(floor_size[0]), noises, np.log(noise_weights),
    )  # fmt: skip


def _choices(counts: np.ndarray, constant_weights: np.ndarray, sizes: np.ndarray, size_weights: np.ndarray) -> Settles:
    """None, then each single settle, then each pair of different time constants."""
    rows: list[tuple[int, int, float, float, float]] = [(0, 1, NO_SETTLE, NO_SETTLE, float(counts[0]))]
    kinds = [
        (at, float(size), float(likely * weight))
        for at, likely in enumerate(constant_weights)
        for size, weight in zip(sizes, size_weights, strict=True)
    ]
    rows += [(at, (at + 1) % constant_weights.size, size, 0.0, counts[1] * weight) for at, size, weight in kinds]
    pairs = [(one, two) for one in kinds for two in kinds if one[0] < two[0]]
    whole = sum(one[2] * two[2] for one, two in pairs)
    rows += [(one[0], two[0], one[1], two[1], counts[2] * one[2] * two[2] / whole) for one, two in pairs]
    first, second, first_size, second_size, weight = zip(*rows, strict=True)
    return Settles(np.array(first), np.array(second), np.array(first_size), np.array(second_size), np.log(weight))
