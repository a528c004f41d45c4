"""Ten seconds of a needle that creeps, and then all of it: the trap at the beginning of lesson 04."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.diagnosis.ten_seconds import GLANCE, STEP, slow_creep
from steadyneedle.physics.si import BAR
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import running
from steadyneedle.teaching.figures.strokes import Row, Scene
from steadyneedle.teaching.frame.panel import ScenePanel, Slider
from steadyneedle.teaching.panels.offered import Rows, Table

VIEW = running.BenchView(16.0, 0.2, 8.0, 12.0)
PLAYS = 15.0
"""Seconds in which the page shows the whole of it; the first ten are shown as they pass."""

LOOKS = (GLANCE, 60.0, 300.0)
"""Seconds after which the table looks at the needle, before the end."""


@dataclass(frozen=True)
class WatchedNeedle:
    """A needle at a time [s]: its reading and how far it moved, in bar."""

    time: float
    reading: float
    moved: float


def _at(time: float) -> WatchedNeedle:
    seen = slow_creep()
    reading = float(np.interp(time, seen.times, seen.gauge)) / BAR
    return WatchedNeedle(time, reading, reading - seen.at_first / BAR)


def _clock(time: float) -> str:
    return f"{int(time) // 60}:{int(time) % 60:02d}"


def _watched(time: float) -> str:
    return f"{int(time)} s" if time < 60 else f"{_clock(time)} min"


def _panel(preferences: Preferences, title: str, slider: Slider) -> ScenePanel:
    def scene(_: WatchedNeedle) -> Scene:
        seen = slow_creep()
        last = seen.times <= slider.high
        points = list(zip(seen.times[last].tolist(), (seen.gauge[last] / BAR).tolist(), strict=True))
        return running.needle_scene(VIEW, points).localised(preferences.localise)

    def row(now: WatchedNeedle) -> Row:
        return {
            "ip": running.ip_scale(VIEW).degrees(now.reading),
            "trace": -now.time * running.trace_scale(VIEW).per_second,
            "clock": _clock(now.time),
        }

    def describe(now: WatchedNeedle) -> str:
        reading = preferences.number(now.reading, 1)
        return f"After {_watched(now.time)} of watching the gauge shows {reading} bar."

    return ScenePanel(title, (slider,), compute=_at, describe=describe, scene=scene, row=row)


def glance_panel(preferences: Preferences) -> ScenePanel:
    """The first ten seconds, as they pass."""
    slider = Slider("time", "Time", 0.0, GLANCE, 0.5, "s", 0.0, plays=GLANCE)
    return _panel(preferences, "Ten seconds", slider)


def rest_panel(preferences: Preferences) -> ScenePanel:
    """The same needle, and the minutes after."""
    high = slow_creep().lasts // STEP * STEP
    slider = Slider("time", "Time", 0.0, high, STEP, "s", GLANCE, plays=PLAYS)
    return _panel(preferences, "The same needle, and time runs", slider)


def ten_seconds_rows(preferences: Preferences) -> Table:
    """How far the needle had moved after some times."""
    head = ("watched", "the gauge shows", "the needle moved by")
    rows: Rows = []
    for time in (*LOOKS, slow_creep().lasts):
        now = _at(time)
        shown, moved = (f"{preferences.number(bar, places)} bar" for bar, places in ((now.reading, 1), (now.moved, 2)))
        rows.append((_watched(time), shown, moved))
    return head, rows
