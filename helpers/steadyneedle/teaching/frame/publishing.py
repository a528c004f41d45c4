"""How a widget of ours is shown so that a reader without a kernel sees a picture or the words."""

from __future__ import annotations

import base64
import contextlib
from functools import cache
from pathlib import Path
from typing import Any

import anywidget
from IPython.display import display

from steadyneedle.teaching import look

_HERE = Path(__file__).parent


@cache
def module_of(*names: str) -> str:
    """One module for the page, made of these files."""
    return "\n".join((_HERE / name).read_text(encoding="utf-8") for name in names)


def style() -> str:
    """Style of everything of ours in the page."""
    return look.page_style() + module_of("frame.css")


def answer_with(widget: anywidget.AnyWidget, values: dict[str, Any]) -> None:
    """Set several traits at once: one message to the page."""
    with widget.hold_sync():
        for name, value in values.items():
            setattr(widget, name, value)


def publish(widget: anywidget.AnyWidget, plain: dict[str, str], metadata: dict[str, Any]) -> None:
    """Show a widget and, in the same output, what a reader without a kernel sees."""
    bundle = dict(plain)
    with contextlib.suppress(KeyError, TypeError):
        mime = "application/vnd.jupyter.widget-view+json"
        made = widget._repr_mimebundle_()
        bundle[mime] = (made[0] if isinstance(made, tuple) else made)[mime]
    display(bundle, metadata=metadata, raw=True)


def publish_picture(widget: anywidget.AnyWidget, picture: bytes, alternative: str, mark: str) -> None:
    """Show a widget and, in the same output, its picture with its alternative text and its digest."""
    image = {"alt": alternative, "width": look.WIDTH, "height": look.HEIGHT}
    publish(
        widget,
        {"image/png": base64.b64encode(picture).decode("ascii"), "text/plain": alternative},
        {"image/png": image, "steadyneedle": {"digest": mark}},
    )
