"""A set-up that was stopped mends itself, and a failure says its cause first.

`python3 helpers/start.py` is stopped while it sets up. In CI three times in one folder, each next run being stopped
too, later than the one before; then it is left alone and must end in a workbook that serves lesson 00. Under `-m long`
sixty times at moments spread over the whole set-up, and the next run must do so each time.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MARK = ".venv-unfinished"

pytestmark = pytest.mark.skipif(os.name != "posix", reason="stops by signals")


def checkout(folder: Path) -> Path:
    """The project's files as they are, but for what git ignores."""
    names = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.splitlines()
    for name in names:
        if (ROOT / name).is_file() and not name.startswith("tests/"):
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    return folder


def environment(**more: str) -> dict[str, str]:
    """As a person's shell has it; pip leaves out what only saves the first start a few seconds."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("STEADYNEEDLE", "PYTHON", "PYTEST"))}
    return {**kept, "PIP_NO_COMPILE": "0", **more}  # pip reads 0 as: do not compile


@contextlib.contextmanager
def started(folder: Path, *words: str) -> Iterator[tuple[subprocess.Popen[str], Path]]:
    """start.py under way, and the file that holds what it says; ended with all its children."""
    said = folder.with_name(f"{folder.name}-said.txt")
    with said.open("w", encoding="utf-8") as file:
        process = subprocess.Popen(
            [sys.executable, str(folder / "helpers" / "start.py"), *words], cwd=folder, env=environment(), text=True,
            stdout=file, stderr=subprocess.STDOUT, start_new_session=True,
        )  # fmt: skip
    try:
        yield process, said
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=60)


def wait_until(come: Callable[[], bool], process: subprocess.Popen[str], said: Path, seconds: float = 600.0) -> None:
    """Until something has come; it must come before the process ends."""
    until = time.monotonic() + seconds
    while not come():
        assert process.poll() is None and time.monotonic() < until, said.read_text(encoding="utf-8")
        time.sleep(0.02)


def serves_lesson_00(folder: Path, work: Path) -> None:
    """The workbook opens, and its server gives JupyterLab's page and lesson 00."""
    with started(folder, str(work), "--no-browser") as (process, said):
        wait_until(lambda: "token=" in said.read_text(encoding="utf-8"), process, said)
        line = next(line for line in said.read_text(encoding="utf-8").splitlines() if "token=" in line)
        address, _, token = line.split()[-1].partition("?token=")
        base = address.split("/lab")[0].split("/doc")[0]
        for path in ("/lab", "/api/contents/00-start-here.ipynb"):
            with urllib.request.urlopen(f"{base}{path}?token={token}", timeout=60) as answer:
                assert answer.status == 200, path
    assert not (folder / MARK).exists()


def found(folder: Path, pattern: str) -> bool:
    return any((folder / ".venv").glob(pattern))


def test_three_stops_mend_themselves(tmp_path: Path) -> None:
    """While packages are fetched; when JupyterLab's page is half there; when the workbook itself is put in place."""
    folder = checkout(tmp_path / "workbook")
    moments: list[tuple[Callable[[Path], bool], int, bool]] = [
        (lambda said: "fetching" in said.read_text(encoding="utf-8"), signal.SIGINT, True),
        (lambda _: found(folder, "share/jupyter/lab/static"), signal.SIGKILL, False),  # its children left to end
        (lambda _: found(folder, "lib/*/site-packages/steadyneedle-*.dist-info"), signal.SIGKILL, True),
    ]
    for number, (come, way, whole_group) in enumerate(moments):
        with started(folder, "--version") as (process, said):
            wait_until(lambda come=come, said=said: come(said), process, said)  # type: ignore[misc]
            (os.killpg if whole_group else os.kill)(process.pid, way)
            assert process.wait(timeout=60) != 0
        again = "The last set-up was stopped before its end: making the environment afresh."
        assert (again in said.read_text(encoding="utf-8")) == (number > 0)
        assert (folder / MARK).exists()
    serves_lesson_00(folder, tmp_path / "work")
    (page,) = folder.glob(".venv/share/jupyter/lab/static/index.html")
    page.unlink()
    own = [str(folder / ".venv" / "bin" / "python"), "-P", "-m", "steadyneedle.cli", "ready"]
    ready = subprocess.run(own, env=environment(), capture_output=True, text=True, cwd=tmp_path)
    assert ready.returncode == 1 and "MEND  JupyterLab's page is missing" in ready.stdout, ready.stdout + ready.stderr
    assert "MEND  jupyterlab is damaged: ../../../share/jupyter/lab/static/index.html missing" in ready.stdout
    again = [sys.executable, str(folder / "helpers" / "start.py"), "ready"]
    mended = subprocess.run(again, env=environment(), capture_output=True, text=True, cwd=tmp_path)
    assert mended.returncode == 0 and "Damaged since the set-up: jupyterlab==" in mended.stderr, mended.stderr
    assert page.is_file() and "Ready." in mended.stdout


@pytest.mark.long
def test_sixty_stops_mend_themselves(tmp_path: Path) -> None:
    """The moments jump about, so that a run that is broken off has tried the whole set-up too."""
    begin = time.monotonic()
    with started(checkout(tmp_path / "timed"), "--version") as (process, _):
        assert process.wait(timeout=900) == 0
    whole = time.monotonic() - begin
    shutil.rmtree(tmp_path / "timed")
    left = [count * 23 % 60 for count in range(60)]
    while left:
        n = left.pop(0)
        folder = checkout(tmp_path / f"workbook-{n}")
        begin, moment = time.monotonic(), whole * (n + 0.5) / 60
        with started(folder, "--version") as (process, said):
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(timeout=moment)
            if process.poll() is not None:  # quicker than the one that was timed: stopped too late, so once more
                whole = time.monotonic() - begin
                left.insert(0, n)
                shutil.rmtree(folder)
                continue
            os.killpg(process.pid, (signal.SIGINT, signal.SIGKILL)[n // 2 % 2])
            state = said.read_text(encoding="utf-8").strip().splitlines()[-1:]
        serves_lesson_00(folder, tmp_path / f"work-{n}")
        shutil.rmtree(folder)
        print(f"stop {60 - len(left)} of 60, {moment:.1f} s into {whole:.0f} s, at {state}: mended", flush=True)


def refusal(folder: Path) -> str:
    done = subprocess.run(
        [sys.executable, str(folder / "helpers" / "start.py"), "--version"], cwd=folder, env=environment(), text=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=300,
    )  # fmt: skip
    said = done.stdout
    assert done.returncode == 2, said
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
    nobody = environment(PIP_INDEX_URL="http://127.0.0.1:9/simple", PIP_NO_CACHE_DIR="1", PIP_RETRIES="0")
    done = subprocess.run(
        [sys.executable, str(folder / "helpers" / "start.py"), "--version"], cwd=folder, env=nobody, text=True,
        capture_output=True, timeout=300,
    )  # fmt: skip
    assert done.returncode == 2 and "Traceback" not in done.stderr
    after = done.stderr.split("Installing the workbook.")[1].splitlines()[1:]
    assert after[0].startswith("The network did not answer."), after
