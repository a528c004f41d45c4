"""What somebody watched, and marks changed after all: read by row, in sheet, notebook and record, never written over."""

from __future__ import annotations

import contextlib
import datetime
import io
import json
from pathlib import Path

import pytest
from cohort import PAPER
from test_by_hand import HOSTILE, Row, file_for, fill, mark, outputs, place, record, rows_in, sheet, typed

from steadyneedle.assessing.hand_marks import HandMarkError
from steadyneedle.assessing.observed import NOBODY, day_of

__all__ = ["place"]
TODAY = datetime.date(2026, 12, 1)
WATCHED = {
    "task": "fit a seat",
    "observer": "AB",
    "date": "2026-11-20",
    "evidence": "no scratch",
    "outcome": "competent",
}


def all_marked(place: Path) -> None:
    """Everything that waits has its mark, and the forms lie there."""
    mark(place, "--forms")
    fill(file_for(place), typed(dict.fromkeys(range(1, 7), "4")))
    mark(place)


def watch(place: Path, *rows: Row) -> None:
    fill(place / "out" / "observed.csv", lambda there: there.extend({**there[0], **row} for row in rows), ";")


def change(place: Path, *rows: Row) -> None:
    usual = {
        "candidate": "1",
        "receipt": sheet(place)["1"]["receipt"],
        "question": "3",
        "marked_by": "EF",
        "why": "appeal",
    }
    path = place / "out" / "changed-marks.csv"
    names = path.read_text("utf-8-sig").splitlines()[0].split(",")
    text = "".join(",".join({**usual, **row}.get(name, "") for name in names) + "\n" for row in rows)
    path.write_text(",".join(names) + "\n" + text, encoding="utf-8")


def test_forms_are_laid_once_and_say_nothing_while_they_are_empty(place: Path) -> None:
    all_marked(place)
    rows = rows_in(place / "out" / "observed.csv")
    assert [row["candidate"] for row in rows] == list("12345678") and list(rows[0]) == ["candidate", *WATCHED]
    watch(place, WATCHED)
    filled = outputs(place)
    status, said = mark(place, "--forms")
    assert status == 0 and "row" not in said.replace("marks", "")
    assert outputs(place)["out/observed.csv"] == filled["out/observed.csv"]


def test_a_result_of_somebody_nobody_watched_says_so(place: Path) -> None:
    all_marked(place)
    assert sheet(place)["1"]["result"] == "competent" and sheet(place)["1"]["reason"].endswith(NOBODY)
    assert NOBODY in (place / "out" / "marked" / f"1-{PAPER}.ipynb").read_text("utf-8")


