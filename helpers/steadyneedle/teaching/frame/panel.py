"""Panel: controls, a pure computation, a picture that follows, a sentence with the numbers.

A `ScenePanel` moves a drawing of few strokes over a table computed once: the page then needs no kernel.
A `DrawnPanel` has the kernel draw a matplotlib picture for each position, the moving artists only.
"""

from __future__ import annotations

import itertools
import math
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from matplotlib.figure import Figure

from steadyneedle.bench.units import format_number, read_quantity
from steadyneedle.teaching.figures.drawing import Drawing, Painter, png_of
from steadyneedle.teaching.figures.strokes import Row, Scene

_KINDS = {
    "gauge pressure": ("bar", "psi", "kPa", "MPa", "kgf/cm²"),
    "absolute pressure": ("mbar",),
    "pressure rate": ("bar/min", "psi/min"),
    "flow": ("L/min",),
    "length": ("m", "µm"),
    "volume": ("L", "mL"),
    "temperature": ("°C",),
    "time": ("s", "min"),
    "percent": ("%",),
}
"""What may be typed beside a slider, by its unit. A control in mbar is the air's own pressure."""


@dataclass(frozen=True)
class Slider:
    """A number to move: its name in the code, its label, range, step, unit and start.

    One that `plays` also moves by itself, from low to high in that many seconds, where it is a panel's first control.
    """

    name: str
    label: str
    low: float
    high: float
    step: float
    unit: str
    start: float
    plays: float = 0.0

    def __post_init__(self) -> None:
        if not self.low < self.high or self.step <= 0 or not self.low <= self.start <= self.high:
            raise ValueError(f"Slider {self.name}: low < high, step > 0 and start between them are needed.")

    @property
    def decimals(self) -> int:
        """Digits after the mark that its step needs."""
        return max(0, next(d for d in range(10) if abs(round(self.step, d) - self.step) < 1e-12))

    def position(self, index: int) -> float:
        """The value of one step, without the rounding of repeated adding."""
        return round(self.low + index * self.step, 9)

    def settings(self) -> list[float]:
        """Every position from low to high."""
        return [self.position(i) for i in range(math.floor((self.high - self.low) / self.step + 1e-9) + 1)]

    def accept(self, value: Any) -> float:
        """The position nearest to what the page sent."""
        number = float(value)
        if not math.isfinite(number):
            raise ValueError(f"{self.label} needs a number.")
        number = min(max(number, self.low), self.high)
        return min(self.position(round((number - self.low) / self.step)), self.high)

    def read(self, text: str, decimal: str | None = None) -> float:
        """The position nearest to a quantity typed in any unit, for example `139 psi` where the scale is in bar."""
        kind = next((kind for kind, units in _KINDS.items() if self.unit in units), "number")
        value = float(read_quantity(text, kind, decimal).to(self.unit or "").magnitude)
        if not self.low - self.step / 2 <= value <= self.high + self.step / 2:
            low, high = (format_number(one, self.decimals, decimal or "point") for one in (self.low, self.high))
            raise ValueError(f"{self.label} goes from {low} to {high} {self.unit}".rstrip() + ".")
        return self.accept(value)


@dataclass(frozen=True)
class Choice:
    """One of a few named settings."""

    name: str
    label: str
    options: tuple[str, ...]
    start: str

    def accept(self, value: Any) -> str:
        """The option the page sent."""
        if value not in self.options:
            raise ValueError(f"{self.label} is one of {', '.join(self.options)}.")
        return str(value)


@dataclass(frozen=True)
class Entry:
    """A line of text to type, for example a row of readings."""

    name: str
    label: str
    start: str

    def accept(self, value: Any) -> str:
        """The text the page sent, of bounded length."""
        return str(value)[:400]


Control = Slider | Choice | Entry


