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
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.passage import CRITICAL, REST, loaded_ratio, loaded_slope
from steadyneedle.physics.plant import SENSED, Modes, Plant, Settings
from steadyneedle.physics.si import BAR

INLET, CAVITY, MASS, TEMPERATURE, BODY, CHAMBER, CAME_IN, GONE_OUT = range(8)
SCALE = np.array([BAR, BAR, 1e-4, 1.0, 1.0, BAR, 1e-4, 1e-4])
"""What counts as one of each in the tolerance: bar, 0.1 g, kelvin."""

ROOM = gas.REFERENCE_TEMPERATURE
R = gas.GAS_CONSTANT_AIR
CP = gas.HEAT_CAPACITY_AIR
CV = CP - R
K = gas.HEAT_CAPACITY_RATIO_AIR
CHOKED = math.sqrt(K / R) * (2 / (K + 1)) ** ((K + 1) / (2 * (K - 1)))
NEARLY = 0.995
"""Ratio above which flow is taken as proportional to the difference of pressure, as it is for small differences."""

State = list[float]


def _subsonic(ratio: float) -> float:
    """Subsonic flow as a part of choked flow."""
    if ratio > NEARLY:  # at equal pressures the root's slope is infinite; an implicit step works with slopes
        return AT_NEARLY * (1.0 - ratio) / (1.0 - NEARLY)
    return SUBSONIC * math.sqrt(ratio ** (2 / K) - ratio ** ((K + 1) / K))


SUBSONIC = math.sqrt(2 * K / ((K - 1) * R)) / CHOKED
AT_NEARLY = SUBSONIC * math.sqrt(NEARLY ** (2 / K) - NEARLY ** ((K + 1) / K))


def flow(conductance: float, upstream: float, downstream: float) -> float:
    """Mass flow through a hole: `gas.mass_flow` in plain floats, and straight where the pressures are nearly equal.

    Parameters
    ----------
    conductance : float
        Choked flow for each unit of upstream pressure [kg/(s Pa)], not below 0.
    upstream, downstream : float
        Absolute pressures [Pa], not below 0; the flow turns round where downstream is higher.

    Returns
    -------
    float
        Mass flow [kg/s].

    References
    ----------
    As `gas.mass_flow`.

    Examples
    --------
    >>> flow(1e-9, 200e5, 10e5)
    0.02
    """
    if not conductance:
        return 0.0
    if downstream > upstream:
        return -flow(conductance, downstream, upstream)
    if downstream <= CRITICAL * upstream:
        return conductance * upstream
    return conductance * upstream * _subsonic(downstream / upstream)


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


STEPS, CLOSE = 40, 1e-14
"""Steps of Newton's method at most, and how near in m2 is near enough."""

SOFT = 0.05 * BAR
"""Pa beyond its opening pressure over which a second stage's soft seat opens ever faster, then in proportion."""


