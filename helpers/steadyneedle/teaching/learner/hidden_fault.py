"""Asking what is wrong with the regulator on a bench before it says so: what, how sure, which stage to open."""

from __future__ import annotations

from typing import Any, Protocol

from steadyneedle.bench.diagnosis import opening
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.jobs.under_test import UnderTest
from steadyneedle.physics.faults import Fault
from steadyneedle.questions.plans import SURE, HiddenFault
from steadyneedle.teaching.frame.form import Button, ChoiceField, Cover, Form, Message
from steadyneedle.teaching.learner.kept import HIDDEN_FAULT
from steadyneedle.teaching.learner.predictions import AGAIN, WITHOUT, keep_earlier, said, sure_field
from steadyneedle.teaching.learner.progress import Progress

TITLE = "What is wrong with it?"
STAGES = {
    opening.FIRST: "the first stage", opening.SECOND: "the second stage",
    opening.NEITHER: "neither: a hose, the gauge or the cylinder valve, or it only needs time",
}  # fmt: skip
MENDED = {
    opening.FIRST: "It is mended in the first stage", opening.SECOND: "It is mended in the second stage",
    opening.NEITHER: "No stage needs opening",
}  # fmt: skip
NOTHING_HIDDEN = "Choose *a surprise* on the bench, under *Fault*: then something is hidden."


class AskedOf(Protocol):
    """What the session needs of a bench."""

    def on_the_bench(self) -> UnderTest:
        """What stands on it."""

    def tell(self, on: bool) -> None:
        """Tell what is wrong, or hide it again."""


class HiddenFaultSession:
    """The form under a bench with a hidden fault: its answer is kept for each surprise, its reply compares."""

    def __init__(self, asked: HiddenFault, bench: AskedOf, progress: Progress, keys: tuple[str, ...]) -> None:
        self._asked = asked
        self._bench = bench
        self._progress = progress
        self._keys = keys

    def _job(self) -> str:
        """Which surprise stands on the bench."""
        one = self._bench.on_the_bench()
        return ", ".join((one.design, one.fault, one.other, one.severity, str(one.seed)))

    def _state(self) -> tuple[dict[str, Any], dict[str, str]]:
        """What is kept, and the answer to the surprise on the bench."""
        state = self._progress.entry(*self._keys, fields=HIDDEN_FAULT)
        return state, state.get("answers", {}).get(self._job(), {})

    @property
    def answered(self) -> bool:
        """Whether the bench may say what is wrong."""
        return not self._bench.on_the_bench().surprising or bool(self._state()[1])

    def _options(self) -> dict[str, str]:
        return {
            SOUND: "nothing is wrong",
            **{key: Fault.named(key).name for key in Fault.keys(self._bench.on_the_bench().design)},
        }

    def view(self) -> Form:
        """The form as it stands."""
        state, answer = self._state()
        cover = Cover(self._keys[1], self._asked.name, bool(state.get("recorded")))
        bench = self._bench.on_the_bench()
        if not bench.surprising:
            return Form(TITLE, (), (), "", question=(NOTHING_HIDDEN,), cover=cover)
        now = answer or {name: str(state.get(f"leaning {name}", "")) for name in ("said", "sure", "open")}
        fixed, options = bool(answer), tuple(self._options().items())
        buttons = (AGAIN,) if answer else (
            Button("record", "Record what I think"), Button("show", "Show me without saying"),
        )  # fmt: skip
        return Form(
            title=TITLE,
            question=(
                f"{bench.design}, surprise {bench.seed}: examine it first. The bench tells once you have said it.",
            ),
            fields=(
                ChoiceField("said", "It is", options, now.get("said", ""), fixed, "list"),
                sure_field(now.get("sure", ""), fixed),
                ChoiceField(
                    "open", "Which stage do you open?", tuple(STAGES.items()), now.get("open", ""), fixed, "line"
                ),
            ),
            buttons=buttons,
            enter=buttons[0].name,
            message=self._message(state, answer),
            version=int(fixed),
            cover=cover,
        )

    def _message(self, state: dict[str, Any], answer: dict[str, str]) -> Message:
        if not answer:
            if not state.get("asked"):
                return Message()
            return Message("Not recorded yet", ("Say all three: what it is, how sure you are, which stage you open.",))
        faults = tuple(self._bench.on_the_bench().faults())
        truth = f"It is: {' and '.join(Fault.named(key).name for key in faults)}."
        options = self._options()
        if answer.get("said") not in options:
            return Message(f"Shown {WITHOUT}", (truth, self._stage(faults, "")))
        told = said(options[answer["said"]], answer.get("sure", ""))
        right = answer["said"] in faults
        lines = [told, truth, self._stage(faults, answer.get("open", ""))]
        if not right:
            lines.append(self._apart(answer["said"], faults[0]))
        elif answer.get("sure") == "guess":
            lines.append("A guess that is right is luck: say what would have made you sure.")
        elif len(faults) > 1:
            lines.append("One of two: the other one is left for the customer to find.")
        return Message("Right" if right else "Look again", tuple(line for line in lines if line))

    def _stage(self, faults: tuple[str, ...], chosen: str) -> str:
        """Where it is mended, beside where the learner would have looked."""
        stages = sorted({opening.stage_to_open(key) for key in faults})
        where = " and ".join(MENDED[stage] if n == 0 else MENDED[stage].lower() for n, stage in enumerate(stages))
        if chosen not in STAGES:
            return f"{where}."
        if chosen in stages:
            return f"{where}, as you said."
        if chosen == opening.NEITHER:
            return f"{where}: you would have opened neither."
        return f"{where}: opening {STAGES[chosen]} would have cost time and mended nothing."

    def _apart(self, one: str, other: str) -> str:
        """What would have told the answer from the truth."""
        told = opening.told_apart(self._bench.on_the_bench().design, one, other)
        if told is None:
            return "No examination on the bench tells these two apart."
        names = [self._options()[key] for key in (one, other)]
        return f"What tells them apart: {told.examination}. If {names[0]}: {told.one}. If {names[1]}: {told.other}."

    def typed(self, answers: dict[str, str]) -> None:
        """Keep which way the learner leans."""
        state, answer = self._state()
        leans = {f"leaning {name}": answers.get(name, "") for name in ("said", "sure", "open")}
        new = {name: key for name, key in leans.items() if key and state.get(name) != key}
        if new and not answer and self._bench.on_the_bench().surprising:
            with self._progress.change(*self._keys, fields=HIDDEN_FAULT) as kept:
                kept.update(new)

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Record or show: the bench then says what is wrong. Or cover it again."""
        if not self._bench.on_the_bench().surprising:
            return
        job = self._job()
        with self._progress.change(*self._keys, fields=HIDDEN_FAULT) as state:
            kept = state.setdefault("answers", {})
            if button == "record":
                state["asked"] = True
                if (
                    answers.get("said") in self._options()
                    and answers.get("sure") in SURE
                    and answers.get("open") in STAGES
                ):
                    kept.setdefault(job, {name: answers[name] for name in ("said", "sure", "open")})
            elif button == "show":
                kept.setdefault(job, {"shown": WITHOUT})
            elif button == "again":
                keep_earlier(state, {job: kept.pop(job, {})})
            if button != "record" or job in kept:
                for gone in ("asked", "leaning said", "leaning sure", "leaning open"):
                    state.pop(gone, None)
            if job in kept:
                state["recorded"] = job
        self._bench.tell(self.answered)
