"""Quantities as people type them: read, or refused at once with what to type instead."""

from __future__ import annotations

import math
import re
from functools import cache
from typing import TYPE_CHECKING

from steadyneedle.bench.units import numbers
from steadyneedle.bench.units.clock import minutes_and_seconds
from steadyneedle.bench.units.registry import Quantity, registry
from steadyneedle.bench.units.spellings import EXAMPLES, SPELLINGS
from steadyneedle.bench.units.unit_advice import TOLERANCE, no_unit, shown, two_quantities, why_unknown
from steadyneedle.bench.units.unit_names import PRESSURES, REFERENCES, plain_signs, unit_name

if TYPE_CHECKING:
    from pint.facets.plain import PlainUnit

KINDS = tuple(SPELLINGS)
HIGHEST_BAR = 10_000.0
LOWEST_GAUGE_BAR = -1.1
LONGEST_UNIT = 40


def read_quantity(text: str, kind: str = "pressure", decimal: str | None = None) -> Quantity:
    """A quantity as people type it: `9,8 bar`, `142psi`, `1 005 kPa`, `1 kgf/cm²`, and a time as `10:50` too.

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
        sentence = _with_example(str(error), kind)
        if decimal == "comma":
            # the examples in our sentences are written with a point; this reader's keyboard has a comma
            sentence = re.sub(r"((?:example|Type) \d+)\.(\d)", r"\1,\2", sentence)
        raise ValueError(sentence) from None


def _with_example(sentence: str, kind: str) -> str:
    """A sentence about any number, with an example of the kind that is asked for."""
    if kind == "number":
        sentence = sentence.replace("number with its unit", "number")
        sentence = sentence.replace("the number first, then its unit", "the number alone")
    return sentence if kind in PRESSURES else sentence.replace("example 9.8 bar", f"example {EXAMPLES[kind]}")


def how_read(text: str, decimal: str | None = None) -> str:
    """How a number was read, where it could have been meant otherwise.

    Parameters
    ----------
    text : str
        What was typed, and what `read_quantity` accepts.
    decimal : "comma", "point" or None
        The learner's decimal mark.

    Returns
    -------
    str
        A sentence; empty where nobody could misread the number.

    Raises
    ------
    ValueError
        As `read_quantity`: no number.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> how_read("1,013 bar", "point")
    '1,013 was read as 1013, not as 1.013.'
    >>> how_read("9,8 bar", "point"), how_read("9.8 bar", "point")
    ('9,8 was read as 9.8.', '')
    """
    if clock := minutes_and_seconds(text):
        return f"{text.strip()} was read as {clock[0]} min {clock[1]} s." if ":" in text else ""
    typed, _ = numbers.split(text)
    value, mark = numbers.value(typed, decimal), numbers.MARKS.get(decimal or "")
    if mark is None or mark in typed or not ("." in typed or "," in typed):
        return ""
    read = _plain(value, decimal)
    if numbers.in_two_ways(typed):
        return f"{typed} was read as {read}, not as {_plain(value / 1000, decimal)}."
    return f"{typed} was read as {read}."


def _plain(value: float, decimal: str | None) -> str:
    text = f"{value:.12g}"
    return text.replace(".", ",") if decimal == "comma" else text


def _read(text: str, kind: str, decimal: str | None) -> Quantity:
    if kind == "time" and (clock := minutes_and_seconds(text)):
        return registry.Quantity(clock[0] + clock[1] / 60, "minute")
    typed, unit_text = numbers.split(text)
    magnitude = numbers.value(typed, decimal)
    if kind == "number":
        if unit_text.strip(".,;"):
            raise ValueError(f"Only a number is wanted here. Type {typed} without '{shown(unit_text)}'.")
        unit_text = ""
    elif not unit_text:
        example = EXAMPLES[kind].split(" ", 1)[1]
        raise ValueError(f"A number needs its unit, for example {typed} {example}.")
    elif TOLERANCE.search(unit_text) or not (unit_text[0].isalpha() or unit_text[0] in "%°℃℉％\"″”“'"):
        raise ValueError(no_unit(unit_text, typed, kind))
    unit, scale, offset = _typed_unit(plain_signs(unit_text) if unit_text else "", kind)
    _check_physical(magnitude * scale + offset, magnitude, kind)
    return registry.Quantity(magnitude, unit)


def _typed_unit(text: str, kind: str) -> tuple[PlainUnit, float, float]:
    """Unit, and the line that takes a magnitude in it to the reference unit of its kind."""
    if kind == "number":
        return registry.dimensionless, 1.0, 0.0
    if len(text) > LONGEST_UNIT:
        raise ValueError(f"Unknown unit '{shown(text)}'. Type for example {EXAMPLES[kind]}.")
    name = unit_name(text, kind)
    if name is None:
        raise ValueError(two_quantities(text, kind) or why_unknown(text, kind))
    return _line(name, "pressure" if kind in PRESSURES else kind)


@cache
def _line(name: str, kind: str) -> tuple[PlainUnit, float, float]:
    # a straight line, worked out once: one conversion by pint takes longer than all of reading
    unit = registry.Unit(name)
    reference = REFERENCES[kind]
    at_zero = registry.Quantity(0.0, unit).to(reference).magnitude
    return unit, registry.Quantity(1.0, unit).to(reference).magnitude - at_zero, at_zero


def _check_physical(reference: float, magnitude: float, kind: str) -> None:
    """Refuse what cannot be: `reference` is the magnitude in the reference unit of its kind."""
    if not math.isfinite(magnitude) or not math.isfinite(reference):
        raise ValueError("That number is beyond anything physical. Check the power of ten.")
    if kind in PRESSURES:
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
