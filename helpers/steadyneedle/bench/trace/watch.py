"""The hold that counts, estimated: its rate, where it stands at the sheet's time, how far it rises, what is strange.

Seconds from the hold's first reading on, bar, bar/min.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.estimate import Estimate, Range, estimate_hold
from steadyneedle.bench.trace.misfit import misfit_of
from steadyneedle.bench.trace.phases import ENOUGH
from steadyneedle.bench.trace.sharp import Move, usual_noise
from steadyneedle.bench.units import Q, formatted

AFTER_PURGE = 5.0
"""s after a purge from which a rise is counted (common practice, no source)."""

LARGEST_SETTLE = 1.0
"""bar; more is no settle (invented)."""

AROUND = 10.0
"""s before and after a time within which readings say where a strange needle stood."""


@dataclass(frozen=True)
class Watch:
    """A hold of n readings.

    `minutes` is how long the sheet asks to watch [min], None where it does not; `begin` the time from which a rise
    counts and `judged_at` that at which band and rise are judged [s]; `whole` whether the watch lasts that long;
    `strange` says what the needle did that is no settle and creep, or nothing.
    """

    time: np.ndarray
    pressure: np.ndarray
    division: float
    minutes: float | None
    begin: float
    judged_at: float
    whole: bool
    purged: bool
    estimate: Estimate
    rate: Range
    strange: str

    @classmethod
    def over(
        cls,
        time: ArrayLike,
        pressure: ArrayLike,
        division: float,
        minutes: float | None = None,
        purged: bool = False,
        jumps: Sequence[Move] = (),
        first: int = 0,
    ) -> Watch:
        """Estimate a hold: times [s] and readings [bar] of shape (n,), at least three; `purged` right before it.

        `jumps` are sharp moves within it, in rows of a log of which `first` is the hold's first.
        """
        times, readings = np.asarray(time, float), np.asarray(pressure, float)
        times = times - times[0]
        later = times[times >= AFTER_PURGE] if purged else times
        begin, last = float(later[0]) if later.size else 0.0, float(times[-1])
        whole = minutes is None or last - begin >= 60 * minutes * ENOUGH
        judged_at = last if minutes is None or not whole else begin + 60 * minutes
        estimate = estimate_hold(times, readings, division)
        strange = _jumped(times, readings, jumps, first) or _strange(estimate, times, readings)
        return cls(
            times, readings, division, minutes, begin, judged_at, whole, purged, estimate, estimate.rate(), strange
        )

    @property
    def watched(self) -> float:
        """How long the hold lasts [s]."""
        return float(self.time[-1])

    @property
    def rise_minutes(self) -> float:
        """Over how long the rise is taken [min]."""
        return (self.judged_at - self.begin) / 60

    @property
    def when_judged(self) -> str:
        """Words for the time at which the band is judged."""
        if self.minutes is None:
            return "At the last reading"
        after = " after the last purge" if self.purged else ""
        if self.whole:
            return f"After {formatted(Q(self.minutes, 'min'))}"
        return f"At the last reading, {formatted(Q(self.watched / 60, 'min'), 1)}{after}"

    def level_at(self, time: float) -> Range:
        """Where the needle stands at a time [bar]; a strange one by its readings, so not after the last of them."""
        return self._read(time) if self.strange else self.estimate.level(time)

    def rise(self) -> Range:
        """How far the needle rises from `begin` to `judged_at` [bar]."""
        if not self.strange:
            return self.estimate.rise(self.begin, self.judged_at)
        first, last = self._read(self.begin), self._read(min(self.judged_at, self.watched))
        half, most = first.high - first.low, first.highest - first.lowest
        value = last.value - first.value
        return Range(value, value - half, value + half, value - most, value + most)

    def seen(self) -> str:
        """What the needle did in all, in words."""
        return _moved(self.time, self.pressure)

    def _read(self, time: float) -> Range:
        """The median of the readings around a time, give or take half a division and twice the noise."""
        around = np.flatnonzero(np.abs(self.time - time) <= AROUND)
        if around.size < 3:
            around = np.argsort(np.abs(self.time - time))[:3]
        value = float(np.median(self.pressure[around]))
        half = self.division / 2 + 2 * usual_noise(self.time, self.pressure, self.division)
        return Range(value, value - half, value + half, value - 1.5 * half, value + 1.5 * half)


def _jumped(time: np.ndarray, pressure: np.ndarray, jumps: Sequence[Move], first: int) -> str:
    """Words for a needle that jumped, or nothing."""
    if not jumps:
        return ""
    largest = max(jumps, key=lambda jump: abs(jump.by))
    way = "jumped" if largest.by > 0 else "dropped"
    after = formatted(Q(float(time[min(largest.first - first, time.size - 1)]) / 60, "min"), 1)
    size = formatted(Q(abs(largest.by), "bar"), 2)
    often = f", {len(jumps)} such moves in all" if len(jumps) > 1 else ""
    return f"it {way} by {size} after {after}{often}, and in all it {_moved(time, pressure)}"


def _strange(estimate: Estimate, time: np.ndarray, pressure: np.ndarray) -> str:
    """What the needle did that is no settle and creep, in words; or nothing."""
    found = misfit_of(estimate.held)
    moved = _moved(time, pressure)
    if found.refuses:
        after = f"after {formatted(Q(found.time / 60, 'min'), 1)}"
        if found.kind == "jump":
            way = "jumped" if found.size > 0 else "dropped"
            return f"it {way} by {formatted(Q(abs(found.size), 'bar'), 2)} {after}, and in all it {moved}"
        if found.kind == "bend":
            change = formatted(Q(abs(found.size), "bar/min"), 3)
            way = "more" if found.size > 0 else "less"
            return f"{after} it climbed {way}, by {change}, and in all it {moved}"
        return f"no settle and no straight climb go with it, and in all it {moved}"
    settled = estimate.settled()
    if settled.low > LARGEST_SETTLE or settled.high < -LARGEST_SETTLE:
        return f"it {moved}, and most of that slowed down: no settle is so large"
    return ""


def _moved(time: np.ndarray, pressure: np.ndarray) -> str:
    """Words for how far the needle went from its first readings to its last."""
    few = max(1, min(5, time.size // 50))
    by = float(np.median(pressure[-few:]) - np.median(pressure[:few]))
    way = "rose" if by >= 0 else "fell"
    return f"{way} by {formatted(Q(abs(by), 'bar'), 2)} in {formatted(Q(float(time[-1]) / 60, 'min'), 1)}"
