"""Whether a tool marks a surface: the hardness of one over that of the other."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import cache

from steadyneedle.bench.cleaning.catalogue import law, rows
from steadyneedle.bench.units import format_number


@dataclass(frozen=True)
class Surface:
    """A tool, a part or a mineral on the hardness scale; `hardness` in HV counts, `skin` is that of a thin layer."""

    name: str
    kind: str
    hardness: float
    skin: float | None
    temper: str
    source: str


@dataclass(frozen=True)
class Scratching:
    """What a tool does to a surface: "safe", "possible" or "certain", one sentence, and the two hardnesses [HV]."""

    outcome: str
    because: str
    tool: Surface
    surface: Surface
    ratio: float


@cache
def hardnesses() -> dict[str, Surface]:
    """Everything on the hardness scale by its name: tools, parts, minerals.

    Parameters
    ----------

    Returns
    -------
    dict
        Name to surface. Of a thin plated or anodised layer the softer of layer and base counts.

    References
    ----------
    `datasets/cleaning/hardness.csv`; that the base counts under a thin layer is from memory.

    Examples
    --------
    >>> hardnesses()["chromed body"].skin, hardnesses()["chromed body"].hardness
    (1000.0, 142.0)
    """
    listed = {row["thing"]: row for row in rows("hardness", "hardness_HV")}
    found = {}
    for name, row in listed.items():
        hardness, base = row["hardness_HV"], row["thin_over"]
        counts = min(hardness, listed[base]["hardness_HV"]) if base else hardness
        found[name] = Surface(name, row["kind"], counts, hardness if base else None, row["temper"], row["source"])
    return found


def scratch(tool: str, surface: str) -> Scratching:
    """Whether a tool marks a surface, by the hardness of the two.

    Below 0.8 of the surface's hardness a tool is taken to be safe, above 1.2 it surely scratches, between them it
    may: a brass pick may mark a brass land. Under thin plating the base counts.

    Parameters
    ----------
    tool : str
        A tool or a mineral of `hardnesses()`.
    surface : str
        A part of `hardnesses()`.

    Returns
    -------
    Scratching
        `.outcome`, `.because`, `.ratio`, and both hardnesses.

    Raises
    ------
    ValueError
        No hardness of one of them is known.

    References
    ----------
    Pintaude, J. Tribol. 132(3) 034502 (2010), for the 1.2; the 0.8 is from memory.

    Examples
    --------
    >>> scratch("brass pick", "brass land").outcome
    'possible'
    """
    one, other = (_known(name) for name in (tool, surface))
    ratio = one.hardness / other.hardness
    if ratio < law("scratch_safe"):
        outcome, does = "safe", "does not mark"
    elif ratio > law("scratch_certain"):
        outcome, does = "certain", "scratches"
    else:
        outcome, does = "possible", "may mark"
    over = (
        ""
        if other.skin is None
        else f"; its layer has {format_number(other.skin)} HV, but so thin a layer gives way with what lies under it"
    )
    because = (
        f"the {one.name} ({format_number(one.hardness)} HV) {does} the {other.name} "
        f"({format_number(other.hardness)} HV{over}): {format_number(ratio, 2)} times as hard"
    )
    return Scratching(outcome, because, one, other, ratio)


def _known(name: object) -> Surface:
    listed = hardnesses()
    if isinstance(name, str) and name in listed:
        return listed[name]
    near = difflib.get_close_matches(name, listed, n=1) if isinstance(name, str) else []
    advice = f"Did you mean '{near[0]}'?" if near else f"Known are: {', '.join(listed)}."
    said = f"of '{name}'" if isinstance(name, str) else "of what is no name"
    raise ValueError(f"No hardness is known {said}. {advice}")
