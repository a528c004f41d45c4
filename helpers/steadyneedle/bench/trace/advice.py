"""How much longer to watch, and when a log passed the reading at which to stop. Minutes, bar, bar/min."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.watch import Watch
from steadyneedle.bench.units import Q, formatted

TYPICAL, TYPICAL_LIMIT = 7.0, 0.02
"""min, a whole watch that tells a limit of so many bar/min; found with the logs of tests/outside."""

NARROWS = 1.5
"""The interval of a rate narrows about as time to this power; found with the same logs."""

AT_LIMIT = 0.3
"""Part of the limit within which a rate lies at the limit."""

LONGEST = 60.0
"""min; nobody watches longer."""


SOON = 10.0
"""s; nobody counts fewer."""


@dataclass(frozen=True)
class Advice:
    """Minutes more to watch now, at most as many as were watched; minutes the whole watch may take; and words."""

    more: float
    in_all: float
    words: str


def stop_passed(time: np.ndarray, pressure: np.ndarray, stop: float) -> float | None:
    """When a log first reads above the pressure at which to stop.

    Parameters
    ----------
    time : array, shape (n,)
        Times [s].
    pressure : array, shape (n,)
        Readings [bar].
    stop : float
        Where to stop, as `bands.stopping.stop_of` says [bar].

    Returns
    -------
    float or None
        Seconds; None where it never does.

    References
    ----------
    Definition.

    Examples
    --------
    >>> stop_passed(np.array([0.0, 60.0]), np.array([11.9, 12.1]), 12.0)
    60.0
    """
    above = np.flatnonzero(pressure > stop + 1e-9)
    return float(time[above[0]]) if above.size else None


def advise(watch: Watch, limit: float, stop: float, rate_open: bool) -> Advice | None:
    """How much longer to watch.

    Parameters
    ----------
    watch : Watch
        The hold that counts, estimated.
    limit : float
        Limit of the rate [bar/min], above 0.
    stop : float
        Pressure at which to stop [bar].
    rate_open : bool
        Whether the rate is still to be told.

    Returns
    -------
    Advice or None
        None where watching on does not help: the needle is strange, or stands at the stop.

    References
    ----------
    Our choice; how often the whole watch advised is right within a factor of two stands in tests/outside.

    Examples
    --------
    >>> advice = advise(Watch.over(np.arange(0, 121, 15.0), np.full(9, 9.8), 0.1), 0.02, 12.0, True)
    >>> 0 < advice.more <= 2, advice.in_all > 2
    (True, True)
    """
    watched = watch.watched / 60
    until_stop = _minutes_to(watch, stop)
    if watch.strange or until_stop <= 0:
        return None
    in_all = _whole_watch(watch, limit) if rate_open else 0.0
    if not watch.whole and watch.minutes is not None:
        in_all = max(in_all, watch.minutes + (watch.begin if watch.purged else 0) / 60, watched * 1.01)
    if in_all <= 0:
        return None
    in_all = min(in_all, LONGEST)
    more = min(max(in_all - watched, 0.1 * watched), watched)
    rounded = math.ceil(2 * more - 1e-9) / 2
    more = rounded if rounded <= watched else more
    more = min(more, until_stop)
    return Advice(more, max(in_all, watched + more), _words(watch, limit, stop, more, in_all, rate_open))


def _whole_watch(watch: Watch, limit: float) -> float:
    """Minutes in all until the rate should be told: half by how the interval narrows, half by what is typical."""
    rate, watched = watch.rate, watch.watched / 60
    size = abs(rate.value)
    if size < limit:
        half = (rate.high - rate.low) / 2
    else:
        half = rate.value - rate.lowest if rate.value > 0 else rate.highest - rate.value
    room = max(abs(size - limit), AT_LIMIT * limit)
    by_width = watched * max(half / room, 1.02) ** (1 / NARROWS)
    typical = TYPICAL * (TYPICAL_LIMIT / limit) ** (1 / NARROWS)
    return max((by_width * typical) ** 0.5, 1.1 * watched)


def _minutes_to(watch: Watch, stop: float) -> float:
    """Minutes until the needle may come to the stop, at the fastest climb that is likely; infinite where it falls."""
    room = stop - watch.level_at(watch.watched).value
    if room <= 0:
        return 0.0
    return room / watch.rate.high if watch.rate.high > 0 else math.inf


def _words(watch: Watch, limit: float, stop: float, more: float, in_all: float, rate_open: bool) -> str:
    longer = formatted(Q(more, "min"), 1 if more % 1 else 0) if more >= 0.5 else formatted(Q(60 * more, "s"), 0)
    words = f"watch {longer} longer" if 60 * more >= SOON else "watch on"
    if in_all > watch.watched / 60 + more + 0.5:
        words += f", about {formatted(Q(in_all, 'min'), 0)} in all may be needed"
    if rate_open and abs(abs(watch.rate.value) - limit) < AT_LIMIT * limit:
        words += "; the rate lies near the limit, so watching may not decide"
    return f"{words}; shut the valve at {watch.scale.stop(stop)}" if watch.rate.high > 0 else words
