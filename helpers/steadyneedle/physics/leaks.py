"""What a leak is worth: as gas, as a hole, as a rise of pressure. SI, absolute pressures."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.physics import gas
from steadyneedle.physics.si import above_zero, not_below_zero

NORMAL_TEMPERATURE = 273.15
"""K, the reference of a standard cubic centimetre in leak testing (0 C, 101325 Pa)."""

SOAP_SHOWS = 2e-8
"""kg/s, about 1 standard cm3/min: the least leak that makes bubbles in soapy water (from memory)."""


def standard_flow(
    mass_flow: ArrayLike,
    temperature: ArrayLike = NORMAL_TEMPERATURE,
    pressure: ArrayLike = gas.REFERENCE_PRESSURE,
) -> np.ndarray:
    """Volume a mass flow of air fills each second at a stated reference, m R T/p.

    Parameters
    ----------
    mass_flow : float or array
        Mass flow [kg/s], either sign.
    temperature : float or array
        Reference temperature [K], above 0. The default, 0 C, is that of a standard cubic centimetre.
    pressure : float or array
        Reference pressure [Pa], absolute, above 0.

    Returns
    -------
    numpy.ndarray
        Volume flow at the reference [m3/s].

    Raises
    ------
    ValueError
        A reference not above 0, or NaN.

    References
    ----------
    The ideal-gas law; standard cubic centimetre: 0 C and 101.325 kPa, NIST-based converter, see tests/outside.

    Examples
    --------
    >>> print(round(float(standard_flow(1e-6)) * 6e7, 1), "standard cm3/min")
    46.4 standard cm3/min
    """
    t, p = above_zero(temperature=temperature, pressure=pressure)
    return np.asarray(mass_flow, float) * gas.GAS_CONSTANT_AIR * t / p


def throughput(mass_flow: ArrayLike, temperature: ArrayLike = gas.REFERENCE_TEMPERATURE) -> np.ndarray:
    """Leak rate as pressure times volume each second, m R T. 1 Pa m3/s is 10 mbar L/s.

    Parameters
    ----------
    mass_flow : float or array
        Mass flow [kg/s], either sign.
    temperature : float or array
        Temperature at which the rate is quoted [K], above 0.

    Returns
    -------
    numpy.ndarray
        Leak rate [Pa m3/s].

    Raises
    ------
    ValueError
        A temperature not above 0, or NaN.

    References
    ----------
    The ideal-gas law; definition of the leak rate, see tests/outside.

    Examples
    --------
    >>> print(round(float(throughput(1e-6)) * 10, 2), "mbar L/s")
    0.84 mbar L/s
    """
    (t,) = above_zero(temperature=temperature)
    return np.asarray(mass_flow, float) * gas.GAS_CONSTANT_AIR * t


def pressure_rise(
    mass_flow: ArrayLike, volume: ArrayLike, temperature: ArrayLike = gas.REFERENCE_TEMPERATURE
) -> np.ndarray:
    """How fast the pressure in a closed volume rises when gas enters and nothing warms, m R T/V.

    Parameters
    ----------
    mass_flow : float or array
        Mass flow in [kg/s]; out is negative.
    volume : float or array
        Closed volume [m3], above 0.
    temperature : float or array
        Temperature of the gas [K], above 0.

    Returns
    -------
    numpy.ndarray
        Rise of pressure [Pa/s].

    Raises
    ------
    ValueError
        A volume or temperature not above 0, or NaN.

    References
    ----------
    The ideal-gas law.

    Examples
    --------
    >>> hole = 3.1416 / 4 * 1.6e-6**2
    >>> flow = gas.mass_flow(hole, 201e5, 11e5, 293.15)
    >>> print(round(float(pressure_rise(flow, 100e-6)) * 60 / 1e5, 2), "bar/min")
    0.05 bar/min
    """
    v, t = above_zero(volume=volume, temperature=temperature)
    return np.asarray(mass_flow, float) * gas.GAS_CONSTANT_AIR * t / v


def hole_area(diameter: ArrayLike) -> np.ndarray:
    """Area of a round hole.

    Parameters
    ----------
    diameter : float or array
        Diameter [m], not below 0.

    Returns
    -------
    numpy.ndarray
        Area [m2].

    Raises
    ------
    ValueError
        A diameter below 0, or NaN.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> print(f"{float(hole_area(2e-6)):.3g}")
    3.14e-12
    """
    (d,) = not_below_zero(diameter=diameter)
    return np.pi / 4 * d**2


def equivalent_diameter(
    mass_flow: ArrayLike,
    upstream: ArrayLike,
    downstream: ArrayLike,
    temperature: ArrayLike = gas.REFERENCE_TEMPERATURE,
    discharge_coefficient: ArrayLike = 1.0,
) -> np.ndarray:
    """Diameter of the one round hole that would pass a given flow.

    Parameters
    ----------
    mass_flow : float or array
        Mass flow [kg/s], not below 0.
    upstream, downstream : float or array
        Absolute pressures [Pa], upstream above downstream.
    temperature : float or array
        Temperature of the gas that flows [K], above 0.
    discharge_coefficient : float or array
        Cd [-], above 0 to 1.

    Returns
    -------
    numpy.ndarray
        Diameter [m].

    Raises
    ------
    ValueError
        A negative flow, upstream not above downstream, or what `gas.mass_flow` refuses.

    References
    ----------
    As `gas.mass_flow`.

    Examples
    --------
    >>> print(round(float(equivalent_diameter(1e-7, 201e5, 11e5)) * 1e6, 1), "micrometres")
    1.6 micrometres
    """
    # flow goes with area, so that one square metre gives the factor
    each = gas.mass_flow(1.0, upstream, downstream, temperature, discharge_coefficient)
    (flow,) = not_below_zero(mass_flow=mass_flow)
    if not np.all(each > 0):
        raise ValueError("upstream must be above downstream.")
    return np.sqrt(4 / np.pi * flow / each)
