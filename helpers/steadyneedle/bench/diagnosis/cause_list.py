"""What may be wrong with a regulator on the bench: single faults, named pairs, every other pair, or nothing."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from functools import cache

from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.physics.faults import Fault

ANOTHER = "another_pair"
"""The cause that holds every pair of faults without a name of its own."""

NAMED_PAIRS = (
    ("diaphragm_stiff", "grit"), ("seat_nicked", "second_stage_leaks"), ("seat_dished", "gauge_high"),
    ("seat_dished", "set_high"), ("grit", "filter_clogged"), ("seat_nicked", "gauge_hose"),
)  # fmt: skip
"""Pairs of faults that are met often enough to have a name of their own (invented)."""

SAME_QUANTITY = (
    ("spring_weak", "spring_wrong"), ("spring_weak", "set_low"), ("spring_weak", "set_high"),
    ("spring_wrong", "set_low"), ("spring_wrong", "set_high"), ("set_low", "set_high"), ("sticky", "leak_on_sticky"),
    ("seat_dished", "seat_setting"), ("filter_clogged", "valve_part_open"), ("chamber_blocked", "chamber_iced"),
    ("seat_nicked", "creep_and_burp"), ("diaphragm_stiff", "sticky"), ("diaphragm_stiff", "leak_on_sticky"),
)  # fmt: skip
"""Pairs that are no two faults: one hides the other, undoes it, or sets the same."""


def cause_of(faults: Iterable[str]) -> str:
    """The cause that a set of faults is.

    Parameters
    ----------
    faults : iterable of str
        Keys of at most two faults.

    Returns
    -------
    str
        "sound", the fault, a named pair such as "diaphragm_stiff+grit", or "another_pair".

    Raises
    ------
    ValueError
        More than two faults, or an unknown one.

    References
    ----------
    Definition.

    Examples
    --------
    >>> cause_of(["grit", "diaphragm_stiff"]), cause_of([]), cause_of(["grit", "set_low"])
    ('diaphragm_stiff+grit', 'sound', 'another_pair')
    """
    keys = frozenset(faults)
    for key in keys:
        Fault.named(key)
    if len(keys) > 2:
        raise ValueError("A regulator here has at most two faults.")
    if len(keys) < 2:
        return next(iter(keys), SOUND)
    return next(("+".join(pair) for pair in NAMED_PAIRS if frozenset(pair) == keys), ANOTHER)


@cache
def causes(design: str) -> tuple[str, ...]:
    """Keys of the causes that a design can have.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    tuple of str
        "sound", every fault that it can have, its named pairs, "another_pair".

    Raises
    ------
    ValueError
        There is no such design; the sentence names those there are.

    References
    ----------
    `datasets/faults.csv`; which pairs have a name is invented.

    Examples
    --------
    >>> causes("Alder")[:2], causes("Juniper")[-1]
    (('sound', 'seat_dished'), 'another_pair')
    """
    possible = Fault.keys(design)
    named = ("+".join(pair) for pair in NAMED_PAIRS if set(pair) <= set(possible))
    return (SOUND, *possible, *named, ANOTHER)


@cache
def other_pairs(design: str) -> tuple[tuple[str, str], ...]:
    """Every pair of faults of a design that has no name of its own.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    tuple of pairs of str
        Keys of two faults each, in the order of the fault table.

    Raises
    ------
    ValueError
        There is no such design.

    References
    ----------
    Definition; pairs that hide or undo one another are no pairs (ours).

    Examples
    --------
    >>> ("spring_weak", "set_high") in other_pairs("Alder"), ("seat_nicked", "gauge_high") in other_pairs("Alder")
    (False, True)
    """
    none = {frozenset(pair) for pair in (*NAMED_PAIRS, *SAME_QUANTITY)}
    return tuple(pair for pair in itertools.combinations(Fault.keys(design), 2) if frozenset(pair) not in none)


@cache
def cause_name(cause: str) -> str:
    """A cause in words.

    Parameters
    ----------
    cause : str
        Key of a cause.

    Returns
    -------
    str
        Words for a technician.

    Raises
    ------
    ValueError
        There is no such cause.

    References
    ----------
    `datasets/faults.csv`.

    Examples
    --------
    >>> cause_name("sound"), cause_name("seat_nicked+gauge_hose"), cause_name("another_pair")
    ('nothing wrong', 'seat nicked, and gauge hose weeps', 'another pair of faults')
    """
    if cause == SOUND:
        return "nothing wrong"
    if cause == ANOTHER:
        return "another pair of faults"
    return ", and ".join(Fault.named(key).name for key in cause.split("+"))
