"""Panels of lesson 03: a band and the gauge's error, guard band and risks, marks, a class's readings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from steadyneedle.bench.bands import RULE_WORDS, RULES, Gauge, Verdict, choose_gauge, judge, say_chance
from steadyneedle.bench.readings import read_row, read_to, scatter
from steadyneedle.bench.risks import decision_risks
from steadyneedle.bench.sheets import Sheet, Sheets
from steadyneedle.bench.units import Q, label
from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.teaching.figures import band as band_figure
from steadyneedle.teaching.figures import charts, marks
from steadyneedle.teaching.frame.panel import Choice, Entry, Panel, Slider
from steadyneedle.teaching.progress import Taste

RULE_LABELS = {"simple": "simple acceptance", "guarded": "guarded acceptance", "probability": "stated probability"}
_RULE_OF = {words: rule for rule, words in RULE_LABELS.items()}
OUTCOME_WORDS = {"inside": "Inside", "outside": "Outside", "cannot tell": "Cannot tell"}


def classes() -> tuple[str, ...]:
    """Accuracy classes as a choice shows them."""
    return tuple(f"{c:g}" for c in datasets.table("gauge_classes", ("class_percent",))["class_percent"])


def usable(sheets: Sheets) -> dict[str, Sheet]:
    """The sheets that give a band of intermediate pressure."""
    return {name: sheet for name, sheet in sheets.items() if sheet.ip_low is not None and sheet.ip_high is not None}


@dataclass(frozen=True)
class Judged:
    """A reading judged, in the unit of the sheet's band."""

    reading: float
    low: float
    high: float
    unit: str
    uncertainty: float
    rule: str
    verdict: Verdict
    never: str


def _gauge(sheet: Sheet, accuracy: str) -> Gauge:
    """The sheet's gauge with another class; a common bench gauge where the sheet names none."""
    span = sheet.gauge_span if sheet.gauge_span is not None else Q(16, "bar")
    division = sheet.gauge_division if sheet.gauge_division is not None else span / 80
    return Gauge(span, float(accuracy), division)


def verdict_panel(taste: Taste, sheets: Sheets) -> Panel:
    """A needle on a band, the gauge's uncertainty on the needle, the verdict under a rule."""
    known = usable(sheets)
    lows = [sheet.ip_low.to("bar").magnitude for sheet in known.values()]
    highs = [sheet.ip_high.to("bar").magnitude for sheet in known.values()]
    slider_low, slider_high = math.floor(min(lows) * 2 - 0.8) / 2, math.ceil(max(highs) * 2 + 0.8) / 2
    step = 0.05 if slider_high - slider_low <= 6 else 0.1
    name = next((n for n in ("Juniper",) if n in known), next(iter(known)))
    first = known[name]
    start_class = f"{first.gauge_class.magnitude:g}" if first.gauge_class is not None else "1.6"
    options = classes() if start_class in classes() else (*classes(), start_class)

    def compute(reading: float, accuracy: str, rule: str, sheet: str) -> Judged:
        one = known[sheet]
        unit = str(one.ip_low.units)
        low, high = one.ip_low, one.ip_high.to(unit)
        gauge = _gauge(one, accuracy)
        uncertainty = gauge.expanded_uncertainty().to(unit)
        required = one.required_probability or 0.95
        verdict = judge(Q(reading, "bar").to(unit), low, high, uncertainty, _RULE_OF[rule], required)
        choice = choose_gauge(gauge, low, high, _RULE_OF[rule], required)
        here = Q(reading, "bar").to(unit).magnitude
        never = "" if choice.can_pass else choice.because
        return Judged(here, low.magnitude, high.magnitude, unit, uncertainty.magnitude, _RULE_OF[rule], verdict, never)

    def axis(result: Judged) -> band_figure.BandAxis:
        ends = [Q(end, "bar").to(result.unit).magnitude for end in (slider_low, slider_high)]
        return band_figure.axis_for(result.low, result.high, *ends, _short(result.unit))

    def scene(result: Judged) -> Any:
        return band_figure.band_scene(axis(result), result.low, result.high, result.uncertainty, result.rule == "guarded")

    def row(result: Judged) -> tuple[float | str, ...]:
        reading = taste.say(Q(result.reading, result.unit), 2 if _short(result.unit) == "bar" else 1)
        chance = f"probability {say_chance(result.verdict.probability)} that the true value lies in the band"
        return band_figure.needle_shift(axis(result), result.reading), OUTCOME_WORDS[result.verdict.outcome], chance, reading

    def describe(result: Judged) -> str:
        text = f"{OUTCOME_WORDS[result.verdict.outcome]}: {result.verdict.because}"
        return f"{text} {result.never}".strip()

    controls = (
        Slider("reading", "Reading", slider_low, slider_high, step, "bar", min(max(10.1, slider_low), slider_high)),
        Choice("accuracy", "Gauge class (percent of span)", options, start_class),
        Choice("rule", "Decision rule", tuple(RULE_LABELS[rule] for rule in RULES), RULE_LABELS[first.rule or "simple"]),
        Choice("sheet", "Specification sheet", tuple(known), name),
    )
    return Panel("A band under a needle", controls, compute, describe, scene=scene, row=row)


