"""Several to tick, an order, a verdict with its reason: by keyboard alone, saved at each change, in a paper and a lesson."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path

import pytest
from new_kinds import paper_of, right_of
from playwright.sync_api import Browser, Locator, expect
from stub_page import StubPage

from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import ORDER, QUANTITY, SEVERAL, TEXT, VERDICT
from steadyneedle.questions.bank.for_papers import BEFORE_OPENING, JUDGE_A_WATCH, WHAT_LETS_IN
from steadyneedle.questions.keyed import KeyedExercise
from steadyneedle.sitting_forms import AnswerSession, HandInSession
from steadyneedle.teaching.frame.form import AreaField
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.progress import Progress

pytestmark = pytest.mark.browser
AT = datetime.datetime(2026, 11, 27, 12, 0, tzinfo=datetime.UTC)
FINDINGS = """async () => (await axe.run({include: [['.sn-form']]}, {resultTypes: ['violations']})).violations
  .filter((one) => ["serious", "critical"].includes(one.impact)).map((one) => `${one.id}: ${one.nodes[0].html}`)"""


@pytest.fixture
def stub(browser: Browser) -> Iterator[StubPage]:
    one = StubPage(browser, "01", [("question", []), ("end", [])], plain=True)
    one.page.set_viewport_size({"width": 1000, "height": 1200})
    yield one
    one.close()


def of_kind(kind: str) -> Item:
    return next(one for one in paper_of("101").items if one.kind == kind)


def shown(stub: StubPage, widget: FormWidget) -> Locator:
    stub.page.add_style_tag(content=str(widget._css))
    stub.show(widget, "question")
    return stub.page.locator(".sn-form").last


def in_paper(stub: StubPage, folder: Path, item: Item) -> Locator:
    return shown(stub, FormWidget(AnswerSession(item, Answers(paper_of("101"), folder))))


def on_disk(folder: Path, item: Item) -> str:
    return Answers(paper_of("101"), folder).kept().get(item.number, "")


def test_the_whole_of_a_long_answer_is_printed(stub: StubPage, tmp_path: Path) -> None:
    item = Item(1, TEXT, "customer", 1, "What you say", {}, ("What do you tell the customer?",))
    answers = Answers(Paper("101", "units", 1, "Units", 60, 70, "9266d379", (item,)), tmp_path)
    form = shown(stub, FormWidget(AnswerSession(item, answers)))
    area, printed = form.get_by_role("textbox"), form.locator(".sn-printed")
    area.fill("\n".join(f"line {n}" for n in range(40)))
    expect(printed).to_be_hidden()
    stub.page.emulate_media(media="print")
    expect(area).to_be_hidden()
    assert printed.inner_text().splitlines()[39] == "line 39"
    assert printed.evaluate("(one) => one.clientHeight >= 40 * 16 && one.scrollHeight <= one.clientHeight")
    stub.page.emulate_media(media="screen")
    expect(area).to_be_visible()


def test_what_does_not_fit_is_said(stub: StubPage, tmp_path: Path) -> None:
    """Near its end a field counts; of what is pasted the page names what it did not take."""
    item = Item(1, TEXT, "customer", 1, "What you say", {}, ("What do you tell the customer?",))
    answers = Answers(Paper("101", "units", 1, "Units", 60, 70, "9266d379", (item,)), tmp_path)
    form = shown(stub, FormWidget(AnswerSession(item, answers)))
    area, keys = form.get_by_role("textbox"), stub.page.keyboard
    longest = AreaField.longest
    area.fill("a" * (longest * 9 // 10 - 1))
    assert "characters\n" not in form.inner_text()
    area.press_sequentially("b")
    expect(form.get_by_text("1,800 of 2,000 characters")).to_be_visible()
    area.fill("a" * 1990)
    area.focus()
    stub.page.evaluate("() => { const from = document.body.appendChild(document.createElement('textarea')); from.value = 'one two three and the end'; from.select(); document.execCommand('copy'); from.remove(); }")  # fmt: skip
    area.focus()
    keys.press("Control+End")
    keys.press("Control+V")
    lost = form.get_by_text("It does not all fit. The last 15 characters were NOT taken: “ree and the end”")
    expect(lost).to_be_visible()
    expect(form.get_by_text("2,000 of 2,000 characters: it is full")).to_be_visible()
    assert area.input_value().endswith("aone two th")
    expect(form.locator("[role=status]")).to_have_text("Saved")
    assert len(answers.kept()[1]) == longest
    keys.press("x")
    expect(form.get_by_text("It is full: what you type now is NOT taken.")).to_be_visible()
    keys.press("Backspace")
    expect(form.get_by_text("NOT taken")).to_have_count(0)
    expect(form.get_by_text("1,999 of 2,000 characters")).to_be_visible()


def test_without_a_unit_it_is_said_after_a_pause(stub: StubPage, tmp_path: Path) -> None:
    item = Item(1, QUANTITY, "mpa_to_psi", 1, "MPa to psi", {}, ("How many psi?",), unit="psi")
    answers = Answers(Paper("101", "units", 1, "Units", 60, 70, "9266d379", (item,)), tmp_path)
    form = shown(stub, FormWidget(AnswerSession(item, answers)))
    form.get_by_label("Your answer with its unit (asked in psi)").press_sequentially("1500")
    expect(form.locator("[role=status]")).to_have_text("Saved")
    expect(form.locator(".sn-feedback")).to_be_empty()
    stub.page.clock.fast_forward(1600)
    expect(form.get_by_text("No unit yet: type for example 1500 psi.")).to_be_visible()


def test_silence_is_said_once_whatever_is_typed_on(stub: StubPage, tmp_path: Path) -> None:
    item = Item(1, QUANTITY, "mpa_to_psi", 1, "MPa to psi", {}, ("How many psi?",), unit="psi")
    answers = Answers(Paper("101", "units", 1, "Units", 60, 70, "9266d379", (item,)), tmp_path)
    form = shown(stub, FormWidget(AnswerSession(item, answers), unheard="Nothing answers."))
    field, status = form.get_by_role("textbox"), form.locator("[role=status]")
    stub.page.evaluate("window.silent = true")
    field.press_sequentially("15")
    expect(status).to_have_text("Saving…")
    stub.page.clock.fast_forward(1600)
    field.press_sequentially("0")
    stub.page.clock.fast_forward(2500)
    expect(status).to_have_text("Nothing answers.")
    field.press_sequentially("0")
    expect(status).to_have_text("Nothing answers.")
    stub.page.evaluate("window.silent = false")
    field.press_sequentially(" psi")
    expect(status).to_have_text("Saved")
    stub.page.clock.fast_forward(9000)
    expect(status).to_have_text("Saved")
    assert answers.kept() == {1: "1500 psi"}


DRAWN_LATE = """async () => {
  const { leave, take } = await import("./carry.js");
  const node = document.body.appendChild(document.createElement("section")), got = [];
  node.innerHTML = '<div class="sn-live"></div>';
  const cell = { id: "answer-2", node, area: {} };
  take(cell, [{ unsaved: { answer: "14 bar" } }]);
  const again = leave(cell);  // its output is replaced once more before it is drawn
  cell.area = {};
  take(cell, again);
  const form = Object.assign(document.createElement("div"), { className: "sn-form", take: (left) => got.push(left.unsaved.answer) });
  node.firstChild.append(form);
  for (let turn = 0; turn < 5; turn += 1) await null;
  node.firstChild.append("more");
  for (let turn = 0; turn < 5; turn += 1) await null;
  return got;
}"""


def test_a_form_that_is_drawn_late_gets_what_was_typed_meanwhile(stub: StubPage) -> None:
    """On a busy machine the page stops waiting for a form to be drawn; what was left for it is given once it is there."""
    given = stub.page.evaluate(DRAWN_LATE)
    assert given == ["14 bar"]


def choose(stub: StubPage, form: Locator, kind: str, answer: str) -> None:
    """Answer with keys alone, from the form's first field on."""
    keys, first = stub.page.keyboard, form.locator("[data-field]").first
    first.focus()
    if kind == SEVERAL:
        for value in first.page.locator(".sn-form").last.locator("input").evaluate_all("(all) => all.map((one) => one.value)"):  # fmt: skip
            if value in answer.split(" + "):
                keys.press("Space")
            keys.press("Tab")
    elif kind == ORDER:
        options = form.locator("select").first.locator("option").evaluate_all("(all) => all.map((one) => one.value)")
        for step in answer.split(" > "):
            for _ in range(options.index(step)):
                keys.press("ArrowDown")
            keys.press("Tab")
    else:
        for name, value in zip(("verdict", "reason"), answer.split(" because "), strict=True):
            group = form.locator(f"[data-field={name}]")
            at = group.evaluate_all("(all) => all.map((one) => one.value)").index(value)
            group.first.focus()
            keys.press("Space")
            for _ in range(at):
                keys.press("ArrowDown")


