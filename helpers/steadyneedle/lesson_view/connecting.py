"""How the server's own connection to a kernel is named: each anew, so that a kernel takes it at once.

A kernel's socket takes no second connection under a name that it still knows. The server names each by the page, and a
page connects again whenever its kernel was started again: whether the kernel has forgotten the page's first connection
by then is chance. Where it has not, the page hears the kernel, and the kernel never hears the page.
"""

from __future__ import annotations

import uuid

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

CHANNELS = ("iopub", "shell", "control", "stdin")


class NamedAnew(ZMQChannelsWebsocketConnection):  # type: ignore[misc,unused-ignore]
    """The server's own connection but for its name."""

    def create_stream(self) -> None:
        """Connect each channel; the four share one name, by which a kernel asks back whoever asked it."""
        name = f"{self.session.session}_{uuid.uuid4().hex}".encode()
        for channel in CHANNELS:
            stream = getattr(self.kernel_manager, f"connect_{channel}")(identity=name)
            stream.channel = channel
            self.channels[channel] = stream
