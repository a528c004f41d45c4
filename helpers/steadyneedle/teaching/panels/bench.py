"""The bench as a class sees it: the picture of a `BenchInTime`, its sentence, and what the page needs to play it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from matplotlib.figure import Figure

from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.regulators import SEA_METRE
from steadyneedle.jobs.bench_in_time import BenchInTime, Needles
from steadyneedle.jobs.under_test import SEVERITIES, SURPRISE, UnderTest
from steadyneedle.physics.actions import Action
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import running
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.strokes import Row, Scene
from steadyneedle.teaching.figures.thinning import thinned
from steadyneedle.teaching.frame.played import BenchPanel, BenchState
from steadyneedle.teaching.frame.publishing import Still
from steadyneedle.teaching.panels.offered import SheetLoader

SUPPLIES = (30, 50, 100, 150, 200, 232, 300)
"""Cylinder pressures on offer, bar."""

DEPTHS = (0, 10, 20, 40)
"""Depths on offer, metres of sea water: the regulator in a pressure pot."""

RANGES = {"8 to 12 bar": (8.0, 12.0), "0 to 16 bar": (0.0, 16.0)}
"""What the trace shows, bar."""

DIVISION = 0.2
"""bar, of the bench's gauge."""

SAY_FIRST = "Say first what it is: the question stands below the bench."

THIN = 0.003
"""bar; a third of a pixel of the trace: what a straight line misses by less is not sent."""

SENTENCE = "{design} on the bench, {seconds} s: the gauge shows {ip} bar, the supply {supply} bar, {valves}."
"""The picture's alternative text; the page fills in the numbers."""

FAULT_WORDS = {SOUND: "nothing wrong", SURPRISE: "a surprise"}
SEVERITY_WORDS = {"plain": "medium"}
"""Words for what is no fault of the table."""


