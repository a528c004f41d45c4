"""Jobs that are as hard as one another, by number: from them a paper takes one for each candidate.

How hard a job is, is told by two things: what the computed advice takes to name the cause, in minutes and tests, and
what the quickest habit of the trade takes. Each lies within a factor of all others. Marking plays a job again, and no
path that a paper's form makes takes ten times an honest file to mark: where a valve burps it would, and no such job is
here. Every job hides one fault; the advice and all the habits name it right, and on the advice's way neither eye nor
ear nor gauge misleads. No cause stands in more than a quarter of a design's jobs, and whoever does the same three
tests and names the same cause in all of them earns little. The tests compute all of it again.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache

from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws

FILE = "diagnosis/jobs_alike"
MINUTES, TESTS, BY_HABIT = (24.0, 36.0), (5, 8), (40.0, 80.0)
"""Least and most that the advice takes, in minutes and in tests, and that the quickest habit takes, in minutes."""


@dataclass(frozen=True)
class Alike:
    """One of these jobs: its number, and what the computed advice takes to name its cause."""

    number: int
    minutes: float
    tests: tuple[str, ...]


@cache
def jobs_alike() -> dict[int, Alike]:
    """Number of each of these jobs to what the advice takes.

    >>> all(MINUTES[0] <= one.minutes <= MINUTES[1] for one in jobs_alike().values())
    True
    """
    table = datasets.table(FILE, ("number", "minutes"))
    rows = zip(table["number"], table["minutes"], table["tests"], strict=True)
    return {int(number): Alike(int(number), minutes, tuple(tests.split())) for number, minutes, tests in rows}


def job_drawn(
    secret: bytes, paper: str, candidate: str, question: int, attempt: int, before: Collection[int] = ()
) -> int:
    """The number of a candidate's job: the same on every machine, and another one in each of ten attempts.

    Parameters
    ----------
    secret : bytes
        The cohort's; without it nobody can foretell the number.
    paper, candidate, question : str, str, int
        Whose job it is.
    attempt : int
        From 1; a resit is another one.
    before : collection of int
        The jobs of the candidate's earlier attempts: none is given again, even where the list is another by now.

    Returns
    -------
    int
        One of `jobs_alike`.

    Examples
    --------
    >>> job_drawn(b"x", "creep", "101", 17, 1) == job_drawn(b"x", "creep", "101", 17, 2)
    False
    """
    dealt = Draws("job of a paper", paper, candidate, question, secret=secret).order(sorted(jobs_alike()))
    left = [one for one in dealt if one not in before] or dealt
    return left[(attempt - 1 - len(set(before) & set(dealt))) % len(left)]
