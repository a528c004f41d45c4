"""What every test stands on: a learner who has done nothing yet, warnings as errors, tools found or skipped."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from steadyneedle.foundation import places
from steadyneedle.foundation.rules_file import CLEANING_VARIABLE
from steadyneedle.refresh import KERNEL_WARNINGS
from turns import Turns

ROOT = Path(__file__).resolve().parent.parent
settings.register_profile("shared machine", deadline=None)
settings.load_profile("shared machine")
_work = tempfile.TemporaryDirectory(prefix="steadyneedle-tests-")
turns = pytest.StashKey[Turns]()


def pytest_configure(config: pytest.Config) -> None:
    """Kernels of lessons inherit this environment; workers side by side share the folder of their turns."""
    worker = getattr(config, "workerinput", None)
    if worker is not None:
        config.stash[turns] = Turns(Path(worker["turns"]), worker["workerid"])
    os.environ[places.WORK_VARIABLE] = _work.name
    os.environ["PYTHONWARNINGS"] = KERNEL_WARNINGS
    os.environ.pop(places.SHEETS_VARIABLE, None)
    os.environ.pop(CLEANING_VARIABLE, None)


def pytest_unconfigure(config: pytest.Config) -> None:
    """The learner's folder goes with the tests."""
    _work.cleanup()


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node: object) -> None:
    """The controller says to each worker where the turns are."""
    node.workerinput["turns"] = _work.name  # type: ignore[attr-defined]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> Iterator[None]:
    """A test that measures speed runs while no other does; those that follow each other keep the turn."""
    taken = item.config.stash.get(turns, None)
    if taken is None:
        return (yield)
    measured, more = (one is not None and one.get_closest_marker("benchmark") is not None for one in (item, nextitem))
    with taken.alone(last=not more) if measured else taken.beside_others():
        return (yield)


@pytest.fixture(scope="session")
def root() -> Path:
    """The repository."""
    return ROOT


@pytest.fixture
def work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A fresh working folder for one test."""
    monkeypatch.setenv(places.WORK_VARIABLE, str(tmp_path))
    return tmp_path


def need(found: bool, what: str) -> None:
    """Skip with a reason where a tool is missing; in CI nothing may be missing."""
    if found:
        return
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing, and in CI it must be there")
    pytest.skip(f"needs {what}")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of Chromium."""
    path = shutil.which("chromium") or shutil.which("chromium-browser") or ""
    need(bool(path), "Chromium")
    return path


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility checker's script."""
    path = Path(os.environ.get("STEADYNEEDLE_AXE", ROOT / ".venv-tools/node_modules/axe-core/axe.min.js"))
    need(path.is_file(), "axe-core")
    return path.read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def bound() -> list[str]:
    """What goes before a command that the rights of files shall bind: an administrator may else write anywhere."""
    if os.geteuid() != 0:
        return []
    path = shutil.which("setpriv")
    need(path is not None, "setpriv")
    return [str(path), "--bounding-set=-dac_override,-dac_read_search"]


@pytest.fixture
def clean_environment() -> Iterator[dict[str, str]]:
    """The environment as a person's shell has it, without what these tests set."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("STEADYNEEDLE", "PYTHONWARNINGS", "PYTEST"))}
    yield kept


@pytest.fixture
def environment(clean_environment: dict[str, str], tmp_path: Path) -> dict[str, str]:
    """A person's shell, state and temporary files where a test can look."""
    (tmp_path / "temporary").mkdir()
    return {**clean_environment, "TMPDIR": str(tmp_path / "temporary"), "XDG_STATE_HOME": str(tmp_path / "state")}
