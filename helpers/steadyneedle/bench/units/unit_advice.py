"""What to say of a unit that nobody knows, or of something that is no unit at all."""

from __future__ import annotations

import contextlib
import difflib
import re
from functools import lru_cache

from steadyneedle.bench.units.spellings import ADVICE, EXAMPLES, SPELLINGS
from steadyneedle.bench.units.unit_names import PRESSURES, RATES, REFERENCES, in_symbols, unit_name

TOLERANCE = re.compile(r"±|\+ ?/? ?-")
"""What stands before a tolerance, behind a number or behind its unit."""


@lru_cache(maxsize=512)
def why_unknown(text: str, kind: str) -> str:
    """Why a unit is refused, and what to type instead.

    Parameters
    ----------
    text : str
        The unit as typed, in plain signs.
    kind : str
        The kind wanted.

    Returns
    -------
    str
        One or two sentences.

    Examples
    --------
    >>> why_unknown("lbs", "pressure")
    "'lbs': a pound is a weight; for pounds per square inch type psi."
    >>> why_unknown("bear", "pressure")
    "Unknown unit 'bear'. Did you mean bar?"
    """
    advice = ADVICE.get("pressure" if kind in PRESSURES else kind, {})
    for spelling in (re.sub(r"[ .]", "", one).casefold() for one in (text, in_symbols(text))):
        if spelling in advice:
            said = advice[spelling]
            return f"'{shown(text)}': {said}." if text[0].isalpha() else f"{said[0].upper()}{said[1:]}."
    if kind in RATES and re.search(r"(?:/| (?:per|an?) )m$", text):
        return f"'{shown(text)}': type min for minutes."
    for other, spellings in SPELLINGS.items():
        if other not in PRESSURES[1:] and other != kind and text in spellings:
            what = "is for percentages" if other == "percent" else f"is a unit of {other}"
            return f"{text} {what}. {_a(kind)} is wanted, for example {EXAMPLES[kind]}."
    unit, _, more = text.partition(" ")
    if more and _is_unit(unit, kind):
        return f"Type the unit alone: {unit}, without '{shown(more)}'."
    near = _nearest(text, kind)
    if near:
        return f"Unknown unit '{shown(text)}'. Did you mean {near}?"
    return f"Unknown unit '{shown(text)}'. Type for example {EXAMPLES[kind]}."


def no_unit(text: str, typed: str, kind: str) -> str:
    """What to say where the text behind a number does not begin as a unit does.

    Parameters
    ----------
    text : str
        What stands behind the number.
    typed : str
        The number as typed.
    kind : str
        The kind wanted.

    Returns
    -------
    str
        One or two sentences.

    Examples
    --------
    >>> no_unit("±0.1 bar", "10", "pressure")
    'Type the number without its tolerance, for example 10 bar.'
    """
    unit = EXAMPLES.get(kind, "9.8 bar").partition(" ")[2]
    if TOLERANCE.search(text):
        return f"Type the number without its tolerance, for example {typed} {unit}."
    if re.match(r"[-~…]|\.\.+", text) and re.search(r"\d", text):
        return f"Type one number, not a range, for example {typed} {unit}."
    if text[0] in "^⁰¹²³⁴⁵⁶⁷⁸⁹⁻":
        return f"Write a power of ten as 1e5 or 1.5e5, for example 1e5 {unit}."
    if kind == "time" and text[0] in ":'":
        return "Type the time in one unit, for example 2.5 min or 150 s."
    return "Type one number and one unit, no sums, for example 9.8 bar."


def two_quantities(text: str, kind: str) -> str | None:
    """What to say where a second number follows the unit; None where none does.

    Parameters
    ----------
    text : str
        What stands behind the first number.
    kind : str
        The kind wanted.

    Returns
    -------
    str or None
        A sentence.

    Examples
    --------
    >>> two_quantities("min 30 s", "time")
    'Type the time in one unit, for example 2.5 min or 150 s.'
    """
    if re.match(r"to ?\d", text):
        return "Type one number, not a range, for example 9.8 bar."
    if kind == "time" and re.search(r"[a-z']\.? ?\d+$", text):
        return "Type the time in one unit, for example 2.5 min or 150 s."
    if not re.search(r"[A-Za-z\"%]\.?[ (,;/=+-]+\d+([.,]\d+)? ?[A-Za-z]", text):
        return None
    if kind == "time":
        return "Type the time in one unit, for example 2.5 min or 150 s."
    return f"Type one number with one unit, for example {EXAMPLES[kind]}."


def shown(text: str) -> str:
    """A typed text, short enough for a sentence.

    Parameters
    ----------
    text : str
        Any.

    Returns
    -------
    str
        At most 16 characters.

    Examples
    --------
    >>> shown("kilogramme-force per square centimetre")
    'kilogramme-forc…'
    """
    return text if len(text) <= 16 else text[:15] + "…"


def _a(kind: str) -> str:
    word = "percentage" if kind == "percent" else kind
    return f"{'An' if word[0] in 'aeiou' else 'A'} {word}"


NEVER_MEANT = {"ms", "d", "km"}
"""Not proposed, as no single letter is: `1.5 mu` is no metre, and nobody reads a gauge each millisecond."""


def _nearest(text: str, kind: str) -> str | None:
    """The known spelling most like `text`; only those of nearly its length are compared. Of a rate, part by part."""
    if kind in RATES and "/" in text:
        above, _, below = text.rpartition("/")
        parts = [_itself_or_nearest(one, of) for one, of in ((above, RATES[kind]), (below, "time"))]
        return "/".join(one for one in parts if one) if all(parts) else None
    names = {
        name.casefold(): name for name in SPELLINGS[kind]
        if abs(len(name) - len(text)) <= 1 and len(name) > 1 and not NEVER_MEANT & {name, name.rpartition("/")[2]}
    }  # fmt: skip
    letters = set(text.casefold())
    likely = [name for name in names if len(letters & set(name)) * 2 >= len(set(name))][:8]
    found = difflib.get_close_matches(text.casefold(), likely, n=1, cutoff=0.6)
    return names[found[0]] if found else None


def _is_unit(text: str, kind: str) -> bool:
    with contextlib.suppress(ValueError):
        return unit_name(text, kind) is not None
    return False


def _itself_or_nearest(text: str, kind: str) -> str | None:
    return text if text in SPELLINGS[kind] else _nearest(text, kind)


assert set(ADVICE) <= set(REFERENCES)
