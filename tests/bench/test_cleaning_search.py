"""The best plan against every plan there is, on reduced sets, and against random ones; nothing of the search is used here."""

from __future__ import annotations

import itertools
import math
import random
from functools import cache

import numpy as np
import pytest

from steadyneedle.bench import cleaning
from steadyneedle.bench.cleaning import Rules, Step, best_plan, judge_plan
from steadyneedle.bench.cleaning.catalogue import known_methods, known_parts, law, rows
from steadyneedle.bench.cleaning.harm_rules import LimitRule, touched
from steadyneedle.bench.cleaning.removal import needed, rate_of

HARD = [name for name, part in known_parts().items() if not part.comes_out and name != "PA case"]
CLEANERS = [name for name, method in known_methods().items() if method.kind in ("bath", "wipe", "tool")]
SOILS = [
    "salt",
    "scale",
    "verdigris",
    "silicone grease",
    "hydrocarbon oil",
    "sand and grit",
    "fused rubber",
    "drying stains",
    "disinfectant residue",
]
RESIDUE = "disinfectant residue"
CLASHES = {frozenset((row["one"], row["other"])) for row in rows("never_together")}
LONGEST = 4
"""Steps between stripping and drying."""


def forbidden(part: str, method: str) -> LimitRule:
    return LimitRule(part, method, "never", None, None, False, "not in this set", "invented", 2)


def reduced(draw: random.Random) -> tuple[list[str], list[tuple[str, str]], Rules, list[str]]:
    """One or two parts, one or two soils, at most four methods beside rinse and neutralise."""
    parts = draw.sample(HARD, draw.choice([1, 1, 2]))
    soils = draw.sample(SOILS, draw.choice([1, 2]))
    useful = [name for name in harmless(parts, CLEANERS) if any(rate_of(Step(name), soil) for soil in soils)]
    ways = [*draw.sample(useful, min(3, len(useful))), draw.choice(CLEANERS)]
    rules = Rules(
        tuple(forbidden(part, name) for part in parts for name in CLEANERS if name not in ways), "reduced.csv"
    )
    pairs = [(part, soil) for part in parts for soil in soils if cleaning.cell(part, soil).method not in
             ("replace", "find where it came from", "not found there")]  # fmt: skip
    return parts, pairs, rules, ways


def harmless(parts: list[str], ways: list[str]) -> list[str]:
    found = []
    for name in ways:
        does = [touched(part, Step(name), Rules()) for part in parts]
        never = any(rule.limit == "never" for one in does for rule in one.counted)
        if (
            not never
            and not any(one.marks or one.not_covered or one.too_hot for one in does)
            and name != "ultrasonic solvent"
        ):
            found.append(name)
    return found


def in_order(names: tuple[str, ...]) -> bool:
    """Whether methods may follow one another so: minutes do not matter, for every rinse here is a real one."""
    present: set[str] = set()
    owed = dirty = False
    for name in names:
        method = known_methods()[name]
        if name == "rinse":
            present, dirty = set(), False
            continue
        if name == "neutralise":
            if not owed or "acid" in present:
                return False
            owed, dirty = False, True
            continue
        brings = {method.agent} | ({"heat"} if method.kind == "bath" and (method.usual_celsius or 0) >= 40 else set())
        if owed and method.agent != "acid":
            return False
        if any(frozenset((one, other)) in CLASHES for one in brings for other in present):
            return False
        present |= brings
        dirty = dirty or method.kind != "wipe"
        owed = owed or method.agent == "acid"
    return not owed and not dirty


@cache
def in_minutes(names: tuple[str, ...], most: int) -> np.ndarray:
    """Every way to give whole minutes to the steps, at least 1, a rinse 2, a neutralising 2, `most` in all."""
    least = [2 if name in ("rinse", "neutralise") else 1 for name in names]
    spare = most - sum(least)
    more = [one for one in itertools.product(range(spare + 1), repeat=len(names)) if sum(one) <= spare]
    return np.array(more, dtype=float).reshape(len(more), len(names)) + least


def by_brute_force(
    parts: list[str], pairs: list[tuple[str, str]], ways: list[str], most: int
) -> tuple[int, int] | None:
    """Fewest minutes, then fewest steps, of all sequences up to four steps and `most` minutes; no rounding, no dominance."""
    best: tuple[int, int] | None = None
    names = ["rinse", "neutralise", *harmless(parts, ways)]
    for length in range(1, LONGEST + 1):
        for sequence in itertools.product(names, repeat=length):
            if not in_order(sequence):
                continue
            minutes = in_minutes(sequence, most)
            good = len(minutes) > 0 and clean(pairs, sequence, minutes)
            for part in parts:
                good = good & within_margin(part, sequence, minutes)
            if np.any(good):
                total = int(minutes[good].sum(axis=1).min())
                best = min(best or (total, length), (total, length))
    return best


