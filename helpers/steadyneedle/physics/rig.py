"""A regulator on a bench through time: start, let time run, a whole job. SI, absolute pressures.

A `Moment` holds everything; `actions.act` changes it, `advance` lets time run. Both return a new one, so that a bench
can go back to any moment it has kept. The stiff integrator is scipy's LSODA, stepped here so that what snaps (a valve
held by friction, a second stage that gives way, the relief valve, the gauge's rating) is located at its instant:
the same job through `solve_ivp` with events takes 1.2 to 1.9 times as long.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import equations as eq
from steadyneedle.physics.actions import Action, act
from steadyneedle.physics.equations import RightHandSide
from steadyneedle.physics.faults import Condition
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import GAUGE_SPAN, TURNS, Moment, Segment, Trace
from steadyneedle.physics.plant import Plant, Settings
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import BenchSetup, FirstStage, SecondStage

if TYPE_CHECKING:
    from scipy.integrate import LSODA

RELATIVE, ABSOLUTE = 1e-6, 1e-6
"""Tolerances of the integrator: relative, and absolute in parts of `equations.SCALE`."""

COLDEST, WARMEST = 263.15, 313.15
"""K; the rooms that a bench may stand in."""

BETWEEN = 5
"""At the most so many samples inside one long step."""

SEEN = np.array([1e4, 1e4, 2e-8, 0.05, 0.05, 1e2, 1e-6, 1e-6])
"""A long step over which no state changes by more than this needs no samples inside: a gauge would not show it."""


def start(
    design: str,
    faults: Mapping[str, float] | None = None,
    supply: float = 200 * BAR + SURFACE,
    *,
    seed: int = 0,
    ip_volume: float | None = None,
    gauge_span: float = GAUGE_SPAN,
    room: float = eq.ROOM,
    cylinder: float | None = None,
) -> Moment:
    """A regulator on the bench, cylinder valve shut, no pressure in it.

    Parameters
    ----------
    design : str
        Name of a first stage.
    faults : mapping or None
        Fault to severity, 0 to 1.
    supply : float
        Cylinder pressure [Pa], absolute, from ambient to 40 MPa.
    seed : int
        What differs from one regulator of a kind to the next [-]: where grit goes, how a stiff diaphragm tilts.
    ip_volume : float or None
        Volume of the IP side [m3], 30e-6 to 150e-6; None for the bench's own.
    gauge_span : float
        Span of the IP gauge [Pa].
    room : float
        Temperature of the room and of all that has stood in it [K], 263.15 to 313.15.
    cylinder : float or None
        Water volume of a cylinder that empties [m3], 0.5e-3 to 50e-3; None for a supply that never falls.

    Returns
    -------
    Moment
        At time 0 [s].

    Raises
    ------
    ValueError
        An unknown design or fault, a fault the design cannot have, a supply, a volume or a room outside its range.

    References
    ----------
    The datasets, invented.

    Examples
    --------
    >>> start("Alder").hp_gauge
    0.0
    """
    if not SURFACE <= supply <= 400 * BAR:
        raise ValueError("supply must lie between ambient and 40 MPa, absolute, in pascal.")
    if not COLDEST <= room <= WARMEST:
        raise ValueError("room must lie between 263.15 and 313.15 K, that is -10 to 40 C.")
    stage, bench = FirstStage.named(design), _bench(ip_volume, cylinder)
    second, condition = SecondStage.named(stage.second_stage), Condition.of(stage, faults or {})
    plant = Plant(stage, second, bench, condition, eq.cooling_curve(room), room)
    mass = SURFACE * bench.ip_volume / (eq.R * room)
    state = (SURFACE, SURFACE, mass, room, room, SURFACE, 0.0, 0.0)
    return Moment(plant, Settings(supply, 0.0), state, seed=seed, gauge_span=gauge_span)


def _bench(ip_volume: float | None, cylinder: float | None) -> BenchSetup:
    """The bench of the dataset, but for what is asked for."""
    changes = {}
    for name, value, least, most in (("ip_volume", ip_volume, 30e-6, 150e-6), ("cylinder", cylinder, 0.5e-3, 50e-3)):
        if value is not None:
            if not least <= value <= most:
                raise ValueError(f"{name} must lie between {least:g} and {most:g} m3.")
            changes[name] = value
    return dataclasses.replace(BenchSetup.standard(), **changes)


def advance(moment: Moment, until: float, every: float = 0.5) -> tuple[Moment, Trace]:
    """Let time run.

    Parameters
    ----------
    moment : Moment
        The bench now.
    until : float
        Time to stop at [s].
    every : float
        Longest time between two samples [s]; after an action or a snap they lie closer.

    Returns
    -------
    tuple of Moment and Trace
        The bench then, and the samples [s, Pa, kg, K]; it stops early where a limit is passed.

    Raises
    ------
    ValueError
        `until` before the moment, or `every` not above 0.

    References
    ----------
    Conservation of mass and energy, balance of forces; see `equations`.

    Examples
    --------
    >>> bench, _ = advance(act(start("Alder"), Action(0.0, "valve", 1)), 10.0)
    >>> print(round(bench.ip_gauge / 1e5, 1))
    9.1
    """
    if not moment.time <= until or not every > 0:
        raise ValueError("until must not lie before the moment, every must be above 0 s.")
    segments, happened = [], []
    while moment.time < until and not moment.ended:
        moment, segment, words = _segment(moment, min(until, _next_stop(moment)), every)
        segments.append(segment)
        if words:
            happened.append((moment.time, words))
    return moment, Trace(tuple(segments), tuple(happened))


def _next_stop(moment: Moment) -> float:
    """When something timed ends: a purge, a breath in, a breath out."""
    settings, stops = moment.settings, [math.inf]
    if settings.purge_area:
        stops.append(settings.purge_ends)
    if settings.demand:
        half = 0.5 / moment.plant.bench.breath_rate
        # the turn of the breath just reached must not come out as the next stop, for all its last bits
        done = math.floor((moment.time - settings.breath_start) / half + 1e-6)
        stops += [settings.breath_ends, settings.breath_start + (done + 1) * half]
    return min(stops)


Measure = Callable[[float, np.ndarray], float]
Watch = tuple[Measure, tuple[tuple[str, float, float], ...]]
"""A quantity of time and state, and what snaps when it passes a limit: which, the limit, 1 upward or -1 downward."""


def _watches(moment: Moment, rhs: RightHandSide) -> list[Watch]:
    """What may snap next; measures take a state less the right-hand side's origin."""
    plant, modes, settings = moment.plant, moment.modes, moment.settings

    def warmth(y: np.ndarray) -> float:
        return float(y[eq.TEMPERATURE]) + rhs.room

    def chamber(y: np.ndarray) -> float:
        return (float(y[eq.MASS]) + rhs.mass) * warmth(y) * rhs.per_mass

    def port(t: float, y: np.ndarray) -> float:
        return rhs.ports.pressure(t, chamber(y), math.sqrt(warmth(y)))

    def net(t: float, y: np.ndarray) -> float:
        return rhs.net(float(y[eq.CAVITY]), chamber(y), float(y[eq.CHAMBER]) + SURFACE)

    limit, words = min(moment.limits)  # the lower one ends the job first, so the other needs no watching
    made: list[Watch] = [(port, ((words, settings.ambient + limit, 1.0), *plant.gives_way(settings, modes)))]
    friction = plant.dead_band
    if friction > 0:
        tight = friction + plant.snaps_at
        made.append((net, (("breaks away", friction, 1.0) if modes.held else ("seats", -tight, -1.0),)))
    return made


