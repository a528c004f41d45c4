"""The door to units: the one registry, typed quantities, gauge and absolute pressure.

Gauge or absolute never lives in a unit: it lives in the question and in the name of the argument.
"""

from __future__ import annotations

from steadyneedle.bench.units.formatting import format_number, formatted, label
from steadyneedle.bench.units.registry import Q, Quantity, registry, require
from steadyneedle.bench.units.typed import KINDS, how_read, read_quantity

__all__ = [
    "KINDS",
    "Q",
    "Quantity",
    "absolute_to_gauge",
    "format_number",
    "formatted",
    "gauge_to_absolute",
    "how_read",
    "label",
    "read_quantity",
    "registry",
    "require",
]


def gauge_to_absolute(gauge: Quantity, ambient: Quantity) -> Quantity:
    """Absolute pressure: gauge plus ambient.

    Parameters
    ----------
    gauge : pint.Quantity
        Gauge pressure, scalar.
    ambient : pint.Quantity
        Absolute ambient pressure, scalar, not below 0.

    Returns
    -------
    pint.Quantity
        Absolute pressure in the unit of `gauge`.

    Raises
    ------
    ValueError
        A bare number, another dimension, a negative ambient, a result below 0.

    References
    ----------
    Definition of gauge pressure, NIST SP 811 section 8.4 (from memory).

    Examples
    --------
    >>> print(gauge_to_absolute(Q(10, "bar"), Q(1013.25, "mbar")))
    11.01325 bar
    """
    surrounding = _ambient(ambient)
    absolute = require("gauge", gauge, "Pa") + surrounding
    if absolute < 0:
        raise ValueError(
            f"{formatted(gauge)} gauge lies below a perfect vacuum at {formatted(ambient)} ambient. Check both numbers."
        )
    return registry.Quantity(gauge.magnitude + Q(surrounding, "Pa").to(gauge.units).magnitude, gauge.units)


def absolute_to_gauge(absolute: Quantity, ambient: Quantity) -> Quantity:
    """Gauge pressure: absolute less ambient.

    Parameters
    ----------
    absolute : pint.Quantity
        Absolute pressure, scalar, not below 0.
    ambient : pint.Quantity
        Absolute ambient pressure, scalar, not below 0.

    Returns
    -------
    pint.Quantity
        Gauge pressure in the unit of `absolute`.

    Raises
    ------
    ValueError
        A bare number, another dimension, a negative absolute or ambient pressure.

    References
    ----------
    Definition of gauge pressure, NIST SP 811 section 8.4 (from memory).

    Examples
    --------
    >>> print(absolute_to_gauge(Q(11, "bar"), Q(1, "bar")))
    10.0 bar
    """
    surrounding = _ambient(ambient)
    if require("absolute", absolute, "Pa") < 0:
        raise ValueError(f"absolute is {formatted(absolute)}: an absolute pressure is never below 0.")
    return registry.Quantity(absolute.magnitude - Q(surrounding, "Pa").to(absolute.units).magnitude, absolute.units)


def _ambient(ambient: Quantity) -> float:
    surrounding = require("ambient", ambient, "Pa")
    if surrounding < 0:
        raise ValueError(f"ambient is {formatted(ambient)}: the ambient pressure is absolute and never below 0.")
    return surrounding
