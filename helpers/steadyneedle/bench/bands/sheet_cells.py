"""One row of a specification sheet: its cells as quantities, each wrong one with what was expected."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from steadyneedle.bench.bands.decision import RULES
from steadyneedle.bench.bands.sheet_columns import SheetColumn
from steadyneedle.bench.bands.specification import Band, Sheet
from steadyneedle.bench.units import Q, Quantity, formatted, label, numbers

MAY_BE_ZERO = ("allowed_rise", "droop", "cracking_low")
HIGHEST = 1000.0
"""bar; more is another unit."""

MOST_PURGES = 1000
LOOSE = 0.04
"""Of a value: how far apart the same thing may be printed in two units, as 200 bar and 3000 psi (common practice)."""

PAIRS = (
    ("ip_low", "ip_high", "more than the low limit"),
    ("cracking_low", "cracking_high", "more than the low limit"),
    ("gauge_division", "gauge_span", "more than the division"),
)
_ATTRIBUTES = {"rise": "rise_time"}
"""Column -> attribute of a `Sheet`, where the names differ: `rise_minutes` is a time."""


@dataclass(frozen=True)
class Problem:
    """A cell that cannot be used, and what was expected."""

    column: str
    text: str
    expected: str


@dataclass(frozen=True)
class Marks:
    """Which decimal marks a file shows: those for which `8.125` need not be asked back."""

    decimal: frozenset[str]

    @classmethod
    def seen(cls, between: str, columns: Sequence[SheetColumn], rows: Sequence[Sequence[str]]) -> Marks:
        """The marks of the numbers that can be read in one way only."""
        places = [at for at, column in enumerate(columns) if column.unit is not None]
        found = {"."} if between == "," else set()
        for cells in rows:
            for at in places:
                cell = cells[at] if at < len(cells) else ""
                marks = [mark for mark in ".," if cell.count(mark) == 1]
                if len(marks) == 1 and not numbers.in_two_ways(cell):
                    found.add(marks[0])
        return cls(frozenset(found))


Found = dict[str, list[tuple[Any, SheetColumn, str]]]
"""What a row holds -> value, column and text, in the order of the columns."""


def sheet_of(
    columns: Sequence[SheetColumn], cells: Sequence[str], marks: Marks, problems: list[Problem]
) -> Sheet | None:
    """The sheet of a row.

    Parameters
    ----------
    columns : sequence of SheetColumn
        The header; columns nobody knows are passed over.
    cells : sequence of str
        The row, stripped.
    marks : Marks
        The decimal marks of its file.
    problems : list of Problem
        What is wrong is put in here.

    Returns
    -------
    Sheet or None
        None where something is wrong.

    References
    ----------
    The columns are this workbook's own.

    Examples
    --------
    >>> from steadyneedle.bench.bands.sheet_columns import column_of
    >>> wrong: list[Problem] = []
    >>> sheet_of([column_of("name"), column_of("ip_low_bar")], ["Ours", "nine"], Marks(frozenset()), wrong)
    >>> wrong[0].expected
    "a number alone; its unit stands in the column's name"
    """
    found: Found = {}
    for column, text in zip(columns, cells, strict=False):
        if column.wrong or (not text and column.what != "name"):
            continue
        try:
            found.setdefault(column.what, []).append((_value(column, text, marks), column, text))
        except ValueError as error:
            problems.append(Problem(column.title, text, str(error)))
    problems += _wrong_pairs(found)
    if problems or "name" not in found:
        return None
    first = {_ATTRIBUTES.get(what, what): values[0][0] for what, values in found.items()}
    return Sheet(**first, printed_bands=_printed_bands(found), contradictions=tuple(_contradictions(found)))


def _value(column: SheetColumn, text: str, marks: Marks) -> Quantity | float | str:
    """A cell's value. The ValueError says what was expected."""
    if column.unit is None:
        return _plain_value(column.what, text, marks)
    number = _number(text, marks)
    if number < 0 or (number == 0 and column.what not in MAY_BE_ZERO):
        raise ValueError(f"a number above 0 in {label(Q(1, column.unit).units)}")
    if column.what == "gauge_class" and number > 100:
        raise ValueError("a class of at most 100 percent")
    if column.is_pressure and number * bars(column.unit) > HIGHEST:
        inside = formatted(Q(number, column.unit).to("bar"))
        raise ValueError(f"less than 1000 bar, and it is {inside}: check the column's unit")
    if not math.isfinite(number) or number > 1e9:
        raise ValueError("a number that a regulator can have")
    return Q(number, column.unit)


