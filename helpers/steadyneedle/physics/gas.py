"""Air at cylinder pressure: real-gas factor, density, what a cylinder holds. SI, absolute pressures."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.foundation import datasets

GAS_CONSTANT_AIR = 287.05
"""J/(kg K)"""

REFERENCE_TEMPERATURE = 293.15
"""K, the temperature at which a cylinder's content is quoted here."""

REFERENCE_PRESSURE = 101325.0
"""Pa, the pressure at which a cylinder's content is quoted here."""


@cache
def _factor_table() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    columns = datasets.table("air_real_gas_factor", ("temperature_K", "pressure_bar", "factor"))
    temperatures = np.unique(columns["temperature_K"])
    pressures = np.unique(columns["pressure_bar"]) * 1e5
    factors = np.asarray(columns["factor"]).reshape(temperatures.size, pressures.size)
    return temperatures, pressures, factors


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

    Source: Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. Data 29 (2000) 331, through CoolProp.

    Examples
    --------
    >>> print(round(float(real_gas_factor(200e5, 300.0)), 3))
    1.032
    """
    temperatures, pressures, factors = _factor_table()
    p, t = np.broadcast_arrays(np.asarray(pressure, float), np.asarray(temperature, float))
    if not np.all((p >= pressures[0]) & (p <= pressures[-1])):
        raise ValueError("pressure must lie between 0 and 40 MPa absolute, in pascal.")
    if not np.all((t >= temperatures[0]) & (t <= temperatures[-1])):
        raise ValueError("temperature must lie between 240 and 360 K.")
    row = np.clip(np.searchsorted(temperatures, t, side="right") - 1, 0, temperatures.size - 2)
    column = np.clip(np.searchsorted(pressures, p, side="right") - 1, 0, pressures.size - 2)
    along_t = (t - temperatures[row]) / (temperatures[row + 1] - temperatures[row])
    along_p = (p - pressures[column]) / (pressures[column + 1] - pressures[column])
    low = factors[row, column] * (1 - along_p) + factors[row, column + 1] * along_p
    high = factors[row + 1, column] * (1 - along_p) + factors[row + 1, column + 1] * along_p
    return low * (1 - along_t) + high * along_t


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

    Source: as `real_gas_factor`.

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

    Source: conservation of mass; density as `density`.

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

    Source: the ideal-gas law.

    Examples
    --------
    >>> print(round(float(ideal_content(0.010, 201.013e5)), 3))
    1.984
    """
    volume, p, t = (np.asarray(value, float) for value in (water_volume, pressure, temperature))
    if not (np.all(volume >= 0) and np.all(p >= 0) and np.all(t > 0)):
        raise ValueError("water_volume and pressure must not be below 0, temperature must be above 0 K.")
    return volume * (p / REFERENCE_PRESSURE) * (REFERENCE_TEMPERATURE / t)
