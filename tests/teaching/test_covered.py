"""What answers a prediction comes after it and is tagged: the lessons as committed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.foundation import notebooks, places
from steadyneedle.questions.plans import HiddenFault, Prediction, Series, plan_of
from steadyneedle.teaching.frame.grids import GridPanel
from steadyneedle.teaching.frame.panel import Panel
from steadyneedle.teaching.frame.played import BenchPanel
from steadyneedle.teaching.lesson import Lesson

TAG = "after:"
LESSONS = sorted(places.lessons().glob("[0-9]*.ipynb"))
EVERY = sorted(places.lessons().rglob("*.ipynb"))
NEVER = ("## My progress", "## Summary", "## Sources", "## Warm-up", "## Before you touch a real part")
every_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.name)

ANSWERED = (
    ("00", "gauge", "14.5 of them"), ("01", "dial", "14.5038"), ("01", "rulers", "*a foot of sea water*"),
    ("01", "depth", "absolute = gauge + ambient"), ("01", "depth", "adds 1 bar"), ("01", "two_lines", "Round a limit inward"),
    ("01", "content", "less fits in"), ("01", "content", "real-gas factor"), ("02", "forces", "presses the valve harder"),
    ("02", "supply", "IP **rises**"), ("02", "depth", "stands in the same ambient"), ("02", "droop", "fallen below lock-up"),
    ("02", "cold", "Air cools as"), ("02", "leak", "√temperature"), ("02", "bench", "ever more slowly"),
    ("03", "verdict", "watch the verdict change"), ("04", "ten_seconds", "less than the needle is wide"), ("04", "apart", "ever more slowly"),
    ("04", "watch", "less than one division"), ("04", "opening", "no longer hold the valve shut"), ("04", "bookkeeping", "IP rises only if"),
    ("05", "grid", "no rule here covers it"), ("05", "bath", "the same part of what is left"), ("05", "hardness", "nobody can be sure"),
    ("05", "fused", "They are replaced, whatever is on them"), ("05", "oxygen", "Nothing here makes a part oxygen-clean"),
)  # fmt: skip
"""Lesson, prediction, and words that answer it. Each stands in cells that wait for it, or nowhere but in what never waits."""


def cells_of(path: Path) -> list[dict[str, Any]]:
    cells: list[dict[str, Any]] = notebooks.read(path)["cells"]
    return cells


def waits_for(cell: dict[str, Any]) -> set[str]:
    return {tag[len(TAG) :] for tag in cell["metadata"].get("tags", []) if tag.startswith(TAG)}


def asks(cell: dict[str, Any]) -> str:
    """The prediction that a cell asks; empty where it asks none."""
    source = notebooks.source_of(cell)
    return source.split('"')[1] if cell["cell_type"] == "code" and source.startswith("lesson.predict(") else ""


def text_of(cell: dict[str, Any]) -> str:
    """What a reader sees of it: its source, and what it prints."""
    printed = ("".join(output["data"].get("text/plain", "")) for output in cell.get("outputs", []))
    return "\n".join([notebooks.source_of(cell), *(printed if ".note(" in notebooks.source_of(cell) else ())])


def is_heading(cell: dict[str, Any]) -> bool:
    return cell["cell_type"] == "markdown" and notebooks.source_of(cell).lstrip().startswith("#")


def until_heading(cells: list[dict[str, Any]], after: int) -> Iterator[dict[str, Any]]:
    for cell in cells[after + 1 :]:
        if is_heading(cell):
            return
        yield cell


@every_lesson
def test_every_cell_waits_for_the_predictions_before_it_and_for_no_other(path: Path) -> None:
    waiting: set[str] = set()
    for cell in cells_of(path):
        if is_heading(cell):
            waiting = set()
            assert "\n#" not in notebooks.source_of(cell).split("## Summary")[0].rstrip(), "one heading a cell"
        assert waits_for(cell) == waiting, notebooks.source_of(cell)
        waiting = waiting | {asks(cell)} - {""}


@every_lesson
def test_what_is_waited_for_is_asked_and_once(path: Path) -> None:
    cells = cells_of(path)
    asked = [name for name in map(asks, cells) if name]
    assert len(asked) == len(set(asked)) and asked == [
        one.name for one in plan_of(notebooks.number_of(path.name)).predictions
    ]
    covered = set().union(*map(waits_for, cells))
    under_nothing = {
        one.name for one in plan_of(notebooks.number_of(path.name)).predictions if isinstance(one, HiddenFault)
    }
    assert covered == set(asked) - under_nothing, "each covers something; a bench with a hidden fault covers itself"


@pytest.mark.parametrize("path", EVERY, ids=lambda path: path.name)
def test_what_everybody_needs_is_never_covered(path: Path) -> None:
    never = False
    for cell in cells_of(path):
        source = notebooks.source_of(cell)
        if is_heading(cell):
            never = any(one in source for one in NEVER) or "instructor" in path.parts
        assert not (never and waits_for(cell)), source


@every_lesson
def test_python_outputs_what_is_covered(path: Path) -> None:
    """So that a reader without the page, a check of outputs and paper see all of it."""
    hidden = [cell for cell in cells_of(path) if waits_for(cell) and cell["cell_type"] == "code"]
    assert hidden and all(cell["outputs"] for cell in hidden)


@pytest.mark.parametrize(("number", "name", "words"), ANSWERED)
def test_what_answers_a_prediction_waits_for_it(number: str, name: str, words: str) -> None:
    (path,) = places.lessons().glob(f"{number}-*.ipynb")
    holding, never = [], False
    for cell in cells_of(path):
        source = notebooks.source_of(cell)
        if is_heading(cell):
            never = any(one in source for one in NEVER)
        if words in re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text_of(cell)) and not never:
            holding.append(cell)
    assert all(name in waits_for(cell) for cell in holding)
    explained = [one.explanation for one in plan_of(number).predictions if isinstance(one, Prediction)]
    assert holding or any(words in one for one in explained), "the words have changed: say here what answers it now"


@every_lesson
def test_what_is_said_after_recording_fits_what_follows(path: Path) -> None:
    lesson, cells = Lesson(notebooks.number_of(path.name)), cells_of(path)
    for n, cell in enumerate(cells):
        if not asks(cell):
            continue
        following = [notebooks.source_of(one) for one in until_heading(cells, n)]
        calls = {one.split("(")[0].removeprefix("lesson.") for one in following if one.startswith("lesson.")}
        names = [one.split('"')[1] for one in following if one.startswith("lesson.panel(")]
        panels = [lesson.make_panel(name) for name in names]
        asked = lesson.plan.prediction(asks(cell))
        if not isinstance(asked, Prediction):
            continue
        if "controls below" in asked.look:
            assert any(isinstance(one, Panel) and one.controls for one in panels), asked.name
        elif "table below" in asked.look:
            assert "table" in calls and not names, asked.name
        elif "bench below" in asked.look:
            assert any(isinstance(one, BenchPanel) for one in panels), asked.name
        elif "grid below" in asked.look:
            assert any(isinstance(one, GridPanel) for one in panels), asked.name
        elif "read on below" in asked.look:
            assert not names and calls & {"note", "table"}, asked.name
        elif "let time run" in asked.look:
            assert any(getattr(one.controls[0], "plays", 0) for one in panels if isinstance(one, Panel)), asked.name
        else:
            (other,) = (lesson.plan.prediction(asks(one)) for one in until_heading(cells, n) if asks(one))
            assert isinstance(other, Series) and "nine needles" in asked.look and other.count == 9
