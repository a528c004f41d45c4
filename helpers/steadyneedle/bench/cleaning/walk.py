"""A plan walked through step by step: what is on the parts, what acted on them, what met that must not meet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

from steadyneedle.bench.cleaning.catalogue import known_parts, law, rows
from steadyneedle.bench.cleaning.harm_rules import Rules, touched
from steadyneedle.bench.cleaning.limit_rule import LimitRule
from steadyneedle.bench.cleaning.one_part import ACID, IN, NEW, OIL, OUT, RESIDUE, STAINS, OnePart, too_early
from steadyneedle.bench.cleaning.removal import needed, rate_of, scaled_words
from steadyneedle.bench.cleaning.soiled_parts import REPLACE, sitting
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number

HEAT, SOLVENT = "heat", "solvent"
WIPE_COLD = "wipe with it, cold"


@dataclass
class Walk:
    """A plan on its way: the parts, what is present since the last real rinse, and what there is to say."""

    parts: dict[str, OnePart]
    rules: Rules
    present: dict[str, str] = field(default_factory=dict)  # agent -> the step that brought it
    unrinsed: str = ""
    owed: str = ""
    dangers: dict[str, None] = field(default_factory=dict)
    late: dict[str, None] = field(default_factory=dict)
    notes: dict[str, None] = field(default_factory=dict)
    own_used: dict[LimitRule, None] = field(default_factory=dict)
    soft_in_bath: str = ""
    wet: bool = False  # with water, since the parts were last dried

    @classmethod
    def of(cls, parts: Sequence[str], pairs: Sequence[tuple[str, str]], rules: Rules) -> Walk:
        """Before the first step: every soil whole."""
        made = {name: OnePart(name) for name in parts}
        for part, soil in pairs:
            made[part].taken[soil] = 0.0
        own = [rule for name in made for rule in rules.own_on(known_parts()[name], ("replace",))]
        return cls(made, rules, own_used=dict.fromkeys(own))

    @property
    def mixed(self) -> bool:
        """Whether the set has both parts that come out before a bath and parts that stay in."""
        return len({known_parts()[name].comes_out for name in self.parts}) == 2

    def inside(self) -> list[OnePart]:
        """The parts that a step reaches."""
        return [one for one in self.parts.values() if one.place == IN]

    def take(self, number: int, step: Step) -> None:
        """One more step."""
        said = f"step {number}, {step.method}"
        if step.takes == 0:
            self.notes[f"{said}: 0 minutes do not count as done."] = None
            return
        if step.too_weak:
            self.notes[
                f"{said}: {format_number(step.at_percent or 0.0)} % is too weak to count as done; "
                f"it takes {format_number(step.kind.usual_percent or 0.0)} % at least."
            ] = None
        elif not step.done:
            self.notes[
                f"{said}: {format_number(step.takes)} min are too short to count as done; "
                f"it takes {format_number(step.kind.least_minutes)} min at least."
            ] = None
        self.wet = self.wet or step.kind.wets
        does = {
            "bath": self._clean,
            "wipe": self._clean,
            "tool": self._clean,
            "rinse": self._rinse,
            "neutral": self._neutralise,
            "dry": self._dry,
            "replace": self._replace,
        }.get(step.kind.kind)
        if does is not None:
            does(said, step)
        elif step.method == "soft parts out" and self.mixed:
            for one in self.inside():
                if known_parts()[one.name].comes_out:
                    one.place = OUT

    def _rinse(self, said: str, step: Step) -> None:
        self._warm_and_strong(said, step)
        self._residue_comes_in()
        self._remove(step)
        if step.done:
            self.present, self.unrinsed = {}, ""

    def _residue_comes_in(self) -> None:
        """Disinfectant that dried on a part meets whatever comes, until a real rinse leaves no more than may stay."""
        for one in self.inside():
            if one.dirty(RESIDUE):
                self.present.setdefault(RESIDUE, one.name)

    def _clean(self, said: str, step: Step) -> None:
        inside = self.inside()
        if self.mixed and any(known_parts()[one.name].comes_out for one in inside):
            self.soft_in_bath = self.soft_in_bath or said
        self._warm_and_strong(said, step)
        self._meet(said, step)
        if self.owed and step.kind.agent != ACID:
            self.late[f"neutralise after {self.owed}, before {said}"] = None
        for one in inside:
            one.rubbed |= dict.fromkeys(too_early(one, said, step))
            does = touched(one.name, step, self.rules)
            for rule in does.counted:
                one.used[rule] = one.used.get(rule, 0.0) + rule.share(step)
                one.longest[rule] = step.method
            self.own_used |= dict.fromkeys(does.own)
            self.notes |= dict.fromkeys(self.rules.not_reached(known_parts()[one.name], step))
            one.marks |= dict.fromkeys(filter(None, (does.marks, does.too_hot)))
            one.unknown |= dict.fromkeys(filter(None, (does.not_covered,)))
            self._lasts(one, said, step, does.covered_minutes(step.kind))
        if step.kind.ultrasonic and step.takes > _standard_minutes():
            self.notes[
                f"{said}: MIL-STD-1330D 5.2.5 asks for at most {format_number(_standard_minutes())} min; to leave hard "
                "parts in for longer is common practice, no source."
            ] = None
        self._remove(step)
        if step.kind.kind != "wipe":
            self.unrinsed = said
        if step.kind.agent == ACID:
            self.owed = said

    def _lasts(self, one: OnePart, said: str, step: Step, most: float) -> None:
        """A bath goes on for longer than any rule here is for."""
        what = step.kind.agent or step.method
        one.lasted[what] = one.lasted.get(what, 0.0) + step.takes
        if one.lasted[what] > most * (1 + 1e-9):
            minutes, limit = format_number(one.lasted[what]), format_number(most)
            one.unknown[
                f"{said}: {minutes} min of {what}, and no rule here covers more than {limit} min. Ask the maker"
            ] = None

    def _remove(self, step: Step) -> None:
        for one in self.inside():
            for soil in one.taken:
                if not self.resists(one, soil):
                    one.taken[soil] += rate_of(step, soil, one.name) * step.takes
                    self.notes |= dict.fromkeys(filter(None, (scaled_words(step, soil),)))

    def _warm_and_strong(self, said: str, step: Step) -> None:
        """Hotter, stronger or lower in pitch than the method is covered for; solvent is never warm."""
        kind = step.kind
        warm = kind.most_celsius is not None and step.at_celsius is not None and step.at_celsius > kind.most_celsius
        if kind.agent == SOLVENT and (warm or kind.ultrasonic):
            self.dangers[f"{said}: never warm a solvent, its vapour burns; {WIPE_COLD}"] = None
        elif warm:
            self._unknown(f"{said}: {_c(step.at_celsius)} is above its most, {_c(kind.most_celsius)}. Ask the maker")
        if kind.most_percent is not None and step.at_percent is not None and step.at_percent > kind.most_percent:
            self._unknown(
                f"{said}: {format_number(step.at_percent)} % is stronger than its most, "
                f"{format_number(kind.most_percent)} %. Ask the maker"
            )
        if step.at_kilohertz is not None and not 20 <= step.at_kilohertz <= 200:
            self._unknown(
                f"{said}: {format_number(step.at_kilohertz)} kHz is no usual bath, 20 to 200 kHz. Ask the maker"
            )
        for one in self.inside() if kind.kind == "rinse" else ():
            one.marks |= dict.fromkeys(filter(None, (touched(one.name, step, self.rules).too_hot,)))

    def _unknown(self, sentence: str) -> None:
        for one in self.inside():
            one.unknown[sentence] = None

    def _meet(self, said: str, step: Step) -> None:
        """What this step brings meets what is there since the last real rinse."""
        self._residue_comes_in()
        brings = [step.kind.agent] if step.kind.agent else []
        if step.kind.kind == "bath" and (step.at_celsius or 0) >= law("heat_celsius"):
            brings.append(HEAT)
        for agent in brings:
            for other, from_step in self.present.items():
                gives = never_together().get(frozenset((agent, other)))
                if gives and other == RESIDUE:
                    self.dangers[
                        f"{said}, meets {RESIDUE} on the {from_step}: {gives}; "
                        "ask which disinfectant it was, and rinse it off in running fresh water first"
                    ] = None
                elif gives:
                    self.dangers[
                        f"{said}, meets {other} of {from_step}: {gives}; rinse in running fresh water between them"
                    ] = None
        for agent in brings:
            self.present.setdefault(agent, said)

    def _neutralise(self, said: str, step: Step) -> None:
        self._warm_and_strong(said, step)
        if not step.done:
            return
        if ACID in self.present:
            self.late[f"rinse between {self.present[ACID]}, and {said}: the acid left would foam and use it up"] = None
        self.owed, self.unrinsed = "", said

    def _dry(self, said: str, step: Step) -> None:
        if not step.done:
            return
        if self.unrinsed:
            self.late[f"rinse after {self.unrinsed}, before {said}: what is still on the parts dries on"] = None
        for one in self.inside():
            if step.method == "dry with shop air":
                one.taken[OIL] = 0.0
            elif step.method == "leave to dry" and self.wet:
                one.taken[STAINS] = 0.0
        if step.method == "dry with shop air":
            self.notes[f"{said}: a workshop compressor's air carries oil, and leaves it on every part."] = None
        elif step.method == "leave to dry" and self.wet:
            self.notes[f"{said}: water that dries by itself leaves stains."] = None
        self.wet = False

    def _replace(self, said: str, step: Step) -> None:
        if step.part is not None and step.part not in self.parts:
            raise ValueError(
                f"{said}: '{step.part}' is not among the parts. Add it to the parts, or leave the step out."
            )
        which = [self.parts[step.part]] if step.part else [one for one in self.parts.values() if self.is_due(one)]
        if not which:
            self.notes[f"{said}: nothing in this set has to be replaced."] = None
        for one in which:
            one.forget()

    def is_due(self, one: OnePart) -> bool:
        """Whether a part has to be replaced: by its rule, or by what sits on it."""
        if one.place == NEW:
            return False
        return self.rules.must_replace(known_parts()[one.name]) is not None or any(
            self.resists(one, soil) for soil in one.taken
        )

    def resists(self, one: OnePart, soil: str) -> bool:
        """Whether a soil means a new part; not on a soft part that an instructor's rule lets wash and keep."""
        if needed(soil) == math.inf:
            return True
        about = known_parts()[one.name]
        kept = about.comes_out and self.rules.must_replace(about) is None
        return sitting(one.name, soil).answer == REPLACE and not kept


@cache
def never_together() -> dict[frozenset[str], str]:
    """What two agents give that must not meet.

    Parameters
    ----------

    Returns
    -------
    dict
        Two agents to what comes of them.

    References
    ----------
    `datasets/cleaning/never_together.csv`, from memory.

    Examples
    --------
    >>> never_together()[frozenset(("acid", "bleach"))]
    'chlorine gas: it kills'
    """
    return {frozenset((row["one"], row["other"])): row["gives"] for row in rows("never_together")}


@cache
def _standard_minutes() -> float:
    listed = rows("ultrasonic_times", "most_minutes")
    return next(row["most_minutes"] for row in listed if row["who"] == "hard parts, standard")


def _c(celsius: float | None) -> str:
    return f"{format_number(celsius or 0.0)} °C"
