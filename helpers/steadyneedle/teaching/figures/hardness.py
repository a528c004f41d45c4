"""Tools and surfaces on one scale of hardness, with the band in which nobody can be sure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke, Words, hatched

LEFT, RIGHT, SOFTEST, HARDEST = 40.0, 790.0, 5.0, 2000.0
STRIP = (108.0, 148.0)
"""Top and bottom of the strip that tools reach down to and surfaces up to."""
ROW = 24.0
AXIS = 286.0
NUMBERED = (5, 10, 20, 50, 100, 200, 500, 1000, 2000)
NEAR = 185.0
"""Pixels: a name that begins so close to the one before stands in another row."""


@dataclass(frozen=True)
class HardnessMark:
    """Something on the scale: its name and its hardness, HV."""

    name: str
    hardness: float


def place_of(hardness: float) -> float:
    """Pixels from the left edge, on a scale of equal ratios."""
    return LEFT + (RIGHT - LEFT) * math.log(hardness / SOFTEST) / math.log(HARDEST / SOFTEST)


def shift_of(hardness: float) -> float:
    """How far what stands at the soft end has to move to stand at a hardness."""
    return place_of(hardness) - LEFT


def hardness_scene(
    tools: Sequence[HardnessMark], surfaces: Sequence[HardnessMark], chosen: str, band: tuple[float, float]
) -> Scene:
    """Tools above, surfaces below. Its row: `surface` and `band` in pixels, `verdict` in words.

    `band` holds the two ratios of tool to surface between which nobody can be sure.
    """
    top, bottom = STRIP
    still: list[Stroke | Words] = [Stroke(((LEFT, AXIS), (RIGHT, AXIS)), look.INK, 1.8)]
    for number in NUMBERED:
        x = place_of(number)
        still += [
            Stroke(((x, AXIS), (x, AXIS + 6)), look.INK, 1.5),
            Words(x, AXIS + 19, f"{number:g}", look.SMALLEST, colour=look.QUIET),
        ]
    still.append(Words(RIGHT + 34, AXIS + 19, "HV", look.SMALLEST, "start", look.QUIET))
    for mark, row in _rows(tools):
        x, y, strong = place_of(mark.hardness), 16 + ROW * row, mark.name == chosen
        still += [
            Stroke(((x, y - 8), (x, bottom if strong else top)), look.BLUE, 4.0 if strong else 2.0),
            Words(x + 7, y, mark.name, look.SMALLEST, "start", look.BLUE, strong),
        ]
    lowest = max((row for _, row in _rows(surfaces)), default=0)
    for mark, row in _rows(surfaces):
        x, y = place_of(mark.hardness), bottom + 20 + ROW * (lowest - row)
        still += [Stroke(((x, bottom), (x, y + 8)), look.INK, 2.0), Words(x + 7, y, mark.name, look.SMALLEST, "start")]
    low, high = (place_of(SOFTEST * ratio) for ratio in band)
    edges = tuple(Stroke(((x, top), (x, bottom)), look.QUIET, 2.0) for x in (low, high))
    here = (Stroke(((LEFT - 8, bottom + 1), (LEFT, top + 6), (LEFT + 8, bottom + 1)), look.VERMILION, filled=True),)
    return Scene(
        look.WIDTH, AXIS + 60, tuple(still),
        (
            Part("band", "shift", (*hatched(low, high, top, bottom), *edges)), Part("surface", "shift", here),
            Part("verdict", "words", (Words(LEFT, AXIS + 45, "", 20, "start", bold=True),)),
        ),
    )  # fmt: skip


def _rows(marks: Sequence[HardnessMark]) -> list[tuple[HardnessMark, int]]:
    """Each with its row, from the strip's far side on: names stand right of their lines and cross no other's."""
    ordered = sorted(marks, key=lambda one: one.hardness)
    placed: list[tuple[HardnessMark, int]] = []
    row = 0
    for n, mark in enumerate(ordered):
        near = n > 0 and place_of(mark.hardness) - place_of(ordered[n - 1].hardness) < NEAR
        row = row + 1 if near else 0
        placed.append((mark, row))
    return placed
