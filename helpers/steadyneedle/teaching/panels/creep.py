"""Panels and tables of lesson 04: nine traces, settle and creep, how long to watch, second stages giving way."""

from __future__ import annotations

from functools import lru_cache, partial

import numpy as np

from steadyneedle.bench.trace import Log, judge_trace, nine, read_log
from steadyneedle.bench.trace.verdict import USUAL_LIMIT
from steadyneedle.foundation import places
from steadyneedle.physics import needle, second_stage
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import SecondStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import opening as opening_figure
from steadyneedle.teaching.figures import recording as recording_figure
from steadyneedle.teaching.figures import settle_apart as settle_apart_figure
from steadyneedle.teaching.figures import watching as watching_figure
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Panel, Slider
from steadyneedle.teaching.panels.bench import bench_panel
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, SheetLoader, Table
from steadyneedle.teaching.panels.own_log import log_panel
from steadyneedle.teaching.panels.ten_seconds import glance_panel, rest_panel, ten_seconds_rows


def traces_panel(preferences: Preferences) -> Panel:
    """Nine traces to recognise."""

    def compute(number: float, verdict: str) -> recording_figure.RecordingPicture:
        which = nine.ASKED[round(number) - 1]
        log, shown = nine.recorded(which).log, verdict == "shown"
        judged = nine.verdict_on(which) if shown else None
        outcome, because = (judged.outcome, judged.because) if judged else ("", "")
        minutes, readings = log.time / 60, log.pressure
        return recording_figure.RecordingPicture(round(number), minutes, readings, outcome, because, shown)

    def describe(result: recording_figure.RecordingPicture) -> str:
        first, last = (preferences.number(float(one), 2) for one in (result.readings[0], result.readings[-1]))
        minutes = preferences.number(float(result.minutes[-1]), 1)
        begin = f"Trace {result.number}: from {first} to {last} bar in {minutes} min."
        return f"{begin} {result.outcome}: {preferences.localise(result.because)}" if result.shown else begin

    controls = (
        Slider("number", "Trace", 1, nine.TRACES, 1, "", 1),
        Choice("verdict", "Verdict", ("shown", "hidden"), "shown"),
    )
    return DrawnPanel(
        "Nine traces",
        controls,
        compute,
        describe,
        draw=lambda result: recording_figure.trace_chart(result, preferences.localise),
    )


def apart_panel(preferences: Preferences) -> Panel:
    """A settle laid apart from a creep."""
    minutes = np.linspace(0, 10, 241)

    def compute(watch: float, settle: float, constant: float, rate: float) -> settle_apart_figure.SettleApartPicture:
        settled, crept = -settle * np.expm1(-minutes * 60 / constant), rate * minutes
        ten = float(-settle * np.expm1(-10 / constant) + rate / 6)
        tail = -settle * np.expm1(-np.array([max(watch - 1, 0.0), watch]) * 60 / constant)
        last = float(tail[1] - tail[0]) + rate * min(watch, 1.0)
        return settle_apart_figure.SettleApartPicture(settle, constant, rate, watch, minutes, settled, crept, ten, last)

    def describe(result: settle_apart_figure.SettleApartPicture) -> str:
        ten, last, rate = (preferences.number(one, 3) for one in (result.ten_seconds, result.last_minute, result.rate))
        part = "in the last minute of" if result.watch > 1 else "in"
        return (
            f"In the first ten seconds the needle moves by {ten} bar, {part} a watch of "
            f"{preferences.number(result.watch)} min by {last} bar. "
            f"The creep alone is {rate} bar a minute: only that stays."
        )

    controls = (
        Slider("watch", "Watched", 0.25, 10, 0.25, "min", 2),
        Slider("settle", "Settle", 0, 0.3, 0.02, "bar", 0.2),
        Slider("constant", "Time constant", 2, 60, 1, "s", 20),
        Slider("rate", "Creep", -0.04, 0.12, 0.01, "bar/min", 0.04),
    )
    return DrawnPanel(
        "A settle and a creep", controls, compute, describe,
        draw=lambda result: settle_apart_figure.apart_chart(result, preferences.localise),
    )  # fmt: skip


DIVISIONS = {"0.02 bar": 0.02, "0.05 bar": 0.05, "0.1 bar": 0.1, "0.2 bar": 0.2}


LONGEST = 15


@lru_cache(maxsize=256)
def watched(watch: int, division: float, rate: float) -> watching_figure.WatchingPicture:
    """A watch of 1 to 15 min with a reading every 15 s, judged as a real log is."""
    times = np.arange(0.0, LONGEST * 60 + 1e-9, 15.0)
    _, readings = needle.log(times, (9.83 + rate / 60 * times) * BAR, 15.0, division * BAR, 0.005 * BAR, seed=2)
    name = next(words for words, size in DIVISIONS.items() if size == division)
    seen = slice(0, 4 * watch + 1)
    verdict = judge_trace(Log.from_arrays(times[seen], readings[seen] / BAR, "bar", division))
    low, high = (float(one.magnitude) for one in (verdict.creep_rate.low, verdict.creep_rate.high))
    return watching_figure.WatchingPicture(
        watch, name, rate, USUAL_LIMIT, times[seen] / 60, readings[seen] / BAR,
        float(verdict.lock_up.value.magnitude), low, high, verdict.outcome, verdict.because,
    )  # fmt: skip


