"""A gauge log judged: does the regulator conform; does its needle lock, settle, creep, fall, saw-tooth; or unknown.

`Log` stands in `logs`, `read_log` in `log_files`, phases in `phases`, the hold that counts in `watch`, what is found in
`findings`, advice in `advice`. Here they become one verdict.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from steadyneedle.bench.bands.by_sheet import which_band
from steadyneedle.bench.bands.stopping import stop_of
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace import report, sentences
from steadyneedle.bench.trace.advice import advise, stop_passed
from steadyneedle.bench.trace.band_finding import find_band
from steadyneedle.bench.trace.earlier import earlier_watches, left_open, surely_failed
from steadyneedle.bench.trace.estimate import Estimate, Range
from steadyneedle.bench.trace.fallen_back import fell_back
from steadyneedle.bench.trace.finding import CANNOT_TELL, NOT_ASKED, TraceFinding
from steadyneedle.bench.trace.findings import find_rate, find_rise, unpressurised, unread
from steadyneedle.bench.trace.log_cleaning import FEWEST
from steadyneedle.bench.trace.log_outliers import slips_above
from steadyneedle.bench.trace.logs import Log
from steadyneedle.bench.trace.measured import Measured
from steadyneedle.bench.trace.phases import USUAL_MINUTES, Cut, Phase, cut_into_phases, later_hold, uncut
from steadyneedle.bench.trace.projection import Projection, project
from steadyneedle.bench.trace.read_again import read_again, refuse_no_first_stage
from steadyneedle.bench.trace.scale import BAR, Scale
from steadyneedle.bench.trace.slow_start import unless_unseen
from steadyneedle.bench.trace.stretches import FREE_FLOW
from steadyneedle.bench.trace.taken_for_purges import taken_for_purges
from steadyneedle.bench.trace.watch import NO_PRESSURE, Watch
from steadyneedle.bench.units import Q, Quantity, require

OUTCOMES = (
    "locks", "settles", "locks high", "locks low", "creeps", "falls", "saw-tooth", "free flow", "cannot tell",
)  # fmt: skip

USUAL_LIMIT = 0.02
"""bar/min; taken where no sheet allows a rise (invented: no public limit was found)."""

SMALLEST_SETTLE = 0.05
"""bar; less is not worth a name."""


@dataclass(frozen=True)
class TraceVerdict:
    """What a log says of a regulator.

    `conforms` is yes, no or cannot tell, with `reason`; under it stand three findings, `band`, `rise` and `rate`, and
    one `outcome` with its sentence `because`. `creep_rate` is without ends where no rate is to be stated. `stop` is the
    reading at which to shut the valve, `stop_passed` when it was passed; `watch_longer` and `watch_in_all` are advice,
    or None. `phases` tell what happened, `others` which holds do not count, `rows` which rows do, `seen` what the
    needle did. Pressures and rates stand in the unit of `scale`, in sentences and as numbers; `hold` alone is in bar.
    `how_read`, `doubts` and `notes` are the log's own.
    """

    conforms: str
    reason: str
    outcome: str
    because: str
    band: TraceFinding
    rise: TraceFinding
    rate: TraceFinding
    lock_up: Measured[Quantity]
    settle: Measured[Quantity]
    time_constant: Measured[Quantity]
    creep_rate: Measured[Quantity]
    fits: bool
    seen: str
    stop: Quantity
    stop_passed: Quantity | None
    phases: tuple[Phase, ...]
    others: tuple[Phase, ...]
    projection: Projection
    watch_longer: Quantity | None
    watch_in_all: Quantity | None
    left_out: dict[str, int]
    limit: Quantity
    hold: Estimate
    rows: slice
    scale: Scale = BAR
    how_read: str = ""
    doubts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """Words a technician reads: whether it conforms stands first."""
        return report.lines(self)

    def as_json(self) -> dict[str, Any]:
        """The same as plain values, ready for JSON."""
        return report.as_json(self)


def judge_trace(
    log: Log, sheet: Sheet | None = None, creep_limit: Quantity | None = None, unit: str | None = None
) -> TraceVerdict:
    """What a gauge log says about the regulator.

    Parameters
    ----------
    log : Log
        As `read_log` or `Log.from_arrays` give it.
    sheet : Sheet or None
        Specification sheet: its band, its allowed rise, its second stage, its gauge.
    creep_limit : pint.Quantity or None
        Pressure over time; None for the sheet's allowed rise, else 0.02 bar/min.
    unit : str or None
        Unit of pressure in which the verdict speaks, as a technician types it; None for the log's own.

    Returns
    -------
    TraceVerdict
        It does not conform as soon as one finding fails: a saw-tooth or free flow, the stop passed, band outside, rise
        beyond what is allowed, rate beyond its limit. It conforms when all that is asked passes: band and rise, and the
        rate where a limit is given, or the likeliest rate lies beyond the limit; where nothing is asked nobody can
        tell, nor where a whole watch before the hold that counts climbed or stood too high. A shorter hold after the
        one that counts is judged instead of it where it fails. The outcome is the first of these that holds: saw-tooth;
        free flow; cannot tell, where the needle does not behave like settle and creep; creeps or falls; locks high or
        low, where band or rise fail and the rate stands; locks or settles, where the rate stands or the regulator
        conforms; cannot tell.

    Raises
    ------
    ValueError
        A limit that is no pressure over time, or not above 0; an unknown unit; pressures no first stage gives; too few
        readings after the needle's last move.

    References
    ----------
    Rule of decision: ours, in `DEVELOPERS.md`; the estimate's source as `estimate.estimate_hold`.

    Examples
    --------
    >>> import numpy as np
    >>> log = Log.from_arrays(np.arange(0, 601, 15), 9.8 + 0.1 * np.round(np.arange(0, 601, 15) / 120), "bar")
    >>> verdict = judge_trace(log)
    >>> verdict.conforms, verdict.outcome
    ('no', 'creeps')
    """
    refuse_no_first_stage(log.pressure, Scale.of(log.unit))
    slips = slips_above(log.pressure)
    if slips.any():
        return _without(slips, log, sheet, creep_limit, unit)
    if log.as_written is not None and sheet is not None and sheet.gauge() is not None:
        log = dataclasses.replace(log, division=log.as_written)  # read with the gauge that the sheet names, as written
    if sheet is not None:
        sheet, said = which_band(sheet, Scale.of(log.unit).unit)
        log = dataclasses.replace(log, notes=(*log.notes, *said))
    scale, limit = Scale.of(log.unit if unit is None else unit), _limit(sheet, creep_limit)
    if log.pressure.max() < NO_PRESSURE:
        return _judged(log, sheet, uncut(log.time), limit, creep_limit is not None, scale)
    return _of_all_holds(log, sheet, limit, creep_limit is not None, scale)


def _of_all_holds(log: Log, sheet: Sheet | None, limit: float, limit_asked: bool, scale: Scale) -> TraceVerdict:
    """The verdict on the hold that counts, unless a shorter one after it fails, or a whole one before it did."""
    asked = _minutes_asked(sheet)
    band = None if sheet is None else sheet.band
    lowest = None if band is None else require("ip_low", band.low, "bar") - FREE_FLOW
    cut = cut_into_phases(log.time, log.pressure, log.division, USUAL_MINUTES if asked is None else asked, lowest)
    if log.time[cut.rows].size < FEWEST:
        raise ValueError("The needle moves until the end of the log: fewer than three readings are left. Watch longer.")
    verdict = _judged(log, sheet, cut, limit, limit_asked, scale)
    later = later_hold(cut, log.time) if verdict.conforms != "no" else None
    last = verdict if later is None else _judged(log, sheet, later, limit, limit_asked, scale)
    verdict = _unless_unsure(last if last.conforms == "no" else verdict, log)
    if verdict.conforms != "yes":
        return verdict
    for earlier in earlier_watches(cut, log.time, log.pressure, log.division, asked):
        before = _judged(log, sheet, earlier, limit, limit_asked, scale)
        failed = surely_failed((before.band, before.rise, before.rate), sheet)
        if failed is not None:
            return dataclasses.replace(verdict, conforms=CANNOT_TELL, reason=left_open(earlier, log.time, failed))
    return verdict


def _unless_unsure(verdict: TraceVerdict, log: Log) -> TraceVerdict:
    """The same; nobody can tell where a reading that was left out may be the needle's."""
    said = read_again(log.unsure, float(verdict.stop.to("bar").magnitude), verdict.scale)
    if not said or verdict.conforms != "yes":
        return verdict
    return dataclasses.replace(verdict, conforms=CANNOT_TELL, reason=said)


