"""Speed, as ratios against a stated baseline in the same run. Absolute times are noise and are not asserted."""

from __future__ import annotations

import io
import os
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from jupyter_client.manager import start_new_kernel

from steadyneedle.foundation import notebooks, places
from steadyneedle.questions.plans import MODULES
from steadyneedle.teaching.frame.panel import DrawnPanel, Repainter, Slider
from steadyneedle.teaching.lesson import Lesson

pytestmark = pytest.mark.benchmark

DRAWN = [
    (f"{number} {name}", panel)
    for number in MODULES
    for lesson in [Lesson(number)]
    for name in lesson.panel_names()
    for panel in [lesson.make_panel(name)]
    if isinstance(panel, DrawnPanel)
]


def seconds(action: Callable[[], object]) -> float:
    start = time.perf_counter()
    action()
    return time.perf_counter() - start


@pytest.mark.parametrize("panel", [panel for _, panel in DRAWN], ids=[name for name, _ in DRAWN])
def test_a_repainted_picture_is_five_times_as_fast_as_one_drawn_afresh(panel: DrawnPanel) -> None:
    """Compute and draw, blitted, against the same figure made, drawn and saved afresh."""
    repainter, main, draw = Repainter(panel), panel.controls[0], panel.draw
    assert isinstance(main, Slider)
    repainter.paint(panel.start())
    ours, afresh = [], []
    for value in main.settings()[1:40]:
        values = {**panel.start(), main.name: value}
        panel.compute(**values)  # a verdict on a recording is kept: what it costs once is no part of either
        ours.append(seconds(lambda v=values: repainter.paint(v)))
        afresh.append(seconds(lambda v=values: draw(panel.compute(**v)).figure.savefig(io.BytesIO(), format="png")))
    ratio = statistics.median(afresh) / statistics.median(ours)
    print(f"{panel.title}: {ratio:.1f} times")
    assert ratio >= 5, ratio


BASELINE = """
import ipywidgets, pint
import matplotlib.pyplot as pyplot
registry = pint.UnitRegistry()
display(ipywidgets.FloatSlider())
figure, axes = pyplot.subplots()
axes.plot([0, 1], [0, 1])
display(figure)
"""


def first_picture(cells: list[str], folder: Path) -> float:
    """Seconds from starting a kernel to its first PNG."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment[places.WORK_VARIABLE] = str(folder)
    start = time.perf_counter()
    manager, client = start_new_kernel(kernel_name="python3", env=environment, extra_arguments=["--log-level=40"])
    try:
        for source in cells:
            client.execute(source)
        while True:
            message = client.get_iopub_msg(timeout=60)
            assert message["msg_type"] != "error", message["content"]
            if "image/png" in message["content"].get("data", {}):
                return time.perf_counter() - start
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


@pytest.fixture(scope="module")
def baseline_is_warm(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Its compiled files and caches are there."""
    first_picture([BASELINE], tmp_path_factory.mktemp("warm"))


@pytest.mark.usefixtures("baseline_is_warm")
@pytest.mark.parametrize("lesson", sorted(places.lessons().glob("[0-9]*.ipynb")), ids=lambda path: path.name)
def test_the_first_picture_comes_soon(lesson: Path, tmp_path: Path) -> None:
    """Against a notebook that imports ipywidgets, pyplot and pint, makes a registry, shows a slider and a PNG."""
    cells = [notebooks.source_of(c) for c in notebooks.read(lesson)["cells"] if c["cell_type"] == "code"]
    first_picture(cells, tmp_path)  # compiled files and caches are warm
    for _ in range(3):  # again where other work came between
        ours, baseline = [], []
        for _ in range(3):
            ours.append(first_picture(cells, tmp_path))
            baseline.append(first_picture([BASELINE], tmp_path))
        ratio = statistics.median(ours) / statistics.median(baseline)
        if ratio <= 1.5:
            break
    print(f"{lesson.name}: {ratio:.2f} times")
    assert ratio <= 1.5, ratio
