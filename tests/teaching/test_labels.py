"""No label on a figure lies over another or is cut off by its edge: every panel, over its settings (sampled)."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from steadyneedle.questions.plans import MODULES
from steadyneedle.teaching.frame.panel import Choice, Panel, Slider
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.panels.bench import RANGES, ShownBench

LEAST = 1.0
"""Pixels by which two boxes may touch: a box is a little larger than its ink."""
PANELS = [(number, name) for number in MODULES for name in Lesson(number).panel_names()]


def samples(panel: Panel) -> Iterator[dict[str, Any]]:
    """The start, each slider at its ends and in between, each choice."""
    start = panel.start()
    yield start
    for control in panel.controls:
        if isinstance(control, Slider):
            settings = control.settings()
            values: list[Any] = [settings[len(settings) * n // 8] for n in range(8)] + [settings[-1]]
        elif isinstance(control, Choice):
            values = list(control.options)
        else:
            continue
        yield from ({**start, control.name: value} for value in values)


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    """Every label that can be seen and its box, in pixels."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    renderer = canvas.get_renderer()
    texts = [one for one in figure.findobj(Text) if isinstance(one, Text)]
    shown = [one for one in texts if one.get_visible() and one.get_text().strip() and _drawn(one)]
    return [(one.get_text(), one.get_window_extent(renderer)) for one in shown]


def _drawn(text: Text) -> bool:
    """A tick beyond the end of its axis has a label that is never drawn."""
    figure = text.get_figure()
    for axis in (one for axes in (figure.axes if figure else ()) for one in (axes.xaxis, axes.yaxis)):
        low, high = sorted(axis.get_view_interval())
        for tick in (*axis.majorTicks, *axis.minorTicks):
            if text in (tick.label1, tick.label2):
                return bool(low - 1e-9 <= tick.get_loc() <= high + 1e-9)
    return True


def faults(figure: Figure) -> list[str]:
    """Pairs of labels of which one lies over the other, and labels beyond the edge."""
    seen, whole = boxes(figure), figure.bbox
    found = []
    for words, box in seen:
        if min(box.x0, box.y0, whole.x1 - box.x1, whole.y1 - box.y1) < -LEAST:
            found.append(f"'{words}' is cut off")
    for (one, box), (other, beside) in itertools.combinations(seen, 2):
        across, up = min(box.x1, beside.x1) - max(box.x0, beside.x0), min(box.y1, beside.y1) - max(box.y0, beside.y0)
        if across > LEAST and up > LEAST:
            found.append(f"'{one}' lies over '{other}'")
    return found


@pytest.mark.parametrize(("number", "name"), PANELS)
def test_no_label_lies_over_another(number: str, name: str, work: Path) -> None:
    panel = Lesson(number).make_panel(name)
    if not isinstance(panel, Panel):
        pytest.skip("no figure of its own")
    found = {}
    for values in samples(panel):
        wrong = faults(panel.figure(panel.compute(**values)))
        if wrong:
            found[str(values)] = wrong
    assert not found, found


@pytest.mark.parametrize("shown_range", RANGES)
def test_no_label_of_the_bench_lies_over_another(shown_range: str) -> None:
    panel = Lesson("02").make_panel("bench")
    bench = getattr(panel, "bench", None)
    assert isinstance(bench, ShownBench)
    for design in ("Alder", "Rowan", "Hazel", "Juniper", "Linden"):
        bench.new({"design": design, "range": shown_range})
        assert faults(bench.figure(0.0)) == [], design


def test_the_check_sees_a_label_over_another_and_one_cut_off() -> None:
    figure = Figure((4, 3))
    figure.text(0.5, 0.5, "one")
    assert faults(figure) == []
    figure.text(0.51, 0.51, "other")
    figure.text(0.95, 0.1, "beyond the edge")
    assert faults(figure) == ["'beyond the edge' is cut off", "'one' lies over 'other'"]
