"""A gauge log of one's own, judged in the lesson as `steadyneedle trace` judges it."""

from __future__ import annotations

import datetime
import tempfile
from collections.abc import Callable
from pathlib import Path

from steadyneedle.bench.sheets import Sheets
from steadyneedle.bench.trace import judge_trace, read_log
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.log import log_figure
from steadyneedle.teaching.frame.logs import LogPanel

TITLE = "Your own log"
QUESTION = (
    "Choose a CSV file from your bench.",
    "Its header names time and pressure with their units, for example time_s,pressure_bar.",
    "Readings typed every 15 seconds do as well as a transducer's.",
)
NO_SHEET = "no sheet"


def judge_with(preferences: Preferences, sheets: Sheets) -> Callable[[str, bytes, str, str], tuple[list[str], bytes]]:
    """Judges a file's bytes: the lines to show and a picture. ValueError says what is wrong with the file."""

    def judge(name: str, data: bytes, columns: str, sheet: str) -> tuple[list[str], bytes]:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / (Path(name).name or "log.csv")
            path.write_bytes(data)
            log = read_log(path, columns.split(",") if columns.strip() else None)
        chosen = None if sheet in ("", NO_SHEET) else sheets[sheet]
        verdict = judge_trace(log, chosen)
        picture = png_of(log_figure(log, verdict, chosen, preferences.localise, datetime.date.today()))
        return [preferences.localise(line) for line in verdict.lines()], picture

    return judge


def log_panel(preferences: Preferences, sheets: Sheets) -> LogPanel:
    """The file picker of a lesson."""
    return LogPanel(TITLE, QUESTION, (NO_SHEET, *sheets), judge_with(preferences, sheets))
