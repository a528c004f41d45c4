"""One regulator put through the examinations on the rig, each run once however often it is read. SI."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment, Trace
from steadyneedle.physics.si import BAR

FULL, LOW = 200 * BAR + SURFACE, 50 * BAR + SURFACE
"""Pa, absolute; the supplies that a bench has."""

LONG_WATCH, WATCH = 480.0, 300.0
"""Seconds; `watch_full` is the long one."""

PURGED, BETWEEN = 10.0, 12.0
"""Seconds from opening the valve to the first purge, and from one purge to the next."""

SETTLES = 5.0
"""Seconds after the last purge at which a watch begins, as a sheet counts."""

POT = 3 * BAR
"""Pa over ambient in the pressure pot."""


@dataclass(frozen=True)
class Run:
    """What one examination did: where the bench stood afterwards, what the needles did, and from when they are read."""

    after: Moment
    trace: Trace
    begin: float


@dataclass(frozen=True)
class OnTheBench:
    """A regulator and how often it was purged before: `turn` more purges than the one that every watch begins with.

    `faults` are pairs of fault and severity, `room` its temperature [K].
    """

    design: str
    faults: tuple[tuple[str, float], ...]
    seed: int
    room: float
    turn: int = 0

    def _opened(self, first: Moment, watch: float) -> Run:
        last = PURGED + BETWEEN * self.turn
        purges = [Action(PURGED + BETWEEN * k, "purge", 1) for k in range(self.turn + 1)]
        begin = last + 1 + SETTLES
        return Run(*rig.run(first, [Action(0, "valve", 1), *purges], begin + watch), begin)

    def _first(self, supply: float = FULL) -> Moment:
        return rig.start(self.design, dict(self.faults), supply, seed=self.seed, room=self.room)

    @cached_property
    def full(self) -> Run:
        """Watched at full supply."""
        return self._opened(self._first(), LONG_WATCH)

    @cached_property
    def low(self) -> Run:
        """Watched at low supply."""
        return self._opened(self._first(LOW), WATCH)

    @cached_property
    def purges(self) -> tuple[Run, tuple[float, ...]]:
        """Five purges, 40 s apart, and when."""
        times = tuple(30.0 + 40 * (n + self.turn) for n in range(5))
        before = [Action(10 + 4 * k, "purge", 1) for k in range(self.turn)]
        run = rig.run(self._first(), [Action(0, "valve", 1), *before, *(Action(t, "purge", 1) for t in times)],
                      times[-1] + 40)  # fmt: skip
        return Run(*run, 0.0), times

    def then(self, actions: Sequence[Action], seconds: float, low: bool = False) -> Run:
        """The end of the watch at full or low supply, and these actions; their times count from it."""
        bench = (self.low if low else self.full).after
        shifted = [dataclasses.replace(one, time=bench.time + one.time) for one in actions]
        return Run(*rig.run(bench, shifted, bench.time + seconds), bench.time)

    @cached_property
    def shut(self) -> Run:
        """The cylinder valve shut."""
        return self.then([Action(0, "valve", 0)], 120)

    @cached_property
    def bled(self) -> Run:
        """The valve shut and the supply side bled."""
        return self.then([Action(0, "valve", 0), Action(1, "bleed", 1)], 61)

    @cached_property
    def breathed(self) -> Run:
        """Breathed from hard, as hard as a purge button held down."""
        return self.then([Action(0, "purge", 3)], 3)

    @cached_property
    def breathed_low(self) -> Run:
        """The same at low supply."""
        return self.then([Action(0, "purge", 3)], 3, low=True)

    @cached_property
    def cycled(self) -> Run:
        """Fifteen purges, then a watch."""
        last = 15 * 6.0
        run = self.then([Action(6.0 * k, "purge", 1) for k in range(16)], last + 1 + SETTLES + WATCH)
        return dataclasses.replace(run, begin=run.begin + last + 1 + SETTLES)

    @cached_property
    def next_day(self) -> Run:
        """Rested for twenty hours, then opened and watched."""
        rested, _ = rig.run(self._first(), [Action(0, "rest", 20 * 3600.0)], 1.0)
        made = [Action(1, "valve", 1), Action(10, "purge", 1)]
        return Run(*rig.run(rested, made, 16 + WATCH), 16.0)

    @cached_property
    def blanked(self) -> Run:
        """Nothing but the gauge and the relief valve on the low-pressure ports."""
        run = self.then([Action(0, "purge", 1), Action(3, "blank", 1)], 6 + WATCH)
        return dataclasses.replace(run, begin=run.begin + 6)

    def fitted(self, part: str, watch: float) -> Run:
        """Vented, a new part fitted, the valve opened, purged once."""
        bench = dataclasses.replace(self.full.after, ended="")  # the relief valve ended the watch, not the work
        start = bench.time
        vent = [Action(start, "valve", 0), Action(start, "bleed", 1), Action(start, "purge", 5)]
        emptied, _ = rig.run(bench, vent, start + 20)
        now = emptied.time
        made = [
            Action(now, "bleed", 0),
            Action(now, "swap", part),
            Action(now, "valve", 1),
            Action(now + 10, "purge", 1),
        ]
        return Run(*rig.run(dataclasses.replace(emptied, ended=""), made, now + 16 + watch), now + 16)

    @cached_property
    def new_seat(self) -> Run:
        """A new seat."""
        return self.fitted("seat", WATCH)

    @cached_property
    def new_spring(self) -> Run:
        """A new main spring."""
        return self.fitted("main spring", 60)

    @cached_property
    def adjusted(self) -> Run:
        """Half a turn out: read 12 s after a purge before it, and 12 s after one that follows."""
        return self.then([Action(0, "purge", 1), Action(13, "adjust", -0.5), Action(14, "purge", 1)], 26)

    @cached_property
    def in_pot(self) -> Run:
        """Ambient raised, purged before and after."""
        return self.then([Action(0, "purge", 0.5), Action(13, "ambient", POT + SURFACE), Action(18, "purge", 0.5)], 30)

    def leaks(self) -> dict[str, float]:
        """Where air escapes at the end of the watch [kg/s]; a second stage that burps counts as leaking."""
        found = self.full.after.leaks()
        late = self.full.after.time - 60
        if any("opens by itself" in words for time, words in self.full.trace.happened if time > late):
            found["mouthpiece"] = max(found.get("mouthpiece", 0.0), 1e-5)
        return found
