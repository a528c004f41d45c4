"""The one unit registry of the workbook."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

import pint
from pint import Quantity

from steadyneedle.bench.units.spellings import DEFINITIONS, SPELLINGS

if TYPE_CHECKING:
    import numpy as np
    from pint.facets.plain import PlainUnit


def _make_registry() -> pint.UnitRegistry:
    # a cache of pint's definitions saves a third of the time that importing it and this take
    try:
        made: pint.UnitRegistry = pint.UnitRegistry(cache_folder=":auto:")
    except OSError:  # no folder of one's own to keep a cache in
        made = pint.UnitRegistry()
    for definition in DEFINITIONS:
        made.define(definition)
    return made


registry = _make_registry()
pint.set_application_registry(registry)  # quantities of two registries refuse to meet: one unpickled must find ours


def Q(value: float | np.ndarray, unit: str) -> Quantity:  # noqa: N802
    """A quantity in the workbook's registry.

    Parameters
    ----------
    value : float or array
        Any finite number, any shape.
    unit : str
        A trade spelling such as "kgf/cm2" or "inH2O", or a unit of pint. Written in code, never typed by a learner.

    Returns
    -------
    pint.Quantity
        Of the shape of `value`, in `unit`.

    Raises
    ------
    ValueError
        Nobody knows the unit.

    References
    ----------
    NIST SP 811 Appendix B.9 for the factors, through pint.

    Examples
    --------
    >>> round(Q(10, "bar").to("psi").magnitude, 1)
    145.0
    """
    return registry.Quantity(value, _unit(unit))


@cache  # parsing a name costs more than all the arithmetic behind it
def _unit(text: str) -> PlainUnit:
    for spellings in SPELLINGS.values():
        if text in spellings:
            return registry.Unit(spellings[text])
    try:
        return registry.Unit(text)
    except Exception as error:  # pint raises a different class for each way a name can be wrong
        raise ValueError(f"Unknown unit '{text}'.") from error


def require(name: str, quantity: Quantity, unit: str, finite: bool = True) -> float:
    """Magnitude of a scalar quantity in `unit`: the door through which quantities go to plain numbers.

    Parameters
    ----------
    name : str
        Name of the argument, for the sentence.
    quantity : pint.Quantity
        Scalar, any unit of the dimension of `unit`.
    unit : str
        Unit wanted.
    finite : bool
        Whether infinity is refused. NaN always is.

    Returns
    -------
    float
        Magnitude in `unit`.

    Raises
    ------
    ValueError
        A bare number, another dimension, NaN, infinity: named with what is needed and what came.

    Examples
    --------
    >>> require("supply", Q(3, "MPa"), "bar")
    30.0
    """
    if not isinstance(quantity, Quantity):
        raise ValueError(f"{name} needs a quantity with a unit such as Q(9.8, '{unit}'), not the bare {quantity!r}.")
    try:
        magnitude = float(quantity.to(_unit(unit)).magnitude)
    except (pint.DimensionalityError, pint.OffsetUnitCalculusError) as error:
        raise ValueError(f"{name} is in {quantity.units:~}; it needs a unit such as {unit}.") from error
    if math.isnan(magnitude) or (finite and math.isinf(magnitude)):
        raise ValueError(f"{name} is {magnitude}; it must be a finite number.")
    return magnitude
