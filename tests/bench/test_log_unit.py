"""A verdict speaks the log's own unit of pressure, or the one that is asked for. Factors: NIST SP 811 Appendix B.8."""

from __future__ import annotations

import dataclasses
import json
import re
from functools import cache

import numpy as np
import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import Log, TraceVerdict, judge_trace, nine, read_text
from steadyneedle.bench.trace.scale import Scale
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")
PA = {"psi": 6894.757, "kPa": 1e3, "MPa": 1e6, "kgf/cm²": 98066.5, "mbar": 100.0}
JUDGED_IN = ("psi", "MPa", "kgf/cm²")
TIME = np.arange(0.0, 601.0, 15.0)

LOGS = {
    **{f"trace {number}": nine.recorded(number).log for number in range(1, nine.TRACES + 1)},
    "jumped": Log.from_arrays(TIME, 9.6 + 0.3 * (TIME > 200), "bar", 0.02),
    "swings": Log.from_arrays(TIME, 9.6 + 0.4 * np.sin(TIME / 20), "bar", 0.05),
    "passed the stop": Log.from_arrays(TIME, 9.8 + 0.6 * TIME / 60, "bar", 0.1),
    "one low reading": Log.from_arrays(TIME, np.where(TIME == 300, 8.4, 9.6), "bar", 0.1),
    "watched too short": Log.from_arrays(TIME[:9], np.where(TIME[:9] > 60, 9.7, 9.6), "bar", 0.1),
    "no pressure": Log.from_arrays(TIME, 0.4 + 0.1 * (TIME > 300), "bar", 0.1),
}


@cache
def judged(name: str, unit: str) -> TraceVerdict:
    log = LOGS[name]
    sheet = None if name == "no pressure" else SHEETS["Rowan"]
    return judge_trace(dataclasses.replace(log, unit=unit), sheet)


NUMBERS = r"(-?\d+(?:\.\d+)?)(?: to (-?\d+(?:\.\d+)?))? {}(?![\w²])"


def numbers_of(words: str, unit: str) -> tuple[str, list[str]]:
    """Words without the numbers of a unit, and those numbers."""
    pattern = re.compile(NUMBERS.format(re.escape(unit)))
    numbers = [one for found in pattern.findall(words) for one in found if one]
    return CHANCE.sub("probability #", pattern.sub("#", words)), numbers


CHANCE = re.compile(r"probability (?:over |under )?(\d+(?:\.\d)?) %")


def chance_of(words: str) -> float:
    found = CHANCE.search(words)
    return float(found[1]) if found else 0.0


def last_digit(number: str) -> float:
    return 10.0 ** -len(number.partition(".")[2])


@pytest.mark.parametrize("unit", JUDGED_IN)
@pytest.mark.parametrize("name", list(LOGS))
def test_every_sentence_says_the_same_in_the_logs_own_unit(name: str, unit: str) -> None:
    """The same sentences as in bar; each number is the one in bar, as far as both are rounded."""
    typed = {"kgf/cm²": "kg/cm2", "psi": "psig"}.get(unit, unit)
    own, bar = judged(name, typed), judged(name, "bar")
    assert own.outcome == bar.outcome and own.conforms == bar.conforms
    for one, other in zip(own.lines(), bar.lines(), strict=True):
        words, numbers = numbers_of(one, unit)
        expected, in_bar = numbers_of(other, "bar")
        assert words == expected and " bar" not in one
        assert chance_of(one) == pytest.approx(chance_of(other), abs=4), "of a reading rounded in either unit"
        assert len(numbers) == len(in_bar)
        for number, there in zip(numbers, in_bar, strict=True):
            rounded = 0.51 * last_digit(number) + 0.51 * last_digit(there) * 1e5 / PA[unit]
            # a stop and a limit have as many figures as they need: 12 bar are 174 psi
            assert float(number) == pytest.approx(float(there) * 1e5 / PA[unit], abs=rounded), (one, other)


@pytest.mark.parametrize("unit", JUDGED_IN)
def test_numbers_are_in_the_unit_that_they_name(unit: str) -> None:
    for name in LOGS:
        own, bar = (json.loads(json.dumps(judged(name, which).as_json())) for which in (unit, "bar"))
        for key in ("band", "rise", "rate", "lock_up", "settle", "creep_rate", "stop"):
            if "unit" not in own[key]:
                assert "unit" not in bar[key]
                continue
            assert own[key]["unit"] == bar[key]["unit"].replace("bar", unit)
            for part in ("value", "low", "high", "allowed"):
                if bar[key].get(part) is not None:
                    assert own[key][part] == pytest.approx(bar[key][part] * 1e5 / PA[unit], rel=1e-6), (name, key)
        assert not re.search(r"\d bar", json.dumps(own))


def test_a_unit_that_is_asked_for_goes_before_the_logs_own() -> None:
    log = LOGS["trace 5"]
    asked = judge_trace(log, SHEETS["Rowan"], Q(0.3, "psi/min"), unit="psi")
    assert asked.limit.magnitude == pytest.approx(0.3) and "0.30 psi/min" in asked.lines()[-1]
    assert judge_trace(log, unit="PSIG").because == judge_trace(dataclasses.replace(log, unit="psi")).because
    with pytest.raises(ValueError, match=r"Unknown unit 'furlong' of pressure\. Type for example bar, psi or kPa\."):
        judge_trace(log, unit="furlong")


def test_a_sheet_in_psi_is_said_in_bar_to_a_log_in_bar() -> None:
    """130 to 138 psi are 8.963 to 9.515 bar, by hand."""
    sheet = dataclasses.replace(SHEETS["Rowan"], ip_low=Q(130, "psi"), ip_high=Q(138, "psi"))
    words = judge_trace(LOGS["trace 1"], sheet).band.because
    assert "8.963 to 9.515 bar" in words and "psi" not in words


def test_decimals_tell_about_as_much_in_every_unit() -> None:
    """A last digit is at most three times as coarse or as fine as 0.01 bar is."""
    for unit, pascal in PA.items():
        digit = 10.0 ** -Scale.of(unit).decimals(2)
        assert unit == "mbar" or 1 / 3.3 < digit * pascal / 1000 < 3.3, unit
    assert Scale.of("psi").decimals(2) == 1 and Scale.of("psi").decimals(3) == 2


def test_a_typed_log_in_psi_has_no_bar_in_it() -> None:
    rows = "\n".join(f"{n // 2}:{30 * (n % 2):02d}\t{140 + n // 3}" for n in range(20))
    verdict = judge_trace(read_text(f"mm:ss\tIP psi\n{rows}"), SHEETS["Rowan"])
    assert all(not re.search(r"\bbar\b", line) for line in verdict.lines())
    assert verdict.lock_up.value.magnitude == pytest.approx(140, abs=1)
