"""Key to picture in the browser: a computed table against `interact` with a fresh figure, in one run."""

from __future__ import annotations

import json
import statistics

import pytest
from in_lab import Lab, run_all
from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

BASELINE = """
import matplotlib.pyplot as pyplot, numpy
from ipywidgets import interact, FloatSlider
time = numpy.linspace(0, 60, 600)
def show(pressure):
    figure, (left, right) = pyplot.subplots(1, 2, figsize=(8.6, 3.4))
    left.plot([0, numpy.cos(pressure)], [0, numpy.sin(pressure)])
    left.set(xlim=(-1, 1), ylim=(-1, 1))
    right.axhspan(9.8, 10.2, hatch="//", fill=False)
    right.plot(time, pressure + 0.4 * (1 - numpy.exp(-time / 8)))
    right.set(xlabel="s", ylabel="bar", ylim=(8, 12))
    pyplot.show()
interact(show, pressure=FloatSlider(min=8, max=12, step=0.01, value=9));
"""
KERNEL = [("02", "forces", "The forces on the valve"), ("04", "opening", "Second stages as IP climbs")]
"""Panels whose picture the kernel draws anew for each key."""
MEASURE = """async (root) => {
    let start = 0, last = 0;
    const seen = () => { last = performance.now(); };
    const key = (event) => { if (event.key === "ArrowRight") { start = last = performance.now(); } };
    window.addEventListener("keydown", key, true);
    root.addEventListener("load", seen, true);
    const watcher = new MutationObserver(seen);
    // a picture is there when it has loaded; what else changes before it is no picture
    if (!root.querySelector("img")) watcher.observe(root, {subtree: true, childList: true, attributes: true, characterData: true, attributeFilter: ["src", "transform", "alt", "aria-label"]});
    window.sn_measure = async () => {
        const quiet = () => performance.now() - last > (last > start ? 400 : 5000);  // a busy machine's picture may be late
        while (!quiet()) await new Promise((done) => setTimeout(done, 30));
        return last - start;
    };
}"""


def key_to_picture(page: Page, output: str, slider: str, moves: int = 11) -> float:
    """Median milliseconds from the key to the last change of the picture, and the next frame (a 60th of a second)."""
    root = page.locator(output)
    root.evaluate(MEASURE)
    handle = root.locator(slider).first
    handle.focus()
    page.keyboard.press("Home")
    page.wait_for_timeout(500)
    times = []
    for _ in range(moves):
        page.keyboard.press("ArrowRight")
        times.append(page.evaluate("() => window.sn_measure()") + 1000 / 60)
    assert all(t > 1000 / 60 for t in times), "every key must change the picture"
    return statistics.median(times)


def times_faster(page: Page, panel: str) -> float:
    """How many times faster than `interact`, measured beside it; again where other work came between, the best of four."""
    best = 0.0
    for _ in range(4):
        own = key_to_picture(page, panel, "input[type=range]", 9)
        common = key_to_picture(page, ".widget-interact", ".noUi-handle", 9)
        best = max(best, common / own)
        if best >= 2.5:
            break
    return best


def test_pictures_follow_the_key_several_times_faster_than_interact(lab: Lab) -> None:
    path = lab.folder / "speed.ipynb"
    sources = [
        "from steadyneedle.teaching.lesson import open_lesson\nopen_lesson('01').panel('dial')",
        "open_lesson('03').panel('verdict')",
        *(f"open_lesson('{number}').panel('{name}')" for number, name, _ in KERNEL),
        BASELINE,
    ]
    cells = [
        {"cell_type": "code", "id": f"c{n}", "metadata": {}, "source": source, "outputs": [], "execution_count": None}
        for n, source in enumerate(sources)
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    path.write_text(
        json.dumps({"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}), encoding="utf-8"
    )
    page = lab.notebook("speed.ipynb", height=5200)
    run_all(page)
    page.wait_for_selector(".widget-interact .jupyter-widget-output img, .widget-interact img")
    panels = [
        f".sn-panel:has(legend:text-is('{title}'))" for title in ("One needle, two scales", "A band under a needle")
    ]
    dial, band = (key_to_picture(page, panel, "input[type=range]") for panel in panels)
    common = key_to_picture(page, ".widget-interact", ".noUi-handle")
    drawn = {title: times_faster(page, f".sn-panel:has(legend:text-is('{title}'))") for *_, title in KERNEL}
    print(*(f"{title}: {ratio:.1f} times" for title, ratio in drawn.items()), sep=", ")
    print(f"dial {common / dial:.1f} times, band {common / band:.1f} times faster than interact")
    # nothing shows sooner than the screen's next frame: where `interact` takes less than eight frames, one is all there is
    soon = max(common / 8, 1.1 * 1000 / 60)
    assert dial <= soon and band <= soon, (dial, band, common)
    assert min(drawn.values()) >= 2.5, drawn
    page.close()
