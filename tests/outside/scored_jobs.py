"""Simulated trainees at mystery jobs: what they state beside what is right, and how many minutes it takes them.

Each believes what is computed, and each tests in another order: by the advice, by a habit of the trade, at random. Jobs
are drawn by number, on regulators and gauges that the tables never saw. `python tests/outside/scored_jobs.py 2000`
plays them in two processes and prints the table that DEVELOPERS.md keeps.
"""

from __future__ import annotations

import itertools
import multiprocessing
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from steadyneedle.jobs.best_path import Adviser, advised, computed_with, known_of
from steadyneedle.jobs.bill import total
from steadyneedle.jobs.habits import ENOUGH, RANDOM, habits, keeps_to
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.play import seen

FIRST = 12_001
"""The first job that is scored; classes play others, and those from 10,001 on were looked at while the tables grew."""

BINS = (0.0, 0.3, 0.5, 0.7, 0.9, 1.0)
"""Edges of five bins of stated confidence."""

NEVER = 240.0
"""min that count for a job in which somebody never gets sure, beside those spent: as the advice counts giving up."""

MOST = 40
"""Tests at most: every test once."""


@dataclass(frozen=True)
class Stated:
    """One step: the confidence in the leading cause, whether that is the true one, minutes spent until then."""

    number: int
    confidence: float
    right: bool
    minutes: float


def trainees(number: int) -> dict[str, Adviser]:
    """Who plays a job, by name."""
    by_habit = {habit: keeps_to(habit) for habit in habits()}
    return {
        "advice": lambda known, findings: advised(known, findings).test,
        "most bits a minute": lambda known, findings: advised(known, findings, "information").test,
        **by_habit,
        RANDOM: keeps_to(RANDOM, number),
    }


def steps_of(number: int, adviser: Adviser) -> list[Stated]:
    """A job played by one trainee, a step after each test; the last is where they stop."""
    known, truth, findings = known_of(number), job(number).hidden.cause, list[tuple[str, str]]()
    made = []
    while True:
        now = computed_with(known, findings)
        minutes = total([test for test, _ in findings]).minutes
        made.append(Stated(number, now.of_leader, now.leader == truth, minutes))
        test = adviser(known, findings) if len(findings) < MOST else None
        if test is None:
            return made
        findings.append((test, seen(number, test, len(findings)).outcome))


def played_by(number: int, names: Sequence[str] = ()) -> dict[str, list[Stated]]:
    """A job played by the named trainees, or by all."""
    return {name: steps_of(number, one) for name, one in trainees(number).items() if not names or name in names}


@dataclass(frozen=True)
class Bin:
    """Steps whose confidence lies in a bin: how many, stated minus share right, and its standard error over jobs."""

    low: float
    high: float
    count: int
    off: float
    error: float

    @property
    def within(self) -> bool:
        """Within 2 points or 2.6 standard errors, whichever is larger; a bin of fewer than 100 steps says nothing."""
        return self.count < 100 or abs(self.off) <= max(0.02, 2.6 * self.error)


def binned(steps: Iterable[Stated], edges: Sequence[float] = BINS, seed: int = 1) -> list[Bin]:
    """Stated confidence beside the share right, bin by bin; the error by bootstrap over jobs, whose steps hang together."""
    listed = list(steps)
    confidence, right, at = (
        np.array([getattr(one, name) for one in listed]) for name in ("confidence", "right", "number")
    )
    jobs, which = np.unique(at, return_inverse=True)
    draws = np.random.default_rng(seed).multinomial(len(jobs), np.full(len(jobs), 1 / len(jobs)), size=400)
    made = []
    for low, high in itertools.pairwise(edges):
        inside = (confidence >= low) & ((confidence < high) | (high == edges[-1]))
        count = np.bincount(which, inside, len(jobs))
        off = np.bincount(which, inside * (confidence - right), len(jobs))
        with np.errstate(invalid="ignore", divide="ignore"):
            again = draws @ off / (draws @ count)
        whole = float(off.sum() / count.sum()) if count.sum() else 0.0
        made.append(Bin(low, high, int(count.sum()), whole, float(np.nanstd(again)) if count.sum() else 0.0))
    return made


def minutes_until_sure(steps: Sequence[Stated], enough: float = ENOUGH) -> float:
    """Minutes until somebody first states so much; `NEVER` more than all they spent where they never do."""
    return next((one.minutes for one in steps if one.confidence >= enough), steps[-1].minutes + NEVER)


def mean_with_interval(values: Sequence[float], seed: int = 1) -> tuple[float, float, float]:
    """Mean and its 95 % interval, by bootstrap."""
    data = np.array(values)
    again = data[np.random.default_rng(seed).integers(0, len(data), (1000, len(data)))].mean(axis=1)
    return float(data.mean()), float(np.quantile(again, 0.025)), float(np.quantile(again, 0.975))


def report(scored: Sequence[dict[str, list[Stated]]]) -> str:
    """The table: five bins of all trainees together and over all steps, then minutes of each trainee."""
    every = [step for one in scored for steps in one.values() for step in steps]
    lines = [f"{len(scored)} jobs, {len(every)} steps", "stated | steps | stated minus right | standard error"]
    lines += [
        f"{b.low:.1f} to {b.high:.1f} | {b.count} | {100 * b.off:+.1f} | {100 * b.error:.1f}" for b in binned(every)
    ]
    whole = binned(every, (0.0, 1.0))[0]
    lines.append(f"all | {whole.count} | {100 * whole.off:+.1f} | {100 * whole.error:.1f}")
    lines.append("trainee | mean minutes to 95 % | interval | never sure | right at the end")
    for name in scored[0]:
        mine = [one[name] for one in scored if name in one]
        mean, low, high = mean_with_interval([minutes_until_sure(one) for one in mine])
        never = np.mean([max(step.confidence for step in one) < ENOUGH for one in mine])
        right = np.mean([one[-1].right for one in mine])
        lines.append(f"{name} | {mean:.0f} | {low:.0f} to {high:.0f} | {100 * never:.0f} % | {100 * right:.0f} %")
    return "\n".join(lines)


def score(count: int, names: Sequence[str] = ()) -> list[dict[str, list[Stated]]]:
    """So many jobs, each played by the named trainees, or by all; in two processes."""
    with multiprocessing.get_context("spawn").Pool(2) as pool:
        return list(pool.imap(partial(played_by, names=names), range(FIRST, FIRST + count), chunksize=4))


if __name__ == "__main__":
    print(report(score(int(sys.argv[1]) if len(sys.argv) > 1 else 100)))
