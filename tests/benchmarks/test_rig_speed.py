"""The rig's speed, as ratios in one run."""

from __future__ import annotations

import dataclasses
import statistics
import time
import timeit
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from steadyneedle.physics import equations as eq
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action, act
from steadyneedle.physics.moment import Moment

pytestmark = pytest.mark.benchmark

ACTIONS = [Action(0, "valve", 1), *(Action(at, "purge", 1) for at in (60, 120, 180))]
"""Four minutes with three purges."""


def bare(first: Moment) -> Moment:
    """The same right-hand side and tolerances through `solve_ivp`, restarted at the same actions, no events, no samples."""

    def on(moment: Moment, until: float) -> Moment:
        rhs = eq.RightHandSide(moment.plant, moment.settings, moment.modes)
        solved = solve_ivp(
            rhs, (moment.time, until), np.array(moment.state) - rhs.origin, method="LSODA", rtol=rig.RELATIVE,
            atol=rig.ABSOLUTE * eq.SCALE,
        )  # fmt: skip
        return dataclasses.replace(moment, state=tuple((solved.y[:, -1] + rhs.origin).tolist()), time=until)

    moment = first
    for action, until in zip(ACTIONS, (60, 120, 180, 240), strict=True):
        moment = act(moment, action)
        if action.what == "purge":
            moment = rig._after(on(moment, action.time + 1), "")
        moment = on(moment, until)
    return moment


def seconds(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


@pytest.mark.parametrize("design", ["Hazel", "Linden"])
def test_the_rig_against_the_bare_integrator(design: str) -> None:
    """At most 1.3 times: the requirement. Events, samples and all."""
    assert rig.RELATIVE == 1e-6
    first = rig.start(design)
    ours, theirs = rig.run(first, ACTIONS, 240)[0], bare(first)
    assert ours.ip_gauge == pytest.approx(theirs.ip_gauge, abs=20)
    ratios = []
    for _ in range(15):
        baseline = seconds(lambda: bare(first))
        ratios.append(seconds(lambda: rig.run(first, ACTIONS, 240)) / baseline)
    ratio = statistics.median(ratios)
    print(f"{design}: {ratio:.2f} times")
    assert ratio <= 1.3, ratio


@pytest.mark.parametrize(("design", "faults"), [("Alder", {}), ("Linden", {"diaphragm_holed_sealed": 1.0})])
def test_the_right_hand_side_is_cheap(design: str, faults: dict[str, float]) -> None:
    """No more than 600 numpy scalar additions: the requirement."""
    moment, _ = rig.run(rig.start(design, faults), [ACTIONS[0]], 5)
    rhs = eq.RightHandSide(moment.plant, moment.settings, moment.modes)
    state = np.array(moment.state) - rhs.origin
    one, other = np.float64(1.1), np.float64(2.2)
    ours = min(timeit.repeat(lambda: rhs(0.0, state), number=2000, repeat=9)) / 2000
    addition = min(timeit.repeat("a + b", globals={"a": one, "b": other}, number=50_000, repeat=9)) / 50_000
    print(f"{design}: {ours / addition:.0f} additions")
    assert ours <= 600 * addition, ours / addition
