"""Band, rise and rate found apart, and one verdict over them: logs made by hand, judged by the invented sheets. The sheets'
procedure (purges, minutes, allowed rise) is common practice, no source."""

from __future__ import annotations

import dataclasses
import re

import numpy as np
import pytest

from steadyneedle.bench.bands.stopping import AT_THE_STOP
from steadyneedle.bench.sheets import Sheet, load_sheets
from steadyneedle.bench.trace import Log, TraceVerdict, judge_trace
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")
JUNIPER = SHEETS["Juniper"]
"""9.8 to 10.2 bar, guarded, U 0.125 bar; 0.1 bar in 5 min; second stage opens at 15 bar, gauge to 16 bar."""


def needle(
    level: float = 10.0, settle: float = 0.0, constant: float = 20.0, rate: float = 0.0, minutes: float = 6.0,
    every: float = 1.0, division: float = 0.02, noise: float = 0.004,
) -> Log:  # fmt: skip
    """Five purges of 1.2 bar, then a settle and a climb [bar/min], watched for so long."""
    time = np.arange(0, 70 + 60 * minutes, every)
    since = np.maximum(time - 70, 0)
    pressure = level - settle * np.exp(-since / constant) + rate / 60 * since
    for begin in range(20, 80, 12):
        pressure[(time >= begin) & (time < begin + 2)] = level - 1.2
    pressure += noise * np.random.default_rng(5).standard_normal(time.size)
    return Log.from_arrays(time, np.round(pressure / division) * division, "bar", division)


def said(verdict: TraceVerdict) -> tuple[str, str, str, str, str]:
    return verdict.conforms, verdict.outcome, verdict.band.outcome, verdict.rise.outcome, verdict.rate.outcome


CASES = [
    ("a sound needle", {}, ("yes", "locks", "inside", "within", "stands")),
    ("a settle within what is allowed", {"settle": 0.08}, ("yes", "settles", "inside", "within", "stands")),
    ("a worn seat: it locks, but high", {"settle": 0.28, "constant": 40}, ("no", "locks high", "inside", "beyond", "stands")),
    ("a creep", {"rate": 0.05}, ("no", "creeps", "cannot tell", "beyond", "climbs")),
    ("too high", {"level": 10.5}, ("no", "locks high", "outside", "within", "stands")),
    ("too low", {"level": 9.5}, ("no", "locks low", "outside", "within", "stands")),
    ("near the limit under a guarded rule", {"level": 10.15}, ("cannot tell", "locks", "cannot tell", "within", "stands")),
    ("a leak", {"rate": -0.1}, ("no", "falls", "outside", "within", "falls")),
]  # fmt: skip


