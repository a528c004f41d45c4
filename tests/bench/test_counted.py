"""Drawn regulators and their tables: what they show, prices, teaching values, an instructor's own, counted again."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from steadyneedle.bench.diagnosis import causes, outcomes, price
from steadyneedle.bench.diagnosis import tests as all_tests
from steadyneedle.bench.diagnosis.cause_list import ANOTHER, cause_name, cause_of, other_pairs
from steadyneedle.bench.diagnosis.counted import BY_CHANCE, how_many, letters, needle_tests_of, regulator
from steadyneedle.bench.diagnosis.examination_list import examinations, lies_open
from steadyneedle.bench.diagnosis.hidden import Hidden, drawn_hidden, log_of
from steadyneedle.bench.diagnosis.knowledge import TABLES, knowledge, smoothed
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_OUTCOMES, NEEDLE_TESTS
from steadyneedle.bench.diagnosis.own_tables import FOLDER, unread
from steadyneedle.bench.diagnosis.shown import shown
from steadyneedle.bench.diagnosis.teaching_values import sense_outcomes
from steadyneedle.foundation import datasets, places
from steadyneedle.foundation.datasets import DatasetError
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics.stages import FirstStage

DESIGNS = FirstStage.names()
every_design = pytest.mark.parametrize("design", DESIGNS)


# Causes and examinations


@every_design
def test_causes_tests_and_outcomes_have_names(design: str) -> None:
    listed = datasets.table("diagnosis/causes")["cause"]
    assert set(causes(design)) <= set(listed) and len(set(causes(design))) == len(causes(design))
    assert all(cause_name(one) for one in causes(design))
    for test in all_tests(design):
        names = outcomes(design, test)
        assert len(names) >= 2 and len(set(names)) == len(names) and "not done" not in names
    assert {one.key for one in examinations(design)} == set(all_tests(design))
    assert all(len(set(pair)) == 2 and cause_of(pair) == ANOTHER for pair in other_pairs(design))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: all_tests("Elm"), "There is no stage .Elm.; there are Alder"),
        (lambda: outcomes("Alder", "adjuster"), "Alder has nothing to do 'adjuster' on"),
        (lambda: outcomes("Alder", "wach_full"), "Did you mean 'watch_full'"),
        (lambda: price("tapp"), "Did you mean 'tap'"),
        (lambda: cause_of(["grit", "set_low", "sticky"]), "at most two faults"),
        (lambda: drawn_hidden("Alder", "land_scratched", "fine", Draws("x")), "Alder cannot have the cause"),
        (lambda: knowledge("Alder", "finest"), "There is no gauge 'finest'; there are fine, coarse"),
        (lambda: knowledge("Alder", weights="mine"), "There are no weights 'mine'; there are ours, trade"),
        (lambda: shown(Hidden("Alder"), "look_land", 0, Draws("x")), "Alder has nothing to do 'look_land' on"),
    ],
)
def test_a_wrong_name_is_refused_with_those_there_are(call: object, words: str) -> None:
    with pytest.raises(ValueError, match=words.replace("(", r"\(")):
        call()  # type: ignore[operator]


def test_opening_costs_once_and_closing_again_costs_too() -> None:
    first, second = price("look_seat"), price("loupe_edge", ["look_seat"])
    assert first.opens and not second.opens and second.minutes < first.minutes and second.money == 0
    assert price("watch_full", ["look_seat"]).minutes > price("watch_full").minutes
    assert price("watch_full", ["look_seat", "watch_full"]) == price("watch_full")
    assert price("zero", ["look_seat"]) == price("zero")
    assert lies_open(["look_seat", "zero", "look_land"]) and not lies_open(["look_seat", "new_seat"])
    assert price("new_seat").opens and not price("new_seat", ["look_seat"]).opens


# What regulators show


@every_design
def test_what_is_shown_is_among_the_outcomes(design: str) -> None:
    one = drawn_hidden(design, "seat_dished", "coarse", Draws("shown", design))
    for test in all_tests(design):
        assert shown(one, test, 1, Draws("eyes", test)) in outcomes(design, test)


def test_the_same_regulator_shows_the_same_and_another_turn_is_read_afresh() -> None:
    one = drawn_hidden("Juniper", "grit", "fine", Draws("again"))
    twice = [[shown(one, test, 0, Draws("eyes")) for test in ("watch_full", "purge_watch", "listen")] for _ in range(2)]
    assert twice[0] == twice[1]
    first, second = log_of(one, "watch_full", 0), log_of(one, "watch_full", 1)
    assert first is not None and second is not None and not np.array_equal(first[1], second[1])


@pytest.mark.parametrize(
    ("design", "fault", "test", "word"),
    [
        # what `datasets/faults.csv` says that each fault shows
        ("Alder", "gauge_high", "zero", "reads above zero"),
        ("Juniper", "gauge_sticks", "tap", "jumps"),
        ("Rowan", "spring_wrong", "watch_full", "locks high"),
        ("Hazel", "set_low", "watch_full", "locks low"),
        ("Juniper", "seat_nicked", "new_seat", "stands"),
        ("Juniper", "stem_seal", "new_seat", "climbs"),
        ("Linden", "spring_wrong", "adjuster", "moves too far"),
        ("Hazel", "chamber_blocked", "pot", "does not follow"),
        ("Alder", "filter_clogged", "breathe", "collapses, supply steady"),
        ("Rowan", "valve_part_open", "breathe", "collapses, supply dips"),
    ],
)
def test_a_plain_fault_shows_what_the_fault_table_says(design: str, fault: str, test: str, word: str) -> None:
    assert NEEDLE_TESTS[test](Hidden(design, {fault: 0.6}).on_a_gauge()) == word


@every_design
def test_the_tables_hold_every_cause_and_nothing_is_impossible(design: str) -> None:
    known = knowledge(design)
    count = np.bincount(known.cause_of)
    assert count.tolist() == [how_many(design, cause) for cause in known.causes]
    assert np.bincount(known.cause_of, known.within) == pytest.approx(np.ones(len(known.causes)))
    assert known.prior.sum() == pytest.approx(1) and known.tests == all_tests(design)
    for test in known.tests:
        assert known.outcomes[test] == outcomes(design, test)
        assert known.likelihood[test].shape == (len(known.cause_of), len(known.outcomes[test]))
        assert known.likelihood[test].sum(axis=1) == pytest.approx(np.ones(len(known.cause_of)))
        assert known.likelihood[test].min() > 0


def test_the_table_holds_what_its_regulators_show() -> None:
    """A few rows of the table, computed again with the same seed."""
    columns = datasets.table(TABLES["Juniper"])
    rows = list(zip(*(columns[name] for name in ("cause", "number", "gauge", *NEEDLE_TESTS)), strict=True))
    for cause, number, gauge, *kept in rows[3::397]:
        assert letters(regulator("Juniper", cause, int(number), gauge)) == kept, (cause, number, gauge)


def test_neighbours_in_severity_count_and_strangers_hardly() -> None:
    seen = np.eye(2)[[0, 0, 0, 1, 1, 1]]
    chances = smoothed(seen, np.zeros(6, int), [("grit",)] * 6, ["grit"] * 6)[:, 0]
    assert (np.diff(chances) <= 0).all() and chances[0] > 0.9 and 0.5 < chances[2] < chances[1]


# Eyes and ears


@every_design
def test_eyes_and_ears_find_about_as_often_as_their_table_says(design: str) -> None:
    """3,000 draws of a loupe on a worn seat: within four standard errors."""
    one = Hidden(design, {"seat_dished": 1.0})
    found = sum(shown(one, "loupe_seat", 0, Draws("loupe", design, k)) == "a ring" for k in range(3000))
    assert abs(found / 3000 - 0.94) < 4 * math.sqrt(0.94 * 0.06 / 3000)


def test_a_leak_is_heard_where_it_is() -> None:
    words = Counter(shown(Hidden("Alder", {"gauge_hose": 1.0}), "immerse", 0, Draws("ear", k)) for k in range(200))
    assert words.most_common(1)[0][0] == "hose" and set(words) <= set(sense_outcomes("immerse"))


# An instructor's own tables


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    (tmp_path / FOLDER).mkdir()
    yield tmp_path / FOLDER


def test_own_weights_override_and_are_named(own: Path) -> None:
    usual = knowledge("Juniper").prior
    (own / "causes.csv").write_text("cause,weight_ours\nseat_nicked,500\n", encoding="utf-8")
    mine = knowledge("Juniper")
    at = mine.causes.index("seat_nicked")
    assert mine.own == ("seat_nicked",) and mine.prior[at] > 0.8 > usual[at]


def test_a_copy_of_ours_is_taken(own: Path) -> None:
    for name in ("causes", "eyes_and_ears"):
        (own / f"{name}.csv").write_bytes((places.datasets() / "diagnosis" / f"{name}.csv").read_bytes())
    assert len(knowledge("Alder").own) > 30


def test_a_misnamed_own_table_is_named_with_the_names_there_are(own: Path) -> None:
    assert unread() == ""
    for name in ("causes.csv", ".hidden"):
        (own / name).write_text("cause,weight_ours\ngrit,5\n", encoding="utf-8")
    assert unread() == ""
    (own / "cause.csv").write_text("cause,weight_ours\ngrit,5\n", encoding="utf-8")
    said = "Nothing is read from cause.csv in the folder diagnosis: a table there is called causes.csv or eyes_and_ears.csv."
    assert unread() == said
    (own / "Eyes.xlsx").write_bytes(b"PK")
    assert unread() == said.replace("cause.csv in", "Eyes.xlsx and 1 more in")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("cause,weight_ours\nseat,5\n", "row 2, column cause: 'seat' is not known"),
        ("cause,weight_ours\ngrit,five\n", "row 2, column weight_ours: 'five': write a number from 0"),
        ("cause,weight_ours\ngrit,-5\n", "row 2, column weight_ours"),
        ("cause,weight_ours\ngrit,nan\n", "row 2, column weight_ours"),
        ("cause,weight_ours\ngrit,1e308\n", "write a number from 0 to 1,000,000"),
        ('cause,weight_ours\ngrit,"1,5"\n', "'1,5': write it with a point, 1.5"),
        ("cause,weight_ours\ngrit,1,5\n", "3 cells, but the header has 2.* A number has a point, not a comma: 1.5"),
        ("cause;weight_ours\ngrit;1,5\n", "semicolons between its cells. Save it with commas|2 cells, but the header"),
        ("cause;weight_ours\ngrit;15\n", "semicolons between its cells. Save it with commas"),
        ("cause,weight_ours\nGrit,5\ngrit,5\n", "row 3, column cause: 'grit' stands twice"),
        ("cause,weight_ours,weight_ours\ngrit,5,6\n", "has a column twice"),
        ("cause,weight\ngrit,5\n", "needs the column cause and one of weight_ours"),
        ("", "is empty"),
        (
            "cause,weight_ours\n" + "".join(f"{one},0\n" for one in causes("Alder")),
            "every weight of what Alder can have is 0",
        ),
        ("cause,weight_ours\ngrit\n", "row 2: 1 cells"),
    ],
)
def test_an_own_table_that_is_wrong_is_refused_by_row(own: Path, text: str, words: str) -> None:
    (own / "causes.csv").write_text(text, encoding="utf-8")
    with pytest.raises(DatasetError, match=words):
        knowledge("Alder")


# Counted again: fresh regulators against the table, before anything is smoothed


def exact(one: Counter[str], other: Counter[str]) -> float:
    """Exact p of two samples over the same outcomes, given how often each outcome was shown in all.

    Freeman and Halton's extension of Fisher's test: all tables at most as likely as the one seen.
    """
    names = sorted(one.keys() | other.keys())
    sums, size = [one[name] + other[name] for name in names], sum(one.values())

    def chance(row: tuple[int, ...]) -> float:
        return math.prod(math.comb(total, part) for total, part in zip(sums, row, strict=True))

    seen, less, whole = chance(tuple(one[name] for name in names)), 0.0, 0.0
    for row in itertools.product(*(range(min(total, size) + 1) for total in sums[:-1])):
        last = size - sum(row)
        if 0 <= last <= sums[-1]:
            here = chance((*row, last))
            whole += here
            less += here if here <= seen * (1 + 1e-9) else 0.0
    return less / whole


def test_the_exact_test_is_fishers_where_there_are_two_outcomes() -> None:
    """Reference library: scipy's `fisher_exact`."""
    from scipy.stats import fisher_exact

    for a, b, c, d in ((3, 17, 9, 11), (0, 20, 6, 14), (10, 10, 10, 10)):
        p = exact(Counter(x=a, y=b), Counter(x=c, y=d))
        assert p == pytest.approx(fisher_exact([[a, b], [c, d]])[1], rel=1e-9)


