"""The reading at which a watch ends, whatever it was meant to show."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
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


def stop_of(sheet: Sheet | None = None) -> Stop:
    """The lowest of the readings at which a watch must end.

    Parameters
    ----------
    sheet : Sheet or None
        Its second stage's opening pressure, its gauge and its upper limit count, those that it gives; where it names
        no gauge, a common one counts.

    Returns
    -------
    Stop
        Its reading, and which limit it is.

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
    stops = [Stop(PART_OF_SPAN * COMMON_GAUGE.span, "three quarters of a common gauge's scale")]
    if sheet is None:
        return stops[0]
    if sheet.gauge_span is not None:
        stops = [Stop(PART_OF_SPAN * sheet.gauge_span, "three quarters of its gauge's scale")]
    if sheet.second_stage_opens is not None:
        stops.append(Stop(sheet.second_stage_opens, "there its second stage opens by itself"))
    if sheet.ip_high is not None:
        stops.append(Stop(sheet.ip_high + ABOVE_LIMIT, "2 bar above the sheet's upper limit"))
    return min(stops, key=lambda one: float(one.reading.to("bar").magnitude))
