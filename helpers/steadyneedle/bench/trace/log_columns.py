"""Which columns of a log hold time and pressure: headers as people have them, junk above and units below."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from steadyneedle.bench.trace.log_numbers import LogError
from steadyneedle.bench.trace.log_units import TIME_UNITS, is_other_pressure, wrong_with
from steadyneedle.bench.units import read_quantity
from steadyneedle.foundation.text_files import printable

EXAMPLE = "Write a header that names both with their units, for example time_s,pressure_bar."
DEEPEST = 50
"""Rows in which a header is looked for."""

NUMERIC = re.compile(r"^\s*[+-]?[.,]?\d")
_CLOCK = re.compile(
    r"^\s*\d{1,3}:\d{2}|^\s*\d{1,4}[-/.]\d{1,2}[-/.]\d{2,4}(?!\d)|^\s*\d{1,2}[- ][A-Za-z]{3,9}[- ]\d{2,4}\b"
)
_FORM = re.compile(r"h{1,2}:m{1,2}:s{1,2}|m{1,2}:s{1,2}|h{1,2}:m{1,2}", re.I)
_ORDER = re.compile(r"d{1,2}[-/.]m{1,3}[-/.]y{2,4}|m{1,2}[-/.]d{1,2}[-/.]y{2,4}", re.I)


@dataclass(frozen=True)
class Column:
    """A column of a log: where, its name, "time" or "pressure", its unit, and what one of that is in s or bar.

    A time without a unit is a clock; `form` is how its header says it is written.
    """

    at: int
    name: str
    kind: str
    unit: str = ""
    scale: float = 0.0
    form: str = ""


@dataclass(frozen=True)
class Head:
    """What stands above the readings: the first row of them, the columns, and how many there are."""

    first: int
    times: tuple[Column, ...]
    pressure: Column
    width: int


def head_of(name: str, rows: Sequence[Sequence[str]], columns: Sequence[str] | None) -> Head:
    """Time and pressure among the columns of a log.

    Parameters
    ----------
    name : str
        What the log is called, for the sentence.
    rows : sequence of sequences of str
        Cells of the first rows, empty rows among them.
    columns : sequence of str or None
        What the columns hold, where no header says so.

    Returns
    -------
    Head
        Row and columns. A clock and a date are two columns of time.

    Raises
    ------
    LogError
        No header, no time, no pressure, more than one of them, an absolute pressure.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> head_of("log", [["bench 2"], ["t", "IP"], ["s", "(psig)"], ["0", "142"]], None).first
    3
    """
    if columns is not None:
        found = columns_of(columns)
        first = next((n for n, row in enumerate(rows) if _is_data(row, found)), 0)
        return _chosen(name, columns, found, first)
    best: tuple[Sequence[str], list[Column], int] | None = None
    for n, row in enumerate(rows):
        if not any(cell.strip() for cell in row):
            continue  # nor is what lies below it looked for again from each of a million empty rows
        below = next((m for m in range(n + 1, len(rows)) if any(cell.strip() for cell in rows[m])), None)
        if below is None or sum(bool(NUMERIC.match(cell)) for cell in row) > 1:
            continue
        for names, first in ((row, below), (_with_units(row, rows[below]), below + 1)):
            if first > below and any(NUMERIC.match(cell) for cell in rows[below]):
                continue  # those are readings, no units
            found = columns_of(names)
            data = next((m for m in range(first, len(rows)) if any(cell.strip() for cell in rows[m])), None)
            if data is None or not _is_data(rows[data], found):
                continue
            found = _with_clocks(found, names, rows[data])
            if {"time"} < {column.kind for column in found}:
                _refuse_contradiction(name, row, rows[below] if first > below else ())
                return _chosen(name, names, found, data)
            if best is None and len(found) < len([cell for cell in names if cell.strip()]):
                best = names, found, data
    return _refused(name, rows, best)


def _refused(name: str, rows: Sequence[Sequence[str]], best: tuple[Sequence[str], list[Column], int] | None) -> Head:
    filled = [row for row in rows if any(cell.strip() for cell in row)]
    if not filled:
        raise LogError(f"{name} is empty. {EXAMPLE}")
    if best is not None:
        return _chosen(name, *best)
    if any(NUMERIC.match(cell) for cell in filled[0]):
        raise LogError(f"{name} has no header, so nobody knows its units. {EXAMPLE}", "columns")
    found = columns_of(filled[0])
    if {column.kind for column in found} == {"time", "pressure"}:
        raise LogError(f"{name} holds a header and no rows.")
    return _chosen(name, filled[0], found, 1)


def _with_units(names: Sequence[str], units: Sequence[str]) -> list[str]:
    """A row of names and the row of units under it as one."""
    padded = [*units, *[""] * (len(names) - len(units))]
    return [
        f"{name.strip()} ({unit.strip().strip('()[]')})" if unit.strip() else name
        for name, unit in zip(names, padded, strict=False)
    ]


def _refuse_contradiction(name: str, names: Sequence[str], units: Sequence[str]) -> None:
    """A header that names one unit over a row of units that names another: nobody knows which is meant."""
    for title, cell in zip(names, units, strict=False):
        said, below = _column(title.strip()), cell.strip().strip("()[]")
        kind, scale = ("time", TIME_UNITS.get(below.casefold().rstrip("."), 0.0))
        if not scale:
            kind, scale = _pressure(below)
        if said is None or not said[3] or not scale or {said[1], kind} - {"time", "pressure"}:
            continue
        if said[1] != kind and title.strip().casefold() == said[2].casefold():
            continue  # "min" over "bar" is the least of them
        if said[1] != kind or abs(said[3] - scale) > 1e-9 * scale:
            raise LogError(
                f"{name}: the header '{printable(title.strip(), 30)}' says {printable(said[2], 12)}, and the row of "
                f"units below it says {printable(below, 12)}. Write the unit of the numbers in both, or take one out."
            )


def _is_data(row: Sequence[str], found: Sequence[Column]) -> bool:
    """Whether numbers or clock times stand where a pressure or a time should."""
    if not found:
        return sum(bool(NUMERIC.match(cell)) for cell in row) > 1
    cells = [row[column.at] for column in found if column.at < len(row)]
    return any(NUMERIC.match(cell) or _CLOCK.match(cell) for cell in cells)


def _with_clocks(found: list[Column], names: Sequence[str], data: Sequence[str]) -> list[Column]:
    """Columns whose first reading is a clock time or a date are times, whatever they are called."""
    known = {column.at: column for column in found}
    for at, cell in enumerate(data[: len(names)]):
        if at not in known and _CLOCK.match(cell):
            known[at] = Column(at, names[at].strip(), "time", form=_form_of(names[at]))
    return [known[at] for at in sorted(known)]


def columns_of(names: Sequence[str]) -> list[Column]:
    """Columns of time and pressure by their names.

    Parameters
    ----------
    names : sequence of str
        A header's cells.

    Returns
    -------
    list of Column
        Those that are known; `kind` is "absolute", or a sentence, where one cannot be taken.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> [column.kind for column in columns_of(["t (s)", "note", "p_abs_bar"])]
    ['time', 'absolute']
    """
    found = []
    for at, name in enumerate(names):
        column = _column(name.strip())
        if column is not None:
            found.append(Column(at, *column))
    return found


@lru_cache(maxsize=256)
def _column(name: str) -> tuple[str, str, str, float, str] | None:
    """Name, kind, unit, scale and form of a column by its name."""
    form = _form_of(name)
    if form:
        return name, "time", "", 0.0, form
    for text in _units_in(name):
        if text.casefold() == "at" and not re.search(r"(?:^|[_\[(/])at\W*$", name, re.I):
            continue  # a technical atmosphere is "at", and so is a word
        scale = TIME_UNITS.get(text.casefold().rstrip("."))
        if scale is not None:
            return name, wrong_with(name, text, "time") or "time", text, scale, ""
        kind, bars = _pressure(text)
        if kind:
            return name, (wrong_with(name, text, kind) or kind), text, bars, ""
    return None


def _form_of(name: str) -> str:
    """How a header says that times or dates are written: `m:s`, `h:m`, `h:m:s`, `d/m/y`, `m/d/y`, or several."""
    forms = []
    clock, order = _FORM.search(name), _ORDER.search(name)
    if order is not None:
        forms.append("d/m/y" if order.group()[0] in "dD" else "m/d/y")
    if clock is not None:
        forms.append(":".join(part[0] for part in clock.group().lower().split(":")))
    return " ".join(forms)


def _units_in(name: str) -> list[str]:
    """Texts that may be the unit of a column: the name itself, what stands in brackets, its last words."""
    found = [name]
    for opening in re.finditer(r"[\[(]", name):
        inner = name[opening.end() :]
        closing = "]" if opening.group() == "[" else ")"
        found += [inner.rpartition(closing)[0] or inner, inner.partition(closing)[0]]
    bare = re.sub(r"[\])]+\s*$", "", name)
    words = [word for word in re.split(r"[\s_,;:\[]+", bare) if word]
    for count in range(1, min(len(words), 5)):
        found += [" ".join(words[-count:]), "/".join(words[-count:])]
    above, slash, below = bare.rpartition("/")
    of = re.split(r"[\s_(\[]", above)[-1]
    # p/MPa is a pressure in megapascal; bar/min and L/min are rates
    rate = slash and (bool(_pressure(of)[0]) or re.fullmatch(r"m?l|(?:m|cm|ft)\^?[3³]", of, re.I))
    return found if rate else [*found, below]


@lru_cache(maxsize=256)
def _pressure(text: str) -> tuple[str, float]:
    """ "pressure", "absolute" or a slip's own sentence as kind, and bar for each; nothing where it is no pressure."""
    unit = text.strip().strip("[]").strip()
    # behind a 1, "100 mbar" would be 1,100 mbar
    if not 0 < len(unit) <= 40 or not re.search(r"[A-Za-z\"]", unit) or re.match(r"[\d.,'+-]", unit):
        return "", 0.0
    for kind, said in (("gauge pressure", "pressure"), ("absolute pressure", "absolute")):
        try:
            return said, float(read_quantity(f"1 {unit}", kind).to("bar").magnitude)
        except ValueError as error:
            if "means" in str(error):  # mPa, Mbar
                return str(error), 0.0
    return "", 0.0


