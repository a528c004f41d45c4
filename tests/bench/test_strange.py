"""What is no settle and creep ends in "cannot tell", with what was seen: logs made by hand, no source."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from steadyneedle.bench.trace import Log, judge_trace

FINE, COARSE, BY_HAND = (0.02, 1.0), (0.1, 2.0), (0.1, 15.0)
"""Division [bar] and time between readings [s]."""


def log_of(move: Callable[[np.ndarray], np.ndarray], division: float, every: float) -> Log:
    time = np.arange(0, 300, every)
    pressure = 9.8 + move(time) + 0.006 * np.random.default_rng(2).standard_normal(time.size)
    return Log.from_arrays(time, np.round(pressure / division) * division, "bar", division)


STRANGE = [
    ("a jump of 0.3 bar", lambda t: 0.3 * (t > 150), (FINE, COARSE, BY_HAND), "jumped by 0.3"),
    ("a jump of 0.1 bar", lambda t: 0.1 * (t > 150), (FINE, COARSE), "jumped by 0."),
    ("a drop of 0.3 bar", lambda t: -0.3 * (t > 100), (FINE, COARSE, BY_HAND), "dropped by 0.3"),
    ("a kink to 0.1 bar/min", lambda t: 0.1 * np.maximum(t - 150, 0) / 60, (FINE,), "climbed more, by 0."),
    ("a climb of 0.2 bar/min that ends", lambda t: 0.2 * np.minimum(t, 100) / 60, (FINE,), "climbed less, by 0."),
    ("an emptying chamber", lambda t: 7 * np.exp(-t / 60) - 2.8, (FINE, COARSE, BY_HAND), "fell by 6."),
    ("a chamber that empties slowly", lambda t: -7 * -np.expm1(-t / 400), (FINE,), "fell by 3."),
]


@pytest.mark.parametrize(("move", "scales", "seen"), [case[1:] for case in STRANGE], ids=[case[0] for case in STRANGE])
def test_a_needle_that_does_something_else_gets_no_rate(
    move: Callable[[np.ndarray], np.ndarray], scales: tuple[tuple[float, float], ...], seen: str
) -> None:
    for division, every in scales:
        verdict = judge_trace(log_of(move, division, every))
        assert verdict.outcome == "cannot tell" and not verdict.fits, (division, every, verdict.because)
        assert "does not behave like settle and creep" in verdict.because and seen in verdict.because
        assert not np.isfinite(verdict.creep_rate.low.magnitude) and verdict.watch_longer is None


def test_what_settles_and_creeps_is_not_strange() -> None:
    for move in (
        lambda t: 0 * t, lambda t: 0.2 * -np.expm1(-t / 20), lambda t: -0.2 * -np.expm1(-t / 60), lambda t: 0.05 * t / 60,
        lambda t: 0.8 * -np.expm1(-t / 30), lambda t: 0.1 * -np.expm1(-t / 5) - 0.1 * -np.expm1(-t / 100),
    ):  # fmt: skip
        for division, every in (FINE, COARSE, BY_HAND):
            assert judge_trace(log_of(move, division, every)).fits
