"""How close an answer has to be given: the sentence that a paper prints, and the answer that was rounded past it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from steadyneedle.bench.units import Q, Quantity
from steadyneedle.questions.checking import LAST_BITS, WORKSHOP_STEPS, Checked, on_the_safe_side
from steadyneedle.questions.preferences import unit_label
from steadyneedle.questions.wording import as_shown

if TYPE_CHECKING:
    from steadyneedle.questions.exercise import QuantityExercise

FIGURES = {1: "One figure is", 2: "Two figures are", 3: "Three figures are", 4: "Four figures are"}
PARTS = {1.0: "a whole", 0.1: "a tenth of a", 0.01: "a hundredth of a", 0.001: "a thousandth of a"}
IN_FULL = {"m": "metre", "min": "minute", "%": "percent", "L": "litre", "mL": "millilitre", "bar/min": "bar a minute"}
TOO_FAR = "Rounded as far as that, nobody can tell whether it is right."
NAME = "rounded too far"
_NUMBER = re.compile(r"[0-9]*(?:[.,]([0-9]+))?")


def step_enough(asked: QuantityExercise) -> float:
    """The step to which any right answer may be rounded, in the unit asked; 0 where figures say it, or it is exact."""
    if asked.step or (not asked.figures and not asked.reading):
        return asked.step
    if asked.reading and not asked.rate and not asked.limit and asked.unit_name in WORKSHOP_STEPS:
        return WORKSHOP_STEPS[asked.unit_name]
    return float(10.0 ** math.floor(math.log10(2 * asked.absolute) + LAST_BITS)) if asked.absolute else 0.0


def enough(asked: QuantityExercise) -> str:
    """How close is close enough, for the candidate; empty where the question's own words say it.

    >>> from steadyneedle.questions.plans import plan_of
    >>> for lesson, name in (("01", "cost_of_rounding"), ("04", "rate_error"), ("01", "depth_from_pressure")):
    ...     print(enough(plan_of(lesson).exercise(name)))
    Give it to a hundredth of a psi, or closer.
    Two figures are enough; fewer may not be.
    Give it to a whole metre, or closer.
    """
    if asked.says_enough:
        return ""
    side = ", rounded to the safe side" if asked.limit else ""
    if step_enough(asked):
        return f"Give it to {part_enough(asked)}, or closer{side}."
    if not asked.figures:
        return "It comes out exactly: do not round it."
    return f"{FIGURES[asked.figures]} enough{side}; fewer may not be."


def part_enough(asked: QuantityExercise) -> str:
    """The step to which it may be rounded, in words: a whole psi."""
    step, unit = step_enough(asked), unit_label(Q(1, asked.unit).units)
    part = PARTS.get(round(step, 9))
    return f"{part} {IN_FULL.get(unit, unit)}" if part else f"{step:g} {unit}"


def rounded_too_far(
    asked: QuantityExercise, answer: Quantity, right: float, typed: str, mistaken: Sequence[str] = ()
) -> Checked | None:
    """The right number rounded until nobody can tell it from another; None where it is not.

    It keeps one figure at least, and a limit it does not cross: that has a sentence of its own. `mistaken` is what the
    same number says of a known mistake: whoever typed it rounded too far, or made that one.
    """
    value, size = float(answer.magnitude), float(Q(1, str(answer.units)).to(asked.unit_name).magnitude)
    exact = right / size
    if not value or not exact or not on_the_safe_side(asked, value * size, right, str(answer.units)):
        return None
    if not any(_is_rounded(asked, value, exact, decimals) for decimals in _decimals(typed, value)):
        return None
    other = (f"If you did not round: {' '.join(mistaken)}",) if mistaken else ()
    return Checked("known mistake", (f"{TOO_FAR} {enough(asked)}".strip(), *other), NAME)


def _decimals(typed: str, value: float) -> list[int]:
    """Decimals to which a number may have been rounded, as it is written: 3700 to tens too, and to hundreds."""
    found = next((match for match in _NUMBER.finditer(typed) if match.group(0)), None)
    if found and found[1] and float(found.group(0).replace(",", ".")) == value:
        return [len(found[1])]
    if value != round(value):
        return []  # with thousands, an exponent, or in minutes and seconds: nobody rounds so
    whole = f"{abs(value):.0f}"
    return [-n for n in range(len(whole) - len(whole.rstrip("0")) + 1)]


def _is_rounded(asked: QuantityExercise, value: float, exact: float, decimals: int) -> bool:
    """Whether a number is the exact one rounded to so many decimals: to the nearest, up too for a half width."""
    step, leads = 10.0**-decimals, math.floor(math.log10(abs(exact)) + LAST_BITS)
    if -decimals > leads or (decimals < 0 and math.floor(math.log10(abs(value)) + LAST_BITS) != leads):
        return False  # nothing of it is left, or it has grown by a figure whose noughts claim nothing
    up = math.ceil(exact / step - LAST_BITS) * step if asked.half_width else math.nan
    return any(abs(value - one) <= LAST_BITS * abs(value) for one in (float(as_shown(exact, decimals)), up))
