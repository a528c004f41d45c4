"""After a job: what it was, the path beside the best one, confidence beside chance, what would have told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from steadyneedle.bench.diagnosis.cause_list import ANOTHER
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_OUTCOMES
from steadyneedle.bench.diagnosis.teaching_values import sense_chances
from steadyneedle.jobs.best_path import computed, known_of
from steadyneedle.jobs.bill import Bill, closing, cost, mending, spent, total
from steadyneedle.jobs.mystery import Job, job
from steadyneedle.jobs.path import CRITICAL, SHOWN, STOPPED, JobPath, Said

FOUND, PART_FOUND, NOT_FOUND = "found", "part found", "not found"

NOT_SHOWN = "named, not shown"
"""How a path ended that named the cause, while its findings did not show it."""

SELDOM = 0.06
"""A finding that fewer of the regulators with that cause show is called an error of eye, ear or gauge."""

SETTINGS = ("set_low", "set_high")
"""Causes that are put right by setting: where they were none, the setting is wrong afterwards."""

TOLD_MOST = 3
"""So many tests that were not done are named."""


@dataclass(frozen=True)
class Line:
    """One step, seen afterwards: chances from 0 to 1, of what was said before it and of the true cause after it."""

    test: str
    outcome: str
    said: Said
    of_said: float
    of_truth: float
    bill: Bill


@dataclass(frozen=True)
class WouldTell:
    """A test that was not done: its likeliest outcome, and the chance of the true cause before and after it."""

    test: str
    outcome: str
    before: float
    after: float
    bill: Bill


@dataclass(frozen=True)
class Erred:
    """A finding that few regulators with this cause show: the part that does, 0 to 1."""

    test: str
    outcome: str
    seldom: float


def how_found(faults: Sequence[str], said: str) -> str:
    """Whether a cause that was said is what was there.

    Parameters
    ----------
    faults : sequence of str
        Keys of what is hidden; empty where nothing is wrong.
    said : str
        Key of a cause.

    Returns
    -------
    str
        `FOUND`, `PART_FOUND` where one of two was named, or another pair that it is not told which, or `NOT_FOUND`.

    Examples
    --------
    >>> how_found(["grit"], "grit"), how_found(["grit", "set_low"], "grit"), how_found([], "grit")
    ('found', 'part found', 'not found')
    """
    there = set(faults)
    named = set() if said in (SOUND, ANOTHER, "") else set(said.split("+"))
    if said == SOUND:
        return NOT_FOUND if there else FOUND
    if said == ANOTHER:
        return PART_FOUND if len(there) > 1 else NOT_FOUND
    if named and named == there:
        return FOUND
    return PART_FOUND if named & there else NOT_FOUND


@lru_cache(maxsize=512)
def is_shown(path: JobPath) -> bool:
    """Whether its findings show what a path named: to `SHOWN` per cent at least, rounded as printed.

    How sure somebody was is another thing, and is told beside it.
    """
    chance = computed(path.job, path.findings).by_cause.get(path.verdict.cause, 0.0)
    return round(100 * chance) >= SHOWN


def as_ended(path: JobPath, outcome: str) -> str:
    """The word for how a path ended: what was named, and not shown by its findings, is not called found."""
    return NOT_SHOWN if outcome == FOUND and not is_shown(path) else outcome


class Debrief:
    """A job looked back on.

    Parameters
    ----------
    path : JobPath
        At its end.
    best : JobPath
        The path of the advice through the same job.

    Raises
    ------
    ValueError
        The path has not ended, or the two are of different jobs.
    """

    def __init__(self, path: JobPath, best: JobPath) -> None:
        if not path.end:
            raise ValueError("A job is looked back on once it has ended. Say what it is, or go on testing.")
        if path.job != best.job:
            raise ValueError(f"These are two jobs: {path.job} and {best.job}. Compare paths of one job.")
        self.path, self.best = path, best
        self.job: Job = job(path.job)

    @property
    def faults(self) -> tuple[str, ...]:
        """Keys of what was hidden."""
        return tuple(self.job.hidden.faults)

    @property
    def truth(self) -> str:
        """Key of the true cause."""
        return self.job.hidden.cause

    @property
    def outcome(self) -> str:
        """`FOUND`, `PART_FOUND`, `NOT_FOUND` or `CRITICAL`."""
        return CRITICAL if self.path.end == CRITICAL else how_found(self.faults, self.path.verdict.cause)

    def outcome_of(self, path: JobPath) -> str:
        """The same of another path through this job."""
        return CRITICAL if path.end == CRITICAL else how_found(self.faults, path.verdict.cause)

    def ended(self, path: JobPath) -> str:
        """The word for how a path through this job ended, in sentences as in the picture."""
        return as_ended(path, self.outcome_of(path))

    def handed_back(self, path: JobPath) -> Bill:
        """What a path cost until the regulator went back: its tests, mending by what was said, closing where open."""
        paid = total(path.tests)
        if path.end != STOPPED:
            return paid
        return paid + mending(path.verdict.cause, path.tests) + closing(path.verdict.cause, path.tests)

    def left(self, path: JobPath) -> tuple[str, ...]:
        """Faults that are still there when a path has ended and what was said has been mended."""
        if path.end == STOPPED and path.verdict.cause == ANOTHER and len(self.faults) > 1:
            return ()  # two faults are put right, whichever they are
        named = path.verdict.cause.split("+") if path.end == STOPPED else []
        return tuple(key for key in self.faults if key not in named)

    def upset(self, path: JobPath) -> tuple[str, ...]:
        """What was set though its setting was right: it has to be set back."""
        named = path.verdict.cause.split("+") if path.end == STOPPED else []
        return tuple(key for key in named if key in SETTINGS and key not in self.faults)

    def coming_back(self, path: JobPath) -> Bill:
        """What follows where something is left or upset: the tests of the advice, and the true repair."""
        again = (*self.left(path), *self.upset(path))
        return sum(map(mending, again), total(self.best.tests)) if again else Bill()

    def bill(self, path: JobPath) -> Bill:
        """All that a path cost, and what follows where it left a fault; parts bought in vain are in it."""
        return self.handed_back(path) + self.coming_back(path)

    def in_vain(self, path: JobPath) -> float:
        """Minutes besides a path's tests that mend nothing: a wrong repair, and tests anew when it comes back."""
        again = total(self.best.tests).minutes if self.left(path) or self.upset(path) else 0.0
        if path.end != STOPPED or self.outcome_of(path) != NOT_FOUND:
            return again
        return mending(path.verdict.cause).minutes + again

    @cached_property
    def own(self) -> tuple[Line, ...]:
        """The path, step by step."""
        return self._lines(self.path)

    @cached_property
    def advised(self) -> tuple[Line, ...]:
        """The best path, step by step."""
        return self._lines(self.best)

    def _lines(self, path: JobPath) -> tuple[Line, ...]:
        made, bills = [], spent(path.tests)
        for n, step in enumerate(path.steps):
            before, after = (computed(path.job, path.findings[:end]).by_cause for end in (n, n + 1))
            of_said = before.get(step.belief.cause, 0.0)
            made.append(Line(step.test, step.outcome, step.belief, of_said, after.get(self.truth, 0.0), bills[n]))
        return tuple(made)

    @cached_property
    def at_end(self) -> tuple[float, float]:
        """The computed chance, after the last test, of what was said at the end and of the true cause."""
        chances = computed(self.path.job, self.path.findings).by_cause
        return chances.get(self.path.verdict.cause, 0.0), chances.get(self.truth, 0.0)

    @cached_property
    def of_best(self) -> float:
        """The computed chance of the true cause at the end of the best path."""
        return computed(self.best.job, self.best.findings).by_cause.get(self.truth, 0.0)

    @cached_property
    def erred(self) -> tuple[Erred, ...]:
        """Findings of the path that few regulators like this one show: an eye, an ear or a gauge has misled."""
        known = known_of(self.path.job)
        of_truth = known.cause_of == known.causes.index(self.truth)
        weights = known.within[of_truth]
        hidden, found = self.job.hidden, []
        for test, outcome in self.path.findings:
            at = known.outcomes[test].index(outcome)
            if test in NEEDLE_OUTCOMES:
                part = float(weights @ known.likelihood[test][of_truth, at] / weights.sum())
            else:  # what an eye or an ear finds hangs on this regulator alone
                part = float(sense_chances(test, hidden.faults, hidden.on_the_bench().leaks())[at])
            if part < SELDOM:
                found.append(Erred(test, outcome, part))
        return tuple(found)

    @cached_property
    def would_tell(self) -> tuple[WouldTell, ...]:
        """The tests that would have told most, of those that were not done."""
        known, now = known_of(self.path.job), computed(self.path.job, self.path.findings)
        at = known.causes.index(self.truth)
        of_truth = known.cause_of == at
        left = []
        for test in known.tests:
            if test in self.path.tests:
                continue
            table = known.likelihood[test]
            both = now.states @ table
            truly = now.states[of_truth] @ table[of_truth]
            shows = truly / truly.sum()
            after = float(shows @ (truly / both))  # the chance that is expected, given the true cause
            left.append((after, test, known.outcomes[test][int(np.argmax(shows))]))
        left.sort(key=lambda one: (-one[0], one[1]))
        before = float(now.chances[at])
        return tuple(
            WouldTell(test, outcome, before, after, cost(test, self.path.tests))
            for after, test, outcome in left[:TOLD_MOST]
            if after > before + 0.02
        )
