"""What one hears, sees and feels at a bench."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.examinations import BULGES
from steadyneedle.physics import equations as eq
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.leaks import SOAP_SHOWS
from steadyneedle.physics.moment import Moment, Trace

LOUD = ((3e-6, "a loud hiss"), (3e-7, "a faint hiss"), (SOAP_SHOWS, "bubbles in soapy water"))
"""kg/s and what it sounds like (common practice, no source)."""


def senses(moment: Moment) -> str:
    """What one hears, sees and feels at a moment.

    >>> from steadyneedle.physics import rig
    >>> senses(rig.start("Alder"))
    'You hear nothing.'
    """
    heard = []
    for place, rate in moment.leaks().items():
        if place == "mouthpiece" and (moment.settings.purge_area or moment.modes.burping):
            heard.append("air rushing from the mouthpiece")
        elif words := next((words for limit, words in LOUD if rate > limit), ""):
            heard.append(f"{words} at the {place}")
    lines = [f"You notice {' and '.join(heard)}." if heard else "You hear nothing."]
    if moment.settings.demand:
        lines.append("Somebody breathes from it.")
    if moment.plant.stage.sealed and moment.state[eq.CHAMBER] - SURFACE > BULGES:
        lines.append("The outer seal bulges.")
    if moment.state[eq.BODY] < eq.ROOM - 1.0:
        lines.append("The body feels cold.")
    return " ".join(lines)


def changes(trace: Trace) -> list[tuple[float, str]]:
    """What is noticed over a trace, from when on: (time [s], sentence), only where it changes."""
    said: list[tuple[float, str]] = []
    for one in trace.segments:
        step = max(1, one.time.size // 12)  # a dozen looks at each segment miss no change that lasts
        for n in range(0, one.time.size, step):
            moment = Moment(one.plant, one.settings, tuple(one.states[:, n].tolist()), modes=one.modes)
            words = senses(moment)
            if not said or said[-1][1] != words:
                said.append((float(one.time[n]), words))
    return said
