"""Practising: typed is saved, checked is remembered, a restart brings everything back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.foundation import places
from steadyneedle.questions.plans import plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.form import Message
from steadyneedle.teaching.learner.choices import PreferencesSession
from steadyneedle.teaching.learner.own_reading import OwnReadingSession
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.predictions import PredictionSession
from steadyneedle.teaching.learner.progress import FILE, Progress

KEYS = ("lessons", "01", "exercises", "psi_to_bar")


def session(work: Path) -> PracticeSession:
    """As after a restart: everything is read from the file."""
    return PracticeSession(plan_of("01").exercise("psi_to_bar"), Progress(work), KEYS, "Exercise")


def right_answer(one: PracticeSession) -> str:
    exercise = plan_of("01").exercise("psi_to_bar")
    state = one._state()
    return f"{exercise.solve(one.givens(state)).to('bar').magnitude:.3f} bar"


def test_typed_is_kept_as_typed(work: Path) -> None:
    session(work).typed({"answer": "9,8"})
    kept = json.loads((work / FILE).read_text(encoding="utf-8"))
    assert kept["lessons"]["01"]["exercises"]["psi_to_bar"]["typed"] == "9,8"
    assert session(work).view().fields[0].value == "9,8"


def test_check_hint_solution_new(work: Path) -> None:
    one = session(work)
    question = one.view().question
    one.act("check", {"answer": "9,8"})
    said = "A number needs its unit. Type the unit behind it, for example bar."
    assert session(work).view().message == Message("Not read yet", (said,))
    one.act("hint", {"answer": "9,8"})
    assert len(session(work).view().hints) == 1
    one.act("check", {"answer": right_answer(one)})
    view = session(work).view()
    assert view.message.word == "Right" and Progress(work).entry(*KEYS)["right"] == 1
    one.act("solution", {})
    assert session(work).view().solution
    one.act("new", {})
    view = session(work).view()
    assert view.question != question and view.message.word == "" and view.fields[0].value == ""
    assert not view.hints and not view.solution


def test_buttons_keep_their_places(work: Path) -> None:
    """None comes or goes, none changes its words; what has nothing to do is off. So three clicks on one spot are harmless."""
    one = session(work)
    names = [(button.name, button.label) for button in one.view().buttons]
    off = {"back"}
    for press, more in (
        ("hint", set()),
        ("hint", {"hint"}),
        ("hint", set()),
        ("solution", {"solution"}),
        ("solution", set()),
    ):
        one.act(press, {"answer": "9 bar"})
        off |= more
        view = session(work).view()
        assert [(button.name, button.label) for button in view.buttons] == names
        assert {button.name for button in view.buttons if button.off} == off
        assert view.fields[0].value == "9 bar" or press != "check"
    assert [button.name for button in one.view().buttons if button.apart] == ["back"], "new numbers stand apart"


def test_what_help_costs_is_said(work: Path) -> None:
    one = session(work)
    assert one.view().note == ""
    one.act("hint", {})
    assert one.view().note == "A second hint, and these numbers no longer count as done."
    one.act("hint", {})
    assert one.view().note == "Help was taken: these numbers no longer count as done. New numbers will."
    one.act("new", {})
    one.act("check", {"answer": right_answer(one)})
    assert one.view().note == ""


def test_a_verdict_says_which_answer_it_was_about(work: Path) -> None:
    one = session(work)
    one.act("check", {"answer": "9 bar"})
    one.typed({"answer": "9.5 bar"})
    view = session(work).view()
    assert view.message.about == (("answer", "9 bar"),) and view.fields[0].value == "9.5 bar"


def test_right_after_the_solution_was_shown_does_not_meet_the_objective(work: Path) -> None:
    one = session(work)
    one.act("solution", {})
    one.act("check", {"answer": right_answer(one)})
    assert "right" not in Progress(work).entry(*KEYS)


def test_tries_are_kept_for_the_instructor_to_look_at(work: Path) -> None:
    one = session(work)
    for n in range(60):
        one.act("check", {"answer": f"{n} bar"})
    tries = Progress(work).entry(*KEYS)["tries"]
    assert 50 <= len(tries) <= 54 and tries[-1]["typed"] == "59 bar" and tries[-1]["when"]


def test_an_exercise_mended_since_starts_afresh(work: Path) -> None:
    session(work).typed({"answer": "9,8 bar"})
    with Progress(work).change(*KEYS) as state:
        state["version"] = 0
    assert session(work).view().fields[0].value == ""


def test_two_lessons_open_at_once_lose_nothing(work: Path) -> None:
    one, other = Progress(work), Progress(work)
    with one.change("lessons", "01", "exercises", "a") as state:
        state["typed"] = "1 bar"
    with other.change("lessons", "03", "exercises", "b") as state:
        state["typed"] = "2 bar"
    with one.change("lessons", "01", "exercises", "c") as state:
        state["typed"] = "3 bar"
    kept = json.loads((work / FILE).read_text(encoding="utf-8"))["lessons"]
    assert kept["03"]["exercises"]["b"]["typed"] == "2 bar" and set(kept["01"]["exercises"]) == {"a", "c"}


@pytest.mark.parametrize(
    "nonsense", ['{"version": 1, "lessons": 3}', '{"version": 1, "lessons": {"01": []}, "choices": "x"}']
)
def test_a_file_edited_by_hand_breaks_nothing(work: Path, nonsense: str) -> None:
    (work / FILE).write_text(nonsense, encoding="utf-8")
    assert session(work).view().title == "Exercise"
    assert Progress(work).preferences() == Preferences()
    session(work).typed({"answer": "1 bar"})
    assert session(work).view().fields[0].value == "1 bar"


def test_damaged_work_is_kept_and_the_learner_is_told(work: Path) -> None:
    (work / FILE).write_text("{broken", encoding="utf-8")
    progress = Progress(work)
    assert progress.preferences() == Preferences()
    kept = next(work.glob("my-work.damaged-*.json"))
    assert progress.trouble() == f"Your earlier work could not be read. It is kept as {kept.name}."
    assert kept.read_text(encoding="utf-8") == "{broken"


def test_prediction_is_recorded_before_its_reveal(work: Path) -> None:
    prediction = plan_of("01").prediction("dial")
    options = list(prediction.options)

    def again() -> PredictionSession:
        return PredictionSession(prediction, Progress(work), ("lessons", "01", "predictions", "dial"))

    again().act("record", {})
    assert again().recorded == "" and again().view().message.word == "Not recorded yet"
    assert prediction.explanation not in str(again().view())
    again().typed({"prediction": options[1]})
    assert again().view().fields[0].value == options[1] and again().recorded == ""
    again().act("record", {"prediction": options[1]})
    assert again().recorded == options[1] and again().view().fields[0].fixed
    again().typed({"prediction": options[0]})
    assert again().recorded == options[1], "a recorded prediction stays"
    again().act("explain", {})
    assert prediction.explanation in again().view().message.lines
    again().act("again", {})
    assert again().recorded == "" and not again().view().fields[0].fixed


def test_choices_are_kept_for_all_lessons(work: Path) -> None:
    form = PreferencesSession(Progress(work))
    form.typed({"decimal": "comma (9,8)", "first": "psi"})
    preferences = Progress(work).preferences()
    assert preferences == Preferences("comma", "psi") and "142 psi (9,8 bar)" in str(
        PreferencesSession(Progress(work)).view()
    )
    one = session(work)
    one.act("check", {"answer": "9.8 bar"})
    assert "9.8 was read as 9,8." in str(one.view().message)


def test_an_own_reading_is_judged_by_the_sheet(work: Path, tmp_path: Path) -> None:
    sheets = load_sheets(places.datasets() / "sheets")
    form = OwnReadingSession(sheets, Progress(work), ("lessons", "03", "own reading"))
    for text, sheet, word, words in (
        ("9,8 bar", "Alder", "Outside", "9.8 bar lies outside the band 8.6 to 9.6 bar (simple acceptance"),
        ("9,8 bar", "Hazel", "Inside", "9.8 bar lies in the band 9 to 10 bar"),
        ("10,1 bar", "Juniper", "Cannot tell", "U = 0.1"),
        ("147 psi", "Juniper", "Inside", "145 to 150 psi"),  # as its sheet prints it: psi with psi
        ("145 psi", "Juniper", "Cannot tell", "The band holds at 200 bar supply"),
        ("9,8", "Juniper", "Not read yet", "A number needs its unit"),
    ):
        form.typed({"answer": text, "sheet": sheet})
        form.act("judge", {"answer": text, "sheet": sheet})
        feedback = form.view().message
        assert feedback.word == word and words in " ".join(feedback.lines), feedback


def test_a_half_filled_sheet_still_judges(work: Path, tmp_path: Path) -> None:
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / "own.csv").write_text("name,ip_low_psi,ip_high_psi\nOurs,140,150\n", encoding="utf-8")
    form = OwnReadingSession(load_sheets(folder), Progress(work), ("lessons", "03", "own reading"))
    form.act("judge", {"answer": "137", "sheet": "Ours"})
    assert form.view().message.lines == ("A number needs its unit, for example 137 psi.",), "the sheet's unit"
    form.typed({"answer": "10 bar", "sheet": "Ours"})
    form.act("judge", {"answer": "10 bar", "sheet": "Ours"})
    said = " ".join(form.view().message.lines)
    assert (
        "The sheet does not name its gauge in full: taken as 0 to 16 bar, class 1.6, division 0.2 bar." in said
        and "names no rule: taken as simple acceptance" in said
    )


def test_a_dial_is_asked_in_a_picture_and_its_words_do_not_read_it(tmp_path: Path) -> None:
    """The picture belongs to the numbers, and its text says where the needle stands without the reading."""
    exercise = plan_of("01").exercise("read_the_dial")
    one = PracticeSession(exercise, Progress(tmp_path), ("lessons", "01", "exercises", exercise.name), "A dial")
    first = one.view()
    assert first.picture is not None and first.picture.png.startswith(b"\x89PNG")
    reading = exercise.solve(one.givens({})).magnitude
    assert f"{reading:.2f}" not in first.picture.text and "The needle stands" in first.picture.text
    one.act("new", {})
    second = one.view()
    assert second.picture is not None and second.picture.png != first.picture.png
    assert second.question == first.question, "only the picture carries the numbers"
