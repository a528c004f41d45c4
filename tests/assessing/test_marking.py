"""A paper is marked as the lessons mark: the same tolerances, known mistakes, limits and readings."""

from __future__ import annotations

import ast
import contextlib
import csv
import io
import json
from dataclasses import replace

import pytest
from cohort import AT, PLAN, all_right, paper_of
from hypothesis import given, settings
from hypothesis import strategies as some

from steadyneedle.assessing.as_shown_safely import as_cell, as_html, as_literal, plain_name
from steadyneedle.assessing.edition import fingerprint
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.handed_in import HandedIn
from steadyneedle.assessing.mark_sheet import (
    COLUMNS,
    Twice,
    missing_row,
    place_in_sheet,
    row_of,
    sheet_bytes,
    unreadable_row,
)
from steadyneedle.assessing.marking import COMPETENT, NOT_YET, PaperMark, mark_item, mark_paper, marked_answer
from steadyneedle.assessing.paper_file import Paper
from steadyneedle.assessing.paper_plan import TEXT, exercise_named
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import QuantityExercise

CRITICAL = [one.number for one in PLAN.questions if one.critical]
FOR_A_HUMAN = [one.number for one in PLAN.questions if one.kind == TEXT]
WEIGHTS = {one.number: one.weight for one in PLAN.questions}
MACHINE_MARKED = sum(weight for number, weight in WEIGHTS.items() if number not in FOR_A_HUMAN)
TYPED = some.text(max_size=40) | some.from_regex(
    r"-?[0-9]{1,4}[.,]?[0-9]{0,3} ?(bar|psi|kPa|MPa|m|min|bar/min|%)?", fullmatch=True
)


def marked(answers: dict[int, str], candidate: str = "101", paper: Paper | None = None) -> PaperMark:
    asked = [fingerprint(one) for one in paper_of(candidate).items]
    return mark_paper(paper or paper_of(candidate), asked, answers)


def book_of(mark: PaperMark, answers: dict[int, str]) -> bytes:
    asked = {one.item.number: one.item.digest for one in mark.items}
    read = HandedIn("0" * 64, mark.paper.candidate, PLAN.name, 1, "0" * 8, "0" * 64, asked, answers, f"{AT:%FT%TZ}")
    return graded_bytes(mark, read, PLAN.questions)


def test_right_answers_get_every_mark_that_a_machine_gives() -> None:
    mark = marked(all_right("101"))
    assert mark.mark == MACHINE_MARKED and mark.out_of == PLAN.out_of
    assert mark.waiting == FOR_A_HUMAN and mark.critical_missed == [] and mark.result == ""


def test_an_answer_is_worth_what_its_lesson_says() -> None:
    """Every known mistake of every question, limits, readings and copied numbers, against the exercise's own check."""
    seen = set()
    for candidate in ("101", "102", "103"):
        for item in paper_of(candidate).items:
            if item.kind == TEXT:
                continue
            exercise, givens = exercise_named(item.exercise), dict(item.givens)
            for typed in _answers_to(exercise, givens):
                worth, checked = mark_item(item, fingerprint(item), typed), exercise.check(givens, typed)
                assert worth.waiting == (worth.outcome == "not read")
                assert (worth.outcome, worth.mistake) == (checked.outcome, checked.mistake), (item.exercise, typed)
                seen.add(worth.outcome)
    assert seen == {"right", "known mistake", "off", "not read"}


def _answers_to(exercise: QuantityExercise | ChoiceExercise, givens: dict[str, object]) -> list[str]:
    names = exercise.names(givens)
    if isinstance(exercise, ChoiceExercise):
        return [*exercise.choices, "no option"]
    made = [one.answer(names) for one in exercise.mistakes]
    numbers = [names.answer, *(one for one in made if one is not None), names.answer * 1.2, names.answer * 1.003]
    typed = [f"{number:.{figures}g} {exercise.unit}" for number in numbers for figures in (2, 4, 6)]
    return [*typed, f"{names.answer:.4g}", f"{names.answer:.4g}".replace(".", ",") + f" {exercise.unit}", "9**9**9 bar"]


@pytest.mark.parametrize(
    ("name", "givens", "typed", "outcome"),
    [
        ("mpa_to_psi", {"mpa": 20.0}, "2901 psi", "right"),  # 200 bar x 14.5038 psi/bar (NIST SP 811, B.8)
        ("mpa_to_psi", {"mpa": 20.0}, "2.901e3psi", "right"),
        ("mpa_to_psi", {"mpa": 20.0}, "200 psi", "known mistake"),
        ("mpa_to_psi", {"mpa": 20.0}, "20.0 MPa", "known mistake"),  # the reading typed back
        ("mpa_to_psi", {"mpa": 20.0}, "2901 bar", "known mistake"),  # psi for bar
        ("mpa_to_psi", {"mpa": 20.0}, "2800 psi", "off"),
        ("mpa_to_psi", {"mpa": 20.0}, "=2901", "not read"),
        ("mpa_to_psi", {"mpa": 20.0}, "  ", "nothing typed"),
        ("gauge_to_absolute", {"gauge": 9.5, "ambient": 800}, "10.3 bar", "right"),
        ("gauge_to_absolute", {"gauge": 9.5, "ambient": 800}, "149 psi", "right"),  # as a workshop reads psi: whole ones
        ("gauge_to_absolute", {"gauge": 9.5, "ambient": 800}, "9.5 bar", "known mistake"),
    ],
)  # fmt: skip
def test_answers_whose_worth_is_known(name: str, givens: dict[str, float], typed: str, outcome: str) -> None:
    assert marked_answer(exercise_named(name), givens, typed).outcome == outcome