class Ports:
    """What leaves the ports of a first stage between two snaps, and the pressure at them, behind the passage."""

    def __init__(self, plant: Plant, settings: Settings, modes: Modes) -> None:
        openings = plant.openings(settings, modes)
        area = sum(size for place, size in openings.items() if place not in SENSED)
        widest = area + plant.second.purge_area
        passage, bench = plant.stage.passage, plant.bench
        self.passage, self.ambient = CHOKED * passage, settings.ambient
        self.opens = plant.opening(settings) if modes.weeping else math.inf
        self.area, self.through = area, passage
        self.slope, self.fully = plant.second.opens, plant.second.purge_area
        self.loaded = CHOKED * area * loaded_ratio(area / passage)
        self.widest = CHOKED * widest * loaded_ratio(widest / passage)
        self.breath, self.breath_start = 2 * math.pi * bench.breath_rate, settings.breath_start
        # the height of half a sine that holds one breath: volume x frequency / 2
        height = 0.5 * self.breath * bench.breath_volume * settings.ambient / (R * plant.room)
        self.demand = settings.demand * height

    def flow(self, t: float, ip: float, root: float) -> float:
        """Mass flow out of all of them [kg/s]; `root` is that of the gas's temperature [K^0.5]."""
        out = flow(self.loaded / root, ip, self.ambient)
        if self.demand:
            wanted = self.demand * math.sin(self.breath * (t - self.breath_start))
            if wanted > 0.0:
                out = min(out + wanted, flow(self.widest / root, ip, self.ambient))
        if ip > self.opens and (more := self.opened(ip)):
            area = self.area + more
            out = max(out, CHOKED * area * loaded_ratio(area / self.through) / root * ip)
        return out

    def opened(self, ip: float) -> float:
        """How far the second stage stands open by itself [m2], with `ip` in the sensed chamber.

        The wider it opens, the more the passage loses, and the less opens it: one equation that rises throughout, so
        that Newton's steps are kept between what is too little and what is too much. Its seat is soft: it opens gently.
        """
        area, least, most = 0.0, 0.0, self.fully
        for _ in range(STEPS):
            widths = (self.area + area) / self.through
            ratio = loaded_ratio(widths)
            over = ip * ratio - self.opens
            if over <= 0.0:
                wanted = steeper = 0.0
            elif over < SOFT:
                wanted, steeper = self.slope * over * over / (2.0 * SOFT), self.slope * over / SOFT
            else:
                wanted, steeper = self.slope * (over - SOFT / 2.0), self.slope
            if wanted > self.fully:
                wanted, steeper = self.fully, 0.0
            missing = wanted - area
            if abs(missing) < CLOSE:
                break
            least, most = (area, most) if missing > 0.0 else (least, area)
            area += missing / (1.0 - steeper * ip * loaded_slope(widths, ratio) / self.through)
            if not least < area < most:
                area = 0.5 * (least + most)
        return area

    def pressure(self, t: float, ip: float, root: float) -> float:
        """Absolute pressure at the ports [Pa], for an absolute pressure `ip` in the sensed chamber."""
        part = self.flow(t, ip, root) * root / (self.passage * ip)
        return ip * (CRITICAL + REST * math.sqrt(1.0 - part * part)) if part < 1.0 else ip * CRITICAL


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
        self.ring = to_hp * stage.discharge * math.pi * stage.seat_diameter / stage.rate
        # the ring opens no wider than the bore behind it, nor than the stop lets the valve lift
        self.most = min(to_hp * stage.discharge * stage.seat_area, self.ring * stage.rate * stage.lift)
        self.soft, self.worn = stage.seal_force, to_hp * worn.seat_leak
        self.seal_force = plant.seal_force(settings.aged)
        self.always = to_hp * worn.into_ip(settings.grit)
        openings = plant.openings(settings, modes)
        self.sensed = CHOKED * sum(openings[place] for place in SENSED)
        self.ports = Ports(plant, settings, modes)
        self.hidden = CHOKED * worn.chamber_hole
        self.friction, self.held = plant.dead_band, modes.held
        self.ambient, self.supply = settings.ambient, settings.supply
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
        inlet, cavity, mass, temperature, body, chamber, _, _ = y.tolist()
        mass, temperature, body = mass + self.mass, temperature + self.room, body + self.room
        chamber += SURFACE
        ip, root = mass * self.per_mass * temperature, math.sqrt(temperature)
        came = flow(self.valve, self.supply, inlet)
        screened = flow(self.screen, inlet, cavity)
        lost = flow(self.lost_hp, cavity, self.ambient)
        seat = flow(self.seat(self.net(cavity, ip, chamber)) + self.always, cavity, ip)
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
        stirred = 0.5 * (abs(seat) + out)
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
        gained = seat * CP * brought - out * CP * temperature + from_walls
        return gained, (self.body_to_room * (self.room - body) - taken) / self.body_heat
