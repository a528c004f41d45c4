"""Picture: how the interval of a rate narrows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


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


MINUTES, LOW, HIGH = 16.0, 9.4, 11.4


NAME = 4.8
"""Minutes that a name takes on the axis."""
CLEAR = 0.22
"""bar that a name takes."""


def _beside_fastest(start: float, rate: float) -> dict[str, Any]:
    """Where the name of the upper line stands: over it, or right of it where it is steep."""
    bar = min(start + rate * MINUTES, HIGH - CLEAR)
    minutes = min((bar - start) / rate, MINUTES) if rate > 0 else MINUTES
    if minutes > NAME + 3.5:  # right of the verdict
        return {"ha": "right", "va": "bottom", "position": (minutes - 0.2, max(bar, start) + 0.02)}
    return {"ha": "left", "va": "top", "position": ((HIGH - CLEAR - start) / rate + 0.3, HIGH - CLEAR)}


def _beside_slowest(start: float, rate: float) -> dict[str, Any]:
    """Where the name of the lower line stands: under it, or right of it where it falls steeply."""
    minutes = (LOW - start) / rate if rate < 0 else math.inf
    if minutes < MINUTES - NAME:
        return {"ha": "left", "va": "bottom", "position": (minutes + 0.2, LOW + 0.02)}
    under = start + rate * (MINUTES - NAME) - 0.1
    return {"ha": "right", "va": "top", "position": (MINUTES - 0.1, max(under, LOW + CLEAR))}


def watch_chart(result: WatchingPicture, localise: Localise = str) -> Drawing:
    """Dots are readings; between the two lines lies what the needle may do."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, MINUTES), ylim=(LOW, HIGH), xlabel="minutes", ylabel="IP, bar")
        fan = [axes.plot([], [], **(look.PREDICTED | {"marker": "", "linewidth": 1.8}))[0] for _ in range(2)]
        (dots,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=5)
        names = [words_over(axes, name) for name in ("slowest it may climb", "fastest it may climb")]
        words = words_over(axes, at=(0.02, 0.92), transform=axes.transAxes, fontsize=17, fontweight="bold", va="center")

    def update(now: WatchingPicture) -> bool:
        dots.set_data(now.minutes, now.readings)
        for line, rate in zip(fan, (now.low, now.high), strict=True):
            line.set_data([0, MINUTES], [now.start, now.start + MINUTES * rate])
        names[0].set(**_beside_slowest(now.start, now.low))
        names[1].set(**_beside_fastest(now.start, now.high))
        words.set_text(now.outcome)
        return True

    update(result)
    return Drawing(figure, (*fan, *names, dots, words), update)
