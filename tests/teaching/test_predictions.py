"""Predictions in front of one learner: how sure, shown without predicting, nine in a row, a hidden fault; all kept."""

from __future__ import annotations

import itertools
import json
import re
from pathlib import Path
from typing import Any

import pytest

from steadyneedle.bench.trace import nine
from steadyneedle.jobs.bench_in_time import BenchInTime
from steadyneedle.jobs.under_test import SURPRISE, UnderTest
from steadyneedle.physics.faults import Fault
from steadyneedle.questions.plans import MODULES, SURE, HiddenFault, Prediction, Series, plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.form import ChoiceField, Cover, Form, Picture
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.frame.played import BenchWidget
from steadyneedle.teaching.learner.hidden_fault import HiddenFaultSession
from steadyneedle.teaching.learner.predictions import PredictionSession, SeriesSession
from steadyneedle.teaching.learner.progress import FILE, Progress
from steadyneedle.teaching.learner.show_of_hands import ShowOfHands
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.panels.bench import SAY_FIRST, ShownBench


def keys(number: str, name: str) -> tuple[str, ...]:
    return "lessons", number, "predictions", name


def kept(work: Path, number: str, name: str) -> dict[str, Any]:
    entry: dict[str, Any] = json.loads((work / FILE).read_text(encoding="utf-8"))["lessons"][number]["predictions"][
        name
    ]
    return entry


def ask(work: Path, number: str, name: str) -> PredictionSession:
    """As after a restart: everything is read from the file."""
    asked = plan_of(number).prediction(name)
    assert isinstance(asked, Prediction)
    return PredictionSession(asked, Progress(work), keys(number, name))


def labels(form: Form) -> list[str]:
    return [button.label for button in form.buttons]


def chosen(form: Form, name: str) -> ChoiceField:
    (field,) = (one for one in form.fields if one.name == name and isinstance(one, ChoiceField))
    return field


@pytest.mark.parametrize("number", MODULES)
def test_a_prediction_is_asked_with_the_learners_decimal_mark(work: Path, number: str) -> None:
    """Question, options, what one said and the explanation, of every prediction."""
    with Progress(work).change("choices") as kept:
        kept["decimal"] = "comma"
    seen = ""
    for one in plan_of(number).predictions:
        if not isinstance(one, Prediction | Series):
            continue
        here = keys(number, one.name)
        made = (
            PredictionSession(one, Progress(work), here)
            if isinstance(one, Prediction)
            else SeriesSession(one, Progress(work), here, lambda number, _: Picture(b"", f"{number}", 0))
        )
        for button in ("", "record", "explain"):
            if button:
                made.act(button, {"prediction": next(iter(one.options)), "sure": next(iter(SURE))})
            form = made.view()
            asked = chosen(form, "prediction")
            seen += " ".join((asked.label, *(words for _, words in asked.options), *form.message.lines))
    assert not re.search(r"\d\.\d", seen), re.findall(r".{20}\d\.\d.{10}", seen)


def test_shown_without_predicting_is_kept_as_such_and_covered_again(work: Path) -> None:
    first = ask(work, "01", "dial").view()
    assert labels(first) == ["Record my prediction", "Show me without predicting"]
    assert first.cover == Cover("01", "dial", open=False)
    ask(work, "01", "dial").act("show", {})
    view = ask(work, "01", "dial").view()
    assert kept(work, "01", "dial")["shown"] == "without predicting" and "recorded" not in kept(work, "01", "dial")
    assert view.cover == Cover("01", "dial", open=True) and chosen(view, "prediction").fixed
    assert view.message.word == "Shown without predicting" and "You said" not in str(view.message)
    ask(work, "01", "dial").act("explain", {})
    assert "Multiply by 14.5" in str(ask(work, "01", "dial").view().message)
    assert labels(ask(work, "01", "dial").view()) == ["Cover it again"]
    ask(work, "01", "dial").act("again", {})
    view = ask(work, "01", "dial").view()
    assert view == first and kept(work, "01", "dial") == {"earlier": ["shown without predicting"]}


