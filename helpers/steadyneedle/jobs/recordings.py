"""Recordings of invented regulators on the rig: the nine of lesson 04, and a needle read aloud to a class. SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from steadyneedle.foundation.datasets import Computed
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.si import BAR

OPEN = Action(0, "valve", 1)
SOURCE = "computed: invented regulators on the rig"


@dataclass(frozen=True)
class Recording:
    """What is done with which regulator, and which part of it is written down.

    `begin` and `end` in seconds after the first action, `every` in seconds between two readings; `division` and the
    standard deviation `noise` of a reading in pascal; `seed` says which noise.
    """

    begin: float
    end: float
    seed: int
    faults: Mapping[str, float] = field(default_factory=dict)
    actions: tuple[Action, ...] = (OPEN,)
    design: str = "Juniper"
    every: float = 2.5
    division: float = 0.02 * BAR
    noise: float = 0.004 * BAR


NINE = (
    Recording(20, 320, 1),
    Recording(22.5, 382.5, 2, {"seat_setting": 0.3}, (OPEN, Action(20, "purge", 2)), design="Alder"),
    Recording(20, 320, 3, {"set_high": 0.2}),
    Recording(20, 320, 4, {"spring_weak": 0.4}),
    Recording(20, 320, 5, {"seat_nicked": 0.4}),
    Recording(60, 360, 6, {"gauge_hose": 0.0}, (Action(0, "supply", 12.5 * BAR), OPEN, Action(30, "valve", 0))),
    Recording(20, 320, 7, {"leak_on_sticky": 0.9}),
    Recording(20, 320, 8, actions=(OPEN, *(Action(120 + 50 * k, "purge", 60) for k in range(5)))),
    Recording(20, 50, 9, {"seat_nicked": 0.0}, every=5.0, division=0.1 * BAR),
)
"""Locks, settles, locks high, locks low, creeps, falls, saw-tooth, free flow; the last is too short to tell.

A second stage that is held open stands for one that flows by itself: purges that overlap.
"""

READ_ALOUD = Recording(70, 430, 1, {"seat_nicked": 0.0}, every=15.0, division=0.1 * BAR, noise=0.01 * BAR)
"""A class calls out the needle every 15 s for six minutes, to a tenth of a bar."""


def recorded(what: Recording) -> tuple[np.ndarray, np.ndarray]:
    """The readings of a recording.

    Parameters
    ----------
    what : Recording
        What is done and what is written down.

    Returns
    -------
    tuple of numpy.ndarray, each of shape (n,)
        Times from 0 [s] and readings [Pa].

    Raises
    ------
    ValueError
        A fault that the design cannot have.

    Examples
    --------
    >>> times, readings = recorded(NINE[8])
    >>> times.tolist()[-1], (readings / BAR).round(1).tolist()
    (30.0, [10.0, 10.0, 10.0, 10.0, 10.0, 10.0, 10.0])
    """
    _, trace = rig.run(rig.start(what.design, what.faults), what.actions, what.end)
    when = np.append(what.begin, trace.time[trace.time > what.begin])
    return needle.log(when, trace.at(when), what.every, what.division, what.noise, what.seed)


def _rows_of_the_nine(number: int) -> list[tuple[str, ...]]:
    what = NINE[number - 1]
    times, readings = recorded(what)
    around = str(number), what.design
    division = f"{what.division / BAR:g}", SOURCE
    # abs: a needle on its stop, read with noise, is no -0.00
    return [(*around, f"{t:g}", f"{abs(p) / BAR:.2f}", *division) for t, p in zip(times, readings, strict=True)]


def _rows_read_aloud(what: Recording) -> list[tuple[str, ...]]:
    """As a person writes them down: a dataset of logs names its sources in a file beside them."""
    return [(f"{t:g}", f"{p / BAR:.1f}") for t, p in zip(*recorded(what), strict=True)]


NINE_TRACES = Computed(
    ("trace", "design", "time_s", "pressure_bar", "division_bar", "source"),
    lambda: range(1, len(NINE) + 1),
    _rows_of_the_nine,
)
CLASS_READING = Computed(("time_s", "pressure_bar"), lambda: (READ_ALOUD,), _rows_read_aloud)
