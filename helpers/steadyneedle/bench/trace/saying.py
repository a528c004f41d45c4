"""A verdict on a log in words and as plain values; nothing is decided here."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from steadyneedle.bench.trace.advice import WHAT_TO_DO, Advice
from steadyneedle.bench.trace.findings import CANNOT_TELL, NOT_ASKED, Finding, between
from steadyneedle.bench.trace.phases import Cut
from steadyneedle.bench.trace.watch import Watch
from steadyneedle.bench.units import Q, formatted, label

if TYPE_CHECKING:
    from steadyneedle.bench.trace.verdict import Projection, TraceVerdict


@dataclass(frozen=True)
class Story:
    """All that the sentences of a verdict are written from; `limit` [bar/min], `stop` [bar], `passed` [s] or None."""

    outcome: str
    cut: Cut
    watch: Watch
    band: Finding
    rise: Finding
    rate: Finding
    projection: Projection
    advice: Advice | None
    limit: float
    conforms: str
    stop: float
    passed: float | None


def reason(story: Story) -> str:
    """Why it conforms, or does not, or nobody can tell: one sentence, or one for each thing that fails.

    Parameters
    ----------
    story : Story
        A verdict's findings.

    Returns
    -------
    str
        Sentences with numbers.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).reason
    'The needle stands: no sheet asks for more.'
    """
    if story.cut.kind:
        return (
            "The second stage flows." if story.cut.kind == "free flow" else "The needle does not lock: it saw-tooths."
        )
    found = (story.band, story.rise, story.rate)
    if story.conforms == "no":
        return " ".join(one.because for one in found if one.conforms == "no")
    if story.conforms == "yes":
        passed = [one.because for one in found[:2] if one.conforms == "yes"]
        return " ".join(passed) or "The needle stands: no sheet asks for more."
    open_ones = [one.because for one in found if one.conforms == CANNOT_TELL]
    if story.watch.strange:
        return story.rate.because
    return " ".join(open_ones[:2])


def because(story: Story) -> str:
    """The outcome in one sentence with numbers.

    Parameters
    ----------
    story : Story
        A verdict's findings.

    Returns
    -------
    str
        One sentence.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).because[:31]
    'The needle stands at 9.80 bar; '
    """
    return _SENTENCES.get(story.outcome, _standing)(story)


def _saw_tooth(story: Story) -> str:
    teeth = story.cut.teeth
    ends = between(Q(teeth.low, "bar"), Q(teeth.high, "bar"), 2) if teeth else ""
    every = formatted(Q(teeth.period if teeth else 0.0, "s"), 0)
    return f"The needle moves slowly one way and sharply back, about every {every}, {ends}."


def _free_flow(story: Story) -> str:
    start = next(phase.start_s for phase in story.cut.phases if phase.name == "free flow")
    stood = formatted(Q(story.watch.level_at(story.watch.watched).value, "bar"), 1)
    after = formatted(Q(start / 60, "min"), 1)
    return f"After {after} the needle dropped from {stood} and did not come back: the second stage flows."


def _unknown(story: Story) -> str:
    if story.watch.strange:
        return f"{story.rate.because[:-1]}; purge it and watch again."
    failed = [one.because for one in (story.rise, story.band) if one.conforms == "no"]
    if failed:
        return f"{failed[0][:-1]}; whether it still climbs is open."
    if story.rate.outcome == CANNOT_TELL:
        sentence = f"The needle {story.watch.seen()}; {_first_small(story.rate.because)}"
    else:
        sentence = next(one.because for one in (story.rise, story.band) if one.conforms == CANNOT_TELL)
    return f"{sentence[:-1]}: {story.advice.words}." if story.advice else sentence


def _moving(story: Story) -> str:
    rate, limit = story.watch.rate, formatted(Q(story.limit, "bar/min"), 3)
    size, ends = (
        formatted(Q(abs(rate.value), "bar/min"), 3),
        between(Q(rate.low, "bar/min"), Q(rate.high, "bar/min"), 3),
    )
    if story.outcome == "falls":
        return (
            f"The needle falls by {size}, {ends}: gas leaves, or the set point falls; look for a leak outward with the "
            "valve shut and the supply side bled."
        )
    more = ""
    if story.projection.leaves_band is not None:
        minutes = story.projection.leaves_band.magnitude
        more = "; out of its band already" if minutes == 0 else f"; out of its band in about {minutes:.0f} min"
    return f"The needle climbs by {size}, {ends}, more than {limit}{more}."


def _standing(story: Story) -> str:
    level = formatted(Q(story.watch.level_at(story.watch.judged_at).value, "bar"), 2)
    rate, limit = story.watch.rate, formatted(Q(story.limit, "bar/min"), 3)
    lies = f"its rate lies {between(Q(rate.low, 'bar/min'), Q(rate.high, 'bar/min'), 3)}"
    if story.outcome in ("locks high", "locks low"):
        failed = story.rise if story.rise.conforms == "no" else story.band
        return f"{failed.because[:-1]}; {lies}."
    settled = story.watch.estimate.settled().value
    way = "rose" if settled > 0 else "fell"
    did = f"{way} by {formatted(Q(abs(settled), 'bar'), 2)} and stands" if story.outcome == "settles" else "stands"
    within = f", within {limit}" if story.rate.outcome == "stands" else f"; {_first_small(story.rise.because[:-1])}"
    return f"The needle {did} at {level}; {lies}{within}."


_SENTENCES = {
    "saw-tooth": _saw_tooth, "free flow": _free_flow, "cannot tell": _unknown, "creeps": _moving, "falls": _moving,
}  # fmt: skip


def _first_small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def lines(verdict: TraceVerdict) -> list[str]:
    """Words a technician reads.

    Parameters
    ----------
    verdict : TraceVerdict
        Of a log.

    Returns
    -------
    list of str
        Whether it conforms first, then the outcome, the findings, the numbers.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).lines()[0][:14]
    'Conforms: yes.'
    """
    rows = [f"Conforms: {verdict.conforms}. {verdict.reason}", f"{verdict.outcome}: {verdict.because}"]
    if verdict.stop_passed is not None:
        when, stop = formatted(verdict.stop_passed, 1), formatted(verdict.stop)
        rows.append(f"Stop: the needle passed {stop}, where one stops watching, after {when}: {WHAT_TO_DO}.")
    for name, one in (("Band", verdict.band), ("Rise", verdict.rise), ("Rate", verdict.rate)):
        if one.outcome != NOT_ASKED:
            rows.append(f"{name}: {one.outcome}. {one.because}")
    measured = [("Lock-up", verdict.lock_up, 2)]
    if verdict.fits:
        measured += [("Settle", verdict.settle, 2), ("Creep rate", verdict.creep_rate, 3)]
    rows += [
        f"{name}: {formatted(one.value, places)} ({formatted(one.low, places)} to {formatted(one.high, places)})"
        for name, one, places in measured
    ]
    constant = verdict.time_constant
    if verdict.fits:
        rows.append(f"Time constant of the settle: {constant.low.magnitude:.0f} to {constant.high.magnitude:.0f} s")
    rows.append("Phases: " + ", ".join(f"{p.name} {p.start_s:.0f} to {p.end_s:.0f} s" for p in verdict.phases))
    rows += _later(verdict)
    left = ", ".join(f"{count} {why}" for why, count in verdict.left_out.items())
    stop = "" if verdict.stop_passed is not None else f" Stop watching at {formatted(verdict.stop)}."
    limit = formatted(verdict.limit.to("bar/min"), 3)
    rows.append(f"Left out: {left or 'nothing'}. Limit of creep: {limit}.{stop}")
    return rows


def _later(verdict: TraceVerdict) -> list[str]:
    rows = []
    if verdict.others:
        shown = ", ".join(f"{phase.start_s:.0f} to {phase.end_s:.0f} s" for phase in verdict.others)
        rows.append(f"Other holds: {shown}")
    for words, when in (
        ("Out of the band", verdict.projection.leaves_band),
        ("The sheet's second stage opens", verdict.projection.second_stage_opens),
    ):
        if when is not None:
            rows.append(f"{words}: {'already' if when.magnitude == 0 else f'in about {when.magnitude:.0f} min'}")
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
        **{name: _parts(getattr(verdict, name), ("value", "low", "high")) for name in measured},
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
    }


def _plain(quantity: Any) -> float | None:
    value = float(quantity.magnitude)
    return value if math.isfinite(value) else None


def _one(quantity: Any) -> dict[str, Any] | None:
    return None if quantity is None else {"value": _plain(quantity), "unit": label(quantity.units)}


def _parts(one: Any, names: tuple[str, ...]) -> dict[str, Any]:
    return {**{name: _plain(getattr(one, name)) for name in names}, "unit": label(one.value.units)}


def _finding(found: Finding) -> dict[str, Any]:
    said = {"outcome": found.outcome, "because": found.because}
    names = [name for name in ("value", "low", "high", "allowed") if getattr(found, name) is not None]
    unit = {"unit": label(getattr(found, names[0]).units)} if names else {}
    return {**said, **{name: _plain(getattr(found, name)) for name in names}, **unit}


def _projected(verdict: TraceVerdict, quantity: Any) -> dict[str, Any] | None:
    """A time that is carried on from the rate has the rate's interval."""
    if quantity is None:
        return None
    value, rate = float(quantity.magnitude), verdict.creep_rate
    ends = sorted(value * (rate.value / one).to("").magnitude for one in (rate.low, rate.high))
    return {"value": value, "low": float(ends[0]), "high": float(ends[1]), "unit": label(quantity.units)}
