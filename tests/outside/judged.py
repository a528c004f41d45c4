"""Logs drawn, judged and counted: what tests of the judge share. One row for each log."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from steadyneedle.bench.trace import Log, judge_trace

LIMIT = 0.02
"""bar/min, the judge's own where no sheet is named."""

CREEPS, FALLS, STANDS, CANNOT_TELL, REFUSED, OTHER = 1.0, -1.0, 0.0, 9.0, 8.0, 7.0
SAID = {"creeps": CREEPS, "falls": FALLS, "locks": STANDS, "settles": STANDS, "cannot tell": CANNOT_TELL}


class Drawn(Protocol):
    """A log with its true rate [bar/min]."""

    time: np.ndarray
    reading: np.ndarray
    division: float
    rate: float


@dataclass(frozen=True)
class Judged:
    """Rows of n logs: true rate, 95 % interval, what was said, division; refused logs have no interval."""

    rows: np.ndarray

    @property
    def stated(self) -> np.ndarray:
        return np.isfinite(self.rows[:, 1])

    @property
    def covered(self) -> float:
        """Part of the stated intervals that hold the true rate."""
        rows = self.rows[self.stated]
        return float(((rows[:, 1] <= rows[:, 0]) & (rows[:, 0] <= rows[:, 2])).mean())

    @property
    def told(self) -> float:
        """Part of the logs that end in creeps, falls, locks or settles."""
        return float(np.isin(self.rows[:, 3], [CREEPS, FALLS, STANDS]).mean())

    @property
    def refused(self) -> float:
        """Part of the logs whose needle "does not behave like settle and creep"."""
        return float((self.rows[:, 3] == REFUSED).mean())

    @property
    def taken_for_something_else(self) -> float:
        """Part of the logs called saw-tooth or free flow."""
        return float((self.rows[:, 3] == OTHER).mean())

    def false_at_zero(self, division: float | None = None) -> tuple[int, int]:
        """How many logs whose rate is exactly 0 are said to creep or fall, and how many such logs there are."""
        still = self.rows[:, 0] == 0
        if division is not None:
            still &= self.rows[:, 4] == division
        return int(np.isin(self.rows[still, 3], [CREEPS, FALLS]).sum()), int(still.sum())

    def only(self, chosen: np.ndarray) -> Judged:
        return Judged(self.rows[chosen])

    def line(self, name: str) -> str:
        wrong, still = self.false_at_zero()
        return (
            f"{name:18} {self.rows.shape[0]:5} logs: told {self.told:.3f}, covered {self.covered:.3f}, "
            f"at rate 0 {wrong} of {still} creep or fall, refused {self.refused:.4f}, "
            f"saw-tooth or free flow {self.taken_for_something_else:.4f}"
        )


def looked_at(log: Drawn) -> tuple[float, ...]:
    verdict = judge_trace(Log.from_arrays(log.time, log.reading, "bar", log.division))
    said = SAID.get(verdict.outcome, OTHER) if verdict.fits or verdict.outcome != "cannot tell" else REFUSED
    rate = verdict.creep_rate
    return log.rate, float(rate.low.magnitude), float(rate.high.magnitude), said, log.division


def judged(draw: Callable[[int], Drawn], numbers: range, workers: int = 1) -> Judged:
    """`draw` must be a function of a module, or a partial of one, where there is more than one worker."""
    if workers == 1:
        return Judged(np.array([looked_at(draw(number)) for number in numbers]))
    with ProcessPoolExecutor(workers) as pool:
        return Judged(np.array(list(pool.map(_Look(draw), numbers, chunksize=10))))


@dataclass(frozen=True)
class _Look:
    draw: Callable[[int], Drawn]

    def __call__(self, number: int) -> tuple[float, ...]:
        return looked_at(self.draw(number))


def together(parts: list[Judged]) -> Judged:
    return Judged(np.concatenate([part.rows for part in parts]))


def allowed_in_sample(part: float, count: int) -> float:
    """Three standard errors of a part found in so many logs: what a sample may miss the whole by."""
    return 3 * (part * (1 - part) / max(count, 1)) ** 0.5
