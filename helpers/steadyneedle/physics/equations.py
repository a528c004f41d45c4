"""The differential equations of a regulator on a bench: mass, energy, the valve's balance of forces. SI, absolute.

State: pressure at the inlet and in the high-pressure cavity, mass and temperature of the air on the IP side,
temperature of the body, pressure in a sealed spring chamber, air come in and gone out so far.
Plain floats, because a stiff integrator asks for the derivative thousands of times.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from steadyneedle.physics import gas
from steadyneedle.physics.faults import Condition
from steadyneedle.physics.first_stage import SURFACE, chamber_pressure, opening_force
from steadyneedle.physics.second_stage import opening_gauge
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import BenchSetup, FirstStage, SecondStage

INLET, CAVITY, MASS, TEMPERATURE, BODY, CHAMBER, CAME_IN, GONE_OUT = range(8)
SCALE = np.array([BAR, BAR, 1e-4, 1.0, 1.0, BAR, 1e-4, 1e-4])
"""What counts as one of each in the tolerance: bar, 0.1 g, kelvin."""

ROOM = gas.REFERENCE_TEMPERATURE
R = gas.GAS_CONSTANT_AIR
CP = gas.HEAT_CAPACITY_AIR
CV = CP - R
K = gas.HEAT_CAPACITY_RATIO_AIR
CRITICAL = float(gas.critical_ratio())
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


@dataclass(frozen=True)
class Settings:
    """What stays the same between two actions. Pressures absolute [Pa], areas [m2], forces [N]."""

    supply: float
    valve_area: float
    bleed_area: float = 0.0
    purge_area: float = 0.0
    purge_ends: float = 0.0
    demand: float = 0.0
    breath_start: float = 0.0
    breath_ends: float = 0.0
    ambient: float = SURFACE
    spring_change: float = 0.0
    wander: float = 0.0
    grit: float = 1.0
    connected: bool = True
    second_spring: float = 0.0
    aged: float = 0.0


@dataclass(frozen=True)
class Modes:
    """What has snapped into one of two positions: a valve held shut by friction, a second stage that gives way."""

    held: bool = False
    burping: bool = False


@cache
def cooling_curve() -> tuple[float, float, float]:
    """Fall of temperature of room-warm air on throttling from p to nothing, as a p + b p^2 + c p^3.

    Parameters
    ----------

    Returns
    -------
    tuple of float
        The three coefficients [K/Pa, K/Pa2, K/Pa3].

    References
    ----------
    Fitted to `gas.throttled_temperature`, within 0.5 K up to 40 MPa.

    Examples
    --------
    >>> a, b, c = cooling_curve()
    >>> print(round(a * 2e7 + b * 4e14 + c * 8e21, 0))
    36.0
    """
    pressures = np.linspace(BAR, 400 * BAR, 81)
    fall = ROOM - gas.throttled_temperature(pressures, 0.0, ROOM)
    columns = np.stack([pressures, pressures**2, pressures**3], axis=1) / np.array([1e7, 1e14, 1e21])
    a, b, c = np.linalg.lstsq(columns, fall, rcond=None)[0]
    return float(a / 1e7), float(b / 1e14), float(c / 1e21)


@dataclass(frozen=True)
class Plant:
    """Everything the equations are made of."""

    stage: FirstStage
    second: SecondStage
    bench: BenchSetup
    condition: Condition
    cooling: tuple[float, float, float]

    @property
    def dead_band(self) -> float:
        """Half-width of the band of force in which the valve stays where it is [N]."""
        return self.stage.dead_band + self.condition.dead_band

    @property
    def snaps_at(self) -> float:
        """Contact force at which a valve with friction sticks to its seat instead of closing bit by bit [N].

        The drier it runs, the earlier: a sound piston follows a trickle, a sticky one shuts on it and saw-tooths.
        """
        return max(self.stage.seal_force - 0.05 * self.dead_band, 0.25 * self.stage.seal_force)

    def seal_force(self, aged: float) -> float:
        """Contact force that the seat needs to be tight [N]; a new seat needs less as hours pass."""
        setting = self.condition.setting_force * math.exp(-aged / SETTING_TIME)
        return self.stage.seal_force + self.condition.seal_force + setting

    def balance(self, settings: Settings) -> tuple[float, float, float]:
        """Net opening force = first + second x cavity - third x IP (absolute), but for a sealed chamber's excess."""
        stage, ambient = self.stage, settings.ambient
        change = self.condition.spring + settings.spring_change + settings.wander
        force = float(opening_force(stage, 0.0, 0.0, ambient, change))
        if self.condition.blocked:
            force += (SURFACE - float(chamber_pressure(stage, ambient))) * stage.chamber_area
        return force, stage.supply_sign * stage.mismatch, stage.effective_area

    def openings(self, settings: Settings, modes: Modes) -> dict[str, float]:
        """Every place where air leaves the IP side to ambient, and its area [m2]."""
        worn = self.condition
        burp = self.second.burp_area if modes.burping else 0.0
        return {
            "spring chamber": worn.head_hole + worn.diaphragm_hole,
            "rim of the diaphragm": worn.rim_hole + worn.land_hole,
            "hose fitting": worn.fitting_hole,
            "gauge hose": worn.hose_hole,
            "mouthpiece": worn.mouth_hole + settings.purge_area + burp if settings.connected else 0.0,
        }

    def opening(self, settings: Settings) -> float:
        """Absolute IP at which the second stage gives way; infinite with no second stage connected."""
        if not settings.connected:
            return math.inf
        return settings.ambient + float(opening_gauge(self.second, settings.second_spring or None))


