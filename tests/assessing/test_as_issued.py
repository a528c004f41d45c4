"""What was issued decides: questions, weights, pass mark and rubric of that day, whatever plan, workbook or file say later."""

from __future__ import annotations

import contextlib
import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from cohort import AT, SECRET, changed, right_answers

from steadyneedle.assessing import paper_plan, plan_file
from steadyneedle.assessing.edition import entry_of, plan_as_data, plan_of
from steadyneedle.assessing.handed_in_form import handed_in
from steadyneedle.assessing.observed import NOBODY
from steadyneedle.assessing.paper_file import Paper, bytes_of
from steadyneedle.assessing.paper_plan import exercise_named
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.assessing.plan_file import load_plan, plan_names
from steadyneedle.assessing.secret import CohortKey, read_key
from steadyneedle.assessing.setting import paper_for, set_again
from steadyneedle.cli import main
from steadyneedle.questions.checking import Checked

PLAN = """title = "Short"
minutes = 20
pass_percent = 70
[[questions]]
exercise = "mpa_to_psi"
critical = true
[[questions]]
exercise = "stated_supply"
weight = 2
[[questions]]
exercise = "lock_up"
[[questions]]
exercise = "other_supply"
[[questions]]
text = "customer"
title = "What you say"
ask = "What do you say?"
weight = 2
rubric = ["1 mark: the reading.", "1 mark: nothing promised."]
model = "I write down the reading, and promise nothing."
"""


class Course:
    """An assessor's folder, with a plan of their own that they may edit."""

    def __init__(self, place: Path) -> None:
        self.place = place
        for name in ("plans", "papers", "in", "out"):
            (place / name).mkdir()
        self.plan = place / "plans" / "short.toml"
        self.plan.write_text(PLAN, encoding="utf-8")

    def edit(self, *changes: tuple[str, str]) -> None:
        text = self.plan.read_text(encoding="utf-8")
        for before, after in changes:
            assert before in text
            text = text.replace(before, after)
        self.plan.write_text(text, encoding="utf-8")

    def papers(self, *candidates: str, attempt: int = 1) -> list[Paper]:
        roster = self.place / "roster.csv"
        roster.write_text("\n".join(["candidate", *candidates, ""]))
        words = [roster, "--paper", "short", "--out", self.place / "papers", "--key", self.place / "a.key"]
        assert command("papers", *words, "--attempt", str(attempt))[0] == 0
        ending = "" if attempt == 1 else f"-attempt-{attempt}"
        return [read_paper(self.place / "papers" / f"{one}-short{ending}.ipynb") for one in candidates]

    def hand_in(self, paper: Paper, answers: dict[int, str]) -> Path:
        """All right but for these answers."""
        key = read_key(self.place / "a.key")
        edition = key.edition("short", paper.attempt)
        assert edition is not None
        right = right_answers(
            set_again(edition.plan, key, paper.candidate, paper.attempt, edition.places(paper.candidate))
        )
        path = self.place / "in" / f"{paper.stem}.handed-in.json"
        path.write_bytes(handed_in(paper, {**right, **answers}, AT))
        return path

    def mark(self, *words: str, out: str = "out") -> tuple[int, str]:
        place = self.place
        return command("mark", place / "in", "--key", place / "a.key", "--out", place / out, *words)

    def rows(self, out: str = "out") -> list[dict[str, str]]:
        text = (self.place / out / "marks.csv").read_text(encoding="utf-8")
        return list(csv.DictReader(io.StringIO(text, newline="")))

    def outputs(self, out: str = "out") -> dict[str, bytes]:
        there = (self.place / out).rglob("*")
        return {one.name: one.read_bytes() for one in there if one.is_file() and one.suffix in (".csv", ".ipynb")}

    def record(self) -> list[dict[str, object]]:
        return [json.loads(line) for line in (self.place / "out" / "record.jsonl").read_text().splitlines()]


