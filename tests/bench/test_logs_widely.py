"""Gauge logs in every shape people have: read as meant, or asked back; nothing left out without its name.

Headers, formats and slips are common practice, no source; the numbers are invented.
"""

from __future__ import annotations

import os
import re
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench.trace import Log, LogError, judge_trace, read_log, read_text
from steadyneedle.bench.trace.log_cleaning import FEWEST

COUNT = 9
PRESSURES = [9.8, 9.8, 9.9, 9.9, 10.0, 10.0, 10.1, 10.1, 10.2]


def table(header: str, times: list[str], mark: str = ",", comma: bool = False) -> str:
    rows = [
        mark.join((time, str(bar).replace(".", "," if comma else ".")))
        for time, bar in zip(times, PRESSURES, strict=True)
    ]
    return "\n".join([header, *rows])


def clock(seconds: int, start: int = 0, hours: bool = True) -> str:
    since = (start + seconds) % 86_400
    return (
        f"{since // 3600:02d}:{since // 60 % 60:02d}:{since % 60:02d}" if hours else f"{since // 60}:{since % 60:02d}"
    )


STEPS = [15 * n for n in range(COUNT)]
TIMES = [
    ("time_s", [str(n) for n in STEPS]), ("time_min", [f"{n / 60:g}" for n in STEPS]), ("t [ms]", [str(n * 1000) for n in STEPS]),
    ("elapsed (hours)", [f"{n / 3600:.6f}" for n in STEPS]), ("time (mm:ss)", [clock(n, 870, False) for n in STEPS]),
    ("t", [clock(n, 0, False) for n in STEPS]), ("elapsed", [clock(n) for n in STEPS]), ("time_s", [clock(n, 0, False) for n in STEPS]),
    ("clock", [clock(n, 86_340) for n in STEPS]), ("clock", [clock(n, 52_200) for n in STEPS]),
    ("t", [clock((3540 + n) % 3600, 0, False) for n in STEPS]), ("", [clock(n, 100) for n in STEPS]),
    ("date and time", [f"2026-03-{14 + (86_340 + n) // 86_400} {clock(n, 86_340)}" for n in STEPS]),
    ("timestamp", [f"2026-03-14T{clock(n, 3600)}.250Z" for n in STEPS]),
    ("d", [f"14.03.2026 {clock(n, 3600)}" for n in STEPS]), ("d", [f"3/14/26 {clock(n, 3600)}" for n in STEPS]),
    ("d", [f"{4 + (86_340 + n) // 86_400:02d}/05/2026 {clock(n, 86_340)}" for n in STEPS]),
    ("when", [f"14 Mar 2026 {clock(n, 3600)}" for n in STEPS]),
    ("clock", [f"{2 + n // 3600}:{n // 60 % 60:02d}:{n % 60:02d} PM" for n in STEPS]),
]  # fmt: skip


@pytest.mark.parametrize(("header", "times"), TIMES, ids=[f"{header} {times[1]}" for header, times in TIMES])
def test_times_as_people_write_them(header: str, times: list[str]) -> None:
    log = read_text(table(f"{header},pressure_bar", times))
    assert log.time.tolist() == pytest.approx(STEPS, abs=0.01) and log.left_out == {}
    assert log.how_read.startswith("Read as: time in ") and "15 s apart, 2 min in all" in log.how_read
    assert not log.doubts and bool(log.notes) == (header == "elapsed (hours)")


def test_a_date_and_its_clock_in_two_columns() -> None:
    dates = ["2026-03-14"] * 4 + ["2026-03-15"] * 5
    rows = [f"{date};{clock(n, 86_340)};{bar}" for date, n, bar in zip(dates, STEPS, PRESSURES, strict=True)]
    log = read_text("Date;Time;IP [bar]\n" + "\n".join(rows))
    assert log.time.tolist() == STEPS and "dates and clock" in log.how_read


