"""Marks that a person gives: they are read with a spreadsheet's habits, refused by row, kept, and stand everywhere."""

from __future__ import annotations

import contextlib
import csv
import io
import json
import random
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import pytest
from cohort import AT, PAPER, PLAN, SECRET, hand_in, lay_key, paper_of, right_answers

from steadyneedle.assessing.as_shown_safely import as_cell, as_literal
from steadyneedle.assessing.edition import entry_of
from steadyneedle.assessing.hand_marks import (
    LETTERS,
    Given,
    HandMarkError,
    MarkSteps,
    code_of,
    given,
    in_words,
    judged,
    whose_of,
)
from steadyneedle.assessing.hand_page import NO_NUMBER, ONE_REACHES_IT, OURS, TWO_MARKERS
from steadyneedle.assessing.hand_tables import HandTableError, read_table, table_bytes
from steadyneedle.assessing.handed_in_form import handed_in, handed_in_name
from steadyneedle.assessing.legible import legible
from steadyneedle.assessing.marker_names import may_decide
from steadyneedle.assessing.same_answer import same_answer
from steadyneedle.assessing.secret import CohortKey, write_key
from steadyneedle.assessing.setting import paper_for
from steadyneedle.cli import main

QUESTION = f"{PAPER}-question-20"
HOSTILE = '<script>alert(1)</script> =1+1 @SUM(A1) [x](javascript:alert(1)) `"; $(id) \N{RIGHT-TO-LEFT OVERRIDE}'
Row = dict[str, str]


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with what candidates 1 to 6 handed in, and the key of 1 to 8 beside it."""
    (tmp_path / "in").mkdir()
    lay_key(tmp_path / "cohort.key", map(str, range(1, 9)))
    for number in range(1, 7):
        hand_in(tmp_path / "in", str(number), {20: f"I write down 9.9 bar and U. Answer {number}."})
    return tmp_path


def line_for(place: Path) -> list[str]:
    words = [place / "in", "--key", place / "cohort.key", "--out", place / "out"]
    return [sys.executable, "-P", "-m", "steadyneedle.cli", "mark", *map(str, words)]


def mark(place: Path, *more: str) -> tuple[int, str]:
    """Status, and what was said."""
    with (
        contextlib.redirect_stdout(io.StringIO()) as out,
        contextlib.redirect_stderr(io.StringIO()) as err,
        pytest.raises(SystemExit) as left,
    ):
        main([*line_for(place)[4:], *more])
    return int(left.value.code or 0), out.getvalue() + err.getvalue()


def file_for(place: Path, marker: str = "") -> Path:
    return place / "out" / "by-hand" / f"{QUESTION}{marker}.csv"


def rows_in(path: Path) -> list[Row]:
    text = path.read_text("utf-8-sig")
    between = ";" if ";" in text.splitlines()[0] else ","
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=between))


def fill(
    path: Path, change: Callable[[list[Row]], Any], between: str = ",", mark: str = "\N{ZERO WIDTH NO-BREAK SPACE}"
) -> None:
    """Type into a file as a spreadsheet saves it."""
    rows = rows_in(path)
    change(rows)
    out = io.StringIO(newline="")
    columns = list(dict.fromkeys(column for row in rows for column in row))
    writer = csv.DictWriter(out, columns, delimiter=between)
    writer.writeheader()
    writer.writerows(rows)
    path.write_bytes((mark + out.getvalue()).encode("utf-8"))


def code(candidate: str, answer: str) -> str:
    return code_of(SECRET, (candidate, PAPER, 1), 20, answer)


def of(candidate: int) -> str:
    """The code of a candidate's answer."""
    return code(str(candidate), f"I write down 9.9 bar and U. Answer {candidate}.")


def typed(marks: dict[int, str], by: str = "AB", why: str = "") -> Callable[[list[Row]], None]:
    def change(rows: list[Row]) -> None:
        for row in rows:
            for candidate, worth in marks.items():
                if row["code"] == of(candidate):
                    row.update(mark=worth, marked_by=by, why=why)

    return change


