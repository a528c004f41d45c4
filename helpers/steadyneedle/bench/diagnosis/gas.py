"""Gas in and gas out: what each cause claims about the gas, and which findings speak against it.

The needle rises only if gas comes in from the high-pressure side, warms, or the set point rises; a leak to the outside
can only lower it. *Hazel* climbs and *Alder* sinks as the supply falls with the valve shut: that is the set point.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from steadyneedle.bench.diagnosis.spoken import first_large, words_of_cause
from steadyneedle.foundation import datasets
from steadyneedle.physics.first_stage import supply_slope
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

IN, OUT, SET, GAUGE, LITTLE_GAS = (
    "gas comes in", "gas goes out", "the set point is wrong", "the gauge is wrong", "too little gas comes",
)  # fmt: skip

CLIMBS, AT_THE_STOP, FALLS, CLIMBS_BLED, AGREES, STAYS, HOLDS = (
    "climbs", "climbs to the stop", "falls", "climbs bled", "agrees", "stays", "holds",
)  # fmt: skip

AGAINST = {
    (OUT, CLIMBS): "The needle climbs: a leak to the outside can only lower it",
    (OUT, AT_THE_STOP): "The needle climbs to the stop: a leak to the outside can only lower it",
    (IN, FALLS): "The needle falls: gas that comes in can only raise it",
    (IN, CLIMBS_BLED): "The supply side is bled and the needle still climbs: no gas is left that could come in",
    (SET, CLIMBS): "The needle keeps climbing: a wrong set point makes it stand at the wrong place",
    (GAUGE, AGREES): "A second gauge agrees: the first one tells the truth",
    (LITTLE_GAS, HOLDS): "The needle holds at low supply while the purge button is held: enough gas comes",
}
"""Claim and sign to the sentence; physics of the bookkeeping, no source."""

WATCHES = ("watch_full", "watch_low", "blank", "cycles")
CLIMBING = ("creeps slowly", "creeps fast")
PLACES = {"chamber": "soap_chamber", "rim": "soap_rim", "hose": "soap_hose", "mouthpiece": "soap_mouth"}
AT = {
    "chamber": "at the ambient chamber",
    "rim": "at the rim",
    "hose": "at hoses and fittings",
    "mouthpiece": "at the mouthpiece",
}
SIGNS = {
    **{(test, outcome): CLIMBS for test in WATCHES for outcome in CLIMBING},
    **{(test, "climbs to the stop"): AT_THE_STOP for test in WATCHES},
    **{(test, "falls"): FALLS for test in WATCHES},
    **{("shut", f"supply {supply}, needle climbs"): CLIMBS for supply in ("holds", "falls")},
    **{("shut", f"supply {supply}, needle falls"): FALLS for supply in ("holds", "falls")},
    ("bleed", "needle climbs"): CLIMBS_BLED,
    ("second_gauge", "agrees"): AGREES,
    ("breathe_low", "holds, supply steady"): HOLDS,
}
"""Finding to what it says about the gas. A set point far too high reaches the stop at once, and never climbed."""

SWINGS = ("leak_on_sticky", "creep_and_burp")
"""Faults whose needle goes both ways, slowly one and sharply the other: two minutes may show either."""

ALL_OF_IT, SEEN = 150 * BAR, 0.1 * BAR
"""Pa: how far the supply falls with the valve shut, and what is noticed on a gauge (ours)."""


@dataclass(frozen=True)
class Argument:
    """A finding that speaks against a cause, and why."""

    cause: str
    finding: tuple[str, str]
    because: str


@cache
def claims() -> dict[str, tuple[str, str, str]]:
    """What each cause claims about the gas.

    Parameters
    ----------

    Returns
    -------
    dict
        Cause to its claim, the place where it must bubble (empty where nowhere), and what it must show.

    References
    ----------
    `datasets/diagnosis/gas.csv`: common practice, no source.

    Examples
    --------
    >>> claims()["land_scratched"]
    ('gas goes out', 'rim', 'bubbles at the rim of the diaphragm')
    """
    columns = datasets.table("diagnosis/gas")
    rows = zip(columns["claim"], columns["place"], columns["must_show"], strict=True)
    return dict(zip(columns["cause"], rows, strict=True))


def sign_of(design: str, test: str, outcome: str) -> str | None:
    """What a finding says about the gas.

    Parameters
    ----------
    design : str
        Name of a first stage.
    test, outcome : str
        A finding.

    Returns
    -------
    str or None
        None where it says nothing, as a needle that moves with the supply on an unbalanced stage.

    References
    ----------
    Definition; which set points move with the supply is computed in `physics.first_stage.supply_slope`.

    Examples
    --------
    >>> sign_of("Juniper", "watch_full", "creeps fast"), sign_of("Hazel", "shut", "supply falls, needle climbs")
    ('climbs', None)
    """
    if test == "shut" and outcome == f"supply falls, {_moves_with_supply(design)}":
        return None
    return SIGNS.get((test, outcome))


def _moves_with_supply(design: str) -> str:
    """What the needle does as the supply falls, though no gas moves."""
    change = -ALL_OF_IT * supply_slope(FirstStage.named(design))
    return "needle climbs" if change > SEEN else "needle falls" if change < -SEEN else "needle stays"


def against(design: str, cause: str, findings: Sequence[tuple[str, str]]) -> tuple[Argument, ...]:
    """Which findings speak against a cause, by gas in and gas out.

    Parameters
    ----------
    design : str
        Name of a first stage.
    cause : str
        Key of a cause; of a pair each fault is asked by itself, and a finding must speak against both.
    findings : sequence of (test, outcome)
        What was found.

    Returns
    -------
    tuple of Argument
        In the order of the findings; empty where none speaks against it.

    References
    ----------
    Bookkeeping of the gas: definition. Nothing is proved by it: eyes and ears err.

    Examples
    --------
    >>> for one in against("Juniper", "land_scratched", [("watch_full", "creeps fast"), ("soap_rim", "nothing")]):
    ...     print(one.because)
    The needle climbs: a leak to the outside can only lower it. That speaks against sealing land scratched.
    Soapy water shows nothing at the rim: gas that goes out there bubbles. That speaks against sealing land scratched.
    """
    parts = cause.split("+")
    found = []
    for finding in findings:
        said = [_said_against(design, part, finding) for part in parts]
        if all(said):
            because = f"{first_large(str(said[0]))}. That speaks against {words_of_cause(cause)}."
            found.append(Argument(cause, (finding[0], finding[1]), because))
    return tuple(found)


def _said_against(design: str, fault: str, finding: tuple[str, str]) -> str | None:
    if fault not in claims():
        return None
    claim, place, _ = claims()[fault]
    test, outcome = finding
    if place and test == PLACES[place] and outcome == "nothing":
        return f"Soapy water shows nothing {AT[place]}: gas that goes out there bubbles"
    if fault == "gauge_sticks":
        return (
            "The needle stays when the gauge is tapped: it does not stick"
            if (test, outcome) == ("tap", STAYS)
            else None
        )
    sign = sign_of(design, test, outcome) or ""
    return None if fault in SWINGS and sign in (CLIMBS, AT_THE_STOP, FALLS) else AGAINST.get((claim, sign))
