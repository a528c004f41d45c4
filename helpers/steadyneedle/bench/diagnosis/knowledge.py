"""What the drawn regulators of a design taught: how likely each of them shows what, and how often each cause is met.

A state is one drawn regulator with one drawn error of its gauge. Findings are independent only given the state, so
severity, chance and gauge are averaged over states, never test by test.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from steadyneedle.bench.diagnosis.cause_list import ANOTHER, causes
from steadyneedle.bench.diagnosis.examination_list import tests
from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_OUTCOMES
from steadyneedle.bench.diagnosis.own_tables import stamp, with_own
from steadyneedle.bench.diagnosis.teaching_values import OLD_SEAT, old_seat_table, sense_outcomes, sense_table
from steadyneedle.foundation import datasets

LIKE, LESS_LIKE, FAR, UNIFORM = 0.5, 0.2, 0.15, 0.06
"""What counts beside a regulator's own reading, which counts 1: those next to it in severity, those after them, all of
its cause, and every outcome alike. Chosen on regulators that the table never saw; see `DEVELOPERS.md`."""

WEIGHTS = ("ours", "trade")

TABLES = {
    "Alder": "diagnosis/with_gauges/Alder", "Rowan": "diagnosis/with_gauges/Rowan",
    "Hazel": "diagnosis/with_gauges/Hazel", "Juniper": "diagnosis/with_gauges/Juniper",
    "Linden": "diagnosis/with_gauges/Linden",
}  # fmt: skip
"""The computed table of each design; written out, so that what is made from them is known."""


@dataclass(frozen=True, eq=False)
class Knowledge:
    """States of a design on one gauge, and what each shows.

    `prior` has shape (causes,); `cause_of` and `within` have shape (states,): the cause of each state and its weight
    inside that cause, which sums to 1. `likelihood` has shape (states, outcomes) for each test: rows sum to 1, and
    nothing is impossible. `own` names the rows that an instructor gave.
    """

    design: str
    gauge: str
    causes: tuple[str, ...]
    prior: np.ndarray
    cause_of: np.ndarray
    within: np.ndarray
    tests: tuple[str, ...]
    outcomes: Mapping[str, tuple[str, ...]]
    likelihood: Mapping[str, np.ndarray]
    own: tuple[str, ...] = ()


def knowledge(design: str, gauge: str = "fine", weights: str = "ours") -> Knowledge:
    """What is known of a design's faults on a gauge.

    Parameters
    ----------
    design : str
        Name of a first stage.
    gauge : str
        "fine" or "coarse".
    weights : str
        How often each cause is met: "ours" or "trade".

    Returns
    -------
    Knowledge
        With an instructor's own tables in place of ours, where there are some.

    Raises
    ------
    ValueError
        An unknown design, gauge or table of weights; the sentence names those there are.
    DatasetError
        An own table that is not what it should be.

    References
    ----------
    Needles: computed with the rig. Eyes, ears and weights: invented teaching values.

    Examples
    --------
    >>> known = knowledge("Alder")
    >>> known.causes[0], round(float(known.prior.sum()), 9), known.outcomes["tap"]
    ('sound', 1.0, ('stays', 'jumps'))
    """
    if weights not in WEIGHTS:
        raise ValueError(f"There are no weights '{weights}'; there are {', '.join(WEIGHTS)}.")
    causes(design), gauge_kind(gauge)
    return _known(design, gauge, weights, (stamp("causes"), stamp("eyes_and_ears")))


@lru_cache(maxsize=24)
def _known(design: str, gauge: str, weights: str, stamps: tuple[int, ...]) -> Knowledge:
    names, keys = causes(design), tests(design)
    states = _states(design, gauge)
    cause_of = np.array([names.index(cause) for cause in states.cause])
    counts = np.bincount(cause_of, minlength=len(names))
    if not counts.all():
        missing = names[int(np.argmin(counts))]
        raise datasets.DatasetError(f"datasets/{TABLES[design]}.csv lacks {missing}.")
    rows, own = with_own("causes", "cause")
    prior = np.array([rows[name][f"weight_{weights}"] for name in names])
    own += with_own("eyes_and_ears", "how")[1]
    outcomes, likelihood = {}, {}
    for key in keys:
        if key in NEEDLE_OUTCOMES:
            outcomes[key], likelihood[key] = _needle(key, states, cause_of)
        else:
            outcomes[key] = sense_outcomes(key)
            likelihood[key] = sense_table(key, states.faults, states.leaks)
    for array in (prior, cause_of, *likelihood.values()):
        array.setflags(write=False)
    return Knowledge(
        design, gauge, names, prior / prior.sum(), cause_of, 1 / counts[cause_of], keys, outcomes, likelihood, own
    )


@dataclass(frozen=True)
class _States:
    """The rows of a design's table on one gauge, column by column."""

    cause: list[str]
    faults: list[dict[str, float]]
    leaks: list[dict[str, float]]
    letters: dict[str, list[str]]


