"""What every widget of ours stands on, and how it is shown so that a plain reader sees a picture or words."""

from __future__ import annotations

import base64
import contextlib
import struct
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import anywidget
from IPython.display import display
from ipywidgets import Layout

from steadyneedle.teaching import look
from steadyneedle.teaching.frame.digest import digest

_HERE = Path(__file__).parent
_stills_wanted = True


@cache
def module_of(*names: str) -> str:
    """One module for the page, made of these files."""
    return "\n".join((_HERE / name).read_text(encoding="utf-8") for name in names)


def style() -> str:
    """Style of everything of ours in the page."""
    return look.page_style() + module_of("frame.css")


@cache
def _layout() -> Layout:
    """One layout for all: ipywidgets would make one, and send it to the page, for each widget."""
    return Layout()


def forget_layout() -> None:
    """Close the layout: the next widget makes one.

    A page that is loaded again knows nothing that an earlier page was sent. A widget whose layout it does not know
    holds up everything behind it for two seconds, and then fails.
    """
    if _layout.cache_info().currsize:
        _layout().close()
        _layout.cache_clear()


class FrameWidget(anywidget.AnyWidget):
    """A widget of ours."""

    def __init__(self, **state: Any) -> None:
        super().__init__(layout=_layout(), **state)


@dataclass(frozen=True)
class Still:
    """What a live picture leaves in a notebook: a PNG, the sentence with its numbers, and the result that it shows."""

    picture: bytes
    text: str
    shows: Any


def leave_no_stills() -> None:
    """A page shows the shipped still pictures until the live ones are there: its kernel need not draw them again."""
    global _stills_wanted  # noqa: PLW0603
    _stills_wanted = False


def sendable(text: str) -> str:
    """Without halves of a pair of surrogates: no message to the page can hold one."""
    return text.encode("utf-8", errors="replace").decode("utf-8")


def answer_with(widget: anywidget.AnyWidget, values: dict[str, Any]) -> None:
    """Set several traits at once: one message to the page."""
    with widget.hold_sync():
        for name, value in values.items():
            setattr(widget, name, value)


def as_it_stands(html: str) -> str:
    """Words that hold a dollar sign or a backslash, kept from the page's typesetting of formulas.

    >>> as_it_stands("<p>9.8 bar</p>"), as_it_stands("<p>$5$</p>")
    ('<p>9.8 bar</p>', '<div class="mathjax_ignore"><p>$5$</p></div>')
    """
    return f'<div class="mathjax_ignore">{html}</div>' if "$" in html or "\\" in html else html


def publish(widget: anywidget.AnyWidget, plain: dict[str, str], metadata: dict[str, Any]) -> None:
    """Show a widget and, in the same output, what a reader without a kernel sees."""
    bundle = {kind: as_it_stands(words) if kind == "text/html" else words for kind, words in plain.items()}
    with contextlib.suppress(KeyError, TypeError):
        mime = "application/vnd.jupyter.widget-view+json"
        made = widget._repr_mimebundle_()
        bundle[mime] = (made[0] if isinstance(made, tuple) else made)[mime]
    display(bundle, metadata=metadata, raw=True)


def size_of(picture: bytes) -> tuple[int, int]:
    """Width and height of a PNG, in pixels."""
    width, height = struct.unpack(">II", picture[16:24])
    return width, height


def publish_picture(widget: anywidget.AnyWidget, title: str, still: Callable[[], Still]) -> None:
    """Show a widget and, in the same output, its still picture with alternative text and digest."""
    if not _stills_wanted:
        publish(widget, {"text/plain": title}, {})
        return
    made = still()
    alternative = f"{title}. {made.text}"
    width, height = size_of(made.picture)
    image = {"alt": alternative, "width": width, "height": height}
    publish(
        widget,
        {"image/png": base64.b64encode(made.picture).decode("ascii"), "text/plain": alternative},
        {"image/png": image, "steadyneedle": {"digest": digest(made.shows, made.text)}},
    )
