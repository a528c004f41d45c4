"""One regulator whose cause nobody knows yet: how it is drawn, and what an examination of it shows. SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from steadyneedle.bench.diagnosis.bench_runs import OnTheBench
from steadyneedle.bench.diagnosis.cause_list import ANOTHER, cause_of, causes, other_pairs
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind
from steadyneedle.bench.diagnosis.needle_tests import OnAGauge
from steadyneedle.foundation.draws import Draws

ROOMS = (285.15, 289.15, 293.15, 297.15, 301.15)
"""K; a workshop through the year (invented)."""


@dataclass(frozen=True)
class Hidden:
    """A regulator on a bench: severity of each fault, 0 to 1; chance (`seed`); room [K]; gauge and its error [Pa]."""

    design: str
    faults: Mapping[str, float] = field(default_factory=dict)
    seed: int = 1
    room: float = 293.15
    gauge: str = "fine"
    gauge_error: float = 0.0

    @property
    def cause(self) -> str:
        """Key of its cause, as in `causes`."""
        return cause_of(self.faults)

    def on_the_bench(self, turn: int = 0) -> OnTheBench:
        """It on the rig, purged `turn` times more; its runs are kept while it is looked at."""
        return _kept(self.design, tuple(sorted(self.faults.items())), self.seed, self.room, turn)

    def on_a_gauge(self, turn: int = 0) -> OnAGauge:
        """It as its gauge shows it; another turn, other readings."""
        return OnAGauge(self.on_the_bench(turn), self.gauge, self.gauge_error, turn)


@lru_cache(maxsize=12)
def _kept(design: str, faults: tuple[tuple[str, float], ...], seed: int, room: float, turn: int) -> OnTheBench:
    return OnTheBench(design, faults, seed, room, turn)


def drawn_hidden(design: str, cause: str, gauge: str, draws: Draws, part: tuple[float, float] = (0.0, 1.0)) -> Hidden:
    """A regulator with this cause, severities and all else drawn.

    Parameters
    ----------
    design, cause, gauge : str
        Names; the cause as in `causes`.
    draws : Draws
        Where the numbers come from.
    part : pair of float
        Between which severities the first fault lies, 0 to 1.

    Returns
    -------
    Hidden
        A gauge that is worn reads high by its fault alone; any other is wrong by at most its class.

    Raises
    ------
    ValueError
        The design cannot have the cause; the sentence names those it can have.

    References
    ----------
    Equal chances: severities between least and most, gauge errors within the class, five rooms (invented).

    Examples
    --------
    >>> drawn_hidden("Juniper", "seat_nicked", "fine", Draws("example")).cause
    'seat_nicked'
    """
    if cause not in causes(design):
        raise ValueError(f"{design} cannot have the cause '{cause}'; there are {', '.join(causes(design))}.")
    keys: tuple[str, ...] = () if cause == SOUND else tuple(cause.split("+"))
    if cause == ANOTHER:
        keys = draws.one_of(other_pairs(design))
    return drawn_with(design, keys, gauge, draws, part)


def drawn_with(
    design: str, faults: tuple[str, ...], gauge: str, draws: Draws, part: tuple[float, float] = (0.0, 1.0)
) -> Hidden:
    """A regulator with these faults, severities and all else drawn.

    Parameters
    ----------
    design : str
        Name of a first stage.
    faults : tuple of str
        Keys of at most two faults.
    gauge : str
        "fine" or "coarse".
    draws : Draws
        Where the numbers come from.
    part : pair of float
        Between which severities the first fault lies, 0 to 1.

    Returns
    -------
    Hidden
        As `drawn_hidden`.

    Raises
    ------
    ValueError
        An unknown gauge.

    References
    ----------
    As `drawn_hidden`.

    Examples
    --------
    >>> sorted(drawn_with("Alder", ("grit", "set_low"), "coarse", Draws("example")).faults)
    ['grit', 'set_low']
    """
    low, high = part
    severities = {}
    for key in faults:
        fraction = draws.fraction()
        severities[key] = round(low + (high - low) * fraction if key == faults[0] else fraction, 4)
    seed, room = draws.integer(1, 10**6), draws.one_of(ROOMS)
    error = (2 * draws.fraction() - 1) * gauge_kind(gauge).permitted
    if "gauge_high" in faults:
        error = 0.0
    return Hidden(design, severities, seed, room, gauge, round(error, 1))


def log_of(hidden: Hidden, test: str, turn: int = 0) -> tuple[np.ndarray, np.ndarray] | None:
    """What somebody reads off the gauge during an examination, for a picture of it.

    Parameters
    ----------
    hidden : Hidden
        Which regulator.
    test : str
        Key of an examination.
    turn : int
        How many were done before.

    Returns
    -------
    tuple of arrays of shape (n,), or None
        Times [s] and readings [Pa over ambient]; None where the examination is no watch of the needle.

    References
    ----------
    Computed with the rig.

    Examples
    --------
    >>> times, readings = log_of(Hidden("Alder"), "watch_full")
    >>> float(times[-1]), log_of(Hidden("Alder"), "tap")
    (480.0, None)
    """
    one = hidden.on_a_gauge(turn)
    runs = {
        "watch_full": "full", "watch_low": "low", "cycles": "cycled", "next_day": "next_day", "blank": "blanked",
        "new_seat": "new_seat", "new_spring": "new_spring", "shut": "shut", "bleed": "bled",
    }  # fmt: skip
    return one.log(getattr(one.bench, runs[test])) if test in runs else None
