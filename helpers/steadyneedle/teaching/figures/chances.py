"""Picture: bars beside names, in one block or two: how likely each cause is, what each next test is worth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from steadyneedle.teaching import look
from steadyneedle.teaching.figures.strokes import Part, Row, Scene, Stroke, Words

TOP, GAP, HIGH = 52.0, 30.0, 20.0
"""Pixels: middle of the first row, from row to row, height of a bar."""


@dataclass(frozen=True)
class BarBlock:
    """Where a block of bars stands [px] and what it is called: names from `left`, numbers end at `value`, bars from
    `begin` to `end`."""

    key: str
    heading: str
    left: float
    value: float
    begin: float
    end: float
    colour: str = look.BLUE

    @property
    def width(self) -> float:
        """How long a bar of 1 is."""
        return self.end - self.begin

    def parts(self, rows: int) -> list[Part]:
        """The moving bars and numbers."""
        made = []
        for n in range(rows):
            y = TOP + GAP * n
            corners = ((self.begin - self.width, y - HIGH / 2), (self.begin, y - HIGH / 2),
                       (self.begin, y + HIGH / 2), (self.begin - self.width, y + HIGH / 2))  # fmt: skip
            window = (self.begin, y - HIGH / 2, self.width, HIGH)
            made.append(Part(f"{self.key}{n}", "shift", (Stroke(corners, self.colour, filled=True),), window=window))
            made.append(Part(f"{self.key}{n}v", "words", (Words(self.value, y, "", look.SMALLEST, "end"),)))
        return made

    def row(self, shares: Sequence[float], numbers: Sequence[str]) -> Row:
        """How long each bar is, 0 to 1, and the number beside it."""
        moved: Row = {}
        for n, (share, number) in enumerate(zip(shares, numbers, strict=True)):
            moved[f"{self.key}{n}"] = self.width * min(max(share, 0.0), 1.0)
            moved[f"{self.key}{n}v"] = number
        return moved


CAUSES = BarBlock("c", "how likely", 6, 246, 254, 410)
TESTS = BarBlock("t", "next test, and what it tells", 432, 748, 756, 854, look.VERMILION)
ALONE = BarBlock("c", "how likely", 6, 300, 312, 854)
OURS = BarBlock("o", "as we believe it", 6, 262, 270, 540)
TRADE = BarBlock("h", "as the trade believes it", 560, 616, 624, 854, look.VERMILION)


def bars_scene(blocks: Sequence[tuple[BarBlock, Sequence[str]]], rows: int) -> Scene:
    """Blocks of bars, each with its names; its row: that of each block together."""
    still: list[Stroke | Words] = []
    parts: list[Part] = []
    for block, names in blocks:
        still.append(Words(block.left, 20, block.heading, look.SMALLEST, "start", bold=True))
        still.append(Stroke(((block.begin, TOP - 16), (block.begin, TOP + GAP * (rows - 1) + 16)), look.QUIET, 1.2))
        still += [Words(block.left, TOP + GAP * n, name, look.SMALLEST, "start") for n, name in enumerate(names)]
        parts += block.parts(len(names))
    return Scene(look.WIDTH, TOP + GAP * rows - 6, tuple(still), tuple(parts))


SAYS = (6.0, 416.0, 488.0, 586.0)
"""Pixels: where outcome, chance, bar and new leader of `minds_scene` stand (the chance ends there)."""


def minds_scene(rows: int) -> Scene:
    """Outcomes, how likely each is, and what would lead after it. All of it moves."""
    left, value, begin, after = SAYS
    heads = ((left, "if it shows", "start"), (value, "how likely", "start"), (after, "then likeliest", "start"))
    still = [Words(x, 20, words, look.SMALLEST, anchor, bold=True) for x, words, anchor in heads]
    block = BarBlock("m", "", left, begin - 8, begin, after - 20)
    parts = block.parts(rows)
    for n in range(rows):
        y = TOP + GAP * n
        parts.append(Part(f"m{n}o", "words", (Words(left, y, "", look.SMALLEST, "start"),)))
        parts.append(Part(f"m{n}l", "words", (Words(after, y, "", look.SMALLEST, "start"),)))
    return Scene(look.WIDTH, TOP + GAP * rows - 6, tuple(still), tuple(parts))


def minds_row(rows: int, said: Sequence[tuple[str, float, str, str]]) -> Row:
    """Outcome, chance (0 to 1), its number, new leader of each; what is missing stays empty."""
    _, _, begin, after = SAYS
    block = BarBlock("m", "", 0, 0, begin, after - 20)
    full = [*said, *[("", 0.0, "", "")] * (rows - len(said))][:rows]
    moved = block.row([one[1] for one in full], [one[2] for one in full])
    for n, (outcome, _, _, leader) in enumerate(full):
        moved[f"m{n}o"], moved[f"m{n}l"] = outcome, leader
    return moved
