"""Picture: bar and psi on one line."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own, words_over


@dataclass(frozen=True)
class ConversionPicture:
    """Pressure in psi against pressure in bar, and one point on it."""

    bar: float
    psi: float
    psi_per_bar: float


def conversion_chart(result: ConversionPicture, localise: Localise = str) -> Drawing:
    """The straight line from bar to psi, with one point."""
    figure, axes = axes_of_our_own(localise, height=320)
    with rc_context(look.STYLE):
        axes.set(xlim=(0, 20), ylim=(0, 300), xlabel="bar", ylabel="psi")
        axes.plot([0, 20], [0, 20 * result.psi_per_bar], color=look.QUIET, linewidth=1.5)
        (drop,) = axes.plot([], [], **(look.OTHERWISE | {"linestyle": ":"}))
        (point,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=13)
        words = words_over(axes, fontsize=15, va="top")

    def update(now: ConversionPicture) -> bool:
        drop.set_data([now.bar, now.bar, 0], [0, now.psi, now.psi])
        point.set_data([now.bar], [now.psi])
        words.set_text(localise(f"{now.bar:g} bar, {now.psi:.0f} psi"))
        words.set_horizontalalignment("left" if now.bar < 14 else "right")
        words.set_position(
            (now.bar + 0.4, max(now.psi - 8, 34)) if now.bar < 14 else (now.bar - 0.4, min(now.psi + 34, 300))
        )
        return True

    update(result)
    return Drawing(figure, (drop, point, words), update)
