"""What in a specification sheet is no error and yet looks odd: a word to who wrote it."""

from __future__ import annotations

from collections.abc import Iterator

from steadyneedle.bench.bands.gauges import choose_gauge
from steadyneedle.bench.bands.specification import Band, Sheet
from steadyneedle.bench.units import Q, Quantity, format_number, formatted, label

USUAL_IP = (3.0, 25.0)
"""bar; an intermediate pressure stands between (common practice, no source; wide on purpose)."""

NARROWEST = 0.1
"""bar; a band is wider (common practice, no source)."""

USUAL: dict[str, tuple[str, str, float, float]] = {
    # what -> words, unit, least and most that anybody prints (common practice, no source; wide on purpose)
    "supply": ("a supply", "bar", 30.0, 400.0),
    "allowed_rise": ("an allowed rise", "bar", 0.0, 1.5),
    "rise_time": ("a time for the rise", "min", 0.2, 240.0),
    "cracking_low": ("a cracking effort", "mbar", 0.0, 25.0),
    "cracking_high": ("a cracking effort", "mbar", 0.5, 25.0),
    "exhalation_max": ("an exhalation effort", "mbar", 0.2, 50.0),
    "flow": ("a flow", "L/min", 5.0, 5000.0),
    "torque": ("a torque", "N m", 0.2, 150.0),
    "second_stage_opens": ("an opening of the second stage", "bar", 4.0, 60.0),
    "gauge_span": ("a gauge's span", "bar", 4.0, 100.0),
    "gauge_class": ("a gauge's class", "percent", 0.05, 5.0),
}


def notes_of(sheet: Sheet) -> Iterator[str]:
    """What of a sheet looks odd, a sentence each.

    Parameters
    ----------
    sheet : Sheet
        As it was read.

    Returns
    -------
    iterator of str
        Each begins with the sheet's name.

    References
    ----------
    Common practice, no source; a band at a stated supply likewise.

    Examples
    --------
    >>> next(notes_of(Sheet("Ours", ip_low=Q(135, "bar"), ip_high=Q(145, "bar"))))
    'Ours: the intermediate pressure is 135 to 145 bar, and about 10 bar is usual. Is this psi?'
    """
    for sentence in (*_on_units(sheet), *_on_bands(sheet), *_on_doubles(sheet), *_on_gauge(sheet), *_on_gaps(sheet)):
        yield f"{sheet.name}: {sentence}"


def _on_units(sheet: Sheet) -> Iterator[str]:
    """Numbers that would make sense in another unit."""
    limits = [one for one in (sheet.ip_low, sheet.ip_high) if one is not None]
    odd = [one for one in limits if not USUAL_IP[0] <= one.to("bar").magnitude <= USUAL_IP[1]]
    if odd:
        shown = _words(Band(limits[0], limits[-1])) if len(limits) == 2 else formatted(limits[0])
        meant = [
            unit
            for unit in ("bar", "psi", "kPa", "MPa", "mbar")
            if unit != label(odd[0].units)
            and all(7 <= Q(one.magnitude, unit).to("bar").magnitude <= 14 for one in limits)
        ]
        more = f" Is this {meant[0]}?" if meant else " Check the unit, and the decimal mark."
        yield f"the intermediate pressure is {shown}, and about 10 bar is usual.{more}"
    for what, (words, unit, least, most) in USUAL.items():
        value = getattr(sheet, what)
        if value is not None and not least <= value.to(unit).magnitude <= most:
            yield f"{words} of {formatted(value)} is unusual. Check the unit, and the decimal mark."


