"""Sentences of lesson 00 whose numbers are computed: none so far."""

from __future__ import annotations

from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.offered import Makers, SheetLoader


def notes(_preferences: Preferences, _sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Lesson 00 has none."""
    return {}
