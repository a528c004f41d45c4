"""A mystery job on one page: what is known, what can be done and what it costs, what one believes; then the debrief."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

from steadyneedle.foundation import places
from steadyneedle.jobs.briefing import what_is_known
from steadyneedle.jobs.mystery import Job, graded, job
from steadyneedle.jobs.path import LARGEST, MOST_STEPS, STOPPED, JobPath
from steadyneedle.jobs.play import why_critical
from steadyneedle.teaching.frame.form import Button, ChoiceField, Form, Message, TextField
from steadyneedle.teaching.learner import job_steps
from steadyneedle.teaching.learner import job_words as words
from steadyneedle.teaching.learner.job_asked import before_and_spent, fields_of, needle_of, what_it_showed
from steadyneedle.teaching.learner.job_debrief import debrief_view, saved_words
from steadyneedle.teaching.learner.job_steps import NOT_YET
from steadyneedle.teaching.learner.kept import JOB, JOBS
from steadyneedle.teaching.learner.progress import JOB_ROOM, Progress

TITLE = "Mystery jobs"
TAKE, DO, ADVICE, STOP, END, ASIDE = (
    Button("take", "Take this job"), Button("do", "Do this test"), Button("advice", "Record what I think, show advice"),
    Button("stop", "I am sure enough"), Button("end", "End the job with this"),
    Button("aside", "Put it aside", apart=True),
)  # fmt: skip
DEBRIEF, REPLAY, OTHER = (
    Button("debrief", "Show the debrief"), Button("replay", "Play it once more, as a replay"),
    Button("aside", "Take another job", apart=True),
)  # fmt: skip


class JobSession:
    """The form of mystery jobs; every step is kept in the learner's file, the first path of a job for good.

    Parameters
    ----------
    progress : Progress
        The learner's file.
    folder : callable
        Where the file of a path goes.
    """

    def __init__(self, progress: Progress, folder: Callable[[], Path] = places.work) -> None:
        self._progress = progress
        self._folder = folder
        self._localise = progress.preferences().localise
        self._shown: tuple[Any, ...] | None = None
        self._told = ""

    # what is kept -----------------------------------------------------------------------------------

    def _at(self) -> Job | None:
        """The job on the bench; None where none is."""
        number = str(self._progress.entry(JOB_ROOM, "form", fields=JOBS).get("at", ""))
        return job(int(number)) if number.isdigit() and 1 <= int(number) <= LARGEST else None

    def _kept(self, one: Job) -> tuple[dict[str, Any], JobPath]:
        """What is kept of a job, and its last path."""
        state = self._progress.entry(JOB_ROOM, str(one.number), fields=JOB)
        state["pending"] = job_steps.pending_in(one, state)
        return state, job_steps.last_path(one, state)

    def _where(self) -> tuple[Any, ...]:
        """Which job is on the bench, and how far it has gone."""
        one = self._at()
        if one is None:
            return ("",)
        state, path = self._kept(one)
        return one.number, path.replay, len(state.get("paths", [])), len(path.steps), path.end, state["pending"]

    def _overtaken(self) -> bool:
        """Whether another window has gone on since this one was shown: then nothing is done, and it is told."""
        now, told = self._where(), ""
        if self._shown is not None and now != self._shown:
            job_now = f"Job {now[0]} is" if now[0] else "No job is"
            other = now[0] != self._shown[0]
            told = f"{job_now} on the bench now" if other else "This job has gone on"
            told += (
                ": another window did that. What you pressed here was not done. Look at what stands here, then go on."
            )
        self._told = told
        return bool(told)

    # what is shown ----------------------------------------------------------------------------------

    def view(self) -> Form:
        """The form as it stands."""
        self._shown = self._where()
        form = self._form()
        return dataclasses.replace(form, message=Message("Not done", (self._told,))) if self._told else form

    def _form(self) -> Form:
        one = self._at()
        if one is None:
            return self._to_take()
        state, path = self._kept(one)
        return self._ended(one, state, path) if path.end else self._working(one, state, path)

    def _to_take(self) -> Form:
        state = self._progress.entry(JOB_ROOM, "form", fields=JOBS)
        titles = tuple((str(n), f"{n}. {title}") for n, title in graded().items())
        asked = Message("Not taken yet", (state["asked"],)) if state.get("asked") else Message()
        return Form(
            title=TITLE,
            question=(
                "A regulator comes in with something hidden, or with nothing wrong. Each test costs minutes, some cost "
                "money. Find the cause in few steps, say how sure you are at each, and stop when you are sure enough.",
                f"Ten jobs go from plain to nasty. Any other number to {LARGEST:,} is a job too, the same one for "
                "everybody: a class can agree on one.",
            ),
            fields=(
                ChoiceField("pick", "One of the ten", titles, str(state.get("pick", "")), layout="list"),
                TextField("number", "Or any number", str(state.get("number", ""))),
            ),
            buttons=(TAKE,),
            enter="take",
            message=asked,
            note="A job that you left is where you left it. A job that has ended is played once more as a replay.",
            anchor="mystery-jobs",
        )

    def _title(self, one: Job, path: JobPath) -> str:
        title = f": {one.title}" if one.title else ""
        return f"Job {one.number}{title}{' (a replay)' if path.replay else ''}"

    def _working(self, one: Job, state: dict[str, Any], path: JobPath) -> Form:
        pending = state.get("pending", "")
        stopping = bool(state.get("stopping")) and not pending
        full = len(path.steps) >= MOST_STEPS
        do = Button("do", "Do it") if pending else Button("do", DO.label, off=full)
        buttons = (
            do, Button("advice", ADVICE.label, off=bool(pending)), Button("stop", STOP.label, off=bool(pending)),
            Button("end", END.label, off=not stopping), ASIDE,
        )  # fmt: skip
        return Form(
            title=self._title(one, path),
            question=tuple(map(self._localise, what_is_known(one))),
            tables=(words.found_so_far(path),),
            fields=fields_of(one, state, path),
            buttons=buttons,
            enter="do",
            message=self._message(one, state, path),
            note=before_and_spent(one, state, path, self._localise),
            version=len(path.steps) * 2 + bool(pending),
            picture=needle_of(one, state, path, self._localise),
            beside=True,
            focus="now" if pending else "test",
            anchor="mystery-jobs",
        )

    def _message(self, one: Job, state: dict[str, Any], path: JobPath) -> Message:
        pending, asked = state.get("pending", ""), state.get("asked", "")
        belief = job_steps.belief_in(one, state.get("leaning", {}))
        if pending:
            return what_it_showed(one, state, path, self._localise)
        if asked == "advice":
            return Message("Advice", tuple(map(self._localise, state.get("advice", []))))
        if asked == "stop" and belief.cause:
            return Message(
                "Sure enough?",
                tuple(map(self._localise, words.would_do(belief, path.tests))),
            )
        if asked:
            return Message("Not done yet", (asked,))
        if not path.steps:
            return Message("A new job", (NOT_YET,))
        return what_it_showed(one, state, path, self._localise)

    def _ended(self, one: Job, state: dict[str, Any], path: JobPath) -> Form:
        shown = bool(state.get("debriefed"))
        buttons = (Button("debrief", DEBRIEF.label, off=shown), REPLAY, OTHER)
        begin = Form(
            title=self._title(one, path), question=tuple(map(self._localise, what_is_known(one))), fields=(),
            buttons=buttons, enter="" if shown else "debrief", version=1000 + shown, anchor="mystery-jobs",
        )  # fmt: skip
        if shown:
            return debrief_view(begin, path, state.get("best"), state.get("file", ""), self._localise)
        why = why_critical(path.because) if path.end != STOPPED else ()
        word = "Critical failure: the job ends here" if why else "The job has ended"
        said = f"You said: {words.belief_words(path.verdict)}. The debrief says what it was and what would have told."
        message, tables = Message(word, why or (said,)), (words.found_so_far(path),)
        return dataclasses.replace(begin, message=message, tables=tables, note=words.spent_so_far(path))

    # what is done -----------------------------------------------------------------------------------

    def typed(self, answers: dict[str, str]) -> bool:
        """Keep which job is meant, or which way the learner leans; True where the words follow it."""
        was_told = bool(self._told)
        return True if self._overtaken() else self._typed(answers) or was_told

    def _typed(self, answers: dict[str, str]) -> bool:
        one = self._at()
        if one is None:
            with self._progress.change(JOB_ROOM, "form", fields=JOBS) as form:
                form.update({name: answers.get(name, "") for name in ("pick", "number")})
            return False
        state, path = self._kept(one)
        leaning = {name: answers[name] for name in ("cause", "sure", "test") if answers.get(name)}
        if path.end or state.get("pending") or not leaning or leaning == state.get("leaning"):
            return False
        with self._progress.change(JOB_ROOM, str(one.number), fields=JOB) as kept:
            kept["leaning"] = {**kept.get("leaning", {}), **leaning}
        before = state.get("leaning", {})
        asked = {"test", "cause", "sure"} if state.get("stopping") else {"test"}
        return any(leaning.get(name, "") != before.get(name, "") for name in asked)

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Take a job, do a test, ask for advice, stop, end, look back, play again, or put the job aside."""
        if not self._overtaken():
            self._act(button, answers)
            self._shown = self._where()

    def _act(self, button: str, answers: dict[str, str]) -> None:
        one = self._at()
        if one is None:
            if button == "take":
                self._take(answers)
            return
        if button == "aside":
            with self._progress.change(JOB_ROOM, "form", fields=JOBS) as form:
                form.update({"at": "", "number": "", "pick": ""})
            return
        job_steps.prepare(button, one, *self._kept(one), answers)
        with self._progress.change(JOB_ROOM, str(one.number), fields=JOB) as state:
            job_steps.act(button, one, state, answers)
            if button == "debrief" and state.get("debriefed"):
                path, first = job_steps.last_path(one, state), job_steps.first_path(one, state)
                state["file"] = saved_words(path, first, self._folder())

    def _take(self, answers: dict[str, str]) -> None:
        typed, picked = answers.get("number", "").strip(), answers.get("pick", "")
        said = typed.replace(" ", "").replace(",", "") or picked
        usable = said.isascii() and said.isdigit() and len(said) < 9 and 1 <= int(said) <= LARGEST
        with self._progress.change(JOB_ROOM, "form", fields=JOBS) as form:
            form.pop("asked", None)
            if not usable:
                form["asked"] = f"Choose one of the ten, or type a whole number from 1 to {LARGEST:,}."
                return
            form["at"] = str(int(said))
        one = job(int(said))
        with self._progress.change(JOB_ROOM, str(one.number), fields=JOB) as state:
            job_steps.begin(one, state)
