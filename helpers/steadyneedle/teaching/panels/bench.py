"""The bench as a class sees it: the picture of a `BenchInTime`, its sentence, and what the page needs to play it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from matplotlib.figure import Figure

from steadyneedle.jobs.bench_in_time import SECRET, SEVERITIES, SUPPLIES, BenchInTime, UnderTest, opened
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import running
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.strokes import Scene
from steadyneedle.teaching.frame.played import BenchPanel

RANGES = {"8 to 12 bar": (8.0, 12.0), "0 to 16 bar": (0.0, 16.0)}
DIVISION = 0.2
"""bar, of the bench's gauge."""

SAY_FIRST = "Say first what it is: the question stands below the bench."

SENTENCE = "{design} on the bench, {seconds} s: the gauge shows {ip} bar, the supply {supply} bar, {valves}."
"""The picture's alternative text; the page fills in the numbers."""


@dataclass
class ShownBench:
    """A bench in time with its picture, in a learner's decimal mark.

    Whoever asks what is wrong with it sets `may_show`, False until it was answered, and `changed`, called when another
    regulator stands there.
    """

    preferences: Preferences
    bench: BenchInTime = field(default_factory=BenchInTime)
    range: str = "8 to 12 bar"
    may_show: Callable[[], bool] = lambda: True
    changed: Callable[[], None] = lambda: None

    # what the page asks ---------------------------------------------------------------------------------

    def do(self, time: float, what: str, value: float | str = 0.0) -> None:
        """Something done at a time; ValueError says why it cannot be."""
        self.bench.do(time, what, value)

    def new(self, values: dict[str, Any]) -> bool:
        """Another regulator or another range of the trace; True where the clock starts at 0 again."""
        chosen = values.get("range", self.range)
        if chosen not in RANGES:
            raise ValueError("Choose a range from its list.")
        if values.get("shown") and not self.may_show():
            raise ValueError(SAY_FIRST)
        # another surprise is one only while it is hidden
        fresh = self.bench.new({**values, "shown": False} if values.get("another") else values)
        self.range = chosen
        self.changed()
        return fresh

    def hidden(self) -> UnderTest:
        """What stands on the bench."""
        return self.bench.under_test

    def show(self, on: bool) -> None:
        """Say what is wrong, or hide it again."""
        self.bench.new({"shown": on})

    def more(self) -> None:
        """Look further ahead."""
        self.bench.more()

    def state(self) -> dict[str, Any]:
        """All that the page needs to play on: readings in bar, parts and numbers by name."""
        times, ip, supply = self.bench.samples()
        view, chosen, now = self.seen, self.bench.under_test, self.bench.now
        scene = running.bench_scene(view, ()).localised(self.preferences.localise)
        points = [running.on_trace(view, t, bar) for t, bar in zip(times.tolist(), ip.tolist(), strict=True)]
        return {
            "times": times,
            "ip": ip,
            "supply": supply,
            "svg": scene.svg(),
            "motions": scene.motions(),
            "scales": {
                "ip": dataclasses.asdict(running.ip_scale(view)),
                "supply": dataclasses.asdict(running.supply_scale()),
            },
            "supply_now": self.bench.supply,
            "line": " ".join(f"{x:.2f},{y:.2f}" for x, y in points),
            "face": f"{view}",
            "per_second": running.PER_SECOND,
            "mark": self.preferences.mark,
            "sentence": SENTENCE.replace("{design}", chosen.design),
            "noticed": self.bench.noticed(),
            "valve": bool(now.settings.valve_area),
            "valves": self.bench.valves(),
            "bleeding": bool(now.settings.bleed_area),
            "ended": bool(self.bench.ended),
            "named": self.bench.named(),
            "shown": chosen.shown,
            "surprise": chosen.secret,
            "setup": {**dataclasses.asdict(chosen), "range": self.range},
            "options": {
                "design": FirstStage.names(), "fault": chosen.offered(), "other": chosen.offered(),
                "severity": tuple(SEVERITIES), "range": tuple(RANGES),
            },
        }  # fmt: skip

    # the picture ----------------------------------------------------------------------------------------

    @property
    def seen(self) -> running.View:
        """What the picture is made for."""
        low, high = RANGES[self.range]
        return running.View(self.bench.now.gauge_span / BAR, DIVISION, low, high)

    def scene(self) -> Scene:
        """The picture, trace and all."""
        times, ip, _ = self.bench.samples()
        points = list(zip(times.tolist(), ip.tolist(), strict=True))
        return running.bench_scene(self.seen, points).localised(self.preferences.localise)

    def readings(self, time: float) -> tuple[float, float]:
        """IP gauge and supply gauge at a time, bar."""
        times, ip, supply = self.bench.samples()
        return float(np.interp(time, times, ip)), float(np.interp(time, times, supply))

    def row(self, time: float) -> tuple[float | str, ...]:
        """Where everything stands at a time."""
        ip, supply = self.readings(time)
        return (
            running.ip_scale(self.seen).degrees(ip),
            running.supply_scale().degrees(supply),
            -time * running.PER_SECOND,
            f"{int(time) // 60}:{int(time) % 60:02d}",
            self.bench.valves(),
        )

    def describe(self, time: float) -> str:
        """The sentence for a time at rest."""
        ip, supply = self.readings(time)
        return SENTENCE.format(
            design=self.bench.under_test.design,
            seconds=int(time),
            ip=self.preferences.number(ip, 1),
            supply=self.preferences.number(supply, 0),
            valves=self.bench.valves(),
        )

    def figure(self, time: float) -> Figure:
        """A still picture at a time."""
        return self.scene().figure(self.row(time))


def bench_panel(preferences: Preferences, hidden: bool = False) -> BenchPanel:
    """A regulator on the bench, its needle moving in time; `hidden` gives it a fault that is not told."""
    at = 60.0
    still = ShownBench(preferences, opened(BenchInTime(), ((1.0, "valve", 1.0), (20.0, "purge", 2.0))))
    chosen = UnderTest(fault=SECRET, shown=False) if hidden else UnderTest()
    return BenchPanel(
        title="A regulator on the bench",
        bench=ShownBench(preferences, BenchInTime(chosen)),
        supplies=SUPPLIES,
        picture=png_of(still.figure(at)),
        text=still.describe(at),
        row=still.row(at),
    )
