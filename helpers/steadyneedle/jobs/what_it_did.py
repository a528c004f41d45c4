"""What the regulator of a job does on the bench, in words for the debrief: how high its needle comes, what leaks."""

from __future__ import annotations

from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.play import seen
from steadyneedle.jobs.senses import LOUD
from steadyneedle.physics.si import BAR

HISSES = LOUD[-2][0]
"""kg/s; above it one hears a leak, below it soapy water finds it."""

SEEN_PAST = 0.25
"""bar above the stop from which a needle has passed it before somebody read it (ours)."""


def what_it_did(number: int) -> str:
    """How high the needle came in a watch at full supply, beside its stop, and where air came out.

    Parameters
    ----------
    number : int
        The job's.

    Returns
    -------
    str
        One sentence or two.

    Examples
    --------
    >>> what_it_did(5)
    'On our bench the needle came to 10.1 bar in eight minutes, below its stop of 11.5 bar. No air came out anywhere.'
    """
    watched = seen(number, "watch_full", 0)
    assert watched.log is not None  # it is a watch of the needle
    most, stop = float(watched.log[1].max()) / BAR, watched.stop / BAR
    came = f"came to its stop of {stop:.1f} bar"
    if watched.at_stop and most >= stop + SEEN_PAST:
        came = f"read {most:.1f} bar at once, past its stop of {stop:.1f} bar"
    elif not watched.at_stop:
        came = f"came to {most + 1e-9:.1f} bar in eight minutes, below its stop of {stop:.1f} bar"
    return f"On our bench the needle {came}. {_air(number)}"


def _air(number: int) -> str:
    """Where air came out, and whether one hears it."""
    leaks = {place: rate for place, rate in job(number).hidden.on_the_bench().leaks().items() if rate > LOUD[-1][0]}
    heard = [place for place, rate in leaks.items() if rate > HISSES]
    wet = [place for place in leaks if place not in heard]
    told = [f"It hissed at the {' and the '.join(heard)}."] if heard else []
    told += [f"Soapy water showed bubbles at the {' and the '.join(wet)}; nothing hissed there."] if wet else []
    return " ".join(told) or "No air came out anywhere."
