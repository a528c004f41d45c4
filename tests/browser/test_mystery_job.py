"""A mystery job in the page: played to its end by keyboard, no test done twice, nothing lost with its kernel."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from in_lab import study, wait_until_live
from playwright.sync_api import Browser, Locator, expect
from stub_page import StubPage

from few_states import know_little
from steadyneedle.jobs import best_path
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.learner.job_form import JobSession
from steadyneedle.teaching.learner.progress import FILE, Progress

pytestmark = pytest.mark.browser


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    know_little(monkeypatch)
    monkeypatch.setattr(best_path, "cheapest", lambda known, findings: None if findings else "listen")


@pytest.fixture
def stub(browser: Browser) -> Iterator[StubPage]:
    one = StubPage(browser, "04", [("job", []), ("end", [])], plain=True)
    one.page.set_viewport_size({"width": 1366, "height": 768})
    yield one
    one.close()


def shown(stub: StubPage, work: Path, cell: str = "job") -> Locator:
    widget = FormWidget(JobSession(Progress(work), lambda: work))
    stub.page.add_style_tag(content=f"{widget._css} .sn {{ max-width: 1200px }}")
    stub.show(widget, cell)
    return stub.page.locator(f"[data-name={cell}] + div .sn-form, [data-name={cell}] .sn-form").last


def steps(work: Path, number: int) -> list[dict[str, Any]]:
    paths = json.loads((work / FILE).read_text(encoding="utf-8"))["mystery jobs"][str(number)]["paths"]
    made: list[dict[str, Any]] = paths[-1]["steps"]
    return made


def press(stub: StubPage, *keys: str) -> None:
    for key in keys:
        stub.page.keyboard.press(key)
        stub.page.wait_for_timeout(60)


def test_a_job_is_played_to_its_end_by_keyboard(stub: StubPage, work: Path) -> None:
    """Tab, letters, arrows and Enter alone; after taking a job the keyboard is in the list of tests, its top in view."""
    form = shown(stub, work)
    press(stub, "Tab", "Tab")
    stub.page.keyboard.type("2")
    press(stub, "Enter")
    tests = form.get_by_label("Next test")
    expect(tests).to_be_focused()
    box = form.bounding_box()
    assert box is not None and 0 <= box["y"] < 768 / 2
    for _ in range(
        40
    ):  # arrows, not letters: a list forgets letters after a second, and this kernel is the test itself
        if tests.input_value().endswith(":listen"):
            break
        press(stub, "ArrowDown")
    press(stub, "Shift+Tab", "Shift+Tab")
    expect(form.get_by_label("I think it is")).to_be_focused()
    stub.page.keyboard.type("high-pressure")
    press(stub, "Tab")
    stub.page.keyboard.type("50")
    press(stub, "Tab", "Tab", "Enter")
    expect(form.locator(".sn-feedback")).to_contain_text("listen all round: chamber.")
    expect(form.get_by_role("button", name="Do this test")).to_be_focused()
    expect(form.get_by_label("I think it is")).to_have_value("shaft_seal")
    press(stub, "Tab", "Tab", "Enter")
    expect(form.locator(".sn-feedback")).to_contain_text("a new shaft seal")
    press(stub, "Tab", "Enter")
    expect(form.locator(".sn-feedback")).to_contain_text("The job has ended")
    expect(form.get_by_role("button", name="Show the debrief")).to_be_focused()
    press(stub, "Enter")
    expect(form.locator(".sn-feedback strong")).to_have_text("Named, not shown")
    assert (work / "job-2-path.json").is_file()
    assert [one["test"] for one in steps(work, 2)] == ["listen"]


def test_two_presses_do_one_test(stub: StubPage, work: Path) -> None:
    form = shown(stub, work)
    form.get_by_label("Or any number").fill("4")
    form.get_by_role("button", name="Take this job").click()
    form.get_by_label("I think it is").select_option("grit")
    form.get_by_label("How sure?").select_option("25")
    form.get_by_label("Next test").select_option("0:tap")
    form.get_by_role("button", name="Do this test").dblclick()
    expect(form.locator(".sn-feedback strong")).to_have_text("It showed")
    stub.page.wait_for_timeout(300)
    assert [one["test"] for one in steps(work, 4)] == ["tap"]
    expect(form.locator(".sn-feedback strong")).to_have_text("It showed")


def test_at_the_stop_nothing_goes_on_by_itself(stub: StubPage, work: Path) -> None:
    form = shown(stub, work)
    form.get_by_label("Or any number").fill("9")
    form.get_by_role("button", name="Take this job").click()
    form.get_by_label("I think it is").select_option("grit")
    form.get_by_label("How sure?").select_option("25")
    form.get_by_label("Next test").select_option("0:watch_full")
    form.get_by_role("button", name="Do this test").dblclick()
    expect(form.locator(".sn-feedback strong")).to_have_text("The needle is at the stop")
    expect(form.get_by_role("img")).to_have_attribute(
        "alt",
        "The needle reads 10.45 bar at first and 12.05 bar after 4.5 min; at most 12.05 bar. The band is 9.8 to 10.2 bar.",
    )
    form.get_by_label("shut the cylinder valve").check()
    form.get_by_role("button", name="Do it").click()
    expect(form.locator(".sn-feedback")).to_contain_text("You shut the valve at the stop")
    assert [one["outcome"] for one in steps(work, 9)] == ["climbs to the stop"]


def test_a_second_kernel_finds_the_job_where_the_first_left_it(stub: StubPage, work: Path) -> None:
    """What was chosen but not done yet is there too: each change is saved before the page says so."""
    form = shown(stub, work)
    form.get_by_label("Or any number").fill("4")
    form.get_by_role("button", name="Take this job").click()
    form.get_by_label("I think it is").select_option("gauge_high")
    form.get_by_label("How sure?").select_option("25")
    form.get_by_label("Next test").select_option("0:tap")
    form.get_by_role("button", name="Do this test").click()
    expect(form.locator(".sn-feedback strong")).to_have_text("It showed")
    form.get_by_label("Next test").select_option("1:zero")
    expect(form.get_by_role("status")).to_have_text("Saved")
    again = shown(stub, work, "end")
    expect(again.get_by_label("I think it is")).to_have_value("gauge_high")
    expect(again.get_by_label("Next test")).to_have_value("1:zero")
    expect(again.locator("tbody tr")).to_have_count(1)


def test_all_of_it_fits_a_low_window(stub: StubPage, work: Path) -> None:
    """Known, to be done, what it costs and what one believes, on 1366 x 520; nothing sticks out at 380."""
    form = shown(stub, work)
    form.get_by_label("Or any number").fill("4")
    form.get_by_role("button", name="Take this job").click()
    form.get_by_label("I think it is").select_option("gauge_high")
    form.get_by_label("How sure?").select_option("25")
    form.get_by_label("Next test").select_option("0:watch_full")
    form.get_by_role("button", name="Do this test").click()
    expect(form.locator(".sn-feedback strong")).to_have_text("It showed")
    box = form.bounding_box()
    assert box is not None and box["height"] <= 540
    stub.page.set_viewport_size({"width": 380, "height": 800})
    stub.page.wait_for_timeout(100)
    assert form.evaluate("(e) => e.scrollWidth <= e.clientWidth + 1")


def test_a_kernel_killed_in_mid_job_loses_nothing(browser: Browser, tmp_path: Path) -> None:
    """In a real JupyterLab: the test that was done stands there again, what was chosen after it too, and it goes on."""
    with study(tmp_path / "work", browser) as lab:
        page = lab.page("04b-finding-the-cause.ipynb")
        page.evaluate("document.querySelector('.sn-lesson').page.cover.uncoverAll()")
        form = page.locator("#mystery-jobs")
        form.get_by_label("Or any number").fill("4")
        form.get_by_role("button", name="Take this job").click()
        form.get_by_label("I think it is").select_option("gauge_high")
        form.get_by_label("How sure?").select_option("25")
        form.get_by_label("Next test").select_option("0:tap")
        form.get_by_role("button", name="Do this test").click()
        expect(form.locator(".sn-feedback strong")).to_have_text("It showed")
        form.get_by_label("Next test").select_option("1:zero")
        expect(form.get_by_role("status")).to_have_text("Saved")
        page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
        for kernel in lab.kernels():  # on a busy machine a page may have asked for a second one
            os.kill(kernel, signal.SIGKILL)
        page.wait_for_selector("#mystery-jobs:not([data-old])", state="attached")
        wait_until_live(page)
        expect(form.locator("tbody tr")).to_have_count(1)
        expect(form.get_by_label("I think it is")).to_have_value("gauge_high")
        expect(form.get_by_label("Next test")).to_have_value("1:zero")
        form.get_by_role("button", name="Do this test").click()
        expect(form.locator("tbody tr")).to_have_count(2)
        assert [one["test"] for one in steps(tmp_path / "work", 4)] == ["tap", "zero"]
        page.close()
