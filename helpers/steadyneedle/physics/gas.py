"""Air: density at cylinder pressure, flow through a hole, leak units, cold after throttling. SI, absolute pressures."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.foundation import datasets
from steadyneedle.physics.si import BAR, above_zero, not_below_zero

if TYPE_CHECKING:
    from scipy.interpolate import RegularGridInterpolator

GAS_CONSTANT_AIR = 287.05
"""J/(kg K)"""

REFERENCE_TEMPERATURE = 293.15
"""K, the temperature at which a cylinder's content is quoted here."""

REFERENCE_PRESSURE = 101325.0
"""Pa, the pressure at which a cylinder's content is quoted here."""


HEAT_CAPACITY_RATIO_AIR = 1.4
"""-"""

HEAT_CAPACITY_AIR = GAS_CONSTANT_AIR * HEAT_CAPACITY_RATIO_AIR / (HEAT_CAPACITY_RATIO_AIR - 1.0)
"""J/(kg K), at constant pressure."""


@cache
def _table(name: str, column: str) -> RegularGridInterpolator:
    """A dataset over temperature and pressure, straight between its points."""
    from scipy.interpolate import RegularGridInterpolator  # slow to import: only who asks about real air waits for it

    columns = datasets.table(name, ("temperature_K", "pressure_bar", column))
    temperatures = np.unique(columns["temperature_K"])
    pressures = np.unique(columns["pressure_bar"]) * BAR
    values = np.asarray(columns[column]).reshape(temperatures.size, pressures.size)
    return RegularGridInterpolator((temperatures, pressures), values)


def _between(table: RegularGridInterpolator, pressure: ArrayLike, temperature: ArrayLike) -> np.ndarray:
    """Value of a table between its points; arrays broadcast."""
    temperatures, pressures = table.grid
    p, t = np.broadcast_arrays(np.asarray(pressure, float), np.asarray(temperature, float))
    # looked at here, because scipy lets NaN through and names a dimension where we can name the argument
    if not np.all((p >= pressures[0]) & (p <= pressures[-1])):
        raise ValueError("pressure must lie between 0 and 40 MPa absolute, in pascal.")
    if not np.all((t >= temperatures[0]) & (t <= temperatures[-1])):
        raise ValueError(f"temperature must lie between {temperatures[0]:g} and {temperatures[-1]:g} K.")
    return np.asarray(table(np.stack((t, p), axis=-1))).reshape(p.shape)


def real_gas_factor(pressure: ArrayLike, temperature: ArrayLike = REFERENCE_TEMPERATURE) -> np.ndarray:
    """Real-gas factor Z = p/(rho R T) of dry air, between the points of a table.

    Parameters
    ----------
    pressure : float or array
        Absolute pressure [Pa], 0 to 40 MPa.
    temperature : float or array
        Temperature [K], 240 to 360; shapes broadcast.

    Returns
    -------
    numpy.ndarray
        Z [-], of the broadcast shape. Within 0.0004 of the equation of state.

    Raises
    ------
    ValueError
        Outside the table, or NaN.

    References
    ----------
    Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. Data 29 (2000) 331, through CoolProp.

    Examples
    --------
    >>> print(round(float(real_gas_factor(200e5, 300.0)), 3))
    1.032
    """
    return _between(_table("air_real_gas_factor", "factor"), pressure, temperature)


def density(pressure: ArrayLike, temperature: ArrayLike = REFERENCE_TEMPERATURE) -> np.ndarray:
    """Density of dry air, rho = p/(Z R T).

    Parameters
    ----------
    pressure : float or array
        Absolute pressure [Pa], 0 to 40 MPa.
    temperature : float or array
        Temperature [K], 240 to 360; shapes broadcast.

    Returns
    -------
    numpy.ndarray
        Density [kg/m3], of the broadcast shape.

    Raises
    ------
    ValueError
        Outside the table of `real_gas_factor`, or NaN.

    References
    ----------
    As `real_gas_factor`.

    Examples
    --------
    >>> print(round(float(density(101325.0)), 3))
    1.205
    """
    p, t = np.asarray(pressure, float), np.asarray(temperature, float)
    return p / (real_gas_factor(p, t) * GAS_CONSTANT_AIR * t)


