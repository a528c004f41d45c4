"""Panels of lesson 03: a band and the gauge's error, guard band and risks, marks, a class's readings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from steadyneedle.bench.bands import RULE_WORDS, RULES
from steadyneedle.bench.bands.by_sheet import COMMON_GAUGE, SheetVerdict, judge_by_sheet
from steadyneedle.bench.bands.gauges import Gauge
from steadyneedle.bench.bands.readings import read_row, read_to, scatter
from steadyneedle.bench.bands.risks import decision_risks
from steadyneedle.bench.bands.specification import Band
from steadyneedle.bench.sheets import Sheet, Sheets
from steadyneedle.bench.units import Q, label
from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import band as band_figure
from steadyneedle.teaching.figures import class_readings as class_readings_figure
from steadyneedle.teaching.figures import decision_risks as decision_risks_figure
from steadyneedle.teaching.figures import marks
from steadyneedle.teaching.figures.strokes import Row, Scene
from steadyneedle.teaching.frame.form import FormSession
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Entry, Panel, ScenePanel, Slider
from steadyneedle.teaching.learner.own_reading import OwnReadingSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, SheetLoader, Table

RULE_LABELS = {
    "simple": "simple acceptance",
    "guarded": "guarded acceptance",
    "probability": "stated probability",
}
FINEST_STEP = 1e-9
"""Of a slider, in whatever unit."""

HIGHEST_NEEDLE = 30.0
"""Bar. A reading above it was meant in another unit (our choice): three times what a first stage gives."""

_RULE_OF = {words: rule for rule, words in RULE_LABELS.items()}


def classes() -> tuple[str, ...]:
    """Accuracy classes as a choice shows them."""
    return tuple(f"{c:g}" for c in datasets.table("gauge_classes", ("class_percent",))["class_percent"])


def usable(sheets: Mapping[str, Sheet]) -> dict[str, Sheet]:
    """The sheets that give a band of intermediate pressure."""
    return {name: sheet for name, sheet in sheets.items() if sheet.has_band}


def leading_sheet(sheets: Mapping[str, Sheet]) -> Sheet:
    """The sheet that figures and questions begin with: Juniper's among the example's, else the first with a band."""
    there = usable(sheets)
    return there.get("Juniper") or next(iter(there.values()))


def gauge_of(sheet: Sheet) -> Gauge:
    """The gauge that a sheet asks for; a common one where it names none in full."""
    return sheet.gauge() or COMMON_GAUGE


def unit_of(sheet: Sheet) -> str:
    """The unit of a sheet's band, as people write it: the controls of its panels are in it."""
    return "bar" if sheet.ip_low is None else label(sheet.ip_low.units)


def limits_of(sheet: Sheet, unit: str = "bar") -> tuple[float, float]:
    """Both limits of a sheet's band, in a unit."""
    if sheet.ip_low is None or sheet.ip_high is None:
        raise ValueError(f"The sheet of {sheet.name} gives no band.")
    return float(sheet.ip_low.to(unit).magnitude), float(sheet.ip_high.to(unit).magnitude)


def spread_of(sheet: Sheet) -> Any:
    """How far the lock-up of an invented lot of regulators scatters: three tenths of the band's width.

    Where that does not part into twelve steps of a slider with three digits, it is rounded so that it does.
    """
    unit = unit_of(sheet)
    low, high = limits_of(sheet, unit)
    spread = float(f"{0.3 * (high - low):.3g}")
    if abs(float(f"{spread / 12:.3g}") - spread / 12) > 1e-9 * spread:
        spread = 12 * float(f"{spread / 12:.2g}")
    return Q(round(max(spread, 12 * FINEST_STEP), 12), unit)


def step_in(unit: str, at_most: float) -> float:
    """The round step of a control, not above so many bar."""
    most = float(Q(at_most, "bar").to(unit).magnitude) * (1 + 1e-9)
    return max(one * 10.0**power for power in range(-4, 7) for one in (1, 2, 5) if one * 10.0**power <= most)


def decimals_in(unit: str) -> int:
    """How many decimals a pressure near a band is shown with."""
    return {"bar": 2, "psi": 1, "kPa": 0, "MPa": 3}.get(unit, 2)