@pytest.mark.parametrize("kind", [SEVERAL, ORDER, VERDICT])
def test_answered_by_keyboard_and_saved_at_each_change(kind: str, stub: StubPage, axe: str, tmp_path: Path) -> None:
    item = of_kind(kind)
    form = in_paper(stub, tmp_path, item)
    choose(stub, form, kind, right_of(item))
    expect(form.locator("[role=status]")).to_have_text("Saved")
    expect(form.locator(".sn-feedback")).to_have_text("")
    assert on_disk(tmp_path, item) == right_of(item) or set(on_disk(tmp_path, item).split(" + ")) == set(right_of(item).split(" + "))  # fmt: skip
    stub.page.evaluate(axe)
    assert stub.page.evaluate(FINDINGS) == []
    again = in_paper(stub, tmp_path, item)
    on = "(all) => all.filter((one) => one.checked || (one.tagName === 'SELECT' && one.value)).map((one) => one.value)"
    chosen = again.locator("[data-field]").evaluate_all(on)
    assert sorted(chosen) == sorted(right_of(item).replace(" because ", " + ").replace(" > ", " + ").split(" + "))
    assert not stub.trouble


def test_the_keyboard_stays_where_it_is_and_half_an_answer_is_kept(stub: StubPage, tmp_path: Path) -> None:
    item = of_kind(ORDER)
    form = in_paper(stub, tmp_path, item)
    second = form.get_by_label("Step 2")
    second.focus()
    stub.page.keyboard.press("ArrowDown")
    expect(form.locator("[role=status]")).to_have_text("Saved")
    expect(form.locator(".sn-feedback")).to_contain_text("A place is still open. Choose a step for each place.")
    expect(second).to_be_focused()
    key = second.input_value()
    assert on_disk(tmp_path, item).split(" > ") == ["-", key, "-", "-", "-"]
    whole, size = form.locator(".sn-whole").nth(1), stub.page.viewport_size
    expect(whole).to_be_hidden()
    second.select_option(label=max((words for _, words in item.options), key=len))
    stub.page.set_viewport_size({"width": 360, "height": 760})
    expect(whole).to_have_text(max((words for _, words in item.options), key=len))
    expect(whole).to_be_visible()
    stub.page.set_viewport_size(size)
    second.select_option(key)
    second.focus()
    stub.page.keyboard.press("ArrowUp")
    expect(second).to_have_value("")
    expect(form.locator(".sn-feedback")).to_have_text("")
    assert on_disk(tmp_path, item) == "", "nothing chosen is nothing answered"


