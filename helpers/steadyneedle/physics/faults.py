"""What can be wrong with a first stage on a bench, in which design, and what each fault does to the numbers."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from steadyneedle.foundation import datasets
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

_NUMBERS = ("least", "most", "mark_least_um", "mark_most_um")
_UNITS = {"N": 1.0, "bar": BAR, "um2": 1e-12, "um/K": 1e-6, "-": 1.0}

NAKED_EYE, LOUPE = 100e-6, 10e-6
"""m; the smallest mark seen from a hand's breadth, and through a loupe that magnifies ten times (from memory)."""

NOTHING = "nothing worn"
"""What an inspection shows where there is no mark, or none large enough to be seen."""

NARROWEST = ("filter_area", "valve_area")
"""Quantities of which the smallest counts where two faults set them; of `stiffer` it is the largest."""


@dataclass(frozen=True)
class Condition:
    """How a regulator and its bench differ from sound ones, SI. Holes are areas [m2].

    A sound one is `Condition()`. Forces [N]: `seal_force` and `setting_force` that the seat needs beyond a sound
    one's, `wander` of the closing from one purge to the next, `dead_band`, `spring` and `setting` added. `stiffer` is
    how many times as stiff the main spring is as its own, `ice` how far ice holds the valve open for each kelvin that
    the body is below freezing [m/K]; where 0, nothing of the kind. `seat_leak` is the
    opening of an unpressed seat, `filter_area` and `valve_area` replace those of the bench when above 0, `mouth_stick`
    is how far beyond its opening IP a stuck second stage holds [Pa].
    """

    seal_force: float = 0.0
    seat_leak: float = 0.0
    setting_force: float = 0.0
    seat_hole: float = 0.0
    bypass_hole: float = 0.0
    grit_hole: float = 0.0
    stem_hole: float = 0.0
    shaft_hole: float = 0.0
    head_hole: float = 0.0
    diaphragm_hole: float = 0.0
    chamber_hole: float = 0.0
    rim_hole: float = 0.0
    land_hole: float = 0.0
    fitting_hole: float = 0.0
    hose_hole: float = 0.0
    mouth_hole: float = 0.0
    mouth_stick: float = 0.0
    wander: float = 0.0
    dead_band: float = 0.0
    spring: float = 0.0
    stiffer: float = 0.0
    setting: float = 0.0
    ice: float = 0.0
    filter_area: float = 0.0
    valve_area: float = 0.0
    blocked: float = 0.0
    gauge_offset: float = 0.0
    gauge_stick: float = 0.0

    @classmethod
    def of(cls, stage: FirstStage, faults: Mapping[str, float]) -> Condition:
        """A regulator with these faults, each with a severity from 0 (least) to 1 (most).

        Faults of one quantity add up, those that narrow a passage leave the narrowest. ValueError where a fault
        cannot occur in the design or a severity lies outside.

        >>> Condition.of(FirstStage.named("Alder"), {"spring_weak": 0.0}).spring
        -40.0
        """
        made: dict[str, float] = {}
        for key, severity in faults.items():
            fault = Fault.named(key)
            if stage.name not in fault.designs:
                raise ValueError(f"'{fault.name}' cannot occur in {stage.name}; it can in {', '.join(fault.designs)}.")
            if not 0 <= severity <= 1:
                raise ValueError(f"The severity of '{fault.name}' must lie between 0 and 1.")
            for quantity, value in fault.sizes(severity).items():
                if quantity in NARROWEST:
                    made[quantity] = min(value, made.get(quantity, math.inf))
                elif quantity == "stiffer":
                    made[quantity] = max(value, made.get(quantity, 0.0))
                else:
                    made[quantity] = made.get(quantity, 0.0) + value
        return cls(**made)

    def into_ip(self, grit: float = 1.0) -> float:
        """Area of every hole from the high-pressure to the IP side that no contact force closes [m2].

        `grit` is the part of a crumb's leak that the last purge left.
        """
        return self.seat_hole + self.bypass_hole + self.stem_hole + self.grit_hole * grit

    @property
    def stiffness(self) -> float:
        """How many times as stiff the main spring is as its own [-]."""
        return self.stiffer or 1.0

    def repaired(self, *quantities: str) -> Condition:
        """The same with these quantities as in a sound regulator."""
        return dataclasses.replace(self, **dict.fromkeys(quantities, 0.0))


@dataclass(frozen=True)
class Fault:
    """One row of the fault table: names, designs, what it shows, and the sizes it has from least to most.

    `inspection` is what one sees with the regulator open, `mark` how large that is from least to most [m]; 0: no mark.
    """

    key: str
    name: str
    designs: tuple[str, ...]
    ip: str
    leak: str
    inspection: str
    ranges: tuple[tuple[str, float, float], ...] = field(default=())
    mark: tuple[float, float] = (0.0, 0.0)

    @staticmethod
    def keys(design: str = "") -> tuple[str, ...]:
        """Keys of all faults, or of those a design can have.

        >>> len(Fault.keys()), "stem_seal" in Fault.keys("Hazel")
        (27, False)
        """
        columns = datasets.table("faults", _NUMBERS)
        if not design:
            return columns["fault"]
        FirstStage.named(design)
        return tuple(key for key, cell in zip(columns["fault"], columns[design], strict=True) if cell == "yes")

    @classmethod
    def named(cls, key: str) -> Fault:
        """The fault of that key; ValueError names those there are.

        >>> Fault.named("grit").name
        'grit or a crumb of rubber on the seat'
        """
        columns = datasets.table("faults", _NUMBERS)
        if key not in columns["fault"]:
            raise ValueError(f"There is no fault '{key}'; there are {', '.join(columns['fault'])}.")
        row = columns["fault"].index(key)
        designs = tuple(name for name in FirstStage.names() if columns[name][row] == "yes")
        ranges = [_range(columns["quantity"][row], columns["unit"][row], columns["least"][row], columns["most"][row])]
        if columns["second_quantity"][row]:
            second = (columns[f"second_{part}"][row] for part in ("quantity", "unit", "least", "most"))
            quantity, unit, least, most = second
            ranges.append(_range(quantity, unit, float(least), float(most)))
        ip, leak, inspection = (columns[part][row] for part in ("ip", "leak", "inspection"))
        mark = (columns["mark_least_um"][row] * 1e-6, columns["mark_most_um"][row] * 1e-6)
        return cls(key, columns["name"][row], designs, ip, leak, inspection, tuple(ranges), mark)

    def sizes(self, severity: float) -> dict[str, float]:
        """What it does to each quantity, SI; between least and most by equal ratios."""
        # holes run over decades: by equal steps of area nearly every severity would be a gross one
        return {name: least * (most / least) ** severity for name, least, most in self.ranges}

    def seen(self, severity: float) -> str:
        """What an inspection of the open regulator shows: by naked eye, with a loupe, or nothing.

        >>> [Fault.named("seat_nicked").seen(1.0), Fault.named("land_scratched").seen(0.5)]
        ['nothing worn', 'with a loupe: a scratch across the sealing land']
        """
        least, most = self.mark
        size = least * (most / least) ** severity if least else 0.0
        if size < LOUPE:
            return NOTHING
        return self.inspection if size >= NAKED_EYE else f"with a loupe: {self.inspection}"


def _range(quantity: str, unit: str, least: float, most: float) -> tuple[str, float, float]:
    """A quantity's least and most in SI; the diameter of a hole becomes its area."""
    if unit == "um":
        return quantity, math.pi / 4 * (least * 1e-6) ** 2, math.pi / 4 * (most * 1e-6) ** 2
    return quantity, least * _UNITS[unit], most * _UNITS[unit]
