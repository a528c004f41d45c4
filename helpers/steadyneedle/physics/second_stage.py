"""The second stage seen from the bench: cracking effort, and the IP at which it opens by itself. SI."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.physics.si import above_zero, not_below_zero
from steadyneedle.physics.stages import SecondStage


def cracking_effort(stage: SecondStage, intermediate_gauge: ArrayLike, spring: ArrayLike | None = None) -> np.ndarray:
    """Suction at which the second stage starts to give air.

    (spring - IP x orifice area x (1 - balance))/(lever x diaphragm area).

    Parameters
    ----------
    stage : SecondStage
        The design.
    intermediate_gauge : float or array
        IP over ambient [Pa], not below 0.
    spring : float, array or None
        Spring force at the valve [N], above 0; None for the design's own setting.

    Returns
    -------
    numpy.ndarray
        Suction [Pa]; 98.0665 Pa is one centimetre of water. Not above 0 where it flows by itself.

    Raises
    ------
    ValueError
        A negative pressure, a spring not above 0, or NaN.

    References
    ----------
    Balance of forces on a downstream lever valve; areas invented.

    Examples
    --------
    >>> sedge = SecondStage.named("Sedge")
    >>> [round(float(cracking_effort(sedge, bar * 1e5)) / 98.0665, 1) for bar in (9.1, 10.5, 12.0)]
    [3.7, 1.5, -0.8]
    """
    (pressure,) = not_below_zero(intermediate_gauge=intermediate_gauge)
    left = _spring(stage, spring) - pressure * _unbalanced_area(stage)
    return left / (stage.lever * stage.diaphragm_area)


def opening_gauge(stage: SecondStage, spring: ArrayLike | None = None) -> np.ndarray:
    """IP over ambient at which the second stage opens by itself: what its spring holds.

    Parameters
    ----------
    stage : SecondStage
        The design.
    spring : float, array or None
        Spring force at the valve [N], above 0; None for the design's own setting, `stage.stiffest` for the
        adjuster's stiffest.

    Returns
    -------
    numpy.ndarray
        IP over ambient [Pa].

    Raises
    ------
    ValueError
        A spring not above 0, or NaN.

    References
    ----------
    As `cracking_effort`, at zero effort.

    Examples
    --------
    >>> [round(float(opening_gauge(SecondStage.named(name))) / 1e5, 1) for name in ("Sedge", "Willow")]
    [11.5, 15.3]
    """
    return _spring(stage, spring) / _unbalanced_area(stage)


def _unbalanced_area(stage: SecondStage) -> float:
    return stage.orifice_area * (1.0 - stage.balance)


def _spring(stage: SecondStage, spring: ArrayLike | None) -> np.ndarray:
    (force,) = above_zero(spring=stage.spring if spring is None else spring)
    return force