def _without(
    slips: np.ndarray, log: Log, sheet: Sheet | None, creep_limit: Quantity | None, unit: str | None
) -> TraceVerdict:
    """The verdict without slips too many to be left out quietly: at best nobody can tell; rows are those of the log."""
    kept = np.flatnonzero(~slips)
    rest = dataclasses.replace(log, time=log.time[kept], pressure=log.pressure[kept])
    verdict = judge_trace(rest, sheet, creep_limit, unit)
    rows = slice(int(kept[verdict.rows.start]), int(kept[verdict.rows.stop - 1]) + 1)
    if verdict.conforms != "yes":
        return dataclasses.replace(verdict, rows=rows)
    said = f"{slips.sum()} readings stand far above those beside them: put them right, and judge the log again."
    return dataclasses.replace(verdict, rows=rows, conforms=CANNOT_TELL, reason=said)


def _judged(log: Log, sheet: Sheet | None, cut: Cut, limit: float, limit_asked: bool, scale: Scale) -> TraceVerdict:
    """The verdict on the hold that a cut counts; `limit_asked` says whether the limit of the rate was named."""
    rows, asked = cut.rows, _minutes_asked(sheet)
    watch = Watch.over(
        log.time[rows], log.pressure[rows], log.division, asked, cut.purged, cut.jumps, rows.start, scale
    )
    if watch.empty:
        cut = dataclasses.replace(cut, kind="", teeth=None)
    found = _found(watch, sheet, limit, cut)
    conforms = _conforms(cut, watch, found, asked is not None, limit, limit_asked)
    fell = fell_back(watch.time, watch.pressure, log.division, limit) if conforms == "yes" else None
    if fell is not None:
        watch = watch.that_fell_back(fell)
        found, conforms = _found(watch, sheet, limit, cut), CANNOT_TELL
    return _told(log, sheet, cut, watch, found, conforms, limit)


