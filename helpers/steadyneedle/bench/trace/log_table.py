"""The table of a log: which rows and cells hold its readings, and what numbers they are."""

from __future__ import annotations

import dataclasses
import functools
import io
import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from steadyneedle.bench.trace.log_cleaning import HIGHEST, RawLog
from steadyneedle.bench.trace.log_columns import DEEPEST, EXAMPLE, NUMERIC, Column, Head, bar_per, columns_of, head_of
from steadyneedle.bench.trace.log_numbers import PLAIN_RULE, LogError, Numbers, numbers_of
from steadyneedle.bench.trace.log_times import seconds_of
from steadyneedle.bench.trace.log_units import TIME_UNITS, without_units
from steadyneedle.foundation import text_files
from steadyneedle.foundation.text_files import TextFileError, printable

LONG_LOG = 1000
"""Rows from which on it is worth asking pandas first."""

_RULE_LINE = re.compile(r"[\s|+:=-]*[-=]{2}[\s|+:=-]*")
"""The line a table in plain text has under its header."""


@dataclass(frozen=True)
class Table:
    """RawLog, what stands above them and between columns, and the rules that time and pressure were read by."""

    readings: RawLog
    head: Head
    mark: str
    time: Numbers
    pressure: Numbers


def table_of(text: str, name: str, columns: Sequence[str] | None, decimal: str | None) -> Table:
    """The readings of a log.

    Parameters
    ----------
    text : str
        The table; lines end with a newline.
    name : str
        What to call it.
    columns : sequence of str or None
        What the columns hold, where no header says so.
    decimal : "comma", "point" or None
        The decimal mark, where the numbers could be read in two ways.

    Returns
    -------
    Table
        Times in seconds, pressures in bar, NaN where a cell is no number.

    Raises
    ------
    LogError
        As `log_files.read_text`.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> table_of("time_min;IP (psig)\\n0;142\\n1;142", "log", None, None).readings.time.tolist()
    [0.0, 60.0]
    """
    text = text.rstrip()
    lines = text.split("\n", 2 * text_files.HEAD)  # the rest of a long log stays one piece until its lines are wanted
    filled = _first_filled(lines[: 2 * text_files.HEAD])
    if len(filled) < text_files.HEAD < len(lines):
        lines = text.split("\n")
        filled = _first_filled(lines)
    if not filled:
        raise LogError(f"{name} is empty. {EXAMPLE}")
    mark = text_files.mark_between_columns([lines[n] for n in filled])
    top = filled[: DEEPEST + 2][-1] + 1
    shown = ["" if _RULE_LINE.fullmatch(line) else line for line in lines[:top]]
    head = head_of(name, _top_cells(shown, mark, name), columns)
    found = _plain_numbers(text, lines, head, mark) or _any_numbers(text.split("\n"), head, mark, name, decimal)
    return Table(found[0], head, mark, *found[1:])


def _first_filled(lines: Sequence[str]) -> list[int]:
    """Which lines are the first that hold anything: as many as show what stands between columns."""
    filled = (n for n, line in enumerate(lines) if line.strip() and not _RULE_LINE.fullmatch(line))
    return list(itertools.islice(filled, text_files.HEAD))


def _plain_numbers(text: str, lines: Sequence[str], head: Head, mark: str) -> tuple[RawLog, Numbers, Numbers] | None:
    """A long log of plain numbers with dots between commas, read by pandas; None where it is anything else.

    `lines` are the first lines of `text`, the header's among them.
    """
    if mark != "," or len(head.times) > 1 or not head.times[0].scale:
        return None
    body = text[sum(len(line) + 1 for line in lines[: head.first]) :]
    count = body.count("\n") + 1
    if count < LONG_LOG or not text_files.even_rows(body, mark, head.width):
        return None
    import pandas

    places = (head.times[0].at, head.pressure.at)
    try:
        frame = pandas.read_csv(
            io.BytesIO(body.encode()), header=None, usecols=list(places), dtype=float, low_memory=False
        )
    except (ValueError, pandas.errors.ParserError):
        return None
    if len(frame) != count:
        return None
    time, pressure = (
        Numbers(frame[at].to_numpy() * scale, PLAIN_RULE, unit)
        for at, scale, unit in ((one.at, one.scale, one.unit) for one in (head.times[0], head.pressure))
    )
    cells = [_Cells(body, count, mark, at) for at in places]
    rows = range(head.first + 1, head.first + 1 + count)
    read = RawLog(time.values, pressure.values, rows, cells[0], cells[1], head.pressure.unit)
    return read, time, pressure


class _Cells(Sequence[str]):
    """The cells of a column, cut out of their lines when one is asked for."""

    def __init__(self, text: str, count: int, mark: str, at: int) -> None:
        self._text, self._count, self._mark, self._at = text, count, mark, at

    @functools.cached_property
    def _lines(self) -> list[str]:
        return self._text.split("\n")

    def __len__(self) -> int:
        return self._count

    def __getitem__(self, row: Any) -> Any:
        return self._lines[row].split(self._mark)[self._at].strip()


