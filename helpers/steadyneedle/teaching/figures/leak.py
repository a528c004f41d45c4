"""Picture: a leak and the climb it makes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class LeakPicture:
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


def leak_chart(result: LeakPicture, localise: Localise = str) -> Drawing:
    """The needle through ten minutes; the same hole in other volumes thin and grey."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 10), ylim=(9, 13), xlabel="minutes", ylabel="IP over ambient, bar")
        axes.axhline(result.opens, **(look.PREDICTED | {"marker": "", "linewidth": 1.5}))
        gives_way = words_over(axes, "an unbalanced second stage opens", (0.15, result.opens + 0.08), va="bottom")
        greys = [axes.plot([], [], **look.OTHERWISE)[0] for _ in range(2)]
        labels = [
            words_over(axes, name, color=look.QUIET, ha=side, va=edge)
            for name, side, edge in (("30 mL", "right", "bottom"), ("150 mL", "right", "top"))
        ]
        (line,) = axes.plot([], [], color=look.BLUE)
        words = words_over(axes, at=(9.85, 9.2), fontsize=15, ha="right", va="center")

    def update(now: LeakPicture) -> bool:
        for grey, label, curve in zip(greys, labels, (now.smallest, now.largest), strict=True):
            grey.set_data(now.minutes, curve)
            last = int(np.flatnonzero(curve <= 12.6)[-1])
            label.set_position((float(now.minutes[last]), float(curve[last]) + (0.05 if label is labels[0] else -0.08)))
        line.set_data(now.minutes, now.climb)
        words.set_text(localise(f"{now.rate:.3f} bar/min in {now.volume:.0f} mL"))
        return True

    update(result)
    return Drawing(figure, (*greys, line, gives_way, *labels, words), update)
