"""What a log's division, its slips and an idle gauge leave open: logs made by hand, judged by the invented sheets. Half a
division either way for a reading, and 1, 2 or 5 of a power of ten for steps: EN 837-1:1996; the rest is our own rule."""

from __future__ import annotations

import numpy as np
import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import Log, TraceVerdict, judge_trace, read_text
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")
QUARTER = np.arange(0.0, 421.0, 15.0)


def typed(cells: list[str], every: float = 30.0, unit: str = "bar") -> Log:
    rows = "\n".join(f"{n * every:g},{cell}" for n, cell in enumerate(cells))
    return read_text(f"time_s,pressure_{unit}\n{rows}")


def judged(cells: list[str], sheet: str = "Juniper", every: float = 30.0, unit: str = "bar") -> TraceVerdict:
    return judge_trace(typed(cells, every, unit), SHEETS[sheet])


@pytest.mark.parametrize(
    ("level", "division", "sheet"),
    [(10.0, 1.0, "Juniper"), (10.0, 0.5, "Juniper"), (9.0, 0.5, "Alder"), (9.0, 1.0, "Alder"), (9.5, 0.5, "Hazel")],
)
def test_a_gauge_too_coarse_for_its_sheet_passes_nobody(level: float, division: float, sheet: str) -> None:
    """The needle may stand, and may have risen, anywhere within half a division: 0.25 or 0.5 bar, and 0.1 or 0.2 is allowed."""
    verdict = judge_trace(Log.from_arrays(QUARTER, np.full(QUARTER.size, level), "bar", division), SHEETS[sheet])
    assert verdict.conforms == "cannot tell" and verdict.rise.outcome == "cannot tell"
    assert verdict.rise.allowed == SHEETS[sheet].allowed_rise
    assert "finer gauge" in verdict.reason and verdict.watch_longer is None, "watching longer does not help"


def test_the_band_takes_the_logs_division_into_u() -> None:
    """Juniper's U is 2 sqrt((0.096² + 0.05²)/3) = 0.125 bar; with steps of 0.5 bar 2 sqrt((0.096² + 0.25²)/3) = 0.31 bar."""
    fine, coarse = (
        judge_trace(Log.from_arrays(QUARTER, np.full(QUARTER.size, 10.0), "bar", step), SHEETS["Juniper"]).band
        for step in (0.1, 0.5)
    )
    assert "U = 0.12 bar" in fine.because and fine.outcome == "inside"
    assert "U = 0.31 bar" in coarse.because and coarse.outcome == "cannot tell"
    near = judge_trace(Log.from_arrays(QUARTER, np.full(QUARTER.size, 9.5), "bar", 0.5), SHEETS["Alder"]).band
    assert (
        near.outcome == "cannot tell"
        and "nobody can tell whether that lies in the band 8.6 bar to 9.6 bar" in near.because
    )
    far = judge_trace(Log.from_arrays(QUARTER, np.full(QUARTER.size, 11.0), "bar", 0.5), SHEETS["Alder"])
    assert far.conforms == "no", "half a division off is out too"


WRITTEN = [
    (["10.0"] * 9, "bar", 0.5), (["9.7"] * 9, "bar", 0.1), (["9.8", "10", "9.9"], "bar", 0.1), (["10.00", "10.05", "10.10"] * 3, "bar", 0.05),
    (["9.00", "9.05"] * 4, "bar", 0.05), (["9.6", "9.8"] * 4, "bar", 0.2), (["10"] * 9, "bar", 1.0), (["1000"] * 9, "kPa", 50), (["980"] * 9, "kPa", 10),
    (["1000", "1020"] * 4, "kPa", 20), (["140", "142"] * 4, "psi", 2), (["145"] * 9, "psi", 5), (["144"] * 9, "psi", 1), (["10.0"] * 8 + ["9.0"], "bar", 0.5), (["10.0"] * 8 + ["9.9"], "bar", 0.1),
    (["9.8", "9.9", "10.1", "10.2"], "bar", 0.1), (["1.00"] * 5, "MPa", 0.05), (["9.653", "9.722"] * 4, "bar", 0.069),
]  # fmt: skip


