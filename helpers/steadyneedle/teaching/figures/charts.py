"""The charts of lessons 00, 01 and 03 that have real axes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class Line:
    """Pressure in psi against pressure in bar, and one point on it."""

    bar: float
    psi: float
    psi_per_bar: float


def conversion_chart(result: Line, localise: Localise = str) -> Drawing:
    """The straight line from bar to psi, with one point."""
    figure, axes = axes_of_our_own(localise, height=320)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 20), ylim=(0, 300), xlabel="bar", ylabel="psi")
        axes.plot([0, 20], [0, 20 * result.psi_per_bar], color=look.QUIET, linewidth=1.5)
        (drop,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=13)
        words = axes.text(0, 0, "", fontsize=15, ha="left", va="top")

    def update(now: Line) -> bool:
        drop.set_data([now.bar, now.bar, 0], [0, now.psi, now.psi])
        point.set_data([now.bar], [now.psi])
        words.set_text(localise(f"{now.bar:g} bar, {now.psi:.0f} psi"))
        words.set_position((now.bar + 0.4, now.psi - 8) if now.bar < 14 else (now.bar - 5.4, now.psi + 34))
        return True

    update(result)
    return Drawing(figure, (drop, point, words), update)


@dataclass(frozen=True)
class Depth:
    """Ambient and intermediate pressure at one depth, and along all depths; bar absolute and metres."""

    depth: float
    water: str
    ip_gauge: float
    surface: float
    ambient: float
    ip_absolute: float
    depths: np.ndarray
    ambients: np.ndarray


def depth_chart(result: Depth, localise: Localise = str) -> Drawing:
    """Absolute pressures against depth: the gap between them is the gauge reading."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 20), ylim=(63, -7), xlabel="bar absolute", ylabel="depth, m")
        axes.set_xticks(range(0, 21, 2))
        axes.set_yticks(range(0, 61, 10))
        (ambient,) = axes.plot([], [], color=look.BLUE)
        (ip,) = axes.plot([], [], color=look.VERMILION, linestyle="--")
        (gap,) = axes.plot([], [], color=look.INK, marker="|", markersize=14, linewidth=1.8)
        points = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none")[0]
        total = axes.text(0, 0, "", fontsize=13, ha="center", va="bottom")
        names = [axes.text(0, 0, name, fontsize=13, ha="left", va="center") for name in ("ambient", "IP")]

    def update(now: Depth) -> bool:
        ambient.set_data(now.ambients, now.depths)
        ip.set_data(now.ambients + now.ip_gauge, now.depths)
        gap.set_data([now.ambient, now.ip_absolute], [now.depth, now.depth])
        points.set_data([now.ambient], [now.depth])
        middle = (now.ambient + now.ip_absolute) / 2
        total.set_text(localise(f"{now.ambient:.2f} + {now.ip_gauge:.1f} = {now.ip_absolute:.2f}"))
        total.set_position((middle, now.depth - 1.2))
        for name, end in zip(names, (now.ambients[-6], now.ambients[-6] + now.ip_gauge), strict=True):
            name.set_position((end + 0.35, now.depths[-6]))
        return True

    update(result)
    return Drawing(figure, (ambient, ip, gap, points, total, *names), update)


@dataclass(frozen=True)
class Content:
    """Free air in a cylinder, litres, real and ideal, at one gauge pressure and along all; bar."""

    water_volume: float
    pressure: float
    temperature: float
    real: float
    ideal: float
    pressures: np.ndarray
    reals: np.ndarray
    ideals: np.ndarray


def _top_of(result: Content) -> float:
    """Upper end of the axis: a round number above the fullest ideal cylinder."""
    return float(math.ceil(result.ideals[-1] / 500) * 500)


def content_chart(result: Content, localise: Localise = str) -> Drawing:
    """What a cylinder holds: real air solid, ideal gas thin and grey."""
    figure, axes = axes_of_our_own(localise)
    top = _top_of(result)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 350), ylim=(0, top), xlabel="cylinder pressure, bar gauge", ylabel="free air, L")
        (ideal,) = axes.plot([], [], **look.OTHERWISE)
        (real,) = axes.plot([], [], color=look.BLUE)
        (hollow,) = axes.plot([], [], color=look.QUIET, marker="D", linestyle="none", markerfacecolor="none")
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=12)
        above = axes.text(0, 0, "", fontsize=13, ha="right", va="bottom", color=look.QUIET)
        below = axes.text(0, 0, "", fontsize=13, ha="left", va="top")

    def update(now: Content) -> bool:
        if _top_of(now) != top:
            return False
        ideal.set_data(now.pressures, now.ideals)
        real.set_data(now.pressures, now.reals)
        hollow.set_data([now.pressure], [now.ideal])
        point.set_data([now.pressure], [now.real])
        above.set(
            text=localise(f"ideal gas {now.ideal:.0f} L"),
            position=(max(now.pressure - 6, 90), min(now.ideal + top * 0.015, top * 0.93)),
        )
        below.set(
            text=localise(f"real air {now.real:.0f} L"),
            position=(min(now.pressure + 6, 262), max(now.real - top * 0.015, top * 0.09)),
        )
        return True

    update(result)
    return Drawing(figure, (ideal, real, hollow, point, above, below), update)


