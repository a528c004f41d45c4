"""Posterior, entropy and doubts. The oracle is enumeration in plain Python; the tables are invented."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.beliefs import belief
from steadyneedle.bench.diagnosis.contradiction import HARDLY_ANY
from steadyneedle.bench.diagnosis.information import entropy, expected_information, information, value_of_information
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.stacked import joint_of_two, stacked
from steadyneedle.bench.diagnosis.toy import TOY


def drawn_knowledge(seed: int, causes: int = 6, states: int = 24, tests: int = 5) -> Knowledge:
    """An invented table, its states in no order."""
    draw = np.random.default_rng(seed)
    cause_of = draw.permutation(np.concatenate((np.arange(causes), draw.integers(0, causes, states - causes))))
    within = draw.uniform(0.1, 1, states)
    within /= np.bincount(cause_of, within)[cause_of]
    widths = {f"test_{n}": int(draw.integers(2, 6)) for n in range(tests)}
    tables = {test: draw.dirichlet(np.full(width, 0.5), states) * 0.98 for test, width in widths.items()}
    return Knowledge(
        "a drawn one", "fine", tuple(f"cause_{n}" for n in range(causes)), draw.dirichlet(np.ones(causes)), cause_of,
        within, tuple(widths), {test: tuple(f"shows_{n}" for n in range(width)) for test, width in widths.items()},
        {test: table + 0.02 / table.shape[1] for test, table in tables.items()},
    )  # fmt: skip


def drawn_findings(knowledge: Knowledge, draw: random.Random, most: int = 9) -> list[tuple[str, str]]:
    chosen = (draw.choice(knowledge.tests) for _ in range(draw.randint(0, most)))
    return [(test, draw.choice((*knowledge.outcomes[test], "not done"))) for test in chosen]


def enumerated(knowledge: Knowledge, findings: list[tuple[str, str]]) -> tuple[list[float], list[float]]:
    """Chances of states and of causes, by the rule of the book, one state after another."""
    weights = []
    for state, cause in enumerate(knowledge.cause_of.tolist()):
        weight = float(knowledge.prior[cause]) * float(knowledge.within[state])
        for test, outcome in findings:
            if outcome != "not done":
                weight *= float(knowledge.likelihood[test][state][knowledge.outcomes[test].index(outcome)])
        weights.append(weight)
    states = [weight / math.fsum(weights) for weight in weights]
    causes = [
        math.fsum(w for w, cause in zip(states, knowledge.cause_of, strict=True) if cause == n)
        for n in range(len(knowledge.causes))
    ]
    return states, causes


@pytest.mark.parametrize("seed", range(20))
def test_equals_enumeration(seed: int) -> None:
    """200 random cases to 1e-9: the requirement."""
    knowledge, draw = drawn_knowledge(seed), random.Random(seed)
    for _ in range(10):
        findings = drawn_findings(knowledge, draw)
        after = belief(knowledge, findings)
        states, causes = enumerated(knowledge, findings)
        np.testing.assert_allclose(after.states, states, rtol=0, atol=1e-9)
        np.testing.assert_allclose(after.chances, causes, rtol=0, atol=1e-9)
        bits = expected_information(after)
        for test in knowledge.tests:
            of_outcomes = [enumerated(knowledge, [*findings, (test, one)])[1] for one in knowledge.outcomes[test]]
            chances = [
                math.fsum(w * float(row[n]) for w, row in zip(states, knowledge.likelihood[test], strict=True))
                for n in range(len(of_outcomes))
            ]
            told = plain_entropy(causes) - math.fsum(
                p * plain_entropy(one) for p, one in zip(chances, of_outcomes, strict=True)
            )
            assert bits[test] == pytest.approx(told, abs=1e-9)


def plain_entropy(chances: list[float]) -> float:
    return -math.fsum(p * math.log2(p) for p in chances if p > 0)


def test_order_never_matters() -> None:
    """Not in the last bit."""
    findings = [("listen", "hiss"), ("watch", "comes and goes"), ("tap", "stays"), ("watch", "climbs")]
    first = belief(TOY, findings)
    for order in itertools.permutations(findings):
        assert np.array_equal(belief(TOY, list(order)).chances, first.chances)
        assert [one.test for one in belief(TOY, list(order)).doubts] == [one.test for one in first.doubts]


def test_what_was_not_done_says_nothing() -> None:
    assert np.array_equal(belief(TOY, [("look", "not done")]).chances, belief(TOY, []).chances)
    np.testing.assert_allclose(belief(TOY, []).chances, TOY.prior, atol=1e-15)


def test_two_findings_of_one_hidden_severity_are_not_multiplied_cause_by_cause() -> None:
    """Three watches of one regulator: naive multiplication is surer than it may be."""
    slight = [("watch", "stands")] * 3
    chances = np.array([enumerated(TOY, [one])[1] for one in slight]) / TOY.prior
    naive = TOY.prior * chances.prod(axis=0)
    naive /= naive.sum()
    assert plain_entropy(belief(TOY, slight).chances.tolist()) > plain_entropy(naive.tolist()) + 0.05


def test_a_thousand_findings_do_not_underflow() -> None:
    after = belief(TOY, [("look", "crumb")] * 1000)
    assert after.leader == "grit" and after.of_leader == pytest.approx(1)
    assert after.chances.sum() == pytest.approx(1)


def test_a_cause_ruled_out_by_its_weight_stays_out() -> None:
    """An instructor's own weight of nothing."""
    prior = np.array([0.5, 0.5, 0.0, 0.0, 0.0])
    own = Knowledge(**{**vars(TOY), "prior": prior})
    after = belief(own, [("listen", "hiss")])
    assert after.chances[2:].tolist() == [0, 0, 0] and after.chances.sum() == pytest.approx(1)
    assert isinstance(after.doubts, tuple) and sum(expected_information(after).values()) > 0


