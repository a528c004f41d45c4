"""Lesson 04: all nine kinds of a trace, slow and noisy creeps among them."""

from __future__ import annotations

import math
from typing import Any

from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Mistake, Named
from steadyneedle.questions.shown import NeedleTrace

SHOWN = {
    "locks": "it locks up and holds", "settles": "it settles", "locks high": "it locks high", "locks low": "it locks low", "creeps": "it creeps",
    "falls": "it falls", "saw-tooth": "it makes a saw-tooth", "free flow": "it free-flows", "cannot tell": "nobody can tell",
}
"""What a trace shows: the outcomes of a log's verdict."""

WHY = {
    "locks": "It stays in one place within the band", "settles": "It rises, ever less, and then holds within the band",
    "locks high": "It holds in one place above the band", "locks low": "It holds in one place below the band",
    "creeps": "It rises by about as much each minute, to the end", "falls": "It falls by about as much each minute, to the end",
    "saw-tooth": "It climbs and jumps back, again and again: the first and the last reading say little of that",
    "free flow": "It climbs, then drops by more than a bar at once and stays there",
    "cannot tell": "It was watched for so short a time that a slow creep would not show",
}
"""By what each kind is told."""


OPENS = 11.0
"""bar: about where a second stage opens by itself. Invented."""


def _reading(w: Named, n: int) -> float:
    """The needle without noise at reading number n, every 30 s; to tell nothing, every 5 s."""
    t, middle = n / 2, w.low + 0.2
    shapes = {
        "locks": middle, "settles": middle + 0.35 * w.size * (1 - math.exp(-t / 0.4)), "locks high": w.low + 0.5 + w.size, "locks low": w.low - 0.1 - w.size,
        "creeps": middle + w.slow * t + 0.3 * w.size * (1 - math.exp(-t / 0.3)), "falls": middle - w.slow * t,
        "saw-tooth": middle - 0.4 * w.size + 1.2 * w.size * ((n + w.phase) % 4) / 3,
        "free flow": middle + (OPENS - w.low + w.size) * n / (4 + w.phase) if n < 5 + w.phase else middle - 2 + w.size, "cannot tell": middle,
    }
    return shapes[w.kind]


def _row(w: Named) -> dict[str, Any]:
    short = w.kind == "cannot tell"
    noise = [0.01 * ((w.noise // 3**n) % 3 - 1) if w.noisy else 0.0 for n in range(11)]
    row = [round(_reading(w, n) + noise[n], 2) for n in range(5 if short else 11)]
    return {
        "row": tuple(row), "every": 5 if short else 30, "high": w.low + 0.4, "minutes": "20 s" if short else "5 min",
        "first": row[0], "last": row[-1], "change": row[-1] - row[0], "answer": w.kind, "why": WHY[w.kind],
    }


def _trace(w: Named) -> NeedleTrace:
    read = "; ".join(f"{one:.2f}" for one in w.row)
    text = f"A needle, read every {w.every} s, in bar: {read}. Its band is {w.low:.1f} to {w.high:.1f} bar."
    return NeedleTrace(tuple(n * w.every for n in range(len(w.row))), w.row, w.low, w.high, text)


WHICH_TRACE = ChoiceExercise(
    name="which_trace", title="What a row of readings shows", objectives=(1,), version=6,
    draw=lambda d: {
        "kind": d.one_of(tuple(SHOWN)), "low": d.decimal("9.2", "9.8", "0.1"), "size": d.decimal("0.16", "0.26", "0.02"), "slow": d.decimal("0.03", "0.15", "0.01"),
        "phase": d.integer(0, 3), "noisy": d.integer(0, 1), "noise": d.integer(0, 3**11 - 1),
    },
    work=_row,
    ask=(
        "A needle was read every {every} s for {minutes}; the picture shows each reading as a dot. Nobody touched anything.",
        "The sheet asks for {low:.1f} to {high:.1f} bar and allows a rise of 0.1 bar in 5 min. Each reading may be out by 0.01 bar. What does the needle do?",
    ),
    shows=_trace,
    choices=SHOWN,
    mistakes=(
        Mistake("a settle is called a creep", lambda w: "creeps" if w.answer == "settles" else None, "It rises, but less and less, and then holds. A creep goes on by as much each minute."),
        Mistake("a creep is called a settle", lambda w: "settles" if w.answer == "creeps" else None, "Look at the last minutes: it still rises by as much as in the minutes before. A settle dies away."),
        Mistake("a slow creep overlooked", lambda w: "locks" if w.answer == "creeps" else None, "Compare the first reading with the last, not neighbours. It has climbed by more than errors of reading explain."),
        Mistake("the band overlooked", lambda w: "locks" if w.answer in ("locks high", "locks low") else None, "It holds. But where? Compare it with the band."),
        Mistake("a short look decides", lambda w: "locks" if w.answer == "cannot tell" else None, "In so short a time a slow creep moves the needle by no more than an error of reading. Nobody can call it sound."),
        Mistake("a climb before a free flow", lambda w: "creeps" if w.answer == "free flow" else None, "It climbed at first. Then it dropped by more than a bar and stayed there. What does that?"),
        Mistake("a low needle after a free flow", lambda w: "locks low" if w.answer == "free flow" else None, "It stands below the band now. But it did not lock up there: look at how it came down."),
        Mistake("taken for locked in the band", lambda w: "locks", "To lock up and hold is to stay in one place within the band. This needle does not."),
        Mistake("taken for a settle", lambda w: "settles", "A settle rises, ever more slowly, and then holds. This trace does not."),
        Mistake("taken for locked high", lambda w: "locks high", "To lock high is to hold in one place above the band. This needle does not."),
        Mistake("taken for locked low", lambda w: "locks low", "To lock low is to hold in one place below the band. This needle does not."),
        Mistake("taken for a creep", lambda w: "creeps", "A creep goes up by as much each minute, and on. This trace does not."),
        Mistake("taken for a fall", lambda w: "falls", "A fall goes down slowly, and on and on. This trace does not."),
        Mistake("taken for a saw-tooth", lambda w: "saw-tooth", "A saw-tooth climbs and jumps back, again and again. This trace does not."),
        Mistake("taken for a free flow", lambda w: "free flow", "At a free flow the needle drops sharply, by a bar or more, and stays there. This trace does not."),
        Mistake("too careful", lambda w: "cannot tell", "The trace is long enough, and what it does is larger than an error of reading. You can tell."),
    ),
    hints=("Compare the first reading with the last, then the differences from one to the next.", "Steady differences: creep or fall. Shrinking ones: a settle. Jumps: a saw-tooth or a free flow. If it does not move at all, compare it with the band, and think how long it was watched."),
    working=("From {first:.2f} to {last:.2f} bar in {minutes}, a change of {change:.2f} bar; band {low:.1f} to {high:.1f} bar.", "{why}.", "The answer: {right}."),
)
