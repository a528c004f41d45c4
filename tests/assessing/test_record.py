"""What the record and the key say decides, so both are sealed: what was changed, cut, lost or exchanged is said."""

from __future__ import annotations

import hashlib
import html
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from cohort import AT
from test_as_issued import Course, change, command, course, rules_of_today, run

from steadyneedle.assessing.edition import fingerprint
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.handed_in import read_handed_in
from steadyneedle.assessing.handed_in_form import handed_in
from steadyneedle.assessing.marking import KEPT, WAS_KEPT, AnswerMark, mark_paper
from steadyneedle.assessing.observed import NOBODY
from steadyneedle.assessing.paper_plan import JOB
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey, KeyFileError, read_key, write_key
from steadyneedle.assessing.setting import paper_for
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import JobPath, Said
from steadyneedle.jobs.path_file import as_text
from steadyneedle.jobs.play import seen
from steadyneedle.jobs.pool import jobs_alike

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
    assert status == 0 and said.startswith(
        "marks.csv was not the one that record.jsonl knows: somebody changed it, one"
    )
    assert "kept as marks-as-edited-1.csv" in said
    assert course.rows()[0]["result"] == "not yet competent", "the changed pass mark was not in that copy"
    for _ in range(2):
        status, said = course.mark()
        assert status == 0 and said.startswith(
            "Kept from an earlier marking: marks-as-edited-1.csv, which record.jsonl"
        )
    (course.place / "out" / "marks-as-edited-1.csv").unlink()
    assert course.mark() == (0, "")
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:1]))  # the same sheet comes out again
    status, said = course.mark()
    assert status == 0 and said.startswith("marks.csv was not the one that") and said.count("\n") == 1
    assert course.mark() == (0, "")


def test_a_record_that_is_gone_is_said(course: Course) -> None:
    path = three_lines(course)
    path.unlink()
    status, said = course.mark()
    assert (
        status == 0
        and said.startswith("Results of an earlier marking lay there and no record.jsonl: ")
        and "kept as marks-as" in said
    )
    assert "marks-as-edited-1.csv" in course.mark()[1]
    (course.place / "out" / "marks-as-edited-1.csv").unlink()
    assert course.mark() == (0, "")
    path.unlink()  # the same sheet comes out again, as after a first marking that was killed before its record
    status, said = course.mark()
    assert (
        status == 0
        and said.startswith("Results of an earlier marking lay there and no record.jsonl: ")
        and said.count("\n") == 1
    )
    path.unlink()
    (course.place / "out" / "marks.csv").unlink()  # notebooks alone tell of a marking
    assert course.mark()[1].startswith("Results of an earlier marking lay there and no record.jsonl: ")


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


@pytest.mark.parametrize("outcome", ["off", "not read"])
def test_a_mark_once_given_stands_whatever_todays_workbook_gives(course: Course, outcome: str) -> None:
    one, two = course.papers("1", "2")
    course.hand_in(one, {5: ""})
    course.hand_in(two, {5: "", 1: ""})
    course.mark()
    before, recorded = course.outputs(), course.record()
    was = course.rows()
    with rules_of_today("mpa_to_psi", outcome):
        status, said = course.mark()
        assert status == 0 and said == (
            "Today's workbook gives other marks in 1 of the papers than it gave before. What was given stands; the mark "
            "sheet names the questions. To mark all by today's rules, name a new folder for the results, --out FOLDER, and copy "
            "by-hand, observed.csv and changed-marks.csv into it first.\n"
        )
        [now, other] = course.rows()
        assert {**now, "reason": ""} == {**was[0], "reason": ""} and other == was[1]
        assert now["reason"] == (
            "The mark of question 1 stands as it was given before; by today's rules it is another. To mark all by "
            f"today's rules, name a new folder for the results. {NOBODY}"
        )
        outputs = course.outputs()
        book = outputs["1-short.ipynb"].decode()
        assert "Mark: 1 of 1, as it was given before: it stands, whatever today's rules give." in book
        assert ("Mark: 0 of 1. Not right." if outcome == "off" else "Mark: open, out of 1.") in book
        assert "The mark given before stands." in book and run(outputs["1-short.ipynb"])
        assert "Mark: 1 of 1. Right." in html.unescape(outputs["1-short-as-marked-before.ipynb"].decode())
        assert b"stands, whatever" not in outputs["1-short-as-marked-before.ipynb"] + before["1-short.ipynb"]
        assert course.mark() == (0, said) and course.outputs() == outputs
        assert course.mark(out="fresh") == (0 if outcome == "off" else 3, "")
        assert course.rows("fresh")[0]["mark"] != now["mark"]
        assert [one["marks"] for one in course.record()[-1]["came"]] == ["1 2 1 1 0"]  # type: ignore[attr-defined]
    assert course.mark() == (0, "") and course.rows() == was
    assert [one["marks"] for one in recorded[0]["came"]] == ["1 2 1 1 0", "0! 2 1 1 0"]  # type: ignore[attr-defined]


