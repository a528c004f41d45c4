"""A folder is marked with one command: everyone who can be, a row with a reason for the rest, nothing half, nothing twice."""

from __future__ import annotations

import contextlib
import csv
import datetime
import io
import json
import os
import pty
import random
import re
import shutil
import signal
import subprocess
import sys
import time
import zipfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from cohort import AT, PAPER, PLAN, all_right, changed, file_of, hand_in, lay_key, paper_of, right_answers
from hostile import lay, lay_no_files

from steadyneedle.assessing import mark_cohort as module
from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.handed_in_folder import looked_through
from steadyneedle.assessing.handed_in_form import handed_in, receipt_of
from steadyneedle.assessing.paper_file import Paper, bytes_of
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.assessing.results_folder import ResultsFolder
from steadyneedle.assessing.secret import CohortKey, read_key, write_key
from steadyneedle.assessing.setting import paper_for
from steadyneedle.cli import main
from steadyneedle.foundation.strict_json import read_strict

NOTHING_FOR_A_HUMAN = {20: ""}


@dataclass
class Done:
    """What a command came to."""

    returncode: int
    stdout: str
    stderr: str


def command(*words: str | Path) -> Done:
    """The command in this process: the door that `steadyneedle` opens, without the seconds of a fresh Python."""
    with (
        contextlib.redirect_stdout(io.StringIO()) as out,
        contextlib.redirect_stderr(io.StringIO()) as err,
        pytest.raises(SystemExit) as left,
    ):
        main(["mark", *map(str, words)])
    return Done(int(left.value.code or 0), out.getvalue(), err.getvalue())


