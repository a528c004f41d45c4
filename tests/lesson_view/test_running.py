"""The launch as processes: what the terminal says, what is executed, and that nothing is left behind."""

from __future__ import annotations

import contextlib
import json
import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import websocket

from steadyneedle.foundation import places

pytestmark = pytest.mark.skipif(not Path("/proc").is_dir(), reason="looks into /proc")

TRAPS = ("random", "json", "types", "jupyterlab", "numpy", "matplotlib", "steadyneedle", "sitecustomize", "trap")
"""Modules that a start would import from the learner's folder if Python looked there."""
LESSON = "01-pressure-and-units.ipynb"


@dataclass
class Study:
    """A running `steadyneedle study`."""

    process: subprocess.Popen[str]
    lines: list[str]
    address: str
    token: str

    def ask(self, method: str, path: str, content: object = None) -> Any:
        data = None if content is None else json.dumps(content).encode("utf-8")
        headers = {"Authorization": f"token {self.token}", "Content-Type": "application/json"}
        request = urllib.request.Request(f"{self.address}/api/{path}", data, headers, method=method)
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.loads(answer.read() or b"null")

    def execute(self, kernel: str, code: str) -> str:
        """What a kernel prints."""
        address = f"{self.address.replace('http', 'ws', 1)}/api/kernels/{kernel}/channels?token={self.token}"
        socket = websocket.create_connection(address, timeout=60)
        request = {"code": code, "silent": False, "store_history": False, "user_expressions": {}, "allow_stdin": False}
        header = {"msg_id": "asked", "msg_type": "execute_request", "username": "", "session": "s", "version": "5.3"}
        socket.send(
            json.dumps({"header": header, "parent_header": {}, "metadata": {}, "content": request, "channel": "shell"})
        )
        said = ""
        while True:
            heard = socket.recv()
            answer = json.loads(heard) if isinstance(heard, str) else {}  # pictures come as bytes
            if answer.get("parent_header", {}).get("msg_id") != "asked":
                continue
            content = answer["content"]
            said += str(content.get("text", "")) + str(content.get("evalue", ""))
            if answer["msg_type"] == "status" and content["execution_state"] == "idle":
                socket.close()
                return said

    def below(self) -> dict[int, str]:
        """Command lines of the processes this one has started, at any depth."""
        parents, commands = {}, {}
        for folder in Path("/proc").glob("[0-9]*"):
            with contextlib.suppress(OSError):
                parents[int(folder.name)] = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
                commands[int(folder.name)] = (folder / "cmdline").read_bytes().replace(b"\0", b" ").decode()
        found: set[int] = {self.process.pid}
        while more := {pid for pid, parent in parents.items() if parent in found} - found:
            found |= more
        return {pid: commands[pid] for pid in found - {self.process.pid}}


@contextlib.contextmanager
def study(folder: Path, environment: dict[str, str], *more: str) -> Iterator[Study]:
    command = [sys.executable, "-m", "steadyneedle.cli", "study", str(folder), "--no-browser", *more]
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, env=environment, cwd=folder.parent, start_new_session=True
    ) as process:
        assert process.stderr is not None
        lines: list[str] = []
        for line in process.stderr:
            lines.append(line.rstrip("\n"))
            if found := re.fullmatch(r"(http://localhost:\d+)/(?:doc|lab)/tree/\S+\?token=(\w+)\n", line):
                break
        assert found, lines
        try:
            yield Study(process, lines, found[1], found[2])
        finally:
            process.kill()


def until(true: Callable[[], object], seconds: float = 40.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.2)


def alive(pids: dict[int, str]) -> list[int]:
    return [pid for pid in pids if _state(pid) not in ("", "Z")]


def _state(pid: int) -> str:
    with contextlib.suppress(OSError):
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    return ""


def lay_traps(folder: Path) -> Path:
    """Whatever in the learner's folder might be executed writes a line."""
    told = folder.parent / "executed.txt"
    code = f"open({str(told)!r}, 'a').write(__file__ + '\\n')\n"
    (folder / ".steady-needle" / "config").mkdir(parents=True)
    for name in TRAPS:
        (folder / f"{name}.py").write_text(code, encoding="utf-8")
    for config in ("jupyter_server_config.py", "jupyter_lab_config.py", "jupyter_config.py", "ipython_config.py",
                   "ipython_kernel_config.py", ".steady-needle/config/jupyter_server_config.py"):  # fmt: skip
        (folder / config).write_text(code + "c.IdentityProvider.token = ''\n", encoding="utf-8")
    (folder / "matplotlibrc").write_text("backend: module://trap\nfont.size: 3\n", encoding="utf-8")
    return told


