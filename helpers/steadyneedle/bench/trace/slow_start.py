"""A log read too slowly after the valve was opened: what looks like a rise may be the end of purges or breaths."""

from __future__ import annotations

import dataclasses

import numpy as np

from steadyneedle.bench.trace.finding import CANNOT_TELL, TraceFinding
from steadyneedle.bench.trace.phases import Cut
from steadyneedle.bench.trace.watch import NEXT_READING, Watch

COME_BACK = 120.0
"""s from a hold's first reading within which the needle is back after the last purge or breath (our choice)."""

WATCH_FROM_A_PURGE = "Purge, and watch again with a reading 5 s after the last purge."


def unless_unseen(rise: TraceFinding, watch: Watch, cut: Cut) -> TraceFinding:
    """A rise that is too large, or "cannot tell" where purges or breaths that nobody logged could be its beginning.

    Whoever opens the valve purges too. Readings further apart than 20 s may show nothing of it but a needle on its way
    back; whether it rose since the last purge they cannot show where it then stands.

    Parameters
    ----------
    rise : TraceFinding
        Of the watch.
    watch : Watch
        The hold that counts, estimated.
    cut : Cut
        The log's phases.

    Returns
    -------
    TraceFinding
        The same, but for such a beginning.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> from steadyneedle.bench.trace.phases import cut_into_phases
    >>> time, pressure = np.arange(0.0, 600.0, 30.0), np.append([0.0, 8.7, 8.9, 9.0], np.full(16, 9.1))
    >>> cut = cut_into_phases(time, pressure, 0.05, 5.0)
    >>> watch = Watch.over(time[cut.rows], pressure[cut.rows], 0.05, 5.0, cut.purged)
    >>> found = TraceFinding("beyond", "It rose by 0.4 bar.", allowed=watch.scale.as_pressure(0.2))
    >>> unless_unseen(found, watch, cut).outcome
    'cannot tell'
    """
    if rise.outcome != "beyond" or rise.allowed is None or watch.strange or not watch.whole:
        return rise
    before = [one.name for one in cut.phases if one.end_s <= watch.started and one.name != "lock-up"]
    if before[-1:] != ["pressurising"] or float(np.median(np.diff(watch.time))) <= NEXT_READING:
        return rise
    stands = watch.level_at(watch.judged_at).value - watch.division
    back = float(watch.time[int(np.argmax(watch.pressure >= stands))])
    allowed = float(rise.allowed.to("bar").magnitude)
    if back > COME_BACK or watch.estimate.rise(back, watch.judged_at).high > allowed:
        return rise
    words = f"{rise.because[:-1]}, unless its first readings are the end of purges that nobody logged."
    return dataclasses.replace(rise, outcome=CANNOT_TELL, because=words, mend=WATCH_FROM_A_PURGE)
