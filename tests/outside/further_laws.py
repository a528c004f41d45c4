"""Laws of logs chosen after the estimator was finished, by somebody else: see `wide_laws.LAWS` for what a law is.

A law is a function of random numbers and times [s] that gives what the needle does beside level and straight climb [bar].
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

FURTHER_LAWS: dict[str, Callable[[np.random.Generator, np.ndarray], np.ndarray]] = {}
