"""A bench through time: the needle of the IP gauge, the supply's needle, and the trace of the last minutes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.dial import CENTRE, RADIUS, DialScale, face, needle, needle_degrees, reach
from steadyneedle.teaching.figures.strokes import Part, Point, Scene, Stroke, Words, arc, hatched, on_circle

LEFT, TOP, WIDTH, HEIGHT = 424.0, 30.0, 420.0, 168.0
"""The window of the trace, in pixels."""

WINDOW = 180.0
"""Seconds that the trace shows."""

SUPPLY_CENTRE, SUPPLY_RADIUS, SUPPLY_END = (486.0, 288.0), 32.0, 400.0


@dataclass(frozen=True)
class BenchView:
    """What the bench's picture is made for, in bar: the gauge's span and division, the trace's range; the regulator's
    name, and its band, None where no sheet gives one."""

    span: float
    division: float
    low: float
    high: float
    name: str = ""
    band: tuple[float, float] | None = None


@dataclass(frozen=True)
class NeedleScale:
    """How a needle turns: degrees at 0 bar, and degrees a bar."""

    at_zero: float
    per_bar: float

    def degrees(self, bar: float) -> float:
        """Where the needle stands for what it shows."""
        return self.at_zero + self.per_bar * bar


@dataclass(frozen=True)
class TraceScale:
    """Where a reading lies on the trace while the clock stands at 0: pixels at 0, pixels a second, pixels a bar."""

    x_at_zero: float
    per_second: float
    y_at_zero: float
    per_bar: float

    def point(self, second: float, bar: float) -> Point:
        """The point of a reading."""
        return self.x_at_zero + self.per_second * second, self.y_at_zero + self.per_bar * bar


def ip_scale(view: BenchView) -> NeedleScale:
    """The IP gauge's needle."""
    return _needle_scale(view.span)


def supply_scale() -> NeedleScale:
    """The supply gauge's needle."""
    return _needle_scale(SUPPLY_END)


def trace_scale(view: BenchView) -> TraceScale:
    """The trace: what is now lies at its right edge."""
    per_bar = -HEIGHT / (view.high - view.low)
    return TraceScale(LEFT + WIDTH, WIDTH / WINDOW, TOP - per_bar * view.high, per_bar)


def stops(view: BenchView) -> tuple[tuple[float, float], tuple[float, float]]:
    """The least and the most that the IP gauge and the supply gauge can show, in bar: there a needle rests on a pin.

    The IP gauge's needle moves a little beyond both ends of its scale.
    """
    return (-0.02 * view.span, 1.04 * view.span), (0.0, SUPPLY_END)


def bench_scene(view: BenchView, trace: Sequence[Point]) -> Scene:
    """The scene. Its row: `ip` and `supply` in degrees, `trace` in pixels, `clock` and `valves` in words.

    `trace` holds (second, bar) of all that was and will be; the page shows what lies before now.
    """
    one = needle_scene(view, trace)
    under = Words(SUPPLY_CENTRE[0], SUPPLY_CENTRE[1] + 64, "supply, bar", look.SMALLEST)
    still = (*_band(view), *one.still, *_supply_face(), under, *_names(view))
    parts = (
        one.parts[0],
        Part("supply", "turn", needle(SUPPLY_CENTRE, SUPPLY_RADIUS), SUPPLY_CENTRE),
        *one.parts[1:],
        Part("valves", "words", (Words(572, 310, "", look.SMALLEST, "start"),)),
        Part("reading", "words", (Words(CENTRE[0], CENTRE[1] + 120, "", 24, bold=True),)),
    )
    return Scene(one.width, 364, still, parts)


def needle_scene(view: BenchView, trace: Sequence[Point]) -> Scene:
    """The IP gauge alone with its trace. Its row: `ip` in degrees, `trace` in pixels, `clock` in words."""
    scale = trace_scale(view)
    line = Stroke(tuple(scale.point(*reading) for reading in trace) or ((0.0, 0.0),), look.BLUE, 2.5)
    still = (*face(DialScale(view.span, view.division, 2.0, "bar"), None), *_axes(view))
    parts = (
        Part("ip", "turn", needle(CENTRE, RADIUS), CENTRE),
        Part("trace", "shift", (line,), window=(LEFT, TOP, WIDTH, HEIGHT)),
        Part("clock", "words", (Words(572, 274, "", 26, "start", bold=True),)),
    )
    return Scene(look.WIDTH, 356, still, parts)


