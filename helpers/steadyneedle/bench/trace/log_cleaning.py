"""What of a log's readings can be used; what cannot is taken out, counted and named."""

from __future__ import annotations

import bisect
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from steadyneedle.bench.trace.log_numbers import LogError
from steadyneedle.foundation.text_files import printable

HIGHEST = 1000.0
"""bar; no log of a first stage holds more."""

FEWEST = 3
ENOUGH = 7
"""RawLog from which on one can be told to stand apart."""

SPIKE = 0.3
"""bar; a lone reading further off than this, and than eight times the usual scatter, is a spike (our choice)."""

AGREE = 0.2
"""Share of how far it is off, by which the readings beside a spike may differ: a needle settles meanwhile."""

SHORTEST_PURGE = 0.7
"""s from the reading before a dip to the one after it: a shorter dip is a spike, no purge (our choice)."""

APART = 5.0
"""Usual steps between the first or the last time and the next to it: more, and it stands apart (our choice)."""

MANY = 0.05
"""Share of the readings; more left out is said before any verdict."""

LONGEST = 1e8
"""s, three years."""

SHORTEST, SHORTEST_STEP = 1e-3, 1e-5
"""s: a whole log, and from one reading to the next."""

NAMED = 3


@dataclass(frozen=True)
class RawLog:
    """Times [s] and pressures [bar] as read, NaN where a cell is no number; their rows in the file and their texts.

    Without rows they are counted from 1; without texts the numbers stand for them.
    """

    time: np.ndarray
    pressure: np.ndarray
    rows: Sequence[int] = ()
    times: Sequence[str] = ()
    pressures: Sequence[str] = ()

    def row(self, at: int) -> str:
        """What a reading is called in a sentence."""
        return f"Row {self.rows[at]}" if len(self.rows) else f"Reading {at + 1}"

    def shown(self, at: int, texts: Sequence[str], values: np.ndarray) -> str:
        """A time or a pressure as it was typed."""
        return printable(texts[at], 20) if len(texts) else f"{values[at]:.6g}"


@dataclass
class Cleaned:
    """RawLog that can be used, what was left out by reason, sentences that name it, and what to say first."""

    time: np.ndarray
    pressure: np.ndarray
    left_out: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)


def cleaned(readings: RawLog) -> Cleaned:
    """The readings that can be used, in order of time.

    Parameters
    ----------
    readings : RawLog
        As they stand in the file.

    Returns
    -------
    Cleaned
        Times from 0; whatever was left out is counted and named.

    Raises
    ------
    LogError
        No pressure at all, several beyond 1000 bar, times beyond any log, columns swapped, fewer than three left.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> made = cleaned(RawLog(np.array([0, 15, 30, 450, 60, 75, 90.0]), np.full(7, 9.8)))
    >>> made.left_out, made.notes
    ({'backward time': 1}, ['Reading 4: its time 450 does not fit between those beside it; left out.'])
    """
    work = _Work(readings)
    if readings.pressure.size and not np.isfinite(readings.pressure).any():
        first = next((text for text in readings.pressures if text), "")
        more = f" The first cell is '{printable(first, 20)}': write numbers alone." if first else ""
        raise LogError(f"The pressure column holds no finite number at all.{more}")
    work.drop_unreadable()
    _refuse_swapped(work)
    work.drop_too_high()
    work.drop_disorder()
    work.drop_ends_apart()
    work.drop_spikes()
    return work.result()


