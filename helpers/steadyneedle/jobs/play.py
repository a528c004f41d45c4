"""One test of a mystery job: what it shows, and whether the needle climbs to the stop while somebody watches. SI."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from steadyneedle.bench.bands.stopping import AT_THE_STOP as SHUT_AND_PURGE
from steadyneedle.bench.diagnosis.needle_words import STOPPED
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import AT_THE_STOP, NO_RELIEF

BARE = "blank, no relief valve"
"""A test that nobody does: every port blanked, and nothing to let the pressure go. It stands in the list."""

WATCH = "watch_full"
"""The test that a climb to the stop is, whatever it was meant for."""

BARE_NAME = "blank every low-pressure port as it stands, without a relief valve, and watch"


@dataclass(frozen=True)
class Seen:
    """What a test shows.

    `log` is what somebody reads off the needle meanwhile, times [s] and readings [Pa over ambient], or None. Where
    `at_stop`, the reading has come to the stop [Pa] while the supply is open, after the first `climb` readings, and who
    watches on ends the job. Where `goes_on`, the valve is shut there by the test itself, which then goes on.
    """

    outcome: str
    at_stop: bool
    stop: float
    log: tuple[np.ndarray, np.ndarray] | None = None
    climb: int = 0
    goes_on: bool = False

    def up_to_the_stop(self) -> Seen:
        """What was seen when the needle was at the stop, before anything was done about it."""
        if self.log is None:
            return self
        return dataclasses.replace(self, log=(self.log[0][: self.climb], self.log[1][: self.climb]))


@lru_cache(maxsize=1024)
def seen(number: int, test: str, turn: int) -> Seen:
    """What a test of a job shows.

    Parameters
    ----------
    number : int
        The job's.
    test : str
        Key of a test that its design allows.
    turn : int
        How many tests were done before: done again, a test gives fresh purges and fresh readings.

    Returns
    -------
    Seen
        The same on every machine.

    Raises
    ------
    ValueError
        No such job or test.

    Examples
    --------
    >>> seen(1, "watch_full", 0).outcome
    'creeps fast'
    """
    from steadyneedle.bench.diagnosis.gauge_kinds import stop_reading
    from steadyneedle.bench.diagnosis.shown import shown
    from steadyneedle.jobs.kept_bench import InAJob
    from steadyneedle.jobs.needle_read import SHUTS_THE_VALVE, needle_log

    one = job(number)
    hidden = InAJob.of(one.hidden)
    outcome, stop = shown(hidden, test, turn, one.draws(test, turn)), stop_reading(one.design, one.gauge)
    log = needle_log(hidden, test, turn)
    if log is None:
        return Seen(outcome, False, stop)
    goes_on = bool(log.climb) and test in SHUTS_THE_VALVE
    return Seen(log.outcome or outcome, bool(log.climb), stop, (log.times, log.readings), log.climb, goes_on)


def counts_as(number: int, test: str, findings: Sequence[tuple[str, str]]) -> str:
    """The test as which somebody's next test is recorded.

    Parameters
    ----------
    number : int
        The job's.
    test : str
        Key of the test that was chosen.
    findings : sequence of (test, outcome)
        What was found before.

    Returns
    -------
    str
        `watch_full` where the needle came to the stop before the test shut the valve, and no watch has told that yet:
        what was seen then is a watch, and the test was not done. The same key otherwise.

    Examples
    --------
    >>> counts_as(9, "bleed", []), counts_as(9, "bleed", [("watch_full", "climbs to the stop")])
    ('watch_full', 'bleed')
    """
    turn = len(findings)
    climbs = seen(number, test, turn).goes_on and seen(number, WATCH, turn).outcome == STOPPED
    return WATCH if climbs and (WATCH, STOPPED) not in map(tuple, findings) else test


def why_critical(because: str) -> tuple[str, ...]:
    """Why a job ended as a critical failure, and what to do instead.

    >>> why_critical("stop")[1]
    'Shut the cylinder valve, purge the pressure away, tag the regulator. Nobody breathes from it.'
    """
    if because == AT_THE_STOP:
        return (
            "You watched on past the stop. From there the second stage may open, or the gauge passes what it is "
            "rated for.",
            SHUT_AND_PURGE,
        )
    if because == NO_RELIEF:
        return (
            "You blanked every port without a relief valve. A stage that creeps then climbs towards cylinder pressure "
            "and bursts a gauge or a hose, and nobody knows beforehand which stage creeps.",
            "Fit the relief valve first, and a gauge that is rated for it. Then blank the ports and watch.",
        )
    raise ValueError(f"There is no critical failure '{because}'; there are {AT_THE_STOP}, {NO_RELIEF}.")
