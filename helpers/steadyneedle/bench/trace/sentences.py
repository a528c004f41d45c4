"""The sentences of a verdict on a log; nothing is decided here."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.bench.trace.advice import Advice
from steadyneedle.bench.trace.finding import CANNOT_TELL, TraceFinding
from steadyneedle.bench.trace.phases import Cut
from steadyneedle.bench.trace.projection import Projection
from steadyneedle.bench.trace.watch import Watch
from steadyneedle.bench.units import Q, Quantity, formatted

AT_THE_SEAT = "Look at the first stage's seat and its edge, under magnification."
SET_IT_AGAIN = "Set it again, purge it, and watch again."
"""What to do next: common practice, no source."""

LEAST_MINUTES = 0.5
"""min; less is now."""


@dataclass(frozen=True)
class Story:
    """All that the sentences of a verdict are written from; `limit` [bar/min], `stop` [bar], `passed` [s] or None."""

    outcome: str
    cut: Cut
    watch: Watch
    band: TraceFinding
    rise: TraceFinding
    rate: TraceFinding
    projection: Projection
    advice: Advice | None
    limit: float
    conforms: str
    stop: float
    passed: float | None


def reason(story: Story) -> str:
    """Why it conforms, or does not, or nobody can tell: one sentence, or one for each thing that fails.

    Parameters
    ----------
    story : Story
        A verdict's findings.

    Returns
    -------
    str
        Sentences with numbers.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).reason
    'No sheet is named, so nobody can say what it should conform to.'
    """
    if story.cut.kind:
        return (
            "The second stage flows." if story.cut.kind == "free flow" else "The needle does not lock: it saw-tooths."
        )
    found = (story.band, story.rise, story.rate)
    if story.conforms == "no":
        failed = [one.because for one in found if one.conforms == "no"]
        return " ".join(failed) or f"The needle passed {story.watch.scale.stop(story.stop)}, where one stops watching."
    if story.conforms == "yes":
        passed = [one.because for one in found[:2] if one.conforms == "yes"]
        return " ".join(passed) or "The needle stands within the limit that was named."
    open_ones = [one.because for one in found[:2] if one.conforms == CANNOT_TELL] or [story.rate.because]
    if story.watch.strange:
        return f"{story.rate.because} {story.watch.next_step}"
    if all(one.conforms != CANNOT_TELL for one in found):
        return "No sheet is named, so nobody can say what it should conform to."
    return f"{' '.join(open_ones)} {_next_step(story)}"


def _next_step(story: Story) -> str:
    """What to do where nobody can tell."""
    mends = [one.mend for one in (story.band, story.rise) if one.mend]
    if mends:
        return mends[-1]  # a gauge that is too coarse for the rise is for the band too
    if story.advice is not None:
        return _advised(story.advice)
    return "Watching longer will hardly tell: use a finer gauge, or purge and watch again, with a reading 5 s after."


def _advised(advice: Advice) -> str:
    return f"{advice.words[:1].upper()}{advice.words[1:]}."


def because(story: Story) -> str:
    """The outcome in one sentence with numbers.

    Parameters
    ----------
    story : Story
        A verdict's findings.

    Returns
    -------
    str
        One sentence, and what to do where nobody can tell.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> import numpy as np
    >>> from steadyneedle.bench.trace import Log, judge_trace
    >>> judge_trace(Log.from_arrays(range(600), np.full(600, 9.8), "bar", 0.1)).because[:31]
    'The needle stands at 9.80 bar; '
    """
    return _SENTENCES.get(story.outcome, _standing)(story)


def _saw_tooth(story: Story) -> str:
    teeth = story.cut.teeth
    ends = story.watch.scale.pressures(teeth.low, teeth.high, 2) if teeth else ""
    every = formatted(Q(teeth.period if teeth else 0.0, "s"), 0)
    return f"The needle moves slowly one way and sharply back, about every {every}, {ends}."


def _free_flow(story: Story) -> str:
    start = next(phase.start_s for phase in story.cut.phases if phase.name == "free flow")
    stood = story.watch.scale.pressure(story.watch.level_at(story.watch.watched).value, 1)
    after = formatted(Q(start / 60, "min"), 1)
    return f"After {after} the needle dropped from {stood} and did not come back: the second stage flows."


def _unknown(story: Story) -> str:
    if story.watch.strange:
        return f"{story.rate.because} {story.watch.next_step}"
    failed = [one.because for one in (story.rise, story.band) if one.conforms == "no"]
    if failed:
        return f"{failed[0][:-1]}; whether it still moves is open."
    if story.rate.outcome == CANNOT_TELL:
        sentence = f"The needle {story.watch.seen()}; {_first_small(story.rate.because)}"
    else:
        sentence = next(one.because for one in (story.rise, story.band) if one.conforms == CANNOT_TELL)
    return f"{sentence} {_advised(story.advice)}" if story.advice else sentence


def _moving(story: Story) -> str:
    rate, scale = story.watch.rate, story.watch.scale
    size = scale.rate(abs(rate.value), 3)
    if story.outcome == "falls":
        ends = scale.rates(-rate.high, -rate.low, 3)
        return (
            f"The needle loses {size}, {ends}: gas leaves, or the set point falls. Was the cylinder valve open and "
            "the supply steady? Then shut the valve, watch the supply needle, and wet all joints with soapy water."
        )
    ends, limit = scale.rates(rate.low, rate.high, 3), scale.rate(story.limit, 3)
    return f"The needle climbs by {size}, {ends}, more than {limit}{_leaves(story)}. {AT_THE_SEAT}"


def _leaves(story: Story) -> str:
    """When it leaves its band, where that is known."""
    if story.projection.leaves_band is None:
        return ""
    out = story.band.outcome == "outside"
    return f"; out of its band {leaves(story.projection.leaves_band, out)}"


def leaves(when: Quantity, passed: bool) -> str:
    """When the needle comes somewhere.

    Parameters
    ----------
    when : pint.Quantity
        Minutes from the last reading, not below 0.
    passed : bool
        Whether it has surely been there where they are 0.

    Returns
    -------
    str
        Words to stand after what happens then.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> leaves(Q(7.2, "min"), False), leaves(Q(0, "min"), True), leaves(Q(0, "min"), False)
    ('in about 7 min', 'already', 'about now')
    """
    minutes = float(when.magnitude)
    if minutes == 0 and passed:
        return "already"
    return "about now" if minutes < LEAST_MINUTES else f"in about {minutes:.0f} min"


def _standing(story: Story) -> str:
    rate, scale = story.watch.rate, story.watch.scale
    level = scale.pressure(story.watch.level_at(story.watch.judged_at).value, 2)
    lies = _first_small(story.rate.because[:-1]).replace(": within", ", within")
    if story.outcome in ("locks high", "locks low"):
        failed = story.rise if story.rise.conforms == "no" else story.band
        return f"{failed.because[:-1]}; {lies}. {AT_THE_SEAT if failed is story.rise else SET_IT_AGAIN}"
    settled = story.watch.estimate.settled().value
    way = "rose" if settled > 0 else "fell"
    did = f"{way} by {scale.pressure(abs(settled), 2)} and stands" if story.outcome == "settles" else "stands"
    within = "" if story.rate.outcome == "stands" else f"; {_first_small(story.rise.because[:-1])}"
    if rate.low > 0 or rate.high < 0:
        moves = f"{'climbs' if rate.low > 0 else 'falls'} by {scale.rate(abs(rate.value), 3)}"
        when = _first_small(story.watch.when_judged)
        return f"The needle is at {level} {when} and {moves}; {lies}{within}{_leaves(story)}."
    return f"The needle {did} at {level}; {lies}{within}."


_SENTENCES = {
    "saw-tooth": _saw_tooth, "free flow": _free_flow, "cannot tell": _unknown, "creeps": _moving, "falls": _moving,
}  # fmt: skip


def _first_small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
