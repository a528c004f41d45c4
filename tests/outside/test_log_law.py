"""How good a verdict on a log is: coverage, width, right verdicts, error beside the Cramer-Rao bound. Invented logs, drawn
by the law of `log_law`; the numbers asked are the requirement's. CI tries a sample, `pytest -m long` the whole."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pytest
from log_law import cramer_rao, drawn, exact_interval, plain_least_squares

from steadyneedle.bench.trace import Log, judge_trace
from steadyneedle.bench.trace.hold import hold_of
from steadyneedle.bench.trace.settling_model import LEVEL, NOISE, RATE

LIMIT = 0.02


def looked_at(number: int) -> tuple[float, ...]:
    """Truth, interval, plain interval, division, and the verdict as 1 creeps, -1 falls, 0 stands, 9 cannot tell."""
    log = drawn(number)
    verdict = judge_trace(Log.from_arrays(log.time, log.reading, "bar", log.division))
    said = {"creeps": 1, "falls": -1, "cannot tell": 9}.get(
        verdict.outcome, 0 if verdict.outcome in ("locks", "settles") else 7
    )
    rate = verdict.creep_rate
    return log.rate, rate.low.magnitude, rate.high.magnitude, *plain_least_squares(log), log.division, said


def table(numbers: range, workers: int) -> np.ndarray:
    if workers == 1:
        return np.array([looked_at(number) for number in numbers])
    with ProcessPoolExecutor(workers) as pool:
        return np.array(list(pool.map(looked_at, numbers, chunksize=20)))


def right(rate: np.ndarray, said: np.ndarray) -> float:
    """Part of verdicts that are right, of those that can be called, 0.8 to 1.25 times the limit left out."""
    truth = np.select([rate > 1.25 * LIMIT, rate < -1.25 * LIMIT, np.abs(rate) < 0.8 * LIMIT], [1, -1, 0], 5)
    called = (said != 9) & (truth != 5)
    return float((said[called] == truth[called]).mean())


def covered(rows: np.ndarray) -> np.ndarray:
    return (rows[:, 1] <= rows[:, 0]) & (rows[:, 0] <= rows[:, 2])


def test_coverage_and_verdicts_on_a_sample() -> None:
    """200 of the 2,000 logs: as the whole, less three standard errors of a sample."""
    rows = table(range(200), 1)
    assert covered(rows).mean() >= 0.93 - 3 * (0.93 * 0.07 / 200) ** 0.5
    assert right(rows[:, 0], rows[:, 6]) >= 0.98
    assert (rows[:, 6] == 7).mean() <= 0.005, "a hold is not taken for something else"


@pytest.mark.long
def test_coverage_and_verdicts() -> None:
    """2,000 logs: at least 93 % overall, 92 % in each quarter of division and at rate 0; 98 % of verdicts right."""
    rows = table(range(2000), 2)
    inside, quarter = covered(rows), np.searchsorted(np.quantile(rows[:, 5], [0.25, 0.5, 0.75]), rows[:, 5])
    plain = (rows[:, 3] <= rows[:, 0]) & (rows[:, 0] <= rows[:, 4])
    print(f"covered {inside.mean():.3f}, plain least squares {plain.mean():.3f}")
    parts = [inside[quarter == k].mean() for k in range(4)]
    print(
        "by quarter of division",
        [f"{part:.3f}" for part in parts],
        [f"{plain[quarter == k].mean():.3f}" for k in range(4)],
    )
    still = inside[rows[:, 0] == 0].mean()
    print(
        f"at rate 0 {still:.3f}, plain {plain[rows[:, 0] == 0].mean():.3f}; right {right(rows[:, 0], rows[:, 6]):.4f}"
    )
    print(f"cannot tell {(rows[:, 6] == 9).mean():.3f}, taken for something else {(rows[:, 6] == 7).mean():.4f}")
    assert inside.mean() >= 0.93 and min(parts) >= 0.92 and still >= 0.92
    assert right(rows[:, 0], rows[:, 6]) >= 0.98


def beside_exact(number: int) -> tuple[float, float, float, float, float]:
    log = drawn(number)
    hold = hold_of(log.time, log.reading, log.division)
    begin = hold.particles[:60].copy()
    begin[:, LEVEL] -= begin[:, RATE] * hold.mean_time
    begin[:, NOISE] = np.minimum(begin[:, NOISE], 0.0499)
    low, high = exact_interval(log, begin)
    return hold.rate.low, hold.rate.high, low, high, log.rate


def tells(low: np.ndarray, high: np.ndarray) -> np.ndarray:
    return (low > LIMIT) | (high < -LIMIT) | ((low > -LIMIT) & (high < LIMIT))


@pytest.mark.long
def test_width_beside_the_exact_interval() -> None:
    """100 logs, brute force: the median of the ratios of widths at most 1.2; where the exact interval tells, ours fails to
    in under 5 % of logs."""
    with ProcessPoolExecutor(2) as pool:
        rows = np.array(list(pool.map(beside_exact, range(10_000, 10_100), chunksize=2)))
    ratios = (rows[:, 1] - rows[:, 0]) / (rows[:, 3] - rows[:, 2])
    lost = (tells(rows[:, 2], rows[:, 3]) & ~tells(rows[:, 0], rows[:, 1])).mean()
    print(
        f"width over exact: median {np.median(ratios):.3f}, quarters {np.quantile(ratios, [0.25, 0.75]).round(2)}; lost {lost:.3f}"
    )
    assert np.median(ratios) <= 1.2 and lost < 0.05


def beside_bound(number: int) -> float:
    log = drawn(number, fine=True)
    return abs(hold_of(log.time, log.reading, log.division).rate.value - log.rate) / cramer_rao(log)


def test_error_beside_the_bound_on_a_sample() -> None:
    """60 of the 500 fine logs: the median of |error| over the Cramer-Rao bound at most 1.0: the requirement."""
    assert np.median([beside_bound(number) for number in range(60)]) <= 1.0


@pytest.mark.long
def test_error_beside_the_bound() -> None:
    with ProcessPoolExecutor(2) as pool:
        ratios = np.array(list(pool.map(beside_bound, range(500), chunksize=10)))
    print(f"|error| over the Cramer-Rao bound: median {np.median(ratios):.3f}")
    assert np.median(ratios) <= 1.0
