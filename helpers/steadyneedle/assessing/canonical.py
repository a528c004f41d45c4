"""Data as one text and its digest: the same data give the same bytes, whatever the order of their names."""

from __future__ import annotations

import hashlib
import json
from typing import Any


def canonical(data: Any) -> bytes:
    """JSON without blanks, names in order.

    >>> canonical({"b": 1, "a": "½"})
    b'{"a":"\\xc2\\xbd","b":1}'
    """
    text = json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8", "backslashreplace")


def digest_of(data: Any) -> str:
    """SHA-256 of the canonical text, in hexadecimal."""
    return hashlib.sha256(canonical(data)).hexdigest()
