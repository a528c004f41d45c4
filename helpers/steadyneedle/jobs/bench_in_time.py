"""A regulator on the bench, in time: worked on, looked ahead, gone back over. SI; no picture here."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from steadyneedle.jobs import senses
from steadyneedle.jobs.under_test import UnderTest
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action, BenchError, act
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment, Trace
from steadyneedle.physics.si import BAR

AHEAD, KEEP = 180.0, 600.0
"""Seconds computed ahead, and kept behind."""

FULL = 200 * BAR + SURFACE
"""Pa, absolute; the supply that a bench begins with."""


@dataclass(frozen=True)
class Needles:
    """What the bench's gauges show: times [s], the IP gauge and the supply gauge [Pa over ambient], each of shape (n,).

    An instant at which something snaps stands twice.
    """

    time: np.ndarray
    ip: np.ndarray
    supply: np.ndarray

    def at(self, time: float) -> tuple[float, float]:
        """IP gauge and supply gauge at a time [Pa], straight between samples."""
        return float(np.interp(time, self.time, self.ip)), float(np.interp(time, self.time, self.supply))


class BenchInTime:
    """A regulator on the bench. `do` changes it; its needles say what was, and what will be if nobody touches it.

    Parameters
    ----------
    under_test : UnderTest
        Which regulator.
    supply : float
        Cylinder pressure [Pa], absolute, from ambient to 40 MPa.

    Raises
    ------
    ValueError
        A supply outside its range.

    Examples
    --------
    >>> bench = BenchInTime(UnderTest("Juniper", "seat_nicked"))
    >>> bench.do(Action(1.0, "valve", 1))
    >>> [round(bench.needles().at(time)[0] / BAR, 1) for time in (0.0, 20.0, 180.0)]
    [0.0, 10.0, 10.5]
    """

    _kept: Moment
    _end: Moment
    _future: Trace

    def __init__(self, under_test: UnderTest | None = None, supply: float = FULL) -> None:
        self.supply = supply
        self.put_on(under_test or UnderTest())

    def put_on(self, under_test: UnderTest) -> None:
        """Another regulator, or the same one afresh: its clock starts at 0, the cylinder valve is shut."""
        self.under_test = under_test
        self._past, self._taps = Trace(), list[float]()
        self._stand(rig.start(under_test.design, under_test.faults(), self.supply, seed=under_test.seed))

    def do(self, *actions: Action) -> None:
        """What is done, each at its time [s]; what was done before stays.

        Nothing can be done before what was done last: an earlier time becomes that one.

        Raises
        ------
        BenchError
            The job is over, or what `act` refuses; the sentence says what to do instead.
        """
        for action in actions:
            moment, part = rig.advance(self._kept, max(action.time, self._kept.time))
            if moment.ended:
                raise BenchError(f"{moment.ended} The job is over: take a new regulator.")
            after = act(moment, action)
            self._past = _recent(self._past + part, moment.time - KEEP)
            if action.what == "tap":
                self._taps.append(moment.time)
            self.supply = after.settings.supply
            self._stand(after)

    def more(self) -> None:
        """Look further ahead."""
        if not self._end.ended:
            self._end, part = rig.advance(self._end, self._end.time + AHEAD)
            self._future = self._future + part

    def _stand(self, moment: Moment) -> None:
        """The bench stands so; what will be if nobody touches it is computed now, so that a page can play on alone."""
        self._kept = moment
        self._end, self._future = rig.advance(moment, moment.time + AHEAD)

    @property
    def now(self) -> Moment:
        """The bench as it was touched last."""
        return self._kept

    @property
    def until(self) -> float:
        """How far it has looked ahead, as a time [s]."""
        return self._end.time

    @property
    def ended(self) -> str:
        """Why the job is over; empty while it goes on."""
        return self._end.ended

    def trace(self) -> Trace:
        """All that was and will be, as far as it is kept."""
        return self._past + self._future

    def needles(self) -> Needles:
        """What the gauges show over all that is kept; the IP gauge may be off, or stick until it is tapped."""
        trace, now = self.trace(), self._kept
        if not trace.segments:  # a limit is passed already: nothing moves any more
            return Needles(*(np.array([one]) for one in (now.time, now.ip_gauge, now.hp_gauge)))
        worn = now.plant.condition
        ip = needle.shown(trace.time, trace.ip_gauge, worn.gauge_offset, worn.gauge_stick, self._taps)
        return Needles(trace.time, ip, trace.hp_gauge)

    def noticed(self) -> list[tuple[float, str]]:
        """What one hears, sees and feels, from when on [s], only where it changes; at the end why the job is over."""
        said = senses.noticed(self.trace())
        if self._end.ended:
            said.append((self._end.time, f"{self._end.ended} Critical failure: the job ends here."))
        return said


def _recent(trace: Trace, since: float) -> Trace:
    return dataclasses.replace(trace, segments=tuple(one for one in trace.segments if one.time[-1] >= since))
