"""What the usual examinations on the bench show, in words, computed with the rig. SI.

Each examination of a regulator ends in a few words; `findings` makes them all. What tells two faults apart stands in
`pairs`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from functools import cache

import numpy as np

from steadyneedle.physics import equations as eq
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.faults import NOTHING, Fault
from steadyneedle.physics.first_stage import SURFACE, adjusted
from steadyneedle.physics.leaks import SOAP_SHOWS
from steadyneedle.physics.moment import Moment, Trace
from steadyneedle.physics.si import BAR

NOTICED = 0.08 * BAR
"""Pa; what a careful eye notices on a gauge with a division of 0.2 bar (common practice, no source)."""

BULGES = 0.3 * BAR
"""Pa over ambient in a sealed chamber at which its outer seal visibly bulges (invented)."""

COLD = 278.15
"""K, a room at 5 C: cold enough for ice in a wet chamber once air has flowed, warm enough for none before."""

LIFTED = "climbs until the relief valve lifts"
NOT_TRIED = "not tried: the relief valve lifted"

EXAMINATIONS = (
    "watch the needle for three minutes", "listen and wet with soapy water", "tap the gauge", "purge five times",
    "shut the cylinder valve and watch", "shut the valve and bleed the supply side", "purge for three seconds",
    "turn the adjuster out by half a turn", "fit a second gauge", "supply at 50 bar",
    "purge for three seconds at 50 bar", "pressure pot at 4 bar", "purge for twenty seconds in the cold",
    "wait until the next day", "fit a new seat", "open and inspect",
)  # fmt: skip
"""In the order of what they cost in time and parts."""

OPENED = (Action(0, "valve", 1), Action(10, "purge", 1))
"""The valve is opened and the second stage purged once, so that the valve has moved."""

SOUND = "sound"


def findings(design: str, fault: str, severity: float, seed: int = 0) -> dict[str, str]:
    """What every examination shows of one regulator.

    Parameters
    ----------
    design : str
        Name of a first stage.
    fault : str
        Key of a fault, or "sound".
    severity : float
        0 to 1.
    seed : int
        Which regulator of its kind.

    Returns
    -------
    dict
        Examination to the words for what it shows.

    Raises
    ------
    ValueError
        An unknown design or fault, or one that the design cannot have.

    References
    ----------
    Computed with `rig`; the thresholds of eye and ear are common practice, no source.

    Examples
    --------
    >>> seen = findings("Juniper", "seat_nicked", 0.5)
    >>> seen["watch the needle for three minutes"], seen["open and inspect"]
    ('climbs straight', 'with a loupe: a cut in the seat')
    """
    faults = {} if fault == SOUND else {fault: severity}
    first = rig.start(design, faults, seed=seed)
    bench, watched = rig.run(first, OPENED, 180)
    low, climbed = rig.run(rig.start(design, faults, 50 * BAR + SURFACE, seed=seed), OPENED, 180)
    inspected = NOTHING if fault == SOUND else Fault.named(fault).seen(severity)
    answers = (
        _watch(bench, watched), _listen(bench, watched), _tap(bench, watched), _purge(first), _shut(bench),
        _bleed(bench), _flow(bench), _adjuster(bench), _second_gauge(bench, watched),
        _low_supply(bench, watched, low, climbed), _flow(low), _pot(bench),
        _cold(rig.start(design, faults, seed=seed, room=COLD)), _next_day(first, watched), _new_seat(bench, watched),
        inspected,
    )  # fmt: skip
    return dict(zip(EXAMINATIONS, answers, strict=True))


def _reading(bench: Moment, trace: Trace, times: Iterable[float]) -> np.ndarray:
    """What the bench's gauge shows at some times [Pa]."""
    worn = bench.plant.condition
    stand = needle.shown(trace.time, trace.ip_gauge, worn.gauge_offset, worn.gauge_stick)
    return np.interp(np.asarray(tuple(times)), trace.time, stand)


def _climbs(bench: Moment, trace: Trace, begin: float) -> tuple[float, float]:
    """Rise of the reading over the first and the second of two minutes from `begin` [Pa]."""
    early, middle, late = _reading(bench, trace, (begin, begin + 60, begin + 120))
    return float(middle - early), float(late - middle)


