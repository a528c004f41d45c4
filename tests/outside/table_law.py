"""Logs of the estimator's own law, drawn from the committed table; nothing here imports the estimator.

`datasets/settle_law.csv` says how likely settles, drifts and noise are. Any rate is as likely: here any from -1 to 1 bar/min.
Sampling, length, division and level are those of `wide_laws`.
"""

from __future__ import annotations

import csv
from functools import cache

import numpy as np
from wide_laws import DIVISIONS, Drawn, correlated, log_uniform, settle

from steadyneedle.foundation import places


@cache
def table() -> dict[str, np.ndarray]:
    """Rows of time [s], pressure [bar] and weight, for each part of the law; weights of a part add to one."""
    with (places.datasets() / "settle_law.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    made = {}
    for part in {row["part"] for row in rows}:
        numbers = np.array(
            [[float(row[one]) for one in ("time_s", "pressure_bar", "weight")] for row in rows if row["part"] == part]
        )
        numbers[:, 2] /= numbers[:, 2].sum()
        made[part] = numbers
    return made


def one_of(draw: np.random.Generator, part: str) -> np.ndarray:
    rows = table()[part]
    return np.asarray(rows[draw.choice(rows.shape[0], p=rows[:, 2])])


def smooth(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """The drift that is always there: correlation exp(-(time apart/length)2/2), drawn on a grid of a third of its length."""
    length, size, _ = table()["floor"][0]
    grid = np.arange(-length, time[-1] + 2 * length, length / 3)
    covariance = np.exp(-0.5 * ((grid[:, np.newaxis] - grid) / length) ** 2) + 1e-9 * np.eye(grid.size)
    values = np.linalg.cholesky(covariance) @ draw.standard_normal(grid.size)
    weights = np.linalg.solve(covariance, values)
    return np.asarray(size * np.exp(-0.5 * ((time[:, np.newaxis] - grid) / length) ** 2) @ weights)


def wandering(draw: np.random.Generator, time: np.ndarray) -> np.ndarray:
    """Settles and drifts of the table."""
    made = smooth(draw, time)
    count = int(one_of(draw, "settles")[0])
    constants: list[float] = []
    while len(constants) < count:
        constant = float(one_of(draw, "constant")[0])
        if constant not in constants:
            constants.append(constant)
            made += settle(time, one_of(draw, "size")[1] * draw.standard_normal(), constant)
    length, size, _ = one_of(draw, "drift")
    return made + size * correlated(draw, time, length) if size > 0 else made


def drawn(number: int) -> Drawn:
    """Log number so-and-so."""
    for attempt in range(1000):
        draw = np.random.default_rng([number, attempt, 77])
        hertz, length = log_uniform(draw, 0.07, 10), log_uniform(draw, 120, 900)
        division = float(draw.choice(DIVISIONS))
        noise = float(one_of(draw, "noise")[1])
        climb = draw.uniform(-1, 1)
        time = np.arange(0, length, 1 / hertz)
        if time.size < 6:
            continue
        pressure = draw.uniform(8, 11) + climb / 60 * time + wandering(draw, time)
        beyond = np.flatnonzero((pressure < 0.5) | (pressure > 20))
        end = int(beyond[0]) if beyond.size else time.size
        if end >= 6:
            reading = np.round((pressure + noise * draw.standard_normal(time.size)) / division) * division
            return Drawn(time[:end], reading[:end], division, float(climb), pressure[:end], noise)
    raise RuntimeError("no log")