def sheet(place: Path) -> dict[str, Row]:
    text = (place / "out" / "marks.csv").read_text("utf-8")
    return {row["candidate"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


def record(place: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (place / "out" / "record.jsonl").read_text("utf-8").splitlines()]


def outputs(place: Path) -> dict[str, bytes]:
    return {str(one.relative_to(place)): one.read_bytes() for one in (place / "out").rglob("*") if one.is_file()}


def test_what_waits_is_laid_without_a_candidates_number(place: Path) -> None:
    status, said = mark(place)
    assert status == 3 and f"6 to mark by hand: {file_for(place)}" in said
    rows = rows_in(file_for(place))
    assert [row["code"] for row in rows] == sorted(of(number) for number in range(1, 7))  # not in anybody's order
    assert list(rows[0]) == ["code", "answer", "mark", "marked_by", "why", "note"]
    assert {row["answer"] for row in rows} == {f"I write down 9.9 bar and U. Answer {n}." for n in range(1, 7)}
    page = file_for(place).with_suffix(".html").read_text("utf-8")
    assert "verdict under simple acceptance" in page and "U = 0.2 bar" in page and "A model answer" in page
    assert all(row["code"] in page for row in rows) and "half marks" in page
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first


@pytest.mark.parametrize(("between", "begins"), [(",", ""), (";", "\N{ZERO WIDTH NO-BREAK SPACE}"), ("\t", "")])
def test_marks_come_back_into_sheet_notebook_and_record(place: Path, between: str, begins: str) -> None:
    mark(place)
    nothing = {n: float(row["mark"]) for n, row in sheet(place).items() if row["mark"]}
    marks = {1: "4", 2: "3,5", 3: "3.50", 4: " 0 ", 5: "½"}
    fill(file_for(place), typed(marks, why="names no rule; =1+1"), between, begins)
    status, said = mark(place)
    assert (
        status == 3 and "1 to mark by hand" in said and len(said.splitlines()) == 4
    )  # marks, the sheet, who is missing
    rows = sheet(place)
    assert [float(rows[n]["mark"]) - nothing[n] for n in "12345"] == [4, 3.5, 3.5, 0, 0.5]
    assert [rows[n]["status"] for n in "123456"] == ["marked"] * 5 + ["waiting"] and rows["2"]["result"] == "competent"
    book = (place / "out" / "marked" / f"2-{PAPER}.ipynb").read_text("utf-8")
    assert "Mark: 3.5 of 4, given by AB." in book and "names no rule; &#61;1+1" in book
    line = record(place)[-1]
    assert len(line["typed"]) == 5 and line["at"]
    assert [one for one in line["typed"] if one["candidate"] == "2"] == [
        {"table": f"{QUESTION} first", "row": of(2), "candidate": "2", "was": None,
         "is": {"mark": "3.5", "marked_by": "AB", "why": "names no rule; =1+1"}}
    ]  # fmt: skip
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first


def test_all_marked_by_hand_is_status_0(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed(dict.fromkeys(range(1, 7), "4")))
    status, said = mark(place)
    assert status == 0 and "by hand" not in said
    assert {row["result"] for row in sheet(place).values() if row["status"] == "marked"} == {"competent"}


def test_who_changed_a_mark_and_what_it_was_stand_in_the_record(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "2"}))
    mark(place)
    fill(file_for(place), typed({1: "3"}, "CD", "rule was named on line 2"))
    mark(place)
    one = record(place)[-1]["typed"]
    assert one == [
        {"table": f"{QUESTION} first", "row": of(1), "candidate": "1", "was": {"mark": "2", "marked_by": "AB", "why": ""},
         "is": {"mark": "3", "marked_by": "CD", "why": "rule was named on line 2"}}
    ]  # fmt: skip
    fill(file_for(place), typed({1: ""}, "", ""))
    mark(place)
    assert record(place)[-1]["typed"][0]["is"] is None and sheet(place)["1"]["status"] == "waiting"


WRONG = [
    ("5", "AB", "5 is above 4"), ("-1", "AB", "-1 is below 0"), ("3.3", "AB", "lies between two marks"),
    ("03. Mai", "AB", "'03. Mai' is"), ("3.5.2026", "AB", "is a date"), ("3-May", "AB", "is a date"),
    ("three", "AB", "is no mark"), ("3", "", "initials are missing"), ("3", "17", "are no initials"),
    ("3", "<b>x</b>", "are no initials"), ("nan", "AB", "is no mark"), ("1e1", "AB", "is no mark"),
    ("=2+1", "AB", "is no mark"), ("9" * 5000, "AB", "is no mark"),
]  # fmt: skip


def test_what_is_wrong_is_refused_by_row_and_kept(place: Path) -> None:
    lay_key(place / "cohort.key", map(str, range(1, 22)))
    for number in range(7, 21):
        hand_in(place / "in", str(number), {20: f"I write down 9.9 bar and U. Answer {number}."})
    mark(place)
    wrong = dict(enumerate(WRONG, 1))

    def change(rows: list[Row]) -> None:
        typed({20: "3"})(rows)
        for number, (worth, by, _) in wrong.items():
            typed({number: worth}, by, "because")(rows)

    fill(file_for(place), change)
    at = {row["code"]: number for number, row in enumerate(rows_in(file_for(place)), 2)}
    status, said = mark(place)
    assert status == 3 and "Traceback" not in said
    rows = {row["code"]: row for row in rows_in(file_for(place))}
    for number, (worth, _, sentence) in wrong.items():
        line = next(line for line in said.splitlines() if of(number) in line)
        assert line.startswith(f"{QUESTION}.csv, row {at[of(number)]}, {of(number)}: ") and sentence in line
        row = rows[of(number)]
        assert row["mark"].removeprefix("'") == worth and row["why"] == "because" and sentence in row["note"]
        assert sentence in sheet(place)[str(number)]["reason"]
    assert sheet(place)["20"]["status"] == "marked" and len(record(place)[-1]["typed"]) == 1
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first
    fill(file_for(place), typed(dict.fromkeys(wrong, "3")))
    mark(place)
    assert sheet(place)["1"]["status"] == "marked" and {row["note"] for row in rows_in(file_for(place))} == {""}


def test_a_code_of_nobody_and_two_rows_that_differ_are_refused_and_kept(place: Path) -> None:
    mark(place)

    def change(rows: list[Row]) -> None:
        typed({1: "3", 2: "2"})(rows)
        first, second = (next(row for row in rows if row["code"] == of(n)) for n in (1, 2))
        rows.append({**first, "mark": "4"})
        rows.append({**second})  # the same again is once
        rows.append({**first, "code": "KKKK-KKKK-KKKK", "mark": "1"})
        rows.append(dict.fromkeys(first, ""))

    fill(file_for(place), change)
    status, said = mark(place)
    assert status == 3 and said.count("the two differ") == 2 and "no answer to this question has this code" in said
    assert (sheet(place)["1"]["status"], sheet(place)["2"]["status"]) == ("waiting", "marked")
    rows = rows_in(file_for(place))
    assert [row["mark"] for row in rows if row["code"] == of(1)] == ["3", "4"]
    assert [row["mark"] for row in rows if row["code"] == of(2)] == ["2"]
    assert [row["mark"] for row in rows if row["code"] == "KKKK-KKKK-KKKK"] == ["1"] and len(rows) == 8
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first