@cache
def bars(unit: str) -> float:
    """bar for each of a pressure's unit.

    Parameters
    ----------
    unit : str
        A unit of pressure.

    Returns
    -------
    float
        How many bar one of it is.

    References
    ----------
    As the registry.

    Examples
    --------
    >>> bars("MPa")
    10.0
    """
    return float(Q(1.0, unit).to("bar").magnitude)


def _plain_value(what: str, text: str, marks: Marks) -> float | str:
    if what == "name":
        if not text or len(text) > 60 or not text.isprintable():
            raise ValueError("the regulator's name" + (", at most 60 letters that can be seen" if text else ""))
    elif what == "purges":
        if not text.isascii() or not text.isdigit() or len(text) > 4 or int(text) > MOST_PURGES:
            raise ValueError(f"a whole number of purges, 0 or more, at most {MOST_PURGES}")
        return int(text)
    elif what == "rule":
        if text.lower() not in RULES:
            raise ValueError(f"one of {', '.join(RULES)}")
        return text.lower()
    elif what == "required_probability":
        number = _number(text, marks)
        if not 0.5 <= number <= 1:
            raise ValueError("a probability from 0.5 to 1, for example 0.95")
        return number
    return "".join(sign if sign.isprintable() else " " for sign in text)


@lru_cache(maxsize=4096)  # sheets repeat their numbers
def _number(text: str, marks: Marks) -> float:
    """A cell as a number. The ValueError says what was expected."""
    typed = ""
    with contextlib.suppress(ValueError):
        typed, rest = numbers.split(text)
        if rest:
            typed = ""
        elif not numbers.in_two_ways(typed):
            return numbers.value(typed, None)
    if not typed or not numbers.in_two_ways(typed):
        raise ValueError("a number alone; its unit stands in the column's name")
    mark = "." if "." in typed else ","
    if mark not in marks.decimal:
        raise ValueError(f"a number that can be read in one way; write {typed}0 or {typed.replace(mark, '')}")
    return float(typed.replace(mark, "."))


def _printed_bands(found: Found) -> tuple[Band, ...]:
    lows, highs = (
        {str(quantity.units): quantity for quantity, _, _ in found.get(what, [])} for what in ("ip_low", "ip_high")
    )
    return tuple(Band(low, highs[unit]) for unit, low in lows.items() if unit in highs)


def _contradictions(found: Found) -> Iterator[tuple[str, Quantity, Quantity]]:
    """What is printed in two units and differs by more than its rounding; bands are compared as a whole."""
    paired = {str(band.low.units) for band in _printed_bands(found)}
    for what, values in found.items():
        first, column, text = values[0]
        for other, _, beside in values[1:] if column.unit is not None else ():
            if what in ("ip_low", "ip_high") and {str(first.units), str(other.units)} <= paired:
                continue
            rounding = 0.5 * _last_place(text) + Q(0.5 * _last_place(beside), other.units).to(first.units).magnitude
            difference = abs(other.to(first.units).magnitude - first.magnitude)
            if difference > rounding + LOOSE * first.magnitude:
                yield what, first, other


def _last_place(text: str) -> float:
    """What one of a number's last digit is worth: 0.1 for `2.5`."""
    digits = text.strip().replace(",", ".").rpartition(".")
    return 10.0 ** -len(digits[2]) if digits[1] else 1.0


def _wrong_pairs(found: Found) -> list[Problem]:
    """High limits that are not above their low one, spans not above their division."""
    wrong = []
    for low, high, words in PAIRS:
        lows, highs = found.get(low, []), found.get(high, [])
        for small, _, _ in lows:
            # printed in two units, each limit is compared in its own: the other differs by its rounding
            own = [one for one in highs if one[0].units == small.units]
            for large, column, text in own or highs[:1]:
                if not small < large:
                    wrong.append(Problem(column.title, text, f"{words} {formatted(small)}"))
    return wrong