def command(*words: str | Path) -> tuple[int, str]:
    with (
        contextlib.redirect_stdout(io.StringIO()),
        contextlib.redirect_stderr(io.StringIO()) as err,
        pytest.raises(SystemExit) as left,
    ):
        main([*map(str, words)])
    return int(left.value.code or 0), err.getvalue()


@pytest.fixture
def course(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Course:
    made = Course(tmp_path)
    monkeypatch.setattr(plan_file, "plans_folder", lambda: tmp_path / "plans")
    return made


@contextlib.contextmanager
def mended(name: str) -> Iterator[None]:
    """The exercise as a later workbook has it."""
    exercise = exercise_named(name)
    was = exercise.version
    object.__setattr__(exercise, "version", was + 1)
    try:
        yield
    finally:
        object.__setattr__(exercise, "version", was)


@contextlib.contextmanager
def rules_of_today(name: str, outcome: str) -> Iterator[None]:
    """The exercise as a later workbook judges it: the same question, the same right answer, another mark."""
    exercise = exercise_named(name)
    object.__setattr__(exercise, "check", lambda *_: Checked(outcome, ("By the rules of today.",)))
    try:
        yield
    finally:
        object.__delattr__(exercise, "check")


def change(course: Course, row: str) -> None:
    """Write one row of changed marks: candidate, question, mark, by, why."""
    candidate, *rest = row.split(",")
    receipt = next(one["receipt"] for one in course.rows() if one["candidate"] == candidate)
    header = "candidate,receipt,question,mark,marked_by,why"
    text = f"{header}\n{candidate},{receipt},{','.join(rest)}\n"
    (course.place / "out" / "changed-marks.csv").write_text(text, encoding="utf-8")


ANOTHER = "The plan of short is another today. What was issued is marked as it was issued.\n"


@pytest.mark.parametrize(
    "edit",
    [
        [("pass_percent = 70", "pass_percent = 86")],
        [("minutes = 20", "minutes = 45")],
        [('"stated_supply"\nweight = 2', '"stated_supply"\nweight = 9'), ('"lock_up"', '"lock_up"\ncritical = true')],
        [('[[questions]]\nexercise = "other_supply"\n', "")],
        [("1 mark: the reading.", "1 mark: a joke."), ("What do you say?", "What else?"), ('"lock_up"', '"droop"')],
        [('title = "Short"', "no plan at all")],
    ],
    ids=["pass mark", "minutes", "weight and critical", "a question less", "rubric and question", "broken"],
)
def test_an_edited_plan_decides_nothing_that_was_issued(course: Course, edit: list[tuple[str, str]]) -> None:
    one, two, three = course.papers("1", "2", "3")
    course.hand_in(one, {3: "", 5: ""})  # 4 of 7 marks
    course.hand_in(two, {5: ""})  # 5 of 7, that is 71 %: passes at 70 and not at 86
    course.hand_in(three, {})
    assert course.mark() == (3, "")
    assert [row["result"] for row in course.rows()] == ["not yet competent", "competent", ""]
    assert [row["out_of"] for row in course.rows()] == ["7", "7", "7"]
    before, recorded = course.outputs(), course.record()
    course.edit(*edit)
    status, said = course.mark()
    assert status == 3 and course.outputs() == before and course.record() == recorded
    broken = "no plan at all" in edit[0][1]
    assert said == ANOTHER or (broken and said.startswith("The plan of short cannot be used today: short.toml, line 1"))
    course.plan.unlink()
    gone = "There is no plan of short today. What was issued is marked as it was issued.\n"
    assert course.mark() == (3, gone) and course.outputs() == before


def test_a_plan_that_is_refused_today_and_was_not_touched_is_not_called_another(
    course: Course, monkeypatch: pytest.MonkeyPatch
) -> None:
    course.edit(("1 mark: nothing", "2 marks: nothing"))
    with monkeypatch.context() as then:
        then.setattr(plan_file, "why_not_rubric", lambda *_: "")  # as a workbook that read no rubric
        [one] = course.papers("1")
    course.hand_in(one, {})
    assert course.mark()[1] == (
        "The plan of short cannot be used today: short.toml, line 19: the lines of the rubric give 3 in all, and "
        "weight is 2. Make the two agree. What was issued is marked as it was issued. Mend the plan before you issue "
        "more papers; where the command then says that another paper was issued, whoever came late gets the next "
        "attempt.\n"
    )
    course.edit(("2 marks: nothing", "1 mark: nothing"))
    course.papers("1", "2")  # no word of a rubric stands in a paper: whoever came late gets the same
    course.edit(("weight = 2\nrubric", "weight = 3\nrubric"), ("1 mark: nothing", "2 marks: nothing"))
    roster = ["--paper", "short", "--out", course.place / "papers", "--key", course.place / "a.key"]
    assert command("papers", course.place / "roster.csv", *roster)[0] == 2
    course.papers("3", "1", attempt=2)


def test_attempt_1_is_marked_by_what_it_asked_after_the_plan_and_attempt_2_changed(course: Course) -> None:
    """The tool's own advice: change the plan, issue the next attempt; attempt 1 is marked again into the same folder."""
    [first] = course.papers("1")
    course.hand_in(first, {5: ""})
    course.mark()
    before, [row] = course.outputs(), course.rows()
    course.edit(('[[questions]]\nexercise = "other_supply"\n', ""), ("pass_percent = 70", "pass_percent = 86"))
    [again] = course.papers("1", attempt=2)
    assert (len(first.items), len(again.items), first.pass_percent, again.pass_percent) == (5, 4, 70, 86)
    course.hand_in(again, {4: ""})
    assert course.mark() == (0, ANOTHER)
    assert course.rows()[0] == row and course.outputs()["1-short.ipynb"] == before["1-short.ipynb"]
    assert (course.rows()[1]["mark"], course.rows()[1]["out_of"]) == ("4", "6")
    assert course.rows()[1]["reason"] == f"Below the pass mark of 86 %. {NOBODY}"


def test_a_candidates_file_does_not_say_what_was_asked(course: Course) -> None:
    [paper] = course.papers("1")
    path = course.hand_in(paper, {5: ""})
    honest = path.read_bytes()
    course.mark()
    [row] = course.rows()
    course.edit(("minutes = 20", "minutes = 45"))
    for lie in ({str(n): "0" * 64 for n in range(1, 6)}, {"1": "f" * 64}, {str(n): "0" * 64 for n in range(1, 60)}):
        said = [number for number in lie if int(number) < 6]

        def fake(content: dict[str, dict[str, object]], lie: dict[str, str] = lie, said: list[str] = said) -> None:
            content["asked"] = {**lie}
            content["answers"] = {number: content["answers"][number] for number in said if number in content["answers"]}

        path.write_bytes(changed(honest, fake))
        course.mark()
        [forged] = course.rows()
        assert (forged["status"], forged["out_of"]) == ("marked", "7")
        if len(said) == 5:
            assert {**forged, "receipt": ""} == {**row, "receipt": ""}


def test_only_a_mended_question_waits_and_what_was_marked_before_stands(course: Course) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: "", 1: "20 psi"})  # a critical one missed
    with mended("lock_up"):
        course.mark(out="fresh")
    assert course.rows("fresh")[0]["status"] == "waiting"
    assert course.rows("fresh")[0]["reason"] == (
        "Question 3 waits for a person; the mark counts the others. Question 3 is another in today's workbook; as it "
        "was asked it stands in the candidate's paper as it was given out."
    )
    course.mark()
    [row] = course.rows()
    assert (row["status"], row["mark"], row["critical_missed"]) == ("marked", "4", "1")
    with mended("lock_up"), mended("mpa_to_psi"):
        course.mark()
        [now] = course.rows()
        assert {**now, "reason": ""} == {**row, "reason": ""}
        assert "The marks of questions 1, 3 were given before those questions were mended, and stand." in now["reason"]
        outputs, said = course.outputs(), course.mark()
        assert said[0] == 0 and course.outputs() == outputs
        source = "".join(json.loads(outputs["1-short.ipynb"])["cells"][2]["source"])
        assert "paper.kept" not in source and run(outputs["1-short.ipynb"])
    assert course.mark()[0] == 0 and course.rows() == [row], "mended back, it is marked as ever"


