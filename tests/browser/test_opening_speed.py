"""How long a lesson takes from its address to its first section and to everything live, against plain JupyterLab."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from in_lab import PATIENCE, Lab, wait_until_live
from playwright.sync_api import Browser, Page

from steadyneedle.foundation import places

pytestmark = [pytest.mark.browser, pytest.mark.benchmark, pytest.mark.long]

ROUNDS = 3
FIRST, LIVE = 1.5, 1.8
LESSONS = sorted(path.name for path in places.lessons().glob("[0-9]*.ipynb"))
EMPTY = "empty.ipynb"
IDLE = """() => {
    const look = () => {
        if (window.sn_idle || !document.body?.innerText.includes("Python 3 (ipykernel) | Idle")) return;
        window.sn_idle = performance.now();
    };
    new MutationObserver(look).observe(document, {subtree: true, childList: true, characterData: true, attributes: true});
}"""
"""When JupyterLab's status bar first calls the kernel idle, on the page's own clock."""
MARKS = """() => {
    const at = (name) => Math.max(...performance.getEntriesByName(name).map((one) => one.startTime));
    return [Math.max(at("sn-first"), at("sn-shown")), at("sn-live"),
            Object.fromEntries(performance.getEntriesByType("mark").map((one) => [one.name, Math.round(one.startTime)]))];
}"""
"""A section that has run counts from when the page shows it."""


@contextlib.contextmanager
def plain_jupyterlab(folder: Path, browser: Browser) -> Iterator[Lab]:
    """JupyterLab as anyone starts it, nothing of ours in it, with an empty notebook."""
    work = folder / "work"
    work.mkdir(parents=True)
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}}
    book = {"cells": [], "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    (work / EMPTY).write_text(json.dumps(book), encoding="utf-8")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    rooms = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "run",
             "IPYTHONDIR": "ipython"}  # fmt: skip
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("STEADYNEEDLE", "JUPYTER", "PYTHONDONT"))}
    environment |= {name: str(folder / room) for name, room in rooms.items()}
    environment |= {"PYTHONWARNINGS": "default", "JUPYTER_TOKEN": "token"}
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--ServerApp.port={port}",
               f"--ServerApp.root_dir={work}", "--LabApp.news_url=None"]  # fmt: skip
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment) as process:
        try:
            lab = Lab(work, f"http://localhost:{port}", "token", browser, process.pid)
            until = time.monotonic() + PATIENCE / 1000
            while True:
                with contextlib.suppress(OSError):
                    urllib.request.urlopen(f"{lab.address}/api", timeout=5).close()
                    break
                assert time.monotonic() < until and process.poll() is None, "JupyterLab does not start"
                time.sleep(0.2)
            yield lab
        finally:
            process.terminate()
            process.wait(timeout=60)


def close(page: Page, lab: Lab) -> None:
    """Close a page and end its kernel, so that the next one is opened as the first was."""
    page.close()
    for one in lab.ask("GET", "sessions"):
        lab.ask("DELETE", f"sessions/{one['id']}")


def empty_notebook(plain: Lab) -> float:
    """Milliseconds from the address to an idle kernel, in a browser that has seen nothing of it."""
    page = plain.browser.new_page(viewport={"width": 1366, "height": 768})
    page.set_default_timeout(PATIENCE)
    page.add_init_script(f"({IDLE})()")
    page.goto(f"{plain.address}/lab/tree/{EMPTY}?token={plain.token}")
    page.wait_for_function("() => window.sn_idle")
    spent = float(page.evaluate("window.sn_idle"))
    close(page, plain)
    return spent


def lesson(lab: Lab, name: str) -> tuple[float, float, dict[str, int]]:
    """Milliseconds from the address to the first section live, to everything live, and all marks between."""
    page = lab.open(name, 1366, 768)
    wait_until_live(page)
    first, live, marks = page.evaluate(MARKS)
    close(page, lab)
    return first, live, marks


def test_a_lesson_is_live_nearly_as_soon_as_an_empty_notebook_is_idle(
    lab: Lab, browser: Browser, tmp_path: Path
) -> None:
    """Each lesson and an empty notebook in turn; medians, and the baseline beside each."""
    table, slow = [], []
    with plain_jupyterlab(tmp_path / "plain", browser) as plain:
        empty_notebook(plain)  # compiled files and the disk's caches of both are warm
        lesson(lab, LESSONS[0])
        for name in LESSONS:
            rounds = [(empty_notebook(plain), *lesson(lab, name)) for _ in range(ROUNDS)]
            baseline, first, live = (statistics.median(one[n] for one in rounds) for n in range(3))
            table.append(
                f"{name[:2]} | {baseline / 1000:.1f} s | {first / 1000:.1f} s, {first / baseline:.2f} times"
                f" | {live / 1000:.1f} s, {live / baseline:.2f} times"
            )
            print(table[-1], rounds[-1][3], flush=True)
            if first > FIRST * baseline or live > LIVE * baseline:
                slow.append(table[-1])
    print("lesson | empty notebook | first section | everything", *table, sep="\n")
    assert not slow, slow
