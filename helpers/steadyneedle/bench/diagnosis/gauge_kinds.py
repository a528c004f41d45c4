"""The gauges that jobs have, and the sheet of a design as read with one of them."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cache

from steadyneedle.bench.bands.sheet_files import load_sheets
from steadyneedle.bench.bands.specification import Sheet
from steadyneedle.bench.bands.stopping import stop_of
from steadyneedle.bench.units import Q
from steadyneedle.foundation import datasets, places
from steadyneedle.physics.si import BAR

GAUGES = ("fine", "coarse")

EXAMPLE = "sheets/example"
"""The sheets that ship, below `datasets`."""


@dataclass(frozen=True)
class GaugeKind:
    """A gauge of a job: span, division and noise of a reading [Pa], class [% of span]."""

    key: str
    name: str
    span: float
    class_percent: float
    division: float
    noise: float

    @property
    def permitted(self) -> float:
        """The most that its class lets it be wrong [Pa]."""
        return self.class_percent / 100 * self.span


@cache
def gauge_kind(key: str) -> GaugeKind:
    """The gauge of that key.

    Parameters
    ----------
    key : str
        "fine" or "coarse".

    Returns
    -------
    GaugeKind
        Its span, class and division.

    Raises
    ------
    ValueError
        There is no such gauge; the sentence names those there are.

    References
    ----------
    `datasets/diagnosis/gauges.csv`: invented; classes as EN 837-1:1996.

    Examples
    --------
    >>> round(gauge_kind("fine").permitted / BAR, 3)
    0.096
    """
    columns = datasets.table("diagnosis/gauges", ("span_bar", "class_percent", "division_bar", "noise_bar"))
    if key not in columns["gauge"]:
        raise ValueError(f"There is no gauge '{key}'; there are {', '.join(columns['gauge'])}.")
    at = columns["gauge"].index(key)
    span, division, noise = (columns[name][at] * BAR for name in ("span_bar", "division_bar", "noise_bar"))
    return GaugeKind(key, columns["name"][at], span, columns["class_percent"][at], division, noise)


@cache
def sheet_for(design: str, gauge: str) -> Sheet:
    """The example sheet of a design, with the gauge that is at hand in place of the one it asks for.

    Parameters
    ----------
    design, gauge : str
        Names.

    Returns
    -------
    Sheet
        Invented figures.

    Raises
    ------
    ValueError
        There is no such design or gauge.

    References
    ----------
    `datasets/sheets/example.csv`: invented.

    Examples
    --------
    >>> print(sheet_for("Juniper", "coarse").gauge_division)
    0.2 bar
    """
    kind = gauge_kind(gauge)
    sheets = load_sheets(places.datasets() / f"{EXAMPLE}.csv")
    if design not in sheets:
        raise ValueError(f"There is no first stage '{design}'; there are {', '.join(sheets)}.")
    return dataclasses.replace(
        sheets[design], gauge_span=Q(kind.span / BAR, "bar"), gauge_class=Q(kind.class_percent, "percent"),
        gauge_division=Q(kind.division / BAR, "bar"),
    )  # fmt: skip


@cache
def stop_reading(design: str, gauge: str) -> float:
    """The reading at which a watch of this design on this gauge ends [Pa].

    Parameters
    ----------
    design, gauge : str
        Names.

    Returns
    -------
    float
        Pressure over ambient [Pa].

    Raises
    ------
    ValueError
        As `sheet_for`.

    References
    ----------
    As `bands.stopping.stop_of`.

    Examples
    --------
    >>> stop_reading("Juniper", "fine") / BAR
    12.0
    """
    return float(stop_of(sheet_for(design, gauge)).reading.to("bar").magnitude) * BAR
