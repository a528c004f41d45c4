"""A gauge log with its verdict: readings in the log's own unit, the curve that is most likely, the band, the phases."""

from __future__ import annotations

import datetime
import textwrap
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.figure import Figure

from steadyneedle.bench.bands.specification import Band
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace import TraceVerdict
from steadyneedle.bench.trace.log_columns import bar_per
from steadyneedle.bench.trace.logs import Log
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Localise, axes_of_our_own

MOST_DOTS = 150
WALL_DPI = 150
"""Dots to the inch of a picture that is printed."""


def log_figure(
    log: Log,
    verdict: TraceVerdict,
    sheet: Sheet | None = None,
    localise: Localise = str,
    judged_on: datetime.date | None = None,
) -> Figure:
    """A picture worth printing: whether it conforms stands first, then the outcome; regulator, log and date below."""
    figure, axes = axes_of_our_own(localise, height=560)
    scale = 1 / (bar_per(log.unit) or 1.0)
    inside = log.pressure[verdict.rows] * scale
    with rc_context(look.STYLE):
        axes.set_position((0.10, 0.15, 0.87, 0.57))
        low, high = float(inside.min()), float(inside.max())
        room = max(0.25 * scale, 0.35 * (high - low))
        axes.set(
            xlim=(0, float(log.time[-1]) / 60 * 1.02), ylim=(low - room, high + room), xlabel="minutes",
            ylabel=f"IP, {log.unit}",
        )  # fmt: skip
        band = sheet.band if sheet is not None else None
        if band is not None:
            _band(axes, band, log.unit, scale, localise)
        _readings(axes, log, verdict, scale)
        for phase in verdict.phases:
            if phase.name in ("purge", "free flow", "pressurising", "bleed-down"):
                axes.annotate(phase.name, (phase.start_s / 60, high + 0.5 * room), fontsize=12, color=look.QUIET)
        _words(figure, verdict, localise)
        figure.text(0.97, 0.025, _from_where(log, sheet, judged_on), fontsize=12, color=look.QUIET, ha="right")
    return figure


def _readings(axes: Any, log: Log, verdict: TraceVerdict, scale: float) -> None:
    every, rows = max(1, log.time.size // MOST_DOTS), verdict.rows
    dots = look.MEASURED | {"markersize": 4, "linewidth": 1.0}
    axes.plot(log.time[::every] / 60, log.pressure[::every] * scale, **dots)
    if verdict.fits and verdict.outcome not in ("saw-tooth", "free flow"):
        held = np.linspace(log.time[rows][0], log.time[rows][-1], 120)
        curve = verdict.hold.curve(held - log.time[rows][0]) * scale
        axes.plot(held / 60, curve, **(look.PREDICTED | {"marker": ""}))


def _words(figure: Figure, verdict: TraceVerdict, localise: Localise) -> None:
    figure.text(0.10, 0.945, f"conforms: {verdict.conforms}", fontsize=22, fontweight="bold", va="center")
    open_still = verdict.conforms == "cannot tell" and verdict.outcome != "cannot tell"
    why = (verdict.reason,) if open_still else ()
    said = " ".join((*verdict.doubts, *why, f"{verdict.outcome}: {verdict.because}"))  # doubts go with a picture
    words = "\n".join(textwrap.wrap(localise(said), 80 if len(said) < 320 else 100)[:5])
    figure.text(0.10, 0.905, words, fontsize=13 if len(said) < 320 else 10.5, va="top")


def _from_where(log: Log, sheet: Sheet | None, judged_on: datetime.date | None) -> str:
    parts = [sheet.name if sheet is not None else "no sheet", log.name]
    if judged_on is not None:
        parts.append(f"judged on {judged_on.isoformat()}")
    return ", ".join(part for part in parts if part)


def _band(axes: Any, band: Band, unit: str, scale: float, localise: Localise) -> None:
    """The band hatched and named with both limits, in view or not."""
    low, high = (float(edge.to("bar").magnitude) * scale for edge in (band.low, band.high))
    bottom, top = axes.get_ylim()
    axes.axhspan(low, high, facecolor="none", edgecolor=look.FAINT, hatch="///", linewidth=0)
    for edge in (low, high):
        if bottom < edge < top:
            axes.axhline(edge, color=look.INK, linewidth=1.2)
    where, side, middle = "", "center", (max(low, bottom) + min(high, top)) / 2
    if high <= bottom:
        where, side, middle = " lies below", "bottom", bottom
    elif low >= top:
        where, side, middle = " lies above", "top", top
    named = localise(f"band {low:.4g} to {high:.4g} {unit}") + where
    axes.text(
        0.985, middle, named, transform=axes.get_yaxis_transform(), ha="right", va=side, fontsize=12,
        bbox={"facecolor": look.GROUND, "edgecolor": "none", "pad": 2},
    )  # fmt: skip
