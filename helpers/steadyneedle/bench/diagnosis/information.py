"""How much there is to learn: entropy, what a test is expected to tell, and what knowing is worth. Bits and payoffs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.diagnosis.beliefs import Belief
from steadyneedle.bench.diagnosis.stacked import joint, stacked


def entropy(weights: ArrayLike, axis: int = 0) -> np.ndarray:
    """How unsure one is.

    Parameters
    ----------
    weights : array
        Chances, or anything proportional to them; none below 0.
    axis : int
        Along which they are the chances of one question.

    Returns
    -------
    array
        Entropy [bit]; 0 where one is certain.

    Raises
    ------
    ValueError
        A weight below 0, or none above.

    References
    ----------
    Shannon's definition.

    Examples
    --------
    >>> float(entropy([0.5, 0.5])), float(entropy([7, 0, 0])), round(float(entropy([9, 5])), 2)
    (1.0, 0.0, 0.94)
    """
    given = np.asarray(weights, dtype=float)
    total = given.sum(axis=axis)
    if not np.all(given >= 0) or not np.all(total > 0) or not np.all(np.isfinite(total)):
        raise ValueError("Chances are numbers from 0 on, not all of them 0.")
    return np.log2(total) - times_log(given).sum(axis=axis) / total


def information(prior: ArrayLike, likelihood: ArrayLike) -> float:
    """What a test is expected to tell about a question.

    Parameters
    ----------
    prior : array, shape (answers,)
        How likely each answer is.
    likelihood : array, shape (answers, outcomes)
        How likely each answer makes each outcome; rows sum to 1.

    Returns
    -------
    float
        Entropy before less expected entropy after [bit]; never below 0.

    References
    ----------
    Shannon's definition of mutual information.

    Examples
    --------
    >>> information([0.5, 0.5], [[1, 0], [0, 1]])
    1.0
    >>> information([0.5, 0.3, 0.2], [[0.1, 0.3, 0.6], [0.3, 0.4, 0.3], [0.5, 0.4, 0.1]]) > 0.16
    True
    """
    both = np.asarray(prior, dtype=float)[:, None] * np.asarray(likelihood, dtype=float)
    return float(_told(both))


def _told(both: np.ndarray) -> np.ndarray:
    """Mutual information of a joint table (answers, outcomes) that sums to 1 [bit]."""
    told = entropy(both.sum(axis=1)) + times_log(both).sum() - times_log(both.sum(axis=0)).sum()
    return np.maximum(told, 0.0)


def expected_information(after: Belief) -> dict[str, float]:
    """What each test is expected to tell about the cause, done next.

    Parameters
    ----------
    after : Belief
        What is believed now.

    Returns
    -------
    dict
        Test to bits, in the order of the tests.

    References
    ----------
    Shannon's definition of mutual information, between cause and outcome; severities are summed over, not told.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> bits = expected_information(belief(TOY, []))
    >>> max(bits, key=bits.get), round(bits["listen"], 2)
    ('look', 0.22)
    """
    layout = stacked(after.knowledge)
    both = joint(layout, after.states)
    of_outcomes = times_log(both).sum(axis=0) - times_log(both.sum(axis=0))
    told = entropy(after.chances) + np.add.reduceat(of_outcomes, layout.starts)
    return dict(zip(layout.tests, np.maximum(told, 0.0).tolist(), strict=True))


def times_log(weights: np.ndarray) -> np.ndarray:
    """w log2(w), where 0 log2(0) is 0.

    Parameters
    ----------
    weights : array
        None below 0.

    Returns
    -------
    array
        Of the same shape [bit, times the weights' own unit].

    References
    ----------
    Definition.

    Examples
    --------
    >>> times_log(np.array([0.0, 4.0])).tolist()
    [0.0, 8.0]
    """
    return weights * np.log2(np.where(weights > 0, weights, 1.0))


@dataclass(frozen=True)
class Knowing:
    """Expected payoffs: of the best act now, after the test, and if one knew; and how likely each outcome is."""

    now: float
    with_test: float
    if_known: float
    outcomes: np.ndarray
    posteriors: np.ndarray
    best_after: tuple[int, ...]

    @property
    def value(self) -> float:
        """What the test is worth, before its price."""
        return self.with_test - self.now

    @property
    def perfect(self) -> float:
        """What certainty would be worth: no test is worth more."""
        return self.if_known - self.now


def value_of_information(prior: ArrayLike, likelihood: ArrayLike, payoffs: ArrayLike) -> Knowing:
    """What a test is worth to somebody who must act.

    Parameters
    ----------
    prior : array, shape (answers,)
        How likely each answer is.
    likelihood : array, shape (answers, outcomes)
        How likely each answer makes each outcome.
    payoffs : array, shape (acts, answers)
        What each act brings with each answer, in one unit of any kind.

    Returns
    -------
    Knowing
        Expected payoffs now, with the test and with certainty; posteriors (answers, outcomes); the best act after each.

    References
    ----------
    Expected value of sample and of perfect information: definition.

    Examples
    --------
    >>> known = value_of_information([0.5, 0.5], [[0.9, 0.1], [0.2, 0.8]], [[10, -10], [0, 0]])
    >>> known.now, round(known.value, 3), known.perfect, known.best_after
    (0.0, 3.5, 5.0, (0, 1))
    """
    chances, acts = np.asarray(prior, dtype=float), np.asarray(payoffs, dtype=float)
    both = chances[:, None] * np.asarray(likelihood, dtype=float)
    of_outcome = both.sum(axis=0)
    posteriors = np.divide(both, of_outcome, out=np.zeros_like(both), where=of_outcome > 0)
    return Knowing(
        now=float((acts @ chances).max()),
        with_test=float((acts @ both).max(axis=0).sum()),
        if_known=float(acts.max(axis=0) @ chances),
        outcomes=of_outcome,
        posteriors=posteriors,
        best_after=tuple((acts @ posteriors).argmax(axis=0).tolist()),
    )
