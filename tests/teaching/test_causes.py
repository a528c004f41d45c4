"""What lesson 04b shows of a belief: rows for whoever leads, words that fit, own values said."""

from __future__ import annotations

from pathlib import Path

import pytest

from steadyneedle.bench import diagnosis
from steadyneedle.bench.diagnosis.beliefs import belief
from steadyneedle.foundation import places
from steadyneedle.physics.stages import FirstStage
from steadyneedle.questions.bank.stories import ASKED, START, STORIES
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.notes import on_causes
from steadyneedle.teaching.panels import believed as shown
from steadyneedle.teaching.panels.short_names import CAUSES, TESTS, short_cause

LONGEST = 20


def test_every_cause_and_every_test_has_a_short_name() -> None:
    for design in FirstStage.names():
        assert set(diagnosis.causes(design)) <= set(CAUSES) and set(diagnosis.tests(design)) <= set(TESTS)
    assert max(map(len, (*CAUSES.values(), *TESTS.values()))) <= LONGEST


def test_every_finding_of_the_stories_is_one_that_the_bench_knows() -> None:
    known = shown.known()
    for test, outcome in (*((one, each) for one, all_ in ASKED for each in all_), *sum(STORIES.values(), ())):
        assert outcome in known.outcomes[test], (test, outcome)


def test_whoever_leads_has_a_row_and_is_named() -> None:
    """At every position of the slider, with every first finding; the sentence names the same one as the bars."""
    panel = Lesson("04b").make_panel("beliefs")
    for first in ("not done", *ASKED[0][1]):
        for count in range(len(ASKED) + 1):
            for last in ("not done", *ASKED[-1][1]):
                now = panel.compute(**{**panel.start(), "watch_full": first, ASKED[-1][0]: last, "counted": count})
                assert now.leader in now.causes and (now.advice is None or now.advice.test in now.tests)
                assert max(now.shares) == pytest.approx(now.of_leader)
                assert short_cause(now.leader) in panel.describe(now)


def test_the_same_findings_give_the_same_belief_as_the_bench() -> None:
    panel = Lesson("04b").make_panel("beliefs")
    now = panel.compute(**{**panel.start(), "counted": len(ASKED)})
    after = belief(shown.known(), START)
    assert dict(zip(now.causes, now.shares, strict=True)).items() <= after.by_cause.items()


def test_what_changes_a_mind_does() -> None:
    for story in STORIES.values():
        for count in range(len(story) + 1):
            known, findings = shown.known(), story[:count]
            for one in shown.changes(known, findings, 6):
                after = belief(known, [*findings, (one.test, one.outcome)])
                assert after.leader == one.leader != belief(known, findings).leader
                assert 0 < one.chance < 1


def test_an_instructors_own_values_stand_in_place_of_ours_and_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = shown.known().prior
    folder = tmp_path / "diagnosis"
    folder.mkdir()
    (folder / "causes.csv").write_text("cause,weight_ours\nland_scratched,60\n", encoding="utf-8")
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    own = shown.known()
    at = own.causes.index("land_scratched")
    assert own.prior[at] > usual[at]
    said = " ".join(on_causes.notes(Preferences("point"), lambda: {})["weights"]())
    assert "own values" in said and "land scratched" in said
    panel = Lesson("04b").make_panel("beliefs")
    assert panel.describe(panel.compute(**panel.start())).endswith("Your instructor's own values.")


def test_an_own_table_under_another_name_is_named_where_own_values_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "diagnosis").mkdir()
    (tmp_path / "diagnosis" / "cause.csv").write_text("cause,weight_ours\nland_scratched,60\n", encoding="utf-8")
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    first, *rest = on_causes.notes(Preferences("point"), lambda: {})["weights"]()
    assert "cause.csv" in first and "causes.csv or eyes_and_ears.csv" in first and "values of ours" in rest[0]


def test_own_values_that_cannot_be_used_leave_a_sentence_and_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = shown.known().prior
    folder = tmp_path / "diagnosis"
    folder.mkdir()
    (folder / "causes.csv").write_text("cause,weight_ours\nland_scratched,often\n", encoding="utf-8")
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    assert (shown.known().prior == usual).all() and not shown.known().own
    said = " ".join(on_causes.notes(Preferences("point"), lambda: {})["weights"]())
    assert "causes.csv, row 2, column weight_ours: 'often'" in said and "stand here instead" in said
