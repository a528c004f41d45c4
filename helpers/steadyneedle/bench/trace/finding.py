"""One thing that a log says of what is asked: a word, a sentence, numbers."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.bench.units import Quantity

NOT_ASKED = "not asked"
CANNOT_TELL = "cannot tell"

FAILING = ("outside", "beyond", "climbs", "falls")
PASSING = ("inside", "within", "stands")


@dataclass(frozen=True)
class TraceFinding:
    """One thing found: a word, a sentence, the value with its 95 % interval, what is allowed; None where there is none.

    The band's words are inside, outside; the rise's within, beyond; the rate's stands, climbs, falls; each may be
    "cannot tell" or "not asked". `mend` says what would decide where watching longer cannot, or nothing.
    """

    outcome: str
    because: str
    value: Quantity | None = None
    low: Quantity | None = None
    high: Quantity | None = None
    allowed: Quantity | None = None
    mend: str = ""

    @property
    def conforms(self) -> str:
        """yes, no, cannot tell or not asked."""
        if self.outcome in FAILING:
            return "no"
        return "yes" if self.outcome in PASSING else self.outcome