SETTING_TIME = 6 * 3600.0
"""s; a new seat takes its set over hours (common practice, no source)."""


class RightHandSide:
    """The derivative of the state for one segment between actions and snaps; call it with time and state less `origin`.

    The integrator counts mass from that of lock-up, temperatures from the room's: its relative tolerance then watches
    the few parts in a thousand that a needle shows, not the air as a whole.
    """

    def __init__(self, plant: Plant, settings: Settings, modes: Modes) -> None:
        stage, bench, worn = plant.stage, plant.bench, plant.condition
        to_hp = CHOKED / math.sqrt(ROOM)
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
        self.outlets = CHOKED * sum(plant.openings(settings, modes).values())
        self.hidden = CHOKED * worn.chamber_hole
        self.friction, self.held = plant.dead_band, modes.held
        self.ambient, self.supply = settings.ambient, settings.supply
        self.per_mass = R / bench.ip_volume
        self.vents, self.vent_slope = bench.seal_vents, bench.seal_vent_area * to_hp
        self.inlet_rate, self.cavity_rate = R * ROOM / bench.inlet_volume, R * ROOM / stage.cavity
        self.chamber_rate = R * ROOM / stage.chamber_volume if stage.sealed else 0.0
        self.cooling = plant.cooling
        self.exchange, self.at_rest = bench.inlet_exchange, bench.gas_to_wall
        self.flowing = bench.gas_to_wall_flowing / 0.01**0.8  # stated at 0.01 kg/s
        self.body_heat, self.body_to_room = bench.body_heat, bench.body_to_room
        self.breath, self.breath_start = 2 * math.pi * bench.breath_rate, settings.breath_start
        # the height of half a sine that holds one breath: volume x frequency / 2
        self.demand = settings.demand * 0.5 * self.breath * bench.breath_volume * settings.ambient / (R * ROOM)
        self.widest = CHOKED * plant.second.purge_area
        self.mass = max((self.force + self.supply_area * settings.supply) / self.area, SURFACE) / (self.per_mass * ROOM)
        self.origin = np.array([0.0, 0.0, self.mass, ROOM, ROOM, SURFACE, 0.0, 0.0])

    def __call__(self, t: float, y: np.ndarray) -> State:
        inlet, cavity, mass, temperature, body, chamber, _, _ = y.tolist()
        mass, temperature, body, chamber = mass + self.mass, temperature + ROOM, body + ROOM, chamber + SURFACE
        ip, root = mass * self.per_mass * temperature, math.sqrt(temperature)
        came = flow(self.valve, self.supply, inlet)
        screened = flow(self.screen, inlet, cavity)
        lost = flow(self.lost_hp, cavity, self.ambient)
        seat = flow(self.seat(self.net(cavity, ip, chamber)) + self.always, cavity, ip)
        out = flow(self.outlets / root, ip, self.ambient)
        if self.demand:
            wanted = self.demand * math.sin(self.breath * (t - self.breath_start))
            if wanted > 0.0:
                out += min(wanted, flow(self.widest / root, ip, self.ambient))
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
        """Enthalpy and heat that the air on the IP side gains [W], and the body's change of temperature [K/s]."""
        a, b, c = self.cooling
        stirred = 0.5 * (abs(seat) + out)
        to_gas = (self.at_rest + self.flowing * stirred**0.8 if stirred > 0.0 else self.at_rest) * (body - temperature)
        from_body, brought = 0.0, temperature
        if seat > 0.0:
            cold = ROOM - cavity * (a + cavity * (b + cavity * c)) + ip * (a + ip * (b + ip * c))
            from_body = seat * CP * self.exchange * (body - cold)
            brought = cold + self.exchange * (body - cold)
        gained = seat * CP * brought - out * CP * temperature + to_gas
        return gained, (self.body_to_room * (ROOM - body) - to_gas - from_body) / self.body_heat
