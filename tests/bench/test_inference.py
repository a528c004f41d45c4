"""The inference of causes against enumeration, and the advice against the exact best policy of a toy."""

from __future__ import annotations

import itertools
import math
import time
from functools import cache

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.inference import Model, by_cost, by_information, entropy, information


def random_model(rng: np.random.Generator, causes: int, states: int, tests: int, sharp: float = 1.0) -> Model:
    cause_of = np.sort(np.concatenate([np.arange(causes), rng.integers(causes, size=states - causes)]))
    tables = {}
    for n in range(tests):
        raw = rng.gamma(sharp, size=(int(rng.integers(2, 5)), states)) + 1e-6
        tables[f"test {n}"] = raw / raw.sum(axis=0)
    return Model([f"cause {n}" for n in range(causes)], cause_of, rng.gamma(1, size=states) + 1e-9, tables)


@pytest.mark.parametrize("seed", range(200))
def test_it_is_what_enumeration_says(seed: int) -> None:
    """Posterior and information of random cases, by sums over states and outcomes one by one. Tolerance 1e-9."""
    rng = np.random.default_rng(seed)
    model = random_model(rng, int(rng.integers(2, 6)), int(rng.integers(6, 15)), 4)
    done = [(name, int(rng.integers(model.tables[name].shape[0]))) for name in rng.permutation(list(model.tables))[:3]]
    weight = {}
    for state, prior in enumerate(model.prior.tolist()):
        chance = prior
        for name, outcome in done:
            chance *= float(model.tables[name][outcome, state])
        weight[state] = chance
    total = math.fsum(weight.values())
    mine = model.by_cause(model.weights(done))
    for cause in range(len(model.causes)):
        there = math.fsum(w for state, w in weight.items() if model.cause_of[state] == cause) / total
        assert mine[cause] == pytest.approx(there, abs=1e-9)
    assert model.by_cause(model.weights(done[::-1])) == pytest.approx(mine, abs=1e-12), "in any order"
    name = next(one for one in model.tables if one not in dict(done))
    bits = 0.0
    for outcome, cause in itertools.product(range(model.tables[name].shape[0]), range(len(model.causes))):
        of = {s: w / total * float(model.tables[name][outcome, s]) for s, w in weight.items()}
        both = math.fsum(w for s, w in of.items() if model.cause_of[s] == cause)
        if both > 0:
            bits += both * math.log2(both / (math.fsum(of.values()) * mine[cause]))
    assert information(model, model.weights(done), name) == pytest.approx(bits, abs=1e-9)


def test_findings_share_the_hidden_severity() -> None:
    """Three looks at one hidden severity are no three independent looks: by hand, two severities of the cause, each look
    surely "seen" when severe and never when slight; "seen" thrice says no more than once. Multiplied cause by cause the
    first would state 0.5**3 against 0.25**3."""
    table = [[1.0, 0.0, 0.25], [0.0, 1.0, 0.75]]
    model = Model(("worn", "sound"), [0, 0, 1], [0.25, 0.25, 0.5], {name: table for name in "abc"})
    once = model.by_cause(model.weights([("a", 0)]))
    assert once[0] == pytest.approx(0.25 / (0.25 + 0.125))
    thrice = model.by_cause(model.weights([("a", 0), ("b", 0), ("c", 0)]))
    assert thrice[0] == pytest.approx(0.25 / (0.25 + 0.5 / 64))


def toy(seed: int) -> tuple[Model, dict[str, float]]:
    rng = np.random.default_rng(seed)
    model = random_model(rng, 5, 5, 6, sharp=0.35)
    return model, {name: float(rng.integers(1, 9)) for name in model.tables}


def exact_to_go(model: Model, prices: dict[str, float], confidence: float, cap: float) -> float:
    """Expected price of the best policy, each test at most once: every order of tests and outcomes, by recursion."""

    @cache
    def best(found: frozenset[tuple[str, int]]) -> float:
        weights = model.weights(found)
        if model.by_cause(weights).max() >= confidence:
            return 0.0
        done, choices = {name for name, _ in found}, [cap]
        for name, price in prices.items():
            if name not in done:
                chance = model.outcomes(weights, name).sum(axis=1)
                choices.append(price + sum(
                    p * best(found | {(name, n)}) for n, p in enumerate(chance.tolist()) if p > 0))  # fmt: skip
        return min(choices)

    return best(frozenset())


