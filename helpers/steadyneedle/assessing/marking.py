"""Marking: an answer is worth what the lessons say it is worth, by the same rules and in the same words.

Who is marked, with what questions, numbers, weights and pass mark, comes from the cohort's key; from the file come the
answers alone. An answer that cannot be read waits for a human; so does a question that was mended after the paper was
set, unless it was marked before: it is never marked against numbers that were not asked, and a mark given is not lost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from steadyneedle.assessing.edition import fingerprint
from steadyneedle.assessing.hand_marks import Given, in_words
from steadyneedle.assessing.job_marking import PLAYED_OTHERWISE, ended_safely, job_worth
from steadyneedle.assessing.job_rubric import Scheme
from steadyneedle.assessing.nothing_typed import typed_there
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import JOB, TEXT, exercise_named
from steadyneedle.jobs.path import PathError
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import DEFAULT, Exercise, Givens, QuantityExercise
from steadyneedle.questions.what_counts import deserved, in_figures

RIGHT, NOTHING, UNREAD, WAITS, MENDED, KEPT = "right", "nothing typed", "not read", "waits", "mended", "kept"
IN_PART, STOOD = "in part", "stood"
COMPETENT, NOT_YET = "competent", "not yet competent"
FOR_A_HUMAN = "A person reads and marks this answer."
NOT_READ = "This answer could not be read. A person reads and marks it."
WAS_MENDED = "This question was mended after the paper was set, so the workbook does not mark it. A person does."
STANDS = "The mark was given before, and stands. By today's rules it is {}."
MISSED = "!"
"""Behind a mark: a critical question was missed."""
WAS_KEPT = "The mark stands as it was given; the notebook of that day says why."


@dataclass(frozen=True, slots=True)
class AnswerMark:
    """What an answer is worth: `right`, `known mistake`, `off`, `in part`, `not read`, `nothing typed`.

    Or who marks it: `waits`, `mended`, `kept`, `stood`. Or how a job ended. `lines` give the reason; `mistake` names a
    known mistake. Of what is right in part, `part` is the part of the marks that it earns, rounded down to half marks.
    Of a job, of a mark `kept` from before the question was mended, and of one that `stood` though today's workbook
    gives another, `given` are the marks, and `safe` says that a critical question was not missed; `today` is what it is
    worth by today's rules.
    """

    outcome: str
    lines: tuple[str, ...]
    mistake: str = ""
    given: float | None = None
    safe: bool = False
    part: Fraction = Fraction(0)
    today: AnswerMark | None = None

    @property
    def waiting(self) -> bool:
        """Whether a human marks it."""
        return self.outcome in (UNREAD, WAITS, MENDED)

    @property
    def passed(self) -> bool:
        """Whether a critical question is not missed."""
        return self.outcome == RIGHT or self.safe

    def marks(self, weight: int) -> float:
        """Marks given, out of so many."""
        if self.given is not None:
            return self.given
        if self.outcome == RIGHT:
            return weight
        halves = int(2 * weight * self.part)
        return halves / 2 if halves % 2 else halves // 2


@dataclass(frozen=True, slots=True)
class ItemMark:
    """A question of a paper with its answer and what that is worth.

    `given` is the mark that a person gave; `held` says why a person's mark does not count, or not yet; `another` that
    today's workbook has another question there than was asked.
    """

    item: Item
    answer: str
    worth: AnswerMark
    given: Given | None = None
    held: str = ""
    another: bool = False

    @property
    def mark(self) -> float:
        """Marks given so far."""
        if self.given is not None:
            return self.given.mark
        return self.worth.marks(self.item.weight)

    @property
    def waiting(self) -> bool:
        """Whether a person has still to mark it."""
        return self.worth.waiting and self.given is None

    @property
    def played_otherwise(self) -> bool:
        """Whether it is the path of a job that shows something else when it is played again."""
        return self.item.kind == JOB and self.worth.outcome == WAITS and self.worth.lines != (FOR_A_HUMAN,)

    @property
    def needed(self) -> int:
        """Marks that a person must give, where the question is critical: of a job one, else all."""
        return 1 if self.item.kind == JOB else self.item.weight

    @property
    def holds_below(self) -> int:
        """Marks below which what a person gives holds the whole result back; 0 where nothing they give does."""
        ended = self.item.kind == JOB and self.worth.safe
        return self.needed if self.item.critical and not ended else 0

    @property
    def missed(self) -> bool:
        """Whether a critical question was missed; one that waits is not. By hand it needs all, a job one mark.

        A job that was ended without a critical failure is not missed, whatever a person gives it; where it comes out
        otherwise when it is played again, its path as handed in says so. Whoever marks it may call it failed all the
        same, with a reason.
        """
        if self.given is not None and self.given.failed:
            return self.item.critical
        if self.item.kind == JOB and self.worth.safe:
            return False
        if self.given is not None:
            return self.given.mark < self.holds_below
        return self.item.critical and not self.worth.waiting and not self.worth.passed


@dataclass(frozen=True)
class PaperMark:
    """A marked paper, by the pass mark in force."""

    paper: Paper
    items: tuple[ItemMark, ...]
    pass_percent: int

    @property
    def mark(self) -> float:
        """Marks given so far."""
        return sum(one.mark for one in self.items)

    @property
    def out_of(self) -> int:
        """Marks there are."""
        return sum(one.item.weight for one in self.items)

    @property
    def waiting(self) -> list[int]:
        """Numbers of the questions that wait for a human."""
        return [one.item.number for one in self.items if one.waiting]

    @property
    def critical_missed(self) -> list[int]:
        """Numbers of the critical questions that were missed."""
        return [one.item.number for one in self.items if one.missed]

    @property
    def unread(self) -> list[int]:
        """Numbers of the questions whose answers could not be read."""
        return [one.item.number for one in self.items if one.worth.outcome == UNREAD]

    @property
    def another(self) -> list[int]:
        """Numbers of the questions that are others today than they were asked."""
        return [one.item.number for one in self.items if one.another]

    @property
    def kept(self) -> list[int]:
        """Numbers of the questions that were mended since they were marked."""
        return [one.item.number for one in self.items if one.worth.outcome == KEPT]

    @property
    def stood(self) -> list[int]:
        """Numbers of the questions whose marks stand, though today's workbook gives others."""
        return [one.item.number for one in self.items if one.worth.outcome == STOOD]

    @property
    def by_question(self) -> str:
        """The marks that the workbook gave, question by question, - where it gave none, ! for a critical one missed."""
        return " ".join(map(_for_the_record, self.items))

    @property
    def result(self) -> str:
        """Competent or not yet; empty while something waits for a human."""
        if self.waiting:
            return ""
        return result_of(self.mark, self.out_of, self.pass_percent, self.critical_missed)


