"""A gauge log of one's own, from a file or a typed table, judged in the lesson as `steadyneedle trace` judges it."""

from __future__ import annotations

import datetime

from steadyneedle.bench.sheets import Sheet, Sheets
from steadyneedle.bench.trace import Log, LogError, judge_trace, read_text
from steadyneedle.bench.trace.scale import BAR, Scale
from steadyneedle.foundation.text_files import printable
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.log import log_figure
from steadyneedle.teaching.frame.logs import Judge, Judged, LogPanel, SentLog

TITLE = "Your own log"
QUESTION = (
    "Choose a file from your bench, or type or paste a table.",
    "Its header names time and pressure with their units, for example time_s,pressure_bar.",
    "Readings typed every 15 seconds do as well as a transducer's. Times may be seconds, mm:ss or a clock.",
)
NO_SHEET = "no sheet"
MARKS = {"as the numbers show": None, "comma (9,8)": "comma", "point (9.8)": "point"}
HOW_TO_SETTLE = {
    "columns": " Or say below what the columns hold, for example time_s,pressure_bar.",
    "decimal": " Or choose the decimal mark below.",
}
"""How the page lets a person settle what a log leaves open, by `LogError.mend`."""


def judge_with(preferences: Preferences, sheets: Sheets) -> Judge:
    """Judges a log that the page sent: the lines to show and a picture. ValueError says what is wrong with it."""

    def judge(sent: SentLog) -> Judged:
        columns = [part.strip() for part in sent.columns.split(",")] if sent.columns.strip() else None
        try:
            log = read_text(sent.data, sent.name, columns, MARKS.get(sent.decimal))
            if sent.sheet not in ("", NO_SHEET, *sheets):
                raise ValueError(
                    f"There is no sheet '{printable(sent.sheet)}' here. Choose another, then judge it again."
                )
            chosen = None if sent.sheet in ("", NO_SHEET) else sheets[sent.sheet]
            verdict = judge_trace(log, chosen, unit=_unit(log, preferences))
        except LogError as error:
            raise ValueError(f"{error}{HOW_TO_SETTLE.get(error.mend, '')}") from error
        picture = png_of(log_figure(log, verdict, chosen, preferences.localise, datetime.date.today()))
        lines = [line if chosen is None else line.replace(*_of_the_sheet(chosen)) for line in verdict.lines()]
        return [preferences.localise(line) for line in lines], picture

    return judge


def _of_the_sheet(chosen: Sheet) -> tuple[str, str]:
    """What is said where nothing is asked, and what holds of a sheet that was chosen but asks nothing."""
    asks_nothing = f"The sheet of {chosen.name} gives neither a band nor an allowed rise"
    return "No sheet is named", asks_nothing


def _unit(log: Log, preferences: Preferences) -> str:
    """The log's own, which its gauge shows; but a reader of psi reads a log in bar in psi."""
    return preferences.first if Scale.of(log.unit) == BAR else log.unit


def log_panel(preferences: Preferences, sheets: Sheets) -> LogPanel:
    """A file or a table, for a lesson."""
    return LogPanel(TITLE, QUESTION, (NO_SHEET, *sheets), tuple(MARKS), judge_with(preferences, sheets))
