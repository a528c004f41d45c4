"""What an answer is worth, as data: which numbers count as right, and what to say about figures and direction."""

from __future__ import annotations

import contextlib
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from steadyneedle.bench.units import Q, Quantity, how_read, read_quantity
from steadyneedle.questions.about_words import without_about
from steadyneedle.questions.preferences import Preferences, unit_label
from steadyneedle.questions.pressures import PSI_IN_BAR
from steadyneedle.questions.wording import as_shown

if TYPE_CHECKING:
    from steadyneedle.questions.exercise import QuantityExercise

OUTCOMES = ("right", "known mistake", "off", "not read")

WORKSHOP_STEPS = {
    "bar": 0.1, "pound_force_per_square_inch": 1.0, "kilogram_force_per_square_centimeter": 0.1, "kilopascal": 10.0,
    "megapascal": 0.01, "millibar": 100.0, "minute": 1.0, "second": 60.0,
}  # fmt: skip
"""Unit -> the step in which a workshop reads it: common practice, no source. Other units: by figures alone."""

LAST_BITS = 1e-9
CONVERTED = Decimal("1e-4")
"""By what share a limit may be passed in another unit than is asked: factors as printed and digits typed lose less."""


@dataclass(frozen=True)
class Checked:
    """What a check ends in: one of `OUTCOMES`, what to say, the name of a known mistake, and what part is right."""

    outcome: str
    lines: tuple[str, ...] = ()
    mistake: str = ""
    part: Fraction = Fraction(0)


def clear_of(value: float, boundary: float, digit: float) -> bool:
    """Whether a value lies further from a boundary than one shown digit."""
    return abs(value - boundary) > digit * (1 + LAST_BITS)


def close_by(asked: QuantityExercise, about: float) -> float:
    """How far from a number, in the unit asked, another still says the same."""
    return max(asked.relative * abs(about), asked.absolute)


def says(asked: QuantityExercise, value: float, about: float, unit: str) -> bool:
    """Whether a number says `about`, both in the unit asked: as good as equal, or `about` rounded as a workshop rounds.

    `unit` is the unit that was typed: 135 psi says 9.34 bar, rounded in psi. A rate typed in two figures
    says another that is the same in two figures of psi a minute: 0.07 bar/min says 0.072 bar/min, both 1.0 psi/min.
    """
    if abs(value - about) <= close_by(asked, about) + LAST_BITS * abs(about):
        return True
    size = 1.0 if unit == asked.unit_name else Q(1.0, unit).to(asked.unit_name).magnitude
    if asked.rate and _in_two_figures(value / size) and _same_psi_a_minute(value, about):
        return True
    return any(
        _rounded(asked, value / one, about / one, step)
        for one, step in ways_to_round(asked, about, size, unit)
        if step > 0
    )


def _in_two_figures(number: float) -> bool:
    """Whether a number has no more than two figures."""
    return abs(number - float(f"{number:.1e}")) <= LAST_BITS * abs(number)


def _same_psi_a_minute(one: float, other: float) -> bool:
    """Whether two rates in bar/min, in which all rates are asked, are the same in two figures of psi/min."""
    return f"{one / PSI_IN_BAR:.1e}" == f"{other / PSI_IN_BAR:.1e}"


def says_right(asked: QuantityExercise, value: float, right: float, unit: str) -> bool:
    """Whether a number says the right answer, and crosses no limit.

    One that lies between the right answer and another that does is closer, and says it as well: where 2180 psi counts
    for 2175.6 psi, because it is rounded to three figures, 2179 psi counts.
    """
    return _says_it_safely(asked, value, right, unit) or any(
        _says_it_safely(asked, further, right, unit) for further in _rounded_away(asked, value, right, unit)
    )


def _says_it_safely(asked: QuantityExercise, value: float, right: float, unit: str) -> bool:
    """Whether a number says the right answer as it stands, and crosses no limit."""
    return on_the_safe_side(asked, value, right, unit) and says(asked, value, right, unit)


def _rounded_away(asked: QuantityExercise, value: float, right: float, unit: str) -> Iterator[float]:
    """A number rounded away from the right answer, in every way to round."""
    away = math.ceil if value > right else math.floor
    size = 1.0 if unit == asked.unit_name else float(Q(1.0, unit).to(asked.unit_name).magnitude)
    for one, step in ways_to_round(asked, right, size, unit):
        if step > 0:
            yield away(value / one / step) * step * one