def test_a_miss_stands_too_and_an_appeal_is_no_mark_of_the_workbooks(course: Course) -> None:
    [one] = course.papers("1")
    course.hand_in(one, {5: "", 1: "20 psi"})
    course.mark()
    assert course.rows()[0]["critical_missed"] == "1"
    with rules_of_today("mpa_to_psi", "right"):
        course.mark()
        [row] = course.rows()
        assert (row["critical_missed"], row["mark"]) == ("1", "4") and run(course.outputs()["1-short.ipynb"])
    change(course, "1,1,1,AB,appeal")
    with rules_of_today("mpa_to_psi", "right"):
        assert course.mark()[0] == 0 and run(course.outputs()["1-short.ipynb"])
    assert course.mark() == (0, "") and course.rows()[0]["critical_missed"] == ""
    assert course.mark() == (0, ""), "what an appeal gave is not taken for what the workbook gave"
    assert "stands" not in course.rows()[0]["reason"]


def test_a_mark_that_a_person_gave_stands_where_todays_workbook_can_read_the_answer(course: Course) -> None:
    [one] = course.papers("1")
    course.hand_in(one, {5: ""})
    with rules_of_today("lock_up", "not read"):
        assert course.mark()[0] == 3
        path = course.place / "out" / "by-hand" / "short-question-3.csv"
        path.write_bytes(path.read_bytes().replace(b",,,", b",1,AB,it says it,"))
        assert course.mark() == (0, "")
        [row], book = course.rows(), course.outputs()["1-short.ipynb"]
    with rules_of_today("lock_up", "off"):
        assert course.mark() == (0, "") and course.rows() == [row]
        now = course.outputs()["1-short.ipynb"]
        assert run(now) and b"Mark: 1 of 1, given by AB." in now and b"Mark: 1 of 1, given by AB." in book
        assert course.mark() == (0, "")


def test_a_new_folder_with_what_persons_typed_marks_all_by_todays_rules(course: Course) -> None:
    """As the guide says: by-hand, observed.csv and changed-marks.csv are copied, and a pass mark is set again."""
    [one] = course.papers("1")
    course.hand_in(one, {5: "I promise nothing."})
    course.mark("--forms")
    path = course.place / "out" / "by-hand" / "short-question-5.csv"
    path.write_bytes(path.read_bytes().replace(b",,,", b",2,AB,both,"))
    change(course, "1,3,0,AB,appeal")
    assert course.mark("--pass-mark", "60", "--by", "AB")[0] == 0
    assert course.rows()[0]["mark"] == "6"
    fresh = course.place / "fresh"
    fresh.mkdir()
    shutil.copytree(course.place / "out" / "by-hand", fresh / "by-hand")
    for name in ("observed.csv", "changed-marks.csv"):
        shutil.copy(course.place / "out" / name, fresh / name)
    with rules_of_today("mpa_to_psi", "off"):
        assert course.mark(out="fresh") == (0, "New in changed-marks.csv: 1 short question 3 from 1 to 0.\n")
        [row] = course.rows("fresh")
        assert (row["mark"], row["critical_missed"]) == ("5", "1") and "was changed by AB" in row["reason"]