def test_new_candidates_are_added_and_an_answer_that_changed_waits_again(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "3", 2: "2"}))
    mark(place)
    hand_in(place / "in", "7", {20: "Late."})
    hand_in(place / "in", "1", {20: "Another answer."})
    status, _ = mark(place)
    assert status == 3 and sheet(place)["2"]["status"] == "marked"
    assert "the answer changed after it was marked" in sheet(place)["1"]["reason"]
    rows = {row["code"]: row for row in rows_in(file_for(place))}
    assert rows[of(1)]["mark"] == "3" and "not in the folder now" in rows[of(1)]["note"]
    assert "changed after it was marked" in rows[code("1", "Another answer.")]["note"] and code("7", "Late.") in rows
    hand_in(place / "in", "1", {20: "I write down 9.9 bar and U. Answer 1."})  # the first file counts after all
    mark(place)
    assert sheet(place)["1"]["status"] == "marked" and len(rows_in(file_for(place))) == 7


def test_rows_and_files_that_get_lost_come_back_from_the_record(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "3", 2: "2"}, why="so"))
    mark(place)
    file_for(place).write_bytes(file_for(place).read_bytes().replace(b"\r", b""))
    whole = outputs(place)
    fill(file_for(place), lambda rows: rows.remove(next(row for row in rows if row["code"] == of(1))))
    status, said = mark(place)
    assert status == 3 and "a marked row was missing, and put back as the record has it" in said
    assert outputs(place) == whole
    file_for(place).unlink()
    assert "2 marked rows were missing" in mark(place)[1] and outputs(place) == whole


def test_a_file_that_cannot_be_told_into_cells_stops_the_marking_and_nothing_is_written(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "3"}))
    mark(place)
    good = file_for(place).read_bytes()
    for bad, sentence in (
        (good.replace(b"mark,", b"points,", 1), "the column mark is missing"),
        (good.replace(b"why,", b"mark,", 1), "missing"),
        (good + b'"no end', "a double quote is not closed"),
        (good.replace(b"I write down", b'"' + b"I" * 200_000, 1), "is far too long"),
        (b"PK\x03\x04" + good, "is a spreadsheet"),
        (b"", ""),
    ):
        file_for(place).write_bytes(bad)
        before = outputs(place)
        status, said = mark(place)
        assert (status, sentence in said) == (2 if bad else 3, True) and "Traceback" not in said
        assert outputs(place) == before or not bad  # an empty file is laid again, from the record
    assert sheet(place)["1"]["status"] == "marked"
    file_for(place).unlink()
    file_for(place).symlink_to(place / "cohort.key")
    assert mark(place)[0] == 2


def test_columns_order_and_remarks_of_a_markers_own_stay(place: Path) -> None:
    mark(place)

    def change(rows: list[Row]) -> None:
        typed({1: "3"})(rows)
        for number, row in enumerate(rows):
            row["My own remark"] = f"look again {number}"

    fill(file_for(place), change, ";")
    hand_in(place / "in", "7", {20: "Late."})
    mark(place)
    rows = rows_in(file_for(place))
    assert ";" in file_for(place).read_text("utf-8-sig").splitlines()[0]  # as it was saved
    assert sum(row["my_own_remark"].startswith("look again") for row in rows) == 6 and len(rows) == 7


def test_an_answer_that_cannot_be_read_is_marked_beside_its_own_question(place: Path) -> None:
    """The page shows what each candidate was asked, and what was expected."""
    for number in (1, 2):
        hand_in(place / "in", str(number), {13: "somewhere near ten", 20: ""})
    mark(place)
    path = place / "out" / "by-hand" / f"{PAPER}-question-13.csv"
    page = path.with_suffix(".html").read_text("utf-8")
    assert "whole marks" in page and page.count(escape(NO_NUMBER)) == 1 and escape(OURS) in page
    assert page.count('<p class="said">The workbook says: ') == 2 == page.count('<p class="said">Answers from ')
    assert len({line for line in page.splitlines() if line.startswith('<p class="said">Answer: ')}) == 2

    def give(rows: list[Row]) -> None:
        for row, worth in zip(rows, ("2", "1.5"), strict=True):
            row.update(mark=worth, marked_by="AB", why="says what it is")

    fill(path, give)
    status, said = mark(place)
    assert status == 3 and "1.5 lies between two marks" in said
    rows = [sheet(place)[number] for number in "12"]
    why = f"Question 13: its mark in by-hand/{path.name} was refused: 1.5 lies between two marks. This question is"
    assert sorted(why in row["reason"] for row in rows) == [False, True]
    marked = next(row for row in rows if row["status"] == "marked")
    book = (place / "out" / "marked" / f"{marked['candidate']}-{PAPER}.ipynb").read_text("utf-8")
    assert "Mark: 2 of 2, given by AB." in book and marked["result"] == "competent"
    first = outputs(place)
    mark(place)
    assert outputs(place) == first


def test_what_nobody_can_see_is_nothing_typed(place: Path) -> None:
    """A sign without width, the blank of Braille, the letter of Korean that only holds a place."""
    hand_in(place / "in", "1", {13: "\u200b", 20: "\u2800\u3164 \N{NO-BREAK SPACE}"})
    mark(place)
    row, item = sheet(place)["1"], paper_of("1").items[12]
    assert (row["status"], len(rows_in(file_for(place)))) == ("marked", 5) and legible(item, "\u200b").words == ""
    book = json.loads((place / "out" / "marked" / f"1-{PAPER}.ipynb").read_text("utf-8"))
    said = "\n".join("".join(cell["source"]) for cell in book["cells"])
    assert said.count("**Answered:** nothing\n") == 2


def test_a_blank_of_any_kind_is_shown_as_a_blank_and_its_data_stay(place: Path) -> None:
    answer = "near\N{NO-BREAK SPACE}\N{FIGURE SPACE}ten\tor\x07so"
    hand_in(place / "in", "1", {13: answer, 20: answer})
    mark(place)
    book = (place / "out" / "marked" / f"1-{PAPER}.ipynb").read_text("utf-8")
    shown = "near  ten or\N{REPLACEMENT CHARACTER}so"
    assert book.count(f"<code>{shown}</code>") == 2 and json.dumps(as_literal(answer))[1:-1] in book
    assert shown in file_for(place).with_suffix(".html").read_text("utf-8")


