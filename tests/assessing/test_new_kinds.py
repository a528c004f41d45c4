"""Several of several, an order, a verdict with its reason, a place on a trace: asked, sat, handed in and marked."""

from __future__ import annotations

import contextlib
import copy
import csv
import dataclasses
import html
import io
import json
import os
import random
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from cohort import AT, changed
from hypothesis import given, settings
from hypothesis import strategies as some
from new_kinds import SECRET, keyed, paper_of, plan, right_of

from steadyneedle import sitting
from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.as_shown_safely import as_html, as_literal
from steadyneedle.assessing.edition import entry_of, fingerprint
from steadyneedle.assessing.graded_book import graded_bytes
from steadyneedle.assessing.handed_in import read_handed_in
from steadyneedle.assessing.handed_in_form import handed_in, handed_in_name
from steadyneedle.assessing.keyed_items import as_answered, grouped
from steadyneedle.assessing.legible import legible
from steadyneedle.assessing.marking import mark_paper, marked_answer
from steadyneedle.assessing.paper_file import Item, bytes_of, notebook_of
from steadyneedle.assessing.paper_plan import KEYED, ORDER, PLACE, SEVERAL, VERDICT, exercise_named
from steadyneedle.assessing.paper_reading import paper_of as from_data
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.assessing.secret import CohortKey, write_key
from steadyneedle.assessing.specimen import write_specimen
from steadyneedle.cli import main
from steadyneedle.foundation import notebooks
from steadyneedle.sitting_forms import AnswerSession
from steadyneedle.teaching.frame.forms import FormWidget

CANDIDATES = ("101", "102", "103", "104")


def of_kind(kind: str, candidate: str = "101") -> Item:
    return next(one for one in paper_of(candidate).items if one.kind == kind)


def all_right(candidate: str) -> dict[int, str]:
    return {one.number: right_of(one) for one in paper_of(candidate).items}


def half_right(item: Item) -> str:
    """An answer that is worth part of the marks."""
    right = right_of(item)
    if item.kind == SEVERAL:
        return right.split(" + ")[0]
    if item.kind == ORDER:
        first, second, *rest = right.split(" > ")
        return " > ".join((second, first, *rest))
    verdict, _, reason = right.partition(" because ")
    return f"{verdict} because {next(key for key, _ in grouped(item.options)[1] if key != reason)}"


# asked ------------------------------------------------------------------------------------------------------


def test_a_plan_asks_every_kind_and_a_paper_is_read_back() -> None:
    assert [one.kind for one in plan().questions] == [SEVERAL, SEVERAL, ORDER, VERDICT, PLACE, ORDER]
    paper = paper_of("101")
    read = from_data(json.loads(json.dumps(paper.as_data())))
    assert read == paper and read is not None and read.digest == paper.digest
    assert not any(one.givens for one in read.items)


def test_the_paper_says_how_part_of_the_marks_is_given(tmp_path: Path) -> None:
    said = {item.kind: item.asked[-1] for item in paper_of("101").items}
    assert said[SEVERAL] == (
        "At least one is right, and not all are. Each right one that you tick counts for you, each wrong one against "
        "you, never below nought. Marks go by halves and are rounded down."
    )
    assert said[ORDER].startswith("The whole order right earns all marks. Two")
    assert said[VERDICT].startswith("A right verdict with its right reason earns all marks, a right verdict with")
    shown = bytes_of(paper_of("101")).decode() + json.dumps(sitting.page_of(paper_of("101")))
    assert all(shown.count(sentence) >= 2 for kind, sentence in said.items() if kind != PLACE)


def test_a_paper_prints_verdicts_and_reasons_apart() -> None:
    item = of_kind(VERDICT)
    words = next(text for cell in notebook_of(paper_of("101"))["cells"] if (text := notebooks.source_of(cell)).startswith(f"## {item.number}."))  # fmt: skip
    verdicts, reasons = grouped(item.options)
    after = words.split("The verdict:")[1]
    assert [line[2:] for line in after.split("The reason:")[0].split("\n") if line] == [text for _, text in verdicts]
    assert [line[2:] for line in after.split("The reason:")[1].split("\n") if line] == [text for _, text in reasons]
    assert "data:image/svg+xml" in words, "its trace stands in the paper"


