"""A drawing of few strokes that the page and matplotlib draw alike.

A scene has parts that stand still and parts that move, each with a name. For each position of a slider a row says,
by name, how far each moving part turns or shifts, or which words it shows. The page sets them from the table; a
still picture applies one row here. Geometry is computed once, in pixels, with y downwards.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from html import escape
from typing import Any

from matplotlib import rc_context
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.text import Text

from steadyneedle.teaching import look

Point = tuple[float, float]
Row = dict[str, float | str]
"""Name of a part to how far it moves, or to the words it shows."""

_ANCHORS = {"start": "left", "middle": "center", "end": "right"}


@dataclass(frozen=True)
class Stroke:
    """A line through points, or a filled shape."""

    points: tuple[Point, ...]
    colour: str = look.INK
    width: float = 2.0
    dashed: bool = False
    filled: bool = False


@dataclass(frozen=True)
class Words:
    """A line of text; its point is the middle of its height."""

    x: float
    y: float
    text: str
    size: float = 15.0
    anchor: str = "middle"
    colour: str = look.INK
    bold: bool = False


@dataclass(frozen=True)
class Part:
    """A moving part, found by its name. `how` is "turn" (degrees, clockwise, about `centre`), "shift" (pixels to the
    right) or "words".

    `window` is the rectangle (left, top, width, height) outside which the part is not seen.
    """

    name: str
    how: str
    marks: tuple[Stroke | Words, ...]
    centre: Point = (0.0, 0.0)
    window: tuple[float, float, float, float] | None = None


@dataclass(frozen=True)
class Scene:
    """What stands still, what moves."""

    width: float
    height: float
    still: tuple[Stroke | Words, ...]
    parts: tuple[Part, ...] = field(default=())

    def localised(self, localise: Callable[[str], str]) -> Scene:
        """The scene with its standing words in the reader's decimal mark."""
        still = tuple(replace(m, text=localise(m.text)) if isinstance(m, Words) else m for m in self.still)
        return replace(self, still=still)

    def svg(self) -> str:
        """The scene as SVG text; each moving part carries its name in `data-part`."""
        body = [_svg(mark) for mark in self.still]
        for part in self.parts:
            body.append(_framed(part, f'<g data-part="{part.name}">{"".join(map(_svg, part.marks))}</g>'))
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:g} {self.height:g}" '
            f'width="{self.width:g}" height="{self.height:g}" aria-hidden="true">{"".join(body)}</svg>'
        )

    def motions(self) -> list[dict[str, object]]:
        """How the page moves each part."""
        return [{"name": part.name, "how": part.how, "centre": list(part.centre)} for part in self.parts]

    def placed(self, row: Row) -> list[Stroke | Words]:
        """Every stroke where it is for one row of the table."""
        marks = list(self.still)
        for part in self.parts:
            marks.extend(_cut(_moved(mark, part, row[part.name]), part) for mark in part.marks)
        return marks

    def figure(self, row: Row) -> Figure:
        """A still picture of one row."""
        with rc_context(look.STYLE):
            figure = Figure(figsize=(self.width / 100, self.height / 100), dpi=100)
            axes = figure.add_axes((0, 0, 1, 1))
            axes.set_xlim(0, self.width)
            axes.set_ylim(self.height, 0)
            axes.set_axis_off()
            for mark in self.placed(row):
                axes.add_artist(_artist(mark))
        return figure


def turned(point: Point, degrees: float, centre: Point) -> Point:
    """A point turned clockwise (y points down) about a centre."""
    angle = math.radians(degrees)
    x, y = point[0] - centre[0], point[1] - centre[1]
    return (
        centre[0] + x * math.cos(angle) - y * math.sin(angle),
        centre[1] + x * math.sin(angle) + y * math.cos(angle),
    )


def on_circle(centre: Point, radius: float, degrees: float) -> Point:
    """The point of a circle at an angle, clockwise from straight up."""
    return turned((centre[0], centre[1] - radius), degrees, centre)


def arc(centre: Point, radius: float, start: float, end: float, steps: int = 90) -> tuple[Point, ...]:
    """Points of an arc, angles clockwise from straight up."""
    return tuple(on_circle(centre, radius, start + (end - start) * i / steps) for i in range(steps + 1))


