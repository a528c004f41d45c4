"""Specification sheets from CSV files: one row a regulator, units in the column names.

A column is a quantity and a unit: `ip_low_bar`, `ip_low_psi`. A sheet may give the same limit in two
units, as many printed sheets do: the column that stands first counts, and a warning says where they differ.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from steadyneedle.bench.bands.decision import RULES
from steadyneedle.bench.bands.specification import Band, Sheet, Sheets
from steadyneedle.bench.units import Q, Quantity, format_number, formatted, label, numbers
from steadyneedle.foundation.datasets import DatasetError, read_rows

_PRESSURES = {
    "bar": "bar", "mbar": "mbar", "pa": "Pa", "hpa": "hPa", "kpa": "kPa", "mpa": "MPa", "psi": "psi",
    "kgf_cm2": "kgf/cm2", "at": "at", "atm": "atm", "mmhg": "mmHg", "inhg": "inHg", "cmh2o": "cmH2O",
    "inh2o": "inH2O", "mmh2o": "mmH2O",
}  # fmt: skip
_TIMES = {"minutes": "min", "seconds": "s", "hours": "h", "min": "min", "s": "s", "h": "h"}
_FLOWS = {"l_min": "L/min", "l_s": "L/s", "m3_h": "m3/h", "ft3_min": "ft3/min", "cfm": "cfm"}
_TORQUES = {
    "n_m": "N m",
    "n_cm": "N cm",
    "lbf_ft": "lbf ft",
    "lbf_in": "lbf in",
    "kgf_cm": "kgf cm",
    "kgf_m": "kgf m",
}

COLUMNS: dict[str, dict[str, str]] = {
    "ip_low": _PRESSURES,
    "ip_high": _PRESSURES,
    "supply": _PRESSURES,
    "allowed_rise": _PRESSURES,
    "rise": _TIMES,
    "second_stage_opens": _PRESSURES,
    "cracking_low": _PRESSURES,
    "cracking_high": _PRESSURES,
    "exhalation_max": _PRESSURES,
    "flow": _FLOWS,
    "droop": _PRESSURES,
    "torque": _TORQUES,
    "gauge_span": _PRESSURES,
    "gauge_class": {"percent": "percent"},
    "gauge_division": _PRESSURES,
}
"""Column without its unit -> ending -> unit."""

PLAIN = ("name", "purges", "rule", "required_probability", "source")
_ATTRIBUTES = {"rise": "rise_time"}
"""Column -> attribute of a `Sheet`, where the names differ: `rise_minutes` is a time."""


class SheetError(ValueError):
    """A sheet cannot be used; the sentence names file, row, column, value and what was expected."""


def load_sheets(folder: str | Path) -> Sheets:
    """Every sheet in the CSV files of a folder.

    Parameters
    ----------
    folder : str or Path
        Folder with at least one `.csv` file: comma or semicolon between cells, UTF-8, decimal point or,
        between semicolons, decimal comma.

    Returns
    -------
    Sheets
        Name -> Sheet, in the order of files and rows; look-up takes upper and lower case alike.

    Raises
    ------
    SheetError
        A ValueError: no such folder, no file in it, a column, a cell or a name that cannot be used.

    References
    ----------
    The columns are this workbook's own; band at a stated supply is common practice, no source.

    Examples
    --------
    >>> from steadyneedle.foundation import places
    >>> print(load_sheets(places.datasets() / "sheets")["JUNIPER"].ip_low)
    9.8 bar
    """
    place = Path(folder)
    if not place.is_dir():
        raise SheetError(f"There is no folder {place}. Name the folder that holds your sheets as CSV files.")
    files = sorted(path for path in place.iterdir() if path.suffix.lower() == ".csv" and path.is_file())
    if not files:
        raise SheetError(f"No CSV file in {place}. Copy datasets/sheets/example.csv there and fill in a row.")
    sheets = Sheets()
    for path in files:
        for number, sheet in _read_file(path):
            if sheet.name in sheets:
                raise SheetError(
                    f"{path.name}, row {number}, column name: '{sheet.name}' stands in these sheets twice. "
                    "Give each regulator a name of its own."
                )
            sheets[sheet.name] = sheet
    if not sheets:
        raise SheetError(f"The CSV files in {place} hold no regulator: fill in one row below the header.")
    return sheets


@dataclass(frozen=True)
class _Column:
    """A column of the header: what it holds, and in which unit."""

    title: str
    what: str
    unit: str | None


@dataclass(frozen=True)
class _Cell:
    """A cell's text, and where it stands, for what is said about it."""

    path: Path
    row: int
    column: str
    text: str

    def error(self, expected: str) -> SheetError:
        return SheetError(
            f"{self.path.name}, row {self.row}, column {self.column}: '{self.text}', expected {expected}."
        )


