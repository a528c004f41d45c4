"""Picture: cold after throttling."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class ColdPicture:
    """Temperature of air throttled to IP, and of the cylinder; Celsius and bar."""

    supply: float
    intermediate: float
    warm: float
    cold: float
    supplies: np.ndarray
    curve: np.ndarray


def cold_chart(result: ColdPicture, localise: Localise = str) -> Drawing:
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
        words = words_over(axes, fontsize=14, va="center")
        freezing = words_over(axes, "water freezes", (4, -5.5), va="center", color=look.QUIET)

    def update(now: ColdPicture) -> bool:
        warm.set_data([0, 345], [now.warm, now.warm])
        line.set_data(now.supplies, now.curve)
        drop.set_data([now.supply, now.supply], [now.warm, now.cold])
        point.set_data([now.supply], [now.cold])
        words.set(
            text=localise(f"{now.warm - now.cold:.0f} °C colder"),
            position=(min(max(now.supply + 6, 66), 255), (now.warm + now.cold) / 2),
        )
        return True

    update(result)
    return Drawing(figure, (warm, line, drop, freezing, point, words), update)
