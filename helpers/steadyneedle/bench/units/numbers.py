"""The number grammar: how people type numbers, read without an expression parser.

One decimal mark, thousands in whole groups of three, an optional power of ten (`1.5e3`, `1.5×10³`). What could be
read in two ways is decided by the learner's setting, or asked back where there is none. Length is bounded before
anything else, so nothing typed can cost much time.

A grammar of our own, because pint reads `9,5 bar` as 95 bar and works out `2**10 bar`: a slip would become another
pressure, and a sum would be done for the learner.
"""

from __future__ import annotations

import re
import unicodedata

LONGEST = 80
"""Characters; a longer answer is refused unread."""

MARKS = {"comma": ",", "point": "."}

_SPACES = str.maketrans(
    dict.fromkeys("\u00a0\u2007\u2008\u2009\u200a\u202f\t", " ")
    | {"\u2212": "-", "\u2013": "-", "\u2011": "-", "\u2019": "'"}
)
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_HEAD = re.compile(
    r"([+-]?) ?((?:[0-9]+|(?=[.,][0-9]))(?:[ .,'][0-9]+)*[.,]?)"
    r"(?:[eE]([+-]?[0-9]{1,4})(?![0-9])"
    # 1.5×10³, 1.5 x 10^3: a power of ten and no other product
    r"| ?[×xX*·⋅] ?10(?:(?:\^|\*\*)([+-]?[0-9]{1,4})(?![0-9])|([⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,4})))?"
)
_FRACTION = re.compile(r"[+-]?(?:(\d{1,6})\s+)?(\d{1,6})\s*/\s*(\d{1,6})(?![\d.,/])|[+-]?(\d{0,6})\s*([½¼¾⅓⅔⅛⅜⅝⅞])")
_ABOUT = re.compile(
    r"(circa|ca\.?|c\.|approx(?:imately|\.)?|about|around|roughly|nearly|almost|some"
    r"|max\.?|min\.?|at most|at least|[<>]=)\s*[~≈]?\s*(?=[-+.,]?[0-9])",
    re.I,
)
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")


def split(text: str) -> tuple[str, str]:
    """The number at the start of `text`, and what follows it.

    Raises
    ------
    ValueError
        Nothing typed, too long, signs that cannot be seen, or no number at the start.
    """
    if not isinstance(text, str):
        raise ValueError("Type a number with its unit, for example 9.8 bar.")
    if len(text) > LONGEST:
        raise ValueError(
            f"That is longer than {LONGEST} characters. Type one number with its unit, for example 9.8 bar."
        )
    cleaned = text.translate(_SPACES).strip(" \r\n")
    if not cleaned:
        raise ValueError("Nothing typed yet. Type a number with its unit, for example 9.8 bar.")
    if not cleaned.isprintable():
        raise ValueError(
            "There is a sign in it that cannot be seen. Clear the field and type it afresh, for example 9.8 bar."
        )
    match = _HEAD.match(cleaned)
    _refuse_fraction(cleaned)
    if match is None:
        raise ValueError(_not_a_number(cleaned))
    return match.group(0).strip(), cleaned[match.end() :].strip()


def value(number: str, decimal: str | None) -> float:
    """What a number as typed is worth.

    Parameters
    ----------
    number : str
        A number as `split` returns it.
    decimal : "comma", "point" or None
        The learner's decimal mark. Without one, a single comma before exactly three digits is asked back.
    """
    if decimal not in (None, "comma", "point"):
        raise ValueError(f"decimal is 'comma', 'point' or None, not {decimal!r}.")
    match = _HEAD.fullmatch(number)
    if match is None:
        raise ValueError(_not_a_number(number))
    sign, body, power, written, raised = match.groups()
    whole, fraction = _parts(body, MARKS.get(decimal or ""))
    power = power or written or (raised or "0").translate(_SUPERSCRIPTS)
    return float(f"{sign}{whole or 0}.{fraction or 0}e{power}")


def in_two_ways(number: str) -> bool:
    """Whether a number as typed, such as `1,013` or `9.800`, may be a decimal number or thousands."""
    return _THOUSANDS.fullmatch(number.lstrip("+- ")) is not None


def _parts(body: str, mark: str | None) -> tuple[str, str]:
    """Digits before and after the decimal mark."""
    # the setting decides what could be read in two ways; any other single mark is a decimal mark
    if mark is None or (mark not in body and not in_two_ways(body) and not body.count("." if mark == "," else ",") > 1):
        mark = _guess_mark(body)
    whole, found, fraction = body.partition(mark) if mark else (body, "", "")
    if found and not (fraction.isdigit() or not fraction):
        raise ValueError(f"'{body}' has marks after its decimal mark. Type it once more with a single decimal mark.")
    groups = re.split("[ .,']", whole)
    if len(groups) > 1:
        _check_thousands(body, whole, groups, mark)
    return "".join(groups), fraction


def _guess_mark(body: str) -> str:
    """The decimal mark of a number typed without a setting; empty where it has none."""
    commas, points = body.count(","), body.count(".")
    if commas and points:
        last = max(body.rfind(","), body.rfind("."))
        return body[last]
    if points:
        return "." if points == 1 else ""
    if commas != 1:
        return ""
    if in_two_ways(body):
        before, _, after = body.partition(",")
        raise ValueError(
            f"'{body}' can be read in two ways. Type {before}.{after} for the decimal number, "
            f"{before}{after} for the thousands."
        )
    return ","


def _check_thousands(body: str, whole: str, groups: list[str], mark: str) -> None:
    separators = {sign for sign in whole if not sign.isdigit()}
    first, *rest = groups
    good = len(separators) == 1 and mark not in separators and 1 <= len(first) <= 3 and first[0] != "0"
    if not good or any(len(group) != 3 for group in rest):
        raise ValueError(
            f"'{body}' is not one number. Thousands stand in groups of three, for example 1 005; "
            "there is one decimal mark, for example 9.8."
        )


def _refuse_fraction(text: str) -> None:
    """A fraction such as 9 1/2: worked out in the sentence, for `1/2` left to the number would be 1."""
    found = _FRACTION.match(text)
    if found is None:
        return
    whole, above, below, before, sign = found.groups()
    if sign:
        part = unicodedata.numeric(sign)
    elif int(below):
        part = int(above) / int(below)
    else:
        return
    decimal = f"{int(whole or before or 0) + part:.6g}"
    raise ValueError(f"Type {'-' * text.startswith('-')}{decimal} in place of {found.group().strip()}.")


def _not_a_number(text: str) -> str:
    about = _ABOUT.match(text)
    if about:
        return f"Type the number without '{about[1]}', for example 9.8 bar."
    if text[0] in "~≈±<>≤≥=" and text[1:].strip()[:1].isdigit():
        return f"Type the number without '{text[0]}', for example 9.8 bar."
    if any(sign.isdigit() and not sign.isascii() for sign in text):
        return "Use the plain digits 0 to 9, for example 9.8 bar."
    if any(sign.isdigit() for sign in text):
        return "Type the number first, then its unit, for example 9.8 bar."
    return "That is not a number. Type a number with its unit, for example 9.8 bar."
