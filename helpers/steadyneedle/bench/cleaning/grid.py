"""The whole grid of choices, kept as a dataset: a page shows it at once."""

from __future__ import annotations

from functools import cache

from steadyneedle.bench.cleaning.best_method import cell
from steadyneedle.bench.cleaning.catalogue import known_parts, parts, rows, soils
from steadyneedle.bench.cleaning.harm_rules import Rules
from steadyneedle.foundation.datasets import Computed

MADE_FROM = (
    "cleaning/cautions", "cleaning/cells", "cleaning/hardness", "cleaning/laws", "cleaning/limits", "cleaning/methods",
    "cleaning/never_together", "cleaning/parts", "cleaning/removal", "cleaning/soils",
    "cleaning/ultrasonic_times",
)  # fmt: skip
"""Every dataset that a choice hangs on: their digests are kept with the grid's."""

Chosen = tuple[str, str]
"""What to do, and the reason."""


@cache
def _kept() -> dict[tuple[str, str], Chosen]:
    return {(row["part"], row["soil"]): (row["method"], row["reason"]) for row in rows("grid")}


def grid(part: str, rules: Rules | None = None) -> dict[str, Chosen]:
    """What to do about each soil on a part, and why.

    Parameters
    ----------
    part : str
        A name from `parts()`.
    rules : Rules or None
        An instructor's own, from `read_rules`; a part that they name is computed afresh.

    Returns
    -------
    dict
        Soil to method, or what stands in its place, and reason.

    Raises
    ------
    ValueError
        An unknown name, with the nearest one.

    References
    ----------
    As `cell`, of which it is the table.

    Examples
    --------
    >>> grid("stainless spring")["rust"][0]
    'replace'
    """
    if part in known_parts() and not _named(part, rules):
        return {soil: _kept()[part, soil] for soil in soils()}
    found = {soil: cell(part, soil, rules) for soil in soils()}
    return {soil: (one.method, one.reason) for soil, one in found.items()}


def _named(part: str, rules: Rules | None) -> bool:
    """Whether an instructor's rules speak of a part."""
    about = known_parts()[part]
    return any(rule.on in (about.name, about.material, about.over) for rule in (rules.own if rules else ()))


def _rows(part: str) -> list[tuple[str, ...]]:
    found = (cell(part, soil) for soil in soils())
    return [(part, one.soil, one.method, one.reason, "computed: bench/cleaning/best_method.py") for one in found]


CHOICES = Computed(("part", "soil", "method", "reason", "source"), parts, _rows)
