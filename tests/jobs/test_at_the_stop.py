"""The needle at the stop in a mystery job: the climb is seen, and somebody is asked, while the supply is still open."""

from __future__ import annotations

import re
from functools import cache

import pytest

from steadyneedle.bench.diagnosis.examination_list import examination, examinations
from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind
from steadyneedle.bench.diagnosis.needle_words import STOPPED, moved
from steadyneedle.bench.diagnosis.shown import shown
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.needle_read import SHUTS_THE_VALVE, NeedleLog, needle_log
from steadyneedle.jobs.play import Seen, seen
from steadyneedle.physics.stages import FirstStage

ASKED = ("shut", "bleed", "purge_watch")
DRAWN = range(11, 61)
"""Jobs drawn by number; seven of them come to the stop in a watch at full supply."""


@cache
def every() -> dict[tuple[int, str], Seen]:
    return {(number, test): seen(number, test, 0) for number in DRAWN for test in ASKED}


def test_nobody_is_asked_but_after_a_climb_that_was_seen() -> None:
    """Until the question the needle is below the stop, and at its last reading there; so it is in a watch of the same job."""
    asked = {where: one for where, one in every().items() if one.at_stop}
    assert len(asked) >= 12
    for (number, test), one in asked.items():
        log = one.up_to_the_stop().log
        assert log is not None and log[1][-1] >= one.stop - 1 and (log[1][:-1] < one.stop).all(), (number, test)
        if test in SHUTS_THE_VALVE:
            assert seen(number, "watch_full", 0).outcome == STOPPED and one.goes_on
            assert one.log is not None and len(one.log[1]) > one.climb, "the test goes on with the valve shut"


def test_what_is_recorded_is_what_was_read() -> None:
    """From the moment the valve is shut, first reading against last; five purges stop there or lock up."""
    for (number, test), one in every().items():
        assert one.log is not None
        if test == "purge_watch":
            assert one.at_stop == (one.outcome == STOPPED), number
        elif len(one.log[1]) > 1:
            first, last = float(one.log[1][max(0, one.climb - 1)]), float(one.log[1][-1])
            assert one.outcome.endswith(f"needle {moved(first, last, gauge_kind(job(number).gauge))}"), (number, test)


def test_a_watch_that_never_comes_to_the_stop_shows_what_the_tables_count() -> None:
    """The computed tables count the same words; where the valve is shut at the stop they differ for a needle that swings."""
    for (number, test), one in every().items():
        hidden = job(number).hidden
        same = one.outcome == shown(hidden, test, 0, job(number).draws(test, 0))
        assert same or (one.at_stop and "creep_and_burp" in hidden.faults), (number, test)


def test_job_12_climbs_before_its_gas_is_bled() -> None:
    """A needle found at 14.25 bar with its valve shut was called a climb, and watching it a critical failure."""
    one = seen(12, "bleed", 0)
    climb = one.up_to_the_stop().log
    assert one.at_stop and climb is not None and climb[1][0] < one.stop - 1e5 and len(climb[1]) > 10
    assert one.outcome == "needle stays" and one.log is not None and one.log[1].max() < one.stop + 0.2e5


def test_a_needle_that_rises_with_the_valve_shut_ends_nothing() -> None:
    """Only where the supply is open does watching on end a job."""
    for (number, test), one in every().items():
        if test in SHUTS_THE_VALVE and seen(number, "watch_full", 0).outcome != STOPPED:
            assert not one.at_stop, (number, test)


@pytest.mark.parametrize("design", FirstStage.names())
def test_risks_name_the_stop_and_the_vent_where_there_is_one(design: str) -> None:
    """Whatever is watched with the supply open may climb; whatever opens the stage is vented first, and springs load it."""
    hidden = next(job(number).hidden for number in range(1, 200) if job(number).design == design)
    for one in examinations(design):
        log = needle_log(hidden, one.key, 0)
        assert ("stop" in one.risks) == isinstance(log, NeedleLog), one.key
        if isinstance(log, NeedleLog):
            assert "relief valve" in one.needs, one.key
        if one.opens:
            assert one.risks.startswith("vent it") and "spring is under load" in one.risks, one.key


def test_nobody_breathes_from_it() -> None:
    """`bands.stopping.AT_THE_STOP`: from the stop on nobody does, and any test may come after it."""
    for design in FirstStage.names():
        for one in examinations(design):
            assert not re.search(r"breath|suck|inhale", one.name, re.I), one.name
    assert "purge button" in examination("breathe").name and "suction" in examination("negative_pressure").name
