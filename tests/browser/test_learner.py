"""A learner's path: start, move a control, the picture changes, type an answer, restart, it is still there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from in_lab import Lab, heading, study, uncover
from playwright.sync_api import Browser, Page, expect

from steadyneedle.teaching.frame.panel import ScenePanel
from steadyneedle.teaching.lesson import Lesson

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def lab(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """A learner who has answered nothing yet, whatever other tests did before."""
    with study(tmp_path_factory.mktemp("path") / "work", browser) as running:
        yield running


def panel(page: Page, title: str) -> Any:
    return page.locator(".sn-panel", has=page.locator(f"legend:text-is('{title}')"))


def form(page: Page, title: str) -> Any:
    return page.locator(".sn-form", has=page.locator(f"h4:has-text('{title}')"))


def predict(page: Page, question: str, answer: str) -> None:
    one = page.locator(".sn-form", has=page.locator(f"legend:has-text('{question}')"))
    one.get_by_label(answer, exact=True).check()
    one.get_by_role("button", name="Record my prediction").click()
    expect(one.locator(".sn-feedback strong")).to_have_text("Recorded")


def kept(lab: Lab) -> dict[str, Any]:
    return json.loads((lab.folder / "my-work.json").read_text(encoding="utf-8"))


def test_the_whole_path(lab: Lab) -> None:
    page = lab.page("00-start-here.ipynb", height=6000)
    trouble: list[str] = []
    page.on("pageerror", lambda error: trouble.append(str(error)))

    gauge = panel(page, "A gauge")
    expect(gauge.locator("input[type=range]")).to_be_hidden()
    predict(page, "Is the number in psi larger", "larger")
    expect(gauge.locator("input[type=range]")).to_be_visible()

    picture = gauge.locator(".sn-picture")
    before = picture.get_attribute("aria-label")
    slider = gauge.get_by_role("slider", name="Pressure (bar)")
    slider.focus()
    page.keyboard.press("ArrowRight")
    expect(picture).to_have_attribute("aria-label", re.compile(r"10\.1 bar \(146 psi\)"))
    assert picture.get_attribute("aria-label") != before
    expect(gauge.locator(".sn-sentence")).to_contain_text("10.1 bar")

    chart = panel(page, "The same as a chart")
    image = chart.locator("img")
    first = image.get_attribute("src")
    chart.get_by_role("slider").focus()
    page.keyboard.press("ArrowRight")
    expect(image).not_to_have_attribute("src", first or "")
    expect(image).to_have_attribute("alt", "10.5 bar is 152 psi.")

    exercise = form(page, "Exercise 1.")
    answer = exercise.get_by_label("Your answer, in psi")
    answer.fill("9,8")
    answer.press("Enter")
    expect(exercise.locator(".sn-feedback")).to_contain_text(
        "A number needs its unit. Type the unit behind it, for example "
    )
    answer.fill("9,8 bar")
    expect(exercise.locator("[role=status]")).to_have_text("Saved")
    assert kept(lab)["lessons"]["00"]["exercises"]["read_a_panel"]["typed"] == "9,8 bar"
    exercise.get_by_role("button", name="Check").click()
    expect(exercise.locator(".sn-feedback strong")).to_have_text("Not yet")

    lab.restart_kernel(page)
    again = form(page, "Exercise 1.")
    expect(again.get_by_label("Your answer, in psi")).to_have_value("9,8 bar")
    expect(again.locator(".sn-feedback strong")).to_have_text("Not yet")
    expect(panel(page, "A gauge").locator("input[type=range]")).to_be_visible()
    assert trouble == []
    page.close()


def test_own_reading_is_judged_and_stays(lab: Lab) -> None:
    page = lab.page("03-specification-bands.ipynb", height=16000)
    uncover(page)
    own = form(page, "Your own reading")
    own.get_by_label("Juniper").check()
    own.get_by_label("Reading, gauge pressure").fill("9,8 bar")
    own.get_by_role("button", name="Judge it").click()
    expect(own.locator(".sn-feedback strong")).to_have_text("Cannot tell")
    expect(own.locator(".sn-feedback")).to_contain_text("9.8 bar lies within U = 0.12 bar of the limit 9.8 bar")
    lab.restart_kernel(page)
    uncover(page)
    own = form(page, "Your own reading")
    expect(own.get_by_label("Reading, gauge pressure")).to_have_value("9,8 bar")
    expect(own.locator(".sn-feedback strong")).to_have_text("Cannot tell")
    page.close()


def test_two_lessons_open_at_once_lose_nothing(lab: Lab) -> None:
    one = lab.page("00-start-here.ipynb", height=6000)
    two = lab.page("01-pressure-and-units.ipynb", height=16000)
    uncover(one)
    uncover(two)
    strange, reading = heading("00", "a_strange_unit"), heading("01", "psi_to_bar")
    for n in range(6):
        form(one, strange).get_by_label("Your answer").fill(f"{900 + n} kPa")
        form(two, reading).get_by_label("Your answer").fill(f"{n},5 bar")
    for page, name in ((one, strange), (two, reading)):
        expect(form(page, name).locator("[role=status]")).to_have_text("Saved")
    lessons = kept(lab)["lessons"]
    assert lessons["00"]["exercises"]["a_strange_unit"]["typed"] == "905 kPa"
    assert lessons["01"]["exercises"]["psi_to_bar"]["typed"] == "5,5 bar"
    one.close()
    two.close()


def test_a_form_says_when_nothing_is_saved(lab: Lab) -> None:
    """The folder's file becomes one of a newer version: the form says so and the file stays as it is."""
    page = lab.page("00-start-here.ipynb", height=6000)
    uncover(page)
    path: Path = lab.folder / "my-work.json"
    good = path.read_bytes()
    path.write_text('{"version": 99}', encoding="utf-8")
    try:
        exercise = form(page, "Exercise 1.")
        exercise.get_by_label("Your answer, in psi").fill("1 psi")
        expect(exercise.locator("[role=status]")).to_contain_text("Not saved: my-work.json was written by a newer")
        assert path.read_text(encoding="utf-8") == '{"version": 99}'
    finally:
        path.write_bytes(good)
    page.close()


