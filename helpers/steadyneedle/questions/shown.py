"""What a question shows beside its words, as data: whoever asks paints it."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class DialFace:
    """A dial in bar, psi inside, with its needle; all in bar. `text` says the same to whoever cannot see it."""

    span: float
    numbered: float
    division: float
    reading: float
    text: str


ROOM, LINES = 0.05, 10
"""Bar left free over and under a trace, and how many lines are laid across it at most."""


@dataclass(frozen=True)
class NeedleTrace:
    """Readings of a needle [bar] at times [s], and the band of its sheet [bar]. `text` gives the same in numbers."""

    seconds: tuple[int, ...]
    bars: tuple[float, ...]
    low: float
    high: float
    text: str

    @property
    def step(self) -> float:
        """Bar from one line across the picture to the next.

        >>> NeedleTrace((0, 30), (9.4, 9.8), 9.4, 9.8, "").step, NeedleTrace((0, 30), (9.4, 11.2), 9.4, 9.8, "").step
        (0.1, 0.2)
        """
        width = max(*self.bars, self.high) - min(*self.bars, self.low) + 2 * ROOM
        tenths = 10 * width / LINES
        return next((one for one in (1, 2, 5, 10) if tenths <= one), 20) / 10

    @property
    def lines(self) -> tuple[float, ...]:
        """Where those lines lie [bar]; the first and the last are the edges of the picture.

        >>> NeedleTrace((0, 30), (9.4, 9.8), 9.4, 9.8, "").lines
        (9.3, 9.4, 9.5, 9.6, 9.7, 9.8, 9.9)
        """
        first = math.floor(round((min(*self.bars, self.low) - ROOM) / self.step, 6))
        last = math.ceil(round((max(*self.bars, self.high) + ROOM) / self.step, 6))
        return tuple(round(n * self.step, 1) for n in range(first, last + 1))

    @property
    def every(self) -> int:
        """Seconds from one mark of the time to the next."""
        return 5 if self.seconds[-1] <= 60 else 60


Shown = DialFace | NeedleTrace
