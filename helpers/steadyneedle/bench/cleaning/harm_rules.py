"""What harms what: our limits, an instructor's own rules over them, and what a step uses of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from steadyneedle.bench.cleaning.catalogue import (
    ALWAYS,
    ASK,
    NEVER,
    NO_LIMIT,
    CleanedPart,
    Method,
    known_methods,
    known_parts,
    law,
)
from steadyneedle.bench.cleaning.limit_rule import LOW, ULTRASOUND, LimitRule, our_limits
from steadyneedle.bench.cleaning.scratching import scratch
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number

NOT_NEEDED = "not needed"


@dataclass(frozen=True)
class Rules:
    """Rules of an instructor's file, laid over ours: the stricter wins, unless a row says that it stands instead."""

    own: tuple[LimitRule, ...] = ()
    name: str = ""

    def named(self, rule: LimitRule) -> str:
        """Where one of its rows stands, as a verdict names it, and what it stands beside or in place of."""
        ours = _beside(rule)
        alone = len(ours) == 1 and ours[0].by == rule.by
        said = "; ".join(one.words if alone else f"{one.by} {one.words}" for one in ours)
        if rule.instead and rule.by in known_methods() and known_methods()[rule.by].kind == "tool":
            said = "; ".join(filter(None, (said, "whether it marks, by hardness")))
        beside = f" ({'in place of ours' if rule.instead else 'ours'}: {said})" if said else ""
        return f"{self.name}, row {rule.row}: {rule.by} on {rule.on}, {rule.words}{beside}"

    def lifted(self, rule: LimitRule) -> str:
        """What a row allows that ours never allow, as a warning; empty where it lifts no "never"."""
        never = [one for one in _beside(rule) if one.limit == NEVER] if rule.instead and rule.limit != NEVER else []
        said = "; ".join(f"{one.by} on {one.on}: {one.why}" for one in never)
        return f"{self.name}, row {rule.row}, allows what our rules never allow ({said})" if said else ""

    def own_on(self, part: CleanedPart, acts: tuple[str, ...]) -> list[LimitRule]:
        """Its rows about a part, or its material, and any of some things that act; a "never" goes through a finish."""
        return [rule for rule in self.own if self._is_on(rule, part) and rule.by in acts]

    def _is_on(self, rule: LimitRule, part: CleanedPart) -> bool:
        """Whether a row is about a part: a "never" for a metal holds for each finish on it that no row names."""
        if rule.on in (part.name, part.material):
            return True
        named = any(one.on in (part.name, part.material) and one.by == rule.by for one in self.own)
        return rule.limit == NEVER and rule.on == part.over and not named

    def not_reached(self, part: CleanedPart, step: Step) -> list[str]:
        """What its rows leave open in a step: a "never" for one method, a number for the metal under a finish."""
        acts = acting(step)
        said = [
            f"Own rule: {self.name}, row {rule.row}, forbids {rule.by} on the {part.name}, but not "
            f"{step.method}, which brings {step.kind.agent} too. To forbid both, write {step.kind.agent} as the method."
            for rule in self.own
            if rule.limit == NEVER and rule.by != step.method and rule.by not in acts and self._is_on(rule, part)
            if step.kind.agent in acts and known_methods().get(rule.by, step.kind).agent == step.kind.agent
            if rule.by in known_methods()
        ]
        return said + [
            f"Own rule: {self.name}, row {rule.row}, is about {rule.on}; the {part.name} is {part.material}, "
            f"and that row does not count for it. Write a row for {part.material} if it should."
            for rule in self.own
            if part.over and rule.on == part.over and rule.by in (step.method, *acts) and not self._is_on(rule, part)
        ]

    def about(self, parts: Sequence[str]) -> list[LimitRule]:
        """Its rows about any of some parts or their materials."""
        listed = [known_parts()[part] for part in parts]
        return [rule for rule in self.own if any(self._is_on(rule, part) for part in listed)]

    def must_replace(self, part: CleanedPart) -> LimitRule | None:
        """The rule that a part is replaced whatever is on it; None where it may be cleaned and kept."""
        own = self.own_on(part, ("replace",))
        always = next((rule for rule in own if rule.limit == ALWAYS), None)
        ours = None if any(rule.instead for rule in own) else our_limits().get((part.name, "replace"))
        return always or ours


@dataclass(frozen=True)
class Touch:
    """What one step does to one part: rules that count, whether something is not covered, whether a tool marks it."""

    counted: tuple[LimitRule, ...] = ()
    not_covered: str = ""
    marks: str = ""
    too_hot: str = ""
    own: tuple[LimitRule, ...] = field(default=())

    def covered_minutes(self, kind: Method) -> float:
        """How long a method is covered for: our most, or what an instructor's row says where that is longer."""
        said = [rule.limit for rule in self.own if rule.by in (kind.name, kind.agent)]
        if kind.most_minutes is None or NO_LIMIT in said:
            return math.inf
        return max([kind.most_minutes, *(limit for limit in said if not isinstance(limit, str))])


