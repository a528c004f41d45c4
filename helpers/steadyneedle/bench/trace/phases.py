"""A gauge log cut into phases: pressurising, lock-up, hold, purge, recovery, free flow, bleed-down. Seconds and bar."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from steadyneedle.bench.trace.sharp import Move, sharp_moves, usual_noise
from steadyneedle.bench.trace.stretches import DOWN, FREE_FLOW, LONGEST_PURGE, Phase, stretch_under_pressure
from steadyneedle.bench.trace.teeth import Teeth, sharp_teeth, small_teeth

USUAL_MINUTES = 2.0
"""min that a hold must last to count, where no sheet says how long (our choice)."""

ENOUGH = 0.95
"""Part of the minutes asked that is long enough."""

AT_ONCE, SWIFT, STOOD = 15.0, 45.0, 60.0
"""s within which a bleed-down falls from where the needle stood to half of it, the same where it had stood for so long
before, and how long that is; what takes longer is a leak."""

EMPTY = 0.15
"""Part of the usual pressure: a needle that stands above it after a fall has not been bled down."""

TEETH_TO_THE_END = 3.0
"""Periods before the last hold ends within which the last tooth must lie: what stopped was work, or cleared up."""

SMALLEST_JUMP = 0.1
"""bar; a smaller one is left to how well the estimate's law fits."""

LATER, LATER_READINGS = 60.0, 6
"""s and readings from which a hold after the one that counts is looked at too."""

BESIDE = 5.0
"""s before and after a sharp move over which it must last to be a jump; two readings at least."""

PRESSURISING = 0.5
"""bar/s; slower is settling."""

TWO_MARKS, SLIPS = 0.2, 0.03
"""bar between two marks of a gauge from which an eye that rounds makes teeth; part of the readings that is a slip."""


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


