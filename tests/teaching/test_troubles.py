"""Whatever fails behind a page is one sentence in the page, and the page is always answered."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.foundation import places, user_state
from steadyneedle.jobs.bench_in_time import BenchInTime
from steadyneedle.jobs.under_test import UnderTest
from steadyneedle.questions.plans import plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.clock import Clock, ClockWidget
from steadyneedle.teaching.frame.companion import CompanionWidget
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.frame.logs import LogWidget
from steadyneedle.teaching.frame.played import BenchWidget
from steadyneedle.teaching.frame.publishing import FrameWidget
from steadyneedle.teaching.frame.standing import StandingWidget
from steadyneedle.teaching.frame.troubles import FILE, sentence_of
from steadyneedle.teaching.frame.widgets import PanelWidget
from steadyneedle.teaching.learner.acts import Acts
from steadyneedle.teaching.learner.bookmark import Bookmark
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels import pressure
from steadyneedle.teaching.panels.bench import ShownBench
from steadyneedle.teaching.panels.own_log import judge_with

SHEETS = load_sheets(places.datasets() / "sheets")
SENTENCE = "Something failed here that should not (ZeroDivisionError). Run the lesson again. What happened stands in "


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Troubles are written where the test can look."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(user_state, "state_folder", lambda: tmp_path / "state")
    return tmp_path / "state"


def form(work: Path) -> FormWidget:
    exercise = plan_of("01").exercises[0]
    return FormWidget(PracticeSession(exercise, Progress(work), ("lessons", "01", "exercises", exercise.name), "One"))


def bench(_: Path) -> BenchWidget:
    return BenchWidget(ShownBench(Preferences(), BenchInTime(UnderTest())), "Bench", (200,))


def log(_: Path) -> LogWidget:
    return LogWidget(judge_with(Preferences(), SHEETS))


def panel(_: Path) -> PanelWidget:
    make = next(iter(pressure.panels(Preferences(), lambda: SHEETS).values()))
    return PanelWidget(make())


def companion(work: Path) -> CompanionWidget:
    return CompanionWidget(Bookmark(Progress(work), "01").keep)


def standing(_: Path) -> StandingWidget:
    return StandingWidget(("lesson",), lambda: [], lambda: None)


def clock(_: Path) -> ClockWidget:
    return ClockWidget(Clock(datetime.datetime.now().astimezone(), 60), lambda: "")


def fail(*_: Any, **__: Any) -> Any:
    raise ZeroDivisionError("in a handler")


def explode_form(one: Any) -> str:
    one._session = type("S", (), {"typed": fail, "act": fail, "view": fail})()
    one._heard(one, {"what": "act", "button": "check", "answers": {"answer": "1 bar"}, "number": 7}, [])
    assert one.saved["number"] == 7, "the page is answered"
    return str(one.saved["words"])


def explode_bench(one: Any) -> str:
    one._bench = type("B", (), {"do": fail, "more": fail, "new": fail, "state": fail})()
    one._heard(one, {"kind": "more", "number": 7}, [])
    assert one.run["answers"] == 7
    return str(one.run["problem"])


def explode_log(one: Any) -> str:
    one._judge = fail
    one._heard(one, {"name": "log.csv"}, [b""])
    assert one.answered == 1
    return str(one.problem)


def explode_keeping(one: Any) -> str:
    one._keeper = type("K", (), {"keep": fail, "kept": fail})()
    one._heard(one, {"what": "keep", "table": "0,9.8", "number": 7}, [])
    assert one.saved["number"] == 7
    return str(one.saved["words"])


def explode_panel(one: Any) -> str:
    one._answer = fail
    before = one.answered
    one.values = {**one.values, "new": 1}
    one._moved({"new": dict(one._panel.start())})
    assert one.answered > before
    return str(one.problem)


def explode_companion(one: Any) -> str:
    one._keep = fail
    one._heard(one, {}, [])
    return SENTENCE + str(user_state.state_folder() / "log" / FILE) + "."


def explode_standing(one: Any) -> str:
    one._start_over = fail
    one._heard(one, {"what": "start over"}, [])
    assert one.said["number"] == 1, "the page is answered"
    return str(one.said["words"])


def explode_clock(one: Any) -> str:
    one._look = fail
    one._heard(one, {"what": "look"}, [])
    return str(one.said)


def acts(work: Path) -> Acts:
    return Acts(Progress(work), lambda: None)


def explode_acts(one: Any) -> str:
    one._after = fail
    one.hear(None, {"what": "seen"}, [])
    return SENTENCE + str(user_state.state_folder() / "log" / FILE) + "."


@pytest.mark.parametrize(
    ("make", "explode"),
    [(form, explode_form), (bench, explode_bench), (log, explode_log), (log, explode_keeping), (panel, explode_panel),
     (companion, explode_companion), (standing, explode_standing), (acts, explode_acts), (clock, explode_clock)],
    ids=["form", "bench", "log", "a typed log", "panel", "companion", "standing", "acts", "clock"],
)  # fmt: skip
def test_what_fails_in_a_handler_is_one_sentence(
    work: Path, state: Path, make: Callable[[Path], Any], explode: Callable[[Any], str]
) -> None:
    said = explode(make(work))
    kept = state / "log" / FILE
    assert said == f"{SENTENCE}{kept}."
    assert "ZeroDivisionError: in a handler" in kept.read_text(encoding="utf-8")


def test_no_handler_is_missing_above(work: Path, root: Path) -> None:
    """Whatever the page can call is registered in one of these ways, and only by the widgets that are tried here."""
    ways = re.compile(
        r"(?:\.on_(?!the_|a_gauge)\w+|\bobserve|\blink|\bdlink|\.register_target|\.add_callback|\.register_callback)\(([^)\n]*)\)"
    )
    found = set()
    for path in sorted((root / "helpers" / "steadyneedle").rglob("*.py")):
        for match in ways.finditer(path.read_text(encoding="utf-8")):
            found.add((path.name, match[1]))
    found.discard(("serving.py", "server.stop"))  # the server's own process: no page calls it
    assert found == {
        ("forms.py", "self._heard"), ("played.py", "self._heard"), ("logs.py", "self._heard"), ("companion.py", "self._heard"),
        ("standing.py", "self._heard"), ("widgets.py", 'self._moved, "values"'), ("lesson.py", "self._acts.hear"),
        ("clock.py", "self._heard"),
    }  # fmt: skip
    tried = {type(make(work)).__name__ for make in (form, bench, log, panel, companion, standing, clock)}
    # a widget whose state depends on what it holds is of a class made for it alone, of the same name
    below = {under.__name__ for one in FrameWidget.__subclasses__() for under in (one, *one.__subclasses__())}
    assert below == {*tried, "GridWidget"}, "a grid needs no kernel: it hears nothing"


def test_a_refusal_of_ours_is_said_as_it_stands_and_a_librarys_is_not(state: Path) -> None:
    assert sentence_of(ValueError("Type a number and a unit.")) == "Type a number and a unit."
    assert not (state / "log" / FILE).exists()
    assert sentence_of(ValueError("could not convert string to float: 'x'")).startswith("Something failed here")


def test_the_file_of_troubles_stays_small_and_need_not_be_writable(state: Path) -> None:
    (state / "log").mkdir(parents=True)
    (state / "log" / FILE).write_text("x" * 600_000, encoding="utf-8")
    sentence_of(KeyError("a"))
    assert (state / "log" / FILE).stat().st_size < 10_000
    (state / "log" / FILE).unlink()
    (state / "log" / FILE).mkdir()
    assert sentence_of(KeyError("a")).endswith("Nor could it be written down what happened.")


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=4,
)
messages = st.dictionaries(
    st.sampled_from(["what", "button", "answers", "number", "kind", "time", "value", "values", "name", "columns", "sheet",
                     "decimal", "cell", "offset", "text", "ground"]),
    st.sampled_from(["act", "check", "new", "do", "valve", "Juniper", {"answer": "1 bar"}, {"design": "Oak"}, 1, -1]) | json_values,
)  # fmt: skip


@pytest.mark.parametrize("make", [form, log, companion, standing], ids=["form", "log", "companion", "standing"])
def test_any_message_is_answered(work: Path, make: Callable[[Path], Any]) -> None:
    one = make(work)

    @settings(max_examples=40)
    @given(messages)
    def hear(message: dict[str, Any]) -> None:
        before = getattr(one, "answered", 0)
        one._heard(one, message, [])
        assert getattr(one, "answered", 1) > before or make is not log
        json.dumps(one.get_state(), ensure_ascii=False, default=lambda _: "", allow_nan=False).encode("utf-8")

    hear()


def test_any_message_to_a_bench_is_answered(work: Path) -> None:
    one = bench(work)

    @settings(max_examples=15)
    @given(messages)
    def hear(message: dict[str, Any]) -> None:
        one._heard(one, message, [])
        json.dumps(one.run, ensure_ascii=False, allow_nan=False).encode("utf-8")

    hear()