CONTRADICTORY = [("listen", "hiss"), ("soap", "bubbles"), ("tap", "stays"), ("look", "cut"), ("look", "cut")]


def test_contradictory_findings_have_a_belief_and_a_sentence() -> None:
    after = belief(TOY, CONTRADICTORY)
    assert after.chances.sum() == pytest.approx(1)
    assert [one.test for one in after.doubts] == ["look"]
    assert after.doubts[0].because.startswith("No regulator of ours shows all of this: ")
    assert "Do that test once more" in after.because
    assert not belief(TOY, CONTRADICTORY[:3]).doubts, "these agree"


def test_doubts_are_the_chance_of_one_test_given_the_others() -> None:
    """Against enumeration."""
    doubt = belief(TOY, CONTRADICTORY).doubts[0]
    states, _ = enumerated(TOY, CONTRADICTORY[:3])
    cut = [float(row[1]) ** 2 for row in TOY.likelihood["look"]]
    assert doubt.chance == pytest.approx(math.fsum(w * p for w, p in zip(states, cut, strict=True)), rel=1e-9)
    prior, _ = enumerated(TOY, [])
    assert doubt.usual == pytest.approx(math.fsum(w * p for w, p in zip(prior, cut, strict=True)), rel=1e-9)


def test_a_single_finding_that_hardly_any_regulator_shows_is_doubted() -> None:
    rare = np.array([[0.004, 0.996]] * 10)
    own = Knowledge(**{**vars(TOY), "likelihood": {**TOY.likelihood, "listen": rare}})
    after = belief(own, [("listen", "hiss")])
    assert after.doubts[0].chance < HARDLY_ANY
    assert after.doubts[0].because.startswith(
        "Hardly any regulator of ours shows this (listen all round: hiss: about one re"
    )
    assert not belief(own, [("listen", "quiet")]).doubts


def test_honest_findings_are_seldom_doubted() -> None:
    """At most one set in twenty, of 400 drawn from the toy itself, all six tests of each."""
    draw = np.random.default_rng(3)
    doubted = 0
    for state in draw.choice(10, 400, p=(TOY.prior[TOY.cause_of] * TOY.within)):
        seen = [(test, TOY.outcomes[test][draw.choice(len(row[state]), p=row[state])])
                for test, row in TOY.likelihood.items()]  # fmt: skip
        doubted += bool(belief(TOY, seen).doubts)
    assert doubted <= 20, doubted


