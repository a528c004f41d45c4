"""Gauge logs: CSV files as people and cheap transducers write them, read without losing anything silently."""

from __future__ import annotations

import csv
import dataclasses
import io
import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from steadyneedle.bench.units import require
from steadyneedle.bench.units.typed import read_quantity

TIME_UNITS = {
    "s": 1.0, "sec": 1.0, "secs": 1.0, "second": 1.0, "seconds": 1.0, "ms": 1e-3, "millisecond": 1e-3,
    "milliseconds": 1e-3,
    "min": 60.0, "mins": 60.0, "minute": 60.0, "minutes": 60.0, "h": 3600.0, "hour": 3600.0, "hours": 3600.0,
}  # fmt: skip
HIGHEST = 1000.0
"""bar; no log of a first stage holds more."""

FEWEST = 3
HEAD = 4096
"""Characters in which header and mark between columns show."""

SPIKE = 0.3
"""bar; a lone sample further off than this, and than eight times the usual scatter, is a spike (our choice)."""

SHORTEST_PURGE = 0.7
"""s from the reading before a dip to the one after it: a shorter dip is a spike, no purge (our choice)."""

EXAMPLE = "Write a header, for example time_s,pressure_bar, or name the columns: --columns time_s,pressure_bar."
_NAME = re.compile(r"^(.*?)[\s_]*[\[(/\s_]\s*([^\[\]()\s_]+)\s*[\])]?$")
_CLOCK = re.compile(r"^\d{1,2}:\d{2}(:\d{2})?([.,]\d+)?$|\d{4}-\d{2}-\d{2}")


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
    def from_arrays(cls, time_s: Any, pressure: Any, unit: str, division: Any = None) -> Log:
        """A log from times in seconds and readings in a unit; `division` in that unit, or a quantity.

        What is not finite, repeated, backward or a spike is left out and counted. LogError as `read_log`.

        >>> Log.from_arrays([0, 15, 30], [9.8, 9.9, 10.0], "bar").division
        0.1
        """
        scale = _pressure_scale(unit)
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


def read_log(path: str | Path, columns: Sequence[str] | None = None) -> Log:
    """Read a gauge log from a CSV file.

    Comma, semicolon or tab between columns; a decimal point or comma; dots or commas between thousands where a column
    shows two or more in one number. The rule used is in the result.

    Parameters
    ----------
    path : str or Path
        The file.
    columns : sequence of str or None
        What the columns hold, for a file without a header: `("time_ms", "skip", "pressure_bar")`.

    Returns
    -------
    Log
        Times in seconds from the first one, readings in bar.

    Raises
    ------
    LogError
        The file cannot be read, has no time or pressure column, or fewer than three usable rows.

    References
    ----------
    The grammar is ours; example files in `datasets/logs`.

    Examples
    --------
    >>> from steadyneedle.foundation import places
    >>> log = read_log(places.datasets() / "logs" / "class_reading.csv")
    >>> log.time.size, log.division, log.left_out
    (25, 0.1, {})
    """
    path = Path(path)
    text = _text_of(path)
    rows, mark = _rows_of(text[:HEAD])
    if not rows:
        raise LogError(f"{path.name} is empty. {EXAMPLE}")
    headed = not any(_looks_numeric(cell) for cell in rows[0])
    if columns is None and not headed:
        raise LogError(f"{path.name} has no header, so nobody knows its units. {EXAMPLE}")
    names = list(columns) if columns is not None else rows[0]
    (time_at, _, time_scale), (pressure_at, unit, scale) = _columns_of(path.name, names)
    if headed and len(rows) == 1:
        raise LogError(f"{path.name} holds a header and no rows.")
    places = (time_at, pressure_at)
    plain = _plain(text, mark, headed, places)
    times, time_rule, values, pressure_rule = plain or _slowly(path.name, text, mark, headed, places)
    log = _cleaned(times * time_scale, values * scale, None, unit, scale)
    rule = f"time: {time_rule}; pressure: {pressure_rule}"
    return dataclasses.replace(log, rule=rule, name=path.name)


def _in_bar(division: Any, scale: float) -> float:
    if hasattr(division, "units"):
        return float(require("division", division, "bar"))
    return float(division) * scale