@dataclass(frozen=True)
class RiskCurves:
    """Two risks against the guard band: guard band in bar, risks in percent, and the one chosen."""

    guard: float
    false_accept: float
    false_reject: float
    guards: np.ndarray
    false_accepts: np.ndarray
    false_rejects: np.ndarray


def risk_chart(result: RiskCurves, localise: Localise = str) -> Drawing:
    """Bad ones passed and good ones failed, as the guard band grows."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 0.125), ylim=(0, 50), xlabel="guard band on each side, bar", ylabel="of 100 regulators")
        (bad,) = axes.plot([], [], color=look.VERMILION)
        (good,) = axes.plot([], [], color=look.BLUE, linestyle="--")
        (line,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        (bad_point,) = axes.plot([], [], color=look.VERMILION, marker="o", linestyle="none", markersize=12)
        (good_point,) = axes.plot(
            [], [], color=look.BLUE, marker="D", markerfacecolor="none", linestyle="none", markersize=11
        )
        texts = []
        styles: tuple[tuple[float, dict[str, Any]], ...] = (
            (47, {"color": look.VERMILION, "marker": "o"}),
            (42, {"color": look.BLUE, "linestyle": "--", "marker": "D"}),
        )
        for y, style in styles:
            axes.plot([0.004, 0.012], [y, y], markevery=[1], markersize=8, markerfacecolor="none", **style)
            texts.append(axes.text(0.015, y, "", fontsize=14, va="center"))

    def update(now: RiskCurves) -> bool:
        bad.set_data(now.guards, now.false_accepts)
        good.set_data(now.guards, now.false_rejects)
        line.set_data([now.guard, now.guard], [0, 38])
        bad_point.set_data([now.guard], [now.false_accept])
        good_point.set_data([now.guard], [now.false_reject])
        texts[0].set_text(localise(f"bad ones passed: {now.false_accept:.1f}"))
        texts[1].set_text(localise(f"good ones failed: {now.false_reject:.1f}"))
        return True

    update(result)
    return Drawing(figure, (bad, good, line, bad_point, good_point, *texts), update)


@dataclass(frozen=True)
class Readings:
    """Readings of one needle by several people, bar."""

    values: tuple[float, ...]
    mean: float
    deviation: float
    of_the_mean: float
    start: float
    end: float
    typed: bool


def readings_chart(result: Readings, localise: Localise = str) -> Drawing:
    """One dot a reader, stacked; the mean with its standard uncertainty as a whisker."""
    figure, axes = axes_of_our_own(localise, height=320)
    with rc_context(look.STYLE):
        axes.set(xlim=(result.start, result.end), ylim=(0, 12), xlabel="bar", ylabel="readers")
        (dots,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        (whisker,) = axes.plot([], [], color=look.VERMILION, marker="|", markersize=16, linewidth=2.5)
        (mean,) = axes.plot([], [], color=look.VERMILION, marker="D", markerfacecolor="none", markersize=11)
        words = axes.text(0, 0, "", fontsize=13, ha="center", va="bottom")

    def update(now: Readings) -> bool:
        if (now.start, now.end) != (result.start, result.end):
            return False
        seen: dict[float, int] = {}
        heights = []
        for value in now.values:
            key = round(value, 3)
            seen[key] = seen.get(key, 0) + 1
            heights.append(min(seen[key], 11) - 0.4)
        dots.set_data(now.values, heights)
        top = min(max(heights) + 1.0, 10.5)
        whisker.set_data([now.mean - now.deviation, now.mean + now.deviation], [top, top])
        mean.set_data([now.mean], [top])
        words.set(
            text=localise(f"mean {now.mean:.2f} bar, scatter {now.deviation:.2f} bar"), position=(now.mean, top + 0.5)
        )
        return True

    update(result)
    return Drawing(figure, (dots, whisker, mean, words), update)