def cylinder_content(
    water_volume: ArrayLike, pressure: ArrayLike, temperature: ArrayLike = REFERENCE_TEMPERATURE
) -> np.ndarray:
    """Volume the air of a cylinder fills once let out to 101325 Pa and 293.15 K.

    Parameters
    ----------
    water_volume : float or array
        Inside volume of the cylinder [m3], not below 0.
    pressure : float or array
        Absolute pressure in it [Pa], 0 to 40 MPa.
    temperature : float or array
        Temperature of the cylinder [K], 240 to 360; shapes broadcast.

    Returns
    -------
    numpy.ndarray
        Free-air volume [m3] of all the air inside, the part that stays at ambient pressure included.

    Raises
    ------
    ValueError
        A negative volume, a state outside the table of `real_gas_factor`, or NaN.

    References
    ----------
    Conservation of mass; density as `density`.

    Examples
    --------
    >>> print(round(float(cylinder_content(0.010, 201.013e5)), 3))
    1.932
    """
    volume = np.asarray(water_volume, float)
    if not np.all(volume >= 0):
        raise ValueError("water_volume must not be below 0 m3.")
    return volume * density(pressure, temperature) / density(REFERENCE_PRESSURE)


def ideal_content(
    water_volume: ArrayLike, pressure: ArrayLike, temperature: ArrayLike = REFERENCE_TEMPERATURE
) -> np.ndarray:
    """The same for an ideal gas, V p T0/(p0 T). Wrong at high pressure.

    Parameters
    ----------
    water_volume : float or array
        Inside volume of the cylinder [m3], not below 0.
    pressure : float or array
        Absolute pressure in it [Pa], not below 0.
    temperature : float or array
        Temperature of the cylinder [K], above 0; shapes broadcast.

    Returns
    -------
    numpy.ndarray
        Free-air volume [m3] an ideal gas would fill at 101325 Pa and 293.15 K.

    Raises
    ------
    ValueError
        A negative volume or pressure, a temperature not above 0, or NaN.

    References
    ----------
    The ideal-gas law.

    Examples
    --------
    >>> print(round(float(ideal_content(0.010, 201.013e5)), 3))
    1.984
    """
    volume, p, t = (np.asarray(value, float) for value in (water_volume, pressure, temperature))
    if not (np.all(volume >= 0) and np.all(p >= 0) and np.all(t > 0)):
        raise ValueError("water_volume and pressure must not be below 0, temperature must be above 0 K.")
    return volume * (p / REFERENCE_PRESSURE) * (REFERENCE_TEMPERATURE / t)


def critical_ratio(heat_capacity_ratio: ArrayLike = HEAT_CAPACITY_RATIO_AIR) -> np.ndarray:
    """Downstream over upstream pressure at or below which a hole is choked, (2/(k + 1))^(k/(k - 1)).

    Parameters
    ----------
    heat_capacity_ratio : float or array
        Ratio of heat capacities k [-], above 1.

    Returns
    -------
    numpy.ndarray
        Critical pressure ratio [-].

    Raises
    ------
    ValueError
        A ratio not above 1, infinite, or NaN.

    References
    ----------
    Isentropic flow of an ideal gas; Aeronautical Engineer's Data Book, Table A4.1: 0.5283 for k = 1.4.

    Examples
    --------
    >>> print(round(float(critical_ratio()), 4))
    0.5283
    """
    k = np.asarray(heat_capacity_ratio, float)
    if not np.all((k > 1) & np.isfinite(k)):
        raise ValueError("heat_capacity_ratio must be above 1.")
    return (2 / (k + 1)) ** (k / (k - 1))


