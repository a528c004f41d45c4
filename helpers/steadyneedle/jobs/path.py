"""The path somebody took through a mystery job: what was believed, what was done, what it showed, how it ended."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from steadyneedle.foundation.text_files import printable

CONFIDENCES = (5, 10, 25, 50, 75, 90, 95, 99)
"""Per cent that somebody may say, from hardly a guess to hardly a doubt."""

SHOWN = 50
"""Per cent, rounded as printed, that the tests give at least to what was named, where they show it."""

STOPPED, CRITICAL = "stopped", "critical"

AT_THE_STOP, NO_RELIEF = "stop", "relief"
"""Why a job ended as a critical failure: watched past the stop, or blanked without a relief valve."""

MOST_STEPS = 60
"""So many tests of one job are kept; the longest list of tests, all done once, is shorter."""

MOST_IN_A_PAPER = 20
"""So many tests a job in a paper holds: every habit of the trade finds the cause in them."""

OFTEN = 2
"""So often a test may be done in one job: what two readings do not tell, a third seldom does."""

LARGEST = 999_999
"""The largest number of a job."""


class PathError(ValueError):
    """Something is no path; the sentence says what is wrong with it."""


@dataclass(frozen=True)
class Said:
    """What somebody takes for the cause, and how sure they are, in per cent; empty and 0 where nothing was said."""

    cause: str = ""
    confidence: int = 0


@dataclass(frozen=True)
class Step:
    """One test: what was believed before it, whether advice was looked at, and what it showed."""

    test: str
    outcome: str
    belief: Said = Said()
    advised: bool = False


@dataclass(frozen=True)
class JobPath:
    """All that was done in one job.

    Parameters
    ----------
    job : int
        Its number.
    design : str
        Its first stage.
    steps : tuple of Step
        In the order in which they were done.
    end : str
        Empty while the job goes on, `STOPPED` or `CRITICAL`.
    verdict : Said
        What was said at the end.
    because : str
        Of a critical failure, `AT_THE_STOP` or `NO_RELIEF`.
    fatal : str
        The test in which it came.
    replay : bool
        Whether the number had been played before.

    Examples
    --------
    >>> path = JobPath(12, "Juniper").done("tap", "stays", Said("sound", 25))
    >>> path.findings, path.tests
    ([('tap', 'stays')], ('tap',))
    """

    job: int
    design: str
    steps: tuple[Step, ...] = ()
    end: str = ""
    verdict: Said = Said()
    because: str = ""
    fatal: str = ""
    replay: bool = False

    @property
    def findings(self) -> list[tuple[str, str]]:
        """Each test with what it showed."""
        return [(one.test, one.outcome) for one in self.steps]

    @property
    def tests(self) -> tuple[str, ...]:
        """The tests, in the order in which they were done."""
        return tuple(one.test for one in self.steps)

    @property
    def beliefs(self) -> tuple[Said, ...]:
        """What was believed before each test, and at the end."""
        return (*(one.belief for one in self.steps), self.verdict)

    def done(self, test: str, outcome: str, belief: Said, advised: bool = False) -> JobPath:
        """The path with one test more."""
        return dataclasses.replace(self, steps=(*self.steps, Step(test, outcome, belief, advised)))

    def stopped(self, verdict: Said) -> JobPath:
        """The path at its end: somebody is sure enough."""
        return dataclasses.replace(self, end=STOPPED, verdict=verdict)

    def failed(self, test: str, because: str, belief: Said) -> JobPath:
        """The path at its end: a critical failure in a test."""
        return dataclasses.replace(self, end=CRITICAL, because=because, fatal=test, verdict=belief)

    def data(self) -> dict[str, Any]:
        """What is written of it.

        >>> JobPath(12, "Alder").data()["job"]
        12
        """
        return {
            "job": self.job, "design": self.design, "replay": self.replay, "end": self.end,
            "verdict": dataclasses.asdict(self.verdict), "because": self.because, "fatal": self.fatal,
            "steps": [dataclasses.asdict(one) for one in self.steps],
        }  # fmt: skip

    @classmethod
    def of(cls, data: Any) -> JobPath:
        """A path as `data` wrote it, each field of its own kind.

        Parameters
        ----------
        data : object
            What JSON gave.

        Returns
        -------
        JobPath
            The same path.

        Raises
        ------
        PathError
            A field that is missing, unknown or of another kind.

        Examples
        --------
        >>> JobPath.of(JobPath(12, "Alder").data()) == JobPath(12, "Alder")
        True
        """
        kinds = {
            "job": int, "design": str, "replay": bool, "end": str, "verdict": dict, "because": str, "fatal": str,
            "steps": list,
        }  # fmt: skip
        fields = _fields(data, kinds, "the path")
        if not 1 <= fields["job"] <= LARGEST:
            raise PathError(f"A job has a number from 1 to {LARGEST}, not {fields['job']}.")
        if len(fields["steps"]) > MOST_STEPS:
            raise PathError(f"The path has {len(fields['steps'])} steps; at most {MOST_STEPS} are read.")
        made = cls(**{
            **fields, "verdict": _belief(fields["verdict"], "at the end"),
            "steps": tuple(_step(one, n) for n, one in enumerate(fields["steps"], 1)),
        })  # fmt: skip
        made._check_end()
        return made

    def _check_end(self) -> None:
        if self.end not in ("", STOPPED, CRITICAL):
            raise PathError(f"'{printable(self.end)}' is no end of a job; write {STOPPED}, {CRITICAL} or nothing.")
        if self.end == CRITICAL:
            if self.because not in (AT_THE_STOP, NO_RELIEF) or not self.fatal:
                raise PathError("A critical failure needs its test (fatal) and its reason (because).")
        elif self.because or self.fatal:
            raise PathError("Only a critical failure has a test that ended it (fatal) and a reason (because).")
        if self.end == STOPPED and not self.verdict.cause:
            raise PathError("Whoever stops says what it is: the verdict names no cause.")


def _step(data: Any, number: int) -> Step:
    where = f"step {number}"
    fields = _fields(data, {"test": str, "outcome": str, "belief": dict, "advised": bool}, where)
    return Step(**{**fields, "belief": _belief(fields["belief"], where)})


def _belief(data: Any, where: str) -> Said:
    fields = _fields(data, {"cause": str, "confidence": int}, f"the belief {where}")
    if bool(fields["cause"]) != bool(fields["confidence"]) or fields["confidence"] not in (0, *CONFIDENCES):
        known = ", ".join(map(str, CONFIDENCES))
        raise PathError(f"The belief {where} needs a cause and a confidence of {known} per cent, or neither.")
    return Said(**fields)


def _fields(data: Any, kinds: Mapping[str, type], where: str) -> dict[str, Any]:
    """The named fields, each of its kind: True is no number, and nothing stands beside them."""
    if not isinstance(data, dict):
        raise PathError(f"Of {where} there should be fields by name, and there are none.")
    for name, kind in kinds.items():
        if name not in data:
            raise PathError(f"Of {where} the field '{name}' is missing.")
        if type(data[name]) is not kind:
            raise PathError(f"Of {where} the field '{name}' holds another kind of thing than it should.")
        if kind is str and len(data[name]) > 100:
            raise PathError(f"Of {where} the field '{name}' is longer than 100 characters.")
    unknown = [str(name) for name in data if name not in kinds]
    if unknown:
        raise PathError(f"Of {where} there is a field '{printable(unknown[0])}' that no path has.")
    return {name: data[name] for name in kinds}
