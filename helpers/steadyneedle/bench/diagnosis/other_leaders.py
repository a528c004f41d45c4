"""What would change your mind: outcomes that would take the lead from the likeliest cause, or much of its chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.diagnosis.beliefs import belief
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.spoken import first_large, percent, words_of_cause, words_of_test
from steadyneedle.bench.diagnosis.stacked import joint, stacked
from steadyneedle.bench.diagnosis.workbench import Workbench

HARDLY_EVER = 0.01
"""An outcome less likely than this is not waited for (ours)."""


@dataclass(frozen=True)
class Turning:
    """An outcome that would move the leader: how likely it is, the leader's chance now and then, who would lead then.

    `per_minute` is what it takes from the leader on average, a minute: chance of the outcome times the fall.
    """

    test: str
    outcome: str
    chance: float
    leader: str
    now: float
    then: float
    new_leader: str
    of_new: float
    per_minute: float

    @property
    def because(self) -> str:
        """One sentence with numbers."""
        falls = f"{words_of_cause(self.leader)} falls from {percent(self.now)} to {percent(self.then)}"
        shown = (
            f'{first_large(words_of_test(self.test))}: if it shows "{self.outcome}" ({percent(self.chance)}), {falls}'
        )
        if self.new_leader == self.leader:
            return f"{shown} and still leads."
        return f"{shown}, and {words_of_cause(self.new_leader)} leads ({percent(self.of_new)})."


def change_of_mind(knowledge: Knowledge, findings: Sequence[tuple[str, str]], bench: Workbench) -> tuple[Turning, ...]:
    """Which outcomes of which tests would move the likeliest cause down.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.
    findings : sequence of (test, outcome)
        In the order in which they were found.
    bench : Workbench
        What each test costs.

    Returns
    -------
    tuple of Turning
        Most per minute first; only outcomes that lower the leader, and that are not all but impossible.

    Raises
    ------
    ValueError
        An unknown finding; the sentence names the known ones.

    References
    ----------
    Bayes' rule one test ahead: definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> change_of_mind(TOY, [("watch", "climbs")], TOY_BENCH)[0].because
    'Tap the gauge: if it shows "jumps" (6 %), seat falls from 75 % to 25 %, and gauge leads (68 %).'
    """
    after, layout = belief(knowledge, findings), stacked(knowledge)
    done = tuple(test for test, _ in after.findings)
    both = joint(layout, after.states)
    chances = both.sum(axis=0)
    posterior = both / np.maximum(chances, 1e-300)
    leader = int(np.argmax(after.chances))
    names = [(test, outcome) for test in layout.tests for outcome in knowledge.outcomes[test]]
    found = []
    for n, (test, outcome) in enumerate(names):
        fall = after.of_leader - float(posterior[leader, n])
        weight = bench.weight(test, done)
        if chances[n] < HARDLY_EVER or fall <= 0 or not np.isfinite(weight):
            continue
        new = int(np.argmax(posterior[:, n]))
        found.append(Turning(
            test, outcome, float(chances[n]), after.leader, after.of_leader, float(posterior[leader, n]),
            knowledge.causes[new], float(posterior[new, n]), float(chances[n]) * fall / weight,
        ))  # fmt: skip
    return tuple(sorted(found, key=lambda one: -one.per_minute))
