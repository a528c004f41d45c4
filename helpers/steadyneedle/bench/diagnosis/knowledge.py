"""What is known of a design's regulators: causes, how often each is met, and what each test shows of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class Knowledge:
    """States (one drawn regulator with one drawn gauge error each), their causes, and what every test shows of them."""

    design: str
    gauge: str
    causes: tuple[str, ...]
    prior: np.ndarray
    cause_of: np.ndarray
    within: np.ndarray
    tests: tuple[str, ...]
    outcomes: Mapping[str, tuple[str, ...]]
    likelihood: Mapping[str, np.ndarray]
