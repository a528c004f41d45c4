"""Charts of lesson 04: a trace, a settle laid apart from a creep, what a watch tells, second stages giving way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class Trace:
    """One recorded trace: minutes and bar, and what it is where that is shown."""

    number: int
    minutes: np.ndarray
    readings: np.ndarray
    outcome: str
    because: str
    shown: bool


def trace_chart(result: Trace, localise: Localise = str) -> Drawing:
    """Readings as dots, every trace on one scale; what falls below it leaves the picture."""
    figure, axes = axes_of_our_own(localise, height=320)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 5.1), ylim=(8.7, 11.2), xlabel="minutes", ylabel="IP, bar")
        (line,) = axes.plot([], [], **(look.MEASURED | {"markersize": 4, "linewidth": 1.2}))
        words = axes.text(0.02, 0.93, "", transform=axes.transAxes, fontsize=17, fontweight="bold", va="center")

    def update(now: Trace) -> bool:
        line.set_data(now.minutes, now.readings)
        words.set_text(now.outcome if now.shown else f"trace {now.number}")
        return True

    update(result)
    return Drawing(figure, (line, words), update)


@dataclass(frozen=True)
class Apart:
    """A rise and its two parts: bar, seconds, bar/min, minutes."""

    settle: float
    time_constant: float
    rate: float
    watch: float
    minutes: np.ndarray
    settled: np.ndarray
    crept: np.ndarray
    ten_seconds: float
    last_minute: float


def apart_chart(result: Apart, localise: Localise = str) -> Drawing:
    """The rise in blue, the settle dashed, the creep thin and grey."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 10), ylim=(-0.5, 1.5), xlabel="minutes", ylabel="rise of the needle, bar")
        axes.axhline(0, color=look.QUIET, linewidth=0.8)
        (creep,) = axes.plot([], [], **(look.OTHERWISE | {"linewidth": 1.8}))
        (settle,) = axes.plot([], [], **(look.PREDICTED | {"marker": ""}))
        (rise,) = axes.plot([], [], color=look.BLUE)
        (end,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        words = axes.text(9.9, 1.36, "", fontsize=14, ha="right", va="center")
        axes.text(9.9, 1.18, "blue: the needle; dashed: settle; grey: creep", fontsize=12, ha="right", va="center")

    def update(now: Apart) -> bool:
        creep.set_data(now.minutes, now.crept)
        settle.set_data(now.minutes, now.settled)
        seen = now.minutes <= now.watch + 1e-9
        whole = now.settled + now.crept
        rise.set_data(now.minutes[seen], whole[seen])
        end.set_data([now.minutes[seen][-1]], [whole[seen][-1]])
        seen_now, settled, crept = whole[seen][-1], now.settled[seen][-1], now.crept[seen][-1]
        words.set_text(localise(f"{seen_now:.2f} bar = {settled:.2f} settle {crept:+.2f} creep"))
        return True

    update(result)
    return Drawing(figure, (creep, settle, rise, end, words), update)


@dataclass(frozen=True)
class Watch:
    """Readings of a watch and the slowest and fastest climb they leave possible; minutes, bar, bar/min."""

    watch: float
    division: str
    rate: float
    limit: float
    minutes: np.ndarray
    readings: np.ndarray
    start: float
    low: float
    high: float
    outcome: str
    because: str


def watch_chart(result: Watch, localise: Localise = str) -> Drawing:
    """Dots are readings; the fan is what the rate may be."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 16), ylim=(9.4, 11.4), xlabel="minutes", ylabel="IP, bar")
        fan = [axes.plot([], [], **(look.PREDICTED | {"marker": "", "linewidth": 1.8}))[0] for _ in range(2)]
        (dots,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=5)
        words = axes.text(0.02, 0.92, "", transform=axes.transAxes, fontsize=17, fontweight="bold", va="center")

    def update(now: Watch) -> bool:
        dots.set_data(now.minutes, now.readings)
        for line, rate in zip(fan, (now.low, now.high), strict=True):
            line.set_data([0, 16], [now.start, now.start + 16 * rate])
        words.set_text(now.outcome)
        return True

    update(result)
    return Drawing(figure, (*fan, dots, words), update)


@dataclass(frozen=True)
class Opening:
    """Cracking effort of both second stages against IP; bar and mbar."""

    intermediate: float
    adjuster: float
    pressures: np.ndarray
    curves: dict[str, np.ndarray]
    efforts: dict[str, float]
    opens: dict[str, float]


def opening_chart(result: Opening, localise: Localise = str) -> Drawing:
    """Below zero it flows by itself."""
    figure, axes = axes_of_our_own(localise)
    styles = {"Sedge": (look.VERMILION, "-", "o"), "Reed": (look.BLUE, "--", "D")}
    with rc_context(look.STYLE):
        axes.set(xlim=(8, 17), ylim=(-4, 7), xlabel="IP over ambient, bar", ylabel="cracking effort, mbar")
        axes.axhline(0, color=look.INK, linewidth=1.2)
        axes.text(16.9, -2.2, "below this line it flows by itself", fontsize=12, ha="right", va="top")
        lines = {n: axes.plot([], [], color=c, linestyle=s)[0] for n, (c, s, _) in styles.items()}
        points = {
            n: axes.plot([], [], color=c, marker=m, linestyle="none", markersize=11)[0]
            for n, (c, _, m) in styles.items()
        }
        (here,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        names = {n: axes.text(0, 0, n, fontsize=13, ha="left", va="bottom") for n in styles}

    def update(now: Opening) -> bool:
        here.set_data([now.intermediate] * 2, [-4, 7])
        for name in styles:
            lines[name].set_data(now.pressures, now.curves[name])
            points[name].set_data([now.intermediate], [now.efforts[name]])
            names[name].set_position((8.15, float(now.curves[name][0]) - (0.9 if name == "Reed" else -0.15)))
        return True

    update(result)
    return Drawing(figure, (here, *lines.values(), *points.values(), *names.values()), update)
