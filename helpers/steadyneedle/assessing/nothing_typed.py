"""Whether anything was typed at all, where signs that nobody sees may have come with a paste."""

from __future__ import annotations

import unicodedata

_NO_INK = ("Cc", "Cf", "Mn", "Me", "Zs", "Zl", "Zp")
_DRAWN_AS_NOTHING = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""The blank of Braille, and the letters of Korean that only hold a place."""


def typed_there(text: str) -> bool:
    """Whether a text holds anything that can be seen.

    >>> typed_there("9.8 bar"), typed_there(" \\u200b\\u2800\\u3164\\ufe0f")
    (True, False)
    """
    return any(sign not in _DRAWN_AS_NOTHING and unicodedata.category(sign) not in _NO_INK for sign in text)
