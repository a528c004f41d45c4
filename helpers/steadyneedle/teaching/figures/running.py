"""A bench through time: the needle of the IP gauge, the supply's needle, and the trace of the last minutes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.dial import CENTRE, RADIUS, Scale, face, needle, needle_degrees
from steadyneedle.teaching.figures.strokes import Part, Point, Scene, Stroke, Words, arc, on_circle

LEFT, TOP, WIDTH, HEIGHT = 424.0, 18.0, 420.0, 196.0
"""The window of the trace, in pixels."""

WINDOW = 180.0
"""Seconds that the trace shows."""

PER_SECOND = WIDTH / WINDOW
SUPPLY_CENTRE, SUPPLY_RADIUS, SUPPLY_END = (486.0, 297.0), 34.0, 400.0


@dataclass(frozen=True)
class View:
    """What the bench's picture is made for: the gauge's span and division, and the trace's range, in bar."""

    span: float
    division: float
    low: float
    high: float


def bench_scene(view: View, trace: Sequence[Point]) -> Scene:
    """The scene. Its row: IP needle and supply needle in degrees, shift of the trace, clock, state of the valves.

    `trace` holds (second, bar) of all that was and will be; the page shows what lies before now.
    """
    one = needle_scene(view, trace)
    still = (*one.still, *_supply_face(), Words(SUPPLY_CENTRE[0], SUPPLY_CENTRE[1] + 52, "supply, bar", 13))
    parts = (
        one.parts[0],
        Part("supply", "turn", needle(SUPPLY_CENTRE, SUPPLY_RADIUS), SUPPLY_CENTRE),
        *one.parts[1:],
        Part("valves", "words", (Words(590, 318, "", 17, "start"),)),
    )
    return Scene(one.width, one.height, still, parts)


def needle_scene(view: View, trace: Sequence[Point]) -> Scene:
    """The IP gauge alone with its trace. Its row: needle in degrees, shift of the trace, clock."""
    line = Stroke(tuple(on_trace(view, second, bar) for second, bar in trace) or ((0.0, 0.0),), look.BLUE, 2.5)
    parts = (
        Part("ip", "turn", needle(CENTRE, RADIUS), CENTRE),
        Part("trace", "shift", (line,), window=(LEFT, TOP, WIDTH, HEIGHT)),
        Part("clock", "words", (Words(590, 284, "", 26, "start", bold=True),)),
    )
    return Scene(look.WIDTH, 356, (*face(Scale(view.span, view.division, 2.0, "bar"), None), *_axes(view)), parts)


def on_trace(view: View, second: float, bar: float) -> Point:
    """Where a reading lies while the clock stands at 0."""
    part = (view.high - bar) / (view.high - view.low)
    return LEFT + WIDTH + second * PER_SECOND, TOP + HEIGHT * min(max(part, -1.0), 2.0)


@dataclass(frozen=True)
class NeedleScale:
    """How a needle turns: degrees at 0 bar, degrees a bar, and the stops it rests on beyond its scale, in bar."""

    at_zero: float
    per_bar: float
    least: float
    most: float

    def degrees(self, bar: float) -> float:
        """Where the needle stands for a reading."""
        return self.at_zero + self.per_bar * min(max(bar, self.least), self.most)


def ip_scale(view: View) -> NeedleScale:
    """The IP needle, which moves a little beyond both ends of its scale."""
    return _scale(view.span, -0.02 * view.span, 1.04 * view.span)


def supply_scale() -> NeedleScale:
    """The supply's needle, which stops at the ends of its scale."""
    return _scale(SUPPLY_END, 0.0, SUPPLY_END)


def _scale(end: float, least: float, most: float) -> NeedleScale:
    at_zero = needle_degrees(0.0, end)
    return NeedleScale(at_zero, needle_degrees(1.0, end) - at_zero, least, most)


def _axes(view: View) -> list[Stroke | Words]:
    bottom, right = TOP + HEIGHT, LEFT + WIDTH
    marks: list[Stroke | Words] = [Stroke(((LEFT, TOP), (LEFT, bottom), (right, bottom)), look.INK, 1.5)]
    steps = 4
    for n in range(steps + 1):
        bar = view.low + (view.high - view.low) * n / steps
        y = bottom - HEIGHT * n / steps
        marks += [Stroke(((LEFT - 5, y), (LEFT, y)), look.INK, 1.5), Words(LEFT - 9, y, f"{bar:g}", 13, "end")]
        if n:
            marks.append(Stroke(((LEFT, y), (right, y)), look.FAINT, 0.8))
    marks.append(Words(LEFT + 8, TOP + 2, "bar", 13, "start"))
    for minutes in range(4):
        x = right - minutes * 60 * PER_SECOND
        marks.append(Stroke(((x, bottom), (x, bottom + 5)), look.INK, 1.5))
        anchor = "end" if minutes == 0 else "start" if minutes == 3 else "middle"
        marks.append(Words(x, bottom + 16, "now" if minutes == 0 else f"{minutes} min ago", 13, anchor))
    return marks


def _supply_face() -> list[Stroke | Words]:
    marks: list[Stroke | Words] = [Stroke(arc(SUPPLY_CENTRE, SUPPLY_RADIUS, -135, 135), look.INK, 1.5)]
    scale = supply_scale()
    for bar in range(0, 401, 50):
        angle = scale.degrees(bar)
        inner, outer = (on_circle(SUPPLY_CENTRE, SUPPLY_RADIUS + r, angle) for r in (0, 6 if bar % 100 == 0 else 4))
        marks.append(Stroke((inner, outer), look.INK, 1.5))
        if bar % 100 == 0:
            x, y = on_circle(SUPPLY_CENTRE, SUPPLY_RADIUS + 17, angle)
            marks.append(Words(x, y, str(bar), 12))
    return marks
