"""Regulators of the rig with every fault, watched as their sheets ask: what the needle truly does, without noise, and the
logs of it. Nothing here imports the judge of logs.

The cylinder valve is opened at 200 bar, five purges of one second follow ten seconds apart (the sheets' procedure: common
practice, no source), and the needle is watched over the sheet's minutes from five seconds after the last one.

`python tests/outside/rig_faults.py` writes `allowed_outcomes.csv`: for every fault, severity and design which answers are
right. It is found from the needle without noise by the rules of `allowed`, which are ours, and committed before any log is
judged by it.
"""

from __future__ import annotations

import csv
import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from steadyneedle.bench.bands.by_sheet import judge_by_sheet
from steadyneedle.bench.sheets import Sheet, load_sheets
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.faults import Condition, Fault
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

TABLE = Path(__file__).parent / "allowed_outcomes.csv"
SEVERITIES = (0.0, 0.5, 1.0)
SHEETS = load_sheets(places.datasets() / "sheets")
ACTIONS = [Action(0, "valve", 1), *(Action(30 + 10 * k, "purge", 1) for k in range(5))]
LAST_PURGE = 71.0
AFTER = 5.0
"""s after the last purge from which a rise counts."""

SPARE = 12.0
"""s that the log goes on beyond the sheet's minutes."""

LEVEL, RISE, RATE = 0.01, 0.01, 0.003
"""bar, bar and bar/min about a limit within which either answer is right."""

SHARP, LARGE = 0.04, 0.1
"""bar within three seconds: two fine divisions, and what nobody overlooks."""


@dataclass(frozen=True)
class Gauge:
    """How a log is taken: seconds between readings, division and noise [bar], and whether from the valve's opening on."""

    name: str
    every: float
    division: float
    noise: float
    from_opening: bool


GAUGES = (Gauge("transducer", 0.5, 0.02, 0.005, True), Gauge("read aloud", 15.0, 0.1, 0.01, False))


def cells() -> Iterator[tuple[str, float, str]]:
    """Every fault in every design that can have it, at three severities."""
    every = Fault.keys()
    for fault in every:
        for severity, design in itertools.product(SEVERITIES, Fault.named(fault).designs):
            yield fault, severity, design


@cache
def shown(design: str, fault: str, severity: float) -> tuple[np.ndarray, np.ndarray]:
    """Times [s] from the valve's opening and what the needle shows [bar]; fault "" is a sound regulator."""
    faults = {fault: severity} if fault else {}
    until = LAST_PURGE + AFTER + 60 * minutes(SHEETS[design]) + SPARE
    _, trace = rig.run(rig.start(design, faults), ACTIONS, until)
    worn = Condition.of(FirstStage.named(design), faults)
    return trace.time, needle.shown(trace.time, trace.ip_gauge, worn.gauge_offset, worn.gauge_stick) / BAR


def minutes(sheet: Sheet) -> float:
    assert sheet.rise_time is not None
    return float(sheet.rise_time.to("min").magnitude)


def watched(design: str, fault: str, severity: float) -> tuple[np.ndarray, np.ndarray]:
    """The needle every half second from `AFTER` on, over the sheet's minutes: seconds and bar."""
    time, pressure = shown(design, fault, severity)
    when = np.arange(0.0, 60 * minutes(SHEETS[design]) + 0.25, 0.5)
    return when, np.interp(when + LAST_PURGE + AFTER, time, pressure)


def apart(design: str, fault: str, severity: float) -> float:
    """How far the needle ever stands from a sound one's while it is watched [bar]."""
    return float(np.abs(watched(design, fault, severity)[1] - watched(design, "", 0.0)[1]).max())