def line_for(place: Path) -> list[str]:
    words = [place / "in", "--key", place / "cohort.key", "--out", place / "out"]
    return [sys.executable, "-P", "-m", "steadyneedle.cli", "mark", *map(str, words)]


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder to hand in to, and the key of candidates 1 to 30 beside it."""
    (tmp_path / "in").mkdir()
    lay_key(tmp_path / "cohort.key", map(str, range(1, 31)))
    return tmp_path


def mark(place: Path) -> Done:
    return command(place / "in", "--key", place / "cohort.key", "--out", place / "out")


def rows_of(place: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((place / "out" / "marks.csv").read_text("utf-8"), newline="")))


def outputs(place: Path, record: bool = True) -> dict[str, bytes]:
    found = {str(path.relative_to(place)): path.read_bytes() for path in (place / "out").rglob("*") if path.is_file()}
    return {name: data for name, data in found.items() if record or not name.endswith("record.jsonl")}


def test_all_marked_is_status_0_and_missing_alone_too(place: Path) -> None:
    for candidate in range(1, 29):
        hand_in(place / "in", str(candidate), NOTHING_FOR_A_HUMAN)
    done = mark(place)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("28 marked, 0 waiting for a person, 0 could not be read.")
    assert done.stderr == "2 missing: nothing of them lies in the folder. The mark sheet names them.\n"
    rows = rows_of(place)
    assert [row["candidate"] for row in rows] == [str(number) for number in range(1, 31)]
    assert Counter(row["status"] for row in rows) == {"marked": 28, "missing": 2}
    assert {row["result"] for row in rows[:28]} == {"competent"} and rows[29]["mark"] == ""
    assert rows[0]["receipt"] == receipt_of((place / "in" / f"1-{PAPER}.handed-in.json").read_bytes())
    assert len(list((place / "out" / "marked").iterdir())) == 28


def test_papers_that_were_issued_come_back_and_are_marked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From roster to mark sheet by the commands alone, the resit of one candidate too."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "in").mkdir()
    (tmp_path / "papers").mkdir()
    for roster, attempt in (("candidate\n7\n0110\n12\n", "1"), ("candidate\n12\n", "2")):
        (tmp_path / "roster.csv").write_text(roster)
        words = ["papers", "roster.csv", "--paper", "units and bands", "--out", "papers", "--key", "cohort.key"]
        with pytest.raises(SystemExit) as left:
            main([*words, "--attempt", attempt])
        assert left.value.code == 0
    for path in (tmp_path / "papers").glob("*.ipynb"):
        paper = read_paper(path)
        drawn = paper_for(PLAN, read_key(tmp_path / "cohort.key"), paper.candidate, paper.attempt)
        answers = right_answers(drawn) | {20: ""} | ({3: ""} if paper.candidate == "12" and paper.attempt == 1 else {})
        (tmp_path / "in" / f"{paper.stem}.handed-in.json").write_bytes(handed_in(paper, answers, AT))
    done = mark(tmp_path)
    assert done.returncode == 0 and done.stdout.startswith("4 marked") and done.stderr == ""
    rows = [(row["candidate"], row["attempt"], row["result"], row["critical_missed"]) for row in rows_of(tmp_path)]
    assert rows == [
        ("7", "1", "competent", ""), ("12", "1", "not yet competent", "3"), ("0110", "1", "competent", ""),
        ("12", "2", "competent", ""),
    ]  # fmt: skip


def test_everyone_else_is_marked_whatever_some_files_do(place: Path) -> None:
    """The whole hostile corpus among twenty honest files; the key issued 101 and 102 too, of whom the corpus speaks."""
    lay_key(place / "cohort.key", [*map(str, range(1, 31)), "101", "102"])
    for candidate in range(1, 21):
        hand_in(
            place / "in",
            str(candidate),
            {2: "<b>1</b> bar", 5: '=HYPERLINK("x")', 20: "<script>alert(1)</script> =1+1"},
        )
    laid = lay(place / "in") | lay_no_files(place / "in")
    done = mark(place)
    assert done.returncode == 4 and "Traceback" not in done.stderr
    rows = rows_of(place)
    assert Counter(row["status"] for row in rows) == {"waiting": 20, "unreadable": len(laid), "missing": 12 - 2}
    reasons = [row["reason"] for row in rows if row["status"] == "unreadable"]
    for name, words in laid.items():
        mine = [reason for reason in reasons if words in reason]
        assert mine, (name, words)
        reasons.remove(mine[0])
    assert reasons == []
    for row in rows:
        for cell in row.values():
            assert cell.isprintable() and cell[:1] not in tuple("=+-@") and not set(cell) & set("<>")
    for_spreadsheets = {
        name: data for name, data in outputs(place).items() if "by-hand" in name and name.endswith("csv")
    }
    for data in for_spreadsheets.values():
        for cells in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")):
            assert all(cell.isprintable() and cell[:1] not in tuple("=+-@") for cell in cells if cell)
    text = b"".join(data for name, data in outputs(place).items() if name not in for_spreadsheets)
    assert b"<script" not in text and b"<img" not in text
    assert not (place / "ran").exists() and not Path("ran").exists()


def test_some_that_wait_are_status_3_and_unreadable_goes_first(place: Path) -> None:
    hand_in(place / "in", "1")
    assert mark(place).returncode == 3
    row = rows_of(place)[0]
    assert (row["status"], row["result"]) == ("waiting", "") and row["reason"].startswith(
        "Question 20 waits for a person"
    )
    (place / "in" / f"2-{PAPER}.handed-in.json").write_bytes(b"{")
    assert mark(place).returncode == 4
    second = rows_of(place)[1]
    assert (second["candidate"], second["status"]) == ("2", "unreadable")  # by the name of the file: not missing too
    assert [row["candidate"] for row in rows_of(place)].count("2") == 1


def test_twice_is_kept_twice(place: Path) -> None:
    hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    later = changed(
        file_of("1", NOTHING_FOR_A_HUMAN), lambda content: content.update(handed_in_at="2026-11-27T11:00:00Z")
    )
    (place / "in" / "again.json").write_bytes(later)
    assert mark(place).returncode == 0
    first, second = rows_of(place)[:2]
    assert first["candidate"] == second["candidate"] == "1" and first["receipt"] != second["receipt"]
    assert first["status"] == second["status"] == "marked" and "the same answers" in first["reason"]
    names = {path.name for path in (place / "out" / "marked").iterdir()}
    assert names == {f"1-{PAPER}-{row['receipt']}.ipynb" for row in (first, second)}
    (place / "in" / "again.json").write_bytes(file_of("1", {**NOTHING_FOR_A_HUMAN, 2: ""}))
    done = mark(place)
    assert done.returncode == 3 and "from an earlier marking" in done.stderr
    assert all(row["status"] == "waiting" and "different answers" in row["reason"] for row in rows_of(place)[:2])


def test_copies_of_one_file_are_one_row(place: Path) -> None:
    path = hand_in(place / "in", "1")
    for name in ("copy of 1.json", "again.json"):
        (place / "in" / name).write_bytes(path.read_bytes())
    done = mark(place)
    assert done.returncode == 3 and done.stdout.startswith("0 marked, 1 waiting for a person, 0 could not be read.")
    rows = [row for row in rows_of(place) if row["candidate"] == "1"]
    assert [row["status"] for row in rows] == ["waiting"]
    assert rows[0]["reason"].startswith(
        f"Copies of one file: 1-{PAPER}.handed-in.json, again.json, copy of 1.json. Question 20"
    )
    assert [path.name for path in (place / "out" / "marked").iterdir()] == [f"1-{PAPER}.ipynb"]


def test_one_person_who_handed_in_twice_counts_once_and_the_files_are_named(place: Path) -> None:
    hand_in(place / "in", "1")
    (place / "in" / "again.json").write_bytes(file_of("1", {2: ""}))
    done = mark(place)
    assert done.stdout.startswith("0 marked, 1 waiting for a person")
    assert f"in 1-{PAPER}.handed-in.json and again.json." in rows_of(place)[0]["reason"]


def test_a_name_that_says_another_candidate_than_the_content_is_said(place: Path) -> None:
    hand_in(place / "in", "4", NOTHING_FOR_A_HUMAN)
    (place / "in" / f"5-{PAPER}.handed-in.json").write_bytes(file_of("4", NOTHING_FOR_A_HUMAN))
    assert mark(place).returncode == 4
    rows = {row["candidate"]: row for row in rows_of(place)}
    assert (rows["4"]["status"], "handed in" in rows["4"]["reason"].lower()) == ("marked", False)
    assert rows["5"]["status"] == "unreadable"
    assert rows["5"]["reason"] == (
        f"The file 5-{PAPER}.handed-in.json has the name of candidate 5 and holds the answers of candidate 4's paper. "
        "Numbers and marks belong to that paper, whatever the file is called; who sat it, your own sheet of the day "
        f"says. If it was 4, name the file 4-{PAPER}.handed-in.json, and mark again. If 5 sat the paper of 4, leave "
        "the file as it is: this row says so. 5 has no mark from it, and sits another attempt; the guide for assessors "
        "says more under 'Resits and late candidates'."
    )
    (place / "in" / f"4-{PAPER}.handed-in.json").rename(place / "in" / f"4-{PAPER}-attempt-2.handed-in.json")
    assert mark(place).returncode == 4
    reasons = [row["reason"] for row in rows_of(place)]
    assert any(
        f"of {PAPER}, attempt 2 and holds the answers of {PAPER}, attempt 1. Name it 4-{PAPER}.handed-in" in one
        for one in reasons
    )


def test_a_key_among_the_handed_in_files_is_called_a_key(place: Path) -> None:
    """Any cohort's, whole or cut off, whatever it is called; nothing of its secret goes anywhere."""
    hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    write_key(place / "other.key", CohortKey(bytes.fromhex("5ec2e7" * 10 + "abcd")))
    for name, data in (
        ("units.key", (place / "cohort.key").read_bytes()), (f"2-{PAPER}.handed-in.json", (place / "other.key").read_bytes()),
        ("cut.json", (place / "other.key").read_bytes()[:260]), ("in a spreadsheet.txt", b"\xef\xbb\xbf" + (place / "other.key").read_bytes()),
    ):  # fmt: skip
        (place / "in" / name).write_bytes(data)
    done = mark(place)
    keys = [row["reason"] for row in rows_of(place) if row["status"] == "unreadable"]
    assert (
        done.returncode == 4
        and len(keys) == 4
        and all("is a key: whoever sees it can work out every" in one for one in keys)
    )
    assert all(one in done.stderr for one in keys) and "newer" not in done.stderr
    told = done.stdout + done.stderr + "".join(data.decode() for data in outputs(place).values())
    assert "5ec2e7" not in told and bytes(range(32)).hex() not in told
    secret = 'I write "secret": "' + "a" * 64 + '", and "issued".'
    hand_in(place / "in", "3", {20: secret})
    mark(place)
    assert {row["candidate"]: row["status"] for row in rows_of(place)}["3"] == "waiting", "an answer is no key"


