"""The bench as a class sees it: the page gets bar and names, one sentence serves page and paper, the widget answers."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.sheets import load_sheets
from steadyneedle.foundation import places
from steadyneedle.jobs.bench_in_time import BenchInTime
from steadyneedle.jobs.under_test import SURPRISE, UnderTest
from steadyneedle.physics.actions import Action
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching import frame
from steadyneedle.teaching.figures import running
from steadyneedle.teaching.figures.strokes import Part, Scene, Stroke
from steadyneedle.teaching.figures.thinning import thinned
from steadyneedle.teaching.frame.played import BenchPanel, BenchWidget
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.panels.bench import SUPPLIES, ShownBench

OPEN = Action(1.0, "valve", 1)


def shown(under_test: UnderTest | None = None, *actions: Action) -> ShownBench:
    bench = BenchInTime(under_test)
    bench.do(*actions)
    return ShownBench(Preferences(), bench)


def test_faults_mix_and_hide() -> None:
    bench = shown(UnderTest(fault="seat_nicked"))
    assert bench.new({"other": "stem_seal"}) is True
    assert bench.wrong() == "Fault: seat nicked and balance-stem seal leaking."
    assert bench.new({"told": False}) is False and bench.wrong() == "The fault is hidden."
    assert bench.new({"design": "Hazel"}) is True and bench.bench.under_test.other == "sound", "Hazel has no stem"
    assert bench.new({"told": True}) is False and bench.new({"fault": SURPRISE}) is True
    assert not bench.told and bench.bench.under_test.faults(), "a surprise that one asks for is not told"
    before = bench.bench.under_test
    assert bench.new({"another": True}) is True and bench.bench.under_test.faults() != before.faults()
    assert bench.new({"range": "0 to 16 bar"}) is False and bench.new({"again": True}) is True
    for values, words in (({"design": "Oak"}, "no stage 'Oak'"), ({"range": "all"}, "from its list")):
        with pytest.raises(ValueError, match=words):
            bench.new(values)


@pytest.mark.parametrize("design", FirstStage.names())
def test_every_fault_is_on_offer_by_its_name(design: str) -> None:
    offered = shown(UnderTest(design)).state().run["options"]["fault"]
    assert offered[2:] == [(key, Fault.named(key).name) for key in Fault.keys(design)]
    assert [words for _, words in offered[:2]] == ["nothing wrong", "a surprise"]


def test_the_picture_says_what_the_needles_show() -> None:
    bench = shown(None, OPEN)
    ip, supply = (one / BAR for one in bench.bench.needles().at(30.0))
    row = bench.row(30.0)
    assert row["ip"] == pytest.approx(running.ip_scale(bench.view).degrees(ip), abs=0.1)
    assert row["supply"] == pytest.approx(running.supply_scale().degrees(supply), abs=0.1)
    assert row["clock"] == "0:30" and row["valves"] == "valve open"
    assert f"{ip:.1f} bar" in bench.describe(30.0)
    assert "0,0 bar" in ShownBench(Preferences("comma")).describe(0.0)


def test_depth_shows_a_blocked_chamber() -> None:
    """A sound regulator keeps its IP over ambient at any depth; one whose chamber is blocked does not follow: over the
    ambient pressure of 20 m its needle shows about 2 bar less. Surrounding pressure: 0.1 bar for each metre of sea water,
    by convention."""
    fell = {}
    for fault in (None, "chamber_blocked"):
        bench = shown(UnderTest("Juniper", fault) if fault else None)
        bench.do(1.0, "valve", 1.0)
        bench.do(30.0, "depth", 20.0)
        bench.do(31.0, "purge", 1.0)
        assert bench.state().run["depth"] == 20 and bench.valves() == "valve open, 20 m deep"
        fell[fault] = (bench.bench.needles().at(29.0)[0] - bench.bench.needles().at(60.0)[0]) / BAR
        bench.new({"again": True})
        assert bench.state().run["depth"] == 0 and bench.valves() == "valve shut"
    assert abs(fell[None]) < 0.2 and 1.5 < fell["chamber_blocked"] < 2.5, fell


def test_the_page_gets_bar_and_turns_it_as_python_does() -> None:
    bench = shown(None, OPEN)
    state, row = bench.state(), bench.row(30.0)
    ip, supply = (float(np.interp(30.0, state.times, values)) for values in (state.ip, state.supply))
    needles = bench.bench.needles().at(30.0)
    assert (ip, supply) == pytest.approx([one / BAR for one in needles], abs=0.06)
    scales = state.scene["scales"]
    for name, bar in (("ip", ip), ("supply", supply)):
        assert scales[name]["at_zero"] + scales[name]["per_bar"] * bar == pytest.approx(row[name]), name
    line = bench.scene().parts[2]
    (stroke,) = line.marks
    trace = scales["trace"]
    assert line.name == "trace" and isinstance(stroke, Stroke)
    at = len(state.times) // 2
    assert stroke.points[at] == pytest.approx((
        trace["x_at_zero"] + trace["per_second"] * state.times[at], trace["y_at_zero"] + trace["per_bar"] * state.ip[at],
    ))  # fmt: skip


def test_the_page_moves_every_part_by_its_name() -> None:
    """The script of the page names every part of the scene, and every number of its sentence."""
    state = shown().state()
    script = (Path(frame.__path__[0]) / "running.js").read_text(encoding="utf-8")
    moved = re.search(r"move\(\{(.*?)\}\);", script, re.S)
    numbers = re.search(r"const numbers = \{(.*?)\};", script, re.S)
    assert moved and numbers
    parts = {motion["name"] for motion in state.scene["motions"]}
    assert parts == set(shown().row(0.0)) == set(re.findall(r"(\w+):\s", moved[1]))
    assert set(re.findall(r"{(\w+)}", state.run["sentence"])) == set(re.findall(r"(\w+):\s", numbers[1]))
    assert not re.search(r"part-\d", script)


def test_one_sentence_serves_page_and_paper() -> None:
    bench = shown(None, OPEN)
    ip, supply = bench.readings().at(30.0)
    words = (
        bench.state()
        .run["sentence"]
        .format(seconds=30, ip=f"{ip:.1f}", supply=round(supply), valves=bench.state().run["valves"])
    )
    assert words == bench.describe(30.0) and words.startswith("Juniper on the bench, 30 s: the gauge shows 10.")


def test_a_needle_rests_on_its_stops() -> None:
    """A gauge off by a bar stands on its pin while there is no pressure; it cannot show less."""
    bench = shown(UnderTest(fault="gauge_high", severity="gross"))
    low, high = running.stops(bench.view)[0]
    assert low == pytest.approx(-0.32) and high == pytest.approx(16.64)
    readings = bench.readings()
    assert readings.ip.min() >= low and readings.ip.max() <= high and readings.supply.min() >= 0


def test_the_widget_answers_and_survives_nonsense() -> None:
    widget = BenchWidget(ShownBench(Preferences()), "A bench", SUPPLIES)
    sent: list[str] = []
    widget.observe(lambda change: sent.append(change["name"]))
    widget._heard(widget, {"kind": "do", "number": 1, "time": 2.0, "what": "valve", "value": 1}, [])
    assert widget.run["answers"] == 1 and widget.run["valve"] and widget.run["time"] == 2.0
    assert {"times", "ip", "run"} <= set(sent) and "scene" not in sent, "only what has changed is sent"
    widget._heard(widget, {"kind": "do", "number": 1, "time": 2.5, "what": "supply", "value": 50}, [])
    assert widget.run["supply"] == 50 and widget.run["problem"] == ""
    for what, value, words in (
        ("kick", 0, "no action"), ("supply", 9999, "Supply"), ("supply", "much", "Supply"), ("purge", -1, "A purge"),
    ):  # fmt: skip
        widget._heard(widget, {"kind": "do", "number": 2, "time": 3.0, "what": what, "value": value}, [])
        assert words in widget.run["problem"], what
    assert "scene" not in sent
    widget._heard(widget, {"kind": "new", "number": 3, "values": {"design": "Rowan"}, "time": 9.0}, [])
    assert "scene" in sent, "another regulator has another name on its dial"
    sent.clear()
    assert widget.run["fresh"] and widget.run["time"] == 0.0 and widget.run["chosen"]["design"] == "Rowan"
    widget._heard(widget, {"kind": "more", "number": 3, "time": 9.0}, [])
    assert np.frombuffer(widget.times, "float32")[-1] == pytest.approx(360)
    widget._heard(widget, {"kind": "new", "number": 4, "values": {"severity": []}}, [])
    assert "no severity" in widget.run["problem"] and not widget.run["fresh"] and "scene" not in sent
    widget._heard(widget, {"kind": "new", "number": 5, "values": {"range": "0 to 16 bar"}, "time": 9.0}, [])
    assert "scene" in sent and not widget.run["fresh"] and widget.run["time"] == 9.0


def test_the_picture_carries_the_regulators_name_and_its_band() -> None:
    bench = ShownBench(Preferences("comma"), sheets=lambda: load_sheets(places.datasets() / "sheets"))
    svg = bench.state().scene["svg"]
    sheet = load_sheets(places.datasets() / "sheets")["Juniper"]
    assert sheet.ip_low is not None and sheet.ip_high is not None
    ends = (f"{limit.to('bar').magnitude:.1f}" for limit in (sheet.ip_low, sheet.ip_high))
    over_the_trace = f"Juniper, band {' to '.join(ends)} bar".replace(".", ",")
    assert ">Juniper<" in svg and f">{over_the_trace}<" in svg, "on the dial and over the trace"
    low, high = bench.view.band or (0.0, 0.0)
    assert low == pytest.approx(sheet.ip_low.to("bar").magnitude) and high > low
    assert "band" not in ShownBench(Preferences()).state().scene["svg"], "without a sheet no band"
    assert "band" not in ShownBench(Preferences(), sheets=dict).state().scene["svg"]


def test_to_start_again_is_to_begin_as_the_bench_began() -> None:
    bench = ShownBench(Preferences())
    bench.do(1.0, "valve", 1.0)
    bench.do(2.0, "supply", 50.0)
    bench.new({"design": "Alder", "fault": "seat_nicked", "severity": "gross", "range": "0 to 16 bar"})
    assert bench.new({"again": True})
    run = bench.state().run
    assert run["chosen"]["design"] == "Juniper" and run["chosen"]["fault"] == SOUND
    assert run["chosen"]["severity"] == UnderTest().severity and run["chosen"]["range"] == "8 to 12 bar"
    assert run["supply"] == 200 and not run["valve"] and bench.bench.now.time == 0.0
    hidden = ShownBench(Preferences(), BenchInTime(UnderTest(fault=SURPRISE)), told=False)
    hidden.new({"another": True})
    before = hidden.on_the_bench()
    hidden.new({"again": True})
    assert hidden.on_the_bench() == before and not hidden.told, "a hidden fault stays the one that was asked"


def test_thinning_keeps_within_its_tolerance() -> None:
    bench = BenchInTime(UnderTest("Rowan", "leak_on_sticky", "gross"))
    bench.do(OPEN)
    trace = bench.trace()
    keep = thinned(trace.time, np.stack([trace.ip_gauge, trace.hp_gauge / 20]), 300.0)
    again = np.interp(trace.time, trace.time[keep], trace.ip_gauge[keep])
    moving = np.diff(trace.time, prepend=-1) > 0
    assert np.abs(again - trace.ip_gauge)[moving].max() <= 301 and keep.size < 0.3 * trace.time.size


def test_a_part_is_cut_by_its_window() -> None:
    line = Stroke(((0.0, 5.0), (10.0, 5.0), (20.0, 25.0)))
    scene = Scene(20, 20, (), (Part("line", "shift", (line,), window=(2.0, 0.0, 13.0, 10.0)),))
    (placed,) = scene.placed({"line": 0.0})
    assert isinstance(placed, Stroke)
    assert placed.points[0] == (2.0, 5.0) and placed.points[-1] == (15.0, 10.0)
    assert '<svg x="2" y="0" width="13" height="10" viewBox="2 0 13 10"' in scene.svg()
    (gone,) = scene.placed({"line": 100.0})
    assert isinstance(gone, Stroke) and gone.points == ((2.0, 0.0),)


def test_the_lesson_shows_a_bench() -> None:
    assert isinstance(Lesson("02").make_panel("bench"), BenchPanel)
    hidden = Lesson("04").make_panel("bench")
    assert isinstance(hidden, BenchPanel) and hidden.bench.state().run["wrong"] == "The fault is hidden."