@pytest.mark.parametrize(("made", "expected"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_findings_and_the_verdict_over_them(made: dict[str, float], expected: tuple[str, ...]) -> None:
    verdict = judge_trace(needle(**made), JUNIPER)
    assert said(verdict) == expected
    assert verdict.lines()[0].startswith(f"Conforms: {expected[0]}. ")
    for found in (verdict.band, verdict.rise, verdict.rate):
        assert found.because.endswith(".")
        if found.conforms == "no":
            assert found.because in verdict.reason


def test_the_rise_counts_from_five_seconds_after_the_last_purge() -> None:
    """0.3 bar with a time constant of 2 s is over after 5 s: 0.3 exp(-5/2) = 0.025 bar are left."""
    verdict = judge_trace(needle(settle=0.3, constant=2.0), JUNIPER)
    assert verdict.rise.value.to("bar").magnitude == pytest.approx(0.3 * np.exp(-2.5), abs=0.012)
    assert verdict.rise.outcome == "within" and verdict.rise.allowed == Q(0.1, "bar")
    assert verdict.rise.low < verdict.rise.value < verdict.rise.high


def test_a_rise_is_that_of_the_sheets_minutes() -> None:
    """0.015 bar/min makes 0.075 bar in 5 min; watched for 9 min it is still 0.075."""
    for minutes in (5.2, 9.0):
        verdict = judge_trace(needle(rate=0.015, minutes=minutes), JUNIPER)
        assert verdict.rise.value.magnitude == pytest.approx(0.075, abs=0.006) and verdict.rise.outcome == "within"
    assert judge_trace(needle(rate=0.03, minutes=5.2), JUNIPER).rise.outcome == "beyond"


def test_too_early_to_pass_but_not_to_fail() -> None:
    early = judge_trace(needle(minutes=2.0), JUNIPER)
    assert early.conforms == "cannot tell" and early.rise.outcome == "cannot tell" and "too early" in early.rise.because
    assert Q(1.5, "min") < early.watch_longer <= Q(2.0, "min") and early.watch_in_all >= Q(5, "min")
    worn = judge_trace(needle(settle=0.3, constant=30, minutes=2.0), JUNIPER)
    assert worn.conforms == "no" and worn.rise.outcome == "beyond"


def test_a_failed_band_does_not_hide_behind_an_unknown_rate() -> None:
    """Half a minute tells no rate; that the needle stands at 11 bar it tells."""
    verdict = judge_trace(needle(level=11.0, minutes=0.6, division=0.1), JUNIPER)
    assert said(verdict)[:3] == ("no", "cannot tell", "outside") and verdict.rate.outcome == "cannot tell"
    assert "11 bar lies beyond 9.8 to 10.2 bar" in verdict.reason and verdict.watch_longer is None


def test_without_a_sheet_it_conforms_to_nothing() -> None:
    verdict = judge_trace(needle())
    assert said(verdict) == ("cannot tell", "locks", "not asked", "not asked", "stands")
    assert "No sheet is named" in verdict.reason and verdict.watch_longer is None
    assert judge_trace(needle(), None, Q(0.02, "bar/min")).conforms == "yes", "to the limit that was named"
    assert judge_trace(needle(level=14.5)).conforms == "no", "a passed stop"
    assert verdict.stop == Q(12, "bar") and "Band" not in " ".join(verdict.lines())


def test_a_limit_of_ones_own_counts_beside_the_sheet() -> None:
    log = needle(rate=0.012, minutes=10.0)
    assert judge_trace(log, JUNIPER).conforms == "yes", "0.06 bar in 5 min"
    own = judge_trace(log, JUNIPER, Q(0.005, "bar/min"))
    assert own.conforms == "no" and own.outcome == "creeps"


def test_a_bleed_down_hides_no_creep() -> None:
    log = needle(rate=0.1)
    time = np.append(log.time, log.time[-1] + np.arange(1.0, 20.0))
    pressure = np.append(log.pressure, 10.6 * np.exp(-np.arange(1.0, 20.0) / 2))
    verdict = judge_trace(Log.from_arrays(time, pressure, "bar", 0.02), JUNIPER)
    assert verdict.outcome == "creeps" and verdict.creep_rate.value.magnitude == pytest.approx(0.1, abs=0.01)


def test_a_needle_that_never_moves_stands_where_it_is_read() -> None:
    verdict = judge_trace(Log.from_arrays(np.arange(0, 601, 15), np.full(41, 9.5), "bar", 0.1))
    assert verdict.lock_up.value.magnitude == pytest.approx(9.5, abs=1e-3)
    assert verdict.creep_rate.value.magnitude == pytest.approx(0, abs=1e-6)
    assert np.ptp(verdict.hold.curve(np.arange(0.0, 600.0))) < 1e-3 and "stands at 9.50 bar" in verdict.because


STOPS = [
    ({}, 12.0), ({"gauge_span": Q(25, "bar"), "ip_high": Q(11, "bar")}, 13.0), ({"second_stage_opens": Q(11.5, "bar")}, 11.5),
    ({"gauge_span": Q(10, "bar")}, 7.5),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "stop"), STOPS)
def test_the_stop(changed: dict, stop: float) -> None:
    """Lowest of the second stage's opening IP, three quarters of the span, 2 bar above the band: 15, 12 and 12.2 for Juniper."""
    sheet: Sheet = dataclasses.replace(JUNIPER, **changed)
    assert judge_trace(needle(minutes=2.0), sheet).stop.to("bar").magnitude == pytest.approx(stop)


def test_the_stop_when_it_has_been_passed() -> None:
    verdict = judge_trace(needle(rate=0.8), JUNIPER)
    assert verdict.stop_passed.to("s").magnitude == pytest.approx(70 + 2.0 / 0.8 * 60, abs=5)
    assert AT_THE_STOP in " ".join(verdict.lines())
    assert verdict.watch_longer is None
    assert judge_trace(needle(), JUNIPER).stop_passed is None


def test_a_sentence_names_times_of_the_log_as_its_picture_does() -> None:
    """Pressurised for 30 s, then a jump at 366 s (6.1 min), a bend at 420 s; none counts from the hold's beginning."""
    time = np.arange(0, 601, 5.0)
    level = np.minimum(time / 30, 1) * 9.6
    jumped = judge_trace(Log.from_arrays(time, level + 0.3 * (time > 366), "bar", 0.02))
    assert "it jumped by 0.30 bar at 6.1 min" in jumped.because and jumped.rows.start > 0
    bent = judge_trace(Log.from_arrays(time, level + 0.2 * np.maximum(time - 420, 0) / 60, "bar", 0.02))
    when = re.search(r"from (\d\.\d) min on it climbed more, by 0\.\d+ bar/min", bent.because)
    assert when and float(when[1]) == pytest.approx(7.0, abs=0.25), bent.because


def test_a_fall_is_said_once() -> None:
    verdict = judge_trace(needle(rate=-0.1))
    line = next(line for line in verdict.lines() if line.startswith("falls: "))
    assert line.count("fall") == 2 and re.match(
        r"falls: The needle loses 0\.1\d\d bar/min, between 0\.\d+ bar/min and", line
    ), "the word, and a set point that falls"


def test_a_saw_tooth_and_free_flow_do_not_conform() -> None:
    time = np.arange(0, 400, 0.5)
    saw = judge_trace(
        Log.from_arrays(time, np.round((9.9 + 0.3 * ((time / 20) % 1)) / 0.02) * 0.02, "bar", 0.02), JUNIPER
    )
    assert saw.conforms == "no" and saw.outcome == "saw-tooth" and saw.rate.outcome == "cannot tell"
    flow = judge_trace(Log.from_arrays(time, np.round((10 - 1.5 * (time > 330)) / 0.02) * 0.02, "bar", 0.02), JUNIPER)
    assert flow.conforms == "no" and flow.outcome == "free flow" and "10.0 bar" in flow.because
