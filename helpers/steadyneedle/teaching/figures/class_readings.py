"""Picture: a class's readings of one needle."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib import rc_context

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Drawing, Localise, axes_of_our_own


@dataclass(frozen=True)
class ReadingsPicture:
    """Readings of one needle by several people, bar."""

    values: tuple[float, ...]
    mean: float
    deviation: float
    standard_error: float
    start: float
    end: float
    typed: bool


def readings_chart(result: ReadingsPicture, localise: Localise = str) -> Drawing:
    """One dot a reader, stacked; the mean with its standard uncertainty as a whisker."""
    figure, axes = axes_of_our_own(localise, height=320)
    with rc_context(look.STYLE):
        axes.set(xlim=(result.start, result.end), ylim=(0, 12), xlabel="bar", ylabel="readers")
        (dots,) = axes.plot([], [], color=look.BLUE, marker="o", linestyle="none", markersize=11)
        (whisker,) = axes.plot([], [], color=look.VERMILION, marker="|", markersize=16, linewidth=2.5)
        (mean,) = axes.plot([], [], color=look.VERMILION, marker="D", markerfacecolor="none", markersize=11)
        words = axes.text(0, 0, "", fontsize=13, ha="center", va="bottom")
    margin = (result.end - result.start) * 0.18  # half of what the words take

    def update(now: ReadingsPicture) -> bool:
        if (now.start, now.end) != (result.start, result.end):
            return False
        seen: dict[float, int] = {}
        heights = []
        for value in now.values:
            key = round(value, 3)
            seen[key] = seen.get(key, 0) + 1
            heights.append(min(seen[key], 11) - 0.4)
        dots.set_data(now.values, heights)
        top = min(max(heights) + 1.0, 10.5)
        whisker.set_data([now.mean - now.deviation, now.mean + now.deviation], [top, top])
        mean.set_data([now.mean], [top])
        words.set(
            text=localise(f"mean {now.mean:.2f} bar, scatter {now.deviation:.2f} bar"),
            position=(min(max(now.mean, result.start + margin), result.end - margin), top + 0.5),
        )
        return True

    update(result)
    return Drawing(figure, (dots, whisker, mean, words), update)
