"""`steadyneedle refresh`: a dataset goes stale with any of its inputs and with nothing else; bad use is a sentence."""

from __future__ import annotations

import ast
import csv
import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.cli import main
from steadyneedle.foundation import datasets, notebooks, places
from steadyneedle.foundation.datasets import Computed, DatasetError
from steadyneedle.refresh import computed, inputs, lessons
from steadyneedle.refresh.computed import COMPUTED

every_dataset = pytest.mark.parametrize("name", COMPUTED)
MODULES = sorted({one.module for one in COMPUTED.values()})
every_module = pytest.mark.parametrize("module", MODULES)


@pytest.fixture(scope="session")
def fresh_house(tmp_path_factory: pytest.TempPathFactory, root: Path) -> Path:
    """A copy of what `refresh` needs of the repository, its datasets noted as fresh: once, for it takes seconds."""
    folder = tmp_path_factory.mktemp("fresh") / "house"
    for part in ("helpers", "datasets"):
        shutil.copytree(root / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(root / "pyproject.toml", folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(places, "PACKAGE", folder / "helpers" / "steadyneedle")
        for name in COMPUTED:
            computed._keep(name)
    return folder


@pytest.fixture
def house(tmp_path: Path, fresh_house: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Another copy of it; this process reads and writes there."""
    shutil.copytree(fresh_house, tmp_path, dirs_exist_ok=True)
    monkeypatch.setattr(places, "PACKAGE", tmp_path / "helpers" / "steadyneedle")
    return tmp_path


def words(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[Any, str]:
    """Exit status and what is said."""
    with pytest.raises(SystemExit) as leaving:
        main(["refresh", *arguments])
    said = capsys.readouterr()
    assert said.out == ""
    return leaving.value.code, said.err


def in_the(house: Path, *arguments: str, path: Path | None = None) -> subprocess.Popen[str]:
    """The command as a person runs it in that copy."""
    found = os.pathsep.join(str(one) for one in (path, house / "helpers") if one)
    plain = {name: value for name, value in os.environ.items() if name != "PYTHONWARNINGS"}  # as nobody else has it
    return subprocess.Popen(
        [sys.executable, "-m", "steadyneedle.cli", "refresh", *arguments],
        stderr=subprocess.PIPE, text=True, env={**plain, "PYTHONPATH": found}, cwd=house, start_new_session=True,
        # a test run that a shell put in the background ignores Ctrl-C, and its children would too
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),  # noqa: PLW1509
    )  # fmt: skip


def file_of(house: Path, one: str) -> Path:
    return house / one if one.startswith("datasets/") else house / "helpers" / "steadyneedle" / one


def no_computing(one: Computed) -> Any:
    raise AssertionError("a check computes nothing")


# The datasets as committed


@every_dataset
def test_committed_datasets_are_fresh(name: str) -> None:
    """`steadyneedle refresh --datasets NAME` mends what this finds: it computes the dataset again and keeps both."""
    assert computed.stale(name) == ""


def test_whatever_says_it_is_computed_has_a_maker() -> None:
    folder, says = places.datasets(), set()
    for path in folder.rglob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            rows = [row for row in csv.DictReader(file) if (row.get("source") or "").startswith("computed: ")]
        if path == folder / "logs" / "sources.csv":
            says |= {f"logs/{row['file'].removesuffix('.csv')}" for row in rows}
        elif rows:
            says.add(path.relative_to(folder).as_posix().removesuffix(".csv"))
    assert says == {*COMPUTED, "digests"}


@pytest.mark.parametrize("name", ["air_real_gas_factor", "air_enthalpy"])
def test_the_tables_of_air_are_what_their_makers_say(name: str) -> None:
    """Reference library: CoolProp. Tolerance two units of the last digit: another version may round otherwise."""
    one = COMPUTED[name]
    column, tolerance = (one.header[2], 2e-6) if name == "air_real_gas_factor" else (one.header[2], 2e-4)
    made = computed.made(one)
    stored = datasets.table(name, one.header[:3])
    for k, axis in enumerate(one.header[:2]):
        assert [float(row[k]) for row in made] == list(stored[axis])
    assert [float(row[2]) for row in made] == pytest.approx(stored[column], abs=tolerance)


@pytest.mark.long
@every_dataset
def test_every_dataset_is_what_its_maker_says(name: str) -> None:
    one = COMPUTED[name]
    header, rows = datasets.read_rows(places.datasets() / f"{name}.csv")
    shown = len(header) - ("source" in header)
    assert tuple(header) == one.header
    assert [row[:shown] for row in computed.made(one)] == [tuple(cells[:shown]) for _, cells in rows]


# What counts as an input


RUN = {
    # a part of each module's work, small but through all it calls
    "steadyneedle.physics.air_tables": "maker._factors(240), maker._enthalpies(160)",
    "steadyneedle.jobs.recordings": "maker._rows_of_the_nine(9), maker._rows_read_aloud(maker.READ_ALOUD)",
    "steadyneedle.bench.diagnosis.pairs": "maker.findings('Alder', 'seat_dished', 0.5)",
    "steadyneedle.bench.diagnosis.ten_seconds": "maker._rows(maker.DESIGN)",
    "steadyneedle.bench.diagnosis.counted": "maker._rows(('Juniper', 'grit', 0, 1))",
    "steadyneedle.bench.cleaning.grid": "maker.CHOICES.rows(maker.CHOICES.parts()[0])",
    "steadyneedle.bench.diagnosis.signals": "[maker._rows((design, 'fine')) for design in maker.TABLES]",
}
WATCHED = """
import sys, importlib, json
opened = set()
sys.addaudithook(lambda event, details: opened.add(str(details[0])) if event == "open" else None)
maker = importlib.import_module({module!r})
{run}
files = [m.__file__ for n, m in sys.modules.items() if n.split(".")[0] == "steadyneedle"]
print(json.dumps([files, [one for one in opened if one.endswith(".csv")]]))
"""


@every_module
def test_whatever_a_maker_loads_or_opens_is_an_input(module: str) -> None:
    """Watched from outside, by Python's own audit of every file opened."""
    code = WATCHED.format(module=module, run=RUN[module])
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    loaded, opened = json.loads(done.stdout)
    known = inputs.inputs_of(module)
    for path in map(Path, loaded):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        only_words = all(inputs._stands_alone(one) for one in tree.body)
        only_passes_on = inputs._is_door(tree) or path.name == "doors.py"
        assert only_words or only_passes_on or path.relative_to(places.PACKAGE).as_posix() in known
    assert {f"datasets/{Path(path).relative_to(places.datasets()).as_posix()}" for path in opened} <= set(known)


def altered(path: Path, text: str) -> str:
    """One thing more in a module; one cell of a dataset otherwise."""
    if path.suffix == ".py":
        return text + "\nONE_MORE = 1\n"
    header, *rows = csv.reader(text.splitlines())
    rows[-1][0] += "1"
    return "\n".join(",".join(f'"{cell}"' for cell in row) for row in (header, *rows))


def reworded(path: Path, text: str) -> str:
    """Another docstring, a comment, an empty line, another layout; another source of the same numbers."""
    if path.suffix == ".py":
        tree = ast.parse(text)
        last = tree.body[-1]
        written = "\n".join(text.splitlines()[: last.lineno - 1 - len(getattr(last, "decorator_list", []))])
        return f'"""Other words."""\n{written}\n\n\n# why\n{ast.unparse(last)}  # so\n"""And a note."""\n'
    header, *rows = csv.reader(text.splitlines())
    for row in rows:
        row[header.index("source")] = "from memory"
    return "\n".join(",".join(f'"{cell}"' for cell in row) for row in (header, *rows))


@every_module
@pytest.mark.parametrize(("edit", "counts"), [(altered, True), (reworded, False)], ids=["altered", "reworded"])
def test_every_input_counts_and_no_comment_does(
    house: Path, module: str, edit: Callable[[Path, str], str], counts: bool
) -> None:
    before = inputs.inputs_of(module)
    assert len(before) > 3
    for one in before:
        path = file_of(house, one)
        text = path.read_text(encoding="utf-8")
        path.write_text(edit(path, text), encoding="utf-8")
        assert path.read_text(encoding="utf-8") != text
    after = inputs.inputs_of(module)
    assert after.keys() == before.keys()
    assert [one for one in before if (after[one] != before[one]) != counts] == []


def test_a_new_import_brings_a_new_input(house: Path) -> None:
    path = file_of(house, "physics/needle.py")
    for line in ("import steadyneedle.bench.bands.risks", "from steadyneedle.bench.bands import risks",
                 "from steadyneedle.bench.bands.risks import decision_risks", "from ..bench.bands import risks"):  # fmt: skip
        text = path.read_text(encoding="utf-8")
        path.write_text(text + f"\ndef late():\n    {line}\n", encoding="utf-8")
        now = inputs.inputs_of("steadyneedle.jobs.recordings")
        assert "bench/bands/risks.py" in now and "bench/bands/__init__.py" in now, line
        path.write_text(text, encoding="utf-8")


def test_what_others_are_made_from_is_made_first() -> None:
    """In one process, whose memory keeps a table once it is read."""
    made: set[str] = set()
    for name, one in COMPUTED.items():
        needed = {path.removeprefix("datasets/").removesuffix(".csv") for path in inputs.inputs_of(one.module)}
        assert needed & set(COMPUTED) <= made | {name}, name
        made.add(name)
    code = (
        "from steadyneedle.refresh import computed; from steadyneedle.foundation import datasets as d; "
        "print(d.table.cache_info().currsize)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout == "0\n", "no table is read on import"


# What the command says and does


def hang_on(name: str) -> int:
    """How many datasets are made from this one."""
    return sum(f"datasets/{name}.csv" in inputs.inputs_of(one.module) for one in COMPUTED.values())


def test_a_check_names_what_changed_and_computes_nothing(
    house: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(computed, "made", no_computing)
    assert words(capsys, "--datasets", "--check") == (0, "".join(f"{name}: fresh\n" for name in COMPUTED))
    path = file_of(house, "datasets/faults.csv")
    path.write_text(path.read_text(encoding="utf-8").replace(",18,48,", ",18,49,"), encoding="utf-8")
    status, said = words(capsys, "--datasets", "--check")
    assert status == 1 and said.count("stale: datasets/faults.csv has changed since it was computed") == hang_on(
        "faults"
    )
    assert "To mend that: steadyneedle refresh --datasets telling_apart\n" in said and "air_enthalpy: fresh" in said
    assert words(capsys, "--datasets", "air_enthalpy", "--check") == (0, "air_enthalpy: fresh\n")
    (house / "datasets" / "air_enthalpy.csv").unlink()
    (house / "datasets" / "digests.csv").unlink()
    status, said = words(capsys, "--datasets", "--check")
    assert status == 1 and "air_enthalpy: stale: datasets/air_enthalpy.csv is missing." in said
    assert "nine_traces: stale: it is not known what it was computed from." in said


def test_a_dataset_changed_by_hand_is_seen_and_computed_again(house: Path) -> None:
    path = house / "datasets" / "logs" / "class_reading.csv"
    before = path.read_bytes()
    path.write_bytes(before.replace(b"360,10.5", b"360,10.4"))
    for arguments, status, sentence in (
        (["--check"], 1, "datasets/logs/class_reading.csv was changed by hand since it was computed"),
        ([], 0, "logs/class_reading: 1 of 25 rows are new"),
        (["--check"], 0, "logs/class_reading: fresh"),
        ([], 0, "logs/class_reading: the same 25 rows"),
    ):
        with in_the(house, "--datasets", "logs/class_reading", *arguments) as process:
            _, said = process.communicate(timeout=120)
        assert process.returncode == status and sentence in said, said
    assert path.read_bytes() == before


@pytest.mark.skipif(os.name != "posix", reason="needs SIGINT to a group")
def test_ctrl_c_keeps_the_old_dataset(house: Path) -> None:
    files = [house / "datasets" / name for name in ("telling_apart.csv", "digests.csv")]
    before = [path.read_bytes() for path in files]
    with in_the(house, "--datasets", "telling_apart") as process:
        assert process.stderr is not None
        assert process.stderr.readline() == "telling_apart: computing\n"
        os.killpg(process.pid, signal.SIGINT)
        said = process.stderr.read()
        # Python ends itself by the signal where it was stopped inside an import; a shell shows 130 for both
        assert process.wait(timeout=60) in (130, -signal.SIGINT) and said.split() == ["Stopped."]
    assert [path.read_bytes() for path in files] == before
    assert not list((house / "datasets").glob("*.part"))


def test_without_coolprop_a_sentence_says_what_to_install(house: Path, tmp_path: Path) -> None:
    missing = tmp_path / "missing" / "CoolProp"
    missing.mkdir(parents=True)
    (missing / "__init__.py").write_text("raise ImportError", encoding="utf-8")
    path = house / "datasets" / "air_enthalpy.csv"
    before = path.read_bytes()
    with in_the(house, "--datasets", "air_enthalpy", path=missing.parent) as process:
        _, said = process.communicate(timeout=60)
    assert process.returncode == 2 and said.splitlines()[1:] == [
        'The tables of air are computed with CoolProp, which is missing: pip install "steadyneedle[test]"'
    ]
    assert path.read_bytes() == before


def test_an_input_that_changes_on_the_way_writes_nothing(house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def made(one: Computed) -> list[tuple[str, ...]]:
        path = file_of(house, "physics/air_tables.py")
        path.write_text(path.read_text(encoding="utf-8") + "\nONE_MORE = 1\n", encoding="utf-8")
        return [("160", "0", "1.0", "computed: nothing")]

    monkeypatch.setattr(computed, "made", made)
    before = (house / "datasets" / "air_enthalpy.csv").read_bytes()
    with pytest.raises(DatasetError, match="an input of air_enthalpy changed while it was computed"):
        computed.refresh("air_enthalpy", lambda line: None)
    assert (house / "datasets" / "air_enthalpy.csv").read_bytes() == before


def test_from_a_wheel_it_refuses(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`tests/test_install.py` asks an installed wheel the same."""
    monkeypatch.setattr(places, "PACKAGE", tmp_path / "site-packages" / "steadyneedle")
    for arguments in ([], ["--check"], [str(tmp_path)], ["--datasets"], ["--datasets", "telling_apart", "--check"]):
        status, said = words(capsys, *arguments)
        assert status == 2 and said.startswith("This Steady Needle is installed from a wheel") and said.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--datasets", "teling_apart"], "There is no computed dataset 'teling_apart'. Did you mean 'telling_apart'?"),
        (["--datasets", "xyzzy", "--check"], "There are air_real_gas_factor, air_enthalpy, nine_traces, logs/class"),
        ([".", "--datasets"], "Leave FOLDER out with --datasets"),
        (["nowhere"], "There is no folder nowhere. Leave it out for the repository's lessons."),
        (["datasets"], "There is no lesson in the folder datasets."),
    ],
)
def test_bad_use_is_a_sentence_and_status_two(
    root: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, arguments: list[str], sentence: str
) -> None:
    monkeypatch.chdir(root)
    status, said = words(capsys, *arguments)
    assert status == 2 and sentence in said and said.count("\n") == 1


def a_lesson(path: Path, source: str) -> None:
    book = {
        "cells": [{"cell_type": "code", "id": "a", "metadata": {}, "source": source, "outputs": [], "execution_count": None}],
        "metadata": {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}},
        "nbformat": 4, "nbformat_minor": 5,
    }  # fmt: skip
    path.write_text(json.dumps(book), encoding="utf-8")


def test_lessons_are_run_kept_and_found_fresh(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a_lesson(tmp_path / "01-sum.ipynb", "1 + 1")
    before = (tmp_path / "01-sum.ipynb").read_bytes()
    status, said = words(capsys, str(tmp_path), "--check")
    assert status == 1 and "cell 1 is stale: 1 + 1" in said and (tmp_path / "01-sum.ipynb").read_bytes() == before
    assert "Still stale: 01-sum.ipynb. To mend that: steadyneedle refresh\n" in said
    assert words(capsys, str(tmp_path))[0] == 0
    assert notebooks.read(tmp_path / "01-sum.ipynb")["cells"][0]["outputs"][0]["data"]["text/plain"] == ["2"]
    assert words(capsys, str(tmp_path), "--check") == (0, "01-sum.ipynb: fresh\n")


def test_a_lesson_that_does_not_run_is_named_and_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a_lesson(tmp_path / "01-bad.ipynb", "raise ValueError('no bar')")
    before = (tmp_path / "01-bad.ipynb").read_bytes()
    status, said = words(capsys, str(tmp_path))
    assert status == 1 and said.splitlines() == [
        "01-bad.ipynb does not run: ValueError: no bar", "Still stale: 01-bad.ipynb. First mend what they call.",
    ]  # fmt: skip
    assert (tmp_path / "01-bad.ipynb").read_bytes() == before


def test_a_check_of_the_repository_looks_at_both(
    house: Path, root: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The lessons are run by `test_lessons_are_fresh`; here each counts as run."""
    shutil.copytree(root / "lessons", house / "lessons")
    monkeypatch.setattr(computed, "made", no_computing)
    monkeypatch.setattr(lessons, "run", notebooks.read)
    status, said = words(capsys, "--check")
    assert status == 0 and "telling_apart: fresh" in said and "03-specification-bands.ipynb: fresh" in said
    (house / "datasets" / "nine_traces.csv").unlink()
    status, said = words(capsys, "--check")
    assert status == 1 and "nine_traces: stale" in said and "Still stale" not in said
