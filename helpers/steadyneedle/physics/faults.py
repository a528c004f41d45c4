"""What can be wrong with a first stage on a bench, in which design, and what each fault does to the numbers."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from steadyneedle.foundation import datasets
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

_NUMBERS = ("least", "most", "mark_least_um", "mark_most_um")
_SIZES = ("quantity", "unit", "least", "most")
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
        if design:
            FirstStage.named(design)
        return tuple(key for key, fault in _faults().items() if not design or design in fault.designs)

    @classmethod
    def named(cls, key: str) -> Fault:
        """The fault of that key; ValueError names those there are.

        >>> Fault.named("grit").name
        'grit or a crumb of rubber on the seat'
        """
        faults = _faults()
        if key not in faults:
            raise ValueError(f"There is no fault '{key}'; there are {', '.join(faults)}.")
        return faults[key]

    def sizes(self, severity: float) -> dict[str, float]:
        """What it does to each quantity, SI; between least and most by equal ratios."""
        # holes run over decades: by equal steps of area nearly every severity would be a gross one
        return {name: least * (most / least) ** severity for name, least, most in self.ranges}

    def seen(self, severity: float) -> str:
        """What an inspection of the open regulator shows: by naked eye, with a loupe, or nothing.

        >>> [Fault.named("seat_nicked").seen(1.0), Fault.named("land_scratched").seen(0.5)]
        ['with a loupe: a cut in the seat', 'with a loupe: a scratch across the sealing land']
        """
        least, most = self.mark
        size = least * (most / least) ** severity if least else 0.0
        if size < LOUPE:
            return NOTHING
        return self.inspection if size >= NAKED_EYE else f"with a loupe: {self.inspection}"


@cache
def _faults() -> dict[str, Fault]:
    return faults_of(datasets.table("faults", _NUMBERS))


def faults_of(columns: Mapping[str, tuple]) -> dict[str, Fault]:
    """The faults that a table lists, by key.

    Parameters
    ----------
    columns : mapping
        Name of each column of the table to its cells: `mark_...` as numbers, the sizes as numbers or text.

    Returns
    -------
    dict
        Key to fault, in the order of the table; sizes in SI [N, Pa, m2, m/K].

    Raises
    ------
    DatasetError
        A column that is missing, a key that stands twice, a design that is neither `yes` nor `no`, a quantity that no
        condition has, an unknown unit, a size that is no number, or two sizes of which one is 0 or that differ in sign.

    References
    ----------
    The table's form is ours.

    Examples
    --------
    >>> faults_of(datasets.table("faults", _NUMBERS))["grit"].designs[0]
    'Alder'
    """
    texts = ("fault", "name", "ip", "leak", "inspection", *FirstStage.names())
    missing = [
        name for name in (*texts, *_SIZES, *(f"second_{part}" for part in _SIZES), *_NUMBERS) if name not in columns
    ]
    if missing:
        raise datasets.DatasetError(f"faults.csv lacks the column {missing[0]}; it has {', '.join(columns)}.")
    faults: dict[str, Fault] = {}
    for number in range(len(columns["fault"])):
        row = {name: cells[number] for name, cells in columns.items()}
        if not row["fault"] or row["fault"] in faults:
            raise _wrong(row, "fault", "each fault needs a key of its own")
        faults[row["fault"]] = _fault(row)
    return faults


def _fault(row: Mapping[str, Any]) -> Fault:
    for name in FirstStage.names():
        if row[name] not in ("yes", "no"):
            raise _wrong(row, name, "write yes or no: can this design have it?")
    designs = tuple(name for name in FirstStage.names() if row[name] == "yes")
    ranges = [_range(row, "")]
    if row["second_quantity"]:
        ranges.append(_range(row, "second_"))
    least, most = row["mark_least_um"] * 1e-6, row["mark_most_um"] * 1e-6
    if not (0 < least <= most or least == most == 0):
        raise _wrong(
            row, "mark_least_um", "a mark needs a least size above 0 and a most that is no smaller, or 0 and 0"
        )
    text = {name: row[name] for name in ("name", "ip", "leak", "inspection")}
    return Fault(key=row["fault"], designs=designs, ranges=tuple(ranges), mark=(least, most), **text)


def _range(row: Mapping[str, Any], which: str) -> tuple[str, float, float]:
    """A quantity's least and most in SI; the diameter of a hole becomes its area."""
    quantity, unit = row[f"{which}quantity"], row[f"{which}unit"]
    if quantity not in Condition.__dataclass_fields__:
        known = ", ".join(Condition.__dataclass_fields__)
        raise _wrong(row, f"{which}quantity", f"no condition has such a quantity; there are {known}")
    if unit != "um" and unit not in _UNITS:
        raise _wrong(row, f"{which}unit", f"write one of um, {', '.join(_UNITS)}")
    sizes = []
    for name in (f"{which}least", f"{which}most"):
        try:
            sizes.append(float(row[name]))
        except ValueError:
            sizes.append(math.nan)
        if not math.isfinite(sizes[-1]):
            raise _wrong(row, name, "write a number")
    least, most = sizes
    if least * most <= 0:  # between them sizes go by equal ratios
        raise _wrong(row, f"{which}least", f"least and most, here {most:g}, must have one sign, and neither may be 0")
    if unit == "um":
        return quantity, math.pi / 4 * (least * 1e-6) ** 2, math.pi / 4 * (most * 1e-6) ** 2
    return quantity, least * _UNITS[unit], most * _UNITS[unit]


def _wrong(row: Mapping[str, Any], column: str, sentence: str) -> datasets.DatasetError:
    return datasets.DatasetError(f"faults.csv, fault '{row['fault']}', column {column}: '{row[column]}': {sentence}.")
