"""A connection to a kernel has a name of its own for each process that the kernel has been."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from steadyneedle.lesson_view import connecting, launch
from steadyneedle.lesson_view.connecting import CHANNELS, NamedByProcess


class Heard(NamedByProcess):
    """A connection of which nothing is needed but the id of its kernel."""

    def __init__(self, kernel_id: str) -> None:
        super().__init__()
        self.known_as = kernel_id

    @property
    def kernel_id(self) -> str:
        return self.known_as


def kernel(process: int | None) -> SimpleNamespace:
    channels = {f"connect_{channel}": lambda identity: SimpleNamespace(name=identity) for channel in CHANNELS}
    return SimpleNamespace(provisioner=SimpleNamespace(pid=process), **channels)


def name_of(page: str, process: int | None, kernel_id: str = "one") -> bytes:
    """The name that the channels of a new connection share."""
    connection: Any = SimpleNamespace(
        session=SimpleNamespace(session=page), kernel_manager=kernel(process), kernel_id=kernel_id, channels={},
        restarts=NamedByProcess.restarts,
    )  # fmt: skip
    NamedByProcess.create_stream(connection)
    [name] = {stream.name for stream in connection.channels.values()}
    assert list(connection.channels) == list(CHANNELS)
    return bytes(name)


def test_the_same_process_knows_a_page_by_the_same_name() -> None:
    """Else a page whose connection broke would never get the answer that a running cell owes it."""
    assert name_of("page", 7) == name_of("page", 7) != name_of("another page", 7)
    assert len(name_of("page" * 200, 7)) < 256, "zmq takes 255 bytes"


def test_another_process_has_another_name_also_before_it_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[int] = []

    def tell(self: Any) -> None:
        told.append(NamedByProcess.restarts["two"])

    monkeypatch.setattr(connecting.ZMQChannelsWebsocketConnection, "on_kernel_restarted", tell)
    monkeypatch.setattr(NamedByProcess, "restarts", NamedByProcess.restarts.copy())
    before = name_of("page", 7, "two")
    assert name_of("page", 8, "two") != before, "restarted from the menu"
    NamedByProcess.on_kernel_restarted(Heard("two"))
    assert told == [1], "counted before the page is told"
    assert name_of("page", 7, "two") != before, "killed: the page is told before the new process is there"
    assert name_of("page", None, "two") != before


def test_the_workbook_s_server_uses_it(tmp_path: Path) -> None:
    settings = launch.settings(tmp_path, tmp_path / "work")
    written = json.loads((tmp_path / "config" / "jupyter_server_config.json").read_text())
    for config in (settings["config"], written):
        name = config["ServerApp"]["kernel_websocket_connection_class"]
        assert name == f"{NamedByProcess.__module__}.{NamedByProcess.__name__}"
