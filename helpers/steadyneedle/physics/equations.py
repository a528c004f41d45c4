"""The differential equations of a regulator on a bench: mass, energy, the valve's balance of forces. SI, absolute.

State: pressure at the inlet and in the high-pressure cavity, mass and temperature of the air on the IP side,
temperature of the body, pressure in a sealed spring chamber, air come in and gone out so far. The IP side's temperature
is that of all its air, hoses and gauge included: after a purge of 5 s at 200 bar some 2 K below the room's, while the
jet behind the seat is 33 K below it (`cooling_curve`).
Plain floats, because a stiff integrator asks for the derivative thousands of times.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from steadyneedle.physics import gas
from steadyneedle.physics.cylinder import Cylinder
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.plain import CHOKED, CP, CV, ROOM, R, flow
from steadyneedle.physics.plant import SENSED, Modes, Plant, Settings
from steadyneedle.physics.ports import Ports
from steadyneedle.physics.si import BAR

INLET, CAVITY, MASS, TEMPERATURE, BODY, CHAMBER, CAME_IN, GONE_OUT = range(8)
SCALE = np.array([BAR, BAR, 1e-4, 1.0, 1.0, BAR, 1e-4, 1e-4])
"""What counts as one of each in the tolerance: bar, 0.1 g, kelvin."""

FREEZES = 273.15
"""K; below it, water in an ambient chamber is ice."""

COLDEST, LEAST = 60.0, 1e-6
"""K and kg; no air on an IP side is colder or less: 80 ml at ambient pressure hold 1e-4 kg."""


State = list[float]


@cache
def cooling_curve(room: float = ROOM) -> tuple[float, ...]:
    """Fall of temperature of room-warm air on throttling from p to IP, as a p + b p^2 + c p^3 + d p^4 - IP (e + f p).

    This is the cold of the jet at the seat: no heat has come in yet. What the rig's IP gas shows is less, because the
    body gives up heat to the incoming air and the hoses' walls to what has come in.

    Parameters
    ----------
    room : float
        Temperature before throttling [K], 263.15 to 313.15.

    Returns
    -------
    tuple of float
        The six coefficients a to f [K/Pa, K/Pa2, K/Pa3, K/Pa4, K/Pa, K/Pa2].

    References
    ----------
    Fitted to `gas.throttled_temperature` up to 40 MPa, IP up to 2 MPa: within 0.2 K from 20 C, 0.35 K from -10 C.

    Examples
    --------
    >>> a, b, c, d, e, f = cooling_curve()
    >>> p, ip = 2e7, 1e6
    >>> print(round(a * p + b * p**2 + c * p**3 + d * p**4 - ip * (e + f * p), 0))
    33.0
    """
    before, after = np.meshgrid(np.linspace(BAR, 400 * BAR, 81), np.linspace(BAR, 20 * BAR, 8), indexing="ij")
    real = after <= before
    p, ip = before[real], after[real]
    fall = room - gas.throttled_temperature(p, ip, room)
    powers = np.array([1e7, 1e14, 1e21, 1e28, 1e6, 1e13])
    columns = np.stack([p, p**2, p**3, p**4, -ip, -ip * p], axis=1) / powers
    return tuple((np.linalg.lstsq(columns, fall, rcond=None)[0] / powers).tolist())


class RightHandSide:
    """The derivative of the state for one segment between actions and snaps; call it with time and state less `origin`.

    The integrator counts mass from that of lock-up, temperatures from the room's: its relative tolerance then watches
    the few parts in a thousand that a needle shows, not the air as a whole.
    """

    def __init__(self, plant: Plant, settings: Settings, modes: Modes) -> None:
        stage, bench, worn, room = plant.stage, plant.bench, plant.condition, plant.room
        to_hp = CHOKED / math.sqrt(room)
        self.force, self.supply_area, self.area = plant.balance(settings)
        self.chamber_area = stage.chamber_area if stage.sealed else 0.0
        self.valve = to_hp * settings.valve_area
        self.screen = to_hp * (worn.filter_area or bench.filter_area)
        self.lost_hp = to_hp * (settings.bleed_area + worn.shaft_hole)
        rate = stage.rate * worn.stiffness
        self.ring = to_hp * stage.discharge * math.pi * stage.seat_diameter / rate
        # the ring opens no wider than the bore behind it, nor than the stop lets the valve lift
        self.most = min(to_hp * stage.discharge * stage.seat_area, self.ring * rate * stage.lift)
        self.ice = self.ring * rate * worn.ice
        self.soft, self.worn = stage.seal_force, to_hp * worn.seat_leak
        self.seal_force = plant.seal_force(settings.aged)
        self.always = to_hp * worn.into_ip(settings.grit)
        openings = plant.openings(settings, modes)
        self.sensed = CHOKED * sum(openings[place] for place in SENSED)
        self.ports = Ports(plant, settings, modes)
        self.hidden = CHOKED * worn.chamber_hole
        self.friction, self.held = plant.dead_band, modes.held
        self.ambient, self.cylinder = settings.ambient, Cylinder(plant, settings)
        self.supply = 0.0 if self.cylinder.volume else settings.supply
        self.per_mass = R / bench.ip_volume
        self.vents, self.vent_slope = bench.seal_vents, bench.seal_vent_area * to_hp
        self.inlet_rate, self.cavity_rate = R * room / bench.inlet_volume, R * room / stage.cavity
        self.chamber_rate = R * room / stage.chamber_volume if stage.sealed else 0.0
        self.room, self.cooling, self.exchange = room, plant.cooling, bench.inlet_exchange
        self.to_body, self.to_wall = bench.gas_to_body * bench.ip_volume, bench.gas_to_wall * bench.ip_volume
        self.flowing = bench.gas_to_wall_flowing * bench.ip_volume / 0.01**0.8  # stated at 0.01 kg/s
        self.body_heat, self.body_to_room = bench.body_heat, bench.body_to_room
        self.mass = max((self.force + self.supply_area * settings.supply) / self.area, SURFACE) / (self.per_mass * room)
        self.origin = np.array([0.0, 0.0, self.mass, room, room, SURFACE, 0.0, 0.0])

    def __call__(self, t: float, y: np.ndarray) -> State:
        inlet, cavity, mass, temperature, body, chamber, come, _ = y.tolist()
        mass, temperature, body = mass + self.mass, temperature + self.room, body + self.room
        chamber += SURFACE
        # a trial state of the integrator may lie beyond all reason: held here, it is refused and the step cut
        if temperature < COLDEST or mass <= 0.0:
            temperature, mass = max(temperature, COLDEST), max(mass, LEAST)
        ip, root = mass * self.per_mass * temperature, math.sqrt(temperature)
        came = flow(self.valve, self.supply or self.cylinder.pressure(come), inlet)
        screened = flow(self.screen, inlet, cavity)
        lost = flow(self.lost_hp, cavity, self.ambient)
        opened = self.seat(self.net(cavity, ip, chamber))
        if self.ice and body < FREEZES:  # as thick as the body is cold: that it takes time to grow and thaw is left out
            opened = max(opened, min(self.ice * (FREEZES - body), self.most))
        seat = flow(opened + self.always, cavity, ip)
        out = self.ports.flow(t, ip, root) + flow(self.sensed / root, ip, self.ambient)
        gone, chamber_change = out + lost, 0.0
        if self.hidden:
            hidden, over = flow(self.hidden / root, ip, chamber), chamber - SURFACE - self.vents
            vented = self.vent_slope * over * chamber if over > 0.0 else 0.0
            chamber_change, gone, out = hidden - vented, gone + vented, out + hidden
        heat, body_change = self.heat(seat, out, cavity, ip, temperature, body)
        return [
            (came - screened) * self.inlet_rate,
            (screened - seat - lost) * self.cavity_rate,
            seat - out,
            (heat - (seat - out) * CV * temperature) / (mass * CV),  # from d(m cv T)/dt = enthalpy and heat
            body_change,
            chamber_change * self.chamber_rate,
            came,
            gone,
        ]

    def net(self, cavity: float, ip: float, chamber: float) -> float:
        """Net opening force on the valve, friction and seat apart."""
        return self.force + self.supply_area * cavity - self.area * ip + self.chamber_area * (chamber - SURFACE)

    def seat(self, net: float) -> float:
        """Conductance between valve and seat at a net opening force.

        The ring that the lift opens; the last of it closes as the seat is pressed, until the contact force makes it
        tight. A worn seat leaks besides, the less the harder it is pressed.
        """
        if self.held:
            contact, lifted = self.friction - net, 0.0
        else:
            opening, soft = net + self.friction, self.soft
            contact = -opening
            # a parabola that meets line and zero with their slopes: a hard edge cost 50 times in exactness
            lifted = opening if opening >= soft else max(opening + soft, 0.0) ** 2 / (4.0 * soft)
        made = min(lifted * self.ring, self.most)
        if self.worn and contact < self.seal_force:
            made += self.worn * (1.0 - contact / self.seal_force) if contact > 0.0 else self.worn
        return made

    def heat(
        self, seat: float, out: float, cavity: float, ip: float, temperature: float, body: float
    ) -> tuple[float, float]:
        """Enthalpy and heat that the air on the IP side gains [W], and the body's change of temperature [K/s].

        The incoming air gives half its cold to the body at once; gas in the chamber meets the body, gas in hoses and
        gauge a wall that stays at the room's temperature. That no purge, however long, cools this wall is an
        idealisation: a real hose cools within minutes of free flow. Transfer to the wall grows with flow; the large
        coefficient stands in for stirring too, and for a dead end before the gauge that no flow reaches.
        """
        a, b, c, d, e, f = self.cooling
        stirred, leaving = 0.5 * (abs(seat) + abs(out)), temperature
        to_wall = self.to_wall + self.flowing * stirred**0.8 if stirred > 0.0 else self.to_wall
        from_walls = self.to_body * (body - temperature)
        taken = from_walls
        from_walls += to_wall * (self.room - temperature)
        brought = temperature
        if seat > 0.0:
            fall = cavity * (a + cavity * (b + cavity * (c + cavity * d))) - ip * (e + f * cavity)
            cold = self.room - fall
            at_once = self.exchange * (body - cold)
            brought = cold + at_once
            taken += seat * CP * at_once
        if out < 0.0:  # the surroundings fill a hose that stands below them, with air of the room
            leaving = self.room
        gained = seat * CP * brought - out * CP * leaving + from_walls
        return gained, (self.body_to_room * (self.room - body) - taken) / self.body_heat
