"""Flow, leaks and throttling: limits, monotone behaviour, refusals. Published values stand in tests/outside."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadyneedle.physics import equations, gas, leaks

pressures = st.floats(1e4, 4e7)
ratios = st.floats(0.0, 1.0)


@given(pressures, ratios, ratios)
def test_a_lower_outlet_never_passes_less(upstream: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    flows = gas.mass_flow(1e-6, upstream, np.array([low, high]) * upstream, 300.0)
    assert flows[0] >= flows[1] >= 0


@given(pressures, ratios)
def test_turned_round_it_is_the_same_and_negative(upstream: float, ratio: float) -> None:
    forth = gas.mass_flow(1e-6, upstream, ratio * upstream, 300.0)
    assert float(gas.mass_flow(1e-6, ratio * upstream, upstream, 300.0)) == -float(forth)


@given(pressures, st.floats(1.05, 1.67))
def test_choked_and_subsonic_meet(upstream: float, k: float) -> None:
    critical = float(gas.critical_ratio(k))
    near = gas.mass_flow(1.0, upstream, np.array([critical - 1e-9, critical + 1e-9]) * upstream, 300.0, 1.0, k)
    assert near[0] == pytest.approx(near[1], rel=1e-9)


def test_equal_pressures_and_nothing_pass_nothing() -> None:
    assert gas.mass_flow(1e-6, 2e7, 2e7, 300.0) == 0
    assert gas.mass_flow(0.0, 2e7, 0.0, 300.0) == 0 == gas.mass_flow(1e-6, 0.0, 0.0, 300.0)


def test_nearly_equal_pressures_keep_their_digits() -> None:
    """Incompressible limit: m = A sqrt(2 rho dp)."""
    small = float(gas.mass_flow(1.0, 1e5, 1e5 - 1e-3, 300.0))
    assert small == pytest.approx(math.sqrt(2 * 1e5 / (gas.GAS_CONSTANT_AIR * 300) * 1e-3), rel=1e-6)


def test_arrays_broadcast() -> None:
    flows = gas.mass_flow(np.array([1e-6, 2e-6])[:, np.newaxis], 2e7, [1e5, 1.5e7, 3e7], 300.0)
    assert flows.shape == (2, 3) and np.all(flows[1] == 2 * flows[0]) and np.all(flows[:, 2] < 0)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((-1e-6, 2e7, 1e5, 300.0), "area must be"), ((math.nan, 2e7, 1e5, 300.0), "area must be"),
        ((1e-6, -1.0, 1e5, 300.0), "upstream must be"), ((1e-6, 2e7, math.nan, 300.0), "downstream must be"),
        ((1e-6, math.inf, 1e5, 300.0), "upstream must be"), ((1e-6, 2e7, 1e5, 0.0), "temperature must be above 0"),
        ((1e-6, 2e7, 1e5, 300.0, 1.01), "discharge_coefficient"), ((1e-6, 2e7, 1e5, 300.0, -0.1), "discharge_coefficient"),
        ((1e-6, 2e7, 1e5, 300.0, 1.0, 1.0), "heat_capacity_ratio must be above 1"),
        ((1e-6, 2e7, 1e5, 300.0, 1.0, 1.4, 0.0), "gas_constant must be above 0"),
        ((1e-6, 2e7, 1e5, 300.0, math.nan), "discharge_coefficient"), (([1e-6, -1.0], 2e7, 1e5, 300.0), "area must be"),
    ],
)  # fmt: skip
def test_flow_refuses(arguments: tuple, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        gas.mass_flow(*arguments)


@given(st.floats(1e-10, 1e-5), pressures)
def test_a_hole_and_its_flow_go_both_ways(diameter: float, upstream: float) -> None:
    flow = gas.mass_flow(leaks.hole_area(diameter), upstream, 0.5 * upstream, 290.0, 0.8)
    assert float(leaks.equivalent_diameter(flow, upstream, 0.5 * upstream, 290.0, 0.8)) == pytest.approx(diameter)


def test_leaks_refuse() -> None:
    with pytest.raises(ValueError, match="upstream must be above downstream"):
        leaks.equivalent_diameter(1e-7, 1e5, 2e5)
    with pytest.raises(ValueError, match="mass_flow must be a number not below 0"):
        leaks.equivalent_diameter(-1e-7, 2e5, 1e5)
    with pytest.raises(ValueError, match="volume must be above 0"):
        leaks.pressure_rise(1e-7, 0.0)
    with pytest.raises(ValueError, match="diameter must be"):
        leaks.hole_area(-1e-6)
    with pytest.raises(ValueError, match="temperature must be above 0"):
        leaks.standard_flow(1e-7, -1.0)


@given(st.floats(245, 355), st.floats(2e5, 3.4e7), st.floats(0.1, 0.9))
def test_throttled_air_below_the_inversion_gets_colder(warm: float, upstream: float, part: float) -> None:
    colder = float(gas.throttled_temperature(upstream, 1e5, warm))
    assert colder < warm
    assert float(gas.throttled_temperature(upstream, upstream, warm)) == pytest.approx(warm, abs=1e-6)
    between = float(gas.throttled_temperature(upstream, max(part * upstream, 1e5), warm))
    assert colder - 1e-6 <= between <= warm + 0.35, "a little warmer at the most, near the inversion"


def test_throttling_refuses() -> None:
    with pytest.raises(ValueError, match="between 240 and 360 K"):
        gas.throttled_temperature(2e7, 1e5, 200.0)
    with pytest.raises(ValueError, match="between 0 and 40 MPa"):
        gas.throttled_temperature(5e7, 1e5, 293.0)


def test_the_rigs_plain_flow_is_the_same_flow() -> None:
    """`equations.flow` against `gas.mass_flow`: the same but for pressures within half a percent of one another."""
    for ratio in (0.0, 0.3, 0.528, 0.53, 0.7, 0.95, 0.994):
        plain = equations.flow(equations.CHOKED / math.sqrt(300.0) * 1e-6, 2e7, ratio * 2e7)
        assert plain == pytest.approx(float(gas.mass_flow(1e-6, 2e7, ratio * 2e7, 300.0)), rel=1e-9)
    assert equations.flow(1e-9, 1e5, 1e5) == 0
    nearly = [equations.flow(1.0, 1.0, ratio) for ratio in (0.9949999, 0.9950001)]
    assert nearly[0] == pytest.approx(nearly[1], rel=1e-4)


@pytest.mark.parametrize(("room", "within"), [(263.15, 0.35), (293.15, 0.2), (313.15, 0.2)])
def test_the_cooling_curve_follows_the_table(room: float, within: float) -> None:
    """From cylinder to IP, as near as the docstring says."""
    a, b, c, d, e, f = equations.cooling_curve(room)
    for ip in (1e5, 5e5, 10e5, 16e5, 20e5):
        for p in np.linspace(max(ip, 5e5), 400e5, 60):
            fall = room - float(gas.throttled_temperature(p, ip, room))
            assert p * (a + p * (b + p * (c + p * d))) - ip * (e + f * p) == pytest.approx(fall, abs=within)
