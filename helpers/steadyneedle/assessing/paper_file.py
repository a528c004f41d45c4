"""A paper as data, and as the notebook that a candidate gets: what is asked, and nothing of what is right.

The data stand in the notebook's metadata, the questions in its text for whoever prints it. Its code is one fixed cell
that opens the form; a notebook with any other is refused.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from functools import cached_property
from typing import Any

from steadyneedle.assessing.canonical import digest_of
from steadyneedle.assessing.drawn import NO_PLACE
from steadyneedle.assessing.job_rubric import Scheme
from steadyneedle.assessing.keyed_items import lists
from steadyneedle.assessing.paper_plan import JOB
from steadyneedle.assessing.trace_picture import as_markdown
from steadyneedle.foundation import notebooks
from steadyneedle.foundation.notebooks import LOCKS, MARK
from steadyneedle.questions.shown import NeedleTrace

VERSION = 1
PAGE = "paper"
CODE = "from steadyneedle.sitting import open_paper\n\nopen_paper()"
"""The one code cell of a paper, letter for letter."""
CANDIDATE = re.compile("[0-9]{1,12}")
NAME = re.compile("[a-z0-9]+(?:-[a-z0-9]+)*")


class PaperError(ValueError):
    """A file is no paper; the sentence says what it is instead."""


@dataclass(frozen=True)
class Item:
    """One question of one candidate.

    `kind` is one of `KINDS`; `exercise` names an exercise, or a text question of the plan, `version` is the
    exercise's. `asked` are the lines of the question, `picture` says what a picture beside it shows, `options` are the
    (key, words) of a choice in the order shown, `unit` is what a quantity is asked in, `trace` is drawn. No right
    answer stands here. `givens`, which may name it, and `place`, where in the stream of draws they were found, are
    known to whoever holds the key alone: no file of a paper has them, and no digest comes from them. Of a job stand
    its number and how it is marked: what it hides comes from the number.
    """

    number: int
    kind: str
    exercise: str
    version: int
    title: str
    givens: Mapping[str, Any] = field(compare=False)
    asked: tuple[str, ...]
    weight: int = 1
    critical: bool = False
    unit: str = ""
    picture: str = ""
    options: tuple[tuple[str, str], ...] = ()
    trace: NeedleTrace | None = None
    job: int = 0
    scheme: Scheme | None = None
    place: str = field(default=NO_PLACE, compare=False)

    @cached_property
    def digest(self) -> str:
        """Digest of what is asked: of exercise, version and every word and number shown."""
        trace = asdict(self.trace) if self.trace else {}
        words = (self.title, self.asked, self.picture, self.options, self.unit, trace)
        return digest_of([self.kind, self.exercise, self.version, words, self.job])

    def as_data(self) -> dict[str, Any]:
        """The question as JSON holds it: what a candidate may see."""
        data = {name: value for name, value in asdict(self).items() if name not in ("givens", "place")}
        return {**data, "trace": data["trace"] or {}, "scheme": data["scheme"] or {}}


@dataclass(frozen=True)
class Paper:
    """The paper of one candidate. `cohort` tells which key made it, and betrays nothing of it."""

    candidate: str
    paper: str
    attempt: int
    title: str
    minutes: int
    pass_percent: int
    cohort: str
    items: tuple[Item, ...]

    @cached_property
    def digest(self) -> str:
        """Digest of the whole paper."""
        return digest_of(self.as_data())

    @property
    def stem(self) -> str:
        """What its files are called: `101-units-and-bands`, from the second attempt on `...-attempt-2`."""
        return paper_stem(self.candidate, self.paper, self.attempt)

    def as_data(self) -> dict[str, Any]:
        """The paper as JSON holds it."""
        return {
            "version": VERSION, "candidate": self.candidate, "paper": self.paper, "attempt": self.attempt,
            "title": self.title, "minutes": self.minutes, "pass_percent": self.pass_percent, "cohort": self.cohort,
            "items": [one.as_data() for one in self.items],
        }  # fmt: skip

    @property
    def out_of(self) -> int:
        """Marks there are."""
        return sum(one.weight for one in self.items)

    @property
    def pass_mark(self) -> str:
        """What passes, in a sentence that the candidate reads before the first question."""
        return f"The pass mark is {self.pass_percent} % of {self.out_of} marks; each question says how many it carries."

    def item(self, number: int) -> Item:
        """A question by its number; ValueError where there is none."""
        for one in self.items:
            if one.number == number:
                return one
        raise ValueError(f"This paper has no question {number}; it has {len(self.items)}.")


def paper_stem(candidate: str, paper: str, attempt: int) -> str:
    """What the files of a paper are called, without their ending.

    >>> paper_stem("101", "creep", 1), paper_stem("101", "creep", 2)
    ('101-creep', '101-creep-attempt-2')
    """
    return f"{candidate}-{paper}" + (f"-attempt-{attempt}" if attempt > 1 else "")


UNITS = (
    "Type a quantity with its unit, for example 1.5 bar or 1,5 bar. A number without a unit is read only where the "
    'question says "how many", such as "how many minutes", "type", such as "type metres", or "in percent".'
)
"""What a paper says of units; `takes_bare` says of which questions it holds."""
HOW = (
    "The numbers in this paper were drawn for you. There are {count} questions and {minutes} minutes. {pass_mark}\n\n"
    "{units} A question marked *critical* must be right, "
    "whatever the rest adds up to{job}. What you type is saved as you type it; *Hand in* stands at the end of the "
    "form.\n\n"
    "To sit it, close this file and type: `steadyneedle sit {file}`. Where there is no such command, type "
    "`python3 helpers/start.py sit` in the workbook's folder, and then this paper's name with its folder."
)


CRITICAL_JOB = "; a critical job says itself what holds the result back"


def notebook_of(paper: Paper) -> dict[str, Any]:
    """The notebook that a candidate gets."""
    words = HOW.format(
        count=len(paper.items),
        minutes=paper.minutes,
        units=UNITS,
        pass_mark=paper.pass_mark,
        file=f"{paper.stem}.ipynb",
        job=CRITICAL_JOB if any(one.critical and one.kind == JOB for one in paper.items) else "",
    )
    attempt = f", attempt {paper.attempt}" if paper.attempt > 1 else ""
    head = f"# {paper.title}\n\n**Candidate {paper.candidate}**{attempt}\n\n{words}"
    cells = [
        _cell("head", head),
        _code("form"),
        *(_cell(f"question-{one.number}", words_of(one)) for one in paper.items),
    ]
    return {
        "cells": cells,
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
            MARK: {"page": PAGE, "paper": paper.as_data(), "digest": paper.digest},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def bytes_of(paper: Paper) -> bytes:
    """The notebook's file: the same paper gives the same bytes."""
    return notebooks.as_text(notebook_of(paper)).encode("utf-8")


def words_of(item: Item) -> str:
    """A question as a paper prints it."""
    marks = f"{item.weight} mark{'s' if item.weight > 1 else ''}{', critical' if item.critical else ''}"
    lines = [f"## {item.number}. {item.title}", f"*{marks}*", *item.asked, *picture_of(item)]
    for head, options in lists(item.kind, item.options):
        lines += [*([head] if head else []), *(f"- {words}" for words in options)]
    return "\n\n".join(lines)


def picture_of(item: Item) -> list[str]:
    """What stands beside the words of a question: a trace drawn, any other picture in words; often nothing."""
    if item.trace is not None:
        return [as_markdown(item.trace)]
    return [f"*The picture:* {item.picture}"] if item.picture else []


def _cell(identity: str, text: str) -> dict[str, Any]:
    return {"cell_type": "markdown", "id": identity, "metadata": dict(LOCKS), "source": text.splitlines(keepends=True)}


def _code(identity: str) -> dict[str, Any]:
    return {
        "cell_type": "code",
        "execution_count": None,
        "id": identity,
        "metadata": {**LOCKS, "jupyter": {"source_hidden": True}},
        "outputs": [],
        "source": CODE.splitlines(keepends=True),
    }
