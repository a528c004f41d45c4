"""Any cell of a lesson works alone, or says what to do; what an earlier run showed is closed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from ipywidgets.widgets import widget as ipywidgets_registry

from steadyneedle.foundation import notebooks, places
from steadyneedle.questions.plans import plan_of
from steadyneedle.teaching import kernel_start
from steadyneedle.teaching import lesson as lesson_module
from steadyneedle.teaching.frame import publishing
from steadyneedle.teaching.frame.companion import CompanionWidget
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.lesson import Lesson, open_lesson


def test_a_cell_alone_opens_the_lesson_of_its_notebook(work: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JPY_SESSION_NAME", "somewhere/03-specification-bands (yours, 2026-03-04).ipynb")
    lesson = kernel_start.LessonToCome()
    assert lesson.plan.number == "03"
    assert lesson.panel_names() == Lesson("03").panel_names(), "every cell after it speaks to the same lesson"
    assert lesson._opened is not None and not hasattr(lesson, "_repr_html_")


@pytest.mark.parametrize("name", ["", "my notes.ipynb", "99-no-such-lesson.ipynb"])
def test_elsewhere_a_missing_first_cell_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    monkeypatch.setenv("JPY_SESSION_NAME", name)
    kernel_start.LessonToCome().predict("dial")
    assert capsys.readouterr().out == f"{kernel_start.FIRST}\n"


def test_opening_a_lesson_again_closes_what_it_showed(work: Path) -> None:
    def shown() -> set[str]:
        return {
            key for key, widget in ipywidgets_registry._instances.items() if isinstance(widget, publishing.FrameWidget)
        }

    before = shown()
    for _ in range(3):
        lesson = open_lesson("01")
        lesson.begin()
        lesson.warm_up()
        lesson.predict("dial")
        assert len(shown() - before) == 1 + len(plan_of("01").warm_up) + 1, (
            "companion, warm-up, prediction, of one run only"
        )
    other = open_lesson("00")
    other.begin()
    assert len(shown() - before) == 2 + len(plan_of("01").warm_up) + 1, "another lesson's stay"
    lesson.close()
    other.close()
    assert shown() == before


def test_all_widgets_share_one_layout(work: Path) -> None:
    one, other = CompanionWidget(lambda what: None), CompanionWidget(lambda what: None)
    assert one.layout is other.layout
    assert issubclass(FormWidget, publishing.FrameWidget)


def test_a_page_loaded_again_is_sent_the_layout_of_its_widgets(work: Path) -> None:
    """Else each of its widgets waits two seconds for what only an earlier page was sent, and fails."""
    lesson, other = open_lesson("01"), open_lesson("00")
    lesson.begin()
    before = publishing._layout()
    again = open_lesson("01")
    assert publishing._layout() is before, "another lesson's widgets stand in it"
    again.close()
    other.close()
    lesson_module._open.clear()
    open_lesson("01").begin()
    before = publishing._layout()
    open_lesson("01").begin()
    assert publishing._layout() is not before and before.comm is None


def test_a_warm_kernel_has_loaded_what_the_lesson_needs_and_draws_no_stills(work: Path) -> None:
    code = (
        "import sys; from steadyneedle.teaching import kernel_start; kernel_start.warm();"
        "from steadyneedle.teaching.frame import publishing as p;"
        "print('steadyneedle.teaching.panels.bands' in sys.modules, 'steadyneedle.teaching.panels.creep' in sys.modules, p._stills_wanted)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True,
                          env={**os.environ, "JPY_SESSION_NAME": "03-specification-bands.ipynb"})  # fmt: skip
    assert done.stdout == "True False False\n", done.stderr


WATCHED = """
import builtins, sys
from pathlib import Path
from steadyneedle.foundation import notebooks
from steadyneedle.teaching import kernel_start

kernel_start.NEEDED.clear()
kernel_start.warm()
asked, plain = set(), builtins.__import__

def watched(name, globals=None, locals=None, fromlist=(), level=0):
    if level == 0 and name.partition(".")[0] in ("scipy", "pandas") and (globals or {}).get("__name__", "").startswith("steadyneedle"):
        asked.update([name] if "." in name else [f"{name}.{one}" for one in fromlist] or [name])
    return plain(name, globals, locals, fromlist, level)

builtins.__import__ = watched
for cell in notebooks.read(Path(sys.argv[1]))["cells"]:
    if cell["cell_type"] == "code":
        exec("".join(cell["source"]), {"lesson": kernel_start.lesson})
print("asked", *sorted(asked))
"""


@pytest.mark.parametrize(
    "path", sorted(places.lessons().glob("0*.ipynb")), ids=lambda path: notebooks.number_of(path.name)
)
def test_a_page_loads_early_what_the_lessons_cells_import(work: Path, path: Path) -> None:
    """What is named and what the cells import inside functions are the same: the list can be neither short nor long."""
    done = subprocess.run([sys.executable, "-c", WATCHED, str(path)], capture_output=True, text=True,
                          env={**os.environ, "JPY_SESSION_NAME": path.name})  # fmt: skip
    said = done.stdout.splitlines()[-1:] or [done.stderr]
    assert said[0].split() == ["asked", *kernel_start.NEEDED.get(notebooks.number_of(path.name), ())], said