def _band(view: BenchView) -> list[Stroke | Words]:
    """The sheet's band as a ribbon: inside the dial's scale, and across the trace; its limits stand with the name."""
    if view.band is None:
        return []
    low, high = view.band
    start, end = (needle_degrees(one, view.span) for one in view.band)
    ribbon = (*arc(CENTRE, RADIUS - 3, start, end), *reversed(arc(CENTRE, RADIUS - 16, start, end)))
    marks: list[Stroke | Words] = [
        Stroke(ribbon, look.FAINT, filled=True),
        Stroke((*ribbon, ribbon[0]), look.QUIET, 1.2),
    ]
    scale, top = trace_scale(view), TOP + HEIGHT
    edges = [min(max(scale.point(0.0, one)[1], TOP), top) for one in (high, low)]
    right = LEFT + WIDTH
    marks += hatched(LEFT, right, edges[0], edges[1])
    marks += [Stroke(((LEFT, y), (right, y)), look.QUIET, 1.2) for y in edges]
    return marks


def _names(view: BenchView) -> list[Stroke | Words]:
    """Which regulator it is, on the dial and over the trace, there with its band."""
    if not view.name:
        return []
    band = f", band {view.band[0]:.1f} to {view.band[1]:.1f} bar" if view.band else ""
    return [
        Words(CENTRE[0], CENTRE[1] + 90, view.name, look.SMALLEST, bold=True),
        Words(LEFT + WIDTH - 4, 12, view.name + band, look.SMALLEST, "end", bold=True),
    ]


def _needle_scale(end: float) -> NeedleScale:
    at_zero = needle_degrees(0.0, end)
    return NeedleScale(at_zero, needle_degrees(1.0, end) - at_zero)


def _axes(view: BenchView) -> list[Stroke | Words]:
    bottom, right = TOP + HEIGHT, LEFT + WIDTH
    marks: list[Stroke | Words] = [Stroke(((LEFT, TOP), (LEFT, bottom), (right, bottom)), look.INK, 1.5)]
    steps = 4
    for n in range(steps + 1):
        bar = view.low + (view.high - view.low) * n / steps
        y = bottom - HEIGHT * n / steps
        marks.append(Stroke(((LEFT - 5, y), (LEFT, y)), look.INK, 1.5))
        marks.append(Words(LEFT - 9, y, f"{bar:g}", look.SMALLEST, "end"))
        if n:
            marks.append(Stroke(((LEFT, y), (right, y)), look.FAINT, 0.8))
    marks.append(Words(LEFT - 9, TOP - 20, "bar", look.SMALLEST, "end"))
    for minutes, ago in enumerate(("now", "1 min", "2 min", "3 min ago")):
        x = right - minutes * 60 * WIDTH / WINDOW
        marks.append(Stroke(((x, bottom), (x, bottom + 5)), look.INK, 1.5))
        anchor = "end" if minutes == 0 else "start" if minutes == 3 else "middle"
        marks.append(Words(x, bottom + 18, ago, look.SMALLEST, anchor))
    return marks


def _supply_face() -> list[Stroke | Words]:
    marks: list[Stroke | Words] = [Stroke(arc(SUPPLY_CENTRE, SUPPLY_RADIUS, -135, 135), look.INK, 1.5)]
    scale = supply_scale()
    for bar in range(0, 401, 50):
        angle = scale.degrees(bar)
        inner, outer = (on_circle(SUPPLY_CENTRE, SUPPLY_RADIUS + r, angle) for r in (0, 6 if bar % 100 == 0 else 4))
        marks.append(Stroke((inner, outer), look.INK, 1.5))
        if bar % 200 == 0:
            x, y = on_circle(SUPPLY_CENTRE, SUPPLY_RADIUS + 12 + reach(str(bar), angle), angle)
            marks.append(Words(x, y, str(bar), look.SMALLEST))
    return marks
