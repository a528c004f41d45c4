"""A table that a person fills in with a spreadsheet: read with a spreadsheet's habits, written back with nothing lost.

Semicolons, tabs or commas, a byte-order mark, a first line `sep=;`, columns in another order, columns of the person's
own, empty rows: all of it is read. A file in which a cell cannot be told from the next is refused whole.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from steadyneedle.assessing.as_shown_safely import as_cell, of_cell
from steadyneedle.foundation.text_files import TextFileError, decoded, printable

COMMA, SEMICOLON = ",", ";"
_BETWEEN = (COMMA, SEMICOLON, "\t", "|")
_SEPARATOR_LINE = re.compile(r'"?sep=(.)"?')
_NAMELESS = re.compile(r"column_\d+")
LARGEST_TABLE = 50_000_000
"""Bytes; two thousand answers of the greatest length fit."""


class HandTableError(ValueError):
    """A table cannot be read; the sentence says where and what to do."""


@dataclass(frozen=True, slots=True)
class HandRow:
    """A row: its number as a spreadsheet counts, and its cells by the name of their column."""

    number: int
    cells: dict[str, str]

    def typed(self, column: str) -> str:
        """What was typed into a cell, without the apostrophes that keep a formula from being one."""
        return of_cell(self.cells.get(column, "").strip()).strip()


@dataclass
class HandTable:
    """The rows of a table, its columns in the order of the file, and what stands between them.

    `as_safe` says that no cell of the file began a formula or held a line end.
    """

    columns: list[str]
    rows: list[HandRow] = field(default_factory=list)
    between: str = COMMA
    as_safe: bool = True


def read_table(data: bytes, name: str, wanted: Sequence[str]) -> HandTable:
    """The table that a file holds.

    Parameters
    ----------
    data : bytes
        The file: UTF-8, UTF-16 or Windows-1252.
    name : str
        What it is called, for what is said of it.
    wanted : sequence of str
        Columns that must be there; others are kept.

    Raises
    ------
    HandTableError
        No text, a column missing or there twice, a quote that is not closed.

    Examples
    --------
    >>> table = read_table(b"\\xef\\xbb\\xbfMark;code\\r\\n3,5;KLMNP\\r\\n;\\r\\n", "marks.csv", ("code", "mark"))
    >>> table.columns, [(row.number, row.typed("mark")) for row in table.rows]
    (['mark', 'code'], [(2, '3,5')])
    """
    try:
        text = decoded(data, name).text
    except TextFileError as error:
        raise HandTableError(str(error)) from None
    named = _SEPARATOR_LINE.match(text)
    if named:
        text = text.partition("\n")[2]
    between = named[1] if named else _between(text, wanted)
    rows = _rows_of(text, between, name)
    number, header = next(((at, row) for at, row in rows if any(cell.strip() for cell in row)), (1, []))
    columns = [_column(cell) for cell in header]
    _refuse_header(columns, wanted, f"{name}, row {number}")
    columns = [one if one and one not in columns[:at] else f"column_{at + 1}" for at, one in enumerate(columns)]
    table = HandTable(columns, between=between)
    for at, row in rows:
        if not any(cell.strip() for cell in row):
            continue
        while len(table.columns) < len(row):
            table.columns.append(f"column_{len(table.columns) + 1}")
        cells = [as_cell(cell.strip()) for cell in row]
        table.as_safe &= cells == [cell.strip() for cell in row]
        table.rows.append(HandRow(at, dict(zip(table.columns, cells, strict=False))))
    nameless = {one for one in table.columns if _NAMELESS.fullmatch(one)}
    used = {column for row in table.rows for column in nameless if row.cells.get(column)}
    table.columns = [one for one in table.columns if one not in nameless or one in used]
    return table


def with_its_sign(number: str, between: str) -> str:
    """A number with the decimal sign of a table: a comma where semicolons part the columns.

    >>> with_its_sign("2.5", ";"), with_its_sign("2,5", ","), with_its_sign("half", ";")
    ('2,5', '2.5', 'half')
    """
    return re.sub(r"(?<=\d)[.,](?=\d)", "," if between == SEMICOLON else ".", number)


def _between(text: str, wanted: Sequence[str]) -> str:
    """What stands between the columns: whatever parts the header into the columns that are wanted."""
    line = next((line for line in text.split("\n") if line.strip()), "")
    found = {mark: {_column(cell) for cell in line.split(mark)} & set(wanted) for mark in _BETWEEN}
    return max(_BETWEEN, key=lambda mark: len(found[mark]))


def _column(cell: str) -> str:
    return re.sub(r"[\s_]+", "_", cell.strip().strip("'\"").strip().lower())


def _rows_of(text: str, between: str, name: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    at = 0
    while True:
        at += 1
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error:
            raise HandTableError(
                f"{name}, row {at}: a double quote is not closed where its cell ends, or a cell is far too long. "
                "Mend the row and mark again; nothing was changed."
            ) from None
        yield at, row


def _refuse_header(columns: Sequence[str], wanted: Sequence[str], where: str) -> None:
    missing = [one for one in wanted if one not in columns]
    if missing:
        lacks = "the column {} is" if len(missing) == 1 else "the columns {} are"
        mend = "Put it back and mark again; nothing was changed."
        if len(columns) == 1:
            mend = (
                "Where all columns open as one in your spreadsheet, move this file elsewhere and mark with "
                "--semicolons; nothing was changed."
            )
        raise HandTableError(
            f"{where}: {lacks.format(', '.join(missing))} missing. The first row holds {', '.join(wanted)}. {mend}"
        )
    twice = next((one for one in wanted if columns.count(one) > 1), None)
    if twice:
        raise HandTableError(f"{where}: the column {printable(twice)} stands twice. Take one out and mark again.")


def table_bytes(columns: Sequence[str], rows: Iterable[Sequence[str]], between: str = COMMA) -> bytes:
    """A table as a spreadsheet opens it: UTF-8 with its mark, no cell that begins a formula.

    >>> table_bytes(("code", "why"), [("KLMNP", "=1+1")]).decode("utf-8-sig").splitlines()
    ['code,why', "KLMNP,'=1+1"]
    """
    out = io.BytesIO()
    with io.TextIOWrapper(out, "utf-8-sig", newline="") as text:
        writer = csv.writer(text, delimiter=between, lineterminator="\n")
        writer.writerow(["" if _NAMELESS.fullmatch(one) else as_cell(one) for one in columns])
        writer.writerows([as_cell(cell) for cell in row] for row in rows)
        text.flush()
        return out.getvalue()
