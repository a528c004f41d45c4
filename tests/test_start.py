"""The first line a person types: makes the environment, goes on after an interruption, starts at once the second time."""

from __future__ import annotations

import ast
import importlib.util
import shlex
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture
def start(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    """start.py, its environment in a temporary folder, with pip and the last command only noted down."""
    spec = importlib.util.spec_from_file_location("start", root / "helpers" / "start.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "ENVIRONMENT", tmp_path / ".venv")
    module.ran = []  # type: ignore[attr-defined]
    monkeypatch.setattr(module, "UNFINISHED", tmp_path / ".venv-unfinished")
    monkeypatch.setattr(module, "hand_over", lambda command: module.ran.append(command) or 0)
    yield module
    while module.UNDER_WAY:  # a process that ends gives up its mark; a test does not end
        module.UNDER_WAY.pop().close()


class Pip:
    """A stand-in for pip: prints a few lines, ends with a status."""

    def __init__(self, status: int = 0, interrupt: bool = False) -> None:
        self.status, self.interrupt, self.commands = status, interrupt, []  # type: ignore[var-annotated]

    def __call__(self, command: list[str], **_: object) -> Pip:
        self.commands.append(command)
        return self

    @property
    def stdout(self):  # type: ignore[no-untyped-def]
        yield "Collecting pint<0.26,>=0.24.4\n"
        if self.interrupt:
            raise KeyboardInterrupt
        yield "Installing collected packages: pint\n"
        yield "ERROR: no space left\n" if self.status else "Successfully installed\n"

    def wait(self) -> int:
        return self.status

    def terminate(self) -> None:
        pass


def run(start: ModuleType, pip: Pip, *arguments: str) -> int | str | None:
    start.subprocess = type("S", (), {"run": subprocess.run, "Popen": pip, "PIPE": -1, "STDOUT": -2, "DEVNULL": -3})
    start.make_environment = lambda: start.ENVIRONMENT.mkdir(exist_ok=True)
    with pytest.raises(SystemExit) as leaving:
        start.main(list(arguments))
    return leaving.value.code


def test_installs_once_then_starts_at_once(start: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    pip = Pip()
    assert run(start, pip, "--no-browser") == 0
    said = capsys.readouterr().err
    assert "Installing the workbook. The first time takes a few minutes" in said and "fetching pint" in said
    assert start.ran[0][1:] == ["-P", "-m", "steadyneedle.cli", "study", "--no-browser"]
    assert run(start, pip) == 0 and len(pip.commands) == 1, "the second time installs nothing"
    assert capsys.readouterr().err == ""


def test_an_interruption_is_taken_up_again(start: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(start, Pip(interrupt=True)) == 130
    assert "Stopped. Type the same line to go on." in capsys.readouterr().err
    pip = Pip()
    assert run(start, pip) == 0 and len(pip.commands) == 1


def test_a_failed_installation_shows_why(start: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    code = run(start, Pip(status=1))
    assert isinstance(code, str) and "Type the same line again" in code
    assert "ERROR: no space left" in capsys.readouterr().err and start.ran == []


def test_tests_get_what_they_need(start: ModuleType) -> None:
    pip = Pip()
    assert run(start, pip, "test", "-k", "units") == 0
    assert pip.commands[0][-1].endswith("[test]") and start.ran[0][1:] == ["-P", "-m", "pytest", "-k", "units"]
    assert run(start, pip) == 0 and len(pip.commands) == 1, "the tests' environment also opens the workbook"


def test_a_changed_project_is_installed_again(
    start: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pip = Pip()
    run(start, pip)
    (tmp_path / "pyproject.toml").write_text("[project]", encoding="utf-8")
    monkeypatch.setattr(start, "ROOT", tmp_path)
    run(start, pip)
    assert len(pip.commands) == 2


def test_the_line_that_was_typed_is_handed_over(root: Path) -> None:
    """What the last command says to type again begins as what was typed; it works in any folder."""
    code = "import sys; sys.path.insert(0, {!r}); import start; print(start.typed())".format(str(root / "helpers"))
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd="/").stdout
    again = shlex.split(said)
    assert again[1:] == [str(root / "helpers" / "start.py")]
    assert subprocess.run([again[0], "-c", "import sys; sys.exit(7)"], cwd="/").returncode == 7


def test_other_words_pass_through(start: ModuleType) -> None:
    pip = Pip()
    run(start, pip, "ready")
    run(start, pip, "my-folder")
    assert [command[4:] for command in start.ran] == [["ready"], ["study", "my-folder"]]


def test_an_old_python_is_told_which_one_is_needed(root: Path) -> None:
    script = root / "helpers" / "start.py"
    code = f"import sys, runpy; sys.version_info = (3, 9, 1); runpy.run_path({str(script)!r}, run_name='__main__')"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 2 and "needs Python 3.11 or newer; this is 3.9" in done.stderr
    ast.parse(script.read_text(encoding="utf-8"), feature_version=(3, 4))  # an old Python gets as far as the sentence


def test_a_missing_venv_is_said(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start.sys, "version_info", (3, 12, 1))
    assert "sudo apt install python3.12-venv" in start.no_venv_advice()


def test_nothing_but_the_standard_library(root: Path) -> None:
    code = "import sys; before = set(sys.modules); sys.argv = ['x']; import runpy; runpy.run_path(r'{}', run_name='x'); print([m for m in set(sys.modules) - before if m.partition('.')[0] not in sys.stdlib_module_names])"
    done = subprocess.run(
        [sys.executable, "-S", "-c", code.format(root / "helpers" / "start.py")], capture_output=True, text=True
    )
    assert done.stdout.strip() == "[]", done.stdout + done.stderr


def test_what_is_damaged_after_the_set_up_is_laid_again(start: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(start, Pip()) == 0
    site = start.ENVIRONMENT / "lib" / "python3.12" / "site-packages"
    (site / "click-8.1.dist-info").mkdir(parents=True)
    (site / "click").mkdir()
    (site / "click" / "core.py").write_bytes(b"x = 1\n")
    record = "click/core.py,sha256=a,6\nclick-8.1.dist-info/RECORD,,\nclick/core.pyc,,\n"
    (site / "click-8.1.dist-info" / "RECORD").write_text(record, encoding="utf-8")
    assert start.damaged() == []
    (site / "click" / "core.py").unlink()
    assert start.damaged() == ["click==8.1"]
    capsys.readouterr()
    asked: list[list[str]] = []
    start.works = lambda command: asked.append(command) or True
    assert run(start, Pip()) == 0
    assert asked[0][-3:] == ["--force-reinstall", "--no-deps", "click==8.1"]
    assert capsys.readouterr().err == "Damaged since the set-up: click==8.1. Laying it again ...\n"
    start.works = lambda _command: False
    assert run(start, Pip()) == 0, "without a network the lessons may still open"
    assert "Check that this machine is online" in capsys.readouterr().err and not start.UNFINISHED.exists()
