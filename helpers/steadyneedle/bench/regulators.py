"""The workbook's invented regulators in the units of the bench: their design, where they lock up, what a hole does."""

from __future__ import annotations

from steadyneedle.bench.units import Q, Quantity, require
from steadyneedle.physics import first_stage, gas, leaks
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

SEA_METRE = 0.1 * BAR
"""Pa; a metre of sea water by convention."""


def in_words(design: str) -> str:
    """The design of a first stage, in words.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    str
        Balanced or not, piston or diaphragm.

    Raises
    ------
    ValueError
        An unknown design.

    References
    ----------
    `datasets/first_stages.csv`, invented.

    Examples
    --------
    >>> in_words("Hazel")
    'unbalanced diaphragm'
    """
    stage = FirstStage.named(design)
    return f"{'balanced' if stage.balanced else 'unbalanced'} {stage.kind}"


def lock_up(
    design: str, supply: Quantity, depth: Quantity | None = None, spring_change: Quantity | None = None
) -> Quantity:
    """IP over ambient at which a first stage locks up.

    Parameters
    ----------
    design : str
        Name of a first stage.
    supply : pint.Quantity
        Supply over ambient, scalar, not below 0.
    depth : pint.Quantity or None
        Depth in sea water, a metre counted as a tenth of a bar; None for the surface.
    spring_change : pint.Quantity or None
        Force added to the main spring; None for none.

    Returns
    -------
    pint.Quantity
        Gauge pressure in bar.

    Raises
    ------
    ValueError
        An unknown design, a quantity without its dimension, a pressure below 0.

    References
    ----------
    Balance of forces, `physics.first_stage`; the regulators are invented.

    Examples
    --------
    >>> print(f"{lock_up('Juniper', Q(200, 'bar')).magnitude:.2f}")
    9.95
    """
    ambient = SURFACE + (0.0 if depth is None else require("depth", depth, "m")) * SEA_METRE
    change = 0.0 if spring_change is None else require("spring_change", spring_change, "N")
    inlet = require("supply", supply, "Pa") + ambient
    return Q(float(first_stage.lock_up_gauge(FirstStage.named(design), inlet, ambient, change)) / BAR, "bar")


def climb_through_hole(
    diameter: Quantity, supply: Quantity, volume: Quantity, intermediate: Quantity | None = None
) -> Quantity:
    """How fast IP climbs when a hole that no force closes lets supply into the low-pressure side.

    Parameters
    ----------
    diameter : pint.Quantity
        Of a round hole with a discharge coefficient of 1, above 0.
    supply : pint.Quantity
        In front of the hole, gauge.
    volume : pint.Quantity
        Of the low-pressure side, above 0.
    intermediate : pint.Quantity or None
        Behind the hole, gauge; None for 10 bar.

    Returns
    -------
    pint.Quantity
        Rate of climb in bar/min, gas and volume at 20 °C.

    Raises
    ------
    ValueError
        A quantity without its dimension, or one out of its range.

    References
    ----------
    `physics.gas.mass_flow` and `physics.leaks.pressure_rise`.

    Examples
    --------
    >>> print(f"{climb_through_hole(Q(1.6, 'um'), Q(200, 'bar'), Q(100, 'mL')).magnitude:.3f}")
    0.048
    """
    behind = 10 * BAR if intermediate is None else require("intermediate", intermediate, "Pa")
    hole = leaks.hole_area(require("diameter", diameter, "m"))
    inlet = require("supply", supply, "Pa") + SURFACE
    flow = gas.mass_flow(hole, inlet, behind + SURFACE, gas.REFERENCE_TEMPERATURE)
    return Q(float(leaks.pressure_rise(flow, require("volume", volume, "m3"))) * 60 / BAR, "bar/min")
