"""Paths through jobs: what their file may hold, what is refused and why, and that reading never runs anything."""

from __future__ import annotations

import dataclasses
import json
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench import diagnosis
from steadyneedle.jobs.path import CONFIDENCES, MOST_STEPS, JobPath, PathError, Said
from steadyneedle.jobs.path_file import KIND, file_name, read_folder, read_path, save_path

PATH = (
    JobPath(12, "Juniper")
    .done("watch_full", "climbs to the stop", Said("seat_nicked", 25))
    .done("tap", "stays", Said("grit", 50), advised=True)
    .stopped(Said("grit", 75))
)


def written(folder: Path, name: str = "job-12-path.json", path: JobPath = PATH, **changed: Any) -> Path:
    file = folder / name
    file.write_text(json.dumps({"kind": KIND, **path.data(), **changed}), encoding="utf-8")
    return file


def test_what_is_saved_is_what_is_read(tmp_path: Path) -> None:
    file = save_path(PATH, tmp_path)
    assert file.name == file_name(PATH) == "job-12-path.json"
    assert read_path(file) == PATH
    assert save_path(PATH, tmp_path) == file and len(list(tmp_path.iterdir())) == 1
    words = file.read_text(encoding="utf-8")
    assert set(json.loads(words)) == {"kind", "job", "design", "replay", "end", "verdict", "because", "fatal", "steps"}


def test_another_file_of_that_name_stays(tmp_path: Path) -> None:
    (tmp_path / "job-12-path.json").write_text("somebody else's", encoding="utf-8")
    (tmp_path / "job-12-path-2.json").symlink_to(tmp_path / "nowhere")
    file = save_path(PATH, tmp_path)
    assert file.name == "job-12-path-3.json" and read_path(file) == PATH
    assert (tmp_path / "job-12-path.json").read_text(encoding="utf-8") == "somebody else's"
    assert not (tmp_path / "nowhere").exists()


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(PathError, match=r"job-12-path\.json cannot be written: .*\. The path is kept\."):
        save_path(PATH, tmp_path / "gone")


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"job": True}, "field 'job' holds another kind"),
        ({"job": 12.0}, "field 'job' holds another kind"),
        ({"job": 0}, "number from 1 to 999999, not 0"),
        ({"replay": 1}, "field 'replay' holds another kind"),
        ({"design": "Willow"}, "Willow"),
        ({"design": "x" * 200}, "longer than 100"),
        ({"steps": {}}, "field 'steps' holds another kind"),
        ({"steps": [3]}, "Of step 1 there should be fields"),
        ({"steps": PATH.data()["steps"] * MOST_STEPS}, "at most 60"),
        ({"end": "won"}, "'won' is no end of a job"),
        ({"end": "critical"}, "needs its test"),
        ({"because": "stop"}, "Only a critical failure"),
        ({"verdict": {"cause": "", "confidence": 0}}, "names no cause"),
        ({"verdict": {"cause": "grit", "confidence": 63}}, "5, 10, 25, 50, 75, 90, 95, 99 per cent"),
        ({"verdict": {"cause": "grit", "confidence": True}}, "'confidence' holds another kind"),
        ({"verdict": {"cause": "grit"}}, "'confidence' is missing"),
        ({"verdict": {"cause": "rabies", "confidence": 50}}, "Juniper has no cause 'rabies'; it has sound"),
        ({"person": "A. Trainee"}, "a field 'person' that no path has"),
    ],
)  # fmt: skip
def test_each_refusal_says_why(tmp_path: Path, changed: dict[str, Any], why: str) -> None:
    with pytest.raises(PathError, match=why) as refused:
        read_path(written(tmp_path, **changed))
    assert str(refused.value).endswith(".") and "\n" not in str(refused.value)


