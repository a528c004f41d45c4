"""Gauge logs: tables as people and cheap transducers write them, read without losing anything silently.

Text and cells stand in `foundation.text_files`, rows in `log_table`, columns in `log_columns`, marks in
`log_numbers`, times in `log_times` and `log_clock_forms`, what is left out in `log_cleaning`, what stands apart in
`log_outliers`.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from steadyneedle.bench.trace.divisions import ENOUGH as DIFFERENT
from steadyneedle.bench.trace.divisions import stated_division
from steadyneedle.bench.trace.log_cleaning import cleaned
from steadyneedle.bench.trace.log_numbers import PLAIN_RULE, LogError
from steadyneedle.bench.trace.log_table import Table, table_of
from steadyneedle.bench.trace.log_units import ABSOLUTE, TIME_UNITS
from steadyneedle.bench.trace.logs import Log
from steadyneedle.bench.trace.scale import Scale
from steadyneedle.foundation import text_files
from steadyneedle.foundation.text_files import Text, TextFileError, printable

LARGEST = 32_000_000
"""Bytes of a file, a day at 10 readings a second and more."""

USUAL = (2.0, 25.0)
"""bar; an intermediate pressure stands between (common practice, no source; wide on purpose)."""

USUAL_PRESSURE = 10.0
"""bar, in words (common practice, no source)."""

SHORT, SLOW = 60.0, 60.0
"""s: a log shorter, and readings further apart, are worth a word."""

LONGEST_IN = {60.0: 3600.0, 3600.0: 0.0}
"""s of one unit of time -> s; a log in minutes is seldom longer than an hour, and nobody watches a needle in hours."""

_BETWEEN = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars", " ": "blanks"}


def read_log(path: str | Path, columns: Sequence[str] | None = None, decimal: str | None = None) -> Log:
    """Read a gauge log from a file.

    Parameters
    ----------
    path : str or Path
        The file: text in UTF-8, UTF-16 or Windows-1252, of at most 32 MB.
    columns : sequence of str or None
        What the columns hold, for a file without a header: `("time_ms", "skip", "pressure_bar")`.
    decimal : "comma", "point" or None
        The decimal mark, where the numbers could be read in two ways.

    Returns
    -------
    Log
        Times in seconds from the first one, readings in bar.

    Raises
    ------
    LogError
        As `read_text`; or no such file, no text, too large.

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
    try:
        text = text_files.read_file(path, LARGEST, "Keep the part that matters, or every tenth row.")
    except TextFileError as error:
        raise LogError(str(error)) from None
    return read_text(text, path.name, columns, decimal)


def read_text(
    text: str | bytes | Text, name: str = "The log", columns: Sequence[str] | None = None, decimal: str | None = None
) -> Log:
    """Read a gauge log that was typed, pasted or handed over.

    Tabs, semicolons, commas or blanks between columns; a header with units, or a row of units below it, and anything
    above, such as the step of the gauge, `division 0.1 bar`. Times as numbers with a unit, `mm:ss`, `hh:mm:ss`, a clock
    or a date. A decimal point or comma; dots or commas between thousands where a column shows it.

    Parameters
    ----------
    text : str, bytes or Text
        The table.
    name : str
        What to call it.
    columns : sequence of str or None
        What the columns hold, where no header says so.
    decimal : "comma", "point" or None
        The decimal mark, where the numbers could be read in two ways.

    Returns
    -------
    Log
        Times in seconds from the first one, readings in bar; `how_read` says what was taken for what.

    Raises
    ------
    LogError
        No time or pressure column, a row longer than the header, a number or a time that can be read in two ways, or
        fewer than three usable rows.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> log = read_text("clock;IP (barg)\\n14:30:00;9,8\\n14:30:15;9,8\\n14:30:30;9,9")
    >>> log.time.tolist(), log.pressure.tolist()
    ([0.0, 15.0, 30.0], [9.8, 9.8, 9.9])
    """
    name = printable(name)
    try:
        if isinstance(text, bytes):
            text = text_files.decoded(text, name)
        if isinstance(text, str):
            text = Text(text_files.plain_signs(text), "")
        if "\0" in text.text:
            raise TextFileError(f"{name} is no text. Export the table as CSV first.")
        step, plain = stated_division(text.text)
        table = table_of(plain, name, columns, decimal)
    except TextFileError as error:
        raise LogError(str(error)) from None
    pressure = table.head.pressure
    log = Log.of_clean(cleaned(table.readings), step, pressure.unit, pressure.scale)
    return dataclasses.replace(_described(log, text, table), name=name)


def _described(log: Log, text: Text, table: Table) -> Log:
    """The log with its name, how it was read, and what looks odd about that."""
    time, pressure, scale = table.time, table.pressure, table.head.pressure.scale
    step, span = float(np.median(np.diff(log.time))), float(log.time[-1])
    low, high = float(log.pressure.min() / scale), float(log.pressure.max() / scale)
    # few different readings do not show it: somebody has to see what was taken
    steps = f", in steps of {log.division / scale:.6g}" if np.unique(log.pressure).size < DIFFERENT else ""
    ends = [f"{one:.6g}" for one in (low, high)]
    places = max(len(one.partition(".")[2]) for one in ends)
    parts = [
        f"time in {time.form}, {log.time.size} readings {_lasting(step)} apart, {_lasting(span)} in all",
        f"pressure in {log.unit}, {low:.{places}f} to {high:.{places}f}{steps}",
        *(rule for rule in dict.fromkeys((time.rule, pressure.rule)) if rule not in ("", PLAIN_RULE)),
        f"{_BETWEEN[table.mark]} between columns",
    ]
    if text.encoding not in ("", "UTF-8"):
        parts.append(text.encoding)
    doubts = list(log.doubts)
    if any(ABSOLUTE.search(line) for line in text.text.split("\n", table.head.first)[: table.head.first]):
        doubts.append("What stands above the readings says absolute: take the ambient pressure off if they are.")
    return dataclasses.replace(
        log, doubts=tuple(doubts), rule=f"time: {time.rule or time.form}; pressure: {pressure.rule}",
        how_read=f"Read as: {'; '.join(parts)}.", notes=(*log.notes, *_odd(log, time.form, step)),
    )  # fmt: skip


def _lasting(seconds: float) -> str:
    for size, unit in ((3600.0, "h"), (60.0, "min")):
        if seconds >= 1.99 * size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds:.3g} s"


def _odd(log: Log, form: str, step: float) -> list[str]:
    """What an intermediate pressure and a watch of one seldom are: a word on the units of the header."""
    notes, level = [], float(np.median(log.pressure))
    if not USUAL[0] <= level <= USUAL[1]:
        scale = Scale.of(log.unit)
        notes.append(
            f"Read in {log.unit}, the pressures are about {scale.about(level)}; "
            f"an intermediate pressure is about {scale.about(USUAL_PRESSURE)}. Check the unit in the header."
        )
    span = float(log.time[-1])
    if span < SHORT:
        notes.append(f"Read in {form}, the whole log lasts {_lasting(span)}. Check the unit of its times.")
    elif step > SLOW or span >= LONGEST_IN.get(TIME_UNITS.get(form.casefold(), 0.0), math.inf):
        notes.append(
            f"Read in {form}, the readings are {_lasting(step)} apart and the log lasts {_lasting(span)}. "
            "Check the unit of its times."
        )
    return notes
