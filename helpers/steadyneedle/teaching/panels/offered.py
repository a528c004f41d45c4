"""What a lesson's module of panels offers: `panels`, `tables` and, where it has its own, `forms`; a maker by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from steadyneedle.bench.sheets import Sheets
from steadyneedle.teaching.frame.grids import GridPanel
from steadyneedle.teaching.frame.logs import LogPanel
from steadyneedle.teaching.frame.panel import Panel
from steadyneedle.teaching.frame.played import BenchPanel

Thing = TypeVar("Thing")
Makers = dict[str, Callable[[], Thing]]
"""Name to what makes it, so that nothing is computed before it is shown."""

Live = Panel | BenchPanel | LogPanel | GridPanel
"""What a lesson shows live."""

Rows = list[tuple[str, ...]]
Table = tuple[tuple[str, ...], Rows]
SheetLoader = Callable[[], Sheets]
"""The sheets in use, read when they are wanted."""
