"""A set-up that was stopped mends itself, and a failure says its cause first.

Three stops in CI, sixty under `-m long`: `python3 helpers/start.py ready` is killed together with its children at
moments spread over the whole set-up; the next run must end in a workbook that is ready and serves lesson 00.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def checkout(folder: Path) -> Path:
    """The project's files as git has them, changed ones as they are."""
    names = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    for name in names:
        if (ROOT / name).is_file() and not name.startswith("tests/"):
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    return folder


def start(folder: Path, *words: str) -> subprocess.Popen[str]:
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("STEADYNEEDLE", "PYTHON", "PYTEST"))}
    return subprocess.Popen(
        [sys.executable, str(folder / "helpers" / "start.py"), *words], cwd=folder, env=environment, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, start_new_session=True,
    )  # fmt: skip


def stopped_after(folder: Path, seconds: float, way: int) -> None:
    process = start(folder, "--version")
    try:
        process.wait(timeout=seconds)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, way)
    process.communicate()


def serves_lesson_00(folder: Path, work: Path) -> bool:
    """Whether the workbook opens and its server gives lesson 00 and its own page."""
    process = start(folder, str(work), "--no-browser")
    assert process.stdout is not None
    try:
        for line in process.stdout:
            if "token=" in line:
                address, _, token = line.split()[-1].partition("?token=")
                base = address.split("/lab")[0].split("/doc")[0]
                for path in ("/lab", "/api/contents/00-start-here.ipynb"):
                    with urllib.request.urlopen(f"{base}{path}?token={token}", timeout=60) as answer:
                        assert answer.status == 200, path
                return True
        return False
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=30)


def stop_and_go_on(folder: Path, work: Path, seconds: float, way: int) -> None:
    stopped_after(folder, seconds, way)
    assert serves_lesson_00(folder, work), (seconds, way)
    assert not (folder / ".venv-unfinished").exists()


@pytest.fixture(scope="module")
def whole_seconds(tmp_path_factory: pytest.TempPathFactory) -> float:
    """How long a set-up takes here, once pip has what it needs."""
    folder = checkout(tmp_path_factory.mktemp("timed"))
    begin = time.monotonic()
    assert start(folder, "--version").wait(timeout=900) == 0
    took = time.monotonic() - begin
    shutil.rmtree(folder)
    return took


@pytest.mark.parametrize("part", [0.15, 0.6, 0.93])
def test_a_stopped_set_up_mends_itself(tmp_path: Path, whole_seconds: float, part: float) -> None:
    way = signal.SIGINT if part < 0.5 else signal.SIGKILL
    stop_and_go_on(checkout(tmp_path / "workbook"), tmp_path / "work", part * whole_seconds, way)


@pytest.mark.long
def test_sixty_stops_mend_themselves(tmp_path: Path, whole_seconds: float) -> None:
    for n in range(60):
        folder = checkout(tmp_path / f"workbook-{n}")
        stop_and_go_on(
            folder, tmp_path / f"work-{n}", whole_seconds * (n + 0.5) / 60, (signal.SIGINT, signal.SIGKILL)[n % 2]
        )
        shutil.rmtree(folder)
    print(f"60 stops over {whole_seconds:.0f} s of set-up: each next run served lesson 00")


def refusal(folder: Path) -> str:
    process = start(folder, "--version")
    said = process.communicate(timeout=300)[0]
    assert process.returncode == 2, said
    assert "Traceback" not in said
    return said


def test_a_name_that_is_taken_is_said(tmp_path: Path) -> None:
    folder = checkout(tmp_path)
    (folder / ".venv").write_text("mine", encoding="utf-8")
    assert f"{folder / '.venv'} stands where the environment belongs. Rename it" in refusal(folder)
    assert (folder / ".venv").read_text(encoding="utf-8") == "mine"


def test_two_set_ups_at_once_are_refused(tmp_path: Path) -> None:
    import fcntl

    folder = checkout(tmp_path)
    with (folder / ".venv-unfinished").open("a") as mark:
        fcntl.flock(mark, fcntl.LOCK_EX)
        assert "Another set-up of this workbook is under way." in refusal(folder)


@pytest.mark.parametrize(
    ("printed", "first"),
    [
        ("NewConnectionError: Failed to establish a new connection", "The network did not answer."),
        ("ERROR: No matching distribution found for pint (from versions: none)", "The network did not answer."),
        ("OSError: [Errno 28] No space left on device", "The disk is full."),
        ("OSError: [Errno 30] Read-only file system: '/x'", "This folder cannot be written"),
        ("a strange failure", "Otherwise."),
    ],
)
def test_the_first_line_of_a_failure_says_its_cause(printed: str, first: str) -> None:
    import importlib.util

    spec = importlib.util.spec_from_file_location("start", ROOT / "helpers" / "start.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.cause(printed, "Otherwise.").startswith(first)


def test_no_network_is_said_first(tmp_path: Path) -> None:
    """pip is pointed at an address where nobody answers."""
    folder = checkout(tmp_path)
    environment = {
        **os.environ,
        "PIP_INDEX_URL": "http://127.0.0.1:9/simple",
        "PIP_NO_CACHE_DIR": "1",
        "PIP_RETRIES": "0",
    }
    done = subprocess.run(
        [sys.executable, str(folder / "helpers" / "start.py"), "--version"], cwd=folder, env=environment, text=True,
        capture_output=True, timeout=300,
    )  # fmt: skip
    assert done.returncode == 2 and "Traceback" not in done.stderr
    after = done.stderr.split("Installing the workbook.")[1].splitlines()[1:]
    assert after[0].startswith("The network did not answer."), after
