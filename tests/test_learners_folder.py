"""Nothing that lies in a learner's folder runs, is read as a setting or is written through, whatever is started there.

Processes are started as `helpers/start.py` starts them, standing in a folder that holds modules by the names of those
that a start imports, settings of Jupyter, IPython and matplotlib, and links. Each of them writes a line when executed.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import websocket

from steadyneedle.assessing.paper_file import bytes_of
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey, write_key
from steadyneedle.assessing.setting import paper_for
from steadyneedle.sitting import OPEN

pytestmark = pytest.mark.skipif(os.name != "posix", reason="links of a POSIX system")

COMMAND = [sys.executable, "-P", "-m", "steadyneedle.cli"]
MODULES = (
    "pint", "numpy", "anywidget", "random", "sitecustomize", "usercustomize", "json", "types", "pandas", "scipy",
    "matplotlib", "click", "filelock", "jupyterlab", "ipykernel", "ipykernel_launcher", "IPython", "steadyneedle",
    "venv", "pip", "ensurepip",
)  # fmt: skip
SETTINGS = (
    "ipython_config.py", "ipython_kernel_config.py", "jupyter_server_config.py", "jupyter_lab_config.py",
    "jupyter_config.py", "jupyter_application_config.py", ".steady-needle/config/jupyter_server_config.py",
    ".ipython/profile_default/startup/00.py", ".jupyter/jupyter_server_config.py", "profile_default/ipython_config.py",
)  # fmt: skip
LESSON = "01-pressure-and-units.ipynb"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A learner's folder full of traps."""
    folder = tmp_path / "work"
    told = f"open({str(tmp_path / 'executed.txt')!r}, 'a').write(__file__ + '\\n')\n"
    for name in (*(f"{name}.py" for name in MODULES), *SETTINGS):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(told + "c = globals().get('c')\nif c: c.IdentityProvider.token = ''\n", "utf-8")
    (folder / "matplotlibrc").write_text("font.size: 3\n", encoding="utf-8")
    (folder / "jupyter_server_config.json").write_text('{"IdentityProvider": {"token": ""}}', encoding="utf-8")
    other = tmp_path / "other"
    (other / "copies").mkdir(parents=True)
    (other / "theirs.ipynb").write_text("{}", encoding="utf-8")
    (folder / LESSON).symlink_to(other / "theirs.ipynb")
    (folder / "inner").mkdir()
    (folder / "inner" / "own.txt").write_text("mine", encoding="utf-8")
    (folder / "inner" / ".ipynb_checkpoints").symlink_to(other / "copies")
    (folder / "own link.txt").symlink_to("inner/own.txt")
    (folder / "gone").symlink_to(other / "nothing.txt")
    (folder / "linked").symlink_to(other)
    (folder / "log.csv").write_text("time_s,pressure_bar\n0,9.8\n15,9.8\n30,9.9\n45,9.9\n", encoding="utf-8")
    write_key(folder / "cohort.key", CohortKey(bytes(32)))
    return folder


def executed(folder: Path) -> str:
    told = folder.parent / "executed.txt"
    return told.read_text(encoding="utf-8") if told.exists() else ""


@pytest.mark.parametrize(
    "words",
    [
        ("ready", "."),
        ("sheets",),
        ("trace", "log.csv"),
        ("papers", "--specimen", "--paper", "units and bands", "--out", "inner"),
        ("mark", "inner", "--key", "cohort.key", "--out", "out"),
        ("--help",),
    ],
    ids=lambda words: words[0],
)
def test_no_command_runs_what_lies_where_one_stands(
    folder: Path, environment: dict[str, str], words: tuple[str, ...]
) -> None:
    done = subprocess.run([*COMMAND, *words], cwd=folder, env=environment, capture_output=True, text=True, timeout=200)
    assert executed(folder) == "" and "Traceback" not in done.stderr
    assert done.returncode == {"ready": 1, "mark": 4}.get(words[0], 0), done.stdout + done.stderr
    if words[0] == "ready":
        assert [line[:4] for line in done.stdout.splitlines() if LESSON in line] == ["MEND"], "a lesson that is a link"
        assert "kernel python3 starts" in done.stdout


def test_the_traps_are_no_blanks(folder: Path, environment: dict[str, str]) -> None:
    """The test of the tests: Python without -P does run what lies here."""
    subprocess.run(
        [sys.executable, "-m", "steadyneedle.cli", "--help"], cwd=folder, env=environment, capture_output=True
    )
    assert f"{folder}/" in executed(folder)


