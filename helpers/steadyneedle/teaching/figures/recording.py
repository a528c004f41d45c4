"""Picture: a recorded needle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class RecordingPicture:
    """One recorded trace: minutes and bar, and what it is where that is shown."""

    number: int
    minutes: np.ndarray
    readings: np.ndarray
    outcome: str
    because: str
    shown: bool


def trace_chart(result: RecordingPicture, localise: Localise = str) -> Drawing:
    """Readings as dots, every trace on one scale; what falls below it leaves the picture."""
    figure, axes = axes_of_our_own(localise, height=250)
    axes.set_position((0.10, 0.23, 0.87, 0.74))  # a low picture: the words below it take their height all the same
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 5.1), ylim=(8.7, 11.2), xlabel="minutes", ylabel="IP, bar")
        (line,) = axes.plot([], [], **(look.MEASURED | {"markersize": 4, "linewidth": 1.2}))
        words = axes.text(0.02, 0.93, "", transform=axes.transAxes, fontsize=17, fontweight="bold", va="center")

    def update(now: RecordingPicture) -> bool:
        line.set_data(now.minutes, now.readings)
        words.set_text(now.outcome if now.shown else f"trace {now.number}")
        return True

    update(result)
    return Drawing(figure, (line, words), update)
