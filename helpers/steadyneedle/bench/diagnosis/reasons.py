"""Why a test is advised, in one sentence or two with its numbers."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.beliefs import Belief
from steadyneedle.bench.diagnosis.lookahead import GIVING_UP
from steadyneedle.bench.diagnosis.spoken import first_large, percent, words_of_cause, words_of_test
from steadyneedle.bench.diagnosis.workbench import OPENING, Workbench


def why_most_telling(after: Belief, bench: Workbench, test: str, bits: dict[str, float], confidence: float) -> str:
    """Why a test tells most for its minutes.

    Parameters
    ----------
    after : Belief
        What is believed now.
    bench : Workbench
        What each test costs.
    test : str
        Key of the test.
    bits : dict
        What each test would tell [bit].
    confidence : float
        From which chance on a cause is sure.

    Returns
    -------
    str
        Bits, minutes, bits a minute, who leads.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> for sentence in why_most_telling(belief(TOY, []), TOY_BENCH, "tap", {"tap": 0.5}, 0.95).split(". "):
    ...     print(sentence)
    Tap the gauge: it tells 0.50 bit in 1 min, 0.50 bit a minute, more than any other test
    Most likely now: seat (30 %).
    """
    done = tuple(one for one, _ in after.findings)
    minutes, weight = bench.minutes(test, done), bench.weight(test, done)
    tells = f"it tells {bits[test]:.2f} bit in {minutes:g} min{_opening(bench, test, done)}"
    rate = f"{bits[test] / weight:.2f} bit a minute, more than any other test"
    return f"{first_large(words_of_test(test))}: {tells}, {rate}. {_leads(after)}"


def why_cheapest(after: Belief, bench: Workbench, test: str, worth: dict[str, float], confidence: float) -> str:
    """Why a test leads to a sure cause in the fewest minutes.

    Parameters
    ----------
    after : Belief
        What is believed now.
    bench : Workbench
        What each test costs.
    test : str
        Key of the test.
    worth : dict
        Minutes that each test saves against ending unsure.
    confidence : float
        From which chance on a cause is sure.

    Returns
    -------
    str
        Its minutes, the minutes in all, how many fewer than with the next best test, who leads.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> saved = {"tap": 200.0, "look": 194.0}
    >>> for sentence in why_cheapest(belief(TOY, []), TOY_BENCH, "tap", saved, 0.95).split(". "):
    ...     print(sentence)
    Tap the gauge (1 min): by a rough estimate one cause is 95 % sure in 40 min in all, 6 min sooner than with look
    Most likely now: seat (30 %).
    """
    done = tuple(one for one, _ in after.findings)
    minutes = f"{bench.minutes(test, done):g} min{_opening(bench, test, done)}"
    told = f"by a rough estimate one cause is {percent(confidence)} sure in {GIVING_UP - worth[test]:.0f} min in all"
    others = {one: saved for one, saved in worth.items() if one != test and saved > 0}
    if others:
        second = max(others, key=lambda one: others[one])
        sooner = worth[test] - others[second]
        word = f"{sooner:.0f} min sooner than with" if sooner >= 0.5 else "about as soon as with"
        told += f", {word} {words_of_test(second)}"
    return f"{first_large(words_of_test(test))} ({minutes}): {told}. {_leads(after)}"


def _opening(bench: Workbench, test: str, done: tuple[str, ...]) -> str:
    if not bench.ends_untouched(test, done):
        return ""
    return f" and {OPENING:g} min more because it opens the stage"


def _leads(after: Belief) -> str:
    return f"Most likely now: {words_of_cause(after.leader)} ({percent(after.of_leader)})."
