"""What was handed in is read as data: it is whole, or it is refused with one sentence."""

from __future__ import annotations

import json
import re
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from cohort import AT, PLAN, SECRET, changed, file_of, paper_of, right_answers
from hostile import lay, lay_no_files, of_another_paper
from hypothesis import given, settings
from hypothesis import strategies as some

from steadyneedle.assessing.edition import fingerprint
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.handed_in import LARGEST, NOT_READ, HandedInError, read_handed_in
from steadyneedle.assessing.handed_in_form import FIELDS, handed_in, receipt_of
from steadyneedle.assessing.marking import mark_paper
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for

ANYTHING = some.recursive(
    some.none() | some.booleans() | some.integers() | some.floats() | some.text(max_size=20),
    lambda inside: some.lists(inside, max_size=3) | some.dictionaries(some.text(max_size=5), inside, max_size=3),
    max_leaves=6,
)


def test_an_honest_file_is_read_as_it_was_handed_in(tmp_path: Path) -> None:
    path = tmp_path / "renamed by a mail program (1).json"
    answers = {**right_answers(paper_of("101")), 1: "9,8 bar", 20: "Grüße — 3 < 4 & \U0001f600\nzweite Zeile"}
    path.write_bytes(handed_in(paper_of("101"), answers, AT))
    read = read_handed_in(path)
    assert (read.candidate, read.paper, read.attempt) == ("101", "units-and-bands", 1)
    assert read.answers == answers and list(read.asked) == list(range(1, 21))
    assert read.paper_digest == paper_of("101").digest
    assert read.receipt == receipt_of(path.read_bytes()) and read.handed_in_at == "2026-11-27T10:15:00Z"


@dataclass(frozen=True)
class Corpus:
    """Hostile files in a folder: name -> words of the row; those that may not be opened apart."""

    folder: Path
    opened: dict[str, str]
    unopened: dict[str, str]

    @property
    def all(self) -> dict[str, str]:
        return self.opened | self.unopened

    def read(self, name: str) -> HandedInError | None:
        try:
            read_handed_in(self.folder / name)
        except HandedInError as error:
            return error
        return None


@pytest.fixture(scope="module")
def corpus(tmp_path_factory: pytest.TempPathFactory) -> Corpus:
    folder = tmp_path_factory.mktemp("hostile") / "in"
    folder.mkdir()
    return Corpus(folder, lay(folder), lay_no_files(folder))


def test_each_hostile_file_is_refused_with_its_reason(corpus: Corpus) -> None:
    assert len(corpus.all) >= 60 and corpus.all.keys() == {path.name for path in corpus.folder.iterdir()}
    whole = {name for name, _, _ in of_another_paper()}  # refused by the key alone
    for name, words in corpus.all.items():
        error = corpus.read(name)
        assert (error is None) == (name in whole), name
        if error is not None:
            said = str(error)
            assert words in said, (name, said)
            assert said.isprintable() and len(said) < 300
            assert re.fullmatch(r"The file [\w ?().…-]+ (is|was|holds|does not say|cannot be read)\b.*", said), said
            assert (error.sha256 == NOT_READ) == (name in corpus.unopened), name


def test_no_hostile_file_takes_ten_times_an_honest_ones_time(corpus: Corpus, tmp_path: Path) -> None:
    """Measured against marking an honest file whole, in the same run, in seconds of the processor; the best of several each."""
    honest = tmp_path / "101.json"
    honest.write_bytes(file_of("101"))

    def mark() -> None:
        read = read_handed_in(honest)
        paper = paper_for(PLAN, CohortKey(SECRET), read.candidate)
        graded_bytes(mark_paper(paper, [*map(fingerprint, paper.items)], read.answers), read, PLAN.questions)

    mark()
    bound = 10 * min(_seconds(mark) for _ in range(5))
    for name in corpus.all:
        times = (_seconds(lambda name=name: corpus.read(name)) for _ in range(5))
        assert any(time < bound for time in times), name


def _seconds(act: Callable[[], object]) -> float:
    started = time.process_time()
    act()
    return time.process_time() - started


def test_memory_is_bounded_whatever_a_file_holds(corpus: Corpus) -> None:
    """Ten times the largest file that is opened."""
    large = [name for name in corpus.all if corpus.folder.joinpath(name).lstat().st_size > 200_000]
    tracemalloc.start()
    try:
        for name in large:
            corpus.read(name)
        assert tracemalloc.get_traced_memory()[1] < 10 * LARGEST
    finally:
        tracemalloc.stop()


@settings(max_examples=150)
@given(some.sampled_from(list(FIELDS)), ANYTHING, some.booleans())
def test_any_value_of_any_field_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, field: str, value: object, mend: bool
) -> None:
    path = tmp_path_factory.getbasetemp() / "fuzzed.json"

    def change(content: dict[str, object]) -> None:
        content[field] = value

    try:
        path.write_bytes(changed(file_of("101"), change, mend and field != "checksum"))
    except (ValueError, TypeError):  # no JSON writes it: it stands in no file
        return
    _read_or_refused(path)


@settings(max_examples=150)
@given(some.integers(0, 3000), some.binary(max_size=6), some.integers(0, 40))
def test_any_damage_of_an_honest_file_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, at: int, put: bytes, cut: int
) -> None:
    path = tmp_path_factory.getbasetemp() / "damaged.json"
    honest = file_of("101")
    path.write_bytes(honest[:at] + put + honest[at + cut :])
    _read_or_refused(path)


def _read_or_refused(path: Path) -> None:
    """What is read is a whole file: its checksum fits, and each of its fields."""
    try:
        read = read_handed_in(path)
    except HandedInError as error:
        assert str(error).isprintable() and len(str(error)) < 300
    else:
        content = json.loads(path.read_bytes())
        assert read.answers == {int(number): typed for number, typed in content["answers"].items()}
        assert read.candidate.isdecimal() and read.candidate.isascii()
