"""A short digest of a picture's numbers and words: two pictures with one digest say the same."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from typing import Any

import numpy as np


def digest(result: Any, text: str) -> str:
    """Digest of a result and its sentence, nine significant figures of each number.

    >>> digest({"pressure": 9.8}, "9.8 bar") == digest({"pressure": 9.8 + 1e-12}, "9.8 bar")
    True
    """
    plain = json.dumps([_plain(result), text], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(plain.encode("utf-8")).hexdigest()[:16]


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: _plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, np.ndarray | list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, bool | str | None):
        return value
    if isinstance(value, float | int | np.number):
        return f"{float(value):.9g}"
    return str(value)
