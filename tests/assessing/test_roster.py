"""Rosters: numbers and nothing else, refused by row."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.assessing.roster import RosterError, read_roster


@pytest.mark.parametrize(
    "data",
    [
        b"candidate\n101\n102\n", b"\xef\xbb\xbfcandidate\r\n101\r\n102\r\n", b"candidate\n101\n102",
        b'"candidate"\n"101"\n"102"\n', b"candidate,,\n101,,\n102,,\n", b"Candidate;\n 101 ;\n102;\n",
    ],
    ids=["plain", "mark and Windows ends", "no last end", "quoted", "empty columns", "semicolons"],
)  # fmt: skip
def test_a_roster_is_read_as_spreadsheets_save_it(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "r.csv").write_bytes(data)
    assert read_roster(tmp_path / "r.csv") == ["101", "102"]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "row 1: the header is missing. Write candidate alone"),
        (b"101\n102\n", "row 1: the header is missing"),
        (b"candidate\n", "names nobody"),
        (b"candidate,name\n101,A\n", "row 1: the column name is refused as private"),
        (b"name;candidate;born\nA;101;1990\n", "row 1: the columns name, born are refused as private"),
        (b"candidate\n101\n\n102\n", "row 3 is blank"),
        (b"candidate\n101\n102\n\n", "row 4 is blank"),
        (b"candidate\n101\n101\n", "row 3: 101 stands in row 2 already"),
        (b"candidate\n7\n007\n", "row 3: 007 is the number 7 that stands in row 2 already"),
        (b"candidate\n../101\n", "row 2: '../101' is a path"),
        (b"candidate\n101/2\n", "row 2: '101/2' is a path"),
        (b"candidate\nC:\\101\n", "row 2: 'C:\\101' is a path"),
        (b"candidate\n1234567890123\n", "row 2: '1234567890123' has 13 digits"),
        (b"candidate\n1.23E+11\n", "row 2: '1.23E+11' is how a spreadsheet writes a large number"),
        (b'candidate\n"1,23E+11"\n', "is how a spreadsheet writes a large number"),
        (b"candidate\n101.0\n", "is how a spreadsheet writes a large number"),
        (b"candidate\n=101\n", "row 2: '=101' is no candidate number"),
        (b"candidate\n-101\n", "row 2: '-101' is no candidate number"),
        ("candidate\n١٠١\n".encode(), "row 2: '١٠١' is no candidate number"),
        (b"candidate\n101,A\n", "row 2 holds more than a candidate number"),
        ("candidate\nZoë\n".encode("cp1252"), "is Windows-1252, not UTF-8"),
        ("candidate\n101\n".encode("utf-16"), "is UTF-16, not UTF-8"),
        (b"PK\x03\x04rest", "is a spreadsheet"),
        (b"candidate\n101\0\n", "is no text file"),
        (b'candidate\n"101\n', "row 2: a double quote is not closed"),
        (b"candidate\n" + b"1\n" * 600_000, "MB are read"),
    ],
)
def test_what_is_wrong_is_said_by_row(tmp_path: Path, data: bytes, sentence: str) -> None:
    (tmp_path / "r.csv").write_bytes(data)
    with pytest.raises(RosterError) as refused:
        read_roster(tmp_path / "r.csv")
    assert sentence in str(refused.value)


def test_all_rows_that_are_wrong_are_said_at_once_and_many_are_counted(tmp_path: Path) -> None:
    (tmp_path / "r.csv").write_text("candidate\nx\n101\n\n101\n", encoding="utf-8")
    with pytest.raises(RosterError) as refused:
        read_roster(tmp_path / "r.csv")
    assert [line.split(": ")[0].split(" is ")[0] for line in str(refused.value).splitlines()] == [
        "r.csv, row 2", "r.csv, row 4", "r.csv, row 5",
    ]  # fmt: skip
    (tmp_path / "r.csv").write_text("candidate\n" + "x\n" * 30, encoding="utf-8")
    with pytest.raises(RosterError, match="and 20 more rows"):
        read_roster(tmp_path / "r.csv")


def test_no_file_a_folder_and_a_roster_too_long(tmp_path: Path) -> None:
    with pytest.raises(RosterError, match="There is no file"):
        read_roster(tmp_path / "none.csv")
    with pytest.raises(RosterError, match="is a folder"):
        read_roster(tmp_path)
    (tmp_path / "r.csv").write_text("candidate\n" + "\n".join(map(str, range(1, 5002))), encoding="utf-8")
    with pytest.raises(RosterError, match="at most 5000"):
        read_roster(tmp_path / "r.csv")


@settings(max_examples=40)
@given(st.binary(max_size=60) | st.text(max_size=60).map(lambda text: f"candidate\n{text}".encode()))
def test_any_bytes_are_read_or_refused(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(data)
    try:
        numbers = read_roster(path)
    except RosterError as refused:
        assert str(refused)
    else:
        assert numbers and all(one.isascii() and one.isdigit() and len(one) <= 12 for one in numbers)
