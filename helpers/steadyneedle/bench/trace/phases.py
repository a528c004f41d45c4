"""A gauge log cut into phases: pressurising, lock-up, hold, purge, recovery, free flow, bleed-down. Seconds and bar."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from steadyneedle.bench.trace.sharp import Move, sharp_moves, usual_noise
from steadyneedle.bench.trace.teeth import Teeth, sharp_teeth, small_teeth
from steadyneedle.bench.trace.work import spans_of_work

USUAL_MINUTES = 2.0
"""min that a hold must last to count, where no sheet says how long (our choice)."""

ENOUGH = 0.95
"""Part of the minutes asked that is long enough."""

FREE_FLOW = 0.5
"""bar below where it stood from which a needle that does not come back flows (common practice, no source)."""

DOWN = 0.5
"""Part of the usual pressure below which the regulator counts as bled down, or not pressurised yet."""

AT_ONCE, SWIFT, STOOD = 15.0, 45.0, 60.0
"""s within which a bleed-down falls from where the needle stood to half of it, the same where it had stood for so long
before, and how long that is; what takes longer is a leak."""

AT_THE_END = 10.0
"""s before the log ends within which a sharp drop is a purge that the log does not show whole."""

TEETH_TO_THE_END = 3.0
"""Periods before the end of a hold within which its last tooth must lie: what stopped was work, or cleared up."""

LONGEST_PURGE = 35.0
"""s; a drop and a rise no further apart are one purge."""

SMALLEST_JUMP = 0.1
"""bar; a smaller one is left to how well the estimate's law fits."""

LATER, LATER_READINGS = 60.0, 6
"""s and readings from which a hold after the one that counts is looked at too."""

BESIDE = 5.0
"""s before and after a sharp move over which it must last to be a jump; two readings at least."""

PRESSURISING = 0.5
"""bar/s; slower is settling."""


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


@dataclass(frozen=True)
class Cut:
    """A log's phases and the rows of the hold that counts.

    `kind` is "", "saw-tooth" or "free flow"; `teeth` what the saw-tooth is like; `purged` whether a purge or the first
    pressurising comes right before the hold; `long_enough` whether it lasts as long as was asked; `others` are the
    holds that do not count; `jumps` the sharp moves within the hold after which the needle stays elsewhere.
    """

    phases: tuple[Phase, ...]
    rows: slice
    kind: str
    teeth: Teeth | None
    purged: bool
    long_enough: bool
    others: tuple[Phase, ...]
    jumps: tuple[Move, ...] = ()