def acting(step: Step) -> tuple[str, ...]:
    """What acts on a part in a step.

    Parameters
    ----------
    step : Step
        Any.

    Returns
    -------
    tuple of str
        An agent such as "acid", "ultrasound", and "low ultrasound" where the frequency is at most 25 kHz.

    References
    ----------
    `datasets/cleaning/methods.csv`; 20 to 25 kHz apart as in ASTM G131.

    Examples
    --------
    >>> acting(Step("ultrasonic acid", kilohertz=25))
    ('acid', 'ultrasound', 'low ultrasound')
    """
    kind, found = step.kind, []
    if kind.kind in ("bath", "wipe"):
        found.append(kind.agent)
    if kind.ultrasonic:
        found.append(ULTRASOUND)
        if step.at_kilohertz is not None and step.at_kilohertz <= law("low_kilohertz"):
            found.append(LOW)
    return tuple(found)


def touched(part: str, step: Step, rules: Rules) -> Touch:
    """What a step does to a part by every rule that applies.

    Parameters
    ----------
    part : str
        Name of a part.
    step : Step
        What is done to it.
    rules : Rules
        An instructor's own, or `Rules()`.

    Returns
    -------
    Touch
        The rules that count minutes, and a sentence for whatever is not covered, marked or too hot.

    References
    ----------
    `datasets/cleaning/limits.csv` and `hardness.csv`.

    Examples
    --------
    >>> touched("bare aluminium part", Step("mild acid"), Rules()).counted[0].limit
    'never'
    """
    about, kind, acts = known_parts()[part], step.kind, acting(step)
    own = tuple(rules.own_on(about, (kind.name, *acts)))
    counted, unknown = list(own), ""
    freed = {rule.by for rule in own if rule.instead}
    known = {rule.by for rule in own if rule.limit != ASK}
    for agent in dict.fromkeys((*acts, kind.name)):
        ours = our_limits().get((about.material, agent))
        if (
            (agent in freed and agent in acts)
            or (ours is None and agent not in acts)
            or (ours is None and agent == LOW)
        ):
            continue
        by_method = [rule for rule in own if rule.by == kind.name and rule.by not in acts and rule.limit != ASK]
        if kind.name in freed:
            counted += _together(about, agent, ours, by_method)
        elif ours is None or ours.limit == ASK:
            if not {agent, kind.name} & known:
                why = f": {ours.why}" if ours else ""
                unknown = f"{agent} on the {part} is not covered{why}. Ask the maker"
            counted += _together(about, agent, ours, by_method)
        else:
            counted.append(ours)
    asked = next((rule for rule in own if rule.limit == ASK), None)
    if asked is not None:
        unknown = f"{asked.by} on the {part}: {rules.name}, row {asked.row}, says ask. Ask the maker"
    marks = ""
    if kind.kind == "tool" and kind.name not in freed:
        marks, missing = _marked(part, kind)
        if missing and kind.name not in known:
            unknown = missing
    hot = _too_hot(about, step)
    return Touch(tuple(counted), unknown, marks, hot, own)


def _together(about: CleanedPart, agent: str, ours: LimitRule | None, own: list[LimitRule]) -> list[LimitRule]:
    """The limit into which an instructor's rows for one method count, together with all else that brings its agent."""
    if ours is None or ours.limit == NO_LIMIT or not own:
        return []
    if isinstance(ours.limit, str):
        why = "what one of them uses up is gone for the others"
        ours = LimitRule(about.name, agent, f"all rows on {agent} together", None, None, False, why, ours.source)
    return [replace(ours, measured_by=tuple(own))]


def _beside(rule: LimitRule) -> list[LimitRule]:
    """Our limits that an instructor's row stands beside, or in place of: on the same, by what acts in it."""
    materials = [part.material for part in known_parts().values() if part.name == rule.on]
    acts = [rule.by, *(acting(Step(rule.by)) if rule.by in known_methods() else ())]
    low = [LOW] if ULTRASOUND in acts and rule.by in known_methods() else []
    listed = dict.fromkeys((*acts, *low))
    found = [our_limits()[on, by] for by in listed for on in (rule.on, *materials) if (on, by) in our_limits()]
    return [one for one in found if one.by == rule.by or one.limit != NO_LIMIT]


def _marked(part: str, kind: Method) -> tuple[str, str]:
    try:
        found = scratch(kind.name, part)
    except ValueError:
        return "", f"{kind.name} on the {part} is not covered: no hardness of it is known. Ask the maker"
    return ("", "") if found.outcome == "safe" else (found.because, "")


def _too_hot(part: CleanedPart, step: Step) -> str:
    if step.at_celsius is None or step.at_celsius <= part.most_celsius or step.takes == 0:
        return ""
    return (
        f"{step.method} at {format_number(step.at_celsius)} °C is too hot for the {part.name}: "
        f"at most {format_number(part.most_celsius)} °C"
    )
