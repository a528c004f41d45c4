"""A candidate in front of a paper, in a real browser: types, hands in, and loses nothing whatever is killed."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import random
import re
import signal
import socket
import time
from pathlib import Path
from typing import Any

import pytest
from in_lab import PATIENCE, Lab, sit, study, wait_until_live
from playwright.sync_api import Browser, Locator, Page, expect

from steadyneedle.assessing.paper_file import Paper, bytes_of
from steadyneedle.assessing.paper_plan import CHOICE, QUANTITY, TEXT
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for

pytestmark = pytest.mark.browser
CANDIDATES = ("101", "102")
SOON = 20
"""Seconds after which a page is live again whose kernel was killed: 2 to 4 by itself, 27 where its connection was lost."""


def paper_of(candidate: str) -> Paper:
    """A paper of an invented candidate, under a key of noughts."""
    return paper_for(load_plan("units and bands"), CohortKey(bytes(32)), candidate)


def lay(folder: Path, candidate: str) -> Path:
    path = folder / f"{paper_of(candidate).stem}.ipynb"
    path.write_bytes(bytes_of(paper_of(candidate)))
    return path


def form(page: Page, title: str) -> Locator:
    return page.locator(".sn-form", has=page.locator(f"h4:text-is('{title}')"))


def said(page: Page, title: str) -> Locator:
    """What the page says of saving."""
    return form(page, title).locator("[role=status]")


def type_keys(field: Locator, text: str, delay: float = 0) -> None:
    """Type behind what stands there; ends when the page has every key, for what is asked of it can overtake one."""
    before = field.input_value()
    field.press_sequentially(text, delay=delay)
    expect(field).to_have_value(before + text)


def on_disk(folder: Path, candidate: str, ending: str = "answers") -> Any:
    return json.loads((folder / f"{paper_of(candidate).stem}.{ending}.json").read_text(encoding="utf-8"))


def findings(page: Page, axe: str) -> list[str]:
    """Serious and critical findings of the whole page."""
    page.evaluate(axe)
    result = page.evaluate("() => axe.run({include: [['.sn-lesson']]}, {resultTypes: ['violations']})")
    return [
        f"{one['id']}: {node['html'][:160]}"
        for one in result["violations"]
        if one["impact"] in ("serious", "critical")
        for node in one["nodes"]
    ]


def answer_all(page: Page, paper: Paper) -> dict[str, str]:
    """Answer every question but the second with what this candidate thinks of; what should be on the disk then."""
    given = {}
    for item in paper.items:
        if item.number == 2:
            continue
        number, field = str(item.number), form(page, f"Answer {item.number}")
        if item.kind == CHOICE:
            key, words = item.options[int(paper.candidate) % len(item.options)]
            field.get_by_label(words, exact=True).check()
            given[number] = key
        else:
            given[number] = (
                f"{paper.candidate}.{number} {item.unit}" if item.kind == QUANTITY else "It creeps.\nI tell him so."
            )
            field.locator("input, textarea").fill(given[number])
    return given


def test_two_candidates_sit_side_by_side(browser: Browser, axe: str, tmp_path: Path) -> None:
    papers = [lay(tmp_path, one) for one in CANDIDATES]
    receipts = []
    with contextlib.ExitStack() as desks:
        labs = [desks.enter_context(sit(path, browser)) for path in papers]
        pages = [lab.page(path.name, height=768) for lab, path in zip(labs, papers, strict=True)]
        for candidate, lab, page, path in zip(CANDIDATES, labs, pages, papers, strict=True):
            assert [one["name"] for one in lab.ask("GET", "contents")["content"]] == [path.name], (
                "the root holds nothing else"
            )
            expect(page.locator(".sn-head [role=timer]")).to_have_text(
                re.compile(r"Started \d\d:\d\d\. \d+ of 60 minutes are over\.")
            )
            for name in ("My progress", "Show the code", "Check", "Hint", "Worked solution"):
                assert page.get_by_role("button", name=name, exact=True).count() == 0
            page.keyboard.press("Tab")
            first = form(page, "Answer 1").locator("input")
            type_keys(first, "9.8", delay=5)
            expect(said(page, "Answer 1")).to_have_text("Saved")
            assert on_disk(tmp_path, candidate)["answers"] == {"1": "9.8"}
            first.press("Tab")
            words = form(page, "Answer 1").locator(".sn-feedback")
            expect(words).to_contain_text("No unit yet: type for example 9.8 bar.")
            given = answer_all(page, paper_of(candidate))
            expect(form(page, "Hand in")).to_contain_text("Answered: 19 of 20 questions.")
            expect(words).to_have_text(f"This was said of another answer.Read as {candidate}.1 bar.")
            page.get_by_role("button", name="Hand in", exact=True).click()
            expect(form(page, "Hand in")).to_contain_text("Not answered: question 2.")
            page.get_by_role("button", name="Yes, hand in now").click()
            expect(form(page, "Hand in")).to_contain_text("Write the receipt down.")
            assert on_disk(tmp_path, candidate, "handed-in")["answers"] == given
            data = (tmp_path / f"{path.stem}.handed-in.json").read_bytes()
            receipts.append(hashlib.sha256(data).hexdigest()[:8])
            expect(form(page, "Hand in")).to_contain_text(f"receipt {receipts[-1]}.")
        page = pages[0]
        asked: list[str] = []
        page.on("dialog", lambda one: (asked.append(one.type), one.accept()))
        handed = tmp_path / f"{papers[0].stem}.handed-in.json"
        kept = handed.rename(tmp_path / "elsewhere.json")
        expect(form(page, "Hand in")).to_contain_text(f"{handed.name} lies no longer beside the paper")
        kept.rename(handed)
        expect(form(page, "Hand in")).to_contain_text(f"receipt {receipts[0]}.")
        assert page.locator(".sn-markdown p", has_text=re.compile("[0-9]\u00a0(bar|psi)")).count() > 3
        assert findings(page, axe) == []
        page.get_by_role("button", name="Dark", exact=True).click()
        expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Dark")
        assert findings(page, axe) == [], "on a dark ground"
        page.reload()
        wait_until_live(page)
        assert asked == [], "all is saved: nobody is asked whether to leave"
        tmp_path.chmod(0o500) if os.geteuid() else tmp_path.rename(tmp_path.with_name("away"))
        form(page, "Answer 2").locator("input").fill("2 bar")
        expect(said(page, "Answer 2")).to_contain_text("Not saved")
        page.reload()
        wait_until_live(page)
        assert asked == ["beforeunload"], "something typed is not saved"
        expect(form(page, "Answer 2").locator("input")).to_have_value("2 bar")
        tmp_path.chmod(0o700) if os.geteuid() else tmp_path.with_name("away").rename(tmp_path)
        expect(said(page, "Answer 2")).to_have_text("Saved")
        expect(page.locator(".sn-lesson")).to_have_attribute("data-ground", "dark")
        expect(form(page, "Answer 1").locator("input")).to_have_value("101.1 bar")
        expect(form(page, "Hand in")).to_contain_text(f"receipt {receipts[0]}.")
        windows(page, labs[0], papers[0])
        for one in pages:
            one.close()
    assert len(set(receipts)) == 2


def windows(page: Page, lab: Lab, path: Path) -> None:
    """The newest window holds the paper; the other says so, and F5 there takes it back."""
    other = lab.page(path.name)
    expect(page.locator(".sn-say p")).to_have_text("This paper is open in a newer window. Go on there, or:")
    other.close()
    page.get_by_role("button", name="Use this window").click()
    page.wait_for_selector(".sn-say", state="hidden")
    wait_until_live(page)


def other_workbook(page: Page, path: Path, browser: Browser) -> None:
    """The same paper opened by the command a second time: that window has it from then on."""
    with sit(path, browser) as second:
        elsewhere = second.page(path.name)
        form(elsewhere, "Answer 2").locator("input").fill("2 bar")
        expect(said(elsewhere, "Answer 2")).to_have_text("Saved")
        form(page, "Answer 2").locator("input").fill("3 bar")
        expect(said(page, "Answer 2")).to_contain_text("This paper is open in a newer window.")
        page.evaluate("window.dispatchEvent(new Event('focus'))")
        expect(page.locator(".sn-head [role=timer]")).to_contain_text("This paper is open in a newer window.")
        assert on_disk(path.parent, "101")["answers"]["2"] == "2 bar"
        elsewhere.close()


def kill_kernels(lab: Lab) -> None:
    """Kill whatever computes for this paper."""
    kernels = lab.kernels()
    assert kernels
    for one in kernels:
        os.kill(one, signal.SIGKILL)


def kill_while_typing(lab: Lab, page: Page, text: str, dice: random.Random) -> None:
    """Type, and kill the kernel somewhere between; what was shown as saved is on the disk, the rest still in the field."""
    field, status = form(page, "Answer 1").locator("input"), said(page, "Answer 1")
    page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
    field.fill("")
    at, shown = dice.randrange(2, len(text)), ""
    for n, sign in enumerate(text):
        type_keys(field, sign)
        if n == at:
            kill_kernels(lab)
            killed = time.monotonic()
        elif n < at:
            expect(status).to_have_text("Saved")
            shown = text[: n + 1]
    assert on_disk(lab.folder, "101")["answers"]["1"].startswith(shown)
    page.wait_for_selector(".sn:not([data-old])", state="attached")
    wait_until_live(page)
    expect(field).to_have_value(text)
    expect(status).to_have_text("Saved")
    assert time.monotonic() - killed < SOON
    assert on_disk(lab.folder, "101")["answers"]["1"] == text


def test_a_killed_kernel_and_a_killed_workbook_lose_nothing(browser: Browser, tmp_path: Path) -> None:
    path, dice = lay(tmp_path, "101"), random.Random(5)
    with sit(path, browser) as lab:
        page = lab.page(path.name)
        for text in ("9,8 bar", "10,81 bar", "11,82 bar"):
            kill_while_typing(lab, page, text, dice)
        form(page, f"Answer {paper_of('101').items[-1].number}").locator("textarea").fill("It creeps.")
        expect(said(page, "Answer 20")).to_have_text("Saved")
        page.get_by_role("button", name="Hand in", exact=True).click()
        expect(form(page, "Hand in")).to_contain_text("Do you want to hand in now?")
        page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
        [kernel] = lab.kernels()
        os.kill(kernel, signal.SIGSTOP)  # it hears the press no more
        page.get_by_role("button", name="Yes, hand in now").click()
        page.wait_for_timeout(100)
        os.kill(kernel, signal.SIGKILL)
        page.wait_for_selector(".sn:not([data-old])", state="attached")
        wait_until_live(page)
        expect(said(page, "Hand in")).to_have_text("Your last press was not carried out. Press again.")
        os.kill(lab.process, signal.SIGKILL)
        expect(page.locator(".sn-say p")).to_contain_text("The workbook has stopped. Close this page;")
        expect(page.locator(".sn-say p")).to_contain_text(f"when you type in a terminal: steadyneedle sit {path}")
        form(page, "Answer 2").locator("input").fill("14 bar")
        expect(page.locator(".sn-say p")).to_contain_text(
            "The workbook has stopped. First copy what is “Not saved yet”"
        )
        page.wait_for_timeout(1500)
        assert page.locator(".jp-Dialog").count() == 0, "no box of JupyterLab's own lies over it"
        page.close()
    assert on_disk(tmp_path, "101")["answers"] == {"1": "11,82 bar", "20": "It creeps."}


@pytest.mark.long
def test_five_kills_through_browser_and_kernel(browser: Browser, tmp_path: Path) -> None:
    """Three while typing, one while handing in, one of the browser's window; then the paper is opened again."""
    path, dice = lay(tmp_path, "101"), random.Random(6)
    with sit(path, browser) as lab:
        page = lab.page(path.name)
        for n in range(3):
            kill_while_typing(lab, page, f"{n + 9},8{n} bar", dice)
        page.get_by_role("button", name="Hand in", exact=True).click()
        expect(form(page, "Hand in")).to_contain_text("Do you want to hand in now?")
        page.get_by_role("button", name="Yes, hand in now").click(no_wait_after=True)
        page.wait_for_timeout(dice.randrange(0, 60))
        kill_kernels(lab)
        page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
        page.wait_for_selector(".sn:not([data-old])", state="attached", timeout=PATIENCE)
        wait_until_live(page)
        handed = tmp_path / f"{path.stem}.handed-in.json"
        if handed.exists():
            receipt = hashlib.sha256(handed.read_bytes()).hexdigest()[:8]
            expect(form(page, "Hand in")).to_contain_text(f"receipt {receipt}.")
            expect(said(page, "Hand in")).to_be_empty()
        else:
            expect(said(page, "Hand in")).to_have_text("Your last press was not carried out. Press again.")
        type_keys(form(page, "Answer 2").locator("input"), "14 bar")
        expect(said(page, "Answer 2")).to_have_text("Saved")
        page.close(run_before_unload=False)
        page = lab.page(path.name)
        expect(form(page, "Answer 1").locator("input")).to_have_value("11,82 bar")
        expect(form(page, "Answer 2").locator("input")).to_have_value("14 bar")
        other_workbook(page, path, browser)
        page.close()


def test_kinds_are_those_that_are_typed_here() -> None:
    assert {one.kind for one in paper_of("101").items} == {QUANTITY, CHOICE, TEXT}


def test_a_browser_that_showed_the_lessons_opens_a_paper(browser: Browser, tmp_path: Path) -> None:
    """One browser on one port, as at home: JupyterLab tells it to keep a plug-in's files for a year."""
    seat = browser.new_context(viewport={"width": 1366, "height": 768})
    seat.set_default_timeout(PATIENCE)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = ("--port", str(probe.getsockname()[1]))
    paper = lay(tmp_path, CANDIDATES[0])
    desks = [
        ("00-start-here.ipynb", study(tmp_path / "work", browser, *port)),
        (paper.name, sit(paper, browser, *port)),
    ]
    for name, desk in desks:
        with desk as lab:
            page = seat.new_page()
            page.goto(f"{lab.address}/doc/tree/{name}?token={lab.token}")
            wait_until_live(page, SOON * 1000)
            expect(page.locator(".sn-say")).to_be_hidden()
            page.close()
    seat.close()
