"""Which stage a fault makes one open, and what would have told one fault from another."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.foundation import datasets
from steadyneedle.physics.faults import Fault

FIRST, SECOND, NEITHER = "first", "second", "neither"

OUTSIDE = ("fitting_hole", "hose_hole", "valve_area", "gauge_offset", "gauge_stick")
"""Quantities of `physics.faults.Condition` that lie in neither stage: hoses, the cylinder valve, the gauge."""

IN_THE_SECOND = ("mouth_hole",)

MENDED_BY_TIME = "setting_force"
"""A new seat that has not set yet: it wants cycles and a night, not tools."""


def stage_to_open(fault: str) -> str:
    """The stage that has to be opened to mend a fault.

    Parameters
    ----------
    fault : str
        Key of a fault.

    Returns
    -------
    str
        "first", "second" or "neither": a hose, the cylinder valve, the gauge or a new seat that still sets needs no
        stage opened.

    Raises
    ------
    ValueError
        There is no such fault.

    References
    ----------
    Common practice, no source: a part is where it is. An adjuster turned and a filter changed count as the first stage.

    Examples
    --------
    >>> stage_to_open("creep_and_burp"), stage_to_open("second_stage_leaks"), stage_to_open("gauge_hose")
    ('first', 'second', 'neither')
    """
    quantities = [name for name, _, _ in Fault.named(fault).ranges]
    inside = [name for name in quantities if name not in OUTSIDE]
    if not inside or MENDED_BY_TIME in quantities:
        return NEITHER
    return SECOND if all(name in IN_THE_SECOND for name in inside) else FIRST


@dataclass(frozen=True)
class Told:
    """The cheapest examination that tells two regulators apart, and what it shows of each."""

    examination: str
    one: str
    other: str


def told_apart(design: str, one: str, other: str) -> Told | None:
    """What tells two faults apart on the bench.

    Parameters
    ----------
    design : str
        Name of a first stage.
    one, other : str
        Keys of two faults, or "sound".

    Returns
    -------
    Told or None
        None where no examination does, or the pair is not known.

    References
    ----------
    Computed with the rig; `datasets/telling_apart.csv` keeps the rows of every design.

    Examples
    --------
    >>> told_apart("Juniper", "stem_seal", "seat_nicked")
    Told(examination='fit a new seat', one='the same', other='stands')
    """
    columns = datasets.table("telling_apart")
    names = ("design", "one", "other", "action", "one_shows", "other_shows")
    for row in zip(*(columns[name] for name in names), strict=True):
        if row[0] == design and {row[1], row[2]} == {one, other} and row[3] != "none on the bench":
            shows = row[4:] if row[1] == one else row[:3:-1]
            return Told(row[3], *shows)
    return None
