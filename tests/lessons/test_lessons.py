"""The lessons as committed: their shape, their freshness, their language."""

from __future__ import annotations

import importlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from steadyneedle import refresh as refreshing
from steadyneedle.bench.sheets import Sheets, load_sheets
from steadyneedle.foundation import notebooks, places
from steadyneedle.foundation.notebooks import VIEW
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.notes.with_a_class import MINUTES

ALL = sorted(places.lessons().rglob("*.ipynb"))
LESSONS = sorted(places.lessons().glob("[0-9]*.ipynb"))
INSTRUCTOR = sorted((places.lessons() / "instructor").glob("[0-9]*.ipynb"))
ASSESSOR = places.lessons() / "instructor" / "assessor.ipynb"
GLOSSARY = places.lessons() / "glossary.ipynb"
PRINTS = (
    ".note(", "lesson.begin(", "lesson.table(", "lesson.worked(", ".answers(", ".class_cut(", ".class_questions(",
)  # fmt: skip
"""Calls that print numbers or words that must not change unseen."""

TAGS = r"nbval-check-output|after:\w+"
"""`nbval-check-output`: what it prints is compared. `after:NAME`: covered until prediction NAME is recorded."""

every_notebook = pytest.mark.parametrize("path", ALL, ids=lambda path: path.name)
every_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.name)


def cells(path: Path, kind: str) -> list[str]:
    return [notebooks.source_of(cell) for cell in notebooks.read(path)["cells"] if cell["cell_type"] == kind]


def words_of(path: Path) -> str:
    return "\n\n".join(cells(path, "markdown"))


def test_every_lesson_has_its_page_for_the_instructor() -> None:
    assert (
        [notebooks.number_of(path.name) for path in LESSONS]
        == list(MODULES)
        == [notebooks.number_of(path.name) for path in INSTRUCTOR]
    )


@every_notebook
def test_code_is_short_hidden_and_tagged(path: Path) -> None:
    for cell in notebooks.read(path)["cells"]:
        if cell["cell_type"] != "code":
            continue
        source = notebooks.source_of(cell)
        assert source.count("\n") < 5, source
        assert cell["metadata"].get("jupyter") == {"source_hidden": True}
        prints = any(call in source for call in PRINTS)
        assert ("nbval-check-output" in cell["metadata"].get("tags", [])) == prints, source
        assert (
            "%" not in source
            and "!" not in source
            and "import" not in source.replace("from steadyneedle.teaching.lesson import open_lesson", "")
        )


@every_notebook
def test_outputs_are_plain_and_counted(path: Path) -> None:
    book = notebooks.read(path)
    assert set(book["metadata"]) == {"kernelspec", "language_info", "steadyneedle"}
    assert book["metadata"]["steadyneedle"] == notebooks.mark_of(path)
    assert VIEW not in json.dumps(book) and '"widgets"' not in json.dumps(book["metadata"])
    counts = [cell["execution_count"] for cell in book["cells"] if cell["cell_type"] == "code"]
    assert counts == list(range(1, len(counts) + 1))
    assert path.read_text(encoding="utf-8") == notebooks.as_text(book)
    for cell in book["cells"]:
        assert set(cell["metadata"]) <= {"jupyter", "tags", "deletable", "editable"}
        assert cell["metadata"]["deletable"] is cell["metadata"]["editable"] is False
        assert all(re.fullmatch(TAGS, tag) for tag in cell["metadata"].get("tags", []))
        for output in cell.get("outputs", []):
            assert output["output_type"] == "display_data", "no errors, no streams"
            if "image/png" in output["data"]:
                assert re.search(r"\d", output["metadata"]["image/png"]["alt"]), "alternative text with numbers"
                assert "".join(output["data"]["text/plain"]) == output["metadata"]["image/png"]["alt"]
                assert len(output["metadata"]["steadyneedle"]["digest"]) == 16


@every_notebook
def test_lessons_are_fresh(path: Path) -> None:
    """`steadyneedle refresh` mends what this finds; PNG bytes are not compared, their digest and size are."""
    assert refreshing.difference(notebooks.read(path), refreshing.run(path)) == ""


