"""Picture: IP against supply."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class SupplyPicture:
    """IP over ambient of every design against supply; bar."""

    supply: float
    values: dict[str, float]
    supplies: np.ndarray
    curves: dict[str, np.ndarray]


def supply_chart(result: SupplyPicture, localise: Localise = str) -> Drawing:
    """All designs at once."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(-45, 310), ylim=(7, 11.5), xlabel="supply, bar", ylabel="IP over ambient, bar")
        axes.set_xticks(range(0, 301, 50))
        for name, (colour, line, _) in look.DESIGN_STYLES.items():
            axes.plot(result.supplies, result.curves[name], color=colour, linestyle=line)
        height = 99.0
        for end, name in sorted(((curve[0], name) for name, curve in result.curves.items()), reverse=True):
            height = min(end, height - 0.34)  # labels keep a line's distance from one another
            axes.text(result.supplies[0] - 5, height, name, fontsize=13, ha="right", va="center")
        (here,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        points = [
            axes.plot([], [], color=colour, marker=mark, linestyle="none", markersize=11)[0]
            for colour, _, mark in look.DESIGN_STYLES.values()
        ]

    def update(now: SupplyPicture) -> bool:
        here.set_data([now.supply, now.supply], [7, 11.5])
        for point, name in zip(points, look.DESIGN_STYLES, strict=True):
            point.set_data([now.supply], [now.values[name]])
        return True

    update(result)
    return Drawing(figure, (here, *points), update)