CRLF: dict[str, Callable[[bytes], bytes]] = {
    "line ends": lambda data: data.replace(b"\n", b"\r\n"),
    "first bytes": lambda data: b"\xef\xbb\xbf" + data,
}


@pytest.mark.parametrize("way", CRLF)
@pytest.mark.parametrize("back", [False, True])
def test_a_file_sent_again_with_other_line_ends_is_the_same_file(course: Course, way: str, back: bool) -> None:
    [one] = course.papers("1")
    path = course.hand_in(one, {5: "", 3: ""})
    whole = path.read_bytes()
    ways = [whole, CRLF[way](whole)]
    first, second = reversed(ways) if back else ways
    path.write_bytes(first)
    course.mark()
    change(course, "1,3,1,AB,appeal")
    assert course.mark()[0] == 0
    [was] = course.rows()
    path.write_bytes(second)
    with rules_of_today("lock_up", "off"), rules_of_today("mpa_to_psi", "off"):
        status, said = course.mark()
        assert status == 0 and "changed-marks.csv, row" not in said and "in 1 of the papers" in said
        [now] = course.rows()
    assert now["receipt"] != was["receipt"] and now["mark"] == was["mark"] == "5"
    assert "The mark of question 3 was changed by AB from 0 to 1." in now["reason"]
    path.write_bytes(first)
    course.mark()
    assert course.rows() == [was]


def with_one_receipt(first: bytes, second: bytes) -> tuple[bytes, bytes]:
    """Two files with blanks behind them that share a receipt: made in a second, never met by chance."""
    found: dict[bytes, int] = {}
    seen = hashlib.sha256(first)
    for blanks in range(1, 250_000):
        seen.update(b" ")
        found[seen.digest()[:4]] = blanks
    seen = hashlib.sha256(second)
    for blanks in range(1, 250_000):
        seen.update(b" ")
        if seen.digest()[:4] in found:
            return first + b" " * found[seen.digest()[:4]], second + b" " * blanks
    raise AssertionError("no such pair: make more")


def test_two_files_with_one_receipt_wait_and_take_nothing_from_each_other(course: Course) -> None:
    [one] = course.papers("1")
    path = course.hand_in(one, {5: "", 3: ""})
    poor = path.read_bytes()
    rich, poor = with_one_receipt(course.hand_in(one, {5: ""}).read_bytes(), poor)
    path.write_bytes(poor)
    beside = course.place / "in" / "again.json"
    beside.write_bytes(rich)
    assert course.mark()[0] == 4
    rows = course.rows()
    assert [row["status"] for row in rows] == ["unreadable"] * 2 and not list((course.place / "out/marked").iterdir())
    assert rows[0]["reason"].startswith(
        f"The files 1-short.handed-in.json and again.json are different files of one candidate with the receipt "
        f"{rows[0]['receipt']}. That does not happen by chance: "
    )
    beside.unlink()
    course.mark()
    change(course, "1,3,1,AB,appeal")
    assert course.mark()[0] == 0 and course.rows()[0]["mark"] == "5"
    path.write_bytes(rich)  # somebody puts the other in its place
    for _ in range(2):
        status, said = course.mark()
        assert status == 3 and said.startswith(
            "changed-marks.csv, row 2, candidate 1, question 3: it was written for another file with this"
        )
        assert "was changed by AB" not in course.rows()[0]["reason"]
    path.write_bytes(poor)
    assert course.mark()[0] == 0 and course.rows()[0]["mark"] == "5"
    change(course, "1,4,0,AB,more")  # a new row, while the record knows two files of this receipt
    status, said = course.mark()
    assert status == 3 and "question 4: it was written for another file" in said