ASKED = [
    (table("clock,p_bar", [f"{14 + n // 60}:{n % 60:02d}" for n in STEPS]), "may be minutes and seconds, or hours and minutes"),
    (table("date,p_bar", [f"{4 + n:02d}/05/2026 12:00" for n in range(COUNT)]), "may have the day first or the month first"),
    (table("time_ms;p_bar", [f"{15 + n},000" for n in range(COUNT)], ";"), "time: 15,000 can be read in two ways. Write 15 or 15000."),
    ("time_s;pressure_kPa\n0;1,005\n15;1,006\n30;1,007", "pressure: 1,005 can be read in two ways. Write 1.005 or 1005."),
    ("time_s;pressure_mbar\n0;9.800\n15;9.900\n30;9.900", "pressure: 9.800 can be read in two ways. Write 9.8 or 9800."),
    ('time_ms,p_bar\n"15,000",9.8\n"30,000",9.8\n"45,000",9.8', "time: 15,000 can be read in two ways"),
    ("time,p_bar\n0,9.8\n15,9.8\n30,9.8", "no time column with a known unit"),
    ("time_s,pressure_bar\n0,9\n15,9,22\n30,9,24", "row 3: 3 cells, and only 2 columns have a name. If a comma is your decimal mark"),
    ("time_s,pressure_bara\n0,9.8\n15,9.8\n30,9.8", "is an absolute pressure, and a gauge log is wanted"),
    ("time_s,pressure_mPa\n0,9.8\n15,9.8\n30,9.8", "mPa means thousandths of a pascal"),
    ('time_s,p_bar\n0,9.8\n15,"9.8\n30,9.8\n45,9.9', "row 3: a double quote is not closed"),
    ("time_s,p_bar\n0,9.8\n15," + "9" * 131_072 + "\n30,9.8", "row 3 is 131075 characters long"),
    ("time_s,p_bar\n0,142 psi\n15,142 psi\n30,142 psi", "The first cell is '142 psi': write numbers alone."),
    ("time_s,p_bar\n0,9.8\n1e-310,9.8\n2e-310,9.8\n3e-310,9.8\n4e-310,9.8\n15,9.8", "The usual step between two readings is 1e-310 s"),
    ("\n".join(["time_s,p_bar", *(f"{bar},{n}" for n, bar in zip(STEPS, PRESSURES, strict=True))]), "the two columns look swapped"),
    ("time_s,p_bar\n1e300,9.8\n2e300,9.8\n3e300,9.8", "lie within 2e+300 s"), ("time_s,p_bar\n0,9.8\n5e-324,9.8\n1e-323,9.8", "lie within"),
    ("clock,elapsed,p_bar\n" + "\n".join(f"{clock(n, 999)},{clock(n)},9.8" for n in STEPS), "hold clock times. Choose one"),
    ("time_s,p_bar\n" + "\n".join(f"{n},{9.8 if n < 60 else 'x'}" for n in STEPS), "Only 4 of 9 rows can be used"),
    ("\0\0", "no text"), ("just words\nand more words\n", "no time column"), ("a", "no time column"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), ASKED, ids=[words[:40] for _, words in ASKED])
def test_what_is_open_is_asked_back_without_a_word_of_the_command_line(text: str, words: str) -> None:
    with pytest.raises(LogError, match=re.escape(words)) as refused:
        read_text(text)
    assert "--" not in str(refused.value) and "\n" not in str(refused.value) and ".." not in str(refused.value)


def test_the_decimal_mark_settles_what_is_open() -> None:
    text = "time_s;pressure_mbar\n0;9.800\n15;9.900\n30;9.900"
    assert read_text(text, decimal="point").pressure[0] == pytest.approx(0.0098)
    assert read_text(text, decimal="comma").pressure[0] == pytest.approx(9.8)


def test_what_is_possible_settles_it_too_and_is_said() -> None:
    """9,812 bar is no pressure, and nobody reads a gauge every four hours."""
    log = read_text("time_s;p_bar\n15.000;9.812\n30.000;9.822\n45.000;9.832")
    assert log.pressure.tolist() == [9.812, 9.822, 9.832] and log.time.tolist() == [0, 15, 30]
    assert (
        "for as thousands no pressure could be so high" in log.how_read and "no time could be so high" in log.how_read
    )


HEADS = [
    "time_s,pressure_barg", "time (s),IP (bar g)", "Time [s],Pressure [bar(g)]", "t/s,p/bar", "seconds,needle bar", "Time,Pressure\ns,bar",
    "Time,Pressure\n(s),[barg]", "bench 2\ngauge 0.6\n\ntime_s,p_bar", "bench 2, gauge 4\nUnit: bar,Interval: 15 s\n\nt,p\ns,bar",
    "\n\ntime_s,pressure_bar", "log 12,2026-03-14\ntime_s,pressure_bar", "time_s,pressure_bar,", "# a remark\ntime_s,IP_bar_g",
]  # fmt: skip


