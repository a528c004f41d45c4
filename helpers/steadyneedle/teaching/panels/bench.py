"""The moving needle: a simulated bench with a regulator on it, played, paused and worked on. No widgets here."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from matplotlib.figure import Figure

from steadyneedle.bench.diagnosis.examinations import BULGES
from steadyneedle.physics import equations as eq
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action, BenchError, act
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.leaks import SOAP_SHOWS
from steadyneedle.physics.moment import Moment, Trace
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import running
from steadyneedle.teaching.figures.strokes import Scene

SUPPLIES = [30, 50, 100, 150, 200, 232, 300]
"""Cylinder pressures on offer, bar."""

AHEAD, KEEP = 180.0, 600.0
"""Seconds computed ahead, and kept behind."""

EVERY = Fault.keys()
SEVERITIES = {"slight": 0.0, "plain": 0.5, "gross": 1.0}
SOUND, SECRET = "nothing wrong", "a surprise"
RANGES = {"8 to 12 bar": (8.0, 12.0), "0 to 16 bar": (0.0, 16.0)}
LOUD = ((3e-6, "a loud hiss"), (3e-7, "a faint hiss"), (SOAP_SHOWS, "bubbles in soapy water"))
"""kg/s and what it sounds like (common practice, no source)."""

NOTICED = 300.0
"""Pa; the trace is drawn to this, a third of a pixel."""


@dataclass(frozen=True)
class Setup:
    """Which regulator stands on the bench, what is wrong with it, and whether the trainee is told."""

    design: str = "Juniper"
    fault: str = SOUND
    severity: str = "plain"
    other: str = SOUND
    shown: bool = True
    range: str = "8 to 12 bar"
    seed: int = 1

    def faults(self) -> dict[str, float]:
        """Fault to severity; a surprise is drawn from the seed."""
        possible = Fault.keys(self.design)
        found = {}
        for name in (self.fault, self.other):
            key = possible[self.seed * 7919 % len(possible)] if name == SECRET else key_of(name)
            if key:
                found[key] = SEVERITIES[self.severity]
        return found

    def accept(self, values: dict[str, Any]) -> Setup:
        """The same with what the page sent; ValueError where it is not on offer."""
        made = dataclasses.replace(
            self, **{n: values[n] for n in ("design", "fault", "severity", "other", "range") if n in values}
        )
        if made.design not in FirstStage.names() or made.severity not in SEVERITIES or made.range not in RANGES:
            raise ValueError("Choose a design, a size and a range from their lists.")
        secret = SECRET in (values.get("fault"), values.get("other"))
        made = dataclasses.replace(made, shown=bool(values.get("shown", made.shown and not secret)))
        offered = made.offered()
        return dataclasses.replace(
            made,
            fault=made.fault if made.fault in offered else SOUND,
            other=made.other if made.other in offered else SOUND,
        )

    def offered(self) -> tuple[str, ...]:
        """Names of what can be wrong with this design."""
        return (SOUND, SECRET, *(Fault.named(key).name for key in Fault.keys(self.design)))


def key_of(name: str) -> str:
    """Key of the fault of that name; empty for a sound regulator."""
    return next((key for key in EVERY if Fault.named(key).name == name), "")


@dataclass
class Bench:
    """One regulator on the bench, in time. `do` changes it, `state` is what the page needs."""

    preferences: Preferences
    setup: Setup = field(default_factory=Setup)
    supply: float = 200.0

    def __post_init__(self) -> None:
        self._begin()

    def _begin(self) -> None:
        first = rig.start(self.setup.design, self.setup.faults(), self.supply * BAR + SURFACE, seed=self.setup.seed)
        self._kept, self._past, self._taps = first, Trace(), list[float]()
        self._look_ahead()

    def _look_ahead(self) -> None:
        """Compute what will be if nobody touches anything."""
        self._end, self._future = rig.advance(self._kept, self._kept.time + AHEAD)

    def new(self, values: dict[str, Any]) -> bool:
        """Another regulator, or the same one afresh; True where the clock starts at 0 again."""
        setup = self.setup.accept(values)
        if values.get("another"):
            setup = dataclasses.replace(setup, seed=setup.seed + 1)
        only_seen = dataclasses.replace(setup, range=self.setup.range, shown=self.setup.shown) == self.setup
        self.setup = setup
        if only_seen and not values.get("again") and not values.get("another"):
            return False
        self._begin()
        return True

    def do(self, time: float, what: str, value: float | str = 0.0) -> None:
        """Something done at a time; BenchError says why it cannot be."""
        if self._end.ended and time >= self._end.time:
            raise BenchError(f"{self._end.ended} The job is over: take a new regulator.")
        moment, part = self._at(time)
        after = act(moment, _translated(what, value))
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
        said: list[tuple[float, str]] = []
        for one in self.trace().segments:
            step = max(1, one.time.size // 12)
            for n in range(0, one.time.size, step):
                moment = Moment(one.plant, one.settings, tuple(one.states[:, n].tolist()), modes=one.modes)
                words = senses(moment)
                if not said or said[-1][1] != words:
                    said.append((float(one.time[n]), words))
        if self._end.ended:
            said.append((self._end.time, f"{self._end.ended} Critical failure: the job ends here."))
        return said

    def named(self) -> str:
        """What is wrong, in words, where it may be shown."""
        if not self.setup.shown:
            return "What is wrong is hidden."
        names = [Fault.named(key).name for key in self.setup.faults()]
        return f"Wrong with it: {' and '.join(names)}." if names else "Nothing is wrong with it."

    # the picture --------------------------------------------------------------------------------------

    @property
    def seen(self) -> running.View:
        """What the picture is made for."""
        low, high = RANGES[self.setup.range]
        return running.View(self._kept.gauge_span / BAR, 0.2, low, high)

    def scene(self) -> Scene:
        """The picture, trace and all."""
        times, ip, _ = self.samples()
        return running.bench_scene(self.seen, list(zip(times.tolist(), ip.tolist(), strict=True))).localised(
            self.preferences.localise
        )

    def row(self, time: float) -> tuple[float | str, ...]:
        """Where everything stands at a time."""
        times, ip, supply = self.samples()
        return (
            running.degrees(self.seen, float(np.interp(time, times, ip))),
            running.supply_degrees(float(np.interp(time, times, supply))),
            -time * running.PER_SECOND,
            f"{int(time) // 60}:{int(time) % 60:02d}",
            self.state_of_valve(),
        )

    def state_of_valve(self) -> str:
        """The handwheel and the blanks, in words."""
        valve = "cylinder valve open" if self._kept.settings.valve_area else "cylinder valve shut"
        return valve + (", supply side bleeding" if self._kept.settings.bleed_area else "")

    def describe(self, time: float) -> str:
        """The sentence for a time at rest."""
        times, ip, supply = self.samples()
        reading, high = float(np.interp(time, times, ip)), float(np.interp(time, times, supply))
        return (
            f"{self.setup.design} on the bench, {int(time)} s: the gauge shows {self.preferences.number(reading, 1)} bar, "
            f"the supply {self.preferences.number(high, 0)} bar, {self.state_of_valve()}."
        )

    def state(self) -> dict[str, Any]:
        """All that the page needs to play on."""
        times, ip, supply = self.samples()
        view = self.seen
        scene = running.bench_scene(view, ()).localised(self.preferences.localise)
        points = [running.on_trace(view, t, bar) for t, bar in zip(times.tolist(), ip.tolist(), strict=True)]
        per_bar = running.degrees(view, 1.0) - running.degrees(view, 0.0)
        per_supply = running.supply_degrees(1.0) - running.supply_degrees(0.0)
        return {
            "times": times,
            "ip": np.array([running.degrees(view, bar) for bar in ip.tolist()]),
            "supply": np.array([running.supply_degrees(bar) for bar in supply.tolist()]),
            "svg": scene.svg(),
            "supply_now": self.supply,
            "line": " ".join(f"{x:.2f},{y:.2f}" for x, y in points),
            "motions": scene.motions(),
            "face": f"{view}",
            "per_second": running.PER_SECOND,
            "bar_at_zero": -running.degrees(view, 0.0) / per_bar,
            "bar_per_degree": 1 / per_bar,
            "supply_at_zero": -running.supply_degrees(0.0) / per_supply,
            "supply_per_degree": 1 / per_supply,
            "mark": self.preferences.mark,
            "title": f"{self.setup.design} on the bench",
            "noticed": self.noticed(),
            "valve": bool(self._kept.settings.valve_area),
            "valve_words": self.state_of_valve(),
            "bleeding": bool(self._kept.settings.bleed_area),
            "ended": bool(self._end.ended),
            "named": self.named(),
            "shown": self.setup.shown,
            "surprise": SECRET in (self.setup.fault, self.setup.other),
            "setup": dataclasses.asdict(self.setup),
            "options": {
                "design": FirstStage.names(), "fault": self.setup.offered(), "other": self.setup.offered(),
                "severity": tuple(SEVERITIES), "range": tuple(RANGES),
            },
        }  # fmt: skip

    def figure(self, time: float) -> Figure:
        """A still picture at a time."""
        return self.scene().figure(self.row(time))


def _translated(what: str, value: float | str) -> Action:
    """The page's numbers in SI."""
    if what == "supply":
        return Action(0.0, what, float(value) * BAR + SURFACE)
    return Action(0.0, what, value)