def test_a_handed_in_file_under_the_name_of_a_mail_program_counts_beside_its_paper(place: Path) -> None:
    made = hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    made.rename(made.with_name(f"1-{PAPER}.handed-in (1).json"))
    beside = [f"1-{PAPER}.ipynb", f"1-{PAPER} (2).ipynb", f"1-{PAPER}.answers.json"]
    for name in (*beside, f"2-{PAPER}.ipynb"):
        (place / "in" / name).write_bytes(b'{"cells": []}')
    done = mark(place)
    rows = rows_of(place)
    assert [row["status"] for row in rows if row["candidate"] == "1"] == ["marked"]
    assert [row["reason"].split(" is a notebook")[0] for row in rows if row["status"] == "unreadable"] == [
        f"The file 2-{PAPER}.ipynb"
    ], "nothing of that candidate came"
    assert f"Left out, for nobody handed them in: {', '.join(sorted(beside))} (3 in all)." in done.stderr


def test_no_results_among_the_papers_that_are_given_out(place: Path) -> None:
    hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    (place / "out").mkdir()
    (place / "out" / f"1-{PAPER}.ipynb").write_bytes(bytes_of(paper_of("1")))
    done = mark(place)
    assert done.returncode == 2 and list((place / "out").iterdir()) == [place / "out" / f"1-{PAPER}.ipynb"]
    assert done.stderr.startswith(f"{place / 'out'} holds the papers that are given out. The results, with the right ")
    assert "name another folder for the results" in done.stderr
    (place / "out" / f"1-{PAPER}.ipynb").unlink()
    (place / "out" / "index.csv").write_text(f"candidate,paper,attempt,file,sha256,cohort\n1,{PAPER},1,a,b,c\n")
    assert mark(place).returncode == 2, "by the index too"
    (place / "out" / "index.csv").write_text("somebody's own\n")
    assert mark(place).returncode == 0


