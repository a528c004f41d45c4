"""Air in plain floats, for equations that are asked thousands of times: its constants, and flow through a hole. SI."""

from __future__ import annotations

import math

from steadyneedle.physics import gas
from steadyneedle.physics.passage import CRITICAL

ROOM = gas.REFERENCE_TEMPERATURE
R = gas.GAS_CONSTANT_AIR
CP = gas.HEAT_CAPACITY_AIR
CV = CP - R
K = gas.HEAT_CAPACITY_RATIO_AIR
CHOKED = math.sqrt(K / R) * (2 / (K + 1)) ** ((K + 1) / (2 * (K - 1)))
NEARLY = 0.995
"""Ratio above which flow is taken as proportional to the difference of pressure, as it is for small differences."""


def _subsonic(ratio: float) -> float:
    """Subsonic flow as a part of choked flow."""
    if ratio > NEARLY:  # at equal pressures the root's slope is infinite; an implicit step works with slopes
        return AT_NEARLY * (1.0 - ratio) / (1.0 - NEARLY)
    return SUBSONIC * math.sqrt(ratio ** (2 / K) - ratio ** ((K + 1) / K))


SUBSONIC = math.sqrt(2 * K / ((K - 1) * R)) / CHOKED
AT_NEARLY = SUBSONIC * math.sqrt(NEARLY ** (2 / K) - NEARLY ** ((K + 1) / K))


def flow(conductance: float, upstream: float, downstream: float) -> float:
    """Mass flow through a hole: `gas.mass_flow` in plain floats, and straight where the pressures are nearly equal.

    Parameters
    ----------
    conductance : float
        Choked flow for each unit of upstream pressure [kg/(s Pa)], not below 0.
    upstream, downstream : float
        Absolute pressures [Pa], not below 0; the flow turns round where downstream is higher.

    Returns
    -------
    float
        Mass flow [kg/s].

    References
    ----------
    As `gas.mass_flow`.

    Examples
    --------
    >>> flow(1e-9, 200e5, 10e5)
    0.02
    """
    if not conductance:
        return 0.0
    if downstream > upstream:
        return -flow(conductance, downstream, upstream)
    if downstream <= CRITICAL * upstream:
        return conductance * upstream
    return conductance * upstream * _subsonic(downstream / upstream)
