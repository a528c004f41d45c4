"""Mistakes that are looked for in every question: the reading typed back, psi against bar, gauge against absolute."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from steadyneedle.bench.units import Q, Quantity, read_quantity
from steadyneedle.questions import checking
from steadyneedle.questions.checking import LAST_BITS, Checked
from steadyneedle.questions.preferences import unit_label
from steadyneedle.questions.pressures import ATM_IN_BAR

if TYPE_CHECKING:
    from steadyneedle.questions.exercise import QuantityExercise

Quoted = tuple[tuple[float, str], ...]
"""Quantities that a question names: value in the unit asked, and the unit in which it is named."""

_QUANTITY = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?)(?: to (-?\d+(?:\.\d+)?))? ([A-Za-z°µ][\w/²³]*)(?: (a) minute)?")


def quoted(asked: QuantityExercise, lines: Iterable[str]) -> Quoted:
    """The quantities of the kind asked that stand in the question, as sentences of ours write them."""
    return _quoted(asked.kind, asked.unit_name, " ".join(lines))


@lru_cache(maxsize=256)
def _quoted(kind: str, unit_name: str, text: str) -> Quoted:
    """The same; each check of an answer looks at the question once more."""
    found = []
    for number, second, unit, each in _QUANTITY.findall(text):
        for one in filter(None, (number, second)):
            try:
                quantity = read_quantity(f"{one} {unit}{'/min' if each else ''}", kind, "point")
            except ValueError:
                continue  # another kind, or no unit at all
            found.append((float(quantity.to(unit_name).magnitude), str(quantity.units)))
    return tuple(found)


def typed_back(asked: QuantityExercise, answer: Quantity, right: float, lines: Iterable[str]) -> Checked | None:
    """A quantity of the question typed back in another unit than is asked, as it stands or with its mark moved.

    1.28 MPa and 1280 kPa are 12.8 bar once more. Any other unit is a conversion, and right where its number is.
    """
    value, unit = float(answer.to(asked.unit_name).magnitude), str(answer.units)
    if unit == asked.unit_name:
        return None
    wanted = unit_label(Q(1, asked.unit).units)
    for one, named in quoted(asked, lines):
        same = abs(value - one) <= LAST_BITS * abs(one)
        converted = checking.says(asked, one, right, unit) and checking.says(asked, value, right, unit)
        if named == unit and (same or converted):
            return Checked("known mistake", (f"That is the reading again. Say it in {wanted}.",), "the reading again")
        if converted and _by_powers_of_ten(named, unit):
            said = f"That is the reading again with its decimal mark moved. The question asks for {wanted}."
            return Checked("known mistake", (said,), "the reading again")
    return None


@lru_cache(maxsize=256)
def _by_powers_of_ten(one: str, other: str) -> bool:
    """Whether a number goes from one unit into another by moving its mark."""
    power = math.log10(Q(1.0, one).to(other).magnitude)
    return abs(power - round(power)) < LAST_BITS


def confusion(
    asked: QuantityExercise, answer: Quantity, names: Mapping[str, Any], lines: Iterable[str]
) -> Checked | None:
    """The mistake behind an answer that none of the exercise's own explains; None where there is none to name."""
    value, unit = float(answer.to(asked.unit_name).magnitude), str(answer.units)
    copied = any(named == unit and abs(value - one) <= LAST_BITS * abs(one) for one, named in quoted(asked, lines))
    return (
        _another_unit(asked, answer, names["answer"])
        or (
            Checked("known mistake", (COPIED if asked.reading else COPIED_NUMBER,), "the reading again")
            if copied
            else None
        )
        or _air_confused(asked, value, names, unit)
    )


def rounded_past(asked: QuantityExercise, answer: Quantity, right: float) -> Checked | None:
    """A limit rounded to the wrong side: by less than one of the last digits typed, and no coarser than a workshop."""
    crossed = float(answer.to(asked.unit_name).magnitude)
    if not asked.limit or checking.on_the_safe_side(asked, crossed, right, str(answer.units)):
        return None
    value, limit = float(answer.magnitude), float(Q(right, asked.unit).to(answer.units).magnitude)
    digit = next((10.0**-n for n in range(6) if abs(value - round(value, n)) < 1e-9), 0.0)
    if abs(value - limit) >= digit or digit > checking.WORKSHOP_STEPS.get(str(answer.units), digit):
        return None
    return Checked("known mistake", (PAST[asked.limit],), "rounded past the limit")


PAST = {
    "at most": "Rounded up, it lies beyond the limit. Round an upper limit down.",
    "at least": "Rounded down, it falls short of the limit. Round a lower limit up.",
}

COPIED_NUMBER = "That number stands in the question already. Work out what is asked from it."

COPIED = "That is the reading again: it stands in the question. Work out what is asked from it."


def _another_unit(asked: QuantityExercise, answer: Quantity, right: float) -> Checked | None:
    """The right number of one unit behind another: psi for bar before all others."""
    typed = str(answer.units)
    slash = "/min" if asked.rate else ""
    others = [f"bar{slash}", f"psi{slash}"] if "pressure" in asked.kind else []
    for other in dict.fromkeys((asked.unit, *others)):
        meant = Q(right, asked.unit).to(Q(1, other).units)
        if str(meant.units) == typed:
            continue
        size = Q(1, other).to(asked.unit_name).magnitude
        if checking.says(asked, float(answer.magnitude) * size, right, str(meant.units)):
            right_in, behind = unit_label(meant.units), unit_label(answer.units)
            name = "psi for bar" if {right_in, behind} == {f"psi{slash}", f"bar{slash}"} else "another unit"
            return Checked("known mistake", (f"The number is right in {right_in}, but you typed {behind}.",), name)
    return None


def _air_confused(asked: QuantityExercise, value: float, names: Mapping[str, Any], unit: str) -> Checked | None:
    """A pressure that is out by the air around: gauge for absolute, or the other way round."""
    if "pressure" not in asked.kind or asked.rate:
        return None
    air = Q(names.get("air", ATM_IN_BAR), "bar").to(asked.unit_name).magnitude
    for one, said in ((names["answer"] + air, ADDED), (names["answer"] - air, TAKEN)):
        if checking.says(asked, value, one, unit):
            what = "absolute" if asked.kind == "absolute pressure" else "gauge" if asked.reading else "difference"
            return Checked("known mistake", (said[what],), "gauge for absolute")
    return None


_DIFFERENCE = "A difference of two pressures is the same in gauge and in absolute pressure: leave the air out of it."
ADDED = {
    "gauge": "That is the absolute pressure. A gauge reads 0 in open air: leave the air out.",
    "absolute": "You counted the air twice. Absolute pressure counts it once.",
    "difference": _DIFFERENCE,
}
TAKEN = {
    "gauge": "You took the air away. The pressure given is a gauge pressure already: the air is not in it.",
    "absolute": "That is the gauge pressure. Absolute pressure counts the air too: add it.",
    "difference": _DIFFERENCE,
}
