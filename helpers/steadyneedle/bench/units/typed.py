"""Quantities as people type them: read, or refused at once with what to type instead."""

from __future__ import annotations

import difflib
import math
import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING

import pint

from steadyneedle.bench.units import numbers
from steadyneedle.bench.units.registry import Quantity, registry
from steadyneedle.bench.units.spellings import EXAMPLES, NEIGHBOURS, SPELLINGS

if TYPE_CHECKING:
    from pint.facets.plain import PlainUnit

KINDS = tuple(SPELLINGS)
HIGHEST_BAR = 10_000.0
LOWEST_GAUGE_BAR = -1.1

_PRESSURES = ("pressure", "gauge pressure", "absolute pressure")
_SUFFIX = re.compile(r"(.+?) ?(?:\((g|a)\)| (gauge|abs|absolute)|(g|a))")
_REFERENCES = {
    "pressure": "bar", "time": "second", "length": "meter", "area": "meter**2", "volume": "meter**3",
    "temperature": "kelvin", "flow": "meter**3/second", "pressure rate": "bar/minute", "force": "newton",
    "torque": "newton*meter", "percent": "percent", "number": "dimensionless",
}  # fmt: skip


def read_quantity(text: str, kind: str = "pressure", decimal: str | None = None) -> Quantity:
    """A quantity as people type it: `9,8 bar`, `142psi`, `1 005 kPa`, `1 kgf/cm²`.

    Parameters
    ----------
    text : str
        What was typed: at most 80 characters.
    kind : str
        One of `KINDS`. "gauge pressure" also takes `10 barg` and refuses `10 bara`, "absolute pressure"
        the other way round, "pressure" refuses both.
    decimal : "comma", "point" or None
        The learner's decimal mark; with None, `1,013` is asked back.

    Returns
    -------
    pint.Quantity
        Scalar, in the unit typed. Gauge from -1.1 bar, absolute from 0, none beyond 10,000 bar; absolute
        temperature, area and volume not below 0.

    Raises
    ------
    ValueError
        The sentence says what to type instead.

    References
    ----------
    Spellings and gauge suffixes are common practice, no source.

    Examples
    --------
    >>> read_quantity("9,8 bar")
    <Quantity(9.8, 'bar')>
    >>> read_quantity("9,8")
    Traceback (most recent call last):
    ...
    ValueError: A number needs its unit, for example 9,8 bar.
    """
    if kind not in SPELLINGS:
        raise ValueError(f"Unknown kind '{kind}': it is one of {', '.join(KINDS)}.")
    try:
        return _read(text, kind, decimal)
    except ValueError as error:
        if decimal != "comma":
            raise
        # the examples in our sentences are written with a point; this reader's keyboard has a comma
        raise ValueError(re.sub(r"(example \d+)\.(\d)", r"\1,\2", str(error))) from None


def _read(text: str, kind: str, decimal: str | None) -> Quantity:
    typed, unit_text = numbers.split(text)
    magnitude = numbers.value(typed, decimal)
    if kind == "number":
        if unit_text:
            raise ValueError(f"Only a number is wanted here. Type {typed} without '{_shown(unit_text)}'.")
    elif not unit_text:
        example = EXAMPLES[kind].split(" ", 1)[1]
        raise ValueError(f"A number needs its unit, for example {typed} {example}.")
    unit, scale, offset = _typed_unit(_normal(unit_text) if unit_text else "", kind)
    _check_physical(magnitude * scale + offset, magnitude, kind)
    return registry.Quantity(magnitude, unit)


def _normal(unit_text: str) -> str:
    """One way to write powers, dots and signs; a sum is not a unit."""
    if not (unit_text[0].isalpha() or unit_text[0] in "%°"):
        raise ValueError("Type one number and one unit, no sums, for example 9.8 bar.")
    if unit_text.isascii():  # nearly always: spares six replacements
        return re.sub(r"(?:\^|\*\*)([23])", r"\1", unit_text)
    for old, new in (("²", "2"), ("³", "3"), ("·", "*"), ("\u03bc", "µ"), ("₂", "2"), ("º", "°")):
        unit_text = unit_text.replace(old, new)
    return unit_text


def _typed_unit(text: str, kind: str) -> tuple[PlainUnit, float, float]:
    """Unit, and the line that takes a magnitude in it to the reference unit of its kind."""
    if kind == "number":
        return registry.dimensionless, 1.0, 0.0
    if len(text) > 24:
        raise ValueError(f"Unknown unit '{_shown(text)}'. Type for example {EXAMPLES[kind]}.")
    name = _spelled(text, kind)
    if name is None and kind in _PRESSURES:
        name = _with_suffix(text, kind)
    if name is None:
        raise ValueError(_why_unknown(text, kind))
    return _line(name, "pressure" if kind in _PRESSURES else kind)


def _spelled(text: str, kind: str) -> str | None:
    """Pint's name of a spelling of this kind; capitals may be wrong where that leaves no doubt."""
    found = SPELLINGS[kind].get(text)
    if found is None and text not in NEIGHBOURS:
        closed = text.replace(" ", "")
        found = SPELLINGS[kind].get(closed) or _folded(kind).get(closed.casefold()) or _pint_name(text, kind)
    return found


