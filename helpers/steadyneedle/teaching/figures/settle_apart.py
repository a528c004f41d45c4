"""Picture: a settle and a creep, and both together."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class SettleApartPicture:
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


LABELS_APART = 0.08
"""Of the axis: how far the middles of two names at its right end stand apart."""


def _ends(result: SettleApartPicture) -> tuple[float, float]:
    """Ends of the axis: whole halves of a bar around all that is drawn."""
    curves = (result.settled, result.crept, result.settled + result.crept)
    low, high = min(float(one.min()) for one in curves), max(float(one.max()) for one in curves)
    return -0.5 * math.ceil(-low / 0.5), max(0.5, 0.5 * math.ceil(high / 0.5))


def _apart(heights: list[float], ends: tuple[float, float]) -> list[float]:
    """Heights of names on the axis, each beside its line as near as the others leave it."""
    gap = LABELS_APART * (ends[1] - ends[0])
    order = sorted(range(len(heights)), key=lambda n: heights[n])
    placed = list(heights)
    for lower, upper in itertools.pairwise(order):
        placed[upper] = max(placed[upper], placed[lower] + gap)
    over = placed[order[-1]] - (ends[1] - gap / 2)
    return [one - max(over, 0.0) for one in placed]


def apart_chart(result: SettleApartPicture, localise: Localise = str) -> Drawing:
    """The rise in blue, the settle dashed, the creep thin and grey, each with its name at its end."""
    figure, axes = axes_of_our_own(localise)
    ends = _ends(result)
    with rc_context(look.STYLE):
        axes.set_position((0.10, 0.165, 0.765, 0.785))
        axes.set(xlim=(0, 10), ylim=ends, xlabel="minutes", ylabel="rise of the needle, bar")
        axes.axhline(0, color=look.QUIET, linewidth=0.8)
        (creep,) = axes.plot([], [], **(look.OTHERWISE | {"linewidth": 1.8}))
        (settle,) = axes.plot([], [], **(look.PREDICTED | {"marker": ""}))
        (rise,) = axes.plot([], [], color=look.BLUE)
        (end,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        words = words_over(axes, at=(0.02, 0.94), transform=axes.transAxes, fontsize=14, va="center")
        named = (("creep", look.QUIET), ("settle", look.INK), ("the needle", look.BLUE))
        names = [words_over(axes, name, color=colour, va="center") for name, colour in named]

    def update(now: SettleApartPicture) -> bool:
        if _ends(now) != ends:
            return False
        whole = now.settled + now.crept
        for line, curve in ((creep, now.crept), (settle, now.settled)):
            line.set_data(now.minutes, curve)
        seen = now.minutes <= now.watch + 1e-9
        rise.set_data(now.minutes[seen], whole[seen])
        end.set_data([now.minutes[seen][-1]], [whole[seen][-1]])
        heights = _apart([float(one[-1]) for one in (now.crept, now.settled, whole)], ends)
        for name, height in zip(names, heights, strict=True):
            name.set_position((10.15, height))
        if now.watch < 8.5:  # beside its end, while there is room for it
            names[2].set_position((now.watch + 0.2, whole[seen][-1] + LABELS_APART * (ends[1] - ends[0]) / 2))
        settled, crept = now.settled[seen][-1], now.crept[seen][-1]
        sign = "-" if crept < 0 else "+"
        words.set_text(localise(f"{whole[seen][-1]:.2f} bar = {settled:.2f} settle {sign} {abs(crept):.2f} creep"))
        return True

    update(result)
    return Drawing(figure, (creep, settle, rise, end, words, *names), update)
