"""The reading at which a watch ends, whatever it was meant to show."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.bench.bands.specification import Sheet
from steadyneedle.bench.units import Q, Quantity

ABOVE_LIMIT = Q(2.0, "bar")
"""Ours: nothing is learnt about a creep so far above the sheet's upper limit."""

PART_OF_SPAN = 0.75
"""Ours: a gauge is not to be loaded near the end of its scale by a needle that climbs."""

AT_THE_STOP = "Shut the cylinder valve, purge the pressure away, tag the regulator. Nobody breathes from it."


@dataclass(frozen=True)
class Stop:
    """Where to stop: a gauge reading, and which of the limits it is."""

    reading: Quantity
    because: str


def stop_of(sheet: Sheet) -> Stop | None:
    """The lowest of the readings at which a watch must end.

    Parameters
    ----------
    sheet : Sheet
        Its second stage's opening pressure, its gauge and its upper limit count, those that it gives.

    Returns
    -------
    Stop or None
        None where the sheet gives none of them.

    Raises
    ------
    ValueError
        Never for a sheet that was accepted.

    References
    ----------
    Ours; where the maker's manual says less, less.

    Examples
    --------
    >>> from steadyneedle.bench.sheets import load_sheets
    >>> from steadyneedle.foundation import places
    >>> stop = stop_of(load_sheets(places.datasets() / "sheets")["Juniper"])
    >>> print(stop.reading, "|", stop.because)
    12.0 bar | three quarters of its gauge's scale
    """
    stops = []
    if sheet.gauge_span is not None:
        stops.append(Stop(PART_OF_SPAN * sheet.gauge_span, "three quarters of its gauge's scale"))
    if sheet.second_stage_opens is not None:
        stops.append(Stop(sheet.second_stage_opens, "there its second stage opens by itself"))
    if sheet.ip_high is not None:
        stops.append(Stop(sheet.ip_high + ABOVE_LIMIT, "2 bar above the sheet's upper limit"))
    return min(stops, key=lambda one: float(one.reading.to("bar").magnitude)) if stops else None
