"""What a specification sheet says of one regulator."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

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

    Quantities carry the unit of their column. `contradictions` holds what is printed in two units that do not say
    the same: what, the quantity that counts, the other.
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
    contradictions: tuple[tuple[str, Quantity, Quantity], ...] = field(default=(), compare=False)
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

    def printed_in(self, unit: str) -> Sheet:
        """The same sheet with the band that it prints in a unit, named as in the registry; itself where it prints none.

        A technician compares psi with psi: two bands side by side need not be the same.
        """
        bands = self.printed_bands if self.band in self.printed_bands else ()
        for band in bands:
            if str(band.low.units) == unit != str(getattr(self.ip_low, "units", unit)):
                return replace(self, ip_low=band.low, ip_high=band.high)
        return self

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


class Sheets(Mapping[str, Sheet]):
    """Sheets by name, upper and lower case alike, in the order they were entered.

    A sheet may be entered as a function that makes it: of thousands in a file a lesson asks for a few.
    """

    def __init__(self) -> None:
        self._sheets: dict[str, Sheet | Callable[[int], Sheet]] = {}
        self._names: dict[str, str] = {}
        self._places: dict[str, int] = {}

    def enter(self, name: str, sheet: Sheet) -> bool:
        """Enter a sheet; False where one of that name is there."""
        if name.casefold() in self._names:
            return False
        self._names[name.casefold()] = name
        self._sheets[name] = sheet
        return True

    def enter_all(self, names: Sequence[str], make: Callable[[int], Sheet]) -> bool:
        """Enter sheets that `make` makes by their place among the names; False where a name is there twice."""
        folded = [name.casefold() for name in names]
        if len(set(folded)) < len(folded) or not self._names.keys().isdisjoint(folded):
            return False
        self._names.update(zip(folded, names, strict=True))
        self._sheets.update(dict.fromkeys(names, make))
        self._places.update(zip(names, range(len(names)), strict=True))
        return True

    def __getitem__(self, name: str) -> Sheet:
        known = self._names.get(str(name).casefold())
        if known is None:
            raise KeyError(name)
        found = self._sheets[known]
        if not isinstance(found, Sheet):
            found = self._sheets[known] = found(self._places[known])
        return found

    def __contains__(self, name: object) -> bool:
        return str(name).casefold() in self._names

    def __iter__(self) -> Iterator[str]:
        return iter(self._sheets)

    def __len__(self) -> int:
        return len(self._sheets)
