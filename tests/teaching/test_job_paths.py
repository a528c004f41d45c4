"""A class's paths through one job on one picture, from an instructor's folder; the invented class where there is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from few_states import know_little
from steadyneedle.jobs import best_path
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import CONFIDENCES, JobPath, Said
from steadyneedle.jobs.path_file import save_path
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.job_paths import ENDS, Lane, PathsPicture, paths_figure
from steadyneedle.teaching.frame.publishing import size_of
from steadyneedle.teaching.panels import mystery_jobs
from steadyneedle.teaching.panels.mystery_jobs import FOLDER, NAMED, ON_A_PICTURE, files_note, paths_panel


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    know_little(monkeypatch)
    monkeypatch.setattr(best_path, "cheapest", lambda known, findings: None if findings else "tap")
    monkeypatch.setattr(mystery_jobs, "INVENTED_CLASS", 0)
    mystery_jobs._invented.cache_clear()


def sent(folder: Path, number: int, count: int) -> None:
    (folder / FOLDER).mkdir(exist_ok=True)
    for n in range(count):
        said = Said("grit", CONFIDENCES[n // 2 % len(CONFIDENCES)])  # no two do the same
        path = JobPath(number, job(number).design).done("tap", "stays", said)
        path = path.done("listen", "nothing", Said("grit", 25)) if n % 2 else path
        (folder / FOLDER / str(n)).mkdir(exist_ok=True)
        save_path(path.stopped(Said("grit" if n else job(number).hidden.cause, 75)), folder / FOLDER / str(n))


def test_fifteen_paths_on_two_pictures(work: Path) -> None:
    sent(work, 5, 15)
    panel = paths_panel(Preferences())
    first = panel.compute(**panel.start())
    assert first.title == "Job 5: 15 paths, 14 not found, 1 found"
    assert [lane.label for lane in first.lanes] == ["best", *map(str, range(1, ON_A_PICTURE + 1))]
    last = panel.compute(number="5", first=15)
    assert [lane.label for lane in last.lanes][1:] == [str(n) for n in range(6, 16)]
    assert "15: not found, 2 min and 31 in vain, 2 tests" in panel.describe(last) and "Invented" not in panel.describe(
        last
    )
    assert size_of(panel.still())[0] == 860


def test_each_job_has_its_own_picture_and_what_was_left_out_is_said(work: Path) -> None:
    sent(work, 5, 2)
    sent(work, 9, 1)
    (work / FOLDER / "broken.json").write_text("no path", encoding="utf-8")
    panel = paths_panel(Preferences())
    assert panel.controls[0].options == ("5", "9")  # type: ignore[union-attr]
    now = panel.compute(number="9", first=1)
    assert now.title.startswith("Job 9: 1 path") and len(now.lanes) == 2
    assert panel.describe(now).endswith("What is left out, and why, stands above the picture.")
    assert files_note() == (
        f"**3 paths are read from {FOLDER}:** 2 of job 5, 1 of job 9.", "Left out:",
        "- broken.json is no file of a job's path: it is no JSON. Ask for the file once more, as the debrief saved it.",
    )  # fmt: skip


def test_every_file_left_out_is_named_up_to_ten(work: Path) -> None:
    sent(work, 5, 1)
    for n in range(12):
        (work / FOLDER / f"{n:02d}.json").write_text("no path", encoding="utf-8")
    for name in ("copy 1.json", "copy 2.JSON"):
        (work / FOLDER / name).write_bytes((work / FOLDER / "0" / "job-5-path.json").read_bytes())
    head, twice, same, left, *out, more = files_note()
    assert (head, twice, left, more) == (
        f"**1 path is read from {FOLDER}:** 1 of job 5.",
        "There twice:",
        "Left out:",
        "- And 2 more.",
    )
    assert same == "- 0/job-5-path.json, copy 1.json and copy 2.JSON hold the same path; it counts once."
    assert [one[2:9] for one in out] == [f"{n:02d}.json" for n in range(NAMED)]
    assert paths_panel(Preferences()).compute(number="5", first=1).title.startswith("Job 5: 1 path, ")


def test_without_a_folder_there_is_an_invented_class(work: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mystery_jobs, "habits", lambda: {"outside first": ()})
    panel = paths_panel(Preferences())
    said = panel.describe(panel.compute(**panel.start()))
    assert f"Invented: put what your class sends into the folder {FOLDER}" in said and "Job 5: 1 path" in said
    assert files_note() == (
        f"**There is no file in the folder {FOLDER} yet.** So the picture shows an invented class.",
    )
    (work / FOLDER).mkdir()
    (work / FOLDER / "broken.json").write_text("no path", encoding="utf-8")
    assert files_note()[0] == f"**No path is read from {FOLDER}.** So the picture shows an invented class."


def test_lanes_are_labelled_and_read_on_a_wall() -> None:
    """A path of no test, one of many, every way to end: each lane has its label and its word."""
    lanes = tuple(Lane(f"{n}", tuple(4.0 * k for k in range(1, n + 1)), end) for n, end in enumerate(ENDS))
    figure = paths_figure(PathsPicture("Job 12", lanes, 11))
    axes = figure.axes[0]
    words = [text.get_text() for text in axes.texts]
    for lane in lanes:
        assert any(word.startswith(f"{lane.outcome}, ") for word in words)
    assert [tick.get_text() for tick in axes.get_yticklabels()] == [lane.label for lane in lanes]
    assert all(text.get_fontsize() >= 13 for text in axes.texts)
    assert size_of(png_of(figure))[1] == size_of(png_of(paths_figure(PathsPicture("x", lanes[:2], 11))))[1]
