"""Picture: what somebody read off a needle during a test, with the reading at which a watch ends."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib import rc_context
from matplotlib.figure import Figure

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Localise, axes_of_our_own, words_over

WIDTH, HEIGHT = 560, 270
"""Pixels: it stands in half the page, where a wider one would shrink, and its words with it."""


@dataclass(frozen=True)
class NeedleRead:
    """Readings [bar] at times [min], the sheet's band [bar], and the reading at which a watch ends [bar].

    `shut` is the time [min] at which the cylinder valve was shut there, or None.
    """

    minutes: tuple[float, ...]
    readings: tuple[float, ...]
    band: tuple[float, float]
    stop: float
    shut: float | None = None


def needle_figure(result: NeedleRead, localise: Localise = str) -> Figure:
    """One dot a reading, the band hatched, the stop where it is in view."""
    figure, axes = axes_of_our_own(localise, WIDTH, HEIGHT)
    low = min(*result.readings, result.band[0])
    high = max(*result.readings, result.band[1])
    room = max(0.3, 0.15 * (high - low))
    end = max(result.minutes[-1], 0.5)
    with rc_context(look.STYLE):
        axes.set_position((0.14, 0.24, 0.83, 0.64))
        axes.set(xlim=(0, 1.02 * end), ylim=(low - room, high + room), xlabel="minutes", ylabel="IP, bar")
        axes.axhspan(*result.band, facecolor="none", edgecolor=look.FAINT, hatch="///", linewidth=0)
        for edge in result.band:
            axes.axhline(edge, color=look.INK, linewidth=1.0)
        if result.stop <= high + room:
            axes.axhline(result.stop, color=look.VERMILION, linestyle="--", linewidth=2)
            words = localise(f"stop at {result.stop:.1f} bar")
            words_over(axes, words, (0.02 * end, result.stop), va="center", color=look.VERMILION)
        if result.shut is not None:
            axes.axvline(result.shut, color=look.INK, linestyle=":", linewidth=1.5)
            words_over(axes, "valve shut", (result.shut, low), ha="center", va="center", color=look.INK)
        axes.plot(result.minutes, result.readings, **(look.MEASURED | {"markersize": 6, "linewidth": 1.5}))
        named = localise(f"band {result.band[0]:.4g} to {result.band[1]:.4g} bar, hatched")
        axes.text(0.985, 1.0, named, transform=axes.transAxes, ha="right", va="bottom")
    return figure


def needle_sentence(result: NeedleRead) -> str:
    """The same in words: from where to where, in how long.

    >>> needle_sentence(NeedleRead((0.0, 5.0), (9.8, 10.3), (9.8, 10.2), 12.0))
    'The needle reads 9.80 bar at first and 10.30 bar after 5.0 min; at most 10.30 bar. The band is 9.8 to 10.2 bar.'
    """
    first, last, most = result.readings[0], result.readings[-1], max(result.readings)
    shut = "" if result.shut is None else f" The valve was shut after {result.shut:.1f} min."
    return (
        f"The needle reads {first:.2f} bar at first and {last:.2f} bar after {result.minutes[-1]:.1f} min; "
        f"at most {most:.2f} bar.{shut} The band is {result.band[0]:.4g} to {result.band[1]:.4g} bar."
    )
