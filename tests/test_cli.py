"""The words a person types: help that reads well, exit statuses, never a traceback."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

COMMAND = [sys.executable, "-m", "steadyneedle.cli"]


def run(*arguments: str, environment: dict[str, str], cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    done = subprocess.run([*COMMAND, *arguments], capture_output=True, text=True, env=environment, cwd=cwd, timeout=200)
    assert "Traceback" not in done.stderr + done.stdout
    return done


def test_help_lists_the_words(clean_environment: dict[str, str]) -> None:
    done = run("--help", environment=clean_environment)
    assert done.returncode == 0 and not done.stderr
    for word in ("study", "sheets", "ready", "Start with: steadyneedle study"):
        assert word in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 100


def test_start_knows_every_word(root: Path) -> None:
    from steadyneedle.cli import words

    listed = re.search(r"WORDS = \((.*?)\)", (root / "helpers/start.py").read_text(encoding="utf-8"), re.S)
    assert listed is not None and set(words.commands) < set(re.findall(r'"([^"]+)"', listed.group(1)))


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["studdy"], "There is no command 'studdy'. Did you mean 'study'?"),
        (["xyzzy"], "There is no command 'xyzzy'. steadyneedle --help lists them all."),
        (["study", "--prot", "3"], "'--port'"),
        (["study", "--port", "abc"], "'abc' is no port. Type a number, for example --port 8899."),
        (["study", "--port", "99999"], "'99999' is no port. Type a number, for example"),
        (["study", "--sheets", "nowhere", "copy"], "There is no folder"),
        (["study", "a-file"], "is a file. Name a folder"),
        (["sheets", "nowhere"], "There is no folder"),
        (["study", "a", "b"], "unexpected extra argument"),
    ],
)
def test_bad_use_is_a_sentence_and_status_two(
    tmp_path: Path, clean_environment: dict[str, str], arguments: list[str], sentence: str
) -> None:
    (tmp_path / "a-file").write_text("", encoding="utf-8")
    done = run(*arguments, environment=clean_environment, cwd=tmp_path)
    assert done.returncode == 2 and sentence in done.stderr and not done.stdout
    assert not (tmp_path / "copy").exists(), "nothing is begun before the sheets are good"


def test_a_letter_that_the_terminal_lacks_stops_nothing(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    (tmp_path / "s.csv").write_text("name,ip_low_bar,ip_high_bar\nŁoś \U0001f600,9.8,10.2\n", encoding="utf-8")
    done = run("sheets", "s.csv", environment={**clean_environment, "PYTHONIOENCODING": "cp1252"}, cwd=tmp_path)
    assert done.returncode == 0 and "Accepted: ?o? ?, IP 9.8 bar to 10.2 bar" in done.stdout, done.stdout


@pytest.mark.parametrize("word", ["study", "ready", "sheets", "trace"])
@pytest.mark.parametrize(
    ("named", "sentence"),
    [("a" * 300, "a… cannot be used: "), ("~nobody-here/x", "~nobody-here/x: nobody knows that home folder.")],
    ids=["long", "home"],
)
def test_a_name_that_no_system_can_hold_is_refused(
    capsys: pytest.CaptureFixture[str], word: str, named: str, sentence: str
) -> None:
    from steadyneedle.cli import main

    with pytest.raises(SystemExit) as left:
        main([word, named])
    assert left.value.code == 2 and sentence in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="a folder in use can be removed")
def test_a_folder_that_is_gone_under_ones_feet_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from steadyneedle.cli import main

    (tmp_path / "gone").mkdir()
    monkeypatch.chdir(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    with pytest.raises(SystemExit) as left:
        main(["study"])
    assert left.value.code == 2 and "The folder you stand in is gone." in capsys.readouterr().err
    monkeypatch.chdir(tmp_path)


@pytest.mark.skipif(os.name != "posix", reason="permissions of a posix system")
def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    done = run("study", "file/below", environment=clean_environment, cwd=tmp_path)
    assert done.returncode == 2 and "Cannot write in" in done.stderr and "steadyneedle study FOLDER" in done.stderr


def test_sheets_are_listed_and_warned_about(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    text = (
        "name,ip_low_bar,ip_high_bar,ip_low_psi,ip_high_psi,supply_bar,source\nOurs,9.8,10.2,140,150,200,our manual\n"
    )
    (tmp_path / "own.csv").write_text(text, encoding="utf-8")
    done = run("sheets", str(tmp_path), environment=clean_environment)
    assert done.returncode == 0 and "Accepted: Ours, IP 9.8 bar to 10.2 bar" in done.stdout
    assert "wider than the band 9.8 to 10.2 bar" in done.stdout
    (tmp_path / "own.csv").write_text("name,ip_low_bar\nOurs,nine\n", encoding="utf-8")
    bad = run("sheets", str(tmp_path), environment=clean_environment)
    assert bad.returncode == 2 and "own.csv, row 2, column ip_low_bar: 'nine'" in bad.stderr
    (tmp_path / "own.csv").write_text("name,ip_low_bar,purges\nOurs,nine,x\nTheirs,ten,1\n", encoding="utf-8")
    several = run("sheets", str(tmp_path / "own.csv"), environment=clean_environment)
    assert several.returncode == 2 and [line.split(":")[0] for line in several.stderr.splitlines()] == [
        "own.csv, row 2, column ip_low_bar", "own.csv, row 2, column purges", "own.csv, row 3, column ip_low_bar",
    ]  # fmt: skip


def test_ready_says_ready(tmp_path: Path, clean_environment: dict[str, str]) -> None:
    done = run("ready", str(tmp_path), environment=clean_environment)
    assert done.returncode == 0, done.stdout
    for what in (
        "Python 3.",
        "pint ",
        "kernel python3 starts",
        "widgets in JupyterLab",
        "font DejaVu Sans",
        "may write in",
        "Ready.",
    ):
        assert what in done.stdout


def test_ready_names_what_is_wrong_and_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from steadyneedle import readiness
    from steadyneedle.cli import main

    versions = dict.fromkeys(("pint",), "0.1")
    real = readiness.metadata.version
    monkeypatch.setattr(readiness.metadata, "version", lambda name: versions.get(name) or real(name))
    monkeypatch.setattr(readiness, "_kernel", lambda: readiness.Finding(True, "kernel"))
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(SystemExit) as leaving:
        main(["ready", str(tmp_path / "file" / "x" / "y")])
    out = capsys.readouterr().out
    assert leaving.value.code == 1
    assert re.search(r"MEND  pint 0\.1, needs .*\n +.*-m pip install \"pint", out)
    assert "MEND  may not write in" in out and "2 to mend" in out


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
def test_an_output_that_cannot_be_written_is_said(clean_environment: dict[str, str]) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*COMMAND, "sheets"], stdout=full, stderr=subprocess.PIPE, text=True, env=clean_environment, timeout=200
        )
    assert done.returncode == 1
    assert done.stderr == "What this command prints cannot be written or read: No space left on device.\n"


def test_a_file_is_no_working_copy(tmp_path: Path) -> None:
    from steadyneedle.readiness import _write_access

    (tmp_path / "log.csv").write_text("", encoding="utf-8")
    assert _write_access(tmp_path / "log.csv").what == f"{tmp_path / 'log.csv'} is a file"


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_a_link_to_itself_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    from steadyneedle.cli import main

    (tmp_path / "round").symlink_to(tmp_path / "round")
    for words in (["study", "--no-browser"], ["ready"], ["trace"], ["sheets"]):
        with pytest.raises(SystemExit) as ended:
            main([*words, str(tmp_path / "round")])
        assert ended.value.code == 2 and "Traceback" not in capsys.readouterr().err


RULES = "part,method,limit_minutes,at_celsius,at_percent,instead,why,source\n"


def test_own_cleaning_rules_are_listed_and_handed_to_the_lessons(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`study --cleaning` with a good file: each row is said, the lesson lists them, a verdict hangs on them; status 0."""
    from click.testing import CliRunner

    from steadyneedle import cli
    from steadyneedle.lesson_view import running
    from steadyneedle.questions.preferences import Preferences
    from steadyneedle.teaching.notes.on_cleaning import own_rules_note

    (tmp_path / "ours.csv").write_text(
        RULES + "brass land,acid,2,20,5,,our maker says so,manual p. 4\n", encoding="utf-8"
    )
    given: dict[str, str] = {}
    monkeypatch.setattr(running, "open_lab", lambda *_, variables, **__: given.update(variables) or 0)
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(cli.words, ["study", "copy", "--no-browser", "--cleaning", "ours.csv"])
    assert done.exit_code == 0, done.output
    assert (
        "Accepted: ours.csv, row 2: acid on brass land, 2 min at 20 °C, 5 % (ours: 10 min at 20 °C, 5 %)" in done.output
    )
    for name, value in given.items():
        monkeypatch.setenv(name, value)
    said = " ".join(own_rules_note(Preferences()))
    assert "ours.csv" in said and "our maker says so (manual p. 4)" in said


def test_own_cleaning_rules_that_cannot_be_used_are_refused_by_row(
    tmp_path: Path, clean_environment: dict[str, str]
) -> None:
    """All that is wrong at once, by row and column; nothing is begun; status 2."""
    lines = ("brass lend,acid,3,20,5,,,manual", "brass land,acid,three,20,5,,,manual", "brass land,alkali,3,20,5,,,")
    (tmp_path / "ours.csv").write_text(RULES + "\n".join(lines), encoding="utf-8")
    done = run("study", "copy", "--no-browser", "--cleaning", "ours.csv", environment=clean_environment, cwd=tmp_path)
    assert done.returncode == 2 and not (tmp_path / "copy").exists()
    for row, said in (
        (2, "part: 'brass lend' is not known"),
        (3, "limit_minutes: 'three' is no limit"),
        (4, "source: empty"),
    ):
        assert f"ours.csv, row {row}, column {said}" in done.stderr, done.stderr
    none = run("study", "copy", "--cleaning", "none.csv", environment=clean_environment, cwd=tmp_path)
    assert none.returncode == 2 and "There is no file" in none.stderr
