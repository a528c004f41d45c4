"""The widgets of the workbook, and how they are shown so that a reader without a kernel sees a picture."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import Any, Protocol

import traitlets

from steadyneedle.foundation.store import StoreError
from steadyneedle.teaching import look
from steadyneedle.teaching.frame.base import (
    FrameWidget,
    Still,
    answer_with,
    module_of,
    publish,
    publish_picture,
    style,
)
from steadyneedle.teaching.frame.panel import Choice, Control, Easel, Panel, Slider


class PanelWidget(FrameWidget):
    """A panel in the page. The page sends positions, the kernel answers with a picture or a table."""

    _esm = module_of("parts.js", "gauge.js", "panel.js")
    _css = style()
    spec = traitlets.Dict().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    table = traitlets.Dict().tag(sync=True)
    picture = traitlets.Bytes().tag(sync=True)
    sentence = traitlets.Unicode().tag(sync=True)
    problem = traitlets.Unicode().tag(sync=True)
    cover = traitlets.Unicode().tag(sync=True)
    answered = traitlets.Int().tag(sync=True)

    def __init__(self, panel: Panel, mark: str = ".", cover: str = "") -> None:
        self._panel = panel
        self._easel = Easel(panel)
        values = panel.start()
        state = self._answer(values)
        spec = {
            "title": panel.title,
            "mark": mark,
            "table": panel.scene is not None,
            "width": look.WIDTH,
            "height": look.HEIGHT,
            "controls": [_spec(control) for control in panel.controls],
        }
        super().__init__(spec=spec, values=values, cover=cover, **state)
        self.observe(self._moved, "values")

    def _answer(self, values: dict[str, Any]) -> dict[str, Any]:
        """What the page needs to show `values`."""
        if self._panel.scene is not None:
            return {"table": self._panel.table(values)}
        picture, sentence = self._easel.paint(values)
        return {"picture": picture, "sentence": sentence}

    def _moved(self, change: Any) -> None:
        try:
            values = self._panel.accept(change["new"])
            answer = self._answer(values) | {"problem": ""}
        except ValueError as error:
            answer = {"problem": str(error)}
        answer_with(self, {**answer, "answered": self.answered + 1})


def _spec(control: Control) -> dict[str, Any]:
    if isinstance(control, Slider):
        return {
            "kind": "slider", "name": control.name, "label": control.label, "low": control.low, "high": control.high,
            "step": control.step, "unit": control.unit, "start": control.start, "decimals": control.decimals,
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


class RunningBench(Protocol):
    """What the bench's widget needs of the bench that it shows."""

    def do(self, time: float, what: str, value: float | str) -> None:
        """Something done at a time; ValueError says why it cannot be."""

    def new(self, values: dict[str, Any]) -> bool:
        """Another regulator, or the same afresh; True where the clock starts at 0 again."""

    def more(self) -> None:
        """Look further ahead."""

    def state(self) -> dict[str, Any]:
        """What the page needs: `run`, and float32 arrays `times`, `ip`, `supply`, and the `svg`."""


