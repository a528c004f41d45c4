"""Every plan that an exercise of lesson 05 calls right is judged by the judge of plans itself, from its words."""

from __future__ import annotations

import re
from typing import Any

import pytest

from steadyneedle.bench.cleaning import PlanVerdict, Step, judge_plan
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.plans import plan_of
from steadyneedle.questions.preferences import Preferences

SAID = {
    "strip it": ("strip",), "take out the soft parts": ("soft parts out",), "leave the soft parts in, to be cleaned too": (),
    "let it drip off": (), "blow dry with oil-free gas": ("dry with oil-free gas",),
    "blow dry at the workshop's compressor, the one for the air tools": ("dry with shop air",),
    "look at every part under a ten-times glass": ("inspect",),
    "fit new soft parts, lubricate as the manual says, put it together": ("replace", "lubricate"),
    "lubricate as the manual says, put it together": ("lubricate",),
    "watch lock-up and IP for ten minutes": ("retest IP",), "write the invoice": (),
}  # fmt: skip
"""What a line of a plan comes to."""

STEEL = ("stainless piston", "stainless spring", "NBR ring")
"""Body and pistons of stainless steel, in the parts that the judge knows."""


def exercise(name: str) -> ChoiceExercise:
    found = plan_of("05").exercise(name)
    assert isinstance(found, ChoiceExercise)
    return found


def steps_in(line: str) -> tuple[Step, ...]:
    """The steps of one line of a plan, its minutes and °C read from its words."""
    if line in SAID:
        return tuple(map(Step, SAID[line]))
    method = (
        line.partition(",")[0].replace("rinse in fresh water", "rinse").replace("dip in weak bicarbonate", "neutralise")
    )
    celsius = re.search(r"at (\d+) °C", line)
    return (Step(method, float(re.search(r", (\d+) min", line)[1]), float(celsius[1]) if celsius else None),)  # type: ignore[index]


def judged(steps: list[Step], soils: tuple[str, ...]) -> PlanVerdict:
    on = [(part, soil) for part in STEEL[:2] for soil in soils]
    return judge_plan(STEEL, on, steps)


def test_the_plan_called_right_is_right_and_each_other_has_the_fault_that_is_named() -> None:
    """A trial of strangers: the plan called right left its soil, and had no bicarbonate after its acid."""
    one = exercise("what_is_wrong")
    faults = {
        "soft": ("harm", "NBR ring"), "rinse": ("harm", "meets alkali"), "neutral": ("incomplete", "neutralise"),
        "gas": ("soil left", "oil"), "look": ("incomplete", "inspect"), "test": ("incomplete", "retest"),
    }  # fmt: skip
    seen = set()
    for n in range(300):
        givens = one.givens("judged", n)
        verdict = judged(
            [s for line in one.names(givens).plan.split("; ") for s in steps_in(line)], ("hydrocarbon oil", "scale")
        )
        right = one.solve(givens)
        seen.add(right)
        if right == "nothing":
            assert verdict.outcome == "within limits" and not verdict.tight, verdict.because
        else:
            assert verdict.outcome == faults[right][0] and faults[right][1] in verdict.because, (right, verdict.because)
            if verdict.outcome == "incomplete":
                assert len(verdict.missing) == 1, verdict.missing
    assert seen == set(one.choices)


TOLD = {
    "stripped the first stage": ("strip",), "taken out all soft parts and put the new ones ready": ("soft parts out",),
    "rinsed them in fresh water": ("rinse",), "dipped them into weak bicarbonate": ("neutralise",), "rinsed them again": ("rinse",),
    "blown them dry with oil-free gas": ("dry with oil-free gas",), "fitted the new soft parts, lubricated as the manual says, and put it together": ("replace", "lubricate"),
}  # fmt: skip
NEXT = {
    "soft": ("soft parts out",), "bath": (), "rinse": ("rinse",), "neutral": ("neutralise",), "dry": ("dry with oil-free gas",),
    "look": ("inspect",), "close": ("replace", "lubricate"), "test": ("retest IP",),
}  # fmt: skip
NAMES = {"oil": "hydrocarbon oil", "grease": "silicone grease", "scale": "scale"}


def steps_told(story: str) -> list[Step]:
    """What a story says was done, in its order."""
    found = [(story.index(words), tuple(map(Step, done))) for words, done in TOLD.items() if words in story]
    looked = re.search(r"looked at them under", story)
    bath = re.search(r"in the bath \((.+?), (\d+) min", story)
    found += [(looked.start(), (Step("inspect"),))] if looked else []
    found += [(bath.start(), (Step(bath[1], float(bath[2])),))] if bath else []
    return [step for _, steps in sorted(found, key=lambda one: one[0]) for step in steps]


