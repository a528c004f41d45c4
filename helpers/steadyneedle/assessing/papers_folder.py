"""The folder of papers, which is given out: its index, whose papers lie there, and what must not lie beside them."""

from __future__ import annotations

import contextlib
import csv
import io
import os
from pathlib import Path

from steadyneedle.assessing.paper_file import CANDIDATE, NAME, PaperError
from steadyneedle.assessing.paper_reading import read_paper
from steadyneedle.foundation.text_files import printable

INDEX = "index.csv"
COLUMNS = ("candidate", "paper", "attempt", "file", "sha256", "cohort")
LARGEST_INDEX = 20_000_000
WITH_ANSWERS = "-answers.html"
"""How the page of a specimen that holds model answers ends."""
OF_RESULTS = ("marks.csv", "record.jsonl", "marked", "by-hand")
"""What a marking lays into the folder of results."""

Rows = dict[tuple[str, str, int], tuple[str, str, str]]
"""Candidate, paper and attempt -> file, its SHA-256, and which key made it."""


class IssueError(ValueError):
    """Papers cannot be issued, and nothing was written; the sentence says why and what to do."""


def index_rows(folder: Path) -> Rows:
    """Rows of the index that is there: other papers of the same folder stay in it.

    Raises
    ------
    IssueError
        A file of that name is there, and is none of ours.
    """
    path = folder / INDEX
    if not os.path.lexists(path):
        return {}
    strange = IssueError(f"{INDEX} in that folder is none of this workbook. Name another folder, or move it away.")
    if path.is_symlink() or not path.is_file() or path.stat().st_size > LARGEST_INDEX:
        raise strange
    try:
        listed = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline=""), strict=True))
    except (csv.Error, UnicodeDecodeError):
        raise strange from None
    if not listed or tuple(listed[0]) != COLUMNS or not all(map(_is_row, listed[1:])):
        raise strange
    return {(row[0], row[1], int(row[2])): (row[3], row[4], row[5]) for row in listed[1:]}


def _is_row(row: list[str]) -> bool:
    known = len(row) == len(COLUMNS) and CANDIDATE.fullmatch(row[0]) and NAME.fullmatch(row[1])
    return bool(known) and row[2].isascii() and row[2].isdigit()


def index_bytes(rows: Rows) -> bytes:
    """The index as CSV, in order of paper, attempt and candidate."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for (candidate, paper, attempt), beside in sorted(
        rows.items(), key=lambda row: (row[0][1], row[0][2], int(row[0][0]), row[0][0])
    ):
        writer.writerow((candidate, paper, attempt, *beside))
    return text.getvalue().encode("utf-8")


def cohort_of_a_paper(folder: Path) -> str:
    """Which key made the first paper of a folder: a command may have been killed before it wrote the index."""
    for path in sorted(folder.glob("[0-9]*-*.ipynb")):
        with contextlib.suppress(PaperError):
            return read_paper(path).cohort
    return ""


def holds_papers(folder: Path) -> bool:
    """Whether papers were issued into a folder."""
    with contextlib.suppress(IssueError, OSError):
        if index_rows(folder):
            return True
    return bool(cohort_of_a_paper(folder))


def refuse_answers_among_papers(folder: Path) -> None:
    """Refuse to lay papers where model answers lie, a specimen's or those of graded notebooks.

    Raises
    ------
    IssueError
        They do; the sentence names one.
    """
    there = [*sorted(one.name for one in folder.glob(f"specimen-*{WITH_ANSWERS}")), *OF_RESULTS]
    found = next((name for name in there if os.path.lexists(folder / name)), None)
    if found is not None:
        what = "the results of a marking" if found in OF_RESULTS else "the model answers of a specimen"
        raise IssueError(
            f"{printable(str(folder), 300)} holds {what}, {printable(found)}, and the folder of papers is given out. "
            "Name another folder for the papers, or move that away."
        )


def refuse_papers_among_answers(folder: Path, what: str, instead: str) -> None:
    """Refuse to lay answers into a folder of papers.

    Parameters
    ----------
    folder : Path
        Where they would go.
    what : str
        What would be laid, to begin a sentence.
    instead : str
        What to do.

    Raises
    ------
    IssueError
        Papers lie there.
    """
    if holds_papers(folder):
        raise IssueError(
            f"{printable(str(folder), 300)} holds the papers that are given out. {what} would lie among them: {instead}"
        )
