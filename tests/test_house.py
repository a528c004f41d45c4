"""The house itself: floors, style, types, docstrings, what lies at the top, what must never be said."""

from __future__ import annotations

import ast
import csv
import dataclasses
import doctest
import importlib
import inspect
import itertools
import pkgutil
import re
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

import steadyneedle
import steadyneedle.bench
import steadyneedle.physics
from steadyneedle.bench import bands, regulators, sheets, trace, units
from steadyneedle.bench.bands import (
    by_sheet,
    gauges,
    readings,
    risks,
    rounding,
    sheet_cells,
    sheet_columns,
    sheet_notes,
    sheet_tables,
    stopping,
    written_numbers,
)
from steadyneedle.bench.cleaning import (
    baths,
    best,
    best_method,
    catalogue,
    cautions,
    harm_rules,
    judged,
    limit_rule,
    one_part,
    order_of_steps,
    own_rules,
    removal,
    scratching,
    search,
    soiled_parts,
    steps,
    walk,
    ways,
)
from steadyneedle.bench.cleaning import grid as choice_grid
from steadyneedle.bench.diagnosis import (
    beliefs,
    cause_list,
    choice,
    contract,
    contradiction,
    counted,
    ending,
    examination_list,
    examinations,
    gauge_kinds,
    hidden,
    information,
    knowledge,
    lookahead,
    needle_words,
    opening,
    orders,
    other_leaders,
    outcome_list,
    own_tables,
    pairs,
    reasons,
    shown,
    signals,
    spoken,
    stacked,
    teaching_values,
    ten_seconds,
    toy,
    workbench,
)
from steadyneedle.bench.diagnosis import (
    gas as gas_in_and_out,
)
from steadyneedle.bench.diagnosis.toy import TOY, TOY_BENCH
from steadyneedle.bench.trace import (
    advice,
    band_finding,
    bins,
    divisions,
    drifts,
    earlier,
    estimate,
    fallen_back,
    findings,
    gathered,
    late_readings,
    log_cleaning,
    log_clock_forms,
    log_columns,
    log_numbers,
    log_outliers,
    log_table,
    log_times,
    log_units,
    misfit,
    mixture,
    nine,
    phases,
    projection,
    read_again,
    report,
    scale,
    sentences,
    sharp,
    sites,
    slow_start,
    stopped,
    stretches,
    taken_for_purges,
    teeth,
    watch,
    work,
)
from steadyneedle.bench.units import Q, clock, numbers, unit_advice, unit_names
from steadyneedle.foundation import places
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import first_stage, gas, leaks, second_stage
from steadyneedle.physics.stages import FirstStage, SecondStage

ROOT = Path(__file__).resolve().parent.parent


@pytest.mark.parametrize(
    "command",
    [["ruff", "check", "."], ["ruff", "format", "--check", "."], ["mypy"]],
    ids=["style", "format", "types"],
)
def test_tools_find_nothing(command: list[str]) -> None:
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, (done.stdout + done.stderr)[-3000:]


def test_each_floor_imports_only_from_floors_below() -> None:
    code = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-3000:]
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    assert f"{len(contracts)} kept, 0 broken" in done.stdout


def tracked() -> list[str]:
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        pytest.skip("needs a git checkout")
    return done.stdout.splitlines()


def test_top_level_is_exactly_this() -> None:
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} == {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "helpers", "datasets", "tests",
    }  # fmt: skip


def test_files_name_no_machine_and_promise_no_safety() -> None:
    forbidden = re.compile(r"/work/|/root/|/home/\w|safe[ ]to[ ]dive", re.I)
    for name in tracked():
        if name.endswith((".png", ".dat")) or name in ("tests/test_house.py", "tests/lessons/test_lessons.py"):
            continue
        text = (ROOT / name).read_text(encoding="utf-8")
        found = forbidden.search(text)
        assert found is None, (name, found and found.group())


def test_modules_and_functions_stay_short() -> None:
    for path in (ROOT / "helpers").rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        limit = 420 if path.parent.name == "bank" else 380  # a bank of questions is one idea, repeated
        assert text.count("\n") <= limit, path
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef):
                assert (node.end_lineno or 0) - node.lineno <= 60, (path.name, node.name)


def modules(package: ModuleType) -> Iterator[ModuleType]:
    for info in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        yield importlib.import_module(info.name)


def public_functions() -> list[tuple[str, Callable[..., Any]]]:
    found = []
    for package in (steadyneedle.physics, steadyneedle.bench):
        for module in modules(package):
            for name, thing in vars(module).items():
                if (
                    inspect.isfunction(inspect.unwrap(thing) if callable(thing) else thing)
                    and thing.__module__ == module.__name__
                    and not name.startswith("_")
                ):
                    found.append((f"{module.__name__.split('.', 1)[1]}.{name}", thing))
    return found


FUNCTIONS = public_functions()
PLAIN = {"bench.units.numbers.split", "bench.units.numbers.value", "bench.units.numbers.in_two_ways"}
"""The grammar's three inner doors: strings in, strings and floats out."""
NO_SOURCE = {
    "bench.units.formatting.format_number",
    "bench.units.registry.require",
    "bench.bands.written_numbers.format_chance",
    "bench.bands.readings.read_row",
    "bench.units.formatting.formatted",
    "bench.units.formatting.label",
    "bench.units.unit_advice.no_unit",
    "bench.units.unit_advice.shown",
    "bench.units.unit_advice.two_quantities",
    "bench.units.unit_advice.why_unknown",
    "bench.units.unit_names.in_symbols",
    "bench.units.unit_names.plain_signs",
    "bench.units.unit_names.unit_name",
}
"""They only write, convert or read: there is nothing to cite."""


@pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_docstrings_are_whole(name: str, function: Callable[..., Any]) -> None:
    """Parameters as in the signature, result, errors, source, one example that runs."""
    text = inspect.getdoc(function) or ""
    if name in PLAIN:
        assert text
        return
    raising = ["Raises\n---"] if "raise " in inspect.getsource(function) else []
    source = [] if name in NO_SOURCE else ["References\n---"]
    for part in ("Parameters\n---", "Returns\n---", *raising, *source, "Examples\n---", ">>> "):
        assert part in text, part
    block = text.split("Parameters\n----------\n")[1].split("\n\nReturns")[0]
    documented = [one for line in re.findall(r"^\**(\w[\w, ]*?) :", block, re.M) for one in line.split(", ")]
    assert documented == list(inspect.signature(function).parameters), name
    if name.startswith("physics."):
        for line in re.findall(r"^\w.* : (?:float|int).*\n((?: {4}.*\n?)+)", block, re.M):
            assert re.search(r"\[[^\]]+\]", line), f"no unit in brackets: {line}"
        assert re.search(r"\[[^\]]+\]", re.split("Raises|References", text.split("Returns")[1])[0]), (
            "no unit of the result"
        )


EVERY_MODULE = [info.name for info in pkgutil.walk_packages(steadyneedle.__path__, "steadyneedle.")]


