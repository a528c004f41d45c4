"""A candidate plays the job of a paper by keyboard, loses the kernel on the way, hands in and is marked."""

from __future__ import annotations

import json
import os
import re
import signal
from pathlib import Path
from typing import Any

import pytest
from in_lab import Lab, sit, wait_until_live
from playwright.sync_api import Browser, Locator, Page, expect

from steadyneedle.assessing.edition import fingerprint
from steadyneedle.assessing.handed_in import read_handed_in
from steadyneedle.assessing.marking import mark_paper
from steadyneedle.assessing.paper_file import Item, Paper, bytes_of
from steadyneedle.assessing.paper_plan import JOB
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for
from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path_file import path_in
from steadyneedle.jobs.play import seen
from steadyneedle.jobs.pool import jobs_alike
from steadyneedle.jobs.whole_names import whole_name
from steadyneedle.teaching import look

pytestmark = pytest.mark.browser
PAPER: Paper = paper_for(load_plan("creep"), CohortKey(bytes(32)), "101")
[ITEM] = [one for one in PAPER.items if one.kind == JOB]


def of_job(page: Page) -> Locator:
    return page.locator(".sn-form", has=page.locator(f"h4:text-is('Answer {ITEM.number}')"))


def kept(folder: Path) -> Any:
    content = json.loads((folder / f"{PAPER.stem}.answers.json").read_text(encoding="utf-8"))
    return path_in(content["answers"][str(ITEM.number)])


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)
        page.wait_for_timeout(60)


def choose(page: Page, field: Locator, words: str, value: str) -> None:
    """In a list that has the keyboard: type the first word of what is meant, then go to it, as one does."""
    expect(field).to_be_focused()
    if field.input_value() != value:
        page.keyboard.type(words.split(maxsplit=1)[0])
    way = "(one, value) => [...one.options].findIndex((each) => each.value === value) - one.selectedIndex"
    steps = field.evaluate(way, value)
    press(page, *["ArrowDown" if steps > 0 else "ArrowUp"] * abs(steps))
    expect(field).to_have_value(value)


def do(page: Page, item: Item, turn: int, test: str) -> None:
    """One test from the list of tests, by keyboard alone: the list, what one thinks, how sure, Enter."""
    form = of_job(page)
    choose(page, form.get_by_label("Next test"), whole_name(test), f"{turn}:{test}")
    press(page, "Shift+Tab")
    choose(page, form.get_by_label("How sure?"), "50", "50")
    press(page, "Shift+Tab")
    choose(page, form.get_by_label("I think it is"), cause_name("grit"), "grit")
    press(page, "Tab", "Tab", "Tab", "Enter")
    if seen(item.job, test, turn).at_stop:
        expect(form.locator(".sn-feedback strong")).to_have_text("The needle is at the stop")
        form.get_by_label("shut the cylinder valve").focus()
        press(page, "Space", "Tab", "Enter")
    expect(form.locator("tbody tr")).to_have_count(turn + 1)
    expect(form.locator("tbody tr").nth(turn)).to_contain_text(whole_name(test))
    expect(form.locator(".sn-feedback strong")).to_have_text("It showed")
    picture = form.locator(".sn-picture img")
    if picture.is_visible():
        shrunk = picture.evaluate("async (one) => { await one.decode(); return one.clientWidth / one.naturalWidth; }")
        small = form.locator(".sn-note").first.evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")
        assert shrunk * look.SMALLEST >= small, "letters as large as the small ones of the page"
    form.get_by_label("Next test").focus()


def kill(lab: Lab, page: Page, pressed: str) -> None:
    """Kill the kernel; a button is pressed just before, which it hears no more."""
    page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
    [kernel] = lab.kernels()
    os.kill(kernel, signal.SIGSTOP)
    of_job(page).get_by_role("button", name=pressed).click()
    page.wait_for_timeout(100)
    os.kill(kernel, signal.SIGKILL)
    page.wait_for_selector(".sn:not([data-old])", state="attached")
    wait_until_live(page)


def test_a_candidate_plays_the_job_by_keyboard_and_hands_in(browser: Browser, tmp_path: Path) -> None:
    """Each step is on the disk when it is shown; after a kill the job stands where it was; the path is marked in full."""
    (tmp_path / f"{PAPER.stem}.ipynb").write_bytes(bytes_of(PAPER))
    way, hidden = jobs_alike()[ITEM.job].tests, job(ITEM.job).hidden.cause
    with sit(tmp_path / f"{PAPER.stem}.ipynb", browser) as lab:
        page = lab.page(f"{PAPER.stem}.ipynb", height=768)
        pictures = page.locator("img[src^='data:image/svg+xml']")
        expect(pictures).to_have_count(sum(one.trace is not None for one in PAPER.items))
        assert all(
            pictures.nth(n).evaluate("(one) => one.complete && one.naturalWidth > 100 && one.clientWidth > 300")
            for n in range(pictures.count())
        ), "each trace is drawn, and large enough to read"
        assert (
            "invert"
            in pictures.first.evaluate("""(one) => {
          const { page } = one.closest(".sn-lesson"), { dataset } = page.root;
          dataset.ground = "dark"; const drawn = getComputedStyle(one).filter; dataset.ground = "light"; return drawn; }""")
        )
        page.set_viewport_size({"width": 360, "height": 760})
        assert all(pictures.nth(n).evaluate("(one) => one.clientWidth <= 360") for n in range(pictures.count())), (
            "whole"
        )
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        page.set_viewport_size({"width": 1366, "height": 768})
        form = of_job(page)
        for name in ("Record what I think, show advice", "Show the debrief", "Play it once more, as a replay"):
            assert form.get_by_role("button", name=name).count() == 0
        form.get_by_label("Next test").focus()
        for turn, test in enumerate(way):
            do(page, ITEM, turn, test)
            assert kept(tmp_path).tests == way[: turn + 1]
            if turn == 1:
                form.get_by_label("Next test").select_option(f"{turn + 1}:tap")
                expect(form.get_by_role("status")).to_have_text("Saved")
                kill(lab, page, "Do this test")
                expect(form.get_by_role("status")).to_have_text("Your last press was not carried out. Press again.")
                expect(form.locator("tbody tr")).to_have_count(turn + 1)
                expect(form.get_by_label("Next test")).to_have_value(f"{turn + 1}:tap")
                form.get_by_label("Next test").focus()
        press(page, "Shift+Tab")
        choose(page, form.get_by_label("How sure?"), "95", "95")
        press(page, "Shift+Tab")
        choose(page, form.get_by_label("I think it is"), cause_name(hidden), hidden)
        form.get_by_role("button", name="I am sure enough").focus()
        press(page, "Enter")
        expect(form.locator(".sn-feedback strong")).to_have_text("Sure enough?")
        form.get_by_role("button", name="End the job with this").focus()
        press(page, "Enter")
        expect(form.locator(".sn-feedback strong")).to_have_text("The job has ended")
        assert form.get_by_role("combobox").count() == 0
        page.get_by_role("button", name="Hand in", exact=True).focus()
        press(page, "Enter")
        page.get_by_role("button", name="Yes, hand in now").focus()
        press(page, "Enter")
        expect(page.get_by_text(re.compile("receipt [0-9a-f]{8}"))).to_be_visible()
        page.close()
    read = read_handed_in(tmp_path / f"{PAPER.stem}.handed-in.json")
    marked = mark_paper(PAPER, [fingerprint(one) for one in PAPER.items], read.answers)
    worth = next(one for one in marked.items if one.item.kind == JOB)
    assert (worth.mark, worth.worth.outcome, worth.missed) == (10, "found", False), worth.worth.lines
