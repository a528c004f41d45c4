"""Picture: paths through one job beside the path of the advice, a lane each; minutes, money and opening in columns."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from steadyneedle.jobs.debrief import NOT_SHOWN
from steadyneedle.jobs.mystery import CURRENCY
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import Localise, axes_of_our_own

LANE = 25
"""Pixels a lane is high where there are many; twice as much where there are three or fewer."""

OVER, UNDER = 60, 54
"""Pixels over the lanes, for the title and the heads of the columns, and under them, for the axis."""

ENDS = {
    "found": ("o", look.GREEN, True), NOT_SHOWN: ("o", look.GREEN, False), "part found": ("D", look.BLUE, True),
    "not found": ("X", look.VERMILION, True), "critical": ("s", look.INK, True),
}  # fmt: skip
"""How a path ended: mark, colour, and whether the mark is filled; the word stands in its column."""

LANES_END, ENDED, MINUTES, MONEY, OPENED = 0.47, 0.49, 0.79, 0.872, 0.89
"""Parts of the width: where the lanes end, and the columns; those of numbers by their right edge."""

OPENING = "\u25bd"
"""The mark of the opening, over the lane and in the head of its column."""


@dataclass(frozen=True)
class Lane:
    """One path: its label, the minutes at which each test was over, how it ended, what its tests cost.

    `again`: minutes of a wrong repair, and of tests anew when the regulator comes back; what truly mends is in no lane.
    `opened`: the minute at which the test that first opened the stage was over; None where it never was.
    """

    label: str
    minutes: tuple[float, ...]
    outcome: str
    best: bool = False
    again: float = 0.0
    money: float = 0.0
    opened: float | None = None

    @property
    def end(self) -> float:
        """Minutes at which the last test was over."""
        return self.minutes[-1] if self.minutes else 0.0

    @property
    def spent(self) -> str:
        """Minutes and money in words, the minutes of coming back apart."""
        again = f" and {self.again:g} in vain" if self.again else ""
        return f"{self.end:g} min{again}, {self.money:g} {CURRENCY}"


@dataclass(frozen=True)
class PathsPicture:
    """Lanes, the advice's first; `title` says which job. The picture is high enough for `room` lanes."""

    title: str
    lanes: tuple[Lane, ...]
    room: int = 0


def paths_figure(result: PathsPicture, localise: Localise = str) -> Figure:
    """A lane a path: a stroke at the end of each test, a mark where the stage was opened, one where it ended."""
    count = max(len(result.lanes), result.room)
    lane = 2 * LANE if count <= 3 else LANE
    height = OVER + UNDER + lane * count
    figure, axes = axes_of_our_own(localise, height=height)
    longest = max((one.end + one.again for one in result.lanes), default=0.0) or 10.0
    with rc_context(look.STYLE):
        axes.set_position((0.135, UNDER / height, LANES_END - 0.135, lane * count / height))
        axes.set(xlim=(0, 1.03 * longest), ylim=(count - 0.5, -0.5), xlabel="minutes on the bench")
        axes.set_yticks(range(len(result.lanes)), [one.label for one in result.lanes])
        axes.tick_params(axis="y", length=0, pad=12)
        figure.text(0.012, 1 - 8 / height, localise(result.title), fontsize=15, va="top")
        heads = ("ended", "min", CURRENCY, f"{OPENING} opened")
        _columns(axes, -0.5 - 16 / lane, heads, look.QUIET)
        for row, one in enumerate(result.lanes):
            _draw_lane(axes, row, one)
            _columns(axes, row, tuple(map(localise, _cells(one))), look.INK)
        vain = ", + minutes in vain" if any(one.again for one in result.lanes) else ", without repair"
        figure.text(ENDED, 8 / height, f"of the tests{vain}", fontsize=look.TYPE, color=look.QUIET)
    return figure


def _columns(axes: Axes, row: float, words: tuple[str, ...], colour: str) -> None:
    """Words in the four columns, at the height of a lane: `row` in lanes, places in parts of the picture's width."""
    across = axes.get_position()
    for word, at, side in zip(words, (ENDED, MINUTES, MONEY, OPENED), ("left", "right", "right", "left"), strict=True):
        place = (at - across.x0) / across.width
        axes.text(
            place, row, word, transform=axes.get_yaxis_transform(), color=colour, fontsize=look.TYPE, ha=side,
            va="center", clip_on=False,
        )  # fmt: skip


def _cells(lane: Lane) -> tuple[str, ...]:
    minutes = f"{lane.end:g} + {lane.again:g}" if lane.again else f"{lane.end:g}"
    opened = "never" if lane.opened is None else f"{lane.opened:g} min"
    return lane.outcome, minutes, f"{lane.money:g}", opened


def _draw_lane(axes: Axes, row: int, lane: Lane) -> None:
    style = (look.PREDICTED if lane.best else look.MEASURED) | {"marker": ""}
    axes.plot([0, lane.end], [row, row], **style)
    if lane.again:
        axes.plot([lane.end, lane.end + lane.again], [row, row], color=look.QUIET, linestyle=":", linewidth=2)
    axes.plot(lane.minutes, [row] * len(lane.minutes), color=look.INK, marker="|", markersize=9, linestyle="none")
    mark, colour, filled = ENDS[lane.outcome]
    face = colour if filled else look.GROUND
    axes.plot([lane.end], [row], color=colour, marker=mark, markersize=10, linestyle="none", markerfacecolor=face,
              markeredgewidth=2, clip_on=False)  # fmt: skip
    if lane.opened is not None:
        axes.plot([lane.opened], [row - 0.3], color=look.INK, marker="v", markersize=9, linestyle="none",
                  markerfacecolor=look.GROUND, markeredgewidth=1.5, clip_on=False)  # fmt: skip


def paths_sentence(result: PathsPicture) -> str:
    """The same in words.

    >>> lanes = (Lane("the advice", (4.0,), "found", True), Lane("yours", (9.0, 24.0), "not found", False, 14, 6, 24))
    >>> paths_sentence(PathsPicture("Job 12", lanes))
    'Job 12. The advice: found, 4 min, 0 shells, 1 test, never opened; yours: not found, 24 min and 14 in vain, \
6 shells, 2 tests, opened at 24 min.'
    """
    told = []
    for one in result.lanes:
        tests = "1 test" if len(one.minutes) == 1 else f"{len(one.minutes)} tests"
        opened = "never opened" if one.opened is None else f"opened at {one.opened:g} min"
        told.append(f"{one.label}: {one.outcome}, {one.spent}, {tests}, {opened}")
    all_told = "; ".join(told)
    return f"{result.title}. {all_told[:1].upper()}{all_told[1:]}."
