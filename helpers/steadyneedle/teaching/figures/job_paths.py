"""Picture: paths through one job beside the best path, a lane each, minutes to the right."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Localise, axes_of_our_own

LANE = 30
"""Pixels a lane is high where there are many; twice as much where there are three or fewer."""

ENDS = {
    "found": ("o", look.GREEN), "part found": ("D", look.BLUE), "not found": ("X", look.VERMILION),
    "critical": ("s", look.INK),
}  # fmt: skip
"""How a path ended: mark and colour; the word stands beside it."""

ROOM = 0.31
"""Part of the width right of the longest path, for the words."""


@dataclass(frozen=True)
class Lane:
    """One path: its label, the minutes at which each test was over, how it ended.

    `again`: minutes of a wrong repair, and of tests anew when the regulator comes back; what truly mends is in no lane.
    """

    label: str
    minutes: tuple[float, ...]
    outcome: str
    best: bool = False
    again: float = 0.0

    @property
    def end(self) -> float:
        """Minutes at which the last test was over."""
        return self.minutes[-1] if self.minutes else 0.0

    @property
    def spent(self) -> str:
        """Minutes in words, those of coming back apart."""
        return f"{self.end:g} min" + (f" and {self.again:g} in vain" if self.again else "")


@dataclass(frozen=True)
class PathsPicture:
    """Lanes, the best path first; `title` says which job. The picture is high enough for `room` lanes."""

    title: str
    lanes: tuple[Lane, ...]
    room: int = 0


def paths_figure(result: PathsPicture, localise: Localise = str) -> Figure:
    """A lane a path: a number at the end of each test, a mark and a word where it ended."""
    count = max(len(result.lanes), result.room)
    lane = 2 * LANE if count <= 3 else LANE
    height = 120 + lane * count
    figure, axes = axes_of_our_own(localise, height=height)
    longest = max((one.end + one.again for one in result.lanes), default=0.0) or 10.0
    with rc_context(look.STYLE):
        axes.set_position((0.15, 62 / height, 0.83, 1 - 108 / height))
        axes.set(xlim=(0, longest / (1 - ROOM)), ylim=(count - 0.4, -0.6), xlabel="minutes on the bench")
        axes.set_title(result.title, loc="left", fontsize=15, pad=12)
        axes.set_yticks(range(len(result.lanes)), [one.label for one in result.lanes])
        axes.tick_params(axis="y", length=0)
        for row, one in enumerate(result.lanes):
            _draw_lane(axes, row, one, longest)
    return figure


def _draw_lane(axes: Axes, row: int, lane: Lane, longest: float) -> None:
    style = (look.PREDICTED if lane.best else look.MEASURED) | {"marker": ""}
    end = lane.end
    axes.plot([0, end], [row, row], **style)
    if lane.again:
        axes.plot([end, end + lane.again], [row, row], color=look.FAINT, linestyle=":", linewidth=2)
    last = -1.0
    for n, at in enumerate(lane.minutes, 1):
        axes.plot([at], [row], color=look.INK, marker="|", markersize=12, linestyle="none")
        if at - last > 0.055 * longest and end - at > 0.035 * longest:
            axes.text(at, row - 0.12, str(n), fontsize=look.TYPE, ha="center", va="bottom")
            last = at
    mark, colour = ENDS[lane.outcome]
    axes.plot([end], [row], color=colour, marker=mark, markersize=11, linestyle="none")
    minutes = f"{end:g} + {lane.again:g}" if lane.again else f"{end:g}"
    words = f"{lane.outcome}, {minutes} min"
    axes.text(end + lane.again + 0.025 * longest, row, words, fontsize=look.TYPE, va="center")


def paths_sentence(result: PathsPicture) -> str:
    """The same in words.

    >>> lanes = (Lane("best", (4.0,), "found", True), Lane("yours", (9.0, 12.0), "not found", again=14.0))
    >>> paths_sentence(PathsPicture("Job 12", lanes))
    'Job 12. best: found, 4 min, 1 test; yours: not found, 12 min and 14 in vain, 2 tests.'
    """
    told = []
    for one in result.lanes:
        tests = "1 test" if len(one.minutes) == 1 else f"{len(one.minutes)} tests"
        told.append(f"{one.label}: {one.outcome}, {one.spent}, {tests}")
    return f"{result.title}. {'; '.join(told)}."