def test_forms_are_laid_before_anything_came(place: Path) -> None:
    done = command(place / "in", "--key", place / "cohort.key", "--out", place / "out", "--forms")
    assert done.returncode == 0 and (place / "out" / "observed.csv").is_file()
    assert {row["status"] for row in rows_of(place)} == {"missing"}


def test_what_lies_beside_a_handed_in_file_where_it_was_sat_is_left_out(place: Path) -> None:
    for candidate in ("1", "2"):
        hand_in(place / "in", candidate, NOTHING_FOR_A_HUMAN)
    beside = [
        f"1-{PAPER}.answers.json", f"1-{PAPER}.ipynb", f"1-{PAPER}.handed-in-earlier-1.json",
        f"1-{PAPER}.answers.damaged-20261127T101500Z.json",
    ]  # fmt: skip
    never = [f".1-{PAPER}.answers.json.lock", f".1-{PAPER}.handed-in.json.{'a' * 16}.part", "index.csv"]
    for name in (*beside, *never):
        (place / "in" / name).write_bytes(b"{}")
    done = mark(place)
    assert done.returncode == 0 and [row["status"] for row in rows_of(place)].count("unreadable") == 0
    assert "Left out, for nobody handed them in: " in done.stderr and "(7 in all)" in done.stderr
    (place / "in" / f"1-{PAPER}.handed-in.json").unlink()
    done = mark(place)
    assert done.returncode == 4 and "(3 in all)" in done.stderr
    assert [row["status"] for row in rows_of(place)].count("unreadable") == len(beside), (
        "whoever handed in nothing else"
    )


def typed_only(candidate: str, paper: Paper, folder: Path) -> Path:
    """The file that a paper keeps while it is typed, as the form writes it."""
    answers = Answers(paper, folder)
    answers.open(datetime.datetime(2026, 11, 27, 9, 12, tzinfo=datetime.UTC))
    answers.keep(1, "9.8 bar")
    assert answers.path.name == f"{candidate}-{PAPER}.answers.json"
    return answers.path


