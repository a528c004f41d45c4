"""Gauge logs as people write them: read, or refused with what to do instead; nothing is dropped silently."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from steadyneedle.bench.trace import Log, LogError, judge_trace, read_log
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places


def written(folder: Path, text: str | bytes, name: str = "log.csv") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return path


HEADERS = [
    ("time_s,pressure_bar", 1.0, 1.0), ("time [s],pressure [psi]", 1.0, 0.0689476), ("t (ms);IP (bar)", 1e-3, 1.0),
    ("minutes\tneedle kPa", 60.0, 0.01), ("Time_min,Pressure (kgf/cm2)", 60.0, 0.980665), ("s,bar", 1.0, 1.0),
    ("time/s,p/MPa", 1.0, 10.0),
]  # fmt: skip


@pytest.mark.parametrize(("header", "seconds", "bars"), HEADERS, ids=[header for header, _, _ in HEADERS])
def test_headers_name_their_units(tmp_path: Path, header: str, seconds: float, bars: float) -> None:
    mark = "\t" if "\t" in header else ";" if ";" in header else ","
    rows = "\n".join(mark.join((str(n), str(n + 5))) for n in range(5))
    log = read_log(written(tmp_path, f"{header}\n{rows}\n"))
    assert log.time.tolist() == pytest.approx([n * seconds for n in range(5)])
    assert log.pressure.tolist() == pytest.approx([(n + 5) * bars for n in range(5)], rel=1e-5)


NUMBERS = [
    ("time_s;p_bar\n0;9,8\n15;9,9\n30;10,0", [0, 15, 30], [9.8, 9.9, 10.0], "comma"),
    ("time_ms;p_bar\n0.000;9.8\n301.000;9.9\n1.003.000;10.0", [0, 0.301, 1.003], [9.8, 9.9, 10.0], "last dot"),
    ("time_ms,p_bar\n0.000,9.8\n301.000,9.9\n802.000,10.0", [0, 0.301, 0.802], [9.8, 9.9, 10.0], "dot"),
    ("time_s;p_kPa\n0;1.001,5\n1;1.002,5\n2;1.003,5", [0, 1, 2], [10.015, 10.025, 10.035], "'.' stands between"),
    ('time_s,p_kPa\n0,"1,001.5"\n1,"1,002.5"\n2,"1,003.5"', [0, 1, 2], [10.015, 10.025, 10.035], "',' stands between"),
    ('time_ms;p_bar\n0,000;9,8\n1,000,500;9,9\n2,000,000;9,9', [0, 1000.0005, 2000], [9.8, 9.9, 9.9], "last comma"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "times", "bars", "rule"), NUMBERS, ids=[rule for _, _, _, rule in NUMBERS])
def test_marks_are_read_by_one_rule_a_column(tmp_path: Path, text: str, times: list, bars: list, rule: str) -> None:
    log = read_log(written(tmp_path, text))
    if rule == "last comma":  # the last comma is the decimal mark, in every row of that column
        assert log.time.tolist() == pytest.approx([0, 1.0005, 2.0])
    else:
        assert log.time.tolist() == pytest.approx(times)
    assert log.pressure.tolist() == pytest.approx(bars)
    assert rule in log.rule


def test_the_real_measurements_read_as_their_authors_meant() -> None:
    """301.000 is 301 ms and 1.003.000 is 1,003 ms; about 145 s from 7.3 to 7.9 bar on (datasets/logs/sources.csv)."""
    for number in range(1, 5):
        path = places.datasets() / "logs" / f"chamber_{number}.csv"
        log = read_log(path, ("time_ms", "skip", "pressure_bar"))
        assert log.time[1] == pytest.approx(0.1, abs=0.011) and 140 < log.time[-1] < 155
        assert 7.3 <= log.pressure[0] <= 7.9 and log.division == 0.001
        assert "last dot is the decimal mark" in log.rule and log.left_out == {}
        with pytest.raises(LogError, match="has no header, so nobody knows its units"):
            read_log(path)


def test_what_is_left_out_is_counted(tmp_path: Path) -> None:
    rows = [
        "0,9.8",
        "1,9.8",
        "1,9.9",
        "2,",
        "3,n/a",
        "4,inf",
        "2.5,9.7",
        "5,9.8",
        "6,14.0",
        "7,9.8",
        "8,9.9",
        "9,9.8",
        "x,9.9",
        "10,9.8",
    ]
    log = read_log(written(tmp_path, "time_s,pressure_bar\n" + "\n".join(rows)))
    assert log.left_out == {"no number": 4, "repeated time": 1, "spike": 1}
    backward = read_log(written(tmp_path, "time_s,p_bar\n0,9.8\n5,9.8\n3,9.8\n6,9.8\n"))
    assert backward.left_out == {"backward time": 1} and backward.time.tolist() == [0, 3, 6]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "log.csv is empty"), ("\n\n", "log.csv is empty"), ("time_s,pressure_bar\n", "a header and no rows"),
        ("time_s,pressure_bar\n0,9.8\n1,9.9\n", "Only 2 usable rows: a log needs at least 3"),
        (b"\x00\x01\x02", "no text file"), ("time_s,p_bar\n0,9.8".encode("utf-16"), "Only 1 usable row"),
        ("time_s,pressure [foo]\n0,1\n1,2\n2,3", "no pressure column with a known unit"),
        ("clock,pressure_bar\n0,1\n1,2\n2,3", "no time column with a known unit"),
        ("time_s,a_bar,b_psi\n0,1,1\n1,2,2\n2,3,3", "has 2 pressure columns, 'a_bar' and 'b_psi'. Choose one"),
        ("time_s,p_bar\n0,nan\n1,\n2,x", "no finite number at all"), ("time_s,p_bar\n0,9.8\n1,1e300\n2,9.9", "beyond 1000 bar"),
        ("clock,p_bar\n12:00,9.8\n12:15,9.8\n12:30,9.8", "may be minutes and seconds, or hours and minutes"),
        ("0,9.8\n1,9.8\n2,9.8", "has no header"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_says_what_to_do(tmp_path: Path, text: str | bytes, words: str) -> None:
    with pytest.raises(LogError, match=words):
        read_log(written(tmp_path, text))


def test_missing_folder_and_forbidden(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="There is no file"):
        read_log(tmp_path / "none.csv")
    with pytest.raises(LogError, match="is a folder"):
        read_log(tmp_path)
    if os.name == "posix" and os.getuid() != 0:
        path = written(tmp_path, "time_s,p_bar\n0,1\n1,1\n2,1")
        path.chmod(0)
        with pytest.raises(LogError, match="cannot be read"):
            read_log(path)


def test_no_permission_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As root nothing is forbidden, so the refusal is played."""

    def refused(self: Path, mode: str) -> None:
        raise PermissionError(13, "Permission denied")

    path = written(tmp_path, "time_s,p_bar\n0,1\n1,1\n2,1")
    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(LogError, match="cannot be read: Permission denied"):
        read_log(path)


