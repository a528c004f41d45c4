"""What is known of a design, in two states a cause: quick to make, wrong in its numbers, whole in its names.

Tests of what is done with knowledge stand on it; whether the knowledge is true is asked of the computed tables.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from steadyneedle.bench import diagnosis
from steadyneedle.bench.diagnosis.cause_list import ANOTHER, SOUND, other_pairs
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_OUTCOMES
from steadyneedle.bench.diagnosis.teaching_values import sense_chances
from steadyneedle.foundation.draws import Draws
from steadyneedle.jobs import best_path, debrief
from steadyneedle.jobs.mystery import job


@cache
def few_states(design: str, gauge: str = "fine") -> Knowledge:
    """Eyes find what they find; a needle favours one outcome of each cause, drawn from the cause's name."""
    causes, tests = diagnosis.causes(design), diagnosis.tests(design)
    states = [(n, severity) for n in range(len(causes)) for severity in (0.3, 0.9)]
    outcomes = {test: diagnosis.outcomes(design, test) for test in tests}
    likelihood = {}
    for test in tests:
        rows = []
        for n, severity in states:
            keys = [] if causes[n] == SOUND else causes[n].split("+")
            if causes[n] == ANOTHER:
                keys = list(other_pairs(design)[0])
            if test in NEEDLE_OUTCOMES:
                favoured = Draws("few states", test, keys[0] if keys else SOUND).integer(0, len(outcomes[test]) - 1)
                row = np.full(len(outcomes[test]), 0.2 / len(outcomes[test]))
                row[favoured] += 0.8
            else:
                row = np.maximum(sense_chances(test, dict.fromkeys(keys, severity), {}), 1e-4)
            rows.append(row / row.sum())
        likelihood[test] = np.array(rows)
    count = len(causes)
    return Knowledge(
        design, gauge, causes, np.full(count, 1 / count), np.repeat(np.arange(count), 2), np.full(2 * count, 0.5), tests,
        outcomes, likelihood,
    )  # fmt: skip


def know_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """For one test, jobs know no more of their designs than this."""

    def known_of(number: int) -> Knowledge:
        return few_states(job(number).design, job(number).gauge)

    for module in (best_path, debrief):
        monkeypatch.setattr(module, "known_of", known_of)
    best_path.best_path.cache_clear()
    best_path.advice_of.cache_clear()
