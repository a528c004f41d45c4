"""What the server's process does: serve until it is told to end, or until the one who started it is gone.

Standard input is a pipe whose other end the command holds. However that ends, the pipe ends with it, on every system.
"""

from __future__ import annotations

import os
import shutil
import sys
import threading
from pathlib import Path
from typing import Any

PORT_FILE = "port.txt"
PATIENCE = 15.0
"""Seconds that kernels have to end."""


def main(room: str, arguments: list[str]) -> None:
    """Run JupyterLab; take its room away at the end."""
    from jupyterlab.labapp import LabApp

    try:
        server = LabApp.initialize_server(arguments)
        assert server.identity_provider.token == os.environ.pop("JUPYTER_TOKEN")  # no kernel needs to know it
        (Path(room) / PORT_FILE).write_text(str(server.port), encoding="utf-8")
        threading.Thread(target=_end_with_the_pipe, args=(server,), daemon=True).start()
        server.start()
    finally:
        shutil.rmtree(room, ignore_errors=True)


def _end_with_the_pipe(server: Any) -> None:
    while sys.stdin.buffer.read(1):
        pass
    server.io_loop.add_callback(server.stop)
    threading.Timer(PATIENCE, os._exit, (1,)).start()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
