"""Picture: the two risks of a decision."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class RisksPicture:
    """Two risks against the guard band: guard band in `unit`, risks in percent, and the one chosen."""

    guard: float
    false_accept: float
    false_reject: float
    guards: np.ndarray
    false_accepts: np.ndarray
    false_rejects: np.ndarray
    unit: str


def risk_chart(result: RisksPicture, localise: Localise = str) -> Drawing:
    """Bad ones passed and good ones failed, as the guard band grows."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        end = float(result.guards[-1]) * 1.04
        words = f"guard band on each side, {result.unit}"
        axes.set(xlim=(0, end), ylim=(0, 50), xlabel=words, ylabel="of 100 regulators")
        (bad,) = axes.plot([], [], color=look.VERMILION)
        (good,) = axes.plot([], [], color=look.BLUE, linestyle="--")
        (line,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        (bad_point,) = axes.plot([], [], color=look.VERMILION, marker="o", linestyle="none", markersize=12)
        (good_point,) = axes.plot(
            [], [], color=look.BLUE, marker="D", markerfacecolor="none", linestyle="none", markersize=11
        )
        texts = []
        styles: tuple[tuple[float, dict[str, Any]], ...] = (
            (47, {"color": look.VERMILION, "marker": "o"}),
            (42, {"color": look.BLUE, "linestyle": "--", "marker": "D"}),
        )
        for y, style in styles:
            axes.plot([0.032 * end, 0.096 * end], [y, y], markevery=[1], markersize=8, markerfacecolor="none", **style)
            texts.append(words_over(axes, at=(0.12 * end, y), fontsize=14, va="center"))

    def update(now: RisksPicture) -> bool:
        bad.set_data(now.guards, now.false_accepts)
        good.set_data(now.guards, now.false_rejects)
        line.set_data([now.guard, now.guard], [0, 38])
        bad_point.set_data([now.guard], [now.false_accept])
        good_point.set_data([now.guard], [now.false_reject])
        texts[0].set_text(localise(f"bad ones passed: {now.false_accept:.1f}"))
        texts[1].set_text(localise(f"good ones failed: {now.false_reject:.1f}"))
        return True

    update(result)
    return Drawing(figure, (bad, good, line, bad_point, good_point, *texts), update)
