"""Both ways to install: a wheel carries lessons and datasets, an editable install reads the repository's."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from steadyneedle.foundation import places

ROOT = Path(__file__).resolve().parent.parent
ASK = """
from steadyneedle.foundation import places
from steadyneedle.bench.sheets import load_sheets
from steadyneedle.physics import gas
print(places.PACKAGE); print(places.lessons()); print(places.datasets())
print(list(load_sheets(places.sheets()))[0], round(float(gas.density(1e5)), 3))
"""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """sdist, and the wheel built from it."""
    out = tmp_path_factory.mktemp("dist")
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True, env={**os.environ, "PYTHONWARNINGS": "default"})
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return out


def test_the_wheel_carries_everything(built: Path, tmp_path: Path) -> None:
    wheel = next(built.glob("*.whl"))
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder in ("lessons", "datasets"):
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and path.suffix in (".ipynb", ".csv") and ".ipynb_checkpoints" not in path.parts:
                assert f"steadyneedle/{path.relative_to(ROOT).as_posix()}" in names
    for needed in ("frame.css", "panel.js", "form.js", "gauge.js", "make.js", "parts.js"):
        assert f"steadyneedle/teaching/frame/{needed}" in names
    page = [path.name for path in (ROOT / "helpers/steadyneedle/lesson_view/page").iterdir()]
    assert "remoteEntry.js" in page and {f"steadyneedle/lesson_view/page/{name}" for name in page} <= names
    assert not any("tests/" in name or name.endswith("/start.py") for name in names)
    command = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-deps",
        "--no-compile",
        "--target",
        str(tmp_path / "site"),
        str(wheel),
    ]
    subprocess.run(command, check=True, env={**os.environ, "PYTHONWARNINGS": "default"})
    environment = {**os.environ, "PYTHONPATH": str(tmp_path / "site")}
    said = subprocess.run([sys.executable, "-c", ASK], capture_output=True, text=True, env=environment, cwd=tmp_path)
    package, lessons, data, sheet = said.stdout.splitlines()
    assert Path(package) == tmp_path / "site" / "steadyneedle", said.stderr
    assert Path(lessons) == Path(package) / "lessons" and Path(data) == Path(package) / "datasets"
    assert sheet == "Alder 1.189"
    refresh = [sys.executable, "-m", "steadyneedle.cli", "refresh"]
    for more in ([], ["--check"], ["--datasets", "air_enthalpy"]):
        said = subprocess.run([*refresh, *more], capture_output=True, text=True, env=environment, cwd=tmp_path)
        assert said.returncode == 2 and said.stderr.startswith("This Steady Needle is installed from a wheel")


def test_the_sdist_carries_the_whole_house(built: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        names = {name.split("/", 1)[1] for name in archive.getnames() if "/" in name}
    for needed in (
        "README.md",
        "DEVELOPERS.md",
        "helpers/start.py",
        "helpers/LICENSE",
        "tests/conftest.py",
        "lessons/00-start-here.ipynb",
    ):
        assert needed in names


def test_building_leaves_the_tree_clean(built: Path) -> None:
    left = [name for name in ("build", "dist", "helpers/steadyneedle.egg-info") if (ROOT / name).exists()]
    assert left == []


def test_an_editable_install_reads_the_repository(tmp_path: Path) -> None:
    said = subprocess.run([sys.executable, "-c", ASK], capture_output=True, text=True, cwd=tmp_path)
    package, lessons, data, _ = said.stdout.splitlines()
    if Path(package) != ROOT / "helpers" / "steadyneedle":
        pytest.skip("this environment holds no editable install")
    assert Path(lessons) == ROOT / "lessons" and Path(data) == ROOT / "datasets"


def test_a_missing_folder_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(places, "PACKAGE", tmp_path / "steadyneedle")
    with pytest.raises(
        FileNotFoundError, match=r"The folder 'lessons' of Steady Needle is missing\. Install the workbook again"
    ):
        places.lessons()
