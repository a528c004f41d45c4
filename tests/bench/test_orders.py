"""How soon an order finds the cause: against a count of every row of outcomes, one by one."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.beliefs import belief
from steadyneedle.bench.diagnosis.orders import course_of
from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH


def counted(order: Sequence[str]) -> float:
    """How often the leading cause is right once all tests are done: over every row of outcomes and every state."""
    right = 0.0
    prior = TOY.prior[TOY.cause_of] * TOY.within
    for row in itertools.product(*(TOY.outcomes[test] for test in order)):
        findings = list(zip(order, row, strict=True))
        leader = TOY.causes.index(belief(TOY, findings).leader)
        for state, weight in enumerate(prior):
            chance = weight
            for test, outcome in findings:
                chance *= TOY.likelihood[test][state, TOY.outcomes[test].index(outcome)]
            right += chance * (TOY.cause_of[state] == leader)
    return right


@pytest.mark.parametrize("order", [("listen",), ("soap", "watch"), ("tap", "listen", "watch")])
def test_a_fixed_order_is_right_as_often_as_counted_one_by_one(order: tuple[str, ...]) -> None:
    course = course_of(TOY, TOY_BENCH, order, enough=1.0)
    assert course.right[-1] == pytest.approx(counted(order), abs=1e-9)
    assert course.after(0) == pytest.approx(TOY.prior.max()) and np.all(np.diff(course.right) >= -1e-12)


def test_a_test_tells_only_once_its_minutes_are_over() -> None:
    course = course_of(TOY, TOY_BENCH, ("look",))
    assert course.after(17) == course.after(0) < course.after(18)
    assert course_of(TOY, TOY_BENCH, ("look",), limit=17).right.max() == course.after(0), (
        "one that ends later is not begun"
    )


def test_what_is_known_at_the_beginning_counts() -> None:
    found = [("listen", "hiss")]
    course = course_of(TOY, TOY_BENCH, ("soap",), found)
    assert course.after(0) == pytest.approx(belief(TOY, found).of_leader)
    assert course.until(0.5) == 0 and course.until(1.1) is None


def test_who_is_sure_enough_tests_no_more() -> None:
    course = course_of(TOY, TOY_BENCH, ("soap", "look"), enough=0.0)
    assert np.ptp(course.right) == 0


def test_an_unknown_test_is_named() -> None:
    with pytest.raises(ValueError, match="is no outcome of"):
        course_of(TOY, TOY_BENCH, ("soap",), [("soap", "foam")])
