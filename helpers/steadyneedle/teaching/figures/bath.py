"""Picture: soil left and harm done as a part lies in a bath."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over

MINUTES, HIGHEST = 30.0, 110.0
"""Ends of both axes."""
BESIDE = 1.015
"""Where names stand, right of the axes, in parts of their width."""


@dataclass(frozen=True)
class BathPicture:
    """A part in a bath: minutes; percent of the soil that is left; percent of the limit that is used.

    `margin` is the share of the limit that a plan of ours uses at most, percent; `soil_limit` what may stay.
    """

    minute: float
    minutes: np.ndarray
    soil: np.ndarray
    harm: np.ndarray
    soil_now: float
    harm_now: float
    soil_limit: float
    margin: float
    outcome: str
    because: str


def bath_chart(result: BathPicture, localise: Localise = str) -> Drawing:
    """The soil in blue, the harm dashed, each with a mark where the part is lifted out."""
    figure, axes = axes_of_our_own(localise)
    beside: dict[str, Any] = {"transform": axes.get_yaxis_transform(), "va": "center"}
    with rc_context(look.STYLE):
        axes.set_position((0.10, 0.165, 0.715, 0.685))
        axes.set(xlim=(0, MINUTES), ylim=(0, HIGHEST), xlabel="minutes in the bath", ylabel="percent")
        axes.axhline(100, color=look.INK, linewidth=1.2)
        levels = [axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":", "linewidth": 1.8}))[0] for _ in range(2)]
        (soil,) = axes.plot([], [], color=look.BLUE)
        (harm,) = axes.plot([], [], **(look.PREDICTED | {"marker": ""}))
        (line,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        (soil_point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        (harm_point,) = axes.plot([], [], **(look.PREDICTED | {"linestyle": "none", "markersize": 11}))
        axes.text(BESIDE, 100, "the limit", fontsize=look.TYPE, **beside)
        axes.text(BESIDE, 58, "◇ limit used", fontsize=look.TYPE, color=look.VERMILION, **beside)
        axes.text(BESIDE, 40, "● soil left", fontsize=look.TYPE, color=look.BLUE, **beside)
        margin, stay = (words_over(axes, **beside) for _ in range(2))
        words = words_over(axes, at=(0.0, 1.1), transform=axes.transAxes, fontsize=16, fontweight="bold", va="center")

    def update(now: BathPicture) -> bool:
        for level, text, height, said in (
            (levels[0], margin, now.margin, "our margin"),
            (levels[1], stay, now.soil_limit, "may stay"),
        ):
            level.set_data([0, MINUTES], [height, height])
            text.set_position((BESIDE, height))
            text.set_text(localise(f"{said}, {height:g}"))
        soil.set_data(now.minutes, now.soil)
        harm.set_data(now.minutes, np.minimum(now.harm, 3 * HIGHEST))
        line.set_data([now.minute, now.minute], [0, HIGHEST])
        soil_point.set_data([now.minute], [now.soil_now])
        harm_point.set_data([now.minute], [now.harm_now if now.harm_now <= HIGHEST else np.nan])
        words.set_text(localise(f"{now.minute:g} min: {now.outcome}"))
        return True

    update(result)
    return Drawing(figure, (*levels, line, soil, harm, margin, stay, words, soil_point, harm_point), update)