def test_what_was_typed_and_never_handed_in_is_said_with_its_candidate(place: Path) -> None:
    """Whatever it is called; nobody's where it was typed into another paper than the key knows."""
    hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    sent = typed_only("2", paper_for(PLAN, read_key(place / "cohort.key"), "2"), place / "in")
    data = sent.read_bytes()
    done = mark(place)
    [row] = [row for row in rows_of(place) if row["status"] == "unreadable"]
    assert done.returncode == 4 and (row["candidate"], row["paper"], row["attempt"]) == ("2", PAPER, "1")
    assert "2" not in [row["candidate"] for row in rows_of(place) if row["status"] == "missing"]
    for words in ("keeps what was typed into a paper, and is not handed in", "open the paper again", "you decide"):
        assert words in row["reason"], row["reason"]
    sent.rename(sent.with_name("my answers (1).json"))
    mark(place)
    assert [row["candidate"] for row in rows_of(place) if row["status"] == "unreadable"] == ["2"]
    for change in (
        {"candidate": "1"},
        {"paper_digest": "0" * 64},
        {"candidate": 2},
        {"attempt": True},
        {"paper": "=1+1"},
    ):
        sent.with_name("my answers (1).json").write_text(json.dumps({**json.loads(data), **change}), encoding="utf-8")
        mark(place)
        [row] = [row for row in rows_of(place) if row["status"] == "unreadable"]
        assert row["candidate"] == "" and "keeps what was typed" in row["reason"], change
        assert "2" in [row["candidate"] for row in rows_of(place) if row["status"] == "missing"]


def test_an_archive_and_a_document_say_what_they_are(place: Path) -> None:
    made = hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    for name, inside in (("2.zip", "2.handed-in.json"), ("3.docx", "[Content_Types].xml")):
        with zipfile.ZipFile(place / "in" / name, "w") as archive:
            archive.writestr(inside, b"{}")
    mark(place)
    said = {row["reason"] for row in rows_of(place) if row["status"] == "unreadable"}
    assert any("2.zip is an archive. Unpack it" in one for one in said), (made, said)
    assert any("3.docx is a document of an office program" in one for one in said) and len(said) == 2


@pytest.mark.parametrize("names", [(), ("index.csv", f".1-{PAPER}.answers.json.lock"), (".DS_Store",)])
def test_a_folder_without_a_handed_in_file_is_status_2(place: Path, names: tuple[str, ...]) -> None:
    for name in names:
        (place / "in" / name).write_bytes(b"")
    done = mark(place)
    assert done.returncode == 2 and "holds no handed-in file." in done.stderr and not (place / "out").exists()


@pytest.mark.parametrize("change", [lambda data: data.replace(b"\n", b"\r\n"), lambda data: b"\xef\xbb\xbf" + data])
def test_a_file_changed_in_transit_says_which_receipt_it_had(place: Path, change: Callable[[bytes], bytes]) -> None:
    path = hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    before = receipt_of(path.read_bytes())
    path.write_bytes(change(path.read_bytes()))
    assert mark(place).returncode == 0
    row = rows_of(place)[0]
    assert row["receipt"] == receipt_of(path.read_bytes()) != before and f"its receipt was {before}." in row["reason"]


