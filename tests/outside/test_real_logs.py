"""Gauge logs that others measured: what the estimate says of readings that follow one another."""

from __future__ import annotations

import numpy as np
import pytest

from steadyneedle.bench.trace import judge_trace, read_log
from steadyneedle.foundation import places


@pytest.mark.parametrize("number", [1, 2, 3])
def test_real_residuals_are_autocorrelated_and_the_interval_allows_for_it(number: int) -> None:
    """Leak runs published with a TU Delft thesis, CC0 (datasets/logs/sources.csv): residuals of a smooth curve follow one
    another, so the interval is wider than what plain least squares claims for independent ones."""
    log = read_log(places.datasets() / "logs" / f"chamber_{number}.csv", ("time_ms", "skip", "pressure_bar"))
    residuals = log.pressure - np.polynomial.Polynomial.fit(log.time, log.pressure, 3)(log.time)
    follows = (residuals[1:] @ residuals[:-1]) / (residuals @ residuals)
    assert 0.3 < follows < 0.9
    rate = judge_trace(log).creep_rate
    _, covariance = np.polyfit(log.time, log.pressure, 1, cov=True)
    plain = 60 * 1.96 * covariance[0, 0] ** 0.5
    assert (rate.high - rate.low).magnitude / 2 > 1.5 * plain
