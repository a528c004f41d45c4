"""Lesson 03: readings judged under a rule, and the limit that a guarded card shows."""

from __future__ import annotations

import math
from typing import Any

from steadyneedle.bench.bands import Verdict, format_chance, judge
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.pressures import bar

VERDICTS = {"inside": "Inside: it passes.", "outside": "Outside: it fails.", "cannot tell": "Cannot tell with this gauge."}
"""The outcomes of `judge`, as a card words them."""

OTHER = {"inside": "outside", "outside": "inside"}
READING = "The reading: {reading:.2f} bar with an expanded uncertainty U = {U:.2f} bar."
READ = f"{READING} What do you write down?"


def _draw_judged(d: Draws, away: str = "0.30") -> Givens:
    low = d.decimal("9.0", "9.8", "0.1")
    high = round(low + d.one_of((0.8, 1.0, 1.2)), 1)
    uncertainty = d.decimal("0.10", "0.20", "0.02")
    near = d.one_of((low, high))
    return {"low": low, "high": high, "U": uncertainty, "reading": round(near + d.decimal(f"-{away}", away, "0.02"), 2)}


def judged(w: Named, rule: str, required: float = 0.95) -> Verdict:
    """The verdict on a reading under a rule; `low`, `high`, `U` and `reading` in bar."""
    return judge(bar(w.reading), bar(w.low), bar(w.high), bar(w.U), rule, required)


def _by_rule(w: Named, rule: str) -> dict[str, Any]:
    """The verdict, and where passing ends and failing begins, in bar, under the simple or the guarded rule."""
    spare = w.U if rule == "guarded" else 0.0
    ends = {"lowest": w.low + spare, "highest": w.high - spare, "below": w.low - spare, "above": w.high + spare}
    simple = judged(w, "simple").outcome
    band, passes, fails = (f"{w.low:.1f} to {w.high:.1f} bar", f"{ends['lowest']:.2f} to {ends['highest']:.2f} bar", f"below {ends['below']:.2f} or above {ends['above']:.2f} bar")
    where = f"lies {'within' if simple == 'inside' else 'outside'} {band}"
    compared = f"A reading passes from {passes} and fails {fails}; this one is {w.reading:.2f} bar" if rule == "guarded" else f"{w.reading:.2f} bar {where}"
    reach = "U does not enter" if rule == "simple" else "each limit moves by U, inward to pass and outward to fail"
    return {"rule": rule, **ends, "simple": simple, "compared": compared, "reach": reach, "answer": judged(w, rule).outcome}


def _limits(w: Named) -> tuple[tuple[float, float, float], ...]:
    """Each comparison of the reading."""
    return tuple((w.reading, one, 0.01) for one in (w.lowest, w.highest, w.below, w.above))


MISJUDGED = (
    Mistake("another rule", lambda w: "cannot tell" if w.rule == "simple" else None, "Under simple acceptance the reading alone decides; the answer is never 'cannot tell'. Near a limit it may be wrong, and the sheet accepts that risk."),
    Mistake("reading alone", lambda w: w.simple if w.rule == "guarded" else None, "You compared the reading with the limits alone. Under guarded acceptance it must clear the limit by U."),
    Mistake("U on the far side", lambda w: OTHER[w.simple] if w.answer == "cannot tell" else None, "The reading lies within U of a limit. Under guarded acceptance it neither passes nor fails."),
    Mistake("never sure", lambda w: "cannot tell", "The reading is further than U from both limits. With this gauge you can tell."),
    Mistake("wrong side", lambda w: OTHER.get(w.answer), "Compare the reading with both limits once more."),
)


def _draw_ruled(d: Draws) -> Givens:
    """The verdict first. Inside and outside are near a limit where the sheet is simple, clear of U where it is guarded.

    Each rule that hears half of the question is right in two of three draws: simple everywhere, guarded everywhere, and
    "cannot tell" at every guarded sheet. What the three earn adds up to 2, so none of them can be held lower.
    """
    says = d.one_of(("cannot tell", "inside", "outside"))
    ruled = "guarded" if says == "cannot tell" else d.one_of(("simple", "guarded"))
    low, width, uncertainty = d.decimal("9.0", "9.6", "0.1"), d.one_of((1.0, 1.2, 1.4)), d.decimal("0.20", "0.26", "0.02")
    near, clear = d.decimal("0.10", f"{uncertainty - 0.1:.2f}", "0.02"), uncertainty + d.decimal("0.10", f"{width / 2 - uncertainty:.2f}", "0.02")
    inward = says == "inside" or (says == "cannot tell" and d.one_of((True, False)))
    away = (clear if ruled == "guarded" and says != "cannot tell" else near) * (1 if inward else -1)
    reading = low + away if d.one_of(("low", "high")) == "low" else low + width - away
    return {"ruled": ruled, "low": low, "high": round(low + width, 1), "U": uncertainty, "reading": round(reading, 2)}


