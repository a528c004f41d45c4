"""One part on its way through a plan, and what must be off it before something is done to it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from steadyneedle.bench.cleaning.catalogue import known_methods, known_soils, law
from steadyneedle.bench.cleaning.limit_rule import LimitRule
from steadyneedle.bench.cleaning.removal import rate_of
from steadyneedle.bench.cleaning.steps import CleaningStep as Step

ACID = "acid"
GRIT, OIL, STAINS = "sand and grit", "hydrocarbon oil", "drying stains"
FILMS = (OIL, "silicone grease")
"""What acid does not get through."""
RESIDUE = "disinfectant residue"
"""A soil, and an agent too: nobody sees whether it was bleach, so it counts as that until it is rinsed off."""
IN, OUT, NEW = "in", "out", "new"
RUBS = ("tool", "wipe")
"""Kinds of methods that rub."""


@dataclass
class OnePart:
    """One part on its way through a plan."""

    name: str
    place: str = IN
    taken: dict[str, float] = field(default_factory=dict)  # soil -> rate times minutes so far
    used: dict[LimitRule, float] = field(default_factory=dict)  # rule -> share of its limit
    longest: dict[LimitRule, str] = field(default_factory=dict)  # rule -> the method that used most of it
    marks: dict[str, None] = field(default_factory=dict)
    unknown: dict[str, None] = field(default_factory=dict)
    rubbed: dict[str, None] = field(default_factory=dict)
    lasted: dict[str, float] = field(default_factory=dict)  # agent, or method without one -> minutes so far

    def left(self, soil: str) -> float:
        """Percent of a soil that is left."""
        return 100 * math.exp(-self.taken[soil])

    def dirty(self, soil: str) -> bool:
        """Whether more of a soil is on it than may stay."""
        return soil in self.taken and self.left(soil) > known_soils()[soil].limit_percent

    def forget(self) -> None:
        """A new one takes its place: what was on the old one, and what was done to it, went with it."""
        self.place, self.taken, self.used = NEW, {}, {}
        self.marks, self.unknown, self.rubbed, self.lasted = {}, {}, {}, {}


def too_early(one: OnePart, said: str, step: Step) -> list[str]:
    """What must be off a part before a step: grit before anything rubs, a crust before a tool, a film before acid.

    Parameters
    ----------
    one : OnePart
        The part, as it stands before the step.
    said : str
        What the step is called.
    step : Step
        What comes next.

    Returns
    -------
    list of str
        Each begins with what has to be done first.

    References
    ----------
    Quartz is harder than every metal here (giessereilexikon.com); crust and film: common practice, no source.

    Examples
    --------
    >>> too_early(OnePart("brass land", taken={"scale": 0.0}), "step 2, brass pick", Step("brass pick"))
    ['bathe the scale loose before step 2, brass pick, or the tool grinds it into the surface']
    """
    found = []
    if step.kind.kind in RUBS and one.dirty(GRIT):
        found.append(f"rinse or bathe the grit off before {said}: rubbed-in quartz marks every surface")
    if step.kind.kind == "tool":
        hard = [soil for soil in crusts(one.taken) if one.left(soil) > law("crust_loose")]
        found += [f"bathe the {soil} loose before {said}, or the tool grinds it into the surface" for soil in hard]
    if step.kind.agent == ACID and films_over_crust(one.taken):
        found += [
            f"take the {soil} off before {said}: acid does not reach a crust under it"
            for soil in FILMS
            if one.dirty(soil)
        ]
    return found


def crusts(soils: Iterable[str]) -> list[str]:
    """The hard crusts among some soils.

    Parameters
    ----------
    soils : iterable of str
        Names of soils.

    Returns
    -------
    list of str
        Those that a tool would grind into a surface.

    References
    ----------
    `datasets/cleaning/soils.csv`: common practice, no source.

    Examples
    --------
    >>> crusts(["salt", "scale"])
    ['scale']
    """
    return [soil for soil in soils if known_soils()[soil].crust]


def films_over_crust(soils: Collection[str]) -> list[str]:
    """The films among the soils of one part under which a crust lies that acid takes.

    Parameters
    ----------
    soils : collection of str
        All soils of one part.

    Returns
    -------
    list of str
        Oil and grease that have to go before acid comes.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> films_over_crust(["scale", "hydrocarbon oil"]), films_over_crust(["salt", "hydrocarbon oil"])
    (['hydrocarbon oil'], [])
    """
    acid = [Step(name) for name, method in known_methods().items() if method.agent == ACID]
    lies = any(rate_of(step, soil) for step in acid for soil in crusts(soils))
    return [soil for soil in FILMS if soil in soils] if lies else []
