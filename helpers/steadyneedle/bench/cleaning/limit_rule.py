"""A limit: how long one thing may act on a part, ours or a row of an instructor's, and what a step uses of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache

from steadyneedle.bench.cleaning.catalogue import ALWAYS, ASK, NEVER, NO_LIMIT, known_methods, law, rows
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number

ULTRASOUND, LOW = "ultrasound", "low ultrasound"


@dataclass(frozen=True)
class LimitRule:
    """How long one thing may act on a part: a number of minutes at a temperature and strength, or a word.

    `on` is a part or a material, `by` a method or what acts in it (acid, ultrasound). `row` is the row of an
    instructor's file, 0 for ours; `instead` says that it stands in place of ours even where it is looser.
    `measured_by` are rows that say how much of this limit a step uses, where they stand in its place for one method:
    the method's minutes still count with those of all others. It is no part of what makes two limits the same.
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
    measured_by: tuple[LimitRule, ...] = field(default=(), compare=False)

    @property
    def words(self) -> str:
        """The limit as a sentence has it."""
        if isinstance(self.limit, str):
            return self.limit
        at = [
            f"{format_number(value)} {unit}" if value is not None else f"the usual {name}"
            for value, unit, name in ((self.at_celsius, "°C", "temperature"), (self.at_percent, "%", "strength"))
            if value is not None or (self._fills_in and _has_usual(self.by, name))
        ]
        return f"{format_number(self.limit)} min" + (f" at {', '.join(at)}" if at else "")

    def share(self, step: Step) -> float:
        """The part of the limit that a step uses: minutes, doubled for each 10 °C, in proportion to the strength.

        Where an instructor's row leaves temperature or strength empty, the method's usual one counts, and a weaker or
        cooler bath counts no less.
        """
        shares = [one.share(step) for one in self.measured_by]
        if self.limit == NEVER:
            shares.append(float("inf") if step.takes > 0 else 0.0)
        elif not isinstance(self.limit, str):
            weight = step.takes * self._heat(step) * self._strength(step)
            shares.append(weight / self.limit if self.limit else (float("inf") if weight else 0.0))
        return min(shares, default=0.0)

    def _heat(self, step: Step) -> float:
        at = self._at(self.at_celsius, step.kind.usual_celsius)
        if at is None or step.at_celsius is None:
            return 1.0
        times: float = law("harm_q10") ** ((step.at_celsius - at) / 10)
        return times if self.at_celsius is not None else max(1.0, times)

    def _strength(self, step: Step) -> float:
        at = self._at(self.at_percent, step.kind.usual_percent)
        if not at or step.at_percent is None:
            return 1.0
        return step.at_percent / at if self.at_percent is not None else max(1.0, step.at_percent / at)

    def _at(self, stated: float | None, usual: float | None) -> float | None:
        """What the minutes are for: as stated, or what is usual where an instructor's row leaves it empty."""
        return usual if stated is None and self._fills_in else stated

    @property
    def _fills_in(self) -> bool:
        return self.row > 0 and self.by not in (ULTRASOUND, LOW)


@cache
def our_limits() -> dict[tuple[str, str], LimitRule]:
    """Every limit of ours, by part or material and by what acts.

    Parameters
    ----------

    Returns
    -------
    dict
        Part or material, and agent or method, to limit.

    References
    ----------
    `datasets/cleaning/limits.csv`; each row names its source.

    Examples
    --------
    >>> our_limits()["brass", "acid"].words
    '10 min at 20 °C, 5 %'
    """
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


def _has_usual(by: str, number: str) -> bool:
    """Whether what acts has a usual temperature or strength."""
    name = {"temperature": "usual_celsius", "strength": "usual_percent"}[number]
    return any(getattr(one, name) is not None for one in known_methods().values() if by in (one.name, one.agent))
