"""A lesson shown to a class: large, led by a remote's page keys, hands counted, the notes in a second window."""

from __future__ import annotations

import itertools
import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from in_lab import PATIENCE, Lab, study, wait_until_live
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser
LESSON, WIDE, HIGH = "01-pressure-and-units.ipynb", 1366, 768


@pytest.fixture
def page(class_room: Lab) -> Iterator[Page]:
    page = class_room.page(LESSON, WIDE, HIGH)
    yield page
    page.close()


def test_the_smallest_text_is_a_thirtieth_of_the_screens_height(page: Page) -> None:
    page.get_by_role("button", name="Uncover all").click()
    small = """(least) => [...document.querySelectorAll('.sn-lesson *')].filter((e) => e.checkVisibility() && !e.closest('svg')
        && [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()) && parseFloat(getComputedStyle(e).fontSize) < least)
        .map((e) => e.textContent)"""
    assert page.evaluate(small, HIGH / 30 - 0.1) == []
    assert page.evaluate(small, HIGH / 30 + 0.1) != [], "and the check would see smaller ones"
    for panel in page.locator(".sn-panel").all():
        box = panel.bounding_box()
        assert box is not None and box["width"] > 0.95 * WIDE


SLOWLY = "document.querySelector('.sn-lesson').page.present.pressed = -Infinity"
AT_ONCE = "document.querySelector('.sn-lesson').page.present.pressed = Infinity"
"""When the last page key was pressed: what a test may not leave to a machine's speed."""


def test_page_keys_lead_from_section_to_section_and_back(page: Page) -> None:
    headings = """() => { const line = document.querySelector('.sn-head').getBoundingClientRect().height;
        return [...document.querySelectorAll('.sn-lesson h2')].filter((h) => h.checkVisibility())
            .map((h) => h.closest('.sn-cell').getBoundingClientRect().top + scrollY - line); }"""
    tops = page.evaluate(headings)
    assert len(tops) > 5
    seen, at = [], -1.0
    while page.evaluate("scrollY") > at:
        at = page.evaluate("scrollY")
        seen.append(at)
        page.evaluate(SLOWLY)
        page.keyboard.press("PageDown")
        page.wait_for_timeout(50)
    end = page.evaluate("document.scrollingElement.scrollHeight - innerHeight")
    for top in tops:
        assert min(abs(top - one) for one in seen) < 5 or top > end, "each section begins under the head"
    assert max(b - a for a, b in itertools.pairwise(seen)) <= HIGH, "nothing is passed over unseen"
    while page.evaluate("scrollY") > 0:
        at = page.evaluate("scrollY")
        page.evaluate(SLOWLY)
        page.keyboard.press("PageUp")
        page.wait_for_timeout(50)
        assert page.evaluate("scrollY") < at
    long = next(n for n, (a, b) in enumerate(itertools.pairwise(tops)) if b - a > 2.5 * HIGH)
    page.evaluate("(top) => window.scrollTo({top, behavior: 'instant'})", tops[long])
    page.evaluate(SLOWLY)
    page.keyboard.press("PageDown")
    page.evaluate(AT_ONCE)
    page.keyboard.press("PageDown")
    assert page.evaluate("scrollY") == pytest.approx(tops[long + 1], abs=5), "a second press at once ends the section"


@pytest.fixture(scope="module")
def wall(class_room: Lab) -> Iterator[Page]:
    """A lesson of long panels on a projector's usual screen."""
    page = class_room.page("02-how-the-first-stage-reduces.ipynb", 1920, 1080)
    yield page
    page.close()


def test_what_is_uncovered_comes_below_the_form_that_uncovers_it(wall: Page) -> None:
    """Its upper edge lies under the head, so that what the page held in place was the heading after it."""
    for question in ("IP rises by 0.2 bar above", "The cylinder empties"):
        form = wall.locator(".sn-form", has=wall.locator(f"legend:has-text('{question}')"))
        button = form.get_by_role("button", name="Show me without predicting")
        button.evaluate("(e) => window.scrollBy({top: e.getBoundingClientRect().top - 120, behavior: 'instant'})")
        wall.wait_for_timeout(100)
        top = "e => e.getBoundingClientRect().top"
        before = form.evaluate(top)
        height = wall.evaluate("document.scrollingElement.scrollHeight")
        button.click()
        expect(form.locator(".sn-feedback")).to_contain_text("Shown without predicting")
        wall.wait_for_function("(before) => document.scrollingElement.scrollHeight > before + innerHeight", arg=height)
        wall.wait_for_timeout(200)
        assert form.evaluate(top) == pytest.approx(before, abs=3)


def test_page_keys_show_each_panel_whole(wall: Page) -> None:
    wall.evaluate("document.querySelector('.sn-lesson').page.cover.uncoverAll()")
    wall.evaluate("window.scrollTo({top: 0, behavior: 'instant'})")
    standing = """() => { const line = document.querySelector('.sn-head').getBoundingClientRect().height, screen = innerHeight - line;
        return [...document.querySelectorAll('.sn-panel, .sn-form')].filter((e) => e.checkVisibility()).map((e, n) => {
            const { top, bottom } = e.getBoundingClientRect();
            return [bottom - top <= screen, top >= line - 1 && bottom <= innerHeight + 1]; }); }"""
    fits = {n for n, (fit, _) in enumerate(wall.evaluate(standing)) if fit}
    assert len(fits) > 15, "with its forms"
    screen = wall.evaluate("innerHeight - document.querySelector('.sn-head').getBoundingClientRect().height")
    whole: set[int] = set()
    at = -1.0
    while wall.evaluate("scrollY") > at:
        assert wall.evaluate("scrollY") - at <= screen + 1, "nothing is passed over unseen"
        at = wall.evaluate("scrollY")
        whole |= {n for n, (_, stands) in enumerate(wall.evaluate(standing)) if stands}
        wall.evaluate(SLOWLY)
        wall.keyboard.press("PageDown")
        wall.wait_for_timeout(50)
    assert fits <= whole
    wall.evaluate("document.querySelector('.sn-lesson').page.cover.uncoverAll(false)")


