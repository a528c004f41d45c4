"""Verdicts: the three rules, their limits, the gauge that can never pass, rounding inward."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadyneedle.bench.bands import format_chance, judge
from steadyneedle.bench.bands.decision import RULES
from steadyneedle.bench.bands.gauges import Gauge, choose_gauge
from steadyneedle.bench.bands.rounding import convert_band
from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.bands import RULE_LABELS, verdict_panel


def bar(value: float) -> Any:
    return Q(value, "bar")


def verdict(reading: float, U: float, rule: str = "simple", required: float = 0.95) -> str:  # noqa: N803
    return judge(bar(reading), bar(9.8), bar(10.2), bar(U), rule, required).outcome


@pytest.mark.parametrize(
    ("rule", "reading", "U", "outcome"),
    [
        ("simple", 9.8, 0.3, "inside"),
        ("simple", 10.2, 0.3, "inside"),
        ("simple", 10.21, 0.3, "outside"),
        ("simple", 9.79, 0.0, "outside"),
        ("guarded", 10.0, 0.1, "inside"),
        ("guarded", 10.1, 0.125, "cannot tell"),
        ("guarded", 10.3, 0.125, "cannot tell"),
        ("guarded", 10.4, 0.125, "outside"),
        ("guarded", 9.6, 0.125, "outside"),
        ("guarded", 10.0, 0.3, "cannot tell"),
        ("probability", 10.0, 0.1, "inside"),
        ("probability", 10.2, 0.1, "cannot tell"),
        ("probability", 10.4, 0.1, "outside"),
    ],
)
def test_rules(rule: str, reading: float, U: float, outcome: str) -> None:  # noqa: N803
    assert verdict(reading, U, rule) == outcome


def test_limits_belong_to_the_band_with_exact_binary_numbers() -> None:
    low, high, U = bar(8.0), bar(9.0), bar(0.25)  # noqa: N806
    assert judge(bar(8.25), low, high, U, "guarded").outcome == "inside"
    assert judge(bar(8.75), low, high, U, "guarded").outcome == "inside"
    assert judge(bar(7.75), low, high, U, "guarded").outcome == "cannot tell"
    assert judge(bar(9.25), low, high, U, "guarded").outcome == "cannot tell"
    assert judge(bar(9.0), low, high, bar(0)).probability == 1
    assert judge(bar(9.0001), low, high, bar(0)).probability == 0
    assert judge(bar(9.0), low, high, bar(0), "probability").outcome == "inside"


def test_units_may_differ_but_not_the_dimension() -> None:
    same = judge(Q(145, "psi"), bar(9.8), Q(150, "psi"), Q(10, "kPa"))
    assert same.outcome == "inside"
    assert judge(bar(10), Q(-math.inf, "bar"), bar(10.2), bar(0.1)).outcome == "inside"
    temperature = judge(Q(20, "degC"), Q(15, "degC"), Q(25, "degC"), Q(1, "delta_degC"))
    assert temperature.outcome == "inside" and temperature.probability > 0.99


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((10.0, bar(9), bar(11), bar(0.1)), "reading needs a quantity with a unit"),
        ((bar(10), 9, bar(11), bar(0.1)), "low needs a quantity with a unit"),
        ((bar(10), bar(9), bar(11), 0.1), "expanded_uncertainty needs a quantity"),
        ((bar(10), Q(9, "m"), bar(11), bar(0.1)), "low is in m; it needs a unit such as bar"),
        ((bar(10), bar(11), bar(9), bar(0.1)), "low must be below high"),
        ((bar(10), bar(9), bar(9), bar(0.1)), "low must be below high"),
        ((bar(10), bar(9), bar(11), bar(-0.1)), "must not be below 0"),
        ((bar(10), bar(9), bar(11), bar(math.nan)), "expanded_uncertainty is nan"),
        ((bar(math.nan), bar(9), bar(11), bar(0.1)), "reading is nan"),
        ((bar(10), bar(math.nan), bar(11), bar(0.1)), "low is nan"),
        ((bar(math.inf), bar(9), bar(11), bar(0.1)), "reading is inf"),
        ((bar(10), bar(9), bar(11), bar(0.1), "strict"), "Unknown rule 'strict'"),
        ((bar(10), bar(9), bar(11), bar(0.1), "probability", 0.4), "between 0.5 and 1"),
        ((bar(10), bar(9), bar(11), bar(0.1), "probability", math.nan), "between 0.5 and 1"),
    ],
)
def test_what_cannot_be_judged_is_refused(arguments: tuple, sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        judge(*arguments)


readings = st.floats(8, 12)
uncertainties = st.floats(0.001, 1)


@given(readings, uncertainties)
def test_simple_never_hesitates_and_guarded_is_stricter(reading: float, U: float) -> None:  # noqa: N803
    simple, guarded = verdict(reading, U), verdict(reading, U, "guarded")
    assert simple != "cannot tell"
    assert guarded in (simple, "cannot tell")


@given(readings, uncertainties, st.floats(0.5, 1))
def test_probability_and_outcome_agree(reading: float, U: float, required: float) -> None:  # noqa: N803
    made = judge(bar(reading), bar(9.8), bar(10.2), bar(U), "probability", required)
    assert 0 <= made.probability <= 1
    expected = (
        "inside" if made.probability >= required else "outside" if made.probability <= 1 - required else "cannot tell"
    )
    assert made.outcome == expected


@pytest.mark.parametrize("required", [0.5, 0.9, 0.95, 0.99])
def test_a_probability_short_of_what_is_asked_never_looks_like_it(required: float) -> None:
    """From 9.6 to 10.4 bar in steps of 1 mbar: 94.5 % is not written as the 95 % that are asked, nor 5.2 % as 5 %."""
    for step in range(801):
        made = judge(bar(9.6 + step / 1000), bar(9.8), bar(10.2), bar(0.12), "probability", required)
        assert made.chance in made.because
        if made.outcome == "cannot tell":
            assert made.chance not in (format_chance(required), format_chance(1 - required)), made.because


def test_a_reading_off_its_limit_is_not_written_as_the_limit() -> None:
    """Four figures would make 145.04 psi and the limit of 145 psi the same."""
    made = judge(Q(145.04, "psi"), Q(135, "psi"), Q(145, "psi"), Q(3, "psi"))
    assert made.outcome == "outside" and made.because.startswith("145.04 psi lies outside the band 135 to 145 psi")
    assert judge(Q(145, "psi"), Q(135, "psi"), Q(145, "psi"), Q(3, "psi")).because.startswith("145 psi lies in")


def test_the_picture_of_a_verdict_and_its_sentence_say_one_probability() -> None:
    panel = verdict_panel(Preferences(), load_sheets(places.datasets() / "sheets"))
    for step in range(60):
        shown = panel.compute(9.4 + step / 100, "0.6", RULE_LABELS["probability"], "Linden")
        chance = panel.row(shown)["chance"].removeprefix("probability ").partition(" that")[0]
        assert f"with a probability of {chance}" in panel.describe(shown), (chance, panel.describe(shown))


@given(st.floats(0, 0.2), uncertainties)
def test_symmetric_about_the_middle(off: float, U: float) -> None:  # noqa: N803
    one, other = (judge(bar(10 + side * off), bar(9.8), bar(10.2), bar(U)).probability for side in (1, -1))
    assert one == pytest.approx(other, rel=1e-9)


@given(readings, uncertainties, st.sampled_from(["psi", "kPa", "MPa"]))
def test_the_unit_does_not_matter(reading: float, U: float, unit: str) -> None:  # noqa: N803
    here = judge(bar(reading), bar(9.8), bar(10.2), bar(U))
    there = judge(*(bar(v).to(unit) for v in (reading, 9.8, 10.2, U)))
    assert there.probability == pytest.approx(here.probability, rel=1e-6, abs=1e-12)


def test_far_tails_keep_their_digits() -> None:
    """scipy-free check: P(5 < z < 6) = 2.857e-7, from memory of normal tables, 2.86652e-7 - 9.866e-10."""
    made = judge(bar(0), bar(5), bar(6), bar(2))
    assert made.probability == pytest.approx(2.866516e-7 - 9.865876e-10, rel=1e-5)


@pytest.mark.parametrize("rule", ["simple", "guarded", "probability"])
def test_the_sentence_carries_the_numbers(rule: str) -> None:
    for reading in (9.9, 10.15, 10.6):
        made = judge(bar(reading), bar(9.8), bar(10.2), bar(0.125), rule)
        assert f"{reading:g} bar" in made.because and "%" in made.because and made.because.endswith(".")


def test_budget_of_a_gauge() -> None:
    """By hand: 16 bar x 1.6 % = 0.256 bar, /sqrt 3 = 0.1478; 0.1 bar / sqrt 3 = 0.0577; U = 2 x 0.15867."""
    gauge = Gauge(bar(16), 1.6, bar(0.2))
    parts = [row.standard_uncertainty.magnitude for row in gauge.budget()]
    assert parts == pytest.approx([0.147802, 0.057735], abs=1e-6)
    assert gauge.expanded_uncertainty().magnitude == pytest.approx(0.317356, abs=1e-6)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((16, 1.6, bar(0.2)), "span needs a quantity"),
        ((bar(0), 1.6, bar(0.2)), "must be above 0"),
        ((bar(16), 0, bar(0.2)), "class is 0 %"),
        ((bar(16), 1.6, bar(20)), "between 0 and the span"),
    ],
)
def test_impossible_gauges_are_refused(arguments: tuple, sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        Gauge(*arguments)


def test_a_gauge_that_can_never_pass_names_the_class_that_can() -> None:
    coarse = choose_gauge(Gauge(bar(16), 1.6, bar(0.1)), bar(9.8), bar(10.2))
    assert not coarse.can_pass and coarse.class_that_can == 1.0
    assert coarse.because.count("band") == 1 and len(re.findall(r"U = 0\.\d\d bar", coarse.because)) == 1
    assert "can never pass the band 9.8 to 10.2 bar" in coarse.because and "class 1 " in coarse.because
    best = Gauge(bar(16), coarse.class_that_can, bar(0.1))
    assert choose_gauge(best, bar(9.8), bar(10.2)).can_pass
    next_coarser = Gauge(bar(16), 1.6, bar(0.1))
    for reading in (9.7 + 0.01 * n for n in range(61)):
        u = next_coarser.expanded_uncertainty()
        assert judge(bar(reading), bar(9.8), bar(10.2), u, "guarded").outcome != "inside"
    hopeless = choose_gauge(Gauge(bar(16), 1.6, bar(1)), bar(9.8), bar(10.2))
    assert hopeless.class_that_can is None and "No class helps" in hopeless.because
    assert choose_gauge(Gauge(bar(16), 1.6, bar(0.1)), bar(9.8), bar(10.2), "simple").can_pass


@given(
    st.floats(8, 10),
    st.floats(0.3, 2),
    st.sampled_from([("psi", 1.0), ("kPa", 5.0), ("MPa", 0.005), ("psi", 0.5)]),
)
def test_inward_never_accepts_what_the_band_refuses(low: float, width: float, target: tuple[str, float]) -> None:
    unit, step = target
    band = convert_band(bar(low), bar(low + width), unit, step)
    exact_low, exact_high = bar(low).to(unit).magnitude, bar(low + width).to(unit).magnitude
    tiny = 1e-6 * exact_high
    assert exact_low - tiny <= band.low.magnitude < band.high.magnitude <= exact_high + tiny
    assert band.outward_low.magnitude <= exact_low + tiny and band.outward_high.magnitude >= exact_high - tiny
    assert band.low.magnitude - exact_low < step and exact_high - band.high.magnitude < step


def test_whole_steps_stay_and_costs_are_said() -> None:
    band = convert_band(bar(10), bar(11), "kPa", 50)
    assert (band.low.magnitude, band.high.magnitude) == (1000, 1100)
    assert (band.outward_low.magnitude, band.outward_high.magnitude) == (1000, 1100)
    trap = convert_band(bar(9.8), bar(10.2), "psi", 1)
    assert trap.cost == "Rounded outward it accepts 0.14 psi below the true limit and 0.06 psi above it."
    with pytest.raises(ValueError, match="too coarse"):
        convert_band(bar(9.8), bar(10.2), "psi", 100)
    with pytest.raises(ValueError, match="step is 0"):
        convert_band(bar(9.8), bar(10.2), "psi", 0)
    with pytest.raises(ValueError, match="low must be below high"):
        convert_band(bar(10.2), bar(9.8), "psi", 1)


def test_chances_are_never_rounded_to_certainty() -> None:
    words = [format_chance(p) for p in (0, 1e-5, 0.005, 0.5, 0.992, 0.99999, 1)]
    assert words == ["0 %", "under 0.1 %", "0.5 %", "50 %", "99.2 %", "over 99.9 %", "100 %"]
    with pytest.raises(ValueError, match="between 0 and 1"):
        format_chance(1.1)


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("reading", [9.4, 10.0, 10.5])
def test_a_coarse_gauges_verdict_says_a_thing_once(rule: str, reading: float) -> None:
    """Class 2.5 of 0 to 16 bar on a band of 0.4 bar: the band, U and that none can pass stand there once at most."""
    gauge = Gauge(bar(16), 2.5, bar(0.2))
    made = judge(bar(reading), bar(9.8), bar(10.2), gauge.expanded_uncertainty(), rule)
    said = f"{made.because} {choose_gauge(gauge, bar(9.8), bar(10.2), rule).after(made.because)}"
    for words in ("9.8 to 10.2 bar", "U = ", "can pass|never pass", "probability"):
        assert len(re.findall(words, said)) <= 1, said
    assert not re.search(r"U = [0.]*[1-9]\d\d", said), "two figures of U"


def test_just_short_of_what_a_rule_asks_is_shown_as_such() -> None:
    """95 % asked and 94.5 % reached: the sentence does not say "95 %" twice."""
    made = judge(bar(10.1), bar(9.8), bar(10.2), bar(0.125), "probability")
    assert made.outcome == "cannot tell" and "94.5 %" in made.because and "asks 95 %" in made.because