@pytest.mark.parametrize("kind", [SEVERAL, ORDER, VERDICT])
def test_what_a_lost_kernel_has_not_saved_goes_over_to_the_next_form(kind: str, stub: StubPage, tmp_path: Path) -> None:
    """The kernel is gone while one answers; the form drawn in this one's place takes all of it, and saves it."""
    item = of_kind(kind)
    form = in_paper(stub, tmp_path, item)
    stub.page.evaluate("window.silent = true")
    choose(stub, form, kind, right_of(item))
    left = form.evaluate("(one) => one.leave()")
    assert left["unsaved"] and on_disk(tmp_path, item) != right_of(item)
    stub.page.evaluate("window.silent = false")
    again = in_paper(stub, tmp_path, item)
    again.evaluate("(one, left) => one.take(left)", left)
    expect(again.locator("[role=status]")).to_have_text("Saved")
    assert sorted(on_disk(tmp_path, item)) == sorted(right_of(item))


LOST = "Your last press was not carried out. Press again."


def hand_in_form(stub: StubPage, folder: Path, after: Locator | None = None) -> tuple[Locator, Answers]:
    """The form that hands in; drawn in the place of another one, it takes what that one leaves."""
    answers, left = Answers(paper_of("101"), folder), after.evaluate("(one) => one.leave()") if after else None
    stub.page.evaluate("window.silent = false")
    form = shown(stub, FormWidget(HandInSession(answers)))
    if left:
        form.evaluate("(one, left) => one.take(left)", left)
    return form, answers


