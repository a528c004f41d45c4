"""JSON that somebody may have edited: what can be taken is taken, and what cannot is named.

Out of an odd file nothing comes that cannot be written again: no NaN or infinity, no number of a thousand digits,
nothing nested without end.
"""

from __future__ import annotations

import json
import math
from typing import Any

DEEPEST = 60
"""Levels of nesting that are kept; ours are six."""

LONGEST_INTEGER = 300
"""Digits; a float holds no larger number."""


class PlainJSONError(ValueError):
    """The bytes are no JSON at all."""


class Odd(set[str]):
    """What could not be taken as it stands, in a word each; empty where all could."""


class _Refused:
    """In place of a value that no JSON can hold."""


_REFUSED = _Refused()


def read_plain(data: bytes) -> tuple[Any, Odd]:
    """The value that the bytes hold, and what of it could not be taken; that is left out, or None in a list.

    Parameters
    ----------
    data : bytes
        JSON in UTF-8, with or without a byte-order mark.

    Returns
    -------
    tuple
        The value, and what is odd about it. Of a name that stands twice in an object the last value is taken.

    Raises
    ------
    PlainJSONError
        Not UTF-8, not JSON, or nested so deeply that it cannot be read.

    Examples
    --------
    >>> value, odd = read_plain(b'{"a": NaN, "b": 1, "b": 2}')
    >>> value, sorted(odd)
    ({'b': 2}, ['a name twice', 'a number'])
    """
    odd = Odd()

    def integer(text: str) -> Any:
        return int(text) if len(text) <= LONGEST_INTEGER else _REFUSED

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(items)
        if len(made) < len(items):
            odd.add("a name twice")
        return made

    try:
        value = json.loads(
            data.decode("utf-8-sig"), parse_constant=lambda _: _REFUSED, parse_int=integer, object_pairs_hook=pairs
        )
    except (ValueError, RecursionError) as error:
        raise PlainJSONError("This is no JSON.") from error
    return _taken(value, odd, 0), odd


def _taken(value: Any, odd: Odd, depth: int) -> Any:
    if isinstance(value, dict | list) and depth >= DEEPEST:
        odd.add("nested too deeply")
        return None
    if isinstance(value, dict):
        made = {name: _taken(one, odd, depth + 1) for name, one in value.items()}
        return {name: one for name, one in made.items() if one is not _REFUSED}
    if isinstance(value, list):
        taken = [_taken(one, odd, depth + 1) for one in value]
        return [None if one is _REFUSED else one for one in taken]
    if value is _REFUSED or (isinstance(value, float) and not math.isfinite(value)):
        odd.add("a number")
        return _REFUSED
    return value
