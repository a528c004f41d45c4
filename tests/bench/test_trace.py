"""Logs judged: the rig's regulators, logs made by hand, constant ones, short ones; words, JSON and picture agree."""

from __future__ import annotations

import datetime
import itertools
import json
import re
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import OUTCOMES, Log, TraceVerdict, judge_trace, read_log
from steadyneedle.bench.trace.phases import cut_into_phases
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.log import WALL_DPI, log_figure

SHEETS = load_sheets(places.datasets() / "sheets")
OPEN = Action(3, "valve", 1)


def recorded(design: str, faults: dict[str, float], *actions: Action, until: float = 300.0, every: float = 0.5) -> Log:
    """A transducer's log of a regulator on the rig."""
    _, trace = rig.run(rig.start(design, faults), [OPEN, *actions], until)
    times, readings = needle.log(trace.time, trace.ip_gauge, every, 0.02e5, 0.005e5, seed=4)
    return Log.from_arrays(times, readings / 1e5, "bar", 0.02)


CASES = [
    ("Juniper", {}, (), "locks"), ("Hazel", {}, (), "locks"), ("Juniper", {"seat_nicked": 0.5}, (), "creeps"),
    ("Rowan", {"edge_or_static_seal": 0.3}, (), "creeps"), ("Juniper", {"set_high": 0.5}, (), "locks high"),
    ("Juniper", {"spring_weak": 0.5}, (), "locks low"), ("Rowan", {"leak_on_sticky": 1.0}, (), "saw-tooth"),
    ("Juniper", {}, (Action(200, "valve", 0), Action(200, "bleed", 1), Action(210, "purge", 60)), "locks"),
    ("Alder", {"gauge_hose": 1.0}, (Action(20, "valve", 0),), "falls"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("design", "faults", "actions", "outcome"), CASES, ids=[f"{c[0]}-{c[3]}-{n}" for n, c in enumerate(CASES)]
)
def test_the_rigs_regulators_are_told(design: str, faults: dict, actions: tuple, outcome: str) -> None:
    verdict = judge_trace(recorded(design, faults, *actions), SHEETS[design])
    assert verdict.outcome == outcome, verdict.because
    assert verdict.outcome in OUTCOMES and verdict.because.endswith(".") and "nan" not in verdict.because


def test_a_settle_is_no_creep() -> None:
    """The valve shut, a purge that stops half-way: the air left inside has cooled, warms, and nothing comes in."""
    actions = [Action(0, "valve", 1), Action(20, "valve", 0), Action(25, "purge", 0.3)]
    _, trace = rig.run(rig.start("Juniper"), actions, 500)
    after = trace.time > 26.3
    times, readings = needle.log(trace.time[after], trace.ip_gauge[after], 1.0, 0.02e5, 0.004e5)
    verdict = judge_trace(Log.from_arrays(times, readings / 1e5, "bar", 0.02), creep_limit=Q(0.06, "bar/min"))
    assert verdict.outcome == "settles" and verdict.settle.value > Q(0.05, "bar")


def test_ten_seconds_tell_nothing() -> None:
    """Calling a creep healthy after ten seconds is the mistake: the verdict is that nobody can tell, and how much longer."""
    log = recorded("Juniper", {"seat_nicked": 0.2}, until=14.0)
    verdict = judge_trace(Log.from_arrays(log.time[8:], np.round(log.pressure[8:], 1), "bar", 0.1))
    assert verdict.outcome == "cannot tell" and Q(0, "min") < verdict.watch_longer <= Q(10, "s")
    assert verdict.watch_in_all > Q(1, "min") and "Watch 10 s longer" in verdict.because
    longer = recorded("Juniper", {"seat_nicked": 0.2}, until=240.0)
    assert judge_trace(longer).outcome == "creeps"


def test_the_walk_in_class() -> None:
    """Read every 15 s to a tenth: after two minutes nobody can tell, after six it creeps, about 0.06 bar a minute."""
    log = read_log(places.datasets() / "logs" / "class_reading.csv")
    early = judge_trace(Log.from_arrays(log.time[:7], log.pressure[:7], "bar", 0.1))
    assert early.outcome == "cannot tell"
    verdict = judge_trace(log, SHEETS["Juniper"])
    assert verdict.outcome == "creeps" and 0.04 < verdict.creep_rate.value.magnitude < 0.08
    assert verdict.projection.second_stage_opens > Q(30, "min")


def test_a_needle_that_sits_still_between_marks_says_something_but_not_zero() -> None:
    """Two minutes at one reading of a 0.1 bar scale: the rate may be anything up to a division in two minutes, and no more."""
    verdict = judge_trace(Log.from_arrays(np.arange(0, 121, 15), np.full(9, 9.8), "bar", 0.1))
    rate = verdict.creep_rate
    assert verdict.outcome == "cannot tell"
    assert -0.12 < rate.low.magnitude < -0.005 and 0.005 < rate.high.magnitude < 0.12
    hour = judge_trace(Log.from_arrays(np.arange(0, 3601, 15), np.full(241, 9.8), "bar", 0.1))
    assert hour.outcome == "locks"


def test_limits() -> None:
    log = recorded("Juniper", {"seat_nicked": 0.2})
    rate = judge_trace(log).creep_rate.value
    assert judge_trace(log, creep_limit=2 * rate).outcome in ("locks", "settles")
    assert judge_trace(log, creep_limit=Q(0.1, "psi/min")).outcome == "creeps"
    assert judge_trace(log, SHEETS["Alder"]).limit.to("bar/min").magnitude == pytest.approx(0.04), "0.2 bar in 5 min"
    for bad, words in ((Q(1, "bar"), "creep_limit"), (0.02, "creep_limit"), (Q(0, "bar/min"), "above 0")):
        with pytest.raises(ValueError, match=words):
            judge_trace(log, creep_limit=bad)


def test_the_projection_is_the_rate_carried_on() -> None:
    log = recorded("Rowan", {"seat_nicked": 0.0}, until=240.0)
    verdict = judge_trace(log, SHEETS["Rowan"])
    assert verdict.outcome == "creeps"
    room = 9.9 - float(np.median(log.pressure[-5:]))
    leaves = verdict.projection.leaves_band.to("min").magnitude
    assert leaves == pytest.approx(room / verdict.creep_rate.value.magnitude, abs=0.4)
    assert verdict.projection.second_stage_opens > verdict.projection.leaves_band
    assert judge_trace(log).projection.leaves_band is None


def test_phases_in_order() -> None:
    log = recorded("Juniper", {"seat_nicked": 1.0}, Action(120, "purge", 1))
    names = [phase.name for phase in cut_into_phases(log.time, log.pressure, log.division).phases]
    assert names[:3] == ["pressurising", "lock-up", "hold"] and "purge" in names and names[-1] == "hold"
    phases = judge_trace(log).phases
    assert all(a.end_s <= b.start_s + 1e-9 for a, b in itertools.pairwise(phases))


def same(verdict: TraceVerdict) -> dict:
    return json.loads(json.dumps(verdict.as_json()))


def test_json_words_and_attributes_agree() -> None:
    verdict = judge_trace(read_log(places.datasets() / "logs" / "class_reading.csv"), SHEETS["Juniper"])
    plain = same(verdict)
    assert set(plain) == {
        "conforms", "reason", "outcome", "because", "band", "rise", "rate", "lock_up", "settle", "time_constant", "creep_rate",
        "fits", "seen", "stop", "stop_passed", "phases", "others", "projection", "watch_longer", "watch_in_all", "left_out",
        "how_read", "doubts", "notes",
    }  # fmt: skip
    assert next(iter(plain)) == "conforms" and verdict.lines()[0].startswith(f"Conforms: {verdict.conforms}. ")
    assert plain["creep_rate"]["unit"] == "bar/min" and set(plain["creep_rate"]) == {"value", "low", "high", "unit"}
    assert plain["creep_rate"]["value"] == pytest.approx(verdict.creep_rate.value.magnitude)
    assert set(plain["projection"]) == {"leaves_band", "second_stage_opens"} and plain["watch_longer"] is None
    opens = plain["projection"]["second_stage_opens"]
    assert set(opens) == {"value", "low", "high", "unit"} and opens["low"] < opens["value"] < opens["high"]
    assert set(plain["phases"][0]) == {"name", "start_s", "end_s"}
    assert f"{verdict.creep_rate.value.magnitude:.3f} bar/min" in " ".join(verdict.lines())


def test_the_same_log_gets_the_same_verdict() -> None:
    log = recorded("Juniper", {"seat_nicked": 0.1})
    assert same(judge_trace(log)) == same(judge_trace(log))


@pytest.mark.parametrize("outcome", ["creeps", "saw-tooth", "locks"])
def test_a_picture_worth_printing(outcome: str) -> None:
    faults = {"creeps": {"seat_nicked": 0.5}, "saw-tooth": {"leak_on_sticky": 1.0}, "locks": {}}[outcome]
    log = recorded("Rowan", faults)
    verdict = judge_trace(log, SHEETS["Rowan"])
    figure = log_figure(log, verdict, SHEETS["Rowan"], judged_on=datetime.date(2026, 11, 26))
    texts = [text.get_text() for text in figure.texts]
    assert texts[0] == f"conforms: {verdict.conforms}"
    assert verdict.outcome == outcome and " ".join(texts[1].split()) == f"{outcome}: {verdict.because}"
    assert texts[2] == "Rowan, judged on 2026-11-26"
    assert next(text.get_text() for text in figure.axes[0].texts).startswith("band 9.3 to 9.9 bar")
    wide, high = Image.open(BytesIO(png_of(figure))).size
    printed = Image.open(BytesIO(png_of(figure, WALL_DPI)))
    assert (
        wide == 860
        and 500 < high < 720
        and printed.size == (1290, pytest.approx(1.5 * high, abs=1))
        and round(printed.info["dpi"][0]) == 150
    )


def test_a_picture_speaks_the_logs_own_unit() -> None:
    """A log in psi: axis, dots and band in psi (1 bar is 14.504 psi)."""
    log = recorded("Rowan", {}, until=200.0)
    psi = Log.from_arrays(log.time, np.round(log.pressure * 14.5038), "psi")
    axes = log_figure(psi, judge_trace(psi, SHEETS["Rowan"]), SHEETS["Rowan"]).axes[0]
    assert axes.get_ylabel() == "IP, psi" and axes.get_ylim()[0] > 100
    assert axes.texts[0].get_text().startswith("band 134.9 to 143.6 psi")
    said = log_figure(psi, judge_trace(psi, SHEETS["Rowan"]), SHEETS["Rowan"]).texts[1].get_text()
    assert re.search(r"\d psi", said) and " bar" not in said, said


def test_a_constant_log_and_three_rows() -> None:
    assert judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.01)).outcome == "locks"
    three = judge_trace(Log.from_arrays([0, 60, 120], [9.8, 9.8, 9.9], "bar", 0.1))
    assert three.outcome == "cannot tell"


