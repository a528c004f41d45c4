"""A bench of five causes and six tests, small enough to be searched to its end. All of it is invented.

Examples and tests are about it: what the advice costs beside the best that any advice could cost is known here exactly.
"""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.diagnosis.knowledge import Knowledge

MINUTES = {"listen": 2.0, "soap": 5.0, "watch": 6.0, "shut": 4.0, "new_seat": 25.0, "look": 40.0}

_CAUSES = ("sound", "seat", "seal", "grit", "gauge")
_PRIOR = (0.2, 0.3, 0.2, 0.15, 0.15)
_OUTCOMES = {
    "listen": ("hiss", "quiet"),
    "soap": ("bubbles", "none"),
    "watch": ("stands", "climbs", "jumps"),
    "shut": ("holds", "falls"),
    "new_seat": ("stands", "the same"),
    "look": ("nothing", "cut", "crumb", "ring"),
}
_SHOWN = {  # two severities of each cause, slight and gross, a row each
    "listen": ((2, 98), (2, 98), (5, 95), (5, 95), (40, 60), (90, 10), (5, 95), (5, 95), (5, 95), (5, 95)),
    "soap": ((1, 99), (1, 99), (2, 98), (2, 98), (75, 25), (98, 2), (2, 98), (2, 98), (10, 90), (20, 80)),
    "watch": (
        (94, 4, 2), (92, 6, 2), (40, 57, 3), (5, 92, 3), (90, 7, 3), (85, 12, 3), (45, 35, 20), (20, 50, 30),
        (50, 10, 40), (20, 10, 70),
    ),
    "shut": ((95, 5), (95, 5), (93, 7), (93, 7), (60, 40), (15, 85), (93, 7), (93, 7), (70, 30), (55, 45)),
    "new_seat": ((96, 4), (96, 4), (95, 5), (95, 5), (90, 10), (85, 15), (93, 7), (85, 15), (55, 45), (30, 70)),
    "look": (
        (95, 2, 2, 1), (95, 2, 2, 1), (50, 46, 2, 2), (10, 86, 2, 2), (30, 2, 2, 66), (5, 2, 2, 91), (30, 3, 65, 2),
        (8, 3, 87, 2), (94, 2, 2, 2), (94, 2, 2, 2),
    ),
}  # fmt: skip

TOY = Knowledge(
    design="a toy",
    gauge="fine",
    causes=_CAUSES,
    prior=np.array(_PRIOR),
    cause_of=np.repeat(np.arange(5), 2),
    within=np.tile([0.6, 0.4], 5),
    tests=tuple(_OUTCOMES),
    outcomes=_OUTCOMES,
    likelihood={test: np.array(rows) / 100 for test, rows in _SHOWN.items()},
)