@pytest.mark.parametrize(
    ("cells", "unit", "division"), WRITTEN, ids=[f"{one[0][0]} {one[0][-1]} {one[1]}" for one in WRITTEN]
)
def test_decimals_as_written_bound_the_division(cells: list[str], unit: str, division: float) -> None:
    bar = {"bar": 1.0, "kPa": 0.01, "psi": 0.0689476, "MPa": 10.0}[unit]
    assert typed(cells, unit=unit).division == pytest.approx(division * bar, rel=1e-5)


def test_arrays_of_few_readings_say_what_was_taken() -> None:
    log = Log.from_arrays(QUARTER, np.full(QUARTER.size, 10.0), "bar")
    assert log.division == 1.0 and "taken as 1 bar" in log.notes[0]
    assert judge_trace(log, SHEETS["Juniper"]).conforms == "cannot tell"
    assert Log.from_arrays(QUARTER, np.full(QUARTER.size, 10.0), "bar", 0.1).notes == ()


@pytest.mark.parametrize("unit", ["kPa", "bar"])
def test_a_needle_between_two_marks_is_no_saw_tooth(unit: str) -> None:
    """A needle on the edge between two divisions flickers."""
    marks = {"kPa": ["980", "1000"], "bar": ["9.8", "10.0"]}[unit]
    flicker = [marks[n] for n in np.random.default_rng(3).integers(0, 2, 40).tolist()]
    assert judged(flicker, every=10, unit=unit).conforms != "no"


@pytest.mark.parametrize(("slip", "end"), [("95", ["4.0", "0.0"]), ("0.95", ["0.0"]), ("95", ["0.0"]), ("92", [])])
def test_a_slip_of_a_digit_is_named_before_a_bleed_down_too(slip: str, end: list[str]) -> None:
    verdict = judged(["9.2"] * 7 + [slip] + ["9.2"] * 12 + end, "Alder")
    assert verdict.conforms != "no" and f"Row 9: its pressure {slip} stands apart" in " ".join(verdict.notes)


def test_many_slips_are_put_right_first() -> None:
    verdict = judged((["9.2"] * 4 + ["92"]) * 5, "Alder")
    assert verdict.conforms == "cannot tell" and "put them right" in verdict.reason and verdict.rows == slice(0, 24)
    creeps = judged([f"{9.0 + 0.1 * n:.1f}" if n % 5 != 3 else "92" for n in range(24)], "Alder")
    assert creeps.conforms == "no", "it fails without them"


@pytest.mark.parametrize("cells", [["900"] * 3 + ["1000"] * 60, ["1000"] * 4 + ["900", "1000", "900"] + ["1000"] * 60])
def test_readings_of_a_purge_do_not_make_the_step_so_coarse_that_it_becomes_a_rise(cells: list[str]) -> None:
    log = typed(cells, 10, "kPa")
    assert log.division == pytest.approx(0.5) and judge_trace(log, SHEETS["Juniper"]).conforms == "cannot tell"
    rows = "\n".join(f"{10 * n},{cell}" for n, cell in enumerate(cells))
    said = read_text(f"division 10 kPa\ntime_s,pressure_kPa\n{rows}")
    assert said.division == pytest.approx(0.1) and judge_trace(said, SHEETS["Juniper"]).conforms == "yes"
    arrays = Log.from_arrays(log.time, 100 * log.pressure, "kPa")
    assert arrays.division <= 0.2 and judge_trace(arrays, SHEETS["Juniper"]).conforms != "no"


def test_one_reading_that_is_off_is_named() -> None:
    rows = "\n".join(f"{30 * n},{cell}" for n, cell in enumerate(["10.0"] * 6 + ["9.0"] + ["10.0"] * 9))
    verdict = judge_trace(read_text(f"division 0.1 bar\ntime_s,pressure_bar\n{rows}"), SHEETS["Juniper"])
    assert verdict.conforms == "cannot tell" and "The one reading of 9 bar at 3.0 min" in verdict.doubts[-1]


@pytest.mark.parametrize("cells", [["0.0"] * 14, ["0.0", "0.1"] * 7, ["0"] * 14, ["9.0"] + ["0.0"] * 6])
def test_a_needle_without_pressure_is_no_fault(cells: list[str]) -> None:
    verdict = judged(cells)
    assert (verdict.conforms, verdict.outcome) == ("cannot tell", "cannot tell")
    assert "no pressure is on it. Open the cylinder valve" in verdict.reason


