"""What a lesson's module of panels offers: `panels(preferences, sheets)` and `tables(preferences, sheets)`, each by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from steadyneedle.bench.sheets import Sheets

Thing = TypeVar("Thing")
Shown = dict[str, Callable[[], Thing]]
"""Name to what makes it, so that nothing is computed before it is shown."""

Rows = list[tuple[str, ...]]
Table = tuple[tuple[str, ...], Rows]
Sheeted = Callable[[], Sheets]
"""The sheets in use, read when they are wanted."""
