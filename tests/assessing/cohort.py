"""A cohort of invented candidates: a key, papers, and what they hand in."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from typing import Any

from steadyneedle.assessing.edition import entry_of
from steadyneedle.assessing.handed_in_form import checksum_of, handed_in, handed_in_name
from steadyneedle.assessing.paper_file import Paper
from steadyneedle.assessing.paper_plan import TEXT, exercise_named
from steadyneedle.assessing.plan_file import load_plan
from steadyneedle.assessing.secret import CohortKey, write_key
from steadyneedle.assessing.setting import paper_for

PAPER = "units-and-bands"
PLAN = load_plan(PAPER)
SECRET = bytes(range(32))
AT = datetime.datetime(2026, 11, 27, 10, 15, tzinfo=datetime.UTC)


@cache
def paper_of(candidate: str, attempt: int = 1) -> Paper:
    """The paper of a candidate."""
    return paper_for(PLAN, CohortKey(SECRET), candidate, attempt)


def lay_key(path: Path, candidates: Iterable[str], attempt: int = 1) -> Path:
    """The cohort's key, with the papers of these candidates issued."""
    key = CohortKey(SECRET)
    key.issue(PLAN, attempt, {one: entry_of(paper_of(one, attempt)) for one in candidates})
    write_key(path, key)
    return path


def right_answers(paper: Paper) -> dict[int, str]:
    """What the lessons' own exercises say is right; a sentence for whoever reads the text question."""
    found = {}
    for item in paper.items:
        if item.kind == TEXT:
            found[item.number] = "I write down 9.9 bar and the uncertainty, and that it cannot be told yet."
            continue
        right = exercise_named(item.exercise).solve(dict(item.givens))
        found[item.number] = right if isinstance(right, str) else f"{right.magnitude:.4g} {item.unit}"
    return found


def file_of(candidate: str, answers: dict[int, str] | None = None, attempt: int = 1) -> bytes:
    """The file that a candidate hands in: all right, but for the answers given here."""
    paper = paper_of(candidate, attempt)
    return handed_in(paper, {**all_right(candidate, attempt), **(answers or {})}, AT)


@cache
def all_right(candidate: str, attempt: int = 1) -> dict[int, str]:
    """The right answers of a candidate's paper."""
    return right_answers(paper_of(candidate, attempt))


def hand_in(folder: Path, candidate: str, answers: dict[int, str] | None = None, attempt: int = 1) -> Path:
    """Lay that file into a folder under its own name."""
    path = folder / handed_in_name(candidate, PAPER, attempt)
    path.write_bytes(file_of(candidate, answers, attempt))
    return path


def changed(data: bytes, change: Callable[[dict[str, Any]], object], mend_checksum: bool = True) -> bytes:
    """A handed-in file with something in it changed, its checksum made to fit where that can be."""
    content = json.loads(data)
    change(content)
    if mend_checksum and "checksum" in content:
        content["checksum"] = checksum_of(content)
    return json.dumps(content).encode()
