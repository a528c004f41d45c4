"""Posterior, entropy, gain and the worth of information against published examples.

Grade A was read in the issuing body's own text, A* in a third-party copy, B is quoted; what only we computed is grade C
and says so. Located but not computed here: the film table of cs.miami.edu (its gains 0.2756, 0.038 and 0.162 were read,
its ten rows were not), and the median test of 0.395 bit (its hundreds of tests were not).
"""

from __future__ import annotations

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.beliefs import belief
from steadyneedle.bench.diagnosis.information import entropy, information, value_of_information
from steadyneedle.bench.diagnosis.knowledge import Knowledge


def ill_and_well(prior: float, positive_if_ill: float, positive_if_well: float) -> Knowledge:
    rows = np.array([[positive_if_ill, 1 - positive_if_ill], [positive_if_well, 1 - positive_if_well]])
    return Knowledge(
        "an example", "none", ("ill", "well"), np.array([prior, 1 - prior]), np.arange(2), np.ones(2), ("test",),
        {"test": ("positive", "negative")}, {"test": rows},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("inputs", "posterior", "tolerance"),
    [
        # textbook exercise with rates of the National Cancer Institute, as quoted at homeworksource.com/p/1082685, grade B
        ((0.0238, 0.85, 0.05), 0.29301854, 5e-9),
        # Rice, Mathematical Statistics and Data Analysis, as quoted at math.stackexchange 4260398, grade B: three figures
        ((0.01, 0.80, 0.10), 0.075, 5e-4),
        # inputs of the mammography example (Eddy), as quoted at coursehero 8978092, grade B; 0.0776 computed by us
        ((0.01, 0.80, 0.096), 0.0776, 5e-5),
        # a likelihood ratio of 20 at 1 % makes about 17 %: conductscience.com, grade B: whole per cent
        ((0.01, 0.80, 0.04), 0.17, 5e-3),
    ],
)
def test_posterior(inputs: tuple[float, float, float], posterior: float, tolerance: float) -> None:
    after = belief(ill_and_well(*inputs), [("test", "positive")])
    assert after.by_cause["ill"] == pytest.approx(posterior, abs=tolerance)


PLAYED = (9, 5)
SPLITS = {
    "humidity": ((3, 4), (6, 1)),
    "outlook": ((2, 3), (4, 0), (3, 2)),
    "wind": ((6, 2), (3, 3)),
    "temperature": ((2, 2), (4, 2), (3, 1)),
}
"""Fourteen days, played and not, of Quinlan 1986 and Mitchell 1997; the counts from memory, confirmed by 0.985, 0.592."""


def test_entropy_of_fourteen_days() -> None:
    """0.94, and 0.985 and 0.592 of the two humidities: Quinlan 1986 / Mitchell 1997, as quoted at ibm.com, grade B."""
    assert float(entropy(PLAYED)) == pytest.approx(0.94, abs=5e-3)
    assert [float(entropy(one)) for one in SPLITS["humidity"]] == pytest.approx([0.985, 0.592], abs=5e-4)


@pytest.mark.parametrize(
    ("attribute", "gain"), [("humidity", 0.151), ("outlook", 0.247), ("wind", 0.048), ("temperature", 0.029)]
)
def test_gain_of_fourteen_days(attribute: str, gain: float) -> None:
    """Same source, grade B. Printed from rounded entropies (0.940 - 0.789): the last figure may be one off."""
    both = np.array(SPLITS[attribute], dtype=float).T
    prior = both.sum(axis=1) / both.sum()
    assert information(prior, both / both.sum(axis=1, keepdims=True)) == pytest.approx(gain, abs=1e-3)


def test_oil_wildcatter() -> None:
    """Raiffa 1968, inputs as quoted in public examples, grade B: three states, three outcomes; results computed by us."""
    prior = [0.5, 0.3, 0.2]
    shows = [[0.1, 0.3, 0.6], [0.3, 0.4, 0.3], [0.5, 0.4, 0.1]]
    known = value_of_information(prior, shows, [[-70, 50, 200], [0, 0, 0]])
    assert known.outcomes.tolist() == pytest.approx([0.24, 0.35, 0.41], abs=1e-12)
    assert (known.now, known.with_test, known.value) == pytest.approx((20, 32.5, 12.5), abs=1e-9)
    assert known.with_test - 10 == pytest.approx(22.5, abs=1e-9), "the test costs 10"
    assert known.best_after == (0, 0, 1), "not drilled after a diffuse echo"
    assert (np.array([-70, 50, 200]) @ known.posteriors)[:2].tolist() == pytest.approx([87.5, 32.857], abs=5e-4)
    told = information(prior, shows)
    assert (float(entropy(prior)), told, float(entropy(prior)) - told) == pytest.approx(
        (1.4855, 0.1604, 1.3251), abs=5e-5
    )


def test_oil_well_with_a_seismic_test() -> None:
    """Samuelson & Marks, Managerial Economics ch. 13, as quoted at issuhub.com 5556, grade B; wet payoff 600 derived."""
    known = value_of_information([0.4, 0.6], [[0.75, 0.25], [1 / 3, 2 / 3]], [[600, -200], [0, 0]])
    assert known.perfect == pytest.approx(120, abs=1e-9)
    assert known.outcomes[0] == pytest.approx(0.5) and known.posteriors[0].tolist() == pytest.approx([0.6, 0.2])
    assert (np.array([600, -200]) @ known.posteriors).tolist() == pytest.approx([280, -40])
    assert known.with_test == pytest.approx(140, abs=1e-9)


def test_decision_tree_with_a_market_study() -> None:
    """Anderson, Sweeney & Williams, as quoted at phantran.net, grade B: 14.2, 3.2, 0.77, 0.94 and 0.35.

    The worth of the study is printed as 1.73 in our memory only, and does not agree with these inputs: 1.62 computed by
    us, not asserted as published.
    """
    known = value_of_information([0.8, 0.2], [[0.9, 0.1], [0.25, 0.75]], [[8, 7], [14, 5], [20, -9]])
    assert (known.now, known.perfect) == pytest.approx((14.2, 3.2), abs=1e-9)
    assert known.outcomes[0] == pytest.approx(0.77, abs=1e-9)
    assert known.posteriors[0].tolist() == pytest.approx([0.94, 0.35], abs=5e-3)
    assert known.value == pytest.approx(1.62, abs=5e-3)


def test_expected_payoffs() -> None:
    """Statistics for Management and Economics ch. 22, as quoted in a third-party copy, grade B. 38 and 37.3, exact."""
    acts = [[55, 43, 29, 15], [26, 38, 43, 51]]
    for act, expected in zip(acts, (38, 37.3), strict=True):
        assert value_of_information([0.4, 0.1, 0.3, 0.2], np.ones((4, 1)), [act]).now == pytest.approx(
            expected, abs=1e-9
        )


def test_average_information_needed() -> None:
    """0.72 bit over a uniform pretest probability: Methods Inf. Med., doi 10.1055/s-0038-1634763, abstract, grade A."""
    chance = (np.arange(100_000) + 0.5) / 100_000
    assert float(entropy(np.array([chance, 1 - chance])).mean()) == pytest.approx(0.72, abs=5e-3)