def ways_to_round(asked: QuantityExercise, about: float, size: float, unit: str) -> Iterator[tuple[float, float]]:
    """(size of a unit in the unit asked, step in that unit) of every way to round."""
    if asked.step:
        yield 1.0, asked.step
    if asked.figures:
        for one in {1.0, size}:
            yield one, 10.0 ** -decimals_for(about / one, asked.figures, whole=True)
    if asked.rate:
        for one in {1.0, size}:
            yield one, 10.0 ** -decimals_for(about / one, 2, whole=True)
    elif asked.reading:
        yield size, WORKSHOP_STEPS.get(unit, 0.0)
        yield 1.0, WORKSHOP_STEPS.get(asked.unit_name, 0.0)


def on_the_safe_side(asked: QuantityExercise, value: float, about: float, unit: str) -> bool:
    """Whether a number does not cross the limit that the answer is, both as shown; `unit` is the unit typed."""
    if not asked.limit:
        return True
    limit = as_shown(about, decimals_for(about, 4))  # the four figures that a sentence prints
    exact, number = Decimal(f"{about:.10g}"), Decimal(f"{value:.10g}")  # more digits may say it more exactly
    slack = abs(number) * CONVERTED if unit != asked.unit_name else Decimal(0)
    return number - slack <= max(limit, exact) if asked.limit == "at most" else number + slack >= min(limit, exact)


def _rounded(asked: QuantityExercise, value: float, about: float, step: float) -> bool:
    """Whether `value` is `about` rounded to the step: to the nearest, up too for a half width, inward for a limit."""
    steps = value / step
    if abs(steps - round(steps)) > 1e-6:
        return False
    away = abs(value - about) / step
    whole_step = bool(asked.limit) or (asked.half_width and value > about)  # how far off: people round it up
    return away < 1 - 1e-6 if whole_step else away <= 0.5 + 1e-6


def forms(asked: QuantityExercise, value: float) -> list[float]:
    """A number as people give it, in the unit asked: in full, in the figures it deserves, as a workshop reads it."""
    if not value or not math.isfinite(value):
        return [value]
    steps = {step for one, step in ways_to_round(asked, value, 1.0, asked.unit_name) if one == 1.0 and step > 0}
    found = [value, *(inward(asked, value, step) for step in steps)]
    return [*found, *(math.ceil(value / step - 1e-6) * step for step in steps)] if asked.half_width else found


def inward(asked: QuantityExercise, value: float, step: float) -> float:
    """A number rounded to a step: to the nearest, or inward where the answer is a limit."""
    steps = value / step
    if asked.limit and abs(steps - round(steps)) > 1e-6:
        return (math.floor(steps) if asked.limit == "at most" else math.ceil(steps)) * step
    return float(as_shown(steps, 0)) * step


_PLUS_MINUS = re.compile(r"^\s*(?:±|\+\s*/?\s*[-\u2212\u2013])\s*(?=[\d.,])")
"""The sign of a half width: ±, +/- or +-."""


def read(asked: QuantityExercise, typed: str, right: float, preferences: Preferences) -> tuple[Quantity, str]:
    """A quantity as typed, and how it was read where that is worth a sentence.

    Both decimal marks are read whatever the preference: where `9.997` could be thousands as well, the reading nearer
    to the right answer is taken. A factor of a thousand is no mistake of this trade. A bare number is read in the unit
    that the question's own words name, where they do.
    """
    at_most = asked.limit == "at most" or asked.half_width
    typed, left_out = without_about(typed, at_most=at_most, at_least=asked.limit == "at least")
    if asked.half_width:
        typed = _PLUS_MINUS.sub("", typed)
    quantity, how = _in_its_unit(asked, typed, right, preferences)
    if left_out:
        shown = f"{float(quantity.magnitude):.12g} {unit_label(quantity.units)}".strip().replace(".", preferences.mark)
        how = f"{how} Read as {shown}, without '{left_out}'.".strip()
    return quantity, how


