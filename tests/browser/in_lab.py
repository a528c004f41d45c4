"""A real JupyterLab on a learner's working copy, in headless Chromium."""

from __future__ import annotations

import contextlib
import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page
from playwright.sync_api import TimeoutError as PlaywrightTimeout

CHROMIUM_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip


@dataclass
class Lab:
    """A running workbook."""

    folder: Path
    address: str
    token: str
    browser: Browser
    process: int = 0

    def kernels(self) -> list[int]:
        """Process ids of the kernels this workbook has started (Linux)."""
        parents, found = {}, []
        for folder in Path("/proc").glob("[0-9]*"):
            with contextlib.suppress(OSError):
                parents[int(folder.name)] = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
                if b"ipykernel_launcher" in (folder / "cmdline").read_bytes():
                    found.append(int(folder.name))
        return [pid for pid in found if self.process in (parents.get(pid), parents.get(parents.get(pid, 0)))]

    def page(self, lesson: str, width: int = 1366, height: int = 900) -> Page:
        """A lesson opened, its notebook drawn."""
        page = self.browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(30_000)
        page.goto(f"{self.address}/lab/tree/{lesson}?token={self.token}&reset")
        page.wait_for_selector(".jp-Notebook .jp-Cell")
        # A kernel's first start on a machine that does something else besides takes long; this is no benchmark.
        page.wait_for_selector("text='Python 3 (ipykernel) | Idle'", timeout=90_000)
        return page


def menu(page: Page, bar: str, item: str) -> None:
    """Choose an item of a menu of JupyterLab."""
    page.click(f".lm-MenuBar-itemLabel:text-is('{bar}')")
    page.click(f".lm-Menu-itemLabel:text-is('{item}')")


def run_all(page: Page) -> None:
    """Run, Run All Cells, until the last code cell has run.

    JupyterLab shows an idle kernel a moment before it takes work; a learner chooses Run once more, and so do we.
    """
    for _ in range(4):
        menu(page, "Run", "Run All Cells")
        with contextlib.suppress(PlaywrightTimeout):
            page.wait_for_selector(".sn", timeout=6_000)
            break
    wait_until_run(page)


def wait_until_run(page: Page) -> None:
    """Until the last cell that runs, "Where am I", shows its table again; outputs are cleared when a run begins."""
    page.wait_for_selector("th:text-is('practise next')", state="attached")
    page.wait_for_selector("text='Python 3 (ipykernel) | Idle'")


def restart_and_run_all(page: Page) -> None:
    """Kernel, Restart Kernel and Run All Cells, confirmed."""
    page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
    menu(page, "Kernel", "Restart Kernel and Run All Cells…")
    page.click(".jp-Dialog .jp-mod-accept")
    page.wait_for_selector(".sn:not([data-old])")
    wait_until_run(page)


@contextmanager
def study(folder: Path, browser: Browser, *more: str) -> Iterator[Lab]:
    """`steadyneedle study FOLDER --no-browser` until the block ends."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith("STEADYNEEDLE")}
    environment["PYTHONWARNINGS"] = os.environ["PYTHONWARNINGS"]
    command = [sys.executable, "-W", "default", "-m", "steadyneedle.cli", "study", str(folder), "--no-browser", *more]
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, env={**environment, "PYTHONWARNINGS": "default"}
    ) as process:
        assert process.stderr is not None
        found = None
        said = []
        for line in process.stderr:
            said.append(line)
            found = re.search(r"(http://localhost:\d+)/\S*token=(\w+)", line)
            if found:
                break
        assert found, "".join(said)
        reader = threading.Thread(target=process.stderr.read)
        reader.start()
        try:
            yield Lab(folder, found.group(1), found.group(2), browser, process.pid)
        finally:
            process.terminate()
            process.wait(timeout=20)
            reader.join()
