"""A real JupyterLab on a learner's working copy, in headless Chromium."""

from __future__ import annotations

import contextlib
import json
import os
import re
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from playwright.sync_api import Browser, Page
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from steadyneedle.questions.plans import plan_of

CHROMIUM_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
PATIENCE = 90_000
"""Milliseconds. On a machine that does something else besides a kernel's first start takes long; this is no benchmark."""


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
        return [pid for pid in found if self.process in _above(pid, parents)]

    def open(self, lesson: str, width: int = 1366, height: int = 900) -> Page:
        """A lesson opened in the lesson view, whatever becomes of it."""
        page = self.browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(PATIENCE)
        page.goto(f"{self.address}/doc/tree/{lesson}?token={self.token}")
        return page

    def page(self, lesson: str, width: int = 1366, height: int = 900) -> Page:
        """A lesson as a page, everything live."""
        page = self.open(lesson, width, height)
        wait_until_live(page)
        return page

    def notebook(self, name: str, width: int = 1366, height: int = 900) -> Page:
        """A notebook in JupyterLab's own view, drawn, its kernel ready."""
        page = self.browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(PATIENCE)
        page.goto(f"{self.address}/lab/tree/{name}?token={self.token}&reset")
        page.wait_for_selector(".jp-Notebook .jp-Cell")
        page.wait_for_selector("text='Python 3 (ipykernel) | Idle'")
        return page

    def ask(self, method: str, path: str, content: object = None) -> Any:
        """What the server's own interface answers."""
        data = None if content is None else json.dumps(content).encode("utf-8")
        headers = {"Authorization": f"token {self.token}", "Content-Type": "application/json"}
        request = urllib.request.Request(f"{self.address}/api/{path}", data, headers, method=method)
        with urllib.request.urlopen(request, timeout=PATIENCE / 1000) as answer:
            return json.loads(answer.read() or b"null")

    def kernel_of(self, lesson: str) -> str:
        """Id of the kernel of a lesson."""
        return next(one["kernel"]["id"] for one in self.ask("GET", "sessions") if one["path"] == lesson)

    def restart_kernel(self, page: Page) -> None:
        """Restart the kernel of the lesson that a page shows, and wait until the page is live again."""
        lesson = unquote(urlsplit(page.url).path.rpartition("/tree/")[2])
        page.evaluate("document.querySelectorAll('.sn').forEach((one) => one.setAttribute('data-old', ''))")
        self.ask("POST", f"kernels/{self.kernel_of(lesson)}/restart")
        page.wait_for_selector(".sn:not([data-old])", state="attached")
        wait_until_live(page)


def wait_until_live(page: Page, patience: float = PATIENCE) -> None:
    """Until every cell of a lesson in the lesson view shows its live output, for some milliseconds at most."""
    page.wait_for_selector(".sn-lesson[data-state=live]", timeout=patience)


def uncover(page: Page, on: bool = True) -> None:
    """Uncover all that waits for predictions, as whoever teaches can; or cover it again."""
    page.evaluate("(on) => document.querySelector('.sn-lesson').page.cover.uncoverAll(on)", on)


def heading(lesson: str, exercise: str) -> str:
    """How the form of a lesson's exercise begins, wherever in the lesson it stands."""
    names = [one.name for one in plan_of(lesson).exercises]
    return f"Exercise {names.index(exercise) + 1}."


def menu(page: Page, bar: str, item: str) -> None:
    """Choose an item of a menu of JupyterLab."""
    page.click(f".lm-MenuBar-itemLabel:text-is('{bar}')")
    page.click(f".lm-Menu-itemLabel:text-is('{item}')")


def run_all(page: Page) -> None:
    """Run, Run All Cells, in JupyterLab's own view, until the kernel has nothing to do.

    JupyterLab shows an idle kernel a moment before it takes work; a learner chooses Run once more, and so do we.
    """
    for _ in range(4):
        menu(page, "Run", "Run All Cells")
        with contextlib.suppress(PlaywrightTimeout):
            page.wait_for_selector(".sn", timeout=6_000)
            break
    page.wait_for_selector("text='Python 3 (ipykernel) | Idle'")


def _above(pid: int, parents: dict[int, int]) -> Iterator[int]:
    """The processes above one."""
    while pid in parents:
        pid = parents[pid]
        yield pid


def study(folder: Path, browser: Browser, *more: str) -> AbstractContextManager[Lab]:
    """`steadyneedle study FOLDER --no-browser` until the block ends."""
    return _running(folder, browser, "study", str(folder), *more)


def sit(paper: Path, browser: Browser, *more: str) -> AbstractContextManager[Lab]:
    """`steadyneedle sit PAPER --no-browser` until the block ends."""
    return _running(paper.parent, browser, "sit", str(paper), *more)


@contextmanager
def _running(folder: Path, browser: Browser, *words: str) -> Iterator[Lab]:
    own = ("STEADYNEEDLE", "PYTHONDONTWRITEBYTECODE")  # a kernel of a learner's finds its modules compiled
    environment = {k: v for k, v in os.environ.items() if not k.startswith(own)}
    environment["PYTHONWARNINGS"] = os.environ["PYTHONWARNINGS"]
    command = [sys.executable, "-W", "default", "-m", "steadyneedle.cli", *words, "--no-browser"]
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, env={**environment, "PYTHONWARNINGS": "default"}
    ) as process:
        assert process.stderr is not None
        found = None
        said = []
        for line in process.stderr:
            said.append(line)
            found = re.search(r"^(http://localhost:\d+)/\S*token=(\w+)$", line)
            if found:
                break
        assert found, "".join(said)
        reader = threading.Thread(target=process.stderr.read)
        reader.start()
        try:
            yield Lab(folder, found.group(1), found.group(2), browser, process.pid)
        finally:
            process.terminate()
            process.wait(timeout=60)
            reader.join()