def clean(pairs: list[tuple[str, str]], sequence: tuple[str, ...], minutes: np.ndarray) -> np.ndarray:
    """Whether every soil is under its limit, nothing rubs before the grit is off, no tool before a crust is loose, no acid over a
    film on a crust; and a disinfectant, which may be bleach, was under its limit at the last rinse before it could meet
    anything."""
    good = np.ones(len(minutes), bool)
    for part, soil in pairs:
        rates = np.array([rate_of(Step(name), soil, part) for name in sequence])
        good &= minutes @ rates >= needed(soil)
        for at, name in enumerate(sequence):
            if soil == "sand and grit" and known_methods()[name].kind in ("tool", "wipe"):
                good &= minutes[:, :at] @ rates[:at] >= needed(soil)
            tool = known_methods()[name].kind == "tool"
            if soil in ("scale", "verdigris") and tool:
                good &= minutes[:, :at] @ rates[:at] >= math.log(100 / law("crust_loose"))
            crusted = {(part, "scale"), (part, "verdigris")} & set(pairs)
            if soil in ("hydrocarbon oil", "silicone grease") and crusted and known_methods()[name].agent == "acid":
                good &= minutes[:, :at] @ rates[:at] >= needed(soil)
            if soil == RESIDUE and frozenset((RESIDUE, known_methods()[name].agent)) in CLASHES:
                to = max((n for n in range(at) if sequence[n] == "rinse"), default=-1) + 1
                good &= minutes[:, :to] @ rates[:to] >= needed(soil)
    return good


def within_margin(part: str, sequence: tuple[str, ...], minutes: np.ndarray) -> np.ndarray:
    used: dict[LimitRule, np.ndarray] = {}
    for at, name in enumerate(sequence):
        for rule in touched(part, Step(name), Rules()).counted:
            used[rule] = used.get(rule, np.zeros(len(minutes))) + minutes[:, at] * rule.share(Step(name, 1))
    good = np.ones(len(minutes), bool)
    for share in used.values():
        good &= share <= law("margin") * (1 + 1e-9)
    return good


def cost(steps: tuple[Step, ...]) -> tuple[int, int]:
    inner = [one for one in steps if one.kind.cleans or one.method == "neutralise"]
    return round(sum(one.takes for one in inner)), len(inner)


def test_equal_to_brute_force_on_50_reduced_sets() -> None:
    """Up to four steps; where nothing of at most 12 minutes is found, the best plan is longer, or there is none."""
    draw, compared, none = random.Random(20261127), 0, 0
    most = 12
    while compared < 50:
        parts, pairs, rules, ways = reduced(draw)
        if not pairs:
            continue
        found = best_plan(parts, pairs, rules)
        brute = by_brute_force(parts, pairs, ways, most)
        if found.steps is not None and cost(found.steps)[1] <= LONGEST and cost(found.steps)[0] <= most:
            assert brute == cost(found.steps), (parts, pairs, ways)
            assert judge_plan(parts, pairs, found.steps, rules).outcome == "within limits"
            compared += 1
        elif found.steps is None:
            assert brute is None, (parts, pairs, ways, found.because)
            none += 1
        else:
            assert brute is None or brute >= cost(found.steps), (parts, pairs, ways)
    print(f"{compared} sets compared, {none} more without any plan, in brute force too")


RANDOM_SETS = [
    (["brass land"], ["salt", "scale"]),
    (["chromed body", "stainless piston"], ["scale", "verdigris"]),
    (["titanium part"], ["hydrocarbon oil", "silicone grease"]),
    (["stainless piston", "brass land"], ["sand and grit", "salt"]),
]


@pytest.mark.parametrize(("parts", "soils"), RANDOM_SETS, ids=["salt and scale", "verdigris", "grease", "grit"])
def test_250_random_plans_within_every_limit_are_never_better(parts: list[str], soils: list[str]) -> None:
    """By rejection, in whole minutes at usual strength, 80 % of limits at most: 1,000 in all. The number tried is printed."""
    draw, tried, kept = random.Random(5), 0, 0
    best = best_plan(parts, soils)
    assert best.steps is not None
    useful = [name for name in CLEANERS if any(rate_of(Step(name), soil) for soil in soils)]
    while kept < 250:
        tried += 1
        steps = plan_at_random(draw, useful)
        verdict = judge_plan(parts, soils, steps)
        if verdict.outcome == "within limits" and not verdict.tight:
            kept += 1
            assert (verdict.minutes, len(steps)) >= (best.minutes, len(best.steps))
        assert tried < 60_000
    print(f"{parts}, {soils}: {tried} random plans tried for {kept} within every limit")


def plan_at_random(draw: random.Random, useful: list[str]) -> list[Step]:
    inner: list[Step] = []
    for name in draw.sample(useful, draw.choice([1, 1, 2, 2, 3])):
        inner.append(Step(name, draw.randint(1, 16)))
        if known_methods()[name].agent == "acid":
            inner += [Step("rinse"), Step("neutralise")] if draw.random() < 0.9 else []
        elif draw.random() < 0.3:
            inner.append(Step("rinse", draw.randint(2, 6)))
    if draw.random() < 0.9:
        inner.append(Step("rinse", draw.randint(2, 8)))
    dry = [Step("dry with oil-free gas")] if any(one.kind.has_to_dry for one in inner) else []
    return [Step("strip"), *inner, *dry, Step("inspect"), Step("lubricate"), Step("retest IP")]


def test_a_soil_that_nothing_takes_off_has_no_plan() -> None:
    found = best_plan(["bare aluminium part"], ["scale"])
    assert found.steps is None and "Ask the maker" in found.because and math.isfinite(needed("scale"))
