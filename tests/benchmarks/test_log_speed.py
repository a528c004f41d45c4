"""Reading and judging a long log, as a ratio to reading it with pandas."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pandas
import pytest

from steadyneedle.bench.trace import judge_trace, read_log

pytestmark = pytest.mark.benchmark


@pytest.mark.parametrize(("division", "noise"), [(0.02, 0.01), (0.1, 0.005), (0.2, 0.05), (0.05, 0.0)])
def test_36_000_samples_cost_at_most_20_times_reading_them(tmp_path: Path, division: float, noise: float) -> None:
    """An hour at 10 Hz, fine scale and coarse: the requirement."""
    draw, times = np.random.default_rng(1), np.arange(36_000) * 0.1
    pressure = 9.8 + 0.06 * (1 - np.exp(-times / 9)) + 0.03 / 60 * times + noise * draw.standard_normal(times.size)
    rows = zip(times, np.round(pressure / division) * division, strict=True)
    path = tmp_path / "hour.csv"
    path.write_text("time_s,pressure_bar\n" + "\n".join(f"{t:.1f},{p:.2f}" for t, p in rows), encoding="utf-8")
    assert judge_trace(read_log(path)).outcome == "creeps"
    for _ in range(3):  # again where other work came between, which takes the caches
        theirs, ours = [], []  # processor time, the least of many tries: another process is nobody's cost
        for _ in range(40):
            start = time.thread_time()
            pandas.read_csv(path)
            middle = time.thread_time()
            judge_trace(read_log(path))
            theirs.append(middle - start)
            ours.append(time.thread_time() - middle)
        ratio = min(ours) / min(theirs)
        if ratio <= 20:
            break
    print(f"judging an hour's log: {ratio:.1f} times reading it with pandas")
    assert ratio <= 20, ratio