@every_lesson
def test_shape_of_a_lesson(path: Path) -> None:
    plan = plan_of(notebooks.number_of(path.name))
    text, code = words_of(path), "\n".join(cells(path, "code"))
    headings = re.findall(r"^#+ (.*)$", text, re.M)
    assert headings[0].startswith(plan.number)
    assert 3 <= len(plan.objectives) <= 5
    calls = re.findall(r'lesson\.(\w+)\((?:"(\w+)")?\)', code)
    assert calls[0] == ("begin", "")
    assert [name for call, name in calls if call == "exercise"] == [one.name for one in plan.exercises]
    predicted = [name for call, name in calls if call == "predict"]
    assert predicted == [one.name for one in plan.predictions], "every prediction is asked, in its order"
    assert sum(call == "worked" for call, _ in calls) >= 1
    for wanted in ("Before you touch a real part", "My progress", "Summary", "Sources"):
        assert headings.count(wanted) == 1, wanted
    assert "**Next:**" in text and ("where_am_i", "") in calls
    first = next(
        n for n, cell in enumerate(notebooks.read(path)["cells"]) if "Before you touch" in notebooks.source_of(cell)
    )
    assert first <= 5, "the caution stands near the top"
    if plan.number != "00":
        earlier = [one for before in MODULES if before < plan.number for one in plan_of(before).exercises]
        assert calls[1] == ("warm_up", "") and len(set(plan.warm_up)) == min(3, len(earlier))
        assert all(number < plan.number for number, _ in plan.warm_up)
        shown = {name for call, name in calls if call == "panel"}
        lesson = Lesson(plan.number)
        assert set(lesson.panel_names()) == shown - set(lesson._forms()), "every panel is shown"


def test_cautions_are_whole_and_once() -> None:
    for path in LESSONS:
        text = words_of(path)
        for words in ("life support", "relief valve", "Vent before", "eyes and ears", "springs are under load", "maker's current manual",
                      "licence", "local code", "oxygen-clean", "rated", "oil-free"):  # fmt: skip
            assert text.count(words) == 1, (path.name, words)


@every_notebook
def test_invented_places_say_so_and_nobody_promises_safety(path: Path) -> None:
    text = words_of(path) + "".join(cells(path, "code"))
    assert "safe to dive" not in text.lower()
    if path in LESSONS:
        assert "invented: Saltern Road Technical College" in text


@pytest.mark.parametrize("path", INSTRUCTOR, ids=lambda path: path.name)
def test_shape_of_an_instructors_page(path: Path) -> None:
    headings = re.findall(r"^## (.*)$", words_of(path), re.M)
    usual = ["Timing", "What they will get wrong", "Questions to ask the class", "Showing answers", "Answers"]
    calls = [source.split("lesson.")[-1] for source in cells(path, "code")]
    if path.name.startswith("04b"):  # a class plays one job, and its own values may stand behind it
        headings.remove("One job, the whole class")
        for own in ('note("weights")', 'note("class_files")', 'panel("job_paths")'):
            calls.remove(own)
    assert headings == usual and calls == ["class_cut()", "class_questions()", "answers()"]


def test_the_assessors_guide_says_what_a_paper_cannot_stop() -> None:
    """A page without code; each of these an assessor must have read before the first paper is given out."""
    text = words_of(ASSESSOR)
    assert cells(ASSESSOR, "code") == [] and notebooks.mark_of(ASSESSOR)["page"] == "instructor"
    assert re.findall(r"^## (.*)$", text, re.M) == [
        "What a paper cannot stop", "Write a paper of your own", "Before you give papers out", "Sitting under supervision", "The key",
        "Resits and late candidates", "Marks", "What you keep, and how long",
    ]  # fmt: skip
    for words in ("open book", "shows damage, not who typed", "can open", "Numbers only", "nothing can be marked"):
        assert words in text, words
    first, kept = cells(ASSESSOR, "markdown")[0], text.split("## What you keep")[1]
    assert "`python3 helpers/start.py`" in first, "whoever set the workbook up so has no other command"
    for words in ("the papers as they were given out", "the handed-in files", "the key", "`record.jsonl`"):
        assert words in kept.split("Keep these together")[1].split("is over:")[1].split(". ")[0], words
    resits = text.split("## Resits and late candidates")[1].split("## Marks")[0]
    assert "A short text has no numbers" in resits and "**Somebody sat another's paper.**" in resits