def test_a_file_saved_under_another_name_is_said(place: Path) -> None:
    mark(place)
    for name in (f"{QUESTION} (1).csv", f"{QUESTION}.xlsx", f".~lock.{PAPER}.csv#"):
        (place / "out" / "by-hand" / name).write_bytes(b"x")
    _, said = mark(place)
    assert said.count("in by-hand is not read. Save it as CSV") == 2 and f"{QUESTION} (1).csv in by-hand" in said


def test_two_markers_agree_within_a_step_or_the_answer_waits(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "3", 2: "1", 3: "2", 4: "2"}, "AB", "no rule"), ";")
    fill(file_for(place, "-second-marker"), typed({1: "3.5", 2: "3", 4: "9"}, "CD", "rule on line 3"))
    status, said = mark(place)
    rows = sheet(place)
    assert status == 3 and [rows[n]["status"] for n in "1234"] == ["marked", "waiting", "marked", "waiting"]
    assert "the two markers differ by more than half a mark" in rows["2"]["reason"] and "9 is above 4" in said
    assert (
        "The two markers differ in 1 of the answers" in said
        and ";" in file_for(place, "-agreed").read_text().split("\n")[0]
    )
    assert "given by AB and CD." in (place / "out" / "marked" / f"1-{PAPER}.ipynb").read_text("utf-8")
    agreed = rows_in(file_for(place, "-agreed"))
    assert [(row["code"], row["first"], row["second"], row["second_why"]) for row in agreed] == [
        (of(2), "1", "3", "rule on line 3")
    ]
    assert "rule on line 3" not in file_for(place).read_text("utf-8")  # neither sees the other's mark
    fill(file_for(place, "-agreed"), typed({2: "2,5"}, "AB, CD".replace(",", ""), "half for naming it late"), ";")
    assert "differ in" not in mark(place)[1]
    assert sheet(place)["2"]["status"] == "marked"
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first


OUTSIDE = [
    ("3", "AB", False), ("3", "a.b.", False), ("3", "CD", False), ("3", "Anna Bell", False), ("0.5", "AB / AB", False),
    ("3", "AB and", False), ("3", "EF", True), ("3", "AB, CD", True), ("3", "AB + CD", True), ("0.5", "CD & AB", True),
    ("3", "ABCD", True), ("3", "AB and EF", True), ("3", "C. Dunn, Anna Bell", True), ("2.5", "AB", True),
    ("1", "AB", True), ("2", "CD", True), ("3", "AB EF", True), ("3", "Bell, Anna", False),
]  # fmt: skip


def test_one_marker_alone_does_not_settle_what_lies_outside_the_two(place: Path) -> None:
    """AB gave 2.5 and CD 1; either may write what lies between, nobody alone what lies above or below."""
    numbers = range(1, len(OUTSIDE) + 1)
    lay_key(place / "cohort.key", map(str, numbers))
    for number in numbers:
        hand_in(place / "in", str(number), {20: f"I write down 9.9 bar and U. Answer {number}."})
    mark(place)
    fill(file_for(place), typed(dict.fromkeys(numbers, "2.5"), "AB"))
    fill(file_for(place, "-second-marker"), typed(dict.fromkeys(numbers, "1"), "CD"))
    mark(place)
    for number, (worth, by, _) in zip(numbers, OUTSIDE, strict=True):
        fill(file_for(place, "-agreed"), typed({number: worth}, by))
    status, said = mark(place)
    now = [
        (worth, by, sheet(place)[str(number)]["status"] == "marked")
        for number, (worth, by, _) in zip(numbers, OUTSIDE, strict=True)
    ]
    assert status == 3 and now == OUTSIDE
    line = next(line for line in said.splitlines() if of(1) in line)
    assert line.startswith(f"{QUESTION}-agreed.csv, row ") and "3 lies outside the two marks, 1 and 2.5" in line
    assert "or both markers sign: AB and CD." in line and "3 lies outside the two" in sheet(place)["1"]["reason"]
    assert "3 lies outside" in next(row for row in rows_in(file_for(place, "-agreed")) if row["code"] == of(1))["note"]
    assert "given by CD and AB." in (place / "out" / "marked" / f"10-{PAPER}.ipynb").read_text("utf-8")
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first
    fill(file_for(place), typed(dict.fromkeys(numbers, "2.5"), "Adam Bell"))
    fill(file_for(place, "-agreed"), typed({1: "3", 4: "3"}, "Anna Bell"))
    mark(place)
    assert [sheet(place)[str(n)]["status"] for n in (1, 4)] == ["marked", "marked"], "two names written out are two"


@pytest.mark.parametrize(
    ("signed", "may"),
    [
        ("Albert", True), ("Abel", True), ("BA", True), ("AB CD EF", True), ("AB CD", True), ("CD, Bob", True),
        ("Mrs Bell and C. Dunn", True), ("MR", True), ("Mrs Bell", False), ("Dr. Bell", False), ("Ms A. Bell", False),
        ("Bell Anna", False), ("Bell A.", False), ("Bell, Anna", False), ("Mr C. Dunn", False), ("AB", False),
        ("ab", False), ("Anna", False), ("AB AB", False), ("DR CD", False),
    ],
)  # fmt: skip
def test_titles_and_the_order_of_a_name_make_nobody_else_and_a_name_is_not_initials(signed: str, may: bool) -> None:
    """Markers: Anna Bell and CD."""
    assert may_decide(signed, "Anna Bell", "CD") is may and may_decide(signed, "CD", "Anna Bell") is may


def test_names_that_may_be_a_markers_initials_are_the_markers() -> None:
    assert not any(may_decide(one, "AB", "CD") for one in ("Bell A.", "Bell, Anna", "Prof. Dr. Anna Bell", "DR AB"))
    assert not may_decide("ANN LEE", "AL", "CD") and not may_decide("Bell", "Mrs Bell", "CD")
    assert may_decide("ANN LEE", "AB", "CD") and may_decide("AB EF", "AB", "CD")


