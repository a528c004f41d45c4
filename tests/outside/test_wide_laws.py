"""How good a verdict on a log is where the needle does what the estimator's law does not say, or only just. Invented logs;
the numbers asked are the requirement's, and no published source is known. CI tries a sample, `pytest -m long` the whole."""

from __future__ import annotations

from functools import cache, partial

import log_law
import pytest
import table_law
import wide_laws
from judged import Judged, allowed_in_sample, judged, together

WHOLE = 4000
SAMPLE = 20
"""Logs of each law in CI."""


@cache
def each_law(count: int, workers: int) -> dict[str, Judged]:
    return {name: judged(partial(wide_laws.drawn, name), range(count), workers) for name in wide_laws.LAWS}


def test_laws_wider_than_the_estimators_on_a_sample() -> None:
    """At most 1 % false at rate 0; intervals cover 93 % over all and 85 % in each law; 65 % told: less three standard errors."""
    laws = each_law(SAMPLE, 1)
    whole = together(list(laws.values()))
    count = whole.rows.shape[0]
    wrong, still = whole.false_at_zero()
    assert wrong <= 0.01 * still + 3 * (0.01 * still) ** 0.5
    assert whole.covered >= 0.93 - allowed_in_sample(0.93, count)
    assert whole.told >= 0.65 - allowed_in_sample(0.65, count)
    for name, one in laws.items():
        assert one.covered >= 0.85 - allowed_in_sample(0.85, SAMPLE), (name, one.covered)
    assert whole.taken_for_something_else <= 0.01 + allowed_in_sample(0.01, count)


@pytest.mark.long
def test_laws_wider_than_the_estimators() -> None:
    """4,000 logs: as the sample, with nothing taken off; at rate 0 at most 1 % for each division too."""
    laws = each_law(WHOLE // len(wide_laws.LAWS), 2)
    whole = together(list(laws.values()))
    for name, one in [*laws.items(), ("all", whole)]:
        print(one.line(name))
    for division in wide_laws.DIVISIONS:
        print(whole.only(whole.rows[:, 4] == division).line(f"division {division}"))
    assert whole.covered >= 0.93 and whole.told >= 0.65
    assert min(one.covered for one in laws.values()) >= 0.85
    assert whole.taken_for_something_else <= 0.01
    for division in (None, *wide_laws.DIVISIONS):
        wrong, still = whole.false_at_zero(division)
        assert wrong <= 0.01 * still, (division, wrong, still)


@pytest.mark.long
def test_needles_that_stand_are_not_said_to_move() -> None:
    """Rate 0 alone, 300 logs of each law: at most 1 % creep or fall, for each division too."""
    parts = [judged(partial(wide_laws.drawn, name, rate=0.0), range(10_000, 10_300), 2) for name in wide_laws.LAWS]
    whole = together(parts)
    for name, one in [*zip(wide_laws.LAWS, parts, strict=True), ("all", whole)]:
        print(one.line(name))
    for division in (None, *wide_laws.DIVISIONS):
        wrong, still = whole.false_at_zero(division)
        print(f"division {division}: {wrong} of {still}")
        assert wrong <= 0.01 * still, (division, wrong, still)


def test_the_estimators_own_law_on_a_sample() -> None:
    """95 +- 2 % of the intervals cover, at most 1 % of sound logs are refused: give or take three standard errors."""
    own = judged(table_law.drawn, range(50))
    assert abs(own.covered - 0.95) <= 0.02 + allowed_in_sample(0.95, 50)
    assert own.refused <= 0.01 + allowed_in_sample(0.01, 50)


@pytest.mark.long
def test_the_estimators_own_law() -> None:
    """2,000 logs drawn from the committed table: intervals cover 95 +- 2 %; at most 1 % are refused."""
    own = judged(table_law.drawn, range(2000), 2)
    print(own.line("own law"))
    for division in wide_laws.DIVISIONS:
        print(own.only(own.rows[:, 4] == division).line(f"division {division}"))
    assert abs(own.covered - 0.95) <= 0.02
    assert own.refused <= 0.01


def test_the_narrow_law_on_a_sample() -> None:
    """93 % covered, 65 % told, at most 1 % refused: less three standard errors."""
    narrow = judged(log_law.drawn, range(60))
    assert narrow.covered >= 0.93 - allowed_in_sample(0.93, 60)
    assert narrow.told >= 0.65 - allowed_in_sample(0.65, 60)
    assert narrow.refused <= 0.01 + allowed_in_sample(0.01, 60)


@pytest.mark.long
def test_the_narrow_law() -> None:
    """2,000 logs of `log_law`: at least 93 % covered, 65 % told; at most 1 % refused."""
    narrow = judged(log_law.drawn, range(2000), 2)
    print(narrow.line("narrow law"))
    assert narrow.covered >= 0.93 and narrow.told >= 0.65
    assert narrow.refused <= 0.01 and narrow.taken_for_something_else <= 0.01
