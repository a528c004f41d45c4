"""A regulator on the bench, in time: worked on, looked ahead, gone back over. No picture here."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from steadyneedle.foundation.draws import Draws
from steadyneedle.jobs.senses import changes
from steadyneedle.jobs.thinning import thinned
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action, BenchError, act
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment, Trace
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

SUPPLIES = (30, 50, 100, 150, 200, 232, 300)
"""Cylinder pressures on offer, bar."""

AHEAD, KEEP = 180.0, 600.0
"""Seconds computed ahead, and kept behind."""

SEVERITIES = {"slight": 0.0, "plain": 0.5, "gross": 1.0}
SOUND, SECRET = "nothing wrong", "a surprise"

NOTICED = 300.0
"""Pa; a sample that a straight line misses by less is left out: a third of a pixel of the trace."""


@dataclass(frozen=True)
class UnderTest:
    """Which regulator stands on the bench, what is wrong with it, and whether the trainee is told."""

    design: str = "Juniper"
    fault: str = SOUND
    severity: str = "plain"
    other: str = SOUND
    shown: bool = True
    seed: int = 1

    def faults(self) -> dict[str, float]:
        """Fault to severity; surprises are drawn from the seed, two of them never the same."""
        named = [key_of(name) for name in (self.fault, self.other)]
        hidden = iter(
            Draws("surprise", self.design, self.seed).order([k for k in Fault.keys(self.design) if k not in named])
        )
        keys = [
            next(hidden) if name == SECRET else key for name, key in zip((self.fault, self.other), named, strict=True)
        ]
        return {key: SEVERITIES[self.severity] for key in keys if key}

    @property
    def secret(self) -> bool:
        """Whether a surprise is among its faults."""
        return SECRET in (self.fault, self.other)

    def accept(self, values: dict[str, Any]) -> UnderTest:
        """The same with what was chosen; ValueError where it is not on offer."""
        chosen = {name: values[name] for name in ("design", "fault", "severity", "other") if name in values}
        made = dataclasses.replace(self, **chosen)
        if made.design not in FirstStage.names() or made.severity not in SEVERITIES:
            raise ValueError("Choose a design and a severity from their lists.")
        secret = SECRET in (values.get("fault"), values.get("other"))
        offered = made.offered()
        return dataclasses.replace(
            made,
            shown=bool(values.get("shown", made.shown and not secret)),
            fault=made.fault if made.fault in offered else SOUND,
            other=made.other if made.other in offered else SOUND,
        )

    def offered(self) -> tuple[str, ...]:
        """Names of what can be wrong with this design."""
        return (SOUND, SECRET, *(Fault.named(key).name for key in Fault.keys(self.design)))


def key_of(name: str) -> str:
    """Key of the fault of that name; empty for a sound regulator."""
    every = Fault.keys()
    return next((key for key in every if Fault.named(key).name == name), "")


@dataclass
class BenchInTime:
    """One regulator on the bench. `do` changes it, `samples` is what its gauges show, then and from then on."""

    under_test: UnderTest = field(default_factory=UnderTest)
    supply: float = 200.0

    def __post_init__(self) -> None:
        self._begin()

    def _begin(self) -> None:
        chosen = self.under_test
        first = rig.start(chosen.design, chosen.faults(), self.supply * BAR + SURFACE, seed=chosen.seed)
        self._kept, self._past, self._taps = first, Trace(), list[float]()
        self._look_ahead()

    def _look_ahead(self) -> None:
        """Compute what will be if nobody touches anything."""
        self._end, self._future = rig.advance(self._kept, self._kept.time + AHEAD)

    def new(self, values: dict[str, Any]) -> bool:
        """Another regulator, or the same one afresh; True where the clock starts at 0 again."""
        chosen = self.under_test.accept(values)
        if values.get("another"):
            chosen = dataclasses.replace(chosen, seed=chosen.seed + 1)
        only_seen = dataclasses.replace(chosen, shown=self.under_test.shown) == self.under_test
        self.under_test = chosen
        if only_seen and not values.get("again") and not values.get("another"):
            return False
        self._begin()
        return True

    def do(self, time: float, what: str, value: float | str = 0.0) -> None:
        """Something done at a time; BenchError says why it cannot be."""
        if self._end.ended and time >= self._end.time:
            raise BenchError(f"{self._end.ended} The job is over: take a new regulator.")
        moment, part = self._at(time)
        after = act(moment, _in_pascal(what, value))
        self._past, self._kept = _recent(self._past + part, moment.time - KEEP), after
        if what == "tap":
            self._taps.append(moment.time)
        if what == "supply":
            self.supply = float(value)
        self._look_ahead()

    def more(self) -> None:
        """Look further ahead."""
        if not self._end.ended:
            self._end, part = rig.advance(self._end, self._end.time + AHEAD)
            self._future = self._future + part

    def _at(self, time: float) -> tuple[Moment, Trace]:
        until = min(max(float(time), self._kept.time), self._end.time)
        return rig.advance(self._kept, until)

    @property
    def now(self) -> Moment:
        """The bench as it was last touched."""
        return self._kept

    @property
    def ended(self) -> str:
        """Why the job is over; empty while it goes on."""
        return self._end.ended

    def trace(self) -> Trace:
        """All that was and will be, as far as it is kept."""
        return self._past + self._future

    def samples(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Times [s], IP gauge reading [bar], supply reading [bar]; only points that a straight line would miss."""
        trace, worn = self.trace(), self._kept.plant.condition
        if not trace.segments:
            moment = self._kept
            return np.array([moment.time]), np.array([moment.ip_gauge / BAR]), np.array([moment.hp_gauge / BAR])
        shown = needle.shown(trace.time, trace.ip_gauge, worn.gauge_offset, worn.gauge_stick, self._taps)
        kept = thinned(trace.time, np.stack([shown, trace.hp_gauge / 20]), NOTICED)
        return trace.time[kept], shown[kept] / BAR, trace.hp_gauge[kept] / BAR

    # words --------------------------------------------------------------------------------------------

    def noticed(self) -> list[tuple[float, str]]:
        """What one hears, sees and feels, from when on: (time, sentence), only where it changes."""
        said = changes(self.trace())
        if self._end.ended:
            said.append((self._end.time, f"{self._end.ended} Critical failure: the job ends here."))
        return said

    def named(self) -> str:
        """What is wrong, in words, where it may be shown."""
        if not self.under_test.shown:
            return "What is wrong is hidden."
        names = [Fault.named(key).name for key in self.under_test.faults()]
        return f"Wrong with it: {' and '.join(names)}." if names else "Nothing is wrong with it."

    def valves(self) -> str:
        """The handwheel and the bleed, in words."""
        valve = "cylinder valve open" if self._kept.settings.valve_area else "cylinder valve shut"
        return valve + (", supply side bleeding" if self._kept.settings.bleed_area else "")


def _in_pascal(what: str, value: float | str) -> Action:
    """An action as the rig takes it; a supply is named in bar over ambient."""
    return Action(0.0, what, float(value) * BAR + SURFACE if what == "supply" else value)


def _recent(trace: Trace, since: float) -> Trace:
    return dataclasses.replace(trace, segments=tuple(one for one in trace.segments if one.time[-1] >= since))


def opened(bench: BenchInTime, actions: Iterable[tuple[float, str, float]]) -> BenchInTime:
    """A bench after some actions, for a still picture."""
    for time, what, value in actions:
        bench.do(time, what, value)
    return bench