def run(book: bytes) -> bool:
    """Whether every cell prints what is stored."""
    names: dict[str, object] = {}
    for cell in json.loads(book)["cells"]:
        if cell["cell_type"] == "code":
            with contextlib.redirect_stdout(io.StringIO()) as out:
                exec("".join(cell["source"]), names)
            assert out.getvalue() == "".join("".join(one["text"]) for one in cell["outputs"])
    return True


def test_an_exercise_that_is_gone_waits(course: Course, monkeypatch: pytest.MonkeyPatch) -> None:
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    real = paper_plan.home_of
    monkeypatch.setattr(paper_plan, "home_of", lambda name: None if name == "lock_up" else real(name))
    known = [one for one in plan_file.known_exercises() if one[1].name != "lock_up"]
    monkeypatch.setattr(plan_file, "known_exercises", lambda: known)
    assert course.mark()[0] == 3
    [row] = course.rows()
    assert (row["mark"], row["out_of"]) == ("4", "7") and row["reason"].startswith("Question 3 waits for a person")
    assert b"Look it up in the candidate" not in course.outputs()["1-short.ipynb"]


def test_a_right_answer_that_is_another_today_waits(course: Course) -> None:
    """The same words asked, and another answer taken for right: nobody is marked by a rule that was not theirs."""
    [paper] = course.papers("1")
    course.hand_in(paper, {5: ""})
    exercise = exercise_named("lock_up")
    was = exercise.work
    object.__setattr__(exercise, "work", lambda w: {**was(w), "answer": was(w)["answer"] + 1})
    exercise._worked.clear()
    try:
        course.mark()
    finally:
        object.__setattr__(exercise, "work", was)
        exercise._worked.clear()
    assert course.rows()[0]["reason"].startswith("Question 3 waits for a person")


