"""Setting a paper: a plan, a cohort's secret and a candidate become the paper of that candidate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from steadyneedle.assessing.drawn import Drawn, drawn, drawn_at, job_at, place_of_job
from steadyneedle.assessing.job_rubric import FIRST
from steadyneedle.assessing.keyed_items import options_of, rule_of
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import JOB, TEXT, PaperPlan, Planned, exercise_named
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.bench.units import Q, label
from steadyneedle.jobs.briefing import what_is_known
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import MOST_IN_A_PAPER, SHOWN
from steadyneedle.jobs.pool import job_drawn
from steadyneedle.questions.exercise import Exercise, Givens, QuantityExercise
from steadyneedle.questions.shown import NeedleTrace

TEXT_VERSION, JOB_VERSION = 1, 4
HOW_TO_PLAY = (
    "This regulator came to your bench. Find out what is wrong with it, or that nothing is. Each test takes minutes, "
    f"some cost money, which is not marked. A test may be done once more; {MOST_IN_A_PAPER} tests are the most. "
    "Before each test say what you think it is, and how sure you are. Stop when you are sure enough. The form takes no "
    "test back."
)
EARNS_NOTHING = (
    "Three things earn no mark at all: not to end the job yourself; a critical failure, that is to watch on past the "
    "stop, or to blank every port without a relief valve; and to end with “nothing wrong” where your tests give that "
    f"less than {SHOWN} %, for then you hand back a regulator that you did not find sound."
)
HOLDS_BACK = (
    "The question is critical: each of the three holds the whole result back, whatever the rest adds up to. Any other "
    "wrong cause holds nothing back."
)


def paper_for(plan: PaperPlan, key: CohortKey, candidate: str, attempt: int = 1) -> Paper:
    """The paper of one candidate: the same words give the same paper.

    Examples
    --------
    >>> from steadyneedle.assessing.plan_file import load_plan
    >>> paper = paper_for(load_plan("units and bands"), CohortKey(bytes(32)), "101")
    >>> len(paper.items), paper.stem
    (20, '101-units-and-bands')
    """
    taken: dict[str, list[Givens]] = {}
    items = (_item(planned, plan, key, candidate, attempt, taken) for planned in plan.questions)
    return _paper(plan, key, candidate, attempt, tuple(items))


def set_again(plan: PaperPlan, key: CohortKey, candidate: str, attempt: int, places: Sequence[str]) -> Paper:
    """A paper once more, from its plan as issued: a question that can be set no more leaves its place to a sentence.

    `places` are those of its draws, from the key: no numbers are searched for again. Nothing rests on them, for a
    question whose fingerprint is another than the key has waits for a person.
    """
    taken: dict[str, list[Givens]] = {}
    items = []
    for planned, place in zip(plan.questions, places, strict=True):
        try:
            items.append(_item(planned, plan, key, candidate, attempt, taken, place))
        except (ValueError, KeyError, RuntimeError):  # no such exercise, none for papers, or no numbers as hard
            items.append(_text_item(replace(planned, title=GONE_TITLE, ask=GONE)))
    return _paper(plan, key, candidate, attempt, tuple(items))


GONE_TITLE, GONE = "A question that the workbook has no more", "Look it up in the candidate's paper."


def _paper(plan: PaperPlan, key: CohortKey, candidate: str, attempt: int, items: tuple[Item, ...]) -> Paper:
    return Paper(candidate, plan.name, attempt, plan.title, plan.minutes, plan.pass_percent, key.cohort, items)


def _item(
    planned: Planned, plan: PaperPlan, key: CohortKey, candidate: str, attempt: int, taken: dict[str, list[Givens]],
    place: str = "",
) -> Item:  # fmt: skip
    """One question of one candidate; `taken` holds what the same exercise asks before it."""
    if planned.kind == TEXT:
        return _text_item(planned)
    if planned.kind == JOB:
        if place:
            return _job_item(planned, job_at(place))
        had = key.jobs_before(plan.name, candidate, attempt)
        return _job_item(planned, job_drawn(key.secret, plan.name, candidate, planned.number, attempt, had))
    exercise, before = exercise_named(planned.exercise), taken.setdefault(planned.exercise, [])
    whose = (exercise, key.secret, plan.name, attempt, candidate, planned.number)
    found = drawn_at(*whose, place) if place else drawn(*whose, before)
    before.append(found.givens)
    return item_of(planned, exercise, found)


def item_of(planned: Planned, exercise: Exercise, found: Drawn) -> Item:
    """A question with its numbers, as a paper asks it."""
    givens = found.givens
    shown = exercise.shown(givens)
    return Item(
        planned.number, planned.kind, exercise.name, exercise.version, exercise.title, givens,
        (*exercise.question(givens), *rule_of(exercise)), planned.weight, planned.critical,
        label(Q(1, exercise.unit).units) if isinstance(exercise, QuantityExercise) else "",
        shown.text if shown else "", options_of(exercise, givens), shown if isinstance(shown, NeedleTrace) else None,
        place=found.place,
    )  # fmt: skip


def _job_item(planned: Planned, number: int) -> Item:
    """A job by its number, with all that is known before the first test and how it is marked."""
    scheme = planned.scheme
    assert scheme is not None
    rubric = "\n".join(f"- {line}" for line in scheme.lines())
    costs = (EARNS_NOTHING, HOLDS_BACK) if planned.critical else (EARNS_NOTHING,)
    asked = (HOW_TO_PLAY, " ".join(costs), *what_is_known(job(number)), f"How it is marked: {FIRST}", rubric)
    return Item(
        planned.number, JOB, planned.exercise, JOB_VERSION, planned.title, {}, asked, planned.weight, planned.critical,
        job=number, scheme=scheme, place=place_of_job(number),
    )  # fmt: skip


def _text_item(planned: Planned) -> Item:
    asked = tuple(line for line in planned.ask.splitlines() if line.strip())
    return Item(
        planned.number, TEXT, planned.exercise, TEXT_VERSION, planned.title, {}, asked, planned.weight, planned.critical
    )