def test_neither_paper_page_nor_form_tells_what_is_right(tmp_path: Path) -> None:
    """All that a candidate gets comes from a paper without givens: the same bytes and messages."""
    said = []
    for name, paper in (("a", paper_of("101")), ("b", from_data(json.loads(json.dumps(paper_of("101").as_data()))))):
        assert paper is not None
        (tmp_path / name).mkdir()
        answers = Answers(paper, tmp_path / name)
        got = [bytes_of(paper).decode(), notebooks.as_text(sitting.page_of(paper))]
        for item in paper.items:
            session = AnswerSession(item, answers)
            for typed in ("", right_of(paper_of("101").items[item.number - 1]), "a > b", "nick", "- because flat"):
                session.typed({"answer": typed})
                got.append(json.dumps(session.view().wire()))
        said.append("\n".join(got))
    assert said[0] == said[1]
    for item in paper_of("101").items:
        exercise = exercise_named(item.exercise)
        told = [*exercise.help_lines(dict(item.givens)), *exercise.steps(dict(item.givens))]
        told += [one.sentence for one in exercise.mistakes]
        assert not [one for one in told if one in said[0]]


ODD: tuple[Any, ...] = (None, True, -1, 1.5, 10**30, "", "x", "</title><script>", [], [1], [["a"]], [["a", 1]], {}, {"a": {}})  # fmt: skip


def test_an_item_changed_anywhere_is_no_paper() -> None:
    data = paper_of("101").as_data()
    for at, item in enumerate(paper_of("101").items):
        for name in ("options", "kind", "trace", "asked"):
            for odd in ODD:
                now = json.loads(json.dumps(data))
                now["items"][at][name] = odd
                fine = (name == "options" and odd == [] and item.kind == PLACE) or (
                    name == "trace" and odd == {} and item.kind != PLACE
                )
                assert (from_data(now) is not None) == fine, (item.kind, name, odd)
    other = json.loads(json.dumps(data))
    other["items"][0]["trace"] = other["items"][4]["trace"]
    assert from_data(other) is None, "only a verdict may have a trace, and a place must"


# sat --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [*KEYED, PLACE])
def test_an_answer_is_kept_at_each_change_and_comes_back(kind: str, tmp_path: Path) -> None:
    item = of_kind(kind)
    answers = Answers(paper_of("101"), tmp_path)
    widget = FormWidget(AnswerSession(item, answers))
    right = right_of(item)
    for number, typed in enumerate((half_right(item) if kind != PLACE else "3", right), 1):
        widget._heard(widget, {"what": "act", "button": "left", "answers": {"answer": typed}, "number": number}, [])
        assert widget.saved["words"] == "Saved"
        assert Answers(paper_of("101"), tmp_path).kept()[item.number] == typed
    [field] = FormWidget(AnswerSession(item, Answers(paper_of("101"), tmp_path))).view["fields"]
    assert field["value"] == right and field["name"] == "answer"
    assert not widget.view["message"]["word"] or kind == PLACE


@pytest.mark.parametrize(
    ("kind", "typed", "words"),
    [
        (ORDER, "vent > tool > - > - > -", "A place is still open. Choose a step for each place."),
        (ORDER, "vent > vent > tool > - > -", "One step stands in two places. Give each step one place."),
        (VERDICT, "creeps because -", "Choose a reason, too. Each needs the other."),
        (VERDICT, "- because flat", "Choose a verdict, too. Each needs the other."),
        (SEVERAL, "nothing", "It names something that is none of the options. Tick those that are right."),
    ],
)
def test_what_is_not_whole_is_said_and_what_is_right_plays_no_part(kind: str, typed: str, words: str) -> None:
    for candidate in CANDIDATES:
        found = legible(of_kind(kind, candidate), typed)
        assert not found.can_be_read and found.words == words


