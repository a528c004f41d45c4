"""The examinations that a gauge answers: each run on the rig, read on one gauge, ended in a few words. SI."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.diagnosis import needle_words as words
from steadyneedle.bench.diagnosis.bench_runs import OnTheBench, Run
from steadyneedle.bench.diagnosis.gauge_kinds import GaugeKind, gauge_kind, sheet_for, stop_reading
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics.first_stage import adjusted
from steadyneedle.physics.needle import shown as needle_shown
from steadyneedle.physics.si import BAR

MASTER = 0.04 * BAR
"""Pa; what the master gauge may be wrong (class 0.25 of 16 bar)."""

FOLLOWS = 1.5 * BAR
"""Pa; a needle that sinks by less than this in the pressure pot follows its ambient."""

LOW_FLOW = 0.75
"""Part of its lock-up to which a needle may fall while somebody breathes hard."""

SEAT_WORDS = {
    "settles": "stands", "creeps slowly": "climbs", "creeps fast": "climbs", words.STOPPED: "climbs", "falls": "falls",
    "saw-tooth": "swings", "free flow": "swings",
}  # fmt: skip


@dataclass(frozen=True)
class OnAGauge:
    """A regulator on the bench as somebody reads it: which gauge, its error [Pa], and which readings (`seed`)."""

    bench: OnTheBench
    gauge: str
    error: float
    seed: int = 0

    @property
    def kind(self) -> GaugeKind:
        """The gauge."""
        return gauge_kind(self.gauge)

    def needle(self, run: Run, tapped: bool = False) -> tuple[np.ndarray, np.ndarray]:
        """Where the needle stands [s, Pa], tapped at the end or not."""
        worn = run.after.plant.condition
        time, ip = run.trace.time, run.trace.ip_gauge
        taps = (time[-1],) if tapped else ()
        return time, needle_shown(time, ip, worn.gauge_offset, worn.gauge_stick, taps) + self.error

    def read(self, run: Run, times: np.ndarray) -> np.ndarray:
        """What somebody reads at some times, to a division [Pa]."""
        stand = np.interp(times, *self.needle(run))
        which = (self.seed, self.bench.seed, round(run.begin), round(float(run.trace.time[-1])))
        noise = Draws("reading", *which).normals(len(times)) * self.kind.noise
        return np.round((stand + noise) / self.kind.division) * self.kind.division

    def log(self, run: Run) -> tuple[np.ndarray, np.ndarray]:
        """The log that somebody writes of a watch [s, Pa]; it ends at the stop."""
        times = np.arange(run.begin, run.trace.time[-1] + 1e-9, words.EVERY)
        if not times.size:  # the relief valve lifted before the watch began
            return np.zeros(1), np.full(1, self.stop)
        readings = self.read(run, times)
        if run.after.ended:
            readings[-1] = max(readings[-1], self.stop)
        past = np.flatnonzero(readings >= self.stop)
        end = past[0] + 1 if past.size else len(times)
        return times[:end] - times[0], readings[:end]

    @property
    def stop(self) -> float:
        """The reading at which a watch ends [Pa]."""
        return stop_reading(self.bench.design, self.gauge)

    def watched(self, run: Run, banded: bool) -> str:
        """What the judge says of a watch."""
        sheet = sheet_for(self.bench.design, self.gauge)
        return words.watched(*self.log(run), self.kind, sheet, self.stop, banded)

    def moved(self, run: Run) -> str:
        """How the needle went from the begin to the end of a run."""
        if run.after.ended:
            return "climbs"
        early, late = self.read(run, np.array([run.begin, run.trace.time[-1]]))
        return words.moved(float(early), float(late), self.kind)


def _purge_watch(one: OnAGauge) -> str:
    run, times = one.bench.purges
    if run.after.ended:
        return words.STOPPED
    locks = one.read(run, np.array([t + 12 for t in times]))
    late = one.read(run, np.array([t + 39 for t in times]))
    if max(locks.max(), late.max()) >= one.stop:
        return words.STOPPED
    return words.repeats(locks, late - locks, one.kind)


def _shut(one: OnAGauge) -> str:
    run = one.bench.shut
    supply = run.trace.hp_gauge if run.trace.segments else np.array([0.0])
    return f"{words.supply_moved(float(supply[0]), float(supply[-1]))}, needle {one.moved(run)}"


def _flow(one: OnAGauge, run: Run) -> str:
    if run.after.ended or not run.trace.segments:
        return "holds, supply steady"
    supply, (_, stand) = run.trace.hp_gauge, one.needle(run)
    read = [round(value / words.SUPPLY_DIVISION) for value in (float(supply[0]), float(supply.min()))]
    dips = "supply dips" if read[0] - read[1] > 1 else "supply steady"
    usual = min(float(stand[0]), _middle(one))
    return f"{'collapses' if float(stand[-1]) < LOW_FLOW * usual else 'holds'}, {dips}"


def _middle(one: OnAGauge) -> float:
    band = sheet_for(one.bench.design, one.gauge).band
    assert band is not None  # every example sheet has one
    return float((band.low.to("bar").magnitude + band.high.to("bar").magnitude) / 2) * BAR


def _new_seat(one: OnAGauge) -> str:
    word = one.watched(one.bench.new_seat, banded=True)
    return SEAT_WORDS.get(word, word)


def _new_spring(one: OnAGauge) -> str:
    run = one.bench.new_spring
    if run.after.ended:
        return "climbs"
    early, late = one.read(run, np.array([run.begin, run.trace.time[-1]]))
    moves = words.moved(float(early), float(late), one.kind)
    if moves != "stays":
        return moves
    band = sheet_for(one.bench.design, one.gauge).band
    assert band is not None
    low, high = (float(end.to("bar").magnitude) * BAR for end in (band.low, band.high))
    return "stands high" if late > high + 1 else "stands low" if late < low - 1 else "stands in the band"


def _zero(one: OnAGauge) -> str:
    worn = one.bench.full.after.plant.condition
    noise = float(Draws("zero", one.seed, one.bench.seed).normals(1)[0]) * one.kind.noise
    division = one.kind.division / 2  # a hand beside the zero mark is seen to half a division
    read = round((worn.gauge_offset + one.error + noise) / division) * division
    if abs(read) <= one.kind.permitted + division / 2:
        return "reads zero"
    return f"reads {'above' if read > 0 else 'below'} zero"


def _second_gauge(one: OnAGauge) -> str:
    run = one.bench.full
    draws = Draws("second gauge", one.seed, one.bench.seed)
    master = (2 * draws.fraction() - 1) * MASTER
    _, stand = one.needle(run)
    read = round(float(stand[-1]) / one.kind.division) * one.kind.division
    off = read - float(run.trace.ip_gauge[-1]) - master
    if abs(off) <= one.kind.permitted + MASTER + one.kind.division / 2:
        return "agrees"
    return f"reads {'higher' if off > 0 else 'lower'}"


def _tap(one: OnAGauge) -> str:
    run = one.bench.full
    before, after = (float(one.needle(run, tapped)[1][-1]) for tapped in (False, True))
    return "jumps" if abs(before - after) > max(one.kind.division, 0.08 * BAR) else "stays"


def _adjuster(one: OnAGauge) -> str:
    run, stage = one.bench.adjusted, one.bench.full.after.plant.stage
    if run.after.ended or not run.trace.segments:
        return "moves too little"
    before, now = one.read(run, np.array([run.begin + 12, run.begin + 26]))
    part = float(now - before) / (adjusted(stage, -0.5) / stage.effective_area)
    return "moves too far" if part > 1.4 else "moves too little" if part < 0.6 else "moves as it should"


def _pot(one: OnAGauge) -> str:
    run = one.bench.in_pot
    if run.after.ended or not run.trace.segments:
        return "follows"
    before, now = one.read(run, np.array([run.begin + 12, run.begin + 30]))
    return "does not follow" if now - before < -FOLLOWS else "follows"


NEEDLE_TESTS: dict[str, Callable[[OnAGauge], str]] = {
    "watch_full": lambda one: one.watched(one.bench.full, banded=True),
    "watch_low": lambda one: one.watched(one.bench.low, banded=False),
    "purge_watch": _purge_watch,
    "shut": _shut,
    "bleed": lambda one: f"needle {one.moved(one.bench.bled)}",
    "breathe": lambda one: _flow(one, one.bench.breathed),
    "breathe_low": lambda one: _flow(one, one.bench.breathed_low),
    "cycles": lambda one: one.watched(one.bench.cycled, banded=False),
    "next_day": lambda one: one.watched(one.bench.next_day, banded=True),
    "blank": lambda one: one.watched(one.bench.blanked, banded=False),
    "new_seat": _new_seat,
    "new_spring": _new_spring,
    "zero": _zero,
    "second_gauge": _second_gauge,
    "tap": _tap,
    "adjuster": _adjuster,
    "pot": _pot,
}
"""Key of an examination to what it shows on a gauge."""

_FLOW = tuple(f"{ip}, {supply}" for ip in ("holds", "collapses") for supply in ("supply steady", "supply dips"))
_MOVES = tuple(f"needle {word}" for word in ("stays", "climbs", "falls"))
_SHEET = (*words.WATCHED, *words.BANDED)

NEEDLE_OUTCOMES: dict[str, tuple[str, ...]] = {
    "watch_full": _SHEET,
    "watch_low": words.WATCHED,
    "purge_watch": (
        "lock-up repeats", "lock-up moves", "climbs after some purges", "climbs after each", words.STOPPED,
    ),
    "shut": tuple(f"{supply}, {move}" for supply in ("supply holds", "supply falls") for move in _MOVES),
    "bleed": _MOVES,
    "breathe": _FLOW,
    "breathe_low": _FLOW,
    "cycles": words.WATCHED,
    "next_day": _SHEET,
    "blank": words.WATCHED,
    "new_seat": ("stands", "climbs", "locks high", "locks low", "falls", "swings", "cannot tell"),
    "new_spring": ("stands in the band", "stands high", "stands low", "climbs", "falls"),
    "zero": ("reads zero", "reads above zero", "reads below zero"),
    "second_gauge": ("agrees", "reads higher", "reads lower"),
    "tap": ("stays", "jumps"),
    "adjuster": ("moves as it should", "moves too far", "moves too little"),
    "pot": ("follows", "does not follow"),
}  # fmt: skip
"""What each of them may show. The letters of the computed table count along these."""
