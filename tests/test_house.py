"""The house itself: floors, style, types, docstrings, what lies at the top, what must never be said."""

from __future__ import annotations

import ast
import dataclasses
import doctest
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

import steadyneedle
import steadyneedle.bench
import steadyneedle.physics
from steadyneedle.bench import bands, sheets, trace, units
from steadyneedle.bench.bands import by_sheet, gauges, readings, risks, rounding
from steadyneedle.bench.trace import (
    advice,
    bins,
    drifts,
    estimate,
    findings,
    fitting,
    gathered,
    logs,
    misfit,
    mixture,
    phases,
    saying,
    sharp,
    sites,
    teeth,
    watch,
)  # fmt: skip
from steadyneedle.bench.units import Q, numbers
from steadyneedle.foundation import places
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
    assert "5 kept, 0 broken" in done.stdout


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
PLAIN = {"bench.units.numbers.split", "bench.units.numbers.value"}
"""The grammar's two inner doors: strings in, strings and floats out."""
NO_SOURCE = {
    "bench.units.formatting.format_number",
    "bench.units.registry.require",
    "bench.bands.decision.format_chance",
    "bench.bands.readings.read_row",
    "bench.units.formatting.formatted",
    "bench.units.formatting.label",
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
    documented = [one for line in re.findall(r"^(\w[\w, ]*?) :", block, re.M) for one in line.split(", ")]
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
LEVEL = (np.arange(20.0), np.full(20, 9.8))
GAUGE = gauges.Gauge(b(16), 1.6, b(0.2))
HELD = gathered.gathered(*LEVEL, 0.1)
WATCH = watch.Watch.over(*LEVEL, 0.1, 5.0)


def _one_sweep() -> Any:
    begin = sites.fine_sites(HELD.bins, HELD.squares, 0.07, 0.1)
    return sites.rounded_sites(sites.Rounded(HELD.bins, HELD.slopes, 0.01, 0.1), HELD.few, begin, 1)[0].log_scale


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
    "bench.bands.decision.judge": (lambda: bands.judge(Q(145, "psi"), b(9.8), b(10.2), Q(10, "kPa")).probability, None),
    "bench.bands.decision.probability_inside": (lambda: bands.probability_inside(10, 9.8, 10.2, 0.1), None),
    "bench.bands.decision.format_chance": (lambda: bands.format_chance(0.5), None),
    "bench.bands.gauges.choose_gauge": (lambda: gauges.choose_gauge(GAUGE, Q(142, "psi"), Q(148, "psi")).best_probability, None),
    "bench.bands.rounding.convert_band": (lambda: rounding.convert_band(b(9.8), b(10.2), "psi", 1).low, "bar"),
    "bench.bands.specification.load_sheets": (ALDER.rise_limit, "bar/min"),
    "bench.bands.by_sheet.judge_by_sheet": (lambda: by_sheet.judge_by_sheet(Q(140, "psi"), ALDER).expanded_uncertainty, "bar"),
    "bench.bands.readings.read_to": (lambda: readings.read_to(Q(145, "psi"), b(0.5), 2), "bar"),
    "bench.bands.readings.scatter": (lambda: readings.scatter([b(1), Q(15, "psi")]).standard_error, "bar"),
    "bench.bands.readings.read_row": (lambda: readings.read_row("1 2", "psi")[0], "bar"),
    "bench.bands.risks.decision_risks": (lambda: risks.decision_risks(10, 0.1, (9.8, 10.2), (9.8, 10.2), 0.1).conforming, None),
    "bench.trace.logs.read_log": (lambda: logs.read_log(LOG).pressure.size, None),
    "bench.trace.fitting.least_squares": (lambda: fitting.least_squares([[1, 1, 1]], [1.0, 2.0, 3.0]).deviation, None),
    "bench.trace.fitting.settling_curve": (lambda: fitting.settling_curve(range(9), [n**0.5 for n in range(9)]).rate, None),
    "bench.trace.fitting.lag_one": (lambda: fitting.lag_one([1.0, 2.0, 4.0]), None),
    "bench.trace.fitting.effective_count": (lambda: fitting.effective_count(9, 0.5), None),
    "bench.trace.fitting.drift_line": (lambda: fitting.drift_line(range(9), [n**0.5 for n in range(9)]).slope, None),
    "bench.trace.estimate.estimate_hold": (lambda: estimate.estimate_hold([0, 15, 30, 45], [9.8, 9.8, 9.9, 9.9], 0.1).rate().value, None),
    "bench.trace.advice.stop_pressure": (lambda: advice.stop_pressure(ALDER), None),
    "bench.trace.advice.stop_passed": (lambda: advice.stop_passed(*LEVEL, 9.0), None),
    "bench.trace.advice.advise": (lambda: advice.advise(WATCH, 0.02, 12.0, True), None),
    "bench.trace.bins.binned": (lambda: bins.binned(*LEVEL, 0.1).count, None),
    "bench.trace.drifts.drifts_in_bins": (lambda: drifts.drifts_in_bins(HELD.bins, HELD.law, np.array([0])), None),
    "bench.trace.drifts.drifts_at": (lambda: drifts.drifts_at(LEVEL[0], HELD.bins, HELD.law, np.array([0])), None),
    "bench.trace.drifts.drifts_between": (lambda: drifts.drifts_between(LEVEL[0], HELD.law, np.array([0])), None),
    "bench.trace.findings.find_band": (lambda: findings.find_band(WATCH, ALDER).value, "bar"),
    "bench.trace.findings.find_rise": (lambda: findings.find_rise(WATCH, ALDER, 0.1).allowed, "bar"),
    "bench.trace.findings.find_rate": (lambda: findings.find_rate(WATCH, 0.02).low, "bar/min"),
    "bench.trace.findings.unread": (lambda: findings.unread("saw-tooth").because, None),
    "bench.trace.findings.between": (lambda: findings.between(b(1), b(2), 1), None),
    "bench.trace.gathered.gathered": (lambda: gathered.gathered(*LEVEL, 0.1).reference, None),
    "bench.trace.misfit.misfit_of": (lambda: misfit.misfit_of(HELD).better, None),
    "bench.trace.mixture.quantiles": (lambda: mixture.quantiles(np.ones(3), np.arange(3.0), np.ones(3)), None),
    "bench.trace.saying.reason": (lambda: trace.judge_trace(logs.read_log(LOG)).reason, None),
    "bench.trace.saying.because": (lambda: trace.judge_trace(logs.read_log(LOG)).because, None),
    "bench.trace.saying.lines": (lambda: saying.lines(trace.judge_trace(logs.read_log(LOG), ALDER)), None),
    "bench.trace.saying.as_json": (lambda: saying.as_json(trace.judge_trace(logs.read_log(LOG), ALDER)), None),
    "bench.trace.sharp.usual_noise": (lambda: sharp.usual_noise(*LEVEL, 0.1), None),
    "bench.trace.sharp.sharp_moves": (lambda: sharp.sharp_moves(*LEVEL, 0.1), None),
    "bench.trace.sites.fine_sites": (lambda: sites.fine_sites(HELD.bins, HELD.squares, 0.1, 0.1).log_scale, None),
    "bench.trace.sites.rounded_sites": (_one_sweep, None),
    "bench.trace.teeth.sharp_teeth": (lambda: teeth.sharp_teeth(*LEVEL, []), None),
    "bench.trace.teeth.small_teeth": (lambda: teeth.small_teeth(*LEVEL, 0.1, 0.03), None),
    "bench.trace.phases.cut_into_phases": (lambda: phases.cut_into_phases(*LEVEL, 0.1), None),
    "bench.trace.verdict.judge_trace": (lambda: trace.judge_trace(logs.read_log(LOG), ALDER, Q(1, "psi/min")).creep_rate.value, "bar/min"),
    "bench.units.numbers.split": (lambda: numbers.split("9,8 bar"), None),
    "bench.units.numbers.value": (lambda: numbers.value("9,8", None), None),
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
        "physics.equations.flow", "physics.equations.cooling_curve", "physics.rig.start", "physics.actions.act",
        "physics.rig.advance", "physics.rig.run", "physics.needle.shown", "physics.needle.log", "bench.diagnosis.examinations.findings",
        "bench.diagnosis.examinations.severities", "bench.diagnosis.examinations.seen_of", "bench.diagnosis.examinations.tells_apart",
        "bench.diagnosis.examinations.telling_apart",
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


def test_nothing_in_the_package_repeats_a_number_of_the_datasets() -> None:
    for path in (ROOT / "helpers" / "steadyneedle").rglob("*.py"):
        assert "0.1, 0.25, 0.6, 1.0, 1.6" not in path.read_text(encoding="utf-8") or path.name == "datasets.py"