def test_everything_by_keyboard(lab: Lab) -> None:
    page = lab.page("01-pressure-and-units.ipynb", height=16000)
    question = page.locator(".sn-form", has=page.locator("legend:has-text('30 m')"))
    question.get_by_label("it rises by 3 bar").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(question.locator(".sn-feedback strong")).to_have_text("Recorded")
    depth = panel(page, "Depth, ambient and absolute")
    slider = depth.get_by_role("slider", name="Depth (m)")
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    sentence = depth.locator(".sn-sentence")
    expect(sentence).to_contain_text("At 3 m")
    page.keyboard.press("Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type("30,2")
    page.keyboard.press("Enter")
    expect(sentence).to_contain_text("At 30 m in sea water, ambient is 4.02 bar absolute")
    outline = depth.locator("input[type=text]").first.evaluate("(e) => getComputedStyle(e).outlineStyle")
    assert outline == "solid", "visible focus"
    page.keyboard.press("Control+A")
    page.keyboard.type("99")
    page.keyboard.press("Enter")
    expect(depth.locator("[role=status]")).to_have_text(
        "Depth: type a number from 0 to 60 m, or one with another unit."
    )
    page.keyboard.press("Control+A")
    page.keyboard.type("66 ft")
    page.keyboard.press("Enter")
    expect(sentence).to_contain_text("At 20 m in sea water")
    expect(depth.locator("[role=status]")).to_have_text("")
    depth.get_by_label("Water", exact=True).select_option("fresh water")
    expect(sentence).to_contain_text("fresh water")
    page.keyboard.press("Escape")
    expect(sentence).to_contain_text("At 0 m in sea water")
    cells = page.locator(".sn-cell").count()
    slider.focus()
    for key in ("a", "b", "x", "d", "d"):
        page.keyboard.press(key)
    assert page.locator(".sn-cell").count() == cells > 20, "the notebook's single-key commands stay out of the page"
    page.close()


def test_needle_in_the_page_is_the_needle_in_python(lab: Lab) -> None:
    """At 50 settings the needle's tip in the page lies within half a pixel of where Python draws it."""
    page = lab.page("01-pressure-and-units.ipynb", height=16000)
    question = page.locator(".sn-form", has=page.locator("legend:has-text('About how many psi')"))
    if question.get_by_role("button", name="Record my prediction").count():
        question.get_by_label("142 psi").check()
        question.get_by_role("button", name="Record my prediction").click()
    dial = panel(page, "One needle, two scales")
    definition = Lesson("01").make_panel("dial")
    assert isinstance(definition, ScenePanel)
    slider = dial.get_by_role("slider", name="Pressure (bar)")
    script = """(svg) => { const shape = svg.querySelector('[data-part="needle"] polygon'); const p = shape.points[2];
        const q = new DOMPoint(p.x, p.y).matrixTransform(shape.getScreenCTM());
        const box = svg.getBoundingClientRect(); const view = svg.viewBox.baseVal;
        return [(q.x - box.x) * view.width / box.width, (q.y - box.y) * view.height / box.height]; }"""
    worst = 0.0
    for n in range(50):
        value = round(0.3 + n * 0.3, 1)
        slider.evaluate("(e, v) => { e.value = v; e.dispatchEvent(new Event('input', {bubbles: true})); }", value)
        there = dial.locator("svg").evaluate(script)
        result = definition.compute(pressure=value)
        scene = definition.scene(result)
        needle = scene.placed(definition.row(result))[len(scene.still)]
        here = needle.points[2]
        worst = max(worst, abs(there[0] - here[0]), abs(there[1] - here[1]))
        shown = dial.locator('[data-part="outer"] text').text_content()
        assert shown == definition.row(result)["outer"], "the words of the page are Python's"
    assert worst < 0.5, worst
    page.close()


def test_only_the_newest_position_is_drawn(lab: Lab) -> None:
    """Forty moves at once: the kernel draws a few pictures, the last of them for the last position."""
    page = lab.page("00-start-here.ipynb", height=6000)
    uncover(page)
    chart = panel(page, "The same as a chart")
    chart.evaluate("""(root) => { window.sn_drawn = 0; const image = root.querySelector('img');
        new MutationObserver(() => { window.sn_drawn += 1; }).observe(image, {attributes: true, attributeFilter: ['src']});
        const slider = root.querySelector('input[type=range]');
        for (let n = 1; n <= 40; n += 1) { slider.value = n / 2; slider.dispatchEvent(new Event('input', {bubbles: true})); } }""")
    expect(chart.locator("img")).to_have_attribute("alt", "20.0 bar is 290 psi.")
    page.wait_for_timeout(1000)
    assert 1 <= page.evaluate("() => window.sn_drawn") <= 10
    page.close()
