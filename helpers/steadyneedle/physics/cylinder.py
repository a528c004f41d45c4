"""What stands behind the cylinder valve: a supply that never falls, or a cylinder that empties. SI, absolute."""

from __future__ import annotations

from functools import cache

import numpy as np

from steadyneedle.physics import gas
from steadyneedle.physics.plain import ROOM, R
from steadyneedle.physics.plant import Plant, Settings
from steadyneedle.physics.si import BAR


@cache
def pressure_curve(room: float = ROOM) -> tuple[float, ...]:
    """Pressure of real air from its density, p = R T d (1 + b d + c d^2 + e d^3 + f d^4), at one temperature.

    Parameters
    ----------
    room : float
        Temperature [K], 263.15 to 313.15.

    Returns
    -------
    tuple of float
        The four coefficients b, c, e, f [m3/kg, m6/kg2, m9/kg3, m12/kg4].

    References
    ----------
    Fitted to `gas.density` up to 40 MPa, within 0.03 %.

    Examples
    --------
    >>> b, c, e, f = pressure_curve()
    >>> d = float(gas.density(2e7))
    >>> print(round(R * ROOM * d * (1 + d * (b + d * (c + d * (e + d * f)))) / 1e5, 1))
    200.0
    """
    pressures = np.linspace(BAR, 400 * BAR, 400)
    density = gas.density(pressures, room)
    powers = np.array([1e2, 1e4, 1e6, 1e8])
    columns = np.stack([density**n for n in (1, 2, 3, 4)], axis=1) / powers
    found = np.linalg.lstsq(columns, pressures / (density * R * room) - 1.0, rcond=None)[0]
    return tuple((found / powers).tolist())


class Cylinder:
    """What stands behind the cylinder valve: a supply that never falls, or a cylinder that empties.

    Its air keeps the room's temperature: emptied within minutes, a real one cools and its needle recovers later.
    """

    def __init__(self, plant: Plant, settings: Settings) -> None:
        from scipy.optimize import brentq

        self.supply, self.volume, self.drawn = settings.supply, plant.bench.cylinder, settings.drawn
        if self.volume:
            self.thermal, self.curve = R * plant.room, pressure_curve(plant.room)
            guess = settings.supply / self.thermal
            self.filled = brentq(lambda d: self._of(d) - settings.supply, 0.5 * guess, 2.0 * guess, rtol=1e-14)

    def _of(self, density: float) -> float:
        b, c, e, f = self.curve
        return self.thermal * density * (1.0 + density * (b + density * (c + density * (e + density * f))))

    def pressure(self, came: float) -> float:
        """Absolute pressure [Pa] when so much air has come out of it and of those before it [kg]."""
        if not self.volume:
            return self.supply
        return self._of(max(self.filled - (came - self.drawn) / self.volume, 0.0))
