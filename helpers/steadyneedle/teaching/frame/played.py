"""The widget of a bench through time: the kernel computes what will be, the page plays it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
import traitlets

from steadyneedle.teaching.frame.publishing import FrameWidget, Still, answer_with, module_of, publish_picture, style
from steadyneedle.teaching.frame.troubles import number_in, sentence_of

PUSHED = -1
"""Number of a state that answers no message: the page goes on where it is."""


@dataclass(frozen=True)
class BenchState:
    """What the page needs to play a bench.

    Parameters
    ----------
    times, ip, supply : array, each of shape (n,)
        Seconds, and what both gauges show [bar].
    scene : dict
        `svg`, its `motions`, and the `scales` that turn bar and seconds into degrees and pixels. It goes to the page
        only where it has changed.
    run : dict
        All the rest by name: words, how the valves stand, what is chosen and what there is to choose from.
    """

    times: np.ndarray
    ip: np.ndarray
    supply: np.ndarray
    scene: dict[str, Any]
    run: dict[str, Any]


class PlayedBench(Protocol):
    """What the widget needs of the bench that it shows."""

    def do(self, time: float, what: str, value: float | str) -> None:
        """Something done at a time; ValueError says why it cannot be."""

    def new(self, values: dict[str, Any]) -> bool:
        """Another regulator, or the same afresh; True where the clock starts at 0 again."""

    def more(self) -> None:
        """Look further ahead."""

    def state(self) -> BenchState:
        """What was, and what will be if nobody touches it."""


@dataclass(frozen=True)
class BenchPanel:
    """A bench to show: its title, the supplies on offer in bar, the depths in metres of sea water, and what makes a
    still picture of one run."""

    title: str
    bench: PlayedBench
    supplies: Sequence[int]
    depths: Sequence[int]
    still: Callable[[], Still]


class BenchWidget(FrameWidget):
    """A bench through time. The page says what was done and when, the kernel answers with all that follows."""

    _esm = module_of("make.js", "parts.js", "gauge.js", "running.js")
    _css = style()
    title = traitlets.Unicode().tag(sync=True)
    supplies = traitlets.List().tag(sync=True)
    depths = traitlets.List().tag(sync=True)
    scene = traitlets.Dict().tag(sync=True)
    times = traitlets.Bytes().tag(sync=True)
    ip = traitlets.Bytes().tag(sync=True)
    supply = traitlets.Bytes().tag(sync=True)
    run = traitlets.Dict().tag(sync=True)

    def __init__(self, bench: PlayedBench, title: str, supplies: Sequence[int], depths: Sequence[int] = (0,)) -> None:
        self._bench = bench
        super().__init__(
            title=title, supplies=list(supplies), depths=list(depths), **self._state(0, 0.0, "", fresh=True)
        )
        self.on_msg(self._heard)

    def refresh(self) -> None:
        """Show the bench as it stands now, at the time where the page is."""
        answer_with(self, self._state(PUSHED, 0.0, "", fresh=False))

    def _state(self, number: int, time: float, problem: str, fresh: bool) -> dict[str, Any]:
        state = self._bench.state()
        readings = {"times": state.times, "ip": state.ip, "supply": state.supply}
        arrays = {name: values.astype("float32").tobytes() for name, values in readings.items()}
        run = {**state.run, "answers": number, "time": time, "problem": problem, "fresh": fresh}
        return {**arrays, "scene": state.scene, "run": run}

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        problem, fresh, time = "", False, float(number_in(message, "time"))
        number = int(number_in(message, "number"))
        try:
            fresh = self._take(message, time)
        except Exception as error:
            problem = sentence_of(error)
        try:
            state = self._state(number, 0.0 if fresh else time, problem, fresh)
        except Exception as error:  # what stood there still stands; the page must not wait for ever
            state = {
                "run": {**self.run, "answers": number, "time": time, "problem": sentence_of(error), "fresh": False}
            }
        answer_with(self, state)

    def _take(self, message: dict[str, Any], time: float) -> bool:
        """Do what the page asks for; whether another run began."""
        if message.get("kind") == "do":
            self._bench.do(time, str(message.get("what")), message.get("value", 0.0))
        elif message.get("kind") == "more":
            self._bench.more()
        else:
            values = message.get("values")
            return self._bench.new(dict(values) if isinstance(values, dict) else {})
        return False


def show_bench(panel: BenchPanel) -> BenchWidget:
    """Show a bench: live where there is a kernel, a plain picture of one run where there is none."""
    widget = BenchWidget(panel.bench, panel.title, panel.supplies, panel.depths)
    publish_picture(widget, panel.title, panel.still)
    return widget
