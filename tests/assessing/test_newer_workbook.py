"""A folder marked again by a newer workbook: nothing that was asked, expected or given gets lost, and all of it is said."""

from __future__ import annotations

import contextlib
import html
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from test_as_issued import Course, change, course, mended, rules_of_today, run

from steadyneedle.assessing import mark_cohort, which_workbook
from steadyneedle.assessing.observed import NOBODY
from steadyneedle.cli import main
from steadyneedle.foundation import notebooks

__all__ = ["course"]
BOOK, KEPT = "1-short.ipynb", "1-short-as-marked-before.ipynb"


def by_hand(course: Course, question: int, typed: str, out: str = "out") -> None:
    """Type mark, initials and reason into the one row of a question."""
    path = course.place / out / "by-hand" / f"short-question-{question}.csv"
    text = path.read_bytes()
    assert text.count(b",,,") == 1
    path.write_bytes(text.replace(b",,,", f",{typed},".encode()))


def main_says(*words: str | Path) -> str:
    """What a command prints."""
    with contextlib.redirect_stdout(io.StringIO()) as out, pytest.raises(SystemExit):
        main([*map(str, words)])
    return out.getvalue()


def words_in(book: bytes) -> str:
    return html.unescape("\n".join(notebooks.source_of(cell) for cell in json.loads(book)["cells"]))


def marked_by_a_person(course: Course) -> dict[str, bytes]:
    """Question 1 could not be read, and a person gave it 1."""
    [paper] = course.papers("1")
    course.hand_in(paper, {5: "", 1: "twentynine hundred psi"})
    assert course.mark()[0] == 3
    by_hand(course, 1, "1,AB,it says it")
    assert course.mark() == (0, "")
    return course.outputs()


def test_what_was_asked_stays_though_a_person_marked_it_and_the_question_is_another(course: Course) -> None:
    before, [was] = marked_by_a_person(course), course.rows()
    with mended("mpa_to_psi"):
        status, said = course.mark()
        assert status == 0 and said.startswith(
            "In 1 of the papers a question is another today than the one that was asked."
        )
        assert "take the workbook of that day: record.jsonl and the notebooks say which it was" in said
        [row], outputs = course.rows(), course.outputs()
        asked = f"Question 1 is another in today's workbook; as it was asked it stands in marked/{KEPT}."
        assert {**row, "reason": ""} == {**was, "reason": ""} and row["reason"] == f"{asked} {NOBODY}"
        assert f"As it was asked it stands in marked/{KEPT}." in outputs[BOOK].decode() and run(outputs[BOOK])
        page = (course.place / "out" / "by-hand" / "short-question-1.html").read_text()
        assert "This is the one that was asked:" in page and "Expected: " in page and "-short.ipynb" not in page
        assert course.mark() == (0, said) and course.outputs() == outputs
    kept = words_in(outputs[KEPT])
    right = next(line for line in before[BOOK].decode().splitlines() if "Expected: " in line)
    assert right.split("Expected: ")[1].split("\\n")[0] in kept and "MPa" in kept and "twentynine hundred" in kept
    assert "Mark: 1 of 1, given by AB." in kept


def test_a_folder_that_never_showed_what_was_asked_says_so(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    for _ in range(2):  # the first notebook shows no more than the second: nothing is kept
        with mended("lock_up"):
            assert course.mark()[0] == 3
            assert (
                "as it was asked it stands in the candidate's paper as it was given out." in course.rows()[0]["reason"]
            )
            assert KEPT not in course.outputs()
    course.mark()
    with mended("lock_up"):
        course.mark()
        assert KEPT in course.outputs() and f"marked/{KEPT}" in course.rows()[0]["reason"]


def test_each_question_is_looked_for_where_it_stands(course: Course) -> None:
    """The first notebook never showed question 2; question 1 was mended after it."""
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    with mended(paper.items[1].exercise):
        course.mark()
        with mended(paper.items[0].exercise):
            course.mark()
            reason, book = course.rows()[0]["reason"], course.outputs()[BOOK].decode()
    at = "Question {} is another in today's workbook; as it was asked it stands in {}."
    assert at.format(1, f"marked/{KEPT}") in reason
    assert at.format(2, "the candidate's paper as it was given out") in reason
    assert f"As it was asked it stands in marked/{KEPT}." in book
    assert "As it was asked it stands in the candidate's paper as it was given out." in book


def test_a_mark_changed_on_appeal_and_a_question_mended_later_agree_when_the_notebook_runs(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: "", 3: "1 psi"})
    course.mark()
    change(course, "1,3,1,EF,appeal")
    course.mark()
    with mended("lock_up"):
        assert course.mark()[0] == 0
        book = course.outputs()[BOOK]
        assert run(book) and "paper.kept(3, mark=0, " in "\n".join(notebooks.code_of(json.loads(book)))
        assert b"Mark: 1 of 1 instead of 0, given by EF." in book


