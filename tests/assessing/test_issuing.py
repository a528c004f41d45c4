"""Papers for a roster, by the command: what is written, what is refused with nothing written, and a killed command."""

from __future__ import annotations

import csv
import hashlib
import html
import json
import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from steadyneedle.assessing import issuing
from steadyneedle.assessing.paper_plan import PaperPlan
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.assessing.plan_file import load_plan, read_plan
from steadyneedle.assessing.secret import CohortKey, KeyFileError, read_key, write_key
from steadyneedle.cli import main

NAME = "units-and-bands"
PLAN = load_plan(NAME)
SHORT = 'title = "Short"\nminutes = 5\npass_percent = 50\n[[questions]]\nexercise = "lock_up"\ncount = 2\n'


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An assessor's folder: a roster of three, and a folder for the papers."""
    (tmp_path / "roster.csv").write_text("candidate\n101\n102\n007\n", encoding="utf-8")
    (tmp_path / "papers").mkdir()
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def plan(tmp_path: Path) -> PaperPlan:
    """Two questions: quick to draw."""
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    return read_plan(tmp_path / "short.toml")


def papers(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as left:
        main(["papers", *words])
    told = capsys.readouterr()
    return int(left.value.code or 0), told.out, told.err


ASKED = ("roster.csv", "--paper", "units and bands", "--out", "papers")


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.suffix != ".lock"
    }


def test_a_roster_becomes_papers_an_index_and_a_key(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, told = papers(capsys, *ASKED)
    assert status == 0 and "Key made:" in told and "3 papers in" in told
    key_file = desk / f"{NAME}.key"
    secret = json.loads(key_file.read_text(encoding="utf-8"))["secret"]
    if os.name == "posix":
        assert stat.S_IMODE(key_file.stat().st_mode) == 0o600
    written = contents(desk / "papers")
    assert set(written) == {f"{one}-{NAME}.ipynb" for one in ("101", "102", "007")} | {"index.csv"}
    assert secret not in out + told and not any(secret.encode() in data for data in written.values())
    rows = list(csv.DictReader((desk / "papers/index.csv").read_text(encoding="utf-8").splitlines()))
    assert [(row["candidate"], row["paper"], row["attempt"]) for row in rows] == [
        ("007", NAME, "1"), ("101", NAME, "1"), ("102", NAME, "1"),
    ]  # fmt: skip
    assert all(hashlib.sha256(written[row["file"]]).hexdigest() == row["sha256"] for row in rows)
    issued = read_key(key_file).candidates(NAME, 1)
    assert issued == {one: read_paper(desk / "papers" / f"{one}-{NAME}.ipynb").digest for one in ("101", "102", "007")}
    before = contents(desk)
    status, _, told = papers(capsys, *ASKED)
    assert status == 0 and "3 of them there already" in told and contents(desk) == before, "the same bytes, the key too"


def test_questions_are_the_same_numbers_are_not_and_a_resit_has_others(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    papers(capsys, *ASKED)
    assert papers(capsys, *ASKED, "--attempt", "2")[0] == 0
    first, second, again = (
        read_paper(desk / "papers" / f"{name}.ipynb")
        for name in (f"101-{NAME}", f"102-{NAME}", f"101-{NAME}-attempt-2")
    )
    asked = [[(one.exercise, one.weight, one.critical) for one in paper.items] for paper in (first, second, again)]
    assert asked[0] == asked[1] == asked[2] and again.attempt == 2
    for other in (second, again):
        pairs = [two for two in zip(first.items, other.items, strict=True) if two[0].kind != "text"]
        same = sum(one.digest == two.digest for one, two in pairs)
        assert len(pairs) == 19
        assert same <= 3, "a few of many draws may meet"
    index = (desk / "papers/index.csv").read_text(encoding="utf-8")
    assert index.count("\n") == 7, "both attempts stand in the index"


def test_another_paper_of_the_cohort_takes_the_same_key(desk: Path, plan: PaperPlan) -> None:
    key = issuing.key_path(plan, desk / "cohort.key", desk / "papers")
    assert issuing.issue(plan, ["1", "2"], desk / "papers", key).fresh_key
    assert not issuing.issue(load_plan(NAME), ["1"], desk / "papers", key).fresh_key
    late = issuing.issue(plan, ["1", "3"], desk / "papers", key)
    assert (late.papers, late.unchanged) == (2, 1)
    kept = read_key(key)
    assert list(kept.candidates("short", 1)) == ["1", "2", "3"] and list(kept.candidates(NAME, 1)) == ["1"]
    assert (desk / "papers/index.csv").read_text(encoding="utf-8").count("\n") == 5


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("roster.csv", "--paper", "creeps", "--out", "papers"), "There is no paper 'creeps'; there is"),
        (("roster.csv", "--paper", NAME, "--out", "nowhere"), "There is no folder"),
        (("roster.csv", "--paper", NAME), "--out FOLDER"),
        (("roster.csv", "--out", "papers"), "Which paper? --paper"),
        (("--paper", NAME, "--out", "papers"), "Name the roster"),
        (("none.csv", "--paper", NAME, "--out", "papers"), "There is no file"),
        (("names.csv", "--paper", NAME, "--out", "papers"), "the column name is refused as private"),
        ((*ASKED, "--key", "roster.csv"), "roster.csv is no key, or a damaged one. Take the copy you kept."),
        ((*ASKED, "--key", "torn.key"), "torn.key is damaged: its secret is not whole"),
        ((*ASKED, "--key", "newer.key"), "newer.key was written by a newer Steady Needle"),
        ((*ASKED, "--key", "papers/a.key"), "would lie among the papers"),
        ((*ASKED, "--key", "nowhere/a.key"), "for the key. Make it first"),
        ((*ASKED, "--attempt", "0"), "An attempt is a whole number from 1 to 99"),
        ((*ASKED, "--attempt", "2"), "never issued attempt 1 of this paper"),
        (("--specimen", *ASKED), "A specimen needs no roster"),
    ],
)
def test_bad_use_is_one_sentence_and_writes_nothing(
    desk: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], sentence: str
) -> None:
    (desk / "names.csv").write_text("candidate,name\n101,A\n", encoding="utf-8")
    (desk / "torn.key").write_text('{"version": 3, "secret": "ab", "issued": {}}', encoding="utf-8")
    (desk / "newer.key").write_text('{"version": 99, "secret": "ab", "issued": {}}', encoding="utf-8")
    before = contents(desk)
    status, out, told = papers(capsys, *words)
    assert status == 2 and sentence in told and told.count("\n") == 1 and not out
    assert contents(desk) == before


