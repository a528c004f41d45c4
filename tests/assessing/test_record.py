"""What the record and the key say decides, so both are sealed: what was changed, cut, lost or exchanged is said."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from test_as_issued import Course, command, course

from steadyneedle.assessing.secret import CohortKey, KeyFileError, read_key, write_key

__all__ = ["course"]


def all_of(course: Course) -> dict[str, bytes]:
    """Every file of the results but the lock."""
    there = (course.place / "out").rglob("*")
    return {str(one): one.read_bytes() for one in there if one.is_file() and one.suffix != ".lock"}


def three_lines(course: Course) -> Path:
    """Two candidates, a pass mark that was changed, and a third who came later."""
    one, two, three = course.papers("1", "2", "3")
    course.hand_in(one, {5: "", 3: ""})
    course.hand_in(two, {5: ""})
    course.mark()
    course.mark("--pass-mark", "55", "--by", "Board")
    course.hand_in(three, {5: ""})
    course.mark()
    assert [row["result"] for row in course.rows()] == ["competent"] * 3
    return course.place / "out" / "record.jsonl"


SPOILT: dict[str, tuple[Callable[[bytes], bytes], int]] = {
    "cut": (lambda data: data[:-40], 3),
    "cut in the middle": (lambda data: data[: len(data) // 8], 1),
    "UTF-16": (lambda data: data.decode().encode("utf-16"), 1),
    "NULs": (lambda data: data + bytes(100), 4),
    "other line ends": (lambda data: data.replace(b"\n", b"\r\n"), 1),
    "reversed": (lambda data: b"".join(reversed(data.splitlines(keepends=True))), 1),
    "a line taken out": (lambda data: b"".join(data.splitlines(keepends=True)[::2]), 2),
    "a line twice": (lambda data: data + data.splitlines(keepends=True)[2], 4),
    "edited": (lambda data: data.replace(b'"Board"', b'"board"', 1), 2),
    "no seal": (lambda data: data + b'{"at": 1, "came": [], "went": []}\n', 4),
    "another's": (lambda _: b"no record of ours", 1),
    "an empty line": (lambda data: b"\n" + data, 1),
}


def test_a_record_that_is_not_as_it_was_written_is_refused_and_nothing_is_written(course: Course) -> None:
    path = three_lines(course)
    whole = path.read_bytes()
    for name, (spoil, line) in SPOILT.items():
        path.write_bytes(spoil(whole))
        before = all_of(course)
        status, said = course.mark()
        assert status == 2 and said.startswith(f"record.jsonl, line {line}: the workbook did not write it so. "), name
        assert "Put your copy of record.jsonl back" in said and said.count("\n") == 1 and all_of(course) == before
    path.write_bytes(whole)
    assert course.mark() == (0, "") and path.read_bytes() == whole


def test_results_of_another_key_are_said_to_be_that(course: Course) -> None:
    three_lines(course)
    before = all_of(course)
    write_key(course.place / "other.key", CohortKey(bytes(32)))
    words = ("mark", course.place / "in", "--key", course.place / "other.key", "--out", course.place / "out")
    status, said = command(*words)
    assert status == 2 and said.startswith("The record.jsonl in the folder of results was written with another key.")
    assert all_of(course) == before


def test_an_older_record_is_seen_by_the_mark_sheet_that_it_does_not_know(course: Course) -> None:
    path = three_lines(course)
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:1]))
    status, said = course.mark()
    assert status == 0 and said.startswith("marks.csv was not the one that record.jsonl knows: somebody changed it, or")
    assert "kept as marks-as-edited-1.csv" in said
    assert course.rows()[0]["result"] == "not yet competent", "the changed pass mark was not in that copy"


def test_a_record_that_is_gone_is_said(course: Course) -> None:
    path = three_lines(course)
    path.unlink()
    status, said = course.mark()
    assert status == 0 and said.startswith("marks.csv lay there and no record.jsonl: ") and "kept as marks-as" in said
    assert course.mark() == (0, "")
    path.unlink()  # the same sheet comes out again, as after a first marking that was killed before its record
    status, said = course.mark()
    assert status == 0 and said.startswith("marks.csv lay there and no record.jsonl: ") and said.count("\n") == 1


@pytest.mark.parametrize(
    "edit",
    [
        lambda issued: issued["plan"].update(pass_percent=10),
        lambda issued: issued["plan"]["questions"][0].update(critical=False),
        lambda issued: issued["plan"]["questions"][1].update(weight=50),
        lambda issued: issued["papers"].pop("2"),
        lambda issued: issued["papers"].update({"9": issued["papers"]["1"]}),
        lambda issued: issued.update(papers=dict(zip("12", [*issued["papers"].values()][::-1], strict=True))),
        lambda issued: issued.update(seal="0" * 32),
        lambda issued: issued.update(seal=None),
        lambda issued: issued.update(seal="é"),
    ],
)
def test_a_key_that_was_edited_is_refused(course: Course, edit: Callable[[dict[str, object]], object]) -> None:
    for one in course.papers("1", "2"):
        course.hand_in(one, {5: ""})
    assert course.mark()[0] == 0
    path, before = course.place / "a.key", all_of(course)
    content = json.loads(path.read_bytes())
    edit(content["issued"]["short"]["1"])
    path.write_text(json.dumps(content), encoding="utf-8")
    status, said = course.mark()
    assert status == 2 and said == (
        "a.key is damaged or was edited by hand: attempt 1 at short is not as it was issued. Take the copy you kept.\n"
    )
    assert all_of(course) == before


def test_a_register_moved_to_another_attempt_or_secret_is_refused(course: Course) -> None:
    course.papers("1")
    path = course.place / "a.key"
    content = json.loads(path.read_bytes())
    moved = {**content, "issued": {"short": {"2": content["issued"]["short"]["1"]}}}
    another = {**content, "secret": "0" * 64}
    for spoilt in (moved, another):
        path.write_text(json.dumps(spoilt), encoding="utf-8")
        with pytest.raises(KeyFileError, match="edited by hand"):
            read_key(path)
    path.write_text(json.dumps(content, indent=7), encoding="utf-8")
    assert list(read_key(path).candidates("short", 1)) == ["1"], "blanks are nobody's edit"


def test_a_resit_alone_does_not_drop_the_first_attempt_from_the_sheet(course: Course) -> None:
    first, two = course.papers("1", "2")
    course.hand_in(first, {5: ""})
    path = course.hand_in(two, {5: ""})
    course.mark()
    path.unlink()
    assert course.mark()[0] == 0 and course.rows()[1]["status"] == "missing", "one file less is seen in the sheet"
    [again] = course.papers("1", attempt=2)
    stick = course.place / "stick"
    stick.mkdir()
    course.hand_in(again, {5: ""}).rename(stick / f"{again.stem}.handed-in.json")
    before = all_of(course)
    words = ("mark", stick, "--key", course.place / "a.key", "--out", course.place / "out")
    assert command(*words) == (
        2,
        "The results hold short, attempt 1, and no file of that lies in this folder: the mark sheet would lose it. Put "
        "all files into one folder and mark them together; or name another folder for these results: --out FOLDER.\n",
    )
    assert command(*words, "--pass-mark", "60", "--by", "AB", "--forms")[0] == 2 and all_of(course) == before
    (stick / f"{again.stem}.handed-in.json").rename(course.place / "in" / f"{again.stem}.handed-in.json")
    assert course.mark()[0] == 0 and [row["attempt"] for row in course.rows()] == ["1", "1", "2"]


def test_another_cohorts_candidate_of_the_same_number_hides_nobody_who_is_missing(course: Course) -> None:
    one, _ = course.papers("1", "2")
    course.hand_in(one, {5: ""})
    (course.place / "a.key").rename(course.place / "kept.key")
    (course.place / "papers" / "index.csv").unlink()
    for path in (course.place / "papers").iterdir():
        path.unlink()
    [_, other] = course.papers("1", "2")  # of a new key
    course.hand_in(other, {5: ""})
    (course.place / "kept.key").replace(course.place / "a.key")
    assert course.mark()[0] == 4
    rows = [(row["candidate"], row["status"], row["reason"][-40:]) for row in course.rows()]
    assert [row[:2] for row in rows] == [("1", "marked"), ("2", "missing"), ("2", "unreadable")]
    assert rows[2][2] == "Mark it with the key that made its paper"[-39:] + "."