def test_tests_and_outcomes_of_the_design_alone(tmp_path: Path) -> None:
    rim = JobPath(12, "Alder").done("soap_rim", "nothing", Said("grit", 50)).stopped(Said("grit", 50))
    with pytest.raises(PathError, match=r"Alder has no test 'soap_rim'; it has watch_full"):
        read_path(written(tmp_path, path=rim))
    odd = JobPath(12, "Alder").done("tap", "sings", Said("grit", 50)).stopped(Said("grit", 50))
    with pytest.raises(PathError, match=r"'tap' never shows 'sings'; it shows stays, jumps"):
        read_path(written(tmp_path, path=odd))


def test_doubled_names_other_numbers_and_other_files(tmp_path: Path) -> None:
    file = written(tmp_path)
    twice = file.read_text(encoding="utf-8").replace('"job": 12', '"job": 12, "job": 12')
    file.write_text(twice, encoding="utf-8")
    with pytest.raises(PathError, match="a name twice"):
        read_path(file)
    with pytest.raises(PathError, match="its name says job 7, and it holds job 12"):
        read_path(written(tmp_path, "job-7-path (1).json"))
    assert read_path(written(tmp_path, "from the back row.json")) == PATH
    for name, words, why in (
        ("a.json", "not json", "no JSON"), ("b.json", "[]", "does not say so"), ("c.json", '{"kind": "x"}', "does not say so"),
        ("d.json", '{"kind": NaN}', "which no path does"), ("e.json", "\x00\x01\x02" * 50, "no text file"),
        ("f.json", "[" * 90_000, "no JSON"), ("g.json", "1" * 200_000, "200 kB; at most 100 kB are read"),
    ):  # fmt: skip
        (tmp_path / name).write_text(words, encoding="utf-8")
        with pytest.raises(PathError, match=why):
            read_path(tmp_path / name)
    (tmp_path / "link.json").symlink_to(file)
    with pytest.raises(PathError, match="is a link"):
        read_path(tmp_path / "link.json")


def test_a_folder_is_read_as_far_as_it_can_be(tmp_path: Path) -> None:
    (tmp_path / "row 1").mkdir()
    save_path(PATH, tmp_path)
    other = PATH.done("listen", "nothing", Said("grit", 75))
    save_path(other, tmp_path / "row 1")
    written(tmp_path, "half.json", JobPath(12, "Juniper"))
    (tmp_path / "notes.json").write_text("{}", encoding="utf-8")
    (tmp_path / "run.py").write_text("raise SystemExit", encoding="utf-8")
    found = read_folder(tmp_path)
    assert found.paths == (PATH, other) and found.numbers == (12,) and not found.same
    assert [note.split()[0] for note in found.notes] == ["half.json", "notes.json"]
    assert "has not ended" in found.notes[0]
    assert (
        found.notes[1]
        == "notes.json is no file of a job's path: it does not say so. Ask for the file once more, as the debrief saved it."
    )


def test_copies_count_once_and_are_named(tmp_path: Path) -> None:
    (tmp_path / "row 1").mkdir()
    for name in ("01.json", "02.json", "row 1/job-12-path.json"):
        written(tmp_path, name)
    replay = dataclasses.replace(PATH, replay=True)
    written(tmp_path, "03.json", replay)
    found = read_folder(tmp_path)
    assert found.paths == (PATH, replay) and not found.notes
    assert found.same == ("01.json, 02.json and row 1/job-12-path.json hold the same path; it counts once.",)