def make_critical(place: Path, candidates: range) -> None:
    """The text question of this cohort is critical."""
    questions = tuple(replace(one, critical=True) if one.number == 20 else one for one in PLAN.questions)
    plan, key = replace(PLAN, questions=questions), CohortKey(SECRET)
    papers = {str(one): paper_for(plan, key, str(one)) for one in candidates}
    key.issue(plan, 1, {one: entry_of(paper) for one, paper in papers.items()})
    write_key(place / "cohort.key", key)
    for one, paper in papers.items():
        answers = {**right_answers(paper), 20: f"I write down 9.9 bar and U. Answer {one}."}
        (place / "in" / handed_in_name(one, PAPER, 1)).write_bytes(handed_in(paper, answers, AT))


def test_a_critical_failure_is_typed_with_its_reason_where_the_question_is_critical(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "0 critical"}, why="tells the customer that it is safe"))
    assert "this question is not critical, so nobody fails it so. Type 0 without critical." in mark(place)[1]
    shutil.rmtree(place / "out")
    make_critical(place, range(1, 7))
    mark(place)
    fill(file_for(place), typed({1: "0 critical"}))
    fill(file_for(place), typed({2: "0 Critical", 3: "0"}, why="tells the customer that it is safe"))
    fill(file_for(place, "-second-marker"), typed({3: "0 critical"}, "CD", "the same"))
    _, said = mark(place)
    assert "a critical failure is typed as 0 critical, with its reason under why" in said and of(1) in said
    assert [sheet(place)[one]["critical_missed"] for one in "23"] == ["20", "20"], "of a text 0 holds back as well"
    assert {one["is"]["mark"] for line in record(place) for one in line.get("typed", [])} == {"0 critical", "0"}
    first = outputs(place)
    mark(place)
    assert outputs(place) == first


def test_where_0_holds_nothing_back_two_markers_agree_on_a_critical_failure() -> None:
    marks = {"first": Given(0, "AB", "so"), "second": Given(0, "CD", "so", failed=True)}
    waits = judged(marks, MarkSteps(10, critical=True), "f")
    assert waits.given is None and "one marker calls it a critical failure, the other does not" in waits.held
    held = judged(marks, MarkSteps(10, critical=True), "f", needed=1).given
    assert held is not None and held.failed


@pytest.mark.parametrize(
    ("first", "second", "agreed", "counts"),
    [
        ("0", "3", "0 critical", False), ("0 critical", "0 critical", "0", False), ("0 critical", "0", "0 critical", True),
        ("0 critical", "3", "2", True),
    ],
)  # fmt: skip
def test_one_marker_alone_calls_nothing_a_critical_failure_that_neither_did(
    place: Path, first: str, second: str, agreed: str, counts: bool
) -> None:
    make_critical(place, range(1, 7))
    mark(place)
    fill(file_for(place), typed({1: first, 2: "0"}, "AB", "so"))
    fill(file_for(place, "-second-marker"), typed({1: second, 2: "4"}, "CD", "so"))
    mark(place)
    lay = [{"code": of(1), "mark": agreed, "marked_by": "AB", "why": "so"}]
    file_for(place, "-agreed").write_bytes(table_bytes([*lay[0]], [[*row.values()] for row in lay]))
    said = mark(place)[1]
    assert (sheet(place)["1"]["status"] == "marked") is counts
    assert (f"{agreed} lies outside the two marks" in said) is not counts


def test_decimal_commas_stand_where_semicolons_part_the_columns(place: Path) -> None:
    """2.5 becomes the second of May in a spreadsheet that writes decimal commas."""
    mark(place, "--semicolons", "--forms")
    fill(file_for(place), typed({1: "2,5", 2: "3,5"}, why="rule 2.5"), ";")
    fill(file_for(place, "-second-marker"), typed({1: "1"}, "CD"), ";")
    mark(place)
    [row] = rows_in(file_for(place, "-agreed"))
    assert (row["first"], row["second"], row["first_why"]) == ("2,5", "1", "rule 2.5")
    first = outputs(place)
    assert mark(place)[0] == 3 and outputs(place) == first
    file_for(place).unlink()
    said = mark(place)[1]  # from the record
    assert "2 marked rows were missing" in said and "others than at the last marking" not in said
    assert sorted(row["mark"] for row in rows_in(file_for(place)) if row["mark"]) == ["2,5", "3,5"]


def test_a_file_with_commas_that_is_laid_anew_with_semicolons_has_decimal_commas(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "2.5"}))
    mark(place)
    for path in (place / "out" / "by-hand").glob("*.csv"):
        path.unlink()  # moved elsewhere, as a marker is told whose spreadsheet shows one column
    said = mark(place, "--semicolons")[1]
    assert [row["mark"] for row in rows_in(file_for(place)) if row["mark"]] == ["2,5"] and "last marking" not in said
    assert not any(line.get("typed") for line in record(place)[2:])


def test_a_changed_mark_that_is_put_back_has_the_sign_of_its_file(place: Path) -> None:
    mark(place, "--forms")
    fill(file_for(place), typed(dict.fromkeys(range(1, 7), "4")))
    mark(place)
    row = {
        "candidate": "1",
        "receipt": sheet(place)["1"]["receipt"],
        "question": "20",
        "mark": "2.5",
        "marked_by": "CD",
    }
    path = place / "out" / "changed-marks.csv"
    path.write_bytes(table_bytes([*row, "why"], [[*row.values(), "so"]]))
    assert mark(place)[0] == 0
    before = record(place)
    path.unlink()
    file_for(place).unlink()
    status, said = mark(place, "--semicolons")
    assert status == 0 and "New in changed-marks.csv" not in said and ";2,5;CD;so" in path.read_text("utf-8-sig")
    assert record(place) == before


