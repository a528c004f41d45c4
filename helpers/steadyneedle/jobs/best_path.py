"""The path that the computed advice takes through a job, on the same hidden regulator."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import CONFIDENCES, JobPath, Said
from steadyneedle.jobs.play import counts_as, seen

if TYPE_CHECKING:
    from steadyneedle.bench.diagnosis.beliefs import Belief
    from steadyneedle.bench.diagnosis.choice import NextTest

MOST_TESTS = 20
"""The advice stops by itself long before."""

Findings = Sequence[tuple[str, str]]
Adviser = Callable[[Knowledge, Findings], str | None]
"""From what is known and found to the key of the next test; None to stop."""


def known_of(number: int) -> Knowledge:
    """What is known of a job's design, read with its gauge."""
    from steadyneedle.bench.diagnosis.knowledge import knowledge

    one = job(number)
    return knowledge(one.design, one.gauge)


def computed_with(known: Knowledge, findings: Findings) -> Belief:
    """What to believe after some findings, with what is known."""
    from steadyneedle.bench.diagnosis.beliefs import belief

    return belief(known, findings)


def computed(number: int, findings: Findings) -> Belief:
    """What to believe in a job after some findings."""
    return computed_with(known_of(number), findings)


def advised(known: Knowledge, findings: Findings, goal: str = "cost") -> NextTest:
    """What the advice says after some findings."""
    from steadyneedle.bench.diagnosis.choice import choose
    from steadyneedle.bench.diagnosis.workbench import workbench

    return choose(known, findings, workbench(known.design), goal=goal)


def cheapest(known: Knowledge, findings: Findings) -> str | None:
    """The test that the advice by cost names next."""
    return advised(known, findings).test


@lru_cache(maxsize=64)
def advice_of(number: int, findings: tuple[tuple[str, str], ...]) -> str:
    """What the advice by cost says after some findings of a job, in a sentence; kept, for it takes a second."""
    return advised(known_of(number), findings).because


def advice_lines(number: int, findings: Findings) -> tuple[str, str]:
    """What is computed after some findings of a job, in sentences: what to believe, and what to test next."""
    return computed(number, findings).because, advice_of(number, tuple(findings))


def in_per_cent(chance: float) -> int:
    """A chance as one of the confidences that a trainee may say: the nearest.

    >>> in_per_cent(0.93), in_per_cent(0.0)
    (95, 5)
    """
    return min(CONFIDENCES, key=lambda one: abs(one - 100 * chance))


def played(number: int, adviser: Adviser, most: int = MOST_TESTS) -> JobPath:
    """A job played by somebody who does what an adviser says, and believes what is computed.

    Parameters
    ----------
    number : int
        The job's.
    adviser : callable
        Names the next test, or None to stop.
    most : int
        Tests at most.

    Returns
    -------
    JobPath
        At its end; where the needle climbs to the stop, the valve is shut, and the climb counts (`play.counts_as`).
    """
    known, path = known_of(number), JobPath(number, job(number).design)
    while True:
        now = computed(number, path.findings)
        said = Said(now.leader, in_per_cent(now.of_leader))
        test = adviser(known, path.findings) if len(path.steps) < most else None
        if test is None:
            return path.stopped(said)
        test = counts_as(number, test, path.findings)
        path = path.done(test, seen(number, test, len(path.steps)).outcome, said, advised=True)


@lru_cache(maxsize=32)
def best_path(number: int) -> JobPath:
    """The path of the advice by cost through a job; it takes some seconds to compute."""
    return played(number, cheapest)
