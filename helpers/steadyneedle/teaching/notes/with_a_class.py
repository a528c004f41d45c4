"""What the modules `class_<lesson>` give: rows of a cut, and questions with their answers."""

from __future__ import annotations

Cut = list[tuple[int, str, str, str, str]]
"""Minutes, what to set and show, what to ask, the hands to expect, what to say to each side."""

Questions = list[tuple[str, ...]]
"""What to ask, and the answer."""

MINUTES = 50
"""Of a class hour; lesson 00 takes less."""
