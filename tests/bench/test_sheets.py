"""Specification sheets: any unit, half-filled, wrong in every way a person can be wrong."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from steadyneedle.bench.sheets import Sheet, load_sheets
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places

CONTRACT = [
    "name",
    "ip_low_bar",
    "ip_high_bar",
    "supply_bar",
    "allowed_rise_bar",
    "rise_minutes",
    "purges",
    "second_stage_opens_bar",
    "cracking_low_mbar",
    "cracking_high_mbar",
    "exhalation_max_mbar",
    "flow_l_min",
    "droop_bar",
    "torque_n_m",
    "gauge_span_bar",
    "gauge_class_percent",
    "gauge_division_bar",
    "rule",
    "required_probability",
    "source",
]


def load(folder: Path, text: str | bytes, name: str = "own.csv") -> dict[str, Sheet]:
    data = text.encode("utf-8") if isinstance(text, str) else text
    (folder / name).write_bytes(data)
    return load_sheets(folder)


def test_every_column_of_the_contract_is_read(tmp_path: Path) -> None:
    row = "Alder,9,10,200,0.2,5,4,12,2,4,1.5,400,1.5,30,16,1.6,0.2,guarded,0.95,invented"
    sheet = load(tmp_path, ",".join(CONTRACT) + "\n" + row + "\n")["Alder"]
    assert sheet.ip_low == Q(9, "bar") and sheet.ip_high == Q(10, "bar") and sheet.supply == Q(200, "bar")
    assert sheet.allowed_rise == Q(0.2, "bar") and sheet.rise_time == Q(5, "min") and sheet.purges == 4
    assert sheet.second_stage_opens == Q(12, "bar") and sheet.cracking_low == Q(2, "mbar")
    assert sheet.cracking_high == Q(4, "mbar") and sheet.exhalation_max == Q(1.5, "mbar")
    assert sheet.flow == Q(400, "L/min") and sheet.droop == Q(1.5, "bar") and sheet.torque == Q(30, "N m")
    assert (
        sheet.gauge_span == Q(16, "bar")
        and sheet.gauge_class == Q(1.6, "percent")
        and sheet.gauge_division == Q(0.2, "bar")
    )
    assert sheet.rule == "guarded" and sheet.required_probability == 0.95 and sheet.source == "invented"
    assert sheet.rise_limit().to("bar/min").magnitude == pytest.approx(0.04)
    assert sheet.warnings == ()


def test_any_unit_of_the_kind_may_end_a_column(tmp_path: Path) -> None:
    head = "name,ip_low_psi,ip_high_psi,supply_mpa,rise_seconds,allowed_rise_kpa,cracking_low_inh2o,flow_l_s,torque_lbf_ft,gauge_span_kgf_cm2"
    sheet = load(tmp_path, head + "\nX,140,145,20,300,10,1.2,6.5,25,16\n")["x"]
    assert sheet.ip_low == Q(140, "psi") and sheet.supply == Q(200, "bar")
    assert sheet.rise_time.to("min").magnitude == 5 and sheet.cracking_low == Q(1.2, "inH2O")
    assert sheet.flow.to("L/min").magnitude == pytest.approx(390) and sheet.torque == Q(25, "lbf ft")
    assert sheet.gauge_span == Q(16, "kgf/cm2")


def test_names_take_any_case(tmp_path: Path) -> None:
    sheets = load(tmp_path, "name,ip_low_bar\nJuniper,9.8\n")
    assert sheets["JUNIPER"].name == "Juniper" and "juniper" in sheets and sheets.get("jUNIPER") is not None
    assert sheets.get("Oak") is None and "Oak" not in sheets and list(sheets) == ["Juniper"]
    with pytest.raises(KeyError):
        sheets["Oak"]


def test_a_half_filled_sheet_works_for_what_it_has(tmp_path: Path) -> None:
    sheet = load(tmp_path, "name,ip_low_bar,ip_high_bar,gauge_span_bar,allowed_rise_bar\nX,9.8,10.2,16,\n")["X"]
    assert (
        sheet.ip_low == Q(9.8, "bar") and sheet.supply is None and sheet.gauge() is None and sheet.rise_limit() is None
    )
    only_name = load(tmp_path, "name\nX\n")["X"]
    assert only_name.ip_low is None


def test_semicolons_and_decimal_commas(tmp_path: Path) -> None:
    text = "\ufeffname;ip_low_bar;ip_high_bar\r\nX;9,8;10,2\r\n\r\n"
    sheet = load(tmp_path, text)["X"]
    assert (sheet.ip_low, sheet.ip_high) == (Q(9.8, "bar"), Q(10.2, "bar"))
    assert load(tmp_path, "name;ip_low_bar\nX;9.8\n")["X"].ip_low == Q(9.8, "bar")


def test_two_lines_of_one_band_that_disagree_warn(tmp_path: Path) -> None:
    sheet = load(
        tmp_path,
        "name,ip_low_bar,ip_high_bar,ip_low_psi,ip_high_psi,supply_bar,source\nX,9.8,10.2,140,150,200,m\n",
    )["X"]
    assert sheet.ip_low == Q(9.8, "bar") and len(sheet.printed_bands) == 2
    assert sheet.warnings == (
        "X: the band 140 to 150 psi is 9.653 to 10.34 bar, wider than the band 9.8 to 10.2 bar beside it. "
        "Lessons use 9.8 to 10.2 bar.",
    )
    agreeing = load(
        tmp_path,
        "name,ip_low_bar,ip_high_bar,ip_low_psi,ip_high_psi,supply_bar,source\nX,10,11,145.04,159.54,200,m\n",
    )["X"]
    assert agreeing.warnings == ()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "own.csv is empty"),
        ("name,ip_low_bar\n", "hold no regulator"),
        ("ip_low_bar\n9\n", "expected a column called name"),
        ("name,ip_low\nX,9\n", "own.csv, row 1, column ip_low: 'ip_low', expected a unit at the end"),
        ("name,ip_low_furlong\nX,9\n", "expected a unit at the end, one of ip_low_bar"),
        ("name,colour\nX,red\n", "row 1, column colour: 'colour', expected one of name, ip_low_bar"),
        ("name,ip_low_bar,ip_low_bar\nX,9,9\n", "expected each column once"),
        ("name,ip_low_bar\n,9\n", "row 2, column name: '', expected the regulator's name"),
        ("name,ip_low_bar\nX,9.8 bar\n", "row 2, column ip_low_bar: '9.8 bar', expected a number alone"),
        ("name,ip_low_bar\nX,nine\n", "'nine', expected a number alone"),
        ("name,ip_low_bar\nX,-9\n", "'-9', expected a number above 0 in bar"),
        ("name,ip_low_bar\nX,nan\n", "'nan', expected a number alone"),
        ("name,ip_low_bar\nX,14200\n", "expected less than 1000 bar"),
        (
            "name,ip_low_bar,ip_high_bar\nX,10.2,9.8\n",
            "column ip_high_bar: '9.8', expected more than the low limit 10.2 bar",
        ),
        (
            "name,ip_low_bar,ip_high_psi\nX,10.2,100\n",
            "column ip_high_psi: '100', expected more than the low limit",
        ),
        ("name,purges\nX,2.5\n", "'2.5', expected a whole number of purges"),
        ("name,rule\nX,strict\n", "'strict', expected one of simple, guarded, probability"),
        ("name,required_probability\nX,95\n", "'95', expected a probability from 0.5 to 1"),
        ("name,gauge_class_percent\nX,160\n", "'160', expected a class of at most 100"),
        ("name,ip_low_bar\nX,9,8\n", "row 2: 3 cells, but the header has 2 columns"),
        ("name,ip_low_bar\nX,9\nx,9\n", "row 3, column name: 'x' stands in these sheets twice"),
        (b"\xff\xfen\x00a\x00", "row 1, column na: 'na', expected one of name"),
    ],
)
def test_what_is_wrong_is_named(tmp_path: Path, text: str | bytes, sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        load(tmp_path, text)


def test_folders_that_hold_nothing_are_named(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="There is no folder"):
        load_sheets(tmp_path / "nowhere")
    with pytest.raises(ValueError, match="No CSV file in"):
        load_sheets(tmp_path)


def test_the_example_is_invented_and_shows_the_trap() -> None:
    sheets = load_sheets(places.datasets() / "sheets")
    assert list(sheets) == ["Alder", "Rowan", "Hazel", "Juniper", "Linden"]
    assert all(sheet.source == "invented" for sheet in sheets.values())
    assert "145 to 150 psi is 9.997 to 10.34 bar, higher than" in sheets["Juniper"].warnings[0]


@pytest.mark.parametrize(
    ("columns", "cells", "said"),
    [
        ("supply_bar,supply_psi", "200,1000", "the supply is 200 bar, and 1000 psi beside it is 68.95 bar."),
        ("allowed_rise_bar,allowed_rise_psi", "0.2,30", "the allowed rise is 0.2 bar, and 30 psi beside it is 2.068"),
        ("rise_minutes,rise_seconds", "5,30", "the time for the rise is 5 min, and 30 s beside it is 0.5 min."),
        ("ip_low_bar,ip_low_psi,ip_high_bar", "9.8,120,10.2", "the IP low is 9.8 bar, and 120 psi beside it is 8.274"),
        ("supply_bar,supply_psi", "200,3000", ""),
        ("allowed_rise_bar,allowed_rise_psi", "0.2,3", ""),
        ("rise_minutes,rise_seconds", "5,300", ""),
    ],
)
def test_a_quantity_in_two_units_that_differ_gets_a_note(tmp_path: Path, columns: str, cells: str, said: str) -> None:
    sheet = load(tmp_path, f"name,{columns},source\nOurs,{cells},m\n")["Ours"]
    notes = [one for one in sheet.warnings if "mistyped" in one]
    assert [said in one for one in notes] == [True] * bool(said), sheet.warnings


@pytest.mark.parametrize(("unit", "low", "high"), [("bar", 9.8, 9.805), ("mpa", 0.98, 0.981)])
def test_a_narrow_band_gets_a_note(tmp_path: Path, unit: str, low: float, high: float) -> None:
    sheet = load(tmp_path, f"name,ip_low_{unit},ip_high_{unit}\nOurs,{low},{high}\n")["Ours"]
    assert "bar wide. Check the unit, and the decimal mark." in sheet.warnings[0]


def test_odd_values_get_a_note_and_a_comment_stands_above_the_header(tmp_path: Path) -> None:
    text = "# our bench, 2026\nname,supply_bar,cracking_low_mbar,cracking_high_mbar,source\nOurs,20,2.5,40,m\n"
    assert load(tmp_path, text)["Ours"].warnings == (
        "Ours: a supply of 20 bar is unusual. Check the unit, and the decimal mark.",
        "Ours: a cracking effort of 40 mbar is unusual. Check the unit, and the decimal mark.",
    )
