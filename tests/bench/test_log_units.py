"""What would make a log's reading another one, by a unit, a factor, a column or a clock: read right, or asked back.

The logs are invented: a needle that climbs from 9.2 bar, read every 20 s. Each header and form was tried by hand.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
import pytest

from steadyneedle.bench.trace import LogError, judge_trace, read_text

SECONDS = [20 * n for n in range(28)]
BARS = [round(9.2 + n / 27, 1) for n in range(28)]


def table(header: str, row: Callable[[int], str]) -> str:
    return "\n".join([header, *map(row, range(28))])


def clock(seconds: int, form: str = "{:02d}:{:02d}:{:02d}") -> str:
    return form.format(seconds // 3600 % 24, seconds // 60 % 60, seconds % 60)


def plain(header: str) -> str:
    return table(header, lambda n: f"{SECONDS[n]},{BARS[n]}")


READ = {
    "a unit in each cell": table("time_s,pressure_bar", lambda n: f"{SECONDS[n]} s,{BARS[n]} barg"),
    "wide digits and marks": table(
        "time_s，pressure_bar",
        lambda n: f"{SECONDS[n]},{BARS[n]}".translate({k: k + 0xFEE0 for k in range(0x2C, 0x3A)}),
    ),
    "a dial past noon": table("clock,bar", lambda n: f"{(12 * 3600 + 3400 + SECONDS[n]) // 3600 % 12 or 12}:" + clock(12 * 3600 + 3400 + SECONDS[n])[3:] + f",{BARS[n]}"),
    "microseconds": table("t [µs],p [bar]", lambda n: f"{SECONDS[n] * 10**6},{BARS[n]}"),
    "German words": table("Zeit (Sek.);Druck (bar)", lambda n: f"{SECONDS[n]};{BARS[n]}".replace(".", ",")),
    "a rule under the header": table("| time_s | pressure_bar |\n|---|---|", lambda n: f"| {SECONDS[n]} | {BARS[n]} |"),
    "a hash before the header": table("# time_s pressure_bar", lambda n: f"{SECONDS[n]} {BARS[n]}"),
    "the header once more": plain("time_s,pressure_bar").replace("280,", "time_s,pressure_bar\n280,"),
    "a first stage's number": plain("time_s,stage 1 (bar)"),
    "a supply in the name": plain("time_s,IP at 200 bar"),
    "a gauge's scale in the name": plain("time_s,IP [0-16 bar]"),
}  # fmt: skip


@pytest.mark.parametrize("text", READ.values(), ids=READ)
def test_read_as_it_was_meant(text: str) -> None:
    log = read_text(text)
    assert log.time.tolist() == pytest.approx(SECONDS)
    assert log.pressure.tolist() == pytest.approx(BARS)


MINUTES = [f"{seconds // 60}.{seconds % 60:02d}" for seconds in SECONDS]
ASKED = {
    "P_abs_bar": (plain("time_s,P_abs_bar"), "is an absolute pressure"),
    "absolute pressure bar": (plain("time_s,absolute pressure bar"), "is an absolute pressure"),
    "Druck absolut (bar)": (plain("time_s,Druck absolut (bar)"), "is an absolute pressure"),
    "Pabs (bar)": (plain("time_s,Pabs (bar)"), "is an absolute pressure"),
    "pressione assoluta (bar)": (plain("tempo (s),pressione assoluta (bar)"), "is an absolute pressure"),
    "10 s": (plain("time (10 s),pressure_bar"), "a number stands beside its unit. Write the values in s"),
    "x10 s": (plain("time x10 s,pressure_bar"), "a number stands beside its unit"),
    "s, then x10": (plain("time (s) x10,pressure_bar"), "a number stands beside its unit"),
    "bar, then /10": (plain("time_s,pressure (bar)/10"), "a number stands beside its unit"),
    "100 mbar": (plain("time_s,pressure (100 mbar)"), "Write the values in mbar, and 'mbar' alone"),
    "200 bar": (plain("time_s,IP (200 bar)"), "a number stands beside its unit"),
    "a tenth without its nought": (plain("time_s,p (.1 bar)"), "a number stands beside its unit"),
    "in steps of 60 s": (plain("time/60 s,pressure_bar"), "a number stands beside its unit"),
    "a power of ten": (plain("time_s,pressure (10^-1 bar)"), "a number stands beside its unit"),
    "half minutes": (plain("time (1/2 min),pressure_bar"), "a number stands beside its unit"),
    "every 20 s": (plain("every 20 s,pressure_bar"), "a number stands beside its unit"),
    "tenths": (plain("time_s,pressure (0.1 bar)"), "Write the values in bar, and 'bar' alone"),
    "minutes dot seconds": (table("time_min,bar", lambda n: f"{MINUTES[n]},{BARS[n]}"), "Write 1:20 for one minute"),
    "a dotted clock": (table("clock,bar", lambda n: f"{clock(41_000 + SECONDS[n], '{}.{}.{}')},{BARS[n]}"), "looks like a date without a clock"),
    "a clock with a word": (table("clock,bar", lambda n: f"{clock(SECONDS[n])} Uhr,{BARS[n]}"), "The time '00:00:00 Uhr' cannot be read"),
    "two logs": (plain("time_s,bar") + "\n" + plain("time_s,bar"), "Row 31: the times jump back to 0"),
    "two logs, one header": (plain("time_s,bar") + "\n\n" + plain("").strip(), "Row 31: the times jump back to 0"),
    "a clock put back": (table("date,bar", lambda n: f"2026-10-25 {clock(10_500 + SECONDS[n] - 3600 * (n > 14))},{BARS[n]}"), "the times jump back to 2026-10-25 02:00:00"),
    "another unit below": (plain("time_s,bar") + "\n" + table("time_s,psi", lambda n: f"{600 + SECONDS[n]},140"), "row 30: another header, 'time_s, psi'"),
    "columns change places": (plain("time_s,bar") + "\nbar,time_s\n9.8,600\n9.8,620", "row 30: another header"),
    "commas in names": (plain("time, s,pressure, bar"), "the header names 4 columns, and most rows hold fewer"),
    "remarks between blanks": ("time_s bar\n0 9.2\n20 9.2\n40 9.3 purged twice", "Put semicolons or tabs between the columns"),
    "five rows backward": ("time_s,bar\n80,9.4\n60,9.4\n40,9.3\n20,9.2\n0,9.2", "The times run backward"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "words"), ASKED.values(), ids=ASKED)
def test_asked_back(text: str, words: str) -> None:
    with pytest.raises(LogError) as refused:
        read_text(text)
    assert words in str(refused.value)


def with_pressures(at: tuple[int, ...], cell: str) -> str:
    return table("time_s,pressure_bar", lambda n: f"{SECONDS[n]},{cell if n in at else BARS[n]}")


def test_a_pressure_below_a_vacuum_is_left_out_and_named() -> None:
    log = read_text(with_pressures((3, 7), "-999"))
    assert log.left_out == {"no pressure": 2} and log.time.size == 26
    assert log.notes[0] == "Row 5: its pressure -999 cannot be a gauge pressure; left out."


@pytest.mark.parametrize(
    ("at", "cell", "words"),
    [
        ((3, 17), "655.35", "Row 5, Row 19 stand far above those beside, up to 655.4 bar."),
        (tuple(range(0, 28, 4)), "94", "Row 2, Row 6, Row 10 and 4 more stand far above those beside, up to 94 bar."),
        ((3, 17), "0.0", "Row 5, Row 19 stand at 0 alone. Take such rows out where a reading was lost."),
    ],
)
def test_what_a_logger_writes_for_no_reading_is_said_first(at: tuple[int, ...], cell: str, words: str) -> None:
    verdict = judge_trace(read_text(with_pressures(at, cell)))
    assert verdict.lines()[0].startswith(f"Look first: {words}"), verdict.lines()[:3]


def test_a_title_that_says_absolute_is_said_first() -> None:
    log = read_text("Absolute pressures, bench 2\n" + plain("time_s,pressure_bar"))
    assert log.doubts == ("What stands above the readings says absolute: take the ambient pressure off if they are.",)


def test_a_short_row_between_blanks_shifts_nothing() -> None:
    """Row 5 lacks its temperature: nothing shows that 55 is no pressure."""
    rows = [f"{SECONDS[n]} 21 {BARS[n]} 55" if n != 3 else f"{SECONDS[n]} {BARS[n]} 55" for n in range(28)]
    log = read_text("\n".join(["time_s temp_C pressure_bar humidity", *rows]))
    assert log.time.size == 27 and np.max(log.pressure) < 11 and "Row 5: no time there; left out." in log.notes


@pytest.mark.parametrize("step", [0.25, 0.5, 1 / 3, 0.1, 0.2])
def test_decimal_minutes_stay_decimal(step: float) -> None:
    log = read_text("\n".join(["time_min,bar", *(f"{n * step:.2f},{BARS[n]}" for n in range(28))]))
    assert log.time.tolist() == pytest.approx([60 * round(n * step, 2) for n in range(28)])


@pytest.mark.parametrize(
    ("header", "units", "words"),
    [
        ("time_min;pressure_bar", "s;bar", "'time_min' says min, and the row of units below it says s."),
        ("time_s;pressure_psi", "s;bar", "'pressure_psi' says psi, and the row of units below it says bar."),
        ("time_s;pressure_kPa", "[s];[bar]", "'pressure_kPa' says kPa, and the row of units below it says bar."),
        ("time_s;pressure_bar", "bar;s", "'time_s' says s, and the row of units below it says bar."),
    ],
)
def test_a_row_of_units_that_contradicts_its_header_is_refused(header: str, units: str, words: str) -> None:
    rows = [f"{n};{9.8 + 0.002 * n:.3f}" for n in range(76)]
    with pytest.raises(LogError, match=re.escape(words)):
        read_text("\n".join([header, units, *rows]))


@pytest.mark.parametrize(
    ("header", "units"),
    [("time_min;pressure_bar", "min;barg"), ("t;min", "min;bar"), ("Bench log (psi)\ntime;IP", "(min);(bar)")],
)
def test_a_row_of_units_that_agrees_is_read(header: str, units: str) -> None:
    log = read_text("\n".join([header, units, *(f"{n};{9.8 + 0.002 * n:.3f}" for n in range(76))]))
    assert (log.time[-1], log.unit.rstrip("g")) == (75 * 60, "bar")


def test_a_small_m_before_pascal_is_asked_back_with_a_gauge_mark_too() -> None:
    for header in ("pressure_mPag", "p (mPa g)", "p [mPa]"):
        with pytest.raises(LogError, match="Type MPa for megapascal"):
            read_text("\n".join([f"time_s,{header}", *(f"{n},0.98" for n in range(9))]))
    newtons = read_text("\n".join(["time_s,p (N/cm2)", *(f"{n},98" for n in range(9))]))
    assert newtons.pressure.tolist() == pytest.approx([9.8] * 9)


def timed(times: list[str], header: str = "time,pressure_bar") -> str:
    return "\n".join([header, *(f"{time},{9.5 + 0.01 * n:.2f}" for n, time in enumerate(times))])


def minutes(seconds: int) -> str:
    return (
        f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
        if seconds >= 3600
        else f"{seconds // 60}:{seconds % 60:02d}"
    )


@pytest.mark.parametrize("past", [1, 10, 20])
def test_times_that_grow_an_hour_on_their_way_are_read(past: int) -> None:
    log = read_text(timed([minutes(3600 + 15 * (n - 20 + past)) for n in range(20)]))
    assert log.time.tolist() == [15.0 * n for n in range(20)] and not log.left_out


@pytest.mark.parametrize("header", ["time (mm:ss),pressure_bar", "time_s,pressure_bar"])
def test_seconds_that_become_minutes_on_their_way_are_read(header: str) -> None:
    log = read_text(timed([str(15 * n) if n < 4 else minutes(15 * n) for n in range(20)], header))
    assert log.time.tolist() == [15.0 * n for n in range(20)] and not log.left_out
    beyond = read_text(timed([str(30 * n) if n < 2 else minutes(30 * n) for n in range(140)], header))
    assert beyond.time.tolist() == [30.0 * n for n in range(140)]


@pytest.mark.parametrize(
    ("times", "header"),
    [
        ([str(15 * n) if n < 4 else minutes(15 * n) for n in range(20)], "time_min,pressure_bar"),
        (["14:30", "14:31", "14:32", "15:33:00", "15:34:00", "15:35:00", "15:36:00"], "clock,pressure_bar"),
        (["0", "1:00", "15", "1:15", "30", "1:30", "45"], "time_s,pressure_bar"),
    ],
)
def test_times_in_two_ways_that_do_not_go_on_are_asked_back(times: list[str], header: str) -> None:
    with pytest.raises(LogError, match="Times are written in two ways"):
        read_text(timed(times, header))


@pytest.mark.parametrize("mark", [";", "|", "\t"])
def test_a_mark_that_stands_in_remarks_alone_parts_no_columns(mark: str) -> None:
    log = read_text("\n".join(["time_s,pressure_bar,note", *(f"{15 * n},9.{n % 3},seen{mark}noted" for n in range(9))]))
    assert log.time.size == 9


@pytest.mark.parametrize(
    "header", ["supply pressure (bar)", "ambient_pressure_bar", "pressure drop (bar)", "inlet bar"]
)
def test_another_pressure_alone_is_asked_back(header: str) -> None:
    with pytest.raises(LogError, match=re.escape("and name it ip_bar.")):
        read_text(plain(f"time_s,{header}"))
    assert read_text(plain("time_s,IP at supply 200 (bar)")).unit == "bar"
