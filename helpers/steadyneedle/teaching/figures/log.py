"""A gauge log with its verdict: readings in the verdict's unit, the curve that is most likely, the band, the phases."""

from __future__ import annotations

import datetime
import textwrap
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from steadyneedle.bench.bands.specification import Band
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace import TraceVerdict
from steadyneedle.bench.trace.logs import Log
from steadyneedle.bench.trace.scale import Scale
from steadyneedle.bench.units import Q, label
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Localise, axes_of_our_own, words_over

MOST_DOTS = 150
LETTERS, LINE = 76, 22
"""Letters in a line of the verdict's words, and its height in pixels."""
LEFT = 0.12
"""Part of the width left of the axes: five figures and the axis's name stand there."""
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
    scale = 1 / verdict.scale.bar
    said = textwrap.wrap(localise(_said(verdict)), LETTERS)
    above = 88 + LINE * len(said)
    height = above + 450
    figure, axes = axes_of_our_own(localise, height=height)
    inside = log.pressure[verdict.rows] * scale
    with rc_context(look.STYLE):
        axes.set_position((LEFT, 90 / height, 0.97 - LEFT, 1 - (above + 90) / height))
        low, high = float(inside.min()), float(inside.max())
        room = max(0.25 * scale, 0.35 * (high - low))
        axes.set(
            xlim=(0, float(log.time[-1]) / 60 * 1.02), ylim=(low - room, high + room), xlabel="minutes",
            ylabel=f"IP, {_label(verdict.scale)}",
        )  # fmt: skip
        axes.yaxis.set_major_locator(MaxNLocator("auto", steps=[1, 2, 5, 10]))  # no gauge is marked in steps of 2.5
        band = sheet.printed_in(Scale.of(log.unit).unit).band if sheet is not None else None
        if band is not None:
            _band(axes, band, verdict.scale, localise)
        _readings(axes, log, verdict, scale)
        _phases(axes, verdict, high + 0.5 * room)
        figure.text(LEFT, 1 - 32 / height, f"conforms: {verdict.conforms}", fontsize=22, fontweight="bold", va="center")
        figure.text(LEFT, 1 - 56 / height, "\n".join(said), va="top")
        figure.text(0.97, 14 / height, _from_where(log, sheet, judged_on), color=look.QUIET, ha="right")
    return figure


def _readings(axes: Any, log: Log, verdict: TraceVerdict, scale: float) -> None:
    every, rows = max(1, log.time.size // MOST_DOTS), verdict.rows
    dots = look.MEASURED | {"markersize": 4, "linewidth": 1.0}
    axes.plot(log.time[::every] / 60, log.pressure[::every] * scale, **dots)
    if verdict.fits and verdict.outcome not in ("saw-tooth", "free flow"):
        held = np.linspace(log.time[rows][0], log.time[rows][-1], 120)
        curve = verdict.hold.curve(held - log.time[rows][0]) * scale
        axes.plot(held / 60, curve, **(look.PREDICTED | {"marker": ""}))


def _phases(axes: Any, verdict: TraceVerdict, height: float) -> None:
    """What was done and when; of two names that would touch, the first."""
    end, free = axes.get_xlim()[1], 0.0
    for phase in verdict.phases:
        if phase.name not in ("purge", "free flow", "pressurising", "bleed-down"):
            continue
        room = 0.016 * len(phase.name) * end
        start = min(phase.start_s / 60, end - room)
        if start >= free:
            words_over(axes, phase.name, (start, height), color=look.QUIET)
            free = start + room


def _said(verdict: TraceVerdict) -> str:
    """Doubts go with a picture; then why it is open, where it is, then the outcome."""
    open_still = verdict.conforms == "cannot tell" and verdict.outcome != "cannot tell"
    why = (verdict.reason,) if open_still else ()
    return " ".join((*verdict.doubts, *why, f"{verdict.outcome}: {verdict.because}"))


def _from_where(log: Log, sheet: Sheet | None, judged_on: datetime.date | None) -> str:
    parts = [sheet.name if sheet is not None else "no sheet", log.name]
    if judged_on is not None:
        parts.append(f"judged on {judged_on.isoformat()}")
    return ", ".join(part for part in parts if part)


def _label(scale: Scale) -> str:
    return label(Q(1, scale.unit).units)


def _band(axes: Any, band: Band, scale: Scale, localise: Localise) -> None:
    """The band hatched and named with both limits, in view or not."""
    low, high = (float(edge.to("bar").magnitude) / scale.bar for edge in (band.low, band.high))
    bottom, top = axes.get_ylim()
    axes.axhspan(low, high, facecolor="none", edgecolor=look.FAINT, hatch="///", linewidth=0)
    for edge in (low, high):
        if bottom < edge < top:
            axes.axhline(edge, color=look.INK, linewidth=1.2)
    where = ", hatched"
    if high <= bottom or low >= top:
        where = " lies below" if high <= bottom else " lies above"
    named = localise(f"band {low:.4g} to {high:.4g} {_label(scale)}") + where
    axes.text(0.985, 1.02, named, transform=axes.transAxes, ha="right", va="bottom")
