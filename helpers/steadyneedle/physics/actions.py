"""What one does at the bench: each action takes a moment and gives the next one. SI, absolute pressures."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass

from steadyneedle.physics.equations import CAME_IN
from steadyneedle.physics.first_stage import SURFACE, adjusted
from steadyneedle.physics.moment import Moment
from steadyneedle.physics.si import BAR

PARTS = {
    "seat": ("seal_force", "seat_leak", "seat_hole", "grit_hole"),
    "seat carrier": ("bypass_hole",),
    "stem seal": ("stem_hole",),
    "shaft seal": ("shaft_hole",),
    "head seal": ("head_hole", "dead_band"),
    "diaphragm": ("diaphragm_hole", "chamber_hole", "wander", "rim_hole", "dead_band"),
    "body": ("land_hole",),
    "main spring": ("spring", "stiffer"),
    "second-stage seat": ("mouth_hole", "mouth_stick"),
    "filter": ("filter_area",),
    "hose": ("fitting_hole",),
    "gauge": ("gauge_offset", "gauge_stick"),
    "gauge hose": ("hose_hole",),
}
"""What a new part puts right."""


class BenchError(ValueError):
    """Something a careful person does not do, or a design cannot; the sentence says what to do instead."""


@dataclass(frozen=True)
class Action:
    """One thing done at a time [s].

    `what` and its `value`: "valve" (0 shut to 1 open), "supply" (Pa, absolute), "purge" (s), "breathe" (s),
    "bleed" (1 open, 0 shut), "adjust" (turns inward), "shims" (number added), "ambient" (Pa, absolute), "blank"
    (1: nothing but the gauge on the low-pressure ports, 0: the second stage back on), "second adjuster" (0 as set to
    1 stiffest), "swap" (a part of `PARTS`), "rest" (s, with the pressure off), "tap".
    """

    time: float
    what: str
    value: float | str = 0.0


def act(moment: Moment, action: Action) -> Moment:
    """The bench just after an action; its time is that of the moment.

    Parameters
    ----------
    moment : Moment
        The bench before.
    action : Action
        What is done; pressures absolute [Pa].

    Returns
    -------
    Moment
        The bench after, at the same time [s].

    Raises
    ------
    BenchError
        An unknown action, a value outside its range, an adjuster that the design does not have, a part swapped under
        pressure.

    References
    ----------
    Common practice at the bench, no source.

    Examples
    --------
    >>> from steadyneedle.physics.rig import start
    >>> act(start("Alder"), Action(0.0, "adjust", 1))
    Traceback (most recent call last):
    ...
    steadyneedle.physics.actions.BenchError: Alder has no adjuster: it is set with shims, 15 N each.
    """
    if action.what not in _DOING:
        raise BenchError(f"There is no action '{action.what}'; there are {', '.join(_DOING)}.")
    # what the new forces and pressures no longer hold gives way before any time passes
    return _DOING[action.what](moment, action.value).snapped()


def _within(value: float | str, low: float, high: float, what: str) -> float:
    if isinstance(value, str) or not low <= value <= high:
        raise BenchError(f"{what} must lie between {low:g} and {high:g}.")
    return float(value)


def _valve(moment: Moment, value: float | str) -> Moment:
    widest = moment.plant.condition.valve_area or moment.plant.bench.valve_area
    return moment.with_settings(valve_area=_within(value, 0, 1, "The cylinder valve's opening") * widest)


def _supply(moment: Moment, value: float | str) -> Moment:
    """Another cylinder, or the same one filled: it has given nothing yet."""
    supply = _within(value, SURFACE, 400 * BAR, "Supply, in pascal absolute,")
    return moment.with_settings(supply=supply, drawn=moment.state[CAME_IN])


def _purge(moment: Moment, value: float | str) -> Moment:
    if not moment.settings.connected:
        raise BenchError("There is no second stage on the bench: take the blanks off first.")
    seconds = _within(value, 0.05, 60, "A purge, in seconds,")
    return moment.with_settings(purge_area=moment.plant.second.purge_area, purge_ends=moment.time + seconds)


def _breathe(moment: Moment, value: float | str) -> Moment:
    if not moment.settings.connected:
        raise BenchError("There is no second stage on the bench: take the blanks off first.")
    seconds = _within(value, 0.1, 600, "Breathing, in seconds,")
    return moment.with_settings(demand=1.0, breath_start=moment.time, breath_ends=moment.time + seconds)


def _adjust(moment: Moment, value: float | str) -> Moment:
    turns = _within(value, -5, 5, "Turns of the adjuster")
    try:
        change = adjusted(moment.plant.stage, turns) * moment.plant.condition.stiffness
    except ValueError as error:
        raise BenchError(str(error)) from None
    return moment.with_settings(spring_change=moment.settings.spring_change + change)


def _shims(moment: Moment, value: float | str) -> Moment:
    stage = moment.plant.stage
    if not stage.shim:
        raise BenchError(f"{stage.name} has no shims: it is set with its adjuster.")
    _vented(moment)
    number = _within(value, -10, 10, "The number of shims added")
    return moment.with_settings(spring_change=moment.settings.spring_change + number * stage.shim)


def _vented(moment: Moment) -> None:
    if moment.ip_gauge > 0.5 * BAR:
        raise BenchError(f"Vent first: {moment.ip_gauge / BAR:.1f} bar stand on the low-pressure side.")


def _swap(moment: Moment, value: float | str) -> Moment:
    if value not in PARTS:
        raise BenchError(f"There is no part '{value}'; there are {', '.join(PARTS)}.")
    if value not in ("gauge", "filter"):
        _vented(moment)
    condition = moment.plant.condition.repaired(*PARTS[str(value)])
    return dataclasses.replace(moment, plant=dataclasses.replace(moment.plant, condition=condition))


def _second_adjuster(moment: Moment, value: float | str) -> Moment:
    second, part = moment.plant.second, _within(value, 0, 1, "The second stage's adjuster")
    return moment.with_settings(second_spring=second.spring + part * (second.stiffest - second.spring))


def _rest(moment: Moment, value: float | str) -> Moment:
    return moment.with_settings(aged=moment.settings.aged + _within(value, 0, 30 * 86400, "Rest, in seconds,"))


_DOING: dict[str, Callable[[Moment, float | str], Moment]] = {
    "valve": _valve,
    "supply": _supply,
    "purge": _purge,
    "breathe": _breathe,
    "bleed": lambda m, v: m.with_settings(bleed_area=_within(v, 0, 1, "The bleed screw") * m.plant.bench.bleed_area),
    "adjust": _adjust,
    "shims": _shims,
    "ambient": lambda m, v: m.with_settings(ambient=_within(v, SURFACE, 20 * BAR, "Ambient, in pascal absolute,")),
    "blank": lambda m, v: m.with_settings(connected=not _within(v, 0, 1, "Blanking"), purge_area=0.0, demand=0.0),
    "second adjuster": _second_adjuster,
    "swap": _swap,
    "rest": _rest,
    "tap": lambda m, v: m,
}
