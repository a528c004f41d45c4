"""Specification sheets from CSV files: one row a regulator, units in the column names.

A column is a quantity and a unit: `ip_low_bar`, `ip_low_psi`. A sheet may give the same limit in two
units, as many printed sheets do: the column that stands first counts, and a warning says where they differ.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from steadyneedle.bench.bands.sheet_cells import Marks, Problem, sheet_of
from steadyneedle.bench.bands.sheet_columns import SheetColumn, column_of
from steadyneedle.bench.bands.sheet_notes import notes_of
from steadyneedle.bench.bands.sheet_tables import all_good
from steadyneedle.bench.bands.specification import Sheet, Sheets
from steadyneedle.foundation import text_files
from steadyneedle.foundation.text_files import TextFileError, printable

_SEPARATOR = re.compile(r'\s*"?sep=.?"?\s*', re.IGNORECASE)
"""What a spreadsheet reads, above the header, to know what stands between cells."""

LARGEST = 5_000_000
"""Bytes of a file of sheets."""

MOST = 40
"""Errors that are shown; the rest are counted."""


class SheetError(ValueError):
    """Sheets cannot be used; each line names file, row, column, value and what was expected.

    `errors` holds all of them; the text shows the first forty.
    """

    def __init__(self, *errors: str) -> None:
        self.errors = errors
        shown = list(errors[:MOST])
        if len(errors) > MOST:
            shown.append(f"And {len(errors) - MOST} more errors.")
        super().__init__("\n".join(shown))

    @property
    def brief(self) -> str:
        """The first error, and how many more there are."""
        more = len(self.errors) - 1
        return self.errors[0] + (f" And {more} more error{'s' * (more > 1)} in these sheets." if more else "")


def load_sheets(folder: str | Path) -> Sheets:
    """Every sheet in a CSV file, or in the CSV files of a folder.

    Parameters
    ----------
    folder : str or Path
        A file, or a folder with at least one `.csv` file, of at most 5 MB each: tab, semicolon or comma between
        cells, UTF-8, UTF-16 or Windows-1252, decimal point or comma.

    Returns
    -------
    Sheets
        Name -> Sheet, in the order of files and rows; look-up takes upper and lower case alike.

    Raises
    ------
    SheetError
        A ValueError: nothing there, a file that cannot be read, or all columns, cells and names that cannot be used.

    References
    ----------
    The columns are this workbook's own; band at a stated supply is common practice, no source.

    Examples
    --------
    >>> from steadyneedle.foundation import places
    >>> print(load_sheets(places.datasets() / "sheets")["JUNIPER"].ip_low)
    9.8 bar
    """
    sheets, errors = Sheets(), list[str]()
    files = _files_of(Path(folder))
    for path in files:
        try:
            text = text_files.read_file(path, LARGEST, "Split it into several files.").text
            _read(text, printable(path.name), sheets, errors)
        except TextFileError as error:
            errors.append(str(error))
    if errors:
        raise SheetError(*errors)
    if not sheets:
        raise SheetError(f"The CSV files in {folder} hold no regulator: fill in one row below the header.")
    return sheets


def _files_of(place: Path) -> list[Path]:
    try:
        if place.is_file():
            return [place]
        if not place.is_dir():
            raise SheetError(
                f"There is no folder {printable(str(place), 300)}. Name the folder that holds your sheets as CSV files."
            )
        files = sorted(path for path in place.iterdir() if path.suffix.lower() == ".csv" and _is_a_persons(path))
    except OSError as error:
        raise SheetError(f"{printable(str(place), 60)} cannot be read: {error.strerror or error}.") from None
    except ValueError as error:  # a name no system can hold
        raise error if isinstance(error, SheetError) else SheetError("There is no such folder.") from None
    if not files:
        raise SheetError(
            f"No CSV file in {printable(str(place), 300)}. Copy datasets/sheets/example.csv there and fill in a row."
        )
    return files


def _is_a_persons(path: Path) -> bool:
    """Not what a system or a spreadsheet lays beside a file that it has open: ._own.csv, ~$own.csv."""
    return path.is_file() and not path.name.startswith((".", "~"))


def _read(text: str, name: str, sheets: Sheets, errors: list[str]) -> None:
    """The sheets of one file, and everything that is wrong with it."""
    lines = text.rstrip().split("\n")
    first = next(
        (
            n
            for n, line in enumerate(lines)
            if line.strip(' ,;\t"') and not _SEPARATOR.fullmatch(line) and not line.lstrip(' ,;\t"').startswith("#")
        ),
        None,
    )
    if first is None:
        errors.append(f"{name} is empty: it needs a header row with the column names.")
        return
    mark = max("\t;,", key=lambda one: (lines[first].count(one), one == ","))
    header = [cell.strip() for cell in text_files.cells_of(lines[first : first + 1], mark, name, first + 1)[0]]
    while header and not header[-1]:
        header.pop()
    columns = [column_of(title) for title in header]
    wrong = _wrong_header(name, first + 1, columns)
    body, start = lines[first + 1 :], first + 2
    names = None if wrong else all_good(body, mark, columns)
    if names is not None and sheets.enter_all(names, partial(_later, body, mark, columns)):
        return
    errors += wrong
    table = text_files.cells_of(body, mark, name, start)
    rows = [(start + n, [cell.strip() for cell in row]) for n, row in enumerate(table) if any(map(str.strip, row))]
    marks = Marks.seen(mark, columns, [cells for _, cells in rows])
    for row, cells in rows:
        place = f"{name}, row {row}"
        if any(cells[len(header) :]) or len(cells) < len(header):
            errors.append(
                f"{place}: {len(cells)} cells, but the header has {len(header)} columns. "
                "Put text that contains a comma in double quotes."
            )
            continue
        problems: list[Problem] = []
        sheet = sheet_of(columns, cells, marks, problems)
        errors += [
            f"{place}, column {one.column}: '{printable(one.text, 40)}', expected {one.expected}." for one in problems
        ]
        if sheet is not None and not errors:  # with an error no sheet is used
            sheet = replace(sheet, warnings=tuple(notes_of(sheet)))
        if sheet is not None and not sheets.enter(sheet.name, sheet):
            errors.append(
                f"{place}, column name: '{printable(sheet.name, 40)}' stands in these sheets twice. "
                "Give each regulator a name of its own."
            )


def _wrong_header(name: str, row: int, columns: Sequence[SheetColumn]) -> list[str]:
    errors, seen = [], set()
    for column in columns:
        title = printable(column.title, 40)
        place = f"{name}, row {row}, column {title or '(empty)'}: '{title}', expected"
        if column.wrong:
            errors.append(f"{place} {column.wrong}".rstrip("?.") + ("?" if column.wrong.endswith("?") else "."))
        elif (column.what, column.unit) in seen:
            errors.append(f"{place} each column once.")
        seen.add((column.what, column.unit))
    if all(column.what != "name" for column in columns):
        errors.append(f"{name}, row {row}, column name: '', expected a column called name.")
    return errors


def _later(body: Sequence[str], mark: str, columns: Sequence[SheetColumn], at: int) -> Sheet:
    """The sheet of a row that was found good, made when it is asked for."""
    cells = [cell.strip() for cell in body[at].split(mark)]
    sheet = sheet_of(columns, cells, Marks.seen(mark, columns, [cells]), [])
    if sheet is None:  # it was found good
        raise SheetError("A row that was found good cannot be read. Please report this.")
    return replace(sheet, warnings=tuple(notes_of(sheet)))
