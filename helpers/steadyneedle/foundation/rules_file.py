"""Where the instructor's own cleaning rules are."""

from __future__ import annotations

import os
from pathlib import Path

CLEANING_VARIABLE = "STEADYNEEDLE_CLEANING"


def cleaning_rules() -> Path | None:
    """File of the instructor's own cleaning rules; None where none was named."""
    named = os.environ.get(CLEANING_VARIABLE)
    return Path(named) if named else None
