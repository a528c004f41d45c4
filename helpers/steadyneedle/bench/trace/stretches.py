"""One stretch of a gauge log under pressure: its holds, purges and free flow. Seconds and bar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.sharp import Move
from steadyneedle.bench.trace.work import dips, spans_of_work

FREE_FLOW = 0.5
"""bar below where it stood from which a needle that does not come back flows (common practice, no source)."""

DOWN = 0.5
"""Part of the usual pressure below which the regulator counts as bled down, or not pressurised yet."""

AT_THE_END = 10.0
"""s before the log ends within which a sharp drop is a purge that the log does not show whole."""

LONGEST_PURGE = 35.0
"""s; a drop and a rise no further apart are one purge."""

LARGEST_CHANGE = 1.0
"""bar; a step down by no more, to where the needle then stands, is a purge or a set point changed between two readings,
where no sheet says how low a set point may be (invented)."""


@dataclass(frozen=True)
class Phase:
    """A segment of a log, from and to in seconds."""

    name: str
    start_s: float
    end_s: float

    @property
    def length(self) -> float:
        """How long it lasts [s]."""
        return self.end_s - self.start_s


def stretch_under_pressure(
    time: np.ndarray,
    pressure: np.ndarray,
    moves: list[Move],
    ends: tuple[int, int],
    division: float,
    lowest: float | None = None,
) -> tuple[list[Phase], list[Move]]:
    """Holds, purges and free flow of one stretch under pressure.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds and bar, of the whole log.
    moves : list of Move
        Sharp moves of the stretch, in order.
    ends : tuple of int
        First and last row of the stretch.
    division : float
        Step between two readings [bar].
    lowest : float or None
        Where a needle may stand that was purged or set between two readings [bar]; what stands lower flows.

    Returns
    -------
    tuple of list
        Phases in order, and the sharp moves that no purge explains; purges read too slowly to be told apart are one.

    References
    ----------
    Our choice of thresholds; names of the phases are the trade's.

    Examples
    --------
    >>> time = np.arange(0.0, 60.0)
    >>> moves = [Move(20, 21, -1.0), Move(23, 24, 1.0)]
    >>> purged = np.where((time > 20) & (time < 24), 8.8, 9.8)
    >>> [phase.name for phase in stretch_under_pressure(time, purged, moves, (0, 59), 0.1)[0]]
    ['hold', 'purge', 'recovery', 'hold']
    """
    begin, last = ends
    phases, lone = _up_stretch(time, pressure, moves, (begin, last), lowest)
    explained = [(one.start_s, one.end_s) for one in phases if one.name in ("purge", "recovery")]
    inside = slice(begin, last + 1)
    spans = [
        (low + begin, high + begin) for low, high in spans_of_work(time[inside], pressure[inside], division, explained)
    ]
    if not spans:
        spans = dips(time, pressure, division, lone)
    if not spans:
        return phases, lone
    phases, lone, at = [], [], begin
    for low, high in [*spans, (last, last)]:
        between = [move for move in moves if at <= move.first and move.last <= low]
        found, alone = _up_stretch(time, pressure, between, (at, low), lowest)
        phases += found
        lone += alone
        if high > low:
            phases.append(Phase("purge", float(time[low]), float(time[high])))
        at = high
    return phases, lone


def _up_stretch(
    time: np.ndarray, pressure: np.ndarray, moves: list[Move], ends: tuple[int, int], lowest: float | None
) -> tuple[list[Phase], list[Move]]:
    """Holds and purges of a stretch under pressure, and the sharp moves that no purge explains."""
    begin, last = ends
    phases: list[Phase] = []
    lone: list[Move] = []
    start, at = begin, 0
    while at < len(moves):
        move = moves[at]
        back = moves[at + 1] if at + 1 < len(moves) else None
        if move.by < 0 and back is not None and _one_purge(time, pressure, move, back):
            phases += _held(time, start, move.first)
            phases.append(Phase("purge", float(time[move.first]), float(time[back.first])))
            phases.append(Phase("recovery", float(time[back.first]), float(time[back.last])))
            start, at = back.last, at + 2
            continue
        if move.by < 0 and back is None:
            name, end = _last_drop(time, pressure, move, (start, last), lowest)
            if name:
                phases += _held(time, start, move.first)
                phases.append(Phase(name, float(time[move.first]), float(time[end])))
                return phases + _held(time, end, last), lone
        if move.by >= FREE_FLOW and not phases and not lone and time[move.first] - time[begin] <= LONGEST_PURGE:
            phases.append(
                Phase("purge", float(time[begin]), float(time[move.first]))
            )  # its beginning is not in the log
            phases.append(Phase("recovery", float(time[move.first]), float(time[move.last])))
            start, at = move.last, at + 1
            continue
        lone.append(move)
        at += 1
    return phases + _held(time, start, last), lone


def _held(time: np.ndarray, first: int, last: int) -> list[Phase]:
    return [Phase("hold", float(time[first]), float(time[last]))] if last > first else []


def _one_purge(time: np.ndarray, pressure: np.ndarray, drop: Move, rise: Move) -> bool:
    """A sharp drop, held down, and a sharp rise: a needle that has crept comes back to where the valve shuts."""
    if rise.by <= 0 or float(time[rise.first] - time[drop.last]) > LONGEST_PURGE:
        return False
    low, end = float(pressure[drop.last]), float(pressure[max(rise.first, drop.last)])  # they overlap in a short purge
    return end < low + 0.5 * abs(rise.by)


def _last_drop(
    time: np.ndarray, pressure: np.ndarray, drop: Move, ends: tuple[int, int], lowest: float | None
) -> tuple[str, int]:
    """What a drop is after which nothing sharp happens, and the row at which it ends; nothing for a lone move."""
    start, last = ends
    if last - drop.first <= 1 or time[last] - time[drop.first] <= AT_THE_END:
        return "purge", last
    before = min(max(start, drop.first - 20), drop.first)  # the end of a purge may reach into the next drop
    stood = float(np.median(pressure[before : drop.first + 1]))
    if not _stays_down(pressure[drop.last : last + 1], stood, drop):
        return "", last
    if time[last] - time[drop.last] < LONGEST_PURGE:
        return "purge", last  # the log ends in it
    least = stood - LARGEST_CHANGE if lowest is None else lowest
    if float(np.median(pressure[drop.last : last + 1])) >= least:
        return "purge", drop.last  # or a set point changed, between two readings
    return "free flow", last


def _stays_down(rest: np.ndarray, stood: float, drop: Move) -> bool:
    """A drop from which the needle neither comes back nor goes on falling."""
    late, low = float(np.median(rest[rest.size // 2 :])), float(rest[0])
    return late >= DOWN * stood and stood - late > FREE_FLOW and abs(late - low) < 0.5 * abs(drop.by)
