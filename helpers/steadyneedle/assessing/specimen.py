"""A specimen: the paper of one invented candidate, for the moderator with model answers, for candidates without.

Its numbers come from a secret that everybody has, so they are the same everywhere and betray nothing of a cohort's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from html import escape
from pathlib import Path

from steadyneedle.assessing.issuing import written
from steadyneedle.assessing.job_marking import hidden_lines, way_lines
from steadyneedle.assessing.keyed_items import lists, rule_of
from steadyneedle.assessing.paper_file import UNITS, Item, Paper, bytes_of
from steadyneedle.assessing.paper_plan import JOB, TEXT, PaperPlan, Planned, exercise_named
from steadyneedle.assessing.papers_folder import WITH_ANSWERS, refuse_papers_among_answers
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for
from steadyneedle.assessing.trace_picture import address_of
from steadyneedle.questions import what_counts
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import DEFAULT, QuantityExercise
from steadyneedle.questions.keyed import KeyedExercise

CANDIDATE = "000"
SECRET = b"the specimen that everybody may see"
SHORT_TEXT, STANDS_HERE = "A short text", "A short text stands here in the paper; {} mark{}."
"""In place of a text question, which asks the same in every paper: candidates who try the specimen do not read it."""


def specimen_of(plan: PaperPlan) -> Paper:
    """The paper of the invented candidate: the same on every machine."""
    return paper_for(plan, CohortKey(SECRET), CANDIDATE)


def without_texts(paper: Paper) -> Paper:
    """A paper for candidates to try: a sentence stands in the place of each text question."""
    return replace(paper, items=tuple(_kept_back(one) if one.kind == TEXT else one for one in paper.items))


def _kept_back(item: Item) -> Item:
    return replace(item, title=SHORT_TEXT, asked=(STANDS_HERE.format(item.weight, "s" if item.weight > 1 else ""),))


def write_specimen(plan: PaperPlan, folder: Path) -> list[Path]:
    """Write the specimen: to sit, to print, and with model answers to print; their paths, in this order.

    Raises
    ------
    IssueError
        Papers that are given out lie in the folder; nothing was written.
    OSError
        A file cannot be written.
    """
    refuse_papers_among_answers(folder, "Model answers", "name another folder for the specimen.")
    paper = specimen_of(plan)
    to_try, stem = without_texts(paper), f"specimen-{plan.name}"
    files = {
        f"{stem}.ipynb": bytes_of(to_try),
        f"{stem}.html": page_of(to_try, plan, answers=False).encode("utf-8"),
        f"{stem}{WITH_ANSWERS}": page_of(paper, plan, answers=True).encode("utf-8"),
    }
    for name, data in files.items():
        written(folder / name, data)
    return [folder / name for name in files]


def model_answer(planned: Planned, item: Item) -> list[str]:
    """What is right, how one gets there, and what counts besides; for a text question its rubric too."""
    if planned.kind == TEXT:
        return ["A model answer:", *planned.model, "A person marks what is answered:", *planned.rubric]
    if planned.scheme is not None:
        return [
            f"Job {item.job}. Each test is done again when it is marked.",
            *hidden_lines(item.job),
            *way_lines(item.job),
            *planned.scheme.lines(),
        ]
    exercise, givens = exercise_named(item.exercise), dict(item.givens)
    right = exercise.solve(givens)
    steps = exercise.steps(givens)
    if isinstance(exercise, ChoiceExercise):
        return [f"Answer: {exercise.choices[right]}", *steps]
    if isinstance(exercise, KeyedExercise):
        return [f"Answer: {exercise.names(givens).right}", *steps[:-1], *rule_of(exercise)]
    assert isinstance(exercise, QuantityExercise)
    value = exercise.names(givens).answer
    shown = what_counts.in_figures(exercise, value, DEFAULT) if exercise.figures else DEFAULT.format(right)
    return [f"Answer: {shown}", *steps, *what_counts.deserved(exercise, value, shown, DEFAULT)]


STYLE = """
body { font: 12pt/1.5 Georgia, serif; max-width: 44rem; margin: 2rem auto; padding: 0 1rem; color: #111; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.1rem; margin: 1.6rem 0 0.3rem; }
p, ul { margin: 0.3rem 0; } .marks, .said { color: #444; }
.answer { border-left: 3px solid #333; padding: 0.2rem 0 0.2rem 0.8rem; margin-top: 0.5rem; }
.room { border-bottom: 1px solid #666; height: 2.4rem; } .long { height: 9rem; }
img { width: 100%; height: auto; }
section { break-inside: avoid; } @page { margin: 2cm; }
"""


def page_of(paper: Paper, plan: PaperPlan, answers: bool) -> str:
    """A page to print, whole in one file; it loads nothing."""
    title = f"{paper.title}: specimen{' with model answers' if answers else ''}"
    said = (
        f"{len(paper.items)} questions, {plan.out_of} marks, {paper.minutes} minutes. {plan.pass_percent} % of the "
        f"marks pass, if every critical question is right. {UNITS} Candidate and regulators are invented."
    )
    body = "\n".join(
        _section(planned, item, answers) for planned, item in zip(plan.questions, paper.items, strict=True)
    )
    return (
        f'<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n<title>{escape(title)}</title>\n'
        f"<style>{STYLE}</style>\n</head>\n<body>\n<h1>{escape(title)}</h1>\n"
        f'<p class="said">{escape(said)}</p>\n{body}\n</body>\n</html>\n'
    )


def _section(planned: Planned, item: Item, answers: bool) -> str:
    lines = [f"<section>\n<h2>{item.number}. {escape(item.title)}</h2>", *asked_lines(item)]
    if answers:
        told = "\n".join(f"<p>{escape(line)}</p>" for line in model_answer(planned, item))
        lines.append(f'<div class="answer">\n{told}\n</div>')
    elif not item.options:
        lines.append(f'<div class="room{" long" if item.kind in (TEXT, JOB) else ""}"></div>')
    return "\n".join([*lines, "</section>"])


def asked_lines(item: Item) -> Iterator[str]:
    """What is asked, as a page shows it."""
    marks = f"{item.weight} mark{'s' if item.weight > 1 else ''}{', critical' if item.critical else ''}"
    yield f'<p class="marks">{marks}</p>'
    yield from (f"<p>{escape(line).replace(chr(10), '<br>')}</p>" for line in item.asked)
    if item.trace is not None:
        yield f'<p><img src="{address_of(item.trace)}" alt="{escape(item.trace.text)}"></p>'
    elif item.picture:
        yield f"<p>The picture: {escape(item.picture)}</p>"
    for head, options in lists(item.kind, item.options):
        yield f"<p>{head}</p>" if head else ""
        yield "<ul>" + "".join(f"<li>{escape(words)}</li>" for words in options) + "</ul>"