@pytest.mark.parametrize("number", list(MODULES))
def test_a_cut_fits_into_a_class_hour_and_every_question_is_answered(number: str) -> None:
    said, words = importlib.import_module(f"steadyneedle.teaching.notes.class_{MODULES[number]}"), Preferences("comma")
    rows = said.cut(words, example)
    assert sum(row[0] for row in rows) == (20 if number == "00" else MINUTES)
    assert all(cell.strip() for row in rows for cell in row[1:]), "set, ask, hands and reply stand in each row"
    pairs = said.questions(words, example)
    assert len(pairs) >= 2 and all(asked.strip() and answer.strip() for asked, answer in pairs)
    text = " ".join(cell for row in (*(one[1:] for one in rows), *pairs) for cell in row)
    assert "*" not in text and "`" not in text, "cells of a table are plain words"


def example() -> Sheets:
    return load_sheets(places.datasets() / "sheets")


@every_notebook
def test_sentences_are_short(path: Path) -> None:
    """A trainee with a vocational certificate reads it without help: 15 words a sentence at the most, on average."""
    text = re.sub(r"`[^`]*`|\[([^\]]*)\]\([^)]*\)|[*>#|]", r"\1", words_of(path))
    text += "\n".join(
        "".join(output["data"]["text/plain"])
        for cell in notebooks.read(path)["cells"]
        if ".note(" in notebooks.source_of(cell)
        for output in cell["outputs"]
    )
    sentences = [s for line in text.splitlines() for s in re.split(r"(?<=[.?!:;]) ", line) if len(s.split()) > 2]
    lengths = [len(s.split()) for s in sentences]
    assert sum(lengths) / len(lengths) <= 15, sum(lengths) / len(lengths)
    assert max(lengths) <= 36, max(sentences, key=lambda s: len(s.split()))


@every_lesson
def test_links_lead_somewhere(path: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", words_of(path)):
        assert (path.parent / target).is_file(), target
    for named in re.findall(r"`((?:bench|physics|teaching)/[\w/]+\.py)`", words_of(path)):
        assert (places.PACKAGE / named).is_file(), named
    for named in re.findall(r"`((?:helpers|datasets)/[\w/.]+)`", words_of(path)):
        assert (places.PACKAGE.parent.parent / named).exists(), named


def _notebook(path: Path, source: str) -> None:
    cell: dict[str, Any] = {
        "cell_type": "code",
        "id": "a",
        "metadata": {},
        "source": source,
        "outputs": [],
        "execution_count": None,
    }
    book = {
        "cells": [cell],
        "metadata": {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    path.write_text(json.dumps(book), encoding="utf-8")


@pytest.mark.parametrize(("source", "status"), [("import warnings\nwarnings.warn('look out')", 1), ("1 + 1", 0)])
def test_a_warning_in_a_lesson_is_an_error(tmp_path: Path, source: str, status: int) -> None:
    """The proof that kernels turn warnings into errors: a cell that warns fails under nbval."""
    _notebook(tmp_path / "warns.ipynb", source)
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
        "--nbval-lax",
        "-o",
        "addopts=",
        "-o",
        "filterwarnings=",
        str(tmp_path / "warns.ipynb"),
        "--rootdir",
        str(tmp_path),
    ]
    done = subprocess.run(
        command, capture_output=True, text=True, env={**os.environ, "PYTHONWARNINGS": refreshing.KERNEL_WARNINGS}
    )
    assert done.returncode == status, done.stdout[-2000:]


def test_staleness_is_seen() -> None:
    """The comparison sees a changed number, a changed digest, a missing picture and a changed source."""
    book = notebooks.read(LESSONS[1])
    for change in ("text", "digest", "picture", "source"):
        other = json.loads(json.dumps(book))
        outputs = [(c, o) for c in other["cells"] for o in c.get("outputs", []) if "image/png" in o["data"]]
        cell, output = outputs[0]
        if change == "text":
            output["data"]["text/plain"] += "!"
        elif change == "digest":
            output["metadata"]["steadyneedle"]["digest"] = "0" * 16
        elif change == "picture":
            del output["data"]["image/png"]
        else:
            cell["source"] = "lesson.panel('dial')"
        assert "is stale" in refreshing.difference(book, other), change
    bytes_only = json.loads(json.dumps(book))
    for cell in bytes_only["cells"]:
        for output in cell.get("outputs", []):
            if "image/png" in output["data"]:
                output["data"]["image/png"] = "AAAA"
    assert refreshing.difference(book, bytes_only) == ""
