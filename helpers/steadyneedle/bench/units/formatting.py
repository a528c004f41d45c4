"""How sentences write quantities: number, space, unit, in the reader's decimal mark."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from steadyneedle.bench.units.registry import Quantity, registry
from steadyneedle.bench.units.spellings import LABELS

if TYPE_CHECKING:
    from pint.facets.plain import PlainUnit


def formatted(quantity: Quantity, decimals: int | None = None, decimal: str = "point") -> str:
    """A quantity as our sentences write it: `9.8 bar`.

    Parameters
    ----------
    quantity : pint.Quantity
        Scalar.
    decimals : int or None
        Digits after the mark; None writes up to four significant figures.
    decimal : "comma" or "point"
        The reader's decimal mark.

    Returns
    -------
    str
        Number, space, unit.

    Raises
    ------
    ValueError
        `quantity` has no unit.

    References
    ----------
    SI brochure 9th edition section 5.4.3 for the space between number and unit (from memory).

    Examples
    --------
    >>> from steadyneedle.bench.units import Q
    >>> formatted(Q(9.80665, "N"), decimals=2, decimal="comma")
    '9,81 N'
    """
    if not isinstance(quantity, Quantity):
        raise ValueError(f"formatted needs a quantity with a unit, not the bare {quantity!r}.")
    return f"{format_number(quantity.magnitude, decimals, decimal)} {label(quantity.units)}".rstrip()


def format_number(number: float, decimals: int | None = None, decimal: str = "point") -> str:
    """A number as our sentences write it: a hyphen for minus, no groups of digits, the reader's decimal mark.

    Parameters
    ----------
    number : float
        Any.
    decimals : int or None
        Digits after the mark; None writes up to four significant figures.
    decimal : "comma" or "point"
        The reader's decimal mark.

    Returns
    -------
    str
        The number.

    Raises
    ------
    ValueError
        `decimals` is negative.

    Examples
    --------
    >>> format_number(1234.5), format_number(0.05), format_number(-0.0, 1), format_number(9.8, 2, "comma")
    ('1234', '0.05', '0.0', '9,80')
    """
    if decimals is not None and decimals < 0:
        raise ValueError(f"decimals is {decimals}; it must not be below 0.")
    if decimals is None:
        size = math.floor(math.log10(abs(number))) if number and math.isfinite(number) else 0
        text = f"{number:.{min(max(3 - size, 0), 8)}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        text = f"{number:.{decimals}f}"
    # -0.04 to one decimal is 0.0, not -0.0
    if text.startswith("-") and not text.strip("-0."):
        text = text[1:]
    return text.replace(".", ",") if decimal == "comma" else text


@cache
def label(unit: PlainUnit) -> str:
    """A unit as our sentences write it.

    Parameters
    ----------
    unit : pint.Unit
        A unit of the workbook's registry.

    Returns
    -------
    str
        For example `kgf/cm²`, `L/min`.

    References
    ----------
    NIST SP 811 Appendix B for the symbols.

    Examples
    --------
    >>> from steadyneedle.bench.units import Q
    >>> label(Q(1, "kgf/cm2").units), label(Q(1, "bar/min").units), label(Q(1, "L/min").units)
    ('kgf/cm²', 'bar/min', 'L/min')
    """
    known = LABELS.get(str(unit))
    if known is not None:
        return known
    # a rate of one of our own labels: pint's short form would bring its own name for the pressure back
    top, slash, bottom = str(unit).partition(" / ")
    if slash and top in LABELS:
        return f"{LABELS[top]}/{registry.Unit(bottom):~P}"
    return f"{unit:~P}".replace("l/min", "L/min")  # a small l looks like a one
