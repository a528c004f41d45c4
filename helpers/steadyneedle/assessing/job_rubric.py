"""What a job in a paper is marked for: the numbers stand in the plan, the rules here, and the words in the paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

PARTS = ("cause", "safe", "minutes", "honest")
WIDEST_WITHIN, MOST = 5, 100
TWICE = 2
"""Half the marks for minutes are given up to so many times `within`."""

SHOWN = 50
"""Percent that the tests of a path give at least to what was named, where they show it: as in the lessons' debrief."""

HONEST = 25
"""Points between how sure somebody says they are and what their tests give: within them it is honest (ours)."""


@dataclass(frozen=True)
class Scheme:
    """Marks for each part, and how many times the advice's minutes count in full."""

    cause: int
    safe: int
    minutes: int
    honest: int
    within: float

    @property
    def out_of(self) -> int:
        """Marks there are."""
        return self.cause + self.safe + self.minutes + self.honest

    def lines(self) -> tuple[str, ...]:
        """The rubric in words, as the paper, the specimen and the graded notebook print it.

        >>> Scheme(5, 2, 2, 1, 1.5).lines()[1]
        '2 marks: you end the job yourself after at least one test, without a critical failure.'
        """
        full, half = f"{self.within:g}", f"{TWICE * self.within:g}"
        lines = (
            (
                self.cause,
                f"you name the cause that was hidden, and your tests show it: they give it at least {SHOWN} %, and at "
                "the end you are no surer than they give, to the next step of the list. A pair with the right one in "
                "it, shown so, earns half, rounded down. What is named and not shown earns nothing here.",
            ),
            (self.safe, "you end the job yourself after at least one test, without a critical failure."),
            (
                self.minutes,
                f"you find and show the cause in at most {full} times the minutes that the computed advice takes. Up "
                f"to {half} times earn half, rounded down.",
            ),
            (
                self.honest,
                f"at the end you are as sure as your tests allow: within {HONEST} points of what they give.",
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
