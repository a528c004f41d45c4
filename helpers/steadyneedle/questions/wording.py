"""Sentences with numbers in them: format strings over the names of a question, localised once.

A field is written as Python writes it, `{depth}` or `{depth:.1f}`; the number becomes what our sentences print.
"""

from __future__ import annotations

import re
import string
from collections.abc import Mapping
from typing import Any

from steadyneedle.bench.units import format_number
from steadyneedle.questions.preferences import Preferences

_DECIMALS = re.compile(r"\.(\d)f")

Text = str | tuple[str, ...]
"""One line, or several."""


class _Writer(string.Formatter):
    """Looks names up among givens and work, and writes numbers as our sentences do."""

    def get_value(self, key: int | str, _args: Any, names: Any) -> Any:
        return names[key]

    def format_field(self, value: Any, spec: str) -> str:
        if isinstance(value, str) or (isinstance(value, int) and not spec):
            return str(value)
        if not spec:
            return format_number(value)
        decimals = _DECIMALS.fullmatch(spec)
        if decimals is None:
            raise ValueError(f"'{spec}' is no format of a sentence: leave it out, or write .2f.")
        return format_number(value, int(decimals[1]))


_WRITER = _Writer()


def written(text: Text, names: Mapping[str, Any], preferences: Preferences) -> list[str]:
    """Lines with their numbers, in a learner's decimal mark.

    >>> written("At {depth} m it reads {ip:.2f} bar.", {"depth": 30, "ip": 9.8}, Preferences("comma"))
    ['At 30 m it reads 9,80 bar.']
    """
    lines = (text,) if isinstance(text, str) else text
    return [preferences.localise(_WRITER.vformat(line, (), names)) for line in lines]
