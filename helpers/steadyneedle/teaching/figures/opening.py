"""Picture: second stages opening against IP."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class OpeningPicture:
    """Cracking effort of both second stages against IP; bar and mbar."""

    intermediate: float
    adjuster: float
    pressures: np.ndarray
    curves: dict[str, np.ndarray]
    efforts: dict[str, float]
    opens: dict[str, float]


def opening_chart(result: OpeningPicture, localise: Localise = str) -> Drawing:
    """Below zero it flows by itself."""
    figure, axes = axes_of_our_own(localise)
    styles = {"Sedge": (look.VERMILION, "-", "o"), "Willow": (look.BLUE, "--", "D")}
    with rc_context(look.STYLE):
        axes.set(xlim=(8, 17), ylim=(-4, 7), xlabel="IP over ambient, bar", ylabel="cracking effort, mbar")
        axes.axhline(0, color=look.INK, linewidth=1.2)
        below = words_over(axes, "below this line it flows by itself", (8.15, -2.5), va="center")
        lines = {n: axes.plot([], [], color=c, linestyle=s)[0] for n, (c, s, _) in styles.items()}
        points = {
            n: axes.plot([], [], color=c, marker=m, linestyle="none", markersize=11)[0]
            for n, (c, _, m) in styles.items()
        }
        (here,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        names = {n: words_over(axes, n, va="bottom" if n == "Sedge" else "top") for n in styles}

    def update(now: OpeningPicture) -> bool:
        here.set_data([now.intermediate] * 2, [-4, 7])
        for name in styles:
            lines[name].set_data(now.pressures, now.curves[name])
            points[name].set_data([now.intermediate], [now.efforts[name]])
            names[name].set_position((8.15, float(now.curves[name][0]) - (0.45 if name == "Willow" else -0.15)))
        return True

    update(result)
    return Drawing(figure, (here, *lines.values(), below, *names.values(), *points.values()), update)
