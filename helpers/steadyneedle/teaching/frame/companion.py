"""The widget without a face that carries place, text size and ground from the page to the kernel."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

from steadyneedle.foundation.store import StoreError
from steadyneedle.teaching.frame.publishing import FrameWidget, module_of, publish


class CompanionWidget(FrameWidget):
    """Hands on what the page sends; a file that cannot be written is said by the forms."""

    _esm = module_of("companion.js")

    def __init__(self, keep: Callable[[dict[str, Any]], None]) -> None:
        self._keep = keep
        super().__init__()
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        with contextlib.suppress(StoreError):
            self._keep(dict(message))


def show_companion(keep: Callable[[dict[str, Any]], None]) -> CompanionWidget:
    """Put it into the page. Nothing is left for a plain reader."""
    widget = CompanionWidget(keep)
    publish(widget, {}, {})
    return widget
