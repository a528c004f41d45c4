"""What somebody reads off the needle in a test of a job, and how far before it comes to the stop. SI.

Where a test shuts the cylinder valve itself and the needle is at the stop before that, the valve is shut there, and the
test goes on from that moment: what it shows is what follows, on the rig.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.diagnosis.bench_runs import Run
from steadyneedle.bench.diagnosis.hidden import Hidden, log_of
from steadyneedle.bench.diagnosis.needle_tests import OnAGauge
from steadyneedle.bench.diagnosis.needle_words import EVERY, moved, supply_moved
from steadyneedle.jobs.kept_bench import InAJob

SHUT, BLEED, PURGES = "shut", "bleed", "purge_watch"
SHUTS_THE_VALVE = {SHUT: "shut", BLEED: "bled"}
"""Tests that shut the cylinder valve, and their runs."""

LOCKED, LATER = 12.0, 39.0
"""Seconds after each of the five purges at which the needle is read."""


@dataclass(frozen=True)
class NeedleLog:
    """Times [s] and readings [Pa over ambient]; the first `climb` of them end at the stop, 0 where it is not reached.

    `outcome` is empty where the log says nothing of its own about what the test showed.
    """

    times: np.ndarray
    readings: np.ndarray
    climb: int = 0
    outcome: str = ""


def needle_log(hidden: Hidden, test: str, turn: int) -> NeedleLog | None:
    """What somebody reads off the needle in a test.

    Parameters
    ----------
    hidden : Hidden
        Which regulator.
    test : str
        Key of a test that its design allows.
    turn : int
        How many tests were done before.

    Returns
    -------
    NeedleLog or None
        None where the test is no watch of the needle.

    Examples
    --------
    >>> needle_log(Hidden("Alder"), "shut", 0).outcome, needle_log(Hidden("Alder"), "tap", 0)
    ('supply holds, needle stays', None)
    """
    if test in SHUTS_THE_VALVE:
        return _valve_shut(hidden, test, turn)
    if test == PURGES:
        return _five_purges(hidden.on_a_gauge(turn))
    log = log_of(hidden, test, turn)
    if log is None:
        return None
    return NeedleLog(*log, _up_to_the_stop(log[1], hidden.on_a_gauge(turn).stop))


def _up_to_the_stop(readings: np.ndarray, stop: float) -> int:
    """How many readings there are up to the first at the stop; 0 where none is."""
    past = np.flatnonzero(readings >= stop)
    return int(past[0]) + 1 if past.size else 0


def _valve_shut(hidden: Hidden, test: str, turn: int) -> NeedleLog:
    """The valve shut after the watch at full supply, or where that came to the stop."""
    gauge = hidden.on_a_gauge(turn)
    times, readings = gauge.log(gauge.bench.full)
    climb = _up_to_the_stop(readings, gauge.stop)
    if climb:
        until = _when(gauge, float(times[-1]))
        times = np.append(times[:-1], max(0.0, until - gauge.bench.full.begin))
        gauge = InAJob.of(hidden).stopped_at(until, turn)
    run = getattr(gauge.bench, SHUTS_THE_VALVE[test])
    after, shut = _read_to_the_end(gauge, run)
    if climb:  # the moment at the stop is read once
        after, shut = np.append(times, times[-1] + after[1:]), np.append(readings, shut[1:])
    early, late = float(shut[max(0, climb - 1)]), float(shut[-1])
    words = f"needle {'climbs' if run.after.ended else moved(early, late, gauge.kind)}"
    if test == SHUT:
        supply = run.trace.hp_gauge if run.trace.segments else np.zeros(1)
        words = f"{supply_moved(float(supply[0]), float(supply[-1]))}, {words}"
    return NeedleLog(after, shut, climb, words)


def _when(gauge: OnAGauge, last: float) -> float:
    """Seconds after opening the valve at which a watch comes to the stop; `last` is when it was last read."""
    run = gauge.bench.full
    if not run.after.ended:
        return run.begin + last
    # the relief valve lifted between two readings, or before the first: one sees the needle pass the stop
    moments, stand = gauge.needle(run)
    past = np.flatnonzero(stand >= gauge.stop)
    passed = float(moments[past[0]]) if past.size else float(moments[-1])
    return max(passed, run.begin + last) if moments[-1] >= run.begin else passed


def _read_to_the_end(gauge: OnAGauge, run: Run) -> tuple[np.ndarray, np.ndarray]:
    """Readings of a whole run, from its begin to its end; the first and the last are those that a test goes by."""
    if not run.trace.segments:  # the relief valve has lifted: nothing is read any more
        return np.zeros(1), np.full(1, gauge.stop)
    end = float(run.trace.time[-1])
    times = np.append(np.arange(run.begin, end - 1.5, EVERY), end)
    readings = gauge.read(run, times)
    readings[[0, -1]] = gauge.read(run, np.array([run.begin, end]))
    return times - run.begin, readings


def _five_purges(gauge: OnAGauge) -> NeedleLog:
    """The lock-up after each purge, and the needle before the next one."""
    run, purges = gauge.bench.purges
    moments = [np.array([purge + after for purge in purges]) for after in (LOCKED, LATER)]
    times = np.array(moments).T.ravel()
    readings = np.array([gauge.read(run, each) for each in moments]).T.ravel()
    if run.after.ended:
        there = max(1, int((times <= run.trace.time[-1]).sum()))
        times, readings = times[:there], readings[:there]
        readings[-1] = max(readings[-1], gauge.stop)
    climb = _up_to_the_stop(readings, gauge.stop)
    end = climb or len(times)
    return NeedleLog(times[:end] - times[0], readings[:end], climb)
