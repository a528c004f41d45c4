"""A test that measures speed runs alone, whichever worker it falls to."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

PLAYED = """
import json, os, time
from pathlib import Path
import pytest

def play(name):
    start = time.monotonic()
    time.sleep(0.15)
    Path(os.environ["TURNS_SEEN"], name).write_text(json.dumps([start, time.monotonic()]))

@pytest.mark.parametrize("n", range(6))
def test_ordinary(n):
    play(f"ordinary-{__name__}-{n}")

@pytest.mark.benchmark
@pytest.mark.parametrize("n", range(3))
def test_measured(n):
    play(f"measured-{__name__}-{n}")

@pytest.mark.parametrize("n", range(3))
def test_after(n):
    play(f"after-{__name__}-{n}")
"""


def test_nothing_runs_beside_a_measured_test_and_all_run(
    tmp_path: Path, root: Path, clean_environment: dict[str, str]
) -> None:
    """Three workers, three modules alike: the times when each test ran, as the tests themselves noted them."""
    for name in ("conftest.py", "turns.py"):
        shutil.copy(root / "tests" / name, tmp_path / name)
    for name in ("one", "two", "three"):
        (tmp_path / f"test_{name}.py").write_text(PLAYED, encoding="utf-8")
    (tmp_path / "pytest.ini").write_text("[pytest]\npythonpath = .\nmarkers = benchmark: measured\n", encoding="utf-8")
    (tmp_path / "seen").mkdir()
    way = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-p",
        "no:cacheprovider",
        "-n",
        "3",
        "--dist",
        "loadscope",
        str(tmp_path),
    ]
    environment = {**clean_environment, "TURNS_SEEN": str(tmp_path / "seen"), "PYTHONPATH": os.pathsep.join(sys.path)}
    ran = subprocess.run(way, cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=120)
    assert ran.returncode == 0 and "36 passed" in ran.stdout, ran.stdout + ran.stderr
    times = {path.name: json.loads(path.read_text(encoding="utf-8")) for path in (tmp_path / "seen").iterdir()}
    measured = {name: span for name, span in times.items() if name.startswith("measured")}
    assert len(times) == 36 and len(measured) == 9
    beside = [
        (name, other)
        for name, (start, end) in measured.items()
        for other, (begin, ended) in times.items()
        if other != name and begin < end and start < ended
    ]
    assert beside == []
    ordinary = [span for name, span in times.items() if not name.startswith("measured")]
    assert any(a < d and c < b for n, (a, b) in enumerate(ordinary) for c, d in ordinary[:n]), "others run side by side"
