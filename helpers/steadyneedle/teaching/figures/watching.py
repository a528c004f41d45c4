"""Picture: how the interval of a rate narrows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class WatchingPicture:
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


def watch_chart(result: WatchingPicture, localise: Localise = str) -> Drawing:
    """Dots are readings; the fan is what the rate may be."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 16), ylim=(9.4, 11.4), xlabel="minutes", ylabel="IP, bar")
        fan = [axes.plot([], [], **(look.PREDICTED | {"marker": "", "linewidth": 1.8}))[0] for _ in range(2)]
        (dots,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=5)
        words = axes.text(0.02, 0.92, "", transform=axes.transAxes, fontsize=17, fontweight="bold", va="center")

    def update(now: WatchingPicture) -> bool:
        dots.set_data(now.minutes, now.readings)
        for line, rate in zip(fan, (now.low, now.high), strict=True):
            line.set_data([0, 16], [now.start, now.start + 16 * rate])
        words.set_text(now.outcome)
        return True

    update(result)
    return Drawing(figure, (*fan, dots, words), update)
