"""Lesson 04: creep and its cause."""

from __future__ import annotations

from steadyneedle.questions.bank.creep_rates import CREEP_RATE, HOW_LONG, RATE_ERROR, SURE_ENOUGH
from steadyneedle.questions.bank.creep_traces import ADJUSTER, BOOKKEEPING, OPENS_IN, WHICH_TRACE
from steadyneedle.questions.exercise import Plan, Prediction


def _predictions() -> tuple[Prediction, ...]:
    return (
        Prediction(
            "traces", "A needle rises after a purge. What tells a settle from a creep?",
            ("how far it rises", "whether the rise dies away", "how fast it begins"),
            "Whether the rise dies away. A settle may be larger than a slow creep, and begin faster.",
        ),
        Prediction(
            "apart", "After ten seconds the needle has risen by 0.08 bar. Is that creep?",
            ("yes", "no", "nobody can tell yet"),
            "Nobody can tell yet. In ten seconds settle and creep look alike. Watch until the settle is over.",
        ),
        Prediction(
            "watch", "You read to 0.1 bar. How long until you can tell a creep of 0.05 bar a minute from none?",
            ("ten seconds", "one minute", "several minutes"),
            "Several minutes. In one minute the needle moves by half a step, and half a step hides in the reading.",
        ),
        Prediction(
            "opening", "IP creeps. Which second stage gives way first?",
            ("the unbalanced one", "the balanced one", "both at one pressure"),
            "The unbalanced one: IP pushes on its whole orifice. A balanced one holds longer. It hides the creep and relieves late.",
        ),
        Prediction(
            "bookkeeping", "A weep at the rim of the diaphragm and a needle that climbs. Does the weep make it climb?",
            ("yes", "no"),
            "No. A weep to the outside takes gas away. The rim earns its bad name through what comes with it: a tilted diaphragm, crumbs on the seat.",
        ),
    )  # fmt: skip


def plan() -> Plan:
    """Lesson 04."""
    return Plan(
        number="04",
        title="Creep and its cause",
        minutes="60 to 75",
        objectives=(
            "tell from a trace whether a needle locks, settles, creeps, falls or saw-tooths",
            "measure a rate of creep and say how sure it is",
            "say how long to watch with the gauge you have",
            "say what a second stage does as IP climbs, and why no adjuster cures creep",
        ),
        exercises=(WHICH_TRACE, CREEP_RATE, RATE_ERROR, HOW_LONG, SURE_ENOUGH, OPENS_IN, ADJUSTER, BOOKKEEPING),
        predictions=_predictions(),
        warm_up=(("02", "after_a_purge"), ("03", "rise_a_minute"), ("02", "other_volume")),
    )