@pytest.mark.parametrize(
    ("values", "division"),
    [([9.8, 9.9, 10.1, 10.2], 0.1), ([9.8, 10.0, 10.2, 10.6], 0.2), ([9.8, 9.8, 9.8], 0.2), ([9.85, 9.80, 9.95, 10.0], 0.05), ([142.0, 143.0, 145.0, 144.0], 1)],
)  # fmt: skip
def test_the_division_is_seen(values: list[float], division: float) -> None:
    """Three readings of 9.8 without a text may be read in steps of 0.1 or 0.2 bar: the coarser one claims less."""
    assert Log.from_arrays(range(len(values)), values, "bar").division == pytest.approx(division)


def test_arrays_in_any_unit() -> None:
    log = Log.from_arrays([5, 6, 7], [142.0, 143.0, 142.0], "psi", division=1)
    assert log.time.tolist() == [0, 1, 2] and log.pressure[0] == pytest.approx(9.79, abs=0.01)
    assert log.division == pytest.approx(0.0689476, rel=1e-6)
    assert Log.from_arrays([0, 1, 2], [9.8, 9.8, 9.8], "bar", Q(2, "psi")).division == pytest.approx(0.1379, rel=1e-3)
    for bad, words in (
        ((range(3), [1, 2], "bar"), "same length"),
        ((range(3), [1, 2, 3], "furlong"), "Unknown unit 'furlong'"),
    ):
        with pytest.raises(LogError, match=words):
            Log.from_arrays(*bad)
    with pytest.raises(LogError, match="division must be above 0"):
        Log.from_arrays(range(3), [1, 2, 3], "bar", division=0)


def test_a_million_rows(tmp_path: Path) -> None:
    """Read and judged, in bounded memory: the arrays alone are kept."""
    times = np.arange(1_000_000) * 0.1
    pressures = np.round(9.8 + 0.05 * np.sin(times) ** 2, 2)
    lines = "\n".join(f"{t:.1f},{p:.2f}" for t, p in zip(times.tolist(), pressures.tolist(), strict=True))
    log = read_log(written(tmp_path, "time_s,pressure_bar\n" + lines))
    assert log.time.size == 1_000_000 and log.left_out == {}
    assert judge_trace(log).outcome == "locks"