CHAMBERS = ("time_ms", "skip", "pressure_bar")


@pytest.mark.parametrize("number", [1, 2, 3])
def test_upside_down_a_leak_is_as_unsure(number: int) -> None:
    """Real leaks outward that slow down, watched for 2.4 min: settles of either sign and long time constants leave open
    whether they go on; the same numbers upside down leave the mirror image open. Only the gas decides which it was."""
    log = read_log(places.datasets() / "logs" / f"chamber_{number}.csv", CHAMBERS)
    down = judge_trace(log)
    up = judge_trace(Log.from_arrays(log.time, 2 * log.pressure[0] - log.pressure, "bar", log.division))
    assert down.outcome == up.outcome == "cannot tell" and down.fits
    assert "The needle fell by 0." in down.because and " bar in 2." in down.because
    assert up.creep_rate.low.magnitude == pytest.approx(-down.creep_rate.high.magnitude, abs=2e-3)
    assert up.creep_rate.high.magnitude == pytest.approx(-down.creep_rate.low.magnitude, abs=2e-3)


def test_an_emptying_chamber_gets_no_sign() -> None:
    """It falls by 7.6 bar and slows down: no settle and creep, so no rate and no interval."""
    verdict = judge_trace(read_log(places.datasets() / "logs" / "chamber_4.csv", CHAMBERS))
    assert verdict.outcome == verdict.conforms == "cannot tell" and not verdict.fits
    assert (
        "does not behave like settle and creep" in verdict.because and "fell by 7.57 bar in 2.4 min" in verdict.because
    )
    assert verdict.creep_rate.low.magnitude == -np.inf and verdict.creep_rate.high.magnitude == np.inf
    assert same(verdict)["creep_rate"]["low"] is None and "Creep rate" not in " ".join(verdict.lines())
