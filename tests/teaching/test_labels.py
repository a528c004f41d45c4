"""No label on a figure is small, lies over another, is struck through or cut off: every panel, over its settings (sampled)."""

from __future__ import annotations

import dataclasses
import datetime
import itertools
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.path import Path as Outline
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import Log, judge_trace, nine, read_log
from steadyneedle.foundation import places
from steadyneedle.questions.plans import MODULES
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.log import log_figure
from steadyneedle.teaching.figures.strokes import Scene
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Panel, ScenePanel, Slider
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.panels.bench import RANGES, ShownBench

LEAST = 1.0
"""Pixels by which two boxes may touch: a box is a little larger than its ink."""
SLACK = 3.0
"""Pixels by which a line may run into a label's box: so much of it is no ink."""
SHEETS = load_sheets(places.datasets() / "sheets")
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


class Ink(NamedTuple):
    """Something drawn that may run through a label: its outline in pixels, how far it reaches beyond it, the window it
    is seen in, and whether it is a mark (a label with a ground of its own hides a line behind it, but no mark)."""

    path: Outline
    reach: float
    window: Bbox | None
    mark: bool


def inks(figure: Figure) -> Iterator[Ink]:
    """Every line, mark and edge of a filled shape that can be seen; no axis, which is drawn beside its numbers."""
    pixels = figure.dpi / 144
    for line in figure.findobj(Line2D):
        if not isinstance(line, Line2D) or not line.get_visible() or line.axes is None:
            continue
        if line not in line.axes.get_children():
            continue
        path = line.get_transform().transform_path(line.get_path())
        window = line.get_clip_box() if line.get_clip_on() else None
        if len(path.vertices) > 1 and line.get_linestyle() != "None":
            yield Ink(path, line.get_linewidth() * pixels, window, False)
        if line.get_marker() not in ("None", "none", " ", "", None):
            every = line.get_markevery()
            for point in path.vertices[every] if isinstance(every, list) else path.vertices:
                yield Ink(Outline([point]), line.get_markersize() * pixels, window, True)
    for shape in figure.findobj(Polygon):
        if isinstance(shape, Polygon) and shape.get_visible() and shape.get_hatch() is None:
            yield Ink(shape.get_transform().transform_path(shape.get_path()), 0.0, None, False)


def struck(figure: Figure) -> list[str]:
    """Labels that a line, a mark or the edge of a shape runs through."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    drawn = list(inks(figure))
    found = []
    for text in figure.findobj(Text):
        if isinstance(text, Text) and text.get_visible() and text.get_text().strip() and _drawn(text):
            own_ground = text.get_bbox_patch() is not None
            box = text.get_window_extent(renderer)
            if any(_runs_through(one, box) for one in drawn if one.mark or not own_ground):
                found.append(f"'{text.get_text()}' is struck through")
    return found


def _runs_through(ink: Ink, label: Bbox) -> bool:
    box = Bbox.from_extents(*(label.extents + (ink.reach - SLACK) * np.array([-1, -1, 1, 1])))
    seen = box if ink.window is None else Bbox.intersection(box, ink.window)
    if seen is None or seen.width <= 0 or seen.height <= 0:
        return False
    if ink.mark:
        return bool(seen.contains(*ink.path.vertices[0]))
    return bool(ink.path.intersects_bbox(seen, filled=False))


def small(figure: Figure) -> list[str]:
    """Labels below the smallest type."""
    seen = [
        one for one in figure.findobj(Text) if isinstance(one, Text) and one.get_visible() and one.get_text().strip()
    ]
    scale = figure.dpi / 72 * look.WIDTH / figure.bbox.width
    return [
        f"'{one.get_text()}' is {one.get_fontsize() * scale:.1f} px"
        for one in seen
        if one.get_fontsize() * scale < look.SMALLEST - 0.1
    ]


def faults(figure: Figure) -> list[str]:
    """Labels that are small, struck through or beyond the edge, and pairs of which one lies over the other."""
    seen, whole = boxes(figure), figure.bbox
    found = [*small(figure), *struck(figure)]
    for words, box in seen:
        if min(box.x0, box.y0, whole.x1 - box.x1, whole.y1 - box.y1) < -LEAST:
            found.append(f"'{words}' is cut off")
    for (one, box), (other, beside) in itertools.combinations(seen, 2):
        across, up = min(box.x1, beside.x1) - max(box.x0, beside.x0), min(box.y1, beside.y1) - max(box.y0, beside.y0)
        if across > LEAST and up > LEAST:
            found.append(f"'{one}' lies over '{other}'")
    return found


def without_needles(scene: Scene) -> Scene:
    """A scene without what turns: a needle passes over the numbers of a dial."""
    return dataclasses.replace(scene, parts=tuple(part for part in scene.parts if part.how != "turn"))


def still(panel: Panel, result: Any) -> Figure:
    """A panel's picture; words with a ground of their own are drawn after every line."""
    if isinstance(panel, ScenePanel):
        return without_needles(panel.scene(result)).figure(panel.row(result))
    assert isinstance(panel, DrawnPanel)
    drawing = panel.draw(result)
    lines = [n for n, one in enumerate(drawing.moving) if isinstance(one, Line2D) and one.get_linestyle() != "None"]
    for text in drawing.figure.findobj(Text):
        if isinstance(text, Text) and text.get_bbox_patch() is not None:
            assert drawing.moving.index(text) > max(lines, default=-1), text.get_text()
    return drawing.figure


