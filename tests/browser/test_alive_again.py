"""Whatever happens to kernel, server or window while one reads: live again by itself, or one sentence says what to do."""

from __future__ import annotations

import os
import signal
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from in_lab import PATIENCE, Lab, study, wait_until_live
from playwright.sync_api import Browser, Page, WebSocketRoute, expect

pytestmark = pytest.mark.browser
LESSON = "00-start-here.ipynb"
SAYS = ".sn-say p"


@pytest.fixture(scope="module")
def own_lab(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """A workbook whose kernels may be killed."""
    with study(tmp_path_factory.mktemp("learner") / "work", browser) as running:
        yield running


@pytest.fixture
def page(own_lab: Lab) -> Iterator[Page]:
    page = own_lab.page(LESSON)
    yield page
    page.close()


def mark_as_old(page: Page) -> None:
    page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")


def until_live_again(page: Page) -> None:
    """Everything old is replaced, all is live, and what is typed is saved by the kernel there is now."""
    page.wait_for_selector(".sn:not([data-old])", state="attached")
    wait_until_live(page)
    assert page.locator("[data-old], .sn-next").count() == 0
    page.evaluate("document.querySelector('.sn-lesson').page.cover.uncoverAll()")
    form = page.locator(".sn-form", has=page.locator("h4:has-text('Exercise 2.')"))
    form.get_by_label("Your answer").fill("900 kPa")
    expect(form.locator("[role=status]")).to_have_text("Saved")
    expect(page.locator(".sn-say")).to_be_hidden()


def test_a_restart_of_which_the_page_hears_nothing(own_lab: Lab) -> None:
    """What a new kernel says at its start is lost on the way, all of it."""
    page = own_lab.browser.new_page(viewport={"width": 1366, "height": 900})
    deaf: list[bool] = []

    def route(there: WebSocketRoute) -> None:
        server = there.connect_to_server()
        server.on_message(lambda message: None if deaf else there.send(message))

    page.route_web_socket("**/channels?**", route)
    page.goto(f"{own_lab.address}/doc/tree/{LESSON}?token={own_lab.token}")
    wait_until_live(page)
    mark_as_old(page)
    deaf.append(True)
    own_lab.ask("POST", f"kernels/{own_lab.kernel_of(LESSON)}/restart")  # answers once the new kernel has answered
    page.wait_for_timeout(500)
    deaf.clear()
    until_live_again(page)
    page.close()


def test_a_killed_kernel_comes_back(page: Page, own_lab: Lab) -> None:
    """What is typed meanwhile stands in the new form, with the keyboard, and is saved."""
    page.evaluate("document.querySelector('.sn-lesson').page.cover.uncoverAll()")
    form = page.locator(".sn-form", has=page.locator("h4:has-text('Exercise 2.')"))
    field, said = form.get_by_label("Your answer"), form.locator("[role=status]")
    field.fill("7 kPa")
    expect(said).to_have_text("Saved")
    mark_as_old(page)
    [kernel] = own_lab.kernels()
    os.kill(kernel, signal.SIGKILL)
    field.fill("803 kPa")
    field.evaluate("(e) => e.setSelectionRange(2, 2)")
    page.wait_for_selector(".sn-form:not([data-old])", state="attached")
    expect(form.locator("xpath=self::*[not(@data-old)]")).to_have_count(1)
    expect(said).to_have_text("Saved")
    expect(field).to_have_value("803 kPa")
    expect(field).to_be_focused()
    page.keyboard.type("5")
    expect(field).to_have_value("8053 kPa")
    expect(said).to_have_text("Saved")
    until_live_again(page)


def test_a_page_loaded_again_shows_what_was_not_saved(page: Page) -> None:
    page.evaluate("document.querySelector('.sn-lesson').page.cover.uncoverAll()")
    form = page.locator(".sn-form", has=page.locator("h4:has-text('Exercise 2.')"))
    page.evaluate("WebSocket.prototype.send = () => {}")  # nothing gets to the kernel any more
    form.get_by_label("Your answer").fill("81 kPa")
    expect(form.locator("[role=status]")).to_contain_text("Not saved yet")
    page.reload()
    wait_until_live(page)
    expect(form.get_by_label("Your answer")).to_have_value("81 kPa")
    expect(form.locator("[role=status]")).to_have_text("Saved")


def test_a_kernel_killed_while_the_lesson_comes_alive(page: Page, own_lab: Lab) -> None:
    page.evaluate("document.querySelector('.sn-lesson').page.runner.start()")
    mark_as_old(page)
    [kernel] = own_lab.kernels()
    os.kill(kernel, signal.SIGKILL)
    page.wait_for_function("document.querySelector('.sn-lesson').page.runner.turn > 2")
    until_live_again(page)


def test_one_lesson_in_two_windows_is_live_in_the_newer_one(own_lab: Lab) -> None:
    windows = own_lab.browser.new_context(viewport={"width": 1366, "height": 900})
    windows.set_default_timeout(PATIENCE)
    older, newer = windows.new_page(), windows.new_page()
    for window in (older, newer):
        window.goto(f"{own_lab.address}/doc/tree/{LESSON}?token={own_lab.token}")
        wait_until_live(window)
    elsewhere, turn = (
        "This lesson is open in a newer window. Go on there, or:",
        "document.querySelector('.sn-lesson').page.runner.turn",
    )
    expect(older.locator(SAYS)).to_have_text(elsewhere)
    before = older.evaluate(turn)
    own_lab.restart_kernel(newer)
    assert older.evaluate(turn) == before, "the older one runs nothing"
    older.get_by_role("button", name="Use this window").click()
    expect(newer.locator(SAYS)).to_have_text(elsewhere)
    until_live_again(older)
    browser = own_lab.page(LESSON)  # which tells this one nothing
    expect(older.locator(SAYS)).to_have_text(elsewhere)
    browser.close()
    windows.close()


def test_a_stopped_workbook_says_so_and_a_started_one_is_found(browser: Browser, tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    with study(tmp_path / "work", browser, "--port", port) as lab:
        page, stranger = lab.page(LESSON), lab.page("01-pressure-and-units.ipynb")
    for one in (page, stranger):
        expect(one.locator(SAYS)).to_contain_text("The workbook has stopped. Type its line again")
        assert one.locator(".sn-panel").count() > 0, "what was there stays readable"
        mark_as_old(one)
    stranger.context.clear_cookies()  # the new workbook does not know this browser
    with study(tmp_path / "work", browser, "--port", port):
        until_live_again(page)
        expect(stranger.locator(SAYS)).to_have_text(
            "The workbook was started again. Go on in its new page, and close this one."
        )
    page.close()
    stranger.close()
