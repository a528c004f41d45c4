"""What a kernel of ours does when it starts: `lesson` is there before the first cell, a page's kernel is warm."""

from __future__ import annotations

import importlib
import os
import re
from pathlib import Path
from typing import Any

from steadyneedle.foundation.elsewhere import elsewhere

NEEDED = {
    "01": ("scipy.interpolate", "scipy.special"),
    "02": ("scipy.integrate", "scipy.interpolate", "scipy.optimize", "scipy.special"),
    "03": ("scipy.special",),
    "04": ("scipy.integrate", "scipy.interpolate", "scipy.optimize", "scipy.special"),
    "04b": (),
    "05": ("scipy.special",),
}
"""What a lesson's cells import inside functions, by its number: a page's kernel has half a second to spare for it."""
FIRST = "Run the first cell of this lesson first: choose Run, then Run All Cells."


def session_lesson() -> str:
    """Number of the lesson this kernel was started for; empty where it was started for something else.

    >>> os.environ["JPY_SESSION_NAME"] = "03-specification-bands.ipynb"
    >>> session_lesson()
    '03'
    >>> del os.environ["JPY_SESSION_NAME"]
    """
    name = Path(os.environ.get("JPY_SESSION_NAME", "")).name
    found = re.match(r"(\d\d[a-z]?)-.*\.ipynb", name)
    return found[1] if found else ""


class LessonToCome:
    """Stands for `lesson` until the first cell has run: any cell then works alone, or says what to do."""

    def __init__(self) -> None:
        self._opened: Any = None

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        if self._opened is None:
            from steadyneedle.questions.plans import MODULES
            from steadyneedle.teaching.lesson import open_lesson

            number = session_lesson()
            if number not in MODULES:
                return lambda *_arguments: print(FIRST)
            self._opened = open_lesson(number)
        return getattr(self._opened, name)


def warm() -> None:
    """Import what the lesson of this kernel needs, while the page is still loading."""
    from steadyneedle.questions.plans import MODULES
    from steadyneedle.teaching.frame.publishing import leave_no_stills

    leave_no_stills()

    importlib.import_module("steadyneedle.teaching.lesson")
    number = session_lesson()
    if number in MODULES:
        importlib.import_module(f"steadyneedle.teaching.panels.{MODULES[number]}")
    for name in NEEDED.get(number, ()):
        importlib.import_module(name)


with elsewhere():
    import matplotlib  # noqa: F401

lesson = LessonToCome()
