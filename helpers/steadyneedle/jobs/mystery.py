"""A mystery job: a regulator with something hidden, a customer, a past, by number; the first ten are graded."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.jobs.complaints import about_complaint, complaint_drawn, history_drawn
from steadyneedle.jobs.path import LARGEST
from steadyneedle.physics.stages import FirstStage

if TYPE_CHECKING:
    from steadyneedle.bench.diagnosis.hidden import Hidden

GAUGES = ("fine", "fine", "fine", "coarse", "coarse")
"""Three jobs of five have the finer gauge."""

CURRENCY = "shells"
"""Money is counted in them; invented."""


@dataclass(frozen=True)
class Job:
    """One job. `hidden` is for the bench and the debrief alone; everything else may be shown.

    `title` is empty but for the graded ones. `about` says afterwards what the complaint was worth.
    """

    number: int
    hidden: Hidden
    complaint: str
    history: str
    title: str = ""
    about: str = ""

    @property
    def design(self) -> str:
        """Name of its first stage."""
        return self.hidden.design

    @property
    def gauge(self) -> str:
        """Key of the bench's gauge."""
        return self.hidden.gauge

    def draws(self, test: str, turn: int) -> Draws:
        """What eyes and ears find in a test, `turn` tests after the first: the same on every machine."""
        return Draws("mystery job", self.number, "test", test, turn)


@lru_cache(maxsize=256)
def job(number: int) -> Job:
    """The job of a number.

    Parameters
    ----------
    number : int
        1 to 999,999; 1 to 10 go from plain to nasty.

    Returns
    -------
    Job
        The same on every machine.

    Raises
    ------
    ValueError
        No number, or one out of range.

    Examples
    --------
    >>> job(1).title, job(12).design == job(12).design
    ('A plain climb', True)
    """
    if type(number) is not int or not 1 <= number <= LARGEST:
        raise ValueError(f"A job has a whole number from 1 to {LARGEST:,}. Numbers 1 to {len(graded())} are graded.")
    if number in graded():
        return _graded_job(number)
    from steadyneedle.bench.diagnosis.hidden import drawn_hidden

    draws = Draws("mystery job", number)
    design = draws.one_of(FirstStage.names())
    gauge = draws.one_of(GAUGES)
    hidden = drawn_hidden(design, _drawn_cause(design, draws), gauge, Draws("mystery job", number, "hidden"))
    said, past = (Draws("mystery job", number, what) for what in ("complaint", "history"))
    complaint = complaint_drawn(hidden.faults, said)
    return Job(
        number, hidden, complaint, history_drawn(past, hidden.faults, complaint), about=about_complaint(complaint)
    )


def _drawn_cause(design: str, draws: Draws) -> str:
    """A cause, as often as our own table says that it is met; nobody's own table changes what a number means."""
    table = datasets.table("diagnosis/causes", ("weight_ours",))
    weights = dict(zip(table["cause"], table["weight_ours"], strict=True))
    from steadyneedle.bench.diagnosis.cause_list import causes

    possible = causes(design)
    left = draws.fraction() * sum(weights[one] for one in possible)
    for one in possible:
        left -= weights[one]
        if left < 0:
            return one
    return possible[-1]


@cache
def graded() -> dict[int, str]:
    """Number of each graded job to its title, from plain to nasty.

    >>> len(graded()), graded()[9]
    (10, 'Bought used and serviced')
    """
    table = datasets.table("diagnosis/graded_jobs", ("number",))
    return {int(number): title for number, title in zip(table["number"], table["title"], strict=True)}


def _graded_job(number: int) -> Job:
    from steadyneedle.bench.diagnosis.cause_list import cause_of
    from steadyneedle.bench.diagnosis.hidden import drawn_hidden

    table = datasets.table("diagnosis/graded_jobs", ("number",))
    at = table["number"].index(float(number))
    row = {name: cells[at] for name, cells in table.items()}
    keys = [] if row["faults"] == "sound" else row["faults"].split()
    faults = dict(zip(keys, map(float, row["severities"].split()), strict=True))
    # room, seed and the gauge's error are drawn as for any job; the faults are written down
    drawn = drawn_hidden(row["design"], cause_of(keys), row["gauge"], Draws("mystery job", number, "hidden"))
    hidden = dataclasses.replace(drawn, faults=faults)
    return Job(number, hidden, row["complaint"], row["history"], row["title"], row["about"])
