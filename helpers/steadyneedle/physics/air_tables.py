"""Makers of the tables of real air that `gas` reads between, from the equation of state of CoolProp. SI.

The equation is that of Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. Data 29 (2000) 331. Only who
writes the tables afresh needs CoolProp; who reads them does not.
"""

from __future__ import annotations

from steadyneedle.foundation.datasets import Computed, DatasetError

PRESSURES = range(0, 401, 10)
"""bar, absolute"""

LEAST_PRESSURE = 1.0
"""Pa: an equation of state has no pressure of 0, and at 1 Pa air is ideal to the last digit of the tables."""


def _of_air(wanted: str, temperature: float, pressure: float) -> float:
    """One quantity of dry air, by CoolProp's letter, at a temperature [K] and a pressure [bar]."""
    try:
        from CoolProp.CoolProp import PropsSI
    except ImportError:
        raise DatasetError(
            'The tables of air are computed with CoolProp, which is missing: pip install "steadyneedle[test]"'
        ) from None
    return float(PropsSI(wanted, "T", temperature, "P", pressure * 1e5 or LEAST_PRESSURE, "Air"))


def _source() -> str:
    from importlib.metadata import version

    return f"computed: CoolProp {version('coolprop')} equation of state for air"


def _factors(temperature: int) -> list[tuple[str, ...]]:
    """Rows of one temperature [K]: Z to six decimals."""
    values = [(bar, round(_of_air("Z", temperature, bar), 6)) for bar in PRESSURES]
    return [(str(temperature), str(bar), str(value), _source()) for bar, value in values]


def _enthalpies(temperature: int) -> list[tuple[str, ...]]:
    """Rows of one temperature [K]: enthalpy to 0.1 J/kg, from CoolProp's own zero."""
    values = [(bar, _of_air("H", temperature, bar) / 1e3) for bar in PRESSURES]
    return [(str(temperature), str(bar), f"{value:.4f}", _source()) for bar, value in values]


REAL_GAS_FACTOR = Computed(
    ("temperature_K", "pressure_bar", "factor", "source"), lambda: tuple(range(240, 361, 10)), _factors
)
ENTHALPY = Computed(
    ("temperature_K", "pressure_bar", "enthalpy_kJ_per_kg", "source"), lambda: tuple(range(160, 371, 10)), _enthalpies
)
"""From 80 K below those of `REAL_GAS_FACTOR`: so cold does throttling make air."""
