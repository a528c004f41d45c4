"""Predicting: a question whose answer stays covered until one has said what one expects, kept in the learner's file."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from steadyneedle.questions.plans import SURE, Prediction, Series
from steadyneedle.teaching.frame.form import Button, ChoiceField, Cover, Form, Message, Picture
from steadyneedle.teaching.learner.kept import PREDICTION, SERIES
from steadyneedle.teaching.learner.progress import Progress

WITHOUT = "without predicting"
"""How a file says that somebody looked first."""

RECORD, SHOW, AGAIN = (
    Button("record", "Record my prediction"),
    Button("show", "Show me without predicting"),
    Button("again", "Cover it again"),
)
CHOOSE, SAY_HOW_SURE = "Choose one answer first. A guess is welcome: nobody marks it.", "Say also how sure you are."
EARLIER = 20
"""So many earlier predictions are kept."""


def sure_field(kept: str, fixed: bool) -> ChoiceField:
    """The field that asks how sure one is."""
    return ChoiceField("sure", "How sure are you?", tuple(SURE.items()), kept if kept in SURE else "", fixed, "line")


def said(words: str, sure: str = "") -> str:
    """What somebody said, and how sure they were."""
    return f"You said: {words}" + (f" ({SURE[sure]})" if sure in SURE else "")


def keep_earlier(state: dict[str, Any], what: Any) -> None:
    """Keep what is about to be covered again."""
    earlier = state.setdefault("earlier", [])
    earlier.append(what)
    del earlier[:-EARLIER]


class PredictionSession:
    """A prediction: recorded before what answers it is uncovered, explained after one has looked."""

    def __init__(self, prediction: Prediction, progress: Progress, keys: tuple[str, ...]) -> None:
        self._prediction = prediction
        self._progress = progress
        self._keys = keys

    @property
    def recorded(self) -> str:
        """Key of what was predicted; empty before."""
        return self._prediction.key_of(str(self._progress.entry(*self._keys, fields=PREDICTION).get("recorded", "")))

    @property
    def open(self) -> bool:
        """Whether what answers it may be seen."""
        return bool(self.recorded or self._progress.entry(*self._keys, fields=PREDICTION).get("shown"))

    def view(self) -> Form:
        """The form as it stands."""
        state = self._progress.entry(*self._keys, fields=PREDICTION)
        prediction, recorded, uncovered = self._prediction, self.recorded, self.open
        to_explain = uncovered and not state.get("explained")
        buttons = (RECORD, SHOW)
        if uncovered:
            buttons = (*((Button("explain", "I have looked: explain"),) if to_explain else ()), AGAIN)
        leaning = prediction.key_of(str(state.get("leaning", "")))
        localise = self._progress.preferences().localise
        options = tuple((key, localise(words)) for key, words in prediction.options.items())
        fields = [ChoiceField("prediction", localise(prediction.question), options, recorded or leaning, uncovered)]
        if prediction.how_sure:
            fields.append(sure_field(str(state.get("sure", "")), uncovered))
        return Form(
            title="Predict first",
            fields=tuple(fields),
            buttons=buttons,
            enter="explain" if to_explain else "record",
            message=self._message(state, recorded, uncovered),
            version=int(uncovered),
            cover=Cover(self._keys[1], prediction.name, uncovered),
        )

    def _message(self, state: dict[str, Any], recorded: str, uncovered: bool) -> Message:
        """What was predicted, and the explanation once one has looked."""
        prediction, sure = self._prediction, str(state.get("sure", ""))
        if not uncovered:
            if not state.get("asked"):
                return Message()
            leaning = prediction.key_of(str(state.get("leaning", "")))
            return Message("Not recorded yet", (SAY_HOW_SURE if leaning and prediction.how_sure else CHOOSE,))
        localise = self._progress.preferences().localise
        lines = [said(prediction.options[recorded], sure if prediction.how_sure else "")] if recorded else []
        if not state.get("explained"):
            lines.append(prediction.look)
        else:
            reply = prediction.reply(recorded, sure) if recorded and prediction.reply else ""
            lines += [one for one in (reply, prediction.explanation) if one]
        return Message("Recorded" if recorded else f"Shown {WITHOUT}", tuple(localise(one) for one in lines))

    def typed(self, answers: dict[str, str]) -> None:
        """Keep which way the learner leans."""
        if self.open:
            return
        leans = {"leaning": answers.get("prediction", ""), "sure": answers.get("sure", "")}
        state = self._progress.entry(*self._keys, fields=PREDICTION)
        new = {name: key for name, key in leans.items() if key and state.get(name) != key}
        if new:
            with self._progress.change(*self._keys, fields=PREDICTION) as kept:
                kept.update(new)

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Record, show, explain, or cover again."""
        with self._progress.change(*self._keys, fields=PREDICTION) as state:
            if button == "record":
                self._record(state, answers)
            elif button == "show":
                state["shown"] = WITHOUT
            elif button == "explain":
                state["explained"] = True
            elif button == "again":
                keep_earlier(state, state.get("recorded") or f"shown {WITHOUT}")
                for gone in ("recorded", "shown", "explained", "asked", "leaning", "sure"):
                    state.pop(gone, None)

    def _record(self, state: dict[str, Any], answers: dict[str, str]) -> None:
        state["asked"] = True
        chosen, sure = answers.get("prediction", ""), answers.get("sure", "")
        if chosen not in self._prediction.options or (self._prediction.how_sure and sure not in SURE):
            return
        state["recorded"] = chosen
        if self._prediction.how_sure:
            state["sure"] = sure


