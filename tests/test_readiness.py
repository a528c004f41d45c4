"""`ready` sees what a stopped set-up, a failing disk or another program left behind, and changes nothing."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import subprocess
import sys
import tempfile
from importlib import metadata
from pathlib import Path

import nbformat
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from steadyneedle import readiness
from steadyneedle.foundation.notebooks import read_own, source_digest
from steadyneedle.foundation.whole_files import changed_files
from steadyneedle.readiness import Finding
from steadyneedle.teaching.learner.progress import FILE, Progress
from steadyneedle.workplace import update_copy

KEPT = Path(__file__).parent / "teaching" / "data" / "my-work-0.1.0.json"


@pytest.fixture
def package(tmp_path: Path) -> metadata.Distribution:
    """A package laid as pip lays one: record with digests as the Python Packaging User Guide has them."""
    place = tmp_path / "site"
    info = place / "needle-1.0.dist-info"
    info.mkdir(parents=True)
    contents = {
        "needle/__init__.py": b"x = 1\n", "needle/dial.py": b"y = 2\n", "needle-1.0.dist-info/INSTALLER": b"pip\n",
        "needle-1.0.dist-info/METADATA": b"Metadata-Version: 2.1\nName: needle\nVersion: 1.0\n",
    }  # fmt: skip
    rows = ["needle-1.0.dist-info/RECORD,,", "needle/__pycache__/dial.pyc,,"]
    for name, data in contents.items():
        (place / name).parent.mkdir(exist_ok=True)
        (place / name).write_bytes(data)
        digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
        rows.append(f"{name},sha256={digest},{len(data)}")
    (info / "RECORD").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return metadata.Distribution.at(info)


def test_a_package_is_held_against_its_own_record(package: metadata.Distribution) -> None:
    place = Path(str(package.locate_file("needle")))
    assert changed_files(package) == []
    (place / "dial.py").write_bytes(b"y = 3\n")
    assert changed_files(package) == ["needle/dial.py"], "as long as before, with another digest"
    (place / "dial.py").unlink()
    (place / "__init__.py").write_bytes(b"")
    assert changed_files(package) == ["needle/__init__.py", "needle/dial.py"]
    Path(str(package.locate_file("needle-1.0.dist-info/RECORD"))).unlink()
    assert changed_files(package) == ["RECORD"]


def test_ready_names_a_damaged_package_and_what_mends_it(
    package: metadata.Distribution, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(readiness.sys, "path", [str(tmp_path / "site")])
    monkeypatch.setattr(readiness.sys, "prefix", str(tmp_path))
    assert list(readiness._whole()) == [Finding(True, "all files of 1 packages are as they were laid")]
    Path(str(package.locate_file("needle/dial.py"))).unlink()
    (finding,) = readiness._whole()
    assert not finding.good and finding.what == "needle is damaged: needle/dial.py missing or changed"
    assert finding.mend.endswith('-m pip install --force-reinstall --no-deps "needle==1.0"')


def test_ready_looks_at_jupyterlabs_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert readiness._page().good, "the page of this environment"
    monkeypatch.setattr(readiness.sys, "prefix", str(tmp_path))
    static = tmp_path / "share" / "jupyter" / "lab" / "static"
    static.mkdir(parents=True)
    assert readiness._page().what == "JupyterLab's page is missing"
    script = '<script defer="defer" src="{{page_config.fullStaticUrl}}/main.ab12.js?v=ab12"></script>'
    (static / "index.html").write_text(script, encoding="utf-8")
    assert readiness._page().what == "JupyterLab's page is not whole: missing main.ab12.js"
    (static / "main.ab12.js").write_text("", encoding="utf-8")
    assert readiness._page().good


def of_folder(folder: Path) -> list[Finding]:
    return [*readiness._kept_work(folder), *readiness._lessons(folder)]


def test_ready_looks_at_the_learners_file_and_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(KEPT.read_bytes())
    assert of_folder(tmp_path) == [Finding(True, f"{FILE} can be read", f"steadyneedle study {tmp_path}")]
    for data, words in (
        (b"{", "cannot all be read: it is no JSON"),
        (b'{"version": 1, "a": NaN}', "cannot all be read: a number"),
        (b'{"version": 1, "choices": {"first": 7}}', "choices, first"),
        (
            b'{"version": 1, "lessons": {"01": {"exercises": {"x": {"attempt": "y"}}}}}',
            "lesson 01, exercises, x, attempt",
        ),
        (b'{"version": 99}', "was written by a newer Steady Needle"),
    ):
        (tmp_path / FILE).write_bytes(data)
        (finding,) = of_folder(tmp_path)
        assert not finding.good and words in finding.what
        assert sorted(path.name for path in tmp_path.iterdir()) == [FILE] and (tmp_path / FILE).read_bytes() == data


def test_ready_looks_at_the_lessons_of_a_working_copy(tmp_path: Path) -> None:
    update_copy(tmp_path)
    assert of_folder(tmp_path)[-1].what.endswith("lessons can be read")
    names = sorted(path.name for path in tmp_path.glob("*.ipynb"))
    (tmp_path / names[0]).write_text('{"cells": [1, 2]}', encoding="utf-8")
    (tmp_path / names[1]).unlink()
    (tmp_path / names[1]).mkdir()
    wrong = [finding.what for finding in of_folder(tmp_path) if not finding.good]
    assert wrong[0].startswith(f"{names[0]} is damaged: not all of its cells are cells. It will be kept")
    assert wrong[1].startswith(f"{names[1]} is no file of its own: a link, a pipe or a folder.")
    said = {change.lesson: change.what for change in update_copy(tmp_path)}
    assert all("could not be read; it is kept as" in said[name] for name in names[:2])
    assert all(finding.good for finding in of_folder(tmp_path))


def test_a_lesson_of_gigabytes_is_kept_and_a_fresh_one_laid(tmp_path: Path) -> None:
    update_copy(tmp_path)
    name = next(path.name for path in sorted(tmp_path.glob("*.ipynb")))
    with (tmp_path / name).open("wb") as file:
        file.truncate(10**10)
    (change,) = update_copy(tmp_path)
    assert "could not be read; it is kept as" in change.what and (tmp_path / name).stat().st_size < 10**6


@pytest.mark.parametrize(
    "change",
    [
        {"nbformat": 99},
        {"nbformat": "4"},
        {"nbformat_minor": None},
        {"cells": [{"cell_type": "code", "source": "mine", "outputs": [], "execution_count": None}]},
        {"cells": [{"cell_type": "code", "source": "", "metadata": {}, "outputs": [{"data": []}]}]},
        {"cells": [{"cell_type": 1, "source": "", "metadata": {}}]},
    ],
    ids=str,
)
def test_a_lesson_that_jupyter_cannot_open_is_kept_and_a_fresh_one_laid(tmp_path: Path, change: dict) -> None:
    update_copy(tmp_path)
    name = next(path.name for path in sorted(tmp_path.glob("*.ipynb")))
    book = {**json.loads((tmp_path / name).read_text(encoding="utf-8")), **change}
    (tmp_path / name).write_text(json.dumps(book), encoding="utf-8")
    (said,) = update_copy(tmp_path)
    assert "could not be read; it is kept as" in said.what
    assert nbformat.reads((tmp_path / name).read_text(encoding="utf-8"), as_version=4).cells


@pytest.mark.skipif(os.name != "posix", reason="pipes and links of a POSIX system")
def test_a_working_copy_is_never_written_through_a_link(tmp_path: Path) -> None:
    folder, other = tmp_path / "work", tmp_path / "other"
    update_copy(folder)
    names = sorted(path.name for path in folder.glob("*.ipynb"))
    other.mkdir()
    (folder / names[0]).rename(other / "mine.ipynb")
    (folder / names[0]).symlink_to(other / "mine.ipynb")
    (folder / names[1]).unlink()
    os.mkfifo(folder / names[1])
    before = (other / "mine.ipynb").read_bytes()
    said = {change.lesson: change.what for change in update_copy(folder)}
    assert all("it is kept as" in said[name] for name in names[:2]), "no link followed, no pipe waited for"
    assert (other / "mine.ipynb").read_bytes() == before and not (folder / names[0]).is_symlink()
    for inner in (".steady-needle", "instructor"):
        (tmp_path / inner).mkdir()
        (tmp_path / inner / "link").symlink_to(other)
        (tmp_path / inner / "link").rename(tmp_path / inner / inner)
        with pytest.raises(Exception, match="is a link: nothing is written through it"):
            update_copy(tmp_path / inner, instructor=True)
    assert sorted(path.name for path in other.iterdir()) == ["mine.ipynb"]


def test_a_folder_moved_to_another_laptop_opens_as_it_was(tmp_path: Path) -> None:
    """Nothing in a working copy names the folder or the machine: moved, it is the same to the last byte."""
    first, second = tmp_path / "here", tmp_path / "there"
    update_copy(first)
    with Progress(first).change("lessons", "01") as entry:
        entry["typed"] = "9,8 bar"
    files = {path.relative_to(first): path for path in sorted(first.rglob("*")) if path.is_file()}
    assert not any(str(tmp_path).encode() in path.read_bytes() for path in files.values())
    content = {name: path.read_bytes() for name, path in files.items()}
    first.rename(second)
    assert update_copy(second) == []
    assert {name: (second / name).read_bytes() for name in content} == content
    assert Progress(second).entry("lessons", "01") == {"typed": "9,8 bar"}


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=4,
)
cells = st.fixed_dictionaries(
    {"cell_type": st.just("code")},
    optional={"source": anything | st.lists(st.text(max_size=6), max_size=3), "metadata": anything,
              "outputs": anything | st.lists(st.fixed_dictionaries({"data": anything}), max_size=2)},
)  # fmt: skip
books = st.fixed_dictionaries(
    {"cells": st.lists(cells, min_size=1, max_size=3) | anything}, optional={"metadata": anything, "nbformat": anything}
)
lesson_files = books.map(lambda value: json.dumps(value).encode()) | st.binary(max_size=100)


def open_twice(data: bytes) -> None:
    """A working copy with that lesson opens; the lesson is read or kept to the last byte; then nothing is new."""
    in_memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None  # not the disk is tried here
    with tempfile.TemporaryDirectory(dir=in_memory) as name:
        folder, shipped = Path(name) / "work", Path(name) / "shipped"
        shipped.mkdir()
        (shipped / "00.ipynb").write_text('{"cells": [], "metadata": {}}', encoding="utf-8")
        folder.mkdir()
        (folder / "00.ipynb").write_bytes(data)
        update_copy(folder, shipped)
        kept = [path.read_bytes() for path in folder.glob("00 (yours*).ipynb")]
        read = read_own(folder / "00.ipynb")
        same = not kept and source_digest(read) == source_digest(json.loads(data.decode("utf-8-sig")))
        assert kept == [data] or same, "kept as it was, or all that a person wrote is still there"
        assert update_copy(folder, shipped) == []


@settings(max_examples=100)
@given(lesson_files)
@example(b'{"cells": [1, 2]}')
@example(b'{"cells": [{"source": null}]}')
@example(b'{"cells": [{"source": "\\ud800", "cell_type": "code"}]}')
@example(b'{"cells": [{"source": "x", "outputs": [7]}]}')
@example(b'{"cells": [{"source": "x", "outputs": [{"data": []}]}], "metadata": []}')
@example(b'{"cells": [{"source": "x", "cell_type": "code"}], "metadata": {}}')
@example(b'{"cells": [], "nbformat": 99}')
@example(b'{"cells": [], "nbformat": 4, "nbformat_minor": "5"}')
@example(b"[" * 100_000)
@example(b'\xef\xbb\xbf{"cells": []}')
def test_any_lesson_is_read_or_kept(data: bytes) -> None:
    open_twice(data)


@pytest.mark.long
@settings(max_examples=4000)
@given(lesson_files)
def test_four_thousand_lessons(data: bytes) -> None:
    open_twice(data)


@pytest.mark.parametrize(
    ("package", "words"), [("click", ["--version"]), ("numpy", ["ready"]), ("filelock", ["ready"])]
)
def test_a_package_of_which_a_part_is_gone_is_said_in_one_sentence(
    tmp_path: Path, package: str, words: list[str]
) -> None:
    """An empty package stands before the real one, as a disk that failed leaves it."""
    (tmp_path / package).mkdir()
    (tmp_path / package / "__init__.py").write_text("", encoding="utf-8")
    (tmp_path / FILE).write_bytes(KEPT.read_bytes())
    path = os.pathsep.join([str(tmp_path), str(Path(readiness.__file__).parent.parent)])
    command = [sys.executable, "-P", "-m", "steadyneedle.cli", *words, *([str(tmp_path)] if words == ["ready"] else [])]
    done = subprocess.run(command, capture_output=True, text=True, env={**os.environ, "PYTHONPATH": path}, check=False)
    assert done.returncode == 1 and "Traceback" not in done.stderr, done.stderr
    assert "damaged" in done.stdout + done.stderr or "not whole" in done.stderr
