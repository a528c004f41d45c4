"""The plan of a paper as data: what it asks, of which kinds, for how many marks; `plan_file.py` reads one."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.assessing.job_rubric import Scheme
from steadyneedle.foundation.text_files import printable
from steadyneedle.questions.exercise import Exercise, QuantityExercise
from steadyneedle.questions.keyed import OrderExercise, SeveralExercise, VerdictExercise
from steadyneedle.questions.placed import PlaceExercise
from steadyneedle.questions.plans import for_papers, home_of

QUANTITY, CHOICE, TRACE, TEXT = "quantity", "choice", "trace", "text"
SEVERAL, ORDER, VERDICT, PLACE = "several", "order", "verdict", "place"
JOB = "job"
KINDS = (QUANTITY, CHOICE, TRACE, TEXT, SEVERAL, ORDER, VERDICT, PLACE, JOB)
MEASURED = (QUANTITY, PLACE)
"""Kinds whose answer is a quantity."""
KEYED = (SEVERAL, ORDER, VERDICT)
"""Kinds whose answer is more than one key."""
CHOSEN = (CHOICE, TRACE)
"""Kinds whose answer is the key of an option."""


class PlanError(ValueError):
    """A plan cannot be used; the sentence names its line and says what to do instead."""


@dataclass(frozen=True)
class Planned:
    """One question of a paper, as planned.

    `exercise` is the name of an exercise, of a text question or of a job; `ask`, `model` (the lines of an answer that
    earns all marks) and `half_marks` belong to a text question alone, `scheme` to a job, `rubric` to both.
    """

    number: int
    kind: str
    exercise: str
    weight: int = 1
    critical: bool = False
    title: str = ""
    ask: str = ""
    rubric: tuple[str, ...] = ()
    model: tuple[str, ...] = ()
    half_marks: bool = False
    scheme: Scheme | None = None

    @property
    def in_halves(self) -> bool:
        """Whether a person may give half marks: in a text that says so, and wherever the workbook itself gives them."""
        return self.half_marks or self.kind in (*KEYED, JOB)


@dataclass(frozen=True)
class PaperPlan:
    """What a paper asks, how long it takes, and what passes it."""

    name: str
    title: str
    minutes: int
    pass_percent: int
    questions: tuple[Planned, ...]

    @property
    def out_of(self) -> int:
        """Marks there are."""
        return sum(one.weight for one in self.questions)


def exercise_named(name: str) -> Exercise:
    """An exercise of any lesson, or one that papers alone ask.

    >>> exercise_named("how_long").title
    'How long to watch'

    Raises
    ------
    ValueError
        There is none.
    """
    home = home_of(name)
    found = home[0].exercise(name) if home else next((one for one in for_papers() if one.name == name), None)
    if found is None:
        raise ValueError(f"No lesson has an exercise '{printable(name)}'.")
    return found


def kind_of(exercise: Exercise) -> str:
    """The kind of question that an exercise asks.

    >>> [kind_of(exercise_named(name)) for name in ("mpa_to_psi", "which_trace", "before_opening")]
    ['quantity', 'trace', 'order']
    """
    for kind, asked in ((PLACE, PlaceExercise), (QUANTITY, QuantityExercise), (SEVERAL, SeveralExercise),
                        (ORDER, OrderExercise), (VERDICT, VerdictExercise)):  # fmt: skip
        if isinstance(exercise, asked):
            return kind
    return TRACE if exercise.shows else CHOICE


def paper_name(words: str) -> str:
    """The name of a paper as files carry it: its words joined by hyphens.

    >>> paper_name(" Units and  bands ")
    'units-and-bands'
    """
    return "-".join(words.lower().replace("-", " ").split())