@pytest.mark.parametrize("name", EVERY_MODULE)
def test_examples_in_docstrings_run(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def b(value: float) -> Any:
    return Q(value, "bar")


ALDER = sheets.load_sheets(places.datasets() / "sheets")["Alder"]
LOG = places.datasets() / "logs" / "class_reading.csv"
NAMED = sheet_columns.column_of("name")
TYPED = "time_s;IP (barg)\n0;9,8\n15;9,8\n30;9,9\n"
LEVEL = (np.arange(20.0), np.full(20, 9.8))
GAUGE = gauges.Gauge(b(16), 1.6, b(0.2))
HELD = gathered.gathered(*LEVEL, 0.1)
WATCH = watch.Watch.over(*LEVEL, 0.1, 5.0)
HISS = beliefs.belief(toy.TOY, [("listen", "hiss")])
SEEN = dict.fromkeys(examinations.EXAMINATIONS, ("nothing",))


def _one_sweep() -> Any:
    begin = sites.fine_sites(HELD.bins, HELD.squares, 0.07, 0.1)
    readings = sites.Rounded(HELD.bins, HELD.slopes, 0.01, 0.1)
    return sites.rounded_sites(readings, HELD.few.condition(begin), 1).sites.log_scale


CALLS: dict[str, tuple[Callable[[], Any], str | None]] = {
    # every public function of the bench called once with quantities: the result, and the unit it must have
    "bench.units.registry.Q": (lambda: Q(1, "psi"), "bar"),
    "bench.units.registry.require": (lambda: units.require("x", Q(1, "MPa"), "bar"), None),
    "bench.units.typed.read_quantity": (lambda: units.read_quantity("1 psi/h", "pressure rate"), "bar/min"),
    "bench.units.gauge_to_absolute": (lambda: units.gauge_to_absolute(Q(145, "psi"), b(1)), "bar"),
    "bench.units.absolute_to_gauge": (lambda: units.absolute_to_gauge(Q(145, "psi"), b(1)), "bar"),
    "bench.units.formatting.formatted": (lambda: units.formatted(b(1)), None),
    "bench.units.formatting.format_number": (lambda: units.format_number(1), None),
    "bench.units.formatting.label": (lambda: units.label(b(1).units), None),
    "bench.bands.written_numbers.format_uncertainty": (lambda: written_numbers.format_uncertainty(0.125, "bar"), None),
    "bench.bands.decision.judge": (lambda: bands.judge(Q(145, "psi"), b(9.8), b(10.2), Q(10, "kPa")).probability, None),
    "bench.bands.decision.probability_inside": (lambda: bands.probability_inside(10, 9.8, 10.2, 0.1), None),
    "bench.bands.written_numbers.format_chance": (lambda: bands.format_chance(0.5), None),
    "bench.bands.gauges.choose_gauge": (lambda: gauges.choose_gauge(GAUGE, Q(142, "psi"), Q(148, "psi")).best_probability, None),
    "bench.bands.rounding.convert_band": (lambda: rounding.convert_band(b(9.8), b(10.2), "psi", 1).low, "bar"),
    "bench.bands.sheet_files.load_sheets": (ALDER.rise_limit, "bar/min"),
    "bench.bands.sheet_cells.sheet_of": (lambda: sheet_cells.sheet_of([NAMED], ["X"], sheet_cells.Marks(frozenset()), []).name, None),
    "bench.bands.sheet_cells.bars": (lambda: sheet_cells.bars("MPa"), None),
    "bench.bands.sheet_columns.column_of": (lambda: sheet_columns.column_of("name").what, None),
    "bench.bands.sheet_notes.notes_of": (lambda: list(sheet_notes.notes_of(ALDER)), None),
    "bench.bands.sheet_tables.all_good": (lambda: sheet_tables.all_good([f"R{n}" for n in range(300)], ",", [NAMED]), None),
    "bench.bands.by_sheet.judge_by_sheet": (lambda: by_sheet.judge_by_sheet(Q(140, "psi"), ALDER).expanded_uncertainty, "bar"),
    "bench.bands.readings.read_to": (lambda: readings.read_to(Q(145, "psi"), b(0.5), 2), "bar"),
    "bench.bands.readings.scatter": (lambda: readings.scatter([b(1), Q(15, "psi")]).standard_error, "bar"),
    "bench.bands.readings.read_row": (lambda: readings.read_row("1 2", "psi")[0], "bar"),
    "bench.bands.risks.decision_risks": (lambda: risks.decision_risks(10, 0.1, (9.8, 10.2), (9.8, 10.2), 0.1).conforming, None),
    "bench.bands.stopping.stop_of": (lambda: stopping.stop_of(ALDER).reading, "bar"),
    "bench.regulators.in_words": (lambda: regulators.in_words("Alder"), None),
    "bench.regulators.lock_up": (lambda: regulators.lock_up("Juniper", Q(2900, "psi"), Q(30, "ft"), Q(1, "N")), "bar"),
    "bench.regulators.climb_through_hole": (lambda: regulators.climb_through_hole(Q(2, "um"), Q(3000, "psi"), Q(0.1, "L"), Q(140, "psi")), "bar/min"),
    "bench.trace.log_files.read_log": (lambda: trace.read_log(LOG).pressure.size, None),
    "bench.trace.log_files.read_text": (lambda: trace.read_text(TYPED).pressure.size, None),
    "bench.trace.log_table.table_of": (lambda: log_table.table_of(TYPED, "log", None, None).mark, None),
    "bench.trace.log_columns.head_of": (lambda: log_columns.head_of("log", [["s", "bar"], ["0", "9.8"]], None).first, None),
    "bench.trace.log_columns.bar_per": (lambda: log_columns.bar_per("psig"), None),
    "bench.trace.log_numbers.numbers_of": (lambda: log_numbers.numbers_of(["9,8"], "pressure", lambda _: True).rule, None),
    "bench.trace.log_times.seconds_of": (lambda: log_times.seconds_of(["0:15"], log_columns.Column(0, "t", "time", "s", 1.0), ",", None).form, None),
    "bench.trace.log_cleaning.cleaned": (lambda: log_cleaning.cleaned(log_cleaning.RawLog(*LEVEL)).left_out, None),
    "bench.trace.log_outliers.longest_in_order": (lambda: log_outliers.longest_in_order(LEVEL[0]), None),
    "bench.trace.log_columns.columns_of": (lambda: log_columns.columns_of(["s", "bar"])[0].unit, None),
    "bench.trace.late_readings.times_apart": (lambda: late_readings.times_apart(LEVEL[0], []), None),
    "bench.trace.late_readings.looks_again": (lambda: late_readings.looks_again(LEVEL[0]), None),
    "bench.trace.late_readings.slip_of_ten": (lambda: late_readings.slip_of_ten(91, 9.1), None),
    "bench.trace.late_readings.left_out_but_meant": (
        lambda: late_readings.left_out_but_meant(*LEVEL, np.arange(5), str, []), None,
    ),
    "bench.trace.read_again.refuse_no_first_stage": (
        lambda: read_again.refuse_no_first_stage(LEVEL[1], scale.BAR), None,
    ),
    "bench.trace.divisions.stated_division": (lambda: divisions.stated_division("division 0.1 bar")[0], None),
    "bench.trace.read_again.read_again": (lambda: read_again.read_again([], 12.0, scale.BAR), None),
    "bench.trace.log_outliers.far_above": (lambda: log_outliers.far_above(LEVEL[1]), None),
    "bench.trace.log_outliers.lost": (lambda: log_outliers.lost(LEVEL[1]), None),
    "bench.trace.log_units.wrong_with": (lambda: log_units.wrong_with("p_abs_bar", "bar", "pressure"), None),
    "bench.trace.log_units.is_other_pressure": (lambda: log_units.is_other_pressure("inlet (bar)"), None),
    "bench.trace.log_clock_forms.in_one_form": (lambda: log_clock_forms.in_one_form(["45", "1:00"], True, True), None),
    "bench.trace.log_units.without_units": (lambda: log_units.without_units(["9.8 bar"], 1.0, {"bar": 1.0}.get), None),
    "bench.trace.log_outliers.spikes": (lambda: log_outliers.spikes(*LEVEL), None),
    "bench.trace.estimate.estimate_hold": (lambda: estimate.estimate_hold([0, 15, 30, 45], [9.8, 9.8, 9.9, 9.9], 0.1).rate().value, None),
    "bench.trace.advice.stop_passed": (lambda: advice.stop_passed(*LEVEL, 9.0), None),
    "bench.trace.advice.advise": (lambda: advice.advise(WATCH, 0.02, 12.0, True), None),
    "bench.trace.bins.binned": (lambda: bins.binned(*LEVEL, 0.1).count, None),
    "bench.trace.drifts.drifts_in_bins": (lambda: drifts.drifts_in_bins(HELD.bins, HELD.law, np.array([0])), None),
    "bench.trace.drifts.drifts_at": (lambda: drifts.drifts_at(LEVEL[0], HELD.bins, HELD.law, np.array([0])), None),
    "bench.trace.drifts.drifts_between": (lambda: drifts.drifts_between(LEVEL[0], HELD.law, np.array([0])), None),
    "bench.trace.band_finding.find_band": (lambda: band_finding.find_band(WATCH, ALDER).value, "bar"),
    "bench.trace.findings.find_rise": (lambda: findings.find_rise(WATCH, ALDER, 0.1).allowed, "bar"),
    "bench.trace.findings.find_rate": (lambda: findings.find_rate(WATCH, 0.02).low, "bar/min"),
    "bench.trace.findings.unread": (lambda: findings.unread("saw-tooth").because, None),
    "bench.trace.findings.unpressurised": (lambda: findings.unpressurised(WATCH).because, None),
    "bench.trace.divisions.division_of": (lambda: divisions.division_of(LEVEL[1], [], 1.0).step, None),
    "bench.trace.fallen_back.fell_back": (lambda: fallen_back.fell_back(*LEVEL, 0.1, 0.02), None),
    "bench.trace.projection.project": (lambda: projection.project(WATCH, None).leaves_band, None),
    "bench.trace.log_outliers.slips_above": (lambda: log_outliers.slips_above(LEVEL[1]), None),
    "bench.trace.slow_start.unless_unseen": (lambda: slow_start.unless_unseen(findings.unread("free flow"), WATCH, phases.uncut(LEVEL[0])).outcome, None),
    "bench.trace.phases.uncut": (lambda: phases.uncut(LEVEL[0]).rows, None),
    "bench.trace.sentences.leaves": (lambda: sentences.leaves(Q(3, "min"), True), None),
    "bench.bands.by_sheet.gauge_of": (lambda: by_sheet.gauge_of(ALDER).division, "bar"),
    "bench.trace.gathered.gathered": (lambda: gathered.gathered(*LEVEL, 0.1).reference, None),
    "bench.trace.misfit.misfit_of": (lambda: misfit.misfit_of(HELD).better, None),
    "bench.trace.mixture.quantiles": (lambda: mixture.quantiles(np.ones(3), np.arange(3.0), np.ones(3)), None),
    "bench.trace.sentences.reason": (lambda: trace.judge_trace(trace.read_log(LOG)).reason, None),
    "bench.trace.sentences.because": (lambda: trace.judge_trace(trace.read_log(LOG)).because, None),
    "bench.trace.report.lines": (lambda: report.lines(trace.judge_trace(trace.read_log(LOG), ALDER)), None),
    "bench.trace.report.as_json": (lambda: report.as_json(trace.judge_trace(trace.read_log(LOG), ALDER)), None),
    "bench.trace.sharp.usual_noise": (lambda: sharp.usual_noise(*LEVEL, 0.1), None),
    "bench.trace.sharp.sharp_moves": (lambda: sharp.sharp_moves(*LEVEL, 0.1), None),
    "bench.trace.sites.fine_sites": (lambda: sites.fine_sites(HELD.bins, HELD.squares, 0.1, 0.1).log_scale, None),
    "bench.trace.sites.rounded_sites": (_one_sweep, None),
    "bench.trace.teeth.sharp_teeth": (lambda: teeth.sharp_teeth(*LEVEL, []), None),
    "bench.trace.teeth.small_teeth": (lambda: teeth.small_teeth(*LEVEL, 0.1, 0.03), None),
    "bench.trace.earlier.earlier_watches": (lambda: earlier.earlier_watches(phases.uncut(LEVEL[0]), *LEVEL, 0.1, None), None),
    "bench.trace.earlier.surely_failed": (lambda: earlier.surely_failed((findings.unread("free flow"),) * 3, None), None),
    "bench.trace.earlier.left_open": (lambda: earlier.left_open(phases.uncut(LEVEL[0]), LEVEL[0], findings.unread("free flow")), None),
    "bench.bands.by_sheet.which_band": (lambda: by_sheet.which_band(ALDER, "bar")[0].ip_low, "bar"),
    "bench.trace.stopped.stopped": (lambda: stopped.stopped(*LEVEL, 0.1, (0.1, 0.2)), None),
    "bench.trace.stopped.wandered": (lambda: stopped.wandered(*LEVEL, 0.1), None),
    "bench.trace.phases.later_hold": (lambda: phases.later_hold(phases.cut_into_phases(*LEVEL, 0.1), LEVEL[0]), None),
    "bench.trace.taken_for_purges.taken_for_purges": (lambda: taken_for_purges.taken_for_purges(trace.read_log(LOG), phases.cut_into_phases(*LEVEL, 0.1), scale.BAR), None),
    "bench.trace.stretches.stretch_under_pressure": (lambda: stretches.stretch_under_pressure(*LEVEL, [], (0, 19), 0.1)[0], None),
    "bench.trace.work.dips": (lambda: work.dips(*LEVEL, 0.1, []), None),
    "bench.trace.work.spans_of_work": (lambda: work.spans_of_work(*LEVEL, 0.1, []), None),
    "bench.trace.phases.cut_into_phases": (lambda: phases.cut_into_phases(*LEVEL, 0.1), None),
    "bench.trace.verdict.judge_trace": (lambda: trace.judge_trace(trace.read_log(LOG), ALDER, Q(1, "psi/min")).creep_rate.value, "bar/min"),
    "bench.trace.nine.recorded": (lambda: nine.recorded(1).design, None),
    "bench.trace.nine.verdict_on": (lambda: nine.verdict_on(5).creep_rate.value, "bar/min"),
    "bench.diagnosis.examinations.findings": (lambda: examinations.findings("Alder", "sound", 0.0), None),
    "bench.diagnosis.examination_list.tests": (lambda: examination_list.tests("Alder"), None),
    "bench.diagnosis.examination_list.examination": (lambda: examination_list.examination("tap").minutes, None),
    "bench.diagnosis.examination_list.examinations": (lambda: examination_list.examinations("Alder"), None),
    "bench.diagnosis.examination_list.lies_open": (lambda: examination_list.lies_open(["look_seat"]), None),
    "bench.diagnosis.examination_list.price": (lambda: examination_list.price("tap").minutes, None),
    "bench.diagnosis.cause_list.cause_of": (lambda: cause_list.cause_of(["grit"]), None),
    "bench.diagnosis.cause_list.causes": (lambda: cause_list.causes("Alder"), None),
    "bench.diagnosis.cause_list.other_pairs": (lambda: cause_list.other_pairs("Alder"), None),
    "bench.diagnosis.cause_list.cause_name": (lambda: cause_list.cause_name("grit"), None),
    "bench.diagnosis.gauge_kinds.gauge_kind": (lambda: gauge_kinds.gauge_kind("fine").name, None),
    "bench.diagnosis.gauge_kinds.sheet_for": (lambda: gauge_kinds.sheet_for("Alder", "fine").gauge_division, "bar"),
    "bench.diagnosis.gauge_kinds.stop_reading": (lambda: gauge_kinds.stop_reading("Alder", "fine"), None),
    "bench.diagnosis.needle_words.watched": (lambda: needle_words.watched(LEVEL[0], LEVEL[1] * 1e5, gauge_kinds.gauge_kind("fine"), ALDER, 11.5e5, False), None),
    "bench.diagnosis.needle_words.moved": (lambda: needle_words.moved(9e5, 9e5, gauge_kinds.gauge_kind("fine")), None),
    "bench.diagnosis.needle_words.supply_moved": (lambda: needle_words.supply_moved(200e5, 100e5), None),
    "bench.diagnosis.needle_words.repeats": (lambda: needle_words.repeats(np.full(5, 9e5), np.zeros(5), gauge_kinds.gauge_kind("fine")), None),
    "bench.diagnosis.hidden.drawn_hidden": (lambda: hidden.drawn_hidden("Alder", "grit", "fine", Draws("house")).cause, None),
    "bench.diagnosis.hidden.drawn_with": (lambda: hidden.drawn_with("Alder", ("grit",), "fine", Draws("house")).cause, None),
    "bench.diagnosis.hidden.log_of": (lambda: hidden.log_of(hidden.Hidden("Alder"), "tap"), None),
    "bench.diagnosis.counted.turns_of": (lambda: counted.turns_of(hidden.Hidden("Alder")), None),
    "bench.diagnosis.counted.needle_tests_of": (lambda: counted.needle_tests_of("Alder"), None),
    "bench.diagnosis.counted.how_many": (lambda: counted.how_many("Alder", "grit"), None),
    "bench.diagnosis.counted.regulator": (lambda: counted.regulator("Alder", "grit", 0, "fine").cause, None),
    "bench.diagnosis.counted.letters": (lambda: counted.letters(hidden.Hidden("Alder")), None),
    "bench.diagnosis.counted.with_gauges": (lambda: counted.with_gauges("Alder").header, None),
    "bench.diagnosis.counted.parts_of": (lambda: counted.parts_of("Alder"), None),
    "bench.diagnosis.own_tables.own_path": (lambda: own_tables.own_path("causes"), None),
    "bench.diagnosis.own_tables.stamp": (lambda: own_tables.stamp("causes"), None),
    "bench.diagnosis.own_tables.unread": (own_tables.unread, None),
    "bench.diagnosis.own_tables.with_own": (lambda: own_tables.with_own("causes", "cause")[1], None),
    "bench.diagnosis.teaching_values.how_well": (lambda: teaching_values.how_well("loupe").finds, None),
    "bench.diagnosis.teaching_values.sense_outcomes": (lambda: teaching_values.sense_outcomes("listen"), None),
    "bench.diagnosis.teaching_values.sense_chances": (lambda: teaching_values.sense_chances("listen", {}, {}), None),
    "bench.diagnosis.teaching_values.sense_table": (lambda: teaching_values.sense_table("listen", [{}], [{}]), None),
    "bench.diagnosis.teaching_values.old_seat_table": (lambda: teaching_values.old_seat_table([{}]), None),
    "bench.diagnosis.teaching_values.old_seat_chances": (lambda: teaching_values.old_seat_chances({}), None),
    "bench.diagnosis.knowledge.knowledge": (lambda: knowledge.knowledge("Alder").design, None),
    "bench.diagnosis.knowledge.smoothed": (lambda: knowledge.smoothed(np.eye(2), np.zeros(2, int), [("grit",)] * 2, ["grit"] * 2), None),
    "bench.diagnosis.outcome_list.outcomes": (lambda: outcome_list.outcomes("Alder", "tap"), None),
    "bench.diagnosis.shown.shown": (lambda: shown.shown(hidden.Hidden("Alder"), "tap", 0, Draws("house")), None),
    "bench.diagnosis.signals.share_of": (lambda: signals.share_of(knowledge.knowledge("Alder"), "tap")[0], None),
    "bench.diagnosis.signals.known_row": (lambda: signals.known_row("Alder", "sound"), None),
    "bench.diagnosis.beliefs.belief": (lambda: HISS.leader, None),
    "bench.diagnosis.beliefs.before": (lambda: beliefs.before(toy.TOY), None),
    "bench.diagnosis.beliefs.checked": (lambda: beliefs.checked(toy.TOY, []), None),
    "bench.diagnosis.contradiction.doubts_of": (lambda: contradiction.doubts_of(toy.TOY, []), None),
    "bench.diagnosis.spoken.words_of_cause": (lambda: spoken.words_of_cause("grit"), None),
    "bench.diagnosis.spoken.words_of_test": (lambda: spoken.words_of_test("tap"), None),
    "bench.diagnosis.spoken.words_of_mend": (lambda: spoken.words_of_mend("grit"), None),
    "bench.diagnosis.spoken.percent": (lambda: spoken.percent(0.5), None),
    "bench.diagnosis.spoken.first_large": (lambda: spoken.first_large("tap"), None),
    "bench.diagnosis.information.entropy": (lambda: information.entropy([0.5, 0.5]), None),
    "bench.diagnosis.information.times_log": (lambda: information.times_log(np.ones(2)), None),
    "bench.diagnosis.information.information": (lambda: information.information([0.5, 0.5], np.eye(2)), None),
    "bench.diagnosis.information.expected_information": (lambda: information.expected_information(HISS), None),
    "bench.diagnosis.information.value_of_information": (lambda: information.value_of_information([0.5, 0.5], np.eye(2), np.eye(2)).value, None),
    "bench.diagnosis.stacked.stacked": (lambda: stacked.stacked(toy.TOY).tests, None),
    "bench.diagnosis.stacked.joint": (lambda: stacked.joint(stacked.stacked(toy.TOY), HISS.states), None),
    "bench.diagnosis.stacked.joint_of_two": (lambda: stacked.joint_of_two(stacked.stacked(toy.TOY), HISS.states), None),
    "bench.diagnosis.workbench.workbench": (lambda: workbench.workbench("Alder").watches, None),
    "bench.diagnosis.lookahead.minutes_ahead": (lambda: lookahead.minutes_ahead(HISS, toy.TOY_BENCH, 0.95), None),
    "bench.diagnosis.ending.is_gauge": (lambda: ending.is_gauge("gauge_high"), None),
    "bench.diagnosis.ending.gauge_wrong": (lambda: ending.gauge_wrong(HISS), None),
    "bench.diagnosis.ending.why_sure": (lambda: ending.why_sure(HISS, 0.95), None),
    "bench.diagnosis.ending.why_leave_it_shut": (lambda: ending.why_leave_it_shut(HISS), None),
    "bench.diagnosis.ending.why_look_first": (lambda: ending.why_look_first(HISS, "look"), None),
    "bench.diagnosis.ending.why_gauge_first": (lambda: ending.why_gauge_first(HISS), None),
    "bench.diagnosis.ending.why_unsure": (lambda: ending.why_unsure(HISS, toy.TOY_BENCH, {"soap": 0.1}), None),
    "bench.diagnosis.reasons.why_most_telling": (lambda: reasons.why_most_telling(HISS, toy.TOY_BENCH, "soap", {"soap": 0.1}, 0.95), None),
    "bench.diagnosis.reasons.why_cheapest": (lambda: reasons.why_cheapest(HISS, toy.TOY_BENCH, "soap", {"soap": 9.0}, 0.95), None),
    "bench.diagnosis.choice.choose": (lambda: choice.choose(toy.TOY, [], toy.TOY_BENCH).worth, None),
    "bench.diagnosis.other_leaders.change_of_mind": (lambda: other_leaders.change_of_mind(toy.TOY, [], toy.TOY_BENCH)[0].because, None),
    "bench.diagnosis.contract.posterior": (lambda: contract.posterior("Alder", []), None),
    "bench.diagnosis.contract.next_test": (lambda: contract.next_test("Alder", []).worth, None),
    "bench.diagnosis.gas.claims": (gas_in_and_out.claims, None),
    "bench.diagnosis.gas.sign_of": (lambda: gas_in_and_out.sign_of("Alder", "watch_full", "falls"), None),
    "bench.diagnosis.gas.against": (lambda: gas_in_and_out.against("Alder", "seat_nicked", [("watch_full", "falls")])[0].because, None),
    "bench.diagnosis.pairs.severities": (lambda: pairs.severities("grit"), None),
    "bench.diagnosis.pairs.seen_of": (lambda: pairs.seen_of("Alder", "sound"), None),
    "bench.diagnosis.pairs.pairs_told": (pairs.pairs_told, None),
    "bench.diagnosis.pairs.tells_apart": (lambda: pairs.tells_apart(SEEN, SEEN), None),
    "bench.diagnosis.pairs.telling_apart": (lambda: pairs.telling_apart("Alder", ["seat_nicked"]), None),
    "bench.diagnosis.opening.stage_to_open": (lambda: opening.stage_to_open("grit"), None),
    "bench.diagnosis.orders.course_of": (lambda: orders.course_of(TOY, TOY_BENCH, ("tap",)).after(1), None),
    "bench.diagnosis.orders.two_orders": (lambda: orders.two_orders(knowledge.knowledge("Juniper"), (("watch_full", "creeps slowly"), ("loupe_edge", "a chip or a cut ring"))), None),
    "bench.diagnosis.opening.told_apart": (lambda: opening.told_apart("Alder", "sound", "grit"), None),
    "bench.diagnosis.ten_seconds.slow_creep": (lambda: ten_seconds.slow_creep().at_last, None),
    "bench.cleaning.catalogue.parts": (catalogue.parts, None),
    "bench.cleaning.catalogue.soils": (catalogue.soils, None),
    "bench.cleaning.catalogue.methods": (catalogue.methods, None),
    "bench.cleaning.catalogue.known_parts": (catalogue.known_parts, None),
    "bench.cleaning.catalogue.known_soils": (catalogue.known_soils, None),
    "bench.cleaning.catalogue.known_methods": (catalogue.known_methods, None),
    "bench.cleaning.catalogue.law": (lambda: catalogue.law("margin"), None),
    "bench.cleaning.catalogue.rows": (lambda: catalogue.rows("laws"), None),
    "bench.cleaning.catalogue.must_know": (lambda: catalogue.must_know("soil", "salt"), None),
    "bench.cleaning.steps.read_parts": (lambda: steps.read_parts(["brass land"]), None),
    "bench.cleaning.steps.read_soils": (lambda: steps.read_soils(["salt"]), None),
    "bench.cleaning.steps.read_steps": (lambda: steps.read_steps(["strip"]), None),
    "bench.cleaning.removal.removal_rates": (removal.removal_rates, None),
    "bench.cleaning.removal.rate_of": (lambda: removal.rate_of(steps.CleaningStep("rinse"), "salt"), None),
    "bench.cleaning.removal.needed": (lambda: removal.needed("salt"), None),
    "bench.cleaning.removal.scaled_words": (lambda: removal.scaled_words(steps.CleaningStep("rinse"), "salt"), None),
    "bench.cleaning.scratching.hardnesses": (scratching.hardnesses, None),
    "bench.cleaning.scratching.scratch": (lambda: scratching.scratch("steel pick", "brass land").ratio, None),
    "bench.cleaning.harm_rules.acting": (lambda: harm_rules.acting(steps.CleaningStep("mild acid")), None),
    "bench.cleaning.harm_rules.touched": (lambda: harm_rules.touched("PU seat", steps.CleaningStep("mild acid"), harm_rules.Rules()), None),
    "bench.cleaning.limit_rule.our_limits": (lambda: len(limit_rule.our_limits()), None),
    "bench.cleaning.one_part.too_early": (lambda: one_part.too_early(one_part.OnePart("brass land"), "step 1", steps.CleaningStep("rinse")), None),
    "bench.cleaning.one_part.crusts": (lambda: one_part.crusts(["scale"]), None),
    "bench.cleaning.one_part.films_over_crust": (lambda: one_part.films_over_crust(["scale"]), None),
    "bench.cleaning.soiled_parts.sitting": (lambda: soiled_parts.sitting("PU seat", "salt").answer, None),
    "bench.cleaning.soiled_parts.placed": (lambda: soiled_parts.placed(["PU seat"], [(None, "salt")]).pairs, None),
    "bench.cleaning.walk.never_together": (walk.never_together, None),
    "bench.cleaning.order_of_steps.tail_of": (lambda: order_of_steps.tail_of(walk.Walk.of(["brass land"], [], harm_rules.Rules())), None),
    "bench.cleaning.order_of_steps.missing_steps": (lambda: order_of_steps.missing_steps(walk.Walk.of(["brass land"], [], harm_rules.Rules()), []), None),
    "bench.cleaning.cautions.cautions_of": (lambda: cautions.cautions_of([steps.CleaningStep("bleach")]), None),
    "bench.cleaning.cautions.oxygen_service": (cautions.oxygen_service, None),
    "bench.cleaning.cautions.ultrasonic_times": (cautions.ultrasonic_times, None),
    "bench.cleaning.own_rules.read_rules": (lambda: own_rules.read_rules(places.datasets() / "cleaning" / "limits.csv").name, None),
    "bench.cleaning.own_rules.as_rules": (lambda: own_rules.as_rules(None).own, None),
    "bench.cleaning.judged.judge_plan": (lambda: judged.judge_plan(["brass land"], ["salt"], ["rinse"]).minutes, None),
    "bench.cleaning.best.best_plan": (lambda: best.best_plan(["brass land"], ["salt"]).minutes, None),
    "bench.cleaning.ways.task_of": (lambda: ways.task_of([], [], harm_rules.Rules()).needs, None),
    "bench.cleaning.ways.narrowed": (lambda: ways.narrowed(ways.task_of([], [], harm_rules.Rules()), ()).price, None),
    "bench.cleaning.search.search": (lambda: search.search(ways.task_of([], [], harm_rules.Rules())).steps, None),
    "bench.cleaning.best_method.cell": (lambda: best_method.cell("PU seat", "salt").method, None),
    "bench.cleaning.grid.grid": (lambda: choice_grid.grid("PU seat")["salt"][0], None),
    "bench.cleaning.baths.bath_course": (lambda: baths.bath_course("brass land", "salt", steps.CleaningStep("rinse")).clean_at, None),
    "bench.units.numbers.split": (lambda: numbers.split("9,8 bar"), None),
    "bench.units.numbers.value": (lambda: numbers.value("9,8", None), None),
    "bench.units.numbers.in_two_ways": (lambda: numbers.in_two_ways("1,013"), None),
    "bench.units.typed.how_read": (lambda: units.how_read("1,013 bar", "point"), None),
    "bench.units.clock.minutes_and_seconds": (lambda: clock.minutes_and_seconds("10:50"), None),
    "bench.units.unit_advice.no_unit": (lambda: unit_advice.no_unit("±0.1 bar", "10", "pressure"), None),
    "bench.units.unit_advice.shown": (lambda: unit_advice.shown("bear"), None),
    "bench.units.unit_advice.two_quantities": (lambda: unit_advice.two_quantities("min 30 s", "time"), None),
    "bench.units.unit_advice.why_unknown": (lambda: unit_advice.why_unknown("bear", "pressure"), None),
    "bench.units.unit_names.in_symbols": (lambda: unit_names.in_symbols("sq mm"), None),
    "bench.units.unit_names.plain_signs": (lambda: unit_names.plain_signs("mm²"), None),
    "bench.units.unit_names.unit_name": (lambda: unit_names.unit_name("barg", "gauge pressure"), None),
}  # fmt: skip


def test_every_function_of_the_bench_gives_what_it_says() -> None:
    assert set(CALLS) == {name for name, _ in FUNCTIONS if name.startswith("bench.")}
    for name, (call, unit) in CALLS.items():
        result = call()
        assert (unit is None) != hasattr(result, "units"), name
        if unit is not None:
            assert result.check(units.registry.Unit(Q(1, unit).units).dimensionality), name
    budget = GAUGE.budget()
    assert all(row.half_width.check("[pressure]") and row.standard_uncertainty.check("[pressure]") for row in budget)
    assert GAUGE.expanded_uncertainty().check("[pressure]")


def test_physics_functions_survive_a_change_of_units() -> None:
    """Lengths doubled, pressures kept: volumes scale by 8 and so do contents; every physics function is listed."""
    assert {name for name, _ in FUNCTIONS if name.startswith("physics.")} == {
        "physics.gas.real_gas_factor", "physics.gas.density", "physics.gas.cylinder_content", "physics.gas.ideal_content",
        "physics.gas.critical_ratio", "physics.gas.mass_flow", "physics.gas.throttled_temperature",
        "physics.leaks.standard_flow", "physics.leaks.throughput", "physics.leaks.pressure_rise", "physics.leaks.hole_area",
        "physics.leaks.equivalent_diameter",
        "physics.first_stage.chamber_pressure", "physics.first_stage.opening_force", "physics.first_stage.lock_up_gauge",
        "physics.first_stage.supply_slope", "physics.first_stage.adjusted", "physics.first_stage.ledger",
        "physics.first_stage.flowing_gauge", "physics.second_stage.cracking_effort", "physics.second_stage.opening_gauge",
        "physics.plain.flow", "physics.equations.cooling_curve", "physics.cylinder.pressure_curve",
        "physics.passage.port_ratio", "physics.passage.loaded_ratio", "physics.passage.loaded_slope",
        "physics.faults.faults_of", "physics.rig.start", "physics.actions.act",
        "physics.rig.advance", "physics.rig.run", "physics.needle.shown", "physics.needle.log",
        "physics.si.above_zero", "physics.si.not_below_zero",
    }  # fmt: skip
    for content in (gas.cylinder_content, gas.ideal_content):
        assert float(content(8 * 0.01, 2e7)) == pytest.approx(8 * float(content(0.01, 2e7)))
    kilogram, litre = 1000.0, 1000.0  # in gram and litre the density of air is the same number as in kg/m3
    assert float(gas.density(2e7)) * kilogram / litre == pytest.approx(float(gas.density(2e7)))
    assert float(gas.real_gas_factor(2e7)) == pytest.approx(
        2e7 / (float(gas.density(2e7)) * gas.GAS_CONSTANT_AIR * 293.15)
    )


def test_flows_and_forces_survive_a_change_of_units() -> None:
    """Millimetres, tonnes and seconds (pressure in MPa, force in N, energy in mJ) give the same flows and pressures."""
    flow = gas.mass_flow(1e-12, 2e7, 1e6, 293.15, 0.8)
    in_mm = gas.mass_flow(1e-6, 20.0, 1.0, 293.15, 0.8, gas_constant=gas.GAS_CONSTANT_AIR * 1e6)  # mm2, MPa, mm2/(s2 K)
    assert float(in_mm) * 1e3 == pytest.approx(float(flow), rel=1e-12)  # tonnes a second
    assert float(leaks.pressure_rise(flow, 1e-4)) == pytest.approx(1e3 * float(leaks.pressure_rise(flow, 1e-1)))
    assert float(leaks.throughput(flow)) == pytest.approx(float(leaks.standard_flow(flow, 293.15, 1.0)))
    assert float(leaks.hole_area(2e-6)) == pytest.approx(4 * float(leaks.hole_area(1e-6)))
    assert float(leaks.equivalent_diameter(4 * flow, 2e7, 1e6)) == pytest.approx(
        2 * float(leaks.equivalent_diameter(flow, 2e7, 1e6))
    )
    alder, sedge = FirstStage.named("Alder"), SecondStage.named("Sedge")
    doubled = dataclasses.replace(  # twice every length and four times every force: the same pressures
        alder, net_area=4 * alder.net_area, seat_diameter=2 * alder.seat_diameter, spring=4 * alder.spring,
    )  # fmt: skip
    assert float(first_stage.lock_up_gauge(doubled, 2e7)) == pytest.approx(float(first_stage.lock_up_gauge(alder, 2e7)))
    assert first_stage.supply_slope(doubled) == pytest.approx(first_stage.supply_slope(alder))
    wide = dataclasses.replace(
        sedge, orifice_area=4 * sedge.orifice_area, spring=4 * sedge.spring, diaphragm_area=4 * sedge.diaphragm_area
    )
    assert float(second_stage.opening_gauge(wide)) == pytest.approx(float(second_stage.opening_gauge(sedge)))
    assert float(second_stage.cracking_effort(wide, 9e5)) == pytest.approx(
        float(second_stage.cracking_effort(sedge, 9e5))
    )


def test_help_and_import_are_light() -> None:
    """`import steadyneedle` and `--help` load none of the heavy libraries."""
    heavy = "{'matplotlib', 'pandas', 'scipy', 'pint', 'ipywidgets', 'numpy'}"
    for code in (
        f"import sys, steadyneedle; print(sorted({heavy} & set(sys.modules)))",
        f"import sys\nfrom steadyneedle.cli import main\ntry:\n    main(['--help'])\nexcept SystemExit:\n    print(sorted({heavy} & set(sys.modules)))",
        f"import sys\nfrom steadyneedle.cli import main\ntry:\n    main(['study', '--help'])\nexcept SystemExit:\n    print(sorted({heavy} & set(sys.modules)))",
    ):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        assert done.stdout.splitlines()[-1] == "[]", done.stdout + done.stderr


Series = tuple[float, float, float]


def series_of(values: Iterable[float | None]) -> Iterator[Series]:
    """Three numbers in a row, but for evenly spaced ones and weights of one digit: 0, 15, 30 and 1, 2, 5 are nobody's."""
    listed = list(values)
    for one, two, three in zip(listed, listed[1:], listed[2:], strict=False):
        if {one, two, three} <= set(range(10)):  # steps of a scale and weights in a table meet by chance
            continue
        if one is not None and two is not None and three is not None and round(two - one, 9) != round(three - two, 9):
            yield one, two, three


def number_of(cell: str | None) -> float | None:
    try:
        return float(cell or "")
    except ValueError:
        return None


def series_of_the_datasets() -> dict[Series, str]:
    """Every series in a row or a column of a dataset, and the dataset's name."""
    found: dict[Series, str] = {}
    for path in sorted(places.datasets().rglob("*.csv")):
        text = path.read_text(encoding="utf-8-sig")
        rows = list(csv.reader(text.splitlines(), delimiter=";" if ";" in text.partition("\n")[0] else ","))[1:]
        for line in (*rows, *itertools.zip_longest(*rows)):
            found |= dict.fromkeys(series_of(map(number_of, line)), path.name)
    return found


def literal_series(code: str) -> Iterator[Series]:
    """Every series that stands literally in a tuple, list, set or mapping."""

    def value(node: ast.expr) -> float | None:
        try:
            return float(ast.literal_eval(node))
        except (ValueError, TypeError):
            return None

    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Tuple | ast.List | ast.Set):
            yield from series_of(map(value, node.elts))
        elif isinstance(node, ast.Dict):
            yield from series_of(map(value, node.values))


def test_nothing_in_the_package_repeats_a_number_of_the_datasets() -> None:
    """The bank may: what an exercise draws from belongs to its version, and must not move with a dataset."""
    kept = series_of_the_datasets()
    assert kept[0.25, 0.6, 1.0] == "gauge_classes.csv" and (0.25, 0.6, 1.0) in literal_series("x = [0.25, 0.6, 1]")
    package = ROOT / "helpers" / "steadyneedle"
    for path in package.rglob("*.py"):
        if path.parent.name != "bank":
            for one in literal_series(path.read_text(encoding="utf-8")):
                assert one not in kept, f"{path.name} repeats {one} of {kept[one]}"


def test_names_are_given_once() -> None:
    """No two modules of a floor share a name, no two public classes of the package do.

    A lesson's module of questions and its module of panels share the lesson's name on purpose: two floors.
    """
    modules = Counter((name.split(".")[1], name.split(".")[-1]) for name in EVERY_MODULE)
    classes = Counter(
        thing.__name__
        for name in EVERY_MODULE
        for thing in vars(importlib.import_module(name)).values()
        if inspect.isclass(thing) and thing.__module__ == name and not thing.__name__.startswith("_")
    )
    assert [name for name, count in (modules + classes).items() if count > 1] == []