def test_a_recorded_prediction_is_no_shown_one(work: Path) -> None:
    ask(work, "01", "dial").act("record", {"prediction": "142"})
    view = ask(work, "01", "dial").view()
    assert view.cover == Cover("01", "dial", open=True) and "shown" not in kept(work, "01", "dial")
    assert view.message.word == "Recorded" and view.message.lines[0] == "You said: 142 psi"
    ask(work, "01", "dial").typed({"prediction": "98"})
    assert ask(work, "01", "dial").recorded == "142", "what is recorded stays"
    ask(work, "01", "dial").act("again", {})
    assert kept(work, "01", "dial") == {"earlier": ["142"]}


def test_ten_seconds_ask_how_sure_and_reply_to_it(work: Path) -> None:
    one = ask(work, "04", "ten_seconds")
    one.typed({"prediction": "healthy", "sure": ""})
    one.act("record", {"prediction": "healthy", "sure": ""})
    view = ask(work, "04", "ten_seconds").view()
    assert view.message == view.message.__class__("Not recorded yet", ("Say also how sure you are.",))
    assert chosen(view, "prediction").value == "healthy" and view.cover and not view.cover.open
    replies = set()
    for said in ("healthy", "not"):
        for sure in SURE:
            one.act("record", {"prediction": said, "sure": sure})
            state = kept(work, "04", "ten_seconds")
            assert (state["recorded"], state["sure"]) == (said, sure)
            assert one.view().message.lines[1] == "Now let time run, below.", "the reply waits until one has looked"
            one.act("explain", {})
            told, reply, explanation = one.view().message.lines
            assert SURE[sure] in told and "10.9 bar" in explanation and "0.01 bar" in explanation
            replies.add(reply)
            one.act("again", {})
    assert len(replies) == 6


def test_every_prediction_can_be_recorded_explained_and_replied_to(work: Path) -> None:
    for number in MODULES:
        for asked in plan_of(number).predictions:
            if isinstance(asked, Prediction):
                session = ask(work, number, asked.name)
                session.act("record", {"prediction": next(iter(asked.options)), "sure": "guess"})
                session.act("explain", {})
                assert len(session.view().message.lines) >= 2 and session.open


# nine traces ------------------------------------------------------------------------------------------


def series(work: Path) -> SeriesSession:
    asked = plan_of("04").prediction("nine_traces")
    assert isinstance(asked, Series)
    return SeriesSession(
        asked, Progress(work), keys("04", "nine_traces"), lambda number, answered: Picture(b"", f"{number}", 0)
    )


def right(number: int) -> str:
    return nine.verdict_on(nine.ASKED[number - 1]).outcome


def test_each_trace_is_asked_on_its_own_before_its_verdict(work: Path) -> None:
    for number in range(1, 10):
        one, verdict = series(work), nine.verdict_on(nine.ASKED[number - 1])
        view = one.view()
        assert view.title == f"Predict first: {number} of 9"
        assert view.cover == Cover("04", "nine_traces", open=False, asked=f"nine_traces {number}")
        assert verdict.because not in str(view) and not view.message.lines
        assert dict(chosen(view, "prediction").options).keys() == {nine.verdict_on(n).outcome for n in range(1, 10)}
        said = right(number) if number != 2 else "locks"
        one.typed({"prediction": said, "sure": ""})
        one.act("record", {"prediction": said, "sure": ""})
        assert "how sure" in str(series(work).view().message), "a trace without how sure is not recorded"
        one.act("record", {"prediction": said, "sure": "sure" if number < 4 else "guess"})
        view = series(work).view()
        assert verdict.because in str(view.message) and chosen(view, "prediction").fixed
        assert view.message.word == ("Look again" if number == 2 else "Right")
        series(work).act("next", {})
    state = kept(work, "04", "nine_traces")
    assert state["recorded"] == "all" and state["answers"]["2"] == {"said": "locks", "sure": "sure"}
    view = series(work).view()
    assert view.cover == Cover("04", "nine_traces", open=True, asked="nine_traces 9", answered=True)
    assert labels(view) == ["Back", "Cover it again"]
    assert "Right of the 9 you answered: 8 (a guess: 6 of 6; sure: 2 of 3)." in str(view.message)


