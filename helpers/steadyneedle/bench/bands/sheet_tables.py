"""A whole file of sheets looked at by columns: whether every cell is plainly good, so that no row need be read yet."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from steadyneedle.bench.bands.decision import RULES
from steadyneedle.bench.bands.sheet_cells import HIGHEST, MAY_BE_ZERO, MOST_PURGES, PAIRS, bars
from steadyneedle.bench.bands.sheet_columns import SheetColumn
from steadyneedle.foundation.text_files import even_rows

LONGEST_NAME = 60
MANY = 200
"""Rows from which on it is worth asking."""

_PRINTABLE = bytes(sign for sign in range(32, 127) if sign != ord('"'))
_TWO_WAYS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}[.,]\d{3}(?![\d.,])")


def all_good(body: Sequence[str], mark: str, columns: Sequence[SheetColumn]) -> list[str] | None:
    """The regulators' names where nothing in a long file can be wrong; None where anything must be looked at closely.

    Parameters
    ----------
    body : sequence of str
        The lines below the header.
    mark : str
        What stands between cells.
    columns : sequence of SheetColumn
        The header, without a fault.

    Returns
    -------
    list of str or None
        One name a row.

    References
    ----------
    The columns are this workbook's own.

    Examples
    --------
    >>> from steadyneedle.bench.bands.sheet_columns import column_of
    >>> header = [column_of("name"), column_of("ip_low_bar")]
    >>> len(all_good([f"R{n},9.8" for n in range(300)], ",", header)), all_good(["R,9.8"], ",", header)
    (300, None)
    """
    if len(body) < MANY:
        return None
    text = "\n".join(body)
    if not _plain_signs(text, mark) or not even_rows(text, mark, len(columns)):
        return None
    import pandas

    kinds = {at: object for at, column in enumerate(columns) if column.unit is None}
    try:
        frame = pandas.read_csv(
            io.BytesIO(text.encode()), sep=mark, header=None, dtype=kinds, keep_default_na=False, na_values=[""],
            decimal="." if mark == "," else ",", skip_blank_lines=False,
        )  # fmt: skip
    except (ValueError, pandas.errors.ParserError):
        return None
    if len(frame) != len(body) or not all(_column_good(column, frame[at]) for at, column in enumerate(columns)):
        return None
    if not _pairs_good(columns, frame):
        return None
    named = frame[next(at for at, column in enumerate(columns) if column.what == "name")]
    names = [] if named.isna().any() else named.tolist()
    return names if names and max(map(len, names)) <= LONGEST_NAME else None


def _plain_signs(text: str, mark: str) -> bool:
    """Whether no sign needs a closer look: quotes, blanks around a cell, what is unseen, a mark before three digits."""
    if mark != "," and _TWO_WAYS.search(text):
        return False
    if " " in text and re.search(rf"(?:^|[\n{mark}]) | (?:[\n{mark}]|$)", text):
        return False
    if not text.isascii():
        return '"' not in text and text.replace("\n", "").replace("\t", "").isprintable()
    return not text.encode().translate(None, _PRINTABLE + f"\n{mark}".encode())


def _column_good(column: SheetColumn, values: Any) -> bool:
    """Whether every cell of a column is empty or good."""
    if column.unit is None:
        return column.what in ("name", "source") or all(map(_PLAIN[column.what], values.dropna().unique()))
    if values.dtype.kind not in "if":
        return False
    numbers = values.to_numpy(float)
    numbers = numbers[~np.isnan(numbers)]
    if not numbers.size:
        return True
    least, most = float(numbers.min()), float(numbers.max())
    highest = {"gauge_class": 100.0}.get(column.what, 1e9)
    if column.is_pressure:
        highest = HIGHEST / bars(column.unit)
    return (least > 0 or (least == 0 and column.what in MAY_BE_ZERO)) and most <= highest


def _good_purges(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= 4 and int(text) <= MOST_PURGES


_PLAIN: dict[str, Callable[[str], bool]] = {
    "purges": _good_purges,
    "rule": lambda text: text.lower() in RULES,
    "required_probability": lambda text: re.fullmatch(r"1|0\.[5-9]\d{0,8}", text) is not None,
}


def _pairs_good(columns: Sequence[SheetColumn], frame: Any) -> bool:
    """Whether each high limit lies above its low one in the same unit; other units are looked at row by row."""
    for low, high, _ in PAIRS:
        units = {what: {one.unit: at for at, one in enumerate(columns) if one.what == what} for what in (low, high)}
        if units[low] and units[high] and set(units[low]) != set(units[high]):
            return False
        for unit, at in units[low].items():
            if unit in units[high] and not (_missing(frame[at]) == _missing(frame[units[high][unit]])).all():
                return False  # a limit printed in another unit may stand for it
            if unit in units[high] and (frame[at] >= frame[units[high][unit]]).any():
                return False
    return True


def _missing(values: Any) -> np.ndarray:
    return np.asarray(values.isna())
