"""The regulators of the workbook as numbers: five first stages, two second stages, one bench. All invented."""

from __future__ import annotations

import math
from dataclasses import dataclass

from steadyneedle.foundation import datasets
from steadyneedle.physics.si import BAR

_FIRST = (
    "net_area_mm2", "seat_diameter_mm", "stem_area_mm2", "spring_N", "rate_N_per_mm", "closing_spring_N", "lift_mm",
    "discharge", "adjuster_N_per_turn", "shim_N", "chamber_ratio", "chamber_volume_cm3", "dead_band_N",
    "seal_force_N", "cavity_cm3", "passage_mm2",
)  # fmt: skip
_SECOND = (
    "orifice_area_mm2", "balance", "spring_N", "stiffest_N", "lever", "diaphragm_area_mm2",
    "opens_mm2_per_bar", "reseats_below_opening_bar", "burp_area_mm2", "purge_area_mm2",
)  # fmt: skip
# the longer ending first: `_N_per_mm` ends in `_mm` as well
_ENDINGS = {
    "_N_per_turn": 1.0, "_N_per_mm": 1e3, "_mm2_per_bar": 1e-6 / BAR, "_mm2": 1e-6, "_cm3": 1e-6, "_mm": 1e-3,
    "_bar": BAR, "_N": 1.0,
}  # fmt: skip
_UNITS = {
    "mm2": 1e-6, "mm2/bar": 1e-6 / BAR, "cm3": 1e-6, "L": 1e-3, "bar": BAR, "J/K": 1.0, "W/K": 1.0, "W/K/cm3": 1e6,
    "-": 1.0, "1/min": 1 / 60,
}  # fmt: skip


@dataclass(frozen=True)
class FirstStage:
    """A first stage, SI.

    A piston senses with its net head area; a diaphragm's `net_area` is the diaphragm itself. `stem_area` is the
    area that balances the seat: the shaft seal of a piston, the stem of a poppet. `passage` is what lies between the
    sensed chamber and the ports, as the area of one ideal nozzle.
    """

    name: str
    kind: str
    balanced: bool
    sealed: bool
    net_area: float
    seat_diameter: float
    stem_area: float
    spring: float
    rate: float
    closing_spring: float
    lift: float
    discharge: float
    adjuster: float
    shim: float
    chamber_ratio: float
    chamber_volume: float
    dead_band: float
    seal_force: float
    cavity: float
    passage: float
    second_stage: str

    @staticmethod
    def names() -> tuple[str, ...]:
        """Every first stage of the dataset.

        >>> FirstStage.names()
        ('Alder', 'Rowan', 'Hazel', 'Juniper', 'Linden')
        """
        return tuple(datasets.table("first_stages", _FIRST)["design"])

    @classmethod
    def named(cls, name: str) -> FirstStage:
        """The first stage of that name; ValueError names those there are.

        >>> FirstStage.named("Alder").kind
        'piston'
        """
        columns = datasets.table("first_stages", _FIRST)
        row = _row_of(name, columns["design"])
        return cls(
            name=name, kind=columns["kind"][row], balanced=columns["balanced"][row] == "yes",
            sealed=columns["chamber"][row] == "sealed", second_stage=columns["second_stage"][row],
            **_numbers(columns, _FIRST, row),
        )  # fmt: skip

    @property
    def seat_area(self) -> float:
        """Area of the seat's opening [m2]."""
        return math.pi / 4 * self.seat_diameter**2

    @property
    def mismatch(self) -> float:
        """Area that the supply acts on unbalanced [m2]: seat less stem, or the surplus of a shaft over its edge.

        In a balanced piston the air flows through the shaft: supply stands around it, between knife edge and shaft
        seal, and lifts it where the seal is the larger. In the others supply acts on the seat.
        """
        surplus = self.seat_area - self.stem_area
        return -surplus if self.kind == "piston" and self.balanced else surplus

    @property
    def supply_sign(self) -> int:
        """1 where the supply pushes the valve open (pistons), -1 where it pushes it shut (diaphragms)."""
        return 1 if self.kind == "piston" else -1

    @property
    def effective_area(self) -> float:
        """Area on which IP closes the valve, all told [m2]: the denominator of the balance."""
        return self.net_area if self.kind == "piston" else self.net_area - self.mismatch

    @property
    def chamber_area(self) -> float:
        """Area on which the pressure in the spring chamber opens the valve [m2]."""
        return self.net_area - self.mismatch if self.kind == "piston" else self.net_area


@dataclass(frozen=True)
class SecondStage:
    """A second stage with a downstream lever valve, SI; `balance` is the part of the orifice that is balanced.

    Beyond the IP that its spring holds it opens by `opens` [m2/Pa] and passes what comes in. Only one whose seat sticks
    stays shut until it breaks loose, opens by `burp_area` and shuts at `reseats_below_opening` [Pa].
    """

    name: str
    balanced: bool
    orifice_area: float
    balance: float
    spring: float
    stiffest: float
    lever: float
    diaphragm_area: float
    opens: float
    reseats_below_opening: float
    burp_area: float
    purge_area: float

    @classmethod
    def named(cls, name: str) -> SecondStage:
        """The second stage of that name; ValueError names those there are.

        >>> SecondStage.named("Willow").balance
        0.8
        """
        columns = datasets.table("second_stages", _SECOND)
        row = _row_of(name, columns["name"])
        return cls(name=name, balanced=columns["balanced"][row] == "yes", **_numbers(columns, _SECOND, row))


@dataclass(frozen=True)
class BenchSetup:
    """What the regulator hangs on: volumes, holes, heat, limits. SI; `relief_opens` is over ambient.

    The `gas_to_...` are for each cubic metre of the IP side [W/(K m3)]. A `cylinder` of stated volume [m3] empties; 0
    is a supply that never falls.
    """

    ip_volume: float
    inlet_volume: float
    valve_area: float
    filter_area: float
    bleed_area: float
    body_heat: float
    body_to_room: float
    inlet_exchange: float
    gas_to_body: float
    gas_to_wall: float
    gas_to_wall_flowing: float
    relief_opens: float
    gauge_over_span: float
    breath_rate: float
    breath_volume: float
    seal_vents: float
    seal_vent_area: float
    cylinder: float = 0.0

    @classmethod
    def standard(cls) -> BenchSetup:
        """The bench of the dataset.

        >>> round(BenchSetup.standard().relief_opens / 1e5, 1)
        16.0
        """
        columns = datasets.table("bench_setup", ("value",))
        made = zip(columns["name"], columns["value"], columns["unit"], strict=True)
        return cls(**{name: value * _UNITS[unit] for name, value, unit in made})


def _row_of(name: str, names: tuple[str, ...]) -> int:
    if name not in names:
        raise ValueError(f"There is no stage '{name}'; there are {', '.join(names)}.")
    return names.index(name)


def _numbers(columns: dict[str, tuple], wanted: tuple[str, ...], row: int) -> dict[str, float]:
    """One row's numbers in SI, under their names without units."""
    numbers = {}
    for column in wanted:
        # a column without an ending has no unit: balance, lever, discharge
        ending = next((one for one in _ENDINGS if column.endswith(one)), "")
        numbers[column.removesuffix(ending)] = columns[column][row] * _ENDINGS.get(ending, 1.0)
    return numbers
