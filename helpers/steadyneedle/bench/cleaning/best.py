"""The best cleaning plan: fewest minutes, then fewest steps, with every soil under its limit and nothing harmed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from steadyneedle.bench.cleaning.catalogue import known_parts, law
from steadyneedle.bench.cleaning.cautions import OXYGEN
from steadyneedle.bench.cleaning.harm_rules import Rules
from steadyneedle.bench.cleaning.order_of_steps import GAS, tail_of
from steadyneedle.bench.cleaning.own_rules import as_rules
from steadyneedle.bench.cleaning.search import Found, search
from steadyneedle.bench.cleaning.soiled_parts import placed
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.cleaning.steps import read_parts, read_soils
from steadyneedle.bench.cleaning.walk import Walk
from steadyneedle.bench.cleaning.ways import task_of
from steadyneedle.bench.units import format_number


@dataclass(frozen=True)
class BestPlan:
    """The best plan, or None and the reason why there is none; `sentences` name own rules."""

    steps: tuple[Step, ...] | None
    because: str
    minutes: float | None = None
    states: int = 0
    sentences: tuple[str, ...] = ()


def best_plan(
    parts: Iterable[str], soils: Iterable[str | tuple[str, str]], rules: Rules | None = None, *, oxygen: bool = False
) -> BestPlan:
    """The plan of fewest minutes, then fewest steps, that leaves every soil under its limit and harms nothing.

    It is looked for in whole minutes at each method's usual temperature, strength and frequency, with at most 80 % of
    any exposure limit used, and real rinses between what must not meet. Parts that have to be replaced are replaced.

    Parameters
    ----------
    parts : iterable of str
        Names from `parts()`.
    soils : iterable of str
        Names from `soils()`, or pairs of a part and a soil.
    rules : Rules or None
        An instructor's own, from `read_rules`.
    oxygen : bool
        Whether the parts are for oxygen-enriched gas: then there is no plan.

    Returns
    -------
    BestPlan
        `.steps` or None, `.because`, `.minutes`.

    Raises
    ------
    ValueError
        As `judge_plan`.

    References
    ----------
    As `judge_plan`; the margin of 80 % is ours.

    Examples
    --------
    >>> [step.words for step in best_plan(["titanium part"], ["salt"]).steps][:2]
    ['strip, 10 min', 'rinse, 6 min at 20 °C']
    """
    named, soiled, own = read_parts(parts), read_soils(soils), as_rules(rules)
    if oxygen:
        return BestPlan(None, OXYGEN[0])
    where = placed(named, soiled)
    said = tuple(f"Own rule: {own.named(rule)}." for rule in own.about(named))
    if where.unknown:
        return BestPlan(None, f"not covered: {where.unknown[0][1]}.", sentences=said)
    walk = Walk.of(named, where.pairs, own)
    due = [one.name for one in walk.parts.values() if walk.is_due(one)]
    kept = [name for name in named if name not in due]
    soft = [name for name in kept if known_parts()[name].comes_out]
    if soft and len(soft) < len(named) and walk.mixed:
        return BestPlan(
            None,
            f"wash the {soft[0]} by itself, in a plan of its own: soft parts stay out of this bath.",
            sentences=said,
        )
    pairs = [(part, soil) for part, soil in where.pairs if part in kept]
    return _searched(walk, kept, pairs, own, said)


def _searched(walk: Walk, kept: list[str], pairs: list[tuple[str, str]], own: Rules, said: tuple[str, ...]) -> BestPlan:
    task = task_of(kept, pairs, own)
    found = Found(None, 0) if task.stuck else search(task)
    if found.steps is None:
        return BestPlan(None, _no_way(kept, pairs, own, found), None, found.states, said)
    due = [name for name in walk.parts if name not in kept]
    steps = _framed(found.steps, walk, bool(due))
    minutes = sum(step.takes for step in steps)
    left_open = [one for step in found.steps for part in kept for one in own.not_reached(known_parts()[part], step)]
    said = tuple(dict.fromkeys((*said, *left_open)))
    return BestPlan(steps, _because(minutes, due), minutes, found.states, said)


def _because(minutes: float, due: list[str]) -> str:
    margin = f"{format_number(100 * law('margin'))} %"
    new = f"; replaced: {', '.join(due)}" if due else ""
    said = f"this takes {format_number(minutes)} min; no shorter plan in whole minutes cleans it all and stays within"
    return f"{said} {margin} of each limit{new}."


def _framed(cleaning: tuple[Step, ...], walk: Walk, due: bool) -> tuple[Step, ...]:
    """Cleaning between what comes before it and after it in every service."""
    head = ["strip"] + ["soft parts out"] * (walk.mixed and bool(cleaning))
    dry = [GAS] * any(step.kind.has_to_dry for step in cleaning)
    seen, *closed = tail_of(walk)
    tail = [*dry, seen, *["replace"] * due, *closed]
    return (*map(Step, head), *cleaning, *map(Step, tail))


def _no_way(kept: list[str], pairs: list[tuple[str, str]], own: Rules, found: Found) -> str:
    if found.stopped:
        return f"the search was stopped after {found.states} states: clean these parts in smaller sets."
    for part in kept:
        alone = task_of([part], [pair for pair in pairs if pair[0] == part], own)
        if alone.stuck:
            what = f"nothing that is covered takes the {alone.stuck} off the {part} without harm"
            return f"not covered: {what}. Ask the maker, or replace it."
        if search(alone).steps is None:
            return f"not covered: nothing cleans the {part} of all this without harm. Ask the maker, or replace it."
    return f"these parts cannot share one plan: clean {' and '.join(f'the {part}' for part in kept)} apart."
