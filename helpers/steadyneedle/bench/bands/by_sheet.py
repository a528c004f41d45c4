"""A reading judged by a specification sheet: its band, its gauge, its rule; what it leaves open is said."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from steadyneedle.bench.bands.decision import Verdict, judge
from steadyneedle.bench.bands.gauges import Gauge, GaugeChoice, choose_gauge
from steadyneedle.bench.bands.specification import Band, Sheet
from steadyneedle.bench.units import Q, Quantity, format_number, formatted, label

COMMON_GAUGE = Gauge(Q(16, "bar"), 1.6, Q(0.2, "bar"))
"""Taken where a sheet names no gauge: common practice, no source."""


@dataclass(frozen=True)
class SheetVerdict:
    """A verdict, and all it was made from, in the unit of the sheet's band or the one that was asked for."""

    verdict: Verdict
    reading: Quantity
    low: Quantity
    high: Quantity
    expanded_uncertainty: Quantity
    rule: str
    choice: GaugeChoice
    notes: tuple[str, ...]


def judge_by_sheet(
    reading: Quantity,
    sheet: Sheet,
    class_percent: float | None = None,
    rule: str | None = None,
    unit: str | None = None,
    division: Quantity | None = None,
) -> SheetVerdict:
    """Whether a gauge reading conforms to a sheet.

    Parameters
    ----------
    reading : pint.Quantity
        Gauge pressure, scalar.
    sheet : Sheet
        With both limits of the intermediate pressure.
    class_percent : float or None
        Accuracy class to use in place of the sheet's, in percent of span.
    rule : str or None
        Decision rule to use in place of the sheet's.
    unit : str or None
        Unit of the verdict's sentence and numbers; None for that of the sheet's band.
    division : pint.Quantity or None
        Step in which the reading was made, above 0: a coarser one than the gauge's counts in its place.

    Returns
    -------
    SheetVerdict
        `.notes` names what the sheet leaves open and what was taken instead, and the supply the band
        is stated at.

    Raises
    ------
    ValueError
        The sheet gives no band; or as `judge` and `Gauge`.

    References
    ----------
    As `judge`; the gauge taken where none is named is common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.sheets import load_sheets
    >>> from steadyneedle.foundation import places
    >>> alder = load_sheets(places.datasets() / "sheets")["Alder"]
    >>> judge_by_sheet(Q(9.8, "bar"), alder).verdict.outcome
    'outside'
    """
    band = _band_of(sheet)
    gauge, used_rule = gauge_of(sheet, class_percent, division), rule or sheet.rule or "simple"
    required = sheet.required_probability or 0.95
    unit = str(band.low.units) if unit is None else unit
    low, high = band.low.to(unit), band.high.to(unit)
    uncertainty = gauge.expanded_uncertainty().to(unit)
    verdict = judge(reading.to(unit), low, high, uncertainty, used_rule, required)
    choice = _choice(gauge, low, high, used_rule, required)
    return SheetVerdict(
        verdict, reading.to(unit), low, high, uncertainty, used_rule, choice, _notes(sheet, class_percent, rule)
    )


def which_band(sheet: Sheet, unit: str) -> tuple[Sheet, tuple[str, ...]]:
    """A sheet with the band that it prints in a unit, and a sentence where that is not its first.

    Parameters
    ----------
    sheet : Sheet
        Any.
    unit : str
        Of the log or reading, as the registry names it.

    Returns
    -------
    tuple
        The sheet to judge by, and at most one sentence.

    References
    ----------
    Our choice: psi are compared with psi.

    Examples
    --------
    >>> from steadyneedle.bench.sheets import load_sheets
    >>> from steadyneedle.foundation import places
    >>> juniper = load_sheets(places.datasets() / "sheets")["Juniper"]
    >>> print(*which_band(juniper, str(Q(1, "psi").units))[1])
    The sheet prints 145 to 150 psi beside 9.8 to 10.2 bar: judged by 145 to 150 psi, as it is read in psi.
    """
    chosen = sheet.printed_in(unit)
    if chosen is sheet or sheet.band is None or chosen.band is None:
        return sheet, ()
    one, other = (
        f"{format_number(band.low.magnitude)} to {formatted(band.high)}" for band in (chosen.band, sheet.band)
    )
    return chosen, (
        f"The sheet prints {one} beside {other}: judged by {one}, as it is read in {label(Q(1, unit).units)}.",
    )


def _band_of(sheet: Sheet) -> Band:
    if sheet.band is None:
        raise ValueError(
            f"The sheet of {sheet.name} gives no band of intermediate pressure. Fill in ip_low and ip_high."
        )
    return sheet.band


@lru_cache(maxsize=256)  # a panel asks at every position of the needle, and band and gauge stay the same
def _choice(gauge: Gauge, low: Quantity, high: Quantity, rule: str, required: float) -> GaugeChoice:
    return choose_gauge(gauge, low, high, rule, required)


def gauge_of(sheet: Sheet, class_percent: float | None = None, division: Quantity | None = None) -> Gauge:
    """The gauge a sheet names, or one as common as what it leaves out.

    Parameters
    ----------
    sheet : Sheet
        Whatever it says of its gauge.
    class_percent : float or None
        Accuracy class to use in place of the sheet's, in percent of span.
    division : pint.Quantity or None
        Step in which a reading was made, above 0: a coarser one than the gauge's counts in its place.

    Returns
    -------
    Gauge
        Complete.

    References
    ----------
    What stands for a gauge that is not named: common practice, no source.

    Examples
    --------
    >>> print(gauge_of(Sheet("any")).division)
    0.2 bar
    >>> print(formatted(gauge_of(Sheet("any"), division=Q(1, "bar")).expanded_uncertainty(), 2))
    0.65 bar
    """
    gauge = _own_gauge(sheet, class_percent)
    if division is None or division <= gauge.division:
        return gauge
    return Gauge(gauge.span, gauge.class_percent, min(division, gauge.span))


def _own_gauge(sheet: Sheet, class_percent: float | None) -> Gauge:
    own = sheet.gauge()
    if own is not None and class_percent is None:
        return own
    span = COMMON_GAUGE.span if sheet.gauge_span is None else sheet.gauge_span
    # 80 divisions on a scale, as the common gauge has
    division = span / 80 if sheet.gauge_division is None else sheet.gauge_division
    named = COMMON_GAUGE.class_percent if sheet.gauge_class is None else float(sheet.gauge_class.magnitude)
    return Gauge(span, named if class_percent is None else class_percent, division)


def _notes(sheet: Sheet, class_percent: float | None, rule: str | None) -> tuple[str, ...]:
    notes = []
    if sheet.gauge() is None:
        gauge = gauge_of(sheet, class_percent)
        notes.append(
            f"The sheet does not name its gauge in full: taken as 0 to {formatted(gauge.span)}, "
            f"class {gauge.class_percent:g}, division {formatted(gauge.division)}."
        )
    if sheet.rule is None and rule is None:
        notes.append("The sheet names no rule: taken as simple acceptance.")
    if sheet.supply is not None:
        notes.append(f"The band holds at {formatted(sheet.supply)} supply.")
    return tuple(notes)
