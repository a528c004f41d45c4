"""A job in a paper: played step by step, kept at every step, silent about what it hides, and marked by playing it again."""

from __future__ import annotations

import csv
import dataclasses
import datetime
import html
import io
import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hostile import paths_of_a_job
from hypothesis import given, settings
from hypothesis import strategies as some

from steadyneedle.assessing import handed_in_form, job_marking, marking
from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.edition import entry_of, fingerprint, plan_as_data, plan_of
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.hand_marks import Given, MarkSteps
from steadyneedle.assessing.hand_marks import given as given_by_hand
from steadyneedle.assessing.handed_in import read_handed_in
from steadyneedle.assessing.handed_in_form import handed_in
from steadyneedle.assessing.job_marking import hidden_lines, in_sentences
from steadyneedle.assessing.job_rubric import Scheme
from steadyneedle.assessing.mark_sheet import row_of
from steadyneedle.assessing.marking import WAITS, AnswerMark, ItemMark, PaperMark, mark_item, mark_paper, marked_job
from steadyneedle.assessing.paper_file import Item, Paper, bytes_of
from steadyneedle.assessing.paper_plan import JOB, TEXT, exercise_named
from steadyneedle.assessing.paper_reading import paper_of
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey, write_key
from steadyneedle.assessing.setting import paper_for, set_again
from steadyneedle.assessing.specimen import page_of, specimen_of
from steadyneedle.bench.diagnosis import examination_list
from steadyneedle.bench.diagnosis.cause_list import cause_name, causes
from steadyneedle.cli import main
from steadyneedle.foundation.store import StoreError
from steadyneedle.jobs import best_path, debrief, kept_bench, pool
from steadyneedle.jobs.bill import total
from steadyneedle.jobs.briefing import what_is_known
from steadyneedle.jobs.debrief import is_shown
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import MOST_IN_A_PAPER, MOST_STEPS, NO_RELIEF, OFTEN, SHOWN, JobPath, PathError, Said
from steadyneedle.jobs.path_file import KIND, all_known, as_text, path_in
from steadyneedle.jobs.play import BARE, WATCH, seen
from steadyneedle.jobs.pool import job_drawn, jobs_alike
from steadyneedle.sitting_forms import HandInSession
from steadyneedle.sitting_job import LEFT, SAY_BOTH, JobInPaper
from steadyneedle.teaching.frame.form import Form
from steadyneedle.teaching.frame.forms import FormWidget

PLAN = load_plan("creep")
NOON = datetime.datetime(2026, 11, 27, 12, 0, tzinfo=datetime.UTC)
SCHEME = Scheme(4, 2, 2, 2, 1.5)
GUESS = {"cause": "grit", "sure": "25"}


@cache
def of(candidate: str = "101") -> Paper:
    return paper_for(PLAN, CohortKey(bytes(range(32))), candidate)


def item_of(candidate: str = "101") -> Item:
    [item] = [one for one in of(candidate).items if one.kind == JOB]
    return item


def opened(folder: Path) -> Answers:
    answers = Answers(of(), folder)
    answers.open(NOON)
    return answers


def form(folder: Path) -> JobInPaper:
    return JobInPaper(item_of(), opened(folder))


def press(session: JobInPaper, button: str, **answers: str) -> Form:
    session.typed(answers)
    session.act(button, answers)
    return session.view()


def do(session: JobInPaper, test: str, turn: int, **said: str) -> Form:
    """Do a test; whoever comes to the stop shuts the valve."""
    shown = press(session, "do", **{**GUESS, **said, "test": f"{turn}:{test}"})
    return press(session, "do", now="shut") if shown.focus == "now" else shown


def kept(folder: Path) -> JobPath:
    content = json.loads((folder / f"{of().stem}.answers.json").read_text(encoding="utf-8"))
    return path_in(content["answers"][str(item_of().number)])


def end(session: JobInPaper, cause: str, sure: str) -> Form:
    press(session, "stop", cause=cause, sure=sure)
    return press(session, "end", cause=cause, sure=sure)


def walked(number: int, *done: str, cause: str = "", sure: int = 95) -> JobPath:
    """A path through a job as its form keeps it, ended with a cause."""
    path = JobPath(number, job(number).design)
    for turn, test in enumerate(done):
        path = path.done(test, seen(number, test, turn).outcome, Said("sound", 25))
    return path.stopped(Said(cause, sure)) if cause else path


# played ------------------------------------------------------------------------------------------


def test_a_job_is_played_to_its_end_and_every_step_is_on_the_disk(tmp_path: Path) -> None:
    session = form(tmp_path)
    assert session.view().message.word == "A job on your bench" and session.view().note.startswith("Spent: 0 min")
    way = jobs_alike()[item_of().job].tests
    for turn, test in enumerate(way):
        shown = do(session, test, turn)
        assert kept(tmp_path).tests == way[: turn + 1] and len(shown.tables[0].rows) == turn + 1
        assert shown.message.word == "It showed" and shown.focus == "test"
    shown = press(session, "stop", cause="grit", sure="90")
    assert shown.message.word == "Sure enough?" and not kept(tmp_path).end
    shown = press(session, LEFT, cause="grit", sure="")  # the list set back to "choose"
    assert shown.message.lines == (SAY_BOTH,) and [one.off for one in shown.buttons] == [False, False, True]
    shown = press(session, LEFT, cause="grit", sure="75")
    assert shown.message.lines[0].startswith("You say: ") and "75 %" in shown.message.lines[0]
    shown = press(session, "end", cause="grit", sure="90")
    assert shown.message.word == "The job has ended" and not shown.fields
    assert all(one.off for one in shown.buttons), "nothing can be pressed any more"
    assert kept(tmp_path).verdict == Said("grit", 90)


