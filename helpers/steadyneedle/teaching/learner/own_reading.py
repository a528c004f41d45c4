"""A reading of one's own, judged by a sheet: the calculation of lesson 03 on a real needle."""

from __future__ import annotations

from steadyneedle.bench.bands.by_sheet import judge_by_sheet, which_band
from steadyneedle.bench.sheets import Sheet, Sheets
from steadyneedle.bench.units import formatted, label, read_quantity
from steadyneedle.teaching.frame.form import Button, ChoiceField, Form, Message, TextField
from steadyneedle.teaching.learner.kept import READING
from steadyneedle.teaching.learner.progress import Progress

NO_UNIT = "A number needs its unit"
"""How the sentence begins that names bar as an example of a unit."""


class OwnReadingSession:
    """Choose a sheet, type a reading, see it judged."""

    def __init__(self, sheets: Sheets, progress: Progress, keys: tuple[str, ...]) -> None:
        self._sheets = {name: one for name, one in sheets.items() if one.has_band}
        self._progress = progress
        self._keys = keys

    def view(self) -> Form:
        """The form as it stands."""
        state = self._progress.entry(*self._keys, fields=READING)
        kept = str(state.get("sheet", ""))
        name = kept if kept in self._sheets else next(iter(self._sheets))
        return Form(
            title="Your own reading",
            question=("Type what your needle shows, with its unit. The sheet's gauge and rule judge it.",),
            fields=(
                ChoiceField("sheet", "Specification sheet", tuple((one, one) for one in self._sheets), name),
                TextField("answer", "Reading, gauge pressure", str(state.get("typed", ""))),
            ),
            buttons=(Button("judge", "Judge it"),),
            enter="judge",
            message=self._said(str(state["judged"]), name) if "judged" in state else Message(),
            version=1,
        )

    def _said(self, judged: str, sheet: str) -> Message:
        """The verdict, and what it was about."""
        made = self._judge(judged, self._sheets[sheet])
        return Message(made.word, made.lines, (("answer", judged), ("sheet", sheet)))

    def _judge(self, typed: str, sheet: Sheet) -> Message:
        preferences = self._progress.preferences()
        try:
            reading = read_quantity(typed, "gauge pressure", preferences.decimal)
        except ValueError as error:
            return Message("Not read yet", (_in_the_unit_of(sheet, str(error)),))
        sheet, which = which_band(sheet, str(reading.units))
        made = judge_by_sheet(reading, sheet)
        typed_as = (
            [] if made.reading.units == reading.units else [f"{formatted(reading)} is {formatted(made.reading)}."]
        )
        never = [line for line in (made.choice.after(made.verdict.because),) if line]
        because = made.verdict.because
        lines = (*typed_as, because[:1].upper() + because[1:], *which, *made.notes, *never)
        return Message(made.verdict.word, tuple(preferences.localise(line) for line in lines))

    def typed(self, answers: dict[str, str]) -> None:
        """Keep what was typed, as typed."""
        with self._progress.change(*self._keys, fields=READING) as state:
            state["typed"] = answers.get("answer", "")
            state["sheet"] = answers.get("sheet", "")

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Judge the reading."""
        with self._progress.change(*self._keys, fields=READING) as state:
            state["judged"] = answers.get("answer", "")


def _in_the_unit_of(sheet: Sheet, words: str) -> str:
    """What asks for a unit, with the sheet's as its example."""
    if sheet.ip_low is None or not words.startswith(NO_UNIT):
        return words
    return words.replace(" bar.", f" {label(sheet.ip_low.units)}.")
