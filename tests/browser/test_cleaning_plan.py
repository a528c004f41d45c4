"""Lesson 05 in a real JupyterLab: a plan is built, put in order and judged by keyboard alone; the grid gives its reasons."""

from __future__ import annotations

import pytest
from in_lab import Lab, uncover
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def press(page: Page, name: str) -> None:
    """A button of the plan, by Tab and Enter's own key."""
    button = page.locator(".sn-form", has=page.locator("h4:text-is('A plan of your own')")).get_by_role(
        "button", name=name, exact=True
    )
    button.focus()
    page.keyboard.press("Enter")


def test_a_plan_by_keyboard_and_a_reason_in_the_grid(lab: Lab) -> None:
    page = lab.page("05-cleaning-choices.ipynb", height=16000)
    uncover(page)
    form = page.locator(".sn-form", has=page.locator("h4:text-is('A plan of your own')"))
    said = form.locator(".sn-feedback")
    steps = form.locator("input[data-field=at]")
    for n, method in enumerate(("strip", "soft parts out", "mild acid"), 1):
        form.get_by_label("Method").focus()
        form.get_by_label("Method").select_option(method)
        press(page, "Add")
        expect(steps).to_have_count(n)
    expect(said.locator("strong")).to_have_text("Soil is left")
    expect(form.get_by_role("button", name="Add", exact=True)).to_be_focused()
    press(page, "Move up")
    expect(form.locator(".sn-one label").nth(1)).to_contain_text("2. mild acid")
    expect(form.get_by_role("button", name="Move up", exact=True)).to_be_focused()
    steps.nth(1).focus()
    page.keyboard.press("ArrowDown")  # the next step is chosen, and its method stands in the field
    expect(form.get_by_label("Method")).to_have_value("soft parts out")
    expect(steps.nth(2)).to_be_focused()
    press(page, "Remove")
    expect(steps).to_have_count(2)
    press(page, "Undo")
    expect(steps).to_have_count(3)
    page.reload()
    expect(page.locator(".sn-lesson[data-state=live]")).to_be_attached(timeout=90_000)
    expect(page.locator("input[data-field=at]")).to_have_count(3)
    uncover(page)
    grid = page.locator(".sn-grid")
    grid.locator("td button").first.focus()
    first = grid.locator(".sn-sentence").text_content()
    page.keyboard.press("ArrowRight")
    expect(grid.locator(".sn-sentence")).not_to_have_text(first or "")
    expect(grid.locator("td button[aria-pressed=true]")).to_be_focused()
    page.close()