class _UnderANeedle:
    """The panel's parts for a set of sheets: what it computes, draws and says."""

    def __init__(self, preferences: Preferences, sheets: dict[str, Sheet]) -> None:
        self.preferences, self.sheets = preferences, sheets
        self.unit = unit_of(leading_sheet(sheets))
        bands = [limits_of(sheet, self.unit) for sheet in sheets.values()]
        around, ends = float(Q(0.4, "bar").to(self.unit).magnitude), 10 * step_in(self.unit, 0.05)
        self.low = round(math.floor((min(low for low, _ in bands) - around) / ends) * ends, 9)
        self.high = round(math.ceil((max(high for _, high in bands) + around) / ends) * ends, 9)

    def compute(self, reading: float, accuracy: str, rule: str, sheet: str) -> SheetVerdict:
        return judge_by_sheet(Q(reading, self.unit), self.sheets[sheet], float(accuracy), _RULE_OF[rule])

    def axis(self, result: SheetVerdict) -> band_figure.BandAxis:
        unit = label(result.low.units)
        start, end = (float(Q(one, self.unit).to(unit).magnitude) for one in (self.low, self.high))
        margin = float(Q(0.1, "bar").to(unit).magnitude)
        low, high = result.low.magnitude, result.high.magnitude
        return band_figure.axis_for(low, high, (start, end), margin, unit, decimals_in(unit))

    def scene(self, result: SheetVerdict) -> Scene:
        band = (result.low.magnitude, result.high.magnitude, result.expanded_uncertainty.magnitude)
        scene = band_figure.band_scene(self.axis(result), *band, result.rule == "guarded")
        return scene.localised(self.preferences.localise)

    def row(self, result: SheetVerdict) -> Row:
        shift = band_figure.needle_shift(self.axis(result), result.reading.magnitude)
        chance = f"probability {result.verdict.chance} that the true value lies in the band"
        reading = self.preferences.format(result.reading, decimals_in(label(result.reading.units)))
        words = {"verdict": result.verdict.word, "chance": self.preferences.localise(chance), "reading": reading}
        return {"needle": shift, **words}

    def describe(self, result: SheetVerdict) -> str:
        words = (
            f"{result.verdict.word}: {result.verdict.because} {result.choice.after(result.verdict.because)}".rstrip()
        )
        return self.preferences.localise(words)

    def controls(self) -> tuple[Slider | Choice, ...]:
        first = leading_sheet(self.sheets)
        name = first.name
        own = f"{first.gauge_class.magnitude:g}" if first.gauge_class is not None else "1.6"
        wide = self.high - self.low > Q(6, "bar").to(self.unit).magnitude
        step = step_in(self.unit, 0.1 if wide else 0.05)
        low, high = limits_of(first, self.unit)
        start = round(round((low + 3 * high) / 4 / step) * step, 4)
        options = classes() if own in classes() else (*classes(), own)
        rules = tuple(RULE_LABELS[rule] for rule in RULES)
        return (
            Slider("reading", "Reading", self.low, self.high, step, self.unit, start),
            Choice("accuracy", "Gauge class (percent of span)", options, own),
            Choice("rule", "Decision rule", rules, RULE_LABELS[first.rule or "simple"]),
            Choice("sheet", "Specification sheet", tuple(self.sheets), name),
        )


def verdict_panel(preferences: Preferences, sheets: Sheets) -> Panel:
    """A needle on a band, the gauge's uncertainty on the needle, the verdict under a rule."""
    made = _UnderANeedle(preferences, usable(sheets))
    title = "A band under a needle"
    return ScenePanel(title, made.controls(), made.compute, made.describe, scene=made.scene, row=made.row)


def risk_panel(preferences: Preferences, sheet: Sheet) -> Panel:
    """Guard band against the two risks, for regulators whose lock-up scatters (invented) around a sheet's band."""
    unit = unit_of(sheet)
    low, high = limits_of(sheet, unit)
    mean, spread = (low + high) / 2, float(spread_of(sheet).magnitude)
    controls = (
        Slider("guard", "Guard band on each side", 0, spread, spread / 12, unit, 0.0),
        Slider("expanded", "Expanded uncertainty U", spread / 3, 10 * spread / 3, spread / 6, unit, spread),
    )
    places = max(decimals_in(unit), controls[0].decimals)
    guards = np.linspace(0, spread, 25)

    @lru_cache(maxsize=64)
    def curves_at(standard: float) -> np.ndarray:
        return np.array([percent(one, standard) for one in guards])

    def percent(guard: float, standard: float) -> tuple[float, float]:
        risks = decision_risks(mean, spread, (low, high), (low + guard, high - guard), standard)
        return risks.false_accept * 100, risks.false_reject * 100

    def compute(guard: float, expanded: float) -> decision_risks_figure.RisksPicture:
        standard = expanded / 2
        curves = curves_at(standard)
        here = percent(guard, standard)
        return decision_risks_figure.RisksPicture(guard, here[0], here[1], guards, curves[:, 0], curves[:, 1], unit)

    def describe(result: decision_risks_figure.RisksPicture) -> str:
        bad, good = preferences.number(result.false_accept, 1), preferences.number(result.false_reject, 1)
        guard = f"{preferences.number(result.guard, places)} {unit}"
        passed, failed = f"{bad} are bad and pass", f"{good} are good and fail"
        return f"With a guard band of {guard} on each side, of 100 regulators tested {passed}, and {failed}."

    return DrawnPanel(
        "Guard band and the two risks",
        controls,
        compute,
        describe,
        draw=lambda result: decision_risks_figure.risk_chart(result, preferences.localise),
    )


