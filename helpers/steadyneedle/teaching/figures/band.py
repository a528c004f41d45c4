"""A specification band as a hatched ribbon, a needle on it with the gauge's uncertainty as a whisker."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke, Words, hatched

LEFT, RIGHT, AXIS, RIBBON = 40.0, 820.0, 264.0, (136.0, 196.0)


@dataclass(frozen=True)
class BandAxis:
    """The segment of pressure shown, in one unit."""

    start: float
    end: float
    unit: str
    numbered: float
    decimals: int

    def x(self, value: float) -> float:
        """Pixel across of a pressure."""
        return LEFT + (RIGHT - LEFT) * (value - self.start) / (self.end - self.start)


def axis_for(
    low: float, high: float, reached: tuple[float, float], margin: float, unit: str, decimals: int
) -> BandAxis:
    """An axis that shows the band and every reading the slider can reach, and a margin beside them."""
    start, end = min(low, reached[0]) - margin, max(high, reached[1]) + margin
    steps = (one * 10.0**power for power in range(-3, 8) for one in (1, 2, 5))
    return BandAxis(start, end, unit, next(step for step in steps if (end - start) / step <= 12), decimals)


def band_scene(axis: BandAxis, low: float, high: float, uncertainty: float, guarded: bool) -> Scene:
    """Band, needle and whisker. Its row: `needle` in pixels; `verdict`, `chance` and `reading` in words."""
    top, bottom = RIBBON
    x_low, x_high = axis.x(low), axis.x(high)
    still: list[Stroke | Words] = [*hatched(x_low, x_high, top, bottom)]
    # numbers stand over the ribbon, where the needle does not come: its limits, and above them what the gauge leaves
    for x, value, side, out in ((x_low, low, "end", 4), (x_high, high, "start", -4)):
        still.append(Stroke(((x, top - 6), (x, bottom + 6)), look.INK, 2.5))
        still.append(Words(x + out, top - 18, f"{value:g}", look.SMALLEST, side, bold=True))
    if guarded and low + uncertainty < high - uncertainty:
        for edge, side in ((low + uncertainty, "end"), (high - uncertainty, "start")):
            x = axis.x(edge)
            still.append(Stroke(((x, top - 30), (x, bottom)), look.VERMILION, 2.0, dashed=True))
            still.append(Words(x, top - 41, f"{edge:.{axis.decimals}f}", look.SMALLEST, side))
    still.append(Stroke(((LEFT, AXIS), (RIGHT, AXIS)), look.INK, 1.8))
    first = round(axis.start / axis.numbered + 0.4999)
    count = int((axis.end - first * axis.numbered) / axis.numbered + 1e-9)
    for k in range(count + 1):
        value = (first + k) * axis.numbered
        x = axis.x(value)
        still.append(Stroke(((x, AXIS - 6), (x, AXIS + 6)), look.INK, 1.5))
        still.append(Words(x, AXIS + 22, f"{round(value, 6):g}", look.SMALLEST))
    still.append(Words(RIGHT, AXIS + 44, axis.unit, look.SMALLEST, "end", bold=True))
    scale = (RIGHT - LEFT) / (axis.end - axis.start)
    arm = uncertainty * scale
    y = AXIS - 36
    needle = (
        Stroke(((LEFT, AXIS - 4), (LEFT, top - 2)), look.BLUE, 3.5),
        Stroke(((LEFT - 7, AXIS), (LEFT, AXIS - 12), (LEFT + 7, AXIS)), look.BLUE, filled=True),
        Stroke(((LEFT - arm, y), (LEFT + arm, y)), look.BLUE, 2.5),
        Stroke(((LEFT - arm, y - 9), (LEFT - arm, y + 9)), look.BLUE, 2.5),
        Stroke(((LEFT + arm, y - 9), (LEFT + arm, y + 9)), look.BLUE, 2.5),
    )
    words = (
        Part("verdict", "words", (Words(LEFT, 34, "", 28, "start", bold=True),)),
        Part("chance", "words", (Words(LEFT, 66, "", look.SMALLEST, "start"),)),
        Part("reading", "words", (Words(RIGHT, 34, "", 28, "end", bold=True),)),
    )
    return Scene(look.WIDTH, 320, tuple(still), (Part("needle", "shift", needle), *words))


def needle_shift(axis: BandAxis, value: float) -> float:
    """Pixels from the left end of the axis."""
    return axis.x(value) - LEFT
