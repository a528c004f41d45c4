"""The numbers of one candidate: an HMAC of cohort secret, paper, attempt, candidate and question, and no other source.

The same words give the same numbers on every machine; without the secret nobody can foretell them.
"""

from __future__ import annotations

import contextlib
import string
from collections.abc import Sequence
from typing import NamedTuple

from steadyneedle.assessing.difficulty import as_hard_as_others
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise, Givens

LONGEST, QUICKLY = 1200, 300
"""Draws in which numbers must be found, and those in which a plan is told that there are enough of them."""


class Drawn(NamedTuple):
    """Numbers, and the place in the stream of draws where they were found, from which they can be had again."""

    givens: Givens
    place: str


def drawn(
    exercise: Exercise, secret: bytes, paper: str, attempt: int, candidate: str, question: int,
    taken: Sequence[Givens] = (), tries: int = LONGEST,
) -> Drawn:  # fmt: skip
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
    tries : int
        Draws after which to give up, at most 1,200.

    Raises
    ------
    RuntimeError
        No numbers fit: the exercise is at fault, or `most_different` was not asked.
    """
    others = [_without_order(one) for one in taken]
    solved = [exercise.solve(one) for one in taken] if isinstance(exercise, ChoiceExercise) and exercise.shows else []
    for again in range(tries):
        words = ("paper", paper, attempt, candidate, question, again)
        at = exercise.first_fair(*words, secret=secret)
        givens = exercise.numbers(at, *words, secret=secret)
        if _without_order(givens) in others or (solved and exercise.solve(givens) in solved):
            continue  # of several traces no two show the same: all candidates meet as many kinds
        if as_hard_as_others(exercise, givens):
            return Drawn(givens, place_of(again, at))
    raise RuntimeError(f"Exercise {exercise.name}: no numbers as hard as everybody's in {tries} draws.")


def most_different(exercise: Exercise, wanted: int) -> int:
    """How many different questions of one exercise a paper can ask, as many as are wanted at most.

    >>> from steadyneedle.assessing.paper_plan import exercise_named
    >>> most_different(exercise_named("which_trace"), 10), most_different(exercise_named("what_lets_in"), 10)
    (9, 10)
    """
    found: list[Givens] = []
    with contextlib.suppress(RuntimeError):
        while len(found) < wanted:
            found.append(drawn(exercise, b"", "", 1, "", len(found), found, QUICKLY).givens)
    return len(found)


def drawn_at(
    exercise: Exercise, secret: bytes, paper: str, attempt: int, candidate: str, question: int, place: str
) -> Drawn:
    """The numbers that `drawn` found at a place, judged no more; a place is two counts, of two signs each.

    >>> from steadyneedle.assessing.paper_plan import exercise_named
    >>> words = (exercise_named("mpa_to_psi"), bytes(32), "creep", 1, "101", 3)
    >>> drawn_at(*words, drawn(*words).place) == drawn(*words)
    True
    """
    again, at = int(place[:2], BASE), int(place[2:], BASE)
    return Drawn(exercise.numbers(at, "paper", paper, attempt, candidate, question, again, secret=secret), place)


BASE = 36
NO_PLACE = "0000"
"""Of a question that draws no numbers."""


def place_of(again: int, at: int) -> str:
    """Two counts as text.

    >>> place_of(0, 35), place_of(1, 499)
    ('000z', '01dv')
    """
    return "".join(_SIGNS[count // BASE] + _SIGNS[count % BASE] for count in (again, at))


def place_of_job(number: int) -> str:
    """The number of a job as a place: the list of jobs may be another when its paper is marked.

    >>> job_at(place_of_job(500173)), job_at(place_of_job(999_999))
    (500173, 999999)
    """
    return place_of(*divmod(number, BASE**2))


def job_at(place: str) -> int:
    """The job of such a place."""
    return int(place, BASE)


_SIGNS = string.digits + string.ascii_lowercase


def _without_order(givens: Givens) -> Givens:
    return {name: value for name, value in givens.items() if name != "order"}