def test_a_second_run_gives_the_same_bytes_and_the_record_grows_by_what_changed(place: Path) -> None:
    for candidate in range(1, 6):
        hand_in(place / "in", str(candidate))
    mark(place)
    first = outputs(place)
    mark(place)
    assert outputs(place) == first
    hand_in(place / "in", "6")
    (place / "in" / f"1-{PAPER}.handed-in.json").unlink()
    mark(place)
    lines = [read_strict(line) for line in (place / "out" / "record.jsonl").read_bytes().splitlines()]
    assert len(lines) == 2 and outputs(place)["out/record.jsonl"].startswith(first["out/record.jsonl"])
    assert {one["candidate"]: one["status"] for one in lines[1]["came"]} == {"1": "missing", "6": "waiting"}
    assert {one["candidate"]: one["status"] for one in lines[1]["went"]} == {"1": "waiting", "6": "missing"}
    assert len(lines[0]["came"]) == 30 and lines[0]["came"][0]["sha256"] and lines[0]["at"].endswith("Z")
    assert {one["handed_in_at"] for one in lines[0]["came"]} == {"", "2026-11-27T10:15:00Z"}
    times = [name for name, data in outputs(place, record=False).items() if re.search(rb"20\d\d-\d\d-\d\d|10:15", data)]
    assert times == []  # they stand in the record alone


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere", "--key", "cohort.key", "--out", "out"], "There is no folder"),
        (["in", "--key", "no.key", "--out", "out"], "There is no key"),
        (["in", "--key", "in", "--out", "out"], "is no file, so it is no key"),
        (["in", "--key", "in/1.json", "--out", "out"], "The key lies among the handed-in files"),
        (["in", "--key", "bad.key", "--out", "out"], "is no key, or a damaged one"),
        (["in", "--key", "cohort.key", "--out", "in/out"], "lies in the folder of handed-in files"),
        (["in", "--key", "cohort.key", "--out", "in"], "lies in the folder of handed-in files"),
        (["in", "--key", "cohort.key", "--out", "no/such/out"], "There is no folder"),
        (["in", "--key", "cohort.key", "--out", "bad.key"], "is no folder"),
        (["in", "--key", "cohort.key"], "Missing option '--out'"),
        (["in", "--key", "torn.key", "--out", "out"], "its register of papers is not whole"),
        (["in", "--key", "early.key", "--out", "out"], "was made before the first release"),
        (["in", "--key", "cohort.key", "--out", "out", "--pass-mark", "65"], "A changed pass mark needs both"),
        (["in", "--key", "cohort.key", "--out", "out", "--by", "AB"], "A changed pass mark needs both"),
        (["in", "--key", "cohort.key", "--out", "out", "--attempt", "2"], "Name it too: --pass-mark 65 --by NAME"),
        (["in", "--key", "cohort.key", "--out", "out", "--pass-mark", "0", "--by", "AB"], "from 1 to 100"),
        (["in", "--key", "cohort.key", "--out", "out", "--pass-mark", "65", "--by", "A\nB"], "plain characters"),
    ],
)  # fmt: skip
def test_bad_use_is_one_sentence_status_2_and_writes_nothing(
    place: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], said: str
) -> None:
    (place / "in" / "1.json").write_bytes(file_of("1"))
    (place / "bad.key").write_bytes(b"{}")
    text = (place / "cohort.key").read_text()
    (place / "torn.key").write_text(text.replace('"minutes": 60,', ""))
    (place / "early.key").write_text(text.replace('"version": 3', '"version": 1'))
    monkeypatch.chdir(place)
    done = command(*words)
    assert done.returncode == 2 and said in done.stderr and done.stderr.count("\n") <= 1, done.stderr
    assert not (place / "out" / "marks.csv").exists()


@pytest.mark.skipif(os.name != "posix", reason="a pipe that nobody reads")
def test_a_reader_that_has_gone_hides_no_status_and_no_sentence(place: Path) -> None:
    (place / "in" / "1.json").write_bytes(file_of("1"))
    plain = subprocess.run(line_for(place), capture_output=True, text=True)
    reads, writes = os.pipe()
    os.close(reads)
    unread = subprocess.run(line_for(place), stdout=writes, stderr=subprocess.PIPE, text=True)
    os.close(writes)
    assert unread.returncode == plain.returncode and "missing" in plain.stderr
    assert unread.stderr == plain.stderr


def test_what_stands_in_the_way_of_results_is_said(place: Path) -> None:
    hand_in(place / "in", "1")
    (place / "elsewhere").mkdir()
    (place / "out").mkdir()
    (place / "out" / "marked").symlink_to(place / "elsewhere")
    done = mark(place)
    assert done.returncode == 2 and "is a link" in done.stderr
    (place / "out" / "marked").unlink()
    (place / "out" / "marks.csv").mkdir()
    done = mark(place)
    assert done.returncode == 2 and "cannot be read or written" in done.stderr and "Traceback" not in done.stderr