def test_what_is_kept_is_read_and_not_run_and_a_changed_one_is_said(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    course.mark()
    with mended("lock_up"):
        course.mark()
        path = course.place / "out" / "marked" / KEPT
        whole = path.read_bytes()
        book = json.loads(whole)
        assert [cell["cell_type"] for cell in book["cells"]] == ["markdown"] * len(book["cells"])
        assert notebooks.source_of(book["cells"][0]).startswith("**This is the notebook of an earlier marking, kept")
        assert "run the notebook from top to bottom" not in words_in(whole) and "Mark: 1 of 1. Right." in words_in(
            whole
        )
        book["metadata"]["kernelspec"] = {"name": "python3"}  # saved by a program, nothing in it changed
        path.write_text(json.dumps(book))
        usual = course.mark()
        assert "No longer as" not in usual[1]
        for place in (book["cells"][3]["source"], book["metadata"]):
            kept = list(place) if isinstance(place, list) else dict(place)
            place.clear()
            path.write_text(json.dumps(book))
            (place.extend if isinstance(place, list) else place.update)(kept)
            status, said = course.mark()
            assert status == 0 and f"No longer as the workbook kept it: marked/{KEPT}. Put your copy back" in said
        path.write_bytes(b"")
        assert f"No longer as the workbook kept it: marked/{KEPT}." in course.mark()[1]
        path.write_bytes(whole)
        assert course.mark() == usual


def test_a_notebook_that_a_newer_workbook_ran_before_it_was_kept_is_said(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    course.mark()
    path = course.place / "out" / "marked" / BOOK
    book = json.loads(path.read_bytes())
    cell = next(one for one in book["cells"] if one["id"] == "mark-3")
    cell["outputs"][0]["text"] = ["This question has version 9 now.\n"]
    path.write_text(json.dumps(book))
    with mended("lock_up"):
        status, said = course.mark()
        assert status == 0 and f"Kept as a record, and run again or changed after it was marked: marked/{KEPT}." in said
        assert "It was run again or changed after it was marked" in words_in(course.outputs()[KEPT])


def test_two_workbooks_of_one_version_are_told_apart(course: Course, monkeypatch: pytest.MonkeyPatch) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    course.mark()
    outputs, record = course.outputs(), (course.place / "out" / "record.jsonl").read_bytes()
    assert course.mark() == (0, "") and (course.place / "out" / "record.jsonl").read_bytes() == record
    [line] = course.record()
    assert line["workbook_digest"] == which_workbook.workbook_digest() and len(str(line["workbook_digest"])) == 8
    assert f"Marked with Steady Needle {line['workbook']} ({line['workbook_digest']})." in outputs[BOOK].decode()
    assert main_says("--version") == f"steadyneedle {line['workbook']} ({line['workbook_digest']})\n"
    monkeypatch.setattr(which_workbook, "workbook_digest", lambda: "0badcafe")
    monkeypatch.setattr(mark_cohort, "workbook_digest", lambda: "0badcafe")
    assert course.mark() == (0, "")
    first, second = course.record()
    assert (second["workbook_digest"], second["came"], second["went"]) == ("0badcafe", [], []) and first == line
    assert b"(0badcafe)." in course.outputs()[BOOK]
    assert course.mark() == (0, "") and len(course.record()) == 2


def test_the_digest_hangs_on_every_file_and_on_no_line_end(tmp_path: Path) -> None:
    def digest_with(files: dict[str, bytes], name: str) -> str:
        for path, data in files.items():
            (tmp_path / name / path).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / name / path).write_bytes(data)
        return which_workbook.digest_of_files([tmp_path / name / "bench"])

    files = {"bench/a.py": b"a = 1\nb = 2\n", "bench/in/b.csv": b"x\n"}
    first = digest_with(files, "1")
    assert first == digest_with({**files, "bench/a.py": b"a = 1\r\nb = 2\r\n", "bench/a.pyc": b"?"}, "2")
    others = ({"bench/a.py": b"a = 2\nb = 2\n"}, {"bench/in/b.csv": b"y\n"}, {"bench/c.py": b""})
    found = {digest_with({**files, **one}, str(at)) for at, one in enumerate(others, 3)}
    assert len(found | {first}) == 4


def test_a_changed_mark_keeps_who_gave_the_first_and_why(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: "I promise nothing.", 3: "1 psi"})
    course.mark()
    by_hand(course, 5, "1,AB,no reading")
    course.mark()
    header = "candidate,receipt,question,mark,marked_by,why\n"
    receipt = course.rows()[0]["receipt"]
    rows = f"1,{receipt},5,2,CD,it is there\n1,{receipt},3,1,CD,misread\n"
    (course.place / "out" / "changed-marks.csv").write_text(header + rows)
    assert course.mark()[0] == 0
    book = course.outputs()[BOOK]
    said = words_in(book)
    assert "**AB gave 1**: <code>no reading</code>; **changed by CD to 2**: <code>it is there</code>" in said
    assert "**The workbook gave 0**; **changed by CD to 1**: <code>misread</code>" in said
    assert b"Mark: 1 of 2, given by AB." in book and b"Mark: 2 of 2 instead of 1, given by CD." in book and run(book)
    typed: Any = course.record()[-1]["typed"]
    assert [(one["was"]["mark"], one["was"]["marked_by"], one["is"]["mark"]) for one in typed] == [
        ("0", "the workbook", "1"), ("1", "AB", "2"),
    ]  # fmt: skip
    assert typed[1]["was"]["why"] == "no reading"


