"""Where soils sit: which part of a set carries which, and what each comes to by the rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from steadyneedle.bench.cleaning.catalogue import known_parts, rows
from steadyneedle.bench.cleaning.steps import Soiled

CLEAN, REPLACE, CARRIED, NOT_FOUND = "clean", "replace", "carried in", "not found"


@dataclass(frozen=True)
class SoilAnswer:
    """What a soil on a family of parts comes to, why, and whether the part makes it itself."""

    answer: str
    own: bool
    why: str
    source: str


@dataclass(frozen=True)
class Placed:
    """Soils on the parts of a set: the pairs that count, what is not covered (part and sentence), and what to know."""

    pairs: tuple[tuple[str, str], ...]
    unknown: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


@cache
def _sittings() -> dict[tuple[str, str], SoilAnswer]:
    return {
        (row["soil"], row["family"]): SoilAnswer(row["answer"], row["own"] == "yes", row["why"], row["source"])
        for row in rows("cells")
    }


def sitting(part: str, soil: str) -> SoilAnswer:
    """What a soil on a part comes to, before any method is chosen.

    Parameters
    ----------
    part, soil : str
        Names.

    Returns
    -------
    SoilAnswer
        `.answer` is "clean", "replace", "carried in" (it is not the part's own) or "not found" (it cannot be there).

    References
    ----------
    `datasets/cleaning/cells.csv`.

    Examples
    --------
    >>> sitting("stainless spring", "rust").answer, sitting("brass land", "rust").answer
    ('replace', 'carried in')
    """
    return _sittings()[soil, known_parts()[part].family]


def placed(parts: Sequence[str], soils: Sequence[Soiled]) -> Placed:
    """Which part of a set carries which soil: a soil without a part sits on all that make it or hold it.

    A soil that is named on a part is there, whatever the part is made of.

    Parameters
    ----------
    parts : sequence of str
        Names of parts.
    soils : sequence of tuple
        Pairs of a part, or None, and a soil.

    Returns
    -------
    Placed
        Pairs of part and soil; sentences for what is not covered, such as rust on brass alone.

    Raises
    ------
    ValueError
        A pair names a part that is not in the set.

    References
    ----------
    `datasets/cleaning/cells.csv`.

    Examples
    --------
    >>> placed(["brass land"], [(None, "rust")]).unknown[0][1]
    "rust on the brass land is not brass's own: find where it came from; it has no iron"
    """
    pairs: dict[tuple[str, str], None] = {}
    unknown: list[tuple[str, str]] = []
    notes: list[str] = []
    for part, soil in soils:
        if part is not None and part not in parts:
            raise ValueError(
                f"'{soil}' is said to sit on '{part}', which is not among the parts. Add it, or leave it out."
            )
        among = parts if part is None else (part,)
        found = {name: sitting(name, soil) for name in among}
        there = (CLEAN, REPLACE) if part is None else (CLEAN, REPLACE, CARRIED)
        pairs |= {(name, soil): None for name, one in found.items() if one.answer in there}
        carried = [name for name, one in found.items() if one.answer == CARRIED]
        makers = [name for name in parts if sitting(name, soil).own and {(None, soil), (name, soil)} & set(soils)]
        for name in carried:
            if makers:
                of = "is not" if part is not None else "would not be"
                notes.append(f"{soil} on the {name} {of} its own: it comes from the {makers[0]}.")
            else:
                unknown.append((name, _not_its_own(name, soil, parts)))
        if all(one.answer == NOT_FOUND for one in found.values()):
            why = found[among[0]].why
            where = " or the ".join(among)
            unknown.append((among[0], f"{soil} cannot sit on the {where} ({why}): look again at what it is"))
    return Placed(tuple(pairs), tuple(unknown), tuple(notes))


def _not_its_own(part: str, soil: str, parts: Sequence[str]) -> str:
    """A soil that a part cannot make, and where to look for what made it."""
    near = next((f"; look at the {name} first" for name in parts if sitting(name, soil).own), "")
    said = f"{soil} on the {part} is not {known_parts()[part].material}'s own: find where it came from"
    return f"{said}; {sitting(part, soil).why.partition(':')[0]}{near}"
