"""What the equation of state of CoolProp says of a choked hole."""

from __future__ import annotations

import math

import numpy as np
from CoolProp.CoolProp import PropsSI


def real_choked_flow(pressure: float, temperature: float) -> float:
    """kg/(s m2) of real air through a throat: the most along an isentrope of the equation of state (CoolProp)."""
    entropy = PropsSI("S", "P", pressure, "T", temperature, "Air")
    enthalpy = PropsSI("H", "P", pressure, "T", temperature, "Air")
    flows = []
    for throat in np.linspace(0.4, 0.7, 301) * pressure:
        density = PropsSI("D", "P", throat, "S", entropy, "Air")
        fall = enthalpy - PropsSI("H", "P", throat, "S", entropy, "Air")
        flows.append(density * math.sqrt(2 * fall))
    return max(flows)
