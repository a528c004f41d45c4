"""All tests of a design beside one another, so that what any outcome would change is one product of matrices."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from steadyneedle.bench.diagnosis.knowledge import Knowledge


@dataclass(frozen=True, eq=False)
class Stacked:
    """`columns` (states, all outcomes) sorted by cause; `order` sorts states; test n begins at column `starts[n]`.

    `spans` gives the states of each cause after sorting; `test_of` the test of each column.
    """

    tests: tuple[str, ...]
    columns: np.ndarray
    order: np.ndarray
    starts: np.ndarray
    test_of: np.ndarray
    spans: tuple[slice, ...]


@lru_cache(maxsize=16)
def stacked(knowledge: Knowledge) -> Stacked:
    """All tests side by side.

    Parameters
    ----------
    knowledge : Knowledge
        Of a design and its gauge.

    Returns
    -------
    Stacked
        Kept for the next call.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> stacked(TOY).columns.shape, stacked(TOY).starts.tolist()
    ((10, 14), [0, 2, 4, 6, 9, 11])
    """
    order = np.argsort(knowledge.cause_of, kind="stable")
    widths = [len(knowledge.outcomes[test]) for test in knowledge.tests]
    ends = np.searchsorted(knowledge.cause_of[order], np.arange(len(knowledge.causes) + 1)).tolist()
    return Stacked(
        tests=knowledge.tests,
        columns=np.ascontiguousarray(np.hstack([knowledge.likelihood[test] for test in knowledge.tests])[order]),
        order=order,
        starts=np.concatenate(([0], np.cumsum(widths)[:-1])),
        test_of=np.repeat(np.arange(len(widths)), widths),
        spans=tuple(slice(one, other) for one, other in itertools.pairwise(ends)),
    )


def joint(layout: Stacked, states: np.ndarray) -> np.ndarray:
    """How likely each cause is together with each outcome of each test, done next.

    Parameters
    ----------
    layout : Stacked
        All tests side by side.
    states : array, shape (states,)
        Weights of the states now.

    Returns
    -------
    array, shape (causes, outcomes)
        The outcomes of one test sum to the cause's chance.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import before
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> joint(stacked(TOY), before(TOY))[:, :2].sum(axis=1).round(6).tolist()
    [0.2, 0.3, 0.2, 0.15, 0.15]
    """
    sorted_states = states[layout.order]
    return np.array([sorted_states[span] @ layout.columns[span] for span in layout.spans])


def joint_of_two(layout: Stacked, states: np.ndarray) -> np.ndarray:
    """How likely each cause is together with each outcome of one test and each of another, or of the same once more.

    Parameters
    ----------
    layout : Stacked
        All tests side by side.
    states : array, shape (states,)
        Weights of the states now.

    Returns
    -------
    array, shape (causes, outcomes, outcomes)
        One product of matrices a cause; nothing is left out.

    References
    ----------
    Definition: two outcomes are independent given the state.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import before
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> both = joint_of_two(stacked(TOY), before(TOY))
    >>> both.shape, round(float(both[:, :2, 6:9].sum()), 12)
    ((5, 14, 14), 1.0)
    """
    sorted_states = states[layout.order]
    parts = [layout.columns[span] for span in layout.spans]
    return np.array([
        part.T @ (sorted_states[span, None] * part) for part, span in zip(parts, layout.spans, strict=True)
    ])  # fmt: skip
