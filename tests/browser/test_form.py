"""A form under the pointer: a stale verdict greys at the first key, three clicks on one spot destroy no answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect
from stub_page import StubPage

from steadyneedle.questions.plans import plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.frame.standing import StandingWidget
from steadyneedle.teaching.frame.widgets import PanelWidget
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.start_here import panels

pytestmark = pytest.mark.browser

NAMES = ["Check", "Hint", "Worked solution", "Earlier numbers", "New numbers"]


@pytest.fixture
def stub(browser: Browser) -> Iterator[StubPage]:
    one = StubPage(browser, "01", [("exercise", []), ("end", [])], plain=True)
    one.page.set_viewport_size({"width": 1000, "height": 1200})
    yield one
    one.close()


def shown(stub: StubPage, work: Path, number: str, name: str) -> Locator:
    exercise = plan_of(number).exercise(name)
    widget = FormWidget(PracticeSession(exercise, Progress(work), ("lessons", number, "exercises", name), "Exercise"))
    stub.page.add_style_tag(content=str(widget._css))
    stub.show(widget, "exercise")
    return stub.page.locator(".sn-form")


def places(form: Locator) -> dict[str, Any]:
    """Where each button stands."""
    boxes = {name: form.get_by_role("button", name=name, exact=True).bounding_box() for name in NAMES}
    return {name: (box["x"], box["y"]) for name, box in boxes.items() if box}


def click(stub: StubPage, spot: tuple[float, float], times: int = 3) -> None:
    for _ in range(times):
        stub.page.mouse.click(spot[0] + 12, spot[1] + 12)
        stub.page.wait_for_timeout(60)


def test_a_stale_verdict_greys_at_the_first_key(stub: StubPage, work: Path) -> None:
    form = shown(stub, work, "01", "psi_to_bar")
    field, said = form.get_by_role("textbox"), form.locator(".sn-feedback")
    field.fill("9")
    field.press("Enter")
    expect(said.locator("strong")).to_have_text("Not read yet")
    fresh = said.locator("strong").evaluate("(e) => getComputedStyle(e).color")
    field.press_sequentially(" ")
    expect(said.get_by_text("This was said of another answer.")).to_be_visible()
    assert said.locator("strong").evaluate("(e) => getComputedStyle(e).color") != fresh
    field.press("Backspace")
    expect(said.get_by_text("This was said of another answer.")).to_be_hidden()


def test_a_stale_verdict_on_a_choice_greys_too(stub: StubPage, work: Path) -> None:
    form = shown(stub, work, "02", "set_it")
    form.get_by_role("radio").first.check()
    form.get_by_role("button", name="Check").click()
    expect(form.locator(".sn-feedback strong")).to_be_visible()
    form.get_by_role("radio").nth(1).check()
    expect(form.get_by_text("This was said of another answer.")).to_be_visible()


def test_three_clicks_on_any_button_destroy_no_answer(stub: StubPage, work: Path) -> None:
    """Each stays where it is, whatever the others do; new numbers can be undone."""
    form = shown(stub, work, "01", "psi_to_bar")
    field = form.get_by_role("textbox")
    field.fill("9,8 bar")
    before, question = places(form), form.locator("p").first.text_content()
    assert list(before) == NAMES and before["New numbers"][0] > before["Worked solution"][0] + 250, "apart"
    for name in NAMES[:3]:
        click(stub, before[name])
        assert places(form) == before and field.input_value() == "9,8 bar", name
    expect(form.locator("ol li").first).to_be_visible()
    click(stub, before["New numbers"])
    expect(field).to_have_value("")
    assert form.locator("p").first.text_content() != question
    form.get_by_role("button", name="Earlier numbers").click()
    expect(field).to_have_value("9,8 bar")
    assert form.locator("p").first.text_content() == question and places(form) == before


def test_a_button_that_is_off_keeps_the_keyboard(stub: StubPage, work: Path) -> None:
    form = shown(stub, work, "01", "psi_to_bar")
    hint = form.get_by_role("button", name="Hint")
    hint.focus()
    for _ in range(4):
        stub.page.keyboard.press("Enter")
        stub.page.wait_for_timeout(60)
    expect(hint).to_be_focused()
    expect(hint).to_be_disabled()


def test_nobody_starts_over_by_chance(stub: StubPage) -> None:
    """It takes two presses on two spots."""
    started: list[int] = []
    widget = StandingWidget(("lesson",), lambda: [], lambda: started.append(1))
    stub.page.add_style_tag(content=str(widget._css))
    stub.show(widget, "end")
    button = stub.page.get_by_role("button", name="Start this lesson over")
    box = button.bounding_box()
    assert box
    click(stub, (box["x"], box["y"]))
    assert started == []
    stub.page.get_by_role("button", name="No, leave it").click()
    button.click()
    stub.page.get_by_role("button", name="Yes, start over").click()
    expect(stub.page.get_by_role("status").last).to_have_text("Started over. What was done and met stands as it was.")
    assert started == [1]


def test_a_control_moved_and_a_table_seen_are_reported_once(stub: StubPage) -> None:
    """The gauge moves without the kernel, and nobody answers a table: the page says so, not before it is so."""
    heard: list[str] = []
    panel = PanelWidget(panels(Preferences(), lambda: {})["gauge"]())
    table = StandingWidget(
        ("lesson",), lambda: [{"lesson": "00", "objective": "1", "words": "met", "next": "", "link": ""}], lambda: None
    )
    for widget in (panel, table):
        widget.on_msg(lambda _widget, message, _buffers: heard.append(message["what"]))
    stub.page.add_style_tag(content=str(panel._css) + "[data-name=exercise] { min-height: 3000px }")
    stub.show(panel, "exercise")
    stub.show(table, "end")
    slider = stub.page.locator("input[type=range]").first
    slider.focus()
    stub.page.wait_for_timeout(200)
    assert heard == []
    for _ in range(3):
        stub.page.keyboard.press("ArrowRight")
    stub.page.wait_for_timeout(200)
    assert heard == ["moved"]
    for _ in range(2):
        stub.page.locator(".sn-standing").scroll_into_view_if_needed()
        stub.page.wait_for_timeout(200)
        slider.scroll_into_view_if_needed()
        stub.page.wait_for_timeout(200)
    assert heard == ["moved", "seen"]