def test_what_is_whole_is_never_said_to_be_right_or_wrong() -> None:
    for candidate in CANDIDATES:
        for item in paper_of(candidate).items:
            if item.kind in KEYED:
                assert {legible(item, typed) for typed in (right_of(item), half_right(item))} == {legible(item, "")}


# marked -----------------------------------------------------------------------------------------------------


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder to hand in to, and the key that issued the papers beside it."""
    (tmp_path / "in").mkdir()
    key = CohortKey(SECRET)
    key.issue(plan(), 1, {one: entry_of(paper_of(one)) for one in CANDIDATES})
    write_key(tmp_path / "cohort.key", key)
    return tmp_path


def hand_in(place: Path, candidate: str, answers: dict[int, str]) -> Path:
    path = place / "in" / handed_in_name(candidate, plan().name, 1)
    path.write_bytes(handed_in(paper_of(candidate), {**all_right(candidate), **answers}, AT))
    return path


def mark(place: Path) -> tuple[int, dict[str, dict[str, str]]]:
    """The command's status, and the sheet's rows by candidate."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()), pytest.raises(SystemExit) as left:  # fmt: skip
        main(["mark", str(place / "in"), "--key", str(place / "cohort.key"), "--out", str(place / "out")])
    rows = csv.DictReader(io.StringIO((place / "out" / "marks.csv").read_text(encoding="utf-8")))
    return int(left.value.code or 0), {row["candidate"]: row for row in rows}


def test_part_marks_stand_in_sheet_and_notebook_and_the_notebook_computes_them_again(place: Path) -> None:
    halves = {one.number: half_right(one) for one in paper_of("102").items if one.kind in KEYED}
    hand_in(place, "101", {})
    hand_in(place, "102", halves)
    hand_in(place, "103", {1: "", 2: "rim + <script>", 3: "vent > tool", 4: "creeps because -", 5: "x", 6: "=1+1"})
    status, rows = mark(place)
    assert status == 3 and rows["104"]["status"] == "missing"
    assert (rows["101"]["mark"], rows["101"]["result"]) == ("12", "competent")
    expected = 1.0  # the place
    for item in paper_of("102").items[:2]:
        expected += int(2 * 3 / len(right_of(item).split(" + "))) / 2
    expected += 1 + 1 + 0.5  # two orders of 2 and 1 marks, a verdict of 2: half each
    assert float(rows["102"]["mark"]) == expected and rows["102"]["critical_missed"] == "4"
    assert (rows["103"]["status"], rows["103"]["mark"]) == ("waiting", "0"), "what cannot be read waits for a person"
    assert "The answers to questions 2, 3, 4, 5, 6 could not be read." in rows["103"]["reason"]
    assert rows["103"]["reason"].endswith(
        "Question 2 cannot be read: It names something that is none of the options. Tick those that are right. "
        "Question 3 cannot be read: A place is still open. Choose a step for each place. "
        "Question 4 cannot be read: Choose a reason, too. Each needs the other. "
        "Question 6 cannot be read: It names something that is none of the steps. Choose a step for each place."
    )
    book = (place / "out" / "marked" / "102-other-kinds.ipynb").read_text(encoding="utf-8")
    for words in (
        "Mark: 1 of 2. Right in part.", "Two neighbouring steps are exchanged, all else is right.", "Mark: 0.5 of 1. Right in part.",
        "The verdict is right, but not for this reason.", "A critical question was missed.", "Right: 1 of ", "because",
    ):  # fmt: skip
        assert words in book, words
    odd = (place / "out" / "marked" / "103-other-kinds.ipynb").read_text(encoding="utf-8")
    for words in ("none of the options", "A place is still open", "Choose a reason, too", "none of the steps"):
        assert words in odd, words
    assert "<script>" not in odd
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", "-c", os.devnull, "--rootdir", str(place),
         "--nbval", str(place / "out" / "marked" / "102-other-kinds.ipynb")],
        capture_output=True, text=True, cwd=place,
    )  # fmt: skip
    assert done.returncode == 0 and "8 passed" in done.stdout, done.stdout