def _in_its_unit(asked: QuantityExercise, typed: str, right: float, preferences: Preferences) -> tuple[Quantity, str]:
    """The same of a number that may stand alone, where the question names the unit."""
    if asked.names_its_unit and is_bare(typed):
        unit = unit_label(Q(1, asked.unit).units)
        quantity, how = _read(asked, f"{typed.strip()} {unit}", right, preferences)
        shown = preferences.localise(f"{float(quantity.magnitude):.12g}")
        return quantity, f"{how.removesuffix('.')} {unit}." if how else f"Read as {shown} {unit}."
    return _read(asked, typed, right, preferences)


def is_bare(typed: str) -> bool:
    """Whether a number was typed and nothing behind it.

    >>> is_bare("12,5"), is_bare("90 %"), is_bare("1:30"), is_bare("")
    (True, False, False, False)
    """
    for decimal in ("point", "comma"):
        with contextlib.suppress(ValueError):
            read_quantity(typed, "number", decimal)
            return True
    return False


def _read(asked: QuantityExercise, typed: str, right: float, preferences: Preferences) -> tuple[Quantity, str]:
    """The same of a quantity with its unit."""
    found: list[tuple[float, Quantity, str | None]] = []
    refused: ValueError | None = None
    for decimal in dict.fromkeys((preferences.decimal, "point", "comma")):
        try:
            quantity = read_quantity(typed, asked.kind, decimal)
        except ValueError as error:
            refused = refused or error
            continue
        value = float(quantity.to(asked.unit_name).magnitude)
        away = abs(math.log(value / right)) if value * right > 0 else math.inf
        if not found or away < found[0][0] - 1:
            found = [(away, quantity, decimal)]
    if not found:
        raise ValueError(_in_the_units_asked(asked, str(refused)))
    _, quantity, decimal = found[0]
    if decimal == preferences.decimal:
        return quantity, how_read(typed, preferences.decimal)
    number = re.match(r"[-+ ]*[0-9.,' ]*", typed.strip())
    shown = f"{float(quantity.magnitude):.12g}".replace(".", preferences.mark)
    return quantity, f"{number.group(0).strip() if number else typed} was read as {shown}."


DEPTHS = {"msw": "m", "fsw": "ft"}
"""A pressure written as a depth -> the unit of that depth."""


def _in_the_units_asked(asked: QuantityExercise, refusal: str) -> str:
    """A refusal whose example has the question's unit, and no number that might be taken for its answer."""
    if refusal.startswith("A number needs its unit"):
        return f"A number needs its unit. Type the unit behind it, for example {unit_label(Q(1, asked.unit).units)}."
    wanted = unit_label(Q(1, asked.unit).units)
    if asked.kind == "length" and (found := re.match(r"(msw|fsw)\b.* is a unit of pressure", refusal)):
        return f"A depth is asked here, as a length. Type {DEPTHS[found[1]]} in the place of {found[1]}."
    refusal = re.sub(r"type bars or bars(?=[ag]\.$)", "type bar or bar", refusal)  # nobody writes barsg
    return re.sub(r"for example -?[0-9.,]+ [^ .]+(?=\.$)", f"for example 1 {wanted}", refusal)


def decimals_for(value: float, figures: int, whole: bool = False) -> int:
    """Digits after the mark that show `figures` significant figures; `whole` lets them be negative.

    >>> decimals_for(9.997, 3), decimals_for(0.0312, 2), decimals_for(2647.0, 3, whole=True)
    (1, 3, -1)
    """
    size = int(f"{value:.{figures - 1}e}".partition("e")[2])
    return figures - 1 - size if whole else max(figures - 1 - size, 0)


def significant(typed: str) -> int:
    """Significant figures of a number as typed: those that it surely claims.

    Zeros at the end of a whole number claim nothing; a single mark before three digits may be one of thousands.

    >>> significant("0,0980 MPa"), significant("142 psi"), significant("1.5e2 psi"), significant("3700 psi")
    (3, 3, 2, 2)
    >>> significant("-0.30 bar"), significant("1 005 kPa"), significant("3,700 psi"), significant("9.50 bar")
    (2, 4, 2, 3)
    """
    match = re.match(r"[^0-9.,]*([0-9.,](?:[0-9 .,'\u00a0\u202f]*[0-9])?)", typed)
    number = match.group(1) if match else ""
    digits = re.sub(r"[^0-9]", "", number).lstrip("0")
    whole = not re.search(r"[.,]", number) or re.fullmatch(r"[1-9][0-9]{0,2}(?:[.,][0-9]{3})+", number)
    return len((digits.rstrip("0") or digits[:1]) if whole else digits)