class _Work:
    """RawLog on their way to being clean."""

    def __init__(self, readings: RawLog) -> None:
        self.all, self.kept = readings, np.arange(readings.time.size)
        self.left: dict[str, int] = {}
        self.notes: list[str] = []
        self.reasons: dict[int, str] = {}

    @property
    def time(self) -> np.ndarray:
        return self.all.time[self.kept] if self.kept.size < self.all.time.size else self.all.time

    @property
    def pressure(self) -> np.ndarray:
        return self.all.pressure[self.kept] if self.kept.size < self.all.time.size else self.all.pressure

    def drop(self, out: np.ndarray, why: str, sentence: Callable[[int], str]) -> None:
        """Take out what `out` marks among the kept; the first few are named one by one."""
        gone = self.kept[out].tolist()
        if not gone:
            return
        self.left[why] = self.left.get(why, 0) + len(gone)
        self.notes += [sentence(at) for at in gone[:NAMED]]
        if len(gone) > NAMED:
            more = len(gone) - NAMED
            self.notes.append(f"{more} more row{'s' * (more > 1)} likewise; left out.")
        self.kept = self.kept[~out]

    def drop_unreadable(self) -> None:
        """Rows with a cell that is no number, no time or empty."""
        read = self.all

        def sentence(at: int) -> str:
            for what, texts, values in (("time", read.times, read.time), ("pressure", read.pressures, read.pressure)):
                if not np.isfinite(values[at]):
                    text = read.shown(at, texts, values)
                    cell = f"'{text}' cannot be read as a {what}" if text else f"no {what} there"
                    return f"{read.row(at)}: {cell}; left out."
            return ""

        bad = ~(np.isfinite(self.time) & np.isfinite(self.pressure))
        self.drop(bad, "no number", sentence)

    def drop_too_high(self) -> None:
        """A lone pressure beyond anything; several are another unit."""
        high = np.abs(self.pressure) > HIGHEST
        if high.any() and (high.sum() > 1 or self.kept.size < ENOUGH):
            worst = float(np.abs(self.pressure).max())
            raise LogError(
                f"A pressure of {worst:.4g} bar stands in the log: more than {HIGHEST:.0f} bar. Check the unit."
            )
        self.drop(high, "spike", self._apart)

    def _apart(self, at: int) -> str:
        shown = self.all.shown(at, self.all.pressures, self.all.pressure)
        return f"{self.all.row(at)}: its pressure {shown} stands apart from those beside it; left out."

    def _time_sentence(self, words: str) -> Callable[[int], str]:
        return lambda at: (
            f"{self.all.row(at)}: its time {self.all.shown(at, self.all.times, self.all.time)} {words}; left out."
        )

    def drop_disorder(self) -> None:
        """As few rows as possible, so that the rest is in order of time."""
        time = self.time
        if time.size < 2 or (np.diff(time) > 0).all():
            return
        keep = _longest_in_order(time)
        again = ~keep & np.isin(time, time[keep])
        self.drop(again, "repeated time", self._time_sentence("is that of another row"))
        backward = ~keep[~again]
        sentence = self._time_sentence("does not fit between those beside it")
        self.drop(backward, "backward time", sentence)

    def drop_ends_apart(self) -> None:
        """A first or a last time far from the rest."""
        if self.kept.size < ENOUGH:
            return
        steps = np.diff(self.time)
        usual, out = float(np.median(steps)), np.zeros(self.kept.size, bool)
        out[0], out[-1] = steps[0] > APART * usual, steps[-1] > APART * usual
        self.drop(out, "time apart", self._time_sentence("stands far from all the others"))

    def drop_spikes(self) -> None:
        """Lone pressures far from those beside them."""
        self.drop(_spikes(self.time, self.pressure), "spike", self._apart)

    def result(self) -> Cleaned:
        """What is left, or why it is too little."""
        time, pressure, count = self.time, self.pressure, self.all.time.size
        if time.size < FEWEST:
            usable = "1 usable row" if time.size == 1 else f"{time.size} usable rows"
            raise LogError(f"Only {usable}: a log needs at least {FEWEST}. {' '.join(self.notes[:2])}".strip())
        span = float(time[-1] - time[0])
        if not SHORTEST <= span <= LONGEST:
            raise LogError(f"The times of the log lie within {span:.3g} s of one another. Check the time column.")
        steps = np.diff(time)
        usual = float(np.median(steps))
        if usual < SHORTEST_STEP:
            raise LogError(f"The usual step between two readings is {usual:.3g} s. Check the time column.")
        if 2 * time.size < count:
            raise LogError(
                f"Only {time.size} of {count} rows can be used. {' '.join(self.notes[:2])} Mend the log first."
            )
        return Cleaned(time - time[0], pressure, self.left, self.notes, self._doubts(steps, usual, count))

    def _doubts(self, steps: np.ndarray, usual: float, count: int) -> list[str]:
        """What must be said before any verdict."""
        doubts, gone, widest = [], count - self.kept.size, int(np.argmax(steps))
        if gone > max(1, MANY * count):
            doubts.append(f"{gone} of {count} rows are left out.")
        tail = count - 1 - int(self.kept[-1])
        if tail > 1:
            doubts.append(f"The last {tail} rows are left out: the verdict does not cover the end of the log.")
        if steps[widest] > max(10 * usual, 0.2 * float(steps.sum())):
            doubts.append(
                f"After {self.all.row(int(self.kept[widest])).lower()} a gap of {steps[widest]:.4g} s dwarfs the usual "
                f"step of {usual:.4g} s."
            )
        return doubts


