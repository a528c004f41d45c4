"""How soon an order of tests finds the cause: a fixed order, or each time the test that tells most for its minutes.

To open the stage counts as `workbench.OPENING` minutes more, as in the advice; its rules of order are left out here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from steadyneedle.bench.diagnosis.beliefs import Belief, belief
from steadyneedle.bench.diagnosis.information import expected_information
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.workbench import Workbench, workbench

LEAST = 5e-4
"""A branch met less often than this is followed no further (ours)."""

HABIT = ("look_spring", "look_diaphragm", "loupe_land")
"""The trade's order, spring, diaphragm, land, as examinations of an opened stage: common practice, no source."""

LONGEST = 90
"""Minutes over which the trade's order is compared."""


@dataclass(frozen=True, eq=False)
class Course:
    """How an order goes on average: `right` is how likely the leading cause is the true one after so many minutes."""

    right: np.ndarray

    def after(self, minutes: float) -> float:
        """How likely the leading cause is the true one then."""
        return float(self.right[min(int(minutes), self.right.size - 1)])

    def until(self, chance: float) -> int | None:
        """The first whole minute at which it is at least so likely; None where it never is."""
        found = np.flatnonzero(self.right >= chance)
        return int(found[0]) if found.size else None


def course_of(
    knowledge: Knowledge,
    bench: Workbench,
    order: Sequence[str] | None = None,
    findings: Sequence[tuple[str, str]] = (),
    limit: int = 90,
    enough: float = 0.95,
) -> Course:
    """How likely the leading cause is right, minute by minute, averaged over all that the tests may show.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.
    bench : Workbench
        What each test costs.
    order : sequence of str or None
        Tests in a fixed order; None for the one that tells most for its minutes at each step, as the bench weighs them.
    findings : sequence of (test, outcome)
        What is known at the beginning.
    limit : int
        Minutes, not below 1; a test that would end later is not begun.
    enough : float
        Confidence at which one stops, 0 to 1.

    Returns
    -------
    Course
        One number for each whole minute from 0 to `limit`.

    Raises
    ------
    ValueError
        An unknown test or outcome.

    References
    ----------
    Bayes' rule; expected largest posterior probability: definition. Branches below `LEAST` are followed no further,
    which can only make an order look worse.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> one, other = (course_of(TOY, TOY_BENCH, order) for order in (("look",), None))
    >>> round(one.after(10), 2), one.after(18) > one.after(10), other.after(10) > one.after(10)
    (0.3, True, True)
    """
    right = np.zeros(limit + 1)
    start = belief(knowledge, findings)
    waiting = [(start, 1.0, 0)]
    while waiting:
        now, share, begin = waiting.pop()
        done = [test for test, _ in now.findings]
        going_on = now.of_leader < enough and share >= LEAST
        test = _next(now, done, bench, order, len(start.findings)) if going_on else None
        end = begin + round(bench.minutes(test, done)) if test else limit + 1
        right[begin:] += share * now.of_leader
        if test and end <= limit:
            right[end:] -= share * now.of_leader
            waiting += [(after, share * chance, end) for after, chance in _outcomes(now, test)]
    return Course(right)


def _outcomes(now: Belief, test: str) -> Iterator[tuple[Belief, float]]:
    """What is believed after each outcome of a test, and how likely it is."""
    known = now.knowledge
    for at, outcome in enumerate(known.outcomes[test]):
        states = now.states * known.likelihood[test][:, at]
        chance = float(states.sum())
        states = states / chance
        chances = np.bincount(known.cause_of, states, len(known.causes))
        yield Belief(known, (*now.findings, (test, outcome)), states, chances), chance


def _next(now: Belief, done: list[str], bench: Workbench, order: Sequence[str] | None, known: int) -> str | None:
    """The test that follows; None where the order is at its end."""
    if order is not None:
        at = len(done) - known
        return order[at] if at < len(order) else None
    told = expected_information(now)
    return max(told, key=lambda test: told[test] / bench.weight(test, done))


@lru_cache(maxsize=16)
def two_orders(knowledge: Knowledge, findings: tuple[tuple[str, str], ...] = ()) -> tuple[Course, Course]:
    """The trade's order beside the advised one: at each step the test that tells most for its minutes.

    Parameters
    ----------
    knowledge : Knowledge
        Of a diaphragm design and its gauge.
    findings : tuple of (test, outcome)
        What is known at the beginning.

    Returns
    -------
    tuple of Course
        By habit, then as advised, over `LONGEST` minutes.

    Raises
    ------
    ValueError
        An unknown test or outcome, or a design that lacks one of `HABIT`.

    References
    ----------
    As `course_of`; the trade's order: common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.knowledge import knowledge
    >>> habit, advised = two_orders(knowledge("Juniper"))
    >>> advised.after(60) > habit.after(60)
    True
    """
    if missing := [test for test in HABIT if test not in knowledge.outcomes]:
        raise ValueError(f"{knowledge.design} has no test {missing[0]}: the trade's order needs a diaphragm.")

    bench = workbench(knowledge.design)
    habit, advised = (course_of(knowledge, bench, order, findings, LONGEST) for order in (HABIT, None))
    return habit, advised