def mass_flow(
    area: ArrayLike,
    upstream: ArrayLike,
    downstream: ArrayLike,
    temperature: ArrayLike,
    discharge_coefficient: ArrayLike = 1.0,
    heat_capacity_ratio: ArrayLike = HEAT_CAPACITY_RATIO_AIR,
    gas_constant: ArrayLike = GAS_CONSTANT_AIR,
) -> np.ndarray:
    """Mass flow of an ideal gas through a hole, choked or subsonic; the two meet continuously.

    Choked: Cd A p sqrt(k/(R T)) (2/(k + 1))^((k + 1)/(2 (k - 1))), for air 0.0404 Cd A p/sqrt(T).
    Real air at 200 bar passes some 7 % more.

    Parameters
    ----------
    area : float or array
        Area of the hole [m2], not below 0.
    upstream, downstream : float or array
        Absolute pressures [Pa], not below 0. With downstream above upstream the flow is negative.
    temperature : float or array
        Stagnation temperature of the gas that flows [K], above 0.
    discharge_coefficient : float or array
        Cd [-], 0 to 1.
    heat_capacity_ratio : float or array
        k [-], above 1.
    gas_constant : float or array
        Specific gas constant R [J/(kg K)], above 0.

    Returns
    -------
    numpy.ndarray
        Mass flow [kg/s], of the broadcast shape.

    Raises
    ------
    ValueError
        Any of them outside its range, infinite, or NaN.

    References
    ----------
    Balmer, Modern Engineering Thermodynamics, Examples 16.8 and 16.12; Moran and Shapiro, Example 9.14.

    Examples
    --------
    >>> print(round(float(mass_flow(3.1416e-4, 7.0e6, 1e5, 2273.0)), 2))
    1.86
    """
    a, p1, p2 = not_below_zero(area=area, upstream=upstream, downstream=downstream)
    t, r_gas = above_zero(temperature=temperature, gas_constant=gas_constant)
    k, critical = np.asarray(heat_capacity_ratio, float), critical_ratio(heat_capacity_ratio)
    cd = np.asarray(discharge_coefficient, float)
    if not np.all((cd >= 0) & (cd <= 1)):
        raise ValueError("discharge_coefficient must lie between 0 and 1.")
    high, low = np.maximum(p1, p2), np.minimum(p1, p2)
    full = np.where(high > 0, high, 1.0)
    # log1p and expm1, because 1 - ratio^x loses its digits where the pressures are nearly equal
    fall = np.where(high > 0, np.log1p(np.maximum((low - high) / full, critical - 1)), 0.0)  # log of the pressure ratio
    speed = np.exp(2 * fall / k) * -np.expm1(fall * (k - 1) / k)  # at the critical ratio: choked
    return np.sign(p1 - p2) * cd * a * high * np.sqrt(2 * k / ((k - 1) * r_gas * t) * speed)


def throttled_temperature(upstream: ArrayLike, downstream: ArrayLike, temperature: ArrayLike) -> np.ndarray:
    """Temperature of real dry air after throttling without heat from outside: enthalpy stays.

    Parameters
    ----------
    upstream, downstream : float or array
        Absolute pressures [Pa], 0 to 40 MPa.
    temperature : float or array
        Temperature upstream [K], 240 to 360; shapes broadcast.

    Returns
    -------
    numpy.ndarray
        Temperature downstream [K]. Within 0.05 K of the equation of state.

    Raises
    ------
    ValueError
        Outside the ranges, or NaN.

    References
    ----------
    Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. Data 29 (2000) 331, through CoolProp.

    Examples
    --------
    >>> print(round(293.15 - float(throttled_temperature(200e5, 10e5, 293.15)), 0))
    33.0
    """
    table = _table("air_enthalpy", "enthalpy_kJ_per_kg")
    temperatures = table.grid[0]
    p1, p2, t1 = np.broadcast_arrays(*(np.asarray(value, float) for value in (upstream, downstream, temperature)))
    if not np.all((t1 >= 240) & (t1 <= 360)):
        raise ValueError("temperature must lie between 240 and 360 K.")
    before = _between(table, p1, t1)
    after = _between(table, p2[..., np.newaxis], temperatures)  # enthalpy at every temperature of the table
    # enthalpy rises with temperature at every pressure, so it can be looked up backwards
    rows = after.reshape(-1, temperatures.size)
    found = [np.interp(h, row, temperatures) for h, row in zip(before.ravel(), rows, strict=True)]
    return np.reshape(found, before.shape)
