"""What a job in a paper is marked for: the numbers stand in the plan, the rules here, and the words in the paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from steadyneedle.jobs.path import SHOWN
from steadyneedle.jobs.pool import MINUTES

PARTS = ("cause", "safe", "minutes", "honest")
WIDEST_WITHIN, MOST = 5, 100
TWICE = 2
"""Half the marks for minutes are given up to so many times the minutes that earn all."""

HONEST, HALF_HONEST = 10, 25
"""Points between how sure somebody says they are and what their tests give: up to so many earn all, and half (ours)."""

FIRST = (
    f"Your tests must give what you name at least {SHOWN} %. The workbook computes that from what your tests showed; "
    "how sure you say you are changes nothing in it. Of a pair, each of the two alone counts with it. Where your tests "
    f"give less than {SHOWN} %, the job earns no mark. Where they give as much, it earns:"
)
"""What stands in the paper above the marks."""


@dataclass(frozen=True)
class Scheme:
    """Marks for each part; minutes count in full up to `within` times the most that the advice takes in any job."""

    cause: int
    safe: int
    minutes: int
    honest: int
    within: float

    @property
    def out_of(self) -> int:
        """Marks there are."""
        return self.cause + self.safe + self.minutes + self.honest

    @property
    def quick(self) -> float:
        """Minutes of tests that earn all marks for minutes: the same for every job, so that they tell nothing of it.

        >>> Scheme(4, 2, 2, 2, 1.5).quick
        54.0
        """
        return self.within * MINUTES[1]

    def lines(self) -> tuple[str, ...]:
        """The rubric in words, as the paper, the specimen and the graded notebook print it.

        >>> Scheme(4, 2, 2, 2, 1.5).lines()[1]
        '2 marks: you end the job yourself, without a critical failure, whether what you name is right or wrong.'
        """
        lines = (
            (
                self.cause,
                "you name the cause that is hidden. A pair with the right one in it earns half, rounded down.",
            ),
            (
                self.safe,
                "you end the job yourself, without a critical failure, whether what you name is right or wrong.",
            ),
            (
                self.minutes,
                f"you name the hidden cause alone, and your tests took at most {self.quick:g} min. Up to "
                f"{TWICE * self.quick:g} min earn half, rounded down.",
            ),
            (
                self.honest,
                f"at the end you are as sure as your tests allow, right or wrong: within {HONEST} points of what they "
                f"give, or nearer than any other step of the list. Within {HALF_HONEST} points earns half, rounded "
                "down.",
            ),
        )
        return tuple(f"{marks} mark{'s' if marks > 1 else ''}: {words}" for marks, words in lines if marks)


def scheme_of(marks: Any, within: Any) -> Scheme | None:
    """A scheme from plain data: marks by part, and `within`; None where they are not a scheme's.

    >>> scheme_of({"cause": 5, "safe": 2, "minutes": 2, "honest": 1}, 1.5).out_of, scheme_of({"cause": 5}, 1.5)
    (10, None)
    """
    if not isinstance(marks, dict) or set(marks) != set(PARTS):
        return None
    if not all(type(marks[part]) is int and 0 <= marks[part] <= MOST for part in PARTS):
        return None
    if not 1 <= sum(marks.values()) <= MOST or type(within) not in (int, float) or not 1 <= within <= WIDEST_WITHIN:
        return None
    return Scheme(marks["cause"], marks["safe"], marks["minutes"], marks["honest"], float(within))
