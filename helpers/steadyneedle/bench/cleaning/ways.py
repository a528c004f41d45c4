"""What a search for a plan is given: needs, the ways to meet them, what each uses up, and a bound on minutes.

Residue and exposure are whole numbers of a thousand-millionth (grains), so that the same minutes in another order meet
again; residue is rounded up, and counts as 0 once it is under its limit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from steadyneedle.bench.cleaning.catalogue import known_methods, law
from steadyneedle.bench.cleaning.harm_rules import NEVER, Rules, touched
from steadyneedle.bench.cleaning.one_part import GRIT, RESIDUE, crusts, films_over_crust
from steadyneedle.bench.cleaning.removal import needed, rate_of
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.cleaning.walk import HEAT, SOLVENT, never_together

GRAIN = 1_000_000_000
SLACK = 1000


@dataclass(frozen=True)
class Way:
    """A method as the search sees it, for each minute: what it takes off, what it uses up, what it brings."""

    name: str
    removes: tuple[int, ...]
    uses: tuple[int, ...]
    brings: frozenset[str]
    clashes: frozenset[str]
    first: int
    kind: str


@dataclass(frozen=True)
class MinutePrice:
    """Minutes that a grain of need asks for at least, and minutes that a grain of a limit still free may save."""

    need: tuple[float, ...]
    free: tuple[float, ...]


@dataclass(frozen=True)
class Task:
    """What is to come off, in grains, and the ways there are; `stuck` is a soil that none of them takes off.

    `grit` and `residue` say which need is that of grit, and of a disinfectant; -1 where there is none. `crusts` are
    loosened before a tool, `films` lie over a crust on the same part and go before acid.
    """

    needs: tuple[int, ...]
    ways: tuple[Way, ...]
    grit: int
    residue: int = -1
    crusts: tuple[int, ...] = ()
    films: tuple[int, ...] = ()
    stuck: str = ""
    price: MinutePrice | None = None
    fastest: tuple[float, ...] = ()


def task_of(kept: Sequence[str], pairs: Sequence[tuple[str, str]], rules: Rules) -> Task:
    """What a search is given: the soils of the parts that are kept, and every method that harms none of them.

    Parameters
    ----------
    kept : sequence of str
        Parts that stay in.
    pairs : sequence of tuple
        Parts and the soils on them.
    rules : Rules
        An instructor's own.

    Returns
    -------
    Task
        Needs and ways.

    References
    ----------
    `datasets/cleaning`.

    Examples
    --------
    >>> from steadyneedle.bench.cleaning.harm_rules import Rules
    >>> task_of(["bare aluminium part"], [("bare aluminium part", "scale")], Rules()).stuck
    'scale'
    """
    soils = list(dict.fromkeys(soil for _, soil in pairs))
    listed = [_way_of(name, kept, soils, pairs, rules) for name in known_methods()]
    dims = sorted({key for one in listed if one for key in one[1]}, key=str)
    ways = tuple(_finished(*one, dims) for one in listed if one)
    needs = tuple(math.ceil(needed(soil) * GRAIN) for soil in soils)
    stuck = next((soil for at, soil in enumerate(soils) if not any(way.removes[at] for way in ways)), "")
    grit, residue = (soils.index(one) if one in soils else -1 for one in (GRIT, RESIDUE))
    hard = tuple(map(soils.index, crusts(soils)))
    over = {soil for part in kept for soil in films_over_crust([one for name, one in pairs if name == part])}
    return Task(needs, ways, grit, residue, hard, tuple(sorted(map(soils.index, over))), stuck)


def _way_of(
    name: str, kept: Sequence[str], soils: Sequence[str], pairs: Sequence[tuple[str, str]], rules: Rules
) -> tuple[str, dict[tuple[str, object], int], tuple[int, ...]] | None:
    """A method that may be used on every part, what a minute uses of each limit; None where it may not."""
    method = known_methods()[name]
    removes = tuple(
        math.floor(min(rate_of(Step(name), soil, part) for part, one in pairs if one == soil) * GRAIN) for soil in soils
    )
    if name not in ("rinse", "neutralise") and (not method.cleans or not any(removes)):
        return None
    if method.agent == SOLVENT and method.ultrasonic:
        return None
    uses: dict[tuple[str, object], int] = {}
    for part in kept:
        does = touched(part, Step(name, 1), rules)
        if does.not_covered or does.marks or does.too_hot or any(rule.limit == NEVER for rule in does.counted):
            return None
        for rule in does.counted:
            share = round(rule.share(Step(name, 1)) * GRAIN)
            if share:
                uses[part, rule] = share
        if does.covered_minutes(method) < math.inf:
            lasts = "", method.agent or name
            uses[lasts] = max(uses.get(lasts, 0), round(law("margin") * GRAIN / does.covered_minutes(method)))
    return name, uses, removes


def _finished(
    name: str, uses: dict[tuple[str, object], int], removes: tuple[int, ...], dims: Sequence[tuple[str, object]]
) -> Way:
    method = known_methods()[name]
    brings = {method.agent} & {agent for pair in never_together() for agent in pair}
    if method.kind == "bath" and (method.usual_celsius or 0) >= law("heat_celsius"):
        brings.add(HEAT)
    clashes = {other for pair in never_together() for other in pair if pair - {other} <= brings and len(pair) == 2}
    return Way(
        name,
        removes,
        tuple(uses.get(dim, 0) for dim in dims),
        frozenset(brings),
        frozenset(clashes),
        max(1, math.ceil(method.least_minutes)),
        method.kind,
    )


def _price(needs: tuple[int, ...], ways: Sequence[Way]) -> MinutePrice | None:
    """What grains of need and of exposure are worth in minutes, which no mixture of the ways can beat.

    It is the dual of a linear programme: fewest minutes that meet every need within every limit. None where
    even fractions of minutes cannot.
    """
    if not needs:
        return MinutePrice((), ())
    from scipy.optimize import linprog

    taking = [way for way in ways if any(way.removes)]
    limits = len(taking[0].uses)
    above = [[-way.removes[at] / GRAIN for way in taking] for at in range(len(needs))]
    above += [[way.uses[at] / GRAIN for way in taking] for at in range(limits)]
    bounds = [-need / GRAIN for need in needs] + [law("margin") + 1e-6] * limits
    solved = linprog([1.0] * len(taking), A_ub=above, b_ub=bounds, method="highs")
    if solved.status != 0:
        return None
    worth = [max(0.0, -float(one)) * (1 - 1e-6) / GRAIN for one in solved.ineqlin.marginals]
    return MinutePrice(tuple(worth[: len(needs)]), tuple(worth[len(needs) :]))


def narrowed(task: Task, counted: tuple[int, ...]) -> Task:
    """The task with the exposures that count, without the ways that another beats in everything.

    Parameters
    ----------
    task : Task
        From `task_of`.
    counted : tuple of int
        Which of its exposures count.

    Returns
    -------
    Task
        With its price, None where not even fractions of minutes meet every need within every limit.

    References
    ----------
    Duality of linear programmes, from memory.

    Examples
    --------
    >>> from steadyneedle.bench.cleaning.harm_rules import Rules
    >>> len(narrowed(task_of(["titanium part"], [("titanium part", "salt")], Rules()), ()).ways)
    4
    """
    ways = [replace(way, uses=tuple(way.uses[at] for at in counted)) for way in task.ways]
    keep = tuple(
        way
        for at, way in enumerate(ways)
        if not any(_beats(other, way) and (n < at or not _beats(way, other)) for n, other in enumerate(ways) if n != at)
    )
    fastest = tuple(1 / max([way.removes[at] for way in keep], default=1) for at in range(len(task.needs)))
    return replace(task, ways=keep, price=_price(task.needs, keep), fastest=fastest)


def _beats(one: Way, other: Way) -> bool:
    """Whether a way does all that another does, at no more of anything."""
    if one.kind != other.kind and not (one.kind == "bath" and other.kind == "tool"):
        return False
    return (
        one.first <= other.first
        and one.brings <= other.brings
        and one.clashes <= other.clashes
        and all(a >= b for a, b in zip(one.removes, other.removes, strict=True))
        and all(a <= b for a, b in zip(one.uses, other.uses, strict=True))
    )