class SeriesSession:
    """One question asked of several things in turn. Each reply comes once that one was answered, or shown.

    Parameters
    ----------
    series : Series
        What is asked.
    progress : Progress
        The learner's file.
    keys : tuple of str
        Where in the file.
    picture : callable
        From a number, from 1, and whether it was answered, to its picture.
    """

    def __init__(
        self, series: Series, progress: Progress, keys: tuple[str, ...], picture: Callable[[int, bool], Picture]
    ) -> None:
        self._series = series
        self._progress = progress
        self._keys = keys
        self._picture = picture

    def _state(self) -> tuple[dict[str, Any], int, dict[str, dict[str, str]]]:
        """What is kept, which one is asked now, and the answers by number."""
        state = self._progress.entry(*self._keys, fields=SERIES)
        kept, numbers = state.get("answers", {}), range(1, self._series.count + 1)
        at = min(max(int(state.get("at", 1)), 1), self._series.count)
        return state, at, {str(number): kept[str(number)] for number in numbers if str(number) in kept}

    @property
    def open(self) -> bool:
        """Whether every one was answered or shown."""
        return len(self._state()[2]) == self._series.count

    def view(self) -> Form:
        """The form as it stands."""
        series, (state, at, answers) = self._series, self._state()
        answer = answers.get(str(at))
        now = answer or {"said": str(state.get("leaning", "")), "sure": str(state.get("sure", ""))}
        buttons = self._buttons(at, answers)
        localise = self._progress.preferences().localise
        options = tuple((key, localise(words)) for key, words in series.options.items())
        said_now = now.get("said", "")
        leaning = said_now if said_now in series.options else ""
        return Form(
            title=f"Predict first: {at} of {series.count}",
            fields=(
                ChoiceField("prediction", localise(series.question), options, leaning, bool(answer), "columns"),
                sure_field(now.get("sure", ""), bool(answer)),
            ),
            buttons=buttons,
            enter=buttons[0].name,
            message=self._message(state, at, answers),
            version=2 * at + bool(answer),
            cover=Cover(self._keys[1], series.name, self.open, series.one_of(at), bool(answer)),
            picture=self._picture(at, bool(answer)),
        )  # fmt: skip

    def _buttons(self, at: int, answers: dict[str, dict[str, str]]) -> tuple[Button, ...]:
        count = self._series.count
        made = []
        if str(at) not in answers:
            made = [RECORD, SHOW]
            if len(answers) < count - 1:
                made.append(Button("show_all", f"Show me all {count}"))
        elif at < count:
            made = [Button("next", "Next")]
        if at > 1:
            made.append(Button("back", "Back"))
        if len(answers) == count:
            made.append(AGAIN)
        return tuple(made)

    def _message(self, state: dict[str, Any], at: int, answers: dict[str, dict[str, str]]) -> Message:
        series, answer = self._series, answers.get(str(at))
        if not answer:
            if not state.get("asked"):
                return Message()
            return Message("Not recorded yet", (SAY_HOW_SURE if state.get("leaning") in series.options else CHOOSE,))
        right, localise = series.right(at), self._progress.preferences().localise
        truth = f"The log says: {series.options[right]}. {series.because(at)}"
        lines = [truth, *([self._summary(answers)] if self.open else [])]
        if answer.get("said") not in series.options:
            return Message(f"Shown {WITHOUT}", tuple(localise(one) for one in lines))
        told = said(series.options[answer["said"]], answer.get("sure", ""))
        return Message(
            "Right" if answer["said"] == right else "Look again", tuple(localise(one) for one in (told, *lines))
        )

    def _summary(self, answers: dict[str, dict[str, str]]) -> str:
        """How many were right, and how many of those one was sure of."""
        told = {number: one for number, one in answers.items() if one.get("said") in self._series.options}
        right = {number for number, one in told.items() if one["said"] == self._series.right(int(number))}
        parts = []
        for key, words in SURE.items():
            mine = [number for number, one in told.items() if one.get("sure") == key]
            if mine:
                parts.append(f"{words}: {len(right.intersection(mine))} of {len(mine)}")
        each = f" ({'; '.join(parts)})" if parts else ""
        return f"Right of the {len(told)} you answered: {len(right)}{each}."

    def typed(self, answers: dict[str, str]) -> None:
        """Keep which way the learner leans on the one asked now."""
        state, at, kept = self._state()
        leans = {"leaning": answers.get("prediction", ""), "sure": answers.get("sure", "")}
        new = {name: key for name, key in leans.items() if key and state.get(name) != key}
        if str(at) not in kept and new:
            with self._progress.change(*self._keys, fields=SERIES) as entry:
                entry.update(new)

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Record or show the one asked now or all, go to another, or cover them again."""
        at, count = self._state()[1], self._series.count
        with self._progress.change(*self._keys, fields=SERIES) as state:
            kept = state.setdefault("answers", {})
            if button == "record":
                self._record(state, at, answers)
            elif button in ("show", "show_all"):
                for number in range(1, count + 1) if button == "show_all" else (at,):
                    kept.setdefault(str(number), {"shown": WITHOUT})
            elif button in ("next", "back"):
                state["at"] = min(max(at + (1 if button == "next" else -1), 1), count)
            elif button == "again":
                keep_earlier(state, kept)
                for gone in ("answers", "at", "recorded"):
                    state.pop(gone, None)
                kept = {}
            if button != "record" or str(at) in kept:
                for gone in ("leaning", "sure", "asked"):
                    state.pop(gone, None)
            if len(kept) == count:
                state["recorded"] = "all"

    def _record(self, state: dict[str, Any], at: int, answers: dict[str, str]) -> None:
        state["asked"] = True
        chosen, sure = answers.get("prediction", ""), answers.get("sure", "")
        if chosen in self._series.options and sure in SURE:
            state["answers"].setdefault(str(at), {"said": chosen, "sure": sure})
