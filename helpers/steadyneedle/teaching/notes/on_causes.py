"""Sentences of lesson 04b whose numbers are computed: time, weights, what moved a belief, two orders."""

from __future__ import annotations

from functools import partial

from steadyneedle.bench.diagnosis.orders import two_orders
from steadyneedle.bench.diagnosis.own_tables import unread
from steadyneedle.bench.diagnosis.workbench import OPENING
from steadyneedle.questions.bank.stories import CREEPS, START, STORIES
from steadyneedle.questions.plans import plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.believed import ENOUGH, believed, known, percent_of, trouble, worths
from steadyneedle.teaching.panels.mystery_jobs import files_note
from steadyneedle.teaching.panels.offered import Makers, SheetLoader
from steadyneedle.teaching.panels.short_names import short_cause, short_test

JOB_MINUTES = (8, 12)
"""What a job takes a trainee: ours, a guess."""

JOBS = 10
"""Jobs of the graded row."""

LOOK_AT = (15, 30, 60)
"""Minutes at which the two orders are compared."""


def time_note(preferences: Preferences) -> tuple[str, ...]:
    """How long the page takes without its jobs and with them."""
    low, high = (preferences.number(JOBS * one, 0) for one in JOB_MINUTES)
    least, most = (preferences.number(one, 0) for one in JOB_MINUTES)
    return (
        f"This page takes {plan_of('04b').minutes} minutes without its jobs. A job takes {least} to {most} minutes, so "
        f"all {JOBS} jobs of section 9 take another {low} to {high}. Spread them over several evenings.",
    )


def weights_note(_preferences: Preferences) -> tuple[str, ...]:
    """Whose weights stand behind the figures."""
    own, wrong, misnamed = known().own, trouble(), unread()
    told = (f"**{misnamed}**",) if misnamed else ()
    if wrong:
        return (*told, f"**{wrong}** Our own values stand here instead, invented.")
    if own:
        names = ", ".join(map(short_cause, own))
        return (*told, f"**Your instructor's own values stand here in place of ours:** {names}.")
    return (
        *told,
        "How often each cause is met, and how well eyes and ears find it, are teaching values of ours, invented. "
        "What the needles show is computed with the simulated bench. An instructor may put values of the college's "
        "own in their place; then it says so here.",
    )


def class_files_note(_preferences: Preferences) -> tuple[str, ...]:
    """Which files of a class's paths are read, and which are not: for the instructor's page."""
    return files_note()


def story_note(preferences: Preferences) -> tuple[str, ...]:
    """What each finding of the first story did to the belief."""
    findings = START
    lines = []
    for n, (test, outcome) in enumerate(findings, 1):
        before, now = believed(known(), findings[: n - 1]), believed(known(), findings[:n])
        leads = f"{short_cause(now.leader)}, {percent_of(now.of_leader)}"
        was = f"{percent_of(before.by_cause[now.leader])} before"
        lines.append(f"- {short_test(test).capitalize()}: {outcome}. Likeliest: {leads} ({was}).")
    return ("As the controls stand at the start, one finding after another:", *lines)


def worth_note(preferences: Preferences) -> tuple[str, ...]:
    """Which test comes first for its minutes, and which tells most for nothing but itself."""
    findings = STORIES[CREEPS][:1]
    every = worths(known(), findings)
    first, most = every[0], max(every, key=lambda one: one.tells)
    begin = (
        f"To open a stage counts as {preferences.number(OPENING, 0)} minutes more, because it can never be seen again as it came in. "
        f"After a watch that shows a slow creep, {short_test(first.test)} then tells most for its minutes: "
        f"{percent_of(first.tells)} of what is open in {preferences.number(first.minutes, 0)} min."
    )
    if most.test == first.test:
        return (f"{begin} No other test tells more.",)
    return (
        f"{begin} More than any other tells {short_test(most.test)}, {percent_of(most.tells)}, but it takes "
        f"{preferences.number(most.minutes, 0)} min.",
    )


def two_beliefs_note(_preferences: Preferences) -> tuple[str, ...]:
    """What changes between our weights and the trade's."""
    lines = []
    for story, findings in STORIES.items():
        first, last = (
            [believed(known(one), findings[:many]) for one in ("ours", "trade")] for many in (1, len(findings))
        )
        begin, end = (
            f"we {short_cause(ours.leader)} ({percent_of(ours.of_leader)}), "
            f"the trade {short_cause(trade.leader)} ({percent_of(trade.of_leader)})"
            for ours, trade in (first, last)
        )
        lines.append(f"- {story.capitalize()}. After one test: {begin}. After {len(findings)} tests: {end}.")
    return ("What is likeliest, with our weights and with the trade's:", *lines)


def orders_note(preferences: Preferences) -> tuple[str, ...]:
    """The two orders side by side, for a slow creep."""
    habit, advised = two_orders(known(), STORIES[CREEPS][:1])
    lines = [
        f"- After {preferences.number(minutes, 0)} minutes: {preferences.number(100 * advised.after(minutes), 0)} of 100 "
        f"as advised, {preferences.number(100 * habit.after(minutes), 0)} of 100 in the trade's order."
        for minutes in LOOK_AT
    ]
    return (
        "A watch has shown a slow creep. In so many regulators the cause that leads is the right one:", *lines,
        "The trade's order opens the first stage at once and never looks at the seat.",
    )  # fmt: skip


def enough_note(_preferences: Preferences) -> tuple[str, ...]:
    """How sure the advice wants to be."""
    return (f"The advice of this page stops at {percent_of(ENOUGH)}. That is ours; say your own before you begin.",)


def summary_note(preferences: Preferences) -> tuple[str, ...]:
    """What the two orders differ by, to keep."""
    habit, advised = two_orders(known(), STORIES[CREEPS][:1])
    at = LOOK_AT[-1]
    return (
        f"- After a slow creep and {preferences.number(at, 0)} minutes of tests: "
        f"{preferences.number(100 * advised.after(at), 0)} of 100 right as advised, "
        f"{preferences.number(100 * habit.after(at), 0)} of 100 in the trade's order.",
    )


def notes(preferences: Preferences, _sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Sentences of lesson 04b, by name."""
    made = {
        "time": time_note, "weights": weights_note, "class_files": class_files_note, "story": story_note, "worth": worth_note,
        "two_beliefs": two_beliefs_note, "orders": orders_note, "enough": enough_note, "summary": summary_note,
    }  # fmt: skip
    return {name: partial(make, preferences) for name, make in made.items()}
