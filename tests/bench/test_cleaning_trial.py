"""What strangers found in cleaning plans: each fault that a trial named, so that none comes back."""

from __future__ import annotations

import pytest

from steadyneedle.bench.cleaning import Step, best_plan, judge_plan

HEAD, TAIL = ("strip",), ("dry with oil-free gas", "inspect", "lubricate", "retest IP")
ACID_OFF = ("rinse", "neutralise", "rinse")


def plan(*steps: Step | str) -> tuple[Step, ...]:
    """A whole plan around its cleaning."""
    return tuple(Step(one) if isinstance(one, str) else one for one in (*HEAD, *steps, *TAIL))


# a trial of strangers: a disinfectant that may be bleach


TWO = (["titanium part"], ["disinfectant residue", "scale"])


@pytest.mark.parametrize("method", ["mild acid", "ultrasonic acid", "ammonia cleaner", "bleach", "solvent wipe"])
@pytest.mark.parametrize("before", [[], [Step("rinse", 2)], [Step("rinse", 1.9)] * 4, ["fresh-water soak"], [Step("rinse", 2), Step("neutral detergent", 30)]],
                         ids=["at once", "a short rinse", "four that are none", "a soak", "a bath after a rinse"])  # fmt: skip
def test_a_disinfectant_that_may_be_bleach_meets_nothing(method: str, before: list[Step | str]) -> None:
    """Hypochlorite and acid give chlorine, and ammonia chloramine (from memory). A film of it is on the part until it is
    rinsed off: 2 min leave 17 % by our rate."""
    verdict = judge_plan(*TWO, plan(*before, Step(method, 1), *ACID_OFF))
    assert verdict.outcome == "harm" and "disinfectant residue on the titanium part" in verdict.because
    assert "ask which disinfectant it was, and rinse it off" in " ".join(verdict.harm)
    rinsed = judge_plan(*TWO, plan(*before, Step("rinse", 6), Step(method, 1), *ACID_OFF))
    assert not any("residue" in one for one in rinsed.harm), rinsed.harm


def test_the_disinfectant_is_asked_in_every_plan_that_has_some() -> None:
    assert any("ask which disinfectant" in one for one in judge_plan(*TWO, ["strip"]).hazards)
    assert not any("ask which disinfectant" in one for one in judge_plan(TWO[0], ["scale"], ["strip"]).hazards)


def test_the_best_plan_rinses_a_disinfectant_off_before_acid() -> None:
    for part in ("brass land", "chromed body", "stainless piston", "titanium part"):
        found = best_plan([part], TWO[1])
        names = [step.method for step in found.steps or ()]
        assert names.index("rinse") < names.index("ultrasonic acid")
        assert judge_plan([part], TWO[1], found.steps or ()).outcome == "within limits"
        without = [step for n, step in enumerate(found.steps or ()) if n != names.index("rinse")]
        assert judge_plan([part], TWO[1], without).outcome == "harm"


def test_a_ring_that_was_taken_out_brings_no_disinfectant_into_the_bath() -> None:
    pairs = [("NBR ring", "disinfectant residue"), ("brass land", "scale")]
    steps = best_plan(["brass land", "NBR ring"], pairs).steps or ()
    assert "rinse" not in [step.method for step in steps][:3]
    assert judge_plan(["brass land", "NBR ring"], pairs, steps).outcome == "within limits"
    left_in = [step for step in steps if step.method != "soft parts out"]
    assert "residue on the NBR ring" in judge_plan(["brass land", "NBR ring"], pairs, left_in).because


# a soil that is named is there


def test_a_soil_named_on_a_part_that_cannot_make_it_is_not_forgotten() -> None:
    """Rust on brass, with a spring on the bench that nobody called rusty; verdigris on a piston beside a land."""
    for parts_, named, near in (
        (["brass land", "stainless spring"], ("brass land", "rust"), "stainless spring"),
        (["stainless piston", "brass land"], ("stainless piston", "verdigris"), "brass land"),
    ):
        verdict = judge_plan(parts_, [named], plan("ultrasonic detergent", "rinse"))
        assert verdict.outcome == "not covered" and f"look at the {near} first" in verdict.because
        assert [(one.part, one.soil) for one in verdict.too_much_left] == [named]
        found = best_plan(parts_, [named])
        assert found.steps is None and "find where it came from" in found.because


def test_a_soil_named_on_both_is_taken_off_both_or_not_covered() -> None:
    both = [("stainless piston", "verdigris"), ("brass land", "verdigris")]
    steps = best_plan(["stainless piston", "brass land"], both).steps or ()
    verdict = judge_plan(["stainless piston", "brass land"], both, steps)
    assert verdict.outcome == "within limits" and {(one.part, one.soil) for one in verdict.soil_left} == set(both)
    assert any("verdigris on the stainless piston is not its own" in one for one in verdict.sentences)
    rust = [("brass land", "rust"), ("stainless spring", "rust")]
    assert best_plan(["brass land", "stainless spring"], rust).steps is None
    assert judge_plan(["brass land", "stainless spring"], rust, plan("rinse", "replace")).outcome == "soil left"
