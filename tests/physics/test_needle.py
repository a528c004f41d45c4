"""Gauges that are off or stick, and logs as people and cheap transducers write them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadyneedle.physics import needle

curve = st.lists(st.floats(0, 2e6), min_size=2, max_size=40)


@given(curve, st.floats(0, 1e5))
def test_a_sticking_needle_is_never_further_off_than_it_sticks(values: list[float], sticks: float) -> None:
    true = np.array(values)
    seen = needle.shown(np.arange(true.size), true, sticks=sticks)
    assert np.all(np.abs(seen - true) <= sticks + 1e-6)


@given(curve, st.floats(1, 1e5))
def test_a_tap_brings_it_home(values: list[float], sticks: float) -> None:
    true = np.array(values)
    seen = needle.shown(np.arange(true.size), true, sticks=sticks, taps=[true.size - 1.5])
    assert seen[-1] == true[-1]


def test_a_good_gauge_shows_the_pressure_and_a_high_one_more() -> None:
    true = np.array([1e5, 9e5, 9.2e5])
    assert np.array_equal(needle.shown([0, 1, 2], true), true)
    assert np.array_equal(needle.shown([0, 1, 2], true, offset=4e4), true + 4e4)
    assert needle.shown([], []).size == 0


def test_a_log_is_read_rounded_and_noisy() -> None:
    times, readings = needle.log([0, 100], [9.8e5, 9.8e5], every=0.1, division=2e3, noise=1e3, seed=3)
    assert times.size == 1001 and np.allclose(readings % 2e3, 0)
    assert 0.9e3 < readings.std() < 1.5e3 and readings.mean() == pytest.approx(9.8e5, abs=200)
    again = needle.log([0, 100], [9.8e5, 9.8e5], every=0.1, division=2e3, noise=1e3, seed=3)[1]
    assert np.array_equal(readings, again)
    assert not np.array_equal(readings, needle.log([0, 100], [9.8e5, 9.8e5], 0.1, 2e3, 1e3, seed=4)[1])


def test_refusals() -> None:
    with pytest.raises(ValueError, match="one shape"):
        needle.shown([0, 1], [1.0])
    with pytest.raises(ValueError, match="sticks must not be below 0"):
        needle.shown([0], [1.0], sticks=-1)
    with pytest.raises(ValueError, match="every and division must be above 0"):
        needle.log([0, 1], [1.0, 1.0], every=0, division=1)