def test_a_pass_mark_is_changed_by_name_and_everybody_sees_it(course: Course) -> None:
    one, two = course.papers("1", "2")
    course.hand_in(one, {5: "", 3: ""})  # 4 of 7, 57 %
    course.hand_in(two, {5: ""})
    course.mark()
    before = course.record()[-1]["papers"]
    assert before["short"]["1"]["pass_percent"] == 70 and "by" not in before["short"]["1"]  # type: ignore[index]
    assert course.mark("--pass-mark", "55", "--by", "A. Board, 27 November") == (0, "")
    said = (
        "The pass mark was 70 % when the paper was issued and is 55 % now: record.jsonl says who changed it, and when."
    )
    assert [(row["result"], row["reason"]) for row in course.rows()] == [("competent", f"{said} {NOBODY}")] * 2
    now = course.record()[-1]["papers"]["short"]["1"]  # type: ignore[index]
    assert (now["issued_pass_percent"], now["pass_percent"], now["by"]) == (70, 55, "A. Board, 27 November")
    assert now["since"].endswith("Z")
    outputs, record = course.outputs(), course.record()
    assert course.mark() == (0, "") and (course.outputs(), course.record()) == (outputs, record), "it stays in force"
    assert b"It was 70 % when the paper was issued." in outputs["1-short.ipynb"] and run(outputs["1-short.ipynb"])
    course.papers("1", attempt=2)
    [again] = course.papers("1", attempt=2)
    course.hand_in(again, {5: "", 3: ""})
    course.mark()
    below = f"Below the pass mark of 70 %. {NOBODY}"
    assert [row["reason"] for row in course.rows()] == [f"{said} {NOBODY}"] * 2 + [below]
    unnamed = course.outputs()
    for words, sentence in (
        ((), "The folder holds short, attempt 1 and short, attempt 2. Say whose pass mark changes, for example "
             "--paper short --attempt 1.\n"),
        (("--attempt", "3"), "No file of attempt 3 is in the folder; it holds short, attempt 1 and short, attempt 2. "
                             "Nothing was changed.\n"),
        (("--paper", "Long"), "No file of long is in the folder; it holds short, attempt 1 and short, attempt 2. "
                              "Nothing was changed.\n"),
    ):  # fmt: skip
        assert course.mark("--pass-mark", "70", "--by", "AB", *words) == (2, sentence)
    assert course.outputs() == unnamed
    assert course.mark("--pass-mark", "50", "--by", "CD", "--paper", "Short", "--attempt", "2")[0] == 0
    now = course.record()[-1]["papers"]["short"]  # type: ignore[index]
    assert (now["1"]["pass_percent"], now["2"]["pass_percent"]) == (55, 50)
    for attempt in ("1", "2"):
        assert course.mark("--pass-mark", "70", "--by", "AB", "--attempt", attempt)[0] == 0
    assert course.rows()[0]["reason"] == below
    assert course.mark(out="elsewhere")[0] == 0 and course.rows("elsewhere") == course.rows()


