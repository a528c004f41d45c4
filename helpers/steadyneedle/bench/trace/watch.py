"""The hold that counts, estimated: its rate, where it stands at the sheet's time, how far it rises, what is strange.

Seconds from the hold's first reading on, bar, bar/min.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.estimate import Estimate, Range, estimate_hold
from steadyneedle.bench.trace.misfit import misfit_of
from steadyneedle.bench.trace.phases import ENOUGH
from steadyneedle.bench.trace.scale import BAR, Scale
from steadyneedle.bench.trace.sharp import BY_HAND, Move, usual_noise
from steadyneedle.bench.trace.stopped import WANDERED, stopped, wandered
from steadyneedle.bench.units import Q, formatted

AFTER_PURGE, NEXT_READING = 5.0, 20.0
"""s after a purge from which a rise is counted (common practice, no source): from the first reading then, where one
comes soon enough; else the law says where the needle stood."""

LARGEST_SETTLE = 1.0
"""bar; more is no settle (invented)."""

SCATTER, SCATTER_DIVISIONS = 0.08, 0.75
"""bar and divisions: where readings scatter by more, as a standard deviation, the needle swings (invented)."""

NO_PRESSURE = 1.0
"""bar; a needle that stands lower has nothing on it (invented: no first stage is set so low)."""

AT_REST = 0.3
"""bar; a needle that keeps below rests on its stop, or nearly (invented)."""

PURGE_AGAIN, TAP_IT = "Purge it and watch again.", "Tap the gauge, purge, and watch again."
WITHOUT_PURGE = "Watch again without a purge; log one that you need."
WATCH_IT_CLIMB = "It climbs now: watch on, and shut the cylinder valve at the stop."
READ_FASTER = "Read it every second or two, or film it."
PRESSURISE = "Open the cylinder valve, look at the supply gauge, and watch again."

SWING, SWING_DIVISIONS, ALIKE, UNLIKE = 0.05, 0.5, 0.8, 0.3
"""bar and divisions of scatter, and correlations, from which readings that come round again are a swing (invented)."""

ALIKE_BY_HAND, BY_CHANCE = 0.5, 3.2
"""The same correlation in a log read by hand, whose readings seldom fall on the same place of a tooth, and how many
standard deviations of chance it must exceed."""

ONE_STEP, ALIKE_ONE_STEP, MANY = 0.35, 0.6, 100
"""Divisions of scatter, correlation and readings from which a swing is seen that moves the needle by one step there and
back: a staircase scatters by 0.29 of a division, a needle that flickers between two marks is not like itself later."""

FEWEST_ROUNDS, MOST_POINTS = 5, 1000
"""Rounds in a watch from which they count, and readings among which they are looked for."""

STILL, NOT_MOVED = 0.005, "did not move"
"""bar; less is no move that two digits show."""

CAME_BACK = "came back"

SHORT = 6.0
"""s; less is said in seconds."""

UNSEEN = 60.0
"""s from one reading to the next, beyond which a change between them is no jump seen, and the last stands alone."""

AROUND = 10.0
"""s before and after a time within which readings say where a strange needle stood."""


@dataclass(frozen=True)
class Watch:
    """A hold of n readings.

    `minutes` is how long the sheet asks to watch [min], None where it does not; `begin` the time from which a rise
    counts and `judged_at` that at which band and rise are judged [s]; `whole` whether the watch lasts that long;
    `strange` says what the needle did that is no settle and creep, or nothing, and `next_step` what to do then. Words
    are in the unit of `scale` and name times of the log, in which the hold starts at `started` [s].
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
    next_step: str = PURGE_AGAIN
    scale: Scale = BAR
    started: float = 0.0

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
        scale: Scale = BAR,
    ) -> Watch:
        """Estimate a hold: times [s] and readings [bar] of shape (n,), at least three; `purged` right before it.

        `jumps` are sharp moves within it, in rows of a log of which `first` is the hold's first.
        """
        times, readings = np.asarray(time, float), np.asarray(pressure, float)
        started = float(times[0])
        times = times - started
        later = times[times >= AFTER_PURGE] if purged else times
        begin, last = float(later[0]) if later.size else 0.0, float(times[-1])
        begin = begin if begin <= NEXT_READING else AFTER_PURGE
        whole = minutes is None or last - begin >= 60 * minutes * ENOUGH
        judged_at = last if minutes is None or not whole else begin + 60 * minutes
        estimate = estimate_hold(times, readings, division)
        strange, next_step = _at_rest(readings, scale), PRESSURISE
        if not strange:
            strange, next_step = _jumped(times, readings, jumps, first, scale, started), TAP_IT
        if not strange:
            strange, next_step = _strange(estimate, times, readings, scale, started)
        rate = estimate.rate()
        if not strange:
            since = stopped(times, readings, division, (rate.lowest, rate.highest))
            if since is not None:
                stands = scale.pressure(float(np.median(readings[times >= since])), 2)
                strange = f"since {_minutes(started + since)} it has stood at {stands}"
        return cls(
            times, readings, division, minutes, begin, judged_at, whole, purged, estimate, rate, strange,
            next_step, scale, started,
        )  # fmt: skip

    @property
    def watched(self) -> float:
        """How long the hold lasts [s]."""
        return float(self.time[-1])

    @property
    def empty(self) -> bool:
        """Whether no pressure, or as good as none, is on the needle."""
        return float(np.median(self.pressure)) < NO_PRESSURE

    @property
    def rise_minutes(self) -> float:
        """Over how long the rise is taken [min]."""
        return (self.judged_at - self.begin) / 60

    @property
    def rise_lasts(self) -> str:
        """Words for over how long the rise is taken."""
        return _minutes(60 * self.rise_minutes)

    @property
    def when_judged(self) -> str:
        """Words for the time at which the band is judged."""
        if self.minutes is None:
            return "At the last reading"
        if self.whole:
            return f"After {formatted(Q(self.minutes, 'min'))}"
        if self.purged:
            return f"At the last reading, {_minutes(self.watched)} after the last purge"
        return self.at_the_last

    @property
    def at_the_last(self) -> str:
        """Words for the last reading, by the log's own time."""
        return f"At the last reading, {_minutes(self.started + self.watched)}"

    def level_at(self, time: float) -> Range:
        """Where the needle stands at a time [bar]; a strange one by its readings, so not after the last of them."""
        return self.read_at(time) if self.strange else self.estimate.level(time)

    def rise(self) -> Range:
        """How far the needle rises from `begin` to `judged_at` [bar]."""
        if not self.strange:
            return self.estimate.rise(self.begin, self.judged_at)
        first, last = self.read_at(self.begin), self.read_at(min(self.judged_at, self.watched))
        half, most = first.high - first.low, first.highest - first.lowest
        value = last.value - first.value
        return Range(value, value - half, value + half, value - most, value + most)

    def moves_by(self, way: int) -> float:
        """By how much a reading lies above an earlier one at most, or below it for a way of -1 [bar]."""
        along = way * self.pressure
        return float((along - np.minimum.accumulate(along)).max())

    def seen(self) -> str:
        """What the needle did in all, in words."""
        return _moved(self.time, self.pressure, self.scale, self.division)

    def that_fell_back(self, time: float) -> Watch:
        """The same needle, found to have climbed, fallen back after a time [s] and climbed again."""
        strange = f"it climbed, fell back after {_minutes(self.started + time)}, and climbed again"
        return replace(self, strange=strange, next_step=WITHOUT_PURGE)

    def read_at(self, time: float) -> Range:
        """The median of the readings around a time, give or take half a division and twice the noise."""
        around = np.flatnonzero(np.abs(self.time - time) <= AROUND)
        if around.size < 3:
            around = np.argsort(np.abs(self.time - time))[:3]
            if time >= self.watched and self.watched - float(self.time[-2]) > UNSEEN:
                around = np.array([self.time.size - 1])  # a second look: those before it say nothing of now
        value = float(np.median(self.pressure[around]))
        half = self.division / 2 + 2 * usual_noise(self.time, self.pressure, self.division)
        return Range(value, value - half, value + half, value - 1.5 * half, value + 1.5 * half)