def test_names_that_mail_and_windows_make(tmp_path: Path) -> None:
    """Each is read, whatever was hung on it; what cannot be read says so, and hidden files of a Mac do no harm."""
    names = (
        "A.JSON",
        "job-12-path.json.txt",
        "JOB-12-PATH (1).JSON",
        "x/job-12-path.Json.TXT",
        "x/job-12-path.json.json",
    )
    (tmp_path / "x").mkdir()
    (tmp_path / "__MACOSX").mkdir()
    for n, name in enumerate(names):
        written(tmp_path, name, JobPath(12, "Juniper").stopped(Said("grit", CONFIDENCES[n])))
    for hidden in ("._job-12-path.json", "__MACOSX/job-12-path.json"):
        (tmp_path / hidden).write_bytes(b"\x00\x05")
    found = read_folder(tmp_path)
    assert sorted(path.verdict.confidence for path in found.paths) == [*CONFIDENCES[:5]] and not found.notes
    (tmp_path / "job-12-path.zip").write_bytes(b"PK")
    (tmp_path / "x" / "y").mkdir()
    written(tmp_path, "x/y/job-12-path.json")
    assert read_folder(tmp_path).paths == found.paths
    assert [note.split(":")[0] for note in read_folder(tmp_path).notes] == [
        "job-12-path.zip is left out",
        "x/y lies too deep",
    ]
    with pytest.raises(PathError, match="its name says job 7"):
        read_path(written(tmp_path, "JOB-7-PATH.JSON"))


def test_each_file_left_out_is_named_with_its_folder_and_what_to_do(tmp_path: Path) -> None:
    for n in range(4):
        (tmp_path / f"row {n}").mkdir()
        (tmp_path / f"row {n}" / "job-12-path.json").write_text(("no path", "{}", "[1]", "")[n], encoding="utf-8")
    written(tmp_path, "job-7-path.json")
    notes = read_folder(tmp_path).notes
    assert [note.split("-path.json ")[0] for note in notes] == ["job-7", *(f"row {n}/job-12" for n in range(4))]
    assert notes[0].endswith(" Rename it.") and all("Ask for the file once more" in note for note in notes[1:])


TRUE = JobPath(1, "Juniper").done("watch_full", "creeps fast", Said("grit", 50)).done("tap", "stays", Said("grit", 75))
"""What job 1 shows."""


@pytest.mark.parametrize(
    ("path", "why"),
    [
        (JobPath(1, "Hazel").stopped(Said("grit", 99)), "Job 1 is a Juniper, and the path tells of a Hazel"),
        (TRUE.done("tap", "jumps", Said("grit", 75)).stopped(Said("grit", 99)), r"test 3 \(tap\) shows 'stays', and the path says 'jumps'"),
        (TRUE.failed("watch_full", "stop", Said("grit", 75)), "the needle is not at the stop in 'watch_full'"),
        (TRUE.failed("tap", "relief", Said("grit", 75)), "Nobody fits a relief valve for 'tap'"),
    ],
)  # fmt: skip
def test_what_cannot_have_happened_is_left_out(tmp_path: Path, path: JobPath, why: str) -> None:
    """A test of a job shows one thing at its turn, on every machine: a path that says otherwise is not in the picture."""
    save_path(path, tmp_path)
    found = read_folder(tmp_path)
    assert found.paths == () and len(found.notes) == 1
    assert re.match(rf"job-1-path.json is left out. .*{why}.*another version of this workbook\. Ask", found.notes[0])


def test_what_happened_is_in_the_picture(tmp_path: Path) -> None:
    ended = TRUE.stopped(Said("seat_nicked", 75))
    save_path(ended, tmp_path)
    save_path(TRUE.failed("blank", "relief", Said("grit", 75)), tmp_path)
    stopped = JobPath(9, "Juniper").failed("watch_full", "stop", Said("grit", 75))
    save_path(stopped, tmp_path)
    assert set(read_folder(tmp_path).paths) == {ended, TRUE.failed("blank", "relief", Said("grit", 75)), stopped}


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=10), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=60)
@given(st.sampled_from([*PATH.data(), "kind"]), json_values)
def test_whatever_stands_in_a_field_is_a_path_or_a_sentence(field: str, value: Any) -> None:
    data = {**PATH.data(), field: value}
    try:
        assert JobPath.of(data).data() == data
    except PathError as error:
        assert str(error).endswith(".")


def test_the_list_of_tests_is_shorter_than_what_is_kept() -> None:
    assert all(len(diagnosis.tests(design)) < MOST_STEPS for design in ("Alder", "Rowan", "Hazel", "Juniper", "Linden"))