def cut_into_phases(time: np.ndarray, pressure: np.ndarray, division: float, minutes: float = USUAL_MINUTES) -> Cut:
    """Find what happened in a log, and the hold that counts.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds and bar, at least three rows.
    division : float
        Step between two readings [bar].
    minutes : float
        How long a hold must last to count [min].

    Returns
    -------
    Cut
        Phases in order. The last hold as long as asked counts; where none is, the longest.

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
    phases: list[Phase] = []
    lone: list[Move] = []
    for first, last, up in _stretches(time, pressure):
        if not up:
            phases.append(_low_stretch(time, first, last, bool(phases)))
            continue
        begin = _pressurised(time, pressure, first, last) if phases else first
        if begin > first:
            _extend(phases, time[begin])
        moves = sharp_moves(time[begin : last + 1], pressure[begin : last + 1], division)
        moves = [Move(move.first + begin, move.last + begin, move.by) for move in moves]
        found, alone = _worked_stretch(time, pressure, moves, (begin, last), division)
        phases += found
        lone += alone
    phases = _joined(phases, time)
    held, others, long_enough = _chosen(phases, 60 * minutes * ENOUGH)
    rows = slice(int(np.searchsorted(time, held.start_s)), int(np.searchsorted(time, held.end_s, side="right")))
    teeth = _teeth(time, pressure, lone, rows, division)
    kind = "saw-tooth" if teeth is not None else "free flow" if phases[-1].name == "free flow" else ""
    if teeth is not None:
        phases, others = _one_hold(phases), []
        held = next(phase for phase in phases if phase.name == "hold")
        rows = slice(int(np.searchsorted(time, held.start_s)), int(np.searchsorted(time, held.end_s, side="right")))
    before = [phase.name for phase in phases if phase.end_s <= held.start_s]
    purged = bool(before) and before[-1] in ("pressurising", "purge", "recovery", "bleed-down")
    jumps = tuple(move for move in lone if rows.start <= move.first < rows.stop and _lasts(time, pressure, move, rows))
    return Cut(tuple(_with_lock_up(phases, time)), rows, kind, teeth, purged, long_enough, tuple(others), jumps)


def later_hold(cut: Cut, time: np.ndarray) -> Cut | None:
    """The last hold in place of the one that counts, where it comes later and is worth a look; else None.

    Parameters
    ----------
    cut : Cut
        Of a log.
    time : array, shape (n,)
        Times of the log [s].

    Returns
    -------
    Cut or None
        None where nothing of a minute and six readings follows the hold that counts.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time = np.arange(0.0, 600.0, 5.0)
    >>> pressure = np.where((time > 400) & (time < 410), 8.0, 9.6)
    >>> cut = cut_into_phases(time, pressure, 0.1, 5.0)
    >>> time[cut.rows][0], time[later_hold(cut, time).rows][0]
    (np.float64(0.0), np.float64(410.0))
    """
    end = float(time[cut.rows.stop - 1])
    later = [hold for hold in cut.others if hold.start_s >= end and hold.length >= LATER]
    if cut.kind or not later:
        return None
    last = later[-1]
    rows = slice(int(np.searchsorted(time, last.start_s)), int(np.searchsorted(time, last.end_s, side="right")))
    if rows.stop - rows.start < LATER_READINGS:
        return None
    counted = next(one for one in cut.phases if one.name == "hold" and one.end_s == end)
    others = (*(one for one in cut.others if one is not last), counted)
    return replace(cut, rows=rows, purged=True, long_enough=False, others=others, jumps=())


def _lasts(time: np.ndarray, pressure: np.ndarray, move: Move, rows: slice) -> bool:
    """Whether the needle stays where a sharp move brought it: a lone reading that is off is no jump."""
    before = min(int(np.searchsorted(time, time[move.first] - BESIDE)), move.first - 1)
    after = max(int(np.searchsorted(time, time[move.last] + BESIDE, side="right")), move.last + 2)
    if time[move.first] - time[rows.start] < BESIDE:
        return False  # the end of a recovery
    stood, stands = pressure[max(before, rows.start) : move.first + 1], pressure[move.last : min(after, rows.stop)]
    moved = float(np.median(stands) - np.median(stood)) if stands.size else 0.0
    return abs(move.by) >= SMALLEST_JUMP and moved * float(np.sign(move.by)) > 0.5 * abs(move.by)


def _teeth(time: np.ndarray, pressure: np.ndarray, lone: list[Move], rows: slice, division: float) -> Teeth | None:
    """A saw-tooth among the sharp moves or, too small for that, in the hold; the whole hold knows its period better."""
    large = sharp_teeth(time, pressure, lone)
    if large is not None and time[rows.stop - 1] - time[lone[-1].last] > TEETH_TO_THE_END * large.period:
        large = None
    noise = usual_noise(time[rows], pressure[rows], division)
    small = small_teeth(time[rows], pressure[rows], division, noise)
    return Teeth(large.low, large.high, small.period) if large is not None and small is not None else large or small


def _stretches(time: np.ndarray, pressure: np.ndarray) -> list[tuple[int, int, bool]]:
    """Rows from and to, and whether pressure is up; what falls slowly to nothing stays one stretch."""
    usual = float(np.quantile(pressure, 0.8))
    up = pressure > DOWN * usual
    edges = np.flatnonzero(np.diff(up)) + 1
    begins, ends = np.append(0, edges), np.append(edges - 1, time.size - 1)
    made: list[tuple[int, int, bool]] = []
    for first, last in zip(begins.tolist(), ends.tolist(), strict=True):
        here = bool(up[first])
        if made and (made[-1][2] if here else _slowly_down(time, pressure, made[-1], first)):
            made[-1] = (made[-1][0], last, True)
            continue
        left = first
        if not here and made:  # the bleed-down begins where the needle leaves where it stood
            left = _leaves(time, pressure, made[-1], first)
            made[-1] = (made[-1][0], left, True)
        made.append((left, last, here))
    return made


def _stood(pressure: np.ndarray, stretch: tuple[int, int, bool], first: int) -> float:
    return float(np.median(pressure[stretch[0] : max(first, stretch[0] + 1)]))


def _leaves(time: np.ndarray, pressure: np.ndarray, stretch: tuple[int, int, bool], first: int) -> int:
    """Row at which the needle leaves where it stood, before it is down."""
    high = 0.95 * _stood(pressure, stretch, first)
    there = np.flatnonzero(pressure[stretch[0] : first] >= high)
    return stretch[0] + (int(there[-1]) if there.size else 0)


def _slowly_down(time: np.ndarray, pressure: np.ndarray, stretch: tuple[int, int, bool], first: int) -> bool:
    left = _leaves(time, pressure, stretch, first)
    step = float(time[left + 1] - time[left])
    swift = SWIFT if time[left] - time[stretch[0]] >= STOOD else AT_ONCE
    return first - left > 1 and float(time[first] - time[left]) > swift + step


def _low_stretch(time: np.ndarray, first: int, last: int, later: bool) -> Phase:
    return Phase("bleed-down" if later else "pressurising", float(time[first]), float(time[last]))


def _pressurised(time: np.ndarray, pressure: np.ndarray, first: int, last: int) -> int:
    """Row from which the needle no longer shoots up."""
    row = first
    while row < last:
        rise, step = float(pressure[row + 1] - pressure[row]), float(time[row + 1] - time[row])
        if rise < min(PRESSURISING * step, PRESSURISING):
            break
        row += 1
    return row


def _extend(phases: list[Phase], end: float) -> None:
    """Pressurising lasts until the needle is up; after a bleed-down it is a phase of its own."""
    before = phases[-1]
    if before.name == "pressurising":
        phases[-1] = Phase(before.name, before.start_s, float(end))
    else:
        phases.append(Phase("pressurising", before.end_s, float(end)))


def _worked_stretch(
    time: np.ndarray, pressure: np.ndarray, moves: list[Move], ends: tuple[int, int], division: float
) -> tuple[list[Phase], list[Move]]:
    """As `_up_stretch`; purges or breaths that were read too slowly to be told apart are one purge."""
    begin, last = ends
    phases, lone = _up_stretch(time, pressure, moves, begin, last)
    explained = [(one.start_s, one.end_s) for one in phases if one.name in ("purge", "recovery")]
    inside = slice(begin, last + 1)
    spans = [
        (low + begin, high + begin) for low, high in spans_of_work(time[inside], pressure[inside], division, explained)
    ]
    if not spans:
        return phases, lone
    phases, lone, at = [], [], begin
    for low, high in [*spans, (last, last)]:
        between = [move for move in moves if at <= move.first and move.last <= low]
        found, alone = _up_stretch(time, pressure, between, at, low)
        phases += found
        lone += alone
        if high > low:
            phases.append(Phase("purge", float(time[low]), float(time[high])))
        at = high
    return phases, lone


def _up_stretch(
    time: np.ndarray, pressure: np.ndarray, moves: list[Move], begin: int, last: int
) -> tuple[list[Phase], list[Move]]:
    """Holds and purges of a stretch under pressure, and the sharp moves that no purge explains."""
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
        if move.by < 0 and back is None and _flows(time, pressure, move, start, last):
            phases += _held(time, start, move.first)
            phases.append(Phase("free flow", float(time[move.first]), float(time[last])))
            return phases, lone
        if move.by < 0 and back is None and (last - move.first <= 1 or time[last] - time[move.first] <= AT_THE_END):
            phases += _held(time, start, move.first)
            phases.append(Phase("purge", float(time[move.first]), float(time[last])))
            return phases, lone
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


def _flows(time: np.ndarray, pressure: np.ndarray, drop: Move, start: int, last: int) -> bool:
    """A drop from which the needle neither comes back nor goes on falling: the second stage flows."""
    before = min(max(start, drop.first - 20), drop.first)  # the end of a purge may reach into the next drop
    stood, rest = float(np.median(pressure[before : drop.first + 1])), pressure[drop.last : last + 1]
    late = float(np.median(rest[rest.size // 2 :]))
    low = float(pressure[drop.last])
    return late >= DOWN * stood and stood - late > FREE_FLOW and abs(late - low) < 0.5 * abs(drop.by)


def _joined(phases: list[Phase], time: np.ndarray) -> list[Phase]:
    """At least one hold, even where nothing was held."""
    if any(phase.name == "hold" for phase in phases):
        return phases
    return [*phases[:-1], Phase("hold", phases[-1].start_s, float(time[-1]))]


def _chosen(phases: list[Phase], seconds: float) -> tuple[Phase, list[Phase], bool]:
    """The hold that counts, the others, and whether it is long enough."""
    holds = [phase for phase in phases if phase.name == "hold"]
    enough = [phase for phase in holds if phase.length >= seconds]
    chosen = enough[-1] if enough else max(holds, key=lambda phase: phase.length)
    return chosen, [phase for phase in holds if phase is not chosen], bool(enough)


def _one_hold(phases: list[Phase]) -> list[Phase]:
    """A saw-tooth is one hold from its first to its last, whatever was taken for purges between."""
    holds = [at for at, phase in enumerate(phases) if phase.name == "hold"]
    first, last = phases[holds[0]], phases[holds[-1]]
    return [*phases[: holds[0]], Phase("hold", first.start_s, last.end_s), *phases[holds[-1] + 1 :]]


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