def _for_the_record(one: ItemMark) -> str:
    """The mark that the workbook gave, whatever a person gave instead."""
    if one.worth.waiting:
        return "-"
    return in_words(one.worth.marks(one.item.weight)) + (MISSED if one.item.critical and not one.worth.passed else "")


def result_of(mark: float, out_of: int, pass_percent: int, critical_missed: list[int]) -> str:
    """Competent, or not yet: one missed critical question holds the whole result back, whatever the sum.

    >>> result_of(7, 10, 70, []), result_of(6, 10, 70, []), result_of(10, 10, 70, [3])
    ('competent', 'not yet competent', 'not yet competent')
    """
    return COMPETENT if not critical_missed and 100 * mark >= pass_percent * out_of else NOT_YET


def marked_answer(exercise: Exercise, givens: Givens, answer: str) -> AnswerMark:
    """What an answer as typed, or the key of an option, is worth: as the lesson that practises the question says.

    >>> psi = exercise_named("mpa_to_psi")
    >>> marked_answer(psi, {"mpa": 20.0}, "2901 psi").outcome, marked_answer(psi, {"mpa": 20.0}, "200 psi").mistake
    ('right', 'answer in bar')
    """
    if not typed_there(answer):
        return AnswerMark(NOTHING, ("Nothing was answered.",))
    checked = exercise.check(givens, answer)
    if checked.outcome == UNREAD:
        said = ("This is none of the options.",) if isinstance(exercise, ChoiceExercise) else checked.lines
        return AnswerMark(UNREAD, said)
    outcome = IN_PART if checked.part else checked.outcome
    return AnswerMark(outcome, checked.lines, checked.mistake, part=checked.part)


def expected(exercise: Exercise, givens: Givens) -> list[str]:
    """The right answer, its working, and which answers count."""
    if isinstance(exercise, QuantityExercise):
        right = exercise.solve(givens)
        value = float(right.magnitude)
        first = in_figures(exercise, value, DEFAULT) if exercise.figures else DEFAULT.format(right)
        last = deserved(exercise, value, "", DEFAULT)
    else:
        first, last = exercise.names(givens).right, ()
    return [f"Expected: {first}", *(f"  {step}" for step in exercise.steps(givens)), *last]


