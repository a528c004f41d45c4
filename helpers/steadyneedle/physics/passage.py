"""The passage between the sensed chamber of a first stage and its low-pressure ports, on which gauge and second stage
hang: what flow loses in it. SI, absolute pressures.

Quasi-steady: the pressure at the ports follows the flow at once. A chamber of 5 cm3 with a volume of its own fills and
empties within some 30 ms, sooner than any gauge shows. Two things are left out: air in the chamber is colder than
that in the hoses while much flows, so that it loses up to 0.07 bar less; and filling the hoses again after a purge
warms their air by some kelvin.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.physics import gas
from steadyneedle.physics.si import not_below_zero

CRITICAL = float(gas.critical_ratio())
REST = 1.0 - CRITICAL


def port_ratio(part: ArrayLike) -> np.ndarray:
    """Pressure behind the passage over that before it, for a flow given as a part of the passage's choked flow.

    b + (1 - b) sqrt(1 - part^2), b the critical ratio of air.

    Parameters
    ----------
    part : float or array
        Flow over choked flow [-], not below 0; above 1 the passage is choked and the ratio stays at b.

    Returns
    -------
    numpy.ndarray
        Ratio of absolute pressures [-], b to 1.

    Raises
    ------
    ValueError
        A part below 0, or NaN.

    References
    ----------
    The subsonic ellipse of ISO 6358, from memory and from public code; b for an ideal nozzle, `gas.critical_ratio`.

    Examples
    --------
    >>> port_ratio([0.0, 0.6, 1.0]).round(3).tolist()
    [1.0, 0.906, 0.528]
    """
    (share,) = not_below_zero(part=part)
    return CRITICAL + REST * np.sqrt(np.maximum(1.0 - share**2, 0.0))


def loaded_ratio(widths: float) -> float:
    """The same where outlets to ambient, themselves choked, hang behind the passage.

    Parameters
    ----------
    widths : float
        Area of the outlets over that of the passage [-], not below 0.

    Returns
    -------
    float
        Ratio of absolute pressures [-]: 1 with no outlet; below b where outlets so wide choke the passage.

    References
    ----------
    `port_ratio` with part = widths x ratio, solved for the ratio: a quadratic.

    Examples
    --------
    >>> [round(loaded_ratio(widths), 3) for widths in (0.0, 0.6, 3.0)]
    [1.0, 0.921, 0.333]
    """
    square = (widths * REST) ** 2
    root = CRITICAL**2 - (1.0 + square) * (CRITICAL**2 - REST**2)
    ratio = (CRITICAL + math.sqrt(max(root, 0.0))) / (1.0 + square)
    return ratio if ratio * widths <= 1.0 and ratio > CRITICAL else 1.0 / widths


def loaded_slope(widths: float, ratio: float) -> float:
    """How fast `loaded_ratio` falls as the outlets grow, while the passage is not choked.

    Parameters
    ----------
    widths : float
        Area of the outlets over that of the passage [-], not below 0.
    ratio : float
        `loaded_ratio` of it [-], above b.

    Returns
    -------
    float
        Change of the ratio for each unit of `widths` [-], not above 0.

    References
    ----------
    Derivative of that quadratic.

    Examples
    --------
    >>> round((loaded_ratio(0.601) - loaded_ratio(0.599)) / 0.002, 3), round(loaded_slope(0.6, loaded_ratio(0.6)), 3)
    (-0.243, -0.243)
    """
    square = (widths * REST) ** 2
    return -(ratio**2) * widths * REST**2 / (ratio * (1.0 + square) - CRITICAL)
