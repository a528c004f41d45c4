"""Rulers of pressure units under one another, with one line across all."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke, Words

LEFT, RIGHT, TOP, GAP = 130.0, 660.0, 30.0, 45.0


@dataclass(frozen=True)
class Ruler:
    """One unit: its name, its value at the right end, a step between numbers."""

    unit: str
    end: float
    numbered: float


def rulers_scene(rulers: tuple[Ruler, ...]) -> Scene:
    """The rulers. Its row: `line` in pixels, and a text for each unit by its name."""
    still: list[Stroke | Words] = []
    texts = []
    for n, ruler in enumerate(rulers):
        y = TOP + GAP * n
        still.append(Stroke(((LEFT, y), (RIGHT, y)), look.INK, 1.8))
        still.append(Words(LEFT - 16, y, ruler.unit, look.SMALLEST, "end", bold=True))
        count = int(ruler.end / ruler.numbered + 1e-9)
        for k in range(count + 1):
            x = LEFT + (RIGHT - LEFT) * k * ruler.numbered / ruler.end
            still.append(Stroke(((x, y - 6), (x, y + 6)), look.INK, 1.5))
            still.append(Words(x, y + 18, f"{k * ruler.numbered:g}", look.SMALLEST, colour=look.QUIET))
        texts.append(Part(ruler.unit, "words", (Words(RIGHT + 30, y, "", look.SMALLEST, "start"),)))
    heights = [TOP + GAP * n for n in range(len(rulers))]
    # across every ruler, but through none of the numbers under it
    line = tuple(Stroke(((LEFT, y - 16), (LEFT, y + 8)), look.VERMILION, 3.5) for y in heights)
    return Scene(look.WIDTH, heights[-1] + 30, tuple(still), (Part("line", "shift", line), *texts))


def line_shift(part_of_range: float) -> float:
    """Pixels to the right for a part (0 to 1) of the range."""
    return (RIGHT - LEFT) * part_of_range
