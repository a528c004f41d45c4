"""A reading of one's own, judged by a sheet: the calculation of lesson 03 on a real needle."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.bands import Gauge, choose_gauge, judge
from steadyneedle.bench.sheets import Sheet, Sheets
from steadyneedle.bench.units import Q, read_quantity, say
from steadyneedle.teaching.progress import Progress

WORDS = {"inside": "Inside", "outside": "Outside", "cannot tell": "Cannot tell"}


def judge_by_sheet(reading: Any, sheet: Sheet) -> tuple[str, tuple[str, ...]]:
    """Outcome and sentences for a gauge reading under a sheet, with the gauge and rule it names.

    What the sheet leaves open is said: without a gauge, U is taken from a 0 to 16 bar gauge of class 1.6.
    """
    lines = []
    gauge = sheet.gauge()
    if gauge is None:
        gauge = Gauge(Q(16, "bar"), 1.6, Q(0.2, "bar"))
        lines.append("The sheet names no gauge: taken as 0 to 16 bar, class 1.6, division 0.2 bar.")
    if sheet.rule is None:
        lines.append("The sheet names no rule: taken as simple acceptance.")
    if sheet.supply is not None:
        lines.append(f"The band holds at {say(sheet.supply)} supply.")
    rule, required = sheet.rule or "simple", sheet.required_probability or 0.95
    low, high = sheet.ip_low, sheet.ip_high
    verdict = judge(reading, low, high, gauge.expanded_uncertainty(), rule, required)
    choice = choose_gauge(gauge, low, high.to(low.units), rule, required)
    if not choice.can_pass:
        lines.append(choice.because)
    return verdict.outcome, (verdict.because, *lines)


class OwnReadingSitting:
    """Choose a sheet, type a reading, see it judged."""

    def __init__(self, sheets: Sheets, progress: Progress, keys: tuple[str, ...]) -> None:
        self._sheets = {name: one for name, one in sheets.items() if one.ip_low is not None and one.ip_high is not None}
        self._progress = progress
        self._keys = keys

    def view(self) -> dict[str, Any]:
        """The form as it stands."""
        state = self._progress.entry(*self._keys)
        name = state.get("sheet") if state.get("sheet") in self._sheets else next(iter(self._sheets))
        feedback = {"word": "", "lines": []}
        if "judged" in state:
            feedback = self._judge(str(state["judged"]), self._sheets[name])
        return {
            "title": "Your own reading",
            "question": ["Type what your needle shows, with its unit. The sheet's gauge and rule judge it."],
            "fields": [
                {"kind": "one", "name": "sheet", "label": "Specification sheet", "options": list(self._sheets), "value": name, "fixed": False},
                {"kind": "text", "name": "answer", "label": "Reading, gauge pressure", "value": str(state.get("typed", "")), "note": ""},
            ],
            "buttons": [{"name": "judge", "label": "Judge it"}],
            "enter": "judge",
            "feedback": feedback,
            "hints": [], "solution": [], "version": 1,
        }  # fmt: skip

    def _judge(self, typed: str, sheet: Sheet) -> dict[str, Any]:
        try:
            reading = read_quantity(typed, "gauge pressure", self._progress.taste().decimal)
        except ValueError as error:
            return {"word": "Not read yet", "lines": [str(error)]}
        outcome, lines = judge_by_sheet(reading, sheet)
        return {"word": WORDS[outcome], "lines": list(lines)}

    def typed(self, answers: dict[str, str]) -> None:
        """Keep what was typed, as typed."""
        with self._progress.change(*self._keys) as state:
            state["typed"] = answers.get("answer", "")
            state["sheet"] = answers.get("sheet", "")

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Judge the reading."""
        with self._progress.change(*self._keys) as state:
            state["judged"] = answers.get("answer", "")
