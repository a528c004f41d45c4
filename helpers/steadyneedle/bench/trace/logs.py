"""A gauge log in order: seconds and bar, what is unusable left out, counted and named."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

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
    `notes` name what was left out and what looks odd; `doubts` must be said before any verdict.
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
            Step between two possible readings, in `unit` or a quantity, above 0; None reads it off the readings.

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
        made = cleaned(RawLog(times, values * scale))
        return cls.of_clean(made, step, unit, scale)

    @classmethod
    def of_clean(cls, made: Cleaned, step: float | None, unit: str, scale: float) -> Log:
        """A log of readings that were cleaned; `step` [bar] is read off them where it is None."""
        if step is None:
            step = _division(made.pressure / scale) * scale
        return cls(
            made.time, made.pressure, float(f"{step:.9g}"), unit, made.left_out, notes=tuple(made.notes),
            doubts=tuple(made.doubts),
        )  # fmt: skip


def _in_bar(division: float | Quantity, scale: float) -> float:
    if isinstance(division, Quantity):
        return require("division", division, "bar")
    return float(division) * scale


def _division(values: np.ndarray) -> float:
    """The step between two possible readings, from the readings themselves."""
    distinct = np.unique(np.round(values, 9))
    for places in range(7):
        whole = distinct * 10.0**places
        if np.abs(whole - np.round(whole)).max() < 1e-4:
            break
    steps = np.diff(distinct)
    if places > 3 or not steps.size:
        return float(steps.min()) if steps.size else 10.0**-places
    common = math.gcd(*(round(step * 10**places) for step in steps.tolist()))
    return (common if steps.size >= 3 else 1) * 10.0**-places
