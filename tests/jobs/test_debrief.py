"""Looking back on a job: found or not, and what was stated beside what was computed. On two states a cause."""

from __future__ import annotations

import pytest

from few_states import know_little
from steadyneedle.jobs import best_path
from steadyneedle.jobs.bill import mending, total
from steadyneedle.jobs.debrief import FOUND, NOT_FOUND, PART_FOUND, Debrief, how_found
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import AT_THE_STOP, CRITICAL, JobPath, Said


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    know_little(monkeypatch)


@pytest.mark.parametrize(
    ("there", "said", "how"),
    [
        ([], "sound", FOUND), ([], "grit", NOT_FOUND), ([], "another_pair", NOT_FOUND), (["grit"], "sound", NOT_FOUND),
        (["grit"], "grit", FOUND), (["grit"], "set_low", NOT_FOUND), (["grit"], "another_pair", NOT_FOUND),
        (["grit"], "diaphragm_stiff+grit", PART_FOUND), (["grit"], "", NOT_FOUND),
        (["diaphragm_stiff", "grit"], "diaphragm_stiff+grit", FOUND), (["grit", "diaphragm_stiff"], "grit", PART_FOUND),
        (["grit", "set_low"], "another_pair", PART_FOUND), (["grit", "set_low"], "diaphragm_stiff+grit", PART_FOUND),
        (["grit", "set_low"], "seat_nicked+gauge_hose", NOT_FOUND),
    ],
)  # fmt: skip
def test_what_counts_as_found(there: list[str], said: str, how: str) -> None:
    assert how_found(there, said) == how


def looked(path: JobPath) -> Debrief:
    return Debrief(path, JobPath(path.job, path.design).stopped(Said(job(path.job).hidden.cause, 95)))


def test_beliefs_stand_beside_what_was_computed_before_them() -> None:
    """Before the first test every cause of the two-state table is as likely as any other."""
    path = (
        JobPath(5, "Hazel").done("tap", "stays", Said("grit", 50)).done("loupe_seat", "a ring", Said("seat_dished", 75))
    )
    back = looked(path.stopped(Said("seat_dished", 90)))
    known = best_path.known_of(5)
    assert back.own[0].of_said == pytest.approx(1 / len(known.causes))
    assert back.own[1].of_truth == best_path.computed(5, path.findings).by_cause["seat_dished"] == back.at_end[0]
    assert back.own[1].of_said == best_path.computed(5, path.findings[:1]).by_cause["seat_dished"]
    assert back.outcome == FOUND and [one.bill for one in back.own][-1] == total(path.tests)
    assert back.bill(back.path) == total(path.tests) + mending("seat_dished")


def test_an_eye_that_erred_is_named_and_one_that_did_not_is_not() -> None:
    """`datasets/diagnosis/eyes_and_ears.csv`: a loupe that sees a mark on a good edge errs; one that sees none does not."""
    path = JobPath(5, "Hazel").done("loupe_edge", "a chip or a cut ring", Said("grit", 50))
    erred = looked(path.stopped(Said("grit", 50))).erred
    assert [one.test for one in erred] == ["loupe_edge"] and 0 < erred[0].seldom < 0.05
    path = JobPath(5, "Hazel").done("loupe_edge", "nothing worn", Said("grit", 50))
    assert looked(path.stopped(Said("grit", 50))).erred == ()


def test_what_would_have_told_raises_the_true_cause() -> None:
    back = looked(JobPath(5, "Hazel").done("tap", "stays", Said("grit", 50)).stopped(Said("grit", 50)))
    assert back.would_tell and all(one.after > one.before for one in back.would_tell)
    assert [one.after for one in back.would_tell] == sorted((one.after for one in back.would_tell), reverse=True)
    assert "tap" not in [one.test for one in back.would_tell]
    assert "loupe_seat" in [one.test for one in back.would_tell], "a ring is plain to see through a loupe"


def test_a_critical_failure_is_neither_found_nor_mended() -> None:
    back = looked(JobPath(9, "Juniper").failed("watch_full", AT_THE_STOP, Said("grit", 50)))
    assert back.outcome == CRITICAL and back.bill(back.path).minutes == 0


def test_a_job_that_goes_on_is_not_looked_back_on() -> None:
    with pytest.raises(ValueError, match="once it has ended"):
        looked(JobPath(5, "Hazel"))
    with pytest.raises(ValueError, match="two jobs: 5 and 9"):
        Debrief(JobPath(5, "Hazel").stopped(Said("grit", 50)), JobPath(9, "Juniper"))


def test_said_in_the_confidences_that_a_trainee_has() -> None:
    assert [best_path.in_per_cent(chance) for chance in (0.0, 0.3, 0.62, 0.97, 1.0)] == [5, 25, 50, 95, 99]
