"""Blind play: whoever does the same tests in every job of a design and always names the same cause earns little.

House rule: the jobs that papers draw from are listed by number, so a plan can be made beforehand. Whatever is said of
how sure one is, no such plan of at most three tests, done in the order of the list, earns more than 3 of 10 on the average
of a design's jobs. In another order chance gives other readings, and whoever picks the luckiest of them all finds up to
half a mark more: the best plans are tried in every order.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import combinations_with_replacement, permutations

import numpy as np
import pytest

from steadyneedle.assessing.job_rubric import HALF_HONEST, HONEST, Scheme
from steadyneedle.assessing.marking import marked_job
from steadyneedle.assessing.paper_plan import JOB
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.bench.diagnosis import examination_list
from steadyneedle.bench.diagnosis.beliefs import before
from steadyneedle.bench.diagnosis.knowledge import knowledge
from steadyneedle.jobs.bill import total
from steadyneedle.jobs.debrief import how_found
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import CONFIDENCES, SHOWN, JobPath, Said
from steadyneedle.jobs.path_file import as_text
from steadyneedle.jobs.play import counts_as, seen
from steadyneedle.jobs.pool import jobs_alike

MOST, LUCKIEST, BEST, TESTS = 3.0, 3.5, 300, 3
[SCHEME] = [one.scheme for one in load_plan("creep").questions if one.kind == JOB]
LIKELY = {"Alder": ("look_seals",), "Hazel": ("loupe_seat",), "Rowan": ("look_spring", "loupe_edge")}
"""Plans that earned 3.8 to 4.4 of 10 before the jobs were balanced; each test costs the run of a bench."""


@cache
def numbers_of(design: str) -> tuple[int, ...]:
    return tuple(number for number in jobs_alike() if job(number).design == design)


@cache
def found_in(number: int, test: str, turn: int) -> tuple[str, str]:
    """What is recorded of a test, where nothing was recorded before that makes a climb another test."""
    recorded = counts_as(number, test, [("tap", "stays")] * turn)
    return recorded, seen(number, recorded, turn).outcome


class Blind:
    """Marks for each cause (rows) and each confidence (columns) after the same tests, in all jobs of a design."""

    def __init__(self, design: str, scheme: Scheme) -> None:
        self.design, self.scheme, self.known = design, scheme, knowledge(design, "fine")
        causes = self.known.causes
        self.first = before(self.known)
        counted = [{one, *one.split("+")} for one in causes]  # of a pair, each of the two alone counts with it
        self.counted = np.array([[other in named for other in causes] for named in counted], float)

    def marks(self, number: int, way: tuple[str, ...]) -> np.ndarray:
        """In one job."""
        weights = self.first.copy()
        for turn, test in enumerate(way):
            recorded, outcome = found_in(number, test, turn)
            weights *= self.known.likelihood[recorded][:, self.known.outcomes[recorded].index(outcome)]
        chances = np.bincount(self.known.cause_of, weights, len(self.known.causes)) / weights.sum()
        gave = np.round(100 * self.counted @ chances)
        scheme, minutes = self.scheme, total(way).minutes
        quick = scheme.minutes if minutes <= scheme.quick else scheme.minutes // 2 if minutes <= 2 * scheme.quick else 0
        by_found = {"found": scheme.cause + quick, "part found": scheme.cause // 2}
        faults = list(job(number).hidden.faults)
        right = np.array([by_found.get(how_found(faults, one), 0) for one in self.known.causes])
        off = np.abs(np.array(CONFIDENCES) - gave[:, None])
        full = off <= np.maximum(HONEST, off.min(axis=1))[:, None]
        honest = np.where(full, scheme.honest, np.where(off <= HALF_HONEST, scheme.honest // 2, 0))
        return np.where(gave[:, None] >= SHOWN, (right + scheme.safe)[:, None] + honest, 0)

    def best(self, ways: Iterable[tuple[str, ...]]) -> tuple[float, tuple[str, ...], str]:
        """The most that one plan earns on the average, its tests, and the cause that it names."""
        return max(self.each(ways))

    def each(self, ways: Iterable[tuple[str, ...]]) -> list[tuple[float, tuple[str, ...], str]]:
        """Of each plan, what it earns on the average, its tests, and the cause that it names."""
        found = []
        for way in ways:
            mean = np.mean([self.marks(number, way) for number in numbers_of(self.design)], axis=0)
            found.append((float(mean.max()), way, self.known.causes[int(mean.max(axis=1).argmax())]))
        return found


def test_the_plans_that_found_most_earn_little_now() -> None:
    for design, way in LIKELY.items():
        most, _, cause = Blind(design, SCHEME).best([way])
        assert most <= MOST, (design, most, cause)


def test_blind_play_is_marked_here_as_papers_mark_it() -> None:
    for design in ("Alder", "Juniper"):
        blind, number = Blind(design, SCHEME), numbers_of(design)[0]
        way = ("listen", "look_seals", "loupe_seat")
        marks = blind.marks(number, way)
        path = JobPath(number, design)
        for turn, test in enumerate(way):
            path = path.done(test, seen(number, test, turn).outcome, Said("sound", 25))
        for row, cause in enumerate(blind.known.causes):
            for column, sure in enumerate(CONFIDENCES):
                worth = marked_job(number, SCHEME, as_text(path.stopped(Said(cause, sure))))
                assert worth.given == marks[row, column], (cause, sure, worth.lines)


@pytest.mark.long
@pytest.mark.parametrize("design", ["Alder", "Hazel", "Juniper", "Linden", "Rowan"])
def test_no_blind_plan_of_three_tests_earns_more_than_three_of_ten(design: str) -> None:
    blind = Blind(design, SCHEME)
    found = sorted(blind.each(combinations_with_replacement(examination_list.tests(design), TESTS)), reverse=True)
    again = blind.best({order for _, way, _ in found[:BEST] for order in permutations(way)})
    for name, (most, way, cause) in (("at most", found[0]), ("in any order", again)):
        print(f"{design}, {len(numbers_of(design))} jobs: {name} {most:.2f}, by {', '.join(way)}, then {cause}")
    assert found[0][0] <= MOST and again[0] <= LUCKIEST
