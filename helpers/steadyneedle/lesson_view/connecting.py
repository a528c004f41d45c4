"""How the server's connection to a kernel is named: another name for each process that the kernel has been.

The server names a page's connection by the page alone. A page connects again when its kernel was started again, and its
first connection comes back by itself at the same time: two connections to one new process under one name. What became
of that was chance: of 33 kernels killed, 10 left their page mute, for 27 s or for good; under names of their own, none
of 76. A page that connects to the same process once more keeps the name, and gets what that process still owes it.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from typing import ClassVar

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

CHANNELS = ("iopub", "shell", "control", "stdin")


class NamedByProcess(ZMQChannelsWebsocketConnection):  # type: ignore[misc,unused-ignore]
    """The server's own connection but for its name."""

    restarts: ClassVar[Counter[str]] = Counter()
    """Id of a kernel to how often it was heard to start again: told before its new process is there."""

    def on_kernel_restarted(self) -> None:
        """Count, then tell the page: it connects again at once."""
        self.restarts[self.kernel_id] += 1
        super().on_kernel_restarted()

    def create_stream(self) -> None:
        """Connect each channel; the four share one name, by which a kernel asks back whoever asked it."""
        process = getattr(getattr(self.kernel_manager, "provisioner", None), "pid", None)
        words = (self.session.session, str(self.restarts[self.kernel_id]), str(process))
        name = hashlib.sha256("\n".join(words).encode()).hexdigest().encode()
        for channel in CHANNELS:
            stream = getattr(self.kernel_manager, f"connect_{channel}")(identity=name)
            stream.channel = channel
            self.channels[channel] = stream