def _text_of(path: Path) -> str:
    if path.is_dir():
        raise LogError(f"{path} is a folder. Name one file in it.")
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise LogError(f"There is no file {path}.") from None
    except OSError as error:
        raise LogError(f"{path} cannot be read: {error.strerror or error}.") from None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise LogError(f"{path.name} is saved as UTF-16. Save it again as CSV UTF-8.")
    if b"\0" in data:
        raise LogError(f"{path.name} is no text file. Export the log as CSV first.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _rows_of(text: str, mark: str = "") -> tuple[list[list[str]], str]:
    """The rows that hold anything, and what stands between columns."""
    head = text[:HEAD]
    mark = mark or ("\t" if "\t" in head else ";" if ";" in head else ",")
    try:
        rows = csv.reader(io.StringIO(text), delimiter=mark)
        return [row for row in rows if "".join(row).strip()], mark
    except csv.Error as error:
        raise LogError(f"This is no CSV file: {error}.") from None


Numbers = tuple[np.ndarray, str, np.ndarray, str]


def _plain(text: str, mark: str, headed: bool, places: tuple[int, int]) -> Numbers | None:
    """Both columns where every cell is a plain number with a dot, read by pandas; None where one is not."""
    import pandas

    try:
        frame = pandas.read_csv(
            io.StringIO(text), sep=mark, header=None, skiprows=int(headed), usecols=list(places), dtype=float,
            na_values=["inf", "-inf"],
        )  # fmt: skip
    except (ValueError, pandas.errors.ParserError):
        return None
    rule = "a dot is the decimal mark"
    return frame[places[0]].to_numpy(), rule, frame[places[1]].to_numpy(), rule


def _slowly(name: str, text: str, mark: str, headed: bool, places: tuple[int, int]) -> Numbers:
    """Both columns cell by cell, each by its own rule."""
    body = _rows_of(text, mark)[0][int(headed) :]
    cells = [[row[at].strip() if at < len(row) else "" for row in body] for at in places]
    if any(_CLOCK.search(cell) for cell in cells[0][:20]):
        raise LogError(f"{name}: the time column holds clock times or dates. Write seconds from the start instead.")
    return *_numbers(cells[0]), *_numbers(cells[1])


def _looks_numeric(cell: str) -> bool:
    return bool(re.match(r"^\s*[+-]?[.,]?\d", cell))


Column = tuple[int, str, float]
"""Where a column stands, its unit, and what one of that is in seconds or bar."""


def _columns_of(name: str, names: Sequence[str]) -> tuple[Column, Column]:
    """Which column holds time, which pressure."""
    times, pressures = [], []
    for at, column in enumerate(names):
        unit = _unit_of(column)
        if unit.casefold() in TIME_UNITS:
            times.append((at, unit, TIME_UNITS[unit.casefold()]))
        elif (scale := _pressure_scale(unit)) is not None:
            pressures.append((at, unit, scale))
    shown = ", ".join(repr(column.strip()) for column in names)
    for found, what, example in ((times, "time", "time_s"), (pressures, "pressure", "pressure_bar")):
        if not found:
            raise LogError(f"{name}: no {what} column with a known unit among {shown}. Write for example {example}.")
        if len(found) > 1:
            both = " and ".join(repr(names[at].strip()) for at, *_ in found)
            raise LogError(
                f"{name} has {len(found)} {what} columns, {both}. Choose one: name the others skip in --columns."
            )
    return times[0], pressures[0]


def _unit_of(column: str) -> str:
    """The unit at the end of a column's name: `time_s`, `pressure [psi]`, `IP (bar)`, `kgf/cm2`."""
    text = column.strip()
    if text.casefold() in TIME_UNITS or _pressure_scale(text) is not None:
        return text
    match = _NAME.match(text)
    return match.group(2) if match else ""


def _pressure_scale(unit: str) -> float | None:
    """bar for each of a unit; None where it is no unit of pressure."""
    if not unit or len(unit) > 24 or unit.casefold() == "skip" or not re.search(r"[A-Za-z]", unit):
        return None
    try:
        return float(read_quantity(f"1 {unit}", "pressure").to("bar").magnitude)
    except ValueError:
        return None


def _numbers(cells: list[str]) -> tuple[np.ndarray, str]:
    """A column as numbers, and the rule: which mark is decimal, which stands between thousands."""
    if not any("," in cell for cell in cells) and not any(cell.count(".") > 1 for cell in cells):
        return _floats(cells), "a dot is the decimal mark"
    for mark, other, word in ((".", ",", "dot"), (",", ".", "comma")):
        if any(cell.count(mark) > 1 for cell in cells):
            fixed = [_last_decimal(cell.replace(other, ""), mark) for cell in cells]
            return _floats(fixed), f"the last {word} is the decimal mark, the others stand between thousands"
    if any("," in cell and "." in cell for cell in cells):
        last = max((cell for cell in cells if "," in cell and "." in cell), key=len)
        decimal, other = (",", ".") if last.rindex(",") > last.rindex(".") else (".", ",")
        fixed = [cell.replace(other, "").replace(decimal, ".") for cell in cells]
        return _floats(fixed), f"'{decimal}' is the decimal mark, '{other}' stands between thousands"
    return _floats([cell.replace(",", ".") for cell in cells]), "a comma is the decimal mark"


def _last_decimal(cell: str, mark: str) -> str:
    whole, found, part = cell.rpartition(mark)
    return f"{whole.replace(mark, '')}.{part}" if found else cell


def _floats(cells: list[str]) -> np.ndarray:
    try:
        return np.array(cells, dtype=float)
    except ValueError:
        made = np.full(len(cells), math.nan)
        for n, cell in enumerate(cells):
            try:
                made[n] = float(cell)
            except ValueError:
                continue
        return made


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
    spikes = _spikes(times, bars)
    left["spike"] = int(spikes.sum())
    times, bars = times[~spikes], bars[~spikes]
    if times.size < FEWEST:
        raise LogError(f"Only {times.size} usable rows: a log needs at least {FEWEST}.")
    if step is None:
        step = _division(bars / scale) * scale
    return Log(times - times[0], bars, float(f"{step:.9g}"), unit, {why: n for why, n in left.items() if n})


def _spikes(times: np.ndarray, bars: np.ndarray) -> np.ndarray:
    """One or two samples far from neighbours that agree with one another; a dip as long as a purge is none."""
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
            lasts = times[width + 1 :] - times[: -width - 1]
            lone &= (middle > before) | (middle < before / 2) | (lasts < SHORTEST_PURGE)
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
