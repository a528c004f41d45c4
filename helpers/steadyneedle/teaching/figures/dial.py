"""A gauge's dial: one or two scales on an arc of 270 degrees, a needle, the readings in words."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from steadyneedle.bench.units import Q
from steadyneedle.questions.shown import DialFace
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Point, Scene, Stroke, Words, arc, on_circle, turned

CENTRE = (180.0, 178.0)
RADIUS = 126.0
RIM = 48.0
ARC = (-135.0, 135.0)
"""Degrees from straight up; a dial's scale spans 270 degrees (EN 837-1:1996)."""
NUMBER_SIZE, GAP = look.SMALLEST, 4.0
DIGIT_WIDTH, DIGIT_HEIGHT = 0.64, 0.76
"""Of a digit, by the size of its type (DejaVu Sans)."""


@dataclass(frozen=True)
class DialScale:
    """One scale of a dial: end, mark to mark, numbered every, unit; all in its own unit."""

    end: float
    division: float
    numbered: float
    unit: str


def needle_degrees(value: float, end: float) -> float:
    """Angle of the needle from straight up."""
    return ARC[0] + (ARC[1] - ARC[0]) * value / end


def dial_scene(outer: DialScale, inner: DialScale | None) -> Scene:
    """A dial with its readings beside it. Its row: `needle` in degrees; `outer`, `inner` and `factor` in words."""
    parts = (
        Part("needle", "turn", needle(CENTRE, RADIUS), CENTRE),
        Part("outer", "words", (Words(420, 100, "", 34, "start", bold=True),)),
        Part("inner", "words", (Words(420, 158, "", 34, "start"),)),
        Part("factor", "words", (Words(420, 216, "", 19, "start"),)),
    )
    return Scene(look.WIDTH, 356, tuple(face(outer, inner)), parts)


def face(outer: DialScale, inner: DialScale | None, unit_size: float = look.SMALLEST) -> list[Stroke | Words]:
    """What stands still on the dial."""
    still = [
        Stroke(arc(CENTRE, RADIUS + RIM, 0, 360), look.INK, 2.5),
        *_scale(outer, outer.end, RADIUS, inward=False, colour=look.INK),
        Words(CENTRE[0], CENTRE[1] + 68, outer.unit, unit_size, bold=True),
    ]
    if inner is not None:
        still += _scale(inner, inner.end, RADIUS - 22, inward=True, colour=look.BLUE)
        still.append(Words(CENTRE[0], CENTRE[1] + 89, f"inside: {inner.unit}", look.SMALLEST, colour=look.BLUE))
    return still


def needle(centre: Point, radius: float) -> tuple[Stroke, ...]:
    """A needle that stands straight up, and its hub."""
    x, y = centre
    tip, tail, half, hub = y - radius + 4, y + radius / 4, radius / 35, radius / 15
    shape = ((x - half, tail), (x - half, y), (x - 1.2, tip), (x + 1.2, tip), (x + half, y), (x + half, tail))
    return Stroke(shape, look.VERMILION, filled=True), Stroke(arc(centre, hub, 0, 360, 24), look.INK, filled=True)


def _scale(scale: DialScale, end: float, radius: float, inward: bool, colour: str) -> list[Stroke | Words]:
    marks: list[Stroke | Words] = [Stroke(arc(CENTRE, radius, *ARC), colour, 1.5)]
    way = -1 if inward else 1
    per_number = round(scale.numbered / scale.division)
    for n in range(round(end / scale.division - 1e-6) + 1):
        value = n * scale.division
        if value > end * (1 + 1e-9):
            break
        degrees = needle_degrees(value, end)
        numbered = n % per_number == 0
        length = 12 if numbered else 7
        ends = (on_circle(CENTRE, radius, degrees), on_circle(CENTRE, radius + way * length, degrees))
        marks.append(Stroke(ends, colour, 2.2 if numbered else 1.2))
        if numbered:
            words = f"{value:g}"
            x, y = on_circle(CENTRE, radius + way * (length + GAP + reach(words, degrees)), degrees)
            marks.append(Words(x, y, words, NUMBER_SIZE, colour=colour))
    return marks


def reach(words: str, degrees: float) -> float:
    """How far the box around a number reaches from its centre towards the mark: it must not touch it."""
    angle = math.radians(degrees)
    half_width, half_height = DIGIT_WIDTH * len(words) / 2, DIGIT_HEIGHT / 2
    return NUMBER_SIZE * (half_width * abs(math.sin(angle)) + half_height * abs(math.cos(angle)))


def dial_asked(asked: DialFace) -> Scene:
    """The dial of a question, its needle where it is to be read; as wide as any figure, so as large in the page."""
    outer = DialScale(asked.span, asked.division, asked.numbered, "bar")
    _, inner = face_of(asked.span)
    degrees = needle_degrees(asked.reading, asked.span)
    pointer = (
        replace(one, points=tuple(turned(point, degrees, CENTRE) for point in one.points))
        for one in needle(CENTRE, RADIUS)
    )
    return Scene(look.WIDTH, 356, (*face(outer, inner), *pointer))


def face_of(span_bar: float, first: str = "bar") -> tuple[DialScale, DialScale]:
    """Outer and inner scale of a bar and psi dial; both end where the needle ends, so psi ends at an odd number."""
    psi_end = Q(span_bar, "bar").to("psi").magnitude
    bar = DialScale(span_bar, *(_steps(span_bar)), "bar")
    psi = DialScale(psi_end, *(_steps(psi_end)), "psi")
    return (bar, psi) if first == "bar" else (psi, bar)


def _steps(end: float) -> tuple[float, float]:
    """Division and numbering in steps of 1, 2 or 5 (EN 837-1:1996), at most 10 numbers and 90 marks."""
    for power in (0.1, 1.0, 10.0, 100.0, 1000.0):
        for numbered, division in ((1, 0.1), (2, 0.2), (5, 0.5)):
            if end / (numbered * power) <= 10:
                return division * power, numbered * power
    return end / 10, end
