"""A needle that creeps, and that ten seconds of watching call healthy: recorded on the rig. SI."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from steadyneedle.foundation import datasets
from steadyneedle.foundation.datasets import Computed, DatasetError
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.si import BAR

DESIGN, FAULT, SEVERITY = "Juniper", "seat_nicked", 0.0
"""The least nick that the fault table knows: a creep so slow that it hides well."""

BEGIN, GLANCE = 60.0, 10.0
"""Seconds from opening the valve until somebody looks, and how long they look."""

END = 10.9 * BAR
"""Pa, gauge; there the needle stands at last."""

EVERY, STEP, LONGEST = 0.5, 10.0, 3600.0
"""Seconds between two rows within the glance, then, and the most that is recorded."""


@dataclass(frozen=True)
class SlowCreep:
    """A needle from the moment somebody looks: `times` from 0 [s] and readings `gauge` [Pa], both of shape (n,)."""

    design: str
    times: np.ndarray
    gauge: np.ndarray

    @property
    def at_first(self) -> float:
        """The reading when the watching begins [Pa]."""
        return float(self.gauge[0])

    @property
    def in_ten_seconds(self) -> float:
        """How far the needle moves while somebody looks [Pa]."""
        return float(np.interp(GLANCE, self.times, self.gauge) - self.gauge[0])

    @property
    def lasts(self) -> float:
        """Time until it stands at its last reading [s]."""
        return float(self.times[-1])

    @property
    def at_last(self) -> float:
        """The last reading [Pa]."""
        return float(self.gauge[-1])


@cache
def slow_creep() -> SlowCreep:
    """The recording that is shipped.

    Parameters
    ----------

    Returns
    -------
    SlowCreep
        Times [s] and readings [Pa].

    References
    ----------
    Computed on the rig; `datasets/ten_seconds.csv` keeps the rows.

    Examples
    --------
    >>> seen = slow_creep()
    >>> seen.in_ten_seconds < 0.02 * BAR, round(seen.at_last / BAR, 1)
    (True, 10.9)
    """
    columns = datasets.table("ten_seconds", ("time_s", "pressure_bar"))
    return SlowCreep(columns["design"][0], np.array(columns["time_s"]), np.array(columns["pressure_bar"]) * BAR)


def _rows(design: str) -> list[tuple[str, ...]]:
    first = rig.start(design, {FAULT: SEVERITY})
    _, trace = rig.run(first, (Action(0.0, "valve", 1.0),), BEGIN + LONGEST)
    times = np.append(np.arange(0.0, GLANCE, EVERY), np.arange(GLANCE, LONGEST, STEP))
    gauge = np.array([float(trace.at(BEGIN + time)) for time in times])
    there = np.flatnonzero(gauge >= END)
    if not there.size:
        raise DatasetError(f"The needle of {design} does not reach {END / BAR:g} bar within an hour.")
    shown = slice(0, int(there[0]) + 1)
    return [
        (design, f"{time:g}", f"{bar:.3f}", "computed: an invented regulator on the rig")
        for time, bar in zip(times[shown].tolist(), (gauge[shown] / BAR).tolist(), strict=True)
    ]


TEN_SECONDS = Computed(("design", "time_s", "pressure_bar", "source"), lambda: (DESIGN,), _rows)