def press_unheard(stub: StubPage, form: Locator, button: str) -> None:
    stub.page.evaluate("window.silent = true")
    form.get_by_role("button", name=button).click()


@pytest.mark.parametrize("carried_out", [False, True])
def test_a_press_that_was_lost_with_its_kernel_is_said(carried_out: bool, stub: StubPage, tmp_path: Path) -> None:
    """The kernel is gone with a press; the next form says so until one presses, and never where the press was done."""
    form, answers = hand_in_form(stub, tmp_path)
    form.get_by_role("button", name="Hand in", exact=True).click()
    expect(form).to_contain_text("Do you want to hand in now?")
    press_unheard(stub, form, "Yes, hand in now")
    if carried_out:
        answers.hand_in(AT)
    form, _ = hand_in_form(stub, tmp_path, form)
    if carried_out:
        expect(form.locator(".sn-feedback")).to_contain_text("Write the receipt down.")
        expect(form.locator("[role=status]")).to_be_empty()
        return
    expect(form.locator("[role=status]")).to_have_text(LOST)
    form, _ = hand_in_form(stub, tmp_path, form)  # and its kernel is gone too
    expect(form.locator("[role=status]")).to_have_text(LOST)
    form.get_by_role("button", name="Hand in", exact=True).click()
    expect(form.locator("[role=status]")).to_have_text("Saved")
    form.get_by_role("button", name="Yes, hand in now").click()
    expect(form).to_contain_text("Write the receipt down.")


def test_handing_in_again_that_was_lost_is_said_beside_the_old_receipt(stub: StubPage, tmp_path: Path) -> None:
    """And where nothing needs to be pressed again, nothing is said."""
    form, answers = hand_in_form(stub, tmp_path)
    answers.hand_in(AT)
    answers.keep(1, "1 bar")
    form.get_by_role("button", name="Hand in", exact=True).click()
    expect(form).to_contain_text("Do you want to hand in now?")
    press_unheard(stub, form, "Yes, hand in now")
    form, _ = hand_in_form(stub, tmp_path, form)
    expect(form.locator("[role=status]")).to_have_text(LOST)
    form.get_by_role("button", name="Hand in", exact=True).click()
    expect(form).to_contain_text("Do you want to hand in now?")
    press_unheard(stub, form, "No, go on answering")
    form, _ = hand_in_form(stub, tmp_path, form)
    expect(form.locator("[role=status]")).to_be_empty()


@pytest.mark.parametrize("exercise", [WHAT_LETS_IN, BEFORE_OPENING, JUDGE_A_WATCH], ids=lambda one: one.name)
def test_a_lesson_can_ask_them_too(exercise: KeyedExercise, stub: StubPage, work: Path) -> None:
    kinds = {WHAT_LETS_IN.name: SEVERAL, BEFORE_OPENING.name: ORDER, JUDGE_A_WATCH.name: VERDICT}
    keys = ("lessons", "04", "exercises", exercise.name)
    session = PracticeSession(exercise, Progress(work), keys, "Exercise")
    form = shown(stub, FormWidget(session))
    choose(stub, form, kinds[exercise.name], exercise.solve(exercise.givens(*keys, 0)))
    form.get_by_role("button", name="Check", exact=True).click()
    expect(form.locator(".sn-feedback strong")).to_have_text("Right")
    form.get_by_role("button", name="New numbers", exact=True).click()
    on = "(all) => all.filter((one) => one.checked || (one.tagName === 'SELECT' && one.value)).length"
    expect(form.locator(".sn-feedback")).to_have_text("")
    assert form.locator("[data-field]").evaluate_all(on) == 0, "new numbers begin empty"
    assert Progress(work).entry(*keys)["right"] == 1, "right at the first check"
