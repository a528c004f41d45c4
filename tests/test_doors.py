"""The doors that stay: what other code may import, and how it may call it. From the package nothing else is imported."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from steadyneedle.bench.bands import judge
from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import Log, judge_trace, read_log, read_text
from steadyneedle.bench.units import Q, absolute_to_gauge, gauge_to_absolute, read_quantity
from steadyneedle.foundation.places import datasets
from steadyneedle.physics.actions import Action
from steadyneedle.physics.gas import mass_flow
from steadyneedle.physics.rig import run, start

NEEDED = inspect.Parameter.empty
BAR = 1e5
AT_THE_SURFACE = 101325.0

SIGNATURES: list[tuple[Callable[..., Any], dict[str, object]]] = [
    (read_quantity, {"text": NEEDED, "kind": "pressure", "decimal": None}),
    (Q, {"value": NEEDED, "unit": NEEDED}),
    (gauge_to_absolute, {"gauge": NEEDED, "ambient": NEEDED}),
    (absolute_to_gauge, {"absolute": NEEDED, "ambient": NEEDED}),
    (judge, {
        "reading": NEEDED, "low": NEEDED, "high": NEEDED, "expanded_uncertainty": NEEDED, "rule": "simple",
        "required_probability": 0.95,
    }),
    (read_log, {"path": NEEDED, "columns": None, "decimal": None}),
    (read_text, {"text": NEEDED, "name": "The log", "columns": None, "decimal": None}),
    (Log.from_arrays, {"time_s": NEEDED, "pressure": NEEDED, "unit": NEEDED, "division": None}),
    (judge_trace, {"log": NEEDED, "sheet": None, "creep_limit": None, "unit": None}),
    (load_sheets, {"folder": NEEDED}),
    (start, {"design": NEEDED, "faults": None, "supply": 200 * BAR + AT_THE_SURFACE}),
    (run, {"moment": NEEDED, "actions": NEEDED, "until": NEEDED, "every": 0.5}),
    (Action, {"time": NEEDED, "what": NEEDED, "value": 0.0}),
    (mass_flow, {
        "area": NEEDED, "upstream": NEEDED, "downstream": NEEDED, "temperature": NEEDED, "discharge_coefficient": 1.0,
        "heat_capacity_ratio": 1.4, "gas_constant": 287.05,
    }),
    (datasets, {}),
]  # fmt: skip


@pytest.mark.parametrize(("door", "expected"), SIGNATURES, ids=[door.__qualname__ for door, _ in SIGNATURES])
def test_arguments_keep_their_names_places_and_defaults(door: Callable[..., Any], expected: dict[str, object]) -> None:
    """More may come behind them, if it can be left out."""
    parameters = list(inspect.signature(door).parameters.values())
    assert {one.name: one.default for one in parameters[: len(expected)]} == expected
    assert [one.name for one in parameters[: len(expected)]] == list(expected)
    assert all(one.kind is one.POSITIONAL_OR_KEYWORD for one in parameters[: len(expected)])
    assert all(one.default is not NEEDED for one in parameters[len(expected) :])


def test_units() -> None:
    """Definitions: 1 MPa is 10 bar; absolute is gauge plus ambient."""
    assert read_quantity("1 MPa") == Q(10, "bar")
    assert read_quantity("9,8 bar", "gauge pressure", "comma") == Q(9.8, "bar")
    assert gauge_to_absolute(Q(10, "bar"), Q(1, "bar")) == Q(11, "bar")
    assert absolute_to_gauge(Q(11, "bar"), Q(1, "bar")) == Q(10, "bar")


def test_a_reading_and_a_band() -> None:
    """A definition: simple acceptance looks at the reading alone."""
    band = (Q(9.8, "bar"), Q(10.2, "bar"), Q(0.1, "bar"))
    for reading, outcome in ((10.0, "inside"), (10.3, "outside")):
        verdict = judge(Q(reading, "bar"), *band)
        assert verdict.outcome == outcome and verdict.because and 0 <= verdict.probability <= 1
    assert judge(Q(10.15, "bar"), *band, rule="guarded").outcome == "cannot tell"


def test_sheets() -> None:
    """The example sheet is invented; its numbers are not looked at here, only that they are pressures and rates."""
    sheets = load_sheets(datasets() / "sheets")
    assert {"Alder", "Rowan", "Hazel", "Juniper", "Linden"} <= set(sheets)
    alder = sheets["Alder"]
    limit, supply = alder.rise_limit(), alder.supply
    assert limit is not None and limit.check("[pressure]/[time]") and limit > Q(0, "bar/min")
    assert supply is not None and supply.check("[pressure]") and supply > alder.ip_high


def test_logs() -> None:
    """An invented log: 0.1 bar in two minutes, read to 0.1 bar for ten."""
    times = np.arange(0.0, 601.0, 15.0)
    log = Log.from_arrays(times, 9.8 + 0.1 * np.round(times / 120), "bar", 0.1)
    verdict = judge_trace(log, load_sheets(datasets() / "sheets")["Juniper"], Q(0.02, "bar/min"))
    assert verdict.outcome == "creeps"
    rate = verdict.creep_rate
    assert rate.low < Q(0.05, "bar/min") < rate.high
    lines = verdict.lines()
    assert lines and all(isinstance(line, str) for line in lines) and lines[0].startswith("Conforms: no. ")
    assert any(line.startswith("creeps: ") for line in lines)


def test_a_log_in_a_file(tmp_path: Path) -> None:
    """Invented: a needle that stands, once with a header and once with the columns named."""
    rows = "".join(f"{second},9.8\n" for second in range(0, 61, 15))
    headed, bare = tmp_path / "headed.csv", tmp_path / "bare.csv"
    headed.write_text("time_s,pressure_bar\n" + rows, encoding="utf-8")
    bare.write_text(rows, encoding="utf-8")
    first, second = read_log(headed), read_log(bare, ["time_s", "pressure_bar"])
    assert isinstance(first, Log) and first.time.tolist() == second.time.tolist() == [0, 15, 30, 45, 60]
    assert first.pressure.tolist() == second.pressure.tolist() == [9.8] * 5


def test_the_rig() -> None:
    """A definition of lock-up: with the valve open and nothing drawn, IP stands well below supply and stays."""
    bench, trace = run(start("Juniper"), [Action(0.0, "valve", 1.0), Action(20.0, "purge", 1.0)], 90.0)
    assert bench.time == 90.0
    shown = trace.at([80.0, 90.0])
    assert shown.shape == (2,) and 5 * BAR < shown[0] < 20 * BAR
    assert shown[1] == pytest.approx(shown[0], abs=0.02 * BAR)
    assert float(trace.at(90.0)) == pytest.approx(bench.ip_gauge)


def test_flow_through_a_hole() -> None:
    """Choked flow does not feel the pressure behind the hole. Critical ratio 0.5283: Aeronautical Engineer's Data Book,
    Table A4.1."""
    flows = mass_flow(1e-6, 10 * BAR, np.array([1.0, 5.0, 9.0]) * BAR, 293.15)
    assert flows[0] == flows[1] > flows[2] > 0


def test_datasets_are_there() -> None:
    assert (datasets() / "faults.csv").is_file()
