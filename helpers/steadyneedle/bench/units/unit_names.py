"""Which unit of pint a typed unit means: exact spelling first, then capitals, words, suffixes, rates."""

from __future__ import annotations

import re
from functools import cache, lru_cache

import pint

from steadyneedle.bench.units.registry import registry
from steadyneedle.bench.units.spellings import NEIGHBOURS, SPELLINGS, WORDS

PRESSURES = ("pressure", "gauge pressure", "absolute pressure")

REFERENCES = {
    "pressure": "bar", "time": "second", "length": "meter", "area": "meter**2", "volume": "meter**3",
    "temperature": "kelvin", "flow": "meter**3/second", "pressure rate": "bar/minute", "force": "newton",
    "torque": "newton*meter", "percent": "percent", "number": "dimensionless",
}  # fmt: skip
"""The unit in which a kind is looked at."""

_SUFFIX = re.compile(
    r"(.+?) ?(?:\((g|a|gauge|gage|abs|absolute)\)| (gauge|gage|abs|absolute)|(g|a)"
    r"| (?:over|above) (?:(?:the )?(?P<ambient>ambient|atmospher(?:e|ic)(?: pressure)?)|(?P<vacuum>(?:a )?vacuum)))",
    re.I,
)
_OF_AIR = re.compile(r"\s+(?:of )?air$", re.I)
RATES = {"flow": "volume", "pressure rate": "gauge pressure"}
"""Kinds that are another kind over a time."""

_SIGNS = (
    ("²", "2"), ("³", "3"), ("⁻¹", "-1"), ("·", "*"), ("⋅", "*"), ("×", "*"), ("\u03bc", "µ"), ("₂", "2"), ("º", "°"),
    ("℃", "°C"), ("℉", "°F"), ("％", "%"), ("⁄", "/"), ("∕", "/"), ("″", '"'), ("”", '"'), ("“", '"'), ("''", '"'),
)  # fmt: skip


def plain_signs(unit_text: str) -> str:
    """A typed unit with one way to write powers, dots and signs.

    Parameters
    ----------
    unit_text : str
        What stands behind the number.

    Returns
    -------
    str
        The same in few signs.

    Examples
    --------
    >>> plain_signs("kgf/cm²"), plain_signs("L·min⁻¹"), plain_signs('"H₂O'), plain_signs("bar.")
    ('kgf/cm2', 'L*min-1', 'in H2O', 'bar')
    """
    if not unit_text.isascii():  # rarely: spares the replacements
        for old, new in _SIGNS:
            unit_text = unit_text.replace(old, new)
    text = re.sub(r"(?:\^|\*\*)(-?[123])", r"\1", unit_text)
    if text[:1] == '"':
        text = f"in {text[1:].lstrip()}".rstrip()
    return text if len(text) < 2 else text.rstrip(" .,;") or text


def unit_name(text: str, kind: str) -> str | None:
    """Pint's name of a typed unit of this kind; capitals may be wrong where that leaves no doubt.

    Parameters
    ----------
    text : str
        As `plain_signs` gives it.
    kind : str
        One of `read_quantity`'s kinds.

    Returns
    -------
    str or None
        None where nobody knows it.

    Raises
    ------
    ValueError
        A neighbour that is nearly always a slip, such as mPa; gauge where absolute is asked, or the other way round.

    Examples
    --------
    >>> unit_name("PSIG", "gauge pressure"), unit_name("L per minute", "flow"), unit_name("bear", "pressure")
    ('psi', 'liter/minute', None)
    """
    found = SPELLINGS[kind].get(text)
    if found is not None:
        return found
    if kind == "volume":
        text = _OF_AIR.sub("", text)
    if kind in PRESSURES or kind == "pressure rate":
        _refuse_neighbours(text)
    return _spelled(text, kind) or _with_suffix(text, kind) or _rate(text, kind) or _in_words(text, kind)


def _refuse_neighbours(text: str) -> None:
    for beginning, why in NEIGHBOURS.items():
        if re.match(beginning, text):
            raise ValueError(why)


def _spelled(text: str, kind: str) -> str | None:
    closed = _closed(text, kind)
    return SPELLINGS[kind].get(closed) or _folded(kind).get(closed.casefold()) or _pint_name(text, kind)


def _closed(text: str, kind: str) -> str:
    """Without spaces and dots; a torque's two units may be joined by a hyphen or a product sign too."""
    return re.sub(r"[ .*-]" if kind == "torque" else r"[ .]", "", text)


