"""What the rig's equations are made of: a regulator, its faults, the bench, and what holds between two actions. SI."""

from __future__ import annotations

import math
from dataclasses import dataclass

from steadyneedle.physics import gas
from steadyneedle.physics.faults import Condition
from steadyneedle.physics.first_stage import SURFACE, chamber_pressure, opening_force
from steadyneedle.physics.second_stage import opening_gauge
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import BenchSetup, FirstStage, SecondStage

SETTING_TIME = 6 * 3600.0
"""s; a new seat takes its set over hours (common practice, no source)."""

SHUTS_BELOW = 0.02 * BAR
"""Pa below its opening pressure at which a second stage is said to have shut again: it passes nothing any more."""

SENSED = ("spring chamber", "rim of the diaphragm")
"""Places where air leaves the sensed chamber itself; all others hang on the ports, behind the passage."""


@dataclass(frozen=True)
class Settings:
    """What stays the same between two actions. Pressures absolute [Pa], areas [m2], forces [N].

    `drawn` is what had come in of earlier cylinders [kg] when this one, of pressure `supply`, was put on.
    """

    supply: float
    valve_area: float
    drawn: float = 0.0
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
    """What has gone over into one of two positions.

    A valve `held` shut by friction; a second stage whose stuck seat has broken loose and is `burping`; one that opens
    by itself and is `weeping`.
    """

    held: bool = False
    burping: bool = False
    weeping: bool = False


@dataclass(frozen=True)
class Plant:
    """Everything the equations are made of.

    `room` [K] is the temperature of room, cylinder and high-pressure side; a sealed chamber is taken as closed at it.
    """

    stage: FirstStage
    second: SecondStage
    bench: BenchSetup
    condition: Condition
    cooling: tuple[float, ...]
    room: float = gas.REFERENCE_TEMPERATURE

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
        change = self.condition.spring + self.condition.setting + settings.spring_change + settings.wander
        force = float(opening_force(stage, 0.0, 0.0, ambient, change))
        if self.condition.blocked:
            force += (SURFACE - float(chamber_pressure(stage, ambient))) * stage.chamber_area
        return force, stage.supply_sign * stage.mismatch, stage.effective_area

    def openings(self, settings: Settings, modes: Modes) -> dict[str, float]:
        """Every place where air leaves the IP side to ambient, and its area [m2]."""
        worn = self.condition
        burp = self.second.burp_area if modes.burping else 0.0  # what it weeps grows with IP: `equations.Ports` adds it
        return {
            "spring chamber": worn.head_hole + worn.diaphragm_hole,
            "rim of the diaphragm": worn.rim_hole + worn.land_hole,
            "hose fitting": worn.fitting_hole,
            "gauge hose": worn.hose_hole,
            "mouthpiece": worn.mouth_hole + settings.purge_area + burp if settings.connected else 0.0,
        }

    def opening(self, settings: Settings) -> float:
        """Absolute pressure at the ports beyond which the second stage's spring holds it no longer [Pa].

        Infinite with none connected.
        """
        if not settings.connected:
            return math.inf
        return settings.ambient + float(opening_gauge(self.second, settings.second_spring or None))

    def gives_way(self, settings: Settings, modes: Modes) -> tuple[tuple[str, float, int], ...]:
        """What the second stage may do next: which, the absolute pressure at the ports [Pa], 1 above or -1 below it."""
        opens = self.opening(settings)
        if modes.burping:
            return (("reseats", opens - self.second.reseats_below_opening, -1),)
        if self.condition.mouth_stick:
            return (("breaks loose", opens + self.condition.mouth_stick, 1),)
        return (("shuts", opens - SHUTS_BELOW, -1),) if modes.weeping else (("weeps", opens, 1),)
