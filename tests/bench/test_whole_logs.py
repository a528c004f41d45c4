"""Whole logs from the first reading to the last word: what an earlier watch, a step or a coarse gauge may not hide.

Every log here is invented; the rules are common practice, no source.
"""

import numpy as np
import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import TraceVerdict, judge_trace, read_text
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")


def judged(rows: list[tuple[int, str]], sheet: str, unit: str = "bar") -> TraceVerdict:
    """A log of rows of seconds and readings, judged by a sheet."""
    return judge_trace(
        read_text(f"s,{unit}\n" + "\n".join(f"{time},{reading}" for time, reading in rows)), SHEETS[sheet]
    )


def test_a_whole_watch_that_climbed_is_not_undone_by_a_purge() -> None:
    climbed = [(30 * k, f"{9.2 + 0.125 * k:.1f}") for k in range(13)]
    stood = [(420 + 30 * k, "9.2") for k in range(13)]
    verdict = judged([*climbed, (390, "8.0"), *stood], "Alder")
    assert (verdict.conforms, verdict.outcome) == ("cannot tell", "locks")
    assert "from 0 to 360 s, failed: the needle rose by 1.25 bar" in verdict.reason
    assert verdict.as_json()["reason"] == verdict.reason
    assert verdict.reason in verdict.lines()[1]
    sound = [(30 * k, "9.2") for k in range(13)]
    assert judged([*sound, (390, "8.0"), *stood], "Alder").conforms == "yes"
    assert judged([*climbed[:4], (390, "8.0"), *stood], "Alder").conforms == "yes"  # no whole watch


def test_a_climb_that_ends_in_a_purge_between_two_readings_is_not_undone_either() -> None:
    climbed = [(5 * k, f"{9.5 + 0.05 * k:.2f}") for k in range(40)]
    again = [(200 + 5 * k, "9.55") for k in range(40)]
    stood = [(410 + 5 * k, "9.55") for k in range(80)]
    verdict = judged([*climbed, *again, (400, "8.00"), (405, "8.00"), *stood], "Hazel")
    assert (verdict.conforms, verdict.outcome) == ("cannot tell", "locks")
    assert "from 0 to 195 s, failed: the needle rose" in verdict.reason


def test_a_step_down_to_where_the_needle_then_stands_is_no_free_flow() -> None:
    stepped = [(15 * k, "9.9" if k < 8 else "9.2") for k in range(36)]
    verdict = judged(stepped, "Alder")
    assert (verdict.conforms, verdict.outcome) == ("yes", "locks")
    assert verdict.lines()[0].startswith("Look first: The step from 9.9 bar to 9.2 bar at 2.0 min")
    purged = [*((15 * k, "9.2") for k in range(28)), (420, "8.3"), (435, "8.3")]
    assert judged(purged, "Alder").lines()[0].startswith("Look first: The log ends in a drop")
    set_down = [(30 * k, "11.4" if k < 2 else "9.2") for k in range(14)]
    assert judged(set_down, "Alder").outcome == "locks"
    flows = [(15 * k, "9.2" if k < 8 else "7.2") for k in range(36)]
    assert (judged(flows, "Alder").conforms, judged(flows, "Alder").outcome) == ("no", "free flow")


def test_one_step_of_a_coarse_gauge_is_no_sure_climb() -> None:
    """A needle that stands at 9.5 bar, between two marks of a 1 bar gauge, reads 9 as well as 10."""
    for low in (0, 5):
        verdict = judged([(5 * k, "9" if k == low else "10") for k in range(79)], "Linden")
        assert (verdict.conforms, verdict.rise.outcome, verdict.rate.outcome) == ("cannot tell",) * 3
        assert "moved by one step at most" in verdict.rise.because
    half = judged([(5 * k, "9.5" if k == 0 else "10.0") for k in range(79)], "Linden")
    assert half.conforms == half.rise.outcome == "cannot tell"
    times, read = (0, 27, 60, 90, 117, 146, 177, 211, 236), (10, 10, 8, 10, 10, 10, 10, 9, 10)
    assert (
        judged([(time, str(one)) for time, one in zip(times, read, strict=True)], "Hazel").band.outcome == "cannot tell"
    )


def test_a_psi_log_is_judged_by_the_band_that_the_sheet_prints_in_psi() -> None:
    """145 to 150 psi beside 9.8 to 10.2 bar, which are 142 to 148 psi; U of its gauge is 1.8 psi."""
    outcomes = {
        at: judged([(30 * k, str(at)) for k in range(14)], "Juniper", "psi").band.outcome for at in (142, 147, 153)
    }
    assert outcomes == {142: "outside", 147: "inside", 153: "outside"}
    verdict = judged([(30 * k, "148") for k in range(14)], "Juniper", "psi")
    assert verdict.conforms == "yes" and "145 to 150 psi" in verdict.reason
    assert any("judged by 145 to 150 psi" in line for line in verdict.lines())
    bar = judged([(30 * k, "10.0") for k in range(14)], "Juniper")
    assert "9.8 to 10.2 bar" in bar.reason and not any("psi" in line for line in bar.lines())


def test_a_needle_that_has_stood_for_minutes_does_not_climb_now() -> None:
    readings = ["9.2", "9.9", "10.6", "11.2", "11.4", "11.4", "11.4", "11.4"]
    verdict = judged([(60 * k, one) for k, one in enumerate(readings)], "Alder")
    assert (verdict.conforms, verdict.outcome, verdict.rate.outcome) == ("no", "cannot tell", "cannot tell")
    assert "since 4.0 min it has stood at 11.40 bar" in verdict.because
    assert not any("already" in line for line in verdict.lines() if "second stage" in line)  # it never read 11.5


def test_a_needle_that_ends_where_it_began_moved_between() -> None:
    readings = ["9.8", "9.9", "10.0", "10.1", "10.2", "10.2", "10.1", "10.0", "9.9", "9.8", "9.8", "9.8", "9.8"]
    words = " ".join(judged([(30 * k, one) for k, one in enumerate(readings)], "Linden").lines())
    assert "did not move" not in words and "and came back in 6.0 min" in words


def test_a_saw_tooth_of_less_than_a_step_is_no_settle() -> None:
    """Teeth from 9.33 to 9.60 bar, read in steps of 5 psi: 135 and 140 psi come round again and again."""
    time = range(0, 900, 3)
    teeth = [9.33 + 0.27 * ((at / 87) % 1) for at in time]
    read = [5 * round(one * 14.504 / 5) for one in teeth]
    verdict = judged([(0, "125"), *((at + 3, str(one)) for at, one in zip(time, read, strict=True))], "Hazel", "psi")
    assert verdict.conforms != "yes" and verdict.outcome in ("cannot tell", "saw-tooth")
    flicker = np.random.default_rng(3).choice(["135", "140"], 300)
    assert (
        "swings" not in judged([(at, str(one)) for at, one in zip(time, flicker, strict=True)], "Hazel", "psi").reason
    )


@pytest.mark.parametrize("every", [5, 10, 30])
def test_a_needle_between_two_marks_of_a_coarse_gauge_has_no_teeth(every: int) -> None:
    """Rounded to quarters of a bar, a needle at 9.87 flickers between 9.75 and 10.00; regular as it may be, no tooth."""
    rows = [f"{n * every},{'9.75' if n % 3 else '10.00'}" for n in range(60)]
    assert judge_trace(read_text("s,bar\n" + "\n".join(rows)), SHEETS["Linden"]).outcome != "saw-tooth"