def watch_panel(preferences: Preferences) -> Panel:
    """How long to watch with this gauge."""

    def compute(watch: float, division: str, rate: float) -> watching_figure.WatchingPicture:
        return watched(round(watch), DIVISIONS[division], rate)

    def describe(result: watching_figure.WatchingPicture) -> str:
        minutes, division = preferences.number(result.watch, 0), preferences.localise(result.division)
        begin = f"{minutes} min, read to {division}: {result.outcome}."
        return f"{begin} {preferences.localise(result.because)}"

    controls = (
        Slider("watch", "Watched", 1, LONGEST, 1, "min", 2),
        Choice("division", "Division read to", tuple(DIVISIONS), "0.1 bar"),
        Slider("rate", "True creep", 0, 0.1, 0.01, "bar/min", 0.05),
    )
    return DrawnPanel(
        "How long to watch", controls, compute, describe,
        draw=lambda result: watching_figure.watch_chart(result, preferences.localise),
    )  # fmt: skip


def opening_panel(preferences: Preferences) -> Panel:
    """Second stages against IP."""
    pressures = np.arange(8.0, 17.01, 0.25)
    stages = {name: SecondStage.named(name) for name in ("Sedge", "Willow")}

    def compute(intermediate: float, adjuster: float) -> opening_figure.OpeningPicture:
        springs = {n: s.spring + adjuster / 100 * (s.stiffest - s.spring) for n, s in stages.items()}
        curves = {n: second_stage.cracking_effort(s, pressures * BAR, springs[n]) / 100 for n, s in stages.items()}
        efforts = {
            n: float(second_stage.cracking_effort(s, intermediate * BAR, springs[n])) / 100 for n, s in stages.items()
        }
        opens = {n: float(second_stage.opening_gauge(s, springs[n])) / BAR for n, s in stages.items()}
        return opening_figure.OpeningPicture(intermediate, adjuster, pressures, curves, efforts, opens)

    def describe(result: opening_figure.OpeningPicture) -> str:
        parts = []
        for name, kind in (("Sedge", "unbalanced"), ("Willow", "balanced")):
            effort = result.efforts[name]
            opens = f"{preferences.number(result.opens[name], 1)} bar"
            shut = f"cracks at {preferences.number(effort, 1)} mbar and opens by itself at {opens}"
            parts.append(f"{name}, {kind}, {shut if effort > 0 else f'flows by itself, as it does from {opens} on'}")
        return f"At an IP of {preferences.number(result.intermediate, 1)} bar: {'; '.join(parts)}."

    controls = (
        Slider("intermediate", "IP", 8, 17, 0.1, "bar", 9.8),
        Slider("adjuster", "Second stage's adjuster", 0, 100, 5, "%", 0),
    )
    return DrawnPanel(
        "Second stages as IP climbs", controls, compute, describe,
        draw=lambda result: opening_figure.opening_chart(result, preferences.localise),
    )  # fmt: skip


def bookkeeping_rows() -> Table:
    """The balance of gas and force beside common beliefs."""
    head = ("what is found", "a common belief", "gas on the low-pressure side", "so the needle")
    rows: Rows = [
        ("a weep at the diaphragm's rim", "the rim makes it creep", "goes out",
         "falls, or holds while the valve opens a little"),
        ("a nick in the seat", "it wants adjusting", "comes in from the supply", "climbs steadily"),
        ("crumbs under the rim, a tilted diaphragm", "the diaphragm is worn", "neither, but the closing moves",
         "holds at another reading after each purge"),
        ("a hole into a sealed spring chamber", "the seat", "goes into the chamber and helps the spring",
         "climbs: the set point rises"),
        ("cold gas after a purge", "a creep", "neither; it warms", "rises a little and holds"),
        ("a worn second stage", "the first stage", "goes out at the mouthpiece", "holds: the valve opens a little"),
    ]  # fmt: skip
    return head, rows


def real_log_rows(preferences: Preferences) -> Table:
    """A real leak outward, judged; and the same numbers turned upside down."""
    log = read_log(places.datasets() / "logs" / "chamber_2.csv", ("time_ms", "skip", "pressure_bar"))
    upside = Log.from_arrays(log.time, 2 * log.pressure[0] - log.pressure, "bar", log.division)
    rows: Rows = []
    for name, one in (("as measured", log), ("turned upside down", upside)):
        verdict = judge_trace(one)
        rate = verdict.creep_rate
        between = f"{preferences.format(rate.low, 3)} to {preferences.format(rate.high, 3)}"
        ends = (
            f"{preferences.number(float(one.pressure[0]), 2)} to {preferences.number(float(one.pressure[-1]), 2)} bar"
        )
        rows.append(
            (
                name,
                f"{one.time.size} readings in {preferences.number(one.time[-1], 0)} s",
                ends,
                between,
                verdict.outcome,
            )
        )
    return ("log", "readings", "from, to", "rate, 95 %", "verdict"), rows


def panels(preferences: Preferences, sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 04, by name."""
    made = {
        "ten_seconds": glance_panel, "ten_seconds_on": rest_panel, "traces": traces_panel,
        "apart": apart_panel, "watch": watch_panel, "opening": opening_panel,
    }  # fmt: skip
    return {
        **{name: partial(make, preferences) for name, make in made.items()},
        "bench": lambda: bench_panel(preferences, sheets, hidden=True),
        "own_log": lambda: log_panel(preferences, sheets()),
    }


def tables(preferences: Preferences, sheets: SheetLoader) -> Makers[Table]:
    """The tables of lesson 04, by name."""
    return {
        "ten_seconds": partial(ten_seconds_rows, preferences), "bookkeeping": bookkeeping_rows,
        "real_log": partial(real_log_rows, preferences),
    }  # fmt: skip
