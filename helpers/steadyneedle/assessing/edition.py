"""What was issued: the plan as it stood on that day, and what each candidate was asked. Marking goes by it alone.

A plan may be edited afterwards, a file that comes back may say anything: neither says what was asked, and neither
moves a boundary. Each question issued has a fingerprint, of what it asked and of what was right; a question that can no
longer be set to the same fingerprint waits for a person.
"""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Mapping
from dataclasses import MISSING, asdict, dataclass, field, fields, is_dataclass
from typing import Any

from steadyneedle.assessing.canonical import digest_of
from steadyneedle.assessing.drawn import job_at
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import CHOSEN, JOB, KEYED, MEASURED, PaperPlan, exercise_named
from steadyneedle.jobs.mystery import job

DIGEST_LETTERS, FINGERPRINT_LETTERS, PLACE_LETTERS = 64, 8, 4


@dataclass
class Edition:
    """One attempt at one paper: its plan as issued, and candidate -> what they got, as `entry_of` writes it."""

    plan: PaperPlan
    papers: dict[str, str] = field(default_factory=dict)

    def digest(self, candidate: str) -> str:
        """Digest of the paper that a candidate got; empty where they got none."""
        return self.papers.get(candidate, "")[:DIGEST_LETTERS]

    def fingerprints(self, candidate: str) -> tuple[str, ...]:
        """One for each question of the paper that a candidate got."""
        return _parts(self.papers[candidate][DIGEST_LETTERS:], FINGERPRINT_LETTERS, len(self.plan.questions))

    def places(self, candidate: str) -> tuple[str, ...]:
        """Where in the stream of draws the numbers of each question were found."""
        questions = len(self.plan.questions)
        return _parts(
            self.papers[candidate][DIGEST_LETTERS + FINGERPRINT_LETTERS * questions :], PLACE_LETTERS, questions
        )

    def jobs(self, candidate: str) -> list[int]:
        """Numbers of the jobs in the paper that a candidate got."""
        planned = zip(self.plan.questions, self.places(candidate), strict=True)
        return [job_at(place) for one, place in planned if one.kind == JOB]


def _parts(text: str, letters: int, most: int) -> tuple[str, ...]:
    return tuple(text[at : at + letters] for at in range(0, min(len(text), letters * most), letters))


def entry_of(paper: Paper) -> str:
    """What is noted of a paper: its digest, then a fingerprint of each question, then the place of each draw."""
    return paper.digest + "".join(map(fingerprint, paper.items)) + "".join(one.place for one in paper.items)


def is_entry(text: Any, plan: PaperPlan) -> bool:
    """Whether something can be an entry of a paper of this plan."""
    questions = len(plan.questions)
    digests, places = DIGEST_LETTERS + FINGERPRINT_LETTERS * questions, PLACE_LETTERS * questions
    return isinstance(text, str) and bool(re.fullmatch(f"[0-9a-f]{{{digests}}}[0-9a-z]{{{places}}}", text))


def fingerprint(item: Item) -> str:
    """Eight letters that hang on every word and number asked, and on what is right."""
    return digest_of([item.digest, _right(item)])[:FINGERPRINT_LETTERS]


def _right(item: Item) -> str:
    """The right answer, to the figures that no machine computes otherwise; empty where a person says what is right."""
    if item.kind == JOB:
        return job(item.job).hidden.cause
    if item.kind not in (*CHOSEN, *KEYED, *MEASURED):
        return ""
    right = exercise_named(item.exercise).solve(dict(item.givens))
    return right if isinstance(right, str) else f"{float(right.magnitude):.5g} {right.units}"


def plan_as_data(plan: PaperPlan) -> dict[str, Any]:
    """A plan as JSON holds it."""
    return asdict(plan)


def plan_of(data: Any) -> PaperPlan | None:
    """The plan that `plan_as_data` wrote; None where it is none. What a later version added stands at its usual."""
    try:
        plan = _made(PaperPlan, data)
    except (TypeError, ValueError):
        return None
    numbers = [one.number for one in plan.questions]
    return plan if numbers and numbers == list(range(1, len(numbers) + 1)) and 1 <= plan.pass_percent <= 100 else None


Made = typing.TypeVar("Made")


def _made(kind: type[Made], data: Any) -> Made:
    """A dataclass from plain data, each field of the type that it declares.

    Raises
    ------
    TypeError
        Something does not fit.
    """
    if not isinstance(data, Mapping):
        raise TypeError(kind.__name__)
    hints = typing.get_type_hints(kind)
    names = {one.name: one for one in fields(kind)}  # type: ignore[arg-type]
    needed = {name for name, one in names.items() if one.default is MISSING and one.default_factory is MISSING}
    if not needed <= set(data) <= set(names):
        raise TypeError(kind.__name__)
    return kind(**{name: _fitted(hints[name], value) for name, value in data.items()})


def _fitted(hint: Any, value: Any) -> Any:
    """A value as its field declares it: a list becomes a tuple, an object the dataclass that stands there."""
    if isinstance(hint, types.UnionType):
        return next(_fitted(one, value) for one in typing.get_args(hint) if (one is types.NoneType) == (value is None))
    if typing.get_origin(hint) is tuple:
        if not isinstance(value, list | tuple):
            raise TypeError(hint)
        return tuple(_fitted(typing.get_args(hint)[0], one) for one in value)
    if is_dataclass(hint):
        return _made(typing.cast("type[Any]", hint), value)
    if hint is float and type(value) is int:
        return float(value)
    if hint is not types.NoneType and type(value) is not hint:
        raise TypeError(hint)
    return value
