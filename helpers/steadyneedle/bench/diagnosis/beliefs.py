"""What to believe after any findings: how likely each cause is, exactly, from the states of a design's regulators.

Findings are independent only given the state (which regulator, how bad, which gauge). So the product of their chances
is taken state by state and summed into causes last; to multiply cause by cause would count one hidden severity twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from steadyneedle.bench.diagnosis.contradiction import Doubt, doubts_of
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.spoken import percent, words_of_cause

NOT_DONE = "not done"
"""An outcome of every test: it was left out, and says nothing."""


@dataclass(frozen=True, eq=False)
class Belief:
    """`states` (states,) and `chances` (causes,) each sum to 1; `findings` are those that say something, in order."""

    knowledge: Knowledge
    findings: tuple[tuple[str, str], ...]
    states: np.ndarray
    chances: np.ndarray

    @property
    def leader(self) -> str:
        """Key of the most likely cause; of two alike the first."""
        return self.knowledge.causes[int(np.argmax(self.chances))]

    @property
    def of_leader(self) -> float:
        """How likely the leader is."""
        return float(np.max(self.chances))

    @property
    def by_cause(self) -> dict[str, float]:
        """Cause to probability."""
        return dict(zip(self.knowledge.causes, self.chances.tolist(), strict=True))

    @cached_property
    def doubts(self) -> tuple[Doubt, ...]:
        """Findings that do not fit the others, or that hardly any regulator shows; the worst first."""
        return doubts_of(self.knowledge, self.findings)

    @property
    def because(self) -> str:
        """The three likeliest causes in one sentence, and what is doubted in others."""
        likely = np.argsort(-self.chances, kind="stable")[:3]
        told = [f"{words_of_cause(self.knowledge.causes[n])} ({percent(float(self.chances[n]))})" for n in likely]
        return " ".join((f"Most likely: {'; '.join(told)}.", *(one.because for one in self.doubts)))


def belief(knowledge: Knowledge, findings: Sequence[tuple[str, str]]) -> Belief:
    """How likely each cause is after any findings, in any order.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.
    findings : sequence of (test, outcome)
        As `knowledge` names them; a test may stand several times, "not done" says nothing.

    Returns
    -------
    Belief
        Weights of states, chances of causes, and doubts. Contradictory findings have one too.

    Raises
    ------
    ValueError
        An unknown test or outcome, or something that is no list of pairs; the sentence names the known ones.

    References
    ----------
    Bayes' rule over the states, summed into causes: definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> after = belief(TOY, [("listen", "hiss"), ("watch", "not done")])
    >>> after.leader, round(after.of_leader, 3)
    ('seal', 0.913)
    """
    said = checked(knowledge, findings)
    # sorted: the same findings in another order give the same number to the last bit
    columns = [knowledge.likelihood[test][:, knowledge.outcomes[test].index(outcome)] for test, outcome in sorted(said)]
    weights = before(knowledge)
    if columns:
        with np.errstate(divide="ignore"):  # a state that an instructor's table rules out
            logs = np.log(weights)
        logs += np.log(np.array(columns)).sum(axis=0)
        logs -= logs.max()
        weights = np.exp(logs)
        weights /= weights.sum()
    chances = np.bincount(knowledge.cause_of, weights, len(knowledge.causes))
    return Belief(knowledge, said, weights, chances)


def before(knowledge: Knowledge) -> np.ndarray:
    """How likely each state is before anything is tested.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.

    Returns
    -------
    array, shape (states,)
        Sums to 1.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> round(float(before(TOY).sum()), 12)
    1.0
    """
    return knowledge.prior[knowledge.cause_of] * knowledge.within


def checked(knowledge: Knowledge, findings: Sequence[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Findings that say something, each a known test with a known outcome.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.
    findings : sequence of (test, outcome)
        As given.

    Returns
    -------
    tuple of (str, str)
        Without those that were not done.

    Raises
    ------
    ValueError
        An unknown test or outcome, or something that is no list of pairs; the sentence names the known ones.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> checked(TOY, [("listen", "hiss"), ("watch", "not done")])
    (('listen', 'hiss'),)
    >>> checked(TOY, [("listen", "rattle")])
    Traceback (most recent call last):
        ...
    ValueError: "rattle" is no outcome of "listen". Known are: hiss, quiet, not done.
    """
    if not isinstance(findings, Sequence) or isinstance(findings, str | bytes):
        raise ValueError(f"Findings are a list of pairs (test, outcome), not {_shown(findings)}. {_known(knowledge)}")
    said = []
    for one in findings:
        if not isinstance(one, tuple | list) or len(one) != 2:
            raise ValueError(f"A finding is a pair (test, outcome), not {_shown(one)}. {_known(knowledge)}")
        test, outcome = one
        if not isinstance(test, str) or test not in knowledge.outcomes:
            raise ValueError(f"{knowledge.design} has no test {_shown(test)}. {_known(knowledge)}")
        if not isinstance(outcome, str) or outcome not in (*knowledge.outcomes[test], NOT_DONE):
            known = ", ".join((*knowledge.outcomes[test], NOT_DONE))
            raise ValueError(f'{_shown(outcome)} is no outcome of "{test}". Known are: {known}.')
        if outcome != NOT_DONE:
            said.append((test, outcome))
    return tuple(said)


def _known(knowledge: Knowledge) -> str:
    return f"Known tests are: {', '.join(knowledge.tests)}."


def _shown(thing: object) -> str:
    text = f'"{thing}"' if isinstance(thing, str) and thing.isprintable() else repr(thing)
    return text if len(text) <= 60 else f"{text[:57]}..."