@pytest.mark.parametrize(("number", "name"), PANELS)
def test_no_label_lies_over_another(number: str, name: str, work: Path) -> None:
    panel = Lesson(number).make_panel(name)
    if not isinstance(panel, Panel):
        pytest.skip("no figure of its own")
    found = {}
    for values in samples(panel):
        wrong = faults(still(panel, panel.compute(**values)))
        if wrong:
            found[str(values)] = wrong
    assert not found, found


@pytest.mark.parametrize("shown_range", RANGES)
def test_no_label_of_the_bench_lies_over_another(shown_range: str) -> None:
    panel = Lesson("02").make_panel("bench")
    bench = getattr(panel, "bench", None)
    assert isinstance(bench, ShownBench)
    for design in ("Alder", "Juniper") if shown_range == next(iter(RANGES)) else ("Linden",):
        bench.new({"design": design, "range": shown_range})
        for at, what, value in ((1.0, "valve", 1.0), (39.0, "depth", 40.0), (40.0, "bleed", 1.0), (41.0, "valve", 0.0)):
            bench.do(at, what, value)
        for time in (0.0, 30.0, 60.0):
            row = bench.row(time) | {"reading": "10.05 bar"}
            assert faults(without_needles(bench.scene()).figure(row)) == [], (design, time)


@pytest.mark.parametrize("unit", ["bar", "psi"])
def test_no_label_of_a_logs_picture_lies_over_another(unit: str) -> None:
    sheet = SHEETS["Rowan"]
    bent = 140 + np.maximum(np.arange(25) - 10, 0) * 11 // 14  # five figures at the axis
    fives = Log.from_arrays(np.arange(0, 721, 30), bent, "psi")
    logs = read_log(places.datasets() / "logs" / "class_reading.csv"), *(nine.recorded(n).log for n in (1, 4, 6))
    for log in (*logs, fives):
        own = dataclasses.replace(log, unit=unit)
        figure = log_figure(own, judge_trace(own, sheet), sheet, judged_on=datetime.date(2026, 11, 26))
        assert faults(figure) == []
        assert next(box.x0 for words, box in boxes(figure) if words.startswith("IP, ")) > 8  # at the edge once
        assert unit == "bar" or not any(re.search(r"\d bar", words) for words, _ in boxes(figure))


def test_the_check_sees_a_label_over_another_and_one_cut_off() -> None:
    figure = Figure((4, 3))
    figure.text(0.5, 0.5, "one")
    assert faults(figure) == []
    figure.text(0.51, 0.51, "other")
    figure.text(0.95, 0.1, "beyond the edge")
    assert faults(figure) == ["'beyond the edge' is cut off", "'one' lies over 'other'"]
