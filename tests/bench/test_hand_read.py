"""Logs read by hand or too slowly, as they came up when somebody else used the judge. Invented logs; what they should say
is common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import Log, TraceVerdict, judge_trace
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")


def judged(pressure: np.ndarray, every: float, sheet: str, division: float = 0.1) -> TraceVerdict:
    time = np.arange(pressure.size) * every
    return judge_trace(Log.from_arrays(time, np.round(pressure / division) * division, "bar", division), SHEETS[sheet])


@pytest.mark.parametrize(("every", "period"), [(15, 60.0), (10, 40.0), (10, 23.0), (15, 37.0), (20, 47.0)])
def test_a_saw_tooth_read_too_slowly_never_conforms(every: int, period: float) -> None:
    """Half a bar, slow up and sharp down, read by hand for 10 min."""
    time = np.arange(0, 600, every)
    verdict = judged(9.3 + 0.5 * ((time / period) % 1), every, "Rowan")
    assert verdict.conforms != "yes" and verdict.outcome in ("saw-tooth", "cannot tell")


def test_what_swings_is_to_be_read_faster() -> None:
    verdict = judged(np.tile([9.6, 9.4, 9.4, 9.6, 9.5], 9), 15, "Rowan")
    assert verdict.conforms == "cannot tell" and "swings between 9.4 bar and 9.6 bar" in verdict.reason
    assert "Read it every second or two" in verdict.reason


def test_a_later_shorter_hold_that_fails_is_not_passed_over() -> None:
    """Five and a half minutes at 9.6 bar, a purge, then four and a half at 10.2, outside 9.3 to 9.9."""
    stands = np.full(66, 9.6)
    verdict = judged(np.concatenate([stands, [7.9, 7.9], np.full(54, 10.2)]), 5, "Rowan")
    assert (verdict.conforms, verdict.band.outcome) == ("no", "outside")
    assert judged(np.concatenate([stands, [7.9, 7.9], np.full(54, 9.6)]), 5, "Rowan").conforms == "yes"


def test_a_needle_out_of_its_band_later_does_not_conform() -> None:
    """Within its allowed rise after five minutes, out of 8.6 to 9.6 bar after thirty."""
    verdict = judged(9.0 + 0.028 * np.arange(0, 30, 0.25), 15, "Alder")
    assert verdict.conforms == "no" and verdict.reason.startswith("At the last reading")


def test_a_needle_that_climbs_slowly_is_said_to_climb() -> None:
    verdict = judged(9.0 + 0.03 * np.arange(0, 10, 0.25), 15, "Alder", 0.02)
    assert (
        verdict.conforms == "yes"
        and "and climbs by 0.03" in verdict.because
        and "out of its band in about" in verdict.because
    )


@pytest.mark.parametrize("every", [15, 30])
def test_a_low_first_reading_is_the_rise_that_is_asked_about(every: int) -> None:
    """9.0 right after the purge, then 9.4: a rise of 0.4 where 0.2 is allowed."""
    verdict = judged(np.append(9.0, np.full(600 // every, 9.4)), every, "Alder")
    assert not verdict.left_out and verdict.conforms == "no"


@pytest.mark.parametrize("every", [1, 2])
def test_breaths_before_the_watch_are_no_saw_tooth(every: int) -> None:
    """A minute of breathing, 2.4 s a breath, then six minutes of watching."""
    time = np.arange(0, 420, every)
    breaths = np.where(time < 60, 0.35 * (1 - np.cos(2 * np.pi * time / 2.4)), 0.0)
    verdict = judged(9.6 - breaths, every, "Rowan", 0.05)
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")


def test_purges_read_every_five_seconds_are_purges() -> None:
    verdict = judged(np.append(np.tile([8.7, 9.6], 5), np.full(90, 9.6)), 5, "Rowan")
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")


def test_a_slow_bleed_down_at_the_end_is_no_free_flow() -> None:
    verdict = judged(np.append(np.full(41, 9.6), [6.0, 2.0, 0.0, 0.0]), 15, "Rowan")
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")


def test_an_emptied_cylinder_is_no_free_flow() -> None:
    """IP that follows a cylinder down to nothing: the second stage does not flow."""
    time = np.arange(0, 600, 5.0)
    verdict = judged(np.where(time < 300, 9.2, np.maximum(9.2 - 0.04 * (time - 300), 0.3)), 5, "Alder")
    assert verdict.outcome != "free flow" and verdict.conforms != "yes"


def test_a_gauge_without_pressure() -> None:
    verdict = judged(np.zeros(60), 10, "Alder")
    assert verdict.conforms != "yes" and "no pressure is on it" in verdict.rate.because


def test_nobody_is_left_without_a_next_step() -> None:
    """Where nobody can tell, the reason ends in what to do."""
    for pressure in (np.full(40, 9.72), 9.3 + 0.033 * np.arange(0, 10, 0.25)):
        verdict = judged(pressure, 15, "Rowan", 0.02)
        assert verdict.conforms == "cannot tell"
        assert "Watch" in verdict.reason.split(". ")[-1] or "watch" in verdict.reason.split(". ")[-1]


NOISE = 0.01 * np.random.default_rng(7).standard_normal(400)


def test_a_purge_that_the_log_does_not_show_whole_is_no_free_flow() -> None:
    """Eight minutes at 9.6 bar, the last two readings in a purge: the hold is judged, and the drop is to be looked at."""
    time = np.arange(0, 481, 5.0)
    verdict = judged(np.where(time < 475, 9.6, 8.5) + NOISE[: time.size], 5, "Rowan")
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")
    assert "ends in a drop" in verdict.lines()[0] and verdict.lines()[0].startswith("Look first")


@pytest.mark.parametrize("level", [3.0, 4.5, 5.2])
def test_a_needle_that_stands_low_flows_and_is_not_bled_down(level: float) -> None:
    time = np.arange(0, 901, 5.0)
    verdict = judged(np.where(time < 400, 9.6, level) + NOISE[: time.size], 5, "Rowan")
    assert (verdict.conforms, verdict.outcome) == ("no", "free flow")


@pytest.mark.parametrize(("rate", "division", "every"), [(0.232, 0.05, 10), (0.11, 0.02, 5), (0.3, 0.02, 10)])
def test_a_climb_read_in_whole_divisions_is_no_saw_tooth(rate: float, division: float, every: int) -> None:
    verdict = judged(9.3 + rate * np.arange(0, 15, every / 60), every, "Rowan", division)
    assert (verdict.conforms, verdict.outcome) == ("no", "creeps")


def test_a_long_saw_tooth_is_no_work() -> None:
    """Nine minutes between 9.4 and 9.8 bar, read every 15 s, then calm: nobody purged."""
    time = np.arange(0, 901, 15.0)
    verdict = judged(np.where(time < 540, 9.4 + 0.4 * ((time % 40) / 40), 9.5) + NOISE[: time.size], 15, "Rowan")
    assert verdict.conforms != "yes"


def test_a_log_that_begins_in_a_purge() -> None:
    """Purges before the first readings: 0, 8.7, 8.7, then the needle stands."""
    verdict = judged(np.append([0.0, 8.7, 8.7], np.full(30, 9.6)), 15, "Rowan")
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")
    assert "end of a purge" in verdict.lines()[0]


def test_one_low_reading_is_named_as_the_purge_it_is_taken_for() -> None:
    verdict = judged(np.append(np.full(6, 9.6), np.append(9.2, np.full(20, 9.6))), 30, "Rowan")
    assert "9.2 bar" in verdict.lines()[0] and "taken for a purge" in verdict.lines()[0]


@pytest.mark.parametrize("phase", [0.0, 0.7])
def test_breaths_after_the_watch_are_no_saw_tooth(phase: float) -> None:
    """Six minutes of watching, 40 s of breathing a quarter of a bar deep, read every second; then four minutes more."""
    time = np.arange(0, 640, 1.0)
    breaths = np.where((time > 360) & (time < 400), 0.13 * (1 - np.cos(2 * np.pi * time / 2.4 + phase)), 0.0)
    verdict = judged(9.6 - breaths + 0.3 * NOISE[np.arange(640) % 400], 1, "Rowan", 0.02)
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")


@pytest.mark.parametrize("dip", [[9.5, 9.3], [9.3, 9.5], [9.3, 9.2, 9.5]])
def test_a_purge_read_slowly_shows_one_side_sharp(dip: list[float]) -> None:
    verdict = judged(np.concatenate([np.full(30, 9.6), dip, np.full(35, 9.6)]), 10, "Rowan")
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")


@pytest.mark.parametrize("seed", range(6))
def test_a_small_saw_tooth_read_at_odd_places_never_conforms(seed: int) -> None:
    """Two divisions, a tooth every 80 s, read every 15 s: five readings and a third for each tooth."""
    time = np.arange(0, 601, 15.0)
    noise = 0.02 * np.random.default_rng(seed).standard_normal(time.size)
    verdict = judged(9.4 + 0.2 * ((time / 80 + seed / 6) % 1) + noise, 15, "Rowan")
    assert verdict.conforms != "yes"


def test_a_step_and_a_flicker_are_no_saw_tooth() -> None:
    time = np.arange(0, 900, 0.5)
    pressure = np.where(time < 265, 9.6, 9.37 + 0.0001 * (time - 265))
    pressure[[1001, 1002, 1003]] += 0.06
    pressure[1326:] -= 0.06
    verdict = judged(pressure + np.tile(NOISE, 5)[: time.size], 0.5, "Rowan", 0.02)
    assert verdict.outcome == "cannot tell" and "dropped by" in verdict.because
