"""The paper "creep": traces drawn in the paper itself, and nothing that gives an answer away."""

from __future__ import annotations

import base64
import dataclasses
import json
import random
import re
import subprocess
import sys
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from steadyneedle import sitting
from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.drawn import drawn
from steadyneedle.assessing.job_rubric import PARTS
from steadyneedle.assessing.paper_file import Item, Paper, bytes_of, notebook_of
from steadyneedle.assessing.paper_plan import CHOSEN, QUANTITY, TRACE, exercise_named
from steadyneedle.assessing.paper_reading import paper_of, read_paper
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for
from steadyneedle.assessing.specimen import write_specimen
from steadyneedle.assessing.trace_picture import svg_of
from steadyneedle.foundation import notebooks
from steadyneedle.questions.bank.nine_kinds import SHOWN
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.shown import NeedleTrace
from steadyneedle.sitting_forms import HandInSession, session_of

PAPERS = ("creep", "units and bands")


@cache
def of(candidate: str, paper: str = "creep") -> Paper:
    """A paper of an invented candidate."""
    return paper_for(load_plan(paper), CohortKey(bytes(range(32))), candidate)


def traces(paper: Paper) -> list[Item]:
    return [one for one in paper.items if one.kind == TRACE]


def test_a_trace_is_drawn_in_the_paper_as_on_the_page(tmp_path: Path) -> None:
    """One dot a reading, at its place; the words for whoever cannot see it give the numbers and no name of a kind."""
    write = tmp_path / "paper.ipynb"
    write.write_bytes(bytes_of(of("101")))
    assert read_paper(write) == of("101")
    asked = traces(of("101"))
    assert len(asked) == 4
    printed, page = (notebooks.as_text(one) for one in (notebook_of(of("101")), sitting.page_of(of("101"))))
    for item in asked:
        assert item.trace is not None
        picture = svg_of(item.trace)
        held = base64.b64encode(picture.encode()).decode()
        assert held in printed and held in page, "the same picture in both"
        dots = ElementTree.fromstring(picture).findall("{*}circle")
        heights = [float(one.get("cy", "")) for one in dots]
        assert sorted(range(len(dots)), key=lambda n: (-heights[n], n)) == sorted(
            range(len(dots)), key=lambda n: (item.trace.bars[n], n)
        ), "the higher the reading, the higher its dot"
        assert all(f"{bar:.2f}" in item.trace.text for bar in item.trace.bars)
        words = re.sub(r"<[^>]*>", " ", picture) + item.trace.text
        assert not any(one in words for one in ("creep", "settle", "saw", "lock", "fall", "flow", "tell"))
        assert not any(re.search(rf"\b{one}\b", words) for one in SHOWN)


def test_a_picture_says_where_each_reading_lies() -> None:
    """Read back from the picture alone, by its own scale, to a hundredth of a bar."""
    for n in range(60):
        exercise = exercise_named("which_trace")
        trace = exercise.shown(exercise.givens("read back", n))
        assert isinstance(trace, NeedleTrace)
        drawn_as = ElementTree.fromstring(svg_of(trace))
        scale = {float(one.text or ""): float(one.get("y", "")) - 6 for one in drawn_as.findall("{*}text") if one.get("text-anchor") == "end" and "bar" not in (one.text or "")}  # fmt: skip
        (low, at_low), (high, at_high) = min(scale.items()), max(scale.items())
        for dot, bar in zip(drawn_as.findall("{*}circle"), trace.bars, strict=True):
            read = low + (at_low - float(dot.get("cy", ""))) / (at_low - at_high) * (high - low)
            assert read == pytest.approx(bar, abs=0.005)
            assert low <= bar <= high


def test_no_two_traces_of_a_paper_show_the_same() -> None:
    for candidate in map(str, range(200)):
        taken: list[Any] = []
        exercise = exercise_named("which_trace")
        for number in range(1, 5):
            taken.append(drawn(exercise, bytes(range(32)), "creep", 1, candidate, number, taken).givens)
        assert len({exercise.solve(one) for one in taken}) == 4


# nothing gives an answer away ----------------------------------------------------------------------


def what_a_candidate_gets(paper: Paper, folder: Path) -> str:
    """The paper's file, the page, and all that the forms send to it, whatever is answered."""
    answers = Answers(paper, folder)
    said = [bytes_of(paper).decode(), notebooks.as_text(sitting.page_of(paper))]
    for item in paper.items:
        session = session_of(item, answers)
        for typed in ("", *(key for key, _ in item.options), "12 bar"):
            session.typed({"answer": typed})
            said.append(json.dumps(session.view().wire(), ensure_ascii=False))
    hands = HandInSession(answers)
    hands.act("ask", {})
    said.append(json.dumps(hands.view().wire()))
    return "\n".join(said)