SIMPLE_VERDICT = ChoiceExercise(
    name="simple_verdict", title="The rule the sheet names", objectives=(2, 5), version=4,
    draw=_draw_ruled,
    work=lambda w: _by_rule(w, w.ruled),
    ask=("The sheet: {low:.1f} to {high:.1f} bar, {rule} acceptance.", READ),
    choices=VERDICTS,
    mistakes=MISJUDGED,
    hints=("Which numbers count under {rule} acceptance?", "Under {rule} acceptance {reach}."),
    working=("Under {rule} acceptance {reach}.", "{compared}. {right}"),
    boundaries=lambda w: tuple((w.reading, limit + off, 0.09) for limit in (w.low, w.high) for off in (-w.U, 0.0, w.U)),  # nor a tenth of a bar from it
)

GUARDED_VERDICT = ChoiceExercise(
    name="guarded_verdict", title="Guarded acceptance", objectives=(2, 5), version=3,
    draw=lambda d: _draw_judged(d, "0.38"),
    work=lambda w: _by_rule(w, "guarded"),
    ask=("The sheet: {low:.1f} to {high:.1f} bar, guarded acceptance with the expanded uncertainty.", READ),
    choices=VERDICTS,
    mistakes=tuple(one for one in MISJUDGED if one.name != "another rule"),
    hints=("Move both limits inward by U: a reading between them passes.", "Then move both limits outward by U: a reading beyond them fails. Anywhere else nobody can tell."),
    working=(
        "Both limits moved inward by U = {U:.2f} bar: a reading passes from {lowest:.2f} to {highest:.2f} bar. Moved outward: it fails below {below:.2f} or above {above:.2f} bar.",
        "This one is {reading:.2f} bar. {right}",
    ),
    boundaries=_limits,
)


def _probability_verdict(w: Named) -> dict[str, Any]:
    verdict = judged(w, "probability", w.required)
    likely = "inside" if verdict.probability > 0.5 else "outside"
    asked = {"to_pass": format_chance(w.required), "to_fail": format_chance(1 - w.required)}
    return {**asked, "percent": 100 * verdict.probability, "chance": verdict.chance, "likely": likely, "answer": verdict.outcome}


PROBABILITY_VERDICT = ChoiceExercise(
    name="probability_verdict", title="A stated probability", objectives=(2, 5), version=3, optional=True,
    draw=lambda d: _draw_judged(d) | {"required": d.one_of((0.9, 0.95))},
    work=_probability_verdict,
    ask=(
        "The sheet: {low:.1f} to {high:.1f} bar, the true value must lie in the band with a probability of at least {to_pass}.",
        f"{READING} The probability that the true value lies in the band is {{chance}}.",
        "What do you write down?",
    ),
    choices=VERDICTS,
    mistakes=(
        Mistake("more likely than not", lambda w: w.likely, "More likely than not is not enough: the sheet asks for its probability, for passing and for failing."),
        Mistake("less likely than not", lambda w: OTHER[w.likely] if w.answer == "cannot tell" else None, "It is less likely than not, and the sheet asks for far more."),
        Mistake("proof enough", lambda w: "cannot tell", "Compare the probability with the {to_pass} to pass and the {to_fail} to fail: it lies beyond one of them."),
        Mistake("wrong side", lambda w: OTHER.get(w.answer), "The probability is that of lying in the band, not outside."),
    ),
    hints=("It passes at {to_pass} or more.", "It fails at {to_fail} or less. In between nobody can tell."),
    working=("It passes at {to_pass} or more, and fails at {to_fail} or less.", "The probability is {chance}. {right}"),
    boundaries=lambda w: ((w.percent, 100 * w.required, 1.0), (w.percent, 100 - 100 * w.required, 1.0)),
)


ACCEPTANCE_LIMIT = QuantityExercise(
    name="acceptance_limit", title="Where acceptance ends", objectives=(2, 5), version=2,
    draw=lambda d: {"low": d.decimal("9.0", "9.8", "0.1"), "width": d.decimal("0.8", "1.2", "0.1"), "U": d.decimal("0.10", "0.24", "0.02")},
    work=lambda w: {"high": w.low + w.width, "answer": round(w.low + w.width - w.U, 2)},
    ask=(
        "A sheet asks for {low:.1f} to {high:.1f} bar under guarded acceptance. Your gauge gives U = {U:.2f} bar.",
        "What is the highest reading that passes?",
    ),
    mistakes=(
        Mistake("rounded past the limit", lambda w: math.ceil(w.answer * 10 - 1e-6) / 10 if abs(w.answer * 10 - round(w.answer * 10)) > 1e-6 else None, "Rounded up, it lies beyond where acceptance ends: a reading there would pass without its guard band. Round an upper limit down."),
        Mistake("no guard band", lambda w: w.high, "That is the limit itself, as under simple acceptance. Guarded acceptance stays U away from it."),
        Mistake("guard band outward", lambda w: w.high + w.U, "You added U. That is where failing begins. To pass, the reading must clear the limit from inside: subtract."),
        Mistake("half of it", lambda w: w.high - w.U / 2, "You subtracted the standard uncertainty. The guard band is the expanded one, U."),
        Mistake("lower end", lambda w: w.low + w.U, "That is the lowest reading that passes. The highest is asked."),
    ),
    hints=("The guard band lies inside the limit.", "It is as wide as U. Which limit is asked, and which way is inside?"),
    working="{high:.1f} bar − {U:.2f} bar = {answer:.2f} bar",
    kind="gauge pressure", relative=0.0, absolute=0.01, why="the numbers given end at a hundredth of a bar.", limit="at most",
)
