"""Every fault shows what its row says: trace, leak, inspection; every pair has its examination."""

from __future__ import annotations

import os

import pytest

from steadyneedle.bench.diagnosis import pairs
from steadyneedle.bench.diagnosis.examinations import EXAMINATIONS, SOUND, findings
from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics import rig
from steadyneedle.physics.actions import Action
from steadyneedle.physics.faults import Condition, Fault
from steadyneedle.physics.stages import FirstStage

WATCH, LISTEN, TAP, PURGE, SHUT, BLEED, FLOW, SECOND, LOW, POT, NEXT_DAY, NEW_SEAT, INSPECT = EXAMINATIONS

STRAIGHT = {"climbs straight", "rises slowly, drops sharply"}
SHOWS: dict[str, dict[str, set[str]]] = {
    # what each row of the table means in the words of the examinations, at every severity
    "seat_dished": {WATCH: {"climbs and flattens"}, LISTEN: {"nothing"}, NEW_SEAT: {"stands"}},
    "seat_nicked": {WATCH: STRAIGHT, LISTEN: {"nothing"}, NEW_SEAT: {"stands"}},
    "edge_or_static_seal": {WATCH: STRAIGHT, LISTEN: {"nothing"}, NEW_SEAT: {"the same"}},
    "grit": {PURGE: {"climbs after some purges, not after others", "lock-up repeats"}, LISTEN: {"nothing"}},
    "stem_seal": {WATCH: STRAIGHT, LISTEN: {"nothing"}, NEW_SEAT: {"the same"}},
    "shaft_seal": {WATCH: {"stands"}, LISTEN: {"ambient chamber"}},
    "head_seal": {WATCH: {"stands", "stands low"}, LISTEN: {"spring chamber"}},
    "diaphragm_holed": {WATCH: {"stands", "stands low"}, LISTEN: {"spring chamber"}},
    "diaphragm_holed_sealed": {WATCH: {"climbs straight", "climbs and flattens"}, LISTEN: {"outer seal bulges"}},
    "diaphragm_stiff": {PURGE: {"lock-up moves"}, LISTEN: {"nothing", "rim of the diaphragm"}},
    "land_scratched": {WATCH: {"stands", "stands low"}, LISTEN: {"rim of the diaphragm"}},
    "spring_weak": {WATCH: {"stands low"}, LISTEN: {"nothing"}, PURGE: {"lock-up repeats"}},
    "set_wrong": {WATCH: {"stands high"}, PURGE: {"lock-up repeats"}},
    "sticky": {LISTEN: {"nothing"}, PURGE: {"lock-up moves", "lock-up repeats"}},
    "leak_on_sticky": {WATCH: {"falls slowly, rises sharply"}, LISTEN: {"hose fitting"}},
    "creep_and_burp": {WATCH: {"rises slowly, drops sharply"}, NEW_SEAT: {"stands"}},
    "second_stage_leaks": {WATCH: {"stands", "stands low"}, LISTEN: {"mouthpiece"}},
    "filter_clogged": {
        WATCH: {"stands", "stands high"},
        LISTEN: {"nothing"},
        FLOW: {"collapses, supply needle steady"},
    },
    "valve_part_open": {WATCH: {"stands", "stands high"}, LISTEN: {"nothing"}, FLOW: {"collapses, supply needle dips"}},
    "chamber_blocked": {WATCH: {"stands"}, LISTEN: {"nothing"}, POT: {"does not follow"}},
    "seat_setting": {LISTEN: {"nothing"}, WATCH: {"climbs and flattens", "stands", "stands high"}},
    "gauge_high": {WATCH: {"stands high"}, SECOND: {"disagrees"}, LISTEN: {"nothing"}},
    "gauge_sticks": {TAP: {"jumps"}, LISTEN: {"nothing"}},
    "gauge_hose": {BLEED: {"needle falls"}, LISTEN: {"gauge hose"}},
}
EVERY = Fault.keys()
ROWS = [(design, fault) for fault in EVERY for design in Fault.named(fault).designs]


def test_every_row_has_its_test() -> None:
    assert set(SHOWS) == set(EVERY)


@pytest.mark.parametrize(("design", "fault"), ROWS, ids=[f"{d}-{f}" for d, f in ROWS])
def test_a_fault_shows_what_its_row_says(design: str, fault: str) -> None:
    row = Fault.named(fault)
    for severity in (0.0, 0.5, 1.0):
        seen = findings(design, fault, severity, seed=1)
        for examination, words in SHOWS[fault].items():
            assert seen[examination] in words, (severity, examination)
        assert seen[INSPECT] == row.inspection
        if design != "Hazel" and fault in ("filter_clogged", "valve_part_open"):
            assert seen[WATCH] == "stands"  # Hazel alone locks up while its cavity still fills, so higher
        if row.leak == "none" and fault != "set_wrong":  # set high enough, it opens the second stage
            assert seen[LISTEN] == "nothing"


