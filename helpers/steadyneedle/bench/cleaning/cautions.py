"""The usual cautions of a cleaning plan, why two ultrasonic times are taught, and what oxygen service asks."""

from __future__ import annotations

from collections.abc import Sequence

from steadyneedle.bench.cleaning.catalogue import law, rows
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.units import format_number

OXYGEN = (
    "Nothing here makes a part oxygen-clean, however clean it looks: do not clean for oxygen service by this plan.",
    "Give the part to people who are trained and equipped for oxygen service; they work to the CGA and ASTM documents "
    "that the maker and local rules name, with their own cleaners, tests and records.",
    "Keep it apart from oil, from common grease and from the shop's bath, and mark it until they have it.",
)
"""What oxygen service comes to: the refusal first, then what to do."""

_HEAT = "heat"


def cautions_of(steps: Sequence[Step], soils: Sequence[str] = ()) -> tuple[str, ...]:
    """The usual cautions for what a plan uses, and for what it is to take off.

    Parameters
    ----------
    steps : sequence of Step
        A plan.
    soils : sequence of str
        What it is to take off.

    Returns
    -------
    tuple of str
        Sentences, the most dangerous agent first, disposal last.

    References
    ----------
    `datasets/cleaning/cautions.csv`, from memory.

    Examples
    --------
    >>> cautions_of([Step("mild acid")])[0]
    'Acid: gloves and goggles; acid into water, never water into acid.'
    """
    taken = [step for step in steps if step.takes > 0]
    about = {word for step in taken for word in (step.kind.agent, step.method, step.kind.kind)}
    about |= {"manual", "oxygen", *soils}
    if any((step.at_celsius or 0) >= law("hot_celsius") for step in taken):
        about.add(_HEAT)
    if about & {"acid", "alkali", "solvent", "ammonia", "bleach", "detergent"}:
        about.add("disposal")
    return tuple(row["sentence"] for row in rows("cautions") if row["about"] in about)


def oxygen_service() -> tuple[str, ...]:
    """What oxygen service comes to: the refusal first, then what to do.

    Parameters
    ----------

    Returns
    -------
    tuple of str
        Sentences.

    References
    ----------
    ASTM G93/G93M-19 sets no level of its own (abstract); who may do the work: common practice, local rules.

    Examples
    --------
    >>> oxygen_service()[0]
    'Nothing here makes a part oxygen-clean, however clean it looks: do not clean for oxygen service by this plan.'
    """
    return OXYGEN


def ultrasonic_times() -> tuple[str, ...]:
    """How long hard and soft parts lie in an ultrasonic bath, by whom, and why the answers differ.

    Parameters
    ----------

    Returns
    -------
    tuple of str
        One sentence for each, with its source; the reason for the difference last.

    References
    ----------
    MIL-STD-1330D 5.2.5; a procedure that cites CGA G-4.1-2004; common practice, no source.

    Examples
    --------
    >>> ultrasonic_times()[0]
    'Hard parts, shop: 20 to 60 min (common practice, no source).'
    """
    found = []
    for row in rows("ultrasonic_times", "least_minutes", "most_minutes"):
        least, most = (format_number(row[f"{one}_minutes"]) for one in ("least", "most"))
        hot = f" at {row['least_celsius']} to {row['most_celsius']} °C" if row["least_celsius"] else ""
        found.append(f"{row['who'].capitalize()}: {least} to {most} min{hot} ({row['source']}).")
    found.append(
        "They differ because the standard's bath is hot and strong, and repeated until its test finds nothing; "
        "a shop's small tank is cooler, its parts carry years of scale, and it only looks (from memory)."
    )
    return tuple(found)
