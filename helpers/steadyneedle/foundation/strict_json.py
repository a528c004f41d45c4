"""JSON from somebody who may mean harm: it is all as it should be, or one sentence says what is wrong with it.

`plain_json` takes what can be taken of a learner's own file. Here nothing is mended: a name that stands twice, a number
that is none, half a letter, and the file is refused.
"""

from __future__ import annotations

import json
import math
from typing import Any

from steadyneedle.foundation.text_files import printable

DEEPEST = 20
"""Levels of nesting."""

MOST_SIGNS = 100_000
"""Brackets, braces, commas and colons: beyond them a small file makes a large object of itself."""

LONGEST_NUMBER = 40
"""Digits of one number."""


class StrictJSONError(ValueError):
    """The bytes are refused; the words say what they hold, to stand behind the name of a file."""


def read_strict(data: bytes) -> Any:
    """The value that the bytes hold.

    Parameters
    ----------
    data : bytes
        JSON in UTF-8, with or without a byte-order mark.

    Returns
    -------
    object
        Mappings, lists, text, numbers that are finite, True, False, None.

    Raises
    ------
    StrictJSONError
        Empty, not UTF-8, not JSON, cut off, a name twice in one object, NaN or infinity, a number beyond a float or of
        more than 40 digits, half of a surrogate pair, more than 20 levels, more than 100,000 parts.

    Examples
    --------
    >>> read_strict(b'{"answers": {"1": "9.8 bar"}}')
    {'answers': {'1': '9.8 bar'}}
    >>> read_strict(b'{"a": 1, "a": 2}')
    Traceback (most recent call last):
    steadyneedle.foundation.strict_json.StrictJSONError: holds the name 'a' twice
    """
    if not data.strip():
        raise StrictJSONError("is empty")
    if sum(map(data.count, (b"[", b"{", b",", b":"))) > MOST_SIGNS:
        raise StrictJSONError("holds more parts than any such file has")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise StrictJSONError("is no text in UTF-8") from None
    try:
        value = json.loads(
            text, parse_constant=_constant, parse_int=_integer, parse_float=_float, object_pairs_hook=_pairs
        )
    except RecursionError:
        raise StrictJSONError(f"is nested more than {DEEPEST} levels deep") from None
    except json.JSONDecodeError as error:
        at_end = not text[error.pos :].strip() or "Unterminated" in error.msg
        raise StrictJSONError("is cut off: its end is missing" if at_end else "is damaged: it is no JSON") from None
    _refuse_depth(value)
    if "\\u" in text:
        _refuse_half_letters(value)
    return value


def _constant(word: str) -> Any:
    raise StrictJSONError(f"holds {word} where a number should stand")


def _integer(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise StrictJSONError(f"holds a number of {len(digits)} signs")
    return int(digits)


def _float(digits: str) -> float:
    if len(digits) > LONGEST_NUMBER:
        raise StrictJSONError(f"holds a number of {len(digits)} signs")
    value = float(digits)
    if not math.isfinite(value):
        raise StrictJSONError(f"holds {digits}, a number beyond all measure")
    return value


def _pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(items)
    if len(made) < len(items):
        seen: set[str] = set()
        twice = next(name for name, _ in items if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        raise StrictJSONError(f"holds the name '{printable(twice, 30)}' twice")
    return made


def _refuse_depth(value: Any) -> None:
    """Level by level, without recursion."""
    level = [value]
    for _ in range(DEEPEST):
        level = [one for part in level if isinstance(part, dict | list) for one in _inside(part)]
        if not level:
            return
    if any(isinstance(one, dict | list) for one in level):
        raise StrictJSONError(f"is nested more than {DEEPEST} levels deep")


def _inside(part: dict[str, Any] | list[Any]) -> list[Any]:
    return [*part.values()] if isinstance(part, dict) else part


def _refuse_half_letters(value: Any) -> None:
    """Half of a surrogate pair can be written in JSON, in UTF-8 it cannot."""
    try:
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError:
        raise StrictJSONError("holds half of a letter, which no keyboard types") from None