@cache
def _folded(kind: str) -> dict[str, str]:
    """Spellings without their capitals, plurals included, those that would be ambiguous left out."""
    folded: dict[str, set[str]] = {}
    for spelling, name in SPELLINGS[kind].items():
        folded.setdefault(_closed(spelling, kind).casefold(), set()).add(name)
    single = {spelling: names.pop() for spelling, names in folded.items() if len(names) == 1}
    return single | {"bars": "bar", "mbars": "millibar"} if kind in PRESSURES else single


@lru_cache(maxsize=512)
def _pint_name(text: str, kind: str) -> str | None:
    """A name pint knows and of the kind wanted, for example `kilopascal`. A name only, never an expression."""
    # short ones are slips, not names: pint takes `Ba`, bar without its r, for a barye, a millionth of it
    if not text.isidentifier() or not text.isascii() or len(text) < 4:
        return None
    try:
        name = registry.get_name(text)
        wanted = REFERENCES["pressure" if kind in PRESSURES else kind]
        same = registry.get_dimensionality(name) == registry.get_dimensionality(wanted)
    except (pint.errors.PintError, AttributeError):
        return None
    return name if same and not (kind == "percent" and name != "percent") else None


def _with_suffix(text: str, kind: str) -> str | None:
    """A pressure with gauge or absolute behind it: `barg`, `Bar(A)`, `PSIA`, `bar above ambient`."""
    match = _SUFFIX.fullmatch(text) if kind in PRESSURES else None
    if match is None:
        return None
    stem = match.group(1).rstrip(".- ")
    name = SPELLINGS[kind].get(stem) or _spelled(stem, kind) or _in_words(stem, kind)
    if name is None:
        return None
    gauge = match["ambient"] or (match[2] or match[3] or match[4] or "a")[0].lower() == "g"
    typed = "gauge" if gauge else "absolute"
    if kind == "pressure":
        raise ValueError(
            f"Whether it is gauge or absolute stands in the question here. Type the unit alone: {stem}, not {text}."
        )
    if not kind.startswith(typed):
        wanted = f"{stem}({kind[0]})" if stem.casefold().endswith("a") else f"{stem}{kind[0]}"
        article = "an" if kind[0] == "a" else "a"
        raise ValueError(
            f"This asks for {article} {kind} and {text} is {typed}. Convert it, then type {stem} or {wanted}."
        )
    return name


def _rate(text: str, kind: str) -> str | None:
    """A unit over a time, each in any of its spellings: `psig/min`, `litres a minute`, `l min-1`."""
    of = RATES.get(kind)
    if of is None:
        return None
    over = re.sub(r"\s+(?:per|an?|every|each)\s+", "/", text, flags=re.I)
    over = re.sub(r"[ *]([A-Za-z]+)-1$", r"/\1", over)
    above, slash, below = (part.strip() for part in over.rpartition("/"))
    if not slash or not above or not below:
        return None
    try:
        name, time = unit_name(above, of), unit_name(below, "time")
    except ValueError:  # an absolute pressure over a time is the same rate
        name, time = unit_name(above, "absolute pressure"), unit_name(below, "time")
    return None if name is None or time is None else f"{name}/{time}"


def _in_words(text: str, kind: str) -> str | None:
    """A unit written out: `pounds per square inch`, `inches of water`, `sq mm`."""
    found = in_symbols(text)
    if found == text:
        return None
    return SPELLINGS[kind].get(found) or _spelled(found, kind) if found else None


def in_symbols(text: str) -> str:
    """Whole words as symbols, squares and cubes as powers, `per` as a stroke.

    Parameters
    ----------
    text : str
        As `plain_signs` gives it.

    Returns
    -------
    str
        What is no known word stays.

    Examples
    --------
    >>> in_symbols("pounds per square inch"), in_symbols("inches of water"), in_symbols("cu. ft")
    ('lb/in2', 'in H2O', 'ft3')
    """
    text = re.sub(r"\bsea ?water\b", "sw", text, flags=re.I)
    text = re.sub(r"\s+per\s+", "/", text, flags=re.I)
    text = re.sub(r"[A-Za-z]+", lambda word: _symbol(word.group()), text.replace("-", " "))
    for word, power in (("sq", "2"), ("cu", "3")):
        text = re.sub(rf"\b{word}[ .]*([A-Za-zµ]+)", rf"\g<1>{power}", text)
        text = re.sub(rf"([A-Za-zµ]+)[ .]+{word}\b", rf"\g<1>{power}", text)
    return re.sub(r" +", " ", text).strip()


def _symbol(word: str) -> str:
    if len(word) < 2:
        return word
    small = word.casefold()
    found = WORDS.get(small, WORDS.get(small.removesuffix("s")))
    if found is not None:
        return found
    joined = re.fullmatch(r"(sq|cu)([a-z]+)", small)  # sqmm
    return f"{joined.group(1)} {joined.group(2)}" if joined else word