@lru_cache(maxsize=10)
def _states(design: str, gauge: str) -> _States:
    columns = datasets.table(TABLES[design])
    kept = [at for at, one in enumerate(columns["gauge"]) if one == gauge]
    pick = {name: [cells[at] for at in kept] for name, cells in columns.items()}
    sizes = [_pairs(cell) for cell in pick["faults"]], [_pairs(cell) for cell in pick["leaks_kg_s"]]
    return _States(pick["cause"], *sizes, {key: pick[key] for key in NEEDLE_OUTCOMES})


def _pairs(cell: str) -> dict[str, float]:
    return {name: float(value) for name, _, value in (one.rpartition(":") for one in cell.split(";") if one)}


def _needle(key: str, states: _States, cause_of: np.ndarray) -> tuple[tuple[str, ...], np.ndarray]:
    """Outcomes of an examination on a gauge, and how likely each state shows them."""
    names = NEEDLE_OUTCOMES[key]
    shown = np.zeros((len(states.cause), len(names)))
    for at, cell in enumerate(states.letters[key]):
        for letter in cell:
            shown[at, ord(letter) - ord("a")] += 1
    chances = smoothed(shown, cause_of, [tuple(one) for one in states.faults], states.cause)
    if key != "new_seat":
        return names, chances
    seats = old_seat_table(states.faults)
    both = (chances[:, :, None] * seats[:, None, :]).reshape(len(chances), -1)
    return tuple(f"{needle}, {seat}" for needle in names for seat in OLD_SEAT), both


def smoothed(shown: np.ndarray, cause_of: np.ndarray, faults: list[tuple[str, ...]], names: list[str]) -> np.ndarray:
    """Chances of every outcome from what the states showed.

    Parameters
    ----------
    shown : array, shape (states, outcomes)
        How often each state showed each outcome.
    cause_of : array, shape (states,)
        The cause of each state; states of one cause stand in the order of severity.
    faults : list of tuple of str
        The faults of each state.
    names : list of str
        The cause of each state by name.

    Returns
    -------
    numpy.ndarray, shape (states, outcomes)
        Above 0; rows sum to 1.

    References
    ----------
    Ours: `LIKE`, `LESS_LIKE`, `FAR`, `UNIFORM`. Of other pairs, those that share a fault are alike.

    Examples
    --------
    >>> chances = smoothed(np.eye(2)[[0, 0, 1]], np.zeros(3, int), [("grit",)] * 3, ["grit"] * 3)
    >>> chances.argmax(axis=1).tolist(), chances.sum(axis=1).round(9).tolist()
    ([0, 0, 1], [1.0, 1.0, 1.0])
    """
    once = shown / shown.sum(axis=1, keepdims=True)
    total = shown + UNIFORM / shown.shape[1]
    for cause in np.unique(cause_of):
        at = np.flatnonzero(cause_of == cause)
        own = once[at]
        if names[at[0]] == ANOTHER:
            total[at] += FAR * _sharing(own, [faults[one] for one in at])
            continue
        total[at] += FAR * own.mean(axis=0)
        for step, weight in ((1, LIKE), (2, LESS_LIKE)):
            total[at[step:]] += weight / 2 * own[:-step]
            total[at[:-step]] += weight / 2 * own[step:]
    return np.asarray(total / total.sum(axis=1, keepdims=True))


def _sharing(once: np.ndarray, faults: list[tuple[str, ...]]) -> np.ndarray:
    """What the pairs that share a fault with each pair show on average."""
    keys = sorted({key for pair in faults for key in pair})
    has = np.array([[key in pair for key in keys] for pair in faults], float)
    by_fault = has.T @ once / has.sum(axis=0)[:, None]
    return np.asarray(has @ by_fault / has.sum(axis=1, keepdims=True))
