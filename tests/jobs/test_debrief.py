"""Looking back on a job: found or not, and what was stated beside what was computed. On two states a cause."""

from __future__ import annotations

import re

import pytest

from few_states import know_little
from steadyneedle.foundation import datasets
from steadyneedle.jobs import best_path
from steadyneedle.jobs.bill import Bill, mending, total
from steadyneedle.jobs.debrief import FOUND, NOT_FOUND, PART_FOUND, Debrief, how_found
from steadyneedle.jobs.mystery import graded, job
from steadyneedle.jobs.path import AT_THE_STOP, CRITICAL, JobPath, Said
from steadyneedle.jobs.play import seen
from steadyneedle.jobs.what_it_did import HISSES, what_it_did


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
    assert back.outcome == CRITICAL and back.handed_back(back.path).minutes == 0
    assert back.left(back.path) == ("diaphragm_stiff", "grit")
    assert back.bill(back.path) == mending("diaphragm_stiff") + mending("grit"), "the advice here does no test"


BEST = JobPath(8, "Juniper").done("watch_full", "creeps fast", Said("grit", 50)).done("tap", "stays", Said("grit", 50))


BEST_OF_6 = JobPath(6, "Alder").done("tap", "stays", Said("sound", 50)).stopped(Said("sound", 95))


@pytest.mark.parametrize("said", ["set_low", "sound", "edge_or_static_seal", "another_pair"])
def test_a_guess_is_never_cheaper_than_the_advice(said: str) -> None:
    """What it leaves comes back: it is tested after all, and the true repair is paid. Found, nothing is added."""
    back = Debrief(JobPath(8, "Juniper").stopped(Said(said, 5)), BEST.stopped(Said("edge_or_static_seal", 95)))
    paid, advised = back.bill(back.path), back.bill(back.best)
    assert advised == total(BEST.tests) + mending("edge_or_static_seal")
    if said == "edge_or_static_seal":
        assert paid == mending(said) and back.in_vain(back.path) == 0 and back.left(back.path) == ()
    else:
        upset = mending(said) if said == "set_low" else Bill()
        assert paid == mending(said) + advised + upset and back.in_vain(back.path) >= total(BEST.tests).minutes
        assert paid.minutes >= advised.minutes and paid.money >= advised.money


def test_half_a_repair_leaves_the_other_half() -> None:
    best = JobPath(9, "Juniper").stopped(Said("diaphragm_stiff+grit", 95))
    back = Debrief(JobPath(9, "Juniper").stopped(Said("grit", 50)), best)
    assert back.left(back.path) == ("diaphragm_stiff",) and back.coming_back(back.path) == mending("diaphragm_stiff")
    either = Debrief(JobPath(9, "Juniper").stopped(Said("another_pair", 50)), best)
    assert either.left(either.path) == (), "two faults are put right, whichever they are"
    good = Debrief(JobPath(6, "Alder").stopped(Said("grit", 50)), JobPath(6, "Alder").stopped(Said("sound", 95)))
    assert good.left(good.path) == () and good.in_vain(good.path) == mending("grit").minutes
    assert good.bill(good.path) == mending("grit")
    low = Debrief(JobPath(6, "Alder").stopped(Said("set_low", 5)), BEST_OF_6)
    assert low.upset(low.path) == ("set_low",), "what was right is set wrong now, and comes back"
    assert low.bill(low.path) == mending("set_low") + mending("set_low") + total(BEST_OF_6.tests)


def test_parts_that_a_repair_names_are_on_its_bill() -> None:
    """`datasets/diagnosis/causes.csv` and `repairs.csv`: whatever takes a new seat costs at least one."""
    table = datasets.table("diagnosis/causes")
    for cause, mend in zip(table["cause"], table["mend"], strict=True):
        if "a new seat" in mend:
            assert mending(cause).money >= mending("seat_dished").money, cause


@pytest.mark.parametrize("number", [*graded(), *range(21, 41)])
def test_what_is_said_of_a_regulator_is_what_it_does(number: int) -> None:
    """A hiss is told only where one hears it; the highest reading is the one of its watch."""
    leaks, said = job(number).hidden.on_the_bench().leaks(), what_it_did(number)
    assert ("hissed at" in said) == any(rate > HISSES for rate in leaks.values())
    watched = seen(number, "watch_full", 0)
    assert watched.log is not None
    assert watched.at_stop or f"{watched.log[1].max() / 1e5 + 1e-9:.1f} bar in eight minutes" in said
    about = job(number).about
    if re.search(r"it hissed|the hiss was", about, re.I):
        assert "hissed at the mouthpiece" in said


def test_a_job_that_goes_on_is_not_looked_back_on() -> None:
    with pytest.raises(ValueError, match="once it has ended"):
        looked(JobPath(5, "Hazel"))
    with pytest.raises(ValueError, match="two jobs: 5 and 9"):
        Debrief(JobPath(5, "Hazel").stopped(Said("grit", 50)), JobPath(9, "Juniper"))


def test_said_in_the_confidences_that_a_trainee_has() -> None:
    assert [best_path.in_per_cent(chance) for chance in (0.0, 0.3, 0.62, 0.97, 1.0)] == [5, 25, 50, 95, 99]
