"""Reading a needle: what a mark, half a mark or a fifth of one makes of it; several people's readings."""

from __future__ import annotations

import math
import re
import statistics
from dataclasses import dataclass

from steadyneedle.bench.units import Q, Quantity, read_quantity, require


def read_to(pressure: Quantity, division: Quantity, parts: int) -> Quantity:
    """A needle read to a part of a division.

    Parameters
    ----------
    pressure : pint.Quantity
        What the needle shows.
    division : pint.Quantity
        From one mark to the next, above 0.
    parts : int
        Parts into which the reader divides it by eye: 1 the nearest mark, 2 half, 5 a fifth.

    Returns
    -------
    pint.Quantity
        The reading, in the unit of `pressure`.

    Raises
    ------
    ValueError
        A bare number, another dimension, a division or parts not above 0.

    References
    ----------
    Reading to a fifth of a division at best is common practice, no source.

    Examples
    --------
    >>> print(read_to(Q(9.77, "bar"), Q(0.5, "bar"), 2))
    9.75 bar
    """
    unit = str(getattr(pressure, "units", "bar"))
    value, step = require("pressure", pressure, unit), require("division", division, unit) / max(parts, 1)
    if step <= 0 or parts < 1:
        raise ValueError("division and parts must be above 0.")
    # halves go up, where round() alone would send every other one down; then the last bits of the steps come off
    return Q(round(math.floor(value / step + 0.5) * step, 9), unit)


@dataclass(frozen=True)
class Scatter:
    """Several readings of one needle: their mean, scatter and the standard uncertainty of the mean."""

    count: int
    mean: Quantity
    standard_deviation: Quantity
    standard_error: Quantity


def scatter(readings: list[Quantity]) -> Scatter:
    """Mean and scatter of readings of one needle.

    Parameters
    ----------
    readings : list of pint.Quantity
        At least two, of one dimension.

    Returns
    -------
    Scatter
        In the unit of the first reading.

    Raises
    ------
    ValueError
        Fewer than two readings, a bare number, another dimension.

    References
    ----------
    GUM (JCGM 100:2008) sections 4.2.1 to 4.2.3.

    Examples
    --------
    >>> print(round(scatter([Q(v, "bar") for v in (10.0, 10.1, 10.2)]).standard_deviation.magnitude, 3))
    0.1
    """
    if len(readings) < 2:
        raise ValueError("Scatter needs at least two readings.")
    unit = str(getattr(readings[0], "units", "bar"))
    values = [require("reading", one, unit) for one in readings]
    deviation = statistics.stdev(values)
    return Scatter(
        len(values),
        Q(statistics.fmean(values), unit),
        Q(deviation, unit),
        Q(deviation / math.sqrt(len(values)), unit),
    )


def read_row(text: str, unit: str, decimal: str | None = None) -> list[Quantity]:
    """Readings typed in a row: `10,1 10,0 10,2`, `10.1; 10.0; 10.2` or `140 psi, 141 psi, 139 psi`.

    Parameters
    ----------
    text : str
        Numbers between spaces, semicolons or a comma and a space; at most 60. One unit typed holds for all of them.
    unit : str
        The unit of numbers without one, a pressure.
    decimal : "comma", "point" or None
        The reader's decimal mark.

    Returns
    -------
    list of pint.Quantity
        In `unit`; empty where nothing is typed.

    Raises
    ------
    ValueError
        Something that is not a number, too many, or numbers without a unit beside two units.

    Examples
    --------
    >>> [str(one) for one in read_row("10,1 10.0; 9,9", "bar")]
    ['10.1 bar', '10.0 bar', '9.9 bar']
    >>> [f"{one:.2f}" for one in read_row("140 psi, 145", "bar")]
    ['9.65 bar', '10.00 bar']
    """
    pairs = _numbers_and_units(text)
    if len(pairs) > 60:
        raise ValueError("That is more than 60 readings. Type at most 60, with a space between them.")
    units = {own for _, own in pairs if own}
    if len(units) > 1 and not all(own for _, own in pairs):
        raise ValueError("There are two units in it, and a number without one. Type each number with its unit.")
    common = next(iter(units), unit)
    found = [read_quantity(f"{number} {own or common}", "gauge pressure", decimal) for number, own in pairs]
    # what is in the unit already keeps its digits
    return [one if str(one.units) == unit else Q(one.to(unit).magnitude, unit) for one in found]


def _numbers_and_units(text: str) -> list[tuple[str, str]]:
    """Each number of a row, and the unit beside it, or nothing; a word that is neither stands as a number."""
    pairs: list[tuple[str, str]] = []
    # a comma between numbers cannot be told from a decimal comma: one divides only where a blank follows
    words = [one.rstrip(",") for one in text.replace(";", " ").split()]
    for word in filter(None, words):
        if _is_unit(word) and pairs and not pairs[-1][1]:
            pairs[-1] = (pairs[-1][0], word)
            continue
        number = re.match(r"[^A-Za-z]*", word)
        digits = number.group() if number else ""
        own = word[len(digits) :]
        pairs.append((digits, own) if digits and _is_unit(own) else (word, ""))
    return pairs


def _is_unit(word: str) -> bool:
    try:
        read_quantity(f"1 {word}", "gauge pressure")
    except ValueError:
        return False
    return word[:1].isalpha()
