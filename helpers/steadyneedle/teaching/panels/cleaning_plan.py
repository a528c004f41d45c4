"""The plan builder of lesson 05: sets that lie on the bench, a plan worked through, rules of an instructor's own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from steadyneedle.bench.cleaning import (
    BestPlan,
    CleaningRulesError,
    PlanVerdict,
    Rules,
    Step,
    best_plan,
    judge_plan,
    read_rules,
)
from steadyneedle.bench.cleaning.catalogue import known_methods
from steadyneedle.foundation.rules_file import cleaning_rules
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.learner.own_plan import OwnPlanSession, SoiledSet
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.offered import Rows, Table

SETS = {
    "college": SoiledSet(
        "the college's set after a pool season",
        "It was put away wet in a hot store. Salt and scale are on the metal parts, and a perished ring has fused to "
        "the chromed body. Filter, seat and ring are as old as the rest.",
        (
            "brass land", "chromed body", "stainless piston", "stainless spring", "sintered filter", "PU seat",
            "NBR ring",
        ),
        (
            ("brass land", "salt"), ("brass land", "scale"), ("chromed body", "salt"), ("chromed body", "scale"),
            ("chromed body", "fused rubber"), ("stainless piston", "salt"), ("stainless piston", "scale"),
            ("stainless spring", "salt"), ("NBR ring", "salt"),
        ),
    ),
    "land": SoiledSet(
        "a land with a green crust",
        "A bare brass land has a green crust. The old seat lies beside it.",
        ("brass land", "PEEK seat"),
        (("brass land", "verdigris"),),
    ),
    "oil": SoiledSet(
        "a stage with oil in its inlet",
        "A compressor has sent oil. It is on an anodised aluminium cap and on the chromed body behind it.",
        ("anodised aluminium part", "chromed body"),
        (("anodised aluminium part", "hydrocarbon oil"), ("chromed body", "hydrocarbon oil")),
    ),
    "grease": SoiledSet(
        "a piston with old grease and sand",
        "Old silicone grease holds sand on a stainless piston. Its ring is in the groove.",
        ("stainless piston", "NBR ring"),
        (("stainless piston", "silicone grease"), ("stainless piston", "sand and grit")),
    ),
}  # fmt: skip
"""What a plan may be built for; invented."""

WORKED = (
    (Step("strip"), "What is hidden stays dirty."),
    (Step("soft parts out"), "Ring, seat and filter stay out of every bath."),
    (Step("fresh-water soak", 15), "Salt goes in plain water. Nothing stronger is spent on it."),
    (
        Step("ultrasonic acid", 3),
        "Short, because the acid creeps under the chrome. The tank shakes it into the threads.",
    ),
    (Step("rinse"), "The acid has to go before anything else comes."),
    (Step("neutralise"), "What hides in the threads is made harmless."),
    (Step("rinse"), "The neutraliser goes too."),
    (
        Step("wooden or plastic pick", 10),
        "What the ring has left comes off with something softer than brass, now that no crust lies in its way.",
    ),
    (Step("rinse"), "The crumbs go too."),
    (Step("dry with oil-free gas"), "Shop air would bring oil back, and drops leave stains."),
    (Step("inspect"), "Under magnification: no soil, no mark on the land, no lifted chrome."),
    (Step("replace"), "New ring, new seat, new filter, of the kind that the manual names."),
    (Step("lubricate"), "As the manual says, and no more."),
    (Step("retest IP"), "A clean stage may lock up elsewhere than before."),
)
"""The plan of the worked example for the first set: each step, and why."""


@dataclass(frozen=True)
class RulesInUse:
    """An instructor's own rules, None where there are none; `trouble` says why theirs cannot be used."""

    rules: Rules | None = None
    trouble: str = ""


def rules_in_use() -> RulesInUse:
    """The rules of the file that the instructor named, laid over the workbook's."""
    named = cleaning_rules()
    if named is None:
        return RulesInUse()
    try:
        return RulesInUse(read_rules(named))
    except CleaningRulesError as error:
        more = len(error.errors) - 1
        others = f" And {more} more error{'s' * (more > 1)} in this file." if more else ""
        return RulesInUse(None, f"{error.errors[0]}{others} The workbook's own rules stand here alone.")


def worked_verdict() -> PlanVerdict:
    """The worked plan, judged by the workbook's own rules."""
    first = next(iter(SETS.values()))
    return judge_plan(first.parts, first.soils, [step for step, _ in WORKED])


def worked_rows(preferences: Preferences) -> Table:
    """The worked plan as a table."""
    rows: Rows = [(str(n), preferences.localise(in_words(step)), why) for n, (step, why) in enumerate(WORKED, 1)]
    return ("", "step", "why"), rows


def in_words(step: Step) -> str:
    """A step as a plan has it: minutes where they matter, which they do in whatever cleans, rinses or dries."""
    frame = known_methods()[step.method].kind == "frame"
    return step.method if frame else step.words


def own_plan(progress: Progress, keys: tuple[str, ...]) -> OwnPlanSession:
    """The form in which a plan is built."""
    return OwnPlanSession(SETS, as_said, best_of, progress, keys)


@dataclass(frozen=True)
class SaidPlan:
    """A verdict as the form says it."""

    outcome: str
    sentences: tuple[str, ...]


def as_said(on: SoiledSet, steps: tuple[Step, ...]) -> SaidPlan:
    """A plan for a set, judged by the rules in use."""
    found = judge_plan(on.parts, on.soils, steps, rules_in_use().rules)
    return SaidPlan(found.outcome, verdict_lines(found))


def best_of(on: SoiledSet) -> BestPlan:
    """The best plan for a set by the rules in use."""
    return best_plan(on.parts, on.soils, rules_in_use().rules)


def verdict_lines(found: PlanVerdict) -> tuple[str, ...]:
    """What a plan comes to, the gravest first: harm, what is not covered, what is left, what is missing, cautions."""
    lines = [
        *_listed("Harm", found.harm),
        *_listed("Not covered", found.unknown),
        *_listed("Left", (one.words for one in found.too_much_left)),
        *_listed("Missing", found.missing),
        *_listed("No margin", found.tight),
        *(one for one in found.sentences),
        *_listed("Take care", found.hazards),
    ]
    if found.outcome == "within limits":
        lines.insert(0, found.because)
    return tuple(_as_sentence(one) for one in lines)


def _listed(head: str, what: Iterable[str]) -> list[str]:
    found = [one.rstrip(".") for one in what]
    return [f"{head}: {'; '.join(found)}"] if found else []


def _as_sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}".rstrip(".") + "."
