"""The bench through time: what was done happens at its time, the page gets all that follows, words say what is noticed."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from steadyneedle.jobs.bench_in_time import SECRET, SUPPLIES, BenchInTime, UnderTest, opened
from steadyneedle.jobs.thinning import thinned
from steadyneedle.physics.actions import BenchError
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import running
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke
from steadyneedle.teaching.frame.played import BenchPanel, BenchWidget
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.panels.bench import ShownBench


def reading(bench: BenchInTime, time: float) -> float:
    times, ip, _ = bench.samples()
    return float(np.interp(time, times, ip))


def test_what_is_done_happens_at_its_time() -> None:
    bench = opened(BenchInTime(), [(2.0, "valve", 1), (30.0, "purge", 1)])
    assert reading(bench, 1.9) < 0.1 and 9.9 < reading(bench, 29) < 10.2
    assert reading(bench, 30.5) < reading(bench, 29) - 0.03
    assert bench.samples()[0][-1] == pytest.approx(30 + 180)
    bench.more()
    assert bench.samples()[0][-1] == pytest.approx(30 + 360)


def test_the_future_is_rewritten_the_past_is_not() -> None:
    bench = opened(BenchInTime(UnderTest(fault="seat nicked")), [(1.0, "valve", 1)])
    before = [reading(bench, time) for time in (10, 60, 99)]
    bench.do(100.0, "purge", 1)
    assert [reading(bench, time) for time in (10, 60, 99)] == pytest.approx(before, abs=0.01)
    bench.do(50.0, "tap")
    assert bench.samples()[0][-1] == pytest.approx(280), "nothing can be done before what was done last"


def test_a_sticking_gauge_jumps_when_tapped() -> None:
    bench = opened(BenchInTime(UnderTest(fault="gauge sticks until tapped", severity="gross")), [(1.0, "valve", 1)])
    low = reading(bench, 40)
    bench.do(40.0, "tap")
    assert reading(bench, 41) > low + 0.5


def test_a_limit_ends_the_job() -> None:
    setup = UnderTest("Juniper", "creep with a second stage that burps", "gross")
    bench = opened(BenchInTime(setup), [(1.0, "valve", 1), (5.0, "blank", 1)])
    bench.more()
    assert bench.ended and bench.noticed()[-1][1].endswith("Critical failure: the job ends here.")
    with pytest.raises(
        BenchError, match=r"The relief valve lifted at 16\.0 bar\. The job is over: take a new regulator"
    ):
        bench.do(1000.0, "purge", 1)


def test_senses_are_told_when_they_change() -> None:
    bench = opened(
        BenchInTime(UnderTest("Linden", "diaphragm perforated, sealed chamber", "gross")), [(1.0, "valve", 1)]
    )
    words = [sentence for _, sentence in bench.noticed()]
    assert words[0] == "You hear nothing." and any("outer seal bulges" in one for one in words)
    assert all(a != b for a, b in itertools.pairwise(words))
    leaking = opened(BenchInTime(UnderTest("Alder", "piston-head seal leaking", "gross")), [(1.0, "valve", 1)])
    assert any("hiss at the spring chamber" in sentence for _, sentence in leaking.noticed())
    purged = opened(BenchInTime(), [(1.0, "valve", 1), (9.0, "purge", 5.0), (20.0, "breathe", 12.0)])
    told = " ".join(sentence for _, sentence in purged.noticed())
    assert "air rushing from the mouthpiece" in told and "body feels cold" in told and "Somebody breathes" in told


@pytest.mark.parametrize("design", FirstStage.names())
def test_every_fault_can_be_put_on_the_bench(design: str) -> None:
    offered = UnderTest(design).offered()
    assert [Fault.named(key).name for key in Fault.keys(design)] == list(offered[2:])
    for name in offered[2:]:
        bench = opened(BenchInTime(UnderTest(design, name)), [(1.0, "valve", 1)])
        assert 5 < reading(bench, 20) < 16, name
        assert name in bench.named()


def test_faults_mix_and_hide() -> None:
    bench = BenchInTime(UnderTest(fault="seat nicked"))
    assert bench.new({"other": "balance-stem seal leaking"}) is True
    assert bench.named() == "Wrong with it: seat nicked and balance-stem seal leaking."
    assert bench.new({"shown": False}) is False and bench.named() == "What is wrong is hidden."
    assert bench.new({"design": "Hazel"}) is True and bench.under_test.other == "nothing wrong", (
        "Hazel has no balance stem"
    )
    assert bench.new({"fault": SECRET}) is True and not bench.under_test.shown and bench.under_test.faults()
    seen = set()
    for _ in range(12):
        bench.new({"another": True})
        seen |= set(bench.under_test.faults())
    assert len(seen) > 4, "another surprise is another fault"
    with pytest.raises(ValueError, match="from their lists"):
        bench.new({"design": "Oak"})


def test_two_surprises_are_two_faults() -> None:
    for design in FirstStage.names():
        for seed in range(200):
            drawn = UnderTest(design, SECRET, other=SECRET, seed=seed).faults()
            assert len(drawn) == 2, (design, seed)
    beside = [UnderTest("Hazel", "seat nicked", other=SECRET, seed=seed).faults() for seed in range(200)]
    assert all(len(faults) == 2 for faults in beside), "a surprise is never the fault that is named"
    assert len({frozenset(faults) for faults in beside}) > 10


def test_the_picture_says_what_the_samples_say() -> None:
    bench = opened(BenchInTime(), [(1.0, "valve", 1)])
    shown = ShownBench(Preferences(), bench)
    row = shown.row(30.0)
    assert row[0] == pytest.approx(running.ip_scale(shown.seen).degrees(reading(bench, 30.0)))
    assert row[3] == "0:30" and row[4] == "cylinder valve open"
    assert f"{reading(bench, 30):.1f} bar" in shown.describe(30.0)
    state = shown.state()
    assert np.interp(30.0, state["times"], state["ip"]) == pytest.approx(reading(bench, 30.0)), "the page gets bar"
    assert np.interp(30.0, state["times"], state["supply"]) == pytest.approx(200, abs=0.5)
    for name, bar, where in (("ip", reading(bench, 30.0), row[0]), ("supply", 200.0, row[1])):
        scale = state["scales"][name]
        assert scale["at_zero"] + scale["per_bar"] * bar == pytest.approx(where, abs=0.5), "and turns it as Python does"
    words = state["sentence"].format(seconds=30, ip=f"{reading(bench, 30):.1f}", supply=200, valves=state["valves"])
    assert words == shown.describe(30.0), "one sentence for page and paper"
    assert {one["name"] for one in state["motions"]} == {"ip", "supply", "trace", "clock", "valves"}
    assert "0,0 bar" in ShownBench(Preferences("comma")).describe(0.0)


def test_the_widget_answers_and_survives_nonsense() -> None:
    widget = BenchWidget(ShownBench(Preferences()), "A bench", SUPPLIES)
    widget._heard(widget, {"kind": "do", "number": 1, "time": 2.0, "what": "valve", "value": 1}, [])
    assert widget.run["answers"] == 1 and widget.run["valve"] and widget.run["time"] == 2.0
    for what, value, words in (("kick", 0, "no action"), ("supply", 9999, "Supply"), ("purge", -1, "A purge")):
        widget._heard(widget, {"kind": "do", "number": 2, "time": 3.0, "what": what, "value": value}, [])
        assert words in widget.run["problem"], what
    widget._heard(widget, {"kind": "new", "number": 3, "values": {"design": "Rowan"}, "time": 9.0}, [])
    assert widget.run["fresh"] and widget.run["time"] == 0.0 and widget.run["setup"]["design"] == "Rowan"
    widget._heard(widget, {"kind": "more", "number": 3, "time": 9.0}, [])
    assert np.frombuffer(widget.times, "float32")[-1] == pytest.approx(360)


def test_thinning_keeps_within_its_tolerance() -> None:
    bench = opened(BenchInTime(UnderTest("Rowan", "outside leak on a sticky stage", "gross")), [(1.0, "valve", 1)])
    trace = bench.trace()
    keep = thinned(trace.time, np.stack([trace.ip_gauge, trace.hp_gauge / 20]), 300.0)
    again = np.interp(trace.time, trace.time[keep], trace.ip_gauge[keep])
    moving = np.diff(trace.time, prepend=-1) > 0
    assert np.abs(again - trace.ip_gauge)[moving].max() <= 301 and keep.size < 0.3 * trace.time.size


def test_a_part_is_cut_by_its_window() -> None:
    line = Stroke(((0.0, 5.0), (10.0, 5.0), (20.0, 25.0)))
    scene = Scene(20, 20, (), (Part("line", "shift", (line,), window=(2.0, 0.0, 13.0, 10.0)),))
    (placed,) = scene.placed((0.0,))
    assert isinstance(placed, Stroke)
    assert placed.points[0] == (2.0, 5.0) and placed.points[-1] == (15.0, 10.0)
    assert '<svg x="2" y="0" width="13" height="10" viewBox="2 0 13 10"' in scene.svg()
    (gone,) = scene.placed((100.0,))
    assert isinstance(gone, Stroke) and gone.points == ((2.0, 0.0),)


def test_the_lesson_shows_a_bench() -> None:
    assert isinstance(Lesson("02").make_panel("bench"), BenchPanel)
    hidden = Lesson("04").make_panel("bench")
    assert isinstance(hidden, BenchPanel) and hidden.bench.state()["named"] == "What is wrong is hidden."
