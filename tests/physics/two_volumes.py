"""A first stage on a bench as two volumes, the sensed chamber and the ports with hoses and gauge, a passage between them.

Written apart from the rig's equations, to check its quasi-steady passage. SI, absolute pressures.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.integrate import solve_ivp

from steadyneedle.physics.moment import Moment

R, K, ROOM, AIR = 287.05, 1.4, 293.15, 101325.0
CP, CV = R * K / (K - 1), R / (K - 1)
B = (2 / (K + 1)) ** (K / (K - 1))
C = math.sqrt(K / R) * (2 / (K + 1)) ** ((K + 1) / (2 * (K - 1)))
CHAMBER = 5e-6
"""m3"""
NEAR = 0.999
SMALL = [1.0, 1.0, 1e-10, 1e-5, 1e-10, 1e-5, 1e-6]


def through(area: float, before: float, after: float, temperature: float, ellipse: bool = False) -> float:
    """Mass flow through a hole; by the ellipse of ISO 6358, else by the isentropic law; straight between equals."""
    if after > before:
        return -through(area, after, before, temperature, ellipse)
    ratio, choked = after / before, C * area * before / math.sqrt(temperature)
    if ratio <= B:
        return choked
    near = max(ratio - NEAR, 0.0) / (1 - NEAR)  # the root's slope has no end at equal pressures
    ratio = min(ratio, NEAR)
    if ellipse:
        part = math.sqrt(1 - ((ratio - B) / (1 - B)) ** 2)
    else:
        widest = (2 / (K + 1)) ** ((K + 1) / (K - 1))
        part = math.sqrt((ratio ** (2 / K) - ratio ** ((K + 1) / K)) * 2 / (K - 1) / widest)
    return choked * part * (1 - near)


def needle_in_a_purge(
    begin: Moment, seconds: float, until: float, apart: bool = False
) -> tuple[np.ndarray, np.ndarray]:
    """Times after the purge began [s], and pressure over ambient at the ports [Pa]; a sound stage, ambient as it closed.

    The air in both volumes has one temperature, as the rig has it, or, `apart`, each its own.
    """
    plant, stage, bench = begin.plant, begin.plant.stage, begin.plant.bench
    hoses = bench.ip_volume - CHAMBER
    supply = begin.settings.supply
    spring = stage.spring - stage.closing_spring
    across = math.pi / 4 * stage.seat_diameter**2 - stage.stem_area
    opens = {"Alder": across, "Rowan": -across, "Hazel": -across, "Juniper": -across, "Linden": -across}[stage.name]
    closes = stage.net_area if stage.kind == "piston" else stage.net_area - across

    def derivative(t: float, y: np.ndarray, outlet: float) -> list[float]:
        inlet, cavity, mc, tc, mp, tp, body = y
        pc, pp = mc * R * tc / CHAMBER, mp * R * tp / hoses
        net = spring + opens * (cavity - AIR) - closes * (pc - AIR) + stage.dead_band
        soft = stage.seal_force
        lift = (net if net > soft else max(net + soft, 0.0) ** 2 / 4 / soft) / stage.rate
        ring = stage.discharge * min(math.pi * stage.seat_diameter * lift, math.pi / 4 * stage.seat_diameter**2)
        came, screened = through(bench.valve_area, supply, inlet, ROOM), through(bench.filter_area, inlet, cavity, ROOM)
        seat = through(ring, cavity, pc, ROOM)
        passed = through(stage.passage, pc, pp, tc, ellipse=True)
        out = through(outlet, pp, AIR, tp)
        a, b, c, d, e, f = plant.cooling
        cold = ROOM - cavity * (a + cavity * (b + cavity * (c + cavity * d))) + pc * (e + f * cavity)
        at_once = bench.inlet_exchange * (body - cold)
        to_body = bench.gas_to_body * bench.ip_volume * (body - tc)
        stirred = max(abs(seat) + out, 0.0) / 2 / 0.01
        wall = bench.ip_volume * (bench.gas_to_wall + bench.gas_to_wall_flowing * stirred**0.8) * (ROOM - tp)
        carried = CP * (tc if passed > 0 else tp)
        warmed = seat * CP * (cold + at_once) - out * CP * tp + to_body + wall
        mixed = (warmed - (seat - out) * CV * tc) / ((mc + mp) * CV)
        in_chamber = (seat * CP * (cold + at_once) - passed * carried + to_body - (seat - passed) * CV * tc) / (mc * CV)
        in_hoses = (passed * carried - out * CP * tp + wall - (passed - out) * CV * tp) / (mp * CV)
        return [
            (came - screened) * R * ROOM / bench.inlet_volume,
            (screened - seat) * R * ROOM / stage.cavity,
            seat - passed,
            in_chamber if apart else mixed,
            passed - out,
            in_hoses if apart else mixed,
            (bench.body_to_room * (ROOM - body) - to_body - seat * CP * at_once) / bench.body_heat,
        ]

    p, warm = begin.chamber, begin.state[3]
    state = np.array([*begin.state[:2], p * CHAMBER / R / warm, warm, p * hoses / R / warm, warm, begin.state[4]])
    times, needles, clock = [], [], 0.0
    for end, outlet in ((seconds, plant.second.purge_area), (until, 0.0)):
        made = solve_ivp(derivative, (clock, end), state, "LSODA", args=(outlet,), rtol=1e-8, atol=SMALL, max_step=0.05)
        assert made.success, made.message
        times.append(made.t)
        needles.append(made.y[4] * R * made.y[5] / hoses - AIR)
        state, clock = made.y[:, -1], end
    return np.concatenate(times), np.concatenate(needles)
