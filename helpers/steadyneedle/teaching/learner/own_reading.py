"""A reading of one's own, judged by a sheet: the calculation of lesson 03 on a real needle."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.bands.by_sheet import judge_by_sheet
from steadyneedle.bench.sheets import Sheet, Sheets
from steadyneedle.bench.units import formatted, read_quantity
from steadyneedle.teaching.learner.progress import Progress


class OwnReadingSession:
    """Choose a sheet, type a reading, see it judged."""

    def __init__(self, sheets: Sheets, progress: Progress, keys: tuple[str, ...]) -> None:
        self._sheets = {name: one for name, one in sheets.items() if one.has_band}
        self._progress = progress
        self._keys = keys

    def view(self) -> dict[str, Any]:
        """The form as it stands."""
        state = self._progress.entry(*self._keys)
        kept = str(state.get("sheet", ""))
        name = kept if kept in self._sheets else next(iter(self._sheets))
        feedback = {"word": "", "lines": []}
        if "judged" in state:
            feedback = self._judge(str(state["judged"]), self._sheets[name])
        return {
            "title": "Your own reading",
            "question": ["Type what your needle shows, with its unit. The sheet's gauge and rule judge it."],
            "fields": [
                {"kind": "one", "name": "sheet", "label": "Specification sheet", "options": [(name, name) for name in self._sheets], "value": name, "fixed": False},
                {"kind": "text", "name": "answer", "label": "Reading, gauge pressure", "value": str(state.get("typed", "")), "note": ""},
            ],
            "buttons": [{"name": "judge", "label": "Judge it"}],
            "enter": "judge",
            "feedback": feedback,
            "hints": [], "solution": [], "version": 1,
        }  # fmt: skip

    def _judge(self, typed: str, sheet: Sheet) -> dict[str, Any]:
        try:
            reading = read_quantity(typed, "gauge pressure", self._progress.preferences().decimal)
        except ValueError as error:
            return {"word": "Not read yet", "lines": [str(error)]}
        made = judge_by_sheet(reading, sheet)
        typed_as = (
            [] if made.reading.units == reading.units else [f"{formatted(reading)} is {formatted(made.reading)}."]
        )
        never = [] if made.choice.can_pass else [made.choice.because]
        lines = [
            self._progress.preferences().localise(line)
            for line in (*typed_as, made.verdict.because, *made.notes, *never)
        ]
        return {"word": made.verdict.word, "lines": lines}

    def typed(self, answers: dict[str, str]) -> None:
        """Keep what was typed, as typed."""
        with self._progress.change(*self._keys) as state:
            state["typed"] = answers.get("answer", "")
            state["sheet"] = answers.get("sheet", "")

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Judge the reading."""
        with self._progress.change(*self._keys) as state:
            state["judged"] = answers.get("answer", "")
