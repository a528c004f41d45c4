"""Picture: depth, ambient pressure and what IP does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class DepthPicture:
    """Ambient and intermediate pressure at one depth, and along all depths; bar absolute and metres."""

    depth: float
    water: str
    ip_gauge: float
    surface: float
    ambient: float
    ip_absolute: float
    depths: np.ndarray
    ambients: np.ndarray

    @property
    def written(self) -> tuple[float, float]:
        """Ambient and IP to two decimals, so that what is written adds up."""
        ambient = round(self.ambient + 1e-9, 2)
        return ambient, ambient + round(self.ip_gauge, 1)


def depth_chart(result: DepthPicture, localise: Localise = str) -> Drawing:
    """Absolute pressures against depth: the gap between them is the gauge reading."""
    figure, axes = axes_of_our_own(localise)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 20), ylim=(63, -7), xlabel="bar absolute", ylabel="depth, m")
        axes.set_xticks(range(0, 21, 2))
        axes.set_yticks(range(0, 61, 10))
        (ambient,) = axes.plot([], [], color=look.BLUE)
        (ip,) = axes.plot([], [], color=look.VERMILION, linestyle="--")
        (gap,) = axes.plot([], [], color=look.INK, marker="|", markersize=14, linewidth=1.8)
        points = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none")[0]
        total = axes.text(0, 0, "", fontsize=13, ha="center", va="bottom")
        names = [axes.text(0, 0, name, fontsize=13, ha="left", va="center") for name in ("ambient", "IP")]

    def update(now: DepthPicture) -> bool:
        ambient.set_data(now.ambients, now.depths)
        ip.set_data(now.ambients + now.ip_gauge, now.depths)
        gap.set_data([now.ambient, now.ip_absolute], [now.depth, now.depth])
        points.set_data([now.ambient], [now.depth])
        middle = (now.ambient + now.ip_absolute) / 2
        total.set_text(localise(f"{now.written[0]:.2f} + {now.ip_gauge:.1f} = {now.written[1]:.2f}"))
        total.set_position((middle, now.depth - 1.2))
        for name, end in zip(names, (now.ambients[-6], now.ambients[-6] + now.ip_gauge), strict=True):
            name.set_position((end + 0.35, now.depths[-6]))
        return True

    update(result)
    return Drawing(figure, (ambient, ip, gap, points, total, *names), update)