def _segment(moment: Moment, until: float, every: float) -> tuple[Moment, Segment, str]:
    """From a moment to `until`, or to the instant at which something snaps."""
    from scipy.integrate import LSODA

    # The segment's own clock starts at 0: LSODA's first step grows with the clock's reading where nothing moves yet,
    # and a breath drawn after ten minutes began with a step too long for it.
    begun, settings = moment.time, moment.settings
    own = dataclasses.replace(settings, breath_start=settings.breath_start - begun)
    rhs = RightHandSide(moment.plant, own, moment.modes)
    origin = np.array(moment.state) - rhs.origin
    solver = LSODA(rhs, 0.0, origin, until - begun, rtol=RELATIVE, atol=ABSOLUTE * eq.SCALE)
    times, states, watches, snapped = [solver.t], [solver.y], _watches(moment, rhs), ""
    while solver.status == "running" and not snapped:
        message = solver.step()
        if solver.status == "failed":
            raise RuntimeError(f"The integrator stopped at {solver.t:.3f} s: {message}")
        time, state = solver.t, solver.y
        for measure, limits in watches:
            value = measure(time, state)
            for what, limit, sign in limits:
                if (value - limit) * sign > 0:
                    instant = _instant(solver, measure, limit, sign)
                    if not snapped or instant < time:  # several may pass in one step: the earliest counts
                        time, snapped, state = instant, what, solver.dense_output()(instant)
        if time - times[-1] > every and np.any(np.abs(state - states[-1]) > SEEN):
            inside = np.linspace(times[-1], time, min(math.ceil((time - times[-1]) / every), BETWEEN) + 1)[1:-1]
            times.extend(inside.tolist())
            states.extend(solver.dense_output()(inside).T)
        times.append(time)
        states.append(state)
    whole, clock = np.array(states) + rhs.origin, np.array(times) + begun
    if not snapped:
        clock[-1] = until  # to the last bit: what is timed ends at it
    after = dataclasses.replace(moment, state=tuple(whole[-1].tolist()), time=float(clock[-1]))
    segment = Segment(moment.plant, settings, moment.modes, clock, whole.T)
    return _after(after, snapped), segment, _WORDS.get(snapped, snapped)


