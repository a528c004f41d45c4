"""Sentences of lesson 03 whose numbers come from the sheets in use and from the calculation."""

from __future__ import annotations

import math
from functools import partial

from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
from steadyneedle.bench.sheets import Sheet
from steadyneedle.bench.units import label
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.bands import (
    RULE_LABELS,
    band_in_words,
    decimals_in,
    gauge_of,
    leading_sheet,
    spread_of,
)
from steadyneedle.teaching.panels.offered import Makers, SheetLoader

LEAST_COVERED = 1 - (2 - math.sqrt(8 / 3)) ** 2 / 4
"""Of two rectangular errors, by U = 2 u: least where both are equal."""


def _band(preferences: Preferences, sheet: Sheet) -> str:
    band = sheet.band
    if band is None:
        raise ValueError(f"The sheet of {sheet.name} gives no band.")
    return band_in_words(preferences, band)


def in_use_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """Which sheet the figures and questions of the lesson begin with."""
    sheet = leading_sheet(sheets())
    supply = f" at {preferences.format(sheet.supply)} of supply" if sheet.supply is not None else ""
    rule = f", under {RULE_LABELS[sheet.rule]}" if sheet.rule in RULE_LABELS else ""
    rise = ""
    if sheet.allowed_rise is not None and sheet.rise_time is not None:
        rise = (
            f" A rise of {preferences.format(sheet.allowed_rise)} in {preferences.format(sheet.rise_time)} is allowed"
        )
        rise += f" after {sheet.purges} purges." if sheet.purges else "."
    return (
        f"The figures and questions below begin with {sheet.name}: {_band(preferences, sheet)}{supply}{rule}.{rise} "
        f"Source: {sheet.source or 'not given'}. Exercises have invented numbers of their own.",
    )


def warnings_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """What looks odd in the sheets, the sentences that `steadyneedle sheets` prints."""
    found = [f"- {preferences.localise(one)}" for sheet in sheets().values() for one in sheet.warnings]
    if not found:
        return ("Nothing in these sheets looks odd.",)
    return ("The workbook has read these sheets and has questions about them. Ask whoever wrote the sheet:", *found)


def class_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """What the class of the sheet's gauge means."""
    gauge = gauge_of(leading_sheet(sheets()))
    percent = preferences.number(gauge.class_percent)
    most = gauge.span * gauge.class_percent / 100
    return (
        f"A gauge of class {percent} may be wrong by {percent} % **of its span**, anywhere on its scale. "
        f"A gauge from 0 to {preferences.format(gauge.span)} of this class may be wrong by {preferences.format(most, 3)}.",
    )


def coverage_note(preferences: Preferences) -> tuple[str, ...]:
    """What U covers."""
    least = preferences.number(math.floor(1000 * LEAST_COVERED) / 10, 1)
    return (
        "Both errors are always there, and each may lie anywhere up to its largest value. Such an error is called "
        "rectangular; its standard uncertainty is the largest value divided by √3. The two add as squares. Twice the "
        "result is the **expanded uncertainty U**. The true value lies within ± U of the reading with a probability "
        f"of at least {least} %.",
        "> u = √(a₁² + a₂²) ÷ √3 and U = 2 u, with a₁ = span × class ÷ 100 and a₂ = half a division",
    )


def budget_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """Whose gauge the budget below is."""
    sheet = leading_sheet(sheets())
    gauge = gauge_of(sheet)
    whose = f"the gauge on {sheet.name}'s sheet" if sheet.gauge() is not None else "a common workshop gauge"
    division, percent = preferences.format(gauge.division), preferences.number(gauge.class_percent)
    return (f"The budget of {whose}, 0 to {preferences.format(gauge.span)}, class {percent}, division {division}:",)


def scatter_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """Whose regulators the two risks are of."""
    sheet = leading_sheet(sheets())
    return (
        f"In this figure many regulators are tested against {sheet.name}'s band, {_band(preferences, sheet)}. Their "
        f"lock-up pressures scatter by {preferences.format(spread_of(sheet))} around the middle of it (invented).",
    )


def common_note(preferences: Preferences, sheets: SheetLoader) -> tuple[str, ...]:
    """What a common gauge makes of it; on a bench that reads another unit than bar, the sheet's own."""
    sheet = leading_sheet(sheets())
    own = sheet.gauge()
    if own is None or label(own.span.units) == label(COMMON_GAUGE.span.units):
        whose, gauge = "A common workshop gauge", COMMON_GAUGE
    else:
        whose, gauge = f"The gauge on {sheet.name}'s sheet", own
    expanded = gauge.expanded_uncertainty()
    return (
        f"{whose}, 0 to {preferences.format(gauge.span)}, class {preferences.number(gauge.class_percent)}, "
        f"division {preferences.format(gauge.division)}, has U = {preferences.format(expanded, decimals_in(label(expanded.units)))}.",
    )


def summary_note(preferences: Preferences) -> tuple[str, ...]:
    """What U covers, to keep."""
    least = preferences.number(math.floor(1000 * LEAST_COVERED) / 10, 1)
    return (f"- U = 2 √(a₁² + a₂²) ÷ √3. Reading ± U holds the true value with at least {least} %.",)


def notes(preferences: Preferences, sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Sentences of lesson 03, by name."""
    by_sheet = {
        "in_use": in_use_note, "warnings": warnings_note, "class": class_note, "budget": budget_note,
        "scatter": scatter_note, "common": common_note,
    }  # fmt: skip
    plain = {"coverage": coverage_note, "summary": summary_note}
    return {
        **{name: partial(make, preferences, sheets) for name, make in by_sheet.items()},
        **{name: partial(make, preferences) for name, make in plain.items()},
    }
