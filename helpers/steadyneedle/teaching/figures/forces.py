"""The force ledger: one arrow for each force, to scale; right opens the valve, left shuts it."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import fill

from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own

LONGEST = 1000.0
"""Newton at the end of the axis."""


@dataclass(frozen=True)
class ForcesPicture:
    """A ledger in newton and bar: what the learner set, every force, what is left on the seat."""

    design: str
    supply: float
    depth: float
    above: float
    turns: float
    lock_up: float
    intermediate: float
    names: tuple[str, ...]
    newtons: tuple[float, ...]
    contact: float
    lift: float
    total: float


def forces_chart(result: ForcesPicture, localise: Localise = str) -> Drawing:
    """The arrows; another design has other rows and is drawn afresh."""
    figure, axes = axes_of_our_own(localise, height=300)
    count = len(result.names)
    with rc_context(look.STYLE):
        axes.set_position((0.365, 0.205, 0.605, 0.77))
        axes.set(xlim=(-LONGEST, LONGEST), ylim=(count - 0.4, -0.6))
        axes.set_xlabel("← shuts the valve      newton      opens the valve →")
        axes.set_yticks(range(count), [""] * count)
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        axes.axvline(0, color=look.INK, linewidth=1.2)
        for row, name in enumerate(result.names):
            axes.text(
                -0.03,
                row,
                fill(name, 28),
                transform=axes.get_yaxis_transform(),
                ha="right",
                va="center",
                fontsize=look.TYPE,
                linespacing=1.0,
            )
        lines, heads, words = [], [], []
        for _ in result.names:
            lines.append(axes.plot([], [], linewidth=7, solid_capstyle="butt")[0])
            heads.append(axes.plot([], [], linestyle="none", markersize=13)[0])
            words.append(axes.text(0, 0, "", fontsize=13, va="center"))

    def update(now: ForcesPicture) -> bool:
        if (now.design, now.names) != (result.design, result.names):
            return False
        for row, newton in enumerate(now.newtons):
            colour, marker = (look.BLUE, ">") if newton >= 0 else (look.VERMILION, "<")
            lines[row].set(color=colour)
            lines[row].set_data([0, newton], [row, row])
            heads[row].set(color=colour, marker=marker)
            heads[row].set_data([newton], [row])
            words[row].set_text(f"{newton:.0f} N".replace("-", "−"))
            words[row].set_position((newton + (52 if newton >= 0 else -52), row))
            words[row].set_horizontalalignment("left" if newton >= 0 else "right")
        return True

    update(result)
    return Drawing(figure, (*lines, *heads, *words), update)