@pytest.mark.parametrize("inner", [".steady-needle", "instructor"])
def test_a_folder_of_ours_that_is_a_link_is_refused(tmp_path: Path, environment: dict[str, str], inner: str) -> None:
    (tmp_path / "work").mkdir()
    (tmp_path / "other").mkdir()
    (tmp_path / "work" / inner).symlink_to(tmp_path / "other")
    command = [*COMMAND, "study", "work", "--instructor", "--no-browser"]
    done = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2 and f"{inner} is a link: nothing is written through it. Rename it" in done.stderr
    assert list((tmp_path / "other").iterdir()) == []


@dataclass
class Study:
    """A running `study`: its address and token."""

    address: str
    token: str

    def ask(self, method: str, path: str, content: object = None) -> Any:
        """What the server answers."""
        data = None if content is None else json.dumps(content).encode("utf-8")
        headers = {"Authorization": f"token {self.token}", "Content-Type": "application/json"}
        request = urllib.request.Request(f"{self.address}/api/{path}", data, headers, method=method)
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.loads(answer.read() or b"null")

    def status(self, path: str) -> int:
        """Status of a page that a browser asks for."""
        request = urllib.request.Request(f"{self.address}/{path}", headers={"Authorization": f"token {self.token}"})
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return int(answer.status)
        except urllib.error.HTTPError as refused:
            refused.close()
            return refused.code

    def kernel(self, lesson: str) -> str:
        """A kernel for that lesson, as a page asks for one."""
        wanted = {"path": lesson, "name": lesson, "type": "notebook", "kernel": {"name": "python3"}}
        return str(self.ask("POST", "sessions", wanted)["kernel"]["id"])

    def execute(self, kernel: str, code: str) -> str:
        """What a kernel prints, or the last line of its error."""
        address = f"{self.address.replace('http', 'ws', 1)}/api/kernels/{kernel}/channels?token={self.token}"
        request = {"code": code, "silent": False, "store_history": False, "user_expressions": {}, "allow_stdin": False}
        header = {"msg_id": "asked", "msg_type": "execute_request", "username": "", "session": "s", "version": "5.3"}
        message = {"header": header, "parent_header": {}, "metadata": {}, "content": request, "channel": "shell"}
        said = ""
        with contextlib.closing(websocket.create_connection(address, timeout=90)) as socket:
            socket.send(json.dumps(message))
            while True:
                heard = socket.recv()
                answer = json.loads(heard) if isinstance(heard, str) else {}  # pictures come as bytes
                if answer.get("parent_header", {}).get("msg_id") != "asked":
                    continue
                said += str(answer["content"].get("text", "")) + str(answer["content"].get("evalue", ""))
                if answer["msg_type"] == "status" and answer["content"]["execution_state"] == "idle":
                    return said


@contextlib.contextmanager
def study(
    folder: Path, environment: dict[str, str], *more: str, words: tuple[str, ...] = ("study", ".")
) -> Iterator[Study]:
    """`study`, or what else opens a page, typed in the folder itself."""
    said = folder.parent / "said.txt"
    with said.open("w", encoding="utf-8") as file:
        process = subprocess.Popen(
            [*COMMAND, *words, "--no-browser", *more], cwd=folder, env=environment, stdout=file, stderr=file,
        )  # fmt: skip
    try:
        until = time.monotonic() + 120
        while not (found := re.search(r"(http://localhost:\d+)/\S*\?token=(\w+)", said.read_text(encoding="utf-8"))):
            assert process.poll() is None and time.monotonic() < until, said.read_text(encoding="utf-8")
            time.sleep(0.1)
        yield Study(found[1], found[2])
    finally:
        process.terminate()
        process.wait(timeout=60)


@pytest.mark.parametrize("view", ["page", "notebook"])
def test_no_lesson_runs_what_lies_beside_it(folder: Path, environment: dict[str, str], view: str) -> None:
    with study(folder, environment, *(["--as-notebook"] if view == "notebook" else [])) as running:
        kernel = running.kernel(LESSON)
        code = (
            "import pint, numpy, anywidget, random, sys, os\n"
            "import matplotlib\n"
            "print([module.__file__ for module in (pint, numpy, anywidget, random)])\n"
            "print('' in sys.path, sys.flags.safe_path, matplotlib.rcParams['font.size'] == 3)\n"
            "print(os.environ['STEADYNEEDLE_WORK'])\n"
        )
        said = running.execute(kernel, code)
        assert executed(folder) == ""
        assert str(folder) not in said.splitlines()[0] and "False True False" in said
        assert said.splitlines()[-1] == str(folder), "answers are kept in the learner's folder all the same"
        with pytest.raises(urllib.error.HTTPError) as refused:
            Study(running.address, "").ask("GET", "contents")
        refused.value.close()
        assert refused.value.code == 403, "no setting of the folder has switched the token off"
        assert_no_link_is_followed_out(running)
    other = folder.parent / "other"
    assert (other / "theirs.ipynb").read_text(encoding="utf-8") == "{}"
    assert sorted(path.name for path in other.rglob("*")) == ["copies", "theirs.ipynb"], "nothing written, nothing gone"
    assert not (folder / LESSON).is_symlink(), "a lesson that was a link is kept under another name, a fresh one laid"
    kept = [path for path in folder.glob("01-pressure-and-units (yours*).ipynb") if path.is_symlink()]
    assert len(kept) == 1 and kept[0].resolve() == other / "theirs.ipynb"