def _at_rest(pressure: np.ndarray, scale: Scale) -> str:
    """Words for a needle without pressure, or nothing."""
    low = float(np.quantile(pressure, 0.75))
    return f"it stands at {scale.pressure(float(pressure[-1]), 1)}, so no pressure is on it" if low < AT_REST else ""


def _jumped(
    time: np.ndarray, pressure: np.ndarray, jumps: Sequence[Move], first: int, scale: Scale, started: float
) -> str:
    """Words for a needle that jumped, or nothing."""
    if not jumps:
        return ""
    largest = max(jumps, key=lambda jump: abs(jump.by))
    way = "jumped" if largest.by > 0 else "dropped"
    before, after = (float(time[min(row - first, time.size - 1)]) for row in (largest.first, largest.last))
    when = f"at {_minutes(started + before)}"
    if after - before > UNSEEN and largest.last - largest.first == 1:
        way = "climbed" if largest.by > 0 else "fell"
        when = f"between {_minutes(started + before)} and {_minutes(started + after)}, unseen"
    size = scale.pressure(abs(largest.by), 2)
    often = f", {len(jumps)} such moves in all" if len(jumps) > 1 else ""
    return f"it {way} by {size} {when}{often}{_in_all(time, pressure, scale)}"


def _strange(
    estimate: Estimate, time: np.ndarray, pressure: np.ndarray, scale: Scale, started: float
) -> tuple[str, str]:
    """What the needle did that is no settle and creep, in words, or nothing; and what to do then."""
    middle, division = float(np.median(pressure)), estimate.held.division
    if middle < NO_PRESSURE:
        return f"it stands at {scale.pressure(middle, 1)}, so no pressure is on it", PRESSURISE
    scatter = min(estimate.noise, usual_noise(time, pressure, division))
    if scatter > max(SCATTER, SCATTER_DIVISIONS * division) or _repeats(time, pressure, division):
        low, high = (float(np.quantile(pressure, share)) for share in (0.05, 0.95))
        return f"it swings {scale.pressures(low, high, 1)}", READ_FASTER
    said = _bent(estimate, time, pressure, scale, started)
    few = max(1, time.size // 4)
    climbs = float(np.median(pressure[-few:]) - np.median(pressure[-2 * few : -few])) > division / 2
    return said, WATCH_IT_CLIMB if climbs else PURGE_AGAIN


def _repeats(time: np.ndarray, pressure: np.ndarray, division: float) -> bool:
    """Whether readings come round again and again, by more than rounding explains: like themselves some rows later, but
    not in between."""
    if time.size < FEWEST_ROUNDS * 4:
        return False
    if time.size <= BY_HAND and _sharp_one_way(pressure, division):
        return True
    few = pressure[:: max(1, time.size // MOST_POINTS)]
    place = np.linspace(-1, 1, few.size)
    smooth = np.linalg.qr(np.vander(place, 4))[0]
    left = few - smooth @ (smooth.T @ few)
    scatter = float(left.std())
    one_step = scatter <= max(SWING, SWING_DIVISIONS * division)
    if scatter <= SWING or (one_step and (scatter <= ONE_STEP * division or few.size < MANY)):
        return False
    later = np.correlate(left, left, "full")[left.size : left.size + left.size // FEWEST_ROUNDS]
    alike = later / (left.size - 1 - np.arange(later.size)) / scatter**2
    apart = np.flatnonzero(alike < UNLIKE)
    enough = ALIKE if time.size > BY_HAND else min(max(ALIKE_BY_HAND, BY_CHANCE / time.size**0.5), ALIKE)
    enough = ALIKE_ONE_STEP if one_step else enough
    return bool(apart.size and np.any(alike[apart[0] :] > enough))


def _sharp_one_way(pressure: np.ndarray, division: float) -> bool:
    """Whether a needle read by hand goes two divisions at once again and again, always the same way, and comes back."""
    steps = np.diff(pressure)
    up, down = (int(np.count_nonzero(way * steps > 1.5 * division)) for way in (1, -1))
    comes_back = abs(float(steps.sum())) < 2.5 * division
    return comes_back and min(up, down) == 0 and max(up, down) >= FEWEST_ROUNDS


def _bent(estimate: Estimate, time: np.ndarray, pressure: np.ndarray, scale: Scale, started: float) -> str:
    """Words for a needle that jumps, bends, wanders or settles too far; or nothing."""
    found = misfit_of(estimate.held)
    in_all = _in_all(time, pressure, scale)
    if found.refuses:
        when = _minutes(started + found.time)
        if found.kind == "jump":
            way = "jumped" if found.size > 0 else "dropped"
            return f"it {way} by {scale.pressure(abs(found.size), 2)} at {when}{in_all}"
        if found.kind == "bend":
            change = scale.rate(abs(found.size), 3)
            way = "more" if found.size > 0 else "less"
            return f"from {when} on it climbed {way}, by {change}{in_all}"
        return f"no settle and no straight climb go with it{in_all}"
    settled = estimate.settled()
    if settled.low > LARGEST_SETTLE or settled.high < -LARGEST_SETTLE:
        return f"it {_moved(time, pressure, scale)}, and most of that slowed down: no settle is so large"
    return ""


def _minutes(seconds: float) -> str:
    return formatted(Q(seconds / 60, "min"), 1) if seconds >= SHORT else formatted(Q(seconds, "s"), 1)


def _in_all(time: np.ndarray, pressure: np.ndarray, scale: Scale) -> str:
    """The same, to be said after something else; nothing where it ended where it began."""
    moved = _moved(time, pressure, scale)
    return "" if moved.startswith(NOT_MOVED) else f", and in all it {moved}"


def _moved(time: np.ndarray, pressure: np.ndarray, scale: Scale, division: float = 0.0) -> str:
    """Words for how far the needle went from its first readings to its last."""
    few = max(1, min(5, time.size // 50))
    by = float(np.median(pressure[-few:]) - np.median(pressure[:few]))
    lasted = _minutes(float(time[-1]))
    if abs(by) < STILL and wandered(time, pressure, division):
        low, high = (float(np.quantile(pressure, share)) for share in WANDERED)
        return f"moved {scale.pressures(low, high, 2)} and {CAME_BACK} in {lasted}"
    if abs(by) < STILL:
        return f"{NOT_MOVED} in {lasted}"
    way = "rose" if by >= 0 else "fell"
    return f"{way} by {scale.pressure(abs(by), 2)} in {lasted}"