def _short(unit: str) -> str:
    return label(Q(1, unit).units)


def risk_panel(taste: Taste) -> Panel:
    """Guard band against the two risks, for regulators whose lock-up scatters (invented)."""
    low, high, mean, spread = 9.8, 10.2, 10.0, 0.12
    guards = np.linspace(0, 0.12, 25)

    def percent(guard: float, standard: float) -> tuple[float, float]:
        risks = decision_risks(mean, spread, (low, high), (low + guard, high - guard), standard)
        return risks.false_accept * 100, risks.false_reject * 100

    def compute(guard: float, expanded: float) -> charts.RiskCurves:
        standard = expanded / 2
        curves = np.array([percent(one, standard) for one in guards])
        here = percent(guard, standard)
        return charts.RiskCurves(guard, here[0], here[1], guards, curves[:, 0], curves[:, 1])

    def describe(result: charts.RiskCurves) -> str:
        return (
            f"With a guard band of {taste.number(result.guard, 2)} bar on each side, of 100 regulators tested "
            f"{taste.number(result.false_accept, 1)} are bad and pass, {taste.number(result.false_reject, 1)} are good and fail."
        )

    controls = (
        Slider("guard", "Guard band on each side", 0, 0.12, 0.01, "bar", 0.0),
        Slider("expanded", "Expanded uncertainty U", 0.04, 0.4, 0.02, "bar", 0.12),
    )
    return Panel("Guard band and the two risks", controls, compute, describe, draw=charts.risk_chart)


@dataclass(frozen=True)
class Between:
    """A needle between marks, and what three readers make of it, bar."""

    true: float
    division: float
    readings: tuple[float, float, float]


def marks_panel(taste: Taste) -> Panel:
    """A needle between divisions: the nearest mark, half a division, a fifth."""
    start, end = 9.0, 11.0

    def compute(needle: float, division: str) -> Between:
        step = float(division.split(" ", maxsplit=1)[0])
        readings = tuple(read_to(Q(needle, "bar"), Q(step, "bar"), parts).magnitude for parts in (1, 2, 5))
        return Between(needle, step, (readings[0], readings[1], readings[2]))

    def texts(result: Between) -> list[str]:
        names = ("to the nearest mark", "to half a division", "to a fifth of a division")
        halves = (result.division / 2, result.division / 4, result.division / 10)
        return [
            f"{name}: {taste.number(value, 2)} bar, right to ±{taste.number(half, 3)} bar"
            for name, value, half in zip(names, result.readings, halves, strict=True)
        ]

    def row(result: Between) -> tuple[float | str, ...]:
        return marks.marks_shift(result.true, start, end), *texts(result)

    def describe(result: Between) -> str:
        return f"Division {taste.number(result.division)} bar. Read " + "; ".join(texts(result)) + "."

    controls = (
        Slider("needle", "Where the needle truly stands", start, end, 0.01, "bar", 9.77),
        Choice("division", "Division of the scale", ("0.1 bar", "0.2 bar", "0.5 bar", "1 bar"), "0.5 bar"),
    )
    return Panel(
        "Between two marks", controls, compute, describe,
        scene=lambda result: marks.marks_scene(start, end, result.division), row=row,
    )  # fmt: skip