def test_what_was_watched_stands_in_sheet_notebook_and_record(place: Path) -> None:
    all_marked(place)
    watch(
        place, {**WATCHED, "candidate": "1"}, {**WATCHED, "candidate": "2", "date": "20.11.2026", "outcome": "Not yet"},
        {**WATCHED, "candidate": "003", "outcome": "not yet", "date": "19 Nov 2026"}, {**WATCHED, "candidate": "3"},
        {**WATCHED, "candidate": "3", "task": HOSTILE[:70], "evidence": HOSTILE, "outcome": "not yet competent"},
    )  # fmt: skip
    before = (place / "out" / "observed.csv").read_bytes()
    status, said = mark(place)
    assert status == 0 and "observed" not in said and (place / "out" / "observed.csv").read_bytes() == before
    rows = sheet(place)
    assert rows["1"]["reason"] == "Watched at work: competent in 1 task."
    assert rows["2"]["reason"] == "Watched at work: 1 task, not yet competent in fit a seat."
    assert rows["3"]["reason"].startswith("Watched at work: 2 tasks, not yet competent in <script>")
    assert rows["4"]["reason"] == NOBODY and {rows[n]["result"] for n in "1234"} == {"competent"}
    book = (place / "out" / "marked" / f"3-{PAPER}.ipynb").read_text("utf-8")
    assert "seen by AB" in book and "<script" not in book and "](javascript" not in book
    noted = record(place)[-1]["typed"]
    assert len(noted) == 5 and noted[0] == {
        "table": "observed", "row": "1 | fit a seat | 2026-11-20 | AB", "was": None,
        "is": {"outcome": "competent", "evidence": "no scratch"},
    }  # fmt: skip
    first = outputs(place)
    assert mark(place)[0] == 0 and outputs(place) == first


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"candidate": "99"}, "no paper was issued to candidate '99'"), ({"candidate": ""}, "no paper was issued"),
        ({"observer": ""}, "the initials are missing. Type them under observer"), ({"observer": "12"}, "are no initials"),
        ({"date": "yesterday"}, "is no day"), ({"date": "31.2.2026"}, "there is no day"), ({"date": ""}, "is no day"),
        ({"date": "3/4/2026"}, "can be read in two ways"), ({"date": "2999-01-01"}, "is still to come"),
        ({"outcome": "good"}, "is no outcome"), ({"outcome": ""}, "is no outcome"),
        ({"evidence": ""}, "evidence is empty"), ({"task": "x" * 81}, "task has 81 characters"),
    ],
)  # fmt: skip
def test_an_observation_that_is_wrong_is_refused_by_row(
    monkeypatch: pytest.MonkeyPatch, wrong: Row, sentence: str
) -> None:
    from steadyneedle.assessing.hand_tables import table_bytes
    from steadyneedle.assessing.observed import COLUMNS, Observed

    class Folder:
        def typed(self, _: str) -> bytes:
            rows = [{**WATCHED, "candidate": "1"}, {**WATCHED, "candidate": "2", **wrong}]
            return table_bytes(COLUMNS, [[row[name] for name in COLUMNS] for row in rows], ";")

    found = Observed(Folder(), ["1", "2"], TODAY)  # type: ignore[arg-type]
    assert [line.startswith("observed.csv, row 3, candidate ") and sentence in line for line in found.refused] == [True]
    assert found.in_words("1") == "Watched at work: competent in 1 task." and found.in_words("2") == NOBODY


def test_two_observations_that_differ_are_refused_and_status_3_says_so(place: Path) -> None:
    all_marked(place)
    watch(place, {**WATCHED, "candidate": "1"}, {**WATCHED, "candidate": "1", "outcome": "not yet"})
    status, said = mark(place)
    assert (
        status == 3
        and "observed.csv, row 11, candidate 1: the same person saw the same task on the same day in row 10" in said
    )
    (place / "out" / "observed.csv").write_bytes(b"candidate,task\n")
    before = outputs(place)
    assert mark(place)[0] == 2 and outputs(place) == before


def test_days_as_spreadsheets_write_them() -> None:
    for text in ("2026-11-20", "20.11.2026", "20/11/2026", "11/20/2026", "20-Nov-26", "20 November 2026", "2026/11/20"):
        assert day_of(text, TODAY) == datetime.date(2026, 11, 20)
    for text in ("32.1.2026", "1.13.2026", "20 Foo 2026", "x" * 10**6, "2026-11-20T10:00"):
        with pytest.raises(HandMarkError):
            day_of(text, TODAY)


def test_a_mark_is_changed_after_a_complaint(place: Path) -> None:
    from cohort import hand_in

    hand_in(place / "in", "1", {3: "1 psi", 20: "I write down 9.9 bar and U. Answer 1."})
    all_marked(place)
    row = sheet(place)["1"]
    assert (row["result"], row["critical_missed"]) == ("not yet competent", "3")
    change(place, {"mark": "1"})
    status, _ = mark(place)
    after = sheet(place)["1"]
    assert status == 0 and (after["result"], after["critical_missed"]) == ("competent", "")
    assert (
        float(after["mark"]) == float(row["mark"]) + 1
        and "The mark of question 3 was changed by EF from 0 to 1." in after["reason"]
    )
    noted = next(one for one in record(place)[0]["came"] if one["candidate"] == "1")  # type: ignore[attr-defined]
    assert record(place)[-1]["typed"] == [
        {"table": "changed marks", "row": f"1 | {row['receipt']} | 3", "sha256": noted["sha256"],
         "was": {"mark": "0", "marked_by": "the workbook", "why": "That is too low. Go by way of bar: 1 MPa = 10 bar."},
         "is": {"mark": "1", "marked_by": "EF", "why": "appeal"}}
    ]  # fmt: skip
    first = outputs(place)
    assert mark(place)[0] == 0 and outputs(place) == first
    book = place / "out" / "marked" / f"1-{PAPER}.ipynb"
    assert "appeal" in book.read_text("utf-8") and "Mark: 1 of 1 instead of 0, given by EF." in book.read_text("utf-8")
    names: dict[str, object] = {}
    for cell in json.loads(book.read_text("utf-8"))["cells"]:  # as the kernel runs them: the same is printed
        if cell["cell_type"] == "code":
            with contextlib.redirect_stdout(io.StringIO()) as out:
                exec("".join(cell["source"]), names)
            assert out.getvalue() == "".join(line for one in cell["outputs"] for line in one["text"]), cell["id"]


