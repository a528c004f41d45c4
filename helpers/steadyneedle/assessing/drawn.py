"""The numbers of one candidate: an HMAC of cohort secret, paper, attempt, candidate and question, and no other source.

The same words give the same numbers on every machine; without the secret nobody can foretell them.
"""

from __future__ import annotations

from collections.abc import Sequence

from steadyneedle.assessing.difficulty import as_hard_as_others
from steadyneedle.questions.exercise import TRIES, ChoiceExercise, Exercise, Givens


def drawn(
    exercise: Exercise, secret: bytes, paper: str, attempt: int, candidate: str, question: int,
    taken: Sequence[Givens] = (),
) -> Givens:  # fmt: skip
    """Numbers for one question of one candidate: as hard as everybody's, and none that the paper asks already.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    secret : bytes
        The cohort's.
    paper, attempt, candidate, question
        Whose numbers they are: name of the paper, from 1, digits, number of the question.
    taken : sequence of givens
        What the same exercise asks elsewhere in this paper.

    Raises
    ------
    RuntimeError
        No numbers fit: the exercise is at fault.
    """
    others = [_without_order(one) for one in taken]
    solved = [exercise.solve(one) for one in taken] if isinstance(exercise, ChoiceExercise) and exercise.shows else []
    for again in range(TRIES):
        givens = exercise.givens("paper", paper, attempt, candidate, question, again, secret=secret)
        if _without_order(givens) in others or (solved and exercise.solve(givens) in solved):
            continue  # of several traces no two show the same: all candidates meet as many kinds
        if as_hard_as_others(exercise, givens):
            return givens
    raise RuntimeError(f"Exercise {exercise.name}: no numbers as hard as everybody's in {TRIES} draws.")


def _without_order(givens: Givens) -> Givens:
    return {name: value for name, value in givens.items() if name != "order"}