def _found(
    watch: Watch, sheet: Sheet | None, limit: float, cut: Cut
) -> tuple[TraceFinding, TraceFinding, TraceFinding]:
    """Band, rise and rate; the same for all that is asked where no pressure is on the needle, or it never stands."""
    band, rise, rate = find_band(watch, sheet), find_rise(watch, sheet, watch.division), find_rate(watch, limit)
    rise = unless_unseen(rise, watch, cut)
    if not watch.empty and cut.teeth is None:
        return band, rise, rate
    none = unpressurised(watch) if watch.empty else unread(cut.kind)
    return none if band.outcome != NOT_ASKED else band, none if rise.outcome != NOT_ASKED else rise, none


def _minutes_asked(sheet: Sheet | None) -> float | None:
    """How long a sheet that allows a rise asks to watch [min]."""
    if sheet is None or sheet.rise_limit() is None or sheet.rise_time is None:
        return None
    return float(sheet.rise_time.to("min").magnitude)


def _told(
    log: Log, sheet: Sheet | None, cut: Cut, watch: Watch, found: tuple[TraceFinding, ...], conforms: str, limit: float
) -> TraceVerdict:
    """The verdict put together: outcome, stop, advice, sentences."""
    band, rise, rate = found
    outcome = _outcome(cut, watch, conforms, log.division, found, sheet)
    stop = float(stop_of(sheet).reading.to("bar").magnitude)
    passed = stop_passed(log.time, log.pressure, stop)
    if passed is not None:
        conforms = "no"
    undecided = conforms == CANNOT_TELL and any(one.conforms == CANNOT_TELL for one in found)
    helps = undecided and not (cut.kind or band.mend or rise.mend)
    advice = advise(watch, limit, stop, rate.outcome == CANNOT_TELL) if helps else None
    moves = outcome in ("creeps", "falls") or (outcome in ("locks", "settles") and watch.rate.low * watch.rate.high > 0)
    projection = project(watch, sheet) if moves else Projection()
    story = sentences.Story(outcome, cut, watch, band, rise, rate, projection, advice, limit, conforms, stop, passed)
    return TraceVerdict(
        conforms, sentences.reason(story), outcome, sentences.because(story), band, rise, rate, *_numbers(watch),
        not watch.strange, watch.seen(), watch.scale.as_pressure(stop),
        None if passed is None else Q(passed / 60, "min"), cut.phases, cut.others, projection,
        None if advice is None else Q(advice.more, "min"),
        None if advice is None else Q(advice.in_all, "min"), log.left_out, watch.scale.as_rate(limit), watch.estimate,
        cut.rows, watch.scale, log.how_read, (*log.doubts, *taken_for_purges(log, cut, watch.scale)), log.notes,
    )  # fmt: skip


