"""How fast a step takes a soil off: first order, by stated rates, faster when hotter or stronger."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from steadyneedle.bench.cleaning.catalogue import known_parts, known_soils, law, rows
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number


@dataclass(frozen=True)
class RemovalRate:
    """A rate [1/min] at the temperature and strength it belongs to; None where those do not matter."""

    method: str
    soil: str
    per_minute: float
    at_celsius: float | None
    at_percent: float | None
    source: str


@cache
def removal_rates() -> dict[tuple[str, str], RemovalRate]:
    """Every stated rate, by method and soil; what is not there takes nothing off.

    Parameters
    ----------

    Returns
    -------
    dict
        Method and soil to rate.

    References
    ----------
    `datasets/cleaning/removal.csv`: teaching values, and the published ones among them.

    Examples
    --------
    >>> removal_rates()["neutral detergent", "hydrocarbon oil"].per_minute
    0.109
    """
    return {
        (row["method"], row["soil"]): RemovalRate(
            row["method"],
            row["soil"],
            row["rate_per_min"],
            float(row["at_celsius"]) if row["at_celsius"] else None,
            float(row["at_percent"]) if row["at_percent"] else None,
            row["source"],
        )
        for row in rows("removal", "rate_per_min")
    }


def rate_of(step: Step, soil: str, part: str | None = None) -> float:
    """How fast a step takes a soil off: a cloth reaches no bore.

    Parameters
    ----------
    step : Step
        What is done.
    soil : str
        Name of a soil.
    part : str or None
        What it sits on; None for a part that is reached all over.

    Returns
    -------
    float
        Rate in 1/min, 0 where the method does not take it off.

    References
    ----------
    First order: Schott, J. Am. Oil Chem. Soc. 1975. Temperature: 1.6 times for each 10 °C, Jennings, 36 to 82 °C.
    In proportion to strength, up to twice the stated one: from memory.

    Examples
    --------
    >>> round(rate_of(Step("ultrasonic detergent", celsius=54.4), "hydrocarbon oil"), 4)
    0.2826
    """
    found = removal_rates().get((step.method, soil))
    if found is None or (part is not None and step.kind.kind == "wipe" and known_parts()[part].bores):
        return 0.0
    rate = found.per_minute
    if found.at_celsius is not None and step.at_celsius is not None:
        rate *= law("removal_q10") ** ((step.at_celsius - found.at_celsius) / 10)
    if found.at_percent and step.at_percent is not None:
        rate *= min(step.at_percent / found.at_percent, 2.0)
    return rate


def needed(soil: str) -> float:
    """How much must come off: the natural logarithm of all of a soil over what may stay.

    Parameters
    ----------
    soil : str
        Name of a soil.

    Returns
    -------
    float
        Rate times minutes that brings it to its limit; infinite where nothing may stay.

    References
    ----------
    First-order removal: exp(-rate times minutes) is left.

    Examples
    --------
    >>> round(needed("scale"), 3)
    2.996
    """
    limit = known_soils()[soil].limit_percent
    return math.log(100 / limit) if limit else math.inf


def scaled_words(step: Step, soil: str) -> str:
    """What to say where a published rate was measured at another temperature than that of a step.

    Parameters
    ----------
    step : Step
        What is done.
    soil : str
        Name of a soil.

    Returns
    -------
    str
        A sentence, or nothing.

    References
    ----------
    Jennings: 1.6 times for each 10 °C, 36 to 82 °C.

    Examples
    --------
    >>> scaled_words(Step("ultrasonic detergent", celsius=54.4), "hydrocarbon oil")
    ''
    """
    found = removal_rates().get((step.method, soil))
    if found is None or not found.source.startswith("published") or found.at_celsius is None:
        return ""
    if step.at_celsius is None or math.isclose(step.at_celsius, found.at_celsius):
        return ""
    outside = "" if 36 <= step.at_celsius <= 82 else "; it was measured from 36 to 82 °C only"
    return (
        f"{step.method} on {soil}: the published rate, {format_number(found.per_minute)} /min at "
        f"{format_number(found.at_celsius)} °C, is scaled to {format_number(rate_of(step, soil))} /min at "
        f"{format_number(step.at_celsius)} °C "
        f"by {format_number(law('removal_q10'))} for each 10 °C (Jennings){outside}."
    )


def too_cold(step: Step) -> str:
    """What to say where a step is colder than its rates hold for; nothing where they hold.

    Parameters
    ----------
    step : Step
        What is done.

    Returns
    -------
    str
        The words of a sentence, or nothing.

    References
    ----------
    Jennings measured 36 to 82 °C; the least temperatures of `datasets/cleaning/methods.csv` are ours.

    Examples
    --------
    >>> too_cold(Step("mild acid", celsius=0))
    '0 °C is below 15 °C, and no rate here holds for so cold a mild acid'
    >>> too_cold(Step("mild acid"))
    ''
    """
    least = step.kind.least_celsius
    if least is None or step.at_celsius is None or step.at_celsius >= least:
        return ""
    at = f"{format_number(step.at_celsius)} °C is below {format_number(least)} °C"
    return f"{at}, and no rate here holds for so cold a {step.method}"