def hatched(left: float, right: float, top: float, bottom: float, gap: float = 10.0) -> list[Stroke]:
    """A ribbon filled with slanting lines, as every band here is drawn."""
    height = bottom - top
    strokes = []
    offset = left - height
    while offset < right:
        start, end = max(offset, left), min(offset + height, right)
        if end > start:
            line = ((start, bottom - (start - offset)), (end, bottom - (end - offset)))
            strokes.append(Stroke(line, look.QUIET, 1.0))
        offset += gap
    return strokes


def _moved(mark: Stroke | Words, part: Part, amount: float | str) -> Stroke | Words:
    if isinstance(mark, Words):
        if part.how == "words":
            return replace(mark, text=str(amount))
        if part.how == "shift":
            return replace(mark, x=mark.x + float(amount))
        raise ValueError("words do not turn")
    if part.how == "turn":
        points = tuple(turned(point, float(amount), part.centre) for point in mark.points)
    else:
        points = tuple((x + float(amount), y) for x, y in mark.points)
    return replace(mark, points=points)


def _cut(mark: Stroke | Words, part: Part) -> Stroke | Words:
    """A line cut off at the left and right edges of its part's window; top and bottom clamp it."""
    if part.window is None or isinstance(mark, Words):
        return mark
    left, top, width, height = part.window
    inside: list[Point] = []
    for (x0, y0), (x1, y1) in itertools.pairwise(mark.points):
        for edge in (x0, left, left + width, x1):
            if min(x0, x1) <= edge <= max(x0, x1) and left <= edge <= left + width:
                y = y0 if x1 == x0 and edge == x0 else y1 if x1 == x0 else y0 + (y1 - y0) * (edge - x0) / (x1 - x0)
                inside.append((edge, min(max(y, top), top + height)))
        if x0 == x1 and left <= x0 <= left + width:
            inside.append((x1, min(max(y1, top), top + height)))
    return replace(mark, points=tuple(inside) or ((left, top),))


def _framed(part: Part, group: str) -> str:
    """A group behind its part's window; an inner picture is clipped by its own frame."""
    if part.window is None:
        return group
    left, top, width, height = (f"{one:g}" for one in part.window)
    return (
        f'<svg x="{left}" y="{top}" width="{width}" height="{height}" viewBox="{left} {top} {width} {height}" '
        f'preserveAspectRatio="none">{group}</svg>'
    )


def _svg(mark: Stroke | Words) -> str:
    if isinstance(mark, Words):
        weight = ' font-weight="bold"' if mark.bold else ""
        return (
            f'<text x="{mark.x:.2f}" y="{mark.y:.2f}" font-size="{mark.size:g}" text-anchor="{mark.anchor}" '
            f'dominant-baseline="central" fill="{mark.colour}"{weight}>{escape(mark.text)}</text>'
        )
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in mark.points)
    if mark.filled:
        return f'<polygon points="{points}" fill="{mark.colour}" stroke="none"/>'
    dash = ' stroke-dasharray="7 5"' if mark.dashed else ""
    return (
        f'<polyline points="{points}" fill="none" stroke="{mark.colour}" stroke-width="{mark.width:g}" '
        f'stroke-linecap="round" stroke-linejoin="round"{dash}/>'
    )


def _artist(mark: Stroke | Words) -> Line2D | Polygon | Text:
    if isinstance(mark, Words):
        return Text(
            mark.x, mark.y, mark.text, fontsize=mark.size * 0.72, color=mark.colour,
            ha=_ANCHORS[mark.anchor], va="center_baseline", fontweight="bold" if mark.bold else "normal",
            parse_math=False,
        )  # fmt: skip
    if mark.filled:
        return Polygon(mark.points, closed=True, facecolor=mark.colour, edgecolor="none")
    across, down = zip(*mark.points, strict=True)
    style: Any = (0, (5, 3.5)) if mark.dashed else "-"
    return Line2D(across, down, color=mark.colour, linewidth=mark.width * 0.72, linestyle=style, solid_capstyle="round")