def _limit(sheet: Sheet | None, creep_limit: Quantity | None) -> float:
    """bar/min."""
    if creep_limit is not None:
        limit = require("creep_limit", creep_limit, "bar/min")
        if not limit > 0:
            raise ValueError("creep_limit must be above 0.")
        return float(limit)
    allowed = sheet.rise_limit() if sheet is not None else None
    found = 0.0 if allowed is None else float(allowed.to("bar/min").magnitude)
    return found if found > 0 else USUAL_LIMIT


def _conforms(
    cut: Cut,
    watch: Watch,
    found: tuple[TraceFinding, TraceFinding, TraceFinding],
    rise_asked: bool,
    limit: float,
    limit_asked: bool,
) -> str:
    if cut.kind or any(one.conforms == "no" for one in found):
        return "no"
    rise_decides = rise_asked and not limit_asked and abs(watch.rate.value) <= limit
    counts = [one.conforms for one in (found[:2] if rise_decides else found) if one.outcome != NOT_ASKED]
    if not limit_asked and all(one.outcome == NOT_ASKED for one in found[:2]):
        return CANNOT_TELL  # to nothing
    return "yes" if not watch.strange and all(one == "yes" for one in counts) else CANNOT_TELL


def _outcome(
    cut: Cut, watch: Watch, conforms: str, division: float, found: tuple[TraceFinding, ...], sheet: Sheet | None
) -> str:
    """The first that holds, in the order of `judge_trace`."""
    band, rise, rate = found
    if cut.kind or watch.strange:
        return cut.kind or CANNOT_TELL
    if rate.conforms == "no":
        return "creeps" if rate.outcome == "climbs" else "falls"
    stands = rate.outcome == "stands"
    if "no" in (band.conforms, rise.conforms):
        limits, stood = None if sheet is None else sheet.band, band.value
        below = limits is not None and stood is not None and stood < limits.low
        low = band.conforms == "no" and below and rise.conforms != "no"
        return CANNOT_TELL if not stands else "locks low" if low else "locks high"
    if stands or conforms == "yes":
        settled, least = watch.estimate.settled(), max(SMALLEST_SETTLE, division / 2)
        return "settles" if settled.low > least or settled.high < -least else "locks"
    return CANNOT_TELL


def _numbers(watch: Watch) -> tuple[Measured[Quantity], Measured[Quantity], Measured[Quantity], Measured[Quantity]]:
    estimate, none = watch.estimate, Range(watch.rate.value, *(end * float("inf") for end in (-1, 1, -1, 1)))
    scale, rate = watch.scale, none if watch.strange else watch.rate
    return (
        _measured(watch.level_at(0.0), scale.as_pressure), _measured(estimate.settled(), scale.as_pressure),
        _measured(estimate.time_constant(), lambda seconds: Q(seconds, "s")), _measured(rate, scale.as_rate),
    )  # fmt: skip


def _measured(one: Range, as_quantity: Callable[[float], Quantity]) -> Measured[Quantity]:
    return Measured(*(as_quantity(end) for end in (one.value, one.low, one.high)))
