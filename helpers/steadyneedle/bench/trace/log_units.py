"""Units of a log's columns: words for times, names that say more than a unit, units written into the cells."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

TIME_UNITS = {
    "s": 1.0, "sec": 1.0, "secs": 1.0, "second": 1.0, "seconds": 1.0, "ms": 1e-3, "msec": 1e-3, "millisecond": 1e-3,
    "milliseconds": 1e-3, "us": 1e-6, "µs": 1e-6, "μs": 1e-6, "microseconds": 1e-6,
    "min": 60.0, "mins": 60.0, "minute": 60.0, "minutes": 60.0, "h": 3600.0, "hr": 3600.0, "hrs": 3600.0,
    "hour": 3600.0, "hours": 3600.0,
    "sek": 1.0, "sekunde": 1.0, "sekunden": 1.0, "minuten": 60.0, "std": 3600.0, "stunde": 3600.0, "stunden": 3600.0,
    "seconde": 1.0, "secondes": 1.0, "heure": 3600.0, "heures": 3600.0, "secondi": 1.0, "minuti": 60.0,
    "segundos": 1.0, "minutos": 60.0, "horas": 3600.0,
}  # fmt: skip
"""Word to s; those of a spreadsheet's own language too."""

ABSOLUTE = re.compile(r"(?<![^\W_])(?:p?abs(?:ol[^\W_]*)?|assolut[^\W_]*)(?![^\W_])", re.I)
_OTHER_PRESSURE = re.compile(
    r"(?<![^\W_])(?:supply|cylinder|tank|inlet|ambient|atmospheric|barometric|barometer|drop|differential)(?![^\W_])",
    re.I,
)
_INTERMEDIATE = re.compile(r"(?<![^\W_])(?:ip|intermediate|outlet)(?![^\W_])", re.I)

MOST_UNITS = 50
"""Different endings of a column's cells; more are remarks."""

_NUMBER = r"(?:[-+]?[.,]?\d[\d.,']*(?: \d{3})*(?:e-?\d+)?(?:\s*/\s*\d+)?|[½¼¾⅓⅕])"
_WITH_UNIT = re.compile(r"([+-]?[\d.,:' ]*\d)\s*([A-Za-zµ\"][^\d]*(?:2|²)?)")


def wrong_with(name: str, unit: str, kind: str) -> str:
    """What a column's name says besides its unit, and would make the reading another one.

    Parameters
    ----------
    name : str
        The column's header.
    unit : str
        What was found in it as its unit.
    kind : str
        "time" or "pressure".

    Returns
    -------
    str
        "absolute" for an absolute pressure, a sentence for pieces such as 10 s, else "".

    References
    ----------
    Our choice of words.

    Examples
    --------
    >>> wrong_with("P_abs_bar", "bar", "pressure"), wrong_with("pressure 1 (bar)", "bar", "pressure")
    ('absolute', '')
    >>> wrong_with("time (10 s)", "s", "time")
    "a number stands beside its unit. Write the values in s, and 's' alone."
    """
    if kind == "pressure" and ABSOLUTE.search(name):
        return "absolute"
    beside = re.escape(unit)
    counted = re.search(
        rf"(?:^\s*|[\[(]\s*|[x×*·/]\s*|\b(?:every|each|alle|toutes les)\s+)({_NUMBER})\s*{beside}(?![^\W_])|"
        rf"(\d+[.,]\d+|\d+\s*/\s*\d+|[½¼¾⅓⅕])\s*{beside}(?![^\W_])",
        name, re.I,
    )  # fmt: skip
    times = re.search(rf"(?<![^\W_]){beside}[\])]*\s*[x×*·/]\s*\d|10\s*(?:\^|\*\*)\s*[-+]?\d+\W*{beside}", name, re.I)
    if times is None and (counted is None or (counted.group(1) or counted.group(2)) == "1"):
        return ""
    return f"a number stands beside its unit. Write the values in {unit}, and '{unit}' alone."


def is_other_pressure(name: str) -> bool:
    """Whether a column's name says that it is not the intermediate pressure.

    Parameters
    ----------
    name : str
        The column's header.

    Returns
    -------
    bool
        True for a supply, the air around, a drop.

    References
    ----------
    Our choice of words.

    Examples
    --------
    >>> is_other_pressure("supply pressure (bar)"), is_other_pressure("IP at supply 200 (bar)")
    (True, False)
    """
    return _OTHER_PRESSURE.search(name) is not None and _INTERMEDIATE.search(name) is None


def without_units(cells: Sequence[str], scale: float, scale_of: Callable[[str], float | None]) -> list[str]:
    """Cells such as `9.8 bar` as numbers alone, where the unit is the column's own; any other stays as it is.

    Parameters
    ----------
    cells : sequence of str
        A column's cells, stripped.
    scale : float
        What one of the column's unit is worth.
    scale_of : callable
        What one of a unit is worth; None where it is none.

    Returns
    -------
    list of str
        As many cells.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> without_units(["20 s", "2 min", "40"], 1.0, TIME_UNITS.get)
    ['20', '2 min', '40']
    """
    made, known = list(cells), dict[str, bool]()
    for at, cell in enumerate(made):
        found = _WITH_UNIT.fullmatch(cell) if cell and not cell[-1].isdigit() else None
        if found is None:
            continue
        if len(known) > MOST_UNITS:
            break
        unit = found.group(2).strip()
        if unit not in known:
            worth = scale_of(unit)
            known[unit] = worth is not None and abs(worth - scale) <= 1e-9 * scale
        if known[unit]:
            made[at] = found.group(1).strip()
    return made