@cache
def _folded(kind: str) -> dict[str, str]:
    """Spellings without their capitals, plurals included, those that would be ambiguous left out."""
    folded: dict[str, set[str]] = {}
    for spelling, name in SPELLINGS[kind].items():
        folded.setdefault(spelling.casefold(), set()).add(name)
    single = {spelling: names.pop() for spelling, names in folded.items() if len(names) == 1}
    return single | {"bars": "bar", "mbars": "millibar"} if kind in _PRESSURES else single


@lru_cache(maxsize=512)
def _pint_name(text: str, kind: str) -> str | None:
    """A name pint knows and of the kind wanted, for example `kilopascal`. A name only, never an expression."""
    # short ones are slips, not names: pint takes `Ba`, bar without its r, for a barye, a millionth of it
    if not text.isidentifier() or not text.isascii() or len(text) < 4:
        return None
    try:
        name = registry.get_name(text)
        wanted = _REFERENCES["pressure" if kind in _PRESSURES else kind]
        same = registry.get_dimensionality(name) == registry.get_dimensionality(wanted)
    except (pint.errors.PintError, AttributeError):
        return None
    return name if same and not (kind == "percent" and name != "percent") else None


def _with_suffix(text: str, kind: str) -> str | None:
    """A pressure spelled with gauge or absolute behind it: `barg`, `bar(a)`, `psia`."""
    match = _SUFFIX.fullmatch(text)
    if match is None:
        return None
    stem = match.group(1)
    name = SPELLINGS[kind].get(stem) or _folded(kind).get(stem.casefold())
    if name is None:
        return None
    letter = next(group for group in match.groups()[1:] if group)[0]
    typed = "gauge" if letter == "g" else "absolute"
    if kind == "pressure":
        raise ValueError(
            f"Whether it is gauge or absolute stands in the question here. Type the unit alone: {stem}, not {text}."
        )
    if not kind.startswith(typed):
        raise ValueError(
            f"This asks for a {kind} and {text} is {typed}. Convert it, then type {stem} or {stem}{kind[0]}."
        )
    return name


@cache
def _line(name: str, kind: str) -> tuple[PlainUnit, float, float]:
    # a straight line, worked out once: one conversion by pint takes longer than all of reading
    unit = registry.Unit(name)
    reference = _REFERENCES[kind]
    at_zero = registry.Quantity(0.0, unit).to(reference).magnitude
    return unit, registry.Quantity(1.0, unit).to(reference).magnitude - at_zero, at_zero


@lru_cache(maxsize=512)
def _why_unknown(text: str, kind: str) -> str:
    if text in NEIGHBOURS:
        return NEIGHBOURS[text]
    for other, spellings in SPELLINGS.items():
        if other not in _PRESSURES[1:] and other != kind and text in spellings:
            return f"{text} is a unit of {other}. A {_plain(kind)} is wanted, for example {EXAMPLES[kind]}."
    near = _nearest(text, kind)
    if near:
        return f"Unknown unit '{_shown(text)}'. Did you mean {near}?"
    return f"Unknown unit '{_shown(text)}'. Type for example {EXAMPLES[kind]}."


def _nearest(text: str, kind: str) -> str | None:
    """The known spelling most like `text`; only those of nearly its length are compared."""
    names = {name.casefold(): name for name in SPELLINGS[kind] if abs(len(name) - len(text)) <= 1}
    letters = set(text.casefold())
    likely = [name for name in names if len(letters & set(name)) * 2 >= len(set(name))][:8]
    found = difflib.get_close_matches(text.casefold(), likely, n=1, cutoff=0.6)
    return names[found[0]] if found else None


def _plain(kind: str) -> str:
    return kind if kind != "percent" else "percentage"


def _shown(text: str) -> str:
    return text if len(text) <= 16 else text[:15] + "…"


def _check_physical(reference: float, magnitude: float, kind: str) -> None:
    """Refuse what cannot be: `reference` is the magnitude in the reference unit of its kind."""
    if not math.isfinite(magnitude) or not math.isfinite(reference):
        raise ValueError("That number is beyond anything physical. Check the power of ten.")
    if kind in _PRESSURES:
        # the limit itself, typed in another unit, comes out beyond it in the last bits
        if abs(reference) > HIGHEST_BAR * (1 + 1e-9):
            raise ValueError(
                "That is beyond 10 000 bar, more than any equipment here holds. Check the number and its unit."
            )
        if kind == "absolute pressure" and reference < 0:
            raise ValueError(
                "An absolute pressure is never below 0. Is it a gauge pressure? Then add the ambient pressure."
            )
        if kind == "gauge pressure" and reference < LOWEST_GAUGE_BAR * (1 + 1e-9):
            raise ValueError("A gauge pressure below -1.1 bar would be less than nothing. Check the sign and the unit.")
    elif kind in ("temperature", "area", "volume") and reference < 0:
        raise ValueError(
            f"A{'n' if kind == 'area' else ''} {kind} that low does not exist. Check the sign and the unit."
        )