def _on_bands(sheet: Sheet) -> Iterator[str]:
    bands, band = sheet.printed_bands, sheet.band
    if band is not None and (band.high - band.low).to("bar").magnitude < NARROWEST * (1 - 1e-9):
        wide = formatted((band.high - band.low).to("bar"))
        yield f"the band {_words(band)} is only {wide} wide. Check the unit, and the decimal mark."
    for other in bands[1:]:
        yield from _beside(bands[0], other)
    if (sheet.ip_low is None) != (sheet.ip_high is None):
        there, missing = ("low", "high") if sheet.ip_high is None else ("high", "low")
        yield f"only the {there} limit of the intermediate pressure is there. A band needs ip_{missing} too."
    if band is not None and not bands:
        low, high = (label(one.units) for one in (band.low, band.high))
        read = _words(Band(band.low, band.high.to(band.low.units)))
        yield f"the low limit is in {low} and the high one in {high}: the band is read as {read}."
    opens, droop = sheet.second_stage_opens, sheet.droop
    top = sheet.ip_high if sheet.ip_high is not None else sheet.ip_low
    if opens is not None and top is not None and opens <= top:
        yield f"the second stage opens at {formatted(opens)}, within the band or below it, so it would free flow."
    if droop is not None and top is not None and droop >= 0.7 * top:
        yield f"a droop of {formatted(droop)} leaves hardly any of an intermediate pressure of {formatted(top)}."


def _beside(one: Band, other: Band) -> Iterator[str]:
    """Two bands of one sheet that do not say the same."""
    low, high = other.low.to(one.low.units), other.high.to(one.high.units)
    tolerance = 0.002 * one.high.magnitude
    if abs(low - one.low).magnitude <= tolerance and abs(high - one.high).magnitude <= tolerance:
        return
    read = f"the band {_words(other)} is {format_number(low.magnitude)} to {formatted(high)}"
    if high < one.low or low > one.high:
        yield f"{read} and does not overlap the band {_words(one)} beside it. One of them is mistyped."
    else:
        yield f"{read}, {_compare(one, low, high)} the band {_words(one)} beside it. Lessons use {_words(one)}."


def _on_doubles(sheet: Sheet) -> Iterator[str]:
    """What stands in the sheet in two units that do not say the same."""
    for what, one, other in sheet.contradictions:
        words = "time for the rise" if what == "rise" else what.replace("_", " ").replace("ip ", "IP ")
        yield (
            f"the {words} is {formatted(one)}, and {formatted(other)} beside it is {formatted(other.to(one.units))}. "
            f"One of them is mistyped. Lessons use {formatted(one)}."
        )


def _on_gauge(sheet: Sheet) -> Iterator[str]:
    band, span, division = sheet.band, sheet.gauge_span, sheet.gauge_division
    if span is not None and sheet.ip_high is not None and span <= sheet.ip_high:
        yield f"a gauge of {formatted(span)} is too short for a band up to {formatted(sheet.ip_high)}."
        return
    if span is not None and division is not None and division > span / 5:
        yield f"divisions of {formatted(division)} on a gauge of {formatted(span)} are unusual."
    gauge, rule = sheet.gauge(), sheet.rule or "simple"
    if gauge is None or band is None or rule == "simple":
        return
    low, high = band.low, band.high.to(band.low.units)
    choice = choose_gauge(gauge, low, high, rule, sheet.required_probability or 0.95)
    if not choice.can_pass:
        yield f"no reading of this gauge can ever pass under the rule '{rule}'. {choice.remedy}"


def _on_gaps(sheet: Sheet) -> Iterator[str]:
    if sheet.rule == "probability" and sheet.required_probability is None:
        yield "the rule is probability and no required_probability is there: taken as 0.95."
    if (sheet.allowed_rise is None) != (sheet.rise_time is None):
        there, missing = (
            ("allowed_rise", "rise_minutes") if sheet.rise_time is None else ("rise_minutes", "allowed_rise")
        )
        yield f"{there} stands without {missing}, so no rise is judged by it."
    if sheet.ip_low is not None and sheet.supply is None:
        yield "the band names no supply pressure. A band holds at a stated supply."
    if not sheet.source:
        yield "no source. Write which manual and edition the numbers are from."


def _words(band: Band) -> str:
    if band.low.units != band.high.units:
        return f"{formatted(band.low)} to {formatted(band.high)}"
    return f"{format_number(band.low.magnitude)} to {formatted(band.high)}"


def _compare(one: Band, low: Quantity, high: Quantity) -> str:
    if high - low > (one.high - one.low) * 1.001 and not (low > one.low and high > one.high):
        return "wider than"
    if low > one.low and high > one.high:
        return "higher than"
    if low < one.low and high < one.high:
        return "lower than"
    return "not the same as"