def _refuse_swapped(work: _Work) -> None:
    """Pressures that climb like a clock, beside times that do not."""
    time, pressure = work.time, work.pressure
    if time.size < ENOUGH:
        return
    if float((np.diff(time) > 0).mean()) >= 0.8:
        return
    steps = np.diff(pressure)
    even = float((np.abs(steps - np.median(steps)) <= 1e-6 * abs(float(np.median(steps)))).mean())
    if np.median(steps) > 0 and even > 0.8:
        raise LogError(
            "The pressures climb in even steps as times do, and the times do not: the two columns look swapped. "
            "Check the header."
        )


def _longest_in_order(time: np.ndarray) -> np.ndarray:
    """Which times form the longest series that only rises; of two series as long, the more even one nearby."""
    ends: list[float] = []
    last: list[int] = []
    before = np.full(time.size, -1)
    for at, one in enumerate(time.tolist()):
        place = bisect.bisect_left(ends, one)
        before[at] = last[place - 1] if place else -1
        if place == len(ends):
            ends.append(one)
            last.append(at)
        else:
            ends[place], last[place] = one, at
    chain, at = [], last[-1]
    while at >= 0:
        chain.append(int(at))
        at = before[at]
    return _more_even(time, chain[::-1])


def _more_even(time: np.ndarray, chain: list[int]) -> np.ndarray:
    """The chain with a row that was left out in place of one beside it, where that makes the steps more even."""
    keep = np.zeros(time.size, bool)
    keep[chain] = True
    out = np.flatnonzero(~keep)
    for at in out[:200].tolist():
        after = bisect.bisect(chain, at)
        for place in (after - 1, after):
            if not 0 <= place < len(chain):
                continue
            low = float(time[chain[place - 1]]) if place > 0 else -np.inf
            high = float(time[chain[place + 1]]) if place + 1 < len(chain) else np.inf
            new, old = float(time[at]), float(time[chain[place]])
            off = [abs((one - low) - (high - one)) for one in (new, old)]
            if low < new < high and off[0] < off[1]:
                keep[chain[place]], keep[at], chain[place] = False, True, at
                chain.sort()
                break
    return keep


def _spikes(time: np.ndarray, bars: np.ndarray) -> np.ndarray:
    """Lone readings, one or two, far from neighbours that agree, or at an end; a dip as long as a purge is none."""
    found = np.zeros(bars.size, bool)
    if bars.size < ENOUGH:
        return found
    moves = np.abs(np.diff(bars))
    far = max(SPIKE, 8 * 1.5 * float(np.median(moves)))
    if moves.max() <= far:
        return found  # a lone reading is far from one beside it at least
    for width in (1, 2):
        before, after = bars[: -width - 1], bars[width + 1 :]
        for k in range(width):
            middle = bars[1 + k : bars.size - width + k]
            off = np.minimum(np.abs(middle - before), np.abs(middle - after))
            lone = (off > far) & (np.abs(before - after) < np.maximum(far / 2, AGREE * off))
            lasts = time[width + 1 :] - time[: -width - 1]
            lone &= (middle > before) | (middle < before / 2) | (lasts < SHORTEST_PURGE)
            found[1 + k : bars.size - width + k] |= lone
    found &= ~_in_turn(found)
    for end, beside, next_one in ((0, 1, 2), (-1, -2, -3)):
        off_end = abs(bars[end] - bars[beside])
        lone_end = off_end > far and abs(bars[beside] - bars[next_one]) < max(far / 2, AGREE * off_end)
        # a first reading below the rest is the needle on its way up, or the rise that is asked about
        found[end] |= bool(lone_end and not (end == 0 and bars[0] < bars[1]))
    return found if found.sum() <= max(1, bars.size // 20) else np.zeros(bars.size, bool)


def _in_turn(found: np.ndarray) -> np.ndarray:
    """Those that come every second reading: purges read as they come, not slips."""
    beside = np.zeros(found.size, bool)
    beside[2:] |= found[:-2] & ~found[1:-1]
    beside[:-2] |= found[2:] & ~found[1:-1]
    return found & beside
