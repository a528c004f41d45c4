"""The end of a log: a second look after some minutes counts, a lone high last reading never ends in yes, and slips of
digits are named as slips. The logs are invented; the stop of the sheets' second stages is theirs."""

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
