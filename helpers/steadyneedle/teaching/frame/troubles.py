"""What a person reads when something fails behind a page: one sentence; the rest goes into a file named there."""

from __future__ import annotations

import contextlib
import datetime
import traceback
from pathlib import Path
from typing import Any

from steadyneedle.foundation import user_state
from steadyneedle.foundation.store import StoreError

FILE = "troubles.txt"
MOST_BYTES = 500_000
"""A file larger than this begins anew."""


def sentence_of(error: Exception) -> str:
    """The sentence for the page: our own refusal as it stands, or where it is written what failed.

    >>> sentence_of(ValueError("The reading is empty. Type a number and a unit."))
    'The reading is empty. Type a number and a unit.'
    """
    words = str(error)
    # a refusal of ours is a sentence; what Python or a library raises has no full stop
    if isinstance(error, StoreError) or (isinstance(error, ValueError) and words.endswith(".")):
        return words
    kept = _written_down(error)
    where = f"What happened stands in {kept}." if kept else "Nor could it be written down what happened."
    return f"Something failed here that should not ({type(error).__name__}). Run the lesson again. {where}"


def number_in(message: dict[str, Any], name: str) -> float:
    """A number that the page sent; 0 where it is none."""
    value = message.get(name)
    usable = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e15
    return value if usable and isinstance(value, int | float) else 0


def _written_down(error: Exception) -> Path | None:
    """Add it to the file of this user's troubles; None where that cannot be written."""
    path = user_state.state_folder() / "log" / FILE
    lines = [datetime.datetime.now().astimezone().isoformat(timespec="seconds"), *traceback.format_exception(error)]
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        mode = "a" if path.exists() and path.stat().st_size < MOST_BYTES else "w"
        with path.open(mode, encoding="utf-8", errors="replace") as file:
            file.write("\n".join(lines) + "\n")
        return path
    return None
