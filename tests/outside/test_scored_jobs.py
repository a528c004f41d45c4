"""Simulated trainees: what is stated is what is right, and the advice needs fewer minutes than the habits of the trade.

A sample of 30 jobs in CI; 2,000 under `-m long`, in two processes, by the advice and by each habit. Bounds: in each of five bins with at least 100 steps
stated confidence minus share right lies within 2 points or 2.6 standard errors, whichever is larger; over all steps
within 1.5 points, or 2.6 standard errors where they are too few jobs for that.
"""

from __future__ import annotations

import numpy as np
import pytest
import scored_jobs
from scored_jobs import FIRST, NEVER, Stated, binned, mean_with_interval, minutes_until_sure

from steadyneedle.jobs.habits import habits, keeps_to

SAMPLE, WHOLE = 30, 2_000
BESIDE, HABIT = 10, "outside first"
"""So many jobs of the sample are also played by this habit: others take the rig five times as long."""


def judged(scored: list[dict[str, list[Stated]]], least: float) -> None:
    every = [step for one in scored for steps in one.values() for step in steps]
    off = [one for one in binned(every) if not one.within]
    assert off == [], scored_jobs.report(scored)
    whole = binned(every, (0.0, 1.0))[0]
    assert abs(whole.off) <= max(0.015, 2.6 * whole.error if least else 0.0), scored_jobs.report(scored)
    for habit in set(scored[0]) & set(habits()):
        both = [one for one in scored if habit in one]
        saved = [minutes_until_sure(one[habit]) - minutes_until_sure(one["advice"]) for one in both]
        assert mean_with_interval(saved)[1] > 0, (habit, scored_jobs.report(scored))


def test_thirty_jobs() -> None:
    names = [("advice", HABIT) if n < BESIDE else ("advice",) for n in range(SAMPLE)]
    judged([scored_jobs.played_by(FIRST + n, who) for n, who in enumerate(names)], least=1)


@pytest.mark.long
def test_two_thousand_jobs() -> None:
    scored = scored_jobs.score(WHOLE, ("advice", *habits()))
    print(scored_jobs.report(scored))
    judged(scored, least=0)


def test_the_bins_find_who_is_too_sure_and_pass_who_is_not() -> None:
    """Made steps whose truth is known: honest ones pass, ones that state ten points more than is right do not."""
    draws = np.random.default_rng(3)
    chances = draws.uniform(0.1, 0.999, (1500, 6))
    right = draws.random((1500, 6)) < chances
    honest = [Stated(n, c, bool(r), 1.0) for n in range(1500) for c, r in zip(chances[n], right[n], strict=True)]
    proud = [Stated(one.number, min(one.confidence + 0.1, 1.0), one.right, 1.0) for one in honest]
    assert all(one.within for one in binned(honest)) and abs(binned(honest, (0.0, 1.0))[0].off) < 0.015
    assert [one.within for one in binned(proud)].count(False) >= 4
    assert sum(one.count for one in binned(honest)) == len(honest)


def test_minutes_count_what_never_comes() -> None:
    steps = [
        Stated(1, 0.2, False, 0.0),
        Stated(1, 0.7, True, 10.0),
        Stated(1, 0.96, True, 24.0),
        Stated(1, 0.9, True, 30.0),
    ]
    assert minutes_until_sure(steps) == 24.0
    assert minutes_until_sure(steps[:2]) == 10.0 + NEVER
    mean, low, high = mean_with_interval([1.0, 2.0, 3.0, 4.0])
    assert low < mean == 2.5 < high


def test_a_habit_keeps_its_order_whatever_it_finds() -> None:
    from steadyneedle.jobs.best_path import known_of

    known, order = known_of(1), habits()["outside first"]
    assert keeps_to("outside first")(known, []) == order[0] == "watch_full"
    assert keeps_to("outside first")(known, [("watch_full", "stands")]) == order[1]
    one, other = (keeps_to("random", number)(known, []) for number in (1, 2))
    assert one in known.tests and other in known.tests
    assert keeps_to("random", 1)(known, []) == one
    with pytest.raises(ValueError, match="There is no habit 'none'; there are spring, diaphragm, land; outside first"):
        keeps_to("none")