def test_hands_are_kept_for_each_trace_on_its_own(work: Path) -> None:
    hands = ShowOfHands(Progress(work), plan_of("04"))
    hands.keep({"hands": {"nine_traces 2": {"creeps": 9, "no outcome": 4}, "nine_traces 10": {"creeps": 1}}})
    hands.keep({"hands": {"nine_traces 3": {"locks": 1}}})
    assert Progress(work).entry("lessons", "04", "hands") == {
        "nine_traces 2": {"creeps": 9},
        "nine_traces 3": {"locks": 1},
    }


def test_the_order_of_the_traces_is_not_that_of_the_options(work: Path) -> None:
    options = [key for key, _ in chosen(series(work).view(), "prediction").options]
    places = [options.index(right(number)) for number in range(1, 10)]
    assert sorted(places) == list(range(9)), "each once"
    assert sum(later == earlier + 1 for earlier, later in itertools.pairwise(places)) <= 2


def test_traces_shown_without_predicting(work: Path) -> None:
    series(work).act("show", {})
    assert series(work).view().message.word == "Shown without predicting"
    series(work).act("next", {})
    series(work).typed({"prediction": "creeps", "sure": "fairly"})
    assert chosen(series(work).view(), "prediction").value == "creeps", "leaning is kept"
    series(work).act("show_all", {})
    state = kept(work, "04", "nine_traces")
    assert set(state["answers"]) == {str(n) for n in range(1, 10)} and series(work).open
    assert all(one == {"shown": "without predicting"} for one in state["answers"].values())
    assert "Right of the 0 you answered: 0." in str(series(work).view().message)
    series(work).act("back", {})
    assert series(work).view().title.endswith("1 of 9")
    series(work).act("again", {})
    view = series(work).view()
    assert view.cover and not view.cover.open and len(kept(work, "04", "nine_traces")["earlier"]) == 1


