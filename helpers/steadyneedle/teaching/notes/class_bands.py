"""Lesson 03 with a class: fifty minutes, and the questions to ask."""

from __future__ import annotations

from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE
from steadyneedle.bench.bands.gauges import choose_gauge
from steadyneedle.questions.bank.bands import prediction_by_sheet
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.bands import gauge_of, leading_sheet, spread_of
from steadyneedle.teaching.panels.offered import SheetLoader


def cut(preferences: Preferences, sheets: SheetLoader) -> Cut:
    """What fits into an hour, with the sheet in use."""
    sheet = leading_sheet(sheets())
    asked, gauge = prediction_by_sheet(sheet), gauge_of(sheet)
    own, common = (preferences.format(one.expanded_uncertainty(), 2) for one in (gauge, COMMON_GAUGE))
    return [
        (3, "Warm-up 1, aloud. A real gauge stands on the bench at a steady pressure: before section 7 each goes past it once and writes its reading down, unseen.", "psi to bar: larger or smaller number?", "no hands here", "A bar is larger, so the number is smaller."),
        (6, "Section 1, marks, division 0.5 bar. Record, then move the needle.", "How well can you read it?", "Half: to a hundredth.", "A fifth: yes, and half a division is the error. A hundredth: what is the width of the needle?"),
        (8, f"Section 2, the sheets. Read {sheet.name}'s line aloud, to its end. Then the exercise with bar and psi columns.", "What must stand beside the reading?", "A third forget the supply.", "Supply: yes, and the minutes and purges of the rise. Forgotten: a band holds at a stated supply."),
        (9, "Section 3, budget table and worked example.", f"Class {preferences.number(gauge.class_percent)}: percent of what?", "Half: of the reading.", "Span: yes, everywhere on the scale. Reading: then a gauge at rest would have no error."),
        (12, "Section 4, verdict. Record, then change the class, then the rule.", asked.question, "Most: yes, it passes.",
         f"It depends: yes; the sheet's gauge has U = {own}, a common workshop gauge {common}. Yes: under which rule? No: simple acceptance passes it."),
        (6, f"Section 5, risks. Lock-up scatters by {preferences.format(spread_of(sheet))}. Guard band from zero to the end.", "What happens to good regulators?", "Half: nothing.", "More fail: yes. Nothing: look at the good ones that fail. Only a better gauge lowers both."),
        (4, "Section 7. All have been at the gauge: type the readings in.", "How far apart are we?", "no hands here", "By a part of a division. A mean does not mend a gauge that reads high."),
        (2, "My progress. Evening: rounding and your own reading.", "What is your next line?", "no hands here", "Write the rule beside each verdict."),
    ]  # fmt: skip


def questions(preferences: Preferences, sheets: SheetLoader) -> Questions:
    """With their answers."""
    sheet = leading_sheet(sheets())
    band, gauge = sheet.band, gauge_of(sheet)
    if band is None:
        raise ValueError(f"The sheet of {sheet.name} gives no band.")
    choice = choose_gauge(COMMON_GAUGE, band.low, band.high.to(band.low.units))
    able = choice.class_that_can
    coarsest = f"class {preferences.number(able)}" if able is not None else "none: its divisions are too coarse"
    return [
        (prediction_by_sheet(sheet).question + " Now I change the gauge.", preferences.localise(prediction_by_sheet(sheet).explanation)),
        ("Which gauge on our bench can pass this band at all under guarded acceptance?", f"One whose U fits into half the band. With the span and divisions of a common gauge, the coarsest class that can is {coarsest}. The sheet's gauge, class {preferences.number(gauge.class_percent)}, has U = {preferences.format(gauge.expanded_uncertainty(), 2)}."),
        ("You are the customer: which rule do you want? You are the workshop: which one?", "The customer wants guarded acceptance: few bad regulators pass. The workshop that pays for each good one it fails may want simple acceptance. The sheet, or an agreement beforehand, decides; never the reading."),
        ("Fifteen of us read one needle. How far apart will we be?", "By a part of a division, mostly within half a division either way."),
    ]  # fmt: skip
