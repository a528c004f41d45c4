"""What an examination shows of one hidden regulator: the rig and the gauge, or eyes and ears with their chances."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.diagnosis.hidden import Hidden
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_TESTS
from steadyneedle.bench.diagnosis.outcome_list import outcomes
from steadyneedle.bench.diagnosis.teaching_values import OLD_SEAT, old_seat_chances, sense_chances, sense_outcomes
from steadyneedle.foundation.draws import Draws


def shown(hidden: Hidden, test: str, turn: int, draws: Draws) -> str:
    """What an examination shows.

    Parameters
    ----------
    hidden : Hidden
        Which regulator.
    test : str
        Key of an examination that its design allows.
    turn : int
        How many examinations were done before; from 0.
    draws : Draws
        What eyes and ears find is drawn from it, one number.

    Returns
    -------
    str
        One of `outcomes`.

    Raises
    ------
    ValueError
        The design has no such examination; the sentence names those there are.

    References
    ----------
    Needles: computed with the rig. Eyes and ears: invented teaching values.

    Examples
    --------
    >>> shown(Hidden("Alder", {"gauge_sticks": 0.5}), "tap", 0, Draws("example"))
    'jumps'
    """
    outcomes(hidden.design, test)  # it refuses a test that is unknown, or that this design does not allow
    if test not in NEEDLE_TESTS:
        leaks = hidden.on_the_bench().leaks()
        return _one(sense_outcomes(test), sense_chances(test, hidden.faults, leaks), draws)
    needle = NEEDLE_TESTS[test](hidden.on_a_gauge(turn))
    if test != "new_seat":
        return needle
    return f"{needle}, {_one(OLD_SEAT, old_seat_chances(hidden.faults), draws)}"


def _one(names: tuple[str, ...], chances: np.ndarray, draws: Draws) -> str:
    return names[min(int(np.searchsorted(np.cumsum(chances), draws.fraction(), side="right")), len(names) - 1)]
