"""Pressure units against published factors.

Source, value as printed, tolerance and why stand together. Grades: A* primary text seen in a third-party
copy, B a secondary page quoting it.
"""

from __future__ import annotations

import pytest

from steadyneedle.bench.units import Q, absolute_to_gauge, read_quantity

SP811 = "NIST Special Publication 811, Appendix B.9 (a third-party copy; same factors in SysML v2 USCustomaryUnits)"

FACTORS = [
    # unit, pascals as printed, half a unit of the last digit printed
    ("atm", 1.01325e5, 0.5),
    ("at", 9.80665e4, 0.05),
    ("kgf/cm2", 9.80665e4, 0.05),
    ("bar", 1.0e5, 0.0),
    ("psi", 6.894757e3, 0.0005),
    ("inH2O", 2.490889e2, 0.00005),
    ("inH2O39F", 2.49082e2, 0.0005),
    ("inH2O60F", 2.4884e2, 0.005),
    ("ftH2O", 2.989067e3, 0.0005),
    ("cmH2O", 98.0665, 0.00005),
    ("mmH2O", 9.80665, 0.000005),
    ("mmHg", 1.333224e2, 0.00005),
    ("inHg", 3.386389e3, 0.0005),
]


@pytest.mark.parametrize(("unit", "pascals", "half_digit"), FACTORS, ids=[row[0] for row in FACTORS])
def test_factor_of_nist_sp811(unit: str, pascals: float, half_digit: float) -> None:
    """Source: NIST SP 811 Appendix B.9, grade A*. Tolerance: half a unit of the last digit printed."""
    assert SP811
    assert Q(1, unit).to("Pa").magnitude == pytest.approx(pascals, abs=half_digit + 1e-9 * pascals)
    assert read_quantity(f"1 {unit}").to("Pa").magnitude == pytest.approx(pascals, abs=half_digit + 1e-9 * pascals)


def test_foot_of_sea_water_by_density() -> None:
    """1 fsw = 0.30643 msw = 0.030643 bar = 3064.3 Pa = 0.44444 psi; sea water 64 lb/ft3.

    US Navy Diving Manual, as quoted in the encyclopedia article 'Metre sea water' (copies at wikimili and
    iiab.me), grade B. Tolerance: one unit of the last digit printed.
    """
    one = Q(1, "fsw")
    assert one.to("msw").magnitude == pytest.approx(0.30643, abs=1e-5)
    assert one.to("bar").magnitude == pytest.approx(0.030643, abs=1e-6)
    assert one.to("Pa").magnitude == pytest.approx(3064.3, abs=0.1)
    assert one.to("psi").magnitude == pytest.approx(0.44444, abs=1e-5)


def test_metre_of_sea_water() -> None:
    """1 msw = 0.1 bar = 1.45038 psi = 3.263 fsw: same article, grade B. Tolerance: one unit of the last digit."""
    one = Q(1, "msw")
    assert one.to("bar").magnitude == pytest.approx(0.1, abs=1e-12)
    assert one.to("psi").magnitude == pytest.approx(1.45038, abs=1e-5)
    assert one.to("fsw").magnitude == pytest.approx(3.263, abs=1e-3)


def test_thirty_three_feet_to_the_atmosphere() -> None:
    """33 ft sea water = 1 atm = 14.7 psi; 0.445 psi/ft: US Navy Diving Manual 2-9.1, as quoted at ffden-2.phys.uaf.edu,
    grade B. Another convention than 64 lb/ft3, so another unit. Tolerance: half a unit of the last digit printed."""
    assert Q(33, "fsw33").to("atm").magnitude == pytest.approx(1, rel=1e-12)
    assert Q(33, "fsw33").to("psi").magnitude == pytest.approx(14.7, abs=0.05)
    assert Q(1, "fsw33").to("psi").magnitude == pytest.approx(0.445, abs=0.0005)
    assert Q(1, "fsw").to("psi").magnitude != pytest.approx(0.445, abs=0.0005), "the two conventions are apart"


def test_depth_example() -> None:
    """80 psia, 64 lbm/ft3, 14.7 psi -> 65.3 psig -> 146.9 ft: textbook exercise, as quoted at expertsmind.com, grade B.
    Tolerance: half a unit of the last digit printed."""
    gauge = absolute_to_gauge(Q(80, "psi"), Q(14.7, "psi"))
    assert gauge.to("psi").magnitude == pytest.approx(65.3, abs=0.05)
    assert gauge.to("fsw").magnitude == pytest.approx(146.9, abs=0.05)


COMMON_PRACTICE = [
    # a fact of the trade, no source: what is said in psi, what that is in bar, to the digit people say
    (2250, "psi", 155, "bar", 1),
    (2400, "psi", 165, "bar", 1),
    (3000, "psi", 207, "bar", 1),
    (3300, "psi", 228, "bar", 1),
    (3442, "psi", 237, "bar", 1),
    (5000, "psi", 345, "bar", 1),
    (10, "bar", 145, "psi", 1),
    (9.8, "bar", 142.1, "psi", 0.1),
    (10.2, "bar", 147.9, "psi", 0.1),
]


@pytest.mark.parametrize(("value", "unit", "other", "in_unit", "digit"), COMMON_PRACTICE)
def test_facts_of_the_trade(value: float, unit: str, other: float, in_unit: str, digit: float) -> None:
    """Common practice, no source: filling pressures from 2250 psi (older, low) to 5000 psi, an IP near 10 bar of about 145 psi."""
    assert Q(value, unit).to(in_unit).magnitude == pytest.approx(other, abs=digit / 2)
