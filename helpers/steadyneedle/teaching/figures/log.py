"""A gauge log with its verdict: readings, the curve that is most likely, the band, the phases."""

from __future__ import annotations

import textwrap
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.figure import Figure

from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace import TraceVerdict
from steadyneedle.bench.trace.logs import Log
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Localise, axes_of_our_own

MOST_DOTS = 150


def log_figure(log: Log, verdict: TraceVerdict, sheet: Sheet | None = None, localise: Localise = str) -> Figure:
    """A picture worth printing."""
    figure, axes = axes_of_our_own(localise, height=520)
    minutes = log.time / 60
    rows = verdict.rows
    inside = log.pressure[rows]
    with rc_context(look.STYLE):
        axes.set_position((0.10, 0.13, 0.87, 0.64))
        low, high = float(inside.min()), float(inside.max())
        room = max(0.25, 0.35 * (high - low))
        axes.set(
            xlim=(0, float(minutes[-1]) * 1.02), ylim=(low - room, high + room), xlabel="minutes", ylabel="IP, bar"
        )
        band = sheet.band if sheet is not None else None
        if band is not None:
            _band(axes, float(band.low.to("bar").magnitude), float(band.high.to("bar").magnitude), localise)
        every = max(1, log.time.size // MOST_DOTS)
        axes.plot(minutes[::every], log.pressure[::every], **(look.MEASURED | {"markersize": 4, "linewidth": 1.0}))
        if verdict.outcome not in ("saw-tooth", "free flow"):
            held = np.linspace(log.time[rows][0], log.time[rows][-1], 120)
            style = look.PREDICTED | {"marker": ""}
            axes.plot(held / 60, verdict.hold.curve(held - log.time[rows][0]), **style)
        for phase in verdict.phases:
            if phase.name in ("purge", "free flow", "pressurising"):
                axes.annotate(phase.name, (phase.start_s / 60, high + 0.5 * room), fontsize=12, color=look.QUIET)
        figure.text(0.10, 0.93, verdict.outcome, fontsize=22, fontweight="bold", va="center")
        said = " ".join((*verdict.doubts, verdict.because))  # a picture goes its own way: the doubts go with it
        words = "\n".join(textwrap.wrap(localise(said), 80 if len(said) < 240 else 100)[:5])
        figure.text(0.10, 0.885, words, fontsize=13, va="top")
    return figure


def _band(axes: Any, low: float, high: float, localise: Localise) -> None:
    bottom, top = axes.get_ylim()
    axes.axhspan(low, high, facecolor="none", edgecolor=look.FAINT, hatch="///", linewidth=0)
    for edge, side in ((low, "bottom"), (high, "top")):
        if bottom < edge < top:
            axes.axhline(edge, color=look.INK, linewidth=1.2)
            axes.text(
                0.995,
                edge,
                localise(f"{edge:g} bar"),
                transform=axes.get_yaxis_transform(),
                ha="right",
                va=side,
                fontsize=12,
            )
