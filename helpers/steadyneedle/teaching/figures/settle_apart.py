"""Picture: a settle and a creep, and both together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


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


def apart_chart(result: SettleApartPicture, localise: Localise = str) -> Drawing:
    """The rise in blue, the settle dashed, the creep thin and grey."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 10), ylim=(-0.5, 1.5), xlabel="minutes", ylabel="rise of the needle, bar")
        axes.axhline(0, color=look.QUIET, linewidth=0.8)
        (creep,) = axes.plot([], [], **(look.OTHERWISE | {"linewidth": 1.8}))
        (settle,) = axes.plot([], [], **(look.PREDICTED | {"marker": ""}))
        (rise,) = axes.plot([], [], color=look.BLUE)
        (end,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        words = axes.text(9.9, 1.36, "", fontsize=14, ha="right", va="center")
        axes.text(9.9, 1.18, "blue: the needle; dashed: settle; grey: creep", fontsize=12, ha="right", va="center")

    def update(now: SettleApartPicture) -> bool:
        creep.set_data(now.minutes, now.crept)
        settle.set_data(now.minutes, now.settled)
        seen = now.minutes <= now.watch + 1e-9
        whole = now.settled + now.crept
        rise.set_data(now.minutes[seen], whole[seen])
        end.set_data([now.minutes[seen][-1]], [whole[seen][-1]])
        seen_now, settled, crept = whole[seen][-1], now.settled[seen][-1], now.crept[seen][-1]
        words.set_text(localise(f"{seen_now:.2f} bar = {settled:.2f} settle {crept:+.2f} creep"))
        return True

    update(result)
    return Drawing(figure, (creep, settle, rise, end, words), update)
