"""The needle at the stop in a mystery job: the climb is seen, and somebody is asked, while the supply is still open."""

from __future__ import annotations

import re
from functools import cache

import pytest

from steadyneedle.bench.diagnosis.examination_list import examination, examinations
from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind
from steadyneedle.bench.diagnosis.needle_words import STOPPED, moved
from steadyneedle.bench.diagnosis.shown import shown
from steadyneedle.jobs.best_path import computed, played
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.needle_read import SHUTS_THE_VALVE, NeedleLog, needle_log
from steadyneedle.jobs.path import JobPath, Said
from steadyneedle.jobs.play import Seen, counts_as, seen
from steadyneedle.jobs.replayed import check_happened
from steadyneedle.physics.stages import FirstStage

ASKED = ("shut", "bleed", "purge_watch")
UNDER_PRESSURE = (
    "breathe", "breathe_low", "adjuster", "pot", "soap_chamber", "soap_rim", "soap_hose", "soap_mouth", "listen",
    "immerse",
)  # fmt: skip
"""Tests with the supply open that are no watch: nobody is asked in them, so their words say it."""

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
        assert ("stop" in one.risks) == (isinstance(log, NeedleLog) or one.key in UNDER_PRESSURE), one.key
        if one.key in UNDER_PRESSURE:
            assert "only up to the stop" in one.risks and "purge first" in one.risks, one.key
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


def test_a_climb_to_the_stop_counts_as_a_watch() -> None:
    """Job 9, bleed first: only "needle falls" was recorded, and "nothing wrong" went up. The climb is the finding."""
    assert counts_as(9, "bleed", []) == "watch_full", "the test that was chosen is not done"
    path = JobPath(9, job(9).design).done("watch_full", seen(9, "watch_full", 0).outcome, Said("sound", 25))
    assert path.steps[0].outcome == STOPPED
    check_happened(path)
    assert computed(9, path.findings).by_cause["sound"] < computed(9, []).by_cause["sound"] / 5
    assert counts_as(9, "bleed", path.findings) == "bleed", "told once, the test goes on when it is chosen again"


def test_every_climb_before_the_valve_is_shut_is_a_watch_of_the_same_job() -> None:
    """So a file is checked, and a job is marked, as any other."""
    asked = [(number, test) for (number, test), one in every().items() if one.goes_on]
    assert len(asked) >= 8
    for number, test in asked:
        assert counts_as(number, test, []) == "watch_full" and seen(number, "watch_full", 0).outcome == STOPPED


def test_the_advice_goes_by_what_was_seen() -> None:
    """Somebody who always bleeds twice has a watch and a bleed."""
    path = played(9, lambda _, findings: "bleed" if len(findings) < 2 else None)
    assert path.tests == ("watch_full", "bleed")
    check_happened(path)
