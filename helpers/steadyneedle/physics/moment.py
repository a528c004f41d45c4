"""A bench at one time, and the samples between two times. SI; what a gauge shows is over ambient."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.physics import equations as eq
from steadyneedle.physics.cylinder import Cylinder
from steadyneedle.physics.plain import CHOKED, R, flow
from steadyneedle.physics.plant import SENSED, Modes, Plant, Settings
from steadyneedle.physics.ports import Ports
from steadyneedle.physics.si import BAR

GAUGE_SPAN = 16 * BAR
"""Pa; span of the bench's IP gauge unless another is given (invented)."""


TURNS: dict[str, dict[str, bool]] = {
    "seats": {"held": True}, "breaks away": {"held": False},
    "weeps": {"weeping": True}, "shuts": {"weeping": False},
    "breaks loose": {"burping": True, "weeping": False}, "reseats": {"burping": False},
}  # fmt: skip
"""What each thing that goes over does to the modes."""


@dataclass(frozen=True)
class Moment:
    """A bench at one time [s]. `ended` says why a job stopped: a limit was passed."""

    plant: Plant
    settings: Settings
    state: tuple[float, ...]
    time: float = 0.0
    modes: Modes = field(default_factory=Modes)
    purges: int = 0
    seed: int = 0
    gauge_span: float = GAUGE_SPAN
    ended: str = ""

    @property
    def chamber(self) -> float:
        """Absolute pressure in the sensed chamber [Pa]: what the valve's forces feel."""
        return self.state[eq.MASS] * R * self.state[eq.TEMPERATURE] / self.plant.bench.ip_volume

    @property
    def port(self) -> float:
        """Absolute pressure at the ports [Pa]: below the chamber's while air flows out of them."""
        return self._ports.pressure(self.time, self.chamber, self.state[eq.TEMPERATURE] ** 0.5)

    @property
    def _ports(self) -> Ports:
        return Ports(self.plant, self.settings, self.modes)

    @property
    def opened(self) -> float:
        """How far the second stage stands open by itself [m2], weeping, flowing freely or burping; 0 where it is shut.

        What it passes then is the mouthpiece's part of `leaks`.
        """
        ports = self._ports
        if self.modes.burping:
            return self.plant.second.burp_area
        return ports.opened(self.chamber) if self.chamber > ports.opens else 0.0

    @property
    def ip_gauge(self) -> float:
        """IP over ambient at the ports [Pa], as a perfect gauge would show it."""
        return self.port - self.settings.ambient

    @property
    def hp_gauge(self) -> float:
        """Pressure at the inlet over ambient [Pa]."""
        return self.state[eq.INLET] - self.settings.ambient

    @property
    def supply(self) -> float:
        """Absolute pressure in the cylinder [Pa]; it falls where the cylinder has a volume."""
        return Cylinder(self.plant, self.settings).pressure(self.state[eq.CAME_IN])

    @property
    def net_force(self) -> float:
        """Net opening force on the valve [N], friction and seat apart."""
        rhs = eq.RightHandSide(self.plant, self.settings, self.modes)
        return rhs.net(self.state[eq.CAVITY], self.chamber, self.state[eq.CHAMBER])

    @property
    def contact_force(self) -> float:
        """Force that presses the valve on its seat [N]; a valve held by friction is pressed by it too."""
        return max((self.plant.dead_band if self.modes.held else 0.0) - self.net_force, 0.0)

    @property
    def limits(self) -> tuple[tuple[float, str], ...]:
        """What ends a job: IP over ambient [Pa], and the words."""
        bench = self.plant.bench
        rating = bench.gauge_over_span * self.gauge_span
        return (
            (bench.relief_opens, f"The relief valve lifted at {bench.relief_opens / BAR:.1f} bar."),
            (rating, f"The gauge was loaded beyond its rating of {rating / BAR:.1f} bar."),
        )

    def with_settings(self, **changes: object) -> Moment:
        """The same with other settings."""
        return dataclasses.replace(self, settings=dataclasses.replace(self.settings, **changes))  # type: ignore[arg-type]

    def with_modes(self, **changes: object) -> Moment:
        """The same with other modes."""
        return dataclasses.replace(self, modes=dataclasses.replace(self.modes, **changes))  # type: ignore[arg-type]

    def turned(self, what: str) -> Moment:
        """The same after something has gone over: "seats", "breaks away", or what `Plant.gives_way` names."""
        return self.with_modes(**TURNS[what])

    def snapped(self) -> Moment:
        """The moment with everything snapped over that its forces and pressures no longer hold."""
        plant, modes, friction, net = self.plant, self.modes, self.plant.dead_band, self.net_force
        absolute = self.port
        # sticks at one limit and lets go at another, as the second stage opens at one and shuts at another:
        # with one limit for both it would chatter at every step
        held = friction > 0 and ((modes.held and net <= friction) or net < -friction - plant.snaps_at)
        made = self.with_modes(held=held)
        for what, limit, sign in plant.gives_way(self.settings, modes):
            if (absolute - limit) * sign > 0:
                made = made.turned(what)
        passed = [words for limit, words in sorted(self.limits) if absolute - self.settings.ambient > limit]
        return dataclasses.replace(made, ended=passed[0]) if passed and not self.ended else made

    def leaks(self) -> dict[str, float]:
        """Where air escapes to ambient, and how much [kg/s]; what could be heard or wetted with soapy water."""
        worn, settings, stage = self.plant.condition, self.settings, self.plant.stage
        chamber, port, root = self.chamber, self.port, self.state[eq.TEMPERATURE] ** 0.5
        openings = self.plant.openings(settings, self.modes)
        if not self.modes.burping:
            openings["mouthpiece"] += self.opened
        found = {
            place: flow(CHOKED * area / root, chamber if place in SENSED else port, settings.ambient)
            for place, area in openings.items()
        }
        to_hp = CHOKED / self.plant.room**0.5
        for place, area in (("ambient chamber", worn.shaft_hole), ("bleed screw", settings.bleed_area)):
            found[place] = flow(to_hp * area, self.state[eq.CAVITY], settings.ambient)
        bulge = self.state[eq.CHAMBER] - eq.SURFACE - self.plant.bench.seal_vents
        if stage.sealed and bulge > 0:
            found["outer seal"] = self.plant.bench.seal_vent_area * to_hp * bulge * self.state[eq.CHAMBER]
        return {place: rate for place, rate in found.items() if rate > 0}


