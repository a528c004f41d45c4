"""What an answer is worth, as data, and what to say about figures, units and being off."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from steadyneedle.bench.units import Q, Quantity, label
from steadyneedle.questions.preferences import Preferences

if TYPE_CHECKING:
    from steadyneedle.questions.exercise import QuantityExercise

OUTCOMES = ("right", "known mistake", "off", "not read")


@dataclass(frozen=True)
class Checked:
    """What a check ends in: one of `OUTCOMES`, what to say, and the name of a known mistake."""

    outcome: str
    lines: tuple[str, ...] = ()
    mistake: str = ""


def deserved(asked: QuantityExercise, right: float, typed: str, preferences: Preferences) -> tuple[str, ...]:
    """How many figures a right answer deserves, and which answers count."""
    quantity = Q(right, asked.unit)
    if not asked.figures:
        return (f"{preferences.format(quantity)}: {asked.why}",)
    best = preferences.format(quantity, decimals_for(right, asked.figures))
    count = significant(typed)
    line = f"The answer deserves {asked.figures} figures: {best}."
    if count > asked.figures + 1:
        line += f" You typed {count}: the last ones claim more than the numbers given can tell."
    margin = preferences.format(Q(float(f"{asked.tolerance(right):.2g}"), asked.unit))
    return (line, f"Answers within {margin} count: {asked.why}")


def unit_slip(asked: QuantityExercise, answer: Quantity, right: float) -> Checked | None:
    """The number asked for, behind another unit than the one asked for."""
    wanted, typed = label(Q(1, asked.unit).units), label(answer.units)
    if abs(float(answer.magnitude) - right) > asked.tolerance(right) or typed == wanted:
        return None
    return Checked("known mistake", (f"The number is right in {wanted}, but you typed {typed}.",), "another unit")


def how_far_off(asked: QuantityExercise, value: float, right: float, preferences: Preferences) -> str:
    """Which way and how far, in a sentence."""
    apart, times = value - right, value / right if right else math.inf
    if times > 0 and not 0.2 < times < 5:
        how = f"{preferences.number(max(times, 1 / times), 1)} times too {'large' if times > 1 else 'small'}"
        return f"That is {how}. Check each factor and the direction of the conversion."
    far = preferences.format(Q(abs(apart), asked.unit), decimals_for(apart, 2))
    return f"That is {far} {'too high' if apart > 0 else 'too low'}. Check each step, or ask for a hint."


def decimals_for(value: float, figures: int, whole: bool = False) -> int:
    """Digits after the mark that show `figures` significant figures; `whole` lets them be negative.

    >>> decimals_for(9.997, 3), decimals_for(0.0312, 2), decimals_for(2647.0, 3, whole=True)
    (1, 3, -1)
    """
    size = int(f"{value:.{figures - 1}e}".partition("e")[2])
    return figures - 1 - size if whole else max(figures - 1 - size, 0)


def significant(typed: str) -> int:
    """Significant figures of a number as typed.

    >>> significant("0,0980 MPa"), significant("142 psi"), significant("1.5e2 psi")
    (3, 3, 2)
    """
    match = re.match(r"[^0-9]*([0-9][0-9 .,]*)", typed)
    digits = re.sub(r"[ .,]", "", match.group(1)) if match else ""
    return len(digits.lstrip("0"))
