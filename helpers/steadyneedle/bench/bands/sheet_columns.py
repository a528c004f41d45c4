"""The columns of a specification sheet: a quantity, and its unit at the end of the name."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from steadyneedle.bench.units.unit_names import plain_signs, unit_name

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
_KINDS = {"bar": "gauge pressure", "minutes": "time", "l_min": "flow", "n_m": "torque", "percent": "percent"}
"""Kind of quantity by the first ending of its columns."""

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
_LONGEST_FIRST = sorted(COLUMNS, key=lambda what: -len(what))
_KNOWN = [*PLAIN, *(f"{what}_{ending}" for what, endings in COLUMNS.items() for ending in endings)]


@dataclass(frozen=True)
class SheetColumn:
    """A column of the header: what it holds, and in which unit; `wrong` says what was expected instead."""

    title: str
    what: str = ""
    unit: str | None = None
    wrong: str = ""

    @property
    def is_pressure(self) -> bool:
        """Whether its numbers are pressures."""
        return COLUMNS.get(self.what) is _PRESSURES


def column_of(title: str) -> SheetColumn:
    """What a column holds, by its title as people write it: `ip_low_bar`, `IP low (psig)`, `Torque [ft lb]`.

    Parameters
    ----------
    title : str
        The cell of the header.

    Returns
    -------
    SheetColumn
        With what was expected, where nobody knows the column.

    References
    ----------
    The columns are this workbook's own.

    Examples
    --------
    >>> column_of("IP low (psig)").unit, column_of("alowed_rise_bar").wrong
    ('psi', 'a known column. Did you mean allowed_rise_bar?')
    """
    name = _plain_name(title)
    for slip, meant in (("mPa", "mpa for megapascal"), ("Mbar", "mbar for millibar")):
        if slip in title:
            return SheetColumn(title, wrong=f"{meant}, not {slip}")
    if name in PLAIN:
        return SheetColumn(title, name)
    # the longest name first, should one begin with another
    what = next((one for one in _LONGEST_FIRST if name == one or name.startswith(f"{one}_")), None)
    if what is not None:
        return _with_unit(title, name, what)
    near = difflib.get_close_matches(name, _KNOWN, n=1, cutoff=0.75)
    if near:
        return SheetColumn(title, wrong=f"a known column. Did you mean {near[0]}?")
    known = ", ".join(PLAIN[:1] + tuple(f"{what}_{next(iter(units))}" for what, units in COLUMNS.items()) + PLAIN[1:])
    return SheetColumn(title, wrong=f"one of {known}")


def _with_unit(title: str, name: str, what: str) -> SheetColumn:
    """A known quantity by the unit at the end of its column."""
    endings, ending = COLUMNS[what], name.removeprefix(what).removeprefix("_")
    unit = endings.get(ending) or _other_spelling(ending, _KINDS[next(iter(endings))])
    if unit is not None:
        return SheetColumn(title, what, unit)
    if ending.endswith("a") and ending[:-1].removesuffix("_") in endings:
        return SheetColumn(title, wrong=f"a gauge pressure, for example {what}_{ending[:-1].removesuffix('_')}")
    absolute = re.search(r"(?<![^\W_])abs(?:ol\w*)?(?![^\W_])", ending) is not None
    if absolute and "bar" in endings:
        return SheetColumn(title, wrong=f"a gauge pressure, for example {what}_bar")
    near = difflib.get_close_matches(name, [f"{what}_{one}" for one in endings], n=1, cutoff=0.8)
    more = f". Did you mean {near[0]}?" if near and ending else ""
    return SheetColumn(title, wrong=f"a unit at the end, one of {', '.join(f'{what}_{one}' for one in endings)}{more}")


def _plain_name(title: str) -> str:
    """Small letters, one underline between words."""
    name = plain_signs(title.strip().lower()).replace("%", "percent").replace('"', "in")
    return re.sub(r"[\s\-()\[\]/*._,;:]+", "_", name).strip("_")


def _other_spelling(ending: str, kind: str) -> str | None:
    """Pint's name of a unit spelled as people spell it, gauge or not: `psig`, `ft_lb`, `lpm`."""
    for between in (" ", "/"):
        try:
            found = unit_name(ending.replace("_", between), kind) if ending else None
        except ValueError:
            return None
        if found is not None:
            return found
    return None
