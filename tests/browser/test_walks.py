"""Two walks from one end to the other: a trainee's evenings at home, and a class before a screen."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from in_lab import PATIENCE, Lab, heading, wait_until_live
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
PSI_A_BAR = 14.503774  # NIST Special Publication 811, Appendix B.9


def form(page: Page, words: str) -> Any:
    return page.locator(".sn-form", has_text=words)


def panel(page: Page, title: str) -> Any:
    return page.locator(".sn-panel", has=page.locator(f"legend:text-is('{title}')"))


def predict(page: Page, question: str, answer: str, covered: Any) -> None:
    asked = form(page, question)
    if asked.get_by_role("button", name="Record my prediction").count():  # else another test has done so
        expect(covered).to_be_hidden()
        asked.get_by_label(answer, exact=True).check()
        asked.get_by_role("button", name="Record my prediction").click()
    expect(covered).to_be_visible()


def until_place_is_kept(page: Page, lab: Lab, lesson: str) -> None:
    """The kernel writes it, a moment after the last scrolling."""
    here, offset = page.evaluate(
        "(({place}) => { const cell = place.nearest(); const top = cell.node.getBoundingClientRect().top;"
        " return [cell.id, Math.round(place.line() - top)]; })(document.querySelector('.sn-lesson').page)"
    )
    for _ in range(PATIENCE // 100):
        kept = json.loads((lab.folder / "my-work.json").read_text(encoding="utf-8")).get("page", {})
        place = kept.get("places", {}).get(lesson, {})
        if (place.get("cell"), place.get("offset")) == (here, offset):
            return
        page.wait_for_timeout(100)
    raise AssertionError((here, offset, kept))


def top(form: Any) -> float:
    """How far below the window's upper edge a form begins."""
    return float(form.evaluate("(e) => e.getBoundingClientRect().top"))


def test_a_trainees_two_evenings(lab: Lab) -> None:
    """Lesson 01: types what people type and is told what to do. The next evening it is there, where it was left."""
    page = lab.page("01-pressure-and-units.ipynb", height=768)
    reading = form(page, heading("01", "psi_to_bar"))
    predict(page, "About how many psi is that?", "142 psi", reading)
    psi = float(re.search(r"([\d.]+)\spsi", reading.inner_text())[1])  # type: ignore[index]
    answer, said = reading.get_by_label("Your answer, in bar"), reading.locator(".sn-feedback")
    for typed, reply in (
        ("9,8", "A number needs its unit. Type the unit behind it, for example "),
        (f"{psi:g} psi", "That is the reading again"),
        (f"{psi / PSI_A_BAR / 10:.3f} MPa", "Right"),
    ):
        answer.fill(typed)
        answer.press("Enter")
        expect(said).to_contain_text(reply)
    kept = answer.input_value()
    reading.evaluate(
        "(e) => window.scrollTo({top: e.getBoundingClientRect().top + scrollY - 200, behavior: 'instant'})"
    )
    left = top(reading)
    until_place_is_kept(page, lab, "01")
    page.close()

    page = lab.page("01-pressure-and-units.ipynb", height=768)
    reading = form(page, heading("01", "psi_to_bar"))
    expect(reading.get_by_label("Your answer, in bar")).to_have_value(kept)
    expect(reading.locator(".sn-feedback")).to_contain_text("Right")
    assert top(reading) == pytest.approx(left, abs=3)
    page.close()


def test_a_class_before_a_screen(class_room: Lab) -> None:
    """Lesson 03: hands go up, a page key leads on, an arrow key moves the needle, two keys change the gauge."""
    page = class_room.page("03-specification-bands.ipynb", 1366, 768)
    at = page.evaluate("scrollY")
    page.keyboard.press("PageDown")
    assert page.evaluate("scrollY") > at
    asked, band = form(page, "Does it pass?"), panel(page, "A band under a needle")
    expect(band).to_be_hidden()
    for words, hands in (("yes, it is in the band", 3), ("it depends on the gauge and on the rule", 1)):
        for _ in range(hands):
            asked.get_by_role("button", name=f"One hand more: {words}").click()
    asked.get_by_role("button", name="Show me without predicting").click()
    expect(band).to_be_visible()
    assert asked.locator(".sn-hands-count").all_inner_texts() == ["3", "0", "1"]

    sentence, slider = band.locator(".sn-sentence"), band.get_by_role("slider", name="Reading")
    slider.press("ArrowRight")
    expect(sentence).not_to_contain_text("10.1 bar lies within")
    slider.press("ArrowLeft")
    expect(sentence).to_contain_text("10.1 bar lies within U = 0.12 bar of the limit 10.2 bar")
    gauge = band.get_by_label("Gauge class (percent of span)")
    gauge.press("ArrowDown")
    expect(sentence).to_contain_text("U = 0.19 bar")
    gauge.press("ArrowDown")
    expect(sentence).to_contain_text(
        "the band 9.8 to 10.2 bar is narrower than twice U = 0.30 bar, so no reading with this gauge can pass"
    )
    page.keyboard.press("Escape")
    expect(sentence).to_contain_text("10.1 bar lies within U = 0.12 bar of the limit 10.2 bar")
    page.reload()
    wait_until_live(page)
    assert form(page, "Does it pass?").locator(".sn-hands-count").all_inner_texts() == ["3", "0", "1"]
    page.close()
