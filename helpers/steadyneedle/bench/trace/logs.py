"""A gauge log in order: seconds and bar, what is unusable left out, counted and named."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.divisions import division_of
from steadyneedle.bench.trace.late_readings import LeftOut
from steadyneedle.bench.trace.log_cleaning import Cleaned, RawLog, cleaned
from steadyneedle.bench.trace.log_columns import bar_per
from steadyneedle.bench.trace.log_numbers import LogError
from steadyneedle.bench.units import Quantity, require
from steadyneedle.foundation.text_files import printable


@dataclass(frozen=True)
class Log:
    """A gauge log: times from 0 [s] and readings [bar], in order.

    `division` is the step between two possible readings [bar]; `unit` is that of the file; `left_out` counts what
    was left out, by reason; `rule` says how numbers were read. `how_read` is one line on columns, units and times;
    `notes` name what was left out and what looks odd; `doubts` must be said before any verdict;
    `unsure` are readings left out that may be the needle's; `as_written` is the finer step [bar] in which readings are
    written that all stand at one mark of a coarser gauge, else None.
    """

    time: np.ndarray
    pressure: np.ndarray
    division: float
    unit: str = "bar"
    left_out: dict[str, int] = field(default_factory=dict)
    rule: str = ""
    name: str = ""
    how_read: str = ""
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    unsure: tuple[LeftOut, ...] = ()
    as_written: float | None = None

    @classmethod
    def from_arrays(
        cls, time_s: ArrayLike, pressure: ArrayLike, unit: str, division: float | Quantity | None = None
    ) -> Log:
        """A log from times and readings; what is not finite, repeated, backward or a spike is left out and counted.

        Parameters
        ----------
        time_s, pressure : array, shape (n,)
            Seconds, from any beginning, and readings in `unit`.
        unit : str
            Unit of pressure as a technician types it.
        division : float, pint.Quantity or None
            Step between two possible readings, in `unit` or a quantity, above 0; None reads it off the readings, the
            coarsest they allow where fewer than four differ, and says so in `notes`.

        Returns
        -------
        Log
            In seconds from the first usable reading and in bar.

        Raises
        ------
        LogError
            An unknown unit, rows of different length, more than 1000 bar, fewer than three usable readings, or a
            division not above 0.

        Examples
        --------
        >>> Log.from_arrays([0, 15, 30], [9.8, 9.9, 10.0], "bar").division
        0.1
        """
        scale = bar_per(unit)
        if scale is None:
            raise LogError(f"Unknown unit '{printable(unit)}' of pressure. Type for example bar, psi or kPa.")
        times, values = np.asarray(time_s, float), np.asarray(pressure, float)
        if times.ndim != 1 or times.shape != values.shape:
            raise LogError("time_s and pressure must be two rows of the same length.")
        step = None
        if division is not None:
            step = _in_bar(division, scale)
            if not step > 0 or not math.isfinite(step):
                raise LogError("division must be above 0.")
        made = cleaned(RawLog(times, values * scale, unit=unit))
        return cls.of_clean(made, step, unit, scale)

    @classmethod
    def of_clean(cls, made: Cleaned, step: float | None, unit: str, scale: float) -> Log:
        """A log of readings that were cleaned; `step` [bar] is read off them where it is None."""
        notes, doubts = list(made.notes), list(made.doubts)
        as_written = None
        if step is None:
            found = division_of(made.pressure / scale, made.cells(), scale)
            step = found.step * scale
            if found.as_written is not None:
                shown, finer = (f"{one:.6g} {unit}" for one in (found.step, found.as_written))
                doubts.append(
                    f"Every reading is a multiple of {shown}. In what steps do you read? Write it above the columns: "
                    f"division {finer}, or division {shown}."
                )
                if np.ptp(made.pressure) == 0:  # where a purge was read, it would show a finer step
                    as_written = found.as_written * scale
            if not found.sure:
                notes.append(
                    f"So few different readings do not show their step: it is taken as {found.step:.6g} {unit}. "
                    "Name the gauge's division where it is another."
                )
        return cls(
            made.time, made.pressure, float(f"{step:.9g}"), unit, made.left_out, notes=tuple(notes),
            doubts=tuple(doubts), unsure=made.unsure, as_written=as_written,
        )  # fmt: skip


def _in_bar(division: float | Quantity, scale: float) -> float:
    if isinstance(division, Quantity):
        return require("division", division, "bar")
    return float(division) * scale
