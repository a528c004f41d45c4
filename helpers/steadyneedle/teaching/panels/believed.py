"""What the figures of lesson 04b show of a belief: causes in rows, what the next tests tell, what would change it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from steadyneedle.bench.diagnosis.beliefs import Belief, belief
from steadyneedle.bench.diagnosis.choice import choose
from steadyneedle.bench.diagnosis.information import entropy, expected_information
from steadyneedle.bench.diagnosis.knowledge import Knowledge, knowledge
from steadyneedle.bench.diagnosis.own_tables import LEFT_OUT
from steadyneedle.bench.diagnosis.workbench import workbench
from steadyneedle.foundation.datasets import DatasetError
from steadyneedle.questions.bank.stories import DESIGN, Findings

ENOUGH = 0.95
"""How sure one wants to be before one stops: what the lesson's story sets itself."""


def known(weights: str = "ours") -> Knowledge:
    """What is known of the regulator of the figures, with an instructor's own tables in place of ours.

    Own tables that cannot be used are left out; `trouble` says why.
    """
    try:
        return knowledge(DESIGN, "fine", weights)
    except DatasetError:
        token = LEFT_OUT.set(True)
        try:
            return knowledge(DESIGN, "fine", weights)
        finally:
            LEFT_OUT.reset(token)


def trouble() -> str:
    """What is wrong with an instructor's own tables, as a sentence; empty where nothing is."""
    try:
        knowledge(DESIGN)
    except DatasetError as error:
        return str(error)
    return ""


@lru_cache(maxsize=4096)
def believed(of: Knowledge, findings: Findings) -> Belief:
    """The belief after findings, kept: a slider comes by the same ones again."""
    return belief(of, findings)


@dataclass(frozen=True)
class Worth:
    """A test done next: its minutes, and what part of all that is still open it is expected to tell, 0 to 1.

    `weight` is its minutes as the advice counts them: more where it opens a stage that nobody has opened.
    """

    test: str
    minutes: float
    weight: float
    tells: float

    @property
    def a_minute(self) -> float:
        """What it tells for each of its minutes, as the advice counts them."""
        return self.tells / self.weight


@lru_cache(maxsize=4096)
def worths(of: Knowledge, findings: Findings) -> tuple[Worth, ...]:
    """Every test done next, the one that tells most for its minutes first."""
    after = believed(of, findings)
    still_open = max(float(entropy(after.chances)), 1e-12)
    done, bench = [test for test, _ in after.findings], workbench(of.design)
    told = expected_information(after)
    made = (
        Worth(test, bench.minutes(test, done), bench.weight(test, done), min(told[test] / still_open, 1.0))
        for test in of.tests
    )
    return tuple(sorted(made, key=lambda one: -one.a_minute))


@lru_cache(maxsize=4096)
def advised(of: Knowledge, findings: Findings) -> str | None:
    """The test that the advice names next; None where it says to stop."""
    return choose(of, findings, workbench(of.design), "information", ENOUGH).test


def steps(findings: Findings) -> list[Findings]:
    """The findings one has after none of them, the first, the first two and so on."""
    return [findings[:n] for n in range(len(findings) + 1)]


@lru_cache(maxsize=512)
def cause_rows(of: tuple[Knowledge, ...], findings: Findings, count: int) -> tuple[str, ...]:
    """The causes that have a row of their own: all that lead at any step, then those that come up highest."""
    every = [believed(one, each) for one in of for each in steps(findings)]
    leaders = dict.fromkeys(one.leader for one in every)
    highest = {cause: max(one.by_cause[cause] for one in every) for cause in of[0].causes}
    others = sorted((one for one in highest if one not in leaders), key=lambda one: -highest[one])
    kept = [*leaders, *others][: max(count, len(leaders))]
    return tuple(sorted(kept, key=lambda one: -highest[one]))


@lru_cache(maxsize=512)
def test_rows(of: Knowledge, findings: Findings, count: int) -> tuple[str, ...]:
    """The tests that have a row: all that are advised at any step, then those that come up highest."""
    every = [worths(of, each) for each in steps(findings)]
    first = dict.fromkeys(test for test in (advised(of, each) for each in steps(findings)) if test)
    highest: dict[str, float] = {}
    for each in every:
        for one in each:
            highest[one.test] = max(one.a_minute, highest.get(one.test, 0.0))
    others = sorted((one for one in highest if one not in first), key=lambda one: -highest[one])
    return tuple([*first, *others][: max(count, len(first))])


@dataclass(frozen=True)
class ChangedMind:
    """An outcome that would put another cause first: how likely it is to come, what is then likeliest and how likely.

    `ahead` is how far the new leader is then ahead of the old one.
    """

    test: str
    outcome: str
    chance: float
    leader: str
    of_leader: float
    ahead: float

    @property
    def moves(self) -> float:
        """How much it is expected to move a mind: seldom outcomes count less, and so do close ones."""
        return self.chance * self.ahead


@lru_cache(maxsize=512)
def changes(of: Knowledge, findings: Findings, count: int) -> tuple[ChangedMind, ...]:
    """What would change one's mind, at most one outcome a test, what moves most first."""
    now = believed(of, findings)
    found = []
    for test in of.tests:
        table, best = of.likelihood[test], None
        for at, outcome in enumerate(of.outcomes[test]):
            chance = float(now.states @ table[:, at])
            after = believed(of, (*findings, (test, outcome)))
            if after.leader == now.leader:
                continue
            ahead = after.of_leader - after.by_cause[now.leader]
            one = ChangedMind(test, outcome, chance, after.leader, after.of_leader, ahead)
            best = one if best is None or one.moves > best.moves else best
        if best:
            found.append(best)
    return tuple(sorted(found, key=lambda one: -one.moves)[:count])


def percent_of(share: float) -> str:
    """A share in whole per cent, as a figure has room for it."""
    if 0 < share < 0.005:
        return "< 1 %"
    if 0.995 < share < 1:
        return "> 99 %"
    return f"{int(100 * share + 0.5)} %"


def said(findings: Sequence[tuple[str, str]]) -> Findings:
    """Findings without those that were not done."""
    return tuple((test, outcome) for test, outcome in findings if outcome != "not done")