def _sharp(trace: Trace, begin: float) -> float:
    """The sharpest change of IP within a second after `begin` [Pa]; 0 where none is noticed."""
    grid = np.arange(begin, trace.time[-1], 0.5)
    jumps = np.diff(trace.at(grid))
    sharpest = float(jumps[np.argmax(np.abs(jumps))])
    return sharpest if abs(sharpest) > NOTICED else 0.0


def _watch(bench: Moment, trace: Trace) -> str:
    if bench.ended:
        return LIFTED
    sharp = _sharp(trace, 30)
    if sharp:
        return "falls slowly, rises sharply" if sharp > 0 else "rises slowly, drops sharply"
    first, second = _climbs(bench, trace, 60)
    if first + second > NOTICED:
        # a hole in the seat leaks on whatever IP does; a worn seat tightens as IP presses on it, so the climb flattens
        return "climbs straight" if second > 0.75 * first else "climbs and flattens"
    if first + second < -NOTICED:
        return "falls"
    off = float(_reading(bench, trace, (180,))[0]) - _sound_lock_up(bench.plant.stage.name)
    return "stands" if abs(off) < 0.2 * BAR else f"stands {'high' if off > 0 else 'low'}"


@cache
def _sound_lock_up(design: str) -> float:
    bench, _ = rig.run(rig.start(design), OPENED, 60)
    return bench.ip_gauge


def _listen(bench: Moment, trace: Trace) -> str:
    places = [place for place, rate in bench.leaks().items() if rate > SOAP_SHOWS]
    # a second stage that opens and shuts is heard by who listens for a minute
    burst = any("opens by itself" in words for time, words in trace.happened if time > bench.time - 60)
    if burst and "mouthpiece" not in places:
        places.append("mouthpiece")
    if bench.plant.stage.sealed and bench.state[eq.CHAMBER] - SURFACE > BULGES:
        places = ["outer seal bulges"]
    return " and ".join(places) or "nothing"


def _tap(bench: Moment, trace: Trace) -> str:
    worn = bench.plant.condition
    before = needle.shown(trace.time, trace.ip_gauge, worn.gauge_offset, worn.gauge_stick)[-1]
    return "jumps" if abs(before - worn.gauge_offset - bench.ip_gauge) > NOTICED else "stays"


def _purge(first: Moment) -> str:
    times = [30 + 40 * n for n in range(5)]
    actions = [Action(0, "valve", 1), *(Action(t, "purge", 1) for t in times)]
    bench, trace = rig.run(first, actions, 230)
    if bench.ended:
        return LIFTED
    locks = _reading(bench, trace, [t + 12 for t in times])
    rises = _reading(bench, trace, [t + 39 for t in times]) - locks
    if np.ptp(rises) > NOTICED and rises.max() > 2 * rises.min() + NOTICED:
        return "climbs after some purges, not after others"
    return "lock-up moves" if np.ptp(locks) > 2 * NOTICED else "lock-up repeats"


def _shut(bench: Moment) -> str:
    before = bench.hp_gauge
    after, trace = rig.run(bench, [Action(bench.time, "valve", 0)], bench.time + 60)
    supply = "supply falls" if after.hp_gauge < 0.97 * before else "supply holds"
    return f"{supply}, needle {_moves(after, trace)}"


def _bleed(bench: Moment) -> str:
    actions = [Action(bench.time, "valve", 0), Action(bench.time + 1, "bleed", 1)]
    after, trace = rig.run(bench, actions, bench.time + 61)
    return f"needle {_moves(after, trace)}"


def _moves(bench: Moment, trace: Trace) -> str:
    if bench.ended:
        return "climbs"
    early, late = _reading(bench, trace, (trace.time[0], trace.time[-1]))
    return "climbs" if late - early > NOTICED else "falls" if late - early < -NOTICED else "stays"


