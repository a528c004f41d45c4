"""Each connection of a page to its kernel has a name of its own; a notebook's keeps the server's."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from steadyneedle.lesson_view import launch
from steadyneedle.lesson_view.connecting import CHANNELS, NamedAnew


def name_of_a_connection() -> bytes:
    """The name that the channels of a new connection of one page share."""
    channels = {f"connect_{channel}": lambda identity: SimpleNamespace(name=identity) for channel in CHANNELS}
    connection: Any = SimpleNamespace(
        session=SimpleNamespace(session="page"), kernel_manager=SimpleNamespace(**channels), channels={}
    )
    NamedAnew.create_stream(connection)
    assert list(connection.channels) == list(CHANNELS)
    assert [stream.channel for stream in connection.channels.values()] == list(CHANNELS)
    [name] = {stream.name for stream in connection.channels.values()}
    return bytes(name)


def test_a_page_that_connects_again_has_another_name_and_its_channels_share_it() -> None:
    assert len({name_of_a_connection() for _ in range(20)}) == 20


@pytest.mark.parametrize(("view", "anew"), [(launch.PAGE, True), (launch.PRESENT, True), (launch.NOTEBOOK, False)])
def test_a_page_s_server_uses_it(view: str, anew: bool, tmp_path: Path) -> None:
    settings = launch.settings(tmp_path, tmp_path / "work", view)
    written = json.loads((tmp_path / "config" / "jupyter_server_config.json").read_text())
    for config in (settings["config"], written):
        name = config["ServerApp"].get("kernel_websocket_connection_class")
        assert name == (f"{NamedAnew.__module__}.{NamedAnew.__name__}" if anew else None)