def test_no_paper_runs_what_lies_beside_it(folder: Path, environment: dict[str, str]) -> None:
    """Nor does the page see anything but the paper; answers are kept in the folder all the same."""
    paper = paper_for(load_plan("units and bands"), CohortKey(bytes(32)), "101")
    (folder / f"{paper.stem}.ipynb").write_bytes(bytes_of(paper))
    with study(folder, environment, words=("sit", f"{paper.stem}.ipynb")) as running:
        kernel = running.kernel(f"{paper.stem}.ipynb")
        said = running.execute(
            kernel, f"{OPEN}\nimport os, sys; print(sys.flags.safe_path, os.environ['STEADYNEEDLE_DESK'])"
        )
        assert executed(folder) == "" and f"True {folder}" in said, said
        assert [one["name"] for one in running.ask("GET", "contents")["content"]] == [f"{paper.stem}.ipynb"]
    assert json.loads((folder / f"{paper.stem}.answers.json").read_text(encoding="utf-8"))["candidate"] == "101"


def refusal(running: Study, method: str, path: str, content: object = None) -> str:
    """The sentence that the server refuses with."""
    with pytest.raises(urllib.error.HTTPError) as refused:
        running.ask(method, path, content)
    said = json.loads(refused.value.read())["message"]
    refused.value.close()
    assert refused.value.code == 403, said
    return str(said)


def assert_no_link_is_followed_out(running: Study) -> None:
    """Reading, saving, copying, renaming, deleting and keeping a copy; a link within the folder is followed."""
    listed = {one["name"]: one["writable"] for one in running.ask("GET", "contents")["content"]}
    assert listed["linked"] is False and listed["gone"] is False and listed["own link.txt"] is True
    assert running.ask("GET", "contents/own%20link.txt")["content"] == "mine"
    for path, status in (("files/own%20link.txt", 200), ("files/linked/theirs.ipynb", 403), ("files/linked/theirs.ipynb?download=1", 403),
                         ("nbconvert/html/linked/theirs.ipynb", 403)):  # fmt: skip
        assert running.status(path) == status, path
    ours = {"type": "file", "format": "text", "content": "ours"}
    for method, path, content in (
        ("GET", "contents/linked", None), ("GET", "contents/linked/theirs.ipynb", None), ("PUT", "contents/gone", ours),
        ("PUT", "contents/linked/new.txt", ours), ("POST", "contents", {"copy_from": "linked/theirs.ipynb"}),
        ("POST", "contents/linked", {"type": "file"}), ("PATCH", "contents/linked/theirs.ipynb", {"path": "mine.ipynb"}),
        ("PATCH", "contents/log.csv", {"path": "linked/log.csv"}), ("DELETE", "contents/linked/theirs.ipynb", None),
    ):  # fmt: skip
        assert "is a link that leads out of this folder, or lies behind one." in refusal(running, method, path, content)
    said = refusal(running, "POST", "contents/inner/own.txt/checkpoints")
    assert said.startswith(".ipynb_checkpoints is a link that leads out of this folder")


SAVE = """
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.foundation.store import StoreError
try:
    with Progress().change("lessons", "01") as entry:
        entry["typed"] = "9.8 bar"
    print("Saved")
except StoreError as error:
    print(error)
"""


def test_a_folder_renamed_while_it_is_open_is_said_at_once(tmp_path: Path, environment: dict[str, str]) -> None:
    folder = tmp_path / "work"
    folder.mkdir()
    with study(folder, environment) as running:
        kernel = running.kernel(LESSON)
        assert running.execute(kernel, SAVE).strip() == "Saved"
        before = (folder / "my-work.json").read_bytes()
        folder.rename(tmp_path / "renamed")
        said = running.execute(kernel, SAVE)
        assert f"Not saved: the folder {folder} is gone or has another name." in said
        try:  # the server may refuse; it may not make the folder again
            running.ask("GET", f"contents/{LESSON}")
        except urllib.error.HTTPError as refused:
            refused.close()
        assert not folder.exists() and (tmp_path / "renamed" / "my-work.json").read_bytes() == before
    assert not folder.exists(), "nor when it ends"
