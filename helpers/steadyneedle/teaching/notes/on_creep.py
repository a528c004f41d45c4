"""Sentences of lesson 04 whose numbers are computed: how long to watch, where stages open, the same watch twice."""

from __future__ import annotations

from functools import cache, partial

import numpy as np

from steadyneedle.bench.diagnosis.ten_seconds import GLANCE, slow_creep
from steadyneedle.bench.regulators import climb_through_hole
from steadyneedle.bench.trace import Log, judge_trace, read_log
from steadyneedle.bench.trace.mixture import SHARES
from steadyneedle.bench.trace.verdict import USUAL_LIMIT
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places
from steadyneedle.physics import needle, second_stage
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import SecondStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.notes.on_reduction import FULL, HOLE, LOW, VOLUME
from steadyneedle.teaching.panels.offered import Makers, SheetLoader
from steadyneedle.teaching.panels.reduction import lock_up

STEP, LONGEST, DIVISION = 15.0, 15, 0.1
"""s between readings, min and bar: the watch of the panel above the sentence."""


@cache
def first_told(division: float = DIVISION) -> int:
    """Minutes after which readings to a division [bar] can tell that a needle holds steady, found by halving."""
    times = np.arange(0.0, LONGEST * 60 + 1e-9, STEP)
    _, readings = needle.log(times, np.full(times.size, 9.83) * BAR, STEP, division * BAR, 0.005 * BAR, seed=2)
    low, high = 1, LONGEST
    while low < high:
        middle = (low + high) // 2
        seen = slice(0, round(60 / STEP) * middle + 1)
        verdict = judge_trace(Log.from_arrays(times[seen], readings[seen] / BAR, "bar", division))
        low, high = (middle + 1, high) if verdict.outcome == "cannot tell" else (low, middle)
    return low


def glance_note(preferences: Preferences) -> tuple[str, ...]:
    """How little a slow creep shows at a glance."""
    seen = slow_creep()
    moved = preferences.number(seen.in_ten_seconds / BAR, 2)
    return (
        f"In {preferences.number(GLANCE, 0)} seconds a creep this slow moves the needle by about {moved} bar. That is "
        "less than the needle is wide. Section 5 shows how long to watch.",
    )


def watch_note(preferences: Preferences) -> tuple[str, ...]:
    """The limit, and how long a needle that stands must be watched."""
    limit, minutes = preferences.number(USUAL_LIMIT, 2), first_told()
    sure, stated = (preferences.number(100 * (SHARES[-1 - n] - SHARES[n]), 0) for n in (0, 1))
    return (
        f"The figure judges the readings as it would judge a real log. The needle creeps or falls when the whole {sure} % interval of its rate "
        f"lies beyond the limit. It holds steady when the whole {stated} % interval lies within the limit. Otherwise nobody can tell yet. "
        f"The limit here is {limit} bar a minute (invented); where a sheet allows a rise, that counts instead.",
        f"Read every {preferences.number(STEP, 0)} s to {preferences.number(DIVISION)} bar, and a needle that holds "
        f"steady takes about {minutes} minutes to tell. That is long, because a needle may also settle slowly, up or "
        "down, or drift a little. A needle that could only settle once and quickly would need about half as long.",
    )


def opening_note(preferences: Preferences) -> tuple[str, ...]:
    """Where the two second stages open."""
    sedge, willow = (
        preferences.number(float(second_stage.opening_gauge(SecondStage.named(name))) / BAR, 1) for name in ("Sedge", "Willow")
    )
    return (f"With its adjuster as it came, Sedge opens by itself at {sedge} bar, and Willow at {willow} bar.",)


def twice_note(preferences: Preferences) -> tuple[str, ...]:
    """The same watch at a high and a low supply."""
    rates = [
        float(climb_through_hole(Q(HOLE, "um"), Q(bar, "bar"), Q(VOLUME, "mL")).magnitude) for bar in (FULL, LOW)
    ]
    high, low = (preferences.number(rate, 3) for rate in rates)
    alder, hazel = (preferences.number(abs(lock_up(name, LOW) - lock_up(name, FULL)), 1) for name in ("Alder", "Hazel"))
    return (
        f"Watch once with a full cylinder, say {FULL} bar, and once at about {LOW} bar. Gas that leaks past the seat "
        f"comes in more slowly at the lower supply: one and the same hole gives {high} bar a minute at {FULL} bar and "
        f"{low} at {LOW} bar. A wrong setting shows the same error at both.",
        f"First take off what the design itself does. Alder locks up {alder} bar lower at {LOW} bar, and Hazel {hazel} "
        "bar higher. In Rowan, Juniper and Linden next to nothing changes. What is left is the fault.",
    )


def real_log_note(preferences: Preferences) -> tuple[str, ...]:
    """What the real log is."""
    log = read_log(places.datasets() / "logs" / "chamber_2.csv", ("time_ms", "skip", "pressure_bar"))
    pressure, seconds = (preferences.number(float(one), digits) for one, digits in ((log.pressure[0], 2), (log.time[-1], 0)))
    rate = preferences.number((log.time.size - 1) / float(log.time[-1]), 0)
    return (
        f"A small chamber at {pressure} bar lost air for {seconds} s, and a gauge wrote {rate} readings a second. Gas "
        "went out, and the pressure fell, more and more slowly. After so short a watch nobody can tell whether that "
        "goes on or is a settle downward: **cannot tell**. Turn the same numbers upside down and they rise, and the same "
        "question stays open. Numbers alone never tell the cause.",
    )


def own_log_note(preferences: Preferences) -> tuple[str, ...]:
    """How to take a log by hand."""
    return (
        f"Read your needle aloud every {preferences.number(STEP, 0)} seconds, for at least {first_told()} minutes. Somebody "
        "else types the numbers below, time and pressure in two columns, or into a spreadsheet that you save as CSV.",
    )


def summary_note(preferences: Preferences) -> tuple[str, ...]:
    """How long to watch, to keep."""
    return (
        f"- {preferences.number(GLANCE, 0)} seconds tell nothing. Watch until the interval lies on one side of the limit: "
        f"about {first_told()} minutes for a needle that holds steady.",
    )


def notes(preferences: Preferences, _sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Sentences of lesson 04, by name."""
    made = {
        "glance": glance_note, "watch": watch_note, "opening": opening_note, "twice": twice_note,
        "real_log": real_log_note, "own_log": own_log_note, "summary": summary_note,
    }  # fmt: skip
    return {name: partial(make, preferences) for name, make in made.items()}
