"""What a log says of the rise and the rate, and where there is nothing to say: a word, a sentence, numbers."""

from __future__ import annotations

from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace.finding import CANNOT_TELL, NOT_ASKED, TraceFinding
from steadyneedle.bench.trace.stopped import wandered
from steadyneedle.bench.trace.watch import CAME_BACK, NOT_MOVED, PRESSURISE, STILL, Watch
from steadyneedle.bench.units import formatted

FINE_WIDTH = 0.02
"""bar; narrower intervals of a rise are written with one more digit."""

COARSER = 1.001
"""Times what is allowed from which a step is coarser; less is the rounding of a unit."""

FINER_GAUGE = "Read a finer gauge."

SUPPORTED = 1.9
"""Divisions that the readings must move before a climb or a fall is sure: a change of one division may be next to none,
where the needle stands between two marks; less than two is rounding."""


def find_rise(watch: Watch, sheet: Sheet | None, division: float) -> TraceFinding:
    """How far the needle rises over the sheet's minutes, from 5 s after the last purge on.

    Parameters
    ----------
    watch : Watch
        The hold that counts, estimated.
    sheet : Sheet or None
        With an allowed rise and its time, or not asked.
    division : float
        Step between two readings [bar]; a sheet that allows no rise allows half of it, for less no gauge shows.

    Returns
    -------
    TraceFinding
        "beyond" when the whole 99 % interval lies above what is allowed, "within" when the 95 % interval lies below it,
        the watch is long enough, and the gauge can show as little as is allowed.

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
    asked_for = float(sheet.allowed_rise.to("bar").magnitude)
    allowed = asked_for if asked_for > 0 else division / 2
    rise, scale = watch.rise(), watch.scale
    numbers, limit, seen = (*scale.as_pressures(rise), scale.as_pressure(allowed)), scale.limit(allowed), _risen(watch)
    carried = watch.moves_by(1) >= SUPPORTED * division
    if rise.lowest > allowed and carried:
        return TraceFinding("beyond", f"{seen}: more than the {limit} the sheet allows.", *numbers)
    coarser = rise.high > 0 and asked_for > 0 and division > COARSER * allowed
    if coarser or rise.lowest > allowed:
        said = (
            f"{seen if carried else 'The needle moved by one step at most'}, read in steps of {scale.limit(division)}"
        )
        because = f"{said}: too coarse to show the {limit} the sheet allows."
        return TraceFinding(CANNOT_TELL, because, *numbers, mend=FINER_GAUGE)
    if not watch.whole:
        asked = formatted(sheet.rise_time)
        return TraceFinding(CANNOT_TELL, f"{seen}; the sheet asks for {asked}, so it is too early.", *numbers)
    if rise.high <= allowed:
        allows = (
            f"within the {limit} the sheet allows" if rise.high > 0 else f"it did not rise; the sheet allows {limit}"
        )
        return TraceFinding("within", f"{seen}: {allows}.", *numbers)
    because = f"{seen}, and the {limit} the sheet allows lies between."
    if rise.low > allowed:
        because = f"{seen}: likely more than the {limit} the sheet allows, but not surely."
    return TraceFinding(CANNOT_TELL, because, *numbers)


def _risen(watch: Watch) -> str:
    """How far the needle rose or fell over the sheet's minutes, in words."""
    rise, scale = watch.rise(), watch.scale
    moved, places = "rose" if rise.value >= 0 else "fell", 2 if rise.high - rise.low > FINE_WIDTH else 3
    did = f"{moved} by {scale.pressure(abs(rise.value), places)}" if abs(rise.value) >= STILL else NOT_MOVED
    if did == NOT_MOVED and wandered(watch.time, watch.pressure, watch.division):
        did = CAME_BACK
    return f"The needle {did} in {watch.rise_lasts}, {scale.pressures(rise.low, rise.high, places)}"


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
    least = SUPPORTED * watch.division
    if rate.lowest > limit and watch.moves_by(1) >= least:
        outcome, more = "climbs", f": more than {per}"
    elif rate.highest < -limit and watch.moves_by(-1) >= least:
        outcome, more = "falls", f": it falls faster than {per}"
    elif -limit < rate.low and rate.high < limit:
        outcome, more = "stands", f": within {per}"
    else:
        edge = scale.rate(limit if rate.high > limit else -limit, 3)
        outcome, more = CANNOT_TELL, f": on either side of {edge}"
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


def unpressurised(watch: Watch) -> TraceFinding:
    """What stands for each finding where the gauge shows no pressure.

    Parameters
    ----------
    watch : Watch
        A hold at nothing.

    Returns
    -------
    TraceFinding
        "cannot tell", with what to do first.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace.watch import Watch
    >>> unpressurised(Watch.over(np.arange(0, 400, 15.0), np.zeros(27), 0.1)).because
    'The needle shows nothing to judge: it stands at 0.0 bar, so no pressure is on it.'
    """
    verb = "shows nothing to judge" if watch.next_step == PRESSURISE else "does not behave like settle and creep"
    return TraceFinding(CANNOT_TELL, f"The needle {verb}: {watch.strange}.", mend=watch.next_step)
