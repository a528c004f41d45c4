"""Jobs that are as hard as one another: their bounds computed again, and who is given which."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from steadyneedle.foundation import places
from steadyneedle.jobs.best_path import best_path, played
from steadyneedle.jobs.bill import total
from steadyneedle.jobs.debrief import FOUND, Debrief, how_found
from steadyneedle.jobs.habits import habits, keeps_to
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.play import counts_as, seen
from steadyneedle.jobs.pool import BY_HABIT, MINUTES, TESTS, job_drawn, jobs_alike

SURE = 95
FEWEST, OF_ALL, OF_A_DESIGN = 60, 1 / 4, 1 / 4
"""Jobs there are at least, and the part of them that one cause may be, among all and among those of a design."""

DRAWN = [500797, 500680, 500396]
"""The jobs of three candidates, under a key that counts from 0 to 31."""


def hold(number: int) -> None:
    """What `pool.py` promises of a job, as long as the advice is about what it was when the list was made."""
    one, best, alike = job(number), best_path(number), jobs_alike()[number]
    faults = list(one.hidden.faults)
    assert len(faults) == 1 and one.gauge == "fine"
    assert total(alike.tests).minutes == alike.minutes, number
    assert total(best.tests).minutes == pytest.approx(alike.minutes, rel=0.35), number
    findings: list[tuple[str, str]] = []
    for test in alike.tests:  # each can be done as it stands there: no climb to the stop makes another test of it
        assert counts_as(number, test, findings) == test, (number, test)
        findings.append((test, seen(number, test, len(findings)).outcome))
    assert how_found(faults, best.verdict.cause) == FOUND


def hold_to_the_letter(number: int) -> None:
    """The same, and every bound: run after the advice has changed, to see which rows to take out or put in."""
    hold(number)
    best, alike, faults = best_path(number), jobs_alike()[number], list(job(number).hidden.faults)
    assert best.tests == alike.tests, number
    assert how_found(faults, best.verdict.cause) == FOUND and best.verdict.confidence >= SURE
    assert not Debrief(best, best).erred, "nothing misleads on the advice's way"
    assert MINUTES[0] <= alike.minutes <= MINUTES[1] and TESTS[0] <= len(alike.tests) <= TESTS[1]
    paths = [played(number, keeps_to(habit)) for habit in habits()]
    assert all(how_found(faults, path.verdict.cause) == FOUND for path in paths), "whoever is patient finds it"
    assert BY_HABIT[0] <= min(total(path.tests).minutes for path in paths) <= BY_HABIT[1]


def test_three_of_the_jobs_are_as_hard_as_promised() -> None:
    for number in random.Random(7).sample(sorted(jobs_alike()), 3):
        hold(number)


@pytest.mark.long
def test_every_one_of_the_jobs_is_as_hard_as_promised() -> None:
    for number in jobs_alike():
        hold_to_the_letter(number)
    print(f"{len(jobs_alike())} jobs: {Counter(job(number).hidden.cause for number in jobs_alike())}")


def test_the_bounds_are_close_and_no_cause_is_a_good_guess() -> None:
    assert MINUTES[1] / MINUTES[0] <= 1.5 and BY_HABIT[1] / BY_HABIT[0] <= 2
    causes = Counter(job(number).hidden.cause for number in jobs_alike())
    assert len(jobs_alike()) >= FEWEST and max(causes.values()) <= OF_ALL * len(jobs_alike()) and len(causes) >= 8
    designs = {job(number).design for number in jobs_alike()}
    assert len(designs) == 5
    for design in designs:
        here = Counter(job(number).hidden.cause for number in jobs_alike() if job(number).design == design)
        assert max(here.values()) <= OF_A_DESIGN * here.total(), (design, here)


def test_one_candidate_one_job_on_every_machine_and_another_at_each_resit() -> None:
    """The numbers stand here: whoever changes them changes jobs that were given out."""
    secret = bytes(range(32))
    drawn = [job_drawn(secret, "creep", candidate, 18, 1) for candidate in ("101", "102", "7")]
    assert drawn == DRAWN
    assert len({job_drawn(secret, "creep", "101", 18, attempt) for attempt in range(1, 11)}) == 10
    assert job_drawn(bytes(32), "creep", "101", 18, 1) != drawn[0], "it hangs on the cohort's secret"


@pytest.mark.parametrize(("candidates", "meet"), [(15, 2), (30, 8)])
def test_the_guide_says_how_many_of_a_class_meet_the_same_job(candidates: int, meet: int) -> None:
    """On average; reckoned as for birthdays, and counted in 40 cohorts."""
    jobs = len(jobs_alike())
    assert round(candidates * (1 - (1 - 1 / jobs) ** (candidates - 1))) == meet
    counted = 0
    for cohort in range(40):
        secret = str(cohort).encode()
        given = Counter(job_drawn(secret, "creep", str(300 + one), 18, 1) for one in range(candidates))
        counted += sum(often for often in given.values() if often > 1)
    assert abs(counted / 40 - meet) < meet / 2
    guide = (places.lessons() / "instructor" / "assessor.ipynb").read_text(encoding="utf-8")
    assert f"in a class of {candidates} about {meet}" in guide


def test_candidates_get_every_job_about_as_often() -> None:
    given = Counter(job_drawn(b"x", "creep", str(candidate), 18, 1) for candidate in range(3000))
    assert set(given) == set(jobs_alike())
    even = 3000 / len(given)
    assert all(abs(count - even) < 6 * even**0.5 for count in given.values())
