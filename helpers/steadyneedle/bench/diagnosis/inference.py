"""What is believed of hidden states after tests, and what a further test is worth. No trade in it.

A hidden state belongs to one cause; a cause has many states (how bad it is, which gauge). Findings are independent only
given the state, never given the cause: three tests on one hidden severity say less than three tests on three.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.special import xlogy

FLOOR = 1e-300
"""Below it a product of chances counts as nothing left: the findings contradict one another."""


@dataclass(frozen=True)
class Model:
    """Hidden states and what tests show in them.

    Parameters
    ----------
    causes : sequence of str
        Their names; C of them.
    cause_of : numpy.ndarray of int, shape (S,)
        Which cause each state belongs to, in rising order, each cause at least once.
    prior : numpy.ndarray, shape (S,)
        Weight of each state before any test, 0 or more, with a sum above 0.
    tables : mapping of str to numpy.ndarray, each of shape (outcomes, S)
        For each test the chance of each of its outcomes in each state; each column adds to 1.

    Raises
    ------
    ValueError
        Shapes that do not fit, a cause without a state, negative weights, columns that do not add to 1.

    References
    ----------
    Bayes' rule; Lindley (1956), On a measure of the information provided by an experiment, for what a test is worth.

    Examples
    --------
    >>> screening = Model(("ill", "well"), [0, 1], [0.01, 0.99], {"test": [[0.80, 0.096], [0.20, 0.904]]})
    >>> print(screening.by_cause(screening.weights([("test", 0)])).round(4))
    [0.0776 0.9224]
    """

    causes: Sequence[str]
    cause_of: np.ndarray
    prior: np.ndarray
    tables: Mapping[str, np.ndarray]

    def __post_init__(self) -> None:
        cause_of, prior = np.asarray(self.cause_of, dtype=int), np.asarray(self.prior, dtype=float)
        if cause_of.shape != prior.shape or cause_of.ndim != 1:
            raise ValueError("cause_of and prior must have one entry for each state.")
        if np.any(np.diff(cause_of) < 0) or set(cause_of.tolist()) != set(range(len(self.causes))):
            raise ValueError("cause_of must rise, and name each cause at least once.")
        if not np.all(prior >= 0) or not prior.sum() > 0:
            raise ValueError("prior must not be negative, and must have a sum above 0.")
        tables = {name: np.asarray(table, dtype=float) for name, table in self.tables.items()}
        for name, table in tables.items():
            if table.ndim != 2 or table.shape[1] != prior.size or not np.allclose(table.sum(axis=0), 1, atol=1e-6):
                raise ValueError(f"The table of '{name}' must have a column for each state that adds to 1.")
        object.__setattr__(self, "cause_of", cause_of)
        object.__setattr__(self, "prior", prior / prior.sum())
        object.__setattr__(self, "tables", tables)

    @cached_property
    def _first(self) -> np.ndarray:
        """Index of the first state of each cause."""
        return np.searchsorted(self.cause_of, np.arange(len(self.causes)))

    def weights(self, findings: Iterable[tuple[str, int]], start: np.ndarray | None = None) -> np.ndarray:
        """Weight of each state after findings, with sum 1; where they contradict one another, all zero.

        Parameters
        ----------
        findings : iterable of tuple
            Name of a test and index of the outcome it showed.
        start : numpy.ndarray of shape (S,) or None
            Weights before them; None for the prior.
        """
        kept = self.prior if start is None else start
        for test, outcome in findings:
            kept = kept * self.tables[test][outcome]
        total = kept.sum()
        return kept / total if total > FLOOR else np.zeros_like(kept)

    def by_cause(self, weights: np.ndarray) -> np.ndarray:
        """Sum of weights over the states of each cause; the states stand on the last axis."""
        return np.add.reduceat(weights, self._first, axis=-1)

    def outcomes(self, weights: np.ndarray, test: str) -> np.ndarray:
        """Chance of each outcome of a test, and of each cause with it: shape (outcomes, C)."""
        return self.by_cause(self.tables[test] * weights)


def entropy(chances: np.ndarray) -> np.ndarray:
    """Entropy of chances along the last axis.

    Parameters
    ----------
    chances : array_like
        0 or more; they are divided by their sum.

    Returns
    -------
    numpy.ndarray
        In bits; 0 where the sum is 0.

    References
    ----------
    Shannon (1948), A Mathematical Theory of Communication.

    Examples
    --------
    >>> print(entropy([9, 5]).round(3))
    0.94
    """
    chances = np.asarray(chances, dtype=float)
    total = chances.sum(axis=-1, keepdims=True)
    share = np.divide(chances, total, out=np.zeros_like(chances), where=total > 0)
    return -xlogy(share, share).sum(axis=-1) / np.log(2)


def information(model: Model, weights: np.ndarray, test: str) -> float:
    """What a test is expected to tell about the cause.

    Parameters
    ----------
    model : Model
        States and tests.
    weights : numpy.ndarray of shape (S,)
        What is believed now, with sum 1.
    test : str
        Name of a test.

    Returns
    -------
    float
        Expected fall of the entropy over causes [bit], 0 or more.

    References
    ----------
    Lindley (1956), Annals of Mathematical Statistics 27(4), 986-1005.

    Examples
    --------
    >>> oil = Model(("dry", "wet", "soaking"), [0, 1, 2], [0.5, 0.3, 0.2],
    ...             {"sounding": [[0.1, 0.3, 0.5], [0.3, 0.4, 0.4], [0.6, 0.3, 0.1]]})
    >>> round(information(oil, oil.prior, "sounding"), 4)
    0.1604
    """
    return float(_bits(model, weights, [test])[0])


def _bits(model: Model, weights: np.ndarray, tests: Sequence[str]) -> np.ndarray:
    """Expected fall of the entropy over causes [bit] by each of some tests, from one product with all their tables."""
    joint = model.by_cause(np.concatenate([model.tables[test] for test in tests]) * weights)
    ends = np.cumsum([0, *(model.tables[test].shape[0] for test in tests)])
    seen = joint.sum(axis=1)
    # sum of p log p over outcome and cause, less that over outcomes: the entropy left, each part of it
    left = np.add.reduceat(xlogy(seen, seen) - xlogy(joint, joint).sum(axis=1), ends[:-1]) / np.log(2)
    return np.maximum(0.0, entropy(model.by_cause(weights)) - left)


@dataclass(frozen=True)
class Worth:
    """What a test is worth: its name, what it costs, and by the goal either bits or the expected cost from here on."""

    test: str
    price: float
    bits: float
    to_go: float


def by_information(model: Model, weights: np.ndarray, prices: Mapping[str, float]) -> list[Worth]:
    """Tests by the information they are expected to give for their price, the best first.

    Parameters
    ----------
    model : Model
        States and tests.
    weights : numpy.ndarray of shape (S,)
        What is believed now.
    prices : mapping of str to float
        Each test that may be done, and its price, above 0.

    Returns
    -------
    list of Worth
        Sorted by bits for the price; `to_go` is NaN.

    Examples
    --------
    >>> two = Model(("a", "b"), [0, 1], [0.5, 0.5], {"good": [[1, 0], [0, 1]], "poor": [[0.6, 0.4], [0.4, 0.6]]})
    >>> [(one.test, round(one.bits, 3)) for one in by_information(two, two.prior, {"good": 2, "poor": 1})]
    [('good', 1.0), ('poor', 0.029)]
    """
    bits = _bits(model, weights, list(prices)).tolist()
    worth = [Worth(test, prices[test], told, float("nan")) for test, told in zip(prices, bits, strict=True)]
    return sorted(worth, key=lambda one: (-one.bits / one.price, one.price))


def by_cost(
    model: Model, weights: np.ndarray, prices: Mapping[str, float], confidence: float, cap: float
) -> list[Worth]:
    """Tests by the expected price from here until one cause is believed with a stated confidence, the least first.

    Parameters
    ----------
    model : Model
        States and tests.
    weights : numpy.ndarray of shape (S,)
        What is believed now.
    prices : mapping of str to float
        Each test that may be done, and its price, above 0.
    confidence : float
        Between 0 and 1.
    cap : float
        What it costs to end without knowing, above 0.

    Returns
    -------
    list of Worth
        Sorted by `to_go`; `bits` is what each tells.

    Notes
    -----
    A lookahead of two: each test, each of its outcomes, then the best single other test to go, or none; what that one
    leaves open ends at the cap.

    Examples
    --------
    >>> two = Model(("a", "b"), [0, 1], [0.5, 0.5], {"good": [[1, 0], [0, 1]], "poor": [[0.6, 0.4], [0.4, 0.6]]})
    >>> [(one.test, round(one.to_go, 1)) for one in by_cost(two, two.prior, {"good": 2, "poor": 1}, 0.95, 10)]
    [('good', 2.0), ('poor', 3.0)]
    """
    names = list(prices)
    ends = np.cumsum([0, *(model.tables[name].shape[0] for name in names)])
    price = np.array([prices[name] for name in names])
    of_test = np.repeat(np.arange(len(names)), np.diff(ends))
    stacked = np.concatenate([model.tables[name] for name in names])
    after = stacked * weights
    chance = after.sum(axis=1)
    after = np.divide(after, chance[:, None], out=np.zeros_like(after), where=chance[:, None] > FLOOR)
    open_still = model.by_cause(after).max(axis=1) < confidence
    # only what is still open after the first test needs a second one; the rest costs nothing more
    to_go = np.zeros(chance.size)
    for row in np.flatnonzero(open_still & (chance > 0)):
        joint = model.by_cause(stacked * after[row])
        seen = joint.sum(axis=1)
        told = np.where(joint.max(axis=1) >= confidence * seen, seen, 0.0)
        success = np.add.reduceat(told, ends[:-1])
        then = price + (1 - success) * cap
        then[of_test[row]] = cap  # done already: once more it would show the same
        to_go[row] = min(cap, float(then.min()))
    total = price + np.add.reduceat(chance * to_go, ends[:-1])
    bits = _bits(model, weights, names)
    worth = [
        Worth(name, *numbers)
        for name, *numbers in zip(names, price.tolist(), bits.tolist(), total.tolist(), strict=True)
    ]
    return sorted(worth, key=lambda one: (one.to_go, -one.bits / one.price))