HOSTILE_ANSWERS = (
    "nick", "nick + nick", "nick + seat", "nick > worn", "+", " + ", "-", "- > -", "vent > vent", "vent > tool > shut > open > lock > word",
    "because", "- because -", "creeps because creeps", "flat because holds", "creeps", "creeps because steady because flat", '["nick", 1]',
    '{"verdict": "creeps"}', "None", "True", "1e999", "NaN", "../../etc/passwd", "=cmd|' /C calc'!A0", "<img src=x onerror=alert(1)>",
    "'); import os; os.system('touch ran') #", "nick\x00", "nick\n+ worn", "\u202enick", "nick" * 2400, " + ".join(["nick"] * 1400),
    "because " * 1200, "[" * 9999, "NICK + WORN", "nick+worn", "\U0001f600", "9**9**9 min", "-3 min", "1e308 min", "3 min" * 100,
)  # fmt: skip


@pytest.mark.parametrize("at", range(1, 7))
def test_no_hostile_answer_is_worth_a_mark_or_runs(at: int, place: Path) -> None:
    """Each at every question, in a file that is whole: marked with a reason, the notebook shows it as text and runs."""
    paper = paper_of("101")
    item, asked = paper.items[at - 1], [fingerprint(one) for one in paper.items]
    for typed in HOSTILE_ANSWERS:
        path = hand_in(place, "101", {at: typed})
        read = read_handed_in(path)
        marked = mark_paper(paper, asked, read.answers)
        one = marked.items[at - 1]
        if one.worth.outcome not in ("right", "in part", "known mistake", "off"):
            assert one.mark == 0 and one.worth.lines and all(one.worth.lines), typed
        if item.kind in KEYED and not (item.kind == SEVERAL and typed == "nick"):
            assert one.worth.outcome == "not read", (item.kind, typed)
        book = graded_bytes(marked, read, plan().questions).decode()
        names: dict[str, Any] = {}
        for cell in json.loads(book)["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "code":
                assert not set(text) & set("<>&") and text.replace("\n", "").isprintable()
                with contextlib.redirect_stdout(io.StringIO()) as out:
                    exec(text, names)
                assert "".join("".join(each["text"]) for each in cell["outputs"]) == out.getvalue()
        assert "<img" not in book and not Path("ran").exists()


@pytest.mark.parametrize("odd", [None, True, 7, 1.5, ["nick", "worn"], {"verdict": "creeps"}, "n" * 10_001])
def test_an_answer_of_another_type_is_a_row_with_its_reason(odd: Any, place: Path) -> None:
    """Right keys in a list are no answer of this form: it holds texts."""
    path = hand_in(place, "101", {})
    path.write_bytes(changed(path.read_bytes(), lambda content: content["answers"].__setitem__("1", odd)))
    hand_in(place, "102", {})
    status, rows = mark(place)
    assert status == 4 and rows["101"]["status"] == "unreadable" and rows["102"]["mark"] == "12"
    assert "its field 'answers' holds what cannot stand there" in rows["101"]["reason"]


KEYS = [*"+>-", "because", *(key for one in paper_of("101").items for key in dict(one.options)), "seat", "", " "]


@settings(max_examples=120, deadline=None)
@given(words=some.lists(some.sampled_from(KEYS) | some.text(max_size=6), max_size=12))
def test_any_answer_is_marked_alike_by_form_and_marking(words: list[str]) -> None:
    """What the form calls whole is marked, what it does not is not read; never more than the weight."""
    typed = " ".join(words)
    for item in paper_of("101").items:
        if item.kind not in KEYED:
            continue
        worth = marked_answer(exercise_named(item.exercise), dict(item.givens), typed)
        assert 0 <= worth.marks(item.weight) <= item.weight
        assert (worth.outcome == "not read") == (not legible(item, typed).can_be_read), (item.kind, typed)
        canonical = " + ".join(sorted(typed.split(" + "))) if item.kind == SEVERAL else typed
        assert (worth.outcome == "right") == (canonical == right_of(item)), (item.kind, typed)


def test_a_mended_question_of_these_kinds_waits() -> None:
    item = of_kind(ORDER)
    was = fingerprint(item)
    exercise = keyed(item)
    mended = dataclasses.replace(item, options=(*item.options[1:], item.options[0]))
    assert fingerprint(mended) != was and fingerprint(copy.copy(item)) == was
    assert exercise.version == item.version


def test_a_half_mark_given_before_a_question_was_mended_is_known_from_the_record(place: Path) -> None:
    from steadyneedle.assessing.marking_record import state_of

    path = hand_in(place, "101", {6: half_right(paper_of("101").items[5])})
    mark(place)
    kept = state_of((place / "out" / "record.jsonl").read_bytes()).marked
    assert kept[read_handed_in(path).sha256][6] == (0.5, True)


HALF = [
    (VERDICT, "creeps because -", "{creeps}; the reason: nothing chosen"),
    (VERDICT, "- because flat", "nothing chosen, because {because flat}"),
    (ORDER, "vent > vent > - > tool", "1. {vent}; 2. {vent}; 3. nothing chosen; 4. {tool}"),
    (ORDER, "vent > shut > -", "1. {vent}; 2. 'shut', which was not offered; 3. nothing chosen"),
    (SEVERAL, "nick + nick", "{nick}; {nick}"),
]


@pytest.mark.parametrize(("kind", "typed", "words"), HALF)
def test_a_half_filled_answer_is_read_in_words_and_its_data_stay(
    kind: str, typed: str, words: str, place: Path
) -> None:
    """Notebook, page and table of the markers say what was chosen, and where nothing was; the code cell keeps keys."""
    item = next(one for one in paper_of("101").items if one.kind == kind)
    said = re.sub(r"\{(.+?)\}", lambda found: dict(item.options)[found[1]], words)
    assert as_answered(kind, item.options, typed) == said
    hand_in(place, "101", {item.number: typed})
    assert mark(place)[0] == 3
    stem = place / "out" / "by-hand" / f"other-kinds-question-{item.number}"
    book = (place / "out" / "marked" / "101-other-kinds.ipynb").read_text("utf-8")
    assert said in stem.with_suffix(".csv").read_text("utf-8-sig")
    assert as_html(said) in stem.with_suffix(".html").read_text("utf-8") and as_html(said) in book
    assert json.dumps(as_literal(typed))[1:-1] in book, "its code marks what was handed in"
    for name in (stem.with_suffix(".csv"), stem.with_suffix(".html"), place / "out" / "marks.csv"):
        assert typed not in name.read_text("utf-8") and html.escape(typed) not in name.read_text("utf-8")
    page = stem.with_suffix(".html").read_text("utf-8")
    assert "A place in which nothing was chosen counts as a wrong choice" in page and "The workbook says: " in page


# shown to the moderator -------------------------------------------------------------------------------------


def test_a_specimen_holds_model_answers_and_their_working(tmp_path: Path) -> None:
    notebook, printed, answers = write_specimen(plan(), tmp_path)
    with_answers, without = answers.read_text(encoding="utf-8"), printed.read_text(encoding="utf-8")
    assert read_paper(notebook).candidate == "000"
    for words in ("Answer: 1. ", ", because ", "This is common practice", "Marks go by halves", "Answer: "):
        assert words in with_answers
    for words in ("Answer:", "This is common practice", "What lets gas in opens"):
        assert words not in without
    assert without.count("<p>The reason:</p>") == 1 and without.count("<li>") == with_answers.count("<li>")


def test_every_candidates_numbers_are_their_own() -> None:
    dice, seen = random.Random(3), set()
    for candidate in dice.sample(range(1000), 30):
        paper = paper_of(str(candidate))
        seen.add(tuple(right_of(one) for one in paper.items))
        assert right_of(paper.items[0]) != right_of(paper.items[1]) or paper.items[0].options != paper.items[1].options
    assert len(seen) > 25
