"""Fixtures of the browser tests."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from in_lab import CHROMIUM_FLAGS, PATIENCE, Lab, study
from playwright.sync_api import Browser, expect, sync_playwright

expect.set_options(timeout=PATIENCE)


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """Headless Chromium."""
    with sync_playwright() as playwright:
        made = playwright.chromium.launch(executable_path=chromium, args=CHROMIUM_FLAGS)
        yield made
        made.close()


@pytest.fixture(scope="session")
def lab(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """One workbook for all browser tests."""
    with study(tmp_path_factory.mktemp("learner") / "work", browser) as running:
        yield running


@pytest.fixture(scope="session")
def notebook_lab(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """The same as `lab` in JupyterLab's own view."""
    with study(tmp_path_factory.mktemp("learner") / "work", browser, "--as-notebook") as running:
        yield running


@pytest.fixture(scope="session")
def class_room(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """The same as `lab` on a wall."""
    with study(tmp_path_factory.mktemp("class") / "work", browser, "--present") as running:
        yield running
