"""The bench of a job, which goes on from the purges of the test before it: the same numbers, sooner. SI.

Every test begins with one purge more than the test before. A bench that does them all again from the beginning gives
the same, for the rig begins a segment of its own at each action. Of twenty tests that take long this saves a third to
half of the time; less where a valve burps, for then the watch is the most of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from steadyneedle.bench.diagnosis.bench_runs import BETWEEN, FULL, PURGED, SETTLES, OnTheBench, Run
from steadyneedle.bench.diagnosis.hidden import Hidden
from steadyneedle.bench.diagnosis.needle_tests import OnAGauge
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.moment import Moment, Trace

QUICKLY = 4.0
"""Seconds from one purge to the next before the test that watches five purges."""


@dataclass(frozen=True)
class KeptBench(OnTheBench):
    """A regulator as `OnTheBench`, run for run, whose purges of earlier turns are not done again."""

    def _opened(self, first: Moment, watch: float) -> Run:
        begin = PURGED + BETWEEN * self.turn + 1 + SETTLES
        return self._on_from(first.settings.supply, BETWEEN, self.turn + 1, [], begin + watch, begin)

    def _on_from(
        self, supply: float, between: float, purges: int, then: list[Action], until: float, begin: float = 0.0
    ) -> Run:
        bench, before = purged(self.design, self.faults, self.seed, self.room, supply, between, purges)
        after, trace = rig.run(bench, then, until)
        return Run(after, before + trace, begin)

    @cached_property
    def purges(self) -> tuple[Run, tuple[float, ...]]:
        """Five purges, 40 s apart, and when."""
        times = tuple(30.0 + 40 * (n + self.turn) for n in range(5))
        five = [Action(time, "purge", 1) for time in times]
        return self._on_from(FULL, QUICKLY, self.turn, five, times[-1] + 40), times


@dataclass(frozen=True)
class ShutAtTheStop(KeptBench):
    """A bench whose watch at full supply ends `until` seconds after the valve was opened, where its needle stops it."""

    until: float = 0.0

    @cached_property
    def full(self) -> Run:
        """The watch up to then."""
        purges = sum(PURGED + BETWEEN * k < self.until for k in range(self.turn + 1))
        return self._on_from(FULL, BETWEEN, purges, [], self.until, self.until)


@dataclass(frozen=True)
class InAJob(Hidden):
    """A hidden regulator whose benches go on from one another."""

    @classmethod
    def of(cls, hidden: Hidden) -> InAJob:
        """The same regulator.

        >>> InAJob.of(Hidden("Alder", {"grit": 0.5})).cause
        'grit'
        """
        return cls(**vars(hidden))

    def on_the_bench(self, turn: int = 0) -> OnTheBench:
        """It on the rig, purged `turn` times more; its runs are kept while it is looked at."""
        return kept(self.design, tuple(sorted(self.faults.items())), self.seed, self.room, turn)

    def stopped_at(self, until: float, turn: int) -> OnAGauge:
        """It as its gauge shows it, the watch at full supply ended `until` seconds after the valve was opened."""
        faults = tuple(sorted(self.faults.items()))
        bench = ShutAtTheStop(self.design, faults, self.seed, self.room, turn, until)
        return OnAGauge(bench, self.gauge, self.gauge_error, turn)


@lru_cache(maxsize=12)
def kept(design: str, faults: tuple[tuple[str, float], ...], seed: int, room: float, turn: int) -> KeptBench:
    """A regulator's bench `turn` purges on; the last ones that were asked for are kept.

    >>> kept("Alder", (("grit", 0.5),), 1, 293.15, 2) is kept("Alder", (("grit", 0.5),), 1, 293.15, 2)
    True
    """
    return KeptBench(design, faults, seed, room, turn)


@lru_cache(maxsize=128)
def purged(
    design: str,
    faults: tuple[tuple[str, float], ...],
    seed: int,
    room: float,
    supply: float,
    between: float,
    count: int,
) -> tuple[Moment, Trace]:
    """The valve opened, and so many purges begun: the bench at the moment of the last, and what was seen up to it.

    >>> bench, _ = purged("Alder", (), 1, 293.15, FULL, BETWEEN, 2)
    >>> bench.time
    22.0
    """
    if not count:
        first = rig.start(design, dict(faults), supply, seed=seed, room=room)
        return rig.run(first, [Action(0, "valve", 1)], first.time)
    bench, before = purged(design, faults, seed, room, supply, between, count - 1)
    at = PURGED + between * (count - 1)
    after, trace = rig.run(bench, [Action(at, "purge", 1)], at)
    return after, before + trace
