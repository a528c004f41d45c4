"""Runs JupyterLab on a working copy until it is closed, and leaves nothing behind, however this process ends."""

from __future__ import annotations

import contextlib
import errno
import http.client
import os
import re
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, NoReturn
from urllib.parse import quote

from steadyneedle.foundation import user_state
from steadyneedle.lesson_view import launch
from steadyneedle.lesson_view.serving import PORT_FILE

FIRST_PORT, RETRIES = 8888, 100
LOGS = 5
START_SECONDS = 120.0
END_SECONDS = 20.0
LAST_WORDS = 12
LOG_IN_THE_ROOM = "jupyterlab.txt"
"""Goes with the room, so that nobody is sent to look at it."""

_REFUSED = re.compile(r"\[Errno (?:13|28|30|122)\] ([^:]+: .*)")
NO_SUCH_ADDRESS = (errno.EAFNOSUPPORT, errno.EADDRNOTAVAIL, errno.EPROTONOSUPPORT)


class LaunchError(RuntimeError):
    """JupyterLab does not start, or has ended by itself; the sentence says what to do."""


class PortError(LaunchError):
    """The port wanted is in use; the sentence says what to do."""


def check_port(port: int) -> None:
    """Refuse a port that is in use.

    Raises
    ------
    PortError
        Another program listens there.
    """
    if not _is_free(port):
        raise PortError(f"Port {port} is in use. Leave --port out, or name another: --port {port + 1}")


def _is_free(port: int) -> bool:
    for family, address in ((socket.AF_INET, "127.0.0.1"), (socket.AF_INET6, "::1")):
        try:
            with socket.socket(family, socket.SOCK_STREAM) as probe:
                if os.name == "posix":  # a port that was just left is free again
                    probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                probe.bind((address, port))
        except OSError as error:
            if error.errno not in NO_SUCH_ADDRESS:  # this machine has no IPv6: nobody listens there
                return False
    return True


def open_lab(
    folder: Path | Callable[[Path], Path],
    lesson: str,
    tell: Callable[[str], None],
    *,
    view: str = launch.PAGE,
    browser: bool = True,
    port: int | None = None,
    **more: Any,
) -> int:
    """Run JupyterLab until it is closed.

    Parameters
    ----------
    folder : Path or callable
        The working copy; or what lays one into the launch's own room, which goes with it, and gives it. Nothing else
        is then shipped.
    lesson : str
        Name of the lesson to open.
    tell : callable
        Is given the address, once JupyterLab answers.
    view : str
        As `launch.settings` takes it.
    browser : bool
        Whether to open a browser.
    port : int
        Port to listen on; left out, a free one.
    **more
        Passed to `launch.settings`.

    Returns
    -------
    int
        Exit status: 130 after Ctrl-C, 143 when told to end, else 0.

    Raises
    ------
    PortError
        The port is in use.
    LaunchError
        JupyterLab does not start, or it ends by itself.
    """
    if port is not None:
        check_port(port)
    token = secrets.token_hex(24)
    page = f"/{'lab' if view == launch.NOTEBOOK else 'doc'}/tree/{quote(lesson)}"
    with _told_to_end(), _room() as room:
        settings = _laid(Path(room), folder, view, **more)
        with served(Path(room), settings, token, port, page if browser else "") as server:
            try:  # from the moment the address stands there, Ctrl-C is how one ends
                tell(f"{server.address}{page}?token={token}")
                server.process.wait()
            except KeyboardInterrupt:
                return 128 + signal.SIGINT
            raise LaunchError(f"JupyterLab has ended by itself.{_last_words(server.log)}")


@contextlib.contextmanager
def _room() -> Iterator[str]:
    """A folder of the launch's own among the system's temporary ones."""
    try:
        made = tempfile.TemporaryDirectory(prefix="steady-needle-", ignore_cleanup_errors=True)
    except OSError as error:
        raise LaunchError(_no_room(error)) from None
    with made as room:
        yield room


def _laid(room: Path, folder: Path | Callable[[Path], Path], view: str, **more: Any) -> dict[str, Any]:
    """The settings, once the files that they name lie in the room."""
    try:
        if not isinstance(folder, Path):
            folder = more["shipped"] = folder(room)
        return launch.settings(room, folder, view, **more)
    except OSError as error:
        raise LaunchError(_no_room(error)) from None


def _no_room(error: OSError) -> str:
    """What is said where the folder for temporary files takes none."""
    why = error.strerror or str(error)
    if isinstance(error, shutil.Error):  # a list of what could not be copied, each with its reason
        why = str(error.args[0][0][-1])
    where = tempfile.tempdir or os.environ.get("TMPDIR") or "the system's folder for them"
    why = re.sub(r"^\[Errno \d+\] ", "", why).partition(":")[0]
    return (
        f"Temporary files cannot be written in {where}: {why}. Free some space there, or name another folder "
        "in the variable TMPDIR, then type the same line again."
    )


@dataclass(frozen=True)
class Server:
    """A JupyterLab that answers: its process, its log, and what its addresses begin with."""

    process: subprocess.Popen[bytes]
    log: IO[bytes]
    address: str


