"""Charts of lesson 02: IP against supply, droop against flow, cold after throttling, creep from a hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own

DESIGN_STYLES = {
    "Alder": (look.BLUE, "-", "o"), "Rowan": (look.GREEN, "--", "s"), "Hazel": (look.VERMILION, "-", "D"),
    "Juniper": (look.INK, "--", "^"), "Linden": (look.PURPLE, "-.", "v"),
}  # fmt: skip
"""Colour, line and mark of each design: told apart by shape as well as by colour."""


@dataclass(frozen=True)
class Supply:
    """IP over ambient of every design against supply; bar."""

    supply: float
    values: dict[str, float]
    supplies: np.ndarray
    curves: dict[str, np.ndarray]


def supply_chart(result: Supply, localise: Localise = str) -> Drawing:
    """All designs at once."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(-45, 310), ylim=(7, 11.5), xlabel="supply, bar", ylabel="IP over ambient, bar")
        axes.set_xticks(range(0, 301, 50))
        for name, (colour, line, _) in DESIGN_STYLES.items():
            axes.plot(result.supplies, result.curves[name], color=colour, linestyle=line)
        height = 99.0
        for end, name in sorted(((curve[0], name) for name, curve in result.curves.items()), reverse=True):
            height = min(end, height - 0.28)  # labels keep a line's distance from one another
            axes.text(result.supplies[0] - 5, height, name, fontsize=13, ha="right", va="center")
        (here,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        points = [
            axes.plot([], [], color=colour, marker=mark, linestyle="none", markersize=11)[0]
            for colour, _, mark in DESIGN_STYLES.values()
        ]

    def update(now: Supply) -> bool:
        here.set_data([now.supply, now.supply], [7, 11.5])
        for point, name in zip(points, DESIGN_STYLES, strict=True):
            point.set_data([now.supply], [now.values[name]])
        return True

    update(result)
    return Drawing(figure, (here, *points), update)


@dataclass(frozen=True)
class Droop:
    """IP over ambient of one design against the flow taken; bar and L/min of free air. NaN: more than it passes."""

    design: str
    supply: float
    flow: float
    lock_up: float
    value: float
    most: float
    flows: np.ndarray
    curve: np.ndarray
    others: dict[str, np.ndarray]


def droop_chart(result: Droop, localise: Localise = str) -> Drawing:
    """The chosen design in blue, the others thin and grey."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 1200), ylim=(5, 11), xlabel="flow, L/min of free air", ylabel="IP over ambient, bar")
        greys = [axes.plot([], [], **look.OTHERWISE)[0] for _ in result.others]
        (line,) = axes.plot([], [], color=look.BLUE)
        (top,) = axes.plot([], [], **(look.PREDICTED | {"marker": "", "linewidth": 1.5}))
        (gap,) = axes.plot([], [], color=look.INK, marker="_", markersize=12, linewidth=1.8)
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=12)
        words = axes.text(0, 0, "", fontsize=14, ha="left", va="top")

    def update(now: Droop) -> bool:
        for grey, curve in zip(greys, now.others.values(), strict=True):
            grey.set_data(now.flows, curve)
        line.set_data(now.flows, now.curve)
        top.set_data([0, 1200], [now.lock_up, now.lock_up])
        fits = bool(np.isfinite(now.value))
        point.set_data([now.flow] if fits else [], [now.value] if fits else [])
        gap.set_data([now.flow] * 2 if fits else [], [now.lock_up, now.value] if fits else [])
        text = (
            f"{now.value:.2f} bar, {now.lock_up - now.value:.2f} below lock-up"
            if fits
            else f"passes {now.most:.0f} L/min at the most"
        )
        words.set(text=localise(text), position=(min(now.flow + 15, 740), 6.0))
        return True

    update(result)
    return Drawing(figure, (*greys, top, line, gap, point, words), update)


@dataclass(frozen=True)
class Cold:
    """Temperature of air throttled to IP, and of the cylinder; Celsius and bar."""

    supply: float
    intermediate: float
    warm: float
    cold: float
    supplies: np.ndarray
    curve: np.ndarray


def cold_chart(result: Cold, localise: Localise = str) -> Drawing:
    """How cold the air is behind the seat."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 345), ylim=(-45, 45), xlabel="supply, bar", ylabel="temperature, °C")
        axes.set_yticks(range(-40, 41, 20))
        axes.axhline(0, color=look.QUIET, linewidth=1.0, linestyle=":")
        (warm,) = axes.plot([], [], **look.OTHERWISE)
        (line,) = axes.plot([], [], color=look.BLUE)
        (drop,) = axes.plot([], [], color=look.INK, marker="_", markersize=12, linewidth=1.8)
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=12)
        words = axes.text(0, 0, "", fontsize=14, ha="left", va="center")
        axes.text(340, -4, "water freezes", fontsize=12, ha="right", va="center", color=look.QUIET)

    def update(now: Cold) -> bool:
        warm.set_data([0, 345], [now.warm, now.warm])
        line.set_data(now.supplies, now.curve)
        drop.set_data([now.supply, now.supply], [now.warm, now.cold])
        point.set_data([now.supply], [now.cold])
        words.set(
            text=localise(f"{now.warm - now.cold:.0f} °C colder"),
            position=(min(now.supply + 6, 255), (now.warm + now.cold) / 2),
        )
        return True

    update(result)
    return Drawing(figure, (warm, line, drop, point, words), update)


@dataclass(frozen=True)
class Leak:
    """Creep from one hole past the seat: micrometres, bar, millilitres, and what it is worth as a leak."""

    diameter: float
    supply: float
    volume: float
    rate: float
    standard: float
    throughput: float
    lock_up: float
    opens: float
    minutes: np.ndarray
    climb: np.ndarray
    smallest: np.ndarray
    largest: np.ndarray


def leak_chart(result: Leak, localise: Localise = str) -> Drawing:
    """The needle through ten minutes; the same hole in other volumes thin and grey."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 10), ylim=(9, 13), xlabel="minutes", ylabel="IP over ambient, bar")
        axes.axhline(result.opens, **(look.PREDICTED | {"marker": "", "linewidth": 1.5}))
        axes.text(0.15, result.opens + 0.06, "an unbalanced second stage gives way", fontsize=12, va="bottom")
        greys = [axes.plot([], [], **look.OTHERWISE)[0] for _ in range(2)]
        labels = [
            axes.text(0, 0, name, fontsize=12, color=look.QUIET, ha=side, va=edge)
            for name, side, edge in (("30 mL", "right", "bottom"), ("150 mL", "right", "top"))
        ]
        (line,) = axes.plot([], [], color=look.BLUE)
        words = axes.text(0.15, 12.75, "", fontsize=15, ha="left", va="center")

    def update(now: Leak) -> bool:
        for grey, label, curve in zip(greys, labels, (now.smallest, now.largest), strict=True):
            grey.set_data(now.minutes, curve)
            last = int(np.flatnonzero(curve <= 12.6)[-1])
            label.set_position((float(now.minutes[last]), float(curve[last]) + (0.05 if label is labels[0] else -0.08)))
        line.set_data(now.minutes, now.climb)
        words.set_text(localise(f"{now.rate:.3f} bar/min in {now.volume:.0f} mL"))
        return True

    update(result)
    return Drawing(figure, (*greys, *labels, line, words), update)