def readings_panel(taste: Taste) -> Panel:
    """What a class makes of one needle: invented readers, or the class's own readings typed in."""

    def invented(needle: float, readers: int, division: float) -> list[Any]:
        draws = Draws("a class's readings", readers)
        eyes = [sum(draws.fraction() for _ in range(4)) - 2 for _ in range(readers)]  # bell-shaped, scatter 0.58
        return [read_to(Q(max(needle + 0.35 * division * eye, 0), "bar"), Q(division, "bar"), 5) for eye in eyes]

    def compute(needle: float, readers: float, division: str, own: str) -> charts.Readings:
        typed = read_row(own, "bar", taste.decimal)
        if len(typed) == 1:
            raise ValueError("Type at least two readings, with a space between them.")
        values = typed or invented(needle, int(readers), float(division.split(" ", maxsplit=1)[0]))
        found = scatter(values)
        numbers = tuple(float(one.magnitude) for one in values)
        start, end = math.floor(min(*numbers, 9.0)), math.ceil(max(*numbers, 11.0))
        return charts.Readings(
            numbers, found.mean.magnitude, found.standard_deviation.magnitude, found.of_the_mean.magnitude,
            float(start), float(end), bool(typed),
        )  # fmt: skip

    def describe(result: charts.Readings) -> str:
        whose = "Your class" if result.typed else "An invented class"
        return (
            f"{whose}: {len(result.values)} readings from {taste.number(min(result.values), 2)} to {taste.number(max(result.values), 2)} bar, "
            f"mean {taste.number(result.mean, 2)} bar, scatter {taste.number(result.deviation, 2)} bar, "
            f"standard uncertainty of the mean {taste.number(result.of_the_mean, 3)} bar."
        )

    controls = (
        Slider("needle", "Where the needle truly stands", 9.0, 11.0, 0.01, "bar", 9.93),
        Slider("readers", "Number of readers", 3, 15, 1, "", 15),
        Choice("division", "Division of the scale", ("0.1 bar", "0.2 bar", "0.5 bar", "1 bar"), "0.5 bar"),
        Entry("own", "Your class's own readings, in bar", ""),
    )
    return Panel("One needle, many eyes", controls, compute, describe, draw=charts.readings_chart)


def sheet_rows(taste: Taste, sheets: Sheets) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """The sheets in use as a table."""

    def cell(quantity: Any) -> str:
        return "not given" if quantity is None else taste.say(quantity)

    head = ("regulator", "IP low", "IP high", "at supply", "allowed rise", "in", "gauge", "rule", "source")
    rows = []
    for sheet in sheets.values():
        gauge = sheet.gauge()
        words = "not given" if gauge is None else f"0 to {taste.say(gauge.span)}, class {taste.number(gauge.class_percent)}"
        rows.append((
            sheet.name, cell(sheet.ip_low), cell(sheet.ip_high), cell(sheet.supply), cell(sheet.allowed_rise),
            cell(sheet.rise_time), words, RULE_LABELS.get(sheet.rule or "", "not given"), sheet.source or "not given",
        ))  # fmt: skip
    return head, rows


def budget_rows(taste: Taste, gauge: Gauge) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """The uncertainty budget of one reading as a table."""
    head = ("contribution", "largest error", "shape", "standard uncertainty")
    rows = [
        (row.name, taste.say(row.half_width, 3), "rectangular, divide by √3", taste.say(row.standard_uncertainty, 4))
        for row in gauge.budget()
    ]
    expanded = gauge.expanded_uncertainty()
    rows.append(("both together", "", "root of the sum of squares", taste.say(expanded / 2, 4)))
    rows.append(("expanded, k = 2", "", "twice that", taste.say(expanded, 3)))
    return head, rows


def rule_rows() -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """The three decision rules in words."""
    return ("rule on the sheet", "what it means"), [(rule, RULE_WORDS[rule]) for rule in RULES]