@dataclass(frozen=True)
class Panel(ABC):
    """One live figure, of one of two kinds: `DrawnPanel` or `ScenePanel`.

    Parameters
    ----------
    title : str
        What it shows.
    controls : tuple of Slider, Choice, Entry
        The first is the main one.
    compute : callable
        compute(**values) -> result; pure.
    describe : callable
        result -> the sentence with the numbers; it is also the picture's alternative text.
    """

    title: str
    controls: tuple[Control, ...]
    compute: Callable[..., Any]
    describe: Callable[[Any], str]

    def start(self) -> dict[str, Any]:
        """Every control at its start."""
        return {control.name: control.start for control in self.controls}

    def accept(self, values: dict[str, Any]) -> dict[str, Any]:
        """Values as the page sent them, snapped and checked; what is missing stands at its start."""
        return {c.name: c.accept(values.get(c.name, c.start)) for c in self.controls}

    def still(self, values: dict[str, Any] | None = None) -> bytes:
        """PNG of the panel at the values given, drawn afresh."""
        return png_of(self.figure(self.compute(**self.accept(values or {}))))

    @abstractmethod
    def figure(self, result: Any) -> Figure:
        """The picture of a result, drawn afresh."""

    def every_setting(self) -> Iterator[dict[str, Any]]:
        """Every combination of slider ends and starts and of choices: what a test should try."""
        tries: list[list[Any]] = []
        for control in self.controls:
            if isinstance(control, Slider):
                tries.append([control.low, control.start, control.accept(control.high)])
            else:
                tries.append(list(control.options) if isinstance(control, Choice) else [control.start, ""])
        for values in itertools.product(*tries):
            yield {control.name: value for control, value in zip(self.controls, values, strict=True)}


@dataclass(frozen=True)
class DrawnPanel(Panel):
    """A panel whose picture the kernel draws for each position: `draw` takes a result and gives a Drawing."""

    draw: Callable[[Any], Drawing]

    def figure(self, result: Any) -> Figure:
        """The drawing's own figure."""
        return self.draw(result).figure


@dataclass(frozen=True)
class ScenePanel(Panel):
    """A panel whose picture the page moves along its first control, a Slider, over a table computed once.

    Parameters
    ----------
    scene : callable
        result -> Scene.
    row : callable
        result -> how far each moving part of the scene moves, by its name.
    """

    scene: Callable[[Any], Scene]
    row: Callable[[Any], Row]

    def __post_init__(self) -> None:
        self.main()

    def main(self) -> Slider:
        """The control that the page moves the scene along."""
        first = self.controls[0]
        if not isinstance(first, Slider):
            raise ValueError(f"Panel '{self.title}': the page moves a scene along its first control, a Slider.")
        return first

    def figure(self, result: Any) -> Figure:
        """The scene with one row applied."""
        return self.scene(result).figure(self.row(result))

    def table(self, values: dict[str, Any]) -> dict[str, Any]:
        """Scene, and for each position of the main slider a row of movements and a sentence."""
        main = self.main()
        results = [self.compute(**{**values, main.name: position}) for position in main.settings()]
        scene = self.scene(results[0])
        return {
            "svg": scene.svg(),
            "motions": scene.motions(),
            "rows": [{name: _short(amount) for name, amount in self.row(result).items()} for result in results],
            "sentences": [self.describe(result) for result in results],
        }


def _short(amount: float | str) -> float | str:
    return amount if isinstance(amount, str) else round(float(amount), 4)


@dataclass
class Repainter:
    """Keeps a panel's drawing between positions and repaints only what moved: axes and text are what costs."""

    panel: DrawnPanel
    painter: Painter | None = field(default=None)

    def paint(self, values: dict[str, Any]) -> tuple[bytes, str]:
        """PNG and sentence for the values given."""
        result = self.panel.compute(**values)
        if self.painter is None or not self.painter.drawing.update(result):
            self.painter = Painter(self.panel.draw(result))
        return self.painter.paint(), self.panel.describe(result)
