"""A gauge log in order: seconds and bar, what is unusable left out and counted."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.units import Quantity, require
from steadyneedle.bench.units.typed import read_quantity

HIGHEST = 1000.0
"""bar; no log of a first stage holds more."""

FEWEST = 3
"""Rows; a level, a rate and nothing to spare."""

SPIKE = 0.3
"""bar; a lone sample further off than this, and than eight times the usual scatter, is a spike (our choice)."""


class LogError(ValueError):
    """A log that cannot be read; the sentence says what to do instead."""


@dataclass(frozen=True)
class Log:
    """A gauge log: times from 0 [s] and readings [bar], in order.

    `division` is the step between two possible readings [bar]; `unit` is that of the file; `left_out` counts what
    was left out, by reason; `rule` says how numbers were read.
    """

    time: np.ndarray
    pressure: np.ndarray
    division: float
    unit: str = "bar"
    left_out: dict[str, int] = field(default_factory=dict)
    rule: str = ""
    name: str = ""

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
            raise LogError(f"Unknown unit '{unit}' of pressure. Type for example bar, psi or kPa.")
        times, values = np.asarray(time_s, float), np.asarray(pressure, float)
        if times.ndim != 1 or times.shape != values.shape:
            raise LogError("time_s and pressure must be two rows of the same length.")
        step = None
        if division is not None:
            step = _in_bar(division, scale)
            if not step > 0 or not math.isfinite(step):
                raise LogError("division must be above 0.")
        return _cleaned(times, values * scale, step, unit, scale)


def bar_per(unit: str) -> float | None:
    """What one of a unit of pressure is in bar.

    Parameters
    ----------
    unit : str
        As a technician types it, or any word in a column's name.

    Returns
    -------
    float or None
        Bar; None where it is no unit of pressure.

    References
    ----------
    The registry of `bench.units`.

    Examples
    --------
    >>> bar_per("MPa"), bar_per("furlong")
    (10.0, None)
    """
    # "skip" is our word for a column to leave out; a long word is no unit, and trying to read it would take its time
    if not unit or len(unit) > 24 or unit.casefold() == "skip" or not re.search(r"[A-Za-z]", unit):
        return None
    try:
        return float(read_quantity(f"1 {unit}", "pressure").to("bar").magnitude)
    except ValueError:
        return None


def _in_bar(division: float | Quantity, scale: float) -> float:
    if isinstance(division, Quantity):
        return require("division", division, "bar")
    return float(division) * scale


def _cleaned(times: np.ndarray, bars: np.ndarray, step: float | None, unit: str, scale: float) -> Log:
    """The log with everything unusable left out and counted."""
    left: Counter[str] = Counter()
    finite = np.isfinite(bars)
    if bars.size and not finite.any():
        raise LogError("The pressure column holds no finite number at all.")
    if np.abs(bars[finite]).max(initial=0.0) > HIGHEST:
        worst = float(np.abs(bars[finite]).max())
        raise LogError(f"A pressure of {worst:.4g} bar stands in the log: more than {HIGHEST:.0f} bar. Check the unit.")
    good = finite & np.isfinite(times)
    left["no number"] = int((~good).sum())
    times, bars = times[good], bars[good]
    highest = np.maximum.accumulate(times) if times.size else times
    later = np.ones(times.size, bool)
    later[1:] = times[1:] > highest[:-1]
    if not later.all():
        repeated = ~later & np.isin(times, times[later])
        left["repeated time"], left["backward time"] = int(repeated.sum()), int((~later & ~repeated).sum())
        times, bars = times[later], bars[later]
    spikes = _spikes(bars)
    left["spike"] = int(spikes.sum())
    times, bars = times[~spikes], bars[~spikes]
    if times.size < FEWEST:
        raise LogError(f"Only {times.size} usable rows: a log needs at least {FEWEST}.")
    if step is None:
        step = _division(bars / scale) * scale
    return Log(times - times[0], bars, float(f"{step:.9g}"), unit, {why: n for why, n in left.items() if n})


def _spikes(bars: np.ndarray) -> np.ndarray:
    """One or two samples far from neighbours that agree with one another."""
    found = np.zeros(bars.size, bool)
    if bars.size < 7:
        return found
    scatter = float(np.median(np.abs(np.diff(bars)))) * 1.5
    far = max(SPIKE, 8 * scatter)
    for width in (1, 2):
        before, after = bars[: -width - 1], bars[width + 1 :]
        for k in range(width):
            middle = bars[1 + k : bars.size - width + k]
            lone = (np.abs(middle - before) > far) & (np.abs(middle - after) > far) & (np.abs(before - after) < far / 2)
            found[1 + k : bars.size - width + k] |= lone
    return found if found.sum() <= max(1, bars.size // 20) else np.zeros(bars.size, bool)


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