def follow(model: Model, prices: dict[str, float], confidence: float, cap: float) -> float:
    """Expected price of doing what the advice says, each test at most once."""

    def go(found: tuple[tuple[str, int], ...]) -> float:
        weights = model.weights(found)
        if model.by_cause(weights).max() >= confidence:
            return 0.0
        left = {name: price for name, price in prices.items() if name not in dict(found)}
        advice = by_cost(model, weights, left, confidence, cap)[0] if left else None
        if advice is None or advice.to_go >= cap:
            return cap
        chance = model.outcomes(weights, advice.test).sum(axis=1)
        return advice.price + sum(p * go((*found, (advice.test, n))) for n, p in enumerate(chance.tolist()) if p > 0)

    return go(())


def test_the_lookahead_beside_the_exact_optimum() -> None:
    """Five causes, six tests, 20 toys: what following the advice costs, over what the best policy costs."""
    over = []
    for seed in range(20):
        model, prices = toy(seed)
        best = exact_to_go(model, prices, 0.9, 40.0)
        over.append(follow(model, prices, 0.9, 40.0) / best)
    print(f"lookahead over optimum: mean {np.mean(over):.3f}, worst {max(over):.3f}")
    assert min(over) > 1 - 1e-9, "nothing is cheaper than the optimum"
    assert np.mean(over) < 1.1 and max(over) < 1.7


def test_information_is_never_negative_and_no_more_than_what_is_open() -> None:
    rng = np.random.default_rng(1)
    for _ in range(100):
        model = random_model(rng, 4, 9, 3)
        for name in model.tables:
            assert 0 <= information(model, model.prior, name) <= float(entropy(model.by_cause(model.prior))) + 1e-12


def test_what_contradicts_leaves_nothing() -> None:
    model = Model(("a", "b"), [0, 1], [0.5, 0.5], {"one": [[1, 0], [0, 1]], "two": [[1, 0], [0, 1]]})
    assert not model.weights([("one", 0), ("two", 1)]).any()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"prior": [1.0]}, "one entry for each state"),
        ({"cause_of": [1, 0]}, "must rise"),
        ({"prior": [-1.0, 2.0]}, "negative"),
        ({"tables": {"t": [[0.5, 0.5], [0.2, 0.5]]}}, "adds to 1"),
    ],
)
def test_models_that_are_none(change: dict[str, object], words: str) -> None:
    whole: dict[str, object] = {"causes": ("a", "b"), "cause_of": [0, 1], "prior": [1.0, 1.0], "tables": {}}
    with pytest.raises(ValueError, match=words):
        Model(**(whole | change))  # type: ignore[arg-type]


def fastest(job: object, times: int = 15) -> float:
    spent = []
    for _ in range(times):
        begin = time.perf_counter()
        job()  # type: ignore[operator]
        spent.append(time.perf_counter() - begin)
    return min(spent)


@pytest.mark.benchmark
def test_speed_beside_bare_numpy() -> None:
    """An update at most 5 times the bare product and normalisation; a one-step choice at most twice, a lookahead of two at
    most three times as many updates as it needs: tests x outcomes, and its square."""
    rng = np.random.default_rng(5)
    model = random_model(rng, 30, 1000, 14)
    found = [("test 0", 1), ("test 1", 0), ("test 2", 1)]

    def bare() -> np.ndarray:
        weights = model.prior * model.tables["test 0"][1] * model.tables["test 1"][0] * model.tables["test 2"][1]
        return weights / weights.sum()

    weights, prices = model.weights(found), {name: 1.0 for name in model.tables}
    rows = sum(table.shape[0] for table in model.tables.values())
    update = fastest(lambda: model.by_cause(model.weights([("test 3", 0)], weights)), 200)
    one, two = (fastest(lambda f=f: f(), 10) for f in (
        lambda: by_information(model, weights, prices), lambda: by_cost(model, weights, prices, 0.95, 100.0),
    ))  # fmt: skip
    ratios = (
        fastest(lambda: model.weights(found), 200) / fastest(bare, 200),
        one / (rows * update),
        two / (rows**2 * update),
    )
    print("update over bare {:.2f}, one step {:.2f}, lookahead {:.2f} of the updates needed".format(*ratios))
    assert ratios[0] <= 5 and ratios[1] <= 2 and ratios[2] <= 3
