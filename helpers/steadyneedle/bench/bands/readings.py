"""Reading a needle: what a mark, half a mark or a fifth of one makes of it; several people's readings."""

from __future__ import annotations

import math
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
    """Readings typed in a row: `10,1 10,0 10,2` or `10.1; 10.0; 10.2`.

    Parameters
    ----------
    text : str
        Numbers without unit, between spaces or semicolons; at most 60.
    unit : str
        Their unit, a pressure.
    decimal : "comma", "point" or None
        The reader's decimal mark.

    Returns
    -------
    list of pint.Quantity
        Empty where nothing is typed.

    Raises
    ------
    ValueError
        Something that is not a number, or too many.

    Examples
    --------
    >>> [str(one) for one in read_row("10,1 10.0; 9,9", "bar")]
    ['10.1 bar', '10.0 bar', '9.9 bar']
    """
    # a comma between numbers cannot be told from a decimal comma, so blanks and semicolons divide
    words = text.replace(";", " ").replace(unit, " ").split()
    if len(words) > 60:
        raise ValueError("That is more than 60 readings. Type at most 60, with a space between them.")
    return [read_quantity(f"{word.rstrip(',')} {unit}", "gauge pressure", decimal) for word in words]