def _recent(trace: Trace, since: float) -> Trace:
    return dataclasses.replace(trace, segments=tuple(one for one in trace.segments if one.time[-1] >= since))


def senses(moment: Moment) -> str:
    """What one hears, sees and feels at a moment.

    >>> senses(rig.start("Alder"))
    'You hear nothing.'
    """
    heard = []
    for place, rate in moment.leaks().items():
        if place == "mouthpiece" and (moment.settings.purge_area or moment.modes.burping):
            heard.append("air rushing from the mouthpiece")
        elif words := next((words for limit, words in LOUD if rate > limit), ""):
            heard.append(f"{words} at the {place}")
    lines = [f"You notice {' and '.join(heard)}." if heard else "You hear nothing."]
    if moment.settings.demand:
        lines.append("Somebody breathes from it.")
    if moment.plant.stage.sealed and moment.state[eq.CHAMBER] - SURFACE > BULGES:
        lines.append("The outer seal bulges.")
    if moment.state[eq.BODY] < eq.ROOM - 1.0:
        lines.append("The body feels cold.")
    return " ".join(lines)


def thinned(times: np.ndarray, values: np.ndarray, tolerance: float) -> np.ndarray:
    """Indices of samples to keep so that straight lines between them stay within a tolerance of every one dropped.

    >>> thinned(np.arange(5.0), np.array([[0.0, 1.0, 2.0, 3.0, 0.0]]), 0.1).tolist()
    [0, 3, 4]
    """
    kept = [0]
    columns = [values[row].tolist() for row in range(values.shape[0])]
    clock = times.tolist()
    low, high = [-np.inf] * len(columns), [np.inf] * len(columns)
    for n in range(1, len(clock)):
        span = clock[n] - clock[kept[-1]]
        slopes = [((c[n] - c[kept[-1]]) / span if span > 0 else np.nan) for c in columns]
        if span <= 0 or any(not (a <= s <= b) for a, s, b in zip(low, slopes, high, strict=True)):
            if kept[-1] != n - 1:
                kept.append(n - 1)
            span = clock[n] - clock[kept[-1]]
            low, high = [-np.inf] * len(columns), [np.inf] * len(columns)
        if span > 0:
            for k, column in enumerate(columns):
                rise = column[n] - column[kept[-1]]
                low[k], high[k] = max(low[k], (rise - tolerance) / span), min(high[k], (rise + tolerance) / span)
        else:
            kept.append(n)
    if kept[-1] != len(clock) - 1:
        kept.append(len(clock) - 1)
    return np.array(kept)


def opened(bench: Bench, actions: Iterable[tuple[float, str, float]]) -> Bench:
    """A bench after some actions, for a still picture."""
    for time, what, value in actions:
        bench.do(time, what, value)
    return bench
