"""A verdict on a log as lines to read and as plain values; nothing is decided here."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import TYPE_CHECKING, Any

from steadyneedle.bench.bands.stopping import AT_THE_STOP
from steadyneedle.bench.trace import sentences
from steadyneedle.bench.trace.finding import NOT_ASKED, TraceFinding
from steadyneedle.bench.trace.measured import Measured
from steadyneedle.bench.units import Quantity, formatted, label

if TYPE_CHECKING:
    from steadyneedle.bench.trace.verdict import TraceVerdict


_SENTENCES = re.compile(r"(?<=\.) (?=[A-Z])")


def lines(verdict: TraceVerdict) -> list[str]:
    """Words a technician reads.

    Parameters
    ----------
    verdict : TraceVerdict
        Of a log.

    Returns
    -------
    list of str
        What the log itself leaves in doubt, whether it conforms, the outcome, the findings, the numbers; what has
        been said is not said again.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).lines()[1][:27]
    'locks: The needle stands at'
    """
    rows = [*(f"Look first: {one}" for one in verdict.doubts), *(f"Note: {one}" for one in verdict.notes)]
    rows += [f"Conforms: {verdict.conforms}. {verdict.reason}", _outcome(verdict)]
    if verdict.stop_passed is not None:
        when, stop = formatted(verdict.stop_passed, 1), _stop(verdict)
        rows.append(f"Stop: the needle passed {stop}, where one stops watching, after {when}. {AT_THE_STOP}")
    for name, one in (("Band", verdict.band), ("Rise", verdict.rise), ("Rate", verdict.rate)):
        if one.outcome != NOT_ASKED:
            said = any(_small(one.because[:-1]) in _small(row) for row in rows)
            rows.append(f"{name}: {one.outcome}." if said else f"{name}: {one.outcome}. {one.because}")
    scale = verdict.scale
    measured = [("Lock-up", verdict.lock_up, scale.decimals(2))]
    if verdict.fits:
        measured += [
            ("Settle", verdict.settle, scale.decimals(2)), ("Creep rate", verdict.creep_rate, scale.decimals(3)),
        ]  # fmt: skip
    rows += [
        f"{name}: {formatted(one.value, places)} ({formatted(one.low, places)} to {formatted(one.high, places)})"
        for name, one, places in measured
    ]
    constant = verdict.time_constant
    if verdict.fits and verdict.settle.low * verdict.settle.high > 0 * verdict.settle.value**2:
        rows.append(f"Time constant of the settle: {constant.low.magnitude:.0f} to {constant.high.magnitude:.0f} s")
    rows.append("Phases: " + ", ".join(f"{p.name} {p.start_s:.0f} to {p.end_s:.0f} s" for p in verdict.phases))
    rows += _later(verdict)
    left = ", ".join(f"{count} {why}" for why, count in verdict.left_out.items())
    stop = "" if verdict.stop_passed is not None else f" Stop watching at {_stop(verdict)}."
    limit = formatted(verdict.limit, scale.decimals(3))
    rows.append(f"Left out: {left or 'nothing'}. Limit of creep: {limit}.{stop}")
    return [*rows, verdict.how_read] if verdict.how_read else rows


def _outcome(verdict: TraceVerdict) -> str:
    """The outcome and what of its sentences the reason has not said."""
    reason = _small(verdict.reason)
    left = [one for one in _SENTENCES.split(verdict.because) if _small(one.rstrip(".")) not in reason]
    if not left:
        return f"{verdict.outcome[:1].upper()}{verdict.outcome[1:]}."
    rest = " ".join(left)
    for one in (verdict.band, verdict.rise, verdict.rate):
        clause = one.because.rstrip(".")
        if _small(clause) in reason:
            for said in (clause, _small(clause)):
                rest = rest.replace(f"; {said}", "").replace(f"{said}; ", "")
    return f"{verdict.outcome}: {rest[:1].upper()}{rest[1:]}"


def _small(text: str) -> str:
    """Words with small first letters of sentences, to be searched for clauses."""
    return re.sub(r"(?:^|(?<=[.:] ))[A-Z]", lambda found: found[0].lower(), text).replace(": within", ", within")


def _stop(verdict: TraceVerdict) -> str:
    return verdict.scale.stop(float(verdict.stop.to("bar").magnitude))


def _later(verdict: TraceVerdict) -> list[str]:
    rows = []
    if verdict.others:
        shown = ", ".join(f"{phase.start_s:.0f} to {phase.end_s:.0f} s" for phase in verdict.others)
        rows.append(f"Other holds: {shown}")
    projection, out = verdict.projection, verdict.band.outcome == "outside"
    if projection.leaves_band is not None:
        rows.append(f"Out of the band: {sentences.leaves(projection.leaves_band, out)}")
    if projection.second_stage_opens is not None:
        rows.append(f"The sheet's second stage opens: {sentences.leaves(projection.second_stage_opens, True)}")
    return rows


def as_json(verdict: TraceVerdict) -> dict[str, Any]:
    """A verdict as plain values, ready for JSON.

    Parameters
    ----------
    verdict : TraceVerdict
        Of a log.

    Returns
    -------
    dict
        Whether it conforms first; None where there is no value.

    References
    ----------
    Our own keys.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> next(iter(judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).as_json()))
    'conforms'
    """
    measured = ("lock_up", "settle", "time_constant", "creep_rate")
    times = ("leaves_band", "second_stage_opens")
    return {
        "conforms": verdict.conforms,
        "reason": verdict.reason,
        "outcome": verdict.outcome,
        "because": verdict.because,
        **{name: _finding(getattr(verdict, name)) for name in ("band", "rise", "rate")},
        **{name: _parts(getattr(verdict, name)) for name in measured},
        "fits": verdict.fits,
        "seen": verdict.seen,
        "stop": _one(verdict.stop),
        "stop_passed": _one(verdict.stop_passed),
        "phases": [dataclasses.asdict(phase) for phase in verdict.phases],
        "others": [dataclasses.asdict(phase) for phase in verdict.others],
        "projection": {name: _projected(verdict, getattr(verdict.projection, name)) for name in times},
        "watch_longer": _one(verdict.watch_longer),
        "watch_in_all": _one(verdict.watch_in_all),
        "left_out": dict(verdict.left_out),
        "how_read": verdict.how_read,
        "doubts": list(verdict.doubts),
        "notes": list(verdict.notes),
    }


def _plain(quantity: Quantity) -> float | None:
    value = float(quantity.magnitude)
    return value if math.isfinite(value) else None


def _one(quantity: Quantity | None) -> dict[str, Any] | None:
    return None if quantity is None else {"value": _plain(quantity), "unit": label(quantity.units)}


def _parts(one: Measured[Quantity]) -> dict[str, Any]:
    return {**{name: _plain(getattr(one, name)) for name in ("value", "low", "high")}, "unit": label(one.value.units)}


def _finding(found: TraceFinding) -> dict[str, Any]:
    said = {"outcome": found.outcome, "because": found.because}
    names = [name for name in ("value", "low", "high", "allowed") if getattr(found, name) is not None]
    unit = {"unit": label(getattr(found, names[0]).units)} if names else {}
    return {**said, **{name: _plain(getattr(found, name)) for name in names}, **unit}


def _projected(verdict: TraceVerdict, quantity: Quantity | None) -> dict[str, Any] | None:
    """A time that is carried on from the rate has the rate's interval."""
    if quantity is None:
        return None
    value, rate = float(quantity.magnitude), verdict.creep_rate
    ends = sorted(value * (rate.value / one).to("").magnitude for one in (rate.low, rate.high))
    return {"value": value, "low": float(ends[0]), "high": float(ends[1]), "unit": label(quantity.units)}
