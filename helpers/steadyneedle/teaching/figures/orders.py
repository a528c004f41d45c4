"""Picture: how soon two orders of tests find the cause."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class OrdersPicture:
    """Of 100 regulators, in how many the leading cause is the right one after so many minutes: two orders."""

    minutes: int
    known: str
    trade: np.ndarray
    advised: np.ndarray

    @property
    def now(self) -> tuple[float, float]:
        """Both at the minutes chosen: the trade's order, the advised one."""
        return float(self.trade[self.minutes]), float(self.advised[self.minutes])


def orders_chart(result: OrdersPicture, localise: Localise = str) -> Drawing:
    """Two steps upward; the higher one sooner is the better order."""
    figure, axes = axes_of_our_own(localise)
    end = result.trade.size - 1
    with rc_context(look.STYLE):
        axes.set(xlim=(0, end), ylim=(0, 112), xlabel="minutes of bench work", ylabel="right, of 100")
        axes.set_yticks([0, 20, 40, 60, 80, 100])
        (advised,) = axes.plot([], [], color=look.BLUE, drawstyle="steps-post")
        (trade,) = axes.plot([], [], color=look.VERMILION, linestyle="--", drawstyle="steps-post")
        (line,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        (other,) = axes.plot(
            [], [], color=look.VERMILION, marker="D", markerfacecolor="none", linestyle="none", markersize=10
        )
        texts = []
        styles: tuple[tuple[float, dict[str, Any]], ...] = (
            (0.02, {"color": look.BLUE, "marker": "o"}),
            (0.42, {"color": look.VERMILION, "linestyle": "--", "marker": "D"}),
        )
        for x, style in styles:
            axes.plot(
                [x * end, (x + 0.06) * end], [107, 107], markevery=[1], markersize=8, markerfacecolor="none", **style
            )
            texts.append(words_over(axes, at=((x + 0.08) * end, 107), fontsize=14, va="center"))

    def update(now: OrdersPicture) -> bool:
        if now.trade.size != result.trade.size:
            return False
        times = np.arange(now.trade.size)
        trade.set_data(times, now.trade)
        advised.set_data(times, now.advised)
        line.set_data([now.minutes, now.minutes], [0, 100])
        habit, best = now.now
        point.set_data([now.minutes], [best])
        other.set_data([now.minutes], [habit])
        texts[0].set_text(localise(f"as advised: {best:.0f} of 100"))
        texts[1].set_text(localise(f"spring, diaphragm, land: {habit:.0f} of 100"))
        return True

    update(result)
    return Drawing(figure, (advised, trade, line, point, other, *texts), update)