def test_a_limit_rounded_outward_is_not_right_and_inward_it_is() -> None:
    item = next(one for one in paper_of("101").items if one.exercise == "acceptance_limit")
    limit = exercise_named(item.exercise).solve(dict(item.givens)).magnitude
    inward, outward = int(limit * 10) / 10, int(limit * 10 + 1) / 10
    assert inward < limit < outward
    assert mark_item(item, fingerprint(item), f"{inward:.1f} bar").outcome == "right"
    assert mark_item(item, fingerprint(item), f"{outward:.1f} bar").mistake == "rounded past the limit"


def test_one_missed_critical_question_holds_everything_back() -> None:
    nearly = {**all_right("101"), **dict.fromkeys(FOR_A_HUMAN, "")}
    assert marked(nearly).result == COMPETENT
    for number in CRITICAL:
        options = [key for key, _ in paper_of("101").item(number).options if key != nearly[number]]
        for answer in (options[0] if options else "0.1 bar", ""):
            mark = marked({**nearly, number: answer})
            assert 100 * mark.mark >= PLAN.pass_percent * mark.out_of
            assert (mark.result, mark.critical_missed) == (NOT_YET, [number])
    row = row_of(marked({**nearly, CRITICAL[0]: "", CRITICAL[1]: ""}), "0" * 8)
    assert row.critical_missed == f"{CRITICAL[0]} {CRITICAL[1]}"
    assert row.reason == f"Critical questions {CRITICAL[0]}, {CRITICAL[1]} missed."


@pytest.mark.parametrize(
    "typed", ["around or so 2379 psi", "2901", "nearly 2901 psi", "max 2901 psi", "=2901", "see above"]
)
def test_what_cannot_be_read_waits_and_is_named(typed: str) -> None:
    """Never nought in silence: a critical question is not missed by how its answer was written."""
    nearly = {**all_right("101"), **dict.fromkeys(FOR_A_HUMAN, "")}
    mark = marked({**nearly, 3: typed, 9: "no option", 20: "x"})
    assert (mark.waiting, mark.unread, mark.critical_missed, mark.result) == ([3, 9, 20], [3, 9], [], "")
    row = row_of(mark, "0" * 8)
    assert (row.status, row.critical_missed) == ("waiting", "")
    assert row.reason == (
        "Questions 3, 9, 20 wait for a person; the mark counts the others. "
        "The answers to questions 3, 9 could not be read."
    )
    book = book_of(mark, {**nearly, 3: typed, 9: "no option", 20: "x"})
    assert b"It could not be read; a person marks it." in book and all(stored == now for stored, now in run(book))
    only = row_of(marked({**nearly, 3: typed}), "0" * 8)
    assert only.reason.endswith("The answer to question 3 could not be read.")


def test_a_word_that_changes_nothing_of_a_number_costs_nothing() -> None:
    right = all_right("101")[3]
    for word in ("approx ", "approx. ", "about ", "ca. ", "ca ", "~", "≈ "):
        assert marked_answer(exercise_named("mpa_to_psi"), {"mpa": 20.0}, f"{word}2901 psi").outcome == "right", word
    assert marked({**all_right("101"), 3: f"{right}g"}).items[2].worth.outcome == "right", "a gauge's reading in psig"
    for name in ("highest_reading", "acceptance_limit", "largest_error"):
        item = next(one for one in paper_of("101").items if one.exercise == name)
        for word in ("max ", "max. ", "maximum ", "at most ", "up to ", "≤ ", "<="):
            assert mark_item(item, fingerprint(item), word + all_right("101")[item.number]).outcome == "right", (
                name,
                word,
            )
        assert mark_item(item, fingerprint(item), "min " + all_right("101")[item.number]).outcome == "not read"


def test_below_the_pass_mark_is_not_yet_competent() -> None:
    answers = {number: typed for number, typed in all_right("101").items() if number in CRITICAL}
    mark = marked(answers)
    assert mark.result == NOT_YET and mark.critical_missed == []
    assert row_of(mark, "0" * 8).reason == f"Below the pass mark of {PLAN.pass_percent} %."


def test_a_question_mended_after_the_paper_was_set_waits() -> None:
    paper = paper_of("101")
    other = replace(paper.items[2], version=paper.items[2].version + 1)
    mended = replace(paper, items=(*paper.items[:2], other, *paper.items[3:]))
    answers = {**all_right("101"), **dict.fromkeys(FOR_A_HUMAN, "")}
    mark = marked(answers, paper=mended)
    assert [one.worth.outcome for one in mark.items].count("mended") == 1 and mark.waiting == [3]
    assert mark.critical_missed == [] and mark.result == ""
    assert row_of(mark, "0" * 8).status == "waiting"
    assert "This is another question today" in book_of(mark, answers).decode()


