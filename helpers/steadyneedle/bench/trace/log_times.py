"""A log's times as seconds: plain numbers, minutes and seconds, clock times past midnight, dates in either order."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from steadyneedle.bench.trace.log_clock_forms import in_one_form
from steadyneedle.bench.trace.log_columns import Column
from steadyneedle.bench.trace.log_numbers import LogError, Numbers, numbers_of
from steadyneedle.foundation.text_files import printable

DAY, HALF_DAY = 86_400.0, 43_200.0
_PLAIN = re.compile(r"[+-]?[\d.,]+")
_CLOCK = re.compile(r"(\d{1,4}):(\d{1,2})(?::(\d{1,2}))?(?:[.,](\d+))?\s*([ap])?\.?(?:m\.?)?", re.I)
_DATED = re.compile(
    r"(\d{1,4})([-/.])(\d{1,2}|[A-Za-z]{3,9})\2(\d{1,4})(?:[T, ]+(\d.*?))?\s*(Z|[+-]\d{2}:?\d{2})?|"
    r"(\d{1,2}) ([A-Za-z]{3,9}) (\d{4})(?:[, ]+(\d.*))?"
)
_MONTHS = dict(zip("jan feb mar apr may jun jul aug sep oct nov dec".split(), range(1, 13), strict=True))  # noqa: SIM905


def seconds_of(cells: Sequence[str], column: Column, between: str, decimal: str | None) -> Numbers:
    """A log's times in seconds, from any beginning.

    Parameters
    ----------
    cells : sequence of str
        The cells of the column, stripped; a date and its clock joined by a blank.
    column : Column
        What its header says.
    between : str
        What stands between columns.
    decimal : "comma", "point" or None
        The decimal mark where the column does not show it.

    Returns
    -------
    Numbers
        Seconds, NaN where a cell is no time, and how the column was read.

    Raises
    ------
    LogError
        Hours and minutes or minutes and seconds, day or month first, thousands or decimals: where nothing tells.

    References
    ----------
    ISO 8601 for dates that begin with the year; the rest is common practice, no source.

    Examples
    --------
    >>> clock = Column(0, "clock", "time")
    >>> seconds_of(["23:59:45", "00:00:00"], clock, ",", None).values.tolist()
    [86385.0, 86400.0]
    """
    cells = in_one_form(cells, column.scale in (0.0, 1.0), "h:m" not in column.form.split() and column.scale != 3600)
    some = [cell for cell in cells if cell][:2000]
    dated = sum(_DATED.fullmatch(cell) is not None for cell in some)
    clocks = sum(_CLOCK.fullmatch(cell) is not None and ":" in cell for cell in some)
    if some and 2 * dated > len(some):
        _refuse_bare_dates(some)
        return _dates(cells, column.form)
    if some and 2 * clocks > len(some):
        return _clocks(cells, column)
    if not column.scale:
        first = next((cell for cell in some if not _PLAIN.fullmatch(cell)), "")
        if first:
            raise LogError(
                f"The time '{printable(first, 20)}' cannot be read. Write mm:ss, hh:mm:ss, or seconds alone."
            )
        raise LogError(
            f"The times under '{printable(column.name, 30)}' are plain numbers without a unit. "
            "Name it in the header, for example time_s or time_min.", "columns",
        )  # fmt: skip
    numbers = numbers_of(cells, "time", lambda values: _plausible(values * column.scale), between, decimal)
    if column.scale == 60:
        _refuse_minutes_dot_seconds(numbers.values, some)
    return Numbers(numbers.values * column.scale, numbers.rule, column.unit)


def _refuse_bare_dates(some: Sequence[str]) -> None:
    """Several dates and no clock: nobody watches a needle by days, and `14.30.20` is a clock time."""
    if len(set(some)) > 2 and all(":" not in cell for cell in some):
        raise LogError(f"'{printable(some[0], 20)}' looks like a date without a clock. Write a clock time as 14:30:20.")


def _refuse_minutes_dot_seconds(minutes: np.ndarray, cells: Sequence[str]) -> None:
    """1.20 typed for 1 min 20 s: as decimals the steps are uneven, as minutes and seconds they are even."""
    known = minutes[np.isfinite(minutes)]
    seconds = np.round((known - np.floor(known)) * 100, 6)
    if known.size < 4 or (seconds >= 60).any() or np.ptp(known) < 1:
        return
    steps = np.diff(np.floor(known) * 60 + seconds), np.diff(known)
    even, as_decimals = (float(np.isclose(one, np.median(one), atol=1e-6).mean()) for one in steps)
    if even > 0.9 > as_decimals:
        raise LogError(
            f"The times {', '.join(printable(cell, 10) for cell in cells[1:4])} look like minutes and seconds, and the "
            "header says minutes. Write 1:20 for one minute and twenty seconds."
        )


def _plausible(seconds: np.ndarray) -> bool:
    """Whether readings could be so far apart: not more than an hour, nor the whole more than a month."""
    known = seconds[np.isfinite(seconds)]
    if known.size < 2:
        return True
    return bool(np.median(np.abs(np.diff(known))) <= 3600 and np.ptp(known) <= 31 * DAY)


# clock times -----------------------------------------------------------------------------------------


def _clocks(cells: Sequence[str], column: Column) -> Numbers:
    parts = [_CLOCK.fullmatch(cell) for cell in cells]
    known = [match for match in parts if match is not None]
    three = 2 * sum(match.group(3) is not None for match in known) > len(known)
    form = "h:m:s" if three else _two_parts(known, column)
    values = np.array([_clock(match, form) if match else math.nan for match in parts], dtype=float)
    said = {"h:m:s": "hours:minutes:seconds", "h:m": "hours:minutes", "m:s": "minutes:seconds"}[form]
    # minutes that never reach 60 go round in an hour, hours that never reach 24 in a day
    period = 3600.0 if form == "m:s" else DAY
    if period == DAY and _round_the_dial(values, known):
        values, period = values % HALF_DAY, HALF_DAY
    if (values[np.isfinite(values)] >= period).sum() <= len(known) / 20:  # a mistyped one may lie beyond
        values, turns = _unrolled(values, period)
        said += {0: "", 1: ", once past midnight" if form != "m:s" else ", once past the hour"}.get(
            turns, f", {turns} times past {'midnight' if form != 'm:s' else 'the hour'}"
        )
    return Numbers(values, "", said)


def _two_parts(known: Sequence[re.Match[str]], column: Column) -> str:
    """Whether `14:30` is minutes and seconds or hours and minutes; asked where nothing tells."""
    hinted = {"m:s", "h:m"} & set(column.form.split())
    if hinted:
        return hinted.pop()
    if any(match.group(5) for match in known):
        return "h:m"
    if column.scale == 3600:
        return "h:m"
    begins_at_nought = int(known[0].group(1)) == int(known[0].group(2)) == 0
    minutes = sum(int(match.group(1)) >= 24 or match.group(4) is not None for match in known)
    if column.scale or begins_at_nought or minutes > len(known) / 10:
        return "m:s"
    shown = known[0].group().strip()
    raise LogError(
        f"The time {shown} may be minutes and seconds, or hours and minutes. "
        "Say which in the header: time (mm:ss) or clock (hh:mm).", "columns",
    )  # fmt: skip


def _clock(match: re.Match[str], form: str) -> float:
    first, second, third, fraction, half = match.groups()
    high, low = int(first), int(second)
    if low > 59 or (third is not None and int(third) > 59) or (third is not None) != (form == "h:m:s"):
        return math.nan
    if half:
        if not 1 <= high <= 12:
            return math.nan
        high = high % 12 + (12 if half in "pP" else 0)
    rest = float(f"0.{fraction}") if fraction else 0.0
    if form == "m:s":
        return high * 60 + low + rest
    return high * 3600 + low * 60 + (int(third) if third else 0) + rest


def _round_the_dial(values: np.ndarray, known: Sequence[re.Match[str]]) -> bool:
    """Whether 12:59 goes on to 1:00: hours of a dial, with no word for the half of the day."""
    if any(match.group(5) or not 1 <= int(match.group(1)) <= 12 for match in known):
        return False
    steps = np.diff(values[np.isfinite(values)])
    return bool(((steps > -HALF_DAY) & (steps < -10 * 3600)).any())


def _unrolled(values: np.ndarray, period: float) -> tuple[np.ndarray, int]:
    """Times that go round, one after another: each step by the shorter way; and how often they went round."""
    known = np.isfinite(values) & (np.nan_to_num(values) < period)
    seen = values[known]
    if seen.size < 2 or (np.diff(seen) > -period / 2).all():
        return values, 0
    steps = (np.diff(seen) + period / 2) % period - period / 2
    made = np.full(values.size, math.nan)
    made[known] = seen[0] + np.concatenate([[0.0], np.cumsum(steps)])
    return made, round(float((made[known][-1] - seen[-1]) / period))


# dates -----------------------------------------------------------------------------------------------


def _dates(cells: Sequence[str], form: str) -> Numbers:
    both = ["d/m/y", "m/d/y"]
    orders: list[str] = [order for order in both if order in form.split()] or both
    read = {order: np.array([_date(cell, order) for cell in cells], dtype=float) for order in orders}
    most = max(int(np.isfinite(values).sum()) for values in read.values())
    # one mistyped date rules no order out
    left = [order for order in orders if np.isfinite(read[order]).sum() >= 0.9 * most]
    if len(left) == 2 and not _alike(read[left[0]], read[left[1]]):
        left = _more_even(read, left)
    if len(left) == 2 and not _alike(read[left[0]], read[left[1]]):
        shown = next(cell for cell in cells if np.isfinite(_date(cell, left[0])))
        raise LogError(
            f"The date {printable(shown, 30)} may have the day first or the month first. "
            "Say which in the header: date (dd/mm/yyyy) or date (mm/dd/yyyy).", "columns",
        )  # fmt: skip
    said = {"d/m/y": "day first", "m/d/y": "month first"}[left[0]]
    in_order = len(orders) == 2 and _alike(read["d/m/y"], read["m/d/y"])
    return Numbers(read[left[0]], "", "dates and clock" if in_order else f"dates, {said}, and clock")


def _alike(one: np.ndarray, other: np.ndarray) -> bool:
    """Whether both orders give the same steps, as dates of one day and dates that begin with the year do."""
    both = np.isfinite(one) & np.isfinite(other)
    return bool(np.array_equal(np.diff(one[both]), np.diff(other[both])))


def _more_even(read: dict[str, np.ndarray], orders: list[str]) -> list[str]:
    """The order in which no gap is huge beside the usual step, where the other has such a gap: past midnight."""

    def widest(order: str) -> float:
        steps = np.abs(np.diff(read[order][np.isfinite(read[order])]))
        return float(steps.max() / max(np.median(steps), 1e-9)) if steps.size else 1.0

    calm = [order for order in orders if widest(order) <= 100]
    return calm if len(calm) == 1 and max(map(widest, orders)) > 100 * widest(calm[0]) else orders


@lru_cache(maxsize=4096)
def _day(first: str, second: str, third: str, order: str) -> float:
    """Seconds of a date's midnight; NaN where there is no such day."""
    if not second.isdigit():
        month = _MONTHS.get(second[:3].lower(), 0)
        day, year = (first, third) if len(first) <= 2 else (third, first)
        parts = (int(year), month, int(day))
    elif len(first) > 2:
        parts = (int(first), int(second), int(third))
    else:
        day, month_text = (first, second) if order == "d/m/y" else (second, first)
        parts = (int(third), int(month_text), int(day))
    year_number = parts[0] + (2000 if parts[0] < 100 else 0)
    try:
        return datetime.date(year_number, parts[1], parts[2]).toordinal() * DAY
    except ValueError:
        return math.nan


def _date(cell: str, order: str) -> float:
    match = _DATED.fullmatch(cell)
    if match is None:
        return math.nan
    if match.group(1) is None:
        first, second, third, clock, zone = *match.groups()[6:10], None
    else:
        first, _, second, third, clock, zone = match.groups()[:6]
    since = 0.0
    if clock:
        parts = _CLOCK.fullmatch(clock.strip())
        if parts is None or int(parts.group(1)) > 24:
            return math.nan
        since = _clock(parts, "h:m:s" if parts.group(3) is not None else "h:m")
    if zone and zone != "Z":
        digits = zone[1:].replace(":", "")
        since -= (1 if zone[0] == "+" else -1) * (int(digits[:2]) * 3600 + int(digits[2:]) * 60)
    return _day(first, second, third, order) + since
