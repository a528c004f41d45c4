"""A bench of five causes and six tests, small enough to be searched to its end. All of it is invented.

Examples and tests are about it: what the advice costs beside the best that any advice could cost is known here exactly.
"""

from __future__ import annotations

import numpy as np

from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.workbench import Workbench

MINUTES = {"listen": 1.0, "soap": 3.0, "tap": 1.0, "watch": 9.0, "new_seat": 30.0, "look": 18.0}

_CAUSES = ("sound", "seat", "seal", "grit", "gauge")
_PRIOR = (0.2, 0.3, 0.2, 0.15, 0.15)
_OUTCOMES = {
    "listen": ("hiss", "quiet"),
    "soap": ("bubbles", "none"),
    "tap": ("jumps", "stays"),
    "watch": ("stands", "climbs", "comes and goes"),
    "new_seat": ("stands", "the same"),
    "look": ("nothing", "cut", "crumb"),
}
_SHOWN = {  # per cent, for two severities of each cause, slight and gross, a row each
    "listen": ((1, 99), (1, 99), (1, 99), (1, 99), (20, 80), (95, 5), (1, 99), (1, 99), (2, 98), (2, 98)),
    "soap": ((1, 99), (1, 99), (1, 99), (1, 99), (95, 5), (98, 2), (1, 99), (1, 99), (1, 99), (1, 99)),
    "tap": ((2, 98), (2, 98), (2, 98), (2, 98), (2, 98), (2, 98), (2, 98), (2, 98), (80, 20), (97, 3)),
    "watch": (
        (97, 2, 1), (95, 4, 1), (30, 69, 1), (2, 97, 1), (96, 3, 1), (95, 4, 1), (40, 30, 30), (5, 45, 50),
        (60, 10, 30), (40, 10, 50),
    ),
    "new_seat": ((98, 2), (97, 3), (97, 3), (97, 3), (96, 4), (95, 5), (90, 10), (70, 30), (60, 40), (40, 60)),
    "look": (
        (98, 1, 1), (98, 1, 1), (40, 59, 1), (5, 94, 1), (98, 1, 1), (98, 1, 1), (10, 1, 89), (3, 1, 96), (98, 1, 1),
        (98, 1, 1),
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

TOY_BENCH = Workbench(lambda test, done: MINUTES[test])
"""Nothing on it is weighed but minutes."""
