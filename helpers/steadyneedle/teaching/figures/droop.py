"""Picture: IP against flow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class DroopPicture:
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


def droop_chart(result: DroopPicture, localise: Localise = str) -> Drawing:
    """The chosen design in blue, the others thin and grey."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 1200), ylim=(5, 11), xlabel="flow, L/min of free air", ylabel="IP over ambient, bar")
        greys = [axes.plot([], [], **look.OTHERWISE)[0] for _ in result.others]
        (line,) = axes.plot([], [], color=look.BLUE)
        (top,) = axes.plot([], [], **(look.PREDICTED | {"marker": "", "linewidth": 1.5}))
        (gap,) = axes.plot([], [], color=look.INK, marker="_", markersize=12, linewidth=1.8)
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=12)
        words = words_over(axes, fontsize=14, va="top")

    def update(now: DroopPicture) -> bool:
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
        words.set(text=localise(text), position=(min(now.flow + 25, 740), 6.0))
        return True

    update(result)
    return Drawing(figure, (*greys, top, line, gap, point, words), update)