def _any_numbers(
    lines: Sequence[str], head: Head, mark: str, name: str, decimal: str | None
) -> tuple[RawLog, Numbers, Numbers]:
    """A log cell by cell, each column by its own rule."""
    scale = head.pressure.scale
    rows, cells = _body(lines, head, mark, name)
    column = _time_column(head)
    times = without_units(cells["time"], column.scale, TIME_UNITS.get) if column.scale else cells["time"]
    time = seconds_of(times, column, mark, decimal)
    numbers = without_units(cells["pressure"], scale, bar_per)
    pressure = numbers_of(numbers, "pressure", lambda values: _possible(values * scale), mark, decimal)
    read = RawLog(time.values, pressure.values * scale, rows, cells["time"], cells["pressure"], head.pressure.unit)
    return read, time, pressure


def _top_cells(lines: Sequence[str], mark: str, name: str) -> list[list[str]]:
    """Cells of the first rows; a quote left open in what stands above a header is nobody's harm."""
    try:
        rows = text_files.cells_of(lines, mark, name)
    except TextFileError:
        rows = text_files.cells_of([line.replace('"', "") for line in lines], mark, name)
    # a program that writes "# time_s pressure_bar" means two columns
    return [row[1:] if mark == " " and row[:1] in (["#"], ["%"], ["//"]) else row for row in rows]


def _body(lines: Sequence[str], head: Head, mark: str, name: str) -> tuple[list[int], dict[str, list[str]]]:
    """Numbers of the rows that hold anything, and the cells of time and pressure in them."""
    body, rows = lines[head.first :], list(range(head.first + 1, len(lines) + 1))
    if not all(body):
        rows = [row for row, line in zip(rows, body, strict=True) if line.strip()]
        body = [line for line in body if line.strip()]
    places = {"pressure": head.pressure.at} | {str(n): one.at for n, one in enumerate(head.times)}
    table = text_files.cells_of(body, mark, name, head.first + 1)
    for row, cells in zip(rows, table, strict=True):
        if any(cell.strip() for cell in cells[head.width :]):
            mend = "Put semicolons or tabs between the columns, or take remarks out."
            if mark != " ":
                mend = "If a comma is your decimal mark, put semicolons between the columns."
            raise LogError(f"{name}, row {row}: {len(cells)} cells, and only {head.width} columns have a name. {mend}")
        if not any(NUMERIC.match(cells[at]) for at in places.values() if at < len(cells)):
            _refuse_other_header(name, row, cells, head)
    if 2 * sum(len(cells) <= max(places.values()) for cells in table) > len(table):
        raise LogError(
            f"{name}: the header names {head.width} columns, and most rows hold fewer cells. Take marks and blanks out "
            "of the names of the columns."
        )
    # between blanks nothing shows which cell of a short row is missing
    known = [cells if mark != " " or len(cells) == head.width else [] for cells in table]
    found = {what: [row[at].strip() if at < len(row) else "" for row in known] for what, at in places.items()}
    return rows, _with_time(found, head)


def _refuse_other_header(name: str, row: int, cells: Sequence[str], head: Head) -> None:
    """A second header that says something else than the first: the rows below it are another log."""
    second = columns_of(cells)
    if {"time", "pressure"} <= {column.kind for column in second}:
        first = {(column.at, column.unit.casefold()) for column in (*head.times, head.pressure)}
        if not first <= {(column.at, column.unit.casefold()) for column in second}:
            shown = printable(", ".join(cell.strip() for cell in cells), 40)
            raise LogError(f"{name}, row {row}: another header, '{shown}'. Give each log a file of its own.")


def _with_time(found: dict[str, list[str]], head: Head) -> dict[str, list[str]]:
    """The cells with a date and its clock joined under `time`."""
    if len(head.times) == 1:
        return {"pressure": found["pressure"], "time": found["0"]}
    first, second = found["0"], found["1"]
    clock_first = 2 * sum(":" in cell for cell in first) > len(first)
    clock_second = 2 * sum(":" in cell for cell in second) > len(second)
    if clock_first and clock_second:
        both = " and ".join(repr(printable(one.name, 30)) for one in head.times)
        raise LogError(
            f"Both {both} hold clock times. Choose one: give the other another name, for example skip.", "columns"
        )
    dates, clocks = (second, first) if clock_first else (first, second)
    return {"pressure": found["pressure"], "time": [f"{a} {b}".strip() for a, b in zip(dates, clocks, strict=True)]}


def _time_column(head: Head) -> Column:
    """The column of time; a date's and its clock's forms together."""
    return dataclasses.replace(head.times[-1], form=" ".join(one.form for one in head.times))


def _possible(bars: np.ndarray) -> bool:
    known = np.abs(bars[np.isfinite(bars)])
    return bool(known.size) and float(np.median(known)) <= HIGHEST
