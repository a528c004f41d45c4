"""What the form of a mystery job says: what is known and spent, what a test showed, and the debrief in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.bench.diagnosis.examination_list import examination, lies_open, tests
from steadyneedle.bench.diagnosis.gauge_kinds import stop_reading
from steadyneedle.foundation import datasets
from steadyneedle.jobs.bill import Bill, closing, mending, spent, total
from steadyneedle.jobs.debrief import FOUND, PART_FOUND, Debrief
from steadyneedle.jobs.mystery import CURRENCY, Job
from steadyneedle.jobs.path import CRITICAL, NO_RELIEF, STOPPED, JobPath, Said
from steadyneedle.jobs.play import BARE, BARE_NAME, Seen, why_critical
from steadyneedle.jobs.what_it_did import what_it_did
from steadyneedle.jobs.whole_names import whole_name
from steadyneedle.physics.si import BAR
from steadyneedle.teaching.frame.form import ShownTable

NO_PRESSURE = "no pressure"
"""What stands in the list of tests as the need of one that is done vented."""

NONE_YET = ("", "none yet", "", "", "")

ENOUGH = 0.9
"""Chance of the true cause from which the tests are said to have told (ours)."""

SURER = 25
"""Points between what was said and what was computed that are worth a sentence (ours)."""


def percent(chance: float) -> str:
    """A chance in whole per cent; never nought or a hundred where it is neither.

    >>> percent(0.934), percent(0.9996), percent(0.0001)
    ('93 %', 'over 99 %', 'under 1 %')
    """
    whole = round(100 * chance)
    if 0 < chance < 0.01:
        return "under 1 %"
    return "over 99 %" if 0.99 < chance < 1 else f"{whole} %"


def in_words(bill: Bill) -> str:
    """Minutes and money.

    >>> in_words(Bill(24, 1))
    '24 min and 1 shells'
    """
    return f"{bill.minutes:g} min and {bill.money:g} {CURRENCY}"


def cost_words(bill: Bill) -> str:
    """What one test costs, beside its name.

    >>> cost_words(Bill(5, 0)), cost_words(Bill(34, 18))
    ('5 min', '34 min, 18 shells')
    """
    return f"{bill.minutes:g} min" + (f", {bill.money:g} {CURRENCY}" if bill.money else "")


def belief_words(belief: Said) -> str:
    """What somebody said it is, and how sure."""
    return f"{cause_name(belief.cause)}, {belief.confidence} %" if belief.cause else "nothing said"


def at_the_stop(test: str, shown: Seen) -> str:
    """Where the needle is when somebody has to choose, the cylinder valve still open."""
    reading = f"{shown.log[1][shown.climb - 1] / BAR:.2f} bar" if shown.log else "more"
    before = "before you shut the valve, the needle" if shown.goes_on else "the needle"
    return f"{whole_name(test)}: {before} reads {reading}. A watch stops at {shown.stop / BAR:.1f} bar."


def ways_at_the_stop(shown: Seen, goes_on: bool = True) -> tuple[str, str]:
    """What one may do at the stop: shut the valve, or watch on; not `goes_on` where the test is not done after it."""
    if shown.goes_on and not goes_on:
        return "shut the cylinder valve and purge the pressure away", "watch on with the valve open"
    if shown.goes_on:
        return (
            "shut the cylinder valve, finish the test, then purge",
            "watch on with the valve open",
        )
    return "shut the cylinder valve and purge the pressure away", "watch on"


def shut_there(shown: Seen) -> str:
    """What was done at the stop."""
    if shown.goes_on:
        return "You shut the valve at the stop, went on with the test, and purged the pressure away at its end."
    return "You shut the valve at the stop and purged the pressure away."


def not_done(job: Job, test: str) -> str:
    """That a test was not done, because the needle came to the stop first; empty where it was."""
    if test not in tests(job.design):
        return ""
    return (
        f"“{whole_name(test)}” was not done: the needle came to the stop first. What you saw is a watch at full "
        "supply, and counts as one. Do the test now if you still want it."
    )


def past_the_stop(shown: Seen) -> str:
    """That a needle passed the stop with the valve shut, where nobody was asked; empty where it did not."""
    if shown.at_stop or shown.log is None or shown.log[1].max() < shown.stop:
        return ""
    return (
        f"With the valve shut the needle came to {shown.log[1].max() / BAR:.2f} bar; the stop here is "
        f"{shown.stop / BAR:.1f} bar. Purge the pressure away. Nobody breathes from it."
    )


def repeated(test: str, done: Sequence[str]) -> str:
    """What stands after the name of a test that was done before.

    >>> repeated("tap", ["tap"]), repeated("tap", ["zero"])
    (', once more', '')
    """
    return ", once more" if test in done else ""


def name_of(test: str, done: Sequence[str]) -> str:
    """The name of a test after others.

    >>> name_of("tap", ["zero", "tap"])
    'tap the gauge, once more'
    """
    return whole_name(test) + repeated(test, done)


def before_it(job: Job, test: str) -> str:
    """What a test needs and risks, and the stop where the needle may come to it: said before it is done."""
    key = "blank" if test == BARE else test
    if key not in tests(job.design):
        return ""
    one = examination(key)
    needs = "" if one.needs == "nothing" else f"This test needs {one.needs}. "
    if one.needs == NO_PRESSURE:
        needs = "Vent first: this test is done without pressure. "
    risks = "It has no risk of its own." if one.risks == "none" else f"Take care: {one.risks}."
    stop = f" The stop here is {stop_reading(job.design, job.gauge) / BAR:.1f} bar." if "stop" in one.risks else ""
    return needs + risks + stop


def found_so_far(path: JobPath) -> ShownTable:
    """The tests that were done, with what each showed."""
    rows = tuple(
        (str(n), name_of(step.test, path.tests[: n - 1]), step.outcome, f"{bill.minutes:g}", f"{bill.money:g}")
        for n, (step, bill) in enumerate(zip(path.steps, spent(path.tests), strict=True), 1)
    )
    return ShownTable("What the tests showed", ("", "test", "showed", "min in all", CURRENCY), rows or (NONE_YET,))


def spent_so_far(path: JobPath) -> str:
    """Clock and bill, and whether the stage has been opened."""
    opened = any(examination(test).opens for test in path.tests)
    state = "lies open" if lies_open(path.tests) else "has been opened and closed" if opened else "is untouched"
    again = "" if path.end else " A test may be done once more."
    return f"Spent: {in_words(total(path.tests))} (invented). The first stage {state}.{again}"


@cache
def mend_words(cause: str) -> str:
    """What puts a cause right."""
    table = datasets.table("diagnosis/causes")
    return str(dict(zip(table["cause"], table["mend"], strict=True))[cause])


def would_do(belief: Said, tried: Sequence[str]) -> tuple[str, ...]:
    """What follows from what somebody says, before the job is ended with it."""
    paid = mending(belief.cause, tried)
    return (
        f"You say: {belief_words(belief)}. What puts it right: {mend_words(belief.cause)} ({in_words(paid)}).",
        *_to_close(belief.cause, tried),
        "End the job with this, or change what you think and test on.",
    )


def _to_close(cause: str, tests_done: Sequence[str]) -> tuple[str, ...]:
    """That a stage which lies open is closed and watched before it goes back; nothing where mending pays it."""
    bill = closing(cause, tests_done)
    words = f"The stage lies open: closing it and a last watch ({cost_words(bill)}) are billed at the end."
    return (words,) if bill.minutes else ()


def debrief_lines(debrief: Debrief) -> tuple[str, tuple[str, ...]]:
    """The word and the sentences of a debrief."""
    said, path = debrief.path.verdict, debrief.path
    names = " and ".join(cause_name(key) for key in debrief.faults) or cause_name("sound")
    truth = f"It was: {names}. What puts it right: {mend_words(debrief.truth)}."
    if debrief.outcome == CRITICAL:
        lines = [*why_critical(path.because), truth]
    else:
        lines = [truth, f"You said: {belief_words(said)}. {_how_sure(debrief)}", *_part(debrief)]
    best = debrief.best
    mended = ", with mending by what you said" if path.end == STOPPED else ""
    if mended and closing(said.cause, path.tests).minutes:
        mended += ", and with closing the stage and a last watch"
    lines.append(f"You spent {in_words(debrief.handed_back(path))}{mended}.{_comes_back(debrief, path)}")
    lines.append(
        f"The advice spends {in_words(debrief.handed_back(best))} and ends with {belief_words(best.verdict)}: "
        f"{debrief.ended(best)}.{_comes_back(debrief, best)}"
    )
    lines += [f"What the customer said: {debrief.job.about}"] if debrief.job.about else []
    lines.append(what_it_did(debrief.path.job))
    lines += _erred(debrief)
    lines += _would_tell(debrief)
    ended = debrief.ended(path)
    return ended.capitalize() if ended != CRITICAL else "Critical failure", tuple(lines)


def _how_sure(debrief: Debrief) -> str:
    """What was said beside what the tests gave. Honest doubt is no luck, and a wrong answer may be honest too."""
    said = debrief.path.verdict.confidence
    gave, truth = debrief.at_end
    tests = f"The tests gave it {percent(gave)}"
    off = said - 100 * gave
    if debrief.outcome == FOUND:
        if off >= SURER:
            return f"{tests}: you were surer than they allow. {_could_have_said(debrief)}"
        if -off >= SURER:
            return f"{tests}: you could have been surer."
        return f"{tests}: you doubted as much as they leave to doubt." if said <= 50 else f"{tests}."
    other = f", and {percent(truth)} to what it was" if debrief.outcome != PART_FOUND else ""
    if off >= SURER:
        return f"{tests}{other}: you were surer than they allow."
    if gave >= 0.9:
        return f"{tests}: they pointed there, and this was one of the few that are otherwise."
    return f"{tests}{other}."


def _could_have_said(debrief: Debrief) -> str:
    """Whether one more test would have made sure, or not even the best path does."""
    if debrief.would_tell and debrief.would_tell[0].after >= ENOUGH:
        return f"One more test would most likely have said: {whole_name(debrief.would_tell[0].test)}."
    if debrief.of_best >= ENOUGH:
        return "One more test would not have been enough, but the path of the advice gets there."
    of_best, gave = percent(debrief.of_best), debrief.at_end[0]
    if debrief.of_best > gave + 0.1:
        return f"More tests would have made you surer, though not sure: the path of the advice ends at {of_best}."
    return f"One more test would not have been enough, nor is the path of the advice: it ends at {of_best}."


def _comes_back(debrief: Debrief, path: JobPath) -> str:
    """What a path leaves, and what that costs once more."""
    left, upset = debrief.left(path), debrief.upset(path)
    if not left and not upset:
        vain = not debrief.faults and path.end == STOPPED and path.verdict.cause != "sound"
        return " Nothing was wrong: that was mended in vain." if vain else ""
    told = f" What was wrong is still there: {'; '.join(map(cause_name, left))}." if left else ""
    told += " What you set was right before, and is wrong now." if upset else ""
    comes = "When it comes back, add" if path.end == STOPPED else "Add"
    more = f"the tests of the advice and the true repair ({in_words(debrief.coming_back(path))})"
    return f"{told} {comes} {more}. All told that is {in_words(debrief.bill(path))}."


def _part(debrief: Debrief) -> list[str]:
    if debrief.outcome != PART_FOUND:
        return []
    if debrief.path.verdict.cause == "another_pair":
        return ["Two faults it was; which two, the customer still has to hear."]
    if len(debrief.faults) > 1:
        return ["That is one of the two; the other one goes back to the customer."]
    return ["That is half right: the other part that you name was good."]


def _erred(debrief: Debrief) -> list[str]:
    """Eyes, ears and gauges that misled."""
    told = []
    for one in debrief.erred:
        often = max(2, round(1 / max(one.seldom, 0.001)))
        told.append(
            f"“{whole_name(one.test)}” showed “{one.outcome}”: of regulators like this one about one in "
            f"{often} shows that. Done once more, it would most likely have shown something else."
        )
    return told[:3]


def _would_tell(debrief: Debrief) -> list[str]:
    if debrief.outcome == FOUND and debrief.at_end[1] >= 0.9:
        return []
    return [
        f"“{whole_name(one.test)}” ({cost_words(one.bill)}) most likely shows “{one.outcome}” and takes the true "
        f"cause from {percent(one.before)} to about {percent(one.after)}."
        for one in debrief.would_tell
    ]


def path_table(debrief: Debrief, own: bool) -> ShownTable:
    """A path as a table: what was believed before each test, and what the test did to the chance of the true cause."""
    lines, caption = (debrief.own, "Your path") if own else (debrief.advised, "The path of the advice")
    rows = []
    for n, one in enumerate(lines, 1):
        said = [f"{belief_words(one.said)} (computed {percent(one.of_said)})"] if own else []
        name = name_of(one.test, [each.test for each in lines[: n - 1]])
        rows.append((str(n), *said, name, one.outcome, percent(one.of_truth), f"{one.bill.minutes:g}"))
    if own:
        rows.append(_last_row(debrief))
    head = ("", *(("you said",) if own else ()), "test", "showed", "true cause then", "min")
    return ShownTable(caption, head, tuple(rows))


def _last_row(debrief: Debrief) -> tuple[str, ...]:
    """What was said at the end, or in which test the job ended."""
    path, (gave, truth) = debrief.path, debrief.at_end
    said = f"{belief_words(path.verdict)} (computed {percent(gave)})"
    minutes = f"{total(path.tests).minutes:g}"
    if path.end == CRITICAL:
        name = BARE_NAME if path.because == NO_RELIEF else whole_name(path.fatal)
        return ("end", said, name, "critical failure", percent(truth), minutes)
    return ("end", said, "stopped", "", percent(truth), minutes)
