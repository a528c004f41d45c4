"""Random jobs on the bench for the tests of the integrator: the same ones everywhere, drawn from their number."""

from __future__ import annotations

import dataclasses

from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.moment import Moment
from steadyneedle.physics.stages import FirstStage

SNAPPING = ("sticky", "leak_on_sticky", "creep_and_burp")


def frictionless(moment: Moment) -> Moment:
    """The same regulator with a valve that never sticks."""
    stage = dataclasses.replace(moment.plant.stage, dead_band=0.0)
    return dataclasses.replace(moment, plant=dataclasses.replace(moment.plant, stage=stage))


def random_job(number: int) -> tuple[Moment, list[Action], float]:
    """A regulator without stick-slip, up to two faults, two to five actions, and when it ends."""
    draws = Draws("job", number)
    design = draws.one_of(FirstStage.names())
    keys = [key for key in Fault.keys(design) if key not in SNAPPING]
    faults = {draws.one_of(keys): draws.fraction() for _ in range(draws.integer(0, 2))}
    first = frictionless(rig.start(design, faults, draws.integer(60, 300) * 1e5, seed=number))
    actions, time = [Action(0, "valve", 1)], 0
    for _ in range(draws.integer(2, 5)):
        time += draws.integer(10, 40)
        what, value = draws.one_of([
            ("purge", draws.integer(5, 20) / 10), ("breathe", draws.integer(3, 12)), ("valve", draws.integer(0, 1)),
            ("supply", draws.integer(50, 300) * 1e5), ("ambient", draws.integer(1, 5) * 1e5 + SURFACE),
            ("adjust", draws.integer(-2, 2) / 4), ("bleed", draws.integer(0, 1)),
        ])  # fmt: skip
        if what != "adjust" or design != "Alder":
            actions.append(Action(time, what, value))
    return first, actions, time + 60.0
