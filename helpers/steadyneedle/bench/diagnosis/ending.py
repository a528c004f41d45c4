"""What is said when it is time to stop: what was found, or why no test left is worth its minutes."""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.diagnosis.beliefs import Belief
from steadyneedle.bench.diagnosis.cause_list import ANOTHER
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.diagnosis.information import information
from steadyneedle.bench.diagnosis.spoken import first_large, percent, words_of_cause, words_of_mend, words_of_test
from steadyneedle.bench.diagnosis.workbench import Workbench

LITTLE = 0.02
"""bit; a test that tells less is not worth its minutes (ours)."""

AGAIN = "Put the gauge right, then watch again."


def is_gauge(cause: str) -> bool:
    """Whether a cause is a gauge that is wrong, or has one in it.

    Parameters
    ----------
    cause : str
        Key of a cause.

    Returns
    -------
    bool
        True for a gauge, its hose, and a pair with one of them.

    References
    ----------
    Definition.

    Examples
    --------
    >>> is_gauge("gauge_high"), is_gauge("seat_dished+gauge_high"), is_gauge("seat_dished")
    (True, True, False)
    """
    return any(one.startswith("gauge") for one in cause.split("+"))


def gauge_wrong(after: Belief) -> float:
    """How likely the gauge is wrong, alone or beside another fault.

    Parameters
    ----------
    after : Belief
        What is believed now.

    Returns
    -------
    float
        0 to 1.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> round(gauge_wrong(belief(TOY, [("tap", "jumps")])), 2)
    0.88
    """
    return sum(chance for cause, chance in after.by_cause.items() if is_gauge(cause))


def why_sure(after: Belief, confidence: float) -> str:
    """What was found, once a cause is sure enough.

    Parameters
    ----------
    after : Belief
        What is believed now.
    confidence : float
        From which chance on a cause is sure.

    Returns
    -------
    str
        One sentence or two; of a regulator with nothing found wrong it says what to write down, no more. Where a
        finding was repeated and still does not fit, it says so, and calls nothing sure.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> why_sure(belief(TOY, [("soap", "bubbles")]), 0.95)
    'Sure enough: seal (96 %, asked were 95 %).'
    """
    name, chance = words_of_cause(after.leader), percent(after.of_leader)
    if after.doubts:
        return _left_over(after)
    if after.leader == SOUND:
        return f"Nothing wrong was found ({chance}): write down what was tested, and with which gauge."
    if after.leader == ANOTHER:
        return f"Two faults at once ({chance}), and the tests name neither: put right what is found, then watch again."
    if is_gauge(after.leader):
        return f"{first_large(name)} ({chance}). {AGAIN}"
    mend = words_of_mend(after.leader)
    told = f"Sure enough: {name} ({chance}, asked were {percent(confidence)})."
    return f"{told} What it takes: {mend}." if mend else told


def _left_over(after: Belief) -> str:
    """What leads, what was found that does not fit it, and what to do about that."""
    leads = f"{first_large(words_of_cause(after.leader))} is the likeliest ({percent(after.of_leader)})"
    each = [f"{words_of_test(one.test)}: {' and '.join(dict.fromkeys(one.outcomes))}" for one in after.doubts]
    return (
        f"{leads} of all that we know of, but it does not explain what was found ({' and '.join(each)}). "
        "Write down both, and ask the maker before you call it done."
    )


def why_look_first(after: Belief, look: str) -> str:
    """Why one looks at a part before it is given up.

    Parameters
    ----------
    after : Belief
        What is believed now.
    look : str
        Key of the test that shows the mark.

    Returns
    -------
    str
        Two sentences.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> why_look_first(belief(TOY, [("soap", "bubbles")]), "look")
    'Look: seal (96 %) by all that was found, but nobody has seen the mark. Nothing is given up before that.'
    """
    likely = f"{words_of_cause(after.leader)} ({percent(after.of_leader)})"
    return (
        f"{first_large(words_of_test(look))}: {likely} by all that was found, but nobody has seen the mark. "
        "Nothing is given up before that."
    )


def why_gauge_first(after: Belief) -> str:
    """Why nobody opens the stage now: the gauge is the likely liar.

    Parameters
    ----------
    after : Belief
        What is believed now.

    Returns
    -------
    str
        Two sentences.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> why_gauge_first(belief(TOY, [("tap", "jumps")]))
    'The gauge is wrong (88 %): no reason to open the stage on its word. Put the gauge right, then watch again.'
    """
    return f"The gauge is wrong ({percent(gauge_wrong(after))}): no reason to open the stage on its word. {AGAIN}"


def why_leave_it_shut(after: Belief) -> str:
    """Why nobody opens the stage now: nothing that was seen from outside speaks against it.

    Parameters
    ----------
    after : Belief
        What is believed now.

    Returns
    -------
    str
        Two sentences; they say what was tested, and nothing of what the regulator may be used for.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY
    >>> print(why_leave_it_shut(belief(TOY, [])).partition(". ")[2])
    Write down what was tested, and with which gauge.
    """
    chance = percent(after.by_cause.get(SOUND, 0.0))
    if after.doubts:
        return _left_over(after)
    return (
        f"Nothing wrong is the likeliest ({chance}), and nothing seen from outside is a reason to open the stage. "
        "Write down what was tested, and with which gauge."
    )


def why_unsure(after: Belief, bench: Workbench, bits: dict[str, float]) -> str:
    """Why one stops without being sure.

    Parameters
    ----------
    after : Belief
        What is believed now.
    bench : Workbench
        What each test costs.
    bits : dict
        What each test would tell [bit].

    Returns
    -------
    str
        Which two causes are left, and that no test tells them apart or none is worth its minutes.

    References
    ----------
    Definition; what counts as worth it is ours.

    Examples
    --------
    >>> from steadyneedle.bench.diagnosis.beliefs import belief
    >>> from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
    >>> after = belief(TOY, [("look", "nothing"), ("soap", "none")] * 2)
    >>> print(why_unsure(after, TOY_BENCH, {"watch": 0.01}).partition(": the")[0])
    The tests left are not worth their minutes
    """
    done = tuple(test for test, _ in after.findings)
    left = [test for test in after.knowledge.tests if np.isfinite(bench.weight(test, done))]
    one, other = np.argsort(-after.chances, kind="stable")[:2].tolist()
    names = [f"{words_of_cause(after.knowledge.causes[n])} ({percent(float(after.chances[n]))})" for n in (one, other)]
    told = max((_apart(after, test, one, other) for test in left), default=0.0)
    if told < LITTLE:
        return f"No test left on the bench tells these two apart: {names[0]} and {names[1]}. Write down both."
    best = max(left, key=lambda test: bits.get(test, 0.0))
    tells = f"the best of them ({words_of_test(best)}) tells {bits[best]:.2f} bit in {bench.minutes(best, done):g} min"
    return f"The tests left are not worth their minutes: {tells}. Left are {names[0]} and {names[1]}: write down both."


def _apart(after: Belief, test: str, one: int, other: int) -> float:
    """What a test would tell if only these two causes were possible [bit]."""
    rows, table = [], after.knowledge.likelihood[test]
    for cause in (one, other):
        weights = np.where(after.knowledge.cause_of == cause, after.states, 0.0)
        rows.append(weights @ table / max(float(weights.sum()), 1e-300))
    pair = after.chances[[one, other]]
    return information(pair / pair.sum(), np.array(rows)) if pair[1] > 0 else 0.0