def cut_into_phases(
    time: np.ndarray,
    pressure: np.ndarray,
    division: float,
    minutes: float = USUAL_MINUTES,
    lowest: float | None = None,
) -> Cut:
    """Find what happened in a log, and the hold that counts.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        Seconds and bar, at least three rows.
    division : float
        Step between two readings [bar].
    minutes : float
        How long a hold must last to count [min].
    lowest : float or None
        Where a needle may stand that was purged or set between two readings [bar]; None where no sheet says it.

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
    phases, lone = _all_phases(time, pressure, division, lowest)
    phases = _joined(phases, time)
    held, others, long_enough = _chosen(phases, 60 * minutes * ENOUGH)
    rows = _rows(time, held)
    last_hold = max(phase.end_s for phase in phases if phase.name == "hold")
    teeth = _teeth(time, pressure, lone, rows, last_hold, division)
    kind = "saw-tooth" if teeth is not None else "free flow" if any(one.name == "free flow" for one in phases) else ""
    if teeth is not None:
        phases, others = _one_hold(phases), []
        held = next(phase for phase in phases if phase.name == "hold")
        rows = _rows(time, held)
    before = [phase.name for phase in phases if phase.end_s <= held.start_s]
    purged = bool(before) and before[-1] in ("pressurising", "purge", "recovery", "bleed-down")
    jumps = tuple(move for move in lone if rows.start <= move.first < rows.stop and _lasts(time, pressure, move, rows))
    return Cut(tuple(_with_lock_up(phases, time)), rows, kind, teeth, purged, long_enough, tuple(others), jumps)


def _all_phases(
    time: np.ndarray, pressure: np.ndarray, division: float, lowest: float | None
) -> tuple[list[Phase], list[Move]]:
    """Phases of a log in order, and the sharp moves that no purge explains."""
    phases: list[Phase] = []
    lone: list[Move] = []
    for first, last, up in _stretches(time, pressure):
        if not up:
            phases.append(_low_stretch(time, pressure, (first, last), bool(phases)))
            continue
        begin = _pressurised(time, pressure, first, last) if phases else first
        if begin > first or (phases and phases[-1].name == "pressurising"):
            _extend(phases, time[begin])
        moves = sharp_moves(time[begin : last + 1], pressure[begin : last + 1], division)
        moves = [Move(move.first + begin, move.last + begin, move.by) for move in moves]
        found, alone = stretch_under_pressure(time, pressure, moves, (begin, last), division, lowest)
        phases += found
        lone += alone
    return phases, lone


def uncut(time: np.ndarray) -> Cut:
    """A log without pressure: one hold, in which nothing happened.

    Parameters
    ----------
    time : array, shape (n,)
        Times of the log [s].

    Returns
    -------
    Cut
        All its rows.

    References
    ----------
    Definition.

    Examples
    --------
    >>> uncut(np.arange(0.0, 60.0)).rows
    slice(0, 60, None)
    """
    return Cut((Phase("hold", float(time[0]), float(time[-1])),), slice(0, time.size), "", None, False, False, ())


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
    rows = _rows(time, last)
    if rows.stop - rows.start < LATER_READINGS:
        return None
    counted = next(one for one in cut.phases if one.name == "hold" and one.end_s == end)
    others = (*(one for one in cut.others if one is not last), counted)
    return replace(cut, rows=rows, purged=True, long_enough=False, others=others, jumps=())


def _rows(time: np.ndarray, phase: Phase) -> slice:
    """Rows of a log that lie in a phase."""
    return slice(int(np.searchsorted(time, phase.start_s)), int(np.searchsorted(time, phase.end_s, side="right")))


def _lasts(time: np.ndarray, pressure: np.ndarray, move: Move, rows: slice) -> bool:
    """Whether the needle stays where a sharp move brought it: a lone reading that is off is no jump."""
    before = min(int(np.searchsorted(time, time[move.first] - BESIDE)), move.first - 1)
    after = max(int(np.searchsorted(time, time[move.last] + BESIDE, side="right")), move.last + 2)
    if time[move.first] - time[rows.start] < BESIDE:
        return False  # the end of a recovery
    stood, stands = pressure[max(before, rows.start) : move.first + 1], pressure[move.last : min(after, rows.stop)]
    moved = float(np.median(stands) - np.median(stood)) if stands.size else 0.0
    return abs(move.by) >= SMALLEST_JUMP and moved * float(np.sign(move.by)) > 0.5 * abs(move.by)


def _teeth(
    time: np.ndarray, pressure: np.ndarray, lone: list[Move], rows: slice, last_hold: float, division: float
) -> Teeth | None:
    """A saw-tooth among the sharp moves or, too small for that, in the hold; the whole hold knows its period better."""
    if _between_two_marks(pressure[rows]):
        return None
    large = sharp_teeth(time, pressure, lone)
    if large is not None and last_hold - time[lone[-1].last] > TEETH_TO_THE_END * large.period:
        large = None
    noise = usual_noise(time[rows], pressure[rows], division)
    small = small_teeth(time[rows], pressure[rows], division, noise)
    return Teeth(large.low, large.high, small.period) if large is not None and small is not None else large or small


def _between_two_marks(pressure: np.ndarray) -> bool:
    """A hold read at one mark, or at two that stand far apart, but for slips: an eye that rounds makes such teeth."""
    marks, count = np.unique(pressure.round(4), return_counts=True)
    usual = np.argsort(count)[-2:]
    if count[usual].sum() < (1 - SLIPS) * pressure.size:
        return False
    return bool(count.max() >= (1 - SLIPS) * pressure.size or np.ptp(marks[usual]) >= TWO_MARKS)


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


def _low_stretch(time: np.ndarray, pressure: np.ndarray, ends: tuple[int, int], later: bool) -> Phase:
    """Pressurising; later a bleed-down, or a free flow where the needle then stands well above nothing."""
    first, last = ends
    rest = pressure[first + (last - first) // 2 : last + 1]
    stands = float(rest.min()) >= EMPTY * float(np.quantile(pressure, 0.8)) and float(np.ptp(rest)) <= FREE_FLOW
    if later and stands and time[last] - time[first] > LONGEST_PURGE:
        return Phase("free flow", float(time[first]), float(time[last]))
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
