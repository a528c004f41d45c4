"""A gauge log judged: does the needle lock, settle, creep, fall, saw-tooth, or can nobody tell yet.

`Log` stands in `logs`, `read_log` in `log_files`, the estimate in `hold`, the phases in `phases`.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from steadyneedle.bench.bands.by_sheet import judge_by_sheet
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.trace.hold import Hold, hold_of
from steadyneedle.bench.trace.log_cleaning import FEWEST
from steadyneedle.bench.trace.logs import Log
from steadyneedle.bench.trace.measured import Measured
from steadyneedle.bench.trace.phases import Cut, Phase, cut_into_phases
from steadyneedle.bench.units import Q, Quantity, formatted, label, require

OUTCOMES = (
    "locks", "settles", "locks high", "locks low", "creeps", "falls", "saw-tooth", "free flow", "cannot tell",
)  # fmt: skip

USUAL_LIMIT = 0.02
"""bar/min; taken where no sheet allows a rise (invented: no public limit was found)."""

SMALLEST_SETTLE = 0.05
"""bar; less is not worth a name."""

LONGEST_WATCH = 60.0
"""min; nobody watches longer."""


@dataclass(frozen=True)
class Projection:
    """When the needle leaves the sheet's band and when its second stage opens, from the last reading on; or None."""

    leaves_band: Quantity | None = None
    second_stage_opens: Quantity | None = None


@dataclass(frozen=True)
class TraceVerdict:
    """What a log says: an outcome, one sentence why, and the numbers; a rise is positive."""

    outcome: str
    because: str
    lock_up: Measured[Quantity]
    settle: Measured[Quantity]
    time_constant: Measured[Quantity]
    creep_rate: Measured[Quantity]
    phases: tuple[Phase, ...]
    projection: Projection
    watch_longer: Quantity | None
    left_out: dict[str, int]
    limit: Quantity
    hold: Hold
    rows: slice
    how_read: str = ""
    doubts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """Words a technician reads; what the log itself leaves in doubt comes first."""
        rate, unit = self.creep_rate, "bar/min"
        rows = [*(f"Look first: {one}" for one in self.doubts), *(f"Note: {one}" for one in self.notes)]
        rows.append(f"{self.outcome}: {self.because}")
        for name, one, places in (("Lock-up", self.lock_up, 2), ("Settle", self.settle, 2), ("Creep rate", rate, 3)):
            low, high = formatted(one.low, places), formatted(one.high, places)
            rows.append(f"{name}: {formatted(one.value, places)} ({low} to {high})")
        constant = self.time_constant
        rows.append(f"Time constant of the settle: {constant.low.magnitude:.0f} to {constant.high.magnitude:.0f} s")
        rows.append("Phases: " + ", ".join(f"{p.name} {p.start_s:.0f} to {p.end_s:.0f} s" for p in self.phases))
        for words, when in (
            ("Out of the band", self.projection.leaves_band),
            ("The sheet's second stage opens", self.projection.second_stage_opens),
        ):
            if when is not None:
                rows.append(f"{words}: {'already' if when.magnitude == 0 else f'in about {when.magnitude:.0f} min'}")
        left = ", ".join(f"{count} {why}" for why, count in self.left_out.items())
        rows.append(f"Left out: {left or 'nothing'}. Limit of creep: {formatted(self.limit.to(unit), 3)}.")
        return [*rows, self.how_read] if self.how_read else rows

    def as_json(self) -> dict[str, Any]:
        """The same as plain values, ready for JSON."""
        measured = ("lock_up", "settle", "time_constant", "creep_rate")
        return {
            "outcome": self.outcome,
            "because": self.because,
            **{name: getattr(self, name).as_json() for name in measured},
            "phases": [dataclasses.asdict(phase) for phase in self.phases],
            "projection": {
                "leaves_band": self._time(self.projection.leaves_band),
                "second_stage_opens": self._time(self.projection.second_stage_opens),
            },
            "watch_longer": self._time(self.watch_longer, given=True),
            "left_out": dict(self.left_out),
            "how_read": self.how_read,
            "doubts": list(self.doubts),
            "notes": list(self.notes),
        }

    def _time(self, quantity: Quantity | None, given: bool = False) -> dict[str, Any] | None:
        """A time as plain values; one that is carried on from the rate has the rate's interval, advice has none."""
        if quantity is None:
            return None
        value, rate = float(quantity.magnitude), self.hold.rate
        ends = [value, value] if given else sorted(value * rate.value / one for one in (rate.low, rate.high))
        return {"value": value, "low": ends[0], "high": ends[1], "unit": label(quantity.units)}


