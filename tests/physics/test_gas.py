"""Real air: limits, monotone behaviour, refusals. Published values stand in tests/outside."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadyneedle.physics import gas

pressures = st.floats(1e4, 3.9e7)
temperatures = st.floats(245, 355)


@given(pressures, temperatures)
def test_more_pressure_is_more_air(pressure: float, temperature: float) -> None:
    assert gas.density(pressure * 1.02, temperature) > gas.density(pressure, temperature)


@given(pressures, temperatures)
def test_warmer_is_less_air(pressure: float, temperature: float) -> None:
    assert gas.density(pressure, temperature + 2) < gas.density(pressure, temperature)


@given(temperatures)
def test_thin_air_is_ideal(temperature: float) -> None:
    assert gas.real_gas_factor(1000.0, temperature) == pytest.approx(1, abs=1e-4)
    assert gas.real_gas_factor(0.0, temperature) == 1


@given(st.floats(0, 0.02), pressures)
def test_content_grows_with_the_volume(volume: float, pressure: float) -> None:
    assert gas.cylinder_content(2 * volume, pressure) == pytest.approx(2 * gas.cylinder_content(volume, pressure))


def test_at_the_reference_a_cylinder_holds_itself() -> None:
    assert gas.cylinder_content(0.012, gas.REFERENCE_PRESSURE) == pytest.approx(0.012)
    assert gas.ideal_content(0.012, gas.REFERENCE_PRESSURE) == pytest.approx(0.012)


def test_arrays_broadcast() -> None:
    made = gas.density(np.array([1e5, 2e7])[:, None], np.array([280.0, 290.0, 300.0]))
    assert made.shape == (2, 3) and made[1, 2] == pytest.approx(float(gas.density(2e7, 300.0)))


def test_change_of_unit_system() -> None:
    """Density scales as it must when every argument is taken in other units: p in bar and R in bar m3/(kg K)."""
    p, t = 2e7, 300.0
    in_bar = (p / 1e5) / (float(gas.real_gas_factor(p, t)) * (gas.GAS_CONSTANT_AIR / 1e5) * t)
    assert float(gas.density(p, t)) == pytest.approx(in_bar)


@pytest.mark.parametrize("pressure", [-1.0, 4.1e7, math.nan, math.inf])
def test_pressures_outside_the_table_are_refused(pressure: float) -> None:
    with pytest.raises(ValueError, match="pressure must lie between 0 and 40 MPa"):
        gas.density(pressure)


@pytest.mark.parametrize("temperature", [239.0, 361.0, math.nan])
def test_temperatures_outside_the_table_are_refused(temperature: float) -> None:
    with pytest.raises(ValueError, match="temperature must lie between 240 and 360 K"):
        gas.real_gas_factor(1e7, temperature)


def test_negative_volumes_are_refused() -> None:
    with pytest.raises(ValueError, match="water_volume must not be below 0"):
        gas.cylinder_content(-1, 1e5)
    with pytest.raises(ValueError, match="must not be below 0"):
        gas.ideal_content(1, -1e5)
