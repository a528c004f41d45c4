"""The end of a log: a second look after some minutes counts, a lone high last reading never ends in yes, and slips of
digits are named as slips. The logs are invented; the stop of the sheets' second stages is theirs."""

import dataclasses

import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import judge_trace, read_text
from steadyneedle.bench.trace.verdict import TraceVerdict
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")
STOOD = [(second, "9.1") for second in range(0, 301, 15)]
ALONE = [(60 * n, "9.5") for n in range(6)]


def judged(rows: list[tuple[float, str]], sheet: str = "Alder", head: str = "s,bar") -> TraceVerdict:
    return judge_trace(read_text(head + "\n" + "\n".join(f"{time},{cell}" for time, cell in rows)), SHEETS[sheet])


@pytest.mark.parametrize(
    ("rows", "sheet", "passed"),
    [
        ([*STOOD, (900, "11.8")], "Alder", True),
        ([*STOOD, (600, "11.9"), (900, "12.5")], "Alder", True),
        ([*STOOD, (900, "9.9")], "Alder", False),
        ([*ALONE, (1800, "11.5")], "Hazel", False),
    ],
)
def test_a_second_look_counts(rows: list[tuple[float, str]], sheet: str, passed: bool) -> None:
    verdict = judged(rows, sheet)
    assert verdict.conforms == "no" and (verdict.stop_passed is not None) == passed and not verdict.left_out
    assert verdict.watch_longer is None


def test_a_second_look_at_a_needle_that_stands_is_a_yes() -> None:
    assert judged([*STOOD, (900, "9.1")]).conforms == "yes"
    slower = [*((10 * n, "9.1") for n in range(19)), *((180 + 60 * n, "9.1") for n in range(1, 5))]
    assert judged(slower).conforms == "yes" and not judged(slower).left_out


def test_a_lone_high_last_reading_is_to_be_read_again() -> None:
    for second in (315, 330, 360):
        assert judged([*STOOD, (second, "9.9")]).conforms == "cannot tell"
    last = judged([*STOOD, (315, "12.0")])
    assert last.conforms == "cannot tell" and last.reason.startswith(
        "Row 23, the last reading, is 12 bar, past 11.5 bar"
    )
    assert "read it again" in last.reason and "Shut the cylinder valve" in last.reason
    middle = judged([(time, "12.5" if time == 150 else cell) for time, cell in STOOD])
    assert middle.conforms == "cannot tell" and middle.reason.startswith("Row 12 is 12.5 bar, past 11.5 bar")


def test_slips_of_digits_are_still_slips() -> None:
    """Ten times, two digits swapped, and a last time with a nought too many."""
    for cell in ("91", "910", "0.91"):
        assert judged([*STOOD, (315, cell)]).conforms == "yes"
    psi = [(time, "318" if time == 150 else "138") for time, _ in STOOD]
    assert judged(psi, head="s,psi").conforms == "yes"
    assert judged([*STOOD, (3150, "9.1")]).left_out == {"time apart": 1}


# the step of the gauge ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cell", "unit", "step"), [("9.5", "bar", "0.5 bar"), ("950", "kPa", "50 kPa"), ("140", "psi", "5 psi")]
)
def test_readings_that_a_coarse_gauge_gives_too_pass_nobody_until_the_step_is_said(
    cell: str, unit: str, step: str
) -> None:
    """Half of 0.5 bar is more than the 0.2 bar that is allowed; with tenths the same readings say enough.

    A sheet that names its gauge says in what steps it is read, as long as the readings do not speak against it.
    """
    no_gauge = dataclasses.replace(SHEETS["Rowan"], gauge_span=None, gauge_class=None, gauge_division=None)
    rows = "\n".join(f"{15 * n},{cell}" for n in range(25))
    log = read_text(f"s,{unit}\n{rows}")
    assert judge_trace(log, no_gauge).conforms == "cannot tell" and judge_trace(log, SHEETS["Rowan"]).conforms == "yes"
    assert log.doubts[0].startswith(f"Every reading is a multiple of {step}.")
    finer, coarse = log.doubts[0].rsplit(": ", 1)[1].rstrip(".").split(", or ")
    assert judge_trace(read_text(f"{coarse}\ns,{unit}\n{rows}"), SHEETS["Rowan"]).conforms == "cannot tell"
    for head in (f"{finer}\ns,{unit}", f"s,{unit} ({finer})", f"# Bench 2, {finer}\ns,{unit}"):
        said = read_text(f"{head}\n{rows}")
        assert not said.doubts and judge_trace(said, SHEETS["Rowan"]).conforms == "yes"


