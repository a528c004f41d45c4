"""The widget that takes a log of one's own by a file picker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import traitlets

from steadyneedle.teaching.frame.publishing import FrameWidget, answer_with, module_of, publish, style

Judged = tuple[list[str], bytes]
Judge = Callable[[str, bytes, str, str], Judged]


@dataclass(frozen=True)
class LogPanel:
    """A file picker to show: its words, the sheets to choose from, and what judges name, bytes, columns and sheet."""

    title: str
    question: tuple[str, ...]
    sheets: tuple[str, ...]
    judge: Judge


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

    def __init__(self, judge: Judge, **words: Any) -> None:
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


def show_log(panel: LogPanel) -> LogWidget:
    """Show the file picker; its words where there is no kernel."""
    widget = LogWidget(panel.judge, title=panel.title, question=list(panel.question), sheets=list(panel.sheets))
    words = (panel.title, *panel.question)
    publish(
        widget, {"text/html": "".join(f"<p>{escape(line)}</p>" for line in words), "text/plain": "\n".join(words)}, {}
    )
    return widget
