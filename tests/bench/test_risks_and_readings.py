"""The two risks, and readings of one needle."""

from __future__ import annotations

import random
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench.bands.readings import read_row, read_to, scatter
from steadyneedle.bench.bands.risks import decision_risks
from steadyneedle.bench.units import Q


def test_risks_agree_with_a_simulation() -> None:
    dice = random.Random(5)
    bad_passed = good_failed = 0
    for _ in range(200_000):
        true = dice.gauss(10.0, 0.12)
        accepted = 9.84 <= dice.gauss(true, 0.06) <= 10.16
        good = 9.8 <= true <= 10.2
        bad_passed += accepted and not good
        good_failed += good and not accepted
    risks = decision_risks(10.0, 0.12, (9.8, 10.2), (9.84, 10.16), 0.06)
    assert risks.false_accept == pytest.approx(bad_passed / 200_000, abs=0.0006)
    assert risks.false_reject == pytest.approx(good_failed / 200_000, abs=0.002)


@given(st.floats(0.03, 0.5), st.floats(0.02, 0.3), st.floats(0, 0.1), st.floats(0.01, 0.08))
@settings(max_examples=60, deadline=None)
def test_a_wider_guard_band_trades_one_risk_for_the_other(spread: float, u: float, guard: float, more: float) -> None:
    one, other = (decision_risks(10, spread, (9.8, 10.2), (9.8 + g, 10.2 - g), u) for g in (guard, guard + more))
    assert other.false_accept <= one.false_accept + 1e-9 and other.false_reject >= one.false_reject - 1e-9
    assert one.conforming == pytest.approx(other.conforming)
    assert 0 <= one.false_accept <= 1 and 0 <= one.false_reject <= one.conforming + 1e-9


def test_impossible_risks_are_refused() -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        decision_risks(10, 0, (9, 11), (9, 11), 0.1)
    with pytest.raises(ValueError, match="below its high limit"):
        decision_risks(10, 1, (11, 9), (9, 11), 0.1)


def test_reading_to_a_part_of_a_division() -> None:
    needle, division = Q(9.77, "bar"), Q(0.5, "bar")
    assert [read_to(needle, division, parts).magnitude for parts in (1, 2, 5)] == [10.0, 9.75, 9.8]
    assert read_to(Q(142, "psi"), Q(5, "psi"), 1) == Q(140, "psi")
    with pytest.raises(ValueError, match="above 0"):
        read_to(needle, division, 0)
    with pytest.raises(ValueError, match="pressure needs a quantity"):
        read_to(9.77, division, 1)


def test_scatter_by_hand() -> None:
    """Mean 10.1, deviations -0.1 0 0.1: s = 0.1, of the mean 0.1 / sqrt 3."""
    found = scatter([Q(v, "bar") for v in (10.0, 10.1, 10.2)])
    assert found.mean.magnitude == pytest.approx(10.1) and found.standard_deviation.magnitude == pytest.approx(0.1)
    assert found.standard_error.magnitude == pytest.approx(0.0577350, abs=1e-6) and found.count == 3
    with pytest.raises(ValueError, match="at least two"):
        scatter([Q(10, "bar")])


def test_a_row_of_readings() -> None:
    assert [r.magnitude for r in read_row("10,1 10.0; 9,9 bar", "bar")] == [10.1, 10.0, 9.9]
    assert read_row("   ", "bar") == []
    for text in ("140 psi, 141 psi", "140 141 psi", "140psi; 141", "140 psi 141 psi,"):
        found = read_row(text, "bar")
        assert [str(one.units) for one in found] == ["bar", "bar"]
        assert [one.magnitude for one in found] == pytest.approx([140 * 0.0689475729, 141 * 0.0689475729]), text
    with pytest.raises(ValueError, match="two units in it"):
        read_row("140 psi, 9.8 bar, 10", "bar")
    for text, sentence in (
        ("10.1 x", "not a number"),
        ("1 " * 61, "more than 60"),
        ("1e9", "beyond 10 000 bar"),
    ):
        with pytest.raises(ValueError, match=re.escape(sentence)):
            read_row(text, "bar")


def test_what_two_rectangular_errors_and_k_2_cover() -> None:
    """Lesson 03 says never less than 96 %. By hand for equal errors: 1 - (2 - sqrt(8/3))**2 / 4 = 0.9663."""
    least = 1.0
    for ratio in np.linspace(0.01, 1.0, 100):
        expanded = 2 * np.hypot(1.0, ratio) / np.sqrt(3)
        one = (np.arange(4001) + 0.5) / 2000.5 - 1  # the larger error, at equal steps of probability
        inside = np.minimum(expanded - one, ratio) - np.maximum(-expanded - one, -ratio)
        least = min(least, float(np.clip(inside / (2 * ratio), 0, 1).mean()))
    assert least == pytest.approx(1 - (2 - np.sqrt(8 / 3)) ** 2 / 4, abs=1e-4) and least > 0.96
