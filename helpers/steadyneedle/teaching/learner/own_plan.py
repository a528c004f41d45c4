"""A cleaning plan of one's own, built step by step, judged at each change, kept in the learner's file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from steadyneedle.bench.cleaning import Step, methods
from steadyneedle.bench.units import read_quantity
from steadyneedle.teaching.frame.form import Button, ChoiceField, Form, Message, TextField
from steadyneedle.teaching.learner.kept import PLAN
from steadyneedle.teaching.learner.progress import Progress

TITLE = "A plan of your own"
NUMBERS = {
    "minutes": ("Minutes", "min", "time"), "celsius": ("Temperature, °C", "°C", "temperature"),
    "percent": ("Strength, %", "%", "percent"), "kilohertz": ("Frequency, kHz", "kHz", "number"),
}  # fmt: skip
"""Number of a step to its label, its unit, and its kind for the reader of quantities."""

AT_LEAST = 3
"""So many steps somebody has judged before the best plan shows at the first press."""

MOST = 40
"""Steps of a plan; a service has a dozen."""

WORDS = {
    "within limits": "Within limits", "soil left": "Soil is left", "harm": "Harm", "incomplete": "Incomplete",
    "not covered": "Not covered",
}  # fmt: skip
FIRST = "Try at least three steps of your own first. Or press once more to see it now."
Kept = dict[str, str]
"""A step as it is kept: its method, and its numbers as they were typed."""


@dataclass(frozen=True)
class SoiledSet:
    """Parts and soils that a plan is for, and the story in a sentence."""

    name: str
    story: str
    parts: tuple[str, ...]
    soils: tuple[tuple[str, str], ...]


class JudgedPlan(Protocol):
    """What the session needs of a verdict."""

    @property
    def outcome(self) -> str: ...

    @property
    def sentences(self) -> tuple[str, ...]: ...


class FoundPlan(Protocol):
    """What the session needs of a best plan."""

    @property
    def steps(self) -> tuple[Step, ...] | None: ...

    @property
    def because(self) -> str: ...


Judge = Callable[[SoiledSet, tuple[Step, ...]], JudgedPlan]
Search = Callable[[SoiledSet], FoundPlan]


class OwnPlanSession:
    """Choose a set, add steps, move and change them; each change is judged.

    Parameters
    ----------
    sets : mapping
        Key to set; the first is shown first.
    judge, search : callable
        What judges a plan, and what finds the best one.
    progress : Progress
        The learner's file.
    keys : tuple of str
        Where in the file.
    """

    def __init__(
        self, sets: Mapping[str, SoiledSet], judge: Judge, search: Search, progress: Progress, keys: tuple[str, ...]
    ) -> None:
        self._sets = sets
        self._judge = judge
        self._search = search
        self._progress = progress
        self._keys = keys
        self._redrawn = 0
        self._refused = ""

    # what is kept -----------------------------------------------------------------------------------

    def _key(self, state: Mapping[str, Any]) -> str:
        """Which set is on the bench."""
        kept = str(state.get("set", ""))
        return kept if kept in self._sets else next(iter(self._sets))

    def _steps(self, state: Mapping[str, Any]) -> list[Kept]:
        """The plan for it."""
        return list(state.get("plans", {}).get(self._key(state), []))

    def _at(self, state: Mapping[str, Any]) -> int:
        """The step that is chosen, from 0; -1 where there is none."""
        return min(int(state.get("at", 0)), len(self._steps(state)) - 1)

    # what is shown ----------------------------------------------------------------------------------

    def view(self) -> Form:
        """The form as it stands."""
        state = self._progress.entry(*self._keys, fields=PLAN)
        steps, at, localise = self._steps(state), self._at(state), self._progress.preferences().localise
        one = self._sets[self._key(state)]
        lines = tuple((str(n), localise(f"{n + 1}. {self._words(step)}")) for n, step in enumerate(steps))
        fields = [ChoiceField("set", "What lies on the bench", _named(self._sets), self._key(state), layout="list")]
        if lines:
            fields.append(ChoiceField("at", "Your plan: choose a step to change, move or remove", lines, str(at)))
        fields.append(
            ChoiceField(
                "method", "Method", tuple((m, m) for m in methods()), str(state.get("method", "")), layout="list"
            )
        )
        numbers = [TextField(n, words[0], str(state.get(n, "")), short=True) for n, words in NUMBERS.items()]
        return Form(
            title=TITLE,
            question=(one.story, *(() if steps else ("Your plan is empty. Choose a method and add it.",))),
            fields=(*fields, *numbers),
            buttons=self._buttons(state, steps, at),
            enter="add",
            message=self._message(one, steps),
            solution=self._best(state, one),
            solution_title="The best plan by these rules",
            note="Numbers left empty are the usual ones. A new step comes after the chosen one.",
            version=self._redrawn,
        )  # fmt: skip

    def _buttons(self, state: Mapping[str, Any], steps: list[Kept], at: int) -> tuple[Button, ...]:
        last = len(steps) - 1
        return (
            Button("add", "Add", len(steps) >= MOST), Button("change", "Change", not steps),
            Button("up", "Move up", at < 1), Button("down", "Move down", at in (-1, last)),
            Button("remove", "Remove", not steps), Button("undo", "Undo", "before" not in state),
            Button("best", "Show the best plan", apart=True),
        )  # fmt: skip

    def _words(self, step: Kept) -> str:
        """A kept step as a sentence has it, or what is wrong with it."""
        try:
            return self._read(step).words
        except ValueError as error:
            return f"{step.get('method', '')}: {error}"

    def _message(self, one: SoiledSet, steps: list[Kept]) -> Message:
        """The verdict on the plan, or why the last step was not taken."""
        if self._refused:
            return Message("Not yet", (self._refused,))
        if not steps:
            return Message()
        localise = self._progress.preferences().localise
        try:
            verdict = self._judge(one, tuple(map(self._read, steps)))
        except ValueError as error:
            return Message("Not judged yet", (localise(str(error)),))
        return Message(WORDS.get(verdict.outcome, verdict.outcome), tuple(map(localise, verdict.sentences)))

    def _best(self, state: Mapping[str, Any], one: SoiledSet) -> tuple[str, ...]:
        """The best plan, once it was asked for."""
        if state.get("best") != self._key(state):
            return ()
        found = self._search(one)
        localise = self._progress.preferences().localise
        return tuple(map(localise, (*(step.words for step in found.steps or ()), found.because)))

    # what is done -----------------------------------------------------------------------------------

    def _read(self, step: Kept) -> Step:
        """A step as it was typed. ValueError says what to type instead."""
        method, part = step.get("method", ""), step.get("part")
        if not method:
            raise ValueError("Choose a method first.")
        decimal = self._progress.preferences().decimal
        numbers = {name: _number(step.get(name, ""), name, decimal) for name in NUMBERS}
        return Step(method, **numbers, part=part or None)

    def typed(self, answers: dict[str, str]) -> bool:
        """Keep what was typed; True where the form shows something else now: another set, another step."""
        state = self._progress.entry(*self._keys, fields=PLAN)
        one, at = answers.get("set", self._key(state)), answers.get("at", "")
        others = one in self._sets and one != self._key(state)
        another = not others and at.isdecimal() and int(at) != self._at(state) and int(at) < len(self._steps(state))
        typed = {name: answers[name] for name in ("method", *NUMBERS) if name in answers}
        with self._progress.change(*self._keys, fields=PLAN) as kept:
            kept.update(typed)
            if others:
                kept.update(set=one, at=0)
                kept.pop("before", None)
            if another:
                kept["at"] = int(at)
                step = self._steps(kept)[int(at)]
                kept.update({name: step.get(name, "") for name in ("method", *NUMBERS)})
        if others or another:
            self._redrawn += 1
            self._refused = ""
        return others or another

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Add, change, move or remove a step, take the last change back, or show the best plan."""
        self._refused = ""
        with self._progress.change(*self._keys, fields=PLAN) as state:
            steps, at = self._steps(state), self._at(state)
            if button == "best":
                self._ask_for_best(state, steps)
            elif button == "undo" and "before" in state:
                self._put(state, list(state["before"]), at)
            elif button in ("add", "change"):
                self._take(state, steps, at, button)
            elif button in ("up", "down", "remove") and steps:
                moved = at + {"up": -1, "down": 1}.get(button, 0)
                if button == "remove":
                    self._put(state, [*steps[:at], *steps[at + 1 :]], max(at - 1, 0))
                elif 0 <= moved < len(steps):
                    steps[at], steps[moved] = steps[moved], steps[at]
                    self._put(state, steps, moved)

    def _take(self, state: dict[str, Any], steps: list[Kept], at: int, button: str) -> None:
        """Add the step that stands in the fields after the chosen one, or put it in its place."""
        step = {name: str(state[name]) for name in ("method", *NUMBERS) if state.get(name)}
        try:
            self._read(step)
        except ValueError as error:
            self._refused = self._progress.preferences().localise(str(error))
            return
        if button == "change" and steps:
            self._put(state, [*steps[:at], step, *steps[at + 1 :]], at)
        elif button == "add" and len(steps) < MOST:
            self._put(state, [*steps[: at + 1], step, *steps[at + 1 :]], at + 1)
            state.update(dict.fromkeys(NUMBERS, ""))

    def _put(self, state: dict[str, Any], steps: list[Kept], at: int) -> None:
        """Another plan in the place of the one that is kept; the form is drawn anew."""
        state["before"] = self._steps(state)
        state.setdefault("plans", {})[self._key(state)] = steps
        state["at"] = max(at, 0)
        self._redrawn += 1

    def _ask_for_best(self, state: dict[str, Any], steps: list[Kept]) -> None:
        """Show it after a plan of three steps, or at the second press."""
        key = self._key(state)
        if len(steps) >= AT_LEAST or state.get("asked") == key:
            state["best"] = key
        else:
            state["asked"], self._refused = key, FIRST


def _named(sets: Mapping[str, SoiledSet]) -> tuple[tuple[str, str], ...]:
    return tuple((key, one.name) for key, one in sets.items())


def _number(text: str, name: str, decimal: str | None) -> float | None:
    """A number of a step as it was typed, with its unit or without; None where nothing was."""
    words, unit, kind = NUMBERS[name]
    text = text.strip()
    if not text:
        return None
    bare = text[: -len(unit)].strip() if text.casefold().endswith(unit.casefold()) else text
    try:
        return float(read_quantity(bare, "number", decimal).magnitude)
    except ValueError:
        try:
            return float(read_quantity(text, kind, decimal).to(unit if kind != "number" else "").magnitude)
        except ValueError as error:
            raise ValueError(f"{words}: {error}") from None