@dataclass(frozen=True)
class MarksPicture:
    """A needle between marks, and what three readers make of it, bar."""

    true: float
    division: float
    readings: tuple[float, float, float]


def marks_panel(preferences: Preferences) -> Panel:
    """A needle between divisions: the nearest mark, half a division, a fifth."""
    start, end = 9.0, 11.0

    def compute(needle: float, division: str) -> MarksPicture:
        step = float(division.split(" ", maxsplit=1)[0])
        readings = tuple(read_to(Q(needle, "bar"), Q(step, "bar"), parts).magnitude for parts in (1, 2, 5))
        return MarksPicture(needle, step, (readings[0], readings[1], readings[2]))

    def texts(result: MarksPicture) -> list[str]:
        halves = (result.division / 2, result.division / 4, result.division / 10)
        return [
            f"to {way}: {preferences.number(value, 2)} bar, rounded by up to {preferences.number(half, 3)} bar"
            for way, value, half in zip(marks.WAYS, result.readings, halves, strict=True)
        ]

    def row(result: MarksPicture) -> Row:
        return {
            "needle": marks.marks_shift(result.true, start, end),
            **dict(zip(marks.WAYS, texts(result), strict=True)),
        }

    def describe(result: MarksPicture) -> str:
        return f"Division {preferences.number(result.division)} bar. Read " + "; ".join(texts(result)) + "."

    controls = (
        Slider("needle", "Where the needle truly stands", start, end, 0.01, "bar", 9.77),
        Choice("division", "Division of the scale", ("0.1 bar", "0.2 bar", "0.5 bar", "1 bar"), "0.5 bar"),
    )
    return ScenePanel(
        "Between two marks", controls, compute, describe,
        scene=lambda result: marks.marks_scene(start, end, result.division).localised(preferences.localise), row=row,
    )  # fmt: skip


def readings_panel(preferences: Preferences) -> Panel:
    """What a class makes of one needle: invented readers, or the class's own readings typed in."""

    def invented(needle: float, readers: int, division: float) -> list[Any]:
        draws = Draws("a class's readings", readers)
        eyes = [sum(draws.fraction() for _ in range(4)) - 2 for _ in range(readers)]  # bell-shaped, scatter 0.58
        return [read_to(Q(max(needle + 0.35 * division * eye, 0), "bar"), Q(division, "bar"), 5) for eye in eyes]

    def compute(needle: float, readers: float, division: str, own: str) -> class_readings_figure.ReadingsPicture:
        typed = read_row(own, "bar", preferences.decimal)
        if len(typed) == 1:
            raise ValueError("Type at least two readings, with a space between them.")
        if high := [one for one in typed if one.magnitude > HIGHEST_NEEDLE]:
            shown = preferences.format(high[0], 0)
            raise ValueError(f"{shown} is no intermediate pressure. Type the readings with their unit, as in 140 psi.")
        values = typed or invented(needle, int(readers), float(division.split(" ", maxsplit=1)[0]))
        found = scatter(values)
        numbers = tuple(float(one.magnitude) for one in values)
        start, end = math.floor(min(*numbers, 9.0)), math.ceil(max(*numbers, 11.0))
        return class_readings_figure.ReadingsPicture(
            numbers, found.mean.magnitude, found.standard_deviation.magnitude, found.standard_error.magnitude,
            float(start), float(end), bool(typed),
        )  # fmt: skip

    def describe(result: class_readings_figure.ReadingsPicture) -> str:
        lowest, highest = preferences.number(min(result.values), 2), preferences.number(max(result.values), 2)
        whose = "Your class" if result.typed else "An invented class"
        return (
            f"{whose}: {len(result.values)} readings from {lowest} to {highest} bar, "
            f"mean {preferences.number(result.mean, 2)} bar, scatter {preferences.number(result.deviation, 2)} bar, "
            f"standard uncertainty of the mean {preferences.number(result.standard_error, 3)} bar."
        )

    controls = (
        Slider("needle", "Where the needle truly stands", 9.0, 11.0, 0.01, "bar", 9.93),
        Slider("readers", "Number of readers", 3, 15, 1, "", 15),
        Choice("division", "Division of the scale", ("0.1 bar", "0.2 bar", "0.5 bar", "1 bar"), "0.5 bar"),
        Entry("own", "Your class's own readings, in bar or with their unit", ""),
    )
    return DrawnPanel(
        "One needle, many eyes",
        controls,
        compute,
        describe,
        draw=lambda result: class_readings_figure.readings_chart(result, preferences.localise),
    )


