"""Reading a paper back from the notebook that a candidate got: data alone, checked one by one; nothing of it runs."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from steadyneedle.assessing.job_rubric import Scheme, scheme_of
from steadyneedle.assessing.paper_file import CANDIDATE, CODE, NAME, PAGE, VERSION, Item, Paper, PaperError
from steadyneedle.assessing.paper_plan import CHOSEN, JOB, KEYED, KINDS, PLACE, TRACE, VERDICT, PaperPlan
from steadyneedle.foundation import notebooks
from steadyneedle.foundation.notebooks import MARK, NotebookError
from steadyneedle.foundation.text_files import printable
from steadyneedle.jobs.path import LARGEST as LARGEST_JOB
from steadyneedle.questions.shown import NeedleTrace

LARGEST_PAPER = 2_000_000
"""Bytes; a paper of twenty questions is some thirty thousand."""


def read_paper(path: Path) -> Paper:
    """The paper that a notebook holds; nothing of it runs.

    Raises
    ------
    PaperError
        No file of its own, no paper, code besides the one fixed cell, or changed after it was made.
    """
    name = printable(path.name)
    try:
        if path.is_file() and path.stat().st_size > LARGEST_PAPER:
            raise PaperError(f"{name} is far too large for a paper. Ask for yours again.")
        if not path.is_symlink() and not path.exists():
            raise PaperError(f"There is no file {printable(str(path), 300)}. Check its name and its folder.")
        book = notebooks.read_own(path)
    except NotebookError as error:
        raise PaperError(f"{error} Ask for your paper again.") from None
    except OSError as error:
        raise PaperError(f"{name} cannot be read: {error.strerror or error}.") from None
    mark = book.get("metadata", {}).get(MARK)
    if not isinstance(mark, dict) or mark.get("page") != PAGE or not isinstance(mark.get("paper"), dict):
        raise PaperError(f"{name} is no paper of this workbook. Name the file you were given.")
    if notebooks.code_of(book) != [CODE]:
        raise PaperError(f"{name} holds code that no paper has. Ask for your paper again.")
    version = mark["paper"].get("version")
    if type(version) is int and version > VERSION:
        raise PaperError(f"{name} was made by a newer Steady Needle. Update the workbook.")
    paper = paper_of(mark["paper"])
    if paper is None or paper.digest != mark.get("digest"):
        raise PaperError(f"{name} was changed after it was made, or is damaged. Ask for your paper again.")
    return paper


_PAPER = {
    "candidate": str, "paper": str, "attempt": int, "title": str, "minutes": int, "pass_percent": int, "cohort": str,
}  # fmt: skip
_ITEM = {
    "number": int, "kind": str, "exercise": str, "version": int, "title": str, "asked": list,
    "weight": int, "critical": bool, "unit": str, "picture": str, "options": list, "trace": dict,
    "job": int, "scheme": dict,
}  # fmt: skip


def paper_of(data: Mapping[str, Any]) -> Paper | None:
    """A paper from plain data; None where they are not a paper's."""
    listed = data.get("items")
    if set(data) != {"version", *_PAPER, "items"} or not isinstance(listed, list):
        return None
    if not all(type(data[name]) is kind for name, kind in _PAPER.items()) or data["version"] != VERSION:
        return None
    if not CANDIDATE.fullmatch(data["candidate"]) or not NAME.fullmatch(data["paper"]) or data["attempt"] < 1:
        return None
    if not 1 <= data["pass_percent"] <= 100:
        return None
    items = [_item_of(one) for one in listed]
    if not items or any(one is None or one.number != at for at, one in enumerate(items, 1)):
        return None
    return Paper(**{name: data[name] for name in _PAPER}, items=tuple(one for one in items if one is not None))


def _item_of(data: Any) -> Item | None:
    if not isinstance(data, dict) or set(data) != set(_ITEM):
        return None
    if not all(type(data[name]) is kind for name, kind in _ITEM.items()) or data["kind"] not in KINDS:
        return None
    options = data["options"]
    pairs = all(isinstance(one, list) and len(one) == 2 and all(isinstance(x, str) for x in one) for one in options)
    lines = bool(data["asked"]) and all(isinstance(line, str) for line in data["asked"])
    trace = _trace_of(data["trace"]) if data["trace"] else None
    scheme = _scheme_of(data["scheme"]) if data["scheme"] else None
    if not (pairs and lines and _has_what_its_kind_has(data, trace, scheme)):
        return None
    shown = {"asked": tuple(data["asked"]), "options": tuple((key, words) for key, words in options)}
    return Item(**{**data, **shown, "givens": {}, "trace": trace, "scheme": scheme})


def _has_what_its_kind_has(data: Mapping[str, Any], trace: NeedleTrace | None, scheme: Scheme | None) -> bool:
    """Whether options, a trace and a job stand with the kinds that have them, and nowhere else."""
    kind = data["kind"]
    if bool(data["options"]) != (kind in (*CHOSEN, *KEYED)) or bool(data["trace"]) != (trace is not None):
        return False
    if kind != VERDICT and (trace is not None) != (kind in (TRACE, PLACE)):
        return False
    if bool(data["scheme"]) != (kind == JOB):
        return False
    if kind != JOB:
        return bool(data["job"] == 0)
    return scheme is not None and scheme.out_of == data["weight"] and 1 <= data["job"] <= LARGEST_JOB


def _scheme_of(data: Mapping[str, Any]) -> Scheme | None:
    return scheme_of({name: value for name, value in data.items() if name != "within"}, data.get("within"))


LONGEST_TRACE, MOST_SECONDS, MOST_BAR = 200, 36_000, 400
"""Readings, seconds and bar of a trace, at most."""


def _trace_of(data: Mapping[str, Any]) -> NeedleTrace | None:
    """A trace from plain data; None where they are not a trace's."""
    if set(data) != {"seconds", "bars", "low", "high", "text"} or not isinstance(data["text"], str):
        return None
    seconds, bars = data["seconds"], data["bars"]
    if not isinstance(seconds, list) or not isinstance(bars, list) or not 2 <= len(seconds) <= LONGEST_TRACE:
        return None
    if len(bars) != len(seconds) or not all(type(one) is int and 0 <= one <= MOST_SECONDS for one in seconds):
        return None
    if sorted(set(seconds)) != seconds or not all(_is_bar(one) for one in (*bars, data["low"], data["high"])):
        return None
    if data["low"] >= data["high"]:
        return None
    return NeedleTrace(tuple(seconds), tuple(bars), data["low"], data["high"], data["text"])


def _is_bar(value: Any) -> bool:
    return type(value) in (int, float) and -1 <= value <= MOST_BAR


def plan_matches(paper: Paper, plan: PaperPlan) -> bool:
    """Whether a paper asks what its plan plans, question by question."""
    planned = [(one.number, one.kind, one.exercise, one.weight, one.critical) for one in plan.questions]
    return planned == [(one.number, one.kind, one.exercise, one.weight, one.critical) for one in paper.items]