def test_the_second_marker_is_another_person(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "3"}, "AB"))
    fill(file_for(place, "-second-marker"), typed({1: "0"}, "a.b."))
    said = mark(place)[1]
    assert f"{QUESTION}-second-marker.csv, row " in said and "the first marker has the same initials" in said
    assert sheet(place)["1"]["status"] == "marked", "a first mark that is in order stands"
    assert (
        f"Question 20: its mark in by-hand/{QUESTION}-second-marker.csv was refused: the first"
        in sheet(place)["1"]["reason"]
    )
    assert "given by AB." in (place / "out" / "marked" / f"1-{PAPER}.ipynb").read_text("utf-8")
    first = outputs(place)
    assert "write your names out in both files" in mark(place)[1] and outputs(place) == first
    fill(file_for(place), typed({1: "3"}, "Adelheid von Bartenstein-Hagenow"))
    fill(file_for(place, "-second-marker"), typed({1: "3"}, "Anton Bartenstein"))
    assert "initials" not in mark(place)[1] and "refused" not in sheet(place)["1"]["reason"]


def test_rows_sorted_without_their_codes_are_refused_and_give_nobody_anothers_mark(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "4", 2: "3", 3: "2", 4: "1"}))

    def sort(rows: list[Row]) -> None:
        first, second = (next(row for row in rows if row["code"] == of(n)) for n in (1, 2))
        first["code"], second["code"] = second["code"], first["code"]

    fill(file_for(place), sort)
    for _ in range(2):  # the files that are laid keep what was sorted
        status, said = mark(place)
        assert status == 3 and said.count("the rows were sorted without it") == 2
        assert [sheet(place)[n]["status"] for n in "1234"] == ["waiting", "waiting", "marked", "marked"]
        row = next(row for row in rows_in(file_for(place)) if row["code"] == of(1))
        assert (row["mark"], row["answer"].rstrip(".")[-1]) == ("3", "2") and "sorted without it" in row["note"]

    def mend(rows: list[Row]) -> None:
        for row in rows:
            if row["code"] in (of(1), of(2)):
                row.update(mark="4" if row["code"] == of(1) else "3", answer="")

    fill(file_for(place), mend)
    mark(place)
    assert [sheet(place)[n]["status"] for n in "1234"] == ["marked"] * 4
    assert {row["answer"].rstrip(".")[-1] for row in rows_in(file_for(place)) if row["code"] == of(1)} == {"1"}


def test_answers_in_any_script_are_told_apart(place: Path) -> None:
    """Two Cyrillic answers change places under their codes, as typed and as an encoding spoils them."""
    answers = {"1": "Закрыть баллон и стравить, 9 бар", "2": "Открыть баллон и смотреть, 9 бар"}
    for number, answer in answers.items():
        hand_in(place / "in", number, {20: answer})
    ways = {"utf-8": False, "cp1251": False, "ascii": True}
    for encoding, lost in ways.items():
        mark(place)
        codes = [code(number, answer) for number, answer in answers.items()]

        def change(rows: list[Row], codes: list[str] = codes, encoding: str = encoding) -> None:
            first, second = (next(row for row in rows if row["code"] == one) for one in codes)
            first.update(mark="4", marked_by="AB")
            second.update(mark="0", marked_by="AB")
            for row in rows:
                row["answer"] = (
                    row["answer"]
                    .encode(encoding, "replace")
                    .decode("cp1252" if encoding == "cp1251" else encoding, "replace")
                )
            if encoding != "utf-8":
                return
            first["code"], second["code"] = codes[1], codes[0]

        fill(file_for(place), change)
        said = mark(place)[1]
        refused = encoding == "utf-8" or lost
        assert said.count("the rows were sorted without it, or letters were lost") == (2 if refused else 0), encoding
        assert [sheet(place)[n]["status"] for n in "12"] == ["waiting" if refused else "marked"] * 2
        file_for(place).unlink()