def test_a_paper_that_is_there_is_never_written_over(
    desk: Path, plan: PaperPlan, capsys: pytest.CaptureFixture[str]
) -> None:
    papers(capsys, *ASKED)
    before = contents(desk)
    status, _, told = papers(capsys, *ASKED, "--key", "other.key")
    assert status == 2 and "holds papers that another key made" in told and contents(desk) == before
    (desk / "papers/index.csv").unlink()
    status, _, told = papers(capsys, *ASKED, "--key", "other.key")
    assert status == 2 and "holds papers that another key made" in told, "the papers say so themselves"
    (desk / f"papers/101-{NAME}.ipynb").write_bytes(before[f"papers/101-{NAME}.ipynb"] + b" ")
    status, _, told = papers(capsys, *ASKED)
    assert status == 2 and "is in that folder already, and is another paper" in told
    (desk / f"papers/101-{NAME}.ipynb").unlink()
    (desk / f"papers/101-{NAME}.ipynb").symlink_to(desk / "roster.csv")
    assert papers(capsys, *ASKED)[0] == 2
    assert (desk / "roster.csv").read_text(encoding="utf-8").startswith("candidate")


@pytest.mark.skipif(os.name != "posix", reason="rights of files")
def test_a_key_behind_a_link_stays_one_and_a_key_open_to_others_is_said(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, _, told = papers(capsys, *ASKED, "--key", "cohort.key")
    assert status == 0 and "chmod 600" not in told
    (desk / "link.key").symlink_to(desk / "cohort.key")
    (desk / "roster.csv").write_text("candidate\n101\n102\n007\n104\n", encoding="utf-8")
    assert papers(capsys, *ASKED, "--key", "link.key")[0] == 0
    assert (desk / "link.key").is_symlink() and "104" in read_key(desk / "cohort.key").candidates(NAME, 1)
    (desk / "cohort.key").chmod(0o644)
    _, _, told = papers(capsys, *ASKED, "--key", "cohort.key")
    assert "Others on this machine can read cohort.key, or even change it." in told
    assert f"Make it yours alone: chmod 600 {desk / 'cohort.key'}\n" in told


def test_a_late_roster_from_another_folder_makes_no_second_key(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The key lies where the first command was typed; whoever types it elsewhere is told, and nothing is written."""
    papers(capsys, *ASKED)
    before = contents(desk)
    (desk / "elsewhere").mkdir()
    monkeypatch.chdir(desk / "elsewhere")
    (desk / "elsewhere/late.csv").write_text("candidate\n104\n", encoding="utf-8")
    late = ("late.csv", "--paper", NAME, "--out", "../papers")
    status, _, told = papers(capsys, *late)
    assert status == 2 and "holds papers that another key made. Name that key: --key FILE" in told
    assert [path.name for path in (desk / "elsewhere").iterdir() if path.suffix != ".lock"] == ["late.csv"]
    (desk / "elsewhere/late.csv").unlink()
    assert contents(desk) == before
    (desk / "elsewhere/late.csv").write_text("candidate\n104\n", encoding="utf-8")
    assert papers(capsys, *late, "--key", f"../{NAME}.key")[0] == 0
    rows = list(csv.DictReader((desk / "papers/index.csv").read_text(encoding="utf-8").splitlines()))
    cohort = read_key(desk / f"{NAME}.key").cohort
    assert [row["candidate"] for row in rows] == ["007", "101", "102", "104"] and {row["cohort"] for row in rows} == {
        cohort
    }


def test_a_number_is_one_candidate_however_it_is_written(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    papers(capsys, *ASKED)
    before = contents(desk)
    (desk / "roster.csv").write_text("candidate\n103\n7\n0101\n", encoding="utf-8")
    for words in (ASKED, (*ASKED, "--attempt", "2")):
        status, _, told = papers(capsys, *words)
        assert status == 2 and told.splitlines() == [
            "Roster, row 3: 7 is the number 007, to whom a paper was issued. Write it so.",
            "Roster, row 4: 0101 is the number 101, to whom a paper was issued. Write it so.",
        ]
    assert {**contents(desk), "roster.csv": b""} == {**before, "roster.csv": b""}


def test_a_plan_that_changed_makes_no_second_paper_of_one_name(desk: Path, plan: PaperPlan) -> None:
    """The key knows what was issued: a paper of the same name with other questions could not be marked."""
    import dataclasses

    issuing.issue(plan, ["101"], desk / "papers", desk / "a.key")
    (desk / "elsewhere").mkdir()
    changed = dataclasses.replace(plan, title="Changed")
    with pytest.raises(issuing.IssueError, match="Candidate 101 was issued another paper as attempt 1"):
        issuing.issue(changed, ["102", "101"], desk / "elsewhere", desk / "a.key")
    with pytest.raises(issuing.IssueError, match="Candidate 101 was issued another paper as attempt 1"):
        issuing.issue(changed, ["103"], desk / "papers", desk / "a.key")
    assert not contents(desk / "elsewhere")


def test_an_index_of_somebody_else_is_left_alone(desk: Path, plan: PaperPlan) -> None:
    for text in ("a,b\n1,2\n", "candidate,paper,attempt,file,sha256,cohort\n../1,short,1,a,b,c\n", '"'):
        (desk / "papers/index.csv").write_text(text, encoding="utf-8")
        with pytest.raises(issuing.IssueError, match=r"index\.csv in that folder is none of this workbook"):
            issuing.issue(plan, ["101"], desk / "papers", desk / "a.key")
    assert not (desk / "a.key").exists()


def test_a_key_never_shows_its_secret_and_stands_no_damage(desk: Path, plan: PaperPlan) -> None:
    issuing.issue(plan, ["101"], desk / "papers", desk / "a.key")
    key = read_key(desk / "a.key")
    assert key.secret.hex() not in repr(key) and str(key.secret) not in repr(key)
    whole = (desk / "a.key").read_bytes()
    for spoilt in (
        whole[: len(whole) // 2], b"", b"[]", whole.replace(b'"1": {', b'"0": {'), whole.replace(b'"1": {', b'"x": {'),
        whole.replace(b'"issued"', b'"secret"'), b"{" * 100_000,
    ):  # fmt: skip
        (desk / "a.key").write_bytes(spoilt)
        with pytest.raises(KeyFileError) as refused:
            read_key(desk / "a.key")
        assert key.secret.hex() not in str(refused.value)


KILLED = """
import os, random, signal, sys, time
from pathlib import Path
from steadyneedle.assessing import issuing
from steadyneedle.assessing.plan_file import read_plan
folder, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
plan, dice, took = read_plan(folder / "short.toml"), random.Random(seed), 0.15
candidates = [str(n) for n in range(1, 21)]
for n in range(kills):
    out, key = folder / f"out-{n}", folder / f"{n}.key"
    out.mkdir()
    child = os.fork()
    if not child:
        issuing.issue(plan, candidates, out, key)
        os._exit(0)
    time.sleep(dice.uniform(0.2, 1.0) * took)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    left = {path.name: path.read_bytes() for path in out.iterdir() if not path.name.startswith(".")}
    begun = time.perf_counter()
    issuing.issue(plan, candidates, out, key)
    took = time.perf_counter() - begun
    whole = {path.name: path.read_bytes() for path in out.iterdir()}
    assert all(whole[name] == data for name, data in left.items() if name != "index.csv"), "half a paper"
    assert not any(name.endswith(".part") for name in whole) and len(whole) == 21, sorted(whole)
    assert not list(folder.glob(f".{n}.key.*.part")), "half a key"
    print(len(left), flush=True)
"""
"""In a program of its own, because it forks: each time a fresh cohort, killed at some moment, then gone on with."""


def killed(folder: Path, kills: int, seed: int) -> list[int]:
    """Papers that stood after each kill; none was half, and the same command went on to the same bytes."""
    (folder / "short.toml").write_text(SHORT, encoding="utf-8")
    command = [sys.executable, "-c", KILLED, str(folder), str(kills), str(seed)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=500)
    assert done.returncode == 0, done.stderr[-2000:]
    return [int(line) for line in done.stdout.splitlines()]


@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_a_killed_command_leaves_whole_papers_and_goes_on(tmp_path: Path) -> None:
    assert len(killed(tmp_path, 5, seed=1)) == 5


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_two_hundred_killed_commands_leave_whole_papers(tmp_path: Path) -> None:
    left = killed(tmp_path, 200, seed=2)
    print(f"200 kills; papers that stood after them: from {min(left)} to {max(left)}")
    assert len(left) == 200 and sum(0 < one < 21 for one in left) >= 20, "many were killed among the papers"


@pytest.mark.skipif(os.name != "posix", reason="a folder that may not be written")
def test_a_folder_that_may_not_be_written_is_said(desk: Path, bound: list[str]) -> None:
    (desk / "papers").chmod(0o500)
    way = [*bound, sys.executable, "-m", "steadyneedle.cli", "papers", *ASKED]
    done = subprocess.run(way, capture_output=True, text=True, timeout=120)
    (desk / "papers").chmod(0o700)
    assert done.returncode == 2 and f"{desk / 'papers'}" in done.stderr and "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr and done.stdout == "" and contents(desk / "papers") == {}


def test_a_full_disk_is_said_at_once_and_the_same_line_goes_on(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    real, written = issuing.write_atomically, []

    def full(path: Path, data: bytes) -> None:
        if len(written) == 2:
            raise OSError(28, "No space left on device")  # as a write says it: no name of a file
        written.append(path)
        real(path, data)

    monkeypatch.setattr(issuing, "write_atomically", full)
    status, _, told = papers(capsys, *ASKED)
    where = desk / "papers" / f"007-{NAME}.ipynb"
    assert (status, told.splitlines()[-1]) == (
        2, f"{where} cannot be written: No space left on device. Each file is whole or not there. Make room, then type "
        "the same line again: it goes on where it stopped.",
    )  # fmt: skip
    monkeypatch.setattr(issuing, "write_atomically", real)
    status, _, told = papers(capsys, *ASKED)
    assert status == 0 and "2 of them there already" in told and len(contents(desk / "papers")) == 4


@pytest.mark.skipif(os.name != "posix", reason="a limit on the size of files")
@pytest.mark.parametrize(
    ("most", "words", "name"),
    [(14_000, ASKED, f"papers/101-{NAME}.ipynb"), (100, ASKED, f"{NAME}.key"),
     (14_000, ("--specimen", *ASKED[1:]), f"papers/specimen-{NAME}.ipynb")],
)  # fmt: skip
def test_a_file_that_may_not_grow_is_named(desk: Path, most: int, words: tuple[str, ...], name: str) -> None:
    """A limit in bytes: the key fits into the larger one, no paper does."""
    (desk / "roster.csv").write_text("candidate\n101\n", encoding="utf-8")
    line = [sys.executable, "-P", "-m", "steadyneedle.cli", "papers", *words]
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most}))"
    limited = f"{limit}; import sys; from steadyneedle.cli import main; main(sys.argv[1:])"
    done = subprocess.run([line[0], "-c", limited, *line[4:]], capture_output=True, text=True, cwd=desk)
    said = done.stderr.splitlines()
    assert (done.returncode, len(said)) == (2, 1) and said[0].startswith(f"{desk / name} cannot be written: File too")
    assert subprocess.run(line, capture_output=True, cwd=desk).returncode == 0


def test_a_specimen_for_the_moderator_and_for_candidates(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = papers(capsys, "--specimen", "--paper", NAME, "--out", "papers")
    names = [Path(line).name for line in out.splitlines()]
    assert status == 0 and names == [
        f"specimen-{NAME}.ipynb", f"specimen-{NAME}.html", f"specimen-{NAME}-answers.html",
    ]  # fmt: skip
    paper = read_paper(desk / "papers" / names[0])
    plain, answered = ((desk / "papers" / name).read_text(encoding="utf-8") for name in names[1:])
    text, left = PLAN.questions[-1], paper.items[-1]
    assert (left.title, left.asked) == ("A short text", ("A short text stands here in the paper; 4 marks.",))
    for words in (text.title, *re.split(r"\. |\n", text.ask)):
        assert words in html.unescape(answered), "the moderator reads it"
        assert words not in html.unescape(plain) + (desk / "papers" / names[0]).read_text(encoding="utf-8")
    assert plain.count("<section>") == answered.count("<section>") == 20
    assert answered.count("<p>Answer: ") == 19 and "Answer: " not in plain and "Answers from" not in plain
    for item in paper.items:
        assert f"{item.number}. {item.title}" in plain
    assert "<script" not in answered and "http" not in answered.replace("https://", ""), "it loads nothing"
    before = contents(desk)
    papers(capsys, "--specimen", "--paper", NAME, "--out", "papers")
    assert contents(desk) == before and not list(desk.glob("*.key")), "the same everywhere, and no key"


# what is said besides --------------------------------------------------------------------------


def test_a_second_key_beside_one_that_is_there_is_said(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Not refused, for a new cohort needs a new key; how to go back is said, and it works."""
    write_key(desk / "a cohort.key", CohortKey(bytes(32)))
    (desk / "notes.key").write_text("no key", encoding="utf-8")
    status, _, told = papers(capsys, *ASKED)
    assert (
        status == 0
        and (
            "Beside it lies a cohort.key. One key serves all papers of a cohort. If these candidates are of the same "
            f"cohort, delete {NAME}.key, and in {desk / 'papers'} index.csv and all that ends in -{NAME}.ipynb, before "
            'anybody has a paper; then type the line again with --key "a cohort.key".'
        )
        in told.splitlines()
    )
    for path in (desk / f"{NAME}.key", *(desk / "papers").glob(f"*-{NAME}.ipynb"), desk / "papers" / "index.csv"):
        path.unlink()
    status, _, told = papers(capsys, *ASKED, "--key", "a cohort.key")
    assert (status, told.count("\n")) == (0, 1), told
    (desk / "more").mkdir()
    told = papers(capsys, *ASKED[:-1], "more", "--key", "new.key")[2]
    assert "Key made" in told and "Beside it" not in told, "who names a new key means it"


def test_who_stood_in_an_earlier_roster_is_said_with_the_papers_that_lie_there(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    papers(capsys, *ASKED)
    (desk / "papers" / f"007-{NAME}.ipynb").unlink()
    (desk / "roster.csv").write_text("candidate\n102\n103\n", encoding="utf-8")
    status, _, told = papers(capsys, *ASKED)
    assert status == 0 and told.splitlines()[1] == (
        "The key issued this paper and attempt to 2 candidates who are not in this roster: 007, 101. Papers of theirs "
        "in that folder: 1. If one of them was taken out of the roster or got another number, give that paper to "
        "nobody: it counts as missing."
    )


def test_a_resit_says_who_never_sat_and_which_texts_stay_the_same(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    papers(capsys, *ASKED)
    (desk / "roster.csv").write_text("candidate\n101\n509\n", encoding="utf-8")
    status, _, told = papers(capsys, *ASKED, "--attempt", "2")
    assert status == 0 and told.splitlines()[1:] == [
        "This is attempt 2, and no earlier one was issued to 509. If a number is a slip, correct the roster and type "
        "the line again; give the paper of the wrong number to nobody. It counts as missing.",
        "Question 20 is a short text and asks what attempt 1 asked. To ask something else, change the plan and issue "
        "attempt 3 in place of this one, before anybody sits it.",
    ]


@pytest.mark.parametrize(
    ("attempt", "sentence"),
    [
        ("3", "short.key never issued attempt 2 of this paper. Issue attempt 2 first; or, where another key issued it, "
         "name that one: --key FILE."),
        ("5", "short.key never issued attempt 4 of this paper. Issue attempt 2 first; or, where another key issued it, "
         "name that one: --key FILE."),
    ],
)  # fmt: skip
def test_an_attempt_before_the_one_before_it_says_which_comes_next(
    desk: Path, plan: PaperPlan, attempt: str, sentence: str
) -> None:
    issuing.issue(plan, ["101"], desk / "papers", desk / "short.key")
    with pytest.raises(issuing.IssueError) as refused:
        issuing.issue(plan, ["101"], desk / "papers", desk / "short.key", int(attempt))
    assert str(refused.value) == sentence


def test_no_answers_among_the_papers_and_no_papers_among_answers(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    specimen = ("--specimen", "--paper", NAME, "--out", "papers")
    papers(capsys, *specimen)
    status, _, told = papers(capsys, *ASKED)
    assert status == 2 and not (desk / f"{NAME}.key").exists() and told == (
        f"{desk / 'papers'} holds the model answers of a specimen, specimen-{NAME}-answers.html, and the folder of "
        "papers is given out. Name another folder for the papers, or move that away.\n"
    )  # fmt: skip
    (desk / "papers" / f"specimen-{NAME}-answers.html").rename(desk / "answers.html")
    (desk / "papers" / "marks.csv").write_text("", encoding="utf-8")
    assert "holds the results of a marking, marks.csv" in papers(capsys, *ASKED)[2]
    (desk / "papers" / "marks.csv").unlink()
    assert papers(capsys, *ASKED)[0] == 0
    before = contents(desk)
    status, out, told = papers(capsys, *specimen)
    assert (status, out, told) == (
        2, "", f"{desk / 'papers'} holds the papers that are given out. Model answers would lie among them: name "
        "another folder for the specimen.\n",
    )  # fmt: skip
    assert contents(desk) == before


def test_ctrl_c_says_what_comes_next(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(issuing, "write_atomically", stopped)
        assert papers(capsys, *ASKED)[::2] == (
            130, "\nStopped. What was written is whole. Type the same line again: it goes on.\n"
        )  # fmt: skip
    assert papers(capsys, *ASKED)[0] == 0 and len(contents(desk / "papers")) == 4