def test_page_keys_and_escape_act_wherever_the_focus_is(page: Page) -> None:
    page.get_by_role("button", name="Uncover all").click()
    panel = page.locator(".sn-panel").first
    slider = panel.locator("input[type=range]")
    slider.focus()
    before, at = slider.input_value(), page.evaluate("scrollY")
    page.keyboard.press("PageDown")
    assert slider.input_value() == before, "a page key of a remote moves no control"
    assert page.evaluate("scrollY") != at
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert slider.input_value() != before
    slider.blur()
    panel.scroll_into_view_if_needed()
    page.keyboard.press("Escape")
    assert slider.input_value() == before


def test_hands_are_counted_kept_and_shown_beside_the_result(page: Page, class_room: Lab) -> None:
    form = page.locator(".sn-form", has_text="About how many psi")
    for words, hands in (("142 psi", 5), ("98 psi", 2)):
        for _ in range(hands):
            form.get_by_role("button", name=f"One hand more: {words}").click()
    form.get_by_role("button", name="One hand less: 98 psi").click()
    form.get_by_role("button", name="Show me without predicting").click()
    expect(form.locator(".sn-feedback")).to_contain_text("Shown without predicting")
    assert form.locator(".sn-hands-count").all_inner_texts() == ["1", "0", "5", "0"]
    expect(form.locator(".sn-hand")).to_have_count(0)
    for _ in range(PATIENCE // 100):
        kept = json.loads((class_room.folder / "my-work.json").read_text(encoding="utf-8"))["lessons"]["01"]
        if kept.get("hands") == {"dial": {"98": 1, "142": 5}}:
            break
        page.wait_for_timeout(100)
    else:
        raise AssertionError(kept)
    page.reload()
    wait_until_live(page)
    form = page.locator(".sn-form", has_text="About how many psi")
    expect(form.locator(".sn-hands-count").nth(2)).to_have_text("5")


def test_each_of_the_nine_traces_has_hands_of_its_own(class_room: Lab) -> None:
    page = class_room.page("04-creep-and-its-cause.ipynb", WIDE, HIGH)
    page.get_by_role("button", name="Uncover all").click()
    form = page.locator(".sn-form", has_text="Predict first: 1 of 9")
    more = form.get_by_role("button", name="One hand more:").first
    more.click()
    more.click()
    expect(form.locator(".sn-hands-count").first).to_have_text("2")
    form.get_by_role("button", name="Show me without predicting").click()
    expect(form.locator(".sn-hand")).to_have_count(0)
    form.get_by_role("button", name="Next").click()
    form = page.locator(".sn-form", has_text="Predict first: 2 of 9")
    expect(form.locator(".sn-hands-count").first).to_have_text("0")
    expect(form.locator(".sn-hand")).not_to_have_count(0)
    page.close()


def test_all_is_uncovered_with_one_button_and_covered_again(page: Page) -> None:
    covered = "document.querySelector('.sn-lesson').page.cover.covered().length"
    before = page.evaluate(covered)
    assert before > 0
    page.get_by_role("button", name="Uncover all").click()
    assert page.evaluate(covered) == 0
    page.get_by_role("button", name="Cover again").click()
    assert page.evaluate(covered) == before


def test_the_notes_open_in_a_second_window_and_never_on_the_wall(page: Page) -> None:
    assert page.locator("a[href*=instructor]").count() == 0
    with page.expect_popup() as opened:
        page.get_by_role("button", name="Notes").click()
    notes = opened.value
    notes.set_default_timeout(PATIENCE)
    wait_until_live(notes)
    expect(notes).to_have_title("01 Pressure and its units: for the instructor")
    assert notes.locator(".sn-lesson[data-present]").count() == 0, "as a page for one reader"
    notes.reload()
    wait_until_live(notes)
    expect(notes).to_have_title("01 Pressure and its units: for the instructor")
    expect(page).to_have_title("01 Pressure and its units")
    notes.close()


def test_the_users_own_settings_stay(browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings = tmp_path / "settings"
    place = settings / "@jupyterlab" / "apputils-extension"
    place.mkdir(parents=True)
    (place / "themes.jupyterlab-settings").write_text('{"theme": "JupyterLab Dark"}', encoding="utf-8")
    monkeypatch.setenv("JUPYTERLAB_SETTINGS_DIR", str(settings))
    home = Path(os.environ.get("HOME", "~")).expanduser() / ".jupyter"
    before = {path: path.stat().st_mtime_ns for folder in (home, settings) for path in folder.rglob("*")}
    with study(tmp_path / "work", browser, "--present") as lab:
        page = lab.page("00-start-here.ipynb")
        expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Light")
        page.get_by_role("button", name="Dark", exact=True).click()
        expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Dark")
        page.close()
    assert before == {path: path.stat().st_mtime_ns for folder in (home, settings) for path in folder.rglob("*")}
