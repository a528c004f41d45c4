"""A working copy: what the learner wrote is never lost, everything else is brought up to date."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import pytest

from steadyneedle import workplace
from steadyneedle.foundation import notebooks
from steadyneedle.foundation.notebooks import VIEW
from steadyneedle.teaching.learner.bookmark import Bookmark
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.workplace import Change, Left, WorkplaceError, left_at, update_copy

DAY = datetime.date(2026, 3, 4)


def lesson(path: Path, text: str, output: dict | None = None) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    outputs = [{"output_type": "display_data", "metadata": {}, "data": output}] if output else []
    cells = [
        {"cell_type": "markdown", "id": "a", "metadata": {}, "source": text},
        {"cell_type": "code", "id": "b", "metadata": {}, "source": "x", "outputs": outputs, "execution_count": 1},
    ]
    path.write_text(json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}), encoding="utf-8")


def said(path: Path) -> str:
    return notebooks.source_of(notebooks.read(path)["cells"][0])


@pytest.fixture
def shipped(tmp_path: Path) -> Path:
    lesson(tmp_path / "shipped" / "00.ipynb", "zero")
    lesson(tmp_path / "shipped" / "01.ipynb", "one")
    lesson(tmp_path / "shipped" / "instructor" / "01.ipynb", "secret")
    return tmp_path / "shipped"


def test_first_time_everything_is_new(tmp_path: Path, shipped: Path) -> None:
    changes = update_copy(tmp_path / "work", shipped, DAY)
    assert changes == [Change("00.ipynb", "new"), Change("01.ipynb", "new")]
    assert update_copy(tmp_path / "work", shipped, DAY) == []
    assert json.loads((tmp_path / "work" / "my-work.json").read_text(encoding="utf-8")) == {"version": 1}


def test_instructor_pages_come_only_when_asked(tmp_path: Path, shipped: Path) -> None:
    update_copy(tmp_path / "work", shipped, DAY)
    assert not (tmp_path / "work" / "instructor").exists()
    assert update_copy(tmp_path / "work", shipped, DAY, instructor=True) == [Change("instructor/01.ipynb", "new")]


def test_an_unchanged_lesson_is_replaced(tmp_path: Path, shipped: Path) -> None:
    update_copy(tmp_path / "work", shipped, DAY)
    lesson(tmp_path / "work" / "01.ipynb", "one", {"text/plain": "run by the learner"})
    lesson(shipped / "01.ipynb", "one, mended")
    assert update_copy(tmp_path / "work", shipped, DAY) == [Change("01.ipynb", "updated")]
    assert said(tmp_path / "work" / "01.ipynb") == "one, mended"
    assert len(list((tmp_path / "work").glob("*.ipynb"))) == 2


def test_a_changed_lesson_is_theirs(tmp_path: Path, shipped: Path) -> None:
    work = tmp_path / "work"
    update_copy(work, shipped, DAY)
    lesson(work / "01.ipynb", "one, with my notes")
    assert update_copy(work, shipped, DAY) == [], "no update, nothing touched"
    assert said(work / "01.ipynb") == "one, with my notes"
    lesson(shipped / "01.ipynb", "one, mended")
    kept = "01 (yours, 2026-03-04).ipynb"
    assert update_copy(work, shipped, DAY) == [
        Change("01.ipynb", f"updated; yours, which you changed, is kept as {kept}")
    ]
    assert said(work / kept) == "one, with my notes" and said(work / "01.ipynb") == "one, mended"
    lesson(work / "01.ipynb", "more notes")
    lesson(shipped / "01.ipynb", "mended again")
    update_copy(work, shipped, DAY)
    assert said(work / "01 (yours, 2026-03-04, 2).ipynb") == "more notes"


def test_a_lesson_laid_before_anybody_kept_count_is_theirs(tmp_path: Path, shipped: Path) -> None:
    lesson(tmp_path / "work" / "01.ipynb", "somebody's")
    update_copy(tmp_path / "work", shipped, DAY)
    assert said(tmp_path / "work" / "01 (yours, 2026-03-04).ipynb") == "somebody's"


def test_damaged_and_missing_lessons_are_laid_again(tmp_path: Path, shipped: Path) -> None:
    work = tmp_path / "work"
    update_copy(work, shipped, DAY)
    (work / "00.ipynb").unlink()
    (work / "01.ipynb").write_text("{", encoding="utf-8")
    changes = update_copy(work, shipped, DAY)
    assert changes[0] == Change("00.ipynb", "was missing, laid again")
    assert (
        "could not be read" in changes[1].what
        and (work / "01 (yours, 2026-03-04).ipynb").read_text(encoding="utf-8") == "{"
    )


def test_widget_views_are_cleaned_from_the_copy(tmp_path: Path, shipped: Path) -> None:
    work = tmp_path / "work"
    update_copy(work, shipped, DAY)
    lesson(work / "01.ipynb", "one, with my notes", {VIEW: {"model_id": "gone"}, "image/png": "AA=="})
    update_copy(work, shipped, DAY)
    assert notebooks.read(work / "01.ipynb")["cells"][1]["outputs"][0]["data"] == {"image/png": "AA=="}


def test_a_broken_list_of_what_was_delivered_breaks_nothing(tmp_path: Path, shipped: Path) -> None:
    work = tmp_path / "work"
    update_copy(work, shipped, DAY)
    (work / workplace.HIDDEN / "lessons.json").write_text("nonsense", encoding="utf-8")
    assert update_copy(work, shipped, DAY) == []


def test_a_file_where_the_folder_should_be_is_said(tmp_path: Path, shipped: Path) -> None:
    (tmp_path / "work").write_text("", encoding="utf-8")
    with pytest.raises(WorkplaceError, match="Name another folder"):
        update_copy(tmp_path / "work", shipped, DAY)


def test_a_copy_with_the_shipped_sources_gets_the_shipped_metadata(tmp_path: Path, shipped: Path) -> None:
    """Somebody whose lessons are of an older workbook: same words, no mark, no locks, outputs of their own."""
    work = tmp_path / "work"
    update_copy(work, shipped, DAY)
    lesson(work / "01.ipynb", "one", {"text/plain": "run by the learner"})
    book = notebooks.read(shipped / "01.ipynb")
    marked = notebooks.freshly_run(book, notebooks.mark_of(shipped / "01.ipynb"))
    (shipped / "01.ipynb").write_text(notebooks.as_text(marked), encoding="utf-8")
    assert update_copy(work, shipped, DAY) == [], "nothing a learner wants to know"
    assert (work / "01.ipynb").read_bytes() == (shipped / "01.ipynb").read_bytes()
    assert marked["metadata"]["steadyneedle"] == {"lesson": "01"}
    assert all(cell["metadata"]["deletable"] is cell["metadata"]["editable"] is False for cell in marked["cells"])


def test_a_lesson_is_opened_where_it_was_left(tmp_path: Path) -> None:
    assert left_at(tmp_path) == Left("00-start-here.ipynb", "light")
    Bookmark(Progress(tmp_path), "03").keep({"cell": "x", "offset": 10, "ground": "dark"})
    assert left_at(tmp_path) == Left("03-specification-bands.ipynb", "dark")
    Bookmark(Progress(tmp_path), "77").keep({})
    assert left_at(tmp_path).lesson == "00-start-here.ipynb", "no such lesson"
    (tmp_path / "my-work.json").write_text('{"version": 1, "page": {"lesson": [], "ground": 4}}', encoding="utf-8")
    wrong = "my-work.json cannot all be read: page, lesson; page, ground"
    assert left_at(tmp_path) == Left("00-start-here.ipynb", "light", wrong)


@pytest.mark.parametrize("damage", ["half", "a comma"])
def test_damaged_work_is_left_for_the_lesson_to_find_and_to_name(tmp_path: Path, damage: str) -> None:
    file, kept = tmp_path / "my-work.json", Path(__file__).parent / "teaching" / "data" / "my-work-0.1.0.json"
    text = kept.read_text(encoding="utf-8")
    file.write_text(text[: len(text) // 2] if damage == "half" else text.rstrip()[:-1] + ",}", encoding="utf-8")
    before = file.read_bytes()
    update_copy(tmp_path)
    left = left_at(tmp_path)
    assert (left.lesson, left.wrong) == (
        "00-start-here.ipynb",
        "my-work.json cannot all be read: it is no JSON with names in it",
    )
    assert file.read_bytes() == before and len(list(tmp_path.glob("my-work*"))) == 1
    assert "Your earlier work could not be read. It is kept as my-work.damaged-" in Progress(tmp_path).trouble()


def test_the_workbooks_own_lessons_are_never_worked_in(shipped: Path) -> None:
    for folder in (shipped, shipped / "below"):
        with pytest.raises(WorkplaceError, match="holds the workbook's own lessons"):
            update_copy(folder, shipped, DAY)
    assert not (shipped / workplace.HIDDEN).exists()


def test_a_folder_in_the_place_of_the_lock_is_named(tmp_path: Path) -> None:
    (tmp_path / ".my-work.json.lock").mkdir()
    with pytest.raises(WorkplaceError, match=r"\.my-work\.json\.lock is no file\. Remove it, or give it another name"):
        update_copy(tmp_path)