def logged(design: str, fault: str, severity: float, gauge: Gauge, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """A log: seconds from its first reading, and bar."""
    time, pressure = shown(design, fault, severity)
    begin = 0.0 if gauge.from_opening else LAST_PURGE + AFTER
    keep = time > begin
    when = np.append(begin, time[keep])
    values = np.append(np.interp(begin, time, pressure), pressure[keep])
    times, readings = needle.log(when, values * BAR, gauge.every, gauge.division * BAR, gauge.noise * BAR, seed)
    return times, readings / BAR


def teeth(pressure: np.ndarray) -> tuple[int, float]:
    """How many sharp moves of the commoner direction, and the largest of either [bar]."""
    step = pressure[6:] - pressure[:-6]  # three seconds
    counts = []
    for sharp in (step > SHARP, -step > SHARP):
        counts.append(int((sharp & ~np.append(False, sharp[:-1])).sum()))
    return max(counts), float(np.abs(step).max())


def end_rate(pressure: np.ndarray) -> float:
    """Its climb over the last minute, sharp moves left out [bar/min]."""
    steps = np.diff(pressure[-121:])
    quiet = np.abs(steps) < SHARP / 4
    return float(steps[quiet].sum() / max(quiet.sum(), 1) * 120)


def words(value: float, margin: float, high: float, low: float | None = None) -> set[int]:
    """1 above the upper limit, -1 below the lower one, 0 between: each that the value or one a margin off may be."""
    ends = (value - margin, value, value + margin)
    return {1 if end > high else -1 if low is not None and end < low else 0 for end in ends}


def allowed(design: str, fault: str, severity: float) -> tuple[list[str], list[str], str]:
    """Right answers for "conforms" and for the outcome, and what the needle does in words.

    Band and rule of the sheet are those of `judge_by_sheet` at the true level. A needle conforms when the band holds, the
    rise over the sheet's minutes stays within what is allowed and the rate at the end within rise over minutes. One that
    comes to the second stage's opening pressure climbed until it gave way: it creeps or stands high, as one likes. Three
    sharp moves of one direction are a saw-tooth; one or two large ones may be called so.
    """
    sheet = SHEETS[design]
    _, pressure = watched(design, fault, severity)
    assert sheet.allowed_rise is not None and sheet.band is not None and sheet.second_stage_opens is not None
    most = float(sheet.allowed_rise.to("bar").magnitude)
    limit, opens = most / minutes(sheet), float(sheet.second_stage_opens.to("bar").magnitude)
    level, rise, rate = float(pressure[-1]), float(pressure[-1] - pressure[0]), end_rate(pressure)
    count, size = teeth(pressure)
    gives_way = pressure.max() > opens - 0.05
    saw = f"; {count} sharp moves to {size:.2f}" if count else ""
    does = f"{pressure[0]:.2f} to {level:.2f} bar; {rate:+.3f} bar/min at the end{saw}"
    if count >= 3:
        return ["no"], ["saw-tooth", *(["creeps", "locks high"] if gives_way else [])], does
    bands = {judge_by_sheet(Q(level + off, "bar"), sheet).verdict.outcome for off in (-LEVEL, 0.0, LEVEL)}
    conforms, outcomes = set(), set()
    for band, beyond, moves in itertools.product(bands, words(rise, RISE, most), words(rate, RATE, limit, -limit)):
        fails = band == "outside" or beyond or moves
        conforms.add("no" if fails else "yes" if band == "inside" else "cannot tell")
        if moves:
            outcomes.add("creeps" if moves > 0 else "falls")
        elif beyond or band == "outside":
            low = band == "outside" and level < float(sheet.band.low.to("bar").magnitude) and not beyond
            outcomes.add("locks low" if low else "locks high")
        else:
            outcomes |= {"locks", "settles"} if np.ptp(pressure) > 0.03 else {"locks"}
    if gives_way:
        outcomes |= {"creeps", "locks high"}
    if count and size > LARGE:
        outcomes.add("saw-tooth")
    return sorted(conforms), sorted(outcomes), does


def read() -> dict[tuple[str, float, str], tuple[set[str], set[str]]]:
    """The committed table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {
            (row["fault"], float(row["severity"]), row["design"]): (
                set(row["conforms"].split("; ")),
                set(row["outcomes"].split("; ")),
            )
            for row in csv.DictReader(file)
        }


def rows() -> Iterator[list[str]]:
    for fault, severity, design in cells():
        conforms, outcomes, does = allowed(design, fault, severity)
        yield [fault, f"{severity:g}", design, "; ".join(conforms), "; ".join(outcomes), does]


if __name__ == "__main__":
    with TABLE.open("w", encoding="utf-8", newline="") as made:
        writer = csv.writer(made, lineterminator="\n")
        writer.writerow(["fault", "severity", "design", "conforms", "outcomes", "needle"])
        writer.writerows(rows())