@pytest.mark.parametrize("head", HEADS)
def test_headers_people_have(head: str) -> None:
    log = read_text(table(head, [str(n) for n in STEPS]))
    assert log.time.tolist() == STEPS and log.pressure.tolist() == PRESSURES


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t", "|", "   ", " "])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_encodings_marks_and_line_ends(tmp_path: Path, encoding: str, mark: str, end: str) -> None:
    text = table(f"time_s{mark}p_kgf/cm²", [str(n) for n in STEPS], mark, comma=mark != ",")
    path = tmp_path / "log.csv"
    path.write_bytes(text.replace("\n", end).encode(encoding))
    log = read_log(path)
    assert log.pressure == pytest.approx(np.array(PRESSURES) * 0.980665) and log.time.tolist() == STEPS
    assert ("UTF-16" in log.how_read) == encoding.startswith("utf-16")


FILES = [
    (b"PK\x03\x04rest", "is a spreadsheet, whatever its name ends with"), (b"\xd0\xcf\x11\xe0rest", "is a spreadsheet"),
    (b"\x89PNG\r\n\x1a\n\0\0", "is no text file"), (b"\x1f\x8b\x08\x00" + bytes(range(256)), "is no text file"),
    (bytes(range(1, 32)) * 9, "is no text file"),
]  # fmt: skip


@pytest.mark.parametrize(("data", "words"), FILES, ids=[words[:20] for _, words in FILES])
def test_files_that_are_no_text(tmp_path: Path, data: bytes, words: str) -> None:
    (tmp_path / "log.csv").write_bytes(data)
    with pytest.raises(LogError, match=words):
        read_log(tmp_path / "log.csv")