@dataclass(frozen=True)
class Segment:
    """Sampled states between two snaps or actions: times [s], states (8, n), and what held meanwhile."""

    plant: Plant
    settings: Settings
    modes: Modes
    time: np.ndarray
    states: np.ndarray

    @property
    def chamber(self) -> np.ndarray:
        """Absolute pressure in the sensed chamber [Pa], shape (n,)."""
        return self.states[eq.MASS] * R * self.states[eq.TEMPERATURE] / self.plant.bench.ip_volume

    @cached_property
    def port(self) -> np.ndarray:
        """Absolute pressure at the ports [Pa], shape (n,)."""
        ports = Ports(self.plant, self.settings, self.modes)
        columns = (self.time, self.chamber, np.sqrt(self.states[eq.TEMPERATURE]))
        return np.array([ports.pressure(*row) for row in zip(*(one.tolist() for one in columns), strict=True)])


@dataclass(frozen=True)
class Trace:
    """What the needles did. Pressures over ambient [Pa]; `happened` lists (time, words)."""

    segments: tuple[Segment, ...] = ()
    happened: tuple[tuple[float, str], ...] = field(default=())

    def __add__(self, other: Trace) -> Trace:
        return Trace(self.segments + other.segments, self.happened + other.happened)

    @property
    def time(self) -> np.ndarray:
        """Sample times [s]; an instant at which something snaps stands twice."""
        return np.concatenate([one.time for one in self.segments])

    @property
    def ip_gauge(self) -> np.ndarray:
        """IP over ambient at the ports [Pa], as a perfect gauge would show it."""
        return np.concatenate([one.port - one.settings.ambient for one in self.segments])

    @property
    def hp_gauge(self) -> np.ndarray:
        """Pressure at the inlet over ambient [Pa]: the bench's high-pressure gauge stands before the filter."""
        return np.concatenate([one.states[eq.INLET] - one.settings.ambient for one in self.segments])

    def state(self, which: int) -> np.ndarray:
        """One row of the states, for example `equations.TEMPERATURE`."""
        return np.concatenate([one.states[which] for one in self.segments])

    def at(self, times: ArrayLike) -> np.ndarray:
        """IP over ambient [Pa] at given times, straight between samples."""
        return np.asarray(np.interp(np.asarray(times, float), self.time, self.ip_gauge))
