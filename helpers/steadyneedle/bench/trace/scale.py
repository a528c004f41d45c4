"""The unit in which a verdict speaks: every pressure and rate of its sentences and numbers is written here."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from steadyneedle.bench.trace.log_columns import bar_per
from steadyneedle.bench.units import Q, Quantity, format_number, formatted, read_quantity
from steadyneedle.foundation.text_files import printable

if TYPE_CHECKING:
    from steadyneedle.bench.trace.estimate import Range

FINEST, COARSE = 3, 1
"""Decimals of a bar with which a converted limit is written at most, and a stop, which nobody reads so finely."""


@dataclass(frozen=True)
class Scale:
    """A unit of pressure as the registry knows it, and bar for each of it; the judge itself reckons in bar."""

    unit: str = "bar"
    bar: float = 1.0

    @classmethod
    def of(cls, unit: str) -> Scale:
        """The scale of a unit as a technician types it.

        Parameters
        ----------
        unit : str
            Of gauge pressure, for example psi or psig.

        Returns
        -------
        Scale
            In that unit.

        Raises
        ------
        ValueError
            An unknown unit.

        Examples
        --------
        >>> Scale.of("psig").pressure(9.6, 2), Scale.of("kPa").rate(0.05, 3)
        ('139.2 psi', '5.0 kPa/min')
        """
        bar = bar_per(unit)
        if bar is None:
            raise ValueError(f"Unknown unit '{printable(unit)}' of pressure. Type for example bar, psi or kPa.")
        return cls(str(read_quantity(f"1 {unit}", "gauge pressure").units), bar)

    def decimals(self, of_bar: int) -> int:
        """Decimals that tell about as much in this unit as so many do in bar: 1 in psi for 2 in bar."""
        return max(0, of_bar + round(math.log10(self.bar)))

    def pressure(self, bar: float, of_bar: int) -> str:
        """A pressure [bar] in words."""
        return formatted(self.as_pressure(bar), self.decimals(of_bar))

    def rate(self, bar_per_min: float, of_bar: int) -> str:
        """A rate [bar/min] in words."""
        return formatted(self.as_rate(bar_per_min), self.decimals(of_bar))

    def limit(self, bar: float) -> str:
        """A limit [bar] in words, with no more decimals than it needs."""
        return self._as_short(bar, FINEST)

    def stop(self, bar: float) -> str:
        """A pressure [bar] at which to stop, in words."""
        return self._as_short(bar, COARSE)

    def pressures(self, low: float, high: float, of_bar: int) -> str:
        """Words for an interval of pressure, both ends in bar: between ... and ..."""
        return f"between {self.pressure(low, of_bar)} and {self.pressure(high, of_bar)}"

    def rates(self, low: float, high: float, of_bar: int) -> str:
        """Words for an interval of rate, both ends in bar/min."""
        return f"between {self.rate(low, of_bar)} and {self.rate(high, of_bar)}"

    def about(self, bar: float, figures: int = 3) -> str:
        """A pressure [bar] in words, to so many figures."""
        return formatted(Q(float(f"{bar / self.bar:.{figures}g}"), self.unit))

    def as_pressure(self, bar: float) -> Quantity:
        """A pressure [bar] as a quantity."""
        return Q(bar / self.bar, self.unit)

    def as_pressures(self, one: Range) -> tuple[Quantity, Quantity, Quantity]:
        """A range of pressures [bar] as quantities: the value, the low and the high end of its 95 % interval."""
        return self.as_pressure(one.value), self.as_pressure(one.low), self.as_pressure(one.high)

    def as_rate(self, bar_per_min: float) -> Quantity:
        """A rate [bar/min] as a quantity."""
        return Q(bar_per_min / self.bar, f"{self.unit}/min")

    def _as_short(self, bar: float, most: int) -> str:
        if self.bar == 1:  # as the sheet has it
            return formatted(Q(bar, self.unit))
        return formatted(Q(float(format_number(bar / self.bar, self.decimals(most))), self.unit))


BAR = Scale()
