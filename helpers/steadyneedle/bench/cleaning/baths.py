"""A part in a bath against time: the soil that is left, and how much of its limit is used."""

from __future__ import annotations

import math
from dataclasses import dataclass

from steadyneedle.bench.cleaning.catalogue import known_soils, must_know
from steadyneedle.bench.cleaning.harm_rules import Rules, touched
from steadyneedle.bench.cleaning.own_rules import as_rules
from steadyneedle.bench.cleaning.removal import needed, rate_of, too_cold
from steadyneedle.bench.cleaning.soiled_parts import CLEAN, sitting
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number


@dataclass(frozen=True)
class BathCourse:
    """Soil left and harm against time, both in percent: of the soil, and of the limit that is reached first.

    `clean_at` is the minute at which the soil is under its limit, `harmed_at` the one at which a limit is used up;
    infinite where that never happens, 0 where it must never be. `not_covered` is a sentence, or nothing.
    """

    minutes: tuple[float, ...]
    soil_left: tuple[float, ...]
    harm: tuple[float, ...]
    soil_limit: float
    clean_at: float
    harmed_at: float
    reason: str
    not_covered: str
    because: str


def bath_course(
    part: str, soil: str, step: Step, minutes: float = 60, points: int = 121, rules: Rules | None = None
) -> BathCourse:
    """What a step does to one soil on one part as it goes on.

    Parameters
    ----------
    part, soil : str
        Names.
    step : Step
        A bath, a wipe, a tool or a rinse; its own minutes do not matter.
    minutes : float
        How far the course goes, above 0 and up to a day.
    points : int
        How many times, 2 to 2000.
    rules : Rules or None
        An instructor's own, from `read_rules`.

    Returns
    -------
    BathCourse
        Minutes, percent of the soil left, percent of the nearest limit used.

    Raises
    ------
    ValueError
        An unknown name, a step that cleans nothing, a number out of range.

    References
    ----------
    First order: Schott, J. Am. Oil Chem. Soc. 1975; harm in proportion to time: from memory.

    Examples
    --------
    >>> course = bath_course("chromed body", "scale", Step("mild acid"))
    >>> round(course.clean_at, 1), course.harmed_at
    (7.5, 5.0)
    """
    part, soil, own = must_know("part", part), must_know("soil", soil), as_rules(rules)
    if not isinstance(step, Step) or not step.kind.cleans:
        raise ValueError("step must be something that cleans: a bath, a tool or a rinse, such as Step('mild acid').")
    one = Step(step.method, minutes, step.celsius, step.percent, step.kilohertz)
    if not one.takes > 0 or isinstance(points, bool) or not isinstance(points, int) or not 2 <= points <= 2000:
        raise ValueError("minutes must be above 0, and points a whole number from 2 to 2000.")
    does = touched(part, one, own)
    rate = rate_of(one, soil, part) if sitting(part, soil).answer == CLEAN else 0.0
    shares = {rule: rule.share(one) / one.takes for rule in does.counted}
    worst = max(shares, key=lambda rule: shares[rule], default=None)
    pace = shares[worst] if worst is not None else 0.0
    times = tuple(one.takes * at / (points - 1) for at in range(points))
    left = tuple(100 * math.exp(-rate * at) for at in times)
    harm = tuple(100 * pace * at if at else 0.0 for at in times)
    clean_at = needed(soil) / rate if rate else math.inf
    harmed_at = 0.0 if does.marks or does.too_hot or pace == math.inf else 1 / pace if pace else math.inf
    reason = does.marks or does.too_hot or (worst.why if worst is not None and pace else "")
    unknown = does.not_covered or (_no_rate(one) if harmed_at else "")
    return BathCourse(
        times, left, harm, known_soils()[soil].limit_percent, clean_at, harmed_at, reason, unknown,
        _because(one, part, soil, clean_at, harmed_at, reason),
    )  # fmt: skip


def _because(step: Step, part: str, soil: str, clean_at: float, harmed_at: float, reason: str) -> str:
    if harmed_at and _no_rate(step):
        return f"{_no_rate(step)}. Ask the maker."
    takes = (
        f"takes the {soil} off the {part} in {format_number(clean_at, 1)} min"
        if clean_at < math.inf
        else f"does not take the {soil} off the {part}"
    )
    if harmed_at == 0:
        return f"{step.method} {takes}, and must not be used: {reason}."
    if harmed_at == math.inf:
        return f"{step.method} {takes}; no limit of time is reached."
    return f"{step.method} {takes}; its limit is reached in {format_number(harmed_at, 1)} min: {reason}."


def _no_rate(step: Step) -> str:
    """What to say where a step is colder or hotter than any rate here holds for; nothing where one holds."""
    most, at = step.kind.most_celsius, step.at_celsius
    if most is None or at is None or at <= most:
        return too_cold(step)
    return (
        f"{format_number(at)} °C is above {format_number(most)} °C, and no rate here holds for so hot a {step.method}"
    )
