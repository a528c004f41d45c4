"""The widget that takes a log of one's own by a file picker."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import traitlets

from steadyneedle.teaching.frame.base import FrameWidget, answer_with, module_of, publish, style

Judged = tuple[list[str], bytes]


class LogWidget(FrameWidget):
    """A file, its columns and a sheet go to the kernel; lines and a picture come back."""

    _esm = module_of("parts.js", "log.js")
    _css = style()
    title = traitlets.Unicode().tag(sync=True)
    question = traitlets.List().tag(sync=True)
    sheets = traitlets.List().tag(sync=True)
    lines = traitlets.List().tag(sync=True)
    picture = traitlets.Bytes().tag(sync=True)
    problem = traitlets.Unicode().tag(sync=True)
    answered = traitlets.Int().tag(sync=True)

    def __init__(self, judge: Callable[[str, bytes, str, str], Judged], **words: Any) -> None:
        self._judge = judge
        super().__init__(**words)
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, message: dict[str, Any], buffers: Any) -> None:
        texts = [str(message.get(part, ""))[:200] for part in ("name", "columns", "sheet")]
        data = bytes(buffers[0]) if buffers else b""
        answer: dict[str, Any] = {"lines": [], "picture": b"", "problem": ""}
        try:
            answer["lines"], answer["picture"] = self._judge(texts[0], data, texts[1], texts[2])
        except ValueError as error:
            answer["problem"] = str(error)
        answer_with(self, {**answer, "answered": self.answered + 1})


def show_log(
    judge: Callable[[str, bytes, str, str], Judged], title: str, question: list[str], sheets: list[str]
) -> LogWidget:
    """Show the file picker; its words where there is no kernel."""
    widget = LogWidget(judge, title=title, question=question, sheets=sheets)
    plain = "\n".join([title, *question])
    publish(widget, {"text/html": "".join(f"<p>{line}</p>" for line in (title, *question)), "text/plain": plain}, {})
    return widget