def _read_file(path: Path) -> Iterator[tuple[int, Sheet]]:
    try:
        first = path.read_text(encoding="utf-8-sig").partition("\n")[0]
        delimiter = ";" if first.count(";") > first.count(",") else ","
        header, rows = read_rows(path, delimiter)
    except UnicodeDecodeError:
        raise SheetError(f"{path.name} is not a UTF-8 text file. Save it again as 'CSV UTF-8'.") from None
    except OSError as error:
        raise SheetError(f"{path.name} cannot be read: {error.strerror}. Check that you may open it.") from error
    except DatasetError as error:
        raise SheetError(str(error)) from error
    columns = [_column(path, title) for title in header]
    _check_header(path, columns)
    for number, texts in rows:
        cells = [_Cell(path, number, title, text) for title, text in zip(header, texts, strict=True)]
        yield number, _sheet(list(zip(columns, cells, strict=True)), "comma" if delimiter == ";" else "point")


def _column(path: Path, title: str) -> _Column:
    name = re.sub(r"[\s-]+", "_", title.strip().lower())
    if name in PLAIN:
        return _Column(title, name, None)
    # the longest name first, should one begin with another
    for what, units in sorted(COLUMNS.items(), key=lambda item: -len(item[0])):
        ending = name.removeprefix(what + "_")
        if ending != name or name == what:
            if ending in units:
                return _Column(title, what, units[ending])
            raise SheetError(
                f"{path.name}, row 1, column {title or '(empty)'}: '{title}', expected a unit at the end, "
                f"one of {', '.join(f'{what}_{unit}' for unit in units)}."
            )
    known = ", ".join(PLAIN[:1] + tuple(f"{what}_{next(iter(units))}" for what, units in COLUMNS.items()) + PLAIN[1:])
    raise SheetError(f"{path.name}, row 1, column {title or '(empty)'}: '{title}', expected one of {known}.")


def _check_header(path: Path, columns: list[_Column]) -> None:
    seen: set[tuple[str, str | None]] = set()
    for column in columns:
        if (column.what, column.unit) in seen:
            raise SheetError(f"{path.name}, row 1, column {column.title}: '{column.title}', expected each column once.")
        seen.add((column.what, column.unit))
    if all(column.what != "name" for column in columns):
        raise SheetError(f"{path.name}, row 1, column name: '', expected a column called name.")


def _sheet(pairs: list[tuple[_Column, _Cell]], decimal: str) -> Sheet:
    found: dict[str, list[tuple[Any, _Cell]]] = {}
    for column, cell in pairs:
        if not cell.text:
            if column.what == "name":
                raise cell.error("the regulator's name")
            continue
        found.setdefault(column.what, []).append((_value(column, cell, decimal), cell))
    first = {_ATTRIBUTES.get(what, what): values[0][0] for what, values in found.items()}
    bands = _printed_bands(found)
    _check_pairs(found)
    return Sheet(**first, printed_bands=bands, warnings=tuple(_warnings(found, bands)))


