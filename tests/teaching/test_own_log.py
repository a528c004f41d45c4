"""A log of one's own in the lesson: judged as `steadyneedle trace` does, refused with a sentence."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import judge_trace, nine, read_log, read_text
from steadyneedle.foundation import places
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.logs import LogWidget, SentLog
from steadyneedle.teaching.learner.own_table import TOO_LONG, OwnTable
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels import creep
from steadyneedle.teaching.panels.own_log import MARKS, NO_SHEET, QUESTION, TITLE, judge_with

PATH = places.datasets() / "logs" / "class_reading.csv"
SHEETS = load_sheets(places.datasets() / "sheets")


def widget(preferences: Preferences | None = None, keeper: OwnTable | None = None) -> LogWidget:
    judge = judge_with(preferences or Preferences(), SHEETS)
    return LogWidget(judge, keeper, title=TITLE, question=QUESTION, sheets=[NO_SHEET, *SHEETS], decimals=list(MARKS))


def test_a_file_is_judged_as_at_the_terminal() -> None:
    one = widget()
    one._heard(one, {"name": PATH.name, "columns": "", "sheet": "Juniper"}, [memoryview(PATH.read_bytes())])
    assert one.answered == 1 and one.problem == "" and bytes(one.picture).startswith(b"\x89PNG")
    assert one.lines == judge_trace(read_log(PATH), SHEETS["Juniper"]).lines()
    comma = widget(Preferences("comma"))
    comma._heard(comma, {"name": PATH.name, "columns": "", "sheet": NO_SHEET}, [PATH.read_bytes()])
    assert "0,0" in comma.lines[0]


def test_a_reader_of_psi_is_told_psi_and_a_log_in_psi_stays_one() -> None:
    psi = widget(Preferences(first="psi"))
    psi._heard(psi, {"name": PATH.name, "columns": "", "sheet": "Juniper"}, [PATH.read_bytes()])
    told = [line for line in psi.lines if not line.startswith(("Look first", "Note", "Read as"))]
    assert " psi" in told[0] and " bar" not in " ".join(told)
    log = "time_s,pressure_psi\n" + "\n".join(f"{30 * n},{140 + n // 4}" for n in range(12))
    for first in ("bar", "psi"):
        one = send(widget(Preferences(first=first)), log)
        assert one.problem == "" and "psi" in one.lines[1] and " bar" not in " ".join(one.lines)


def test_a_file_that_cannot_be_read_is_a_sentence() -> None:
    one = widget()
    for data, columns, words in (
        (b"", "", "log.csv is empty"),
        (b"0;9\n1;9\n2;9", "", "no header"),
        (b"0;9\n1;9\n2;9", "time_s,x", "no pressure column"),
    ):
        one._heard(one, {"name": "../../log.csv", "columns": columns, "sheet": NO_SHEET}, [data])
        assert words in one.problem and one.lines == [] and one.picture == b""
    one._heard(one, {"name": "log.csv", "columns": "time_s,pressure_bar", "sheet": NO_SHEET}, [b"0;9\n1;9\n2;9"])
    assert one.problem == "" and one.answered == 4


TYPED = """time IP
0:00 9,8
0:15 9,8
0:30 9,9
0:45 9,9
1:00 10,0
1:15 10,0
"""


def send(one: LogWidget, text: str, columns: str = "", decimal: str = "", name: str = "") -> LogWidget:
    message = {"name": name, "columns": columns, "sheet": NO_SHEET, "decimal": decimal}
    one._heard(one, message, [text.encode()])
    return one


def test_a_typed_table_is_judged() -> None:
    """As a class types it: blanks between columns, mm:ss, a decimal comma; the columns said below it."""
    one = send(widget(), TYPED)
    assert one.lines == [] and one.problem.startswith("Your table: "), "IP without a unit is asked back"
    assert one.problem.endswith("Or say below what the columns hold, for example time_s,pressure_bar.")
    send(one, TYPED, columns="mm:ss, bar")
    assert one.problem == "" and bytes(one.picture).startswith(b"\x89PNG")
    assert one.lines == judge_trace(read_text(TYPED.replace("time IP", "time pressure_bar"), "Your table")).lines()


def test_the_decimal_mark_is_asked_back_and_chosen_below() -> None:
    table = "time_s;pressure_mbar\n" + "\n".join(f"{15 * n};{9 + n // 4}.80{n % 3}" for n in range(8))
    one = send(widget(), table)
    assert one.problem.endswith("can be read in two ways. Write 10.801 or 10801. Or choose the decimal mark below.")
    send(one, table, decimal="comma (9,8)")
    assert one.problem == "" and "9800 to 10802; a dot stands between thousands" in one.lines[-1]
    send(one, table.replace("mbar", "bar"), decimal="point (9.8)")
    assert one.problem == "" and "9.800 to 10.802" in one.lines[-1]


def test_a_sheet_that_is_gone_is_said() -> None:
    one = widget()
    one._heard(one, {"name": PATH.name, "sheet": "Nobody's"}, [PATH.read_bytes()])
    assert one.problem == "There is no sheet 'Nobody's' here. Choose another, then judge it again."


def test_a_sheet_without_a_band_is_named(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text("name,ip_low_psi,supply_psi\nOurs,128,3000\n", encoding="utf-8")
    rows = "\n".join(f"{15 * n},{9.6 + n % 2 / 100}" for n in range(25))
    judge = judge_with(Preferences(), load_sheets(tmp_path))
    lines, _ = judge(SentLog("", f"time_s,pressure_bar\n{rows}".encode(), sheet="Ours"))
    assert "The sheet of Ours gives neither a band nor an allowed rise, so" in lines[0], lines
    assert "No sheet is named" not in " ".join(lines)
    lines, _ = judge(SentLog("", f"time_s,pressure_bar\n{rows}".encode(), sheet=NO_SHEET))
    assert "No sheet is named" in lines[0]


def test_what_is_typed_is_there_when_the_page_is_loaded_again(work: Path) -> None:
    keys = ("lessons", "04", "own log")
    one = widget(keeper=OwnTable(Progress(work), keys))
    one._heard(one, {"what": "keep", "number": 3, "from": "a table typed or pasted", "table": TYPED + "\ud800", "sheet": "Juniper",
                     "colour": "red"}, [])  # fmt: skip
    assert one.saved == {"number": 3, "words": "Saved"} and one.answered == 0, "nothing is judged"
    again = widget(keeper=OwnTable(Progress(work), keys))
    assert again.kept == one.kept == {"from": "a table typed or pasted", "table": TYPED + "?", "sheet": "Juniper"}


def test_a_table_too_long_to_keep_is_said_and_the_one_before_stays(work: Path) -> None:
    own = OwnTable(Progress(work), ("lessons", "04", "own log"))
    one = widget(keeper=own)
    one._heard(one, {"what": "keep", "table": TYPED, "number": 1}, [])
    one._heard(one, {"what": "keep", "table": "9.8\n" * 20_000, "sheet": "Juniper", "number": 2}, [])
    assert one.saved == {"number": 2, "words": TOO_LONG} and "50,000 characters" in TOO_LONG
    assert own.kept() == {"table": TYPED, "sheet": "Juniper"}


def test_a_table_that_cannot_be_saved_is_said(work: Path) -> None:
    one = widget(keeper=OwnTable(Progress(work / "gone"), ("lessons", "04", "own log")))
    one._heard(one, {"what": "keep", "table": TYPED, "number": 1}, [])
    assert "is gone or has another name" in one.saved["words"]


@settings(max_examples=60)
@given(
    st.lists(st.sampled_from(["time_s", "pressure_bar", "IP (psig)", "12", "9,8", "9.800", "1.005", "x", "0:15", "14:30:00", "1e300", "nan",
                              "-", '"', "\t", ";", ",", " ", "\n", "\x00", "😀"]), max_size=60),
    st.sampled_from(["", "time_s,pressure_bar", "time_ms,skip,pressure_bar", ",,,", "time,time", "--columns"]),
    st.sampled_from([*MARKS, "", "--decimal"]),
)  # fmt: skip
def test_no_table_is_a_traceback_and_no_sentence_names_an_option(cells: list[str], columns: str, decimal: str) -> None:
    typed = "".join(cells)
    one = send(widget(), typed, columns, decimal)
    assert one.answered == 1 and bool(one.problem) != bool(one.lines)
    quoted = "--" in typed + columns  # what was typed is quoted
    assert (quoted or "--" not in one.problem) and "steadyneedle" not in one.problem


def test_the_nine_traces_are_nine_different_things() -> None:
    outcomes = [nine.verdict_on(number).outcome for number in range(1, nine.TRACES + 1)]
    assert outcomes == [
        "locks", "settles", "locks high", "locks low", "creeps", "falls", "saw-tooth", "free flow", "cannot tell",
    ]  # fmt: skip


def test_a_longer_watch_and_a_finer_scale_tell_more() -> None:
    short, longer, long = (creep.watched(watch, 0.1, 0.05) for watch in (2, 5, 12))
    assert short.high - short.low > longer.high - longer.low > long.high - long.low
    fine, coarse = creep.watched(5, 0.02, 0.05), creep.watched(5, 0.2, 0.05)
    assert fine.high - fine.low < coarse.high - coarse.low
    assert long.outcome == "creeps" and creep.watched(1, 0.2, 0.05).outcome == "cannot tell"
