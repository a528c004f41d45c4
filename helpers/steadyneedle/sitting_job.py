"""A mystery job in a paper: played as in the lessons, without advice, debrief or replay; every step is an answer.

What is done is kept as the path that is handed in; what is chosen and not done yet stands beside it. Nothing here says
what is wrong, or what is believed of it by computing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.job_marking import read_path_of
from steadyneedle.assessing.paper_file import Item
from steadyneedle.jobs.mystery import Job, job
from steadyneedle.jobs.path import MOST_IN_A_PAPER, STOPPED, JobPath, PathError, Said
from steadyneedle.jobs.path_file import as_text
from steadyneedle.jobs.play import why_critical
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.form import Button, Form, Message, Picture
from steadyneedle.teaching.learner import job_steps
from steadyneedle.teaching.learner import job_words as words
from steadyneedle.teaching.learner.job_asked import (
    ALL_ITS_MINUTES,
    before_and_spent,
    fields_of,
    needle_of,
    what_it_showed,
)

LEFT = "left"
"""Sent when a field was changed: what the chosen test needs is said then, and no field is drawn anew meanwhile."""

BUTTONS = ("do", "stop", "end")
"""All that a paper lets one press."""

FIELDS = ("cause", "sure", "test")
STATES = ("pending", "asked", "stopping", "shut", "instead")
SAY_ALL = (
    "Say what you think it is and how sure you are, and choose a test. A guess is an answer too: say how sure you are."
)
SAY_BOTH = "To end the job, say what you think it is and how sure you are."
UNREAD = "What was kept of this job cannot be read, so it begins anew."


class JobInPaper:
    """The form of a job in a paper.

    Parameters
    ----------
    item : Item
        The question; its number of a job is all that it knows of what is hidden.
    answers : Answers
        Where the path is kept, at every step.
    counted : callable
        Called when the question has become an answered one.
    """

    def __init__(self, item: Item, answers: Answers, counted: Callable[[], None] = lambda: None) -> None:
        self._item = item
        self._answers = answers
        self._counted = counted
        self._job: Job = job(item.job)
        self._localise = Preferences().localise
        self._painted: dict[tuple[tuple[str, ...], str], Picture | None] = {}

    # what is kept -----------------------------------------------------------------------------------

    def _path(self) -> JobPath:
        """The path as it stands; an empty one where none is kept, or none that can be read."""
        try:
            return read_path_of(self._answers.typed().get(self._item.number, ""), self._job.number)
        except PathError:
            return JobPath(self._job.number, self._job.design)

    def _state(self) -> dict[str, Any]:
        """What is kept, as `job_steps` knows it."""
        beside, path = self._answers.beside(self._item.number), self._path()
        state: dict[str, Any] = {name: beside[name] for name in STATES if beside.get(name)}
        state |= {"paths": [path.data()], "leaning": {name: beside.get(name, "") for name in FIELDS}}
        state["pending"] = "" if path.end else job_steps.pending_in(self._job, state)
        return {name: value for name, value in state.items() if value}

    def _keep(self, state: dict[str, Any]) -> None:
        path = job_steps.last_path(self._job, state)
        beside = {name: str(state[name]) for name in STATES if state.get(name)}
        beside |= {name: value for name, value in state.get("leaning", {}).items() if name in FIELDS and value}
        begun = bool(path.steps or path.end)
        before = self._answers.typed().get(self._item.number, "")
        self._answers.keep(self._item.number, as_text(path) if begun else "", beside)
        if begun and not before.strip():
            self._counted()

    # what is shown ----------------------------------------------------------------------------------

    def view(self) -> Form:
        """The form as it stands."""
        state, path = self._state(), self._path()
        pending, ended = state.get("pending", ""), bool(path.end)
        believes = bool(job_steps.belief_in(self._job, state.get("leaning", {})).cause)
        stopping = bool(state.get("stopping")) and believes and not pending and not ended
        full = len(path.steps) >= MOST_IN_A_PAPER
        return Form(
            title=f"Answer {self._item.number}",
            question=(f"{self._job.design}, on the bench.",),
            tables=(words.found_so_far(path),),
            fields=() if ended else fields_of(self._job, state, path),
            buttons=(
                Button("do", "Do it" if pending else "Do this test", off=ended or (full and not pending)),
                Button("stop", "I am sure enough", off=ended or bool(pending) or not path.steps),
                Button("end", "End the job with this", off=not stopping),
            ),
            enter="" if ended else "do",
            message=self._message(state, path),
            note=words.spent_so_far(path) if ended else before_and_spent(self._job, state, path, self._localise),
            version=1000 if ended else len(path.steps) * 2 + bool(pending),
            picture=self._needle(state, path),
            beside=True,
            focus="" if ended else "now" if pending else "test",
            leaving=LEFT,
        )

    def _needle(self, state: dict[str, Any], path: JobPath) -> Picture | None:
        """The needle's picture, painted once for each test: a form is viewed after each change."""
        which = (path.tests, state.get("pending", ""))
        if which not in self._painted:
            self._painted = {which: needle_of(self._job, state, path, self._localise)}
        return self._painted[which]

    def _message(self, state: dict[str, Any], path: JobPath) -> Message:
        said = f"You said: {words.belief_words(path.verdict)}."
        if path.end:
            if path.end != STOPPED:
                return Message("Critical failure: the job ends here", why_critical(path.because))
            return Message("The job has ended", (said, "You hand it in with the other answers, at the end."))
        if state.get("asked") == "stop":
            return _sure_enough(job_steps.belief_in(self._job, state.get("leaning", {})))
        if state.get("asked") and not state.get("pending"):
            asked = SAY_ALL if state["asked"] == job_steps.NOT_YET else str(state["asked"])
            return Message("Not done yet", (asked,))
        if not path.steps and not state.get("pending"):
            kept = self._answers.typed().get(self._item.number, "").strip()
            return Message("A job on your bench", (UNREAD if kept else SAY_ALL, f"{ALL_ITS_MINUTES}."))
        return what_it_showed(self._job, state, path, self._localise)

    # what is done -----------------------------------------------------------------------------------

    def typed(self, answers: dict[str, str]) -> None:
        """Keep which way the candidate leans."""
        state = self._state()
        leaning = {name: answers[name] for name in FIELDS if name in answers}
        if self._path().end or state.get("pending") or not leaning:
            return
        state["leaning"] = {**state.get("leaning", {}), **leaning}
        self._keep(state)

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Do a test, say what to do at the stop, say that one is sure, or end the job."""
        if button not in BUTTONS:
            return
        state, path = self._state(), self._path()
        if path.end or (button == "stop" and not path.steps):  # nobody ends a job in which nothing was done
            return
        job_steps.prepare(button, self._job, state, path, answers)
        job_steps.act(button, self._job, state, answers, MOST_IN_A_PAPER)
        self._keep(state)


def _sure_enough(belief: Said) -> Message:
    """What is asked before a job ends; it follows what is said, and where that is not whole any more it says so."""
    if not belief.cause:
        return Message("Not done yet", (SAY_BOTH,))
    told = f"You say: {words.belief_words(belief)}. Once ended, the job cannot be taken up again."
    return Message("Sure enough?", (told, "End the job with this, or change what you think and test on."))