def test_a_change_of_a_question_that_waits_is_in_the_sheet_and_nothing_waits_any_more(
    course: Course,
) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    with mended("lock_up"):
        assert course.mark()[0] == 3
        change(course, "1,3,1,EF,it is right by the paper")
        status, _ = course.mark()
        [row] = course.rows()
        assert (status, row["status"], row["mark"]) == (0, "marked", "5")
        assert "The mark of question 3 is 1, given by EF in changed-marks.csv." in row["reason"]
        typed: Any = course.record()[-1]["typed"]
        assert typed[0]["was"] is None and run(course.outputs()[BOOK])
        out = main_says("mark", course.place / "in", "--key", course.place / "a.key", "--out", course.place / "out")
        assert "1 marked, 0 waiting" in out and "to mark by hand" not in out


def test_nothing_answered_earns_nothing_whatever_was_asked(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: "", 1: "", 2: ""})
    with mended("mpa_to_psi"), mended("stated_supply"):
        assert course.mark()[0] == 0
        [row], book = course.rows(), course.outputs()[BOOK]
        assert (row["status"], row["mark"], row["critical_missed"]) == ("marked", "2", "1")
        assert "Questions 1, 2 are others in today's workbook; as they were asked they stand in the" in row["reason"]
        assert run(book) and book.count(b"This is another question today.") == 2
        assert not (course.place / "out" / "by-hand" / "short-question-1.csv").exists()
    assert course.mark()[0] == 0
    assert course.rows()[0]["mark"] == "2"


def test_nobody_watched_stands_beside_either_result(course: Course) -> None:
    one, two = course.papers("1", "2")
    course.hand_in(one, {5: ""})
    course.hand_in(two, {5: "", 1: ""})
    course.mark()
    rows = course.rows()
    assert [row["result"] for row in rows] == ["competent", "not yet competent"]
    assert [row["reason"].endswith(NOBODY) for row in rows] == [True, True]


def test_what_was_chosen_is_shown_in_words_where_the_question_is_another(course: Course) -> None:
    course.edit(('exercise = "other_supply"', 'exercise = "simple_verdict"'))
    [paper] = course.papers("1")
    [key, words] = paper.items[3].options[0]
    course.hand_in(paper, {5: "", 4: key})
    with mended("simple_verdict"):
        assert course.mark()[0] == 3
        page = (course.place / "out" / "by-hand" / "short-question-4.html").read_text()
        assert f"{key} (today's words for it: {words})" in html.unescape(page)
        assert "stands in the candidate's paper as it was given out, 1-short.ipynb." in page
        assert f"{key} (today's words for it: {words})" in words_in(course.outputs()[BOOK])


@pytest.mark.parametrize("spoil", [lambda _: b"", lambda data: data[:-50], lambda _: b"[" * 10**5, lambda _: b"{}"])
def test_whatever_lies_in_the_place_of_a_notebook_stops_nothing(
    course: Course, spoil: Callable[[bytes], bytes]
) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    course.mark()
    path = course.place / "out" / "marked" / BOOK
    path.write_bytes(spoil(path.read_bytes()))
    with mended("lock_up"), rules_of_today("mpa_to_psi", "off"):
        assert course.mark()[0] == 0 and course.rows()[0]["mark"] == "5"
        assert "candidate's paper" in course.rows()[0]["reason"] and KEPT not in course.outputs()
