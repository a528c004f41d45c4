"""Rulers of pressure units under one another, with one line across all."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke, Words

LEFT, RIGHT, TOP, GAP = 130.0, 660.0, 40.0, 44.0


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
        still.append(Words(LEFT - 16, y, ruler.unit, 16, "end", bold=True))
        count = int(ruler.end / ruler.numbered + 1e-9)
        for k in range(count + 1):
            x = LEFT + (RIGHT - LEFT) * k * ruler.numbered / ruler.end
            still.append(Stroke(((x, y - 6), (x, y + 6)), look.INK, 1.5))
            still.append(Words(x, y + 16, f"{k * ruler.numbered:g}", 11.5, colour=look.QUIET))
        texts.append(Part(ruler.unit, "words", (Words(RIGHT + 30, y, "", 17, "start"),)))
    bottom = TOP + GAP * (len(rulers) - 1) + 10
    line = (Stroke(((LEFT, TOP - 18), (LEFT, bottom)), look.VERMILION, 2.5),)
    return Scene(look.WIDTH, bottom + 24, tuple(still), (Part("line", "shift", line), *texts))


def line_shift(part_of_range: float) -> float:
    """Pixels to the right for a part (0 to 1) of the range."""
    return (RIGHT - LEFT) * part_of_range
