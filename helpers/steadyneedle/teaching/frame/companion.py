"""The widget without a face that carries place, text size and ground from the page to the kernel."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from steadyneedle.teaching.frame.publishing import FrameWidget, module_of, publish
from steadyneedle.teaching.frame.troubles import sentence_of


class CompanionWidget(FrameWidget):
    """Hands on what the page sends; a file that cannot be written is said by the forms."""

    _esm = module_of("companion.js")

    def __init__(self, keep: Callable[[dict[str, Any]], None]) -> None:
        self._keep = keep
        super().__init__()
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        try:
            self._keep(dict(message))
        except Exception as error:  # it has no face to say it with: the forms say it, or the file of troubles
            sentence_of(error)


def show_companion(keep: Callable[[dict[str, Any]], None]) -> CompanionWidget:
    """Put it into the page. Nothing is left for a plain reader."""
    widget = CompanionWidget(keep)
    publish(widget, {}, {})
    return widget