@pytest.mark.skipif(os.name != "posix", reason="devices and pipes of a posix system")
def test_devices_pipes_and_names_no_system_holds(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    for path, words in (
        (Path("/dev/zero"), "zero is a pipe or a device"), (tmp_path / "pipe.csv", "pipe.csv is a pipe or a device"),
        (tmp_path / ("n" * 300), "File name too long"), (tmp_path / "a\0b", "There is no file a?b"), (tmp_path / "\x1b[31m", "There is no file"),
    ):  # fmt: skip
        with pytest.raises(LogError, match=re.escape(words)) as refused:
            read_log(path)
        assert str(refused.value).isprintable()


def test_a_file_too_large_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(10**9)
    with pytest.raises(LogError, match="holds 1000 MB; at most 32 MB are read"):
        read_log(path)


# one that stands apart --------------------------------------------------------------------------------

HOLD = np.arange(40) * 15.0
CREEP = np.round(9.8 + 0.079 * HOLD / 60, 1)


def creeping(**changed: str) -> str:
    rows = [[f"{one:g}", f"{two:.1f}"] for one, two in zip(HOLD.tolist(), CREEP.tolist(), strict=True)]
    for place, text in changed.items():
        rows[int(place[1:])]["tp".index(place[0])] = text
    return "time_s,pressure_bar\n" + "\n".join(map(",".join, rows))


@pytest.mark.parametrize(
    ("changed", "row", "why"),
    [
        ({"t4": "600"}, 6, "backward time"), ({"t3": "4500"}, 5, "backward time"), ({"t20": "30000"}, 22, "backward time"),
        ({"t30": "999999"}, 32, "backward time"), ({"t39": "5850"}, 41, "time apart"), ({"t10": "15"}, 12, "repeated time"),
        ({"p10": "98"}, 12, "spike"), ({"p39": "104"}, 41, "spike"), ({"p0": "98"}, 2, "spike"), ({"p20": "1e300"}, 22, "spike"),
        ({"p5": "9;9"}, 7, "no number"), ({"t5": "1e300"}, 7, "backward time"), ({"p7": ""}, 9, "no number"),
    ],
)  # fmt: skip
def test_one_that_stands_apart_is_taken_out_alone_and_named(changed: dict[str, str], row: int, why: str) -> None:
    """Each of the first turned a creep of 0.079 bar a minute into a needle that locks, once."""
    log = read_text(creeping(**changed))
    assert log.left_out == {why: 1} and log.notes[0].startswith(f"Row {row}: ") and not log.doubts
    assert judge_trace(log).outcome == "creeps"


def test_what_must_be_said_before_a_verdict() -> None:
    lines = creeping().splitlines()
    many = read_text("\n".join([*lines[:5], *(["x,y"] * 4), *lines[9:]]))
    assert many.doubts == ("4 of 40 rows are left out.",) and "1 more row likewise; left out." in many.notes
    end = read_text("\n".join([*lines[:-3], "a,b", "a,b", "a,b"]))
    assert end.doubts[-1] == "The last 3 rows are left out: the verdict does not cover the end of the log."
    gap = read_text("\n".join([*lines[:21], *(f"{5000 + 15 * n},10.4" for n in range(20))]))
    assert gap.doubts == ("After row 21 a gap of 4715 s dwarfs the usual step of 15 s.",)
    said = judge_trace(gap).lines()
    assert said[0].startswith("Look first: After row 21") and said.index(said[0]) < next(
        n for n, line in enumerate(said) if line.startswith(judge_trace(gap).outcome)
    )
    assert judge_trace(gap).as_json()["doubts"] == list(gap.doubts)


def test_a_needle_that_comes_back_between_two_purges_is_no_spike() -> None:
    """Read every 30 s as a class purges: down, down, back, down, back; a lone high reading stays a spike."""
    time = np.arange(0.0, 541.0, 30.0)
    purged = np.full(time.size, 140.0)
    purged[[2, 3, 5]] = 122.0, 121.0, 123.0
    assert Log.from_arrays(time, purged, "psi").left_out == {}
    slip = np.full(time.size, 140.0)
    slip[4] = 149.0
    assert Log.from_arrays(time, slip, "psi").left_out == {"spike": 1}


def test_units_that_make_little_sense_get_a_word() -> None:
    psi = read_text(table("time_s,p_psi", [str(n) for n in STEPS]))
    assert "Read in psi, the pressures are about 10 psi; an intermediate pressure is about 145 psi." in psi.notes[0]
    slow = read_text(table("time_h,p_bar", [str(n) for n in STEPS]))
    assert "Read in h, the readings are 15 h apart" in slow.notes[0]
    quick = read_text(table("time_ms,p_bar", [str(n) for n in STEPS]))
    assert "Read in ms, the whole log lasts 0.12 s" in quick.notes[0]


def test_a_needle_that_moves_until_the_end_gets_a_sentence() -> None:
    """Found by the long run."""
    rows = [f"{n}\t{0.0 if n < 11 else n / 10:.3f}" for n in range(13)]
    with pytest.raises(ValueError, match="The needle moves until the end of the log"):
        judge_trace(read_text("time_s\tpressure_bar\n" + "\n".join(rows)))


def test_a_long_log_is_read_the_same_by_columns_and_cell_by_cell() -> None:
    """Slips that send a long log the slow way: whatever stands in a column that nobody reads, and half a sign."""
    lines = ["time_s,pressure_bar,note", *(f"{n / 10:.1f},{9.8 + n % 3 / 10:.1f},7" for n in range(2000))]
    quick = read_text("\n".join(lines))
    for odd in ('"a, b"', "\ud800", ""):
        lines[700] = f"69.9,9.8,{odd}"
        slow = read_text("\n".join(lines))
        assert (slow.time == quick.time).all() and (slow.pressure == quick.pressure).all() and slow.rule == quick.rule
        assert slow.notes == quick.notes and slow.how_read == quick.how_read and slow.division == quick.division
    lines[701] = lines[701].replace("9.", "9.x")
    assert read_text("\n".join([*[""] * 500, *lines])).notes[0].startswith("Row 1202: '9.x")


def test_signs_of_no_width_are_not_seen() -> None:
    """Copied from a page or a calendar: marks of the writing direction, joints of no width."""
    odd = creeping().replace("time_s", "\u200btime_s\u202e").replace("\n", "\u200e\n")
    assert read_text(odd).notes == () and (read_text(odd).time == read_text(creeping()).time).all()
    assert read_text(odd.encode("utf-16")).time.size == 40


def test_a_log_with_the_newest_row_first_is_said() -> None:
    lines = creeping().splitlines()
    with pytest.raises(LogError, match=r"The times run backward: the newest row stands first\. Sort the rows by time"):
        read_text("\n".join([lines[0], *lines[:0:-1]]))


def test_a_million_empty_rows_above_a_log_cost_a_second_not_a_day() -> None:
    """Each row above a header was once compared with all below it; the bound is wide, that was quadratic."""
    before = time.process_time()
    assert read_text("\n" * 300_000 + creeping()).time.size == 40
    assert time.process_time() - before < 20


# whatever stands in a file ---------------------------------------------------------------------------

CELLS = st.one_of(
    st.sampled_from(
        ["0", "15", "30", "9.8", "9,8", "1.013", "1,005", "1e300", "5e-324", "nan", "inf", "-", "", "14:30", "0:15", "23:59:59",
         "2026-03-14 14:30:00", "03/04/2026", "12:00 PM", "99999999999", "x", '"', "9.8 bar", "1_0", "0x10", "1.2.3", "'", "\u00a0", "-9.8"]
    ),
    st.floats(width=32).map(str), st.integers(-5, 2000).map(str), st.text(max_size=6),
)  # fmt: skip
HEADERS = st.lists(
    st.sampled_from(["time_s", "pressure_bar", "t", "clock", "IP (psig)", "p_kPa", "time_min", "date", "skip", "", "p_bara", "bar", "s"]),
    min_size=1, max_size=4,
)  # fmt: skip


@st.composite
def tables(draw: st.DrawFn) -> str:
    mark = draw(st.sampled_from([",", ";", "\t", " ", "|"]))
    header = mark.join(draw(HEADERS))
    rows = draw(st.lists(st.lists(CELLS, min_size=1, max_size=4).map(mark.join), max_size=12))
    return draw(st.sampled_from(["\n", "\r\n"])).join([header, *rows])


@st.composite
def nearly_good(draw: st.DrawFn) -> str:
    """Times and pressures in order, with a few cells of anything."""
    count = draw(st.integers(3, 20))
    step = draw(st.sampled_from([0.1, 1.0, 15.0, 3600.0, 1e-310, 1e290]))
    level = draw(st.sampled_from([9.8, 142.0, 0.0, -0.5, 1e-300, 980.0]))
    rows = [[f"{n * step!r}", f"{level + n * 0.1 * draw(st.sampled_from([0, 0, 1])):.3f}"] for n in range(count)]
    for _ in range(draw(st.integers(0, 3))):
        rows[draw(st.integers(0, count - 1))][draw(st.integers(0, 1))] = draw(CELLS)
    return "time_s\tpressure_bar\n" + "\n".join(map("\t".join, rows))


def look_at(text: str) -> Log | None:
    """A log that holds what it must and can be judged, or one sentence."""
    try:
        log = read_text(text)
    except LogError as error:
        said = str(error)
        assert said[-1] in ".?" and said.isprintable() and "--" not in said and len(said) < 600, said
        return None
    assert log.time.size >= FEWEST and log.time[0] == 0 and (np.diff(log.time) > 0).all()
    assert np.isfinite(log.pressure).all() and log.division > 0 and np.isfinite(log.division)
    assert bool(log.left_out) == any("left out" in note for note in log.notes)
    assert all(one.isprintable() and one.endswith(".") for one in (*log.notes, *log.doubts, log.how_read))
    return log


def judged(log: Log) -> None:
    """A verdict whose lines say how the log was read, or why there is none."""
    try:
        verdict = judge_trace(log)
    except ValueError as error:
        moves, too_high = "The needle moves until the end of the log", "The pressures are about "
        assert str(error).startswith(moves) or (str(error).startswith(too_high) and np.median(log.pressure) > 40)
        return
    assert verdict.because and all(verdict.lines()) and verdict.how_read == log.how_read


@given(tables())
@settings(max_examples=150)
def test_whatever_table_it_is(text: str) -> None:
    look_at(text)


@given(nearly_good())
@settings(max_examples=60)
def test_whatever_stands_in_a_good_log(text: str) -> None:
    log = look_at(text)
    if log is not None and log.time.size < 12:
        judged(log)


@pytest.mark.long
@settings(max_examples=3000)
@given(tables())
def test_thousands_of_tables(text: str) -> None:
    look_at(text)


@pytest.mark.long
@settings(max_examples=2500)
@given(nearly_good())
def test_thousands_of_nearly_good_logs(text: str) -> None:
    log = look_at(text)
    if log is not None:
        judged(log)
