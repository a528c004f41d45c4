"""The forces in a first stage, and the intermediate pressure (IP) that they balance at. SI, absolute pressures.

Every area, spring and sign comes from a `FirstStage`. A force that opens the valve is positive. Friction has no
place here: a valve that sticks is the business of `rig`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.physics import gas
from steadyneedle.physics.passage import port_ratio
from steadyneedle.physics.si import not_below_zero
from steadyneedle.physics.stages import FirstStage

SURFACE = gas.REFERENCE_PRESSURE
"""Pa, ambient pressure at the bench, and what a sealed chamber was closed at."""


@dataclass(frozen=True)
class Force:
    """One row of the ledger: newton, positive where it opens the valve."""

    name: str
    newton: float


@dataclass(frozen=True)
class Ledger:
    """Every force on the moving part; they add to zero. `contact` holds the seat shut, `lift` is the opening [m]."""

    forces: tuple[Force, ...]
    contact: float
    lift: float

    def total(self) -> float:
        """Sum of all forces [N]: zero but for rounding."""
        return math.fsum(force.newton for force in self.forces)


def chamber_pressure(stage: FirstStage, ambient: ArrayLike = SURFACE) -> np.ndarray:
    """What presses on the spring side: ambient, or what a sealed chamber's plunger makes of it.

    Parameters
    ----------
    stage : FirstStage
        The design; its `chamber_ratio` is 1 for an open chamber.
    ambient : float or array
        Ambient pressure [Pa], absolute, not below 0.

    Returns
    -------
    numpy.ndarray
        Pressure on the spring side [Pa], absolute.

    Raises
    ------
    ValueError
        A negative pressure, or NaN.

    References
    ----------
    Balance of a plunger with two areas; the ratio is invented.

    Examples
    --------
    >>> print(round(float(chamber_pressure(FirstStage.named("Linden"), 501325.0))))
    513325
    """
    (outside,) = not_below_zero(ambient=ambient)
    return SURFACE + stage.chamber_ratio * (outside - SURFACE)


def opening_force(
    stage: FirstStage,
    supply: ArrayLike,
    intermediate: ArrayLike,
    ambient: ArrayLike = SURFACE,
    spring_change: ArrayLike = 0.0,
) -> np.ndarray:
    """All forces on the closed valve but the seat's: positive opens it, negative presses it on its seat.

    Parameters
    ----------
    stage : FirstStage
        The design.
    supply, intermediate, ambient : float or array
        Absolute pressures [Pa], not below 0.
    spring_change : float or array
        Force added to the main spring by its adjuster or shims [N].

    Returns
    -------
    numpy.ndarray
        Net opening force [N].

    Raises
    ------
    ValueError
        A negative pressure, or NaN.

    References
    ----------
    Balance of forces on the moving part, areas of the dataset.

    Examples
    --------
    >>> print(round(float(opening_force(FirstStage.named("Alder"), 201.01325e5, 10.01325e5)), 1))
    6.0
    """
    p_s, p_i, p_a = not_below_zero(supply=supply, intermediate=intermediate, ambient=ambient)
    chamber = chamber_pressure(stage, p_a)
    return (
        stage.spring
        + np.asarray(spring_change, float)
        - stage.closing_spring
        + (chamber - p_a) * stage.chamber_area
        + stage.supply_sign * (p_s - p_a) * stage.mismatch
        - (p_i - p_a) * stage.effective_area
    )


def lock_up_gauge(
    stage: FirstStage, supply: ArrayLike, ambient: ArrayLike = SURFACE, spring_change: ArrayLike = 0.0
) -> np.ndarray:
    """Intermediate pressure over ambient at which the valve just touches its seat.

    Alder, Rowan: (F + p_s dA)/A_e. Hazel, Juniper, Linden: (F - Fc - p_s dA)/A_e. Pressures over ambient; dA is the
    seat area that is not balanced, in Rowan the shaft seal's surplus over the knife edge.

    Parameters
    ----------
    stage : FirstStage
        The design.
    supply, ambient : float or array
        Absolute pressures [Pa], not below 0.
    spring_change : float or array
        Force added to the main spring by its adjuster or shims [N].

    Returns
    -------
    numpy.ndarray
        IP over ambient [Pa].

    Raises
    ------
    ValueError
        A negative pressure, or NaN.

    References
    ----------
    As `opening_force`.

    Examples
    --------
    >>> alder = FirstStage.named("Alder")
    >>> [round(float(lock_up_gauge(alder, bar * 1e5 + SURFACE)) / 1e5, 2) for bar in (200, 50)]
    [9.1, 7.87]
    """
    return opening_force(stage, supply, ambient, ambient, spring_change) / stage.effective_area


def supply_slope(stage: FirstStage) -> float:
    """Change of lock-up IP for each unit of supply pressure.

    Parameters
    ----------
    stage : FirstStage
        The design.

    Returns
    -------
    float
        Slope [-], negative where IP rises as the cylinder empties.

    References
    ----------
    Derivative of the balance of forces.

    Examples
    --------
    >>> [round(1000 * supply_slope(FirstStage.named(name)), 1) for name in ("Alder", "Hazel")]
    [8.2, -7.1]
    """
    return stage.supply_sign * stage.mismatch / stage.effective_area


def adjusted(stage: FirstStage, turns: float) -> float:
    """Force that turns of the adjuster add to the main spring; inward is positive.

    Parameters
    ----------
    stage : FirstStage
        The design.
    turns : float
        Turns [-], inward positive.

    Returns
    -------
    float
        Force [N].

    Raises
    ------
    ValueError
        The design has no adjuster.

    References
    ----------
    Thread and spring of the dataset, invented.

    Examples
    --------
    >>> adjusted(FirstStage.named("Hazel"), 0.5)
    22.5
    """
    if stage.adjuster == 0:
        raise ValueError(f"{stage.name} has no adjuster: it is set with shims, {stage.shim:g} N each.")
    return stage.adjuster * turns


def ledger(
    stage: FirstStage, supply: float, intermediate: float, ambient: float = SURFACE, spring_change: float = 0.0
) -> Ledger:
    """Every force on the moving part at one state, seat contact included; they add to zero.

    Parameters
    ----------
    stage : FirstStage
        The design.
    supply, intermediate, ambient : float
        Absolute pressures [Pa], not below 0.
    spring_change : float
        Force added to the main spring by its adjuster or shims [N].

    Returns
    -------
    Ledger
        Forces [N], contact force [N], lift [m].

    Raises
    ------
    ValueError
        A negative pressure, or NaN.

    References
    ----------
    As `opening_force`.

    Examples
    --------
    >>> book = ledger(FirstStage.named("Alder"), 201.01325e5, 10.41325e5)
    >>> [(force.name, round(force.newton)) for force in book.forces]
    [('main spring', 448), ('supply on the seat', 98), ('IP on the piston head', -564), ('seat contact', 18)]
    """
    net = float(opening_force(stage, supply, intermediate, ambient, spring_change))
    lift = min(max(net / stage.rate, 0.0), stage.lift)
    over_supply, over_ip = supply - ambient, intermediate - ambient
    chamber = (float(chamber_pressure(stage, ambient)) - ambient) * stage.chamber_area
    rows = [("main spring", stage.spring + spring_change - stage.rate * lift)]
    if stage.kind == "piston":
        where = "supply under the shaft's surplus over the edge" if stage.balanced else "supply on the seat"
        rows.append((where, over_supply * stage.mismatch))
        rows.append(("IP on the piston head", -over_ip * stage.net_area))
    else:
        rows += [("closing spring", -stage.closing_spring), ("supply on the poppet", -over_supply * stage.seat_area)]
        if stage.balanced:
            rows.append(("supply kept off by the stem", over_supply * stage.stem_area))
        rows += [("IP on the diaphragm", -over_ip * stage.net_area), ("IP under the seat", over_ip * stage.seat_area)]
        if stage.balanced:
            rows.append(("IP on the stem", -over_ip * stage.stem_area))
    if stage.sealed:
        rows.append(("sealed chamber's plunger", chamber))
    contact = max(-net, 0.0)
    if lift == 0:
        rows.append(("seat contact", contact))
    elif lift == stage.lift:
        rows.append(("stop", stage.rate * lift - net))
    return Ledger(tuple(Force(name, newton) for name, newton in rows), contact, lift)


def flowing_gauge(
    stage: FirstStage,
    mass_flow: ArrayLike,
    supply: ArrayLike,
    ambient: ArrayLike = SURFACE,
    spring_change: ArrayLike = 0.0,
    temperature: float = gas.REFERENCE_TEMPERATURE,
) -> np.ndarray:
    """Intermediate pressure over ambient at the ports while air flows: what a gauge there shows.

    The valve must open, so the spring gives way by a little and the sensed chamber's pressure droops; the passage from
    there to the ports loses the greater part.

    Parameters
    ----------
    stage : FirstStage
        The design.
    mass_flow : float or array
        Flow taken from the ports [kg/s], not below 0.
    supply, ambient : float or array
        Absolute pressures [Pa]; supply at least twice the IP, so that the seat is choked.
    spring_change : float or array
        Force added to the main spring [N].
    temperature : float
        Temperature of the supply and of the air at the ports [K], above 0.

    Returns
    -------
    numpy.ndarray
        IP over ambient [Pa]; NaN where the valve at its stop, or the passage, passes less than that.

    Raises
    ------
    ValueError
        A negative flow or pressure, or NaN.

    References
    ----------
    Spring rate and choked flow through the ring between valve and seat (`gas.mass_flow`); `passage.port_ratio`.

    Examples
    --------
    >>> alder = FirstStage.named("Alder")
    >>> [round(float(flowing_gauge(alder, kilogram, 201.01325e5)) / 1e5, 2) for kilogram in (0.0, 0.004, 0.008)]
    [9.1, 8.75, 7.53]
    """
    (flow,) = not_below_zero(mass_flow=mass_flow)
    outside = np.asarray(ambient, float)
    chamber = _chamber_gauge(stage, flow, supply, ambient, spring_change, temperature) + outside
    most = gas.mass_flow(stage.passage, np.nan_to_num(chamber), 0.0, temperature)
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(flow > 0, flow / most, 0.0)
    passes = np.isfinite(chamber) & (part <= 1.0)
    return np.where(passes, chamber * port_ratio(np.where(passes, part, 0.0)) - outside, np.nan)


def _chamber_gauge(
    stage: FirstStage,
    flow: np.ndarray,
    supply: ArrayLike,
    ambient: ArrayLike,
    spring_change: ArrayLike,
    temperature: float,
) -> np.ndarray:
    """Pressure over ambient in the sensed chamber while air flows: the spring gives way by the lift that this needs."""
    each = gas.mass_flow(1.0, supply, 0.0, temperature, stage.discharge)
    with np.errstate(divide="ignore", invalid="ignore"):
        area = np.where(flow > 0, flow / each, 0.0)
    lift = area / (math.pi * stage.seat_diameter)
    passes = (area <= stage.seat_area) & (lift <= stage.lift)
    shut = lock_up_gauge(stage, supply, ambient, spring_change)
    return np.where(passes, shut - stage.rate * lift / stage.effective_area, np.nan)
