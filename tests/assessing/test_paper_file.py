"""The paper as a file: nothing of what is right stands in it, nothing but its one cell may run, damage is seen."""

from __future__ import annotations

import datetime
import json
import random
import re
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.assessing import handed_in_form
from steadyneedle.assessing.difficulty import why_not
from steadyneedle.assessing.drawn import drawn
from steadyneedle.assessing.paper_file import CODE, Paper, PaperError, bytes_of, notebook_of
from steadyneedle.assessing.paper_plan import Planned, exercise_named, kind_of
from steadyneedle.assessing.paper_reading import plan_matches, read_paper
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import item_of, paper_for
from steadyneedle.foundation import notebooks
from steadyneedle.questions.exercise import DEFAULT, QuantityExercise
from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.questions.wording import written

PLAN = load_plan("units and bands")
KEY = CohortKey(b"a secret of thirty-two bytes....")
PAPER = paper_for(PLAN, KEY, "101")
NOON = datetime.datetime(2026, 11, 27, 12, 0, tzinfo=datetime.UTC)


def saved(tmp_path: Path, book: dict[str, Any] | None = None, name: str = "101-units-and-bands.ipynb") -> Path:
    path = tmp_path / name
    path.write_bytes(bytes_of(PAPER) if book is None else notebooks.as_text(book).encode("utf-8"))
    return path


def refusal(path: Path) -> str:
    with pytest.raises(PaperError) as refused:
        read_paper(path)
    assert "\n" not in str(refused.value)
    return str(refused.value)


def test_a_paper_comes_back_as_it_was_written(tmp_path: Path) -> None:
    read = read_paper(saved(tmp_path))
    assert read == PAPER and read.digest == PAPER.digest
    assert [one.digest for one in read.items] == [one.digest for one in PAPER.items]
    assert bytes_of(paper_for(PLAN, CohortKey(KEY.secret), "101")) == bytes_of(PAPER)
    assert plan_matches(read, PLAN)


def test_a_notebook_is_as_jupyter_writes_it() -> None:
    import nbformat

    book = nbformat.from_dict(notebook_of(PAPER))
    nbformat.validate(book)
    cells = notebook_of(PAPER)["cells"]
    assert len({cell["id"] for cell in cells}) == len(cells) == 22
    assert notebooks.code_of(notebook_of(PAPER)) == [CODE]
    head = "".join(cells[0]["source"])
    for line in ("`steadyneedle sit 101-units-and-bands.ipynb`", "`python3 helpers/start.py sit`"):
        assert line in head, "a machine may know only one of the two"


def test_nothing_of_what_is_right_or_wrong_stands_in_a_paper() -> None:
    """No hint, no working, no sentence of a mistake and no rubric, whatever the numbers."""
    text = bytes_of(PAPER).decode("utf-8")
    for item, planned in zip(PAPER.items, PLAN.questions, strict=True):
        assert not any(line in text for line in planned.rubric)
        if not item.givens:
            continue
        exercise = exercise_named(item.exercise)
        names = exercise.names(dict(item.givens))
        said = [*exercise.help_lines(dict(item.givens)), *exercise.steps(dict(item.givens))]
        for mistake in exercise.mistakes:
            if mistake.answer(names) is not None:
                said += written(mistake.sentence, names, DEFAULT)
        options = [words for _, words in item.options]
        assert not any(line in text for line in said if line not in options), item.exercise
    assert KEY.secret.hex() not in text and KEY.secret.decode() not in text


@pytest.mark.parametrize(
    "source", ["1 + 1", CODE + "\n1", CODE + " ", "", CODE.replace("open_paper", "open")], ids=range(5)
)
def test_any_other_code_is_refused(tmp_path: Path, source: str) -> None:
    book = notebook_of(PAPER)
    book["cells"][1]["source"] = source
    assert "holds code that no paper has" in refusal(saved(tmp_path, book))
    added = notebook_of(PAPER)
    added["cells"].append({**added["cells"][1], "id": "more", "source": source})
    assert "holds code that no paper has" in refusal(saved(tmp_path, added))


def test_what_is_no_paper_is_refused(tmp_path: Path) -> None:
    assert "There is no file" in refusal(tmp_path / "none.ipynb")
    assert "a link, a pipe or a folder" in refusal(tmp_path)
    (tmp_path / "link.ipynb").symlink_to(saved(tmp_path))
    assert "a link, a pipe or a folder" in refusal(tmp_path / "link.ipynb")
    (tmp_path / "large.ipynb").write_bytes(b" " * 3_000_000)
    assert "far too large" in refusal(tmp_path / "large.ipynb")
    (tmp_path / "text.ipynb").write_text("hello", encoding="utf-8")
    assert "is damaged" in refusal(tmp_path / "text.ipynb")
    lesson = {**notebook_of(PAPER), "metadata": {"steadyneedle": {"lesson": "03"}}}
    assert "is no paper of this workbook" in refusal(saved(tmp_path, lesson))
    newer = notebook_of(PAPER)
    newer["metadata"]["steadyneedle"]["paper"]["version"] = 2
    assert "a newer Steady Needle" in refusal(saved(tmp_path, newer))


ODD: tuple[Any, ...] = (None, True, -1, 1.5, "", "x", "../../etc", [], [1], {}, {"a": {}})