def bar_per(unit: str) -> float | None:
    """bar for each of a unit of pressure.

    Parameters
    ----------
    unit : str
        As people write it; gauge may be named.

    Returns
    -------
    float or None
        None where it is no unit of gauge pressure.

    References
    ----------
    As `read_quantity`.

    Examples
    --------
    >>> bar_per("kPa"), bar_per("furlong")
    (0.01, None)
    """
    kind, scale = _pressure(unit)
    return scale if kind == "pressure" else None


def _chosen(name: str, names: Sequence[str], found: Sequence[Column], first: int) -> Head:
    """One pressure, and one time or a date with a clock; else what to do."""
    shown = ", ".join(repr(printable(one.strip(), 30)) for one in names[:12]) + (", …" if len(names) > 12 else "")
    for column in found:
        if column.kind == "absolute":
            raise LogError(
                f"{name}: '{printable(column.name, 30)}' is an absolute pressure, and a gauge log is wanted. "
                "Take the ambient pressure off, and name it pressure_bar."
            )
        if column.kind not in ("time", "pressure"):
            raise LogError(f"{name}: '{printable(column.name, 30)}': {column.kind}")
    timed = [column for column in found if column.kind == "time"]
    times = [column for column in timed if column.scale] or timed
    pressures = [column for column in found if column.kind == "pressure"]
    for some, what, example in ((times, "time", "time_s"), (pressures, "pressure", "pressure_bar")):
        if not some:
            raise LogError(
                f"{name}: no {what} column with a known unit among {shown}. Write for example {example}.", "columns"
            )
        dated = what == "time" and len(some) == 2 and not some[0].scale
        if len(some) > 1 and not dated:
            both = " and ".join(repr(printable(one.name, 30)) for one in some)
            raise LogError(
                f"{name} has {len(some)} {what} columns, {both}. Choose one: give the others another name, "
                "for example skip.", "columns",
            )  # fmt: skip
    if is_other_pressure(pressures[0].name):
        raise LogError(
            f"{name}: '{printable(pressures[0].name, 30)}' is another pressure than the intermediate one. "
            "Give the column of the intermediate pressure, and name it ip_bar."
        )
    width = max((at + 1 for at, cell in enumerate(names) if cell.strip()), default=0)
    return Head(first, tuple(times), pressures[0], width)