def test_whoever_does_what_comes_next_ends_within_limits() -> None:
    """Story by story: what was done, then the answer, then the rest of the same order.

    What the answer names is what the judge misses.
    """
    one, whole = exercise("next_step"), {}
    for n in range(400):
        givens = one.givens("judged", n)
        names, right = one.names(givens), one.solve(givens)
        done = steps_told(names.done)
        if right == "test":
            whole[names.inside, names.done] = [*done, Step("retest IP")]
            verdict = judged(whole[names.inside, names.done], (NAMES[names.inside],))
            assert verdict.outcome == "within limits" and not verdict.tight, verdict.because
        verdict = judged([*done, Step("neutral detergent")] if right == "soft" else done, (NAMES[names.inside],))
        for name in NEXT[right]:
            assert any(part.startswith(name) for part in verdict.missing), (names.done, right, verdict.missing)
    assert {soil for soil, _ in whole} == set(NAMES)


LEFT = {
    "white bloom": "salt",
    "flat rings": "drying stains",
    "rim of scale": "scale",
    "comes away brown": "hydrocarbon oil",
}
AFTER = {
    "rinse": ("rinse",),
    "again": ("ultrasonic alkali", "rinse", "ultrasonic acid", "rinse", "neutralise", "rinse"),
}


@pytest.mark.parametrize("way", ["rinse", "again"])
def test_what_is_done_about_what_is_left_takes_it_off(way: str) -> None:
    """A trial of strangers: rings of dried drops were to go in a rinse, which leaves all of them."""
    one, seen = exercise("verify"), 0
    for n in range(200):
        givens = one.givens("judged", n)
        if one.solve(givens) != way:
            continue
        found: str = one.names(givens).found
        for sign, soil in LEFT.items():
            if sign in found:
                steps: list[Any] = [Step("rinse", 6)] if way == "rinse" else [Step(name) for name in AFTER[way]]
                verdict = judge_plan(["stainless piston"], [soil], steps)
                took_off = verdict.soil_left[0].percent
                assert took_off < (1 if way == "rinse" else 20), (found, took_off)
                seen += 1
    assert seen >= (10 if way == "rinse" else 30)


BATHS = {
    "water": Step("fresh-water soak", 15), "detergent": Step("neutral detergent", 45, 50), "alkaline": Step("alkaline degreaser", 20),
    "acid": Step("ultrasonic acid", 3),
}  # fmt: skip
PARTS = {
    "a chrome-plated brass body": "chromed body", "a stainless piston": "stainless piston", "an anodised aluminium cap": "anodised aluminium part",
    "a titanium body": "titanium part", "a stainless spring": "stainless spring", "a stainless valve stem": "stainless piston",
    "a land of bare brass": "brass land", "a sintered inlet filter": "sintered filter", "a high-pressure seat": "PEEK seat",
    "a steel spring, pitted": "stainless spring", "an NBR O-ring": "NBR ring", "a diaphragm": "silicone diaphragm",
}  # fmt: skip
SOILS = ("salt", "silicone grease", "hydrocarbon oil", "scale", "verdigris", "rust")


def test_the_bath_called_right_does_it_within_limits() -> None:
    """A trial of strangers: acid at rest was called right for scale on chromed brass, and section 3 says it cannot do it."""
    one, seen = exercise("which_bath"), set()
    for n in range(400):
        givens = one.givens("judged", n)
        names, right = one.names(givens), one.solve(givens)
        part = PARTS[names.part]
        if right == "replace":
            continue
        soil = next(soil for soil in SOILS if soil in names.soil)
        acid = [Step(name) for name in ("neutralise", "rinse")] if right == "acid" else []
        tail = map(Step, ("dry with oil-free gas", "inspect", "lubricate", "retest IP"))
        verdict = judge_plan([part], [soil], [Step("strip"), BATHS[right], Step("rinse"), *acid, *tail])
        assert verdict.outcome == "within limits", (names.part, names.soil, verdict.because)
        seen.add((right, part))
    assert len(seen) >= 12
    assert "ultrasonic" in one.choices["acid"]


def test_what_is_said_of_a_pick_is_true_of_its_two_numbers() -> None:
    """A trial of strangers: 1.22 times as hard was told to lie between 0.8 and 1.2."""
    one = exercise("pick_and_land")
    for n in range(600):
        givens = one.givens("judged", n)
        ratio = one.names(givens).ratio
        for option in set(one.choices) - {one.solve(givens)}:
            said = " ".join(one.check(givens, option, Preferences()).lines)
            if "between 0.8 and 1.2" in said.lower():
                assert 0.8 <= ratio <= 1.2, (ratio, said)
            if "more than 1.2" in said or "Above 1.2" in said:
                assert ratio > 1.2, (ratio, said)
            if "less than 0.8" in said:
                assert ratio < 0.8, (ratio, said)