def every_place(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Where each value of nested data stands."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [at, *(place for name, one in inner for place in every_place(one, (*at, name)))]


def test_a_paper_changed_anywhere_is_refused(tmp_path: Path) -> None:
    """Wrong types and wrong values at every key of the data; only what is equal to what stood there is read."""
    dice = random.Random(4)
    places = every_place(json.loads(json.dumps(PAPER.as_data())))[1:]
    for place in dice.sample(places, 60):
        book = json.loads(bytes_of(PAPER))
        inner = book["metadata"]["steadyneedle"]["paper"]
        for name in place[:-1]:
            inner = inner[name]
        before = inner[place[-1]]
        inner[place[-1]] = dice.choice([one for one in ODD if one != before])
        said = refusal(saved(tmp_path, book))
        assert "was changed after it was made" in said or "newer" in said, (place, said)


def test_a_digest_changes_with_every_word_asked() -> None:
    import dataclasses

    item = PAPER.items[0]
    for name, value in (
        ("version", 99), ("title", "x"), ("asked", ("x",)), ("picture", "x"), ("unit", "x"),
        ("exercise", "x"), ("kind", "choice"), ("options", (("a", "b"),)),
    ):  # fmt: skip
        assert dataclasses.replace(item, **{name: value}).digest != item.digest, name
    assert dataclasses.replace(item, weight=5).digest == item.digest, "a weight is no word asked"
    assert dataclasses.replace(item, givens={"a": 1}).digest == item.digest, "whoever sits it knows no more than words"
    assert dataclasses.replace(PAPER, items=(dataclasses.replace(item, weight=5),)).digest != PAPER.digest


def test_the_form_that_is_handed_in() -> None:
    data = handed_in_form.handed_in(PAPER, {2: "9,8 bar", 9: "neither", 20: "Zeile\n<b>=1+1</b>", 1: "  "}, NOON)
    content = json.loads(data)
    assert {name: type(value) for name, value in content.items()} == handed_in_form.FIELDS
    assert content["answers"] == {"2": "9,8 bar", "9": "neither", "20": "Zeile\n<b>=1+1</b>"}, (
        "as typed; blanks left out"
    )
    assert content["asked"] == {str(one.number): one.digest for one in PAPER.items}
    assert (content["candidate"], content["paper_digest"], content["cohort"]) == ("101", PAPER.digest, KEY.cohort)
    assert content["handed_in_at"] == "2026-11-27T12:00:00Z"
    assert content["checksum"] == handed_in_form.checksum_of(content)
    content["answers"]["2"] = "9.9 bar"
    assert content["checksum"] != handed_in_form.checksum_of(content)
    assert len(handed_in_form.receipt_of(data)) == 8
    odd = handed_in_form.handed_in(PAPER, {20: "half a pair \ud800"}, NOON)
    assert json.loads(odd)["checksum"] == handed_in_form.checksum_of(json.loads(odd)), "half a pair of surrogates too"


@pytest.mark.parametrize(
    ("answers", "sentence"), [({21: "x"}, "has no question 21"), ({1: "x" * 10_001}, "Question 1: 10001 characters")]
)
def test_what_cannot_be_handed_in_is_refused(answers: dict[int, str], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        handed_in_form.handed_in(PAPER, answers, NOON)


def test_names_of_files() -> None:
    assert Paper("7", "creep", 3, "", 1, 70, "", PAPER.items).stem == "7-creep-attempt-3"
    assert handed_in_form.handed_in_name("7", "creep", 2) == "7-creep-attempt-2.handed-in.json"


ADMITTED = sorted(one.name for number in MODULES for one in plan_of(number).exercises if not why_not(one))


def check_says_nothing(name: str, candidates: int) -> None:
    """No given and no answer stands in what the file holds.

    Of a choice only the options stand there, all of them, so that no word or key tells the right one from the others;
    of a quantity no number of its unit that stands there is right.
    """
    exercise = exercise_named(name)
    keys = getattr(exercise, "choices", {})
    for candidate in range(candidates):
        found = drawn(exercise, KEY.secret, "a-paper", 1, str(candidate), 1)
        item = item_of(Planned(1, kind_of(exercise), name, title=exercise.title), exercise, found)
        data = json.loads(json.dumps({**item.as_data(), "options": [], "trace": {}}))
        assert not {"givens", "order", "place"} & {name for place in every_place(data) for name in place}
        texts = [one for place in every_place(data) if isinstance(one := at(data, place), str)]
        if keys:
            assert [key for key, _ in item.options if key in texts] == []
            assert {key for key, _ in item.options} == set(keys), "one option more or less would tell"
            continue
        assert isinstance(exercise, QuantityExercise)
        of_its_unit = rf"(?<![\w.])(\d+(?:\.\d+)?) {re.escape(item.unit)}(?![\w/])"
        told = [f"{number} {item.unit}" for text in texts for number in re.findall(of_its_unit, text)]
        assert [one for one in told if exercise.check(found.givens, one).outcome == "right"] == [], found


@pytest.mark.parametrize("name", ADMITTED)
def test_no_paper_says_what_is_right(name: str) -> None:
    check_says_nothing(name, 10)


@pytest.mark.long
@pytest.mark.parametrize("name", ADMITTED)
def test_none_of_three_hundred_papers_says_what_is_right(name: str) -> None:
    check_says_nothing(name, 300)


def at(data: Any, place: tuple[Any, ...]) -> Any:
    for name in place:
        data = data[name]
    return data
