"""Practising: an exercise in front of one learner, kept in the learner's file."""

from __future__ import annotations

import datetime
from functools import lru_cache
from typing import Any

from steadyneedle.bench.units import Q
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise, Givens, QuantityExercise
from steadyneedle.questions.keyed import KeyedExercise, SeveralExercise, VerdictExercise
from steadyneedle.questions.preferences import Preferences, unit_label
from steadyneedle.questions.shown import DialFace, Shown
from steadyneedle.teaching.figures.dial import dial_asked
from steadyneedle.teaching.figures.drawing import png_of
from steadyneedle.teaching.figures.trace_asked import trace_asked
from steadyneedle.teaching.frame.form import Button, ChoiceField, Field, Form, Message, Picture, TextField
from steadyneedle.teaching.frame.keyed_fields import places, ticks, verdict_and_reason
from steadyneedle.teaching.learner import coming_back, record
from steadyneedle.teaching.learner.kept import PRACTICE
from steadyneedle.teaching.learner.progress import Progress


def field_of(exercise: Exercise, givens: Givens, kept: str, preferences: Preferences) -> Field:
    """The field that an exercise's answer is typed or chosen in; `kept` is what was typed or chosen last."""
    if isinstance(exercise, ChoiceExercise):
        options = tuple((key, preferences.localise(words)) for key, words in exercise.options(givens).items())
        # beside a picture a list: picture, question and answer are seen at once
        layout = "list" if exercise.shows else "rows"
        return ChoiceField("answer", "Choose one", options, exercise.key_of(givens, kept), layout=layout)
    if isinstance(exercise, KeyedExercise):
        return _keyed_field(exercise, givens, kept, preferences)
    unit = unit_label(Q(1, exercise.unit).units) if isinstance(exercise, QuantityExercise) else ""
    return TextField("answer", f"Your answer, in {unit or 'numbers'}", kept)


def _keyed_field(exercise: KeyedExercise, givens: Givens, kept: str, preferences: Preferences) -> Field:
    """The field of an answer of more than one key."""

    def said(options: dict[str, str]) -> tuple[tuple[str, str], ...]:
        return tuple((key, preferences.localise(words)) for key, words in options.items())

    options = said(exercise.options(givens))
    if isinstance(exercise, VerdictExercise):
        return verdict_and_reason(options, said(exercise.reasons_shown(givens)), kept)
    return ticks(options, kept) if isinstance(exercise, SeveralExercise) else places(options, kept)


@lru_cache(maxsize=32)  # a form is viewed after each act, and its picture stays
def picture_of(shown: Shown) -> Picture:
    """What a question shows, painted."""
    figure = dial_asked(shown).figure({}) if isinstance(shown, DialFace) else trace_asked(shown)
    return Picture(png_of(figure), shown.text, shown)


def anchor(keys: tuple[str, ...]) -> str:
    """What a link to a question names."""
    return "sn-" + "-".join(word.replace(" ", "-") for word in keys[1:])


NEXT = 10
"""So many draws are looked at for one that differs from the last."""

SHOWN = {"right": "Right", "known mistake": "Not yet", "off": "Not yet", "not read": "Not read yet"}