def judge_trace(log: Log, sheet: Sheet | None = None, creep_limit: Quantity | None = None) -> TraceVerdict:
    """What a gauge log says about the regulator.

    Parameters
    ----------
    log : Log
        As `read_log` or `Log.from_arrays` give it.
    sheet : Sheet or None
        Specification sheet: its band, its allowed rise, its second stage.
    creep_limit : pint.Quantity or None
        Pressure over time; None for the sheet's allowed rise, else 0.02 bar/min.

    Returns
    -------
    TraceVerdict
        `creeps` or `falls` when the whole 95 % interval lies beyond the limit, `locks` or `settles` when it lies
        within, else `cannot tell` with how much longer to watch.

    Raises
    ------
    ValueError
        A limit that is no pressure over time, or not above 0; too few readings after the needle's last move.

    References
    ----------
    Rule of decision: ours, in `DEVELOPERS.md`; the estimate's sources as `hold.hold_of`.

    Examples
    --------
    >>> import numpy as np
    >>> log = Log.from_arrays(np.arange(0, 601, 15), 9.8 + 0.1 * np.round(np.arange(0, 601, 15) / 120), "bar")
    >>> judge_trace(log).outcome
    'creeps'
    """
    limit = _limit(sheet, creep_limit)
    cut = cut_into_phases(log.time, log.pressure, log.division)
    if log.time[cut.rows].size < FEWEST:
        raise ValueError("The needle moves until the end of the log: fewer than three readings are left. Watch longer.")
    hold = hold_of(log.time[cut.rows], log.pressure[cut.rows], log.division)
    outcome = cut.kind or _by_rate(hold, limit, log.division)
    outcome = _by_band(outcome, hold, sheet)
    longer = _longer(hold, limit, log, cut) if outcome == "cannot tell" else None
    projection = _projection(log, hold, sheet, cut) if outcome in ("creeps", "falls") else Projection()
    return TraceVerdict(
        outcome, _because(outcome, hold, limit, longer, projection, sheet, log, cut), *_numbers(hold), cut.phases,
        projection, longer, log.left_out, Q(limit, "bar/min"), hold, cut.rows, log.how_read, log.doubts, log.notes,
    )  # fmt: skip


def _limit(sheet: Sheet | None, creep_limit: Quantity | None) -> float:
    """bar/min."""
    if creep_limit is not None:
        limit = require("creep_limit", creep_limit, "bar/min")
        if not limit > 0:
            raise ValueError("creep_limit must be above 0.")
        return float(limit)
    allowed = sheet.rise_limit() if sheet is not None else None
    return USUAL_LIMIT if allowed is None else float(allowed.to("bar/min").magnitude)


def _by_rate(hold: Hold, limit: float, division: float) -> str:
    rate = hold.rate
    if rate.low > limit:
        return "creeps"
    if rate.high < -limit:
        return "falls"
    if rate.low > -limit and rate.high < limit:
        return "settles" if hold.settle.low > max(SMALLEST_SETTLE, division / 2) else "locks"
    return "cannot tell"


def _by_band(outcome: str, hold: Hold, sheet: Sheet | None) -> str:
    """A needle that stands, outside the sheet's band."""
    band = sheet.band if sheet is not None else None
    if outcome not in ("locks", "settles") or sheet is None or band is None:
        return outcome
    final = Q(hold.final.value, "bar")
    if judge_by_sheet(final, sheet).verdict.outcome != "outside":
        return outcome
    return "locks high" if final > band.high else "locks low"


def _numbers(hold: Hold) -> tuple[Measured[Quantity], Measured[Quantity], Measured[Quantity], Measured[Quantity]]:
    return (
        hold.lock_up.in_unit("bar"), hold.settle.in_unit("bar"), hold.time_constant.in_unit("s"),
        hold.rate.in_unit("bar/min"),
    )  # fmt: skip


