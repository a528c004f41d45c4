"""Panels of lesson 00: one of each kind."""

from __future__ import annotations

from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.form import FormSession
from steadyneedle.teaching.learner.choices import PreferencesSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.offered import Live, Makers, SheetLoader, Table
from steadyneedle.teaching.panels.pressure import dial_panel, line_panel


def panels(preferences: Preferences, _sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 00, by name."""
    return {"gauge": lambda: dial_panel(preferences, 20.0, 10.0, "A gauge"), "chart": lambda: line_panel(preferences)}


def forms(progress: Progress, _sheets: SheetLoader) -> Makers[FormSession]:
    """The forms of lesson 00, by name."""
    return {"choices": lambda: PreferencesSession(progress)}


def tables(_preferences: Preferences, _sheets: SheetLoader) -> Makers[Table]:
    """Lesson 00 has none."""
    return {}
