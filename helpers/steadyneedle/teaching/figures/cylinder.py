"""Picture: what a cylinder holds, ideal against real air."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class ContentPicture:
    """Free air in a cylinder, litres, real and ideal, at one gauge pressure and along all; bar."""

    water_volume: float
    pressure: float
    temperature: float
    real: float
    ideal: float
    pressures: np.ndarray
    reals: np.ndarray
    ideals: np.ndarray


def _top_of(result: ContentPicture) -> float:
    """Upper end of the axis: a round number above the fullest ideal cylinder."""
    return float(math.ceil(result.ideals[-1] / 500) * 500)


def content_chart(result: ContentPicture, localise: Localise = str) -> Drawing:
    """What a cylinder holds: real air solid, ideal gas thin and grey."""
    figure, axes = axes_of_our_own(localise)
    top = _top_of(result)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 350), ylim=(0, top), xlabel="cylinder pressure, bar gauge", ylabel="free air, L")
        (ideal,) = axes.plot([], [], **look.OTHERWISE)
        (real,) = axes.plot([], [], color=look.BLUE)
        (hollow,) = axes.plot([], [], color=look.QUIET, marker="D", linestyle="none", markerfacecolor="none")
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=12)
        above = words_over(axes, ha="right", va="bottom", color=look.QUIET)
        below = words_over(axes, va="top")

    def update(now: ContentPicture) -> bool:
        if _top_of(now) != top:
            return False
        ideal.set_data(now.pressures, now.ideals)
        real.set_data(now.pressures, now.reals)
        hollow.set_data([now.pressure], [now.ideal])
        point.set_data([now.pressure], [now.real])
        above.set(
            text=localise(f"ideal gas {now.ideal:.0f} L"),
            position=(max(now.pressure - 8, 96), min(max(now.ideal + top * 0.05, top * 0.11), top * 0.92)),
        )
        below.set(
            text=localise(f"real air {now.real:.0f} L"),
            position=(min(now.pressure + 8, 258), max(now.real - top * 0.05, top * 0.09)),
        )
        return True

    update(result)
    return Drawing(figure, (ideal, real, hollow, point, above, below), update)