def test_what_a_plan_lacks_is_what_the_judge_misses() -> None:
    """The minutes asked are those of the steps that the judge names; with them the plan is within limits."""
    one = plan_of("05").exercise("minutes_missing")
    keys = {
        "soft parts out": "soft",
        "rinse": "rinse",
        "neutralise": "neutral",
        "dry": "dry",
        "inspect": "look",
        "retest": "test",
    }
    whole = ["strip it", "take out the soft parts", "mild acid", "rinse in fresh water", "dip in weak bicarbonate", "rinse in fresh water",
             "blow dry with oil-free gas", "look at every part under a ten-times glass",
             "fit new soft parts, lubricate as the manual says, put it together", "watch lock-up and IP"]  # fmt: skip
    for n in range(300):
        names = one.names(one.givens("judged", n))
        lines = names.plan.split("; ")
        steps = [step for line in lines for step in steps_on(line)]
        missed = {
            key for part in judged(steps, ("scale",)).missing for words, key in keys.items() if part.startswith(words)
        }
        gone = {"rinse" if key == "again" else key for key in names.gone}
        assert missed == gone or ("neutral" in gone and missed == gone - {"rinse"}), (names.gone, missed)
        bath = next(line for line in lines if line.startswith("mild acid"))
        full = judged([step for line in whole for step in steps_on(bath if line == "mild acid" else line)], ("scale",))
        assert full.outcome == "within limits" and len(whole) == len(lines) + len(names.gone)


def steps_on(line: str) -> tuple[Step, ...]:
    """A line without minutes, or the acid with its own."""
    plain = {
        "rinse in fresh water": "rinse",
        "dip in weak bicarbonate": "neutralise",
        "watch lock-up and IP": "retest IP",
    }
    return (Step(plain[line]),) if line in plain else steps_in(line)


def test_what_is_told_of_two_parts_is_what_the_card_is_read_for() -> None:
    """Each story has the words of one soil and of one metal alone, and its number is the card's."""
    one = plan_of("05").exercise("tank_minutes")
    signs = {
        "salt": r"(?i)fresh water (?:takes|they are gone)",
        "a crust": r"(?i)crust",
        "hydrocarbon oil": r"smells of (?:the|machine)",
        "silicone grease": r"of nothing|without any smell",
    }
    metals = {
        "chromed brass": r"silver.*yellow",
        "bare brass": r"^(?!.*silver).*yellow",
        "stainless steel": r"^(?!.*yellow).*silver",
    }
    for n in range(300):
        names = one.names(one.givens("judged", n))
        for which, minutes in (("1", names.one), ("2", names.two)):
            told, said = names[f"seen_{which}"], names[f"said_{which}"]
            colour = told.replace("A yellow film", "A film")
            assert [soil for soil, words in signs.items() if re.search(words, told)] == [said.split(" on ")[0]], told
            assert [metal for metal, words in metals.items() if re.search(words, colour)] == [said.split(" on ")[1]], (
                told
            )
            assert f"{said}, {minutes} min" in " ".join(one.steps(one.givens("judged", n)))


def test_what_the_warm_bath_allows_is_no_harm_by_the_rules() -> None:
    """10 min at 60 °C and 2 % on brass (`limits.csv`): a trial found 182 of 200 right answers judged as harm."""
    one = plan_of("05").exercise("warm_bath")
    for n in range(300):
        names = one.names(one.givens("judged", n))
        step = Step("alkaline degreaser", names.answer, names.warm, names.percent)
        assert judge_plan(["brass land"], ["hydrocarbon oil"], [step]).harm == (), (
            names.card,
            names.warm,
            names.percent,
        )
    assert "(invented)" in " ".join(one.question(one.givens("judged", 0)))


def test_one_tank_is_rinsed_and_filled_afresh_between_two_baths() -> None:
    """Acid must not meet degreaser (`never_together.csv`)."""
    one = plan_of("05").exercise("tank_minutes")
    said = " ".join(one.question(one.givens("judged", 0)))
    assert "empty the tank, rinse it and fill it afresh" in said


def test_minutes_typed_in_hours_are_the_same_minutes() -> None:
    for name, givens, typed in (
        ("half_gone", {"half": 7.0, "times": 5, "limit": 1}, "0.583333 h"),
        ("warm_bath", {"card": 40, "tens": 2, "percent": 2}, "0.166667 h"),
    ):
        assert plan_of("05").exercise(name).check(givens, typed).outcome == "right"
    short = plan_of("05").exercise("half_gone").check({"half": 7.0, "times": 5, "limit": 1}, "0.583 h")
    assert short.outcome != "right", "34.98 min are too few"


def test_a_number_of_a_question_without_a_reading_is_not_called_one() -> None:
    one = plan_of("05").exercise("minutes_missing")
    givens = one.givens("judged", 0)
    said = " ".join(one.check(givens, f"{one.names(givens).bath} min").lines)
    assert "reading" not in said and "stands in the question already" in said
