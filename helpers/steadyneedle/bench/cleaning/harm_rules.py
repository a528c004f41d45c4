"""What harms what: our limits, an instructor's own rules over them, and what a step uses of each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from steadyneedle.bench.cleaning.catalogue import (
    ALWAYS,
    ASK,
    NEVER,
    NO_LIMIT,
    CleanedPart,
    Method,
    known_parts,
    law,
    rows,
)
from steadyneedle.bench.cleaning.scratching import scratch
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number

NOT_NEEDED = "not needed"
ULTRASOUND, LOW = "ultrasound", "low ultrasound"


@dataclass(frozen=True)
class LimitRule:
    """How long one thing may act on a part: a number of minutes at a temperature and strength, or a word.

    `on` is a part or a material, `by` a method or what acts in it (acid, ultrasound). `row` is the row of an
    instructor's file, 0 for ours; `instead` says that it stands in place of ours even where it is looser.
    """

    on: str
    by: str
    limit: float | str
    at_celsius: float | None
    at_percent: float | None
    instead: bool
    why: str
    source: str
    row: int = 0

    @property
    def words(self) -> str:
        """The limit as a sentence has it."""
        if isinstance(self.limit, str):
            return self.limit
        at = [
            f"{format_number(value)} {unit}"
            for value, unit in ((self.at_celsius, "°C"), (self.at_percent, "%"))
            if value is not None
        ]
        return f"{format_number(self.limit)} min" + (f" at {', '.join(at)}" if at else "")

    def share(self, step: Step) -> float:
        """The part of the limit that a step uses: minutes, doubled for each 10 °C, in proportion to the strength."""
        if self.limit == NEVER:
            return float("inf") if step.takes > 0 else 0.0
        if isinstance(self.limit, str):
            return 0.0
        weight = step.takes
        if self.at_celsius is not None and step.at_celsius is not None:
            weight *= law("harm_q10") ** ((step.at_celsius - self.at_celsius) / 10)
        if self.at_percent and step.at_percent is not None:
            weight *= step.at_percent / self.at_percent
        return weight / self.limit if self.limit else (float("inf") if weight else 0.0)


@dataclass(frozen=True)
class Rules:
    """Rules of an instructor's file, laid over ours: the stricter wins, unless a row says that it stands instead."""

    own: tuple[LimitRule, ...] = ()
    name: str = ""

    def named(self, rule: LimitRule) -> str:
        """Where one of its rows stands, as a verdict names it, and what it stands beside or in place of."""
        materials = [part.material for part in known_parts().values() if part.name == rule.on]
        ours = next((_ours()[on, rule.by] for on in (rule.on, *materials) if (on, rule.by) in _ours()), None)
        beside = f" ({'in place of ours' if rule.instead else 'ours'}: {ours.words})" if ours is not None else ""
        return f"{self.name}, row {rule.row}: {rule.by} on {rule.on}, {rule.words}{beside}"

    def own_on(self, part: CleanedPart, acts: tuple[str, ...]) -> list[LimitRule]:
        """Its rows about a part, or its material, and any of some things that act."""
        return [rule for rule in self.own if rule.on in (part.name, part.material) and rule.by in acts]

    def about(self, parts: Sequence[str]) -> list[LimitRule]:
        """Its rows about any of some parts or their materials."""
        names = {name for part in parts for name in (part, known_parts()[part].material)}
        return [rule for rule in self.own if rule.on in names]

    def must_replace(self, part: CleanedPart) -> LimitRule | None:
        """The rule that a part is replaced whatever is on it; None where it may be cleaned and kept."""
        own = self.own_on(part, ("replace",))
        always = next((rule for rule in own if rule.limit == ALWAYS), None)
        ours = None if any(rule.instead for rule in own) else _ours().get((part.name, "replace"))
        return always or ours


@dataclass(frozen=True)
class Touch:
    """What one step does to one part: rules that count, whether something is not covered, whether a tool marks it."""

    counted: tuple[LimitRule, ...] = ()
    not_covered: str = ""
    marks: str = ""
    too_hot: str = ""
    own: tuple[LimitRule, ...] = field(default=())


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
    about, kind = known_parts()[part], step.kind
    own = tuple(rules.own_on(about, (kind.name, *acting(step))))
    counted, unknown = list(own), ""
    freed = {rule.by for rule in own if rule.instead}
    known = {rule.by for rule in own if rule.limit != ASK}
    if kind.name not in freed:
        for agent in acting(step):
            ours = _ours().get((about.material, agent))
            if agent in freed or (ours is None and agent == LOW):
                continue
            if ours is None or ours.limit == ASK:
                if not {agent, kind.name} & known:
                    why = f": {ours.why}" if ours else ""
                    unknown = f"{agent} on the {part} is not covered{why}. Ask the maker"
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


@cache
def _ours() -> dict[tuple[str, str], LimitRule]:
    return {(rule.on, rule.by): rule for rule in _read_ours()}


def _read_ours() -> Iterator[LimitRule]:
    for row in rows("limits"):
        yield LimitRule(
            row["part"],
            row["method"],
            _limit(row["limit_minutes"]),
            float(row["at_celsius"]) if row["at_celsius"] else None,
            float(row["at_percent"]) if row["at_percent"] else None,
            False,
            row["why"],
            row["source"],
        )


def _limit(cell: str) -> float | str:
    return cell if cell in (NEVER, ALWAYS, ASK, NO_LIMIT) else float(cell)
