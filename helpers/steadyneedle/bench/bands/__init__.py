"""The door to bands: a reading, a band and a rule end in a verdict."""

from steadyneedle.bench.bands.decision import (
    COVERAGE,
    RULE_WORDS,
    RULES,
    Verdict,
    judge,
    probability_inside,
)
from steadyneedle.bench.bands.written_numbers import format_chance

__all__ = ["COVERAGE", "RULES", "RULE_WORDS", "Verdict", "format_chance", "judge", "probability_inside"]