def test_a_paper_that_another_copy_of_the_key_issued_is_marked_once_this_key_issues_it(course: Course) -> None:
    course.papers("1")
    key = course.place / "a.key"
    copy = key.read_bytes()
    path = course.hand_in(course.papers("1", "203")[1], {5: ""})
    issued = (course.place / "papers" / "203-short.ipynb").read_bytes()
    key.write_bytes(copy)  # the other desk's copy, which never heard of 203
    for one in (course.place / "papers").iterdir():
        one.unlink()
    assert course.mark()[0] == 4
    reason = next(row["reason"] for row in course.rows() if row["candidate"] == "203")
    assert "Another copy of the key may have made that paper: then make it once more with this key" in reason
    course.papers("203")
    assert (course.place / "papers" / "203-short.ipynb").read_bytes() == issued
    assert path.exists() and course.mark()[0] == 0
    assert [row["status"] for row in course.rows()] == ["missing", "marked"]


def test_observations_that_got_lost_come_back_from_the_record(course: Course) -> None:
    for one in course.papers("1", "2"):
        course.hand_in(one, {5: ""})
    course.mark("--forms")
    path = course.place / "out" / "observed.csv"
    noted = ("1,fit | a seat,AB,2026-11-20,=no scratch,competent\n", "2,purge,C D,2026-11-19,held,not yet competent\n")
    header = "candidate,task,observer,date,evidence,outcome\n"
    path.write_text(header + "".join(noted), encoding="utf-8")
    assert course.mark() == (0, "")
    rows, record = course.rows(), course.record()
    assert [row["reason"] for row in rows] == [
        "Watched at work: competent in 1 task.", "Watched at work: 1 task, not yet competent in purge."
    ]  # fmt: skip
    for lose in (path.unlink, lambda: path.write_bytes(b"")):
        lose()
        status, said = course.mark("--forms")
        assert status == 0 and said.startswith("observed.csv was missing, and laid again as the record has it: rows 2.")
        assert course.rows() == rows and course.record() == record and course.mark() == (0, "")
        assert path.read_text("utf-8-sig") == header + noted[0].replace("=", "'=") + noted[1]
    path.write_text(header + noted[0], encoding="utf-8")  # a row that a person takes out is taken back
    assert course.mark() == (0, "") and course.rows()[1]["reason"] == NOBODY


def test_the_mark_of_a_job_stands_too(tmp_path: Path) -> None:
    plan = load_plan("creep")
    paper = paper_for(plan, CohortKey(bytes(32)), "101")
    [item] = [one for one in paper.items if one.kind == JOB]
    path = JobPath(item.job, job(item.job).design)
    for turn, test in enumerate(jobs_alike()[item.job].tests):
        path = path.done(test, seen(item.job, test, turn).outcome, Said("sound", 25))
    path = path.stopped(Said(job(item.job).hidden.cause, 95))
    (tmp_path / "101.json").write_bytes(handed_in(paper, {item.number: as_text(path)}, AT))
    asked, read = [fingerprint(one) for one in paper.items], read_handed_in(tmp_path / "101.json")
    before = {item.number: AnswerMark(KEPT, (WAS_KEPT,), given=0.5, safe=False)}
    marked = mark_paper(paper, asked, read.answers, before=before)
    assert marked.stood == [item.number] and item.number in marked.critical_missed
    assert marked.by_question.split()[item.number - 1] == "0.5!"
    book = graded_bytes(marked, read, plan.questions)
    assert b"Mark: 0.5 of 10, as it was given before" in book and run(book)
    today = mark_paper(paper, asked, read.answers).items[item.number - 1].mark
    same = {item.number: AnswerMark(KEPT, (WAS_KEPT,), given=today, safe=True)}
    assert mark_paper(paper, asked, read.answers, before=same).stood == []
