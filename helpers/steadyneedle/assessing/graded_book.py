"""The graded notebook of one candidate: what was asked and answered, and cells that compute each mark again.

Its outputs are what its cells print, for the very same functions write both; so it reads without a kernel, and running
it reproduces every mark.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from steadyneedle.assessing.as_shown_safely import as_html, as_literal
from steadyneedle.assessing.graded import OUTCOMES, GradedPaper
from steadyneedle.assessing.hand_marks import Given, in_words
from steadyneedle.assessing.handed_in import HandedIn
from steadyneedle.assessing.job_marking import hidden_lines, path_lines, read_path_of
from steadyneedle.assessing.keyed_items import as_answered, in_words_of_today
from steadyneedle.assessing.mark_sheet import as_asked_in
from steadyneedle.assessing.marking import (
    FOR_A_HUMAN,
    KEPT,
    MENDED,
    STOOD,
    UNREAD,
    WAITS,
    WAS_MENDED,
    ItemMark,
    PaperMark,
    expected,
)
from steadyneedle.assessing.nothing_typed import typed_there
from steadyneedle.assessing.observed import NOBODY, Observation
from steadyneedle.assessing.paper_file import words_of
from steadyneedle.assessing.paper_plan import JOB, TEXT, Planned, exercise_named
from steadyneedle.assessing.seals import book_seal
from steadyneedle.assessing.which_workbook import workbook_in_words
from steadyneedle.foundation import notebooks
from steadyneedle.foundation.notebooks import LOCKS, MARK
from steadyneedle.jobs.path import PathError

PAGE = "graded"
OPENING = "from steadyneedle.assessing.graded import GradedPaper\n\n"
ANOTHER_TODAY = "This is another question today."
AS_ASKED = "As it was asked it stands in {}."
RUN_IT = " To compute every mark again, run the notebook from top to bottom: each cell takes the answer as data."


def graded_bytes(
    marked: PaperMark, handed_in: HandedIn, planned: Sequence[Planned], watched: Sequence[Observation] = (),
    secret: bytes = b"", kept: Mapping[int, str] | None = None,
) -> bytes:  # fmt: skip
    """The notebook's file: the same paper and answers give the same bytes.

    Parameters
    ----------
    marked : PaperMark
        The paper with its marks.
    handed_in : HandedIn
        The file it came from.
    planned : sequence of Planned
        The questions as planned, for the rubric of what a human marks.
    watched : sequence of Observation
        What somebody watched the candidate do.
    secret : bytes
        The cohort's, to seal the notebook.
    kept : mapping of int to str
        Of each question that a notebook of an earlier marking shows as it was asked, where that lies.
    """
    issued = marked.paper.pass_percent
    was = f", issued={issued}" if issued != marked.pass_percent else ""
    paper = GradedPaper(marked.pass_percent, issued)
    cells = [_words("head", _head(marked, handed_in))]
    counted, lies = _Counted(), kept or {}
    cells.append(counted.code("open", f"{OPENING}paper = GradedPaper(pass_percent={marked.pass_percent}{was})", ""))
    for one, plan in zip(marked.items, planned, strict=True):
        number = one.item.number
        cells.append(_words(f"question-{number}", _question(one, plan, as_asked_in(lies.get(number, "")))))
        call, printed = _marking(one, paper)
        cells.append(counted.code(f"mark-{number}", call, printed))
    cells.append(_words("sum", "## The whole paper"))
    cells.append(counted.code("total", "paper.total()", paper.summary()))
    cells.append(_words("observed", _watched(watched)))
    book: dict[str, Any] = {
        "cells": cells,
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
            MARK: {"page": PAGE},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    book["metadata"][MARK]["seal"] = book_seal(secret, book)
    return notebooks.as_text(book).encode("utf-8")


def seal_in(book: dict[str, Any]) -> Any:
    """The seal that stands in a notebook; None where there is none."""
    mark = book.get("metadata", {}).get(MARK)
    return mark.get("seal") if isinstance(mark, dict) else None


class _Counted:
    """Code cells, counted from 1 as if they had been run from top to bottom."""

    def __init__(self) -> None:
        self._count = 0

    def code(self, identity: str, source: str, printed: str) -> dict[str, Any]:
        self._count += 1
        stream = {"name": "stdout", "output_type": "stream", "text": f"{printed}\n".splitlines(keepends=True)}
        return {
            "cell_type": "code",
            "execution_count": self._count,
            "id": identity,
            "metadata": {**LOCKS, "jupyter": {"source_hidden": True}},
            "outputs": [stream] if printed else [],
            "source": source.splitlines(keepends=True),
        }


def _words(identity: str, text: str) -> dict[str, Any]:
    return {"cell_type": "markdown", "id": identity, "metadata": dict(LOCKS), "source": text.splitlines(keepends=True)}


def _head(marked: PaperMark, handed_in: HandedIn) -> str:
    paper = marked.paper
    attempt = f", attempt {paper.attempt}" if paper.attempt > 1 else ""
    result = f"**Result: {marked.result}.**" if marked.result else "**Result: open.** A person marks what is left."
    missed = ", ".join(map(str, marked.critical_missed))
    lines = [
        f"# {paper.title}: candidate {paper.candidate}{attempt}",
        f"**Mark: {in_words(marked.mark)} of {marked.out_of}.** {result}"
        + (f" Critical questions missed: {missed}." if missed else ""),
        f"Receipt {handed_in.receipt}. Marked with Steady Needle {workbook_in_words()}.",
        "Below each question stand the answer as it was typed, what was expected with its working, the mark and the "
        f"reason.{RUN_IT}",
        f"SHA-256 of the file handed in: `{handed_in.sha256}`",
        _overview(marked),
    ]
    return "\n\n".join(lines)


def _overview(marked: PaperMark) -> str:
    """A table of all marks, to be read at a glance."""
    rows = [
        f"| {one.item.number}. {one.item.title} | {'open' if one.waiting else in_words(one.mark)} of {one.item.weight} "
        f"| {'yes' if one.item.critical else ''} | {_outcome(one)} |"
        for one in marked.items
    ]
    return "\n".join(["| Question | Mark | Critical | Outcome |", "|:--|:--|:--|:--|", *rows])


def _outcome(one: ItemMark) -> str:
    """What an answer is worth, in a word or two."""
    if one.given is not None:
        return f"Marked by {one.given.by}."
    if one.waiting:
        return "It could not be read; a person marks it." if one.worth.outcome == UNREAD else "A person marks it."
    return OUTCOMES[one.worth.outcome].format(mistake=one.worth.mistake)


def _watched(watched: Sequence[Observation]) -> str:
    """What somebody watched the candidate do, or that nobody did."""
    rows = [
        f"- {as_html(one.date.isoformat())}, {as_html(one.task)}: **{one.outcome}**, seen by {as_html(one.observer)}: "
        f"{as_html(one.evidence)}"
        for one in watched
    ]
    return "## At work\n\n" + ("\n".join(rows) if rows else NOBODY)


def _question(one: ItemMark, planned: Planned, as_asked: str) -> str:
    """The question as it was asked, or where it stands so, and what was answered."""
    item, typed = one.item, one.answer
    another = f"## {item.number}. {item.title}\n\n{ANOTHER_TODAY} {AS_ASKED.format(as_asked)}"
    asked = another if one.another else words_of(item)
    in_words_then = in_words_of_today if one.another else as_answered
    answered = _path_of(one) or _typed(in_words_then(item.kind, item.options, typed))
    rubric = "\n".join(f"- {line}" for line in planned.rubric) if item.kind == TEXT else ""
    said = _by_persons(one.given) if one.given else ""
    parts = (asked, f"**Answered:** {answered}", rubric and f"**Rubric:**\n\n{rubric}", said)
    return "\n\n".join(part for part in parts if part)


def _by_persons(given: Given) -> str:
    """Who gave the mark, and why; of one that was changed after all, who gave the first as well."""
    why = f": <code>{as_html(given.why)}</code>" if given.why else ""
    if given.instead is None:
        return f"**Marked by {given.by}**{why}" if why else ""
    first = given.earlier or Given(given.instead, "The workbook")
    reason = f": <code>{as_html(first.why)}</code>" if first.why else ""
    changed = f"changed by {given.by} to {given.words}"
    return f"**{first.by} gave {first.words}**{reason}; **{changed}**{why}"


def _typed(words: str) -> str:
    return f"<code>{as_html(words)}</code>" if typed_there(words) else "nothing"


def _path_of(one: ItemMark) -> str:
    """A path through a job, step by step; empty where it is none that can be read."""
    if one.item.kind != JOB or one.another:
        return ""
    try:
        lines = path_lines(read_path_of(one.answer, one.item.job))
    except PathError:
        return ""
    return "\n\n" + "\n".join(lines[:-1]) + f"\n\n{lines[-1]}"  # words of our own tables, every one of them


def _marking(one: ItemMark, paper: GradedPaper) -> tuple[str, str]:
    """The lines of code that mark an answer again, and what they print: a person's mark stands after the workbook's."""
    if one.given is None:
        return _by_workbook(one, paper)
    item, worth, by = one.item, in_words(one.given.mark), as_literal(one.given.by)
    counts = item.critical and (item.kind != JOB or one.missed)  # a job is missed where it earned nothing
    more = ", critical=True" if counts else ""
    if one.given.instead is not None:
        more += f", instead={in_words(one.given.instead)}"
    call = f"paper.given({item.number}, mark={worth}, weight={item.weight}, by={by}{more})"
    before = []
    if one.given.earlier is not None:
        before = [_marking(replace(one, given=one.given.earlier), paper)]
    elif one.worth.outcome not in (WAITS, MENDED) or one.played_otherwise:
        before = [_by_workbook(one, paper)]
    told = (call, paper.by_hand(item.number, one.given, item.weight, counts))
    calls, printed = zip(*before, told, strict=True)
    return "\n".join(calls), "\n".join(printed)


def _by_workbook(one: ItemMark, paper: GradedPaper) -> tuple[str, str]:
    """The line of code that marks an answer as the workbook does, and what it prints."""
    item, number, weight = one.item, one.item.number, one.item.weight
    critical = ", critical=True" if item.critical else ""
    if one.worth.outcome == MENDED:
        return f"paper.mended({number}, weight={weight})", paper.open(number, weight, WAS_MENDED)
    if one.worth.outcome == KEPT:
        told = f", safe={one.worth.safe}" if item.critical else ""
        call = f"paper.kept({number}, mark={in_words(one.worth.marks(weight))}, weight={weight}{critical}{told})"
        return call, paper.report(number, one.worth, [], weight, item.critical)
    if one.worth.outcome == STOOD and one.worth.today is not None:
        today, printed = _by_workbook(replace(one, worth=one.worth.today), paper)
        mark, safe = one.worth.marks(weight), one.worth.safe
        more = f"{critical}, safe={safe}" if item.critical else ""
        call = f"paper.stood({number}, mark={in_words(mark)}, weight={weight}{more})"
        stands = paper.standing(number, mark, weight, critical=item.critical, safe=safe)
        return f"{today}\n{call}", f"{printed}\n{stands}"
    if item.kind == JOB and not one.another:
        return _job(one, paper, critical)
    if item.kind == TEXT or one.another:  # of another question there is nothing but an empty answer left
        return _text(one, paper, critical)
    call = (
        f"paper.marked(\n    {number}, {as_literal(item.exercise)}, {_givens(one)}, version={item.version},\n"
        f"    answer={as_literal(one.answer)}, weight={weight}{critical},\n)"
    )
    right = expected(exercise_named(item.exercise), dict(item.givens))
    return call, paper.report(number, one.worth, right, weight, item.critical)


def _text(one: ItemMark, paper: GradedPaper, critical: str) -> tuple[str, str]:
    """The line for a text that nobody has marked yet, or that is not there, and what it prints."""
    number, weight = one.item.number, one.item.weight
    if one.worth.outcome == WAITS:
        return f"paper.waits({number}, weight={weight})", paper.open(number, weight, FOR_A_HUMAN)
    call = f"paper.unanswered({number}, weight={weight}{critical})"
    return call, paper.report(number, one.worth, [], weight, one.item.critical)


def _job(one: ItemMark, paper: GradedPaper, critical: str) -> tuple[str, str]:
    """The line that plays a path again and marks it, and what it prints."""
    item, scheme = one.item, one.item.scheme
    assert scheme is not None
    marks = (scheme.cause, scheme.safe, scheme.minutes, scheme.honest, scheme.within)
    call = (
        f"paper.played(\n    {item.number}, {item.job}, {as_literal(one.answer)},\n"
        f"    scheme={marks}, weight={item.weight}{critical},\n)"
    )
    if one.worth.waiting:
        return call, paper.open(item.number, item.weight, " ".join(one.worth.lines))
    return call, paper.report(item.number, one.worth, hidden_lines(item.job), item.weight, item.critical)


def _givens(one: ItemMark) -> str:
    pairs = sorted(one.item.givens.items())
    return "{" + ", ".join(f"{name!r}: {as_literal(v) if isinstance(v, str) else repr(v)}" for name, v in pairs) + "}"
