"""What the needles of an examination show, in the words that findings are made of. SI.

The judge of a gauge log, `bench.trace`, says what a watch shows. What is compared within an examination, the lock-ups
after five purges or a supply needle with the valve shut, is read off the same gauge to its division.
"""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.bands.specification import Sheet
from steadyneedle.bench.diagnosis.gauge_kinds import GaugeKind
from steadyneedle.bench.trace import judge_trace
from steadyneedle.bench.trace.logs import Log
from steadyneedle.physics.si import BAR

EVERY = 15.0
"""Seconds between two readings that somebody calls out."""

FAST = 0.1
"""bar/min; a creep above it is called fast (ours)."""

SUPPLY_DIVISION = 5 * BAR
"""Pa; the division of the supply gauge, of 300 bar (invented)."""

STOPPED = "climbs to the stop"
WATCHED = (
    "stands",
    "settles",
    "creeps slowly",
    "creeps fast",
    STOPPED,
    "falls",
    "saw-tooth",
    "free flow",
    "cannot tell",
)
BANDED = ("locks high", "locks low")
"""Words that need a sheet."""

_AS_JUDGED = {"locks": "stands"}


def watched(times: np.ndarray, readings: np.ndarray, gauge: GaugeKind, sheet: Sheet, stop: float, banded: bool) -> str:
    """What a watch shows, by the judge of a gauge log.

    Parameters
    ----------
    times, readings : array, shape (n,)
        Times [s] and readings [Pa over ambient].
    gauge : GaugeKind
        Its division counts.
    sheet : Sheet
        Its allowed rise is the limit of a creep; its band counts where `banded`.
    stop : float
        The reading at which the watch ended [Pa].
    banded : bool
        Whether the sheet's band is asked: only at the supply it is stated for.

    Returns
    -------
    str
        One of `WATCHED`, or of `BANDED` where the band is asked.

    References
    ----------
    `bench.trace.judge_trace`; fast or slow is ours.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind, sheet_for
    >>> times = np.arange(0.0, 301, 15)
    >>> gauge, sheet = gauge_kind("fine"), sheet_for("Alder", "fine")
    >>> watched(times, (9 + times / 400) * BAR, gauge, sheet, 11.5 * BAR, True)
    'creeps fast'
    """
    if readings.size and readings.max() >= stop:
        return STOPPED
    try:
        log = Log.from_arrays(times, readings / BAR, "bar", division=gauge.division / BAR)
        limit = sheet.rise_limit()
        verdict = judge_trace(log, sheet) if banded else judge_trace(log, None, limit)
    except ValueError:  # a needle that moves to the end, or too few readings
        return "cannot tell"
    if verdict.outcome == "creeps":
        rate = float(verdict.creep_rate.value.to("bar/min").magnitude)
        return "creeps fast" if abs(rate) >= FAST else "creeps slowly"
    return _AS_JUDGED.get(verdict.outcome, verdict.outcome)


def moved(early: float, late: float, gauge: GaugeKind) -> str:
    """How a needle went between two readings: stays, climbs or falls by more than a division and a half.

    Parameters
    ----------
    early, late : float
        Readings [Pa].
    gauge : GaugeKind
        Its division counts.

    Returns
    -------
    str
        "stays", "climbs" or "falls".

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind
    >>> moved(9.8e5, 9.85e5, gauge_kind("fine")), moved(9.8e5, 9.9e5, gauge_kind("fine"))
    ('stays', 'climbs')
    """
    change = late - early
    least = 1.4 * gauge.division
    return "climbs" if change > least else "falls" if change < -least else "stays"


def supply_moved(before: float, after: float) -> str:
    """What the supply needle did, read to its division: holds, or falls.

    Parameters
    ----------
    before, after : float
        Pressures at the inlet [Pa over ambient].

    Returns
    -------
    str
        "supply holds" or "supply falls".

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> supply_moved(200e5, 196e5), supply_moved(200e5, 150e5)
    ('supply holds', 'supply falls')
    """
    read = [round(one / SUPPLY_DIVISION) for one in (before, after)]
    return "supply falls" if read[0] - read[1] > 1 else "supply holds"


def repeats(locks: np.ndarray, rises: np.ndarray, gauge: GaugeKind) -> str:
    """What five purges show: the lock-ups after each, and how far the needle rose in the 27 s that followed.

    Parameters
    ----------
    locks, rises : array, shape (purges,)
        Readings, and their rises [Pa].
    gauge : GaugeKind
        Its division counts.

    Returns
    -------
    str
        "lock-up repeats", "lock-up moves", "climbs after some purges" or "climbs after each".

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind
    >>> repeats(np.array([9.8, 9.8, 9.9, 9.8, 9.8]) * BAR, np.zeros(5), gauge_kind("coarse"))
    'lock-up repeats'
    """
    least = 1.4 * max(gauge.division, 0.07 * BAR)
    climbed = rises > least
    if climbed.all():
        return "climbs after each"
    if climbed.any():
        return "climbs after some purges"
    return "lock-up moves" if np.ptp(locks) > least else "lock-up repeats"