class PracticeSession:
    """One exercise as a learner practises it: try, hint, worked solution, new numbers, and back to the earlier ones.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    progress : Progress
        The learner's file.
    keys : tuple of str
        Where in the file, and which numbers: the draw depends on them.
    heading : str
        Title above the question.
    """

    def __init__(self, exercise: Exercise, progress: Progress, keys: tuple[str, ...], heading: str) -> None:
        self._exercise = exercise
        self._progress = progress
        self._keys = keys
        self._heading = heading

    def _state(self) -> dict[str, Any]:
        state = self._progress.entry(*self._keys, fields=PRACTICE)
        record.begin(state, self._exercise)
        return state

    def givens(self, state: dict[str, Any]) -> dict[str, Any]:
        """The numbers of the attempt this learner is at."""
        return self._exercise.givens(*self._keys, int(state.get("attempt", 0)))

    def view(self) -> Form:
        """The form as it stands."""
        state, preferences = self._state(), self._progress.preferences()
        givens = self.givens(state)
        beside = self._exercise.shown(givens)
        hints = self._exercise.help_lines(givens, preferences)
        shown = min(int(state.get("hints", 0)), len(hints))
        message = self._message(state, givens)
        solved = bool(state.get("solution"))
        buttons = [
            Button("check", "Check"),
            Button("hint", "Hint", off=shown == len(hints)),
            Button("solution", "Worked solution", off=solved),
            Button("back", "Earlier numbers", off="before" not in state, apart=True),
            Button("new", "New numbers"),
        ]
        return Form(
            title=self._heading,
            question=tuple(self._exercise.question(givens, preferences)),
            fields=(field_of(self._exercise, givens, str(state.get("typed", "")), preferences),),
            buttons=tuple(buttons),
            enter="check",
            message=message,
            hints=tuple(hints[:shown]),
            solution=tuple(self._exercise.steps(givens, preferences)) if solved else (),
            note=self._note(state, message),
            anchor=anchor(self._keys),
            version=int(state.get("attempt", 0)),
            picture=picture_of(beside) if beside else None,
        )

    def _message(self, state: dict[str, Any], givens: dict[str, Any]) -> Message:
        """What was said to the answer checked last."""
        if "checked" not in state:
            return Message()
        checked = self._exercise.check(givens, self._key(givens, str(state["checked"])), self._progress.preferences())
        return Message(SHOWN[checked.outcome], checked.lines, (("answer", self._key(givens, str(state["checked"]))),))

    def _note(self, state: dict[str, Any], message: Message) -> str:
        """What help or a wrong first check has cost, or what help is about to cost."""
        kept = record.Record(self._progress.content(), record.today())
        if said := coming_back.said(state, self._exercise, kept, self._keys[2]):
            return said
        if message.word == SHOWN["right"]:
            return ""
        if record.helped(state):
            return "Help was taken: these numbers no longer count as done. New numbers will."
        return "A second hint, and these numbers no longer count as done." if state.get("hints") else ""

    def _key(self, givens: dict[str, Any], kept: str) -> str:
        """A kept answer as it is checked: an option by its key, whatever version kept it."""
        return self._exercise.key_of(givens, kept) if isinstance(self._exercise, ChoiceExercise) else kept

    def typed(self, answers: dict[str, str]) -> None:
        """Keep what was typed, as typed."""
        if self._state().get("typed", "") == answers.get("answer", ""):
            return
        with self._progress.change(*self._keys, fields=PRACTICE) as state:
            record.begin(state, self._exercise)
            state["typed"] = answers.get("answer", "")

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Check, hint, worked solution, new numbers, or back to the earlier ones."""
        before = record.Record(self._progress.content(), record.today())
        with self._progress.change(*self._keys, fields=PRACTICE) as state:
            record.begin(state, self._exercise)
            coming_back.enter_day(state, self._exercise, before, self._keys[2])
            helped, checked = record.helped(state), False
            if button == "check":
                checked = self._check(state, answers.get("answer", ""), before.day)
            elif button == "hint":
                state["hints"] = int(state.get("hints", 0)) + 1
            elif button == "solution":
                state["solution"] = True
            elif button == "new":
                self._new(state)
            elif button == "back":
                record.back(state)
            coming_back.enter_day(state, self._exercise, before, self._keys[2])
            coming_back.enter_coming_back(state, self._exercise, before, helped, checked)

    def _new(self, state: dict[str, Any]) -> None:
        """Numbers that are new to look at: where few are drawn the next may be the same."""
        before = self._asked(state)
        for _ in range(NEXT):
            record.new_draw(state)
            if self._asked(state) != before:
                return

    def _asked(self, state: dict[str, Any]) -> tuple[list[str], Shown | None]:
        """All that a learner is shown of a draw."""
        givens = self.givens(state)
        return self._exercise.question(givens), self._exercise.shown(givens)

    def _check(self, state: dict[str, Any], answer: str, day: str) -> bool:
        """Check an answer; whether it was entered among the tries."""
        state["typed"] = state["checked"] = answer
        feedback = self._exercise.check(self.givens(state), answer, self._progress.preferences())
        entered = record.enter_try(state, {
            "attempt": int(state.get("attempt", 0)), "typed": answer, "outcome": feedback.outcome,
            "mistake": feedback.mistake, "when": datetime.datetime.now().astimezone().isoformat(timespec="seconds"),
        })  # fmt: skip
        if entered:
            record.enter_check(state, self._exercise, day)
        return entered
