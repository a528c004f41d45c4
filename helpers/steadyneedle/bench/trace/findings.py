"""What a log says of each thing that is asked, the band, the rise, the rate: a word, a sentence, numbers."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.bench.bands import Verdict
from steadyneedle.bench.bands.by_sheet import judge_by_sheet
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace.estimate import Range
from steadyneedle.bench.trace.scale import Scale
from steadyneedle.bench.trace.watch import NOT_MOVED, STILL, Watch
from steadyneedle.bench.units import Q, Quantity, formatted, require

NOT_ASKED = "not asked"
CANNOT_TELL = "cannot tell"
FINE_WIDTH = 0.02
"""bar; narrower intervals of a rise are written with one more digit."""

LATER = 30.0
"""s after the sheet's time from which the last reading is held against the band too."""

FAILING = ("outside", "beyond", "climbs", "falls")
PASSING = ("inside", "within", "stands")


@dataclass(frozen=True)
class TraceFinding:
    """One thing found: a word, a sentence, the value with its 95 % interval, what is allowed; None where there is none.

    The band's words are inside, outside; the rise's within, beyond; the rate's stands, climbs, falls; each may be
    "cannot tell" or "not asked".
    """

    outcome: str
    because: str
    value: Quantity | None = None
    low: Quantity | None = None
    high: Quantity | None = None
    allowed: Quantity | None = None

    @property
    def conforms(self) -> str:
        """yes, no, cannot tell or not asked."""
        if self.outcome in FAILING:
            return "no"
        return "yes" if self.outcome in PASSING else self.outcome


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
    ends = (level.value,) if watch.whole else (level.low, level.value, level.high)
    verdicts = [_by_sheet(one, 3, sheet, scale) for one in ends]
    outcomes = {verdict.outcome for verdict in verdicts}
    value, low, high = _pressures(level, scale)
    if len(outcomes) > 1:
        limits = " to ".join(scale.limit(require("limit", one, "bar")) for one in (band.low, band.high))
        because = (
            f"By the sheet's time the needle will stand {scale.pressures(level.low, level.high, 2)}. "
            f"With this gauge nobody can tell yet whether that lies in the band {limits}."
        )
        return TraceFinding(CANNOT_TELL, because, value, low, high)
    words = _by_sheet(level.value, 2, sheet, scale)
    because = words.because if words.outcome in outcomes else verdicts[len(ends) // 2].because
    outcome = outcomes.pop()
    if outcome != "outside" and not watch.strange and watch.watched > watch.judged_at + LATER:
        late = watch.level_at(watch.watched)
        at_last = [_by_sheet(one, 3, sheet, scale) for one in (late.value, late.low, late.high)]
        if {verdict.outcome for verdict in at_last} == {"outside"}:
            return TraceFinding("outside", f"{watch.at_the_last}: {at_last[0].because}", *_pressures(late, scale))
    return TraceFinding(outcome, f"{watch.when_judged}: {because}", value, low, high)


def find_rise(watch: Watch, sheet: Sheet | None, division: float) -> TraceFinding:
    """How far the needle rises over the sheet's minutes, from 5 s after the last purge on.

    Parameters
    ----------
    watch : Watch
        The hold that counts, estimated.
    sheet : Sheet or None
        With an allowed rise and its time, or not asked.
    division : float
        Step between two readings [bar]; a sheet that allows no rise allows half of it.

    Returns
    -------
    TraceFinding
        "beyond" when the whole 99 % interval lies above what is allowed, "within" when the 95 % interval lies below it
        and the watch is long enough.

    References
    ----------
    Procedure of the example sheets: common practice, no source.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.sheets import load_sheets
    >>> from steadyneedle.bench.trace.watch import Watch
    >>> from steadyneedle.foundation import places
    >>> alder = load_sheets(places.datasets() / "sheets")["Alder"]
    >>> find_rise(Watch.over(np.arange(0, 400, 15.0), np.full(27, 9.2), 0.1, 5.0), alder, 0.1).outcome
    'within'
    """
    if sheet is None or sheet.allowed_rise is None or sheet.rise_time is None:
        return TraceFinding(NOT_ASKED, "No rise is asked.")
    allowed = max(float(sheet.allowed_rise.to("bar").magnitude), division / 2)
    rise, scale, minutes = watch.rise(), watch.scale, formatted(Q(watch.rise_minutes, "min"), 1)
    numbers = (*_pressures(rise, scale), scale.as_pressure(allowed))
    limit = scale.limit(allowed)
    moved, places = "rose" if rise.value >= 0 else "fell", 2 if rise.high - rise.low > FINE_WIDTH else 3
    did = f"{moved} by {scale.pressure(abs(rise.value), places)}" if abs(rise.value) >= STILL else NOT_MOVED
    seen = f"The needle {did} in {minutes}, {scale.pressures(rise.low, rise.high, places)}"
    if rise.high <= 0:
        allows = f"it did not rise; the sheet allows {limit}."
    else:
        allows = f"within the {limit} the sheet allows."
    if rise.lowest > allowed:
        return TraceFinding("beyond", f"{seen}: more than the {limit} the sheet allows.", *numbers)
    if not watch.whole:
        asked = formatted(sheet.rise_time)
        return TraceFinding(CANNOT_TELL, f"{seen}; the sheet asks for {asked}, so it is too early.", *numbers)
    if rise.high <= allowed:
        return TraceFinding("within", f"{seen}: {allows}", *numbers)
    because = f"{seen}, and the {limit} the sheet allows lies between."
    if rise.low > allowed:
        because = f"{seen}: likely more than the {limit} the sheet allows, but not surely."
    return TraceFinding(CANNOT_TELL, because, *numbers)


def find_rate(watch: Watch, limit: float) -> TraceFinding:
    """Whether the needle stands, climbs or falls in the end.

    Parameters
    ----------
    watch : Watch
        The hold that counts, estimated.
    limit : float
        bar/min, above 0.

    Returns
    -------
    TraceFinding
        "climbs" or "falls" when the whole 99 % interval lies beyond the limit, "stands" when the 95 % interval lies
        within; "cannot tell" too where the needle does not behave like settle and creep.

    References
    ----------
    Rule of decision: ours, in `DEVELOPERS.md`.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace.watch import Watch
    >>> find_rate(Watch.over(np.arange(0, 601, 15.0), 9.8 + np.arange(41) // 4 * 0.1, 0.1, 2.0), 0.02).outcome
    'climbs'
    """
    scale, rate = watch.scale, watch.rate
    allowed, per = scale.as_rate(limit), scale.rate(limit, 3)
    if watch.strange:
        return TraceFinding(
            CANNOT_TELL, f"The needle does not behave like settle and creep: {watch.strange}.", allowed=allowed
        )
    value, low, high = (scale.as_rate(one) for one in (rate.value, rate.low, rate.high))
    said = f"Its rate lies {scale.rates(rate.low, rate.high, 3)}"
    if rate.lowest > limit:
        outcome, more = "climbs", f": more than {per}"
    elif rate.highest < -limit:
        outcome, more = "falls", f": it falls faster than {per}"
    elif -limit < rate.low and rate.high < limit:
        outcome, more = "stands", f": within {per}"
    else:
        edge = scale.rate(limit if rate.high > limit else -limit, 3)
        outcome, more = CANNOT_TELL, f", and the limit of {edge} with it"
        if rate.low > limit or rate.high < -limit:
            more = f": likely beyond {per}, but not surely"
    return TraceFinding(outcome, f"{said}{more}.", value, low, high, allowed)


def unread(kind: str) -> TraceFinding:
    """What stands for each finding where the needle never stands.

    Parameters
    ----------
    kind : str
        What the log shows: "saw-tooth".

    Returns
    -------
    TraceFinding
        "cannot tell".

    References
    ----------
    Our wording.

    Examples
    --------
    >>> unread("saw-tooth").because
    'The needle never stands (saw-tooth).'
    """
    return TraceFinding(CANNOT_TELL, f"The needle never stands ({kind}).")


def _by_sheet(level: float, decimals: int, sheet: Sheet, scale: Scale) -> Verdict:
    """Where a level [bar], rounded to so many decimals or what tells as much in the scale's unit, lies by the sheet."""
    reading = Q(round(level / scale.bar, scale.decimals(decimals)), scale.unit)
    return judge_by_sheet(reading, sheet, unit=scale.unit).verdict


def _pressures(one: Range, scale: Scale) -> tuple[Quantity, Quantity, Quantity]:
    return scale.as_pressure(one.value), scale.as_pressure(one.low), scale.as_pressure(one.high)
