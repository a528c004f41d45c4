"""The widget of a panel."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import traitlets

from steadyneedle.teaching import look
from steadyneedle.teaching.frame.panel import Choice, Control, DrawnPanel, Panel, Repainter, ScenePanel, Slider
from steadyneedle.teaching.frame.publishing import (
    FrameWidget,
    Still,
    answer_with,
    module_of,
    publish_picture,
    size_of,
    style,
)
from steadyneedle.teaching.frame.troubles import sentence_of


class PanelWidget(FrameWidget):
    """A panel in the page. The page sends positions, the kernel answers with a picture or a table."""

    _esm = module_of("make.js", "parts.js", "gauge.js", "panel.js")
    _css = style()
    spec = traitlets.Dict().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    table = traitlets.Dict().tag(sync=True)
    picture = traitlets.Bytes().tag(sync=True)
    sentence = traitlets.Unicode().tag(sync=True)
    problem = traitlets.Unicode().tag(sync=True)
    answered = traitlets.Int().tag(sync=True)
    read = traitlets.Dict().tag(sync=True)

    def __init__(self, panel: Panel, mark: str = ".") -> None:
        self._panel = panel
        self._decimal = "comma" if mark == "," else None
        self._answer = _answers(panel)
        values = panel.start()
        answer = self._answer(values)
        size = size_of(answer["picture"]) if "picture" in answer else (look.WIDTH, look.HEIGHT)
        spec = {
            "title": panel.title,
            "mark": mark,
            "table": isinstance(panel, ScenePanel),
            "width": size[0],
            "height": size[1],
            "controls": [_spec(control) for control in panel.controls],
        }
        super().__init__(spec=spec, values=values, **answer)
        self.observe(self._moved, "values")

    def _moved(self, change: Any) -> None:
        try:
            values = self._panel.accept(self._typed(change["new"]))
            answer = self._answer(values) | {"problem": "", "read": values}
        except Exception as error:
            answer = {"problem": sentence_of(error)}
        answer_with(self, {**answer, "answered": self.answered + 1})

    def _typed(self, values: dict[str, Any]) -> dict[str, Any]:
        """The page's values, with what was typed beside a slider, number and unit, read."""
        sliders = {one.name: one for one in self._panel.controls if isinstance(one, Slider)}
        return {
            name: sliders[name].read(value, self._decimal) if name in sliders and isinstance(value, str) else value
            for name, value in values.items()
        }


def _answers(panel: Panel) -> Callable[[dict[str, Any]], dict[str, Any]]:
    """What gives the page all it needs to show some values: a table, or a picture with its sentence."""
    if isinstance(panel, ScenePanel):
        return lambda values: {"table": panel.table(values)}
    if not isinstance(panel, DrawnPanel):
        raise TypeError(f"Panel '{panel.title}' is neither drawn nor a scene.")
    repainter = Repainter(panel)

    def painted(values: dict[str, Any]) -> dict[str, Any]:
        picture, sentence = repainter.paint(values)
        return {"picture": picture, "sentence": sentence}

    return painted


def _spec(control: Control) -> dict[str, Any]:
    if isinstance(control, Slider):
        return {
            "kind": "slider", "name": control.name, "label": control.label, "low": control.low, "high": control.high,
            "step": control.step, "unit": control.unit, "start": control.start, "decimals": control.decimals,
            "plays": control.plays,
        }  # fmt: skip
    kind = "choice" if isinstance(control, Choice) else "entry"
    options = list(control.options) if isinstance(control, Choice) else []
    return {
        "kind": kind,
        "name": control.name,
        "label": control.label,
        "options": options,
        "start": control.start,
    }


def show_panel(panel: Panel, mark: str = ".") -> PanelWidget:
    """Show a panel: live where there is a kernel, a plain picture with its text where there is none."""
    widget = PanelWidget(panel, mark)

    def still() -> Still:
        result = panel.compute(**panel.start())
        return Still(widget.picture or panel.still(), panel.describe(result), result)

    publish_picture(widget, panel.title, still)
    return widget
