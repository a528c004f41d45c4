"""What of a log's readings can be used; what cannot is taken out, counted and named."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from steadyneedle.bench.trace.divisions import LOOKED_AT
from steadyneedle.bench.trace.late_readings import LeftOut, left_out_but_meant, times_apart
from steadyneedle.bench.trace.log_numbers import LogError
from steadyneedle.bench.trace.log_outliers import ENOUGH, far_above, longest_in_order, lost, spikes
from steadyneedle.bench.trace.scale import Scale
from steadyneedle.foundation.text_files import printable

HIGHEST, LOWEST = 1000.0, -1.1
"""bar; no log of a first stage holds more, and no gauge reads less than nothing at all."""

FEWEST = 3

MANY = 0.05
"""Share of the readings; more left out is said before any verdict."""

LONGEST = 1e8
"""s, three years."""

SHORTEST, SHORTEST_STEP = 1e-3, 1e-5
"""s: a whole log, and from one reading to the next."""

NAMED = 3

MOST_LOGS = 4
"""Times that jump back so often at most, and leave more than a few rows behind, are those of several logs."""


@dataclass(frozen=True)
class RawLog:
    """Times [s] and pressures [bar] as read, NaN where a cell is no number; their rows in the file and their texts.

    Without rows they are counted from 1; without texts the numbers stand for them. `unit` is that of sentences.
    """

    time: np.ndarray
    pressure: np.ndarray
    rows: Sequence[int] = ()
    times: Sequence[str] = ()
    pressures: Sequence[str] = ()
    unit: str = "bar"

    def row(self, at: int) -> str:
        """What a reading is called in a sentence."""
        return f"Row {self.rows[at]}" if len(self.rows) else f"Reading {at + 1}"

    def shown(self, at: int, texts: Sequence[str], values: np.ndarray) -> str:
        """A time or a pressure as it was typed."""
        return printable(texts[at], 20) if len(texts) else f"{values[at]:.6g}"


@dataclass
class Cleaned:
    """Readings that can be used, what was left out by reason, sentences that name it, and what to say first.

    `cells` gives the pressures as written, nothing where they came without a text; `unsure` is what was left out and
    may be the needle's.
    """

    time: np.ndarray
    pressure: np.ndarray
    left_out: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    cells: Callable[[], Sequence[str]] = tuple
    unsure: tuple[LeftOut, ...] = ()


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
    """Readings on their way to being clean."""

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
        """Pressures below a vacuum, and a lone one beyond anything; several are another unit."""
        sentence = self._sentence("cannot be a gauge pressure")
        self.drop(self.pressure < LOWEST, "no pressure", sentence)
        high = self.pressure > HIGHEST
        if high.any() and (high.sum() > 1 or self.kept.size < ENOUGH):
            worst = int(np.argmax(np.abs(self.pressure)))
            scale = Scale.of(self.all.unit)
            raise LogError(
                f"{self.all.row(int(self.kept[worst]))}: a pressure of {scale.about(float(self.pressure[worst]), 4)}, "
                f"beyond {scale.about(HIGHEST)}. Check the unit, or take such rows out."
            )
        self.drop(high, "spike", self._apart)

    def _sentence(self, words: str) -> Callable[[int], str]:
        read = self.all
        return lambda at: (
            f"{read.row(at)}: its pressure {read.shown(at, read.pressures, read.pressure)} {words}; left out."
        )

    def _apart(self, at: int) -> str:
        return self._sentence("stands apart from those beside it")(at)

    def _time_sentence(self, words: str) -> Callable[[int], str]:
        return lambda at: (
            f"{self.all.row(at)}: its time {self.all.shown(at, self.all.times, self.all.time)} {words}; left out."
        )

    def drop_disorder(self) -> None:
        """As few rows as possible, so that the rest is in order of time."""
        time = self.time
        forward = np.diff(time) > 0
        if forward.all():
            return
        back = np.diff(time) < 0
        if back.all() or (time.size >= ENOUGH and forward.mean() < 0.1 and back.mean() > 0.8):
            raise LogError(
                "The times run backward: the newest row stands first. Sort the rows by time, then try again."
            )
        keep = longest_in_order(time)
        if 0 < back.sum() <= MOST_LOGS and (~keep).sum() >= max(3, MANY * time.size):
            self._refuse_several(int(np.flatnonzero(back)[0]) + 1)
        again = ~keep & np.isin(time, time[keep])
        self.drop(again, "repeated time", self._time_sentence("is that of another row"))
        backward = ~keep[~again]
        sentence = self._time_sentence("does not fit between those beside it")
        self.drop(backward, "backward time", sentence)

    def _refuse_several(self, at: int) -> None:
        """Times that begin again in the middle."""
        read, at = self.all, int(self.kept[at])
        raise LogError(
            f"{read.row(at)}: the times jump back to {read.shown(at, read.times, read.time)}. If these are several "
            "logs, keep one of them; else let the times go on."
        )

    def drop_ends_apart(self) -> None:
        """A first or a last time that is a slip, or hours from the rest."""
        if self.kept.size < ENOUGH:
            return
        texts = [self.all.times[int(self.kept[at])] for at in (0, -1)] if len(self.all.times) else []
        self.drop(times_apart(self.time, texts), "time apart", self._time_sentence("stands far from all the others"))

    def drop_spikes(self) -> None:
        """Lone pressures far from those beside them."""
        self.drop(spikes(self.time, self.pressure), "spike", self._apart)

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
        doubts = self._doubts(steps, usual, count)
        unsure: tuple[LeftOut, ...] = ()
        if self.kept.size < count:
            read = self.all
            unsure = left_out_but_meant(read.time, read.pressure, self.kept, read.row, read.pressures)
        return Cleaned(time - time[0], pressure, self.left, self.notes, doubts, self._cells, unsure)

    def _cells(self) -> list[str]:
        texts = self.all.pressures
        return [texts[at] for at in self.kept[:LOOKED_AT].tolist()] if len(texts) else []

    def _rows(self, marked: np.ndarray) -> str:
        """The kept rows that are marked, and a verb."""
        rows = [self.all.row(at) for at in self.kept[marked].tolist()]
        more = f" and {len(rows) - NAMED} more" if len(rows) > NAMED else ""
        return f"{', '.join(rows[:NAMED])}{more} {'stand' if len(rows) > 1 else 'stands'}"

    def _doubts(self, steps: np.ndarray, usual: float, count: int) -> list[str]:
        """What must be said before any verdict."""
        doubts, gone, widest = [], count - self.kept.size, int(np.argmax(steps))
        if gone > max(1, MANY * count):
            doubts.append(f"{gone} of {count} rows are left out.")
        above, noughts = far_above(self.pressure), lost(self.pressure)
        if above.any():
            highest = Scale.of(self.all.unit).about(float(self.pressure[above].max()), 4)
            doubts.append(
                f"{self._rows(above)} far above those beside, up to {highest}. Check unit and decimal mark there."
            )
        if noughts.sum() > 1:
            doubts.append(f"{self._rows(noughts)} at 0 alone. Take such rows out where a reading was lost.")
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
    if time.size < ENOUGH or (time == time[0]).all():
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