@dataclass
class ShownBench:
    """A bench in time with its picture, in a learner's decimal mark. `told` is whether one sees what is wrong.

    Whoever asks what is wrong with it sets `may_tell`, False until it was answered, and `changed`, called when another
    regulator stands there.
    """

    preferences: Preferences
    bench: BenchInTime = field(default_factory=BenchInTime)
    range: str = "8 to 12 bar"
    told: bool = True
    sheets: SheetLoader | None = None
    may_tell: Callable[[], bool] = lambda: True
    changed: Callable[[], None] = lambda: None

    # what the page asks ---------------------------------------------------------------------------------

    def do(self, time: float, what: str, value: float | str = 0.0) -> None:
        """Something done at a time [s]; ValueError says why it cannot be. A page names a supply in bar over
        ambient, and a depth in metres of sea water."""
        if what == "supply" and not isinstance(value, str):
            value = value * BAR + SURFACE
        elif what == "depth" and not isinstance(value, str):
            what, value = "ambient", SURFACE + value * SEA_METRE
        # the page's clock cannot be further than what it was given to play
        self.bench.do(Action(min(time, self.bench.until), what, value))

    def new(self, values: dict[str, Any]) -> bool:
        """Another regulator or another range of the trace; True where the clock starts at 0 again."""
        shown_range = str(values.get("range", self.range))
        if shown_range not in RANGES:
            raise ValueError("Choose a range from its list.")
        if values.get("told") and not self.may_tell():
            raise ValueError(SAY_FIRST)
        before = self.bench.under_test
        chosen = {n: str(values[n]) for n in ("design", "fault", "severity", "other") if n in values}
        under_test = before.changed(**chosen)
        if values.get("another"):
            under_test = under_test.another()
        if values.get("again"):
            under_test = self._begin(under_test)
            shown_range = next(iter(RANGES))
        # a surprise that one has just asked for would be none if it were told
        asked_for = SURPRISE in (chosen.get("fault"), chosen.get("other")) or bool(values.get("another"))
        hides = asked_for and under_test.surprising
        self.told = bool(values.get("told", self.told and not hides))
        self.range = shown_range
        fresh = under_test != before or bool(values.get("again"))
        if fresh:
            self.bench.put_on(under_test)
        self.changed()
        return fresh

    def _begin(self, under_test: UnderTest) -> UnderTest:
        """As the bench began: its first supply and regulator. A hidden fault stays: it is a question."""
        self.bench.supply = self._first_supply
        return under_test if under_test.surprising else self._first

    def __post_init__(self) -> None:
        self._first, self._first_supply = self.bench.under_test, self.bench.supply

    def on_the_bench(self) -> UnderTest:
        """The regulator, whether one sees what is wrong with it or not."""
        return self.bench.under_test

    def tell(self, on: bool) -> None:
        """Tell what is wrong, or hide it again."""
        self.told = on

    def more(self) -> None:
        """Look further ahead."""
        self.bench.more()

    def state(self) -> BenchState:
        """All that the page needs to play on: readings in bar, parts and numbers by name."""
        readings, view, under_test, settings = (
            self.readings(),
            self.view,
            self.bench.under_test,
            self.bench.now.settings,
        )
        scene = running.bench_scene(view, ()).localised(self.preferences.localise)
        scales = {
            "ip": dataclasses.asdict(running.ip_scale(view)),
            "supply": dataclasses.asdict(running.supply_scale()),
            "trace": dataclasses.asdict(running.trace_scale(view)),
        }
        return BenchState(
            times=readings.time,
            ip=readings.ip,
            supply=readings.supply,
            scene={"svg": scene.svg(), "motions": scene.motions(), "scales": scales},
            run={
                "mark": self.preferences.mark,
                "sentence": SENTENCE.replace("{design}", under_test.design),
                "noticed": self.bench.noticed(),
                "supply": round((self.bench.supply - SURFACE) / BAR),
                "depth": self.depth,
                "valve": bool(settings.valve_area),
                "bleeding": bool(settings.bleed_area),
                "valves": self.valves(),
                "ended": bool(self.bench.ended),
                "wrong": self.wrong(),
                "told": self.told,
                "surprising": under_test.surprising,
                "chosen": {**dataclasses.asdict(under_test), "range": self.range},
                "options": _options(under_test),
            },
        )

    # words ----------------------------------------------------------------------------------------------

    def wrong(self) -> str:
        """What is wrong with it, where it is told."""
        if not self.told:
            return "The fault is hidden."
        names = [Fault.named(key).name for key in self.bench.under_test.faults()]
        return f"Fault: {' and '.join(names)}." if names else "No fault: it is sound."

    @property
    def depth(self) -> int:
        """Metres of sea water around the regulator."""
        return round((self.bench.now.settings.ambient - SURFACE) / SEA_METRE)

    def valves(self) -> str:
        """How the handwheel and the bleed screw stand, and how deep it is."""
        settings = self.bench.now.settings
        said = ["valve open" if settings.valve_area else "valve shut"]
        if settings.bleed_area:
            said.append("bleeding")
        if self.depth:
            said.append(f"{self.depth} m deep")
        return ", ".join(said)

    def describe(self, time: float) -> str:
        """The sentence for a time at rest."""
        ip, supply = self.readings().at(time)
        return SENTENCE.format(
            design=self.bench.under_test.design,
            seconds=int(time),
            ip=self.preferences.number(ip, 1),
            supply=self.preferences.number(supply, 0),
            valves=self.valves(),
        )

    # the picture ----------------------------------------------------------------------------------------

    @property
    def view(self) -> running.BenchView:
        """What the picture is made for."""
        low, high = RANGES[self.range]
        name = self.bench.under_test.design
        return running.BenchView(self.bench.now.gauge_span / BAR, DIVISION, low, high, name, self._band(name))

    def _band(self, name: str) -> tuple[float, float] | None:
        """The band of a regulator in bar, by the sheets in use."""
        sheet = self.sheets().get(name) if self.sheets else None
        if sheet is None or sheet.ip_low is None or sheet.ip_high is None:
            return None
        return float(sheet.ip_low.to("bar").magnitude), float(sheet.ip_high.to("bar").magnitude)

    def readings(self) -> Needles:
        """What the needles show in bar, on their stops at the most, and only as many samples as the trace needs."""
        needles = self.bench.needles()
        ip_stops, supply_stops = running.stops(self.view)
        # the supply's dial has twenty times as many bar on its scale
        keep = thinned(needles.time, np.stack([needles.ip, needles.supply / 20]) / BAR, THIN)
        ip, supply = needles.ip[keep] / BAR, needles.supply[keep] / BAR
        return Needles(needles.time[keep], np.clip(ip, *ip_stops), np.clip(supply, *supply_stops))

    def scene(self) -> Scene:
        """The picture, trace and all."""
        readings = self.readings()
        trace = list(zip(readings.time.tolist(), readings.ip.tolist(), strict=True))
        return running.bench_scene(self.view, trace).localised(self.preferences.localise)

    def row(self, time: float) -> Row:
        """Where everything stands at a time."""
        ip, supply = self.readings().at(time)
        return {
            "ip": running.ip_scale(self.view).degrees(ip),
            "supply": running.supply_scale().degrees(supply),
            "trace": -time * running.trace_scale(self.view).per_second,
            "clock": f"{int(time) // 60}:{int(time) % 60:02d}",
            "valves": self.valves(),
            "reading": "",
        }

    def figure(self, time: float) -> Figure:
        """A still picture at a time."""
        return self.scene().figure(self.row(time))


def _options(under_test: UnderTest) -> dict[str, list[tuple[str, str]]]:
    """What there is to choose from: each option's key and its words."""
    faults = [*FAULT_WORDS.items(), *((key, Fault.named(key).name) for key in under_test.possible())]
    return {
        "design": [(name, name) for name in FirstStage.names()],
        "fault": faults,
        "other": faults,
        "severity": [(name, SEVERITY_WORDS.get(name, name)) for name in SEVERITIES],
        "range": [(name, name) for name in RANGES],
    }


def bench_panel(preferences: Preferences, sheets: SheetLoader, hidden: bool = False) -> BenchPanel:
    """A regulator on the bench, its needle moving in time; `hidden` gives it a fault that is not told."""

    def still() -> Still:
        at = 60.0
        run = ShownBench(preferences, sheets=cache(sheets))
        run.bench.do(Action(1.0, "valve", 1.0), Action(20.0, "purge", 2.0))
        # last bits of a long computation differ between machines: a needle is seen to no thousandth of a degree
        seen = {name: round(one, 3) if isinstance(one, float) else one for name, one in run.row(at).items()}
        return Still(png_of(run.figure(at)), run.describe(at), seen)

    under_test = UnderTest(fault=SURPRISE) if hidden else UnderTest()
    return BenchPanel(
        title="A regulator on the bench",
        bench=ShownBench(preferences, BenchInTime(under_test), told=not hidden, sheets=cache(sheets)),
        supplies=SUPPLIES,
        depths=DEPTHS,
        still=still,
    )
