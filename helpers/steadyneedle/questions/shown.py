"""What a question shows beside its words, as data: whoever asks paints it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class DialFace:
    """A dial in bar, psi inside, with its needle; all in bar. `text` says the same to whoever cannot see it."""

    span: float
    numbered: float
    division: float
    reading: float
    text: str