@pytest.mark.parametrize("name", PAPERS)
def test_no_paper_carries_what_its_numbers_were_drawn_from(name: str, tmp_path: Path) -> None:
    """Givens may name the answer (`kind`, `case`, `found`): they are known to whoever has the key, and to nobody else."""
    paper = of("101", name)
    everything = what_a_candidate_gets(paper, tmp_path)
    assert "givens" not in everything
    of_every_item = (
        {*PARTS, "within"}
        | {field.name for field in dataclasses.fields(Item)}
        | {field.name for field in dataclasses.fields(NeedleTrace)}
    )
    for item in paper.items:
        keys = set(re.findall(r'"([^"]*)":', json.dumps(item.as_data())))
        assert not keys - of_every_item, (item.exercise, keys)


@pytest.mark.parametrize("name", PAPERS)
def test_what_a_candidate_gets_hangs_on_words_and_numbers_asked_alone(name: str, tmp_path: Path) -> None:
    """A paper made again from nothing but what it shows is the same paper, to the last byte and message."""
    paper = of("101", name)
    shown = paper_of(json.loads(json.dumps(paper.as_data())))
    assert shown is not None and not any(one.givens for one in shown.items)
    for one in ("a", "b"):
        (tmp_path / one).mkdir()
    assert what_a_candidate_gets(shown, tmp_path / "a") == what_a_candidate_gets(paper, tmp_path / "b")


@pytest.mark.parametrize("exercise", sorted({one.exercise for name in PAPERS for one in load_plan(name).questions if one.kind in CHOSEN}))  # fmt: skip
def test_neither_the_keys_nor_the_order_of_options_tell_the_right_one(exercise: str) -> None:
    """Over 400 candidates: all have the same keys, and the right one stands in each place about as often."""
    asked, places, count = exercise_named(exercise), Counter[int](), 400
    assert isinstance(asked, ChoiceExercise)
    by_order = Counter[tuple[str, ...]]()
    for candidate in map(str, range(count)):
        givens = drawn(asked, bytes(range(32)), "creep", 1, candidate, 1).givens
        options = list(asked.options(givens))
        assert set(options) == set(asked.choices)
        places[options.index(asked.solve(givens))] += 1
        by_order[tuple(options)] += 1
    n = len(asked.choices)
    off = sum((places[place] - count / n) ** 2 / (count / n) for place in range(n))
    assert off < n - 1 + 4 * (2 * (n - 1)) ** 0.5 + 4, (exercise, places)
    assert n > 3 or len(by_order) > 3, "the order is no fixed one"


def test_a_paper_is_made_without_a_plot_a_widget_or_a_notebook_server(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib\n"
        "from steadyneedle.assessing.plan_file import load_plan\n"
        "from steadyneedle.assessing.specimen import write_specimen\n"
        f"write_specimen(load_plan('creep'), pathlib.Path({str(tmp_path)!r}))\n"
        "print(sorted({'matplotlib', 'PIL', 'ipywidgets', 'anywidget', 'IPython', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout == "[]\n", done.stderr


def test_the_specimen_shows_its_traces_and_its_answers(tmp_path: Path) -> None:
    _, printed, answers = (one.read_text(encoding="utf-8") for one in write_specimen(load_plan("creep"), tmp_path))
    assert printed.count("data:image/svg+xml") == answers.count("data:image/svg+xml") == 6
    assert "http" not in re.sub(r"base64,[^\"]*", "", answers), "it loads nothing"
    assert "Answer: it " in answers and "Answer: it " not in printed


ODD: tuple[Any, ...] = (None, True, -1, 1.5, 10**30, "", "x", "</title><script>", [], [1], {}, {"a": {}})


def test_a_trace_changed_anywhere_is_no_trace() -> None:
    """Wrong types and values at every key of a drawn item: no paper, or one whose picture still draws."""
    dice, first = random.Random(8), traces(of("101"))[0].number - 1
    for name in ("seconds", "bars", "low", "high", "text"):
        for odd in ODD:
            data = json.loads(json.dumps(of("101").as_data()))
            data["items"][first]["trace"][name] = odd
            read = paper_of(data)
            assert read is None or (name == "text" and isinstance(odd, str)) or ((name in ("low", "high") and odd == -1) or odd == 1.5), (name, odd)  # fmt: skip
            if read is not None and read.items[first].trace is not None:
                ElementTree.fromstring(svg_of(read.items[first].trace))
    for _ in range(40):
        data = json.loads(json.dumps(of("101").as_data()))
        listed = data["items"][first]["trace"][dice.choice(("seconds", "bars"))]
        listed[dice.randrange(len(listed))] = dice.choice([*ODD, float("nan"), float("inf"), 0])
        read = paper_of(data)
        assert read is None or all(isinstance(one, float | int) for one in read.items[first].trace.bars)  # type: ignore[union-attr]
    for kind in (QUANTITY, TRACE, "picture"):
        data = json.loads(json.dumps(of("101").as_data()))
        data["items"][8]["kind"] = kind
        assert paper_of(data) is None, "a trace has a picture, and nothing else has"
