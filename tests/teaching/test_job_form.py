"""The form of a mystery job: played to its end, kept at every step, silent about the fault until the debrief."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from few_states import know_little
from steadyneedle.bench.diagnosis.information import expected_information
from steadyneedle.jobs import best_path
from steadyneedle.jobs.bill import cost
from steadyneedle.jobs.debrief import Debrief
from steadyneedle.jobs.filter_colour import COLOURS, filter_colour
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import JobPath, Said
from steadyneedle.jobs.path_file import read_path
from steadyneedle.jobs.what_it_did import what_it_did
from steadyneedle.physics.faults import Fault
from steadyneedle.teaching.frame.form import Form
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.learner.job_form import JobSession
from steadyneedle.teaching.learner.job_steps import NOT_YET
from steadyneedle.teaching.learner.progress import FILE, Progress

BELIEF = {"cause": "grit", "sure": "25"}


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """A form is asked what it does, not whether the tables are true: two states a cause are enough, and quick."""
    know_little(monkeypatch)

    def cheapest(known: Any, findings: Any) -> str | None:
        now = best_path.computed_with(known, findings)
        if now.of_leader >= 0.95 or len(findings) > 1:
            return None
        told, done = expected_information(now), [test for test, _ in findings]
        return max((one for one in told if done.count(one) < 2), key=lambda one: told[one] / cost(one, done).minutes)

    monkeypatch.setattr(best_path, "cheapest", cheapest)
    monkeypatch.setattr(best_path, "advice_of", lambda number, findings: "Next: tap the gauge.")


def session(folder: Path) -> JobSession:
    return JobSession(Progress(folder), lambda: folder)


def taken(folder: Path, number: int) -> JobSession:
    one = session(folder)
    one.act("take", {"pick": "", "number": str(number)})
    return one


def do(one: JobSession, test: str, turn: int, **said: str) -> Form:
    one.act("do", {**BELIEF, **said, "test": f"{turn}:{test}"})
    return one.view()


def kept(folder: Path) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads((folder / FILE).read_text(encoding="utf-8"))["mystery jobs"]
    return whole


def buttons(form: Form) -> dict[str, bool]:
    return {one.name: not one.off for one in form.buttons}


def test_what_it_takes_follows_what_is_chosen(tmp_path: Path) -> None:
    """Asked once more whether one is sure, another cause is chosen: the words are of that one; a seat is paid once."""
    one = taken(tmp_path, 5)
    do(one, "new_seat", 0)
    one.typed({"cause": "seat_dished", "sure": "75"})
    one.act("stop", {"cause": "seat_dished", "sure": "75", "test": ""})
    assert "a new seat (25 min and 0 shells)" in one.view().message.lines[0]
    assert one.typed({"cause": "edge_or_static_seal", "sure": "75"}) is True
    assert "seat carrier or orifice" in one.view().message.lines[0] and "32 shells" in one.view().message.lines[0]


def test_the_colour_of_a_filter_is_shown(tmp_path: Path) -> None:
    """Job 3 has a clogged filter; red would be rust, whose cylinder is reported: common practice, no source."""
    form = do(taken(tmp_path, 3), "look_filter", 0)
    assert "look at the inlet filter: coloured." in form.message.lines[0]
    assert form.message.lines[1] in COLOURS and "report the cylinder" in COLOURS[1]
    assert {filter_colour(number, "coloured") for number in range(40)} == set(COLOURS)


def test_a_job_played_to_its_debrief(tmp_path: Path) -> None:
    one = taken(tmp_path, 2)
    form = one.view()
    assert form.title == "Job 2: Bubbles" and "Rowan, balanced piston" in form.question[1]
    assert form.focus == "test" and form.beside and "0 min" in form.note
    form = do(one, "listen", 0)
    assert form.message.word == "It showed" and form.tables[0].rows[0][1:3] == ("listen all round", "chamber")
    form = do(one, "soap_chamber", 1, sure="75", cause="shaft_seal")
    assert "3 min" in form.note and "untouched" in form.note
    one.act("stop", {"cause": "shaft_seal", "sure": "90", "test": ""})
    assert buttons(one.view())["end"] and "a new shaft seal (25 min and 6 shells)" in one.view().message.lines[0]
    one.act("end", {"cause": "shaft_seal", "sure": "90", "test": ""})
    form = one.view()
    assert form.fields == () and buttons(form) == {"debrief": True, "replay": True, "aside": True}
    assert not (tmp_path / "job-2-path.json").exists()
    one.act("debrief", {})
    form = one.view()
    assert form.message.word == "Named, not shown" and form.picture is not None and len(form.tables) == 2
    assert "yours: named, not shown" in form.picture.text, "one word in headline, sentences and picture"
    assert "It was: high-pressure shaft seal leaking." in form.message.lines[0]
    assert "You spent 28 min and 6 shells" in " ".join(form.message.lines)
    path = read_path(tmp_path / "job-2-path.json")
    assert path.tests == ("listen", "soap_chamber") and path.verdict.confidence == 90 and not path.replay


def test_the_file_holds_the_path_alone(tmp_path: Path) -> None:
    """Neither a name, nor a place, nor what was hidden."""
    one = taken(tmp_path, 3)
    do(one, "tap", 0)
    for button in ("stop", "end", "debrief"):
        one.act(button, {**BELIEF, "test": ""})
    words = (tmp_path / "job-3-path.json").read_text(encoding="utf-8")
    assert "filter_clogged" not in words and str(tmp_path) not in words and "complaint" not in words


def test_a_press_too_many_does_nothing(tmp_path: Path) -> None:
    """Each button pressed twice: the second press neither does it again nor says that nothing was done."""
    one = taken(tmp_path, 4)
    one.act("take", {"pick": "", "number": "4"})
    assert one.view().title == "Job 4: Two shops"
    first = do(one, "tap", 0)
    assert do(one, "tap", 0) == first, "before the page was drawn anew"
    one.act("do", {**BELIEF, "test": ""})
    assert one.view() == first, "after it"
    assert len(first.tables[0].rows) == 1
    for button in ("stop", "end", "debrief", "replay"):
        one.act(button, {**BELIEF, "test": ""})
        once = one.view()
        one.act(button, {**BELIEF, "test": ""})
        assert one.view() == once, button
    assert len(kept(tmp_path)["4"]["paths"]) == 2
    one.act("aside", {})
    one.act("aside", {})
    assert one.view().title == "Mystery jobs"


def test_a_test_may_be_done_once_more(tmp_path: Path) -> None:
    one = taken(tmp_path, 4)
    do(one, "tap", 0)
    form = do(one, "tap", 1)
    assert [row[1] for row in form.tables[0].rows] == [
        "tap the gauge",
        "tap the gauge, once more",
    ] and "2 min" in form.note


def test_it_reopens_where_it_was(tmp_path: Path) -> None:
    one = taken(tmp_path, 5)
    do(one, "listen", 0)
    one.typed({"cause": "seat_dished", "sure": "50", "test": "1:tap"})
    assert session(tmp_path).view() == one.view()
    assert [field.value for field in session(tmp_path).view().fields] == ["seat_dished", "50", "1:tap"]
    one.act("aside", {})
    again = session(tmp_path)
    again.act("take", {"pick": "1", "number": ""})
    again.act("aside", {})
    again.act("take", {"pick": "5", "number": ""})
    assert len(again.view().tables[0].rows) == 1, "the job that was left is where it was left"


def test_at_the_stop_one_is_asked(tmp_path: Path) -> None:
    one = taken(tmp_path, 9)
    form = do(one, "watch_full", 0)
    assert form.message.word == "The needle is at the stop" and form.focus == "now" and form.picture is not None
    assert "12.0 bar" in form.message.lines[0] and form.tables[0].rows[0][1] == "none yet"
    assert not buttons(form)["advice"] and not buttons(form)["stop"]
    assert session(tmp_path).view() == form
    one.act("do", {"now": ""})
    assert one.view() == form, "nothing was chosen"
    one.act("do", {"now": "shut"})
    form = one.view()
    assert form.tables[0].rows[0][2] == "climbs to the stop" and "You shut the valve" in form.message.lines[1]


def test_at_the_stop_before_the_valve_is_shut(tmp_path: Path) -> None:
    """The climb is shown and asked about; shutting the valve is the test, which goes on; watching on keeps it open."""
    one = taken(tmp_path, 12)
    form = do(one, "bleed", 0)
    assert form.message.word == "The needle is at the stop"
    assert "before you shut the valve, the needle reads 12.00 bar. A watch stops at 12.0 bar." in form.message.lines[0]
    assert form.picture is not None and "10.05 bar at first and 12.00 bar after" in form.picture.text
    ways = dict(form.fields[-1].options)  # type: ignore[union-attr]
    assert ways["shut"].endswith("purge the pressure away") and "valve open" in ways["on"]
    one.act("do", {"now": "shut"})
    form = one.view()
    assert [row[2] for row in form.tables[0].rows] == ["climbs to the stop"]
    assert "bleed the supply side and watch” was not done: the needle came to the stop first." in form.message.lines[0]
    one.act("aside", {})
    one = taken(tmp_path, 20)
    do(one, "bleed", 0)
    one.act("do", {"now": "shut"})
    form = do(one, "bleed", 1)
    ways = dict(form.fields[-1].options)  # type: ignore[union-attr]
    assert "finish the test" in ways["shut"], "the climb is told: chosen again, the test is done"
    one.act("do", {"now": "shut"})
    form = one.view()
    assert form.tables[0].rows[1][2] == "needle stays" and "went on with the test" in form.message.lines[1]
    assert form.picture is not None and "The valve was shut after " in form.picture.text
    one.act("aside", {})
    one = taken(tmp_path, 19)
    do(one, "shut", 0)
    one.act("do", {"now": "on"})
    assert one.view().message.word.startswith("Critical failure")


def test_needs_and_risks_stand_there_before_a_test_is_done(tmp_path: Path) -> None:
    """Choosing draws them; another choice draws others; done, they are gone."""
    one = taken(tmp_path, 5)
    assert "needs" not in one.view().note
    assert one.typed({**BELIEF, "test": "0:watch_full"}) is True
    note = one.view().note
    assert note.startswith("This test needs a full cylinder and a relief valve on the low-pressure side. Take care: ")
    assert "watch up to the stop. The stop here is 11.5 bar. Spent: 0 min" in note
    assert one.typed({**BELIEF, "test": "0:watch_full"}) is False
    assert one.typed({**BELIEF, "test": "0:look_seat"}) is True
    assert "vent it before a spanner touches it; the spring is under load" in one.view().note
    one.typed({**BELIEF, "test": "0:tap"})
    assert one.view().note.startswith("It has no risk of its own. Spent")
    one.typed({**BELIEF, "test": "0:blank, no relief valve"})
    assert "without a relief valve a climbing needle bursts a gauge or a hose" in one.view().note
    assert do(one, "tap", 0).note.startswith("Spent: 1 min")


def test_watching_past_the_stop_ends_the_job(tmp_path: Path) -> None:
    one = taken(tmp_path, 9)
    do(one, "watch_full", 0)
    one.act("do", {"now": "on"})
    form = one.view()
    assert form.message.word.startswith("Critical failure") and "past the stop" in form.message.lines[0]
    assert "Shut the cylinder valve, purge" in form.message.lines[1]
    one.act("debrief", {})
    assert one.view().message.word == "Critical failure"
    assert "crumb" in " ".join(one.view().message.lines)
    one.act("replay", {})
    form = one.view()
    assert form.title.endswith("(a replay)") and "0 min" in form.note
    paths = kept(tmp_path)["9"]["paths"]
    assert [(path["end"], path["replay"]) for path in paths] == [("critical", False), ("", True)]
    assert read_path(tmp_path / "job-9-path.json").because == "stop"


def ended(one: JobSession, replay: bool = False) -> None:
    do(one, "tap", 0, cause="sound")
    for button in ("stop", "end", *(("replay",) if replay else ())):
        one.act(button, {**BELIEF, "test": ""})


def test_the_first_path_has_its_file_though_a_replay_came_first(tmp_path: Path) -> None:
    """Ended, played again before the debrief, ended: the sentence says that the first path is in its file, and it is."""
    one = taken(tmp_path, 4)
    ended(one, replay=True)
    do(one, "zero", 0)
    for button in ("stop", "end", "debrief"):
        one.act(button, {**BELIEF, "test": ""})
    assert "the first path stays, in job-4-path.json beside the lessons" in " ".join(one.view().message.lines)
    path = read_path(tmp_path / "job-4-path.json")
    assert path.tests == ("tap",) and not path.replay


def test_another_window_is_told_of(tmp_path: Path) -> None:
    """Nothing that was pressed for one job lands in another, nor on a job that has gone on since; the page says so."""
    one, other = taken(tmp_path, 10), session(tmp_path)
    one.view()
    other.view()
    other.act("aside", {})
    other.view()
    other.act("take", {"pick": "", "number": "3"})
    assert one.typed({**BELIEF, "test": "0:tap"}) is True
    for button in ("do", "advice", "stop"):
        one.act(button, {**BELIEF, "test": "0:tap"})
    form = one.view()
    assert form.title.startswith("Job 3") and form.message.word == "Not done"
    assert form.message.lines[0].startswith("Job 3 is on the bench now: another window did that.")
    assert kept(tmp_path)["3"]["paths"][0]["steps"] == [] and "leaning" not in kept(tmp_path)["3"]
    assert do(one, "tap", 0).message.word == "It showed", "looked at, it goes on"
    other.act("do", {**BELIEF, "test": "0:zero"})
    assert other.view().message.lines[0].startswith("This job has gone on: another window did that.")
    assert [row[1] for row in other.view().tables[0].rows] == ["tap the gauge"]


def test_a_wrong_guess_says_what_it_leaves(tmp_path: Path) -> None:
    one = taken(tmp_path, 8)
    for button in ("stop", "end", "debrief"):
        one.act(button, {"cause": "set_low", "sure": "5", "test": ""})
    words = " ".join(one.view().message.lines)
    assert "You spent 10 min and 0 shells, with mending by what you said. What was wrong is still there: " in words
    assert "What you set was right before, and is wrong now. When it comes back, add the tests of the advice" in words
    assert "All told that is" in words
    assert one.view().picture is not None and "in vain" in one.view().picture.text  # type: ignore[union-attr]


def test_an_open_stage_is_closed_and_watched_before_it_goes_back(tmp_path: Path) -> None:
    """15 minutes and 6 shells to look at the seat; 20 to close and watch; a repair inside has them in its own minutes."""
    one = taken(tmp_path, 5)
    do(one, "look_seat", 0, cause="sound", sure="50")
    one.act("stop", {"cause": "sound", "sure": "50", "test": ""})
    assert "closing it and a last watch (20 min) are billed at the end" in " ".join(one.view().message.lines)
    one.act("end", {"cause": "sound", "sure": "50", "test": ""})
    one.act("debrief", {})
    words = " ".join(one.view().message.lines)
    assert "You spent 35 min and 6 shells, with mending by what you said, and with closing the stage" in words


def test_more_tests_are_not_promised_where_none_would_tell(tmp_path: Path) -> None:
    """ "One more test would have said" needs a test that says it, named; else the words give the end of the best path."""
    one = taken(tmp_path, 8)
    for button in ("stop", "end", "debrief"):
        one.act(button, {"cause": "edge_or_static_seal", "sure": "99", "test": ""})
    words = " ".join(one.view().message.lines)
    looked = Debrief(JobPath(8, "Juniper").stopped(Said("edge_or_static_seal", 99)), best_path.best_path(8))
    sure = looked.would_tell[0].after >= 0.9
    assert ("One more test would most likely have said: " in words) == sure
    ends = looked.of_best < 0.9 and looked.of_best > looked.at_end[0] + 0.1
    assert sure or not ends or "More tests would have made you surer, though not sure" in words
    assert "Nothing on this bench" not in words


def test_a_needle_past_its_stop_with_the_valve_shut_is_told(tmp_path: Path) -> None:
    """Job 319: below the stop while the supply was open, above it two minutes after the valve was shut."""
    one = taken(tmp_path, 319)
    words = " ".join(do(one, "shut", 0).message.lines)
    assert "With the valve shut the needle came to 12.15 bar; the stop here is 12.0 bar. Purge" in words
    one.act("aside", {})
    one = taken(tmp_path, 5)
    assert "With the valve shut" not in " ".join(do(one, "shut", 0).message.lines)


def test_what_is_said_of_a_test_is_true(tmp_path: Path) -> None:
    """Vented first, whose gauge reads higher, and once more only while the job goes on."""
    one = taken(tmp_path, 5)
    one.typed({**BELIEF, "test": "0:zero"})
    assert one.view().note.startswith("Vent first: this test is done without pressure. It has no risk")
    one.typed({**BELIEF, "test": "0:pot"})
    assert "only up to the stop: if the needle climbs" in one.view().note and "The stop here is 11.5" in one.view().note
    listed = dict(one.view().fields[2].options)  # type: ignore[union-attr]
    assert "look what the first reads" in listed["0:second_gauge"]
    assert "A test may be done once more" in one.view().note
    for button in ("stop", "end"):
        one.act(button, {**BELIEF, "test": ""})
    assert "once more" not in one.view().note
    assert what_it_did(307).startswith("On our bench the needle read ") and "past its stop" in what_it_did(307)


def test_blanking_without_a_relief_valve_ends_the_job(tmp_path: Path) -> None:
    one = taken(tmp_path, 6)
    listed = dict(next(field for field in one.view().fields if field.name == "test").options)  # type: ignore[union-attr]
    assert "0:blank, no relief valve" in listed and "0:blank" in listed
    form = do(one, "blank, no relief valve", 0)
    assert form.message.word.startswith("Critical failure") and "relief valve" in form.message.lines[0]
    one.act("debrief", {})
    assert one.view().tables[0].rows[-1][3] == "critical failure"


def test_a_belief_comes_before_advice(tmp_path: Path) -> None:
    """What one believed stands as it was recorded, whatever the advice makes one choose."""
    one = taken(tmp_path, 7)
    one.act("advice", {"cause": "", "sure": "", "test": ""})
    assert one.view().message.lines == (NOT_YET,)
    one.act("advice", {**BELIEF, "test": ""})
    assert one.view().message.word == "Advice" and "Most likely" in one.view().message.lines[0]
    do(one, "tap", 0, cause="sound", sure="95")
    step = kept(tmp_path)["7"]["paths"][0]["steps"][0]
    assert step["belief"] == {"cause": "grit", "confidence": 25} and step["advised"] is True
    do(one, "tap", 1, cause="sound", sure="95")
    assert kept(tmp_path)["7"]["paths"][0]["steps"][1]["belief"] == {"cause": "sound", "confidence": 95}


@pytest.mark.parametrize("number", ["", "0", "-3", "12.5", "a dozen", "1000000", "9" * 40, "１２"])
def test_what_is_no_number_of_a_job(tmp_path: Path, number: str) -> None:
    one = session(tmp_path)
    one.act("take", {"pick": "", "number": number})
    assert one.view().message.lines == ("Choose one of the ten, or type a whole number from 1 to 999,999.",)
    one.act("take", {"pick": "", "number": " 12 "})
    assert one.view().title == "Job 12"


@pytest.mark.parametrize("number", [2, 6, 9, 10, 12])
def test_nothing_names_the_fault_before_the_debrief(tmp_path: Path, number: int) -> None:
    """Every message that goes to the page, its lists of causes and what tests showed aside."""
    progress, hidden = Progress(tmp_path), job(number).hidden
    sent: list[str] = []
    widget = FormWidget(JobSession(progress, lambda: tmp_path))

    def note() -> None:
        view = json.loads(json.dumps(widget.view))
        for field in view["fields"]:
            field.pop("options", None)
        sent.append(json.dumps([view, widget.saved], ensure_ascii=False))

    steps: list[tuple[str, dict[str, str]]] = [("take", {"pick": "", "number": str(number)})]
    answer = {"cause": "valve_part_open", "sure": "50"}
    for turn, test in enumerate(("tap", "listen", "zero", "look_filter")):
        steps.append(("do", {**answer, "test": f"{turn}:{test}"}))
    steps += [("stop", answer), ("end", answer)]
    for button, answers in steps:
        widget._heard(widget, {"what": "act", "button": button, "answers": answers, "number": 1}, [])
        note()
        assert widget.saved["words"] == "Saved"
    words = re.escape("|").join(sent)
    for key in hidden.faults:
        for said in (key, Fault.named(key).name, Fault.named(key).inspection):
            assert said not in words, said
    for name in ("severity", "hidden", str(hidden.seed)):
        assert name not in words
    widget._heard(widget, {"what": "act", "button": "debrief", "answers": {}, "number": 2}, [])
    assert "It was: " in widget.view["message"]["lines"][0]


def test_what_somebody_wrote_into_the_file_does_not_stop_it(tmp_path: Path) -> None:
    one = taken(tmp_path, 4)
    do(one, "tap", 0)
    good = json.loads((tmp_path / FILE).read_text(encoding="utf-8"))
    for field, value in (
        ("paths", "x"), ("paths", [{"job": True}]), ("paths", [{**good["mystery jobs"]["4"]["paths"][0], "design": "Alder"}]),
        ("leaning", {"cause": "rabies", "sure": "50"}), ("leaning", 3), ("pending", "soap_rim2"), ("recorded", {"sure": 7}),
        ("advice", [3]), ("best", []), ("asked", None), ("debriefed", "yes"), ("stopping", 1),
    ):  # fmt: skip
        good["mystery jobs"]["4"][field], before = value, good["mystery jobs"]["4"].get(field)
        (tmp_path / FILE).write_text(json.dumps(good), encoding="utf-8")
        assert session(tmp_path).view().title == "Job 4: Two shops", (field, value)
        session(tmp_path).act("do", {**BELIEF, "test": "1:zero"})
        session(tmp_path).act("stop", {**BELIEF, "test": ""})
        assert session(tmp_path).view().title == "Job 4: Two shops"
        good["mystery jobs"]["4"].pop(field)
        if before is not None:
            good["mystery jobs"]["4"][field] = before
    for at in ("99999999", "x", 7):
        good["mystery jobs"]["form"]["at"] = at
        (tmp_path / FILE).write_text(json.dumps(good), encoding="utf-8")
        assert session(tmp_path).view().title == "Mystery jobs"
