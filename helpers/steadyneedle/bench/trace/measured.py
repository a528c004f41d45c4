"""A number with its 95 % interval."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Generic, TypeVar

import numpy as np

from steadyneedle.bench.units import Q, Quantity, label

Number = TypeVar("Number", float, Quantity)


@dataclass(frozen=True)
class Measured(Generic[Number]):
    """A value with its 95 % interval: floats inside, quantities at the door."""

    value: Number
    low: Number
    high: Number

    @staticmethod
    def of(sample: np.ndarray) -> Measured[float]:
        """Median, 2.5 % and 97.5 % of a sample."""
        low, middle, high = np.quantile(sample, [0.025, 0.5, 0.975])
        return Measured(float(middle), float(low), float(high))

    def in_unit(self: Measured[float], unit: str) -> Measured[Quantity]:
        """Floats as quantities.

        >>> print(Measured(0.06, 0.05, 0.07).in_unit("bar/min").low)
        0.05 bar / minute
        """
        return Measured(Q(self.value, unit), Q(self.low, unit), Q(self.high, unit))

    def as_json(self: Measured[Quantity]) -> dict[str, Any]:
        """Quantities as plain values, with the unit's label."""
        parts = {name: float(getattr(self, name).magnitude) for name in ("value", "low", "high")}
        return {**parts, "unit": label(self.value.units)}
