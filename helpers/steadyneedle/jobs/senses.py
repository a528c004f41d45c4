"""What one hears, sees and feels at a bench, in words. SI."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.examinations import BULGES
from steadyneedle.physics import equations as eq
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.leaks import SOAP_SHOWS
from steadyneedle.physics.moment import Moment, Segment, Trace

LOUD = ((1e-4, "a loud hiss"), (3e-6, "a hiss"), (3e-7, "a faint hiss"), (SOAP_SHOWS, "bubbles in soapy water"))
"""kg/s and what it sounds like (common practice, no source)."""

RUSHES = 5e-4
"""kg/s from the mouthpiece, about 25 litres of free air a minute: above it a free flow, below it a hiss (invented)."""

COLD = 1.0
"""K below the room at which a hand feels that the body is cold (from memory)."""

LOOKS = 12
"""How often one listens and feels between two things that happen: a change that lasts is not missed."""


def senses(moment: Moment) -> str:
    """What one hears, sees and feels at a moment.

    Parameters
    ----------
    moment : Moment
        The bench at that time.

    Returns
    -------
    str
        One sentence, or a few.

    Examples
    --------
    >>> from steadyneedle.physics import rig
    >>> senses(rig.start("Alder"))
    'You hear nothing.'
    """
    heard = []
    for place, rate in moment.leaks().items():
        # air that the second stage is meant to let out, or bursts with, is no hiss to look for
        rushes = rate > RUSHES or moment.settings.purge_area or moment.modes.burping
        if place == "mouthpiece" and rushes:
            heard.append("air rushing from the mouthpiece")
        elif words := next((words for limit, words in LOUD if rate > limit), ""):
            heard.append(f"{words} at the {place}")
    lines = [f"You notice {' and '.join(heard)}." if heard else "You hear nothing."]
    if moment.settings.demand:
        lines.append("Somebody breathes from it.")
    if moment.plant.stage.sealed and moment.state[eq.CHAMBER] - SURFACE > BULGES:
        lines.append("The outer seal bulges.")
    if moment.state[eq.BODY] < moment.plant.room - COLD:
        lines.append("The body feels cold.")
    return " ".join(lines)


def noticed(trace: Trace) -> list[tuple[float, str]]:
    """What is noticed over a trace, from when on, only where it changes.

    Parameters
    ----------
    trace : Trace
        What the bench did.

    Returns
    -------
    list of tuple
        Time [s] and sentence.

    Examples
    --------
    >>> from steadyneedle.physics import rig
    >>> noticed(rig.advance(rig.start("Alder"), 60.0)[1])
    [(0.0, 'You hear nothing.')]
    """
    said: list[tuple[float, str]] = []
    for segment in trace.segments:
        for n in range(0, segment.time.size, max(1, segment.time.size // LOOKS)):
            words = senses(_moment(segment, n))
            if not said or said[-1][1] != words:
                said.append((float(segment.time[n]), words))
    return said


def _moment(segment: Segment, n: int) -> Moment:
    """The bench at one sample of a segment."""
    state = tuple(segment.states[:, n].tolist())
    return Moment(segment.plant, segment.settings, state, time=float(segment.time[n]), modes=segment.modes)
