"""Covered cells: never painted before a prediction is recorded, always there where nobody could record it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from stub_page import StubPage

from steadyneedle.questions.plans import Prediction, plan_of
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.frame.panel import Panel
from steadyneedle.teaching.frame.widgets import PanelWidget
from steadyneedle.teaching.learner.predictions import PredictionSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.lesson import Lesson

pytestmark = pytest.mark.browser

CELLS = [
    ("prose", []), ("asked", []), ("answer", ["after:dial"]), ("table", ["nbval-check-output", "after:dial"]),
    ("heading", []), ("asked again", []), ("second", ["after:rulers"]), ("both", ["after:dial", "after:rulers"]),
    ("summary", []),
]  # fmt: skip
OPEN = {"prose", "asked", "heading", "asked again", "summary"}
EVERYTHING = {name for name, _ in CELLS}
NOTE = ".sn-cover-note"

Opened = Callable[..., StubPage]


@pytest.fixture
def opened(browser: Browser) -> Iterator[Opened]:
    made: list[StubPage] = []

    def make(**given: Any) -> StubPage:
        made.append(StubPage(browser, "01", CELLS, **given))
        return made[-1]

    yield make
    for one in made:
        one.close()


def form(work: Path, name: str) -> FormWidget:
    asked = plan_of("01").prediction(name)
    assert isinstance(asked, Prediction)
    return FormWidget(PredictionSession(asked, Progress(work), ("lessons", "01", "predictions", name)))


def predicted(**names: dict[str, str]) -> dict[str, Any]:
    return {"lessons": {"01": {"predictions": names}, "02": {"predictions": {"rulers": {"recorded": "x"}}}}}


def press(page: StubPage, question: str, button: str, answer: str = "") -> None:
    one = page.page.locator(".sn-form", has=page.page.locator(f"legend:has-text('{question}')"))
    if answer:
        one.get_by_label(answer, exact=True).check()
    one.get_by_role("button", name=button).click()


def test_nothing_covered_is_ever_painted(opened: Opened) -> None:
    one = opened()
    assert one.visible() == OPEN and one.seen() == OPEN
    assert "the words of answer" not in one.page.inner_text("main")
    expect(one.page.locator(f"{NOTE}:visible")).to_have_count(2)  # one for all that is covered in a row


def test_the_check_would_see_a_cell_covered_too_late(opened: Opened) -> None:
    one = opened(late=True)
    assert one.visible() == OPEN and one.seen() == EVERYTHING


def test_without_the_page_nothing_is_covered(opened: Opened) -> None:
    assert opened(plain=True).visible() == EVERYTHING


def test_what_the_file_says_counts_before_any_kernel(opened: Opened) -> None:
    one = opened(work=predicted(dial={"recorded": "142"}), session=False)
    assert one.visible() == EVERYTHING - {"second", "both"}
    one = opened(work=predicted(dial={"shown": "without predicting"}, rulers={"leaning": "x", "earlier": ["y"]}))
    assert one.visible() == EVERYTHING - {"second", "both"}, "shown is open, what was only leant to is not"


@pytest.mark.parametrize("work", [None, [], {"lessons": 3}, {"lessons": {"01": {"predictions": {"dial": 7}}}}])
def test_a_file_that_is_none_covers_everything_and_breaks_nothing(opened: Opened, work: Any) -> None:
    assert opened(work=work).visible() == OPEN


def test_recording_uncovers_and_cover_it_again_covers(opened: Opened, work: Path) -> None:
    one = opened()
    one.show(form(work, "dial"), "asked")
    one.show(form(work, "rulers"), "asked again")
    press(one, "About how many psi", "Record my prediction")
    expect(one.page.locator(".sn-feedback strong").first).to_have_text("Not recorded yet")
    assert one.visible() == OPEN
    press(one, "About how many psi", "Record my prediction", "142 psi")
    expect(one.page.get_by_text("the words of table")).to_be_visible()
    assert one.visible() == EVERYTHING - {"second", "both"}
    press(one, "Which three units", "Show me without predicting")
    expect(one.page.get_by_text("the words of both")).to_be_visible()
    assert one.visible() == EVERYTHING
    expect(one.page.locator(f"{NOTE}:visible")).to_have_count(0)
    press(one, "About how many psi", "Cover it again")
    expect(one.page.get_by_text("the words of answer")).to_be_hidden()
    assert one.visible() == EVERYTHING - {"answer", "table", "both"}


def test_the_forms_have_the_last_word(opened: Opened, work: Path) -> None:
    """The file said recorded, for example of another copy; the form, which knows, says it is not."""
    one = opened(work=predicted(dial={"recorded": "142"}))
    one.show(form(work, "dial"), "asked")
    assert one.visible() == OPEN
    other = form(work, "depth")
    one.show(other, "prose")
    assert one.visible() == OPEN, "a form that covers nothing here uncovers nothing"


def test_while_the_kernel_is_gone_nothing_is_covered(opened: Opened, work: Path) -> None:
    one = opened()
    one.show(form(work, "dial"), "asked")
    one.kernel("dead")
    one.wait(1)
    one.kernel("starting")
    one.wait(10)
    assert one.visible() == OPEN, "a kernel that comes back at once was never gone"
    for status in ("dead", "unknown", None):
        one.kernel(status)
        one.wait(6)
        assert one.visible() == EVERYTHING, status
        one.kernel("idle")
        assert one.visible() == OPEN, "and what is covered is covered again once it can be recorded"
    one.page.evaluate(
        "() => { session.session.kernel.connectionStatus = 'connecting'; session.connectionStatusChanged.emit(); }"
    )
    one.wait(6)
    assert one.visible() == EVERYTHING, "out of reach"


def test_a_form_that_never_speaks_covers_nothing(opened: Opened, work: Path) -> None:
    one = opened()
    one.show(form(work, "dial"), "asked")
    one.page.evaluate("() => covering.settle()")
    assert one.visible() == OPEN | {"second"}, "rulers has not spoken"
    two = opened(session=False)
    two.wait(80)
    assert two.visible() == OPEN
    two.wait(11)
    assert two.visible() == EVERYTHING


def test_a_kernel_that_does_not_answer_keeps_nothing_covered(opened: Opened, work: Path) -> None:
    one = opened()
    one.show(form(work, "dial"), "asked")
    one.page.evaluate("() => { window.silent = true; }")
    press(one, "About how many psi", "Show me without predicting")
    one.wait(3)
    assert one.visible() == OPEN
    one.wait(2)
    assert one.visible() == OPEN | {"answer", "table"}
    expect(one.page.locator(".sn-form [role=status]")).to_contain_text("Not saved yet: nothing answers.")


def test_whoever_teaches_uncovers_all_and_paper_shows_all(opened: Opened) -> None:
    one = opened()
    one.page.emulate_media(media="print")
    assert one.visible() == EVERYTHING
    expect(one.page.locator(f"{NOTE}:visible")).to_have_count(0)
    one.page.emulate_media(media="screen")
    assert one.visible() == OPEN and set(one.page.evaluate("() => covering.covered()")) == {"dial", "rulers"}
    for call in ("uncoverAll", "fault"):
        one.page.evaluate("(call) => covering[call]()", call)
        assert one.visible() == EVERYTHING
        one.page.evaluate("(call) => covering[call](false)", call)
        assert one.visible() == OPEN


def test_time_runs_by_itself_to_its_end(opened: Opened) -> None:
    one = opened(plain=True)
    panel = Lesson("04").make_panel("ten_seconds_on")
    assert isinstance(panel, Panel)
    one.show(PanelWidget(panel), "prose")
    one.page.get_by_role("button", name="Let time run").click()
    one.wait(5)
    one.page.get_by_role("button", name="Pause").click()
    middle = float(one.page.get_by_role("slider").input_value())
    assert 60 < middle < 600
    one.wait(5)
    assert float(one.page.get_by_role("slider").input_value()) == middle, "a pause is one"
    one.page.get_by_role("button", name="Let time run").click()
    one.wait(16)
    ends = panel.controls[0].high  # the dataset's last reading
    last = f"After {ends // 60:.0f}:{ends % 60:02.0f} min of watching the gauge shows 10.9 bar."
    expect(one.page.locator(".sn-sentence")).to_have_text(last)
    expect(one.page.locator(".sn-picture")).to_have_attribute("aria-label", f"The same needle, and time runs. {last}")
    expect(one.page.get_by_role("button", name="Let time run")).to_be_visible()
    one.page.get_by_role("button", name="Let time run").click()
    one.wait(1)
    assert float(one.page.get_by_role("slider").input_value()) < 120, "from its end it begins again"
    one.page.keyboard.press("Escape")
    one.wait(2)
    assert float(one.page.get_by_role("slider").input_value()) == 10