def test_a_paper_gives_no_advice_no_debrief_and_no_second_play(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is computed of beliefs while a job is played: there is nothing that could be told by mistake."""

    def refuse(*_: Any, **__: Any) -> Any:
        raise AssertionError("a paper computes no belief")

    for module, name in (
        (best_path, "computed_with"), (best_path, "computed"), (best_path, "advised"), (debrief.Debrief, "__init__"),
    ):  # fmt: skip
        monkeypatch.setattr(module, name, refuse)
    session = form(tmp_path)
    do(session, "tap", 0)
    before = session.view()
    assert [one.name for one in before.buttons] == ["do", "stop", "end"]
    for button in ("advice", "debrief", "replay", "aside", "take", "best"):
        assert press(session, button, **GUESS) == session.view() and kept(tmp_path).tests == ("tap",)
        assert session.view().message == before.message
    end(session, "grit", "25")
    for button in ("advice", "debrief", "replay", "do", "stop", "end", "aside"):
        press(session, button, **GUESS, test="1:tap", now="on")
    assert kept(tmp_path).tests == ("tap",) and kept(tmp_path).verdict == Said("grit", 25)


def test_nothing_that_goes_to_the_page_names_what_is_hidden(tmp_path: Path) -> None:
    """The list of causes stands there for every job of the design; beyond it, no word of the one that is hidden."""
    for candidate in ("101", "102"):
        item = item_of(candidate)
        (tmp_path / candidate).mkdir()
        answers = Answers(of(candidate), tmp_path / candidate)
        answers.open(NOON)
        widget = FormWidget(JobInPaper(item, answers))
        hidden, sent = job(item.job).hidden, []
        other = next(one for one in causes(job(item.job).design) if one != hidden.cause and "+" not in one)
        allowed = [
            one for n, one in enumerate(examination_list.tests(job(item.job).design)) if n % 3 == int(candidate) % 3
        ]
        for turn, test in enumerate(allowed):
            said = {"cause": other, "sure": "50", "test": f"{turn}:{test}"}
            for n, more in enumerate(({}, {"now": "shut"})):
                heard = {"what": "act", "button": "do", "answers": {**said, **more}, "number": 2 * turn + n}
                widget._heard(widget, heard, [])
                view = {name: value for name, value in widget.view.items() if name not in ("fields", "tables")}
                sent.append(json.dumps([view, widget.saved], ensure_ascii=False))
        everything = "\n".join(sent)
        assert "Saved" in everything and len(sent) == 2 * len(allowed)
        for word in (hidden.cause, cause_name(hidden.cause), "severit", "advice", "belie", "puts it right"):
            assert f'"{word}' not in everything and f" {word}" not in everything, (candidate, word)
        listed = next(one for one in widget.view["fields"] if one["name"] == "cause")["options"]
        assert [key for key, _ in listed] == list(causes(job(item.job).design)), "in the order of every job"


def test_the_paper_holds_the_number_alone() -> None:
    """Its other questions left out: what one of them says of grit it says of any regulator."""
    data = bytes_of(replace(of(), items=(item_of(),))).decode()
    assert f'"job": {item_of().job}' in data
    hidden = job(item_of().job).hidden
    text = data.replace(job(item_of().job).complaint, "")
    assert hidden.cause not in text and cause_name(hidden.cause) not in text and "hidden_cause" not in text
    assert str(jobs_alike()[item_of().job].tests) not in text


def test_a_second_press_does_nothing(tmp_path: Path) -> None:
    session = form(tmp_path)
    first = do(session, "tap", 0)
    for _ in range(3):
        assert press(session, "do", **GUESS, test="0:tap") == first
    assert kept(tmp_path).tests == ("tap",)


@pytest.mark.parametrize("said", [{}, {"cause": "grit"}, {"sure": "25"}, {"cause": "x", "sure": "25"}, {"cause": "grit", "sure": "7"}])  # fmt: skip
def test_whoever_says_nothing_is_asked(tmp_path: Path, said: dict[str, str]) -> None:
    session = form(tmp_path)
    assert press(session, "do", test="0:tap", **said).message.word == "Not done yet"
    assert "A guess is an answer too" in session.view().message.lines[0]
    assert opened(tmp_path).typed().get(item_of().number, "") == "", "no test, no answer"


def test_at_the_stop_one_must_choose_and_a_kill_there_asks_again(tmp_path: Path) -> None:
    """A needle at its stop: shut, or watch on and fail; the question comes back with a new kernel."""
    number = next(n for n in jobs_alike() if seen(n, "watch_full", 0).at_stop)
    item = dataclasses.replace(item_of(), job=number)
    answers = opened(tmp_path)
    session = JobInPaper(item, answers)
    shown = press(session, "do", **GUESS, test="0:watch_full")
    assert shown.focus == "now" and shown.message.word == "The needle is at the stop"
    assert shown.message.lines[1] == "A test costs all its minutes, also where you stop it early: here 10 min."
    again = JobInPaper(item, opened(tmp_path))
    assert again.view().message == shown.message and again.view().fields == shown.fields
    shown = press(again, "do", now="on")
    assert shown.message.word == "Critical failure: the job ends here"
    path = path_in(opened(tmp_path).typed()[item.number])
    assert (path.end, path.because, path.fatal) == ("critical", "stop", "watch_full")
    worth = marked_job(number, SCHEME, as_text(path))
    assert worth.outcome == "critical failure" and worth.given == 0 and not worth.passed


def test_a_job_at_its_first_stop_is_said_to_be_begun(tmp_path: Path) -> None:
    """No step is done there yet; shut, the test costs what was said."""
    number = next(n for n in jobs_alike() if seen(n, "watch_full", 0).at_stop)
    item, answers = dataclasses.replace(item_of(), job=number), opened(tmp_path)
    answers.paper = dataclasses.replace(of(), items=(*(one for one in of().items if one.kind != JOB), item))
    session, hand_in = JobInPaper(item, answers), HandInSession(answers)
    total = len(of().items)
    assert hand_in.view().question == (f"Answered: 0 of {total} questions.",)
    press(session, "do", **GUESS, test="0:watch_full")
    begun = f"Answered: 0 of {total} questions. Begun and not ended: the job of question {item.number}."
    assert hand_in.view().question == (begun,)
    hand_in.act("ask", {})
    told = hand_in.view().message.lines
    assert f"Begun, but the job is not ended: question {item.number}." in told
    assert not any(f"{item.number}" in line for line in told if line.startswith("Not answered"))
    assert press(session, "do", now="shut").note.startswith("Spent: 10 min")
    assert hand_in.view().question == (begun,)
    end(session, "grit", "25")
    assert hand_in.view().question == (f"Answered: 1 of {total} questions.",)
    assert session.view().message.lines[1] == "You hand it in with the other answers, at the end."


def test_no_name_in_the_list_of_tests_leans_on_another(tmp_path: Path) -> None:
    listed = next(one for one in form(tmp_path).view().fields if one.name == "test").options
    assert not any(words.startswith("the same") for _, words in listed)


def test_blanked_without_a_relief_valve(tmp_path: Path) -> None:
    session = form(tmp_path)
    shown = press(session, "do", **GUESS, test=f"0:{BARE}")
    assert shown.message.word == "Critical failure: the job ends here"
    worth = mark_item(item_of(), fingerprint(item_of()), as_text(kept(tmp_path)))
    assert worth.outcome == "critical failure" and ItemMark(item_of(), "", worth).missed


def test_what_was_chosen_and_not_done_is_there_after_a_kill(tmp_path: Path) -> None:
    session = form(tmp_path)
    do(session, "tap", 0)
    session.typed({"cause": "set_high", "sure": "75", "test": "1:zero"})
    assert [one.value for one in form(tmp_path).view().fields] == ["set_high", "75", "1:zero"]
    assert form(tmp_path).view() == session.view()


def test_handing_in_names_a_job_that_is_not_ended(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    session = JobInPaper(item_of(), answers)
    hands, number = HandInSession(answers), item_of().number
    hands.act("ask", {})
    assert f" {number}." in hands.view().message.lines[0], "not begun, so not answered"
    assert "Every question is answered." not in hands.view().message.lines
    do(session, "tap", 0)
    hands.act("ask", {})
    assert f"Begun, but the job is not ended: question {number}." in hands.view().message.lines
    assert "A job that is not ended earns no mark." in hands.view().message.lines
    assert any("holds your whole result back" in line for line in hands.view().message.lines)
    end(session, "grit", "25")
    hands.act("ask", {})
    assert not any("Begun" in line or "not ended" in line for line in hands.view().message.lines)


def test_the_longest_path_can_be_handed_in() -> None:
    """Sixty steps of the longest words fit into an answer."""
    longest = JobPath(999_999, "Juniper")
    known, names = all_known("Juniper")
    test, outcome = max(((one, word) for one, words in known.items() for word in words), key=lambda pair: len("".join(pair)))  # fmt: skip
    for _ in range(MOST_STEPS):
        longest = longest.done(test, outcome, Said(max(names, key=len), 99))
    text = as_text(longest.stopped(Said(max(names, key=len), 99)))
    assert len(text) <= handed_in_form.LONGEST_ANSWER and path_in(text).tests == (test,) * MOST_STEPS


def test_a_test_is_done_twice_and_a_job_takes_20_tests(tmp_path: Path) -> None:
    session, way = form(tmp_path), WAY.split()
    for turn, test in enumerate(way):
        do(session, test, 2 * turn)
        do(session, test, 2 * turn + 1)
        listed = [key for field in session.view().fields if field.name == "test" for key, _ in field.options]
        assert f"{2 * turn + 2}:{test}" not in listed and len(listed) >= 10
        if turn == 0:
            shown = press(session, "do", **GUESS, test="2:tap")
            assert shown.message.lines == ("That test was done twice. Choose another one, or stop.",)
    assert len(kept(tmp_path).tests) == MOST_IN_A_PAPER and next(one for one in session.view().buttons).off
    shown = press(session, "do", **GUESS, test="20:look_land")
    assert shown.message.lines == ("20 tests are enough: say what you think it is, and stop.",)
    assert f"{MOST_IN_A_PAPER} tests are the most" in " ".join(item_of().asked)
    job_marking.check_form(kept(tmp_path))
    end(session, "grit", "25")
    assert kept(tmp_path).end == "stopped"


def test_a_path_that_no_form_makes_is_refused_at_once() -> None:
    """It would take long to play again: each test after many others is reckoned with all the purges before it."""
    number = item_of().job
    for tests, words in (
        (["cycles"] * MOST_STEPS, "60 tests; the form of a paper takes 20"),
        (["cycles"] * (OFTEN + 1), "'cycles' stands in the path 3 times; the form does it twice"),
        ([*WAY.split() * 2, "cycles"], "21 tests"), ([WATCH] * 4, "4 times"),
    ):  # fmt: skip
        path = JobPath(number, job(number).design)
        for test in tests:
            path = path.done(test, all_known(path.design)[0][test][0], Said("grit", 25))
        started = time.process_time()
        worth = marked_job(number, SCHEME, as_text(path.stopped(Said("grit", 25))))
        assert worth.given == 0 and worth.waiting and words in worth.lines[0]
        assert time.process_time() - started < 0.1


SLOW = (
    "watch_full",
    "watch_low",
    "cycles",
    "purge_watch",
    "new_seat",
    "next_day",
    "blank",
    "new_spring",
    "pot",
    "zero",
    "shut",
    "bleed",
)
TIMES = 10
"""So many times an honest file's time a file may take."""


def seconds_to_mark(folder: Path, number: int, tests: Iterable[str]) -> float:
    """Processor time from a file to its graded notebook, of a paper whose job was played so."""
    items = tuple(dataclasses.replace(one, job=number) if one.kind == JOB else one for one in of().items)
    paper, answer = (
        dataclasses.replace(of(), items=items),
        as_text(walked(number, *tests, cause=job(number).hidden.cause)),
    )
    path = folder / "in.handed-in.json"
    path.write_bytes(handed_in(paper, right_but("101", answer), NOON))
    for kept in (seen, kept_bench.kept, kept_bench.purged):
        kept.cache_clear()
    started = time.process_time()
    read = read_handed_in(path)
    made = mark_paper(paper, [fingerprint(one) for one in items], read.answers)
    graded_bytes(made, read, PLAN.questions)
    took = time.process_time() - started
    assert not made.unread, "it was played again to its end"
    return took


def slowest_of(folder: Path, number: int) -> float:
    """The tests that take longest come last, after most purges, as often as the form lets them."""
    can = examination_list.tests(job(number).design)
    slow = [test for test in reversed(SLOW) if test in can for _ in range(OFTEN)]
    return seconds_to_mark(folder, number, slow[-MOST_IN_A_PAPER:])


def honest_mean(folder: Path, numbers: Iterable[int]) -> float:
    """Of some jobs, played as the advice plays them; a first one of each design reads the tables."""
    first = {job(number).design: number for number in numbers}
    for number in first.values():
        seconds_to_mark(folder, number, ("tap",))
    return float(np.mean([seconds_to_mark(folder, number, jobs_alike()[number].tests) for number in numbers]))


@pytest.mark.benchmark
def test_the_slowest_path_of_the_slowest_job_takes_less_than_ten_times_an_honest_file(tmp_path: Path) -> None:
    """The rig reckons longest behind a clogged filter; the jobs in which it takes longer left the list."""
    clogged = {one: job(one).hidden.faults.get("filter_clogged", 0.0) for one in jobs_alike()}
    number = max(clogged, key=clogged.__getitem__)
    for _ in range(3):  # what else the machine does counts too
        times = slowest_of(tmp_path, number) / honest_mean(tmp_path, sorted(jobs_alike())[::8])
        if times <= TIMES:
            break
    print(f"{times:.1f} times")
    assert times <= TIMES


@pytest.mark.long
@pytest.mark.benchmark
def test_no_path_that_a_form_makes_takes_ten_times_an_honest_file(tmp_path: Path) -> None:
    honest = honest_mean(tmp_path, jobs_alike())
    times = {number: slowest_of(tmp_path, number) / honest for number in jobs_alike()}
    most = sorted(times, key=times.__getitem__)[-5:]
    for number in most:  # what else the machine does counts too
        times[number] = min(times[number], slowest_of(tmp_path, number) / honest)
    print(f"{len(times)} jobs, honest {honest:.2f} s; median {np.median(list(times.values())):.1f} times; most:")
    print(", ".join(f"{number} {times[number]:.1f}" for number in most))
    assert max(times.values()) <= TIMES


# nothing lost ------------------------------------------------------------------------------------

WAY = "tap listen zero look_handwheel look_filter soap_hose soap_mouth immerse second_gauge look_edge"

PLAYER = """
import datetime, sys
from pathlib import Path
from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.jobs.path_file import path_in
from steadyneedle.sitting_job import JobInPaper
path = Path(sys.argv[1])
answers = Answers(read_paper(path), path.parent)
answers.open(datetime.datetime.now().astimezone())
[item] = [one for one in answers.paper.items if one.kind == "job"]
session = JobInPaper(item, answers)
text = answers.typed().get(item.number, "")
turn = len(path_in(text).steps) if text else 0
print("ready", flush=True)
while turn < 20:
    said = {"cause": "grit", "sure": "25", "test": f"{turn}:" + sys.argv[2].split()[turn % 10]}
    session.typed(said)
    session.act("do", said)
    turn += 1
    print("saved", turn, flush=True)
print("saved", turn, flush=True)
sys.stdin.read()
"""


def kill_players(path: Path, kills: int, seed: int) -> int:
    """Kill whoever plays at random moments; gives the steps that were said to be saved. None of them is lost."""
    dice, saved, number = random.Random(seed), 0, str(item_of().number)
    for _ in range(kills):
        command = [sys.executable, "-c", PLAYER, str(path), WAY]
        with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None and process.stdout.readline() == "ready\n"
            time.sleep(dice.uniform(0.0, 0.15))
            os.kill(process.pid, signal.SIGKILL)
            said = [line.split() for line in process.stdout.read().splitlines() if len(line.split()) == 2]
        saved = max([int(what) for _, what in said] or [saved])
        answers = json.loads((path.parent / f"{of().stem}.answers.json").read_text(encoding="utf-8"))["answers"]
        steps = path_in(answers[number]).tests if answers.get(number) else ()
        assert len(steps) >= saved, "a step that was shown as saved is gone"
        assert steps == tuple(WAY.split() * 2)[: len(steps)]
        if len(steps) >= 18:  # so many are taken of one job: begin again
            (path.parent / f"{of().stem}.answers.json").unlink()
            saved = 0
    return saved


@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_three_kills_in_mid_job_lose_no_step(tmp_path: Path) -> None:
    (tmp_path / f"{of().stem}.ipynb").write_bytes(bytes_of(of()))
    kill_players(tmp_path / f"{of().stem}.ipynb", 3, seed=5)


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_two_hundred_kills_in_mid_job_lose_no_step(tmp_path: Path) -> None:
    (tmp_path / f"{of().stem}.ipynb").write_bytes(bytes_of(of()))
    kill_players(tmp_path / f"{of().stem}.ipynb", 200, seed=6)


# marked ------------------------------------------------------------------------------------------


def test_the_advice_s_own_path_gets_every_mark() -> None:
    for number in sorted(jobs_alike())[::20]:
        way = jobs_alike()[number].tests
        worth = marked_job(number, SCHEME, as_text(walked(number, *way, cause=job(number).hidden.cause)))
        assert (worth.outcome, worth.given, worth.passed) == ("found", 10, True), (number, worth.lines)


def parts(worth: AnswerMark) -> list[int]:
    """Marks for cause, safe, minutes and honest, as the reasons say them; their sum is what is given."""
    found = [re.match(r"(?:Cause|Safe|Minutes|Honest): (\d+) of \d+\. ", line) for line in worth.lines]
    said = [int(one[1]) for one in found if one]
    assert worth.given == sum(said), worth.lines
    return said


def with_chances(monkeypatch: pytest.MonkeyPatch, **chances: float) -> None:
    """Whatever the tests of a path were, they give these chances."""
    monkeypatch.setattr(best_path, "computed", lambda number, findings: SimpleNamespace(by_cause=chances))


def test_each_part_is_marked_for_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    number = item_of().job
    way, hidden = list(jobs_alike()[number].tests), job(number).hidden.cause
    other = next(one for one in causes(job(number).design) if one not in (hidden, "sound") and "+" not in one)

    def marks(*tests: str, cause: str = hidden, sure: int = 95) -> list[int]:
        return parts(marked_job(number, SCHEME, as_text(walked(number, *tests, cause=cause, sure=sure))))

    assert marks(*way) == [4, 2, 2, 2]
    slow = [*way, "new_spring", "new_seat"]
    assert SCHEME.quick < total(slow).minutes <= 2 * SCHEME.quick and marks(*slow)[2] == 1
    slower = [*slow, "next_day", "look_seat", "look_edge", "cycles", "blank", "watch_low"]
    assert total(slower).minutes > 2 * SCHEME.quick and marks(*slower)[2] == 0
    with_chances(monkeypatch, **{hidden: 0.3, other: 0.7})
    assert marks(*way, cause=other, sure=75) == [0, 2, 0, 2], "wrong, and as sure as the tests allow"
    assert marks(*way, cause=other, sure=5) == [0, 2, 0, 0]
    assert marks(*way) == [] and marks(*way, sure=25) == [], "right, and the tests give it too little"


@pytest.mark.parametrize(
    ("gave", "marks"),
    [
        (0.899, {50: [4, 2, 2, 0], 75: [4, 2, 2, 1], 90: [4, 2, 2, 2], 95: [4, 2, 2, 2], 99: [4, 2, 2, 2]}),
        (0.497, {50: [4, 2, 2, 2], 75: [4, 2, 2, 1], 90: [4, 2, 2, 0]}),  # printed "50 %", and 50 % are needed
        (0.494, {50: [], 25: []}),
        (0.62, {50: [4, 2, 2, 2], 75: [4, 2, 2, 1]}),  # nobody can say 62 %: the nearest step is right
    ],
)
def test_being_too_sure_costs_what_is_for_honesty_and_never_the_cause(
    monkeypatch: pytest.MonkeyPatch, gave: float, marks: dict[int, list[int]]
) -> None:
    number = item_of().job
    hidden = job(number).hidden.cause
    with_chances(monkeypatch, **{hidden: gave, "set_low": 1 - gave})
    for sure, right in marks.items():
        worth = marked_job(
            number, SCHEME, as_text(walked(number, *jobs_alike()[number].tests, cause=hidden, sure=sure))
        )
        assert parts(worth) == right and worth.passed, (sure, worth.lines)
        assert f"Your tests give it {100 * gave:.0f} %" in worth.lines[0]


def test_a_guess_earns_nothing_at_all() -> None:
    """One quick test, and "sound", or the hidden cause by luck: in no job of the list does one test show it."""
    for number in jobs_alike():
        for test, cause in (
            ("tap", job(number).hidden.cause),
            ("listen", "sound"),
            ("listen", job(number).hidden.cause),
        ):
            worth = marked_job(number, SCHEME, as_text(walked(number, test, cause=cause, sure=25)))
            assert worth.given == 0 and worth.passed == (cause != "sound"), (number, worth.lines)
            assert "50 % are needed: the job earns no mark." in worth.lines[0]


def test_what_counts_as_shown_is_what_the_debrief_of_the_lessons_calls_so() -> None:
    number = item_of().job
    way, hidden = jobs_alike()[number].tests, job(number).hidden.cause
    found = Counter[bool]()
    for most in range(len(way) + 1):
        path = walked(number, *way[:most], cause=hidden, sure=99)
        assert (job_marking.given_to(path) >= SHOWN) == is_shown(path), most
        found[is_shown(path)] += 1
    assert len(found) == 2


def test_the_question_says_what_earns_nothing_and_what_holds_back() -> None:
    words = " ".join(item_of().asked)
    assert item_of().critical and "Three things earn no mark at all: not to end the job yourself;" in words
    assert "to end with “nothing wrong” where your tests give that less than 50 %" in words
    assert "to watch on past the stop, or to blank every port without a relief valve" in words
    assert "each of the three holds the whole result back" in words
    assert "Any other wrong cause holds nothing back." in words
    assert "Your tests must give what you name at least 50 %." in words
    assert "Each test takes minutes, some cost money, which is not marked." in words
    assert "less than 50 %, the job earns no mark" in words
    assert "within 10 points of what they give" in words and "Within 25 points earns half" in words


def test_no_word_of_the_marking_hangs_on_the_job() -> None:
    """The minutes that earn all are the same for every candidate, so that they tell nothing of what is hidden."""
    known = [set(what_is_known(job(item_of(one).job))) for one in ("101", "102", "103")]
    words = [
        [line for line in item_of(one).asked if line not in those]
        for one, those in zip(("101", "102", "103"), known, strict=True)
    ]
    assert words[0] == words[1] == words[2] and len({item_of(one).job for one in ("101", "102", "103")}) == 3
    assert "your tests took at most 54 min. Up to 108 min earn half" in " ".join(words[0])
    assert all(one.minutes <= SCHEME.quick / SCHEME.within for one in jobs_alike().values())


def test_only_what_endangers_holds_a_creep_paper_back() -> None:
    """The cautious answer to a question about plugs or the stop may be wrong; it is no critical miss."""
    assert [one.kind for one in PLAN.questions if one.critical] == [JOB]


def test_a_path_that_waits_is_shown_in_sentences() -> None:
    path = walked(item_of().job, "tap", cause="grit")
    lines = in_sentences(as_text(path)).splitlines()
    assert len(lines) == 2 and lines[0].startswith("1. ") and lines[1].startswith("Ended: ")
    assert in_sentences("9.8 bar") == "9.8 bar"


def test_a_key_keeps_how_a_job_is_marked() -> None:
    """The plan as issued comes back from the key with its marks; a job that hides something else today is noticed."""
    assert plan_of(json.loads(json.dumps(plan_as_data(PLAN)))) == PLAN
    odd = json.loads(json.dumps(plan_as_data(PLAN)))
    odd["questions"][-1]["scheme"]["cause"] = "five"
    assert plan_of(odd) is None
    other = dataclasses.replace(item_of(), job=next(n for n in jobs_alike() if n != item_of().job))
    assert fingerprint(other) != fingerprint(item_of())
    assert mark_item(other, fingerprint(item_of()), "a path").outcome == "mended"
    assert mark_item(other, fingerprint(item_of()), "").outcome == "nothing typed", "nothing earns nothing"


def test_a_pair_with_the_right_one_in_it_earns_half_and_each_of_the_two_counts_with_it() -> None:
    number = next(
        n for n in jobs_alike() if job(n).hidden.cause == "grit" and "grit+filter_clogged" in causes(job(n).design)
    )
    for sure, honest in ((99, 2), (75, 1), (5, 0)):
        path = walked(number, *jobs_alike()[number].tests, cause="grit+filter_clogged", sure=sure)
        worth = marked_job(number, SCHEME, as_text(path))
        assert worth.outcome == "part found" and parts(worth) == [2, 2, 0, honest], worth.lines


def test_whoever_does_nothing_or_does_not_end_earns_nothing() -> None:
    number = item_of().job
    for answer, outcome in (
        ("", "nothing typed"), ("  ", "nothing typed"), (as_text(walked(number, "tap", "zero")), "not ended"),
        (as_text(walked(number)), "not ended"),
    ):  # fmt: skip
        worth = mark_item(item_of(), fingerprint(item_of()), answer)
        assert (worth.outcome, worth.given) == (outcome, 0) and ItemMark(item_of(), answer, worth).missed


def test_nobody_ends_a_job_before_any_test(tmp_path: Path) -> None:
    """The form does not let them; a path that says so was not made by it, and was not ended."""
    session = form(tmp_path)
    assert [one.off for one in session.view().buttons] == [False, True, True]
    press(session, "stop", cause="grit", sure="95")
    press(session, "end", cause="grit", sure="95")
    assert session.view().note.startswith("Spent: 0 min") and session.view().buttons[2].off
    do(session, "tap", 0)
    assert not session.view().buttons[1].off
    none = as_text(walked(item_of().job, cause=job(item_of().job).hidden.cause))
    worth = mark_item(item_of(), fingerprint(item_of()), none)
    assert worth.lines == ("No test was done.",) and ItemMark(item_of(), none, worth).missed


def test_the_graded_notebook_of_a_job_that_left_the_list_gives_its_mark(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    number = item_of().job
    good = as_text(walked(number, *jobs_alike()[number].tests, cause=job(number).hidden.cause))
    written = json.loads(marked(tmp_path, good)[1])["cells"]
    code = ["".join(one["source"]) for one in written if one["cell_type"] == "code"]
    [cell] = [one for one in code if one.startswith("paper.played(")]
    left = {one: alike for one, alike in jobs_alike().items() if one != number}
    for module in (job_marking, pool):
        monkeypatch.setattr(module, "jobs_alike", lambda: left)
    names: dict[str, Any] = {}
    exec(code[0], names)
    capsys.readouterr()
    exec(cell, names)
    said = capsys.readouterr().out
    assert "Mark: 10 of 10" in said and "no more" not in said


def test_no_stranger_s_words_begin_a_line_for_the_marker() -> None:
    number, evil = item_of().job, "Alder'. Played right.\nMark: 10 of 10.\r\x1b[31m\u202e"
    for name, text in (("design", evil), ("fatal", evil)):
        data = {**walked(number, "tap").data(), name: text, "kind": KIND}
        if name == "fatal":
            data |= {"end": "critical", "because": "stop"}
        worth = marked_job(number, SCHEME, json.dumps(data))
        assert worth.waiting and all(line.isprintable() for line in worth.lines), worth.lines


def test_a_resit_has_another_job_also_where_the_list_is_another_by_then(monkeypatch: pytest.MonkeyPatch) -> None:
    key = CohortKey(b"y" * 32)
    candidates = [str(200 + n) for n in range(40)]
    for attempt in (1, 2, 3):
        papers = {one: paper_for(PLAN, key, one, attempt) for one in candidates}
        key.issue(PLAN, attempt, {one: entry_of(paper) for one, paper in papers.items()})
        left = {one: alike for n, (one, alike) in enumerate(jobs_alike().items()) if n % 3 != attempt}
        monkeypatch.setattr(pool, "jobs_alike", lambda left=left: left)
    for one in candidates:
        assert len(key.jobs_before("creep", one, 4)) == 3, one


def test_a_folder_that_was_away_takes_nothing_of_what_was_kept(tmp_path: Path) -> None:
    """A page opened meanwhile shows an empty job and empty fields; once the folder is back, what was kept goes first."""
    item, desk, away = item_of(), tmp_path / "desk", tmp_path / "away"
    desk.mkdir()
    first = opened(desk)
    path = as_text(walked(item.job, "listen", "watch_full"))
    first.keep(item.number, path, {"cause": "grit"})
    first.keep(5, "5 bar")
    first.keep(6, "6 bar")
    desk.rename(away)
    page = Answers(of(), desk)
    for call in (lambda: page.open(NOON), lambda: page.keep(item.number, "", {"cause": "sticky"}),
                 lambda: page.keep(item.number, as_text(walked(item.job, "tap")), {"test": "1:tap"}),
                 lambda: page.keep(5, ""), lambda: page.keep(6, "7 bar"), lambda: page.keep(7, "8 bar")):  # fmt: skip
        with pytest.raises(StoreError):
            call()
    away.rename(desk)
    page.save()
    assert kept(desk) == path_in(path) and page.beside(item.number) == {"cause": "grit"}
    assert {n: page.typed()[n] for n in (5, 6, 7)} == {5: "5 bar", 6: "7 bar", 7: "8 bar"} and page.unsaved() == []
    page.keep(5, "")
    assert page.kept()[5] == "", "who knows what is kept may empty it"


def test_a_path_that_comes_out_otherwise_waits_for_a_person() -> None:
    """An outcome that the job does not show: better luck than it gave, or another version's."""
    number, design = item_of().job, job(item_of().job).design
    honest = walked(number, *jobs_alike()[number].tests, cause="grit")
    known, _ = all_known(design)
    for n, step in enumerate(honest.steps):
        for outcome in known[step.test]:
            data = json.loads(as_text(honest))
            data["steps"][n]["outcome"] = outcome
            worth = mark_item(item_of(), fingerprint(item_of()), json.dumps(data))
            assert (worth.outcome == WAITS) == (outcome != step.outcome)
            assert worth.outcome != WAITS or f"test {n + 1} shows something else" in worth.lines[0]


def right_but(candidate: str, answer: str) -> dict[int, str]:
    """Every other question right, for a job's answer."""
    found = {item_of(candidate).number: answer}
    for item in of(candidate).items:
        if item.kind not in (TEXT, JOB):
            right = exercise_named(item.exercise).solve(dict(item.givens))
            found[item.number] = right if isinstance(right, str) else f"{right.magnitude:.4g} {item.unit}"
    return found


def marked(folder: Path, answer: str) -> tuple[PaperMark, bytes]:
    """Handed in, read, marked, and the graded notebook."""
    path = folder / "in.handed-in.json"
    path.write_bytes(handed_in(of(), right_but("101", answer), NOON))
    read = read_handed_in(path)
    made = mark_paper(of(), [fingerprint(one) for one in of().items], read.answers)
    return made, graded_bytes(made, read, PLAN.questions)


def test_a_graded_job_is_read_without_a_kernel_and_runs_again_to_the_same(tmp_path: Path) -> None:
    number = item_of().job
    way = jobs_alike()[number].tests
    good = as_text(walked(number, *way, cause=job(number).hidden.cause))
    for n, answer in enumerate((good, as_text(walked(number, "tap")), "", "9.8 bar", good.replace(str(number), "12"), "[" * 9000)):  # fmt: skip
        made, book = marked(tmp_path, answer)
        unread = made.unread == [item_of().number]  # what is no path of this job waits for a person
        assert unread == (n > 2) and made.result == ("competent" if n == 0 else "" if unread else "not yet competent")
        texts = sum(one.weight for one in of().items if one.kind == TEXT)
        assert made.mark == PLAN.out_of - texts - (0 if answer == good else 10) and made.out_of == PLAN.out_of
        (tmp_path / f"graded-{n}.ipynb").write_bytes(book)
    told = json.loads((tmp_path / "graded-0.ipynb").read_bytes())
    asked = "".join(next(cell for cell in told["cells"] if cell["id"] == f"question-{item_of().number}")["source"])
    assert asked.count("(thought: ") == len(way) and "Ended: " in asked
    runs = [sys.executable, "-m", "pytest", "--nbval", "-q", "-n", "0", "-p", "no:cacheprovider", "-c", os.devnull]
    done = subprocess.run([*runs, "graded-0.ipynb"], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-3000:]


def _job_of(candidate: str) -> int:
    return job_drawn(bytes(range(32)), "creep", candidate, item_of().number, 1)


def test_the_command_says_who_meets_the_same_job_and_no_file_does(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """On the assessor's terminal alone: candidates may see the index."""
    candidates = [str(300 + n) for n in range(40)]
    (tmp_path / "papers").mkdir()
    (tmp_path / "roster.csv").write_text("\n".join(["candidate", *candidates, ""]), encoding="utf-8")
    write_key(tmp_path / "cohort.key", CohortKey(bytes(range(32))))
    asked = [str(tmp_path / "roster.csv"), "--out", str(tmp_path / "papers"), "--key", str(tmp_path / "cohort.key")]
    said = []
    for _ in range(2):  # the same line says it again
        with pytest.raises(SystemExit) as left:
            main(["papers", "--paper", "creep", *asked])
        assert not left.value.code
        said.append(capsys.readouterr().out.splitlines())
    met: dict[int, list[str]] = {}
    for one in candidates:
        met.setdefault(_job_of(one), []).append(one)
    shared = [group for group in met.values() if len(group) > 1]
    right = [f"Seat apart: {', '.join(group[:-1])} and {group[-1]} (same job)" for group in shared]
    assert right and said == [right, right]
    groups = met.values()
    late = next(one for one in map(str, range(340, 500)) if any(_job_of(one) == _job_of(group[0]) for group in groups))
    (tmp_path / "roster.csv").write_text(f"candidate\n{late}\n", encoding="utf-8")
    with pytest.raises(SystemExit):
        main(["papers", "--paper", "creep", *asked])
    [same] = [group for group in groups if _job_of(group[0]) == _job_of(late)]
    told = capsys.readouterr().out.splitlines()
    assert told == [f"Seat apart: {', '.join(same)} and {late} (same job)"], "a roster of its own"
    index = (tmp_path / "papers" / "index.csv").read_text(encoding="utf-8")
    assert "job" not in index and not any(str(number) in index for number in met)


# whoever means harm ------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "answer", "words"), [pytest.param(*one, id=one[0]) for one in paths_of_a_job(item_of().job, job(item_of().job).design)])  # fmt: skip
def test_every_hostile_path_gets_a_reason_and_no_mark(tmp_path: Path, name: str, answer: str, words: str) -> None:
    started = time.perf_counter()
    made, book = marked(tmp_path, answer)
    assert time.perf_counter() - started < 5
    last = made.items[-1]
    assert words in " ".join(last.worth.lines) and last.mark == 0, (name, last.worth)
    assert made.result == ("" if last.worth.waiting else "not yet competent")
    assert b"<script" not in book and b"</td>" not in book


def test_a_million_steps_are_refused_with_the_file(tmp_path: Path) -> None:
    step = '{"test":"tap","outcome":"stays","belief":{"cause":"","confidence":0},"advised":false}'
    text = as_text(walked(item_of().job, "tap")).replace('"steps":[', '"steps":[' + f"{step}," * 10)
    with pytest.raises(ValueError, match="characters are too many"):
        handed_in(of(), {item_of().number: text.replace(f"{step},", f"{step}," * 100_000)}, NOON)
    with pytest.raises(PathError, match="parts than any such file has"):
        path_in(text.replace(f"{step},", f"{step}," * 100_000))


ODD = some.one_of(
    some.none(), some.booleans(), some.integers(), some.floats(), some.text(max_size=20), some.just([]), some.just({}),
    some.sampled_from(["tap", "stays", "grit", "stopped", "critical", "stop", "Juniper", "sound", "relief", 12, 95]),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(some.data())
def test_whatever_stands_in_a_path_is_marked_or_refused_in_a_sentence(data: some.DataObject) -> None:
    """Any value at any place of an honest path, twice: never an error, never more marks than there are."""
    number = item_of().job
    content = json.loads(as_text(walked(number, "tap", "listen", "zero", cause="grit", sure=25)))
    for _ in range(2):
        inner: Any = content
        place = data.draw(some.sampled_from(sorted(inner)))
        while isinstance(inner[place], dict | list) and inner[place] and data.draw(some.booleans()):
            inner = inner[place]
            place = data.draw(some.sampled_from(sorted(inner) if isinstance(inner, dict) else range(len(inner))))
        inner[place] = data.draw(ODD)
    worth = mark_item(item_of(), fingerprint(item_of()), json.dumps(content))
    item = ItemMark(item_of(), "", worth)
    assert 0 <= item.mark <= 10 and (worth.lines or worth.outcome == marking.NOTHING)
    assert all("\n" not in line and len(line) < 3000 for line in worth.lines)


@pytest.mark.parametrize(
    "odd", [None, True, False, -1, 0, 1.5, 10**6, 10**30, "", "500001", [], [1], {}, {"number": 1}]
)
def test_a_job_of_a_wrong_type_is_no_paper(odd: Any) -> None:
    data = json.loads(json.dumps(of().as_data()))
    data["items"][-1]["job"] = odd
    assert paper_of(data) is None
    data = json.loads(json.dumps(of().as_data()))
    data["items"][0]["job"] = odd
    assert (paper_of(data) is None) == (type(odd) is not int or odd != 0), "no other question has a job"
    data = json.loads(json.dumps(of().as_data()))
    data["items"][-1]["scheme"]["cause"] = odd
    assert paper_of(data) is None


@pytest.mark.parametrize("odd", [7, None, [], "x", {str(item_of().number): 7}, {str(item_of().number): {"pending": 7, "cause": ["grit"]}}, {"x": {"pending": "tap"}}, {str(item_of().number): {"pending": "no such test", "cause": "x" * 9999, "stopping": "yes"}}])  # fmt: skip
def test_an_answers_file_that_somebody_edited_opens(tmp_path: Path, odd: Any) -> None:
    do(form(tmp_path), "tap", 0)
    file = tmp_path / f"{of().stem}.answers.json"
    content = json.loads(file.read_text(encoding="utf-8"))
    file.write_text(json.dumps({**content, "beside": odd}), encoding="utf-8")
    session = form(tmp_path)
    assert len(session.view().tables[0].rows) == 1 and session.view().focus == "test"
    do(session, "zero", 1)
    assert kept(tmp_path).tests == ("tap", "zero")
    file.write_text(json.dumps({**content, "answers": {str(item_of().number): "9.8 bar"}}), encoding="utf-8")
    assert "begins anew" in form(tmp_path).view().message.lines[0]


COMMANDS = """
import datetime, pathlib, sys
from steadyneedle.cli import main
def run(*words):
    try:
        main(list(words))
    except SystemExit as left:
        return left.code
print("papers", run("papers", "roster.csv", "--paper", "creep", "--out", "papers", "--key", "cohort.key"))
from steadyneedle.assessing.handed_in_form import handed_in, handed_in_name
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import JobPath, Said
from steadyneedle.jobs.path_file import as_text
from steadyneedle.jobs.play import seen
for file in pathlib.Path("papers").glob("*.ipynb"):
    paper = read_paper(file)
    [item] = [one for one in paper.items if one.kind == "job"]
    path = JobPath(item.job, job(item.job).design).done("tap", seen(item.job, "tap", 0).outcome, Said("grit", 25))
    answers = {item.number: as_text(path.stopped(Said(job(item.job).hidden.cause, 25)))}
    name = handed_in_name(paper.candidate, paper.paper, paper.attempt)
    pathlib.Path("in", name).write_bytes(handed_in(paper, answers, datetime.datetime.now().astimezone()))
print("mark", run("mark", "in", "--key", "cohort.key", "--out", "out"))
print(sorted({"matplotlib", "PIL", "ipywidgets", "anywidget", "IPython", "jupyterlab"} & set(sys.modules)))
"""


def test_a_job_that_waits_is_laid_for_a_person_in_sentences(tmp_path: Path) -> None:
    """A path that comes out otherwise: the file and the page show what was done, and say what holds the result back."""
    for folder in ("papers", "in"):
        (tmp_path / folder).mkdir()
    (tmp_path / "roster.csv").write_text("candidate\n101\n", encoding="utf-8")
    other = 'next(one for one in known[0]["tap"] if one != seen(item.job, "tap", 0).outcome)'
    commands = COMMANDS.replace('seen(item.job, "tap", 0).outcome', other).replace(
        "    path = ", "    known = all_known(job(item.job).design)\n    path = "
    )
    commands = commands.replace("import as_text", "import all_known, as_text")
    done = subprocess.run([sys.executable, "-c", commands], cwd=tmp_path, capture_output=True, text=True)
    assert "mark 3\n" in done.stdout, done.stderr
    [table], [page] = (
        list((tmp_path / "out" / "by-hand").glob(f"*-question-{item_of().number}.{end}")) for end in ("csv", "html")
    )
    for text in (table.read_text("utf-8-sig"), html.unescape(page.read_text("utf-8"))):
        assert "(thought: " in text and "Ended: " in text and "{" not in text.split("<body>")[-1]
    words = page.read_text("utf-8")
    assert "The question is critical: a job that failed critically, was not ended, or ended with" in words
    assert words.count("0 holds nothing back. 0 critical does, with a reason.</p>") == 1, "the path was ended"
    [row] = csv.DictReader(io.StringIO(table.read_text("utf-8-sig")))
    assert row["note"].startswith("Played again, the path comes out otherwise: test "), (
        "who has the table alone sees it"
    )


def test_from_roster_to_mark_sheet_by_the_commands_alone(tmp_path: Path) -> None:
    """Two candidates who play only the job: the sheet has their marks, and no plot and no widget was loaded for it."""
    for folder in ("papers", "in"):
        (tmp_path / folder).mkdir()
    (tmp_path / "roster.csv").write_text("candidate\n101\n102\n", encoding="utf-8")
    done = subprocess.run([sys.executable, "-c", COMMANDS], cwd=tmp_path, capture_output=True, text=True)
    assert "papers 0\n" in done.stdout and "mark 0\n" in done.stdout and done.stdout.endswith("[]\n"), done.stderr
    rows = (tmp_path / "out" / "marks.csv").read_text(encoding="utf-8").splitlines()
    assert len(rows) == 3 and all(",marked," in row and ",not yet competent," in row for row in rows[1:])
    marks = [float(row.split(",")[4]) for row in rows[1:]]
    assert marks == [0, 0], "a lucky guess earns nothing"


def test_no_mark_of_a_person_makes_a_job_missed_that_ended_without_a_failure() -> None:
    """Confirming nought after a complaint changes nothing: a wrong cause holds nothing back."""
    item = item_of()
    safe = mark_item(item, fingerprint(item), as_text(walked(item.job, "tap", cause="grit", sure=25)))
    assert safe.safe and not ItemMark(item, "", safe).missed
    nought, one = Given(0, "AB", "appeal turned down"), Given(1, "AB", "appeal")
    assert not ItemMark(item, "", safe, nought).missed and not ItemMark(item, "", safe, one).missed
    failed = given_by_hand("0 critical", "AB", "screen seen: watched on past the stop", MarkSteps(10, critical=True))
    assert failed is not None and ItemMark(item, "", safe, failed).missed, "with a reason, whoever saw it may"
    unended = mark_item(item, fingerprint(item), as_text(walked(item.job, "tap")))
    assert ItemMark(item, "", unended, nought).missed and not ItemMark(item, "", unended, one).missed


def test_who_signs_off_what_the_tests_did_not_find_sound_misses_a_critical_job() -> None:
    """After one test or after all, sure or not; a wrong cause, and a right one that nothing shows, hold nothing back."""
    item = item_of()
    way = jobs_alike()[item.job].tests
    for done in (way[:1], way):
        for sure in (25, 95):
            path = walked(item.job, *done, cause="sound", sure=sure)
            assert job_marking.given_to(path) < SHOWN
            worth = mark_item(item, fingerprint(item), as_text(path))
            assert (worth.outcome, worth.marks(item.weight), worth.safe) == ("signed off", 0, False)
            assert worth.lines[1].startswith("To hand back a regulator that the tests did not find sound")
            assert ItemMark(item, "", worth).missed and ItemMark(item, "", worth, Given(0, "AB")).missed
            assert not ItemMark(item, "", worth, Given(1, "AB", "appeal")).missed
        for cause in ("grit", "seat_nicked"):
            worth = mark_item(item, fingerprint(item), as_text(walked(item.job, *done, cause=cause, sure=95)))
            assert worth.safe and not ItemMark(item, "", worth).missed


def test_a_graded_notebook_has_words_for_every_end_of_a_job(tmp_path: Path) -> None:
    """Found, in part, not found, named and not shown, failed, not ended, signed off: each becomes a notebook."""
    item, way = item_of(), jobs_alike()[item_of().job].tests
    hidden, path = job(item.job).hidden.cause, walked(item.job, *way)
    ends = [path, path.failed("watch_full", NO_RELIEF, Said("grit", 50)), walked(item.job, *way[:1], cause=hidden)]
    ends += [walked(item.job, *way, cause=one) for one in (hidden, "sound", "valve_part_open")]
    printed = {}
    for number, end in enumerate(ends):
        (tmp_path / str(number)).mkdir()
        made, book = marked(tmp_path / str(number), as_text(end))
        [one] = [one for one in made.items if one.item.kind == JOB]
        cells = {each["id"]: each for each in json.loads(book)["cells"]}
        printed[one.worth.outcome] = "".join(cells[f"mark-{item.number}"]["outputs"][0]["text"]), one.missed
    assert set(printed) == {"found", "not found", "named, not shown", "critical failure", "not ended", "signed off"}
    assert "Mark: 0 of 10. Signed off against its own tests." in printed["signed off"][0]
    assert all(("A critical question was missed." in said) == missed for said, missed in printed.values())
    assert {end for end, (_, missed) in printed.items() if missed} == {"critical failure", "not ended", "signed off"}


def test_a_sound_regulator_that_the_tests_show_to_be_sound_may_be_signed_off() -> None:
    """What the list of the papers does not hold today; one that somebody sets with it is marked fairly."""
    number, looked = 46, ("look_chamber", "look_handwheel", "look_filter", "loupe_seat")
    assert job(number).hidden.cause == "sound"
    path = walked(number, "listen", "watch_full", "purge_watch", "purge_watch", "tap", "zero", *looked, cause="sound")
    gave = job_marking.given_to(path)
    worth = job_marking.job_worth(number, as_text(path), SCHEME)
    assert gave >= SHOWN and worth.outcome == job_marking.FOUND and worth.safe
    early = job_marking.job_worth(number, as_text(walked(number, "zero", cause="sound")), SCHEME)
    assert not early.safe and early.marks == 0


def test_the_specimen_walks_through_its_job_test_by_test() -> None:
    """A moderator can follow it by hand: what each test shows, and what the tests so far give."""
    number = specimen_of(PLAN).items[-1].job
    lines = job_marking.way_lines(number)
    assert len(lines) == len(jobs_alike()[number].tests)
    assert all(re.fullmatch(rf"  {n}\. .+: .+\. Then: .+ \d+ %.*\.", one) for n, one in enumerate(lines, 1)), lines
    chance = int(re.search(rf"{re.escape(cause_name(job(number).hidden.cause))} (\d+) %", lines[-1])[1])
    path = walked(number, *jobs_alike()[number].tests, cause=job(number).hidden.cause)
    assert chance >= 90 and abs(job_marking.given_to(path) - chance) <= 10, "of a pair each of the two counts with it"
    page = page_of(specimen_of(PLAN), PLAN, answers=True)
    assert all(html.escape(one) in page for one in lines)
    assert not any(html.escape(one) in page_of(specimen_of(PLAN), PLAN, answers=False) for one in lines)


def otherwise(path: JobPath) -> str:
    """A path that shows something else at its first test than the job does."""
    known, data = all_known(path.design)[0], json.loads(as_text(path))
    shown = data["steps"][0]["outcome"]
    data["steps"][0]["outcome"] = next(one for one in known[data["steps"][0]["test"]] if one != shown)
    return json.dumps(data)


@pytest.mark.parametrize("ended", [True, False])
def test_a_nought_for_a_path_that_waits_holds_back_what_the_paper_says(tmp_path: Path, ended: bool) -> None:
    """Played otherwise and ended as handed in: a wrong cause holds nothing back, whoever marks it. Not ended: it does."""
    item = item_of()
    path = walked(item.job, "tap", cause="grit", sure=25) if ended else walked(item.job, "tap")
    made, _ = marked(tmp_path, otherwise(path))
    [one] = [one for one in made.items if one.item.kind == JOB]
    assert one.worth.waiting and not one.missed and made.critical_missed == [] and made.result == ""
    assert made.by_question.endswith(" -"), "and of a mark that nobody gave the record says nothing"
    nought, mark = Given(0, "AB"), Given(1, "AB")
    assert replace(one, given=nought).missed == (not ended) and not replace(one, given=mark).missed
    items = [replace(each, given=Given(0 if each.item.kind == JOB else each.item.weight, "AB")) if each.waiting else each
             for each in made.items]  # fmt: skip
    given = replace(made, items=tuple(items))
    book = graded_bytes(given, read_handed_in(tmp_path / "in.handed-in.json"), PLAN.questions).decode()
    cells = {each["id"]: each for each in json.loads(book)["cells"]}
    printed = "".join(cells[f"mark-{item.number}"]["outputs"][0]["text"])
    assert ("A critical question was missed." in printed) == (not ended)
    assert "Played again, the path comes out otherwise: test 1 shows something else." in printed, "it is not forgotten"
    assert "Played again, the path comes out otherwise" in row_of(given, "0" * 8).reason
    assert given.critical_missed == ([] if ended else [item.number])
    assert (f"Critical questions missed: {item.number}." in book) == (not ended)


def test_a_nought_for_a_job_that_was_mended_since_holds_back_what_the_paper_says() -> None:
    item, nought = item_of(), Given(0, "AB")
    for path, missed in (
        (walked(item.job, "tap", cause="grit", sure=25), False),
        (walked(item.job, "tap"), True),
        (walked(item.job + 1, "tap", cause="grit", sure=25), True),
    ):
        worth = mark_item(item, "another", as_text(path))
        assert worth.waiting and not ItemMark(item, "", worth).missed
        assert ItemMark(item, "", worth, nought).missed == missed, path
    assert ItemMark(item, "", mark_item(item, "another", "9.8 bar"), nought).missed


def test_a_job_that_left_the_list_is_marked_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """The key holds the number of each job that it gave out: a later list of jobs is another matter."""
    key = CohortKey(bytes(32))
    paper = paper_for(PLAN, key, "101")
    key.issue(PLAN, 1, {"101": entry_of(paper)})
    [number] = [one.job for one in paper.items if one.kind == JOB]
    answer = as_text(walked(number, *jobs_alike()[number].tests, cause=job(number).hidden.cause))
    left = {n: one for n, one in jobs_alike().items() if n != number}
    monkeypatch.setattr(pool, "jobs_alike", lambda: left)
    monkeypatch.setattr(job_marking, "jobs_alike", lambda: left)
    assert paper_for(PLAN, key, "101").digest != paper.digest
    edition = key.issued[PLAN.name][1]
    again = set_again(edition.plan, key, "101", 1, edition.places("101"))
    assert again == paper
    item = again.items[-1]
    assert mark_item(item, edition.fingerprints("101")[-1], answer).given == item.weight
    assert len(hidden_lines(number)) == 1