def test_a_lost_file_of_changed_marks_comes_back_from_the_record(place: Path) -> None:
    all_marked(place)
    change(place, {"mark": "0", "why": "=so"}, {"question": "4", "mark": "0"})
    mark(place)
    after, path = sheet(place)["1"], place / "out" / "changed-marks.csv"
    lines = path.read_text("utf-8-sig").splitlines()
    for left, said in (
        ([], "2 rows were missing"),
        (lines[:1], "2 rows were missing"),
        (lines[:2], "a row was missing"),
    ):
        path.unlink()
        if left:
            path.write_text("\n".join(left) + "\n", encoding="utf-8")
        grew = len(record(place))
        status, told = mark(place)
        assert status == 0 and said in told and "put back as the record has it" in told
        assert sheet(place)["1"] == after and len(record(place)) == grew
        assert [row["question"] for row in rows_in(path)] == ["3", "4"] and "put back" not in mark(place)[1]
    change(place, {"mark": "", "why": ""}, {"question": "4", "mark": "0"})
    mark(place)
    change(place, {"question": "4", "mark": "0"})  # taken back, and then taken out
    status, told = mark(place)
    assert status == 0 and "put back" not in told and float(sheet(place)["1"]["mark"]) == float(after["mark"]) + 1


def test_semicolons_stay_once_they_were_asked_for(place: Path) -> None:
    mark(place, "--semicolons")
    mark(place, "--forms")
    for name in ("observed.csv", "changed-marks.csv"):
        assert ";" in (place / "out" / name).read_text("utf-8-sig").splitlines()[0]
    path = file_for(place)
    path.write_text("".join(f'"{line}"\n' for line in ("code,answer,mark,marked_by,why", "x,y")), encoding="utf-8")
    status, said = mark(place)
    assert status == 2 and "mark with --semicolons" in said


def test_changes_that_are_wrong_are_refused_by_row(place: Path) -> None:
    all_marked(place)
    wrong: dict[int, tuple[Row, str]] = {
        2: ({"mark": "2"}, "2 is above 1"), 3: ({"question": "4", "mark": "0", "why": ""}, "why is empty"),
        4: ({"question": "5"}, "nothing stands under mark"), 5: ({"question": "21", "mark": "1"}, "has no question 21"),
        6: ({"question": "6", "mark": "1", "receipt": "1234"}, "no file in the folder has this"),
        7: ({"question": "7", "mark": "1"}, "stands in row 8"), 8: ({"question": "7", "mark": "0"}, "stands in row 7"),
        9: ({"question": "8", "mark": "1", "marked_by": ""}, "initials are missing"),
    }  # fmt: skip
    change(place, *(row for row, _ in wrong.values()))
    before = sheet(place)["1"]
    status, said = mark(place)
    assert status == 3 and sheet(place)["1"] == before
    for at, (row, sentence) in wrong.items():
        beside = f"changed-marks.csv, row {at}, candidate 1, question {row.get('question', '3')}: "
        assert any(line.startswith(beside) and sentence in line for line in said.splitlines())
    assert (
        "6 marked, 0 waiting for a person, 0 could not be read; 8 rows that a person typed wait to be mended." in said
    )
