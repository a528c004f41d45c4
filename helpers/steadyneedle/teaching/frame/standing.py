"""The widget that shows how far a learner has come, follows each answer, and starts the lesson over."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import traitlets

from steadyneedle.teaching.frame.publishing import FrameWidget, module_of, publish, style
from steadyneedle.teaching.frame.troubles import sentence_of

WARNING = "Fresh numbers for every exercise of this lesson, predictions covered again. What is done and met stays."
STARTED = "Started over. What was done and met stands as it was."

Rows = list[dict[str, str]]
"""Each with `lesson`, `objective`, `words`, `next`, and where `next` leads to: `link`, empty for nowhere."""


class StandingWidget(FrameWidget):
    """A table of standings with links, and a button that starts the lesson over."""

    _esm = module_of("make.js", "parts.js", "going.js", "standing.js")
    _css = style()
    head = traitlets.List().tag(sync=True)
    rows = traitlets.List().tag(sync=True)
    warning = traitlets.Unicode(WARNING).tag(sync=True)
    said = traitlets.Dict().tag(sync=True)

    def __init__(self, head: tuple[str, ...], rows: Callable[[], Rows], start_over: Callable[[], None]) -> None:
        self._rows = rows
        self._start_over = start_over
        super().__init__(head=list(head), rows=rows())
        self.on_msg(self._heard)

    def refresh(self) -> None:
        """Show the standings as they are now."""
        self.rows = self._rows()

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        if message.get("what") != "start over":
            return
        try:
            self._start_over()
            self.refresh()
            words = STARTED
        except Exception as error:
            words = sentence_of(error)
        self.said = {"words": words, "number": int(self.said.get("number", 0)) + 1}


def show_standing(widget: StandingWidget, plain: dict[str, str]) -> None:
    """Put it into the page; `plain` is the same table for a reader without a kernel."""
    publish(widget, plain, {})
