"""Setting a paper: a plan, a cohort's secret and a candidate become the paper of that candidate."""

from __future__ import annotations

from steadyneedle.assessing.drawn import drawn
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import TEXT, PaperPlan, Planned, exercise_named
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.bench.units import Q, label
from steadyneedle.questions.exercise import ChoiceExercise, Exercise, Givens, QuantityExercise
from steadyneedle.questions.shown import NeedleTrace

TEXT_VERSION = 1


def paper_for(plan: PaperPlan, key: CohortKey, candidate: str, attempt: int = 1) -> Paper:
    """The paper of one candidate: the same words give the same paper.

    Examples
    --------
    >>> from steadyneedle.assessing.paper_plan import load_plan
    >>> paper = paper_for(load_plan("units and bands"), CohortKey(bytes(32)), "101")
    >>> len(paper.items), paper.stem
    (20, '101-units-and-bands')
    """
    taken: dict[str, list[Givens]] = {}
    items = []
    for planned in plan.questions:
        if planned.kind == TEXT:
            items.append(_text_item(planned))
            continue
        exercise, before = exercise_named(planned.exercise), taken.setdefault(planned.exercise, [])
        givens = drawn(exercise, key.secret, plan.name, attempt, candidate, planned.number, before)
        before.append(givens)
        items.append(item_of(planned, exercise, givens))
    return Paper(candidate, plan.name, attempt, plan.title, plan.minutes, key.cohort, tuple(items))


def item_of(planned: Planned, exercise: Exercise, givens: Givens) -> Item:
    """A question with its numbers, as a paper asks it."""
    shown = exercise.shown(givens)
    options = exercise.options(givens) if isinstance(exercise, ChoiceExercise) else {}
    return Item(
        planned.number, planned.kind, exercise.name, exercise.version, exercise.title, givens,
        tuple(exercise.question(givens)), planned.weight, planned.critical,
        label(Q(1, exercise.unit).units) if isinstance(exercise, QuantityExercise) else "",
        shown.text if shown else "", tuple(options.items()), shown if isinstance(shown, NeedleTrace) else None,
    )  # fmt: skip


def _text_item(planned: Planned) -> Item:
    asked = tuple(line for line in planned.ask.splitlines() if line.strip())
    return Item(
        planned.number, TEXT, planned.exercise, TEXT_VERSION, planned.title, {}, asked, planned.weight, planned.critical
    )
