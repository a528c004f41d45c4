"""The door for whoever asks about a design by name: what it may be, and what to test next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from steadyneedle.physics.stages import FirstStage

if TYPE_CHECKING:
    from steadyneedle.bench.diagnosis.choice import NextTest
    from steadyneedle.bench.diagnosis.knowledge import Knowledge


def posterior(
    design: str, findings: Sequence[tuple[str, str]], gauge: str = "fine", weights: str = "ours"
) -> dict[str, float]:
    """How likely each cause is after any findings.

    Parameters
    ----------
    design : str
        Name of a first stage.
    findings : sequence of (test, outcome)
        As `tests` and `outcomes` name them, in any order; a test may stand several times, "not done" says nothing.
    gauge : str
        "fine" or "coarse".
    weights : str
        How often each cause is met: "ours" or "trade".

    Returns
    -------
    dict
        Cause to probability; they sum to 1.

    Raises
    ------
    ValueError
        An unknown design, test, outcome, gauge or table of weights; the sentence names the known ones.

    References
    ----------
    Bayes' rule over drawn regulators; needles computed with the rig, eyes, ears and weights invented teaching values.

    Examples
    --------
    >>> chances = posterior("Juniper", [("soap_rim", "bubbles"), ("watch_full", "stands")])
    >>> max(chances, key=chances.get), round(sum(chances.values()), 9)
    ('land_scratched', 1.0)
    """
    from steadyneedle.bench.diagnosis.beliefs import belief

    return belief(_known(design, gauge, weights), findings).by_cause


def next_test(
    design: str,
    findings: Sequence[tuple[str, str]],
    goal: str = "information",
    confidence: float = 0.95,
    gauge: str = "fine",
    weights: str = "ours",
) -> NextTest:
    """Which test to do next, and why.

    Parameters
    ----------
    design : str
        Name of a first stage.
    findings : sequence of (test, outcome)
        In the order in which they were found.
    goal : str
        "information": most bits a minute now. "cost": fewest minutes until one cause is sure, two tests ahead.
    confidence : float
        From which chance on a cause is sure; above 0.5 and below 1.
    gauge : str
        "fine" or "coarse".
    weights : str
        How often each cause is met: "ours" or "trade".

    Returns
    -------
    NextTest
        `test` (None to stop), `because`, `worth`, `ranking`.

    Raises
    ------
    ValueError
        An unknown design, test, outcome, goal, gauge or table of weights, or no confidence.

    References
    ----------
    As `choice.choose`.

    Examples
    --------
    >>> next_test("Juniper", []).test
    'listen'
    """
    from steadyneedle.bench.diagnosis.choice import choose
    from steadyneedle.bench.diagnosis.workbench import workbench

    return choose(_known(design, gauge, weights), findings, workbench(design), goal, confidence)


def _known(design: str, gauge: str, weights: str) -> Knowledge:
    from steadyneedle.bench.diagnosis.knowledge import knowledge

    for given, what, there in (
        (design, "design", FirstStage.names()), (gauge, "gauge", ("fine", "coarse")),
        (weights, "table of weights", ("ours", "trade")),
    ):  # fmt: skip
        if not isinstance(given, str) or given not in there:
            raise ValueError(f"There is no {what} {given!r}. Known are: {', '.join(there)}.")
    return knowledge(design, gauge, weights)
