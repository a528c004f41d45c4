"""Marking: an answer is worth what the lessons say it is worth, by the same rules and in the same words.

Who is marked, and with what numbers, comes from the cohort's key; from the file come the answers alone. A question
that was mended after the paper was set waits for a human: it is never marked against numbers that were not asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from steadyneedle.assessing.hand_marks import Given
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import TEXT, exercise_named
from steadyneedle.questions.checking import deserved, in_figures
from steadyneedle.questions.exercise import DEFAULT, ChoiceExercise, Exercise, Givens, QuantityExercise

RIGHT, NOTHING, WAITS, MENDED = "right", "nothing typed", "waits", "mended"
COMPETENT, NOT_YET = "competent", "not yet competent"
FOR_A_HUMAN = "A person reads and marks this answer."
WAS_MENDED = "This question was mended after the paper was set, so the workbook does not mark it. A person does."


@dataclass(frozen=True)
class AnswerMark:
    """What one answer is worth: `right`, `known mistake`, `off`, `not read`, `nothing typed`, `waits` or `mended`.

    `lines` give the reason; `mistake` names a known mistake. Nothing is worth marks but what is right.
    """

    outcome: str
    lines: tuple[str, ...]
    mistake: str = ""

    @property
    def waiting(self) -> bool:
        """Whether a human marks it."""
        return self.outcome in (WAITS, MENDED)


@dataclass(frozen=True)
class ItemMark:
    """A question of a paper with its answer and what that is worth.

    `given` is the mark that a person gave; `held` says why a person's mark does not count yet.
    """

    item: Item
    answer: str
    worth: AnswerMark
    given: Given | None = None
    held: str = ""

    @property
    def mark(self) -> float:
        """Marks given so far."""
        if self.given is not None:
            return self.given.mark
        return self.item.weight if self.worth.outcome == RIGHT else 0

    @property
    def waiting(self) -> bool:
        """Whether a person has still to mark it."""
        return self.worth.waiting and self.given is None

    @property
    def missed(self) -> bool:
        """Whether a critical question did not earn all its marks; one that waits is not missed yet."""
        return self.item.critical and not self.waiting and self.mark < self.item.weight


@dataclass(frozen=True)
class PaperMark:
    """A marked paper. `as_issued` says whether the paper can still be set just as the candidate got it."""

    paper: Paper
    items: tuple[ItemMark, ...]
    pass_percent: int
    as_issued: bool

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
    def result(self) -> str:
        """Competent or not yet; empty while something waits for a human."""
        if self.waiting or not self.as_issued:
            return ""
        return result_of(self.mark, self.out_of, self.pass_percent, self.critical_missed)


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
    if not answer.strip():
        return AnswerMark(NOTHING, ("Nothing was answered.",))
    checked = exercise.check(givens, answer)
    if checked.outcome == "not read":
        if isinstance(exercise, ChoiceExercise):
            return AnswerMark("not read", ("This is none of the options.",))
        return AnswerMark("not read", ("This cannot be read as a quantity.", *checked.lines))
    return AnswerMark(checked.outcome, checked.lines, checked.mistake)


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


def mark_item(item: Item | None, asked: str, answer: str) -> AnswerMark:
    """What an answer to one question of a paper is worth.

    Parameters
    ----------
    item : Item or None
        The question as the key sets it today; None where the plan has it no more.
    asked : str
        Digest of the question that the candidate was asked.
    answer : str
        As typed; empty where nothing was.
    """
    if item is None or item.digest != asked:
        return AnswerMark(MENDED, (WAS_MENDED,))
    if item.kind == TEXT:
        return AnswerMark(WAITS, (FOR_A_HUMAN,)) if answer.strip() else AnswerMark(NOTHING, ("Nothing was answered.",))
    return marked_answer(exercise_named(item.exercise), dict(item.givens), answer)


def mark_paper(
    paper: Paper, pass_percent: int, issued: str, asked: Mapping[int, str], answers: Mapping[int, str]
) -> PaperMark:
    """A paper marked from what was handed in.

    Parameters
    ----------
    paper : Paper
        As the key and the plan set it today.
    pass_percent : int
        The pass mark.
    issued : str
        Digest of the paper as it was issued.
    asked : mapping of int to str
        Question number -> digest of the question that was asked, as the file says. It counts only where the paper can
        no longer be set as it was issued: otherwise a file that names fewer questions would be marked out of less.
    answers : mapping of int to str
        Question number -> what was typed.
    """
    today = {one.number: one for one in paper.items}
    as_issued = paper.digest == issued
    was = {number: one.digest for number, one in today.items()} if as_issued else asked
    items = []
    for number in sorted({*today, *was}):
        item, answer = today.get(number), answers.get(number, "")
        items.append(ItemMark(item or _gone(number), answer, mark_item(item, was.get(number, ""), answer)))
    return PaperMark(paper, tuple(items), pass_percent, as_issued)


def _gone(number: int) -> Item:
    """In place of a question that the plan has no more."""
    return Item(
        number, TEXT, "", 0, "A question that the plan has no more", {}, ("Look it up in the candidate's paper.",)
    )
