"""Beliefs and advice, as ratios in one run: to a bare product, and to as many updates as an advice stands for."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.beliefs import before, belief
from steadyneedle.bench.diagnosis.choice import choose
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.workbench import Workbench

pytestmark = pytest.mark.benchmark


def big() -> Knowledge:
    """900 states, 36 tests, 4.5 outcomes each on average: the size of a design's table, with invented numbers."""
    draw = np.random.default_rng(5)
    cause_of = np.sort(np.concatenate((np.arange(32), draw.integers(0, 32, 868))))
    names = {f"test_{n}": tuple(f"shows_{o}" for o in range(2 + n % 6)) for n in range(36)}
    tables = {test: draw.dirichlet(np.full(len(shows), 0.5), 900) * 0.98 for test, shows in names.items()}
    return Knowledge(
        "big", "fine", tuple(f"cause_{n}" for n in range(32)), np.full(32, 1 / 32), cause_of,
        1 / np.bincount(cause_of)[cause_of], tuple(names), names,
        {test: table + 0.02 / table.shape[1] for test, table in tables.items()},
    )  # fmt: skip


KNOWN = big()
BENCH = Workbench(lambda test, done: 1.0 + len(test))
FINDINGS = [(test, KNOWN.outcomes[test][0]) for test in KNOWN.tests[:8]]
OUTCOMES = sum(len(shows) for shows in KNOWN.outcomes.values())


def least(call: Callable[[], object], tries: int) -> float:
    """Processor seconds, the least of many tries: another process is nobody's cost."""
    taken = []
    for _ in range(tries):
        start = time.thread_time()
        call()
        taken.append(time.thread_time() - start)
    return min(taken)


def test_an_update_against_the_bare_product() -> None:
    """At most 5 times the product of the columns and its normalisation: the requirement."""
    columns = [(KNOWN.likelihood[test], KNOWN.outcomes[test].index(outcome)) for test, outcome in FINDINGS]

    def bare() -> np.ndarray:
        weights = before(KNOWN)
        for table, column in columns:
            weights = weights * table[:, column]
        return weights / weights.sum()

    np.testing.assert_allclose(belief(KNOWN, FINDINGS).states, bare(), atol=1e-12)
    ratio = least(lambda: belief(KNOWN, FINDINGS), 200) / least(bare, 200)
    print(f"an update with eight findings: {ratio:.1f} times the bare product")
    assert ratio <= 5, ratio


@pytest.mark.parametrize(("goal", "power", "most"), [("information", 1, 2.0), ("cost", 2, 3.0)])
def test_an_advice_against_as_many_updates(goal: str, power: int, most: float) -> None:
    """At most 2 and 3 times tests x outcomes updates, and its square: the requirement."""
    one = least(lambda: belief(KNOWN, FINDINGS[:1]), 200)
    ours = least(lambda: choose(KNOWN, FINDINGS[:1], BENCH, goal), 5)
    ratio = ours / (one * OUTCOMES**power)
    print(f"{goal}: {1e3 * ours:.1f} ms, {ratio:.4f} times {OUTCOMES}^{power} updates of {1e6 * one:.0f} us")
    assert ratio <= most, ratio
