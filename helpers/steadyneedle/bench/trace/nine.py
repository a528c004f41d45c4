"""The nine recordings of `datasets/nine_traces.csv`, each a log with its design, and the verdict on each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace.logs import Log
from steadyneedle.bench.trace.verdict import OUTCOMES, TraceVerdict, judge_trace
from steadyneedle.foundation import datasets, places
from steadyneedle.foundation.draws import Draws

TRACES = len(OUTCOMES)
"""One of each outcome."""

ASKED = tuple(Draws("nine traces, as they are asked").order(range(1, TRACES + 1)))
"""Numbers in the dataset, in the order in which a class is asked: not that of the outcomes."""


@dataclass(frozen=True)
class Recorded:
    """A log and the first stage it was recorded of."""

    design: str
    log: Log


@cache
def recorded(number: int) -> Recorded:
    """One of the nine.

    Parameters
    ----------
    number : int
        1 to 9, as in the dataset.

    Returns
    -------
    Recorded
        Its design and its log.

    References
    ----------
    Computed on the rig; `datasets/nine_traces.csv` keeps the readings.

    Examples
    --------
    >>> recorded(9).design, recorded(9).log.time.size
    ('Juniper', 7)
    """
    columns = datasets.table("nine_traces", ("trace", "time_s", "pressure_bar", "division_bar"))
    rows = np.flatnonzero(np.array(columns["trace"], int) == number)
    times, readings = (np.array(columns[name])[rows] for name in ("time_s", "pressure_bar"))
    first = int(rows[0])
    return Recorded(columns["design"][first], Log.from_arrays(times, readings, "bar", columns["division_bar"][first]))


@cache
def verdict_on(number: int) -> TraceVerdict:
    """What one of the nine shows, judged as any log is, by the sheet of its design.

    Parameters
    ----------
    number : int
        1 to 9, as in the dataset.

    Returns
    -------
    TraceVerdict
        As `judge_trace` gives it.

    References
    ----------
    As `judge_trace`.

    Examples
    --------
    >>> verdict_on(5).outcome
    'creeps'
    """
    one = recorded(number)
    return judge_trace(one.log, load_sheets(places.datasets() / "sheets")[one.design])