def test_the_picture_of_a_trace_keeps_its_verdict_until_it_was_answered(
    work: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lesson = Lesson("04")
    asked = lesson.plan.prediction("nine_traces")
    assert isinstance(asked, Series)
    picture = lesson._pictures(asked)
    for number in (1, 5, 9):
        outcome = right(number)
        assert f"Trace {number}:" in picture(number, False).text and outcome not in picture(number, False).text
        assert outcome in picture(number, True).text and picture(number, True).png != picture(number, False).png


# a hidden fault ---------------------------------------------------------------------------------------


class Asking:
    """The bench of lesson 04 with its form, as after a restart."""

    def __init__(self, work: Path, under_test: UnderTest | None = None) -> None:
        self.shown = ShownBench(Preferences(), BenchInTime(under_test or UnderTest(fault=SURPRISE)), told=False)
        asked = plan_of("04").prediction("hidden_fault")
        assert isinstance(asked, HiddenFault)
        self.session = HiddenFaultSession(asked, self.shown, Progress(work), keys("04", "hidden_fault"))
        self.shown.may_tell = lambda: self.session.answered

    @property
    def fault(self) -> str:
        return next(iter(self.shown.bench.under_test.faults()))

    def other(self) -> str:
        return next(key for key in Fault.keys("Juniper") if key != self.fault)


def test_the_bench_says_nothing_before_it_was_asked(work: Path) -> None:
    one = Asking(work)
    with pytest.raises(ValueError, match=SAY_FIRST):
        one.shown.new({"told": True})
    assert one.shown.wrong() == "The fault is hidden."
    names = Fault.named(one.fault).name
    form = one.session.view()
    assert names not in str(form.message) and labels(form) == ["Record what I think", "Show me without saying"]
    assert [field.name for field in form.fields] == ["said", "sure", "open"]
    one.session.act("record", {"said": one.fault, "sure": "", "open": "first"})
    assert "all three" in str(one.session.view().message) and not one.session.answered
    one.session.act("record", {"said": one.fault, "sure": "fairly", "open": "first"})
    assert names in one.shown.wrong(), "the bench tells, once it was said"
    again = Asking(work)
    assert again.session.answered and again.session.view().message.word == "Right"
    state = kept(work, "04", "hidden_fault")
    assert list(state["answers"].values()) == [{"said": one.fault, "sure": "fairly", "open": "first"}]


def test_the_reply_compares_and_names_what_tells_the_two_apart(work: Path) -> None:
    one = Asking(work)
    one.session.act("record", {"said": one.other(), "sure": "sure", "open": "second"})
    lines = one.session.view().message.lines
    assert one.session.view().message.word == "Look again" and lines[0].endswith("(sure)")
    assert lines[1] == f"It is: {Fault.named(one.fault).name}."
    assert any(line.startswith("What tells them apart: ") or "tells these two apart" in line for line in lines)


def test_each_surprise_is_asked_and_another_one_is_hidden_again(work: Path) -> None:
    one = Asking(work)
    one.session.act("show", {})
    assert one.shown.told and one.session.view().message.word == "Shown without predicting"
    one.shown.new({"another": True})
    assert not one.shown.told and not one.session.answered and not one.session.view().message.word
    one.session.act("record", {"said": "sound", "sure": "guess", "open": "neither"})
    assert len(kept(work, "04", "hidden_fault")["answers"]) == 2
    one.session.act("again", {})
    assert not one.session.answered and not one.shown.told
    assert "said" in str(kept(work, "04", "hidden_fault")["earlier"])


def test_where_nothing_is_hidden_nothing_is_asked(work: Path) -> None:
    one = Asking(work, UnderTest(fault="seat_nicked"))
    assert not one.session.view().fields and one.session.answered
    one.session.act("record", {"said": "sound", "sure": "guess", "open": "neither"})
    one.shown.new({"told": True})


def test_two_surprises_and_one_named(work: Path) -> None:
    one = Asking(work, UnderTest("Hazel", SURPRISE, other=SURPRISE, seed=3))
    both = tuple(one.shown.bench.under_test.faults())
    one.session.act("record", {"said": both[1], "sure": "sure", "open": "first"})
    message = one.session.view().message
    assert message.word == "Right" and all(Fault.named(key).name in message.lines[1] for key in both)


def test_the_lesson_joins_bench_and_form(work: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lesson = Lesson("04")
    lesson.predict("hidden_fault")  # by itself: it brings its bench
    bench, widget = lesson._benches["bench"]
    assert isinstance(bench, ShownBench) and isinstance(widget, BenchWidget)
    widget._heard(widget, {"kind": "new", "number": 1, "values": {"told": True}}, [])
    assert widget.run["problem"] == SAY_FIRST and not widget.run["told"]
    fault = next(iter(bench.bench.under_test.faults()))
    form = next(one for one in widget_forms() if "said" in str(one.view))
    form._heard(form, {"what": "act", "button": "record", "number": 1,
                       "answers": {"said": fault, "sure": "guess", "open": "first"}}, [])  # fmt: skip
    assert widget.run["told"] and widget.run["answers"] == -1 and form.view["message"]["word"] == "Right"
    widget._heard(widget, {"kind": "new", "number": 2, "values": {"another": True}}, [])
    assert not widget.run["told"] and not form.view["message"]["word"], "the form asks about the new one"


def widget_forms() -> list[FormWidget]:
    from ipywidgets.widgets.widget import _instances

    return [one for one in reversed(_instances.values()) if isinstance(one, FormWidget)]


def test_what_the_page_knows_early_stands_in_the_file(work: Path) -> None:
    """The page reads `recorded` or `shown` of each prediction before any kernel has started."""
    ask(work, "01", "dial").act("show", {})
    ask(work, "01", "rulers").act("record", {"prediction": "bar psi kPa"})
    series(work).act("show_all", {})
    for number, name in (("01", "dial"), ("01", "rulers"), ("04", "nine_traces")):
        assert kept(work, number, name).get("recorded") or kept(work, number, name).get("shown")
    ask(work, "01", "dial").act("again", {})
    assert not kept(work, "01", "dial").get("recorded") and not kept(work, "01", "dial").get("shown")