@pytest.mark.parametrize(
    ("findings", "sentence"),
    [
        ([("listen", "rattle")], '"rattle" is no outcome of "listen". Known are: hiss, quiet, not done.'),
        ([("smell", "hiss")], 'a toy has no test "smell". Known tests are: listen, soap, tap, watch, new_seat, look.'),
        (None, "Findings are a list of pairs (test, outcome), not None. Known tests are: listen"),
        (3, "Findings are a list of pairs (test, outcome), not 3. Known tests are: listen"),
        ("listen", 'Findings are a list of pairs (test, outcome), not "listen". Known tests are: listen'),
        ({"listen": "hiss"}, "Findings are a list of pairs (test, outcome), not {'listen': 'hiss'}. Known"),
        (["listen"], 'A finding is a pair (test, outcome), not "listen". Known tests are: listen'),
        ([("listen",)], "A finding is a pair (test, outcome), not ('listen',). Known tests are: listen"),
        ([("listen", 1)], '1 is no outcome of "listen". Known are: hiss, quiet, not done.'),
        ([(None, "hiss")], "a toy has no test None. Known tests are: listen"),
        ([(["listen"], "hiss")], "a toy has no test ['listen']. Known tests are: listen"),
        ([("listen", None)], 'None is no outcome of "listen". Known are: hiss, quiet, not done.'),
        ([("listen", np.array([1, 2]))], 'array([1, 2]) is no outcome of "listen". Known are: hiss, quiet'),
        ([("x" * 500, "hiss")], "a toy has no test"),
        ([("nothing", "not done")], 'a toy has no test "nothing"'),
    ],
)  # fmt: skip
def test_what_is_no_finding_is_refused_in_one_sentence(findings: object, sentence: str) -> None:
    with pytest.raises(ValueError) as refused:
        belief(TOY, findings)  # type: ignore[arg-type]
    assert str(refused.value).startswith(sentence)
    assert len(str(refused.value)) < 250


def test_entropy_refuses_what_is_no_chance() -> None:
    for wrong in ([-0.1, 1.1], [0, 0], [math.nan, 1], [math.inf, 1]):
        with pytest.raises(ValueError, match="Chances are numbers from 0 on, not all of them 0"):
            entropy(wrong)
    assert entropy(np.eye(3), axis=0).tolist() == [0, 0, 0]


def test_a_test_that_shows_the_same_of_all_tells_nothing() -> None:
    assert information([0.2, 0.8], [[0.3, 0.7], [0.3, 0.7]]) == pytest.approx(0, abs=1e-15)
    worth = value_of_information([0.2, 0.8], [[0.3, 0.7], [0.3, 0.7]], [[1, 0], [0, 1]])
    assert worth.value == pytest.approx(0) and worth.perfect > 0


def test_two_tests_ahead_is_the_whole_product() -> None:
    """Every pair of outcomes, the same test twice as well, against enumeration."""
    knowledge = drawn_knowledge(7)
    after, layout = belief(knowledge, [("test_0", "shows_1")]), stacked(knowledge)
    both = joint_of_two(layout, after.states)
    names = [(test, outcome) for test in knowledge.tests for outcome in knowledge.outcomes[test]]
    for (m, one), (n, other) in itertools.product(enumerate(names), repeat=2):
        for cause in range(len(knowledge.causes)):
            total = math.fsum(
                w
                * float(knowledge.likelihood[one[0]][state][knowledge.outcomes[one[0]].index(one[1])])
                * float(knowledge.likelihood[other[0]][state][knowledge.outcomes[other[0]].index(other[1])])
                for state, w in enumerate(after.states.tolist())
                if knowledge.cause_of[state] == cause
            )
            assert both[cause, m, n] == pytest.approx(total, abs=1e-12)
