"""Judging a cleaning plan: what it leaves, what it harms, what it lacks, and the one sentence why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from steadyneedle.bench.cleaning.catalogue import known_soils, law
from steadyneedle.bench.cleaning.cautions import OXYGEN, cautions_of
from steadyneedle.bench.cleaning.harm_rules import Rules
from steadyneedle.bench.cleaning.limit_rule import LimitRule
from steadyneedle.bench.cleaning.one_part import NEW, OUT
from steadyneedle.bench.cleaning.order_of_steps import missing_steps
from steadyneedle.bench.cleaning.own_rules import as_rules
from steadyneedle.bench.cleaning.soiled_parts import Placed, placed
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.cleaning.steps import read_parts, read_soils, read_steps
from steadyneedle.bench.cleaning.walk import Walk
from steadyneedle.bench.units import format_number

OUTCOMES = ("within limits", "soil left", "harm", "incomplete", "not covered")

_ROUNDING = 1e-9


@dataclass(frozen=True)
class SoilLeft:
    """How much of a soil a plan leaves on a part, and how much may stay [%]."""

    part: str
    soil: str
    percent: float
    limit_percent: float

    @property
    def within(self) -> bool:
        """Whether no more is left than may stay."""
        return self.percent <= self.limit_percent * (1 + _ROUNDING)

    @property
    def words(self) -> str:
        """The amount as a sentence has it."""
        return f"{_percent(self.percent)} of the {self.soil} on the {self.part} (limit {_percent(self.limit_percent)})"


@dataclass(frozen=True)
class Exposure:
    """The share of a limit that a plan uses on a part: 1 is all of it, infinite where it must never be."""

    part: str
    rule: LimitRule
    share: float
    method: str

    @property
    def words(self) -> str:
        """The share as a sentence has it."""
        if self.share == float("inf"):
            return f"{self.method} on the {self.part}: never, {self.rule.why}"
        return (
            f"{self.method} on the {self.part}: {format_number(100 * self.share, 0)} % of its limit, "
            f"{self.rule.words} ({self.rule.why})"
        )


@dataclass(frozen=True)
class PlanVerdict:
    """What a cleaning plan comes to.

    `outcome` is one of `OUTCOMES`, `because` one sentence. `soil_left` has every soil on every part, `used` the share
    of every limit that counts minutes; `harm`, `missing`, `unknown`, `hazards` (with the usual cautions) and
    `sentences` (what else is to be known, own rules named) are sentences. `tight` are shares over our margin, within
    the limit. `minutes` is the whole plan's.
    """

    outcome: str
    because: str
    soil_left: tuple[SoilLeft, ...]
    used: tuple[Exposure, ...]
    harm: tuple[str, ...]
    missing: tuple[str, ...]
    unknown: tuple[str, ...]
    hazards: tuple[str, ...]
    tight: tuple[str, ...]
    sentences: tuple[str, ...]
    minutes: float

    @property
    def too_much_left(self) -> tuple[SoilLeft, ...]:
        """The soils over their limits."""
        return tuple(one for one in self.soil_left if not one.within)


def judge_plan(
    parts: Iterable[str],
    soils: Iterable[str | tuple[str, str]],
    steps: Iterable[Step],
    rules: Rules | None = None,
    *,
    oxygen: bool = False,
) -> PlanVerdict:
    """What a cleaning plan leaves on a set of parts, what it harms, and what it lacks.

    Parameters
    ----------
    parts : iterable of str
        Names from `parts()`, all that lie on the bench.
    soils : iterable of str
        Names from `soils()`, each on every part that can carry it; or pairs of a part and a soil.
    steps : iterable of Step
        The plan; what a step leaves open is the method's usual.
    rules : Rules or None
        An instructor's own, from `read_rules`.
    oxygen : bool
        Whether the parts are for oxygen-enriched gas: then nothing here covers them.

    Returns
    -------
    PlanVerdict
        `.outcome` is "within limits", "soil left", "harm", "incomplete" or "not covered".

    Raises
    ------
    ValueError
        An unknown name, with the nearest one; something that is no list; no parts, no soils.

    References
    ----------
    First-order removal: Schott, J. Am. Oil Chem. Soc. 1975. Each rule names its source in `datasets/cleaning`.

    Examples
    --------
    >>> judge_plan(["bare aluminium part"], ["scale"], [Step("mild acid")]).because
    'harm: mild acid on the bare aluminium part: never, acid eats aluminium.'
    """
    named, soiled, plan, own = read_parts(parts), read_soils(soils), read_steps(steps), as_rules(rules)
    where = placed(named, soiled)
    walk = Walk.of(named, where.pairs, own)
    for number, step in enumerate(plan, 1):
        walk.take(number, step)
    verdict = _verdict(walk, where, plan)
    if oxygen:
        besides = "" if verdict.outcome == "within limits" else f" Judged for air: {verdict.because}"
        said = OXYGEN[0] + besides
        return replace(verdict, outcome="not covered", because=said, sentences=(*OXYGEN, *verdict.sentences))
    return verdict


def _verdict(walk: Walk, where: Placed, plan: tuple[Step, ...]) -> PlanVerdict:
    left, used = _left(walk), _used(walk)
    harm = (
        *walk.dangers,
        *(one.words for one in used if one.share > 1 + _ROUNDING),
        *(mark for one in walk.parts.values() for mark in one.marks),
    )
    unknown, missing = _unknown(walk, where), missing_steps(walk, plan)
    over = [one.words for one in left if not one.within]
    outcome, because = _outcome(harm, unknown, over, missing, used, _at_their_most(plan))
    own = (f"Own rule: {walk.rules.named(rule)}." for rule in walk.own_used)
    lifted = filter(None, map(walk.rules.lifted, walk.own_used))
    margin = law("margin") * (1 + _ROUNDING)
    return PlanVerdict(
        outcome=outcome,
        because=because,
        soil_left=left,
        used=used,
        harm=harm,
        missing=missing,
        unknown=unknown,
        hazards=(*walk.dangers, *lifted, *cautions_of(plan, [soil for _, soil in where.pairs])),
        tight=tuple(
            f"{one.words}: more than the {_margin()} that leave a margin"
            for one in used
            if margin < one.share <= 1 + _ROUNDING
        ),
        sentences=tuple(dict.fromkeys((*where.notes, *walk.notes, *own))),
        minutes=sum(step.takes for step in plan),
    )


def _left(walk: Walk) -> tuple[SoilLeft, ...]:
    return tuple(
        SoilLeft(one.name, soil, one.left(soil), known_soils()[soil].limit_percent)
        for one in walk.parts.values()
        for soil in one.taken
        if one.place != OUT or not walk.is_due(one)
    )


def _used(walk: Walk) -> tuple[Exposure, ...]:
    return tuple(
        Exposure(one.name, rule, share, one.longest[rule])
        for one in walk.parts.values()
        for rule, share in one.used.items()
        if share > 0
    )


def _unknown(walk: Walk, where: Placed) -> tuple[str, ...]:
    still = [sentence for part, sentence in where.unknown if walk.parts[part].place != NEW]
    return tuple(dict.fromkeys([*still, *(said for one in walk.parts.values() for said in one.unknown)]))


def _outcome(
    harm: tuple[str, ...],
    unknown: tuple[str, ...],
    over: list[str],
    missing: tuple[str, ...],
    used: tuple[Exposure, ...],
    at_most: list[str],
) -> tuple[str, str]:
    """The gravest counts: harm cannot be undone; what is unknown comes before what can still be done."""
    if harm:
        return "harm", f"harm: {harm[0]}{_and_more(harm)}."
    if unknown:
        return "not covered", f"not covered: {unknown[0]}{_and_more(unknown)}."
    if over:
        return "soil left", f"soil left: {over[0]}{_and_more(over)}."
    if missing:
        return "incomplete", f"missing: {'; '.join(missing)}."
    most = max(used, key=lambda one: one.share, default=None)
    if most is None:
        said = "every soil is under its limit, and nothing that acts on these parts has a limit of minutes"
        return "within limits", "; ".join([said, *at_most]) + "."
    said = f"every soil is under its limit, and nothing is harmed; the nearest to a limit is {most.words}"
    if most.share > law("margin") * (1 + _ROUNDING):
        said += f", more than the {_margin()} that leave a margin"
    return "within limits", f"{said}."


def _at_their_most(plan: tuple[Step, ...]) -> list[str]:
    """Steps that are as long, hot or strong as rules here cover, where no limit of a part says how near that is."""
    found = []
    for number, step in enumerate(plan, 1):
        kind = step.kind
        ends = ((step.takes, kind.most_minutes, "min"), (step.at_celsius, kind.most_celsius, "°C"),
                (step.at_percent, kind.most_percent, "%"))  # fmt: skip
        near = [f"{format_number(most)} {unit}" for at, most, unit in ends if most is not None and at == most]
        if near and kind.cleans:
            found.append(f"step {number}, {step.method}, is at the most that is covered: {', '.join(near)}")
    return found


def _margin() -> str:
    return f"{format_number(100 * law('margin'))} %"


def _and_more(sentences: Iterable[str]) -> str:
    more = len(list(sentences)) - 1
    return f"; and {more} more" if more else ""


def _percent(percent: float) -> str:
    return "less than 0.01 %" if 0 < percent < 0.01 else f"{format_number(percent)} %"
