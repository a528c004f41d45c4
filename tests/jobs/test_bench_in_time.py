"""The bench through time: what was done happens at its time, needles show all that follows, words say what is noticed."""

from __future__ import annotations

import itertools
import subprocess
import sys

import pytest

from steadyneedle.jobs.bench_in_time import AHEAD, BenchInTime
from steadyneedle.jobs.senses import senses
from steadyneedle.jobs.under_test import UnderTest
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action, BenchError
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import FirstStage

OPEN = Action(1.0, "valve", 1)


def opened(under_test: UnderTest | None = None, *more: Action) -> BenchInTime:
    bench = BenchInTime(under_test)
    bench.do(OPEN, *more)
    return bench


def reading(bench: BenchInTime, time: float) -> float:
    return bench.needles().at(time)[0] / BAR


def test_what_is_done_happens_at_its_time() -> None:
    bench = opened(None, Action(30.0, "purge", 1))
    assert reading(bench, 0.9) < 0.1 and 9.9 < reading(bench, 29) < 10.2
    assert reading(bench, 30.5) < reading(bench, 29) - 0.03
    assert bench.needles().time[-1] == pytest.approx(30 + AHEAD)
    bench.more()
    assert bench.needles().time[-1] == pytest.approx(30 + 2 * AHEAD)


def test_the_future_is_rewritten_the_past_is_not() -> None:
    bench = opened(UnderTest(fault="seat_nicked"))
    before = [reading(bench, time) for time in (10, 60, 99)]
    bench.do(Action(100.0, "purge", 1))
    assert [reading(bench, time) for time in (10, 60, 99)] == pytest.approx(before, abs=0.01)
    bench.do(Action(50.0, "tap"))
    assert bench.needles().time[-1] == pytest.approx(100 + AHEAD), "nothing can be done before what was done last"


def test_it_shows_what_the_rig_does() -> None:
    """The same job through `rig.run`: to a division's hundredth, for the bench begins afresh at each action."""
    actions = [OPEN, Action(20.0, "purge", 2), Action(60.0, "valve", 0), Action(61.0, "bleed", 1)]
    bench = BenchInTime(UnderTest("Hazel", "grit", seed=4))
    bench.do(*actions)
    _, trace = rig.run(rig.start("Hazel", {"grit": 0.5}, seed=4), actions, 61.0 + AHEAD)
    times = [0.5, 10, 19.9, 21, 40, 60.5, 120, 240]
    assert [reading(bench, one) for one in times] == pytest.approx((trace.at(times) / BAR).tolist(), abs=0.002)


def test_a_sticking_gauge_jumps_when_tapped() -> None:
    bench = opened(UnderTest(fault="gauge_sticks", severity="gross"))
    low = reading(bench, 40)
    bench.do(Action(40.0, "tap"))
    assert reading(bench, 41) > low + 0.5


def test_something_is_done_later_than_was_looked_ahead() -> None:
    bench = opened(None, Action(400.0, "purge", 2))
    assert bench.now.time == 400 and bench.until == pytest.approx(400 + AHEAD)
    assert reading(bench, 401) < reading(bench, 399) - 0.03


def test_the_supply_stays_when_another_regulator_is_put_on() -> None:
    bench = opened(None, Action(5.0, "supply", 50 * BAR + SURFACE))
    bench.put_on(UnderTest("Alder"))
    assert bench.now.time == 0 and bench.needles().at(60)[1] == pytest.approx(0, abs=1), "the valve is shut"
    bench.do(OPEN)
    assert bench.needles().at(60)[1] == pytest.approx(50 * BAR, rel=0.01)


def test_a_limit_ends_the_job() -> None:
    bench = opened(UnderTest("Juniper", "creep_and_burp", "gross"), Action(5.0, "blank", 1))
    bench.more()
    assert bench.ended and bench.noticed()[-1][1].endswith("Critical failure: the job ends here.")
    end = bench.needles().time[-1]
    bench.more()
    assert bench.needles().time[-1] == end, "nothing follows the end"
    with pytest.raises(
        BenchError, match=r"The relief valve lifted at 16\.0 bar\. The job is over: take a new regulator"
    ):
        bench.do(Action(1000.0, "purge", 1))


def test_senses_are_told_when_they_change() -> None:
    bench = opened(UnderTest("Linden", "diaphragm_holed_sealed", "gross"))
    words = [sentence for _, sentence in bench.noticed()]
    assert words[0] == "You hear nothing." and any("outer seal bulges" in one for one in words)
    assert all(a != b for a, b in itertools.pairwise(words))
    leaking = opened(UnderTest("Alder", "head_seal", "gross"))
    assert any("hiss at the spring chamber" in sentence for _, sentence in leaking.noticed())
    purged = opened(None, Action(9.0, "purge", 5.0), Action(20.0, "breathe", 12.0))
    told = " ".join(sentence for _, sentence in purged.noticed())
    assert "air rushing from the mouthpiece" in told and "body feels cold" in told and "Somebody breathes" in told


def test_what_is_noticed_over_a_trace_is_what_is_sensed_then() -> None:
    bench = opened(UnderTest("Rowan", "leak_on_sticky", "gross"))
    time, words = bench.noticed()[-1]
    moment, _ = rig.advance(rig.start("Rowan", {"leak_on_sticky": 1.0}, seed=1), 1.0)
    moment, _ = rig.run(moment, [OPEN], time)
    assert senses(moment) == words


@pytest.mark.parametrize("design", FirstStage.names())
def test_every_fault_can_be_put_on_the_bench(design: str) -> None:
    for key in UnderTest(design).possible():
        assert 5 < reading(opened(UnderTest(design, key)), 20) < 16, key


WORK = """
import sys
from steadyneedle.jobs.bench_in_time import Action, BenchInTime
from steadyneedle.jobs.under_test import SURPRISE, UnderTest
bench = BenchInTime(UnderTest(fault=SURPRISE, other=SURPRISE))
bench.do(Action(1.0, "valve", 1), Action(20.0, "purge", 2))
assert bench.needles().ip.max() > 5e5 and bench.noticed()
heavy = {"anywidget", "ipywidgets", "IPython", "matplotlib", "traitlets"}
print(sorted(heavy & {name.partition(".")[0] for name in sys.modules}))
"""


def test_a_bench_is_worked_on_without_a_widget_or_a_plot() -> None:
    done = subprocess.run([sys.executable, "-c", WORK], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stdout + done.stderr
