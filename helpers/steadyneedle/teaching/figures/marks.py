"""A close look at a needle between two marks of a dial."""

from __future__ import annotations

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke, Words

LEFT, RIGHT, LINE = 60.0, 800.0, 96.0

WAYS = ("the nearest mark", "half a division", "a fifth of a division")
"""What a needle may be read to."""


def marks_scene(start: float, end: float, division: float) -> Scene:
    """Marks from start to end. Its row: `needle` in pixels, and a text for each of `WAYS`."""
    still: list[Stroke | Words] = [Stroke(((LEFT, LINE), (RIGHT, LINE)), look.INK, 2.0)]
    count = round((end - start) / division)
    per_number = max(1, round(1.0 / division))
    for k in range(count + 1):
        x = LEFT + (RIGHT - LEFT) * k / count
        numbered = k % per_number == 0
        still.append(Stroke(((x, LINE), (x, LINE - (34 if numbered else 20))), look.INK, 2.5 if numbered else 1.5))
        if numbered:
            still.append(Words(x, LINE - 52, f"{start + k * division:g}", 20, bold=True))
    needle = (
        Stroke(
            ((LEFT - 5, LINE + 62), (LEFT - 1.5, LINE - 30), (LEFT + 1.5, LINE - 30), (LEFT + 5, LINE + 62)),
            look.VERMILION,
            filled=True,
        ),
    )
    words = tuple(Part(way, "words", (Words(LEFT, 190 + 30 * n, "", 19, "start"),)) for n, way in enumerate(WAYS))
    return Scene(look.WIDTH, 276, tuple(still), (Part("needle", "shift", needle), *words))


def marks_shift(value: float, start: float, end: float) -> float:
    """Pixels from the first mark."""
    return (RIGHT - LEFT) * (value - start) / (end - start)
