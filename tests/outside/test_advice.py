"""Advice to watch longer, against how long a watch it takes: invented logs, no published source is known.

A log of 30 min is judged as it grows, from 2 min on by quarters, until its rate is told: that is the watch needed. Each piece
of advice given before that names a whole watch; the requirement is that it lies within a factor of two in 85 % of cases.
"""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pytest
import wide_laws

from steadyneedle.bench.trace import Log, TraceVerdict, judge_trace

MINUTES = [2 * 1.25**step for step in range(13)]


def slow_log(number: int) -> tuple[np.ndarray, np.ndarray, float]:
    """Times, readings and division of half an hour; settles and drifts of the wider laws, rates that are hard to tell."""
    draw = np.random.default_rng([number, 5])
    hertz, division = wide_laws.log_uniform(draw, 0.07, 2), float(draw.choice(wide_laws.DIVISIONS))
    rate = 0.0 if draw.random() < 0.35 else wide_laws.log_uniform(draw, 0.004, 0.3) * wide_laws.either(draw)
    time = np.arange(0, 1800, 1 / hertz)
    law = list(wide_laws.LAWS.values())[number % len(wide_laws.LAWS)] if number % 2 else wide_laws.usual_settle
    pressure = 9.8 + rate / 60 * time + law(draw, time) + draw.uniform(0, 0.03) * draw.standard_normal(time.size)
    return time, np.round(pressure / division) * division, division


def advised(number: int) -> list[tuple[float, float, float, float]]:
    """Minutes watched, minutes more and minutes in all advised, minutes needed: for each time nobody could tell yet."""
    time, reading, division = slow_log(number)
    given: list[tuple[float, TraceVerdict]] = []
    for minutes in MINUTES:
        seen = time <= 60 * minutes
        log = Log.from_arrays(time[seen], reading[seen], "bar", division)
        verdict = judge_trace(log)
        watched = float(np.ptp(log.time[verdict.rows])) / 60  # of the hold that counts, as the advice is
        if not verdict.fits or verdict.outcome in ("saw-tooth", "free flow"):
            return []
        if verdict.outcome != "cannot tell":
            return [
                (before, one.watch_longer.to("min").magnitude, one.watch_in_all.to("min").magnitude, watched)
                for before, one in given
                if one.watch_longer is not None
            ]
        given.append((watched, verdict))
    return []


def checked(rows: np.ndarray) -> float:
    """Part of the whole watches advised that lie within a factor of two; no piece of advice more than doubles."""
    watched, more, in_all, needed = rows.T
    assert np.all(more <= watched * (1 + 1e-9)) and np.all(more > 0) and np.all(in_all >= watched + more - 1e-9)
    return float(((in_all > needed / 2) & (in_all < 2 * needed)).mean())


def test_advice_on_a_sample() -> None:
    rows = np.array([row for number in range(9) for row in advised(number)])
    assert rows.shape[0] >= 15
    assert checked(rows) >= 0.65, "85 %, less what so few logs may miss it by"


@pytest.mark.long
def test_advice() -> None:
    with ProcessPoolExecutor(2) as pool:
        rows = np.array([row for found in pool.map(advised, range(150), chunksize=5) for row in found])
    share = checked(rows)
    print(f"advice: {rows.shape[0]} pieces, whole watch within a factor of two in {share:.3f}")
    assert share >= 0.85


def test_advice_never_goes_beyond_the_stop() -> None:
    """A needle at 11.9 bar that climbs, stop at 12: seconds, not minutes."""
    time = np.arange(0, 91, 15.0)
    verdict = judge_trace(Log.from_arrays(time, np.round((11.86 + 0.03 * time / 60) / 0.02) * 0.02, "bar", 0.02))
    assert verdict.outcome == "cannot tell"
    room = 12.0 - verdict.hold.level(float(time[-1])).value
    assert verdict.watch_longer.to("min").magnitude <= room / verdict.creep_rate.high.magnitude + 1e-6
    assert "shut the valve at 12 bar" in verdict.because


def test_a_rate_at_the_limit_may_not_be_decided_by_watching() -> None:
    time = np.arange(0, 300, 5.0)
    verdict = judge_trace(Log.from_arrays(time, np.round((9.8 + 0.02 * time / 60) / 0.02) * 0.02, "bar", 0.02))
    assert verdict.outcome == "cannot tell" and "watching may not decide" in verdict.because