def test_one_reading_in_tenths_shows_the_step() -> None:
    for cells in (["9.8"] * 25, ["8.3", *["9.5"] * 25], ["9.5", "9.6", *["9.5"] * 23]):
        log = read_text("s,bar\n" + "\n".join(f"{15 * n},{cell}" for n, cell in enumerate(cells)))
        assert log.division == 0.1 and not log.doubts


@pytest.mark.parametrize(
    ("cells", "step"),
    [
        ("9.75 9.75 10.00 9.75", 0.25), ("9.2 9.5 9.8 10.1", 0.1), ("9.2 9.7 10.2 10.7", 0.1),
        ("9.5 10.0 10.5 11.0", 0.5), ("9.65 9.72 9.79 9.86", 0.07), ("9.83 9.93 10.03 10.13", 0.1),
    ],
)  # fmt: skip
def test_a_step_lies_on_a_scale_or_is_converted(cells: str, step: float) -> None:
    """0.25 is a step of scales too; 0.3 is none; 1 psi in bar is 0.07, and an offset taken off all changes no step."""
    log = read_text("s,bar\n" + "\n".join(f"{15 * n},{cell}" for n, cell in enumerate(cells.split())))
    assert log.division == pytest.approx(step)


@pytest.mark.parametrize("mark", [".", ","])
def test_minutes_that_begin_below_one_are_decimals(mark: str) -> None:
    rows = (f"{0.05 * n:.3f};9.6".replace(".", mark) for n in range(1, 240))
    assert read_text("time_min;bar\n" + "\n".join(rows)).time[-1] == pytest.approx(238 * 3)


def test_pressures_no_first_stage_gives_are_refused_and_said_alike() -> None:
    with pytest.raises(ValueError, match="about 91 bar, and no intermediate pressure is so high"):
        judged([(30 * n, "91") for n in range(13)])
    unlike = read_text("s,bar\n" + "\n".join(f"{15 * n},{8.77 + 0.001 * n * n:.3f}" for n in range(12)))
    assert "8.770 to 8.891" in unlike.how_read


def test_a_needle_between_two_marks_of_a_coarse_gauge_is_no_slip() -> None:
    """One division of 0.5 bar is more than a spike of 0.3 bar, and no reading that is one off stands apart."""
    cells = ["9.5", "9.5", "9.5", "10.0", "9.5", "9.5", "9.5", "9.5", "10.0", "9.5", "9.5", "10.0", *["9.5"] * 60]
    assert not read_text("s,bar\n" + "\n".join(f"{5 * n},{cell}" for n, cell in enumerate(cells))).left_out
    flickers = [*["7.5"] * 2, *["9.0", "9.0", "9.0", "9.0", "9.0", "9.5", "9.0"] * 12]
    log = read_text("s,bar\n" + "\n".join(f"{5 * n},{cell}" for n, cell in enumerate(flickers)))
    assert log.division == 0.5 and judge_trace(log, SHEETS["Alder"]).conforms == "cannot tell"
    one = ["9.5"] * 30 + ["10.5"] + ["9.5"] * 30
    assert read_text("s,bar\n" + "\n".join(f"{5 * n},{cell}" for n, cell in enumerate(one))).left_out == {"spike": 1}
