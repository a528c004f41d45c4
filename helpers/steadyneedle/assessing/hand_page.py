"""The page beside a question that persons mark: what was asked, the rubric, and each answer whole, under its code."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from steadyneedle.assessing.as_shown_safely import as_html
from steadyneedle.assessing.hand_marks import MarkSteps
from steadyneedle.assessing.marking import MENDED, UNREAD, ItemMark
from steadyneedle.assessing.paper_file import Item
from steadyneedle.assessing.paper_plan import CHOSEN, JOB, KEYED, MEASURED, TEXT, Planned
from steadyneedle.assessing.specimen import asked_lines, model_answer

STYLE = """
body { font: 12pt/1.5 Georgia, serif; max-width: 46rem; margin: 2rem auto; padding: 0 1rem; color: #111; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.2rem; margin: 1.4rem 0 0.3rem; }
h3 { font: bold 1.1rem monospace; margin: 1.4rem 0 0.3rem; }
p, ul, ol { margin: 0.3rem 0; } .marks, .said { color: #444; }
.answer { border-left: 3px solid #333; padding: 0.2rem 0 0.2rem 0.8rem; overflow-wrap: anywhere; }
img { max-width: 100%; height: auto; } section { break-inside: avoid; } @page { margin: 2cm; }
"""
WHERE_UNREAD = "Where the workbook cannot read an answer."
OURS = "This rule is ours. Where your course has its own, in writing and the same for everybody, that one counts."
NO_NUMBER = (
    "An answer that gives one value with its unit, in words or signs that the workbook does not know, earns what the "
    "workbook gives for that value: which values count stands under each question. Where the number is right and the "
    "unit is missing or misspelt, the course decides once for everybody and writes it down. Until it has, such an "
    "answer earns no marks, for a unit was asked. Everything else earns no marks."
)
NOT_WHOLE = (
    "Mark what was chosen by the rule under the question. A place in which nothing was chosen counts as a wrong "
    "choice, and so does a step in a second place. What was never offered counts as nothing chosen."
)
NOT_OFFERED = "It is none of what was offered. It earns no marks, unless it says in plain words which option is meant."
NO_PATH = (
    "It holds no path that can be played. Ask for the file again: a copy of the answers lies beside the candidate's "
    "paper. Until a path comes that can be played, the job earns no marks."
)
RULES = {
    **dict.fromkeys(MEASURED, NO_NUMBER), **dict.fromkeys(KEYED, NOT_WHOLE), **dict.fromkeys(CHOSEN, NOT_OFFERED),
    JOB: NO_PATH,
}  # fmt: skip
"""How two persons come to the same mark for what the workbook cannot read, by kind of question."""
CRITICAL_JOB = (
    "a job that failed critically, was not ended, or ended with “nothing wrong” against its own tests, as its path was "
    "handed in, needs 1 mark, or it holds the whole result back; so does an answer that holds no path. Where the path "
    "was ended without any of these, 0 holds nothing back: below such an answer the page says so. Where you hold, with "
    "a reason, that it failed critically all the same, type 0 critical."
)
HOLDS_NOTHING = (
    "As handed in, this job was ended without a critical failure: 0 holds nothing back. 0 critical does, with a reason."
)
ANOTHER_HERE = "Another question stands here today."
AS_GIVEN_OUT = "What was asked stands in the candidate's paper as it was given out, {}."
TWO_MARKERS = (
    "Of two marks that lie no more than a step apart the higher counts. Two that lie further apart wait for what is "
    "agreed on, in the file that ends in -agreed."
)
ONE_REACHES_IT = (
    "Where one of two markers gives that and the other does not, the answer waits for what they agree on too."
)
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


@dataclass(frozen=True, slots=True)
class Shown:
    """One answer on the page; `paper` is the file of the paper where the question has changed since, `asked` what was
    asked and expected then, line by line, where an earlier notebook shows it."""

    code: str
    one: ItemMark
    paper: str = ""
    asked: tuple[str, ...] = ()


def page_of(title: str, stem: str, scale: MarkSteps, planned: Planned, answers: Sequence[Shown]) -> bytes:
    """A page to read or to print, whole in one file; it loads nothing and holds no candidate's number.

    Parameters
    ----------
    title : str
        The paper's.
    stem : str
        What the question's files are called.
    scale : MarkSteps
        Of the question.
    planned : Planned
        Its rubric and model answer.
    answers : sequence of Shown
        In the order of their codes.
    """
    item = answers[0].one.item
    alike = planned.kind == TEXT  # its words are those of the plan as issued
    head = f"{title}: question {item.number}, {planned.title}"
    lines = [*asked_lines(item), *_rubric(planned)] if alike else []
    unread = any(one.one.worth.outcome == UNREAD for one in answers)
    rule = [f'<p class="said"><b>{WHERE_UNREAD}</b> {RULES[planned.kind]} {OURS}</p>'] if unread else []
    body = "\n".join([*lines, *_how(stem, scale, answers[0].one), *rule, "<h2>Answers</h2>"])
    page = io.BytesIO()  # grows answer by answer: a large cohort's page is long
    page.write(
        f'<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n<title>{escape(head)}</title>\n'
        f"<style>{STYLE}</style>\n</head>\n<body>\n<h1>{escape(head)}</h1>\n{body}\n".encode()
    )
    for one in answers:
        page.write(f"{_section(one, planned, alike)}\n".encode())
    page.write(b"</body>\n</html>\n")
    return page.getvalue()


def _rubric(planned: Planned) -> list[str]:
    model = [f"<p>{escape(line)}</p>" for line in planned.model]
    listed = "".join(f"<li>{escape(line)}</li>" for line in planned.rubric)
    return ["<h2>Rubric</h2>", f"<ul>{listed}</ul>", "<h2>A model answer</h2>", *model]


def _how(stem: str, scale: MarkSteps, one: ItemMark) -> Iterator[str]:
    steps = "half marks" if scale.step < 1 else "whole marks"
    yield "<h2>How to mark</h2>"
    yield (
        f'<p class="said">Write marks into {escape(stem)}.csv: from 0 to {scale.weight}, {steps}, your initials under '
        "marked_by, the reason under why. A second marker writes into the file of the same name that ends in "
        f"-second-marker. {TWO_MARKERS}</p>"
    )
    if one.item.critical:
        needs = CRITICAL_JOB if one.item.kind == JOB else f"less than {one.needed} holds the whole result back."
        yield f'<p class="said">The question is critical: {needs} {ONE_REACHES_IT}</p>'


def _section(shown: Shown, planned: Planned, alike: bool) -> str:
    one = shown.one
    lines = [f"<section>\n<h3>{escape(shown.code)}</h3>"]
    if not alike:
        lines += _as_asked(shown) if one.worth.outcome == MENDED else _asked(one.item, planned)
        said = f"The workbook says: {' '.join(one.worth.lines)}" if one.worth.outcome == UNREAD else ""
        lines += [f'<p class="said">{escape(line)}</p>' for line in ([said] if said else one.worth.lines)]
    lines.append(f'<div class="answer">{as_html(one.answer)}</div>')
    if one.item.critical and one.item.kind == JOB and one.worth.safe:
        lines.append(f'<p class="said">{HOLDS_NOTHING}</p>')
    lines.append("</section>")
    return "\n".join(lines)


def _as_asked(shown: Shown) -> list[str]:
    """What was asked of one candidate, and expected, before the question became another; or where that stands."""
    if not shown.asked:
        return [f"<p>{ANOTHER_HERE} {AS_GIVEN_OUT.format(escape(shown.paper))}</p>"]
    return [f"<p>{ANOTHER_HERE} This is the one that was asked:</p>", *(f"<p>{escape(one)}</p>" for one in shown.asked)]


def _asked(item: Item, planned: Planned) -> Iterable[str]:
    """What was asked of one candidate, and what was expected."""
    if item.kind == TEXT:
        return asked_lines(item)
    right = model_answer(planned, item)
    return [*asked_lines(item), *(f'<p class="said">{escape(line)}</p>' for line in right)]
