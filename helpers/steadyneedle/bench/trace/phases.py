"""A gauge log cut into phases: pressurising, lock-up, hold, purge, recovery, free flow. Seconds and bar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.settling_model import LARGEST_SETTLE

QUICK = 3.0
"""s in which something sharp happens, or one sampling step where that is longer."""

FREE_FLOW = 0.5
"""bar below its lock-up from which a needle does not come back: the second stage flows (common practice, no source)."""

TEETH = 3
"""As many sharp moves of one direction make a saw-tooth."""

SOON = 12.0
"""s; a sharp drop and a sharp rise no further apart are one purge."""


@dataclass(frozen=True)
class Phase:
    """A segment of a log, from and to in seconds."""

    name: str
    start_s: float
    end_s: float


@dataclass(frozen=True)
class Cut:
    """A log's phases, the rows of the hold to judge, and what kind of log it is: "", "saw-tooth", "free flow"."""

    phases: tuple[Phase, ...]
    rows: slice
    kind: str


@dataclass(frozen=True)
class _Move:
    """A sharp move: from row to row, and by how much."""

    first: int
    last: int
    by: float


def cut_into_phases(time: np.ndarray, pressure: np.ndarray, division: float) -> Cut:
    """Find what happened in a log, and the hold that tells whether the needle creeps.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds and bar, at least three rows.
    division : float
        Step between two readings [bar].

    Returns
    -------
    Cut
        Phases in order; the rows to judge are those of the last hold that is long enough.

    References
    ----------
    Our choice of thresholds; names of the phases are the trade's.

    Examples
    --------
    >>> time = np.arange(0.0, 60.0)
    >>> pressure = np.where(time < 3, 3.3 * time, 9.9)
    >>> [phase.name for phase in cut_into_phases(time, pressure, 0.1).phases]
    ['pressurising', 'lock-up', 'hold']
    """
    moves = _sharp_moves(time, pressure, division)
    rises, drops = ([move for move in moves if (move.by > 0) == up] for up in (True, False))
    phases, begin = [], 0
    if rises and rises[0] is moves[0] and pressure[: rises[0].first + 1].mean() < 0.8 * pressure[rises[0].last]:
        phases.append(Phase("pressurising", float(time[0]), float(time[rises[0].last])))
        begin, moves, rises = rises[0].last, moves[1:], rises[1:]
    lone = [move for move in rises if not any(0 <= time[move.first] - time[drop.last] < SOON for drop in drops)]
    kind = ""
    if len(lone) >= TEETH or (len(drops) >= TEETH and _alike([float(pressure[drop.first]) for drop in drops])):
        kind = "saw-tooth"
    held = slice(begin, time.size)
    if kind == "":
        more, held, kind = _purges(time, pressure, moves, begin)
        phases += more
    else:
        phases.append(Phase("hold", float(time[begin]), float(time[-1])))
    return Cut(tuple(_with_lock_up(phases, time)), held, kind)


def _sharp_moves(time: np.ndarray, pressure: np.ndarray, division: float) -> list[_Move]:
    """Moves within `QUICK` by more than settling, rounding, noise and the general trend explain."""
    step = float(np.median(np.diff(time)))
    ahead = max(1, round(QUICK / step)) if step > 0 else 1
    if time.size <= ahead + 1:
        return []
    change = pressure[ahead:] - pressure[:-ahead]
    usual = float(np.median(change))
    noise = 1.4826 * float(np.median(np.abs(change - usual)))
    limit = LARGEST_SETTLE + 0.05 + 1.2 * division + 4 * noise
    size, edge = np.abs(change), np.full(ahead, np.inf)
    beside = np.minimum(np.append(edge, size)[: size.size], np.append(size, edge)[ahead:])
    sharp = (np.abs(change - usual) > limit) & (beside < 0.5 * size)  # before it or after it all is calm
    moves: list[_Move] = []
    for first in np.flatnonzero(sharp):
        by = float(change[first] - usual)
        if moves and first <= moves[-1].last and by * moves[-1].by > 0:
            moves[-1] = _Move(moves[-1].first, int(first + ahead), max(moves[-1].by, by, key=abs))
        else:
            moves.append(_Move(int(first), int(first + ahead), by))
    return [_trimmed(pressure, move, division + 3 * noise) for move in moves]


def _trimmed(pressure: np.ndarray, move: _Move, still: float) -> _Move:
    """The move without the rows at its ends that stand still."""
    first, last = move.first, move.last
    while first < last - 1 and abs(pressure[first + 1] - pressure[first]) <= still / 2:
        first += 1
    while last > first + 1 and abs(pressure[last - 1] - pressure[last]) <= still / 2:
        last -= 1
    return _Move(first, last, move.by)


def _alike(tops: list[float]) -> bool:
    """Whether a needle drops from about one pressure each time, as a valve that gives way makes it."""
    return float(np.ptp(tops[1:])) < 0.25


def _purges(time: np.ndarray, pressure: np.ndarray, moves: list[_Move], begin: int) -> tuple[list[Phase], slice, str]:
    """Holds between purges; a drop that never comes back is free flow."""
    phases: list[Phase] = []
    first_level = float(np.median(pressure[begin : begin + 5]))
    start, skip, kind = begin, -1, ""
    for place, move in enumerate(moves):
        if place <= skip or move.by > 0:
            continue
        back = next((n for n in range(place + 1, len(moves)) if moves[n].by > 0), None)
        soon = back is not None and time[moves[back].first] - time[move.last] < SOON
        rest = float(np.median(pressure[move.last :]))
        if back is None and rest < float(pressure[move.last]) - 0.5 * abs(move.by):
            continue  # it goes on falling: a leak, no step
        if move.first > start:
            phases.append(Phase("hold", float(time[start]), float(time[move.first])))
        if not soon and rest < first_level - FREE_FLOW and back is None:
            phases.append(Phase("free flow", float(time[move.first]), float(time[-1])))
            return phases, slice(start, time.size), "free flow"
        end = moves[back].first if soon and back is not None else move.last
        phases.append(Phase("purge", float(time[move.first]), float(time[end])))
        start = end
        if soon and back is not None:
            phases.append(Phase("recovery", float(time[end]), float(time[moves[back].last])))
            start, skip = moves[back].last, back
    if start < time.size - 1:
        phases.append(Phase("hold", float(time[start]), float(time[-1])))
    longest = max(
        (phase for phase in phases if phase.name == "hold"), key=lambda phase: phase.end_s - phase.start_s, default=None
    )
    last = next((phase for phase in reversed(phases) if phase.name == "hold"), None)
    if last is None or longest is None:
        return phases, slice(begin, time.size), kind
    judged = last if last.end_s - last.start_s >= 0.3 * (longest.end_s - longest.start_s) else longest
    rows = np.flatnonzero((time >= judged.start_s) & (time <= judged.end_s))
    return phases, slice(int(rows[0]), int(rows[-1]) + 1), kind


def _with_lock_up(phases: list[Phase], time: np.ndarray) -> list[Phase]:
    """The instant after pressurising or a purge at which the valve shuts is named, as a phase of one sample."""
    made: list[Phase] = []
    for phase in phases:
        if phase.name == "hold" and made and made[-1].name in ("pressurising", "recovery", "purge"):
            after = time[time > phase.start_s]
            end = min(float(after[0]) if after.size else phase.end_s, phase.end_s)
            made += [Phase("lock-up", phase.start_s, end), Phase("hold", end, phase.end_s)]
        else:
            made.append(phase)
    return made
