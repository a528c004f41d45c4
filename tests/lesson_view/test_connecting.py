"""Each connection to a kernel has a name of its own: a kernel takes none under a name that it still knows."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import zmq

from steadyneedle.lesson_view import launch
from steadyneedle.lesson_view.connecting import CHANNELS, NamedAnew

NAME = "one page"


def connected(kernel: Any) -> dict[str, bytes]:
    """The name under which each channel of a new connection of the same page is known."""
    connection = SimpleNamespace(session=SimpleNamespace(session=NAME), kernel_manager=kernel, channels={})
    NamedAnew.create_stream(connection)  # type: ignore[arg-type]
    return {channel: stream.identity for channel, stream in connection.channels.items()}


def test_a_page_that_connects_again_has_another_name_and_its_channels_share_it() -> None:
    def named(identity: bytes) -> SimpleNamespace:
        return SimpleNamespace(identity=identity)

    kernel = SimpleNamespace(**{f"connect_{channel}": named for channel in CHANNELS})
    first, second = connected(kernel), connected(kernel)
    assert list(first) == list(second) == list(CHANNELS)
    assert len(set(first.values())) == len(set(second.values())) == 1 and first != second
    assert all(name.startswith(NAME.encode()) and len(name) < 256 for name in first.values()), "zmq takes 255 bytes"


def test_a_kernel_s_socket_takes_no_second_connection_under_a_name_that_it_knows() -> None:
    """Why: as its makers write of ROUTER_HANDOVER, "if two clients with the same identity connect" the second is let go.

    Source: the ZeroMQ manual, zmq_setsockopt, ZMQ_ROUTER_HANDOVER.
    """
    with zmq.Context() as context, context.socket(zmq.ROUTER) as kernel:
        port = kernel.bind_to_random_port("tcp://127.0.0.1")
        heard = []
        with context.socket(zmq.DEALER) as one, context.socket(zmq.DEALER) as again, context.socket(zmq.DEALER) as anew:
            for socket, name in ((one, b"page"), (again, b"page"), (anew, b"page_2")):
                socket.setsockopt(zmq.LINGER, 0)
                socket.setsockopt(zmq.IDENTITY, name)
                socket.connect(f"tcp://127.0.0.1:{port}")
                socket.send(b"who are you?")
                if kernel.poll(500):
                    heard.append(kernel.recv_multipart()[0])
        assert heard == [b"page", b"page_2"]


def test_the_workbook_s_server_uses_it(tmp_path: Path) -> None:
    settings = launch.settings(tmp_path, tmp_path / "work")
    written = json.loads((tmp_path / "config" / "jupyter_server_config.json").read_text())
    for config in (settings["config"], written):
        assert (
            config["ServerApp"]["kernel_websocket_connection_class"] == f"{NamedAnew.__module__}.{NamedAnew.__name__}"
        )