def _flow(bench: Moment) -> str:
    if bench.ended:
        return NOT_TRIED
    _, trace = rig.run(bench, [Action(bench.time, "purge", 3)], bench.time + 3)
    supply = trace.hp_gauge
    dips = "supply needle dips" if supply.min() < 0.9 * supply[0] else "supply needle steady"
    # a needle that has crept up comes down to lock-up first: no collapse
    stood = min(float(trace.ip_gauge[0]), _sound_lock_up(bench.plant.stage.name))
    return f"{'collapses' if trace.ip_gauge[-1] < 0.75 * stood else 'holds'}, {dips}"


def _adjuster(bench: Moment) -> str:
    stage = bench.plant.stage
    if not stage.adjuster:
        return "has no adjuster"
    if bench.ended:
        return NOT_TRIED
    begin = bench.time
    actions = [Action(begin, "purge", 1), Action(begin + 13, "adjust", -0.5), Action(begin + 14, "purge", 1)]
    after, trace = rig.run(bench, actions, begin + 26)
    before, now = _reading(after, trace, (begin + 12, begin + 26))
    part = float(now - before) / (adjusted(stage, -0.5) / stage.effective_area)
    return "moves too far" if part > 1.3 else "moves too little" if part < 0.7 else "moves as it should"


def _cold(first: Moment) -> str:
    bench, trace = rig.run(first, [*OPENED, Action(60, "purge", 20)], 100)
    if bench.ended or any("opens by itself" in words for time, words in trace.happened if time > 60):
        return "flows by itself"
    higher = bench.ip_gauge - float(trace.at(59)) > 0.5 * BAR
    return "stands far higher" if higher else "as in a warm room"


def _second_gauge(bench: Moment, trace: Trace) -> str:
    off = float(_reading(bench, trace, (trace.time[-1],))[0]) - bench.ip_gauge
    return "disagrees" if abs(off) > 2 * NOTICED else "agrees"


def _low_supply(bench: Moment, high: Trace, low: Moment, trace: Trace) -> str:
    if low.ended:
        return LIFTED
    # where the relief valve ended the watch at full supply, the climb was faster than any gauge could follow
    fast = sum(_climbs(bench, high, 60)) if high.time[-1] >= 180 else 16 * BAR
    slow = sum(_climbs(low, trace, 60))
    if fast < NOTICED:
        return "no climb to compare"
    # a hole passes air in proportion to the supply: a quarter of the supply, a quarter of the climb
    return "climbs more slowly" if slow < 0.6 * fast else "climbs as fast"


def _pot(bench: Moment) -> str:
    if bench.ended:
        return NOT_TRIED
    begin = bench.time
    actions = [
        Action(begin, "purge", 0.5), Action(begin + 13, "ambient", 4 * BAR + SURFACE), Action(begin + 18, "purge", 0.5),
    ]  # fmt: skip
    _, trace = rig.run(bench, actions, begin + 30)
    # each reading 12 s after a purge, so that a creep has gone as far in both
    change = float(trace.at(begin + 30) - trace.at(begin + 12))
    return "does not follow" if change < -1.5 * BAR else "follows"


def _next_day(first: Moment, today: Trace) -> str:
    bench, _ = rig.run(first, [Action(0, "rest", 20 * 3600.0), *OPENED], 180)
    if bench.ended or today.time[-1] < 180:
        return "the same"
    better = float(today.at(180)) - bench.ip_gauge
    return "stands lower" if better > NOTICED else "the same"


def _new_seat(bench: Moment, old: Trace) -> str:
    vented = [Action(bench.time, "valve", 0), Action(bench.time, "bleed", 1), Action(bench.time, "purge", 5)]
    bench = dataclasses.replace(bench, ended="")  # the relief valve ended the watch, not the work on the regulator
    emptied, _ = rig.run(bench, vented, bench.time + 20)
    fitted = [Action(emptied.time, "bleed", 0), Action(emptied.time, "swap", "seat"), Action(emptied.time, "valve", 1)]
    after, trace = rig.run(emptied, fitted, emptied.time + 180)
    before = _watch(bench, old) if old.time[-1] >= 180 else LIFTED
    # `_watch` counts its three minutes from zero
    shifted = dataclasses.replace(trace, segments=tuple(
        dataclasses.replace(one, time=one.time - emptied.time) for one in trace.segments))  # fmt: skip
    now = LIFTED if after.ended else _watch(after, shifted)
    return "the same" if now == before else now