def test_a_fault_of_ours_is_one_row(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that makes marking itself fail costs nobody else a mark."""
    real = module.set_again

    def fails_for_two(*words: Any) -> object:
        if "2" in words:
            raise ZeroDivisionError
        return real(*words)

    monkeypatch.setattr(module, "set_again", fails_for_two)
    for candidate in ("1", "2", "3"):
        hand_in(place / "in", candidate)
    with ResultsFolder.opened(place / "out", place / "in") as out:
        names = looked_through(place / "in").to_mark
        marked = module.mark_cohort(
            place / "in", read_key(place / "cohort.key"), out, names, datetime.datetime.now(datetime.UTC)
        )
    status = {row.candidate: row.status for row in marked.rows if row.status != "missing"}
    assert status == {"1": "waiting", "2": "unreadable", "3": "waiting"}
    assert "made the workbook fail (ZeroDivisionError)" in marked.rows[1].reason


def test_a_file_changed_while_the_folder_is_marked_is_said(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for candidate in ("1", "2"):
        hand_in(place / "in", candidate)
    real = module.in_force

    def meanwhile(*words: object) -> object:  # between the two looks at each file
        hand_in(place / "in", "2", {1: "1 bar"})
        return real(*words)

    monkeypatch.setattr(module, "in_force", meanwhile)
    assert mark(place).returncode == 4
    rows = rows_of(place)[:2]
    assert [row["status"] for row in rows] == ["waiting", "unreadable"] and "was changed while" in rows[1]["reason"]


def test_no_room_is_said_at_once_and_nothing_is_half(place: Path) -> None:
    """Files of at most 20,000 bytes can be written: fewer than a graded notebook has."""
    hand_in(place / "in", "1")
    limited = ["sh", "-c", 'ulimit -f 20; exec "$@"', "sh", *line_for(place)]  # blocks of 1,024 or 512 bytes
    done = subprocess.run(limited, capture_output=True, text=True)
    assert done.returncode == 2 and "cannot be read or written" in done.stderr and "Traceback" not in done.stderr
    assert {path.name for path in (place / "out").rglob("*")} <= {"marked", ".marking.lock"}
    assert mark(place).returncode == 3


def test_what_a_system_hides_in_a_folder_is_no_paper(place: Path) -> None:
    hand_in(place / "in", "1", NOTHING_FOR_A_HUMAN)
    for name in (".DS_Store", "Thumbs.db", f"._1-{PAPER}.handed-in.json", "desktop.ini"):
        (place / "in" / name).write_bytes(b"x")
    assert mark(place).returncode == 0
    (place / "in" / f".1-{PAPER}.handed-in.json").write_bytes(b"")  # nobody's system lays this
    assert mark(place).returncode == 4


def test_a_bar_moves_on_a_terminal_and_not_in_a_pipe(place: Path) -> None:
    for candidate in ("1", "2"):
        hand_in(place / "in", candidate)
    assert "Marking" not in mark(place).stderr
    ours, theirs = pty.openpty()
    subprocess.run(line_for(place), stdout=subprocess.PIPE, stderr=theirs)
    os.close(theirs)
    said = b""
    while True:
        try:
            part = os.read(ours, 4096)
        except OSError:
            break
        if not part:
            break
        said += part
    os.close(ours)
    assert b"Marking" in said and b"100%" in said


def test_ctrl_c_is_status_130(place: Path) -> None:
    for candidate in range(1, 31):
        hand_in(place / "in", str(candidate))
    running = started(place)
    wait_for(place / "out" / "marked")
    running.send_signal(signal.SIGINT)
    _, said = running.communicate(timeout=60)
    goes_on = "Stopped. What was written is whole. Type the same line again: it goes on."
    assert (running.returncode, said.strip()) == (130, goes_on) or running.returncode == 3  # it may have been done


def started(place: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(line_for(place), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def wait_for(path: Path) -> None:
    until = time.monotonic() + 60
    while not path.exists() and time.monotonic() < until:
        time.sleep(0.002)


def killed_again_and_again(place: Path, kills: int) -> None:
    """Kill a marking at moments spread over its work; whatever stands there is whole, and a run mends the rest."""
    for candidate in range(1, 21):
        hand_in(place / "in", str(candidate))
    started_at = time.monotonic()
    assert mark(place).returncode == 3
    whole, took = outputs(place, record=False), time.monotonic() - started_at
    shutil.rmtree(place / "out")
    moments = random.Random(7)
    for _ in range(kills):
        running = started(place)
        wait_for(place / "out" / "marked")
        time.sleep(moments.uniform(0, 1.2 * took))
        running.kill()
        running.communicate()
        for name, data in outputs(place).items():
            if name.endswith((".part", ".lock")):
                continue
            if name.endswith("record.jsonl"):
                assert all(json.loads(line)["came"] for line in data.splitlines())
            else:
                assert data == whole[name], name
        if moments.random() < 0.5:
            shutil.rmtree(place / "out")
    assert mark(place).returncode == 3
    assert outputs(place, record=False) == whole
    assert len((place / "out" / "record.jsonl").read_bytes().splitlines()) == 1
    assert not list((place / "out").rglob("*.part"))


def test_a_killed_marking_leaves_nothing_half(place: Path) -> None:
    killed_again_and_again(place, 3)


@pytest.mark.long
def test_two_hundred_killed_markings_leave_nothing_half(place: Path) -> None:
    killed_again_and_again(place, 200)


def lay_many(place: Path, count: int) -> None:
    """Papers of so many candidates, two in three with something wrong in them."""
    candidates = [str(number) for number in range(1, count + 1)]
    lay_key(place / "cohort.key", candidates)
    for number, candidate in enumerate(candidates):
        answers = (
            {}
            if number % 3 == 0
            else {1 + number % 19: f"{number} psi", 1 + number % 7: "", 3: all_right(candidate)[2]}
        )
        hand_in(place / "in", candidate, answers)


def seconds_a_notebook(place: Path, count: int) -> float:
    """Seconds that executing a graded notebook takes, averaged over a sample."""
    import nbclient
    import nbformat

    books = sorted((place / "out" / "marked").glob("*.ipynb"))[:count]
    start = time.perf_counter()
    for path in books:
        nbclient.NotebookClient(nbformat.read(path, as_version=4), timeout=120, kernel_name="python3").execute()
    return (time.perf_counter() - start) / len(books)


def faster_than_executing(place: Path, papers: int, sample: int) -> float:
    lay_many(place, papers)
    start = time.perf_counter()
    assert subprocess.run(line_for(place), capture_output=True).returncode == 3
    each = (time.perf_counter() - start) / papers
    return seconds_a_notebook(place, sample) / each


@pytest.mark.benchmark
def test_marking_is_far_faster_than_executing_the_same_notebooks(place: Path) -> None:
    """Of 40 papers the start of the command is most of the time; the whole count stands below."""
    assert faster_than_executing(place, 40, 1) >= 15


@pytest.mark.long
@pytest.mark.benchmark
def test_a_thousand_papers_are_marked_a_hundred_times_as_fast_as_executed(place: Path) -> None:
    """All outputs of 1,000 papers of 20 questions, start of the command included."""
    assert faster_than_executing(place, 1000, 12) >= 100


@pytest.mark.long
def test_memory_does_not_grow_with_the_cohort(place: Path) -> None:
    peaks = []
    for count in (1000, 4000):
        lay_many(place, count)
        done = subprocess.run(
            [sys.executable, "-c", PEAK, str(place / "in"), "--key", str(place / "cohort.key"), "--out", str(place / "out")],
            capture_output=True, text=True,
        )  # fmt: skip
        peaks.append(int(done.stdout.split()[-1]))
        shutil.rmtree(place / "out")
    assert peaks[1] <= 1.2 * peaks[0], peaks


PEAK = """
import sys
from steadyneedle.cli import main
try:
    main(["mark", *sys.argv[1:]])
except SystemExit:  # ru_maxrss would count what the process that started this one holds
    status = dict(line.split(":", 1) for line in open("/proc/self/status"))
    print(status["VmHWM"].split()[0])
"""


def test_graded_notebooks_pass_nbval(place: Path) -> None:
    hand_in(place / "in", "1", {1: "<b>", 2: "1 psi", 3: "", 20: "x"})
    hand_in(place / "in", "2", {**NOTHING_FOR_A_HUMAN, 4: "0,81 psi"})
    mark(place)
    by_hand = place / "out" / "by-hand" / f"{PAPER}-question-20.csv"
    by_hand.write_bytes(by_hand.read_bytes().replace(b",x,,,", b",x,3.5,AB,<b>=1+1"))
    mark(place)
    assert b"given by AB" in outputs(place)[f"out/marked/1-{PAPER}.ipynb"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", "-c", os.devnull, "--rootdir", str(place),
         "--nbval", str(place / "out" / "marked")],
        capture_output=True, text=True, cwd=place,
    )  # fmt: skip
    assert done.returncode == 0 and "44 passed" in done.stdout, done.stdout
