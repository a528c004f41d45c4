"""A class's paths through one job on one picture, from an instructor's folder; the invented class where there is none."""

from __future__ import annotations

import itertools
from pathlib import Path
from types import SimpleNamespace

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from few_states import know_little
from steadyneedle.jobs import best_path, debrief
from steadyneedle.jobs.bill import spent, total
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import CONFIDENCES, JobPath, Said
from steadyneedle.jobs.path_file import save_path
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching import look
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.job_paths import ENDS, NOT_SHOWN, Lane, PathsPicture, paths_figure
from steadyneedle.teaching.frame.publishing import size_of
from steadyneedle.teaching.learner.job_debrief import lane_of
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
    assert first.title == "Job 5: 15 paths; 14 not found; 1 named, not shown", "after one tap nobody knows the cause"
    assert [lane.label for lane in first.lanes] == ["the advice", *map(str, range(1, ON_A_PICTURE + 1))]
    last = panel.compute(number="5", first=15)
    assert [lane.label for lane in last.lanes][1:] == [str(n) for n in range(8, 16)]
    assert "15: not found, 2 min and 31 in vain, 0 shells, 2 tests, never opened" in panel.describe(
        last
    ) and "Invented" not in panel.describe(last)
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
    assert paths_panel(Preferences()).compute(number="5", first=1).title.startswith("Job 5: 1 path; ")


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


def test_a_cause_that_was_named_is_found_once_the_findings_show_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """At least to one half, as it is printed, however sure somebody was."""
    for chance, said, shown in (
        (0.2, 25, False), (0.49, 5, False), (0.497, 50, True), (0.82, 90, True), (0.82, 95, True), (0.999, 99, True),
    ):  # fmt: skip
        debrief.is_shown.cache_clear()
        monkeypatch.setattr(
            debrief, "computed", lambda number, findings, of=chance: SimpleNamespace(by_cause={"grit": of})
        )
        path = JobPath(5, job(5).design).stopped(Said("grit", said))
        assert lane_of("1", path, "found").outcome == ("found" if shown else NOT_SHOWN), (chance, said)
        for other in ("part found", "not found", "critical"):
            assert lane_of("1", path, other).outcome == other
    debrief.is_shown.cache_clear()


def test_a_lane_tells_when_the_stage_was_opened_and_what_the_tests_cost() -> None:
    path = JobPath(5, job(5).design)
    for test in ("tap", "look_seat", "look_edge", "watch_full", "look_seat"):
        path = path.done(test, "stays", Said("grit", 50))
    lane = lane_of("1", path.stopped(Said("grit", 50)), "not found")
    assert lane.opened == lane.minutes[1] == spent(path.tests)[1].minutes, "the first time, not the second"
    assert lane.money == total(path.tests).money > 0
    closed = lane_of("1", JobPath(5, path.design).done("tap", "stays", Said()).stopped(Said("grit", 50)), "not found")
    assert closed.opened is None and closed.money == 0


def test_lanes_are_read_on_a_wall() -> None:
    """A path of no test, one of many, every way to end: each has label, word, minutes, money and opening, none cut."""
    lanes = tuple(
        Lane(
            f"{n} again",
            tuple(4.0 * k for k in range(1, 9 * n + 1)),
            end,
            False,
            40.0 * n,
            6.0 * n,
            36.0 if n else None,
        )
        for n, end in enumerate(ENDS)
    )
    figure = paths_figure(PathsPicture("Job 12", lanes, ON_A_PICTURE + 1))
    axes = figure.axes[0]
    words = [text.get_text() for text in axes.texts]
    assert words[:4] == ["ended", "min", "shells", "\u25bd opened"]
    for n, lane in enumerate(lanes):
        minutes = f"{36 * n} + {40 * n}" if n else "0"
        assert words[4 * n + 4 : 4 * n + 8] == [lane.outcome, minutes, f"{6 * n}", "36 min" if n else "never"]
    assert [tick.get_text() for tick in axes.get_yticklabels()] == [lane.label for lane in lanes]
    assert all(text.get_fontsize() >= look.TYPE for text in (*axes.texts, *figure.texts))
    FigureCanvasAgg(figure).draw()
    boxes = [text.get_window_extent() for text in (*axes.texts, *axes.get_yticklabels(), *figure.texts)]
    assert all(box.x0 >= 0 and box.x1 <= look.WIDTH for box in boxes), "nothing is cut off"
    assert not [
        (one, other) for one, other in itertools.combinations(boxes, 2)
        if one.x0 < other.x1 and other.x0 < one.x1 and one.y0 < other.y1 - 3 and other.y0 < one.y1 - 3
    ], "no word lies on another"  # fmt: skip
    shapes = {line.get_marker() for line in axes.lines} - {"", "|", "None"}
    assert shapes == {"o", "D", "X", "s", "v"}, "each has a shape, not a colour alone"
    assert (
        size_of(png_of(figure))[1] == size_of(png_of(paths_figure(PathsPicture("x", lanes[:2], ON_A_PICTURE + 1))))[1]
    )
    assert size_of(png_of(figure))[1] <= look.HEIGHT, "a wall shows it whole"
