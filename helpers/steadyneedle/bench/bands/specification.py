"""What a specification sheet says of one regulator."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from steadyneedle.bench.bands.gauges import Gauge
from steadyneedle.bench.units import Quantity


@dataclass(frozen=True)
class Band:
    """A band of intermediate pressure as printed, in one unit."""

    low: Quantity
    high: Quantity


@dataclass(frozen=True)
class Sheet:
    """What a specification sheet says of one regulator; None where it says nothing.

    Quantities carry the unit of their column.
    """

    name: str
    ip_low: Quantity | None = None
    ip_high: Quantity | None = None
    supply: Quantity | None = None
    allowed_rise: Quantity | None = None
    rise_time: Quantity | None = None
    purges: int | None = None
    second_stage_opens: Quantity | None = None
    cracking_low: Quantity | None = None
    cracking_high: Quantity | None = None
    exhalation_max: Quantity | None = None
    flow: Quantity | None = None
    droop: Quantity | None = None
    torque: Quantity | None = None
    gauge_span: Quantity | None = None
    gauge_class: Quantity | None = None
    gauge_division: Quantity | None = None
    rule: str | None = None
    required_probability: float | None = None
    source: str = ""
    printed_bands: tuple[Band, ...] = ()
    warnings: tuple[str, ...] = field(default=(), compare=False)

    @property
    def has_band(self) -> bool:
        """Whether both limits of the intermediate pressure are there."""
        return self.band is not None

    @property
    def band(self) -> Band | None:
        """The limits of the intermediate pressure, each in the unit of its column; None unless both are there."""
        if self.ip_low is None or self.ip_high is None:
            return None
        return Band(self.ip_low, self.ip_high)

    def gauge(self) -> Gauge | None:
        """The gauge the sheet asks for; None unless span, class and division are all there."""
        if self.gauge_span is None or self.gauge_class is None or self.gauge_division is None:
            return None
        return Gauge(self.gauge_span, float(self.gauge_class.magnitude), self.gauge_division)

    def rise_limit(self) -> Quantity | None:
        """Allowed rise over its time, as a pressure rate; None unless both are there."""
        if self.allowed_rise is None or self.rise_time is None:
            return None
        return self.allowed_rise / self.rise_time


class Sheets(dict[str, Sheet]):
    """Sheets by name, upper and lower case alike."""

    def __missing__(self, name: str) -> Sheet:
        for known in self:
            if known.casefold() == str(name).casefold():
                return self[known]
        raise KeyError(name)

    def __contains__(self, name: object) -> bool:
        return any(known.casefold() == str(name).casefold() for known in self)

    def get(self, name: str, default: Any = None) -> Any:
        """The sheet of that name, or `default`."""
        return self[name] if name in self else default  # noqa: SIM401 (dict.get knows no __missing__)
