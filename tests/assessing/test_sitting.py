"""Sitting a paper: kept as typed, told only whether it can be read, handed in as one file; nothing is ever lost."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import json
import math
import os
import random
import shlex
import signal
import subprocess
import sys
import time
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from steadyneedle import cli, sitting
from steadyneedle.assessing import answers as answers_module
from steadyneedle.assessing import paper_plan
from steadyneedle.assessing.answers import ELSEWHERE, Answers
from steadyneedle.assessing.handed_in_form import checksum_of
from steadyneedle.assessing.legible import legible
from steadyneedle.assessing.marking import marked_answer
from steadyneedle.assessing.paper_file import CODE, Item, Paper, bytes_of
from steadyneedle.assessing.paper_plan import CHOICE, JOB, QUANTITY, TEXT, exercise_named
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for
from steadyneedle.foundation import notebooks, places, user_state
from steadyneedle.foundation import store as store_module
from steadyneedle.foundation.store import StoreError
from steadyneedle.questions.checking import read
from steadyneedle.questions.exercise import QuantityExercise
from steadyneedle.questions.preferences import Preferences
from steadyneedle.sitting_desk import TYPED, line_for, where_answers_are
from steadyneedle.sitting_forms import FIELDS, LEAVE_IT_OPEN, AnswerSession, HandInSession, label_of
from steadyneedle.teaching.frame.clock import Clock
from steadyneedle.teaching.frame.forms import FormWidget

NOON = datetime.datetime(2026, 11, 27, 12, 0, tzinfo=datetime.UTC)
NAME = "101-units-and-bands"


@cache
def paper_of(candidate: str = "101", attempt: int = 1) -> Paper:
    """A paper of an invented candidate, under a key of noughts."""
    return paper_for(load_plan("units and bands"), CohortKey(bytes(32)), candidate, attempt)


def lay(folder: Path, candidate: str = "101") -> Path:
    path = folder / f"{paper_of(candidate).stem}.ipynb"
    path.write_bytes(bytes_of(paper_of(candidate)))
    return path


def opened(folder: Path, now: datetime.datetime = NOON) -> Answers:
    answers = Answers(paper_of(), folder)
    answers.open(now)
    return answers


def on_disk(folder: Path, ending: str = "answers") -> Any:
    return json.loads((folder / f"{NAME}.{ending}.json").read_text(encoding="utf-8"))


def first_of(kind: str) -> Item:
    return next(one for one in paper_of().items if one.kind == kind)


# kept as typed ----------------------------------------------------------------------------------


def test_every_key_is_on_the_disk_at_once_and_comes_back(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    for typed in ("9", "9,", "9,8", "9,8 bar"):
        answers.keep(1, typed)
        assert on_disk(tmp_path)["answers"] == {"1": typed}
    later = Answers(paper_of(), tmp_path)
    assert later.open(NOON + datetime.timedelta(hours=2)) == NOON, "the clock goes on from when the paper was begun"
    assert later.typed() == {1: "9,8 bar"}
    assert {path.suffix for path in tmp_path.iterdir()} <= {".json", ".lock"}, "no half-written file lies about"


def test_what_a_killed_page_sends_late_is_kept_by_number(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    answers.keep(20, "It creeps.\nI watch it again.")
    answers.keep(3, "3220 psi")
    assert list(on_disk(tmp_path)["answers"]) == ["3", "20"], "in the order of the questions"


def test_the_newest_window_holds_the_paper(tmp_path: Path) -> None:
    older, newer = opened(tmp_path), opened(tmp_path)
    newer.keep(1, "1 bar")
    assert older.elsewhere() == ELSEWHERE and newer.elsewhere() == ""
    with pytest.raises(StoreError, match="open in a newer window"):
        older.keep(1, "2 bar")
    with pytest.raises(StoreError, match="open in a newer window"):
        older.hand_in(NOON)
    assert on_disk(tmp_path)["answers"] == {"1": "1 bar"} and not older.handed_in_path.exists()
    older.open(NOON)  # F5 there
    assert older.typed() == {1: "1 bar"}
    with pytest.raises(StoreError, match="open in a newer window"):
        newer.keep(1, "3 bar")


@pytest.mark.parametrize("harm", ["gone", "{", "[]", '{"version": 1, "answers": 7}'])
def test_a_file_that_is_harmed_meanwhile_is_whole_again_with_the_next_key(tmp_path: Path, harm: str) -> None:
    answers = opened(tmp_path)
    answers.keep(1, "9.8 bar")
    if harm == "gone":
        answers.path.unlink()
    else:
        answers.path.write_text(harm, encoding="utf-8")
    answers.keep(2, "14 bar")
    assert on_disk(tmp_path)["answers"] == {"1": "9.8 bar", "2": "14 bar"}
    assert on_disk(tmp_path)["started"] == NOON.isoformat(timespec="seconds")


def test_answers_that_somebody_edited_are_taken_as_far_as_they_can(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    odd = {**on_disk(tmp_path), "started": 7, "answers": {"1": "9.8 bar", "2": 14, "x": "1 bar", "99": "2 bar"}}
    answers.path.write_text(json.dumps(odd), encoding="utf-8")
    again = opened(tmp_path, NOON + datetime.timedelta(minutes=5))
    assert again.typed() == {1: "9.8 bar"}
    [kept] = tmp_path.glob("*.damaged-*")
    assert json.loads(kept.read_text(encoding="utf-8")) == odd, "the rest is kept as it was"
    assert again.trouble() == f"Some earlier answers could not be read. They are kept in {kept.name}."


def test_answers_to_another_paper_are_left_alone(tmp_path: Path) -> None:
    opened(tmp_path).keep(1, "9.8 bar")
    content = {**on_disk(tmp_path), "paper_digest": "0" * 64}
    (tmp_path / f"{NAME}.answers.json").write_text(json.dumps(content), encoding="utf-8")
    other = Answers(paper_of(), tmp_path)
    assert other.wrong().startswith(
        f"{NAME}.answers.json holds answers to another paper of the same name: the paper was"
    )
    assert "ask your assessor which paper counts. To sit this one, give that file another name" in other.wrong()
    for act in (lambda: other.open(NOON), lambda: other.keep(1, "1 bar"), lambda: other.hand_in(NOON)):
        with pytest.raises(StoreError, match="holds answers to another paper"):
            act()
    assert on_disk(tmp_path) == content


class Full:
    """A disk without room, until there is some."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.is_full, flush = False, os.fsync
        monkeypatch.setattr(store_module.os, "fsync", lambda handle: self._refuse() if self.is_full else flush(handle))

    def _refuse(self) -> None:
        raise OSError(28, "No space left on device")


