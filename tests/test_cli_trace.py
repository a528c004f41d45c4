"""`steadyneedle trace`: words, JSON and picture; every verdict exits 0, bad input is one sentence and status 2."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from steadyneedle.foundation import places
from test_cli import run

LOGS = places.datasets() / "logs"


def test_words_a_technician_reads(clean_environment: dict[str, str]) -> None:
    done = run("trace", str(LOGS / "class_reading.csv"), "--sheet", "juniper", environment=clean_environment)
    assert done.returncode == 0 and not done.stderr
    assert done.stdout.startswith("Conforms: no. ") and "\ncreeps: The needle climbs by 0.0" in done.stdout
    assert "\nRise: beyond.\n" in done.stdout and "Stop watching at 12 bar." in done.stdout
    assert done.stdout.count("more than the 0.1 bar the sheet allows") == 1, "said with what conforms, not again"
    assert "second stage opens" in done.stdout and "Left out: nothing" in done.stdout
    assert done.stdout.splitlines()[-1].startswith("Read as: time in s, 25 readings 15 s apart, 6 min in all")


def test_json_has_the_attributes_as_keys(clean_environment: dict[str, str]) -> None:
    columns = ("--columns", "time_ms,skip,pressure_bar")
    done = run("trace", str(LOGS / "chamber_4.csv"), *columns, "--json", environment=clean_environment)
    plain = json.loads(done.stdout)
    assert done.returncode == 0 and plain["conforms"] == plain["outcome"] == "cannot tell" and plain["fits"] is False
    assert plain["creep_rate"]["unit"] == "bar/min" and plain["creep_rate"]["high"] is None
    assert plain["projection"] == {"leaves_band": None, "second_stage_opens": None} and plain["watch_longer"] is None
    assert plain["stop"] == {"value": 12.0, "unit": "bar"} and plain["band"]["outcome"] == "not asked"


def test_what_is_in_doubt_is_said_first(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    rows = [f"{15 * n if n < 20 else 4000 + 15 * n},9.{8 + n // 30}" for n in range(40)]
    path = tmp_path / "gap.csv"
    path.write_text("\n".join(["time_s,IP (bar)", *rows[:5], "600,9.8", *rows[5:]]), encoding="utf-8")
    done = run("trace", str(path), environment=clean_environment)
    said = done.stdout.splitlines()
    assert done.returncode == 0 and said[0].startswith("Look first: After row 22 a gap of")
    assert said[1].startswith("Note: Row 7: its time 600 does not fit")


def test_cannot_tell_exits_0(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    path = tmp_path / "short.csv"
    path.write_text("time_s,IP (bar)\n0,9.8\n15,9.8\n30,9.9\n", encoding="utf-8")
    done = run("trace", str(path), "--json", environment=clean_environment)
    plain = json.loads(done.stdout)
    assert done.returncode == 0 and plain["outcome"] == "cannot tell"
    assert plain["watch_longer"]["unit"] == "min" and 0 < plain["watch_longer"]["value"] <= 0.5


def test_a_name_with_dollar_signs_is_no_formula(tmp_path: Path) -> None:
    from steadyneedle.cli import main

    name = r"a$x^2$b $\frac{1}$"
    (tmp_path / "own.csv").write_text(
        f"name,ip_low_bar,ip_high_bar,supply_bar,source\n{name},9.8,10.2,200,$\\frac$\n", encoding="utf-8"
    )
    log = str(places.datasets() / "logs" / "class_reading.csv")
    with pytest.raises(SystemExit) as left:
        main(["trace", log, "--sheets", str(tmp_path), "--sheet", name, "--picture", str(tmp_path / "log.png")])
    assert left.value.code == 0 and (tmp_path / "log.png").read_bytes().startswith(b"\x89PNG")


def test_a_picture_is_written(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    picture = tmp_path / "log.png"
    arguments = ("trace", str(LOGS / "class_reading.csv"), "--picture", str(picture))
    done = run(*arguments, environment=clean_environment)
    assert done.returncode == 0 and picture.read_bytes().startswith(b"\x89PNG") and str(picture) in done.stderr
    wrong = run(*arguments[:-1], str(tmp_path / "log.txt"), environment=clean_environment)
    assert wrong.returncode == 2 and "Name it so, for example log.png" in wrong.stderr
    nowhere = run(*arguments[:-1], str(tmp_path / "no" / "log.png"), environment=clean_environment)
    assert nowhere.returncode == 2 and "cannot be written" in nowhere.stderr


@pytest.mark.parametrize(
    ("text", "more", "sentence"),
    [
        (None, (), "There is no file"), ("", (), "is empty"), ("0,9.8\n1,9.8\n2,9.8\n", (), "has no header"),
        ("time_s,p_bar\n0,1e300\n1,9.8\n2,9.8", (), "beyond 1000 bar"), ("time_s,p_bar\n0,1\n1,1\n2,1", ("--sheet", "oak"), "There is no sheet 'oak'"),
        ("time_s,p_bar\n0,1\n1,1\n2,1", ("--sheets", "."), "--sheet NAME"), ("a,b\n0,1\n1,1\n2,1", (), "with a known unit"),
        ("time_s,p_bar\n0,1\n1,1\n2,1", ("--columns", "time_s,pressure_foo"), "no pressure column with a known unit"),
        ("0,9.8\n1,9.8\n2,9.8\n", (), "Or say what the columns hold: --columns time_s,pressure_bar."),
        ("time_s;p_mbar\n0;9.800\n15;9.800\n30;9.900\n", (), "Write 9.8 or 9800. Or name the decimal mark: --decimal comma"),
    ],
)  # fmt: skip
def test_bad_input_is_a_sentence(
    tmp_path: Path, clean_environment: dict[str, str], text: str | None, more: tuple[str, ...], sentence: str
) -> None:
    path = tmp_path / "log.csv"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    done = run("trace", str(path), *more, environment=clean_environment, cwd=tmp_path)
    assert done.returncode == 2 and sentence in done.stderr and not done.stdout
    assert len(done.stderr.strip().splitlines()) == 1


def test_settings_of_matplotlib_beside_a_log_and_in_the_shell_are_not_read(
    tmp_path: Path, clean_environment: dict[str, str]
) -> None:
    (tmp_path / "matplotlibrc").write_text("garbage\ntext.usetex: True\n", encoding="utf-8")
    shell = {**clean_environment, "MPLBACKEND": "no_such_window"}
    arguments = ("trace", str(LOGS / "class_reading.csv"), "--picture", "log.png")
    done = run(*arguments, environment=shell, cwd=tmp_path)
    assert done.returncode == 0 and done.stderr.startswith("Picture: ") and done.stderr.count("\n") == 1
    assert (tmp_path / "log.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.skipif(os.name != "posix", reason="pipes and devices of POSIX")
def test_a_picture_replaces_no_pipe_and_is_whole_or_not_there(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    from steadyneedle.cli import main

    os.mkfifo(tmp_path / "pipe.png")
    (tmp_path / "old.png").write_bytes(b"old")
    log = str(LOGS / "class_reading.csv")
    with pytest.raises(SystemExit) as ended:
        main(["trace", log, "--picture", str(tmp_path / "pipe.png")])
    assert ended.value.code == 2 and "is a pipe or a device. Name a file for the picture." in capsys.readouterr().err
    with pytest.MonkeyPatch.context() as patch, pytest.raises(SystemExit):
        patch.setattr("os.fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
        main(["trace", log, "--picture", str(tmp_path / "old.png")])
    assert (tmp_path / "old.png").read_bytes() == b"old", "what was there stays where the disk is full"
    assert "cannot be written: No space left on device" in capsys.readouterr().err
