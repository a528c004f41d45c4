"""What a bench asks for each test: minutes, whether it opens the stage, and which tests are watches or listening."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from steadyneedle.bench.diagnosis.examination_list import examinations, price

OPENING = 30.0
"""min in the weight of a test that ends the untouched state: what was as it came in can never be seen again (ours)."""

MOST = 2
"""So often a test is advised; what two readings do not tell, a third seldom does (ours)."""

SEEN_FIRST = {"land_scratched": "loupe_land"}
"""Nobody gives up a body by reasoning alone: the mark on it is seen first. Common practice, no source."""

LISTENED = ("listen", "soap_chamber", "soap_rim", "soap_hose", "soap_mouth", "immerse")
"""What finds a leak to the outside on a stage that is closed."""

WATCHED = ("watch_full", "watch_low", "blank", "cycles", "next_day")
"""A watch of the needle, long enough to call a creep a creep."""


@dataclass(frozen=True)
class Workbench:
    """`minutes` of a test after those done; tests that open the stage, that watch the needle, that listen for leaks;
    `seen_first`: for some causes the look that comes before one is sure of them."""

    minutes: Callable[[str, Sequence[str]], float]
    opens: frozenset[str] = frozenset()
    watches: tuple[str, ...] = ()
    listens: tuple[str, ...] = ()
    seen_first: Mapping[str, str] = field(default_factory=dict)

    def ends_untouched(self, test: str, done: Sequence[str]) -> bool:
        """Whether a test opens a stage that nobody has opened yet."""
        return test in self.opens and self.opens.isdisjoint(done)

    def weight(self, test: str, done: Sequence[str]) -> float:
        """Minutes of a test, and `OPENING` more where it ends the untouched state; inf where done often enough."""
        if list(done).count(test) >= MOST:
            return math.inf
        return self.minutes(test, done) + (OPENING if self.ends_untouched(test, done) else 0.0)


@cache
def workbench(design: str) -> Workbench:
    """The bench on which a design is tested.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    Workbench
        With the minutes of `datasets/diagnosis/tests.csv`.

    Raises
    ------
    ValueError
        There is no such design; the sentence names those there are.

    References
    ----------
    Invented minutes; which test opens what is common practice, no source.

    Examples
    --------
    >>> bench = workbench("Juniper")
    >>> bench.weight("tap", []), bench.weight("look_seat", []), bench.weight("look_seat", ["loupe_edge"])
    (1.0, 45.0, 3.0)
    """
    here = examinations(design)
    keys = {one.key for one in here}
    return Workbench(
        minutes=_minutes,
        opens=frozenset(one.key for one in here if one.opens),
        watches=tuple(key for key in WATCHED if key in keys),
        listens=tuple(key for key in LISTENED if key in keys),
        seen_first={cause: test for cause, test in SEEN_FIRST.items() if test in keys},
    )


def _minutes(test: str, done: Sequence[str]) -> float:
    return price(test, done).minutes
