"""Datasets: every shipped CSV is whole, and a bad one is named."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from steadyneedle.foundation import datasets, places
from steadyneedle.foundation.datasets import SOURCES, DatasetError

LOGS = places.datasets() / "logs"
SHIPPED = sorted(p for p in places.datasets().rglob("*.csv") if p.parent != LOGS or p.name == "sources.csv")


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_every_row_names_its_source(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows
    for row in rows:
        assert row["source"].startswith(SOURCES), row


def test_every_log_is_named_with_its_source() -> None:
    """Logs stand as their instruments wrote them; `sources.csv` beside them says where each is from."""
    with (LOGS / "sources.csv").open(encoding="utf-8", newline="") as file:
        named = {row["file"] for row in csv.DictReader(file)}
    assert named == {path.name for path in LOGS.glob("*.csv")} - {"sources.csv"}


def test_columns_are_read() -> None:
    columns = datasets.table("gauge_classes", ("class_percent",))
    assert columns["class_percent"] == (0.1, 0.25, 0.6, 1.0, 1.6, 2.5, 4.0)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "is empty: it needs a header row"),
        ("a_bar,source\n1,invented\nx,invented\n", "row 3, column a_bar: 'x' is not a finite number"),
        ("a_bar,source\nnan,invented\n", "row 2, column a_bar: 'nan' is not a finite number"),
        ("a_bar,source\n1\n", "row 2: 1 cells, but the header has 2 columns"),
        ("a_bar,source\n1,somewhere\n", "column source: 'somewhere' names no source"),
        ("b_bar,source\n1,invented\n", "lacks the column a_bar; it has b_bar, source"),
        ('a_bar,source\n1,"invented\n', "row 2: a double quote is not closed"),
        ("a_bar,source\n" + "1" * 200_000 + ",invented\n", "or a cell is far too long"),
    ],
)
def test_what_is_wrong_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, sentence: str) -> None:
    (tmp_path / "bad.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(places, "datasets", lambda: tmp_path)
    datasets.table.cache_clear()
    with pytest.raises(DatasetError, match=sentence.replace("(", r"\(")):
        datasets.table("bad", ("a_bar",))
    datasets.table.cache_clear()


def test_a_missing_file_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(places, "datasets", lambda: tmp_path)
    with pytest.raises(DatasetError, match="There is no file"):
        datasets.table("nowhere")
