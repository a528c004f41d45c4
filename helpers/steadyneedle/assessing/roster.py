"""The roster of a cohort: one column of candidate numbers, and nothing else about anybody.

What is wrong is said row by row, all at once, so that one edit mends it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from steadyneedle.assessing.paper_file import CANDIDATE
from steadyneedle.foundation.text_files import TextFileError, cells_of, mark_between_columns, printable, read_file

COLUMN = "candidate"
LARGEST, MOST_CANDIDATES, MOST_SAID = 1_000_000, 5_000, 10
HEAD = "candidate alone, and below it one number a row"


class RosterError(ValueError):
    """A roster cannot be used; a line for each row that is wrong, and what to do."""


def read_roster(path: Path) -> list[str]:
    """Candidate numbers in the order of the roster.

    Parameters
    ----------
    path : Path
        UTF-8, a byte-order mark allowed, with the one column `candidate`: 1 to 12 digits a row.

    Raises
    ------
    RosterError
        Not UTF-8, another column, a blank row, a number that is none, or one that stands twice.
    """
    name = printable(path.name)
    try:
        read = read_file(path, LARGEST, f"A roster holds {HEAD}.")
        if read.encoding != "UTF-8":
            raise RosterError(f"{name} is {read.encoding}, not UTF-8. Save it again as 'CSV UTF-8'.")
        lines = read.text.split("\n")
        if lines[-1] == "":
            lines.pop()
        mark = mark_between_columns(lines[:1]) if lines else ","
        rows = [[cell.strip(" \t") for cell in row] for row in cells_of(lines, "," if mark == " " else mark, name)]
    except TextFileError as error:
        raise RosterError(str(error)) from None
    _check_header(name, rows)
    wrong = list(_wrong_rows(rows))
    if wrong:
        more = [f"... and {len(wrong) - MOST_SAID} more rows."] if len(wrong) > MOST_SAID else []
        raise RosterError("\n".join([*(f"{name}, {one}" for one in wrong[:MOST_SAID]), *more]))
    if len(rows) == 1:
        raise RosterError(f"{name} names nobody: write one candidate number a row below the header.")
    if len(rows) - 1 > MOST_CANDIDATES:
        raise RosterError(f"{name} names {len(rows) - 1} candidates; a roster holds at most {MOST_CANDIDATES}.")
    return [row[0] for row in rows[1:]]


def _check_header(name: str, rows: list[list[str]]) -> None:
    header = [cell for cell in (rows[0] if rows else []) if cell]
    if [one.lower() for one in header] == [COLUMN] and rows[0][0]:
        return
    others = [printable(one, 30) for one in header if one.lower() != COLUMN]
    if others and len(others) < len(header):
        which = f"the column {others[0]} is" if len(others) == 1 else f"the columns {', '.join(others[:9])} are"
        raise RosterError(
            f"{name}, row 1: {which} refused as private. Keep the column {COLUMN} alone: papers and marks know "
            "numbers, not people."
        )
    raise RosterError(f"{name}, row 1: the header is missing. Write {HEAD}.")


def _wrong_rows(rows: list[list[str]]) -> Iterator[str]:
    """What is wrong, a sentence for each row."""
    seen: dict[int, tuple[int, str]] = {}
    for at, row in enumerate(rows[1:], 2):
        number = row[0] if row else ""
        if not any(row):
            yield f"row {at} is blank. Take the row out, or write its number."
        elif any(row[1:]):
            yield f"row {at} holds more than a candidate number. Keep the number alone."
        elif not CANDIDATE.fullmatch(number):
            yield f"row {at}: {_why_none(number)}"
        elif int(number) in seen:
            first, as_written = seen[int(number)]
            same = "stands" if as_written == number else f"is the number {as_written} that stands"
            yield f"row {at}: {number} {same} in row {first} already. Give each candidate one row."
        else:
            seen[int(number)] = (at, number)


def _why_none(cell: str) -> str:
    """Why a cell is no candidate number, and what to do."""
    shown = printable(cell, 30)
    if re.fullmatch("[0-9]{13,}", cell):
        return f"'{shown}' has {len(cell)} digits. A candidate number has 1 to 12."
    if re.fullmatch(r"[0-9]+[.,][0-9]+(?:[eE][+-]?[0-9]+)?", cell):
        return (
            f"'{shown}' is how a spreadsheet writes a large number. Set the column to text, and type the digits again."
        )
    if re.search(r"[/\\]|\.\.", cell):
        return f"'{shown}' is a path. A candidate number is 1 to 12 digits and nothing else."
    return f"'{shown}' is no candidate number. Write 1 to 12 of the digits 0 to 9 and nothing else."