def in_front(folder: Path) -> sitting.Sitting:
    """A paper with all its forms, as its page shows them."""
    shown = sitting.Sitting(paper_of(), folder, "steadyneedle sit 101.ipynb")
    for item in paper_of().items:
        shown.answer(item.number)
    shown.hand_in()
    return shown


def send(widget: Any, what: str = "typed", **more: Any) -> str:
    """What the page sends to a form; gives what the form says of saving then."""
    message = {"what": what, "answers": {}, "number": widget.saved["number"] + 1, **more}
    widget._heard(widget, message, [])
    return str(widget.saved["words"])


def test_each_field_tells_the_truth_while_the_disk_is_full_and_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    disk, shown = Full(monkeypatch), in_front(tmp_path)
    forms, hands = shown._forms, shown._hand_in
    assert hands is not None
    assert send(forms[1], answers={"answer": "9.8 bar"}) == "Saved"
    disk.is_full = True
    for number in (2, 3):
        assert send(forms[number], answers={"answer": f"{number} bar"}).startswith("Not saved: ")
    assert [forms[n].saved["words"][:9] for n in (1, 2, 3, 4)] == ["Saved", "Not saved", "Not saved", ""]
    assert hands.view["note"] == "NOT saved: questions 2 and 3. What stands there says why."
    assert send(hands, "act", button="ask") == "", "nothing is saved there, so it says nothing of saving"
    assert send(hands, "act", button="yes") == ""
    assert hands.view["message"]["word"] == "NOT handed in"
    assert [one["off"] for one in hands.view["buttons"]] == [False, True, True], "it can be tried again"
    disk.is_full = False
    assert send(forms[5], answers={"answer": "5 bar"}) == "Saved"
    assert [forms[n].saved["words"] for n in (1, 2, 3, 4)] == ["Saved", "Saved", "Saved", ""]
    assert hands.view["message"]["word"] == "NOT handed in"
    assert hands.view["message"]["lines"] == (
        "What you typed could not be saved then. Now it is saved: hand in again.",
    )
    assert hands.view["note"] == "" and on_disk(tmp_path)["answers"].keys() == {"1", "2", "3", "5"}
    for button in ("ask", "yes"):
        send(hands, "act", button=button)
    assert hands.view["message"]["word"] == "Handed in"
    shown.close()


def test_handing_in_saves_what_could_not_be_saved_and_the_fields_say_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    disk, shown = Full(monkeypatch), in_front(tmp_path)
    hands = shown._hand_in
    send(shown._forms[1], answers={"answer": "1 bar"})
    for button in ("ask", "yes"):
        send(hands, "act", button=button)
    first = shown._answers.handed_in()
    assert first is not None
    disk.is_full = True
    send(shown._forms[1], answers={"answer": "2 bar"})
    for button in ("ask", "yes"):
        send(hands, "act", button=button)
    said = hands.view["message"]  # type: ignore[union-attr]
    assert said["word"] == "NOT handed in" and said["lines"][-1].endswith(f"receipt {first.receipt}.")
    assert said["lines"][-1].startswith("What you handed in before stays as it was: ")
    disk.is_full = False
    for button in ("ask", "yes"):
        send(hands, "act", button=button)
    assert shown._forms[1].saved["words"] == "Saved" and on_disk(tmp_path, "handed-in")["answers"] == {"1": "2 bar"}
    disk.is_full = True
    send(shown._forms[1], answers={"answer": "3 bar"})
    disk.is_full = False
    assert shown._look() == "" and shown._forms[1].saved["words"] == "Saved", "tried again by itself"
    shown.close()


