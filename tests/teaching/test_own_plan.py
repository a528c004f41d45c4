"""Lesson 05's plan builder: steps added, moved, changed and judged; kept; an instructor's own rules reach it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from steadyneedle.bench.cleaning import Step, best_plan, cell, judge_plan, methods, parts, scratch, soils
from steadyneedle.bench.cleaning.catalogue import known_parts, law, rows
from steadyneedle.bench.cleaning.grid import grid
from steadyneedle.foundation.rules_file import CLEANING_VARIABLE
from steadyneedle.questions.bank import cleaning as asked
from steadyneedle.questions.plans import plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.learner.own_plan import FIRST, OwnPlanSession
from steadyneedle.teaching.learner.progress import FILE, Progress
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.notes import class_cleaning, on_cleaning
from steadyneedle.teaching.panels import cleaning as cleaning_panels
from steadyneedle.teaching.panels import cleaning_plan
from steadyneedle.teaching.panels.cleaning_plan import SETS, WORKED, worked_verdict

KEYS = ("lessons", "05", "own plan")


@pytest.fixture
def session(work: Path) -> OwnPlanSession:
    return cleaning_plan.own_plan(Progress(work), KEYS)


def press(session: OwnPlanSession, button: str, **answers: str) -> None:
    session.typed(answers)
    session.act(button, answers)


def steps(session: OwnPlanSession) -> list[str]:
    field = next((one for one in session.view().fields if one.name == "at"), None)
    return [words.partition(". ")[2] for _, words in field.options] if field else []


def build(session: OwnPlanSession, *names: str) -> None:
    for name in names:
        press(session, "add", method=name)


def test_steps_are_added_moved_changed_removed_and_put_back(session: OwnPlanSession) -> None:
    assert session.view().question[-1] == "Your plan is empty. Choose a method and add it."
    build(session, "strip", "rinse", "mild acid")
    assert [one.partition(",")[0] for one in steps(session)] == ["strip", "rinse", "mild acid"]
    press(session, "up")
    assert [one.partition(",")[0] for one in steps(session)] == ["strip", "mild acid", "rinse"]
    assert session.typed({"at": "1"}) is False, "it stands there already"
    press(session, "change", method="mild acid", minutes="4 min", celsius="25", percent="3 %")
    assert steps(session)[1] == "mild acid, 4 min at 25 °C, 3 %"
    assert session.typed({"at": "0"}) is True and session.view().fields[2].value == "strip"
    press(session, "remove")
    press(session, "undo")
    assert len(steps(session)) == 3
    off = {one.name: one.off for one in session.view().buttons}
    assert off["up"] and not off["down"] and not off["undo"]


def test_what_cannot_be_read_is_one_sentence_and_nothing_is_lost(session: OwnPlanSession) -> None:
    build(session, "strip")
    press(session, "add", method="", minutes="")
    assert session.view().message.lines == ("Choose a method first.",)
    press(session, "add", method="mild acid", minutes="four")
    assert session.view().message.lines[0].startswith("Minutes: ") and len(steps(session)) == 1
    press(session, "add", method="strip", minutes="", percent="5")
    assert session.view().message.lines == ("'strip' has no strength: leave percent empty.",)
    press(session, "add", method="ultrasonic acid", percent="5", kilohertz="40 kHz")
    assert session.view().message.word != "Not yet" and len(steps(session)) == 2


def test_the_worked_plan_typed_in_is_judged_as_it_was(session: OwnPlanSession) -> None:
    """A first build lacked its replacement step: typed back, its plan failed."""
    assert worked_verdict().outcome == "within limits" and "replace" in [step.method for step, _ in WORKED]
    for step, _ in WORKED:
        press(session, "add", method=step.method, minutes="" if step.minutes is None else f"{step.minutes:g}")
    view = session.view()
    assert view.message.word == "Within limits" and steps(session)[-1].startswith("retest IP")
    said = " ".join(view.message.lines)
    assert "60 % of its limit" in said and "acid into water" in said
    press(session, "remove")
    assert session.view().message.word == "Incomplete" and "Missing: retest IP." in session.view().message.lines


def test_a_set_keeps_its_own_plan(session: OwnPlanSession) -> None:
    build(session, "strip", "rinse")
    assert session.typed({"set": "land"}) is True and steps(session) == []
    build(session, "strip")
    session.typed({"set": "college"})
    assert len(steps(session)) == 2


def test_harm_is_said_first(session: OwnPlanSession) -> None:
    """Acid eats anodised aluminium: from memory, as datasets/cleaning/limits.csv says."""
    session.typed({"set": "oil"})
    build(session, "strip", "mild acid")
    message = session.view().message
    assert message.word == "Harm" and message.lines[0].startswith(
        "Harm: mild acid on the anodised aluminium part: never"
    )


def test_the_best_plan_comes_after_three_steps_or_a_second_press(work: Path) -> None:
    session = cleaning_plan.own_plan(Progress(work), KEYS)
    session.typed({"set": "land"})
    press(session, "best")
    assert session.view().solution == () and session.view().message.lines == (FIRST,)
    press(session, "best")
    found = session.view()
    assert found.solution[0].startswith("strip") and found.solution_title == "The best plan by these rules"
    session.typed({"set": "oil"})
    assert session.view().solution == (), "each set has its own"
    build(session, "strip", "soft parts out", "rinse")
    press(session, "best")
    assert session.view().solution


def test_the_best_plan_typed_in_is_within_limits() -> None:
    one = SETS["land"]
    found = cleaning_plan.best_of(one)
    again = [Step(step.method, step.minutes, step.celsius, step.percent, step.kilohertz) for step in found.steps or ()]
    assert judge_plan(one.parts, one.soils, again).outcome == "within limits"


@pytest.mark.parametrize(
    "plans", ['{"college": [{"method": []}]}', '{"college": {"method": "strip"}}', "[]", '"x"', '{"college": [{"method": "xyzzy"}, 3]}']
)  # fmt: skip
def test_odd_plans_in_the_file_break_nothing(work: Path, plans: str) -> None:
    (work / FILE).write_text(
        f'{{"version": 1, "lessons": {{"05": {{"own plan": {{"plans": {plans}}}}}}}}}', encoding="utf-8"
    )
    session = cleaning_plan.own_plan(Progress(work), KEYS)
    assert session.view().title
    build(session, "strip")
    assert steps(session)[-1].startswith("strip")
    assert json.loads((work / FILE).read_text(encoding="utf-8"))


def test_a_method_that_is_known_no_more_is_named(work: Path) -> None:
    with Progress(work).change(*KEYS) as state:
        state["plans"] = {"college": [{"method": "xyzzy"}]}
    message = cleaning_plan.own_plan(Progress(work), KEYS).view().message
    assert message.word == "Not judged yet" and "There is no method 'xyzzy'" in message.lines[0]


def test_typing_redraws_the_form_only_where_it_shows_something_else(session: OwnPlanSession) -> None:
    build(session, "strip", "rinse")
    widget = FormWidget(session)
    drawn = widget.view["version"]
    widget._heard(widget, {"what": "typed", "answers": {"minutes": "4"}, "number": 1}, [])
    assert widget.view["version"] == drawn
    widget._heard(widget, {"what": "typed", "answers": {"at": "0"}, "number": 2}, [])
    assert widget.view["version"] == drawn + 1 and widget.saved == {"number": 2, "words": "Saved"}


# an instructor's own rules ----------------------------------------------------------------------------------

OWN = "part,method,limit_minutes,at_celsius,at_percent,instead,why,source\n"


def own_rules(folder: Path, monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    path = folder / "ours.csv"
    path.write_text(OWN + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    monkeypatch.setenv(CLEANING_VARIABLE, str(path))


def test_own_rules_reach_the_lesson_and_are_named(work: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own_rules(work, monkeypatch, "chromed body,acid,2,20,5,,our maker says so,our manual p. 7")
    (line,) = (one for one in on_cleaning.own_rules_note(Preferences()) if one.startswith("- "))
    assert line.startswith("- ours.csv, row 2: acid on chromed body, 2 min") and "our manual p. 7" in line
    session = cleaning_plan.own_plan(Progress(work), KEYS)
    build(session, "strip", "soft parts out", "ultrasonic acid")
    message = session.view().message
    assert message.word == "Harm" and "our maker says so" in message.lines[0]
    assert any("ours.csv, row 2" in one for one in message.lines)
    chosen = Lesson("05").make_panel("grid").spec()
    assert "chromed body" in chosen["groups"][0]["columns"]


def test_rules_that_cannot_be_used_leave_a_sentence_and_ours(work: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own_rules(work, monkeypatch, "chromed bodi,acid,2,20,5,,x,our manual")
    first = on_cleaning.own_rules_note(Preferences())[0]
    assert "ours.csv, row 2, column part" in first and "The workbook's own rules stand here alone." in first
    assert cleaning_plan.rules_in_use().rules is None


# what the exercises say is what the rules say ---------------------------------------------------------------

PART = {
    "a chrome-plated brass body": "chromed body", "a stainless piston": "stainless piston", "a stainless spring": "stainless spring",
    "a stainless valve stem": "stainless piston", "an anodised aluminium cap": "anodised aluminium part", "a titanium body": "titanium part",
    "a land of bare brass": "brass land", "a sintered inlet filter": "sintered filter", "a high-pressure seat": "PU seat",
    "a steel spring, pitted": "stainless spring", "an NBR O-ring": "NBR ring", "a diaphragm": "silicone diaphragm",
}  # fmt: skip
SOIL = {
    "salt": "salt",
    "grease": "silicone grease",
    "oil": "hydrocarbon oil",
    "scale": "scale",
    "verdigris": "verdigris",
    "rust": "rust",
}
WAY = {
    "water": "fresh-water soak",
    "detergent": "neutral detergent",
    "alkaline": "alkaline degreaser",
    "acid": "mild acid",
}


def test_what_which_bath_calls_right_harms_nothing_and_takes_the_soil() -> None:
    """By datasets/cleaning: `removal.csv` for what takes it, `limits.csv` for what it harms (sources stand in each row)."""
    takes = {(row["method"], row["soil"]) for row in rows("removal")}
    limits = {(row["part"], row["method"]): row["limit_minutes"] for row in rows("limits")}
    agent = {"water": "water", "detergent": "detergent", "alkaline": "alkali", "acid": "acid"}
    for way, cases in asked.CASES.items():
        for soil, part in cases:
            named = next((soil_name for word, soil_name in SOIL.items() if word in soil), "")
            if way == "replace":
                assert not named or cell(PART[part], named).method == "replace", (soil, part)
                continue
            assert (WAY[way], named) in takes, (soil, part)
            assert limits[known_parts()[PART[part]].material, agent[way]] != "never", (soil, part)


def test_what_never_meets_in_the_exercises_never_meets_in_the_rules() -> None:
    limits = {(row["part"], row["method"]): row["limit_minutes"] for row in rows("limits")}
    metal = {"brass": "brass", "aluminium": "aluminium", "stainless": "stainless steel"}
    agents = {"ammonia cleaner": "ammonia", "bleach": "bleach", "alkaline degreaser": "alkali", "mild acid": "acid"}
    for way in ("cracks", "pits", "eaten"):
        for agent, part in asked.DOES[way]:
            material = next(name for word, name in metal.items() if word in part)
            assert limits[material, agents[agent]] == "never", (agent, part)


def test_numbers_of_the_exercises_are_those_of_the_rules() -> None:
    assert (law("scratch_safe"), law("scratch_certain")) == (asked.SAFE, asked.CERTAIN)
    said = " ".join(plan_of("05").exercise("warm_bath").question({"card": 24, "tens": 2, "percent": 5}))
    assert f"takes soil off {law('removal_q10'):g} times as fast" in said and law("harm_q10") == 2
    assert scratch("brass pick", "brass land").outcome == "possible"


def test_the_kept_grid_is_the_computed_one() -> None:
    """A sample; `-m long` computes all of it."""
    for part, soil in (
        ("brass land", "salt"),
        ("chromed body", "scale"),
        ("stainless spring", "rust"),
        ("NBR ring", "salt"),
    ):
        one = cell(part, soil)
        assert grid(part)[soil] == (one.method, one.reason)
    assert all(set(grid(part)) == set(soils()) for part in parts()) and "replace" in methods()


def test_tables_of_the_lesson_show_what_they_credit_and_every_part_that_stays_in() -> None:
    made = cleaning_panels.tables(Preferences(), None)  # type: ignore[arg-type]
    header, rows_ = made["soils"]()
    assert header[2] == "what may stay" and {row[0]: row[2] for row in rows_}["scale"] == "5 %"
    assert "PA" in [row[0] for row in made["never"]()[1]]


def test_the_page_of_the_instructor_says_of_a_rust_smear_what_the_rules_say() -> None:
    best = best_plan(["brass land", "stainless spring"], [("brass land", "rust"), ("stainless spring", "rust")])
    answer = next(said for asked_, said in class_cleaning.questions(Preferences(), None) if "rust on a brass" in asked_)  # type: ignore[arg-type]
    assert best.steps is None and best.because in answer and "Clean it off" not in answer
