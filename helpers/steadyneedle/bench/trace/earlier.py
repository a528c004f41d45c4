"""Whole watches before the hold that counts: which there are, and what one that fails leaves open. Seconds and bar."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace.finding import TraceFinding
from steadyneedle.bench.trace.phases import ENOUGH, LATER, LATER_READINGS, SMALLEST_JUMP, USUAL_MINUTES, Cut
from steadyneedle.bench.trace.sharp import sharp_moves
from steadyneedle.bench.units import require

BEFORE_A_HOLD = ("pressurising", "purge", "recovery", "bleed-down")
"""Phases right after which a rise counts from 5 s on."""


def earlier_watches(
    cut: Cut, time: np.ndarray, pressure: np.ndarray, division: float, minutes: float | None
) -> list[Cut]:
    """Every whole watch before the hold that counts, in its place; in parts where the needle drops within it at once.

    Parameters
    ----------
    cut : Cut
        Of a log.
    time, pressure : array, shape (n,)
        Times of the log [s], in order, and its readings [bar].
    division : float
        Step between two readings [bar].
    minutes : float or None
        How long the sheet asks to watch [min]; None for the usual time.

    Returns
    -------
    list of Cut
        The latest first.

    References
    ----------
    Our choice: what a whole watch showed is not undone by a purge after it.

    Examples
    --------
    >>> from steadyneedle.bench.trace.phases import cut_into_phases
    >>> time = np.arange(0.0, 800.0, 5.0)
    >>> pressure = np.where((time > 400) & (time < 410), 8.0, 9.6)
    >>> cut = cut_into_phases(time, pressure, 0.1, 5.0)
    >>> [time[one.rows][0] for one in earlier_watches(cut, time, pressure, 0.1, 5.0)]
    [np.float64(0.0)]
    """
    seconds = 60 * (USUAL_MINUTES if minutes is None else minutes) * ENOUGH
    found = []
    for hold in reversed(cut.others):
        if hold.end_s > time[cut.rows.start] or hold.length < seconds:
            continue
        first, end = (int(np.searchsorted(time, *at)) for at in ((hold.start_s, "left"), (hold.end_s, "right")))
        purged = any(one.end_s == hold.start_s for one in cut.phases if one.name in BEFORE_A_HOLD)
        for rows in reversed(_parts(time[first:end], pressure[first:end], division)):
            place = slice(first + rows.start, first + rows.stop)
            found.append(replace(cut, rows=place, purged=purged or rows.start > 0, long_enough=True, jumps=()))
    return found


def _parts(time: np.ndarray, pressure: np.ndarray, division: float) -> list[slice]:
    """Rows between a hold's sharp drops, purges that fell between two readings; too short a part tells nothing."""
    drops = [move for move in sharp_moves(time, pressure, division) if move.by < -SMALLEST_JUMP]
    begins, ends = [0, *(move.last for move in drops)], [*(move.first + 1 for move in drops), time.size]
    parts = [slice(begin, end) for begin, end in zip(begins, ends, strict=True) if end - begin >= LATER_READINGS]
    return [rows for rows in parts if not drops or time[rows.stop - 1] - time[rows.start] >= LATER]


def surely_failed(found: tuple[TraceFinding, TraceFinding, TraceFinding], sheet: Sheet | None) -> TraceFinding | None:
    """The finding by which a needle surely climbs or stands too high, else None; one that is low or falls may be work.

    Parameters
    ----------
    found : tuple of TraceFinding
        Band, rise and rate of an earlier watch.
    sheet : Sheet or None
        As `judge_trace`.

    Returns
    -------
    TraceFinding or None
        The rise before the rate before the band.

    References
    ----------
    Our choice: too low a cylinder that is shut, or a set point before it is set, makes it.

    Examples
    --------
    >>> none = TraceFinding("not asked", "No band is asked.")
    >>> surely_failed((none, TraceFinding("beyond", "The needle rose."), none), None).because
    'The needle rose.'
    """
    band, rise, rate = found
    if rise.conforms == "no":
        return rise
    if rate.outcome == "climbs":
        return rate
    if sheet is None or sheet.band is None or band.conforms != "no" or band.value is None:
        return None
    return band if require("level", band.value, "bar") > require("ip_high", sheet.band.high, "bar") else None


def left_open(cut: Cut, time: np.ndarray, failed: TraceFinding) -> str:
    """What to say of a watch that failed before the one that counts.

    Parameters
    ----------
    cut : Cut
        The earlier watch, in its place.
    time : array, shape (n,)
        Times of the log [s].
    failed : TraceFinding
        What fails there.

    Returns
    -------
    str
        Sentences, with what to do.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> time = np.arange(0.0, 800.0, 5.0)
    >>> from steadyneedle.bench.trace.phases import uncut
    >>> left_open(uncut(time), time, TraceFinding("beyond", "The needle rose by 1.0 bar."))[:58]
    'An earlier watch, from 0 to 795 s, failed: the needle rose'
    """
    begin, end = (float(time[row]) for row in (cut.rows.start, cut.rows.stop - 1))
    because = failed.because[:1].lower() + failed.because[1:]
    way = "stands too high" if failed.outcome == "outside" else "creeps"
    return (
        f"An earlier watch, from {begin:.0f} to {end:.0f} s, failed: {because} If you changed something after it, "
        f"judge the log from {end:.0f} s on. If not, this regulator {way} after some purges."
    )
