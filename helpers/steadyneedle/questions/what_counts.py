"""What is said of a right answer: in how many figures it is given, and which answers count."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from steadyneedle.bench.units import Q
from steadyneedle.questions.checking import (
    LAST_BITS,
    WORKSHOP_STEPS,
    close_by,
    decimals_for,
    inward,
    says_right,
    significant,
    ways_to_round,
)
from steadyneedle.questions.enough import part_enough, step_enough
from steadyneedle.questions.preferences import Preferences, unit_label

if TYPE_CHECKING:
    from steadyneedle.questions.exercise import QuantityExercise


def deserved(asked: QuantityExercise, right: float, typed: str, preferences: Preferences) -> tuple[str, ...]:
    """How many figures a right answer deserves, and which answers count."""
    quantity = Q(right, asked.unit)
    if not asked.figures:
        return (preferences.localise(f"{preferences.format(quantity)}: {asked.why}"),)
    figures = "figure" if asked.figures == 1 else "figures"
    line = f"The answer deserves {asked.figures} {figures}: {in_figures(asked, right, preferences)}."
    if _asked_closer(asked, right):
        part = part_enough(asked)
        line = f"{part[:1].upper()}{part[1:]} is close enough: {in_figures(asked, right, preferences)}."
    if asked.limit:
        line = _limit_in_words(asked, right, preferences)
    count = significant(typed)
    if count > asked.figures + 1:
        line += f" You typed {count}: the last ones claim more than the numbers given can tell."
    if asked.limit:
        return (line,)
    if not close_by(asked, right):
        return (line, preferences.localise(asked.why[:1].upper() + asked.why[1:]))
    counts = f"Answers {_interval(asked, right, preferences)} count: {asked.why}{_coarser(asked, right)}"
    return (line, preferences.localise(counts))


def ends(asked: QuantityExercise, right: float) -> tuple[float, float, int]:
    """The least and the largest answer that count in the unit asked, as they are printed, and their decimals.

    Both are rounded inward: what is printed as counting counts, all that lies between does, and one step further does
    not.
    """
    decimals = math.ceil(math.log10(2 / close_by(asked, right)) - LAST_BITS)  # the margin is two steps of them at least
    step = 10.0**-decimals
    low, high = math.ceil(_reach(asked, right, -1) / step - 1e-6), math.floor(_reach(asked, right, 1) / step + 1e-6)
    return low * step, high * step, decimals


def _reach(asked: QuantityExercise, right: float, way: int) -> float:
    """The last answer that counts, down (-1) or up (1): by the tolerance, or rounded beyond it."""
    tolerance = last = right + way * close_by(asked, right)
    for one, step in ways_to_round(asked, right, 1.0, asked.unit_name):
        if one != 1.0 or step <= 0:
            continue
        at = way * (math.floor(way * tolerance / step + 1e-6) + 1)
        while says_right(asked, at * step, right, asked.unit_name):
            last = way * max(way * last, way * at * step)
            at += way
    return last


def _interval(asked: QuantityExercise, right: float, preferences: Preferences) -> str:
    """From where to where answers count, in words."""
    low, high, decimals = ends(asked, right)
    first = preferences.number(low, max(decimals, 0))
    return f"from {first} to {preferences.format(Q(high, asked.unit), max(decimals, 0))}"


def _limit_in_words(asked: QuantityExercise, right: float, preferences: Preferences) -> str:
    """The limit that the answer is, and on which side of it rounding stays."""
    side, way = ("above", "down") if asked.limit == "at most" else ("below", "up")
    low, high, decimals = ends(asked, right)
    within = (low, right) if asked.limit == "at most" else (right, high)
    first, last = (preferences.number(one, max(decimals, 0)) for one in within)
    unit = unit_label(Q(1, asked.unit).units)
    line = f"The limit is {preferences.format(Q(right, asked.unit))}: nothing {side} it counts."
    line += f" Answers from {first} to {last} {unit} do."
    if abs(inward(asked, right, WORKSHOP_STEPS[asked.unit_name]) - right) > LAST_BITS:
        line += f" One rounded {way} to {_step_in_words(asked)} does too."
    return preferences.localise(line)


def _step_in_words(asked: QuantityExercise) -> str:
    """The step in which a workshop reads the unit asked."""
    if asked.unit_name == "minute":
        return "a whole minute"
    return f"{asked.step or WORKSHOP_STEPS.get(asked.unit_name, 0.0):g} {unit_label(Q(1, asked.unit).units)}"


def _coarser(asked: QuantityExercise, right: float) -> str:
    """What of a workshop's rounding counts beyond the tolerance."""
    if asked.rate:
        up = ", rounded up as well" if asked.half_width else ""
        coarser = f" So does one rounded to {_step_in_words(asked)}." if asked.step else ""
        return f" A rate in two figures, of bar or of psi, counts too{up}.{coarser}"
    if asked.half_width:
        return " Rounded up to as many figures it counts too, as is usual for how far something may be off."
    step = WORKSHOP_STEPS.get(asked.unit_name, 0.0) if asked.reading else 0.0
    said = f" A reading to {_step_in_words(asked)} counts too."
    return said if step / 2 > close_by(asked, right) * (1 + LAST_BITS) else ""


def in_figures(asked: QuantityExercise, right: float, preferences: Preferences) -> str:
    """The right answer in the figures it deserves, or as close as it is asked; rounded inward where it is a limit."""
    decimals = decimals_for(right, asked.figures, whole=True)
    if _asked_closer(asked, right):
        decimals = -math.floor(math.log10(step_enough(asked)) + LAST_BITS)
    return preferences.format(Q(inward(asked, right, 10.0**-decimals), asked.unit), max(decimals, 0))


def _asked_closer(asked: QuantityExercise, right: float) -> bool:
    """Whether the step to which the question wants it is finer than the last of its figures."""
    return 0 < step_enough(asked) * (1 + LAST_BITS) < 10.0 ** -decimals_for(right, asked.figures, whole=True)
