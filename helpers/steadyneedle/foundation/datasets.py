"""Read and validate the CSV files in `datasets`; say how a computed one is made. No pandas: physics reads from here."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from steadyneedle.foundation import places

SOURCES = ("published: ", "common practice", "from memory", "computed: ", "invented")
"""What a `source` column may start with."""


class DatasetError(ValueError):
    """A dataset is not what the code needs, or cannot be made; the sentence names file, row, column and value."""


@dataclass(frozen=True)
class Computed:
    """How a dataset is made that this package computes. Its `source` cells start with "computed: ".

    Parameters
    ----------
    header : tuple of str
        Names of the columns.
    parts : callable
        Gives the parts, in the order of the file; each can be made without the others.
    rows : callable
        From a part to its rows, every cell as text. Its module is where the search for inputs begins.

    Examples
    --------
    >>> def squares(number: int) -> list[tuple[str, ...]]:
    ...     return [(str(number), str(number**2), "computed: by multiplying")]
    >>> one = Computed(("number", "square", "source"), lambda: (1, 2), squares)
    >>> [row for part in one.parts() for row in one.rows(part)][1]
    ('2', '4', 'computed: by multiplying')
    """

    header: tuple[str, ...]
    parts: Callable[[], Sequence[Any]]
    rows: Callable[[Any], list[tuple[str, ...]]]

    @property
    def module(self) -> str:
        """Full name of the module that makes the rows."""
        return self.rows.__module__


@cache
def table(name: str, numeric: tuple[str, ...] = ()) -> dict[str, tuple]:
    """Columns of `datasets/<name>.csv`, the `numeric` ones as floats.

    Parameters
    ----------
    name : str
        File name without `.csv`.
    numeric : tuple of str
        Columns to read as finite floats. A unit stands at the end of each name.

    Returns
    -------
    dict
        Column name to a tuple of values, one a row.

    Raises
    ------
    DatasetError
        Missing file or column, a row of another length, a cell that is no finite number,
        a missing or unknown source.

    Examples
    --------
    >>> table("gauge_classes", ("class_percent",))["class_percent"][:3]
    (0.1, 0.25, 0.6)
    """
    path = places.datasets() / f"{name}.csv"
    header, rows = read_rows(path)
    _need_columns(path, header, (*numeric, "source"))
    columns: dict[str, list] = {column: [] for column in header}
    for number, row in rows:
        for column, cell in zip(header, row, strict=True):
            columns[column].append(_number(path, number, column, cell) if column in numeric else cell)
        source = row[header.index("source")]
        if not source.startswith(SOURCES):
            raise DatasetError(
                f"{path.name}, row {number}, column source: '{source}' names no source. "
                f"It must start with one of: {', '.join(s.strip() for s in SOURCES)}."
            )
    return {column: tuple(values) for column, values in columns.items()}


def read_rows(path: Path, delimiter: str = ",") -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Header and numbered rows of a CSV file; the header is row 1, empty rows are left out."""
    if not path.is_file():
        raise DatasetError(f"There is no file {path}.")
    # spreadsheets put a byte-order mark in front; line ends are the csv module's business
    with path.open(encoding="utf-8-sig", newline="") as lines:
        reader = csv.reader(lines, delimiter=delimiter, strict=True)
        try:
            header = [cell.strip() for cell in next(reader, [])]
            rows = [(reader.line_num, [c.strip() for c in row]) for row in reader if any(c.strip() for c in row)]
        except csv.Error:
            raise DatasetError(
                f"{path.name}, row {reader.line_num}: a double quote is not closed, or a cell is far too long."
            ) from None
        except UnicodeDecodeError:
            raise DatasetError(f"{path.name} is not a UTF-8 text file. Save it again as 'CSV UTF-8'.") from None
    if not header:
        raise DatasetError(f"{path.name} is empty: it needs a header row with the column names.")
    for number, row in rows:
        if len(row) != len(header):
            raise DatasetError(
                f"{path.name}, row {number}: {len(row)} cells, but the header has {len(header)} columns. "
                "Put text that contains a comma in double quotes."
            )
    return header, rows


def _need_columns(path: Path, header: list[str], needed: Iterable[str]) -> None:
    missing = [column for column in needed if column not in header]
    if missing:
        raise DatasetError(f"{path.name} lacks the column {missing[0]}; it has {', '.join(header)}.")


def _number(path: Path, row: int, column: str, cell: str) -> float:
    try:
        value = float(cell)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise DatasetError(f"{path.name}, row {row}, column {column}: '{cell}' is not a finite number.")
    return value
