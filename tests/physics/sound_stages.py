"""Sound regulators on the bench, and what their sheets ask of them, for the tests of the rig."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.foundation import datasets
from steadyneedle.physics import gas, rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment
from steadyneedle.physics.si import BAR

BEGIN = 60.0
"""s; how long a regulator stands before anybody purges it."""


@dataclass(frozen=True)
class Sheet:
    """What a sheet asks, SI."""

    low: float
    high: float
    supply: float
    rise: float
    seconds: float
    purges: int
    droop: float
    flow: float


def sheet(design: str) -> Sheet:
    names = (
        "ip_low_bar", "ip_high_bar", "supply_bar", "allowed_rise_bar", "rise_minutes", "purges", "droop_bar", "flow_l_min",
    )  # fmt: skip
    columns = datasets.table("sheets/example", names)
    low, high, supply, rise, minutes, purges, droop, flow = (columns[n][columns["name"].index(design)] for n in names)
    litre = float(gas.density(SURFACE)) * 1e-3 / 60  # kg/s of one litre of free air a minute
    return Sheet(low * BAR, high * BAR, supply * BAR, rise * BAR, minutes * 60, int(purges), droop * BAR, flow * litre)


def standing(design: str, supply: float, **settings: float) -> Moment:
    """A sound regulator that has stood for a minute under a supply in bar over ambient."""
    return rig.run(rig.start(design, supply=supply * BAR + SURFACE, **settings), [Action(0, "valve", 1)], BEGIN)[0]
