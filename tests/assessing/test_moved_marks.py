"""No mark moves and no candidate goes in silence: what is not as it was at the last marking is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from cohort import PAPER, hand_in, lay_key
from test_by_hand import QUESTION, Row, file_for, fill, mark, outputs, place, record, sheet, typed
from test_watched_and_changed import change

__all__ = ["place"]
ALL = dict(zip(range(1, 7), ("4", "3", "3", "2", "1", "0"), strict=True))


def marked_once(place: Path, *more: str) -> None:
    mark(place, *more)
    fill(file_for(place), typed(ALL))
    assert mark(place)[0] == 0


def moved(said: str) -> list[str]:
    """What was said of marks that moved."""
    return [line for line in said.splitlines() if "at the last marking" in line or "New in" in line]


def sort_the_marks(rows: list[Row]) -> None:
    """The column of marks alone, as a spreadsheet sorts what is selected."""
    for row, worth in zip(rows, sorted(row["mark"] for row in rows), strict=True):
        row["mark"] = worth


def test_an_appeal_against_a_mark_given_by_hand_is_said_in_sheet_and_on_the_terminal(place: Path) -> None:
    hand_in(place / "in", "1", {3: "1 psi", 20: "I write down 9.9 bar and U. Answer 1."})
    marked_once(place, "--forms")
    assert "changed" not in sheet(place)["1"]["reason"]
    change(place, {"question": "20", "mark": "2", "marked_by": "CD"}, {"question": "3", "mark": "1"})
    status, said = mark(place)
    assert status == 0 and moved(said) == [
        f"New in changed-marks.csv: 1 {PAPER} question 20 from 4 to 2; 1 {PAPER} question 3 from 0 to 1."
    ]
    reason = sheet(place)["1"]["reason"]
    assert "The mark of question 20 was changed by CD from 4 to 2." in reason
    assert "The mark of question 3 was changed by EF from 0 to 1." in reason
    assert not moved(mark(place)[1]) and sheet(place)["1"]["reason"] == reason
    change(place, {"question": "20", "mark": "4", "marked_by": "CD"}, {"question": "3", "mark": ""})
    [line] = moved(mark(place)[1])
    assert f" 1 {PAPER} question 20 from 2 to 4; 1 {PAPER} question 3 from 1 to 0." in line
    assert "The mark of question 20 was confirmed by CD." in sheet(place)["1"]["reason"]


def test_a_change_to_an_answer_that_nobody_had_marked_is_said(place: Path) -> None:
    mark(place, "--forms")
    change(place, {"question": "20", "mark": "3"})
    assert f"1 {PAPER} question 20 from no mark to 3" in moved(mark(place)[1])[0]


def test_a_column_of_marks_that_was_sorted_alone_is_said(place: Path) -> None:
    mark(place)
    fill(file_for(place), typed(ALL))
    assert not moved(mark(place)[1]), "first marks"
    assert not moved(mark(place)[1]), "nothing changed"
    before = {n: row["mark"] for n, row in sheet(place).items()}
    fill(file_for(place), sort_the_marks)
    status, said = mark(place)
    now = {n: row["mark"] for n, row in sheet(place).items()}
    others = [n for n in before if before[n] != now[n]]
    [line] = moved(said)
    assert status == 0 and len(others) > 1
    assert line.startswith(f"by-hand/{QUESTION}.csv: {len(others)} marks are others than at the last marking (")
    assert f"{others[0]} from {ALL[int(others[0])]} to " in line and "put your copy of the file back" in line
    assert line in said.splitlines()[:8], "before what else is said"
    noted = {one["candidate"]: (one["was"]["mark"], one["is"]["mark"]) for one in record(place)[-1]["typed"]}
    assert sorted(noted) == others and all(was != new for was, new in noted.values())
    assert not moved(mark(place)[1])


@pytest.mark.parametrize("marker", ["-second-marker", "-agreed"])
def test_marks_of_a_second_marker_and_those_agreed_on_are_watched_too(place: Path, marker: str) -> None:
    mark(place)
    fill(file_for(place), typed(ALL))
    fill(file_for(place, "-second-marker"), typed({1: "1", 2: "0"}, "CD"))
    mark(place)
    fill(file_for(place, "-agreed"), typed({1: "2", 2: "1"}, "CD"))
    assert not moved(mark(place)[1])
    fill(file_for(place, marker), typed({1: "3"}, "CD"))
    [line] = moved(mark(place)[1])
    was = "2" if marker == "-agreed" else "1"
    assert line.startswith(f"by-hand/{QUESTION}{marker}.csv: a mark is another than") and f"(1 from {was} to 3)" in line


def test_a_mark_taken_back_is_said_and_a_refused_one_only_as_that(place: Path) -> None:
    marked_once(place)
    fill(file_for(place), typed({1: "", 2: "9"}))
    status, said = mark(place)
    assert status == 3 and "(1 from 4 to no mark)" in moved(said)[0] and "9 is above 4" in said


def older_key(place: Path, candidates: int) -> None:
    lay_key(place / "cohort.key", map(str, range(1, candidates + 1)))


def test_whom_an_older_copy_of_the_key_does_not_know_stays_in_the_sheet(place: Path) -> None:
    marked_once(place)
    whole = sheet(place)
    older_key(place, 5)
    for _ in range(2):
        status, said = mark(place)
        rows = sheet(place)
        assert [rows[n]["status"] for n in ("5", "6", "7", "8")] == ["marked", "unreadable", "missing", "missing"]
        assert status == 4 and "no paper of this kind was issued to candidate 6" in rows["6"]["reason"]
        assert f"this key did not issue, to 6 ({PAPER}), 7 ({PAPER}), 8" in said or f"to 7 ({PAPER}), 8" in said
    (place / "in" / f"6-{PAPER}.handed-in.json").rename(place / "6.json")
    older_key(place, 8)
    mark(place)
    older_key(place, 5)
    for _ in range(2):
        status, said = mark(place)
        assert status == 3 and "0 could not be read; 3 candidates are unknown to this key." in said
        assert "no answer to this question has this code" not in said and not moved(said)
        reason = sheet(place)["6"]["reason"]
        assert "it is an older copy of the key" in reason and reason.startswith("No file of this candidate lies in the")
    first = (place / "out" / "marks.csv").read_bytes()
    mark(place)
    assert (place / "out" / "marks.csv").read_bytes() == first
    older_key(place, 8)
    (place / "6.json").rename(place / "in" / f"6-{PAPER}.handed-in.json")
    assert mark(place)[0] == 0 and sheet(place) == whole


def test_a_candidate_whose_file_is_gone_was_marked_before(place: Path) -> None:
    marked_once(place)
    whole = sheet(place)
    was = whole["3"]
    file = place / "in" / f"3-{PAPER}.handed-in.json"
    file.rename(place / "3.json")
    for _ in range(2):
        status, said = mark(place)
        row = sheet(place)["3"]
        assert (status, row["status"], row["mark"]) == (0, "missing", "")
        worth = f"{was['mark']} of {was['out_of']}, {was['result']}, receipt {was['receipt']}."
        assert f"No file of this candidate lies in the folder. One did at an earlier marking: {worth}" in row["reason"]
        assert f"Marked before, and no longer in the folder: 3 ({PAPER})." in said
        assert sheet(place)["7"]["reason"] == "No file of this candidate lies in the folder."
    (place / "3.json").rename(file)
    assert "Marked before" not in mark(place)[1] and sheet(place) == whole


def test_what_waited_and_is_gone_is_said_as_that(place: Path) -> None:
    mark(place)
    was = sheet(place)["3"]
    (place / "in" / f"3-{PAPER}.handed-in.json").unlink()
    mark(place)
    worth = f"{was['mark']} of {was['out_of']}, without what waited for a person, receipt {was['receipt']}."
    assert worth in sheet(place)["3"]["reason"]


def test_notebooks_without_their_sheet_are_not_written_over_by_an_older_record(place: Path) -> None:
    marked_once(place)
    old = (place / "out" / "record.jsonl").read_bytes()
    mark(place, "--pass-mark", "90", "--by", "Board")
    newest = (place / "out" / "record.jsonl").read_bytes()
    (place / "out" / "record.jsonl").write_bytes(old)
    whole = (place / "out" / "marks.csv").read_bytes()
    (place / "out" / "marks.csv").unlink()
    before = outputs(place)
    status, said = mark(place)
    assert status == 2 and outputs(place) == before
    assert said.startswith("marks.csv is not there, and notebooks of an earlier marking lie in marked.")
    (place / "out" / "record.jsonl").write_bytes(newest)
    (place / "out" / "marked").rename(place / "marked before")
    assert mark(place)[0] == 0 and (place / "out" / "marks.csv").read_bytes() == whole


def test_a_refused_change_alone_says_what_waits(place: Path) -> None:
    marked_once(place, "--forms")
    change(place, {"mark": "7"})
    status, said = mark(place)
    assert status == 3 and said.startswith(
        "6 marked, 0 waiting for a person, 0 could not be read; 1 row that a person typed waits to be mended."
    )
    assert "changed-marks.csv, row 2, candidate 1, question 3: 7 is above 1" in said


def test_many_refused_rows_hide_nothing_that_matters_more(place: Path) -> None:
    for number in range(9, 31):
        hand_in(place / "in", str(number), {20: f"I write down 9.9 bar and U. Answer {number}."})
    lay_key(place / "cohort.key", map(str, range(1, 31)))
    mark(place, "--forms")
    fill(file_for(place), typed(ALL))
    mark(place)
    (place / "out" / "marks.csv").write_bytes((place / "out" / "marks.csv").read_bytes() + b"\n")
    change(place, {"mark": "7"})
    fill(file_for(place), typed({**dict.fromkeys(range(9, 31), "9"), 1: "2"}))
    status, said = mark(place)
    assert status == 3 and "... and " in said and said.count("9 is above 4") < 22
    assert "kept as marks-as-edited-1.csv" in said and "7 is above 1" in said and "1 from 4 to 2" in said