def test_purges_nobody_logged_are_no_rise() -> None:
    """A sound rig breathed through and purged until 113 s, read every 30 s: the needle is back at 120 s, then stands. A
    needle that goes on climbing rises."""
    begin = [0.0, 8.7, 8.95, 9.05]
    stands = np.append(begin, np.full(22, 9.1))
    slow = judge_trace(Log.from_arrays(30.0 * np.arange(26), stands, "bar", 0.05), SHEETS["Alder"])
    assert slow.conforms == "cannot tell" and "reading 5 s after the last purge" in slow.reason
    goes_on = np.append(begin, 9.1 + 0.03 * np.arange(22))
    climbs_on = judge_trace(Log.from_arrays(30.0 * np.arange(26), goes_on, "bar", 0.05), SHEETS["Alder"])
    assert climbs_on.conforms == "no"


def climbs_again(seed: int) -> tuple[Log, str]:
    """A needle that climbs 1.3 to 3 times as fast as its sheet allows and falls back where it began, once or twice, between
    two readings: 6 to 9 min, read every 5 to 30 s in steps of 0.02 to 0.1 bar, with a fifth of a step of noise."""
    draw = np.random.default_rng(seed)
    sheet, limit, level = [("Juniper", 0.02, 9.9), ("Alder", 0.04, 9.0)][seed % 2]
    rate, every = limit * draw.uniform(1.3, 3), float(draw.choice([5, 10, 15, 30]))
    step, falls, lasts = float(draw.choice([0.02, 0.05, 0.1])), int(draw.integers(1, 3)), draw.uniform(6, 9) * 60
    time = np.arange(0, lasts, every)
    begins = [0.0, *(lasts * (n + 1) / (falls + 1) + draw.uniform(-15, 15) for n in range(falls))]
    since = time - np.sort(begins)[np.searchsorted(np.sort(begins), time, side="right") - 1]
    needle = level + rate / 60 * since + 0.2 * step * draw.standard_normal(time.size)
    return Log.from_arrays(time, np.round(needle / step) * step, "bar", step), sheet


@pytest.mark.parametrize("seed", [7, 18, 20, 44, 54, 105, 116, 144, 154, 150])
def test_a_purge_nobody_logged_hides_no_creep(seed: int) -> None:
    """Of 160 such logs these ten once conformed; four still do, each in steps half as large as a climb or larger."""
    log, sheet = climbs_again(seed)
    verdict = judge_trace(log, SHEETS[sheet])
    assert verdict.conforms == "cannot tell" and "climbed, fell back" in verdict.reason


def test_a_verdict_says_nothing_twice_and_never_against_itself() -> None:
    """Band and rise fail or pass once in words; a needle inside at the sheet's time is not "out already"."""
    for cells in (
        ["10.0"] * 14,
        ["11.0"] * 14,
        ["10.1"] * 7 + ["10.2"] * 7,
        [f"{9.8 + 0.02 * n:.2f}" for n in range(24)],
    ):
        verdict = judged(cells)
        words = [line for line in verdict.lines() if not line.startswith(("Read as", "Phases"))]
        clauses = [verdict.band.because[:-1], verdict.rise.because[:-1]]
        assert all(sum(one in line for line in words) <= 1 for one in clauses), words
        assert verdict.band.outcome == "outside" or "already" not in " ".join(words)


def test_advice_helps() -> None:
    """Half a second is not doubled in words; where the band alone is open longer watching is not advised; psi stays psi."""
    short = judge_trace(Log.from_arrays(np.arange(0, 0.6, 0.1), np.full(6, 9.8), "bar", 0.1), SHEETS["Juniper"])
    assert "Watch on, about" in short.reason and "0 s" not in short.reason.replace("0.5 s", "")
    near = judged([f"{one:.2f}" for one in 9.9 + 0.02 * np.random.default_rng(1).integers(0, 2, 30)], "Rowan", 15)
    assert near.band.outcome == "cannot tell" and near.watch_longer is None
    assert "Watching longer will not tell" in near.reason
    slips = judged(["139"] * 3 + ["1390", "139", "1390"] + ["139"] * 12, "Alder", unit="psi")
    assert "up to 1390 psi" in " ".join(slips.doubts)