def _value(column: _Column, cell: _Cell, decimal: str) -> Quantity | float | str:
    if column.unit is None:
        return _PLAIN_READERS.get(column.what, lambda one, _: one.text)(cell, decimal)
    number = _number(cell, decimal)
    if number < 0 or (number == 0 and column.what not in ("allowed_rise", "droop", "cracking_low")):
        raise cell.error(f"a number above 0 in {label(Q(1, column.unit).units)}")
    if column.what == "gauge_class" and number > 100:
        raise cell.error("a class of at most 100 percent")
    quantity = Q(number, column.unit)
    if column.unit in _PRESSURES.values() and quantity.to("bar").magnitude > 1000:
        raise cell.error(f"less than 1000 bar, and it is {formatted(quantity.to('bar'))}: check the column's unit")
    return quantity


def _number(cell: _Cell, decimal: str) -> float:
    for mark in (decimal, None):  # a sheet with semicolons may still have been typed with points
        with contextlib.suppress(ValueError):
            typed, rest = numbers.split(cell.text)
            if not rest:
                return numbers.value(typed, mark)
    raise cell.error("a number alone; its unit stands in the column's name")


def _purges(cell: _Cell, _: str) -> int:
    if not cell.text.isascii() or not cell.text.isdigit():
        raise cell.error("a whole number of purges, 0 or more")
    return int(cell.text)


def _rule(cell: _Cell, _: str) -> str:
    if cell.text.lower() not in RULES:
        raise cell.error(f"one of {', '.join(RULES)}")
    return cell.text.lower()


def _probability(cell: _Cell, decimal: str) -> float:
    number = _number(cell, decimal)
    if not 0.5 <= number <= 1:
        raise cell.error("a probability from 0.5 to 1, for example 0.95")
    return number


_PLAIN_READERS: dict[str, Callable[[_Cell, str], float | str]] = {
    "purges": _purges,
    "rule": _rule,
    "required_probability": _probability,
}


def _by_unit(values: list[tuple[Quantity, _Cell]]) -> dict[str, Quantity]:
    return {str(quantity.units): quantity for quantity, _ in values}


def _printed_bands(found: dict[str, list[tuple[Any, _Cell]]]) -> tuple[Band, ...]:
    lows, highs = _by_unit(found.get("ip_low", [])), _by_unit(found.get("ip_high", []))
    return tuple(Band(low, highs[unit]) for unit, low in lows.items() if unit in highs)


def _check_pairs(found: dict[str, list[tuple[Any, _Cell]]]) -> None:
    """A low limit must be below its high one, and a division below its span."""
    for low, high, words in (
        ("ip_low", "ip_high", "more than the low limit"),
        ("cracking_low", "cracking_high", "more than the low limit"),
        ("gauge_division", "gauge_span", "more than the division"),
    ):
        highs = found.get(high, [])
        for small, _ in found.get(low, []):
            for large, cell in highs:
                # printed in two units, each limit is compared in its own: the other differs by its rounding
                comparable = small.units == large.units or len(highs) == 1
                if comparable and not small < large:
                    raise cell.error(f"{words} {formatted(small)}")


def _warnings(found: dict[str, list[tuple[Any, _Cell]]], bands: tuple[Band, ...]) -> Iterator[str]:
    name = found["name"][0][0]
    for other in bands[1:]:
        one = bands[0]
        low, high = other.low.to(one.low.units), other.high.to(one.high.units)
        tolerance = 0.002 * one.high.magnitude
        if abs(low - one.low).magnitude > tolerance or abs(high - one.high).magnitude > tolerance:
            yield (
                f"{name}: the band {_words(other)} is {format_number(low.magnitude)} to {formatted(high)}, "
                f"{_compare(one, low, high)} the band {_words(one)} beside it. Lessons use {_words(one)}."
            )
    if "ip_low" in found and "supply" not in found:
        yield f"{name}: the band names no supply pressure. A band holds at a stated supply."
    if "source" not in found:
        yield f"{name}: no source. Write which manual and edition the numbers are from."


def _words(band: Band) -> str:
    return f"{format_number(band.low.magnitude)} to {formatted(band.high)}"


def _compare(one: Band, low: Quantity, high: Quantity) -> str:
    if high - low > (one.high - one.low) * 1.001 and not (low > one.low and high > one.high):
        return "wider than"
    if low > one.low and high > one.high:
        return "higher than"
    if low < one.low and high < one.high:
        return "lower than"
    return "not the same as"
