"""What it takes in minutes to be sure of one cause, if a test is done next: two tests ahead, then an estimate.

Both tests ahead are exact: every outcome of every pair, the second chosen for each outcome of the first. What is unsure
after them is taken to be told at the rate of the best single test now, `OVERLAP` times slower because tests tell partly
the same, and never to cost more than to end unsure.
"""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.diagnosis.beliefs import Belief
from steadyneedle.bench.diagnosis.information import times_log
from steadyneedle.bench.diagnosis.stacked import joint, joint_of_two, stacked
from steadyneedle.bench.diagnosis.workbench import Workbench

GIVING_UP = 240.0
"""min; what ending unsure counts: strip it, replace whatever could be at fault, set it again (invented)."""

OVERLAP = 3.0
"""So many times slower; tried from 1 to 12 on the toy and on 40 drawn regulators, where 2 to 5 did alike."""


def minutes_ahead(after: Belief, bench: Workbench, confidence: float) -> dict[str, float]:
    """Minutes until one cause is sure, or until one ends unsure, for each test that could be done next.

    Parameters
    ----------
    after : Belief
        What is believed now.
    bench : Workbench
        What each test costs.
    confidence : float
        From which chance on a cause is sure.

    Returns
    -------
    dict
        Test to minutes, with the weight of opening the stage in them; inf for a test that was done often enough.

    References
    ----------
    Expected cost two steps ahead (definition), with an estimate of ours behind it; the exact optimum of a small bench
    stands in `tests/bench/test_choice.py`.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> minutes = minutes_ahead(belief(TOY, []), TOY_BENCH, 0.95)
    >>> min(minutes, key=minutes.get)
    'tap'
    """
    layout, done = stacked(after.knowledge), tuple(test for test, _ in after.findings)
    first = np.array([bench.weight(test, done) for test in layout.tests])
    second = np.array([[bench.weight(test, (*done, one)) for test in layout.tests] for one in layout.tests])
    one, both = joint(layout, after.states), joint_of_two(layout, after.states)
    of_one, of_two = one.sum(axis=0), both.sum(axis=0)
    # chance times entropy, so that every mean is a plain sum
    unsure_one = times_log(of_one) - times_log(one).sum(axis=0)
    unsure = times_log(of_two) - times_log(both).sum(axis=0)
    told = -times_log(after.chances).sum() - np.add.reduceat(unsure_one, layout.starts)
    rate = max(float((told / first).max()), 1e-9)
    left = np.minimum(GIVING_UP * of_two, OVERLAP / rate * np.maximum(unsure, 0.0))
    left[both.max(axis=0) >= confidence * of_two] = 0.0
    then = second[layout.test_of] * of_one[:, None] + np.add.reduceat(left, layout.starts, axis=1)
    best = np.minimum(then.min(axis=1), GIVING_UP * of_one)
    best[one.max(axis=0) >= confidence * of_one] = 0.0
    total = first + np.add.reduceat(best, layout.starts)
    return dict(zip(layout.tests, total.tolist(), strict=True))
