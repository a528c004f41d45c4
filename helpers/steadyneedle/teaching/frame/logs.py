"""The widget that takes a log of one's own: a file, or a table typed or pasted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from html import escape
from pathlib import PurePath
from typing import Any, Protocol

import traitlets

from steadyneedle.teaching.frame.publishing import FrameWidget, answer_with, module_of, publish, sendable, style
from steadyneedle.teaching.frame.troubles import number_in, sentence_of

TYPED = "Your table"
"""What a table that was typed or pasted is called."""


@dataclass(frozen=True)
class SentLog:
    """What the page sends: a name, the bytes, and how they are to be read and judged."""

    name: str
    data: bytes
    columns: str = ""
    sheet: str = ""
    decimal: str = ""


Judged = tuple[list[str], bytes]
Judge = Callable[[SentLog], Judged]


@dataclass(frozen=True)
class LogPanel:
    """A log to ask for: the words, the sheets and decimal marks to choose from, and what judges."""

    title: str
    question: tuple[str, ...]
    sheets: tuple[str, ...]
    decimals: tuple[str, ...]
    judge: Judge


class Keeper(Protocol):
    """Keeps what stands in the page; `keep` says in words whether it was."""

    def kept(self) -> dict[str, Any]: ...
    def keep(self, what: Mapping[str, str]) -> str: ...


FIELDS = ("from", "table", "columns", "decimal", "sheet")
LONGEST_SENT = 100_000
"""Characters of a field to keep; whether it may be so long the keeper says."""


class LogWidget(FrameWidget):
    """A log, how to read it and a sheet go to the kernel; lines and a picture come back. What is typed is kept."""

    _esm = module_of("make.js", "parts.js", "log.js")
    _css = style()
    title = traitlets.Unicode().tag(sync=True)
    question = traitlets.List().tag(sync=True)
    sheets = traitlets.List().tag(sync=True)
    decimals = traitlets.List().tag(sync=True)
    lines = traitlets.List().tag(sync=True)
    picture = traitlets.Bytes().tag(sync=True)
    problem = traitlets.Unicode().tag(sync=True)
    answered = traitlets.Int().tag(sync=True)
    kept = traitlets.Dict().tag(sync=True)
    saved = traitlets.Dict().tag(sync=True)

    def __init__(self, judge: Judge, keeper: Keeper | None = None, **words: Any) -> None:
        self._judge = judge
        self._keeper = keeper
        super().__init__(**words, kept=keeper.kept() if keeper else {}, saved={"number": 0, "words": ""})
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, message: dict[str, Any], buffers: Any) -> None:
        if message.get("what") == "keep":
            self._keep(message)
        else:
            self._judge_it(message, buffers)

    def _keep(self, message: dict[str, Any]) -> None:
        words = ""
        try:
            sent = {name: sendable(str(message[name])[:LONGEST_SENT]) for name in FIELDS if name in message}
            if self._keeper:
                words = self._keeper.keep(sent)
                self.kept = self._keeper.kept()  # a view made again from this widget shows it
        except Exception as error:
            words = sentence_of(error)
        self.saved = {"number": int(number_in(message, "number")), "words": words}

    def _judge_it(self, message: dict[str, Any], buffers: Any) -> None:
        name, columns, sheet, decimal = (
            str(message.get(part, ""))[:200] for part in ("name", "columns", "sheet", "decimal")
        )
        data = bytes(buffers[0]) if buffers else b""
        answer: dict[str, Any] = {"lines": [], "picture": b"", "problem": ""}
        try:
            sent = SentLog(PurePath(name).name or TYPED, data, columns, sheet, decimal)
            answer["lines"], answer["picture"] = self._judge(sent)
        except Exception as error:
            answer["problem"] = sentence_of(error)
        answer_with(self, {**answer, "answered": self.answered + 1})


def show_log(panel: LogPanel, keeper: Keeper | None = None) -> LogWidget:
    """Show what asks for a log; its words where there is no kernel."""
    widget = LogWidget(
        panel.judge, keeper, title=panel.title, question=list(panel.question), sheets=list(panel.sheets),
        decimals=list(panel.decimals),
    )  # fmt: skip
    words = (panel.title, *panel.question)
    publish(
        widget, {"text/html": "".join(f"<p>{escape(line)}</p>" for line in words), "text/plain": "\n".join(words)}, {}
    )
    return widget