def test_a_paper_that_opens_on_a_full_disk_says_so_in_every_form_until_it_can_save(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(tmp_path).keep(1, "9.8 bar")
    disk = Full(monkeypatch)
    disk.is_full = True
    shown = in_front(tmp_path)
    forms = [*shown._forms.values(), shown._hand_in]
    assert {one.saved["words"].partition(":")[0] for one in forms if one} == {"Not saved"}
    disk.is_full = False
    assert shown._look() == "" and shown._forms[1].saved["words"] == "Saved", "tried again by itself"
    assert [one.view["version"] for one in forms[:4] if one] == [0, 0, 0, 0], "the page has all that is kept"
    assert send(shown._forms[2], answers={"answer": "2 bar"}) == "Saved"
    assert [one.saved["words"] for one in forms[:4] if one] == ["Saved", "Saved", "", ""]
    assert forms[-1] is not None and forms[-1].saved["words"] == ""
    shown.close()


def test_a_paper_whose_folder_comes_back_shows_what_was_kept(tmp_path: Path) -> None:
    """The page opened while it was away, with empty fields; one goes on in one of them."""
    desk, away = tmp_path / "desk", tmp_path / "away"
    desk.mkdir()
    opened(desk).keep(1, "9.8 bar")
    desk.rename(away)
    shown = in_front(desk)
    assert send(shown._forms[2], answers={"answer": "2 bar"}).startswith("Not saved: the folder")
    away.rename(desk)
    assert shown._look() == "" and on_disk(desk)["answers"] == {"1": "9.8 bar", "2": "2 bar"}
    fields = [(one.view["fields"][0]["value"], one.view["version"]) for one in (shown._forms[1], shown._forms[2])]
    assert fields == [("9.8 bar", 1), ("2 bar", 0)], "drawn anew only where the page does not have it"
    shown.close()


def test_what_is_longer_than_a_field_takes_is_not_called_saved(tmp_path: Path) -> None:
    """The page takes no more than fits, and says so; what gets past it is cut, and that is said too."""
    shown = in_front(tmp_path)
    number = first_of(TEXT).number
    said = send(shown._forms[number], answers={"answer": "a" * 2015})
    assert said == "Saved up to character 2,000 only: the rest is too long to be taken."
    assert len(on_disk(tmp_path)["answers"][str(number)]) == 2000
    shown.close()


def test_where_nothing_answers_the_page_names_the_line_to_type(tmp_path: Path) -> None:
    shown = in_front(tmp_path)
    assert shown._forms[1].unheard == (
        "Not saved yet: nothing answers. Wait a moment. If this stays, copy what stands here, then close this page; "
        "everything up to “Saved” will be there when you type in a terminal: steadyneedle sit 101.ipynb"
    )
    assert shown._hand_in is not None and shown._hand_in.unheard.startswith("NOT handed in yet: nothing answers.")
    shown.close()


def test_the_line_to_type_is_the_one_that_was_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the workbook was started without its command on the path, it names none; a path with blanks is one word."""
    monkeypatch.delenv(TYPED, raising=False)
    assert line_for(tmp_path / "101.ipynb").startswith("steadyneedle sit ")
    monkeypatch.setenv(TYPED, "python3 /course/helpers/start.py")
    assert line_for(Path("/my desk/101.ipynb")) == 'python3 /course/helpers/start.py sit "/my desk/101.ipynb"'
    for name in ('/a "b"/101.ipynb', "/a $b/101.ipynb", "/a`b/101.ipynb", "/my desk/101.ipynb"):
        assert shlex.split(line_for(Path(name)))[-1] == name


@pytest.mark.parametrize("error", [(28, "No space left on device"), (30, "Read-only file system")])
def test_a_full_or_a_read_only_disk_is_said_at_once_and_nothing_is_forgotten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: tuple[int, str]
) -> None:
    answers = opened(tmp_path)
    answers.keep(1, "9.8 bar")

    def refuse(_handle: int) -> None:
        raise OSError(*error)

    monkeypatch.setattr(store_module.os, "fsync", refuse)
    widget = FormWidget(AnswerSession(paper_of().item(2), answers))
    widget._heard(widget, {"what": "typed", "answers": {"answer": "14 bar"}, "number": 1}, [])
    assert widget.saved["words"].startswith(f"Not saved: {NAME}.answers.json: {error[1]}. Free some space")
    hands = HandInSession(answers)
    for button in ("ask", "yes"):
        hands.act(button, {})
    said = hands.view().message
    assert said.word == "NOT handed in" and not answers.handed_in_path.exists()
    assert said.lines[0].startswith(f"Not saved: {NAME}.answers.json: {error[1]}. Free some space")
    assert said.lines[1] == LEAVE_IT_OPEN
    assert on_disk(tmp_path)["answers"] == {"1": "9.8 bar"}, "the old file stays whole"
    monkeypatch.undo()
    made, _ = answers.hand_in(NOON)
    assert made.answers == {1: "9.8 bar", 2: "14 bar"}, "what could not be saved then is handed in now"
    assert on_disk(tmp_path)["answers"] == {"1": "9.8 bar", "2": "14 bar"}


def test_a_paper_that_opens_on_a_full_disk_still_has_what_was_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(tmp_path).keep(1, "9.8 bar")
    monkeypatch.setattr(
        store_module.os, "fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device"))
    )
    again = Answers(paper_of(), tmp_path)
    with pytest.raises(StoreError, match="No space left"):
        again.open(NOON)
    assert again.typed() == {1: "9.8 bar"}
    with pytest.raises(StoreError, match="No space left"):
        again.keep(2, "14 bar")
    monkeypatch.undo()
    again.keep(2, "14 psi")
    assert on_disk(tmp_path)["answers"] == {"1": "9.8 bar", "2": "14 psi"}


# handed in --------------------------------------------------------------------------------------


def test_what_is_handed_in_is_one_file_in_the_one_form(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    answers.keep(1, "9,8 bar")
    answers.keep(4, "  ")
    made, earlier = answers.hand_in(NOON)
    content = on_disk(tmp_path, "handed-in")
    assert content["answers"] == {"1": "9,8 bar"} and content["paper_digest"] == paper_of().digest
    assert content["checksum"] == checksum_of(content) and content["handed_in_at"] == "2026-11-27T12:00:00Z"
    assert made.receipt == hashlib.sha256(answers.handed_in_path.read_bytes()).hexdigest()[:8] and earlier == ""
    assert answers.handed_in() == made


def test_handing_in_again_keeps_the_earlier_file_and_says_so(tmp_path: Path) -> None:
    answers, session = opened(tmp_path), None
    receipts = []
    for n, typed in enumerate(("1 bar", "2 bar", "3 bar")):
        answers.keep(1, typed)
        session = HandInSession(answers)
        session.act("ask", {})
        session.act("yes", {})
        receipts.append(answers.handed_in().receipt)  # type: ignore[union-attr]
        said = " ".join(session.view().message.lines)
        assert f"receipt {receipts[-1]}" in said
        assert (f"kept as {NAME}.handed-in-earlier-{n}.json" in said) == (n > 0)
    assert on_disk(tmp_path, "handed-in")["answers"] == {"1": "3 bar"}
    kept = [hashlib.sha256(path.read_bytes()).hexdigest()[:8] for path in sorted(tmp_path.glob("*earlier*"))]
    assert kept == receipts[:2] and len(set(receipts)) == 3
    assert [path.name for path in tmp_path.glob("*.handed-in.json")] == [f"{NAME}.handed-in.json"], "one counts"


def test_handing_in_again_without_a_change_leaves_the_receipt(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    answers.keep(1, "1 bar")
    first, _ = answers.hand_in(NOON)
    assert answers.hand_in(NOON + datetime.timedelta(minutes=1)) == (first, "")
    assert not list(tmp_path.glob("*earlier*"))


def test_stopped_between_the_earlier_copy_and_the_new_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = opened(tmp_path)
    answers.keep(1, "1 bar")
    first, _ = answers.hand_in(NOON)
    answers.keep(1, "2 bar")
    written = answers_module.write_atomically

    def stop(path: Path, data: bytes) -> None:
        if path == answers.handed_in_path:
            raise OSError(28, "No space left on device")
        written(path, data)

    monkeypatch.setattr(answers_module, "write_atomically", stop)
    said = rf"Not handed in: {NAME}\.handed-in\.json: No space left on device\. Free some space"
    with pytest.raises(StoreError, match=said):
        answers.hand_in(NOON)
    assert answers.handed_in() == first, "what was handed in stands"
    monkeypatch.undo()
    assert answers.hand_in(NOON)[1] == f"{NAME}.handed-in-earlier-1.json"
    assert len(list(tmp_path.glob("*earlier*"))) == 1, "it is kept once"


def test_nothing_is_handed_in_through_a_link_or_over_a_folder(tmp_path: Path) -> None:
    (tmp_path / "desk").mkdir()
    answers = opened(tmp_path / "desk")
    answers.keep(1, "1 bar")
    (tmp_path / "other.json").write_text("mine", encoding="utf-8")
    answers.handed_in_path.symlink_to(tmp_path / "other.json")
    with pytest.raises(StoreError, match="is no file of its own"):
        answers.hand_in(NOON)
    answers.handed_in_path.unlink()
    answers.handed_in_path.mkdir()
    with pytest.raises(StoreError, match="is no file of its own"):
        answers.hand_in(NOON)
    assert (tmp_path / "other.json").read_text(encoding="utf-8") == "mine"


WRITER = """
import datetime, sys
from pathlib import Path
from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.paper_reading import read_paper
path = Path(sys.argv[1])
answers = Answers(read_paper(path), path.parent)
answers.open(datetime.datetime.now().astimezone())
count = max([int(text.split()[0]) for text in answers.kept().values()] or [0])
print("ready", flush=True)
while True:
    count += 1
    answers.keep(1 + count % 13, f"{count} bar")
    print("saved", count, flush=True)
    if count % 4 == 0:
        print("receipt", answers.hand_in(datetime.datetime.now().astimezone())[0].receipt, flush=True)
"""


def kill_candidates(path: Path, kills: int, seed: int) -> tuple[int, int]:
    """Kill whoever types and hands in at random moments; gives the answers saved and the files handed in."""
    dice, saved, receipts = random.Random(seed), 0, []
    for _ in range(kills):
        command = [sys.executable, "-c", WRITER, str(path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None and process.stdout.readline() == "ready\n"
            time.sleep(dice.uniform(0.0, 0.12))
            os.kill(process.pid, signal.SIGKILL)
            said = [line.split() for line in process.stdout.read().splitlines() if len(line.split()) == 2]
        saved = max([int(what) for word, what in said if word == "saved"] or [saved])
        receipts += [what for word, what in said if word == "receipt" and len(what) == 8]
        typed = on_disk(path.parent)["answers"]
        for count in range(max(1, saved - 12), saved + 1):
            now = int(typed[str(1 + count % 13)].split()[0])
            assert now == count or now > saved, "what was shown as saved is gone"
        lying = {hashlib.sha256(one.read_bytes()).hexdigest()[:8] for one in path.parent.glob("*handed-in*.json")}
        assert set(receipts) <= lying, "what was shown as handed in is gone"
        for one in path.parent.glob("*handed-in*.json"):
            content = json.loads(one.read_text(encoding="utf-8"))
            assert content["checksum"] == checksum_of(content), "half a file"
    return saved, len(receipts)


@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_six_kills_lose_nothing(tmp_path: Path) -> None:
    saved, _ = kill_candidates(lay(tmp_path), 6, seed=3)
    assert saved > 6


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_two_hundred_kills_of_a_candidate_lose_nothing(tmp_path: Path) -> None:
    saved, handed_in = kill_candidates(lay(tmp_path), 200, seed=4)
    print(f"200 kills, {saved} answers saved, {handed_in} files handed in, none shown as saved or handed in was lost")
    assert saved > 200 and handed_in > 20


# what is said, and what is not ------------------------------------------------------------------


def test_every_kind_of_question_has_a_form(tmp_path: Path) -> None:
    assert {*FIELDS, JOB} == set(paper_plan.KINDS)
    answers = opened(tmp_path)
    for item in paper_of().items:
        form = AnswerSession(item, answers).view()
        assert form.wire()["leaving"] and not form.buttons and not form.hints and not form.solution
        assert form.title == f"Answer {item.number}"


def test_words_do_not_hang_on_what_is_right() -> None:
    """What is right for one candidate, a known mistake there, a number from nowhere: all candidates get the same words."""
    papers = [paper_of(candidate) for candidate in ("101", "102", "103")]
    for item in (one for one in papers[0].items if one.kind == QUANTITY):
        exercise = exercise_named(item.exercise)
        assert isinstance(exercise, QuantityExercise)
        names = exercise.names(dict(item.givens))
        made = [names.answer, 12.25, 1.013, *(one.answer(names) for one in exercise.mistakes)]
        for number in (f"{one:.4g}" for one in made if isinstance(one, int | float)):
            for typed in (f"{number} {item.unit}", number, f"{number} psi"):
                words = {legible(one.item(item.number), typed) for one in papers}
                assert len(words) == 1, (item.exercise, typed, words)
            assert legible(item, f"{number} {item.unit}").can_be_read
            assert legible(item, number).can_be_read == exercise.names_its_unit


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("9,8 bar", "Read as 9.8 bar."),
        ("142psi", "Read as 142 psi."),
        ("1,013 bar", "This may mean 1013 bar or 1.013 bar. Type the one you mean."),
        ("9.8", "No unit yet: type for example 9.8 bar."),
        (" 9,5 ", "No unit yet: type for example 9,5 bar."),
        ("9" * 40, "No unit yet: type for example 1 bar."),
        ("9**9**9 bar", "Type one number and one unit, no sums, for example 1 bar."),
        ("12 banana", "Unknown unit 'banana'. Type for example 1 bar."),
        ("  ", ""),
    ],
)
def test_an_answer_is_read_as_the_lessons_read_it(typed: str, words: str) -> None:
    assert legible(first_of(QUANTITY), typed).words == words


@pytest.mark.parametrize(
    ("exercise", "typed", "words"),
    [
        ("depth_from_pressure", "20 msw", "A depth is asked here, as a length. Type m in the place of msw."),
        ("depth_from_pressure", "66 fsw", "A depth is asked here, as a length. Type ft in the place of fsw."),
        ("depth_from_pressure", "2 bar", "bar is a unit of pressure. A length is wanted, for example 1 m."),
    ],
)
def test_a_depth_written_as_a_pressure_is_told_its_unit(exercise: str, typed: str, words: str) -> None:
    assert legible(Item(1, QUANTITY, exercise, 2, "x", {}, ("...",), unit="m"), typed).words == words


def test_nobody_is_told_to_write_barsg() -> None:
    exercise = dataclasses.replace(exercise_named("absolute_at_depth"), kind="gauge pressure")
    with pytest.raises(ValueError, match=r"Convert it, then type bar or barg\.$"):
        read(exercise, "11.376 bars absolute", math.nan, Preferences())


def test_a_bare_number_is_read_in_the_unit_that_the_question_names() -> None:
    """A paper reads it as the lesson does, says so, and gives it the same mark."""
    [item] = [
        one for one in paper_for(load_plan("creep"), CohortKey(bytes(32)), "101").items if one.exercise == "opens_in"
    ]
    assert legible(item, "12,5").words == "Read as 12.5 min." == legible(item, "12.5 min").words
    right = f"{exercise_named('opens_in').solve(dict(item.givens)).magnitude:.1f}"
    for typed in (right, "999"):
        bare, whole = (
            marked_answer(exercise_named(item.exercise), dict(item.givens), one) for one in (typed, f"{typed} min")
        )
        assert (bare.outcome, bare.mistake) == (whole.outcome, whole.mistake)
    assert marked_answer(exercise_named(item.exercise), dict(item.givens), right).outcome == "right"


def test_an_exercise_that_this_version_has_not_is_still_answered() -> None:
    item = Item(1, QUANTITY, "of_another_year", 1, "Gone", {}, ("How much?",), unit="bar")
    assert legible(item, "anything").can_be_read


def secrets_of(item: Item) -> list[str]:
    """Sentences that only whoever knows the answer could say."""
    if item.kind == TEXT:
        [planned] = [one for one in load_plan("units and bands").questions if one.exercise == item.exercise]
        return list(planned.rubric)
    exercise, givens = exercise_named(item.exercise), dict(item.givens)
    return [*exercise.help_lines(givens), *exercise.steps(givens), *(one.sentence for one in exercise.mistakes)]


def test_no_reply_hint_or_solution_is_in_the_page_or_its_forms(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    said = [notebooks.as_text(sitting.page_of(paper_of()))]
    for item in paper_of().items:
        exercise = None if item.kind == TEXT else exercise_named(item.exercise)
        right = "" if exercise is None else exercise.solve(dict(item.givens))
        for typed in (str(right), "12.3 bar", "12.3", "psi"):
            widget = FormWidget(AnswerSession(item, answers))
            widget._heard(widget, {"what": "act", "button": "left", "answers": {"answer": typed}, "number": 1}, [])
            assert widget.saved["words"] == "Saved"
            said.append(json.dumps(widget.view, ensure_ascii=False))
    hands = HandInSession(answers)
    said.append(json.dumps(hands.view().wire()))
    hands.act("ask", {})
    said.append(json.dumps(hands.view().wire()))
    everything = "\n".join(said)
    for item in paper_of().items:
        for sentence in (one for one in secrets_of(item) if one not in dict(item.options).values()):
            assert sentence not in everything, (item.exercise, sentence)
    for word in ("Right", "Wrong", "Not yet", "Hint", "solution"):
        assert f'"word": "{word}' not in everything


def test_handing_in_names_what_is_unanswered_and_asks_once_more(tmp_path: Path) -> None:
    answers = opened(tmp_path)
    for item in paper_of().items[1:-2]:
        typed = {QUANTITY: f"1 {item.unit}", CHOICE: item.options[0][0] if item.options else "", TEXT: "Words."}
        answers.keep(item.number, typed[item.kind])
    answers.keep(2, "14")
    session = HandInSession(answers)
    assert session.view().question == ("Answered: 17 of 20 questions.",) and not session.view().message.word
    session.act("yes", {})
    assert not answers.handed_in_path.exists(), "nobody hands in without being asked"
    session.act("ask", {})
    form = session.view()
    assert form.message.word == "Do you want to hand in now?"
    assert form.message.lines[:2] == (
        "Not answered: questions 1, 19 and 20.",
        "Answered, but it cannot be read: question 2.",
    )
    assert [one.off for one in form.buttons] == [True, False, False]
    session.act("no", {})
    assert not session.view().message.word and not answers.handed_in_path.exists()
    session.act("ask", {})
    session.act("yes", {})
    message = session.view().message
    assert message.word == "Handed in" and f"{NAME}.handed-in.json" in " ".join(message.lines)
    answers.keep(1, "1 bar")
    assert "You have changed an answer since" in session.view().message.lines[-1]


def test_the_label_says_whether_a_unit_is_typed_too() -> None:
    [counted] = [
        one for one in paper_for(load_plan("creep"), CohortKey(bytes(32)), "101").items if one.exercise == "opens_in"
    ]
    assert label_of(first_of(QUANTITY)) == "Your answer with its unit (asked in bar)"
    assert label_of(counted) == "Your answer, in min"


def test_the_clock_shows_and_stops_nothing(tmp_path: Path) -> None:
    clock = Clock(datetime.datetime.now().astimezone(), 60).wire()
    assert clock["during"].endswith(". {gone} of 60 minutes are over.") and clock["minutes"] == 60
    over = ". {gone} minutes: {more} over the 60. Nothing is locked; the time is noted."
    assert clock["over"].endswith(over)
    yesterday = datetime.datetime.now().astimezone() - datetime.timedelta(days=1)
    assert f"on {yesterday.day} {yesterday.strftime('%B')} at " in Clock(yesterday, 60).wire()["during"]
    opened(tmp_path, NOON - datetime.timedelta(days=1)).keep(1, "1 bar")
    late = opened(tmp_path)
    late.keep(2, "2 bar")
    assert late.hand_in(NOON)[0].answers == {1: "1 bar", 2: "2 bar"}, "a day too late, and it is taken"


# the page and the command -----------------------------------------------------------------------


def test_the_page_holds_the_questions_as_the_paper_asks_them() -> None:
    paper = paper_of()
    page = sitting.page_of(paper)
    words = "\n".join(notebooks.source_of(cell) for cell in page["cells"] if cell["cell_type"] == "markdown")
    for item in paper.items:
        assert all(line in words for line in item.asked) and f"## {item.number}. {item.title}" in words
    code = notebooks.code_of(page)
    assert code == [sitting.OPEN, *(f"paper.answer({one.number})" for one in paper.items), "paper.hand_in()"]


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What `sit` says when it refuses, with status 2."""
    with pytest.raises(SystemExit) as ended:
        cli.main(["sit", *words, "--no-browser"])
    said = capsys.readouterr().err
    assert ended.value.code == 2 and said.count("\n") == 1, said
    return said


def test_a_paper_with_other_code_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = lay(tmp_path)
    book = notebooks.read(path)
    for cell in book["cells"]:
        if cell["cell_type"] == "code":
            cell["source"] = CODE + "\nprint(1)"
    path.write_text(notebooks.as_text(book), encoding="utf-8")
    assert "holds code that no paper has" in refused(capsys, str(path))
    assert sorted(one.name for one in tmp_path.iterdir()) == [path.name], "nothing is written"


def test_what_is_no_paper_is_refused_in_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "There is no file" in refused(capsys, str(tmp_path / "none.ipynb"))
    (tmp_path / "empty.ipynb").write_bytes(b"")
    assert "is damaged" in refused(capsys, str(tmp_path / "empty.ipynb"))
    (tmp_path / "linked.ipynb").symlink_to(lay(tmp_path))
    assert "no file of its own" in refused(capsys, str(tmp_path / "linked.ipynb"))
    for ending, what in (
        ("handed-in", "is what was handed in of a paper"),
        ("answers", "holds the answers to a paper"),
    ):
        beside = tmp_path / f"{NAME}.{ending}.json"
        beside.write_text("{}", encoding="utf-8")
        paper = tmp_path / f"{NAME}.ipynb"
        assert f"{what}, and cannot be sat. The paper lies beside it; type: steadyneedle sit {paper}\n" in refused(
            capsys, str(beside)
        )
        alone = tmp_path / f"7-creep.{ending}.json"
        alone.write_text("{}", encoding="utf-8")
        assert f"{what}, and cannot be sat. Name the paper itself: 7-creep.ipynb\n" in refused(capsys, str(alone))
    for cut_short in (NAME, f"{NAME}."):
        assert refused(capsys, str(tmp_path / cut_short)) == (
            f"There is no file {cut_short}. The paper is called {NAME}.ipynb; type: steadyneedle sit "
            f"{tmp_path / NAME}.ipynb\n"
        )
    (tmp_path / "other.json").write_text("{}", encoding="utf-8")
    assert "the name of a paper ends with .ipynb" in refused(capsys, str(tmp_path / "other.json"))
    lesson = places.lessons() / "00-start-here.ipynb"
    assert "is no paper of this workbook" in refused(capsys, str(lesson))


def test_where_answers_would_be_lost_nothing_opens(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = lay(tmp_path)
    monkeypatch.setattr(user_state, "can_hold_files", lambda _: False)
    assert "it is full, or you may not write there. Copy the paper into another folder" in refused(capsys, str(path))
    monkeypatch.undo()
    monkeypatch.setattr(places, "lessons", lambda: tmp_path)
    assert "lies among the workbook's own files. Copy it into a folder of yours." in refused(capsys, str(path))
    monkeypatch.undo()
    opened(tmp_path)
    content = {**on_disk(tmp_path), "candidate": "102"}
    (tmp_path / f"{NAME}.answers.json").write_text(json.dumps(content), encoding="utf-8")
    assert "holds answers to another paper: they are another candidate's. Give that file another name" in refused(
        capsys, str(path)
    )


def test_a_paper_that_was_moved_without_its_answers_says_that_it_begins_anew(tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    opened(tmp_path).keep(1, "9.8 bar")
    assert where_answers_are(Answers(paper_of(), tmp_path)).endswith(".answers.json. The paper goes on with those.")
    said = where_answers_are(Answers(paper_of(), tmp_path / "new"))
    assert f"There are none yet. If you have answered before, press Ctrl-C, put your {NAME}.answers.json beside" in said


@pytest.mark.parametrize("harm", ["", '{"version": 1, "answers": {"1": "9', "[1]", '{"version": 1, "answers": 7}'])
def test_answers_that_cannot_be_read_are_said_before_the_paper_opens(tmp_path: Path, harm: str) -> None:
    """The terminal said that the paper goes on with them, then the page that they could not be read."""
    path = tmp_path / f"{NAME}.answers.json"
    path.write_text(harm, encoding="utf-8")
    said = where_answers_are(Answers(paper_of(), tmp_path))
    assert said.startswith(f"{path} is damaged: no answer in it can be read.") and "goes on with no answers." in said
    assert path.read_text(encoding="utf-8") == harm, "nothing is changed by looking"
    again = opened(tmp_path)
    [kept] = tmp_path.glob("*.damaged-*")
    assert again.trouble().endswith(f"earlier answers could not be read. They are kept in {kept.name}.")
    assert where_answers_are(again).endswith(" The paper goes on with those.")
    odd = {**on_disk(tmp_path), "answers": {"1": "9.8 bar", "2": 14}}
    path.write_text(json.dumps(odd), encoding="utf-8")
    assert "not every answer in it can be read." in where_answers_are(again)


def test_a_line_to_type_is_never_cut() -> None:
    path = Path("/", *["a folder with a long name"] * 20, f"{NAME}.ipynb")
    assert shlex.split(line_for(path))[1:] == ["sit", str(path)]


def test_what_was_handed_in_and_is_gone_is_said_while_the_page_is_open(tmp_path: Path) -> None:
    shown = in_front(tmp_path)
    hands = shown._hand_in
    assert hands is not None
    for button in ("ask", "yes"):
        send(hands, "act", button=button)
    assert hands.view["message"]["word"] == "Handed in"
    handed = tmp_path / f"{NAME}.handed-in.json"
    data = handed.read_bytes()
    receipt = hashlib.sha256(data).hexdigest()[:8]
    handed.unlink()
    assert shown._look() == "" and hands.view["message"]["word"] == "NOT handed in any more"
    assert hands.view["message"]["lines"] == (
        f"{handed.name} lies no longer beside the paper as it was handed in (receipt {receipt}).",
        "Hand in again, or put that file back.",
    )
    handed.write_bytes(data)
    assert shown._look() == "" and hands.view["message"]["word"] == "Handed in"
    handed.unlink()
    for button in ("ask", "yes"):
        send(hands, "act", button=button)
    assert hands.view["message"]["word"] == "Handed in" and handed.exists()
    shown.close()


def test_a_page_says_that_the_first_stages_it_names_are_invented() -> None:
    said = sitting.invented_in(paper_of())
    heads = sitting.page_of(paper_of())["cells"][0]["source"]
    words = json.dumps(sitting.page_of(paper_of())["cells"][1:])
    named = [one for one in ("Alder", "Rowan", "Hazel", "Juniper", "Linden") if one in words]
    assert said in heads and all(one in said for one in named)
    items = tuple(
        Item(n, "text", "x", 1, "x", {}, (f"{one}: it creeps.",)) for n, one in enumerate(("Alder", "Linden"), 1)
    )
    assert sitting.invented_in(dataclasses.replace(paper_of(), items=items)) == (
        "Alder and Linden are first stages of regulators, invented for this course."
    )
    assert sitting.invented_in(dataclasses.replace(paper_of(), items=items[:1])).startswith("Alder is a first stage")


def test_a_paper_opened_otherwise_says_how_it_is_opened(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv(sitting.DESK, raising=False)
    monkeypatch.setenv("JPY_SESSION_NAME", f"/desk/{NAME}.ipynb")
    exec(CODE, {})
    assert capsys.readouterr().out == (
        f"A paper opens with a command. Close this file, then type in a terminal: steadyneedle sit {NAME}.ipynb\n"
    )


def test_the_page_goes_on_whatever_becomes_of_the_candidates_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, shown = tmp_path / "desk", tmp_path / "shown"
    desk.mkdir()
    shown.mkdir()
    path = lay(desk)
    (shown / path.name).write_text(notebooks.as_text(sitting.page_of(read_paper(path))), encoding="utf-8")
    path.unlink()
    monkeypatch.setenv(sitting.DESK, str(desk))
    monkeypatch.setenv(places.WORK_VARIABLE, str(shown))
    opened_paper = sitting.open_paper()
    assert opened_paper is not None
    opened_paper.answer(1)
    opened_paper.hand_in()
    opened_paper.close()
    assert on_disk(desk)["candidate"] == "101"