@contextlib.contextmanager
def served(
    room: Path, settings: dict[str, Any], token: str, port: int | None = None, page: str = ""
) -> Iterator[Server]:
    """A JupyterLab that answers, until the block ends; with a page, a browser is opened on it.

    Raises
    ------
    LaunchError
        It does not start.
    """
    with _log(room) as log:
        process = _start(_command(room, settings, port, page), settings, token, room, log)
        try:
            found = _port_of(process, room, log)
            base = settings["config"]["ServerApp"]["base_url"]
            _until_it_answers(process, found, f"{base}api", log)
            yield Server(process, log, f"http://localhost:{found}{base.rstrip('/')}")
        finally:  # whatever happens here, no JupyterLab is left behind
            _end(process)


def _command(room: Path, settings: dict[str, Any], port: int | None, page: str) -> list[str]:
    server = settings["config"]["ServerApp"]
    command = [
        sys.executable, "-P", "-m", "steadyneedle.lesson_view.serving", str(room),
        f"--ServerApp.root_dir={server['root_dir']}", f"--ServerApp.ip={server['ip']}",
        f"--ServerApp.port={port or FIRST_PORT}", f"--ServerApp.port_retries={0 if port else RETRIES}",
    ]  # fmt: skip
    command.append(f"--LabApp.default_url={page}" if page else "--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")
    return command


def _start(
    command: list[str], settings: dict[str, Any], token: str, room: Path, log: IO[bytes]
) -> subprocess.Popen[bytes]:
    """In a session of its own, so that Ctrl-C reaches this process alone, and away from the learner's folder."""
    apart: dict[str, Any] = {"start_new_session": True}
    if os.name == "nt":
        apart = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}  # type: ignore[attr-defined,unused-ignore]
    environment = launch.environment_with(settings, token)
    return subprocess.Popen(
        command, env=environment, cwd=room, stdin=subprocess.PIPE, stdout=log, stderr=subprocess.STDOUT, **apart
    )


@contextlib.contextmanager
def _log(room: Path) -> Iterator[IO[bytes]]:
    """Where the server's own words go: a file of the user's state, the newest few are kept; else of the room."""
    place = user_state.state_folder() / "log"
    try:
        place.mkdir(parents=True, exist_ok=True)
        for old in sorted(place.glob("jupyterlab-*.txt"), key=lambda path: path.stat().st_mtime)[: -LOGS + 1]:
            old.unlink()
        log = (place / f"jupyterlab-{room.name}.txt").open("w+b")
        if not user_state.can_hold_files(place):
            log.close()
            raise OSError(errno.ENOSPC, "")
    except OSError:
        log = (room / LOG_IN_THE_ROOM).open("w+b")
    with log:
        yield log


def _port_of(process: subprocess.Popen[bytes], room: Path, log: IO[bytes]) -> int:
    """The port that the server has taken; it writes it into its room."""
    for _ in _while_it_starts(process, log):
        with contextlib.suppress(OSError, ValueError):
            return int((room / PORT_FILE).read_text(encoding="utf-8"))
    raise AssertionError  # the loop ends by itself only with an error


def _until_it_answers(process: subprocess.Popen[bytes], port: int, path: str, log: IO[bytes]) -> None:
    for _ in _while_it_starts(process, log):
        connection = http.client.HTTPConnection("localhost", port, timeout=2)
        with contextlib.suppress(OSError, http.client.HTTPException), contextlib.closing(connection):
            connection.request("GET", path)
            if connection.getresponse().status == http.client.OK:
                return


def _while_it_starts(process: subprocess.Popen[bytes], log: IO[bytes]) -> Iterator[None]:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        if process.poll() is not None:
            raise LaunchError(f"JupyterLab does not start.{_last_words(log)}")
        yield
        time.sleep(0.1)
    raise LaunchError(f"JupyterLab does not answer within {START_SECONDS:.0f} s.{_last_words(log)}")


def _last_words(log: IO[bytes]) -> str:
    log.seek(0)
    lines = log.read().decode("utf-8", errors="replace").splitlines()[-LAST_WORDS:]
    refused = next((found.group(1) for line in reversed(lines) if (found := _REFUSED.search(line))), "")
    if refused:
        return f" {refused}. Free some space there, or see that you may write there, then type the same line again."
    said = "".join(f"\n  {line}" for line in lines)
    rest = "" if Path(log.name).name == LOG_IN_THE_ROOM else f", the rest stands in {log.name}"
    return f" Type the same line again. Its last words{rest}:{said}"


def _end(process: subprocess.Popen[bytes]) -> None:
    """Ask it to end, then make it."""
    assert process.stdin is not None
    with contextlib.suppress(OSError):
        process.stdin.close()
    for harder in (process.terminate, process.kill):
        try:
            process.wait(timeout=END_SECONDS)
            return
        except subprocess.TimeoutExpired:
            harder()
    process.wait()


@contextlib.contextmanager
def _told_to_end() -> Iterator[None]:
    """Leave in order when told to end or when the terminal is closed."""

    def leave(number: int, _frame: object) -> NoReturn:
        raise SystemExit(128 + number)

    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {name: signal.signal(getattr(signal, name), leave) for name in names}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)