def band_in_words(preferences: Preferences, band: Band) -> str:
    """A band as a sheet prints it."""
    low, high = preferences.number(band.low.magnitude), preferences.format(band.high)
    return f"{low} to {high}" if band.low.units == band.high.units else f"{preferences.format(band.low)} to {high}"


def sheet_rows(preferences: Preferences, sheets: Sheets) -> Table:
    """The sheets in use as a table; a band that is printed in a second unit stands beside the first."""

    def cell(quantity: Any) -> str:
        return "not given" if quantity is None else preferences.format(quantity)

    head = ("regulator", "IP band", "also printed as", "at supply", "allowed rise", "gauge", "rule", "source")
    rows: Rows = []
    for sheet in sheets.values():
        gauge, band = sheet.gauge(), sheet.band
        words = (
            "not given"
            if gauge is None
            else f"0 to {preferences.format(gauge.span)}, class {preferences.number(gauge.class_percent)}, "
            f"division {preferences.format(gauge.division)}"
        )
        others = [band_in_words(preferences, one) for one in sheet.printed_bands[1:]]
        rise = cell(sheet.allowed_rise) + (f" in {cell(sheet.rise_time)}" if sheet.rise_time is not None else "")
        rise += f" after {sheet.purges} purges" if sheet.purges else ""
        rows.append((
            sheet.name, "not given" if band is None else band_in_words(preferences, band),
            "; ".join(others) or "nothing", cell(sheet.supply), rise, words,
            RULE_LABELS.get(sheet.rule or "", "not given"), sheet.source or "not given",
        ))  # fmt: skip
    return head, rows


def budget_rows(preferences: Preferences, gauge: Gauge) -> Table:
    """The uncertainty budget of one reading as a table."""
    head = ("contribution", "largest error", "shape", "standard uncertainty")
    rows: Rows = [
        (
            row.name,
            preferences.format(row.half_width, 3),
            "rectangular, divide by √3",
            preferences.format(row.standard_uncertainty, 4),
        )
        for row in gauge.budget()
    ]
    expanded = gauge.expanded_uncertainty()
    rows.append(("both together", "", "root of the sum of squares", preferences.format(expanded / 2, 4)))
    rows.append(("expanded, k = 2", "", "twice that", preferences.format(expanded, 3)))
    return head, rows


def rule_rows() -> Table:
    """The three decision rules in words."""
    return ("rule on the sheet", "what it means"), [(rule, RULE_WORDS[rule]) for rule in RULES]


def panels(preferences: Preferences, sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 03, by name."""
    return {
        "verdict": lambda: verdict_panel(preferences, sheets()),
        "risk": lambda: risk_panel(preferences, leading_sheet(sheets())),
        "marks": lambda: marks_panel(preferences),
        "readings": lambda: readings_panel(preferences),
    }


def forms(progress: Progress, sheets: SheetLoader) -> Makers[FormSession]:
    """The forms of lesson 03, by name."""
    return {"own_reading": lambda: OwnReadingSession(sheets(), progress, ("lessons", "03", "own reading"))}


def tables(preferences: Preferences, sheets: SheetLoader) -> Makers[Table]:
    """The tables of lesson 03, by name."""
    return {
        "sheets": lambda: sheet_rows(preferences, sheets()),
        "budget": lambda: budget_rows(preferences, gauge_of(leading_sheet(sheets()))),
        "rules": rule_rows,
    }
