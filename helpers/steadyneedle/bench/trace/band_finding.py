"""Whether the needle stands in its sheet's band: when it is judged, and how coarsely the log was read."""

from __future__ import annotations

from steadyneedle.bench.bands import Verdict
from steadyneedle.bench.bands.by_sheet import gauge_of, judge_by_sheet
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace.finding import CANNOT_TELL, NOT_ASKED, TraceFinding
from steadyneedle.bench.trace.watch import Watch
from steadyneedle.bench.units import Q, Quantity, require

LATER = 30.0
"""s after the sheet's time from which the last reading is held against the band too."""

COARSER = 1.001
"""Times another step from which a step is coarser; less is the rounding of a unit."""

NEARER_THE_MIDDLE = (
    "Watching longer will not tell: use a gauge with less uncertainty, or set it nearer the middle of its band."
)


def find_band(watch: Watch, sheet: Sheet | None) -> TraceFinding:
    """Where the needle stands at the sheet's time, or at the last reading: by the sheet's band and rule.

    Parameters
    ----------
    watch : Watch
        The hold that counts, estimated.
    sheet : Sheet or None
        With a band, or not asked.

    Returns
    -------
    TraceFinding
        Before the sheet's time it is inside or outside only where the whole 95 % interval at that time is.

    References
    ----------
    As `judge_by_sheet`; when the band is judged is ours.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.sheets import load_sheets
    >>> from steadyneedle.bench.trace.watch import Watch
    >>> from steadyneedle.foundation import places
    >>> alder = load_sheets(places.datasets() / "sheets")["Alder"]
    >>> find_band(Watch.over(np.arange(0, 400, 15.0), np.full(27, 9.2), 0.1, 5.0), alder).outcome
    'inside'
    """
    band = None if sheet is None else sheet.band
    if sheet is None or band is None:
        return TraceFinding(NOT_ASKED, "No band is asked.")
    level, scale = watch.level_at(watch.judged_at), watch.scale
    coarse = _coarse(watch, gauge_of(sheet).division)
    ends: tuple[float, ...] = (level.value,) if watch.whole else (level.low, level.value, level.high)
    if coarse:  # the needle stands about what is read, whatever the law makes of so few steps
        about: tuple[float, ...] = (level.value, watch.read_at(watch.judged_at).value)
        if sheet.rule in (None, "simple"):  # the reading alone decides; else its uncertainty has the step
            half = watch.division / 2
            about = (min(level.low, min(about) - half), *about, max(level.high, max(about) + half))
        ends = (*ends, *about)
    verdicts = [_by_sheet(one, 3, sheet, watch) for one in ends]
    outcomes = {verdict.outcome for verdict in verdicts}
    numbers = scale.as_pressures(level)
    late = _out_later(watch, sheet) if outcomes != {"outside"} else None
    if late is not None:
        return late
    if len(outcomes) > 1:
        limits = " to ".join(scale.limit(require("limit", one, "bar")) for one in (band.low, band.high))
        stands = "the needle stands" if watch.whole else "By the sheet's time the needle will stand"
        because = (
            f"{f'{watch.when_judged}: ' * watch.whole}{stands} {scale.pressures(min(ends), max(ends), 2)}. "
            f"With this gauge nobody can tell{'' if watch.whole else ' yet'} whether that lies in the band {limits}."
        )
        return TraceFinding(CANNOT_TELL, because, *numbers, mend=coarse if watch.whole else "")
    words = _by_sheet(level.value, 2, sheet, watch)
    because = words.because if words.outcome in outcomes else verdicts[0 if watch.whole else 1].because
    outcome = outcomes.pop()
    mend = (coarse or NEARER_THE_MIDDLE) if outcome == CANNOT_TELL and watch.whole else ""
    return TraceFinding(outcome, f"{watch.when_judged}: {because}", *numbers, mend=mend)


def _out_later(watch: Watch, sheet: Sheet) -> TraceFinding | None:
    """A needle that is surely out of its band in the end, well after the sheet's time; else None.

    Whatever a needle does that is no settle and creep, it does not stand too high for long by chance; too low it may,
    as a cylinder is shut.
    """
    band = sheet.band
    if band is None or watch.watched <= watch.judged_at + LATER:
        return None
    late = watch.level_at(watch.watched)
    if watch.strange and late.low <= require("ip_high", band.high, "bar"):
        return None
    at_last = [_by_sheet(one, 3, sheet, watch) for one in (late.value, late.low, late.high)]
    if {verdict.outcome for verdict in at_last} != {"outside"}:
        return None
    return TraceFinding("outside", f"{watch.at_the_last}: {at_last[0].because}", *watch.scale.as_pressures(late))


def _coarse(watch: Watch, step: Quantity) -> str:
    """Words where the log is read in coarser steps than the sheet's gauge has; else nothing."""
    bar = float(step.to("bar").magnitude)
    if watch.division <= COARSER * bar:
        return ""
    steps, own = watch.scale.limit(watch.division), watch.scale.limit(bar)
    return f"The log is read in steps of {steps}, the sheet's gauge in steps of {own}: read a finer gauge."


def _by_sheet(level: float, decimals: int, sheet: Sheet, watch: Watch) -> Verdict:
    """Where a level [bar], rounded to so many decimals or what tells as much in the scale's unit, lies by the sheet."""
    scale = watch.scale
    reading = Q(round(level / scale.bar, scale.decimals(decimals)), scale.unit)
    step = Q(watch.division, "bar") if _coarse(watch, gauge_of(sheet).division) else None
    return judge_by_sheet(reading, sheet, unit=scale.unit, division=step).verdict
