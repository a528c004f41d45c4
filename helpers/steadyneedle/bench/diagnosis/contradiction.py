"""Findings that no regulator of ours shows together, or hardly any shows at all.

The rule, which knows no order: the findings of one test are taken out, and the others say how likely they are. They
are doubted below `HARDLY_ANY`, or below `SELDOM` where that is also less than `PART_OF_USUAL` of how often the test
shows so in general. Honest findings are doubted seldom, because such chances are by definition seldom met.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.spoken import words_of_test

HARDLY_ANY = 0.005
"""Ours: one regulator in two hundred."""

SELDOM, PART_OF_USUAL = 0.02, 0.05
"""Ours: one regulator in fifty, and a twentieth of what is usual."""


@dataclass(frozen=True)
class Doubt:
    """Outcomes of one test, how likely the other findings make them, and how often they are met in general."""

    design: str
    test: str
    outcomes: tuple[str, ...]
    chance: float
    usual: float
    alone: bool

    @property
    def because(self) -> str:
        """One sentence that says what does not fit, and one that says what to do."""
        seen = f"{words_of_test(self.test)}: {' and '.join(self.outcomes)}"
        rare = f"about one regulator in {_round(1 / self.chance):,}" if self.chance > 1e-6 else "none"
        if self.alone:
            return f"Hardly any regulator of ours shows this ({seen}: {rare}). Do that test once more."
        of_these = f"of those that show the rest, {rare} shows this ({seen})"
        return f"No regulator of ours shows all of this: {of_these}. Do that test once more before you go by it."


def doubts_of(knowledge: Knowledge, findings: Sequence[tuple[str, str]]) -> tuple[Doubt, ...]:
    """Which findings do not fit the others.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.
    findings : sequence of (test, outcome)
        Known ones, as `beliefs.checked` gives them.

    Returns
    -------
    tuple of Doubt
        The worst first; empty where all fit.

    References
    ----------
    Ours; each chance is a predictive probability, by definition. A chance at most a twentieth of the usual one comes to
    at most one honest test in twenty (Markov's inequality).

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> doubts_of(TOY, [("listen", "hiss")])
    ()
    >>> odd = doubts_of(TOY, [("listen", "hiss"), ("soap", "bubbles"), ("look", "cut"), ("look", "cut")])
    >>> [one.test for one in odd]
    ['look']
    """
    tests = sorted({test for test, _ in findings})
    if not tests:
        return ()
    each = np.array([_log_chance(knowledge, test, findings) for test in tests])
    with np.errstate(divide="ignore"):
        prior = np.log(knowledge.prior[knowledge.cause_of] * knowledge.within)
    others = prior + each.sum(axis=0) - each
    weights = np.exp(others - others.max(axis=1, keepdims=True))
    chances = (weights * np.exp(each)).sum(axis=1) / weights.sum(axis=1)
    usual = np.exp(each) @ np.exp(prior)
    found = []
    for test, chance, normally in zip(tests, chances.tolist(), usual.tolist(), strict=True):
        if chance < HARDLY_ANY or (chance < SELDOM and chance < PART_OF_USUAL * normally):
            seen = tuple(outcome for one, outcome in findings if one == test)
            found.append(Doubt(knowledge.design, test, seen, chance, normally, len(tests) == 1))
    return tuple(sorted(found, key=lambda one: one.chance))


def _log_chance(knowledge: Knowledge, test: str, findings: Sequence[tuple[str, str]]) -> np.ndarray:
    """Logarithm of the chance of all that one test showed, state by state."""
    table, names = knowledge.likelihood[test], knowledge.outcomes[test]
    return np.sum([np.log(table[:, names.index(outcome)]) for one, outcome in findings if one == test], axis=0)


def _round(count: float) -> int:
    """Two figures are enough for how rare something is."""
    return int(float(f"{count:.1e}"))
