"""A job's bench goes on from the turn before; the bench that begins anew each time gives the same to the last bit."""

from __future__ import annotations

import random

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.bench_runs import BETWEEN, FULL, PURGED, OnTheBench, Run
from steadyneedle.jobs.kept_bench import InAJob, KeptBench, ShutAtTheStop
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.pool import jobs_alike
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action

RUNS = (
    "full",
    "low",
    "shut",
    "bled",
    "breathed",
    "breathed_low",
    "cycled",
    "next_day",
    "blanked",
    "new_seat",
    "in_pot",
)
BURPS, LIFTS = 501361, 12
"""A job whose valve burps all through a watch, and one whose relief valve may lift while it is purged."""


def same(one: Run, other: Run) -> bool:
    times, readings = one.trace, other.trace
    return (
        one.begin == other.begin and one.after == other.after and times.happened == readings.happened
        and len(times.segments) == len(readings.segments)
        and (not times.segments or np.array_equal(times.time, readings.time))
        and (not times.segments or np.array_equal(times.ip_gauge, readings.ip_gauge))
    )  # fmt: skip


def both(number: int, turn: int) -> tuple[OnTheBench, KeptBench]:
    hidden = job(number).hidden
    kept = InAJob.of(hidden).on_the_bench(turn)
    assert isinstance(kept, KeptBench)
    return OnTheBench(hidden.design, tuple(sorted(hidden.faults.items())), hidden.seed, hidden.room, turn), kept


def test_every_run_is_the_same() -> None:
    dice = random.Random(15)
    numbers = [BURPS, LIFTS, *dice.sample(sorted(jobs_alike()), 2), *dice.sample(range(11, 9000), 3)]
    for number in numbers:
        anew, kept = both(number, dice.randrange(1, 12))
        assert anew.purges[1] == kept.purges[1] and same(anew.purges[0], kept.purges[0])
        for run in dice.sample(RUNS, 3):
            assert same(getattr(anew, run), getattr(kept, run)), (number, anew.turn, run)


@pytest.mark.long
def test_every_run_of_forty_jobs_is_the_same() -> None:
    dice = random.Random(16)
    for number in [*dice.sample(sorted(jobs_alike()), 20), *dice.sample(range(11, 900_000), 20)]:
        anew, kept = both(number, dice.randrange(0, 20))
        assert anew.purges[1] == kept.purges[1] and same(anew.purges[0], kept.purges[0])
        for run in RUNS:
            assert same(getattr(anew, run), getattr(kept, run)), (number, anew.turn, run)


@pytest.mark.parametrize("until", [5.0, PURGED, PURGED + BETWEEN, 40.0])
def test_a_watch_that_ends_at_the_stop_has_the_purges_before_it(until: float) -> None:
    hidden = job(BURPS).hidden
    kept = InAJob.of(hidden).stopped_at(until, 3).bench
    assert isinstance(kept, ShutAtTheStop)
    purges = [Action(PURGED + BETWEEN * k, "purge", 1) for k in range(4)]
    done = [one for one in (Action(0, "valve", 1), *purges) if one.time < until]
    first = rig.start(hidden.design, dict(hidden.faults), FULL, seed=hidden.seed, room=hidden.room)
    assert same(Run(*rig.run(first, done, until), until), kept.full)
