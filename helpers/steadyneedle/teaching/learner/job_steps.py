"""What the buttons of a mystery job do to what is kept of it: fields changed in place, which the form saves."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.diagnosis.cause_list import causes
from steadyneedle.bench.diagnosis.examination_list import tests
from steadyneedle.jobs.best_path import advice_lines, best_path
from steadyneedle.jobs.mystery import Job
from steadyneedle.jobs.path import AT_THE_STOP, CONFIDENCES, MOST_STEPS, NO_RELIEF, OFTEN, JobPath, PathError, Said
from steadyneedle.jobs.play import BARE, counts_as, seen

NOT_YET = "Say what you think it is and how sure you are, and choose a test. A guess counts: nobody marks it."
TWICE_DONE = "That test was done twice. Choose another one, or stop."
SHUT, ON = "shut", "on"
GONE_AT_REPLAY = ("debriefed", "leaning", "recorded", "stopping", "asked", "shut", "instead", "advice", "best", "file")

State = dict[str, Any]
Answers = dict[str, str]


def prepare(button: str, one: Job, state: State, path: JobPath, answers: Answers) -> None:
    """Compute what a press will need, before the learner's file is held."""
    turn, _, test = answers.get("test", "").partition(":")
    if button == "debrief" and path.end:
        best_path(one.number)
    elif button == "advice" and not path.end and not state.get("pending"):
        advice_lines(one.number, path.findings)
    elif button == "do" and test in tests(one.design) and turn == str(len(path.steps)):
        seen(one.number, test, len(path.steps))


def pending_in(one: Job, state: State) -> str:
    """The test at whose stop somebody has to choose; empty where there is none."""
    test = state.get("pending", "")
    return test if test in tests(one.design) else ""


def begin(one: Job, state: State) -> None:
    """Put a job on the bench: where it was left, or at its beginning."""
    if not _paths(one, state):
        _keep(state, JobPath(one.number, one.design))


def act(button: str, one: Job, state: State, answers: Answers, most: int = MOST_STEPS) -> None:
    """What a button does, in a job of at most so many tests; a button that has nothing to do does nothing."""
    path = last_path(one, state)
    if path.end:
        _after_the_end(button, one, state)
    elif pending_in(one, state):
        _at_the_stop(button, one, state, path, answers)
    else:
        _at_work(button, one, state, path, answers, most)


def _at_work(button: str, one: Job, state: State, path: JobPath, answers: Answers, most: int) -> None:
    turn, _, test = answers.get("test", "").partition(":")
    if button == "do" and path.steps and (not test or turn != str(len(path.steps))) and not state.get("asked"):
        return  # the button was pressed twice: the test is done, and what it showed stands there
    belief = belief_in(one, answers)
    state.pop("asked", None)
    state.pop("shut", None)
    state.pop("instead", None)
    if button == "end" and state.get("stopping") and belief.cause:
        _keep(state, path.stopped(belief))
    state.pop("stopping", None)
    if not belief.cause and button in ("do", "advice", "stop"):
        state["asked"] = NOT_YET
    elif button == "stop":
        state["asked"], state["stopping"] = "stop", True
    elif button == "advice":
        _advise(one, state, path, belief)
    elif button == "do":
        _do(one, state, path, belief, test if turn == str(len(path.steps)) else "", most)


def _do(one: Job, state: State, path: JobPath, belief: Said, test: str, most: int) -> None:
    if len(path.steps) >= most:
        state["asked"] = f"{most} tests are enough: say what you think it is, and stop."
    elif test == BARE:
        _keep(state, path.failed("blank", NO_RELIEF, belief))
    elif test not in tests(one.design):
        state["asked"] = NOT_YET
    elif path.tests.count(test) >= OFTEN:
        state["asked"] = TWICE_DONE
    elif seen(one.number, test, len(path.steps)).at_stop:
        state["pending"] = test
        state["leaning"] = {"cause": belief.cause, "sure": str(belief.confidence)}
    else:
        _finish(one, state, path, belief, test)


def _finish(one: Job, state: State, path: JobPath, belief: Said, test: str) -> None:
    recorded = belief_in(one, state.pop("recorded", {}))
    chosen, test = test, counts_as(one.number, test, path.findings)
    if test != chosen:
        state["instead"] = chosen
    outcome, advised = seen(one.number, test, len(path.steps)).outcome, bool(recorded.cause)
    _keep(state, path.done(test, outcome, recorded if advised else belief, advised))
    state["leaning"] = {"cause": belief.cause, "sure": str(belief.confidence)}


def _at_the_stop(button: str, one: Job, state: State, path: JobPath, answers: Answers) -> None:
    if button != "do" or answers.get("now") not in (SHUT, ON):
        return
    test, belief = state.pop("pending"), belief_in(one, state.get("leaning", {}))
    if answers["now"] == ON:
        _keep(state, path.failed(test, AT_THE_STOP, belief))
    else:
        _finish(one, state, path, belief, test)
        state["shut"] = True


def _advise(one: Job, state: State, path: JobPath, belief: Said) -> None:
    """What is computed, once this step's own belief is recorded: that one stands, whatever is chosen after it."""
    state.setdefault("recorded", {"cause": belief.cause, "sure": str(belief.confidence)})
    state["asked"], state["advice"] = "advice", list(advice_lines(one.number, path.findings))


def _after_the_end(button: str, one: Job, state: State) -> None:
    if button == "debrief":
        state["debriefed"] = True
        state["best"] = best_path(one.number).data()
    elif button == "replay":
        for gone in GONE_AT_REPLAY:
            state.pop(gone, None)
        _keep(state, JobPath(one.number, one.design, replay=True), another=True)


def belief_in(one: Job, said: Answers) -> Said:
    """What the fields `cause` and `sure` say: a cause that the design can have and a confidence, or nothing."""
    cause, sure = said.get("cause", ""), said.get("sure", "")
    known = cause in causes(one.design) and sure in {str(each) for each in CONFIDENCES}
    return Said(cause, int(sure)) if known else Said()


def _paths(one: Job, state: State) -> list[JobPath]:
    """The paths of a job that are kept, the first one first; what is no path of it is as if it were not there."""
    paths = []
    for data in state.get("paths", []):
        try:
            paths.append(JobPath.of(data))
        except PathError:
            continue
    return [path for path in paths if (path.job, path.design) == (one.number, one.design)]


def last_path(one: Job, state: State) -> JobPath:
    """The path that is going on, or the last one; an empty one where there is none."""
    paths = _paths(one, state)
    return paths[-1] if paths else JobPath(one.number, one.design)


def first_path(one: Job, state: State) -> JobPath:
    """The path of a job that stays for good; an empty one where there is none."""
    paths = _paths(one, state)
    return paths[0] if paths else JobPath(one.number, one.design)


def _keep(state: State, path: JobPath, another: bool = False) -> None:
    """Put a path in the place of the last one, or after it."""
    paths = state.setdefault("paths", [])
    if not paths or another:
        paths.append(path.data())
    else:
        paths[-1] = path.data()
