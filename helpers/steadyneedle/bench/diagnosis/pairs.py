"""Which examination tells two faults apart: the words for one, at whatever severity, are never those for the other."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from steadyneedle.bench.diagnosis.examinations import EXAMINATIONS, SOUND, findings
from steadyneedle.foundation import datasets
from steadyneedle.foundation.datasets import Computed
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.stages import FirstStage

NONE = "none on the bench"
"""What stands for the examination where no examination tells two faults apart."""


def severities(fault: str) -> tuple[tuple[float, int], ...]:
    """Severities and seeds at which a fault is examined.

    Parameters
    ----------
    fault : str
        Key of a fault, or "sound".

    Returns
    -------
    tuple
        Pairs of severity, 0 to 1, and seed.

    References
    ----------
    Our choice: least, middle and most; four seeds where chance has a part.

    Examples
    --------
    >>> severities("seat_dished")
    ((0.0, 1), (0.5, 1), (1.0, 1))
    """
    if fault == SOUND:
        return ((0.0, 1),)
    seeds = (1, 2, 3, 4) if fault in ("grit", "diaphragm_stiff", "sticky") else (1,)
    return tuple((severity, seed) for severity in (0.0, 0.5, 1.0) for seed in seeds)


def seen_of(design: str, fault: str) -> dict[str, tuple[str, ...]]:
    """What every examination can show of a fault, over its severities.

    Parameters
    ----------
    design : str
        Name of a first stage.
    fault : str
        Key of a fault, or "sound".

    Returns
    -------
    dict
        Examination to the sorted words it can end in.

    Raises
    ------
    ValueError
        As `findings`.

    References
    ----------
    As `findings`.

    Examples
    --------
    >>> seen_of("Alder", "sound")["tap the gauge"]
    ('stays',)
    """
    found = [findings(design, fault, severity, seed) for severity, seed in severities(fault)]
    return {one: tuple(sorted({seen[one] for seen in found})) for one in EXAMINATIONS}


def tells_apart(one: Mapping[str, tuple[str, ...]], other: Mapping[str, tuple[str, ...]]) -> str:
    """The first examination that tells two faults apart at any severity; empty where none does.

    Parameters
    ----------
    one, other : mapping
        What every examination can show, as `seen_of`.

    Returns
    -------
    str
        One of `EXAMINATIONS`, or "".

    References
    ----------
    Definition.

    Examples
    --------
    >>> tells_apart(seen_of("Alder", "seat_nicked"), seen_of("Alder", "edge_or_static_seal"))
    'fit a new seat'
    """
    return next((name for name in EXAMINATIONS if not set(one[name]) & set(other[name])), "")


def telling_apart(design: str, faults: Sequence[str] | None = None) -> list[tuple[str, ...]]:
    """For each pair of faults, the cheapest examination that tells them apart; "sound" stands with every fault.

    Parameters
    ----------
    design : str
        Name of a first stage.
    faults : sequence of str or None
        Keys of faults; None for all that the design can have.

    Returns
    -------
    list of tuple of str
        Rows: design, one, other, examination ("none on the bench" where none does), what each shows.

    Raises
    ------
    ValueError
        As `findings`.

    References
    ----------
    Computed with the rig; `datasets/telling_apart.csv` keeps the rows of every design.

    Examples
    --------
    >>> telling_apart("Alder", ["seat_nicked"])[0][1:4]
    ('sound', 'seat_nicked', 'watch the needle for three minutes')
    """
    keys = (SOUND, *(Fault.keys(design) if faults is None else faults))
    seen = {key: seen_of(design, key) for key in keys}
    rows = []
    for one, other in itertools.combinations(keys, 2):
        name = tells_apart(seen[one], seen[other])
        words = [" or ".join(seen[key][name]) if name else "the same" for key in (one, other)]
        rows.append((design, one, other, name or NONE, *words))
    return rows


def pairs_told() -> dict[str, int]:
    """How many pairs each examination tells apart, as `datasets/telling_apart.csv` has them, and how many none does.

    Parameters
    ----------

    Returns
    -------
    dict
        Examination, in the order of their cost, then "none on the bench", to a number of pairs.

    References
    ----------
    Counted in the dataset, which is computed with the rig.

    Examples
    --------
    >>> told = pairs_told()
    >>> told["watch the needle for three minutes"] > told["open and inspect"], told[NONE] > 0
    (True, True)
    """
    actions = datasets.table("telling_apart")["action"]
    return {one: actions.count(one) for one in (*EXAMINATIONS, NONE)}


def _dataset_rows(design: str) -> list[tuple[str, ...]]:
    return [(*row, "computed: examinations on the rig") for row in telling_apart(design)]


TELLING_APART = Computed(
    ("design", "one", "other", "action", "one_shows", "other_shows", "source"), FirstStage.names, _dataset_rows
)