def run(book: bytes) -> list[tuple[str, str]]:
    """(stored output, output now) of each code cell, run in order."""
    content, names, found = json.loads(book), {}, []
    for cell in content["cells"]:
        if cell["cell_type"] == "code":
            with contextlib.redirect_stdout(io.StringIO()) as out:
                exec("".join(cell["source"]), names)
            found.append(("".join("".join(one["text"]) for one in cell["outputs"]), out.getvalue()))
    return found


@settings(max_examples=25)
@given(some.dictionaries(some.integers(1, 20), TYPED, max_size=20))
def test_a_graded_notebook_computes_every_mark_again(typed: dict[int, str]) -> None:
    """Whatever was typed, each cell prints what is stored, and no sign of an answer is more than a sign."""
    answers = {**all_right("101"), **typed}
    mark = marked(answers)
    book = book_of(mark, answers)
    outputs = run(book)
    assert len(outputs) == len(mark.items) + 2
    assert all(stored == now for stored, now in outputs)
    for one, (_, printed) in zip(mark.items, outputs[1:-1], strict=True):
        if one.worth.waiting:
            assert f"Mark: open, out of {one.item.weight}." in printed
        else:
            assert f"Mark: {one.mark} of {one.item.weight}." in printed
    assert f"{mark.mark} of {mark.out_of}" in outputs[-1][1] and mark.result in outputs[-1][1]
    assert book == book_of(marked(answers), answers)


HOSTILE = (
    "<script>alert(1)</script>", "</code></pre><img src=x onerror=alert(1)>", "$\\href{javascript:alert(1)}{x}$", "```\n# head\n```",
    "[a](javascript:alert(1))", "=HYPERLINK(\"http://x\")", "'); import os; os.system('touch ran') #", "\"\"\"\\\n%%bash\ntouch ran", "!touch ran",
    "a\u2028b\u202e\x00\x1b[31m", "&lt;b&gt;", "{{7*7}}", "9.8 bar?", "\U0001f600 ½ \udfff",
)  # fmt: skip


@pytest.mark.parametrize("typed", HOSTILE)
def test_no_answer_is_more_than_text_in_a_notebook(typed: str) -> None:
    answers = {**all_right("101"), 1: typed, 9: typed, 20: typed.replace("\udfff", "")}
    answers = {number: one.replace("\udfff", "") for number, one in answers.items()}
    book = book_of(marked(answers), answers)
    assert all(stored == now for stored, now in run(book))
    for cell in json.loads(book)["cells"]:
        text = "".join(cell["source"])
        if cell["cell_type"] == "markdown" and "**Answered:**" in text:
            answered = text.split("**Answered:** ")[1].split("\n")[0]
            inside = answered.removeprefix("<code>").removesuffix("</code>").replace("<br>", "")
            assert not set(inside) & set("<>\"'$\\`*_[](){}|") and inside.isprintable(), inside
        elif cell["cell_type"] == "code":
            assert not set(text) & set("<>&") and text.replace("\n", "").isprintable()
            ast.parse(text)


@given(some.text())
def test_foreign_words_survive_and_do_nothing(text: str) -> None:
    assert ast.literal_eval(as_literal(text)) == text and as_literal(text).isprintable()
    cell = as_cell(text)
    assert cell.isprintable() and (not cell.strip() or cell.lstrip()[0] not in "=+-@|%＝＋－＠")
    assert not set(as_html(text).replace("<br>", "")) & set("<>\"'$\\`*_[](){}|")
    assert not set(plain_name(text)) & set("<>&\"'=+@;,|$`\n\t")


def test_a_sheet_is_read_back_as_it_was_and_begins_no_formula() -> None:
    evil = unreadable_row(("101", "creep", 1), "ab" * 32, "=cmd|' /C calc'!A0, \"quoted\"; and\nmore")
    rows = sorted(
        [
            missing_row("9", "creep", 1),
            evil,
            missing_row("10", "creep", 2),
            unreadable_row(None, "not read", "The file x is a pipe."),
        ],
        key=place_in_sheet,
    )
    read = list(csv.DictReader(io.StringIO(sheet_bytes(rows).decode(), newline="")))
    assert tuple(read[0]) == COLUMNS
    assert [(one["candidate"], one["receipt"]) for one in read] == [
        ("9", ""),
        ("101", "abababab"),
        ("10", ""),
        ("", "not read"),
    ]
    assert read[1]["reason"] == "'=cmd|' /C calc'!A0, \"quoted\"; and more"


def test_twice_with_the_same_answers_is_marked_and_with_others_waits() -> None:
    answers = {**all_right("101"), **dict.fromkeys(FOR_A_HUMAN, "")}
    same, other = (row_of(marked(answers), "0" * 8, Twice(("a", "b"), differ)) for differ in (False, True))
    assert (same.status, same.result) == ("marked", COMPETENT) and (other.status, other.result) == ("waiting", "")