@pytest.mark.parametrize("view", ["page", "notebook"])
def test_nothing_of_the_learners_folder_is_executed_and_the_token_is_nowhere_to_be_seen(
    tmp_path: Path, environment: dict[str, str], view: str
) -> None:
    folder = tmp_path / "work"
    folder.mkdir()
    told = lay_traps(folder)
    with study(folder, environment, *(["--as-notebook"] if view == "notebook" else [])) as running:
        session = {"path": LESSON, "name": LESSON, "type": "notebook", "kernel": {"name": "python3"}}
        kernel = running.ask("POST", "sessions", session)["kernel"]["id"]
        code = (
            "lesson.panel('dial'); import sys, matplotlib; print('' in sys.path, matplotlib.rcParams['font.size'] == 3)"
        )
        assert running.execute(kernel, code) == "False False\n", (
            "a panel is drawn; neither modules nor settings are theirs"
        )
        below = running.below()
        kernels = [pid for pid, command in below.items() if "ipykernel_launcher" in command]
        assert kernels and not told.exists(), told.read_text(encoding="utf-8")
        assert not any(running.token in command for command in below.values())
        assert any(str(folder) in command and "ServerApp.port" in command for command in below.values())
        for kernel_process in kernels:
            assert running.token not in Path(f"/proc/{kernel_process}/environ").read_text(errors="replace")
        where = Path(f"/proc/{kernels[0]}/cwd").readlink()
        assert (where == folder) == (view == "notebook"), "a page's kernel does not even stand there"
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(f"{running.address}/api/sessions", timeout=20)


def test_the_terminal_says_what_to_do_and_ctrl_c_leaves_nothing_behind(
    tmp_path: Path, environment: dict[str, str]
) -> None:
    folder = tmp_path / "work"
    with study(folder, environment) as running:
        names = sorted(path.name for path in places.lessons().glob("*.ipynb"))
        assert running.lines == [
            f"Your working copy: {folder}",
            *(f"  {name}: new" for name in names),
            "Leave this window open while you work; press Ctrl-C here when you are done. The lessons are at",
            f"{running.address}/doc/tree/00-start-here.ipynb?token={running.token}",
        ]
        rooms = list((tmp_path / "temporary").glob("steady-needle-*"))
        assert len(rooms) == 1 and rooms[0].stat().st_mode & 0o077 == 0, "for nobody else to read"
        below = running.below()
        os.killpg(running.process.pid, signal.SIGINT)
        assert running.process.stderr is not None
        assert running.process.stderr.read() == "" and running.process.wait(timeout=40) == 130
        until(lambda: not alive(below))
        assert not rooms[0].exists()


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP], ids=lambda number: number.name)
def test_however_the_command_ends_jupyterlab_ends_with_it(
    tmp_path: Path, environment: dict[str, str], number: signal.Signals
) -> None:
    with study(tmp_path / "work", environment) as running:
        running.ask(
            "POST", "sessions", {"path": LESSON, "name": LESSON, "type": "notebook", "kernel": {"name": "python3"}}
        )
        below = running.below()
        assert len(below) >= 2, "a server and a kernel"
        running.process.send_signal(number)
        status = running.process.wait(timeout=40)
        assert status == (-number if number == signal.SIGKILL else 128 + number)
        until(lambda: not alive(below))
        until(lambda: not list((tmp_path / "temporary").glob("steady-needle-*")))


def test_a_server_that_dies_is_said_with_its_last_words(tmp_path: Path, environment: dict[str, str]) -> None:
    with study(tmp_path / "work", environment) as running:
        [server] = [pid for pid, command in running.below().items() if "lesson_view.serving" in command]
        os.kill(server, signal.SIGKILL)
        assert running.process.stderr is not None
        said = running.process.stderr.read()
        assert running.process.wait(timeout=40) == 1
        assert said.startswith("JupyterLab has ended by itself. Type the same line again.") and "ServerApp]" in said
        assert running.token not in said and str(tmp_path / "state") in said


def test_a_server_that_does_not_start_is_said(tmp_path: Path, environment: dict[str, str]) -> None:
    (tmp_path / "shadow" / "jupyterlab").mkdir(parents=True)
    (tmp_path / "shadow" / "jupyterlab" / "__init__.py").write_text("raise SystemExit('no pages here')\n")
    path = os.pathsep.join([str(tmp_path / "shadow"), environment.get("PYTHONPATH", "")])
    done = subprocess.run(
        [sys.executable, "-m", "steadyneedle.cli", "study", str(tmp_path / "work"), "--no-browser"],
        capture_output=True, text=True, env={**environment, "PYTHONPATH": path}, timeout=100,
    )  # fmt: skip
    assert done.returncode == 1 and "JupyterLab does not start." in done.stderr and "no pages here" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_port_in_use_stops_before_anything_is_begun(tmp_path: Path, environment: dict[str, str]) -> None:
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            [sys.executable, "-m", "steadyneedle.cli", "study", str(tmp_path / "work"), "--port", str(port)],
            capture_output=True, text=True, env=environment, timeout=100,
        )  # fmt: skip
    assert done.returncode == 2 and not (tmp_path / "work").exists()
    assert done.stderr == f"Port {port} is in use. Leave --port out, or name another: --port {port + 1}\n"