def _projection(log: Log, hold: Hold, sheet: Sheet | None, cut: Cut) -> Projection:
    """Minutes from the last reading, at the rate found; None where it never comes there."""
    if sheet is None:
        return Projection()
    now, rate = float(hold.curve([log.time[-1] - log.time[cut.rows][0]])[0]), hold.rate.value
    edge = sheet.ip_high if rate > 0 else sheet.ip_low
    opens = sheet.second_stage_opens if rate > 0 else None

    def minutes(level: Quantity | None) -> Quantity | None:
        if level is None:
            return None
        return Q(max((float(level.to("bar").magnitude) - now) / rate, 0.0), "min")

    return Projection(minutes(edge), minutes(opens))


def _longer(hold: Hold, limit: float, log: Log, cut: Cut) -> Quantity:
    """Minutes more to watch until the interval should clear the limit; it narrows at least as fast as time passes."""
    watched = (log.time[cut.rows][-1] - log.time[cut.rows][0]) / 60
    half = max(hold.rate.high - hold.rate.value, hold.rate.value - hold.rate.low)
    room = max(abs(abs(hold.rate.value) - limit), 0.3 * limit)
    more = watched * max(half / room - 1, 0.25)
    return Q(min(max(math.ceil(2 * more) / 2, 0.5), LONGEST_WATCH), "min")


def _because(
    outcome: str,
    hold: Hold,
    limit: float,
    longer: Quantity | None,
    projection: Projection,
    sheet: Sheet | None,
    log: Log,
    cut: Cut,
) -> str:
    """One sentence with numbers."""
    if outcome == "saw-tooth":
        return f"The needle moves slowly one way and sharply back, again and again, {_teeth(log, cut)}."
    if outcome == "free flow":
        before = formatted(Q(float(np.median(log.pressure[:5])), "bar"), 1)
        return f"The needle dropped from {before} and did not come back: the second stage flows."
    low, high = (formatted(Q(one, "bar/min"), 3) for one in (hold.rate.low, hold.rate.high))
    between, per = f"between {low} and {high}", formatted(Q(limit, "bar/min"), 3)
    if longer is not None:
        return f"The rate lies {between}, and the limit of {per} with it: watch {formatted(longer)} longer."
    if outcome in ("creeps", "falls"):
        return _moving(outcome, hold, between, per, projection)
    return _standing(outcome, hold, between, per, sheet)


def _moving(outcome: str, hold: Hold, between: str, per: str, projection: Projection) -> str:
    rate = formatted(Q(abs(hold.rate.value), "bar/min"), 3)
    if outcome == "falls":
        return f"The needle falls by {rate}, {between}: gas leaves, so look for a leak outward."
    more = ""
    if projection.leaves_band is not None:
        minutes = projection.leaves_band.magnitude
        more = "; out of its band already" if minutes == 0 else f"; out of its band in about {minutes:.0f} min"
    return f"The needle climbs by {rate}, {between}, more than {per}{more}."


def _standing(outcome: str, hold: Hold, between: str, per: str, sheet: Sheet | None) -> str:
    final = formatted(Q(hold.final.value, "bar"), 2)
    band = sheet.band if sheet is not None else None
    if outcome in ("locks high", "locks low") and band is not None:
        edge = f"above the sheet's limit of {formatted(band.high)}"
        if outcome == "locks low":
            edge = f"below the sheet's limit of {formatted(band.low)}"
        return f"The needle stands at {final}, {edge}; its rate lies {between}."
    rise = f"rose by {formatted(Q(hold.settle.value, 'bar'), 2)} and stands" if outcome == "settles" else "stands"
    return f"The needle {rise} at {final}; its rate lies {between}, within {per}."


def _teeth(log: Log, cut: Cut) -> str:
    low, high = float(np.quantile(log.pressure[cut.rows], 0.02)), float(np.quantile(log.pressure[cut.rows], 0.98))
    return f"between {formatted(Q(low, 'bar'), 1)} and {formatted(Q(high, 'bar'), 1)}"