SAME = [
    ("It creeps: 9.8 bar", " it\N{NO-BREAK SPACE}creeps 9.8 BAR"), ("Größe ½ bar", "GRÖSSE 1/2 bar"),
    ("Prüfen", "Pr?fen"), ("Prüfen", "Pr\N{REPLACEMENT CHARACTER}fen"), ("Prüfen", "PrÃ¼fen"), ("Prüfen", "PrŸfen"),
    ("Закрыть баллон", "Çàêðûòü áàëëîí"), ("0.050", "0,05"), ("12.40", "12.4"),
    ("007", "7"), ("1e3", "1,00E+03"), ("+5", "'5"), ("I wait \N{RIGHTWARDS ARROW} then vent", "I wait ? then vent"),
]  # fmt: skip
OTHER = [
    ("Закрыть", "Открыть"), ("два", "???"), ("два", "три"), ("関", "開"), ("Prüfen", "Prufen"), ("Prüfen", "Pr?fe"),
    ("Prüfen 9", "Pr?fen 8"), ("कि", "की"), ("0.050", "0.06"), ("0.05", "0.0501"), ("9", "9 9"), ("Закрыть баллон", ""), ("open ?", "shut ?"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("answer", "cell", "same"), [*((*one, True) for one in SAME), *((*one, False) for one in OTHER)]
)
def test_the_same_answer_is_known_and_another_is_not(answer: str, cell: str, same: bool) -> None:
    assert same_answer(cell, answer) is same


def test_an_answer_that_a_spreadsheet_saved_in_its_own_way_is_the_same(place: Path) -> None:
    mark(place)

    def change(rows: list[Row]) -> None:
        typed({1: "4"})(rows)
        for row in rows:
            row["answer"] = f" {row['answer'].replace(' ', chr(160))}\u2019\n".upper()

    fill(file_for(place), change)
    assert "sorted" not in mark(place)[1] and sheet(place)["1"]["status"] == "marked"


def test_a_mark_sheet_edited_by_hand_is_kept_aside_and_said(place: Path) -> None:
    mark(place)
    path = place / "out" / "marks.csv"
    ours = path.read_bytes()
    edited = ours.replace(b"waiting", b"marked")
    for number in (1, 2):
        path.write_bytes(edited + b"\n" * number)
        status, said = mark(place)
        assert status == 3 and f"kept as marks-as-edited-{number}.csv" in said and path.read_bytes() == ours
        assert (place / "out" / f"marks-as-edited-{number}.csv").read_bytes() == edited + b"\n" * number
    fill(file_for(place), typed({1: "3"}))
    assert "Kept from an earlier marking: marks-as-edited-1.csv and marks-as-edited-2.csv, which" in mark(place)[1]
    for number in (1, 2):
        (place / "out" / f"marks-as-edited-{number}.csv").unlink()
    fill(file_for(place), typed({1: "2"}))
    assert "as-edited" not in mark(place)[1]  # ours may be written over
    path.write_bytes(ours)  # and an older one of ours too
    assert "as-edited" not in mark(place)[1] and path.read_bytes() != ours


def test_strange_words_run_nowhere(place: Path) -> None:
    for number in (1, 2):
        hand_in(place / "in", str(number), {20: f"={number}+1\n{HOSTILE}\n\x00\x1b[31m" + "x" * 9000})
    mark(place)

    def change(rows: list[Row]) -> None:
        for row in rows:
            row.update(mark="3", marked_by="O'N.-B", why=f"=1+1\n{HOSTILE}")

    fill(file_for(place), change)
    status, _ = mark(place)
    assert status == 0
    for name, data in outputs(place).items():
        text = data.decode("utf-8-sig")
        if name.endswith(("csv",)):
            for cells in csv.reader(io.StringIO(text, newline="")):
                assert all(cell.isprintable() and cell[:1] not in tuple("=+-@") for cell in cells), name
        elif not name.endswith((".jsonl", ".lock")):
            assert "<script" not in text and "](javascript" not in text and "\x1b" not in text, name
    assert "given by O'N.-B." in (place / "out" / "marked" / f"1-{PAPER}.ipynb").read_text("utf-8")


FORMULA = re.compile(r"""[\s"]*[=+@|%-]""")


def test_no_separator_lets_a_formula_begin(place: Path) -> None:
    """A comma file opened with semicolons, tabs or bars, and a semicolon file with commas."""
    hand_in(place / "in", "1", {20: "I write it down;=cmd|'/C calc'!A0;x, \"=1+1\"\n@SUM(A1)\t-2|+3 | =4"})
    mark(place, "--forms")

    def change(rows: list[Row]) -> None:
        for row in rows:
            row.update(mark="3", marked_by="AB", why="no rule;=1+1,=2|=3", mine="see;=1")

    for between in ",;":
        fill(file_for(place), change, between)
        assert mark(place)[0] == 0
        for path in (place / "out").rglob("*.csv"):
            for opened in ",;\t|":
                for cells in csv.reader(io.StringIO(path.read_text("utf-8-sig"), newline=""), delimiter=opened):
                    assert not any(map(FORMULA.match, cells)), (path.name, opened, cells)
        assert record(place)[1]["typed"][0]["is"]["why"] == "no rule;=1+1,=2|=3", "the record has it as typed"
    assert as_cell("9.8 bar; I wait, then vent - slowly (a|b = c)") == "9.8 bar; I wait, then vent - slowly (a|b = c)"


def test_a_reason_without_end_is_refused(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed({1: "3"}, why="x" * 100_000))
    assert "the reason has 100000 characters" in mark(place)[1] and sheet(place)["1"]["status"] == "waiting"
    fill(file_for(place), typed({1: "3"}, why="x" * 1_000_000))
    status, said = mark(place)
    assert status == 2 and "far too long" in said and len(file_for(place).read_bytes()) > 1_000_000


def test_a_file_that_is_open_or_saved_meanwhile_is_left(place: Path) -> None:
    mark(place)
    lock = file_for(place).with_name(f".~lock.{QUESTION}.csv#")
    lock.write_text("somebody")
    hand_in(place / "in", "7", {20: "Late."})
    before = file_for(place).read_bytes()
    assert "is open in a spreadsheet" in mark(place)[1] and file_for(place).read_bytes() == before
    lock.unlink()
    mark(place)
    assert len(rows_in(file_for(place))) == 7


def killed_again_and_again(place: Path, kills: int) -> None:
    """Kill a marking at moments spread over its work: no mark that somebody typed is lost, whatever else was typed."""
    mark(place)
    started_at = time.monotonic()
    subprocess.run(line_for(place), capture_output=True)
    took, moments, given_marks = time.monotonic() - started_at, random.Random(5), {}
    for at in range(kills):
        given_marks[1 + at % 6] = in_words(moments.randrange(9) / 2)
        fill(file_for(place), typed(given_marks, why="so"))
        late = hand_in(place / "in", "7", {20: f"Late {at}."})  # so that the file itself is written again
        running = subprocess.Popen(line_for(place), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(moments.uniform(0.3 * took, 1.1 * took))
        running.kill()
        running.communicate()
        there = {row["code"]: (row["mark"], row["marked_by"], row["why"]) for row in rows_in(file_for(place))}
        assert all(there[of(n)] == (worth, "AB", "so") for n, worth in given_marks.items())
        late.unlink()
    assert mark(place)[0] in (0, 3)
    assert all(sheet(place)[str(n)]["status"] == "marked" for n in given_marks)
    state = {}
    for line in record(place):
        state.update({one["row"]: one["is"] for one in line.get("typed", [])})
    assert {of(n): worth for n, worth in given_marks.items()} == {row: one["mark"] for row, one in state.items() if one}


def test_a_killed_marking_loses_no_mark(place: Path) -> None:
    killed_again_and_again(place, 4)


@pytest.mark.long
def test_a_hundred_killed_markings_lose_no_mark(place: Path) -> None:
    killed_again_and_again(place, 100)


def test_codes_tell_nothing_and_hold_nothing_that_a_spreadsheet_reads() -> None:
    codes = [code(str(number), "the same") for number in range(1, 2001)]
    assert len(set(codes)) == 2000 and all(set(one) <= set("BCDFGHJKLMNPQRSTVWXZ-") for one in codes)
    assert sorted(codes) != codes
    other = code_of(bytes(32), ("1", PAPER, 1), 20, "the same")
    assert other != codes[0] and code_of(SECRET, ("1", PAPER, 1), 19, "the same")[:9] != codes[0][:9]


def test_no_two_candidates_share_the_first_part_of_a_code() -> None:
    """20^8 parts: of 4,000 candidates two share one in 1 of 3,200 cohorts (the birthday problem)."""
    assert len(LETTERS) ** len(whose_of(SECRET, ("1", PAPER, 1), 20).replace("-", "")) > 1000 * 4000**2 / 2
    for cohort in range(5):
        parts = {whose_of(bytes([cohort]) * 32, (str(n), PAPER, 1), 20) for n in range(4000)}
        assert len(parts) == 4000


def test_a_critical_question_waits_where_one_of_two_markers_gives_enough() -> None:
    """A step apart: the higher counts where both are enough or neither is, and waits where one of them is."""
    half = MarkSteps(4, 0.5)
    for first, second, needed, waits in (
        (3.5, 4, 4, True), (4, 3.5, 4, True), (3, 3.5, 4, False), (4, 4, 4, False), (3.5, 4, 0, False), (0.5, 1, 1, True),
        (1, 1.5, 1, False), (0, 0.5, 1, False),
    ):  # fmt: skip
        marks = {"first": Given(first, "AB"), "second": Given(second, "CD")}
        found = judged(marks, half, "f", needed)
        assert (found.given is None, bool(found.held)) == (waits, waits), (first, second, needed)
    assert judged({**marks, "agreed": Given(1, "EF")}, half, "f", 1).given == Given(1, "EF")


def test_two_marks_a_step_apart_wait_where_one_of_them_holds_the_result_back(place: Path) -> None:
    """Question 3 is critical and gives 1 mark; question 13 is not, and gives 2."""
    for number in (1, 2):
        hand_in(place / "in", str(number), {3: "much too high", 13: "near ten", 20: ""})
    mark(place)
    marks = {3: (("1", "1"), ("0", "1")), 13: (("2", "2"), ("1", "2"))}
    for question, given_marks in marks.items():
        for marker, by, worths in zip(("", "-second-marker"), ("AB", "CD"), given_marks, strict=True):

            def give(rows: list[Row], by: str = by, worths: tuple[str, str] = worths) -> None:
                for row, worth in zip(rows, worths, strict=True):
                    row.update(mark=worth, marked_by=by)

            fill(place / "out" / "by-hand" / f"{PAPER}-question-{question}{marker}.csv", give)
    said = mark(place)[1]
    waiting = [row for row in sheet(place).values() if row["status"] == "waiting" and row["candidate"] in "12"]
    assert len(waiting) == 1 and "differ in 1 of the answers" in said
    why = (
        "Question 3: one marker gives the 1 that this critical question needs, the other does not: they agree on one in"
    )
    assert why in waiting[0]["reason"]
    pages = {n: (place / "out" / "by-hand" / f"{PAPER}-question-{n}.html").read_text("utf-8") for n in marks}
    assert ONE_REACHES_IT in pages[3] and ONE_REACHES_IT not in pages[13] and escape(TWO_MARKERS) in pages[13]
    agreed = place / "out" / "by-hand" / f"{PAPER}-question-3-agreed.csv"
    fill(agreed, lambda rows: rows[0].update(mark="0", marked_by="CD"))
    assert "differ in" not in mark(place)[1]
    assert "3" in sheet(place)[waiting[0]["candidate"]]["critical_missed"].split()


def test_marks_of_two_are_as_the_rule_says() -> None:
    first, second = Given(2, "AB"), Given(3, "CD")
    assert (
        judged({"first": first}, MarkSteps(4), "f").given == first
        and judged({"second": second}, MarkSteps(4), "f").given == second
    )
    assert judged({"first": first, "second": second}, MarkSteps(4), "f").given == Given(3, "AB and CD", "AB 2; CD 3")
    assert judged({"first": first, "second": Given(4, "CD")}, MarkSteps(4), "f").given is None
    assert judged(
        {"first": first, "second": Given(4, "CD"), "agreed": Given(1, "EF")}, MarkSteps(4), "f"
    ).given == Given(1, "EF")
    with pytest.raises(HandMarkError, match="whole marks"):
        given("0.5", "AB", "", MarkSteps(1))


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("sep=;\r\ncode;mark\r\nA;1\r\n", [("A", "1")]),
        ("\r\n\r\nCode , MARK ,\r\nA,1,\r\n,,\r\n", [("A", "1")]),
        ("mark\tcode\n2\t'A\n", [("'A", "2")]),
        ('code,mark\n"A\nB",1\n', [("A B", "1")]),
    ],
)
def test_tables_are_read_as_spreadsheets_write_them(text: str, rows: list[tuple[str, str]]) -> None:
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "cp1252"):
        table = read_table(text.encode(encoding), "t.csv", ("code", "mark"))
        assert [(row.cells["code"], row.typed("mark")) for row in table.rows] == rows
    again = read_table(table_bytes(table.columns, [list(row.cells.values()) for row in table.rows]), "t.csv", ("code",))
    assert [row.cells for row in again.rows] == [row.cells for row in table.rows]


def test_a_table_without_its_header_is_refused() -> None:
    for data in (b"", b"A,1\n", b"code,code,mark\n", b"\xff\xfe", b"\0\0\0"):
        with pytest.raises(HandTableError):
            read_table(data, "t.csv", ("code", "mark"))
