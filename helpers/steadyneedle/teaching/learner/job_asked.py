"""What a job asks at its bench, in a lesson and in a paper: the fields, what a test showed, the needle's picture."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.diagnosis.cause_list import cause_name, causes
from steadyneedle.bench.diagnosis.examination_list import examinations
from steadyneedle.jobs.bill import cost
from steadyneedle.jobs.filter_colour import filter_colour
from steadyneedle.jobs.mystery import Job
from steadyneedle.jobs.path import CONFIDENCES, OFTEN, JobPath
from steadyneedle.jobs.play import BARE, BARE_NAME, counts_as, seen
from steadyneedle.jobs.whole_names import whole_name
from steadyneedle.teaching.figures.drawing import Localise
from steadyneedle.teaching.frame.form import ChoiceField, Message, Picture
from steadyneedle.teaching.learner import job_words as words
from steadyneedle.teaching.learner.job_debrief import needle_picture
from steadyneedle.teaching.learner.job_steps import ON, SHUT

ALL_ITS_MINUTES = "A test costs all its minutes, also where you stop it early"
CHOOSE_NEXT = "Say again what you think, choose the next test, and go on; or stop when you are sure enough."


def fields_of(one: Job, state: dict[str, Any], path: JobPath) -> tuple[ChoiceField, ...]:
    """What is believed, and the next test; at the stop, what is done now."""
    now, turn = state.get("leaning", {}), len(path.steps)
    options = tuple((key, cause_name(key)) for key in causes(one.design))
    sure = tuple((str(value), f"{value} %") for value in CONFIDENCES)
    fixed = bool(state.get("pending"))
    believed = (
        ChoiceField("cause", "I think it is", options, now.get("cause", ""), fixed, "list"),
        ChoiceField("sure", "How sure?", sure, now.get("sure", ""), fixed, "list"),
    )
    if fixed:
        test = state["pending"]
        done = counts_as(one.number, test, path.findings) == test
        ways = words.ways_at_the_stop(seen(one.number, test, turn), done)
        return (*believed, ChoiceField("now", "What do you do now?", tuple(zip((SHUT, ON), ways, strict=True)), ""))
    tests = [(row.key, whole_name(row.key), cost(row.key, path.tests)) for row in examinations(one.design)]
    at = next(n for n, row in enumerate(tests) if row[0] == "blank") + 1
    tests.insert(at, (BARE, BARE_NAME, cost("blank", path.tests)))
    # the key carries the turn: a second press of the button asks for a test that has been done, and nothing happens
    listed = tuple(
        (f"{turn}:{key}", f"{name}{words.repeated(key, path.tests)}: {words.cost_words(bill)}")
        for key, name, bill in tests
        if path.tests.count(key) < OFTEN
    )
    chosen = now.get("test", "")
    return (
        *believed,
        ChoiceField("test", "Next test", listed, chosen if chosen in dict(listed) else "", layout="list"),
    )


def what_it_showed(one: Job, state: dict[str, Any], path: JobPath, localise: Localise) -> Message:
    """That the needle is at the stop, or what the last test showed."""
    pending = state.get("pending", "")
    if pending:
        line = words.at_the_stop(pending, seen(one.number, pending, len(path.steps)))
        bill = words.cost_words(cost(counts_as(one.number, pending, path.findings), path.tests))
        costs = f"{ALL_ITS_MINUTES}: here {bill}."
        return Message("The needle is at the stop", (localise(line), costs, "Choose what you do, then press: Do it."))
    last = path.steps[-1]
    shown = seen(one.number, last.test, len(path.steps) - 1)
    shut = (words.shut_there(shown),) if state.get("shut") else (localise(words.past_the_stop(shown)),)
    instead = words.not_done(one, state.get("instead", ""))
    colour = [filter_colour(one.number, last.outcome)] if last.test == "look_filter" else []
    name = words.name_of(last.test, path.tests[:-1])
    told = (instead, f"{name}: {last.outcome}.", *colour, *shut, CHOOSE_NEXT)
    return Message("It showed", tuple(filter(None, told)))


def before_and_spent(one: Job, state: dict[str, Any], path: JobPath, localise: Localise) -> str:
    """What the chosen test needs and risks, then what was spent."""
    turn, _, test = state.get("leaning", {}).get("test", "").partition(":")
    chosen = words.before_it(one, test) if turn == str(len(path.steps)) and not state.get("pending") else ""
    return " ".join(filter(None, (localise(chosen), words.spent_so_far(path))))


def needle_of(one: Job, state: dict[str, Any], path: JobPath, localise: Localise) -> Picture | None:
    """The needle's picture of the test that is going on, or of the last one."""
    if state.get("pending"):
        return needle_picture(one, seen(one.number, state["pending"], len(path.steps)).up_to_the_stop(), localise)
    return needle_picture(one, seen(one.number, path.tests[-1], len(path.steps) - 1), localise) if path.steps else None
