"""When a needle that moves leaves its band, and when its second stage opens."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace.watch import Watch
from steadyneedle.bench.units import Q, Quantity


@dataclass(frozen=True)
class Projection:
    """When the needle leaves the sheet's band and when its second stage opens, from the last reading on; or None."""

    leaves_band: Quantity | None = None
    second_stage_opens: Quantity | None = None


def project(watch: Watch, sheet: Sheet | None) -> Projection:
    """When a needle that moves comes to its band's edge, and to where its second stage opens, at the rate found.

    Parameters
    ----------
    watch : Watch
        The hold that counts, estimated.
    sheet : Sheet or None
        Whatever it says.

    Returns
    -------
    Projection
        Minutes from the last reading; None where the needle never comes there, or no sheet says where that is.

    References
    ----------
    Definition.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace.watch import Watch
    >>> climbs = Watch.over(np.arange(0, 601, 15.0), 9.8 + np.arange(41) // 4 * 0.1, 0.1)
    >>> 0 < project(climbs, Sheet("any", ip_high=Q(12, "bar"))).leaves_band.magnitude < 15
    True
    """
    if sheet is None:
        return Projection()
    level, rate = watch.level_at(watch.watched).value, watch.rate.value
    last, half = float(np.median(watch.pressure[-3:])), watch.division / 2 + watch.estimate.noise
    now = min(max(level, last - half), last + half)  # it stands where it was read last, whatever the law says
    edge = sheet.ip_high if rate > 0 else sheet.ip_low
    opens = sheet.second_stage_opens if rate > 0 else None

    def minutes(level: Quantity | None) -> Quantity | None:
        return None if level is None else Q(max((float(level.to("bar").magnitude) - now) / rate, 0.0), "min")

    return Projection(minutes(edge), minutes(opens))