def _instant(solver: LSODA, measure: Measure, limit: float, sign: float) -> float:
    """When a measured quantity passed its limit during the last step."""
    from scipy.optimize import brentq

    dense = solver.dense_output()

    def passed(time: float) -> float:
        return (measure(time, dense(time)) - limit) * sign

    # an action may have put it beyond its limit already: then there is no change of sign to look for
    return solver.t_old if passed(solver.t_old) > 0 else float(brentq(passed, solver.t_old, solver.t, xtol=1e-12))


_WORDS = {
    "weeps": "The second stage opens by itself and weeps.", "shuts": "The second stage shuts again.",
    "breaks loose": "The second stage opens by itself, all at once.", "reseats": "The second stage shuts again.",
    "seats": "", "breaks away": "",
}  # fmt: skip
"""What a person notices of a snap; a limit that ends the job speaks for itself."""


def _after(moment: Moment, snapped: str) -> Moment:
    """The moment after a segment: what snapped has snapped, what was timed and is over has ended."""
    settings = moment.settings
    if snapped in TURNS:
        return moment.turned(snapped)
    if snapped:
        return dataclasses.replace(moment, ended=snapped)
    if settings.purge_area and moment.time >= settings.purge_ends:
        return _purged(moment)
    if settings.demand and moment.time >= settings.breath_ends:
        return moment.with_settings(demand=0.0)
    return moment


def _purged(moment: Moment) -> Moment:
    """A purge is over: grit has moved or gone, a stiff diaphragm or a dry seal sits elsewhere."""
    count, condition = moment.purges + 1, moment.plant.condition
    # keyed by the purge's number: going back and purging once more gives the same regulator, not another one
    draws = Draws("bench", moment.seed, count)
    wander = (condition.wander + 0.5 * condition.dead_band) * (2 * draws.fraction() - 1)
    where = draws.fraction()
    grit = 0.0 if where < 0.35 else 0.3 + 1.2 * draws.fraction()
    return dataclasses.replace(moment.with_settings(purge_area=0.0, wander=wander, grit=grit), purges=count)


def run(moment: Moment, actions: Iterable[Action], until: float, every: float = 0.5) -> tuple[Moment, Trace]:
    """A whole job: each action at its time, then on to the end.

    Parameters
    ----------
    moment : Moment
        The bench at the beginning.
    actions : iterable of Action
        In the order of their times [s].
    until : float
        Time to stop at [s].
    every : float
        Longest time between two samples [s].

    Returns
    -------
    tuple of Moment and Trace
        The bench at the end, and the samples [s, Pa, kg, K].

    Raises
    ------
    ValueError
        Actions out of order, or what `act` refuses.

    References
    ----------
    As `advance`.

    Examples
    --------
    >>> bench, trace = run(start("Rowan"), [Action(0, "valve", 1), Action(20, "purge", 1)], 60)
    >>> print(round(float(trace.at(60)) / 1e5, 1))
    9.7
    """
    whole = Trace()
    for action in actions:
        # less by rounding is not out of order: times come as sums
        if action.time < moment.time - 1e-9 and not moment.ended:
            raise ValueError(f"Actions must come in the order of their times; '{action.what}' does not.")
        if not moment.ended:
            moment, part = advance(moment, max(action.time, moment.time), every)
            whole = whole + part
            moment = act(moment, action) if not moment.ended else moment
    moment, part = advance(moment, max(until, moment.time), every)
    return moment, whole + part
