"""How often each cause shows each outcome, on each gauge: the table that people read, with its sampling error."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.diagnosis.gauge_kinds import GAUGES
from steadyneedle.bench.diagnosis.knowledge import TABLES, Knowledge, knowledge
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_TESTS
from steadyneedle.foundation.datasets import Computed

LEAST = 0.005
"""What is less likely is not listed."""


def share_of(known: Knowledge, test: str) -> tuple[np.ndarray, np.ndarray]:
    """How likely each cause shows each outcome of a test, and the sampling error of that.

    Parameters
    ----------
    known : Knowledge
        A design on a gauge.
    test : str
        One of its tests.

    Returns
    -------
    tuple of arrays of shape (causes, outcomes)
        Probabilities, smoothed; standard errors for as many regulators as were drawn.

    Raises
    ------
    KeyError
        The design has no such test.

    References
    ----------
    Binomial standard error of the regulators that were drawn.

    Examples
    --------
    >>> share, error = share_of(knowledge("Alder"), "tap")
    >>> bool(share[known_row("Alder", "gauge_sticks"), 1] > 0.5), bool((error < 0.15).all())
    (True, True)
    """
    chances = known.likelihood[test]
    count = np.bincount(known.cause_of, minlength=len(known.causes))[:, None]
    share = np.zeros((len(known.causes), chances.shape[1]))
    np.add.at(share, known.cause_of, chances * known.within[:, None])
    return share, np.sqrt(share * (1 - share) / count)


def known_row(design: str, cause: str) -> int:
    """Which row of `share_of` a cause has.

    Parameters
    ----------
    design, cause : str
        Names.

    Returns
    -------
    int
        From 0.

    Raises
    ------
    ValueError
        The design cannot have the cause.

    References
    ----------
    Definition.

    Examples
    --------
    >>> known_row("Alder", "sound")
    0
    """
    return knowledge(design).causes.index(cause)


def _rows(part: tuple[str, str]) -> list[tuple[str, ...]]:
    design, gauge = part
    known = knowledge(design, gauge)
    made: list[tuple[str, ...]] = []
    count = np.bincount(known.cause_of)
    for test in NEEDLE_TESTS:
        if test not in known.tests:
            continue
        share, error = share_of(known, test)
        for row, cause in enumerate(known.causes):
            for column, outcome in enumerate(known.outcomes[test]):
                if share[row, column] < LEAST:
                    continue
                numbers = (f"{share[row, column]:.3f}", f"{error[row, column]:.3f}", str(count[row]))
                made.append((design, gauge, test, cause, outcome, *numbers, "computed: drawn regulators on the rig"))
    return made


SIGNALS = Computed(
    ("design", "gauge", "test", "cause", "outcome", "probability", "standard_error", "regulators", "source"),
    lambda: tuple((design, gauge) for design in TABLES for gauge in GAUGES),
    _rows,
)