def mark_item(item: Item, asked: str, answer: str, before: AnswerMark | None = None) -> AnswerMark:
    """What an answer to one question of a paper is worth.

    Parameters
    ----------
    item : Item
        The question as the key sets it today from the plan as issued.
    asked : str
        Fingerprint of the question that the candidate was asked, from the key.
    answer : str
        As typed; empty where nothing was.
    before : AnswerMark or None
        What it was worth when it was marked before, where that is known: a mark once given stands.
    """
    return _marked_item(item, asked, answer, before).worth


def _marked_item(item: Item, asked: str, answer: str, before: AnswerMark | None) -> ItemMark:
    """A question with its answer and what that is worth, by whether it still is what was asked."""
    another = fingerprint(item) != asked
    worth = (_of_another if another else _beside_before)(item, answer, before)
    return ItemMark(item, answer, worth, another=another)


def _of_another(item: Item, answer: str, before: AnswerMark | None) -> AnswerMark:
    """What an answer to a question that is another today is worth: as before; and what is empty is worth nothing."""
    if before is not None:
        return before
    if not typed_there(answer):
        return AnswerMark(NOTHING, ("Nothing was answered.",), given=0)
    return AnswerMark(MENDED, (WAS_MENDED,), safe=item.kind == JOB and ended_safely(item.job, answer))


def _beside_before(item: Item, answer: str, before: AnswerMark | None) -> AnswerMark:
    """What an answer is worth by today's rules, or as it was marked before where that was another mark."""
    today = _marked_today(item, answer)
    if before is None or _is_as_before(today, before, item):
        return today
    by_today = "open: a person marks it" if today.waiting else f"{in_words(today.marks(item.weight))} of {item.weight}"
    return replace(before, outcome=STOOD, lines=(STANDS.format(by_today),), today=today)


def _is_as_before(today: AnswerMark, before: AnswerMark, item: Item) -> bool:
    """Whether an answer earns what it earned, and misses a critical question as it did."""
    if today.waiting or today.marks(item.weight) != before.marks(item.weight):
        return False
    return not item.critical or today.passed == before.passed


def _marked_today(item: Item, answer: str) -> AnswerMark:
    """What an answer to a question that is as it was asked is worth by today's rules."""
    if item.kind == TEXT:
        there = typed_there(answer)
        return AnswerMark(WAITS, (FOR_A_HUMAN,)) if there else AnswerMark(NOTHING, ("Nothing was answered.",))
    if item.kind == JOB and item.scheme is not None:
        return marked_job(item.job, item.scheme, answer)
    return marked_answer(exercise_named(item.exercise), dict(item.givens), answer)


def marked_job(number: int, scheme: Scheme, answer: str) -> AnswerMark:
    """What a path through a job is worth.

    >>> marked_job(1, Scheme(5, 2, 2, 1, 1.5), "9.8 bar").lines
    ('This is no path of a job: it is damaged: it is no JSON.',)
    """
    if not typed_there(answer):
        return AnswerMark(NOTHING, ("Nothing was answered.",), given=0)
    try:
        worth = job_worth(number, answer, scheme)
    except PathError as error:
        said = "".join("?" if sign in "<>&" else sign for sign in str(error))  # it may quote what a stranger wrote
        return AnswerMark("not read", (said,), given=0)
    if worth.outcome == PLAYED_OTHERWISE:
        return AnswerMark(WAITS, worth.lines, safe=worth.safe)
    return AnswerMark(worth.outcome, worth.lines, given=worth.marks, safe=worth.safe)


def mark_paper(
    paper: Paper, asked: Sequence[str], answers: Mapping[int, str], pass_percent: int = 0,
    before: Mapping[int, AnswerMark] | None = None,
) -> PaperMark:  # fmt: skip
    """A paper marked from what was handed in.

    Parameters
    ----------
    paper : Paper
        As the key sets it today from the plan as issued.
    asked : sequence of str
        Fingerprint of each question as it was asked, from the key: nothing that a file says counts there.
    answers : mapping of int to str
        Question number -> what was typed.
    pass_percent : int
        The pass mark in force, where it is not the paper's own.
    before : mapping of int to AnswerMark
        What was marked before, for questions that were mended since.
    """
    kept = before or {}
    items = tuple(
        _marked_item(one, was, answers.get(one.number, ""), kept.get(one.number))
        for one, was in zip(paper.items, asked, strict=True)
    )
    return PaperMark(paper, items, pass_percent or paper.pass_percent)