def test_a_pass_mark_of_two_papers_at_once_is_refused(course: Course) -> None:
    course.papers("1")
    status, said = course.mark("--pass-mark", "55", "--by", "AB")
    assert status == 2 and not (course.place / "out" / "marks.csv").exists() and said.count("\n") == 1


def test_a_paper_says_its_pass_mark_and_what_each_question_weighs(course: Course) -> None:
    [paper] = course.papers("1")
    printed = "".join(bytes_of(paper).decode())
    assert "The pass mark is 70 % of 7 marks; each question says how many it carries." in printed
    assert printed.count("*1 mark*") == 2 and printed.count("*2 marks*") == 2 and "*1 mark, critical*" in printed


def test_no_later_roster_sits_another_pass_mark(course: Course) -> None:
    course.papers("1")
    course.edit(("pass_percent = 70", "pass_percent = 86"))
    (course.place / "roster.csv").write_text("candidate\n2\n")
    words = ["roster.csv", "--paper", "short", "--out", "papers", "--key", "a.key"]
    done = command("papers", *[course.place / one if "." in one or one == "papers" else one for one in words])
    assert done[0] == 2 and "was issued another paper as attempt 1" in done[1]


def test_a_plan_comes_back_from_a_key_as_it_was_and_a_damaged_one_does_not() -> None:
    for name in plan_names():
        plan = load_plan(name)
        data = json.loads(json.dumps(plan_as_data(plan)))
        assert plan_of(data) == plan
        assert plan_of({**data, "questions": data["questions"][1:]}) is None
        for odd in (None, 0, "x", [], [1], {}, True, 1.5):
            spoilt = [{**data, at: odd} for at in data if type(data[at]) is not type(odd)]
            first, *rest = data["questions"]
            spoilt += [
                {**data, "questions": [{**first, at: odd}, *rest]} for at in first if type(first[at]) is not type(odd)
            ]
            spoilt += [{name: value for name, value in data.items() if name != at} for at in data]
            assert [one for one in map(plan_of, spoilt) if one not in (None, plan)] == []


def test_numbers_are_had_again_from_their_places_without_a_search() -> None:
    """The key says where in the stream of draws they were found; the paper set again is the paper that was set."""
    key, plan = CohortKey(SECRET), load_plan("units and bands")
    for candidate in ("101", "102", "7"):
        paper = paper_for(plan, key, candidate)
        key.issue(plan, 1, {candidate: entry_of(paper)})
        places = key.issued[plan.name][1].places(candidate)
        assert len(set(places)) > 1
        assert set_again(plan, key, candidate, 1, places) == paper
        elsewhere = [*places[1:], places[0]]
        assert set_again(plan, key, candidate, 1, elsewhere).digest != paper.digest
