"""Sentences with numbers in them: format strings over the names of a question, localised once.

A field is written as Python writes it, `{depth}` or `{depth:.1f}`; the number becomes what our sentences print.
"""

from __future__ import annotations

import re
import string
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from steadyneedle.bench.units import format_number
from steadyneedle.questions.preferences import Preferences

_DECIMALS = re.compile(r"\.(\d)f")

Text = str | tuple[str, ...]
"""One line, or several."""


def as_shown(value: float, decimals: int) -> Decimal:
    """A number as a sentence shows it, to be compared as a reader compares it: 145.02 shown as 145.0 is 145.

    Halves are rounded up, as people round them. A float's last bits, past the tenth decimal, count for nothing.

    >>> as_shown(145.02, 1) <= 145, as_shown(9.2 + 0.8 - 0.14, 2), as_shown(0.35 / 4, 3), as_shown(1.9 / 0.04, 0)
    (True, Decimal('9.86'), Decimal('0.088'), Decimal('48'))
    """
    return Decimal(repr(round(float(value), 10))).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


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
        return format_number(float(as_shown(value, int(decimals[1]))), int(decimals[1]))


_WRITER = _Writer()


def written(text: Text, names: Mapping[str, Any], preferences: Preferences) -> list[str]:
    """Lines with their numbers, in a learner's decimal mark.

    >>> written("At {depth} m it reads {ip:.2f} bar.", {"depth": 30, "ip": 9.8}, Preferences("comma"))
    ['At 30 m it reads 9,80 bar.']
    """
    lines = (text,) if isinstance(text, str) else text
    return [preferences.localise(_WRITER.vformat(line, (), names)) for line in lines]
