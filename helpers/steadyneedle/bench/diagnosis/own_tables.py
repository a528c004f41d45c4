"""An instructor's own teaching values: tables of the same form as ours, which override them visibly."""

from __future__ import annotations

import re
from contextvars import ContextVar
from functools import cache
from pathlib import Path

from steadyneedle.bench.diagnosis.cause_list import causes
from steadyneedle.foundation import datasets, places
from steadyneedle.foundation.datasets import DatasetError
from steadyneedle.foundation.text_files import printable
from steadyneedle.physics.stages import FirstStage

OWN = {"causes": ("weight_ours", "weight_trade"), "eyes_and_ears": ("finds_percent", "false_alarm_percent", "least")}
"""Tables that an instructor can give, and their numeric columns."""

OURS = {"causes": "diagnosis/causes", "eyes_and_ears": "diagnosis/eyes_and_ears"}
"""Where ours stand, written out, so that what is made from them is known."""

FOLDER = "diagnosis"
"""Below the folder of the instructor's sheets."""

LEFT_OUT: ContextVar[bool] = ContextVar("own tables are left out", default=False)
"""Set by whoever has said that an own table cannot be used, and counts with our values alone."""


def own_path(name: str) -> Path | None:
    """Where the instructor's own table is; None where there is none.

    Parameters
    ----------
    name : str
        One of `OWN`.

    Returns
    -------
    Path or None
        A file in the folder `diagnosis` of the sheets in use.

    References
    ----------
    Ours.

    Examples
    --------
    >>> own_path("causes") is None
    True
    """
    path = places.sheets() / FOLDER / f"{name}.csv"
    return path if not LEFT_OUT.get() and path.is_file() else None


def stamp(name: str) -> int:
    """When the instructor's own table was changed last [ns]; 0 where there is none.

    Parameters
    ----------
    name : str
        One of `OWN`.

    Returns
    -------
    int
        What a cache of its rows hangs on.

    References
    ----------
    Ours.

    Examples
    --------
    >>> stamp("causes")
    0
    """
    path = own_path(name)
    return 0 if path is None else path.stat().st_mtime_ns


@cache
def _rows(path: Path, modified: int) -> tuple[list[str], list[tuple[int, list[str]]]]:
    try:
        return datasets.read_rows(path)
    except DatasetError as error:
        if "cells, but the header" not in str(error):
            raise
        raise DatasetError(f"{error} A number has a point, not a comma: 1.5.") from None


def unread() -> str:
    """What is said of a file in the instructor's folder that no table is read from, for want of the right name.

    Parameters
    ----------

    Returns
    -------
    str
        A sentence; empty where there is none.

    References
    ----------
    Ours.

    Examples
    --------
    >>> unread()
    ''
    """
    folder = places.sheets() / FOLDER
    known = [f"{name}.csv" for name in OWN]
    try:
        here = sorted(one.name for one in folder.iterdir()) if folder.is_dir() else []
    except OSError as error:
        return f"The folder {FOLDER} of your sheets cannot be read: {error.strerror or error}."
    odd = [printable(one) for one in here if one not in known and not one.startswith((".", "~"))]
    if not odd:
        return ""
    more = f" and {len(odd) - 1} more" if len(odd) > 1 else ""
    return f"Nothing is read from {odd[0]}{more} in the folder {FOLDER}: a table there is called {' or '.join(known)}."


def with_own(name: str, key: str) -> tuple[dict[str, dict[str, float]], tuple[str, ...]]:
    """Our table with the instructor's rows in place of ours.

    Parameters
    ----------
    name : str
        One of `OWN`.
    key : str
        Its first column, which names a row.

    Returns
    -------
    tuple
        Key of each row to its numbers by column, and the keys of the rows that the instructor gave.

    Raises
    ------
    DatasetError
        The own table lacks the first column, names a row that we do not have, names one twice, has no number of ours,
        or holds what is no number of 0 to 100 (file, row, column and value are named).

    References
    ----------
    Ours.

    Examples
    --------
    >>> rows, own = with_own("causes", "cause")
    >>> rows["seat_nicked"]["weight_ours"] > 0, own
    (True, ())
    """
    numeric = OWN[name]
    columns = datasets.table(OURS[name], numeric)
    rows = {one: {column: columns[column][at] for column in numeric} for at, one in enumerate(columns[key])}
    path = own_path(name)
    if path is None:
        return rows, ()
    header, lines = _rows(path, stamp(name))
    given = [column for column in numeric if column in header]
    if key not in header and ";" in "".join(header):
        raise DatasetError(f"{path.name} has semicolons between its cells. Save it with commas between them.")
    if key not in header or not given:
        raise DatasetError(f"{path.name} needs the column {key} and one of {', '.join(numeric)}.")
    if len(set(header)) < len(header):
        raise DatasetError(f"{path.name} has a column twice. Leave one of them out.")
    seen: set[str] = set()
    for number, cells in lines:
        row = dict(zip(header, cells, strict=True))
        one = row[key].strip().lower()
        if one not in rows or one in seen:
            why = "stands twice" if one in seen else f"is not known; there are {', '.join(rows)}"
            raise DatasetError(f"{path.name}, row {number}, column {key}: '{row[key]}' {why}.")
        seen.add(one)
        for column in given:
            rows[one][column] = _number(path, number, column, row[column])
    if name == "causes":
        _some_weight(path, rows, numeric)
    return rows, tuple(one for one in rows if one in seen)


def _number(path: Path, row: int, column: str, cell: str) -> float:
    try:
        value = float(cell)
    except ValueError:
        value = -1.0
    most = 100.0 if column.endswith("percent") else 1e6
    if not 0 <= value <= most:
        point = cell.strip().replace(",", ".", 1)
        if re.fullmatch(r"\d+\.\d+", point) and "," in cell:
            raise DatasetError(f"{path.name}, row {row}, column {column}: '{cell}': write it with a point, {point}.")
        raise DatasetError(f"{path.name}, row {row}, column {column}: '{cell}': write a number from 0 to {most:,.0f}.")
    return value


def _some_weight(path: Path, rows: dict[str, dict[str, float]], columns: tuple[str, ...]) -> None:
    for column in columns:
        for design in FirstStage.names():
            if not any(rows[one][column] > 0 for one in causes(design)):
                raise DatasetError(
                    f"{path.name}, column {column}: every weight of what {design} can have is 0. Give some cause of "
                    "its own a weight above 0."
                )
