"""Runs JupyterLab on a working copy until it is closed, and leaves nothing behind, however this process ends."""

from __future__ import annotations

import contextlib
import errno
import http.client
import os
import secrets
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any, NoReturn
from urllib.parse import quote

from steadyneedle.lesson_view import launch

FIRST_PORT, PORTS = 8888, 100
START_SECONDS = 120.0
END_SECONDS = 20.0
LAST_WORDS = 12
NO_SUCH_ADDRESS = (errno.EAFNOSUPPORT, errno.EADDRNOTAVAIL, errno.EPROTONOSUPPORT)


class LaunchError(RuntimeError):
    """JupyterLab does not start, or has ended by itself; the sentence says what to do."""


class PortError(LaunchError):
    """The port wanted is in use, or none is free; the sentence says what to do."""


def free_port(wanted: int | None) -> int:
    """The port wanted, else the first free one from 8888 on.

    Raises
    ------
    PortError
        The port wanted is in use, or none is free.
    """
    for port in range(FIRST_PORT, FIRST_PORT + PORTS) if wanted is None else (wanted,):
        if _is_free(port):
            return port
    if wanted is None:
        raise PortError(f"No port from {FIRST_PORT} to {FIRST_PORT + PORTS - 1} is free. Close other programs.")
    raise PortError(f"Port {wanted} is in use. Leave --port out, or name another: --port {wanted + 1}")


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
    folder: Path,
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
    folder : Path
        The working copy.
    lesson : str
        Name of the lesson to open.
    tell : callable
        Is given the address, once JupyterLab answers.
    view : str
        `page` or `notebook`.
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
    port = free_port(port)  # asked again: some time may have passed
    token = secrets.token_hex(24)
    page = f"/{'doc' if view == launch.PAGE else 'lab'}/tree/{quote(lesson)}"
    with _told_to_end(), tempfile.TemporaryDirectory(prefix="steady-needle-", ignore_cleanup_errors=True) as room:
        settings = launch.settings(Path(room), folder, view, **more)
        with served(Path(room), settings, port, token, page if browser else "") as (process, log):
            tell(f"http://localhost:{port}{page}?token={token}")
            try:
                process.wait()
            except KeyboardInterrupt:
                return 128 + signal.SIGINT
            raise LaunchError(f"JupyterLab has ended by itself.{_last_words(log)}")


@contextlib.contextmanager
def served(
    room: Path, settings: dict[str, Any], port: int, token: str, page: str = ""
) -> Iterator[tuple[subprocess.Popen[bytes], IO[bytes]]]:
    """A JupyterLab that answers, and its log, until the block ends; with a page, a browser is opened on it.

    Raises
    ------
    LaunchError
        It does not start.
    """
    with _log(room, port) as log:
        process = _start(_command(room, settings, port, page), settings, token, room, log)
        try:
            _until_it_answers(process, f"{settings['config']['ServerApp']['base_url']}api", port, log)
            yield process, log
        finally:  # whatever happens here, no JupyterLab is left behind
            _end(process)


def _command(room: Path, settings: dict[str, Any], port: int, page: str) -> list[str]:
    server = settings["config"]["ServerApp"]
    command = [
        sys.executable, "-P", "-m", "steadyneedle.lesson_view.serving", str(room),
        f"--ServerApp.root_dir={server['root_dir']}", f"--ServerApp.ip={server['ip']}", f"--ServerApp.port={port}",
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
def _log(room: Path, port: int) -> Iterator[IO[bytes]]:
    """Where the server's own words go: a file of the user's state, else of the room."""
    place = launch.state_folder() / "log"
    try:
        place.mkdir(parents=True, exist_ok=True)
        log = (place / f"jupyterlab-{port}.txt").open("w+b")
    except OSError:
        log = (room / "jupyterlab.txt").open("w+b")
    with log:
        yield log


def _until_it_answers(process: subprocess.Popen[bytes], path: str, port: int, log: IO[bytes]) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        if process.poll() is not None:
            raise LaunchError(f"JupyterLab does not start.{_last_words(log)}")
        connection = http.client.HTTPConnection("localhost", port, timeout=2)
        with contextlib.suppress(OSError, http.client.HTTPException), contextlib.closing(connection):
            connection.request("GET", path)
            if connection.getresponse().status == http.client.OK:
                return
        time.sleep(0.1)
    raise LaunchError(f"JupyterLab does not answer within {START_SECONDS:.0f} s.{_last_words(log)}")


def _last_words(log: IO[bytes]) -> str:
    log.seek(0)
    lines = log.read().decode("utf-8", errors="replace").splitlines()[-LAST_WORDS:]
    said = "".join(f"\n  {line}" for line in lines)
    return f" Type the same line again. Its last words, the rest stands in {log.name}:{said}"


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
