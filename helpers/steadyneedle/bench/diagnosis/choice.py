"""What to test next, or that it is time to stop: the test that tells most for its minutes, within the trade's rules.

The rules: watch and listen before you open; do not open a stage that nothing speaks against, nor on the word of a
gauge that is likely wrong; repeat a test that does not fit before you end; never end without one watch of the needle;
give up no body before its scratch was seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from steadyneedle.bench.diagnosis.beliefs import Belief, belief
from steadyneedle.bench.diagnosis.ending import (
    LITTLE,
    gauge_wrong,
    why_gauge_first,
    why_leave_it_shut,
    why_look_first,
    why_sure,
    why_unsure,
)
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.diagnosis.information import expected_information
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.lookahead import GIVING_UP, minutes_ahead
from steadyneedle.bench.diagnosis.reasons import why_cheapest, why_most_telling
from steadyneedle.bench.diagnosis.spoken import first_large, words_of_test
from steadyneedle.bench.diagnosis.workbench import Workbench

GOALS = ("information", "cost")

SLOW = 0.02
"""bit a minute; where nothing speaks against a stage, a test that tells less is not worth its minutes (ours)."""

LIKELY_WRONG = 0.5
"""From this chance of a wrong gauge on, no stage is opened (ours)."""


@dataclass(frozen=True)
class NextTest:
    """The advice. `test` is None where it is time to stop.

    `worth` is in bits a minute for "information"; for "cost" in minutes saved against ending unsure, which counts as
    `lookahead.GIVING_UP`. A test that ends the untouched state counts as `workbench.OPENING` minutes more. `ranking`
    has every test with its worth, the best first.
    """

    test: str | None
    because: str
    worth: float
    ranking: tuple[tuple[str, float], ...]


def choose(
    knowledge: Knowledge,
    findings: Sequence[tuple[str, str]],
    bench: Workbench,
    goal: str = "information",
    confidence: float = 0.95,
) -> NextTest:
    """Which test to do next, and why.

    Parameters
    ----------
    knowledge : Knowledge
        Of the design and its gauge.
    findings : sequence of (test, outcome)
        In the order in which they were found; a test may stand several times.
    bench : Workbench
        What each test costs.
    goal : str
        "information": most bits a minute now. "cost": fewest minutes until one cause is sure, two tests ahead.
    confidence : float
        From which chance on a cause is sure; above 0.5 and below 1.

    Returns
    -------
    NextTest
        A test, or None to stop; why, with numbers; its worth; all tests with theirs.

    Raises
    ------
    ValueError
        An unknown finding, goal or confidence; the sentence names the known ones.

    References
    ----------
    Expected information and expected cost: definition. Rules: common practice, no source; their weights are ours.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> print(choose(TOY, [], TOY_BENCH).because.partition(". ")[0])
    Tap the gauge: it tells 0.40 bit in 1 min, 0.40 bit a minute, more than any other test
    >>> choose(TOY, [("soap", "bubbles")], TOY_BENCH, goal="cost").test is None
    True
    """
    _refuse(goal, confidence)
    after = belief(knowledge, findings)
    bits = expected_information(after)
    if goal == "cost":
        minutes = minutes_ahead(after, bench, confidence)
        worth = {test: max(GIVING_UP - one, 0.0) for test, one in minutes.items()}
    else:
        worth = {test: one / bench.weight(test, _done(after)) for test, one in bits.items()}
    ranking = tuple(sorted(worth.items(), key=lambda one: -one[1]))
    worthwhile = [test for test, one in ranking if one > 0 and bits[test] >= LITTLE]
    test, because = _by_the_rules(after, bench, confidence, bits, worthwhile)
    if test is not None and not because:
        tell = why_cheapest if goal == "cost" else why_most_telling
        because = tell(after, bench, test, worth if goal == "cost" else bits, confidence)
    return NextTest(test, because, worth[test] if test else 0.0, ranking)


def _refuse(goal: str, confidence: float) -> None:
    if not isinstance(goal, str) or goal not in GOALS:
        raise ValueError(f"There is no goal {goal!r}. Known are: {', '.join(GOALS)}.")
    if isinstance(confidence, bool) or not isinstance(confidence, int | float) or not 0.5 < confidence < 1:
        raise ValueError(f"A confidence is a number above 0.5 and below 1, such as 0.95, not {confidence!r}.")


def _done(after: Belief) -> tuple[str, ...]:
    return tuple(test for test, _ in after.findings)


def _by_the_rules(
    after: Belief, bench: Workbench, confidence: float, bits: dict[str, float], worthwhile: list[str]
) -> tuple[str | None, str]:
    """The test that the rules leave, and why where it is a rule that chose it; None to stop."""
    done = _done(after)
    sure = after.of_leader >= confidence
    if sure or not worthwhile:
        first, why = _before_the_end(after, bench, sure)
        if first:
            return first, why
        return None, why_sure(after, confidence) if sure else why_unsure(after, bench, bits)
    if after.leader == SOUND:
        fast = {test for test in worthwhile if bits[test] >= SLOW * bench.minutes(test, done)}
        worthwhile = [test for test in worthwhile if test in fast or test in bench.watches]
        if not worthwhile:
            first, why = _before_the_end(after, bench, sure)
            return first, why or why_leave_it_shut(after)
    best = worthwhile[0]
    return _before_opening(after, bench, worthwhile) if bench.ends_untouched(best, done) else (best, "")


def _before_the_end(after: Belief, bench: Workbench, sure: bool) -> tuple[str | None, str]:
    """What is still to be done before one says what it is, and why; None where nothing is."""
    done = _done(after)
    odd = [one for one in after.doubts if done.count(one.test) == 1]
    if odd:
        return odd[0].test, odd[0].because
    if bench.watches and not set(bench.watches) & set(done):
        return bench.watches[0], f"Never end without a watch of the needle: {words_of_test(bench.watches[0])}."
    look = bench.seen_first.get(after.leader)
    if sure and look and look not in done:
        return look, why_look_first(after, look)
    return None, ""


def _before_opening(after: Belief, bench: Workbench, worthwhile: list[str]) -> tuple[str | None, str]:
    """What comes before the best test, which opens the stage; that test where nothing does."""
    done = _done(after)
    for first, words in ((bench.watches, "Watch"), (bench.listens, "Listen")):
        telling = [test for test in worthwhile if test in first]
        if telling and not set(first) & set(done):
            return telling[0], f"{words} before you open the stage: {words_of_test(telling[0])}."
    gauge = gauge_wrong(after) >= LIKELY_WRONG
    if not gauge and after.leader != SOUND:
        return worthwhile[0], ""
    why = why_gauge_first(after) if gauge else why_leave_it_shut(after)
    outside = [test for test in worthwhile if not bench.ends_untouched(test, done)]
    if not outside:
        return None, why
    return outside[0], f"{first_large(words_of_test(outside[0]))}. {why}"
