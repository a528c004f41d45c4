"""The least-squares core against certified values of NIST StRD and published examples."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import theilslopes

from steadyneedle.bench.trace import fitting, judge_trace, read_log
from steadyneedle.bench.trace.autocorrelation import lag_one_correlation, variance_inflation
from steadyneedle.foundation import places

DATA = Path(__file__).parent / "data"

MAVRO = """
2.0018 2.0017 2.0018 2.0019 2.0018 2.0017 2.0015 2.0014 2.0015 2.0015 2.0017 2.0018 2.0018 2.0019 2.0019 2.0021 2.0020
2.0016 2.0014 2.0013 2.0013 2.0015 2.0015 2.0016 2.0015 2.0014 2.0013 2.0014 2.0015 2.0014 2.0015 2.0016 2.0015 2.0016
2.0019 2.0020 2.0020 2.0021 2.0022 2.0023 2.0024 2.0025 2.0027 2.0026 2.0026 2.0026 2.0027 2.0026 2.0025 2.0024
"""
"""NIST StRD Mavro, 50 values in time order; public domain."""


def line(x: np.ndarray, y: np.ndarray) -> fitting.Fit:
    """A straight line: level and slope."""
    return fitting.least_squares([np.ones_like(x), x], y)


def test_misra1a_to_six_digits() -> None:
    """y = b1 (1 - exp(-b2 x)), the settle: NIST StRD Misra1a.dat, certified values read from the file, grade A. Six digits:
    the requirement. Columns are the model's slopes at the certified b2: a Gauss-Newton step there finds b1, moves b2 by
    nothing, and its linear errors are the certified ones."""
    text = (DATA / "Misra1a.dat").read_text(encoding="ascii")
    (b1, b1_error), (b2, b2_error) = (
        map(float, line.split()[-2:]) for line in re.findall(r"^ +b[12] = .*$", text, re.M)
    )
    rows = [line.split() for line in text[text.rindex("Data:") :].splitlines()[1:] if line.strip()]
    y, x = np.array(rows, float).T
    fit = fitting.least_squares([-np.expm1(-b2 * x), b1 * x * np.exp(-b2 * x)], y)
    assert fit.coefficients[0] == pytest.approx(b1, rel=5e-7)
    assert abs(fit.coefficients[1]) < 5e-7 * b2
    assert fit.standard_errors.tolist() == pytest.approx([b1_error, b2_error], rel=5e-7)
    assert fit.residual_sum_of_squares == pytest.approx(1.2455138894e-01, rel=5e-7)
    assert fit.residual_deviation == pytest.approx(1.0187876330e-01, rel=5e-7)


def test_norris_to_nine_digits() -> None:
    """b0 -0.262323073774029 (0.232818234301152), b1 1.00211681802045 (0.429796848199937E-03), residual deviation
    0.884796396144373: NIST StRD Norris, as quoted in scipy's tests, grade A*. Nine digits: the requirement."""
    x, y = np.loadtxt(DATA / "Norris.csv", delimiter=",", skiprows=1).T
    fit = line(x, y)
    assert fit.coefficients.tolist() == pytest.approx([-0.262323073774029, 1.00211681802045], rel=5e-10)
    assert fit.standard_errors.tolist() == pytest.approx([0.232818234301152, 0.429796848199937e-03], rel=5e-10)
    assert fit.residual_deviation == pytest.approx(0.884796396144373, rel=5e-10)


def test_a_line_through_the_origin() -> None:
    """NIST StRD NoInt1: b1 2.07438016528926 (0.0165289256198347), as quoted at stata.com, grade A*."""
    fit = fitting.least_squares([np.arange(60.0, 71.0)], np.arange(130.0, 141.0))
    assert fit.coefficients[0] == pytest.approx(2.07438016528926, rel=5e-12)
    assert fit.standard_errors[0] == pytest.approx(0.0165289256198347, rel=5e-12)


def test_mavro_drift_and_what_it_is_worth() -> None:
    """Lag-1 of the readings 0.937989183438248: NIST StRD certified, grade A*. Drift line 0.184685E-04, standard error
    0.3309E-05, residual deviation 0.3376E-03: NIST/SEMATECH e-Handbook 1.4.2.6, from memory (grade C); computed by us
    1.84682E-05, 3.30876E-06, 3.37632E-04, residual lag-1 0.91044, effective number 2.344, honest error 1.528E-05.
    The honest interval holds zero; the ordinary one, 5.6 standard errors away from it, does not."""
    values = np.array(MAVRO.split(), float)
    assert values.size == 50
    assert lag_one_correlation(values) == pytest.approx(0.937989183438248, rel=1e-9)
    fit = line(np.arange(1.0, 51.0), values)
    slope, error, correlation = fit.coefficients[1], fit.standard_errors[1], lag_one_correlation(fit.residuals)
    inflation = float(variance_inflation(correlation))
    assert slope == pytest.approx(1.84682e-05, rel=5e-6)
    assert error == pytest.approx(3.30876e-06, rel=5e-6)
    assert fit.residual_deviation == pytest.approx(3.37632e-04, rel=5e-6)
    assert correlation == pytest.approx(0.91044, abs=5e-6)
    assert values.size / inflation == pytest.approx(2.344, abs=5e-4)
    honest_error = error * inflation**0.5
    assert honest_error == pytest.approx(1.528e-05, abs=5e-9)
    assert slope / error > 5 and slope < 2 * honest_error


def test_theil_sen_agrees_with_the_published_example() -> None:
    """Slope 0.5, 95 % 0.3243243 to 0.75: Bonett, statpsych ci.theil example, grade B. Reference library: scipy. Our line
    through the same points lies inside that interval."""
    y = np.array([21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19], float)
    x = np.array([67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51], float)
    slope, _, low, high = theilslopes(y, x, 0.95)
    assert (slope, low, high) == pytest.approx((0.5, 0.3243243, 0.75), abs=5e-8)
    assert low < line(x, y).coefficients[1] < high


@pytest.mark.parametrize("number", [1, 2, 3])
def test_real_residuals_are_autocorrelated_and_the_interval_allows_for_it(number: int) -> None:
    """Leak runs published with a TU Delft thesis, CC0 (datasets/logs/sources.csv): residuals of a smooth curve follow one
    another, so the interval is wider than what plain least squares claims for independent ones."""
    log = read_log(places.datasets() / "logs" / f"chamber_{number}.csv", ("time_ms", "skip", "pressure_bar"))
    curve = np.polynomial.Polynomial.fit(log.time, log.pressure, 3)
    follows = lag_one_correlation(log.pressure - curve(log.time))
    assert 0.3 < follows < 0.9
    rate = judge_trace(log).creep_rate
    plain = 60 * 1.96 * line(log.time, log.pressure).standard_errors[1]
    assert (rate.high - rate.low).magnitude / 2 > 1.5 * plain
