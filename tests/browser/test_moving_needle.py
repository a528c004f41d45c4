"""The moving needle in a real JupyterLab: smooth, never blank, alive while the kernel is busy, for keyboard and ear."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from typing import Any

import pytest
from in_lab import Lab, uncover
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser

WATCH = """
(seconds) => new Promise((done) => {
  const bench = document.querySelector('.sn-bench'), needle = bench.querySelector('[data-part="ip"]'), line = bench.querySelector('[data-part="trace"]');
  let frames = 0, moves = 0, shifts = 0, blanks = 0, longest = 0, last = null, at = '', where = '';
  const begin = performance.now();
  function look(now) {
    frames += 1;
    if (last !== null) longest = Math.max(longest, now - last);
    last = now;
    const turned = bench.querySelector('[data-part="ip"]').getAttribute('transform'), shifted = bench.querySelector('[data-part="trace"]').getAttribute('transform');
    if (turned !== at) { moves += 1; at = turned; }
    if (shifted !== where) { shifts += 1; where = shifted; }
    const box = bench.querySelector('.sn-picture svg');
    if (!box || !box.getBoundingClientRect().height || !bench.querySelector('[data-part="trace"] polyline').getAttribute('points')) blanks += 1;
    if (now - begin < seconds * 1000) requestAnimationFrame(look);
    else done({frames, moves, shifts, blanks, longest, seconds: (now - begin) / 1000});
  }
  requestAnimationFrame(look);
})
"""

TRACE_SHIFT = """document.querySelector('.sn-bench [data-part="trace"]').getAttribute('transform')"""


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[Page]:
    page = lab.page("02-how-the-first-stage-reduces.ipynb", height=1000)
    uncover(page)
    bench_of(page).scroll_into_view_if_needed()
    yield page
    page.close()


def bench_of(page: Page) -> Locator:
    return page.locator(".sn-bench")


def fresh(page: Page) -> Locator:
    bench = bench_of(page)
    bench.get_by_role("button", name="Start again (Esc)").click()
    expect(bench.get_by_role("button", name="Play")).to_be_visible()
    expect(bench.get_by_role("button", name="Open the valve")).to_be_visible()
    bench.get_by_label("Speed").select_option("1")
    return bench


def test_at_least_25_frames_a_second_and_none_blank(page: Page) -> None:
    """25 a second in headless Chromium on 2 cores while the trace draws: the requirement. Purges rewrite the future meanwhile."""
    bench = fresh(page)
    bench.get_by_label("Fault").select_option("seat nicked")
    bench.get_by_role("button", name="Open the valve").click()
    expect(bench.get_by_role("button", name="Shut the valve")).to_be_visible()
    page.evaluate(
        "() => { setTimeout(() => [...document.querySelectorAll('.sn-bench button')].find((b) => b.textContent.startsWith('Purge')).click(), 1500); }"
    )
    seen: dict[str, Any] = page.evaluate(WATCH, 4)
    rate = seen["shifts"] / seen["seconds"]
    print(f"moving needle: {rate:.0f} frames a second, longest gap {seen['longest']:.0f} ms")
    assert rate >= 25 and seen["blanks"] == 0, seen
    assert seen["moves"] > 20
    bench.get_by_label("Fault").select_option("nothing wrong")


def test_it_moves_while_the_kernel_is_busy(page: Page, lab: Lab) -> None:
    """The kernel is stopped altogether: nothing is busier. What was done meanwhile happens when it is back."""
    bench = fresh(page)
    bench.get_by_label("Fault").select_option("creep with a second stage that sticks and burps")
    bench.get_by_role("button", name="Open the valve").click()
    expect(bench.get_by_role("button", name="Shut the valve")).to_be_visible()
    kernels = lab.kernels()
    assert kernels
    for kernel in kernels:
        os.kill(kernel, signal.SIGSTOP)
    try:
        bench.get_by_role("button", name="Shut the valve").click()
        seen: dict[str, Any] = page.evaluate(WATCH, 2)
        assert seen["shifts"] >= 50 and seen["moves"] >= 20 and seen["blanks"] == 0, seen
        expect(bench.locator(".sn-foot")).to_contain_text("The kernel is busy: what you did waits for it.")
    finally:
        for kernel in kernels:
            os.kill(kernel, signal.SIGCONT)
    expect(bench.get_by_role("button", name="Open the valve")).to_be_visible()
    expect(bench.locator(".sn-foot")).not_to_contain_text("The kernel is busy")
    bench.get_by_label("Fault").select_option("nothing wrong")


def test_everything_by_keyboard_and_the_text_speaks_at_rest(page: Page) -> None:
    bench = fresh(page)
    picture = bench.locator(".sn-picture")
    expect(picture).to_have_attribute(
        "aria-label", re.compile(r"the gauge shows 0\.0 bar, the supply 0 bar, valve shut")
    )
    bench.get_by_role("button", name="Open the valve").focus()
    page.keyboard.press("Enter")
    expect(bench.get_by_role("button", name="Pause")).to_be_visible()
    expect(picture).to_have_attribute(
        "aria-label", re.compile(r"shows 10\.\d bar, the supply 200 bar, valve open"), timeout=8000
    )
    bench.get_by_role("button", name="Purge 1 s").focus()
    page.keyboard.press("Enter")
    expect(bench.locator(".sn-notice")).to_contain_text("air rushing from the mouthpiece")
    bench.get_by_role("button", name="Pause").focus()
    page.keyboard.press("Space")
    expect(bench.get_by_role("button", name="Play")).to_be_visible()
    before = page.evaluate(TRACE_SHIFT)
    page.wait_for_timeout(400)
    assert page.evaluate(TRACE_SHIFT) == before, "paused is still"
    page.keyboard.press("Escape")
    expect(picture).to_have_attribute("aria-label", re.compile(r"shows 0\.0 bar"))


def test_refusals_are_said_and_a_hidden_fault_is_hidden(page: Page) -> None:
    bench = fresh(page)
    bench.get_by_label("Regulator").select_option("Alder")
    bench.get_by_label("Fault").select_option("a surprise")
    expect(bench.locator(".sn-foot")).to_contain_text("The fault is hidden.")
    expect(bench.get_by_label("Fault")).not_to_be_visible()
    bench.get_by_role("button", name="Show what is wrong").click()
    expect(bench.locator(".sn-foot")).to_contain_text("Fault:")
    bench.get_by_label("Fault").select_option("nothing wrong")
    bench.get_by_label("Regulator").select_option("Juniper")


def test_reduced_motion_moves_by_the_second(page: Page) -> None:
    bench = fresh(page)
    page.emulate_media(reduced_motion="reduce")
    bench.get_by_role("button", name="Open the valve").click()
    expect(bench.get_by_role("button", name="Pause")).to_be_visible()
    seen: dict[str, Any] = page.evaluate(WATCH, 3)
    assert 1 < seen["shifts"] <= 6, seen
    page.emulate_media(reduced_motion="no-preference")
