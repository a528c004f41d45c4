"""One cell of the choice grid: the best method for one soil on one part, and the reason."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from steadyneedle.bench.cleaning.best import best_plan
from steadyneedle.bench.cleaning.catalogue import known_parts, must_know
from steadyneedle.bench.cleaning.harm_rules import Rules
from steadyneedle.bench.cleaning.judged import judge_plan
from steadyneedle.bench.cleaning.own_rules import as_rules
from steadyneedle.bench.cleaning.removal import rate_of
from steadyneedle.bench.cleaning.soiled_parts import CARRIED, NOT_FOUND, sitting
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number

ASK_THE_MAKER = "not covered: ask the maker"
FIND_THE_CAUSE = "find where it came from"
NOT_THERE = "not found there"


@dataclass(frozen=True)
class GridCell:
    """What to do with one soil on one part.

    `method` is a method that cleans, or "replace", or one of the three sentences above where there is none; `step` is
    the method with its minutes, None where nothing is cleaned; `reason` is one sentence, `source` where it is from.
    """

    part: str
    soil: str
    method: str
    step: Step | None
    reason: str
    source: str


def cell(part: str, soil: str, rules: Rules | None = None) -> GridCell:
    """The best method for one soil on one part, and why.

    Parameters
    ----------
    part, soil : str
        Names.
    rules : Rules or None
        An instructor's own, from `read_rules`.

    Returns
    -------
    GridCell
        `.method`, `.reason`; "not covered: ask the maker" where no rule covers it.

    Raises
    ------
    ValueError
        An unknown name, with the nearest one.

    References
    ----------
    The best plan for that part and soil alone; `datasets/cleaning/cells.csv` for what is replaced.

    Examples
    --------
    >>> cell("brass land", "scale").method, cell("stainless spring", "rust").method
    ('ultrasonic acid', 'replace')
    >>> cell("bare aluminium part", "scale").method
    'not covered: ask the maker'
    """
    return _cell(must_know("part", part), must_know("soil", soil), as_rules(rules))


@lru_cache(maxsize=2048)
def _cell(part: str, soil: str, rules: Rules) -> GridCell:
    sits = sitting(part, soil)
    if sits.answer == NOT_FOUND:
        return GridCell(part, soil, NOT_THERE, None, f"{soil} cannot sit there: {sits.why}.", sits.source)
    best = best_plan([part], [(part, soil)], rules)
    if sits.answer == CARRIED:
        return GridCell(part, soil, FIND_THE_CAUSE, None, best.because.removeprefix("not covered: "), sits.source)
    if best.steps is None:
        return GridCell(part, soil, ASK_THE_MAKER, None, best.because.removeprefix("not covered: "), sits.source)
    if any(step.method == "replace" for step in best.steps):
        rule = rules.must_replace(known_parts()[part])
        why = rule.why if rule is not None else sits.why
        named = f" ({rules.named(rule)})" if rule is not None and rule.row else ""
        return GridCell(part, soil, "replace", Step("replace"), f"replace it: {why}{named}.", sits.source)
    step = max(best.steps, key=lambda one: (rate_of(one, soil, part) * one.takes, one.takes))
    verdict = judge_plan([part], [(part, soil)], best.steps, rules)
    left = verdict.soil_left[0]
    most = max((one for one in verdict.used), key=lambda one: one.share, default=None)
    harm = f"; {format_number(100 * most.share, 0)} % of {most.rule.words}, the limit, is used" if most else ""
    works = [one for one in best.steps if rate_of(one, soil, part) > 0 and (one.kind.kind != "rinse" or one == step)]
    done = ", then ".join(one.words for one in works)
    reason = f"{done}: {left.words}{harm}; {sits.why}."
    left_open = " ".join(one for used in best.steps for one in rules.not_reached(known_parts()[part], used))
    return GridCell(part, soil, step.method, step, f"{reason} {left_open}".strip(), sits.source)
