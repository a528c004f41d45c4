"""Lesson 03: specification bands, the gauge's error, decision rules."""

from __future__ import annotations

from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
from steadyneedle.bench.bands.gauges import choose_gauge
from steadyneedle.questions.bank.bands_gauges import (
    CHOOSE_A_CLASS,
    LARGEST_ERROR,
    LAST_DIGIT,
    READING_UNCERTAINTY,
    ROUND_INWARD,
)
from steadyneedle.questions.bank.bands_verdicts import (
    ACCEPTANCE_LIMIT,
    GUARDED_VERDICT,
    PROBABILITY_VERDICT,
    RISE_A_MINUTE,
    SIMPLE_VERDICT,
    STATED_SUPPLY,
)
from steadyneedle.questions.exercise import Plan, Prediction
from steadyneedle.questions.pressures import bar


def _predictions() -> tuple[Prediction, ...]:
    choice = choose_gauge(COMMON_GAUGE, bar(9.8), bar(10.2))
    return (
        Prediction(
            "marks", "A division is 0.5 bar. How well can you read the needle at best?",
            ("to 0.01 bar", "to about 0.1 bar, a fifth of a division", "to 0.5 bar only"),
            "To about a fifth of a division, here 0.1 bar. Say so when you write it down.",
        ),
        Prediction(
            "verdict", "The needle stands at 10.1 bar, the band is 9.8 to 10.2 bar. Does it pass?",
            ("yes, it is in the band", "no", "it depends on the gauge and on the rule"),
            f"It depends. Under simple acceptance it passes. Under guarded acceptance with a class 1.6 gauge, U = {COMMON_GAUGE.expanded_uncertainty().magnitude:.2f} bar: {choice.because}",
        ),
        Prediction(
            "risk", "You add a guard band, so that fewer bad regulators pass. What happens to the good ones?",
            ("nothing", "more of them fail", "fewer of them fail"),
            "More of them fail. A guard band trades one risk for the other; only a better gauge lowers both.",
        ),
        Prediction(
            "readings", "Fifteen people read the same needle, one after the other. What do you get?",
            ("fifteen equal readings", "readings that scatter by a part of a division", "readings that scatter by several divisions"),
            "They scatter by a part of a division. The mean is better than one reading, but it cannot mend a gauge that reads high.",
        ),
    )  # fmt: skip


def plan() -> Plan:
    """Lesson 03."""
    return Plan(
        number="03",
        title="Specification bands",
        minutes="60 to 90",
        objectives=(
            "Read a specification sheet: a band at a stated supply, an allowed rise over a time.",
            "Say inside, outside or cannot tell with this gauge.",
            "Choose a gauge good enough for a band.",
            "Round a limit and a reading without cheating.",
            "State the decision rule you used.",
        ),
        exercises=(
            LAST_DIGIT, STATED_SUPPLY, RISE_A_MINUTE, LARGEST_ERROR, READING_UNCERTAINTY, SIMPLE_VERDICT, GUARDED_VERDICT,
            PROBABILITY_VERDICT, ACCEPTANCE_LIMIT, CHOOSE_A_CLASS, ROUND_INWARD,
        ),
        predictions=_predictions(),
        warm_up=(("01", "psi_to_bar"), ("02", "supply_way"), ("02", "ip_at_low_supply")),
    )  # fmt: skip
