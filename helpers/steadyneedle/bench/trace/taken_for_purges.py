"""What a log's phases took for a purge and could be something else, said before the verdict."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.trace.logs import Log
from steadyneedle.bench.trace.phases import Cut
from steadyneedle.bench.trace.scale import Scale
from steadyneedle.bench.trace.sharp import BY_HAND
from steadyneedle.bench.trace.stretches import Phase
from steadyneedle.bench.units import Q, formatted

SLOW_READING = 10.0
"""s between readings from which a purge of one reading may be a slip of the pen."""

MOST_SAID = 3
"""Sentences; more nobody reads."""


def taken_for_purges(log: Log, cut: Cut, scale: Scale) -> list[str]:
    """What is to be looked at first: drops and jumps that are taken for purges.

    Parameters
    ----------
    log : Log
        In seconds and bar.
    cut : Cut
        Its phases.
    scale : Scale
        Unit of the sentences.

    Returns
    -------
    list of str
        One sentence each, at most three; none for a saw-tooth or a free flow.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> from steadyneedle.bench.trace.phases import cut_into_phases
    >>> time = np.arange(0.0, 400.0, 15.0)
    >>> log = Log.from_arrays(time, np.where(time == 120, 125.0, 140.0), "psi", 1.0)
    >>> taken_for_purges(log, cut_into_phases(log.time, log.pressure, log.division), Scale.of("psi"))[0]
    'The one reading of 125 psi at 2.0 min is taken for a purge. If it is a slip, take it out.'
    """
    if cut.kind:
        return []
    purges = [one for one in cut.phases if one.name == "purge"]
    first_hold = next(one.start_s for one in cut.phases if one.name == "hold")
    said = []
    if purges and purges[-1].end_s >= log.time[-1]:
        said.append("The log ends in a drop, taken for a purge. Go on until the needle comes back, and log that too.")
    if purges and purges[0].end_s <= first_hold:
        said.append("The needle is low at first and jumps up: that is taken for the end of a purge.")
        purges = purges[1:]
    for one in purges:
        inside = np.flatnonzero((log.time >= one.start_s) & (log.time <= one.end_s))
        if inside.size and _steps_down(cut, one):
            ends = " to ".join(scale.limit(float(log.pressure[row])) for row in (inside[0], inside[-1]))
            when = formatted(Q(one.end_s / 60, "min"), 1)
            said.append(f"The step from {ends} at {when} is taken for a purge or a new setting between two readings.")
        elif log.time.size <= BY_HAND and inside.size == 2 and one.end_s - one.start_s >= SLOW_READING:
            when = formatted(Q(one.end_s / 60, "min"), 1)
            reading = scale.limit(float(log.pressure[inside[-1]]))
            said.append(f"The one reading of {reading} at {when} is taken for a purge. If it is a slip, take it out.")
    return said[:MOST_SAID]


def _steps_down(cut: Cut, purge: Phase) -> bool:
    """Whether the needle stands where the purge brought it: a hold comes right after, and no recovery."""
    after = [one.name for one in cut.phases if one.start_s == purge.end_s and one.end_s > purge.end_s]
    return bool(after) and after[0] in ("lock-up", "hold")
