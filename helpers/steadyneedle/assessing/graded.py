"""What the cells of a graded notebook call: each computes its mark again from the answer as it was handed in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from steadyneedle.assessing.hand_marks import Given, in_words
from steadyneedle.assessing.job_marking import (
    FAILED,
    FOUND,
    NAMED,
    NOT_FOUND,
    PART_FOUND,
    SIGNED_OFF,
    UNENDED,
    hidden_lines,
)
from steadyneedle.assessing.job_rubric import Scheme
from steadyneedle.assessing.marking import (
    FOR_A_HUMAN,
    IN_PART,
    KEPT,
    NOT_READ,
    NOTHING,
    RIGHT,
    STOOD,
    WAS_KEPT,
    WAS_MENDED,
    AnswerMark,
    expected,
    marked_answer,
    marked_job,
    result_of,
)
from steadyneedle.assessing.paper_plan import exercise_named

OUTCOMES = {
    RIGHT: "Right.", "known mistake": "A known mistake: {mistake}.", "off": "Not right.",
    NOTHING: "Nothing was answered.", IN_PART: "Right in part.", KEPT: "Marked before the question was mended.",
    STOOD: "The mark given before stands.",
    FOUND: "The cause was found.", PART_FOUND: "Part of the cause was found.", NOT_FOUND: "The cause was not found.",
    NAMED: "The cause was named, and not shown.", FAILED: "A critical failure.",
    SIGNED_OFF: "Signed off against its own tests.", UNENDED: "The job was not ended.",
}  # fmt: skip


class GradedPaper:
    """A graded paper while its notebook runs; cells may run again, in any order, before the total.

    Parameters
    ----------
    pass_percent : int
        The pass mark, percent of all marks.
    issued : int
        What it was when the paper was issued, where it has been changed since.

    Examples
    --------
    >>> paper = GradedPaper(pass_percent=70)
    >>> paper.marked(1, "mpa_to_psi", {"mpa": 20.0}, version=2, answer="200 psi", weight=1, critical=True)
    Expected: 2901 psi
      20.0 MPa × 10 bar/MPa = 200 bar
      200 bar × 14.504 psi/bar = 2901 psi
    A whole psi is close enough: 2901 psi.
    Answers from 2897 to 2905 psi count: 14.5 psi a bar comes closer than that.
    <BLANKLINE>
    Mark: 0 of 1. A known mistake: answer in bar.
    That is the number in bar. Turn it into psi: multiply by 14.504.
    A critical question was missed.
    >>> paper.total()
    Mark: 0 of 1, that is 0 %. The pass mark is 70 %.
    Critical questions missed: 1.
    Result: not yet competent.
    """

    def __init__(self, pass_percent: int, issued: int = 0) -> None:
        self._pass_percent = pass_percent
        self._issued = issued or pass_percent
        self._marks: dict[int, tuple[float, int]] = {}
        self._missed: set[int] = set()
        self._waiting: set[int] = set()

    def marked(
        self, number: int, exercise: str, givens: Mapping[str, Any], *, version: int, answer: str, weight: int,
        critical: bool = False,
    ) -> None:  # fmt: skip
        """Print what was expected, what the answer is worth, and why."""
        asked = exercise_named(exercise)
        if asked.version != version:
            print(f"This question has version {asked.version} now; this paper asked version {version}.")
            self.mended(number, weight=weight)
            return
        worth = marked_answer(asked, dict(givens), answer)
        print(self.report(number, worth, expected(asked, dict(givens)), weight, critical))

    def played(
        self, number: int, job: int, path: str, *, scheme: tuple[int, int, int, int, float], weight: int,
        critical: bool = False,
    ) -> None:  # fmt: skip
        """Play a path through a job again; print what was hidden, the marks for each part, and why.

        Parameters
        ----------
        number : int
            The question's.
        job : int
            The job's.
        path : str
            As it was handed in.
        scheme : tuple
            Marks for cause, safe, minutes and honest, and within how many times the advice's minutes.
        weight : int
            Marks there are.
        critical : bool
            Whether a critical failure, or a job not ended, holds the whole result back.
        """
        worth = marked_job(job, Scheme(*scheme), path)
        if worth.waiting:
            print(self.open(number, weight, " ".join(worth.lines)))
        else:
            print(self.report(number, worth, hidden_lines(job), weight, critical))

    def waits(self, number: int, *, weight: int) -> None:
        """Print that a human marks this answer."""
        print(self.open(number, weight, FOR_A_HUMAN))

    def mended(self, number: int, *, weight: int) -> None:
        """Print that this question is another today."""
        print(self.open(number, weight, WAS_MENDED))

    def kept(self, number: int, *, mark: float, weight: int, critical: bool = False, safe: bool = True) -> None:
        """Print a mark that was given before the question was mended; `safe` where no critical question was missed."""
        print(self.report(number, AnswerMark(KEPT, (WAS_KEPT,), given=mark, safe=safe), [], weight, critical))

    def stood(self, number: int, *, mark: float, weight: int, critical: bool = False, safe: bool = True) -> None:
        """Print that a mark given before stands, whatever the workbook of today gave above."""
        print(self.standing(number, mark, weight, critical=critical, safe=safe))

    def unanswered(self, number: int, *, weight: int, critical: bool = False) -> None:
        """Print that a question for a human was left empty."""
        print(self.report(number, AnswerMark(NOTHING, ()), [], weight, critical))

    def given(
        self, number: int, *, mark: float, weight: int, by: str, critical: bool = False, instead: float | None = None
    ) -> None:
        """Print the mark that a person gave, and the one that it replaces."""
        print(self.by_hand(number, Given(mark, by, instead=instead), weight, critical))

    def total(self) -> None:
        """Print the sum of the cells above, and the result."""
        print(self.summary())

    def report(self, number: int, worth: AnswerMark, right: list[str], weight: int, critical: bool) -> str:
        """Note a mark; what was expected, the mark, and why."""
        if worth.waiting:
            return "\n".join([*right, "", self.open(number, weight, NOT_READ), *worth.lines])
        mark = worth.marks(weight)
        self._marks[number] = (mark, weight)
        said = () if worth.outcome == NOTHING else worth.lines
        if worth.outcome == RIGHT:  # what counts stands above already
            said = tuple(_without(line, right) for line in said)
        lines = [
            *right,
            "",
            f"Mark: {in_words(mark)} of {weight}. {OUTCOMES[worth.outcome].format(mistake=worth.mistake)}",
            *said,
        ]
        if critical and not worth.passed:
            self._missed.add(number)
            lines.append("A critical question was missed.")
        return "\n".join(line for at, line in enumerate(lines) if line or (at and at == len(right)))

    def open(self, number: int, weight: int, why: str) -> str:
        """Note that a human marks; the sentence."""
        self._waiting.add(number)
        self._marks[number] = (0, weight)
        return f"Mark: open, out of {weight}. {why}"

    def standing(self, number: int, mark: float, weight: int, *, critical: bool, safe: bool) -> str:
        """Note a mark that stands; the sentence."""
        said = f"Mark: {in_words(mark)} of {weight}, as it was given before: it stands, whatever today's rules give."
        return self._instead(number, mark, weight, said, missed=critical and not safe)

    def by_hand(self, number: int, given: Given, weight: int, critical: bool) -> str:
        """Note the mark that a person gave; the sentence."""
        instead = "" if given.instead is None else f" instead of {in_words(given.instead)}"
        said = f"Mark: {in_words(given.mark)} of {weight}{instead}, given by {given.by}."
        return self._instead(number, given.mark, weight, said, missed=critical and given.mark < weight)

    def _instead(self, number: int, mark: float, weight: int, said: str, *, missed: bool) -> str:
        """Note a mark in place of what was noted; the sentence, and that a critical question was missed."""
        self._marks[number] = (mark, weight)
        self._missed.discard(number)
        self._waiting.discard(number)
        if not missed:
            return said
        self._missed.add(number)
        return f"{said}\nA critical question was missed."

    def summary(self) -> str:
        """The sum, what is open, and the result."""
        mark, out_of = (sum(column) for column in zip(*self._marks.values(), strict=True))
        missed = sorted(self._missed)
        said = f"Critical questions missed: {', '.join(map(str, missed))}.\n" if missed else ""
        if self._waiting:
            listed = ", ".join(map(str, sorted(self._waiting)))
            return f"Mark so far: {in_words(mark)} of {out_of}.\n{said}Open: {listed}."
        percent = f"{100 * mark / out_of:.0f} %. The pass mark is {self._pass_percent} %."
        if self._issued != self._pass_percent:
            percent += f" It was {self._issued} % when the paper was issued."
        result = result_of(mark, out_of, self._pass_percent, missed)
        return f"Mark: {in_words(mark)} of {out_of}, that is {percent}\n{said}Result: {result}."


def _without(line: str, before: list[str]) -> str:
    """What a line says beyond a line that stands before it."""
    said = max((one for one in before if line.startswith(one.strip())), key=len, default="")
    return line.removeprefix(said.strip()).strip()
