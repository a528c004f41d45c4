"""A log cut into phases, and saw-teeth: invented logs; thresholds are our choice, no published source is known."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import wide_laws

from steadyneedle.bench.trace import Log
from steadyneedle.bench.trace.phases import Cut, cut_into_phases
from steadyneedle.bench.trace.sharp import sharp_moves, usual_noise
from steadyneedle.bench.trace.teeth import sharp_teeth, small_teeth


def cut(time: np.ndarray, pressure: np.ndarray, division: float, minutes: float = 2.0) -> Cut:
    return cut_into_phases(time, np.round(pressure / division) * division, division, minutes)


def names(one: Cut) -> list[str]:
    return [phase.name for phase in one.phases]


def purged(draw: np.random.Generator) -> tuple[np.ndarray, np.ndarray, float, float, float]:
    """One to five purges that dip by 0.7 to 2 bar, a settle and perhaps a creep after each, perhaps a bleed-down: times,
    readings as logged, division, when the last hold begins and ends."""
    hertz, division = float(draw.choice([10, 4, 2, 1])), float(draw.choice(wide_laws.DIVISIONS))
    rate, count, dip = float(draw.choice([0, 0.07, 0.3])), int(draw.integers(1, 6)), draw.uniform(0.7, 2.0)
    lasts, apart = draw.uniform(max(0.8, 2 / hertz), 4), draw.uniform(8, 15)
    ends = 20 + apart * np.arange(count) + lasts
    time = np.arange(0, ends[-1] + draw.choice([150, 330]), 1 / hertz)
    since = time - np.append(0, ends)[np.searchsorted(ends, time, side="right")]
    pressure = 9.8 + rate / 60 * since - draw.uniform(0, 0.2) * np.exp(-since / draw.uniform(2, 40))
    for end in ends:
        pressure[(time >= end - lasts) & (time < end)] = 9.8 - dip
    stop = float(time[-1])
    if draw.random() < 0.5:
        stop -= 20
        low = time > stop
        pressure[low] *= np.exp(-(time[low] - stop) / 2)
    reading = np.round((pressure + draw.uniform(0, 0.02) * draw.standard_normal(time.size)) / division) * division
    log = Log.from_arrays(time, reading, "bar", division)
    return log.time, log.pressure, division, float(ends[-1]), stop


def test_the_last_hold_begins_after_the_last_purge_and_ends_before_the_bleed_down() -> None:
    """150 logs: right within 1.2 s or a sample in at least 97 %, and no purge is a saw-tooth or free flow."""
    right = 0
    for number in range(150):
        time, pressure, division, begin, end = purged(np.random.default_rng([number, 8]))
        found = cut_into_phases(time, pressure, division)
        assert found.kind == "", (number, found.kind)
        step = max(1.2, 1.01 * float(np.median(np.diff(time))))
        held = time[found.rows]
        right += begin - 0.01 <= held[0] <= begin + step and abs(held[-1] - end) <= step
    assert right >= 0.97 * 150


def test_five_purges_are_five_purges() -> None:
    time = np.arange(0, 420, 0.5)
    pressure = np.full(time.size, 9.9)
    for begin in range(20, 70, 10):
        pressure[(time > begin) & (time <= begin + 1)] -= 1.0
    found = cut(time, pressure, 0.02, 5.0)
    assert names(found).count("purge") == 5 and found.kind == "" and found.purged and found.long_enough
    assert len(found.others) == 5 and found.others[0].start_s == 0


def test_a_closing_bleed_down_is_no_free_flow() -> None:
    time = np.arange(0, 320, 0.5)
    pressure = 9.9 + 0.1 / 60 * time
    pressure[time > 300] *= np.exp(-(time[time > 300] - 300) / 3)
    found = cut(time, pressure, 0.1)
    assert names(found) == ["hold", "bleed-down"] and found.kind == ""
    assert time[found.rows][-1] == pytest.approx(300, abs=1)


def test_free_flow_holds_most_of_the_pressure() -> None:
    """Supply on: the needle stays 1.5 bar down. What falls slowly is a leak, what comes back a purge."""
    time = np.arange(0, 300, 0.5)
    assert cut(time, 9.9 - 1.5 * (time > 200), 0.02).kind == "free flow"
    assert cut(time, 9.9 - 1.5 * np.maximum(time - 200, 0) / 100, 0.02).kind == ""
    assert cut(time, 9.9 - 1.5 * ((time > 100) & (time < 103)), 0.02).kind == ""
    assert cut(time, 9.9 - 0.02 * time, 0.02).kind == "", "a straight fall to 4 bar"


def test_the_hold_that_counts() -> None:
    """The last as long as asked, else the longest; the others are listed."""
    time = np.arange(0, 600, 1.0)
    pressure = 9.9 - 1.0 * ((time > 350) & (time < 354))
    five, four = cut(time, pressure, 0.02, 5.0), cut(time, pressure, 0.02, 4.0)
    assert five.long_enough and time[five.rows][0] == 0 and five.others[0].start_s >= 353
    assert four.long_enough and time[four.rows][0] >= 353
    nine = cut(time, pressure, 0.02, 9.0)
    assert not nine.long_enough and time[nine.rows][0] == 0


def test_bled_down_and_pressurised_again() -> None:
    time = np.arange(0, 500, 1.0)
    found = cut(time, np.where((time > 200) & (time < 230), 0.0, 9.9), 0.02)
    assert names(found).count("bleed-down") == 1 and time[found.rows][0] >= 229 and found.purged


def saw(number: int, size: float, period: float, division: float, noise: float, hertz: float) -> tuple[np.ndarray, ...]:
    draw, time = np.random.default_rng(number), np.arange(0, 300, 1 / hertz)
    along = (time / period + draw.random()) % 1
    pressure = 9.5 + size * (1 - along if number % 2 else along) + noise * draw.standard_normal(time.size)
    return time, np.round(pressure / division) * division


SAWS = [(10, 0.02, 0.03, 1), (20, 0.02, 0.005, 1), (20, 0.1, 0.005, 1), (20, 0.1, 0.03, 10), (45, 0.05, 0.01, 1),
        (45, 0.02, 0.03, 10)]  # fmt: skip


@pytest.mark.parametrize(("period", "division", "noise", "hertz"), SAWS)
def test_teeth_are_told_by_their_shape(period: float, division: float, noise: float, hertz: float) -> None:
    """Teeth of twice the larger of one division and 4 times the noise: seen in all of 6 logs; of half as much again in
    most; of that itself in half, where noise and not the division alone rounds them."""
    least = max(division, 4 * noise)
    for times, seen in ((2.0, 6), (1.5, 5 if noise > division / 10 else 3), (1.0, 3 if noise > division / 10 else 0)):
        found = [
            cut_into_phases(*saw(number, times * least, period, division, noise, hertz), division)
            for number in range(6)
        ]
        assert sum(one.kind == "saw-tooth" for one in found) >= seen, times
        assert all(abs(one.teeth.period / period - 1) < 0.2 for one in found if one.teeth), times


@pytest.mark.parametrize("size", [0.15, 0.3, 0.5])
def test_teeth_every_twenty_seconds(size: float) -> None:
    time, pressure = saw(1, size, 20, 0.02, 0.01, 2)
    found = cut_into_phases(time, pressure, 0.02)
    assert found.kind == "saw-tooth" and found.teeth is not None
    assert found.teeth.high - found.teeth.low == pytest.approx(size, rel=0.3)


def test_settles_and_drifts_have_no_teeth() -> None:
    """20 logs of each wider law: at most one in all is taken for a saw-tooth."""
    wrong = 0
    for name in wide_laws.LAWS:
        for number in range(20):
            log = wide_laws.drawn(name, number)
            moves = sharp_moves(log.time, log.reading, log.division)
            noise = usual_noise(log.time, log.reading, log.division)
            wrong += sharp_teeth(log.time, log.reading, moves) is not None
            wrong += small_teeth(log.time, log.reading, log.division, noise) is not None
    assert wrong <= 1


def test_pressurising_lasts_until_the_needle_is_up() -> None:
    """Read every 30 s: nothing at 0 s, up at 30 s, so that the phases leave no gap."""
    time = np.arange(0.0, 421.0, 30.0)
    phases = cut(time, np.where(time < 30, 0.0, 9.6), 0.1).phases
    assert [(one.name, one.start_s, one.end_s) for one in phases[:2]] == [
        ("pressurising", 0.0, 30.0), ("lock-up", 30.0, 60.0),
    ]  # fmt: skip
    assert all(one.end_s == two.start_s for one, two in itertools.pairwise(phases))