def test_a_seat_that_sets_is_better_next_day() -> None:
    for design in FirstStage.names():
        assert "stands lower" in {findings(design, "seat_setting", s)[NEXT_DAY] for s in (0.5, 1.0)}


def test_a_nick_climbs_faster_at_high_supply_and_a_new_seat_ends_it() -> None:
    for design in FirstStage.names():
        seen = findings(design, "seat_nicked", 0.5)
        assert seen[LOW] == "climbs more slowly" and seen[NEW_SEAT] == "stands"


def test_a_shaft_seal_empties_the_high_pressure_side() -> None:
    assert findings("Rowan", "shaft_seal", 0.7)[SHUT].startswith("supply falls")


@pytest.mark.parametrize("design", FirstStage.names())
def test_a_sound_regulator_shows_nothing(design: str) -> None:
    seen = findings(design, SOUND, 0.0)
    assert [seen[one] for one in (WATCH, LISTEN, TAP, PURGE, FLOW, SECOND, POT, NEXT_DAY, NEW_SEAT, INSPECT)] == [
        "stands", "nothing", "stays", "lock-up repeats", "holds, supply needle steady", "agrees", "follows", "the same",
        "the same", "nothing worn",
    ]  # fmt: skip


def test_impossible_cells_are_refused() -> None:
    tried = 0
    for key in EVERY:
        fault = Fault.named(key)
        for design in set(FirstStage.names()) - set(fault.designs):
            with pytest.raises(ValueError, match=f"'{fault.name}' cannot occur in {design}; it can in"):
                Condition.of(FirstStage.named(design), {key: 0.5})
            tried += 1
    assert tried > 20


def test_faults_mix_and_grow() -> None:
    stage = FirstStage.named("Juniper")
    mixed = Condition.of(stage, {"seat_nicked": 0.2, "stem_seal": 0.7, "filter_clogged": 0.1})
    assert mixed.seat_hole and mixed.stem_hole and mixed.filter_area
    for key in Fault.keys("Juniper"):
        least, most = Fault.named(key).sizes(0.0), Fault.named(key).sizes(1.0)
        assert all(least[name] != most[name] for name in least) or key == "chamber_blocked"
    both = Condition.of(stage, {"spring_weak": 0.5, "set_wrong": 0.5})
    assert both.spring == pytest.approx(0), "two wrongs that hide one another"


def test_a_rim_leak_does_not_raise_ip() -> None:
    """Gas in minus gas out: a weep to ambient can only lower IP, however often the rim is blamed for creep."""
    for design in Fault.named("land_scratched").designs:
        ends = []
        for severity in (None, 0.0, 1.0):
            faults = {} if severity is None else {"land_scratched": severity}
            ends.append(rig.run(rig.start(design, faults), [Action(0, "valve", 1)], 300)[0].ip_gauge)
        assert ends[0] >= ends[1] >= ends[2]


def stored(design: str) -> list[tuple[str, ...]]:
    columns = datasets.table("telling_apart")
    rows = list(zip(*(columns[name] for name in pairs.TELLING_APART.header[:-1]), strict=True))
    return [row for row in rows if row[0] == design]


def test_the_table_of_pairs_is_whole() -> None:
    for design in FirstStage.names():
        keys = (SOUND, *Fault.keys(design))
        assert len(stored(design)) == len(keys) * (len(keys) - 1) // 2
        for _, one, other, action, first, second in stored(design):
            assert {one, other} <= set(keys) and one != other
            if action == "none on the bench":
                assert first == second == "the same"
            else:
                assert action in EXAMINATIONS and not set(first.split(" or ")) & set(second.split(" or "))


def sampled() -> str:
    """One design a run in CI, another each day; all of them under `-m long`."""
    return Draws("pairs", os.environ.get("STEADYNEEDLE_SAMPLE", "1")).one_of(FirstStage.names())


def test_the_table_of_pairs_is_what_the_rig_says() -> None:
    design = sampled()
    assert pairs.telling_apart(design) == stored(design)


@pytest.mark.long
@pytest.mark.parametrize("design", FirstStage.names())
def test_every_pair_is_what_the_rig_says(design: str) -> None:
    assert pairs.telling_apart(design) == stored(design)
