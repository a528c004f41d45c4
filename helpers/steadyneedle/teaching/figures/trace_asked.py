"""Picture: the trace that a question asks about, dots in a band. Nothing in it says what the needle does."""

from __future__ import annotations

from matplotlib import rc_context
from matplotlib.figure import Figure

from steadyneedle.questions.shown import NeedleTrace
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import axes_of_our_own

HEIGHT = 250


def trace_asked(trace: NeedleTrace) -> Figure:
    """One dot a reading, the band hatched, a line across at each step of the scale."""
    figure, axes = axes_of_our_own(str, height=HEIGHT)
    unit, per = ("seconds", 1) if trace.every < 60 else ("minutes", 60)
    times = [one / per for one in trace.seconds]
    with rc_context(look.STYLE):
        axes.set_position((0.10, 0.26, 0.87, 0.62))
        axes.set(
            xlim=(-0.02 * times[-1], 1.02 * times[-1]), ylim=(trace.lines[0], trace.lines[-1]), xlabel=unit,
            ylabel="IP, bar", xticks=range(0, round(times[-1]) + 1, trace.every // per), yticks=trace.lines,
        )  # fmt: skip
        axes.set_yticklabels([f"{one:.1f}" for one in trace.lines])
        axes.grid(axis="y", color=look.FAINT, linewidth=0.8)
        axes.axhspan(trace.low, trace.high, facecolor="none", edgecolor=look.FAINT, hatch="/", linewidth=0)
        for edge in (trace.low, trace.high):
            axes.axhline(edge, color=look.INK, linewidth=1.2)
        axes.plot(times, trace.bars, **(look.MEASURED | {"markersize": 6, "linestyle": "none"}))
        named = f"band {trace.low:.1f} to {trace.high:.1f} bar, hatched"
        axes.text(0.985, 1.01, named, transform=axes.transAxes, ha="right", va="bottom")
    return figure