def counted_again(design: str, cause: str, gauge: str, seed: str) -> list[float]:
    """p of every examination of a cause: as the table has it, and of fresh regulators, each once."""
    columns = datasets.table(TABLES[design])
    rows = [at for at, row in enumerate(zip(columns["cause"], columns["gauge"], strict=True)) if row == (cause, gauge)]
    many = how_many(design, cause) if cause != ANOTHER else 20
    fresh = [letters(regulator(design, cause, number, gauge, seed)) for number in range(many)]
    found = []
    for at, test in enumerate(NEEDLE_TESTS):
        if test in needle_tests_of(design):
            kept = Counter(columns[test][row][0] for row in rows[:many])
            found.append(exact(kept, Counter(one[at][0] for one in fresh)))
    return found


CAUSES = [(design, cause, gauge) for design in DESIGNS for cause in causes(design) for gauge in ("fine", "coarse")]


def too_far(found: list[float]) -> str:
    low, lowest = sum(p < 0.003 for p in found), min(found)
    return (
        "" if low <= max(0.01 * len(found), 1) and lowest > 1e-7 else f"{low} of {len(found)} below 0.003, {lowest:.1e}"
    )


def test_fresh_regulators_show_what_the_table_says() -> None:
    """Four of the 300 cells of the table, with another seed."""
    some = Draws("counted again").order(CAUSES)[:4]
    assert too_far([p for one in some for p in counted_again(*one, "again")]) == ""


@pytest.mark.long
@every_design
def test_fresh_regulators_show_what_the_whole_table_says(design: str) -> None:
    assert too_far([p for one in CAUSES if one[0] == design for p in counted_again(*one, "whole")]) == ""


def test_only_what_chance_has_a_part_in_is_read_several_times() -> None:
    columns = datasets.table(TABLES["Hazel"])
    for faults, cell in zip(columns["faults"], columns["watch_full"], strict=True):
        assert (len(cell) > 1) == any(key in faults for key in BY_CHANCE)
    assert set(columns["watch_full"][0]) <= set("abcdefghijk") and len(NEEDLE_OUTCOMES["watch_full"]) == 11
