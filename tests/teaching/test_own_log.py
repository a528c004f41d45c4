"""A log of one's own in the lesson: judged as `steadyneedle trace` does, refused with a sentence."""

from __future__ import annotations

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import judge_trace, nine, read_log
from steadyneedle.foundation import places
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.logs import LogWidget
from steadyneedle.teaching.panels import creep
from steadyneedle.teaching.panels.own_log import NO_SHEET, QUESTION, TITLE, judge_with

PATH = places.datasets() / "logs" / "class_reading.csv"
SHEETS = load_sheets(places.datasets() / "sheets")


def widget(preferences: Preferences | None = None) -> LogWidget:
    judge = judge_with(preferences or Preferences(), SHEETS)
    return LogWidget(judge, title=TITLE, question=QUESTION, sheets=[NO_SHEET, *SHEETS])


def test_a_file_is_judged_as_at_the_terminal() -> None:
    one = widget()
    one._heard(one, {"name": PATH.name, "columns": "", "sheet": "Juniper"}, [memoryview(PATH.read_bytes())])
    assert one.answered == 1 and one.problem == "" and bytes(one.picture).startswith(b"\x89PNG")
    assert one.lines == judge_trace(read_log(PATH), SHEETS["Juniper"]).lines()
    comma = widget(Preferences("comma"))
    comma._heard(comma, {"name": PATH.name, "columns": "", "sheet": NO_SHEET}, [PATH.read_bytes()])
    assert "0,0" in comma.lines[0]


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


def test_the_nine_traces_are_nine_different_things() -> None:
    outcomes = [nine.verdict_on(number).outcome for number in range(1, nine.TRACES + 1)]
    assert outcomes == [
        "locks", "settles", "locks high", "locks low", "creeps", "falls", "saw-tooth", "free flow", "cannot tell",
    ]  # fmt: skip


def test_a_longer_watch_and_a_finer_scale_tell_more() -> None:
    tenths = creep.watched(0.1, 0.05)
    widths = [tenths[watch - 1].high - tenths[watch - 1].low for watch in (2, 5, 12)]
    assert widths[0] > widths[1] > widths[2]
    fine, coarse = creep.watched(0.02, 0.05)[4], creep.watched(0.2, 0.05)[4]
    assert fine.high - fine.low < coarse.high - coarse.low
    assert tenths[11].outcome == "creeps" and creep.watched(0.2, 0.05)[0].outcome == "cannot tell"