class BenchWidget(FrameWidget):
    """A bench through time. The page says what was done and when, the kernel answers with all that follows."""

    _esm = module_of("parts.js", "gauge.js", "running.js")
    _css = style()
    title = traitlets.Unicode().tag(sync=True)
    supplies = traitlets.List().tag(sync=True)
    svg = traitlets.Unicode().tag(sync=True)
    times = traitlets.Bytes().tag(sync=True)
    ip = traitlets.Bytes().tag(sync=True)
    supply = traitlets.Bytes().tag(sync=True)
    run = traitlets.Dict().tag(sync=True)

    def __init__(self, bench: RunningBench, title: str, supplies: list[int]) -> None:
        self._bench = bench
        super().__init__(title=title, supplies=supplies, **self._state(0, 0.0, "", fresh=True))
        self.on_msg(self._heard)

    def _state(self, number: int, time: float, problem: str, fresh: bool) -> dict[str, Any]:
        state = self._bench.state()
        arrays = {name: state.pop(name).astype("float32").tobytes() for name in ("times", "ip", "supply")}
        svg = state.pop("svg")
        run = {**state, "answers": number, "time": time, "problem": problem, "fresh": fresh}
        return {**arrays, "svg": svg, "run": run}

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        problem, fresh, time = "", False, float(message.get("time", 0.0))
        try:
            if message.get("kind") == "do":
                self._bench.do(time, str(message.get("what")), message.get("value", 0.0))
            elif message.get("kind") == "more":
                self._bench.more()
            else:
                fresh = self._bench.new(dict(message.get("values", {})))
        except ValueError as error:
            problem = str(error)
        answer_with(self, self._state(int(message.get("number", 0)), 0.0 if fresh else time, problem, fresh))


class FormSession(Protocol):
    """What a form needs of the thing that answers it."""

    def view(self) -> dict[str, Any]:
        """What to show: title, question, fields, buttons, enter, feedback, hints, solution, version."""

    def typed(self, answers: dict[str, str]) -> None:
        """Keep what was typed. Raises StoreError where that fails."""

    def act(self, button: str, answers: dict[str, str]) -> None:
        """A button was pressed."""


class FormWidget(FrameWidget):
    """A form in the page; every key typed is saved at once, and the page says whether it was."""

    _esm = module_of("parts.js", "form.js")
    _css = style()
    view = traitlets.Dict().tag(sync=True)
    saved = traitlets.Dict().tag(sync=True)

    def __init__(self, session: FormSession, trouble: str = "", after: Callable[[], None] | None = None) -> None:
        self._session = session
        self._after = after
        super().__init__(view=session.view(), saved={"number": 0, "words": trouble})
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        answers = {str(name): str(text)[:200] for name, text in dict(message.get("answers", {})).items()}
        words = "Saved"
        try:
            self._session.typed(answers)
            if message.get("what") == "act":
                self._session.act(str(message.get("button")), answers)
        except StoreError as error:
            words = str(error)
        if message.get("what") == "act":
            self.view = self._session.view()
            if self._after:
                self._after()
        self.saved = {"number": int(message.get("number", 0)), "words": words}


def show_panel(panel: Panel, mark: str = ".", cover: str = "") -> PanelWidget:
    """Show a panel: live where there is a kernel, a plain picture with its text where there is none."""
    widget = PanelWidget(panel, mark, cover)

    def still() -> Still:
        result = panel.compute(**panel.start())
        text = panel.describe(result)
        return Still(widget.picture or panel.still(), f"{panel.title}. {text}", (result, text))

    publish_picture(widget, still)
    return widget


def show_bench(bench: RunningBench, title: str, supplies: list[int], still: Callable[[], Still]) -> BenchWidget:
    """Show a bench: live where there is a kernel, a plain picture of one run where there is none."""
    widget = BenchWidget(bench, title, supplies)
    publish_picture(widget, still)
    return widget


def show_form(session: FormSession, trouble: str = "", after: Callable[[], None] | None = None) -> FormWidget:
    """Show a form: live where there is a kernel, the words of the question where there is none."""
    widget = FormWidget(session, trouble, after)
    view = session.view()
    lines = [f"<h4>{escape(view['title'])}</h4>", *(f"<p>{escape(line)}</p>" for line in view["question"])]
    for one in view["fields"]:
        options = "".join(f"<li>{escape(option)}</li>" for _, option in one.get("options", ()))
        lines.append(
            f"<p>{escape(one['label'])}{'' if options else ': ____________'}</p>"
            + (f"<ul>{options}</ul>" if options else "")
        )
    plain = "\n".join([view["title"], *view["question"]])
    publish(widget, {"text/html": "\n".join(lines), "text/plain": plain}, {})
    return widget
